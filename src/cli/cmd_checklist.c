/* loomtag checklist: what to make safe, unplug and reconnect, on paper or on the terminal. */
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/terminal.h"
#include "loomtag/checklist.h"
#include "loomtag/words.h"

static bool draw(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_session *session = drawing->session;
	return lt_checklist_draw(canvas, &session->tags, session->lookalikes, drawing->data,
		measure, diags);
}

static int write_paper(struct lt_session *session, const char *path,
	struct lt_checklist_options *options)
{
	struct drawing drawing = { .session = session, .data = options, .draw = draw };
	drawing.pdf.title = lt_drawing_title(session, lt_checklist_words.title);
	return lt_drawing_write(NULL, path, &drawing, &session->diags);
}

static int write_text(struct lt_session *session, const char *path,
	const struct lt_checklist_options *options)
{
	struct lt_text text = { 0 };
	lt_checklist_write(&text, &session->tags, session->lookalikes, options);
	int code = EXIT_YES;
	if (strcmp(path, "-") == 0)
		fputs(lt_text_string(&text), stdout);
	else if (!lt_file_write(path, lt_text_string(&text), text.length, lt_session_keep(session),
			 &session->diags))
		code = EXIT_SYSTEM;
	lt_text_finish(&text);
	return lt_session_fail(session, code);
}

static void report(const char *file, size_t joints)
{
	struct lt_text text = { 0 };
	lt_checklist_add_done(&text, file, joints);
	lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
}

int lt_run_checklist(const struct options *options)
{
	struct lt_checklist_options paper = LT_CHECKLIST_OPTIONS_INIT;
	if (options->output == NULL)
		return lt_usage_error("checklist",
			"no output file given (-o OUT.pdf, -o OUT.txt or -o -)");
	const char *ending = lt_path_extension(options->output);
	bool text = strcmp(options->output, "-") == 0 || lt_same_word(ending, "txt");
	if (!text && !lt_same_word(ending, "pdf"))
		return lt_usage_error("checklist",
			"-o must be a .pdf file, a .txt file or -, not \"%s\"", options->output);
	if (!lt_read_paper(&paper.paper, options, "checklist"))
		return EXIT_USAGE;
	struct lt_session session;
	int code = lt_session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		lt_session_warn_of_new_numbers(&session);
		code = text ? write_text(&session, options->output, &paper)
			    : write_paper(&session, options->output, &paper);
		if (code == EXIT_YES && !options->quiet && strcmp(options->output, "-") != 0)
			report(options->output, session.harness.connector_count);
	}
	lt_session_finish(&session);
	return code;
}
