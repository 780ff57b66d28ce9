/* loomtag quick: N blank tag pairs for somebody with no description and little time. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/password.h"
#include "cli/quick_print.h"
#include "cli/stickers.h"
#include "cli/terminal.h"
#include "loomtag/checklist.h"
#include "loomtag/words.h"

enum { MOST_PAIRS = 999 };

/* A harness code that is new each time, so that last week's stickers are foreign: Q and five
 * random characters, which keeps scan codes of one digit within a version 1 symbol of level H.
 * No vowels, which would make words; nothing that is misread for another; no U, which would read
 * as the mark of a unit. Among 17 million codes, two jobs that meet on one bench have the same one
 * with a chance of 1 in 17 million. */
static bool make_code(char out[8])
{
	static const char letters[] = "CDFGHJKLMNPRTVWXYZ23456789";
	enum { LETTERS = sizeof(letters) - 1, RANDOM = 5 };
	size_t made = 0;
	out[made++] = 'Q';
	while (made <= RANDOM) {
		unsigned char byte;
		if (getrandom(&byte, 1, 0) != 1)
			return false;
		/* Only bytes below the largest multiple, so that every letter is as likely. */
		if (byte < 256 / LETTERS * LETTERS)
			out[made++] = letters[byte % LETTERS];
	}
	out[made] = '\0';
	return true;
}

/* The numbers of `count` connectors of unknown fit, with nothing marked on them: what the rule of
 * numbering gives them. */
static bool number_blanks(unsigned *numbers, size_t count, const char *code, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	lt_text_printf(&text, "harness: %s\nconnectors:\n", code);
	for (size_t i = 0; i < count; i++)
		lt_text_printf(&text, "  - id: %zuN\n", i);
	struct lt_harness harness;
	struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	bool good = lt_harness_read(&harness, "blank", text.bytes, text.length, &options, diags);
	if (good) {
		struct lt_lookalikes *lookalikes = lt_lookalikes_create(&harness);
		struct lt_register reg;
		lt_register_init(&reg);
		struct lt_tags tags;
		good = lt_tags_assign(&tags, &harness, lookalikes, &reg, diags);
		for (size_t i = 0; good && i < count; i++)
			numbers[i] = tags.number_of[i];
		lt_tags_finish(&tags);
		lt_register_finish(&reg);
		lt_lookalikes_destroy(lookalikes);
	}
	lt_harness_finish(&harness);
	lt_text_finish(&text);
	return good;
}

static bool make_folder(const char *folder, struct lt_diags *diags)
{
	if (mkdir(folder, 0777) == 0) {
		bool good = lt_folder_sync(folder, diags);
		if (!good)
			rmdir(folder);
		return good;
	}
	if (errno == EEXIST) {
		lt_error(diags, lt_place_file(folder), "already exists");
		lt_hint(diags,
			"name a new folder with -o, so that stickers of two jobs do not mix");
	} else {
		lt_error(diags, lt_place_file(folder), "cannot make the folder: %s",
			strerror(errno));
	}
	return false;
}

static void print_line(struct lt_text *line)
{
	lt_print_clean("%s\n", lt_text_string(line));
	lt_text_clear(line);
}

static void report(const struct lt_session *session, const char *sheet, const char *description)
{
	struct lt_text text = { 0 };
	lt_quick_add_worksheet(&text, sheet);
	print_line(&text);
	lt_quick_add_fill_in(&text, description);
	print_line(&text);
	lt_quick_add_not_used(&text, &session->tags);
	if (text.length > 0)
		print_line(&text);
	lt_text_finish(&text);
}

/* Whoever chose no labels may have none. */
static void report_printing(const struct options *options, const char *description,
	enum lt_paper paper)
{
	struct lt_text text = { 0 };
	puts(lt_quick_words.actual_size);
	if (options->layout == NULL && options->layout_h == NULL && options->layout_m == NULL &&
		options->stock == NULL) {
		lt_quick_add_no_labels(&text, description,
			paper == LT_PAPER_LETTER ? "letter-cut" : "a4-cut");
		print_line(&text);
	}
	lt_text_finish(&text);
	puts(lt_quick_words.start);
}

static bool draw_worksheet(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	return lt_worksheet_draw(canvas, &drawing->session->tags, drawing->data, measure, diags);
}

/* Stickers and worksheet of the description just written. */
static int write_papers(const struct options *options, char *description, const char *stem)
{
	char *arguments[] = { description, NULL };
	struct options inner = *options;
	inner.arguments = arguments;
	inner.argument_count = 1;
	struct lt_checklist_options paper = LT_CHECKLIST_OPTIONS_INIT;
	struct lt_session session;
	int code = lt_session_open(&session, &inner, SESSION_WRITES);
	session.all_or_none = true;
	(void)lt_read_paper(&paper.paper, options, "quick");
	if (code == EXIT_YES) {
		const char *stickers =
			lt_arena_printf(&session.diags.arena, "%s-stickers.pdf", stem);
		code = lt_write_stickers(&session, stickers);
	}
	if (code == EXIT_YES) {
		const char *sheet = lt_arena_printf(&session.diags.arena, "%s-worksheet.pdf", stem);
		struct drawing worksheet = {
			.session = &session, .data = &paper, .draw = draw_worksheet
		};
		worksheet.pdf.title = lt_drawing_title(&session, lt_worksheet_words.title);
		code = lt_drawing_write(NULL, sheet, &worksheet, &session.diags);
		if (code == EXIT_YES && !options->quiet) {
			report(&session, sheet, description);
			report_printing(options, description, paper.paper);
		}
	}
	lt_session_finish(&session);
	return code;
}

/* A folder with half a job in it would be taken for a whole one. The stickers go before the
 * register that knows their numbers. */
static void remove_job(const char *folder, const char *stem, struct lt_diags *diags)
{
	static const char *const endings[] = { "-stickers.pdf", "-worksheet.pdf", ".tags",
		".yaml" };
	for (size_t i = 0; i < sizeof(endings) / sizeof(endings[0]); i++)
		unlink(lt_arena_printf(&diags->arena, "%s%s", stem, endings[i]));
	rmdir(folder);
}

/* Shows the stickers on the terminal. */
static int preview(const struct options *options, const char *code, const struct lt_text *text,
	struct lt_diags *diags)
{
	char *arguments[] = { lt_arena_printf(&diags->arena, "%s.yaml", code), NULL };
	struct options inner = *options;
	inner.arguments = arguments;
	inner.argument_count = 1;
	struct lt_session session;
	int result = lt_session_open_text(&session, &inner, text);
	if (result == EXIT_YES)
		result = lt_write_stickers(&session, "-");
	if (result == EXIT_YES && !options->quiet)
		puts(lt_quick_words.nothing_written);
	lt_session_finish(&session);
	return result;
}

/* A new folder with the description and the papers. */
static int make_files(const struct options *options, const char *code, const struct lt_text *text,
	struct lt_diags *diags)
{
	const char *folder = options->output != NULL ? options->output : code;
	if (!make_folder(folder, diags))
		return EXIT_SYSTEM;
	char *stem = lt_arena_printf(&diags->arena, "%s/%s", folder, code);
	char *description = lt_arena_printf(&diags->arena, "%s.yaml", stem);
	bool written = lt_file_write(description, lt_text_string(text), text->length, NULL, diags);
	int result = written ? write_papers(options, description, stem) : EXIT_SYSTEM;
	if (result != EXIT_YES) {
		remove_job(folder, stem, diags);
		lt_error(diags, lt_place_file(folder), "nothing was written");
	}
	if (result == EXIT_YES && options->print) {
		fflush(stdout);
		result = lt_quick_print(options, description,
			lt_arena_printf(&diags->arena, "%s-stickers.pdf", stem),
			options->argument_count > 1 ? options->arguments[1] : NULL);
	}
	return result;
}

static int make_job(const struct options *options, size_t count, struct lt_diags *diags)
{
	char code[8];
	if (!make_code(code)) {
		lt_error(diags, lt_place_none(),
			"cannot get random numbers from the system for a new code");
		return EXIT_SYSTEM;
	}
	unsigned *numbers = lt_arena_array(&diags->arena, count, sizeof(*numbers));
	if (!number_blanks(numbers, count, code, diags))
		return EXIT_SYSTEM;
	struct lt_text text = { 0 };
	const struct lt_template template = { .code = code, .count = count, .numbers = numbers };
	lt_template_add(&text, &template);
	bool files = options->output == NULL || lt_is_file(options->output);
	int result = files ? make_files(options, code, &text, diags)
			   : preview(options, code, &text, diags);
	lt_text_finish(&text);
	return result;
}

int lt_run_quick(const struct options *options)
{
	unsigned count;
	if (!lt_whole_read(&count, options->arguments[0], MOST_PAIRS) || count == 0)
		return lt_usage_error("quick", "N must be a whole number from 1 to %d, not \"%s\"",
			MOST_PAIRS, options->arguments[0]);
	if (options->argument_count > 1 && !options->print)
		return lt_usage_error("quick", "to print on \"%s\", add --print",
			options->arguments[1]);
	if (options->argument_count > 1 && lt_refuse_password(options->arguments[1], "quick"))
		return EXIT_USAGE;
	if (options->print && options->output != NULL && !lt_is_file(options->output))
		return lt_usage_error("quick", "cannot be used together: --print and -o -");
	enum lt_paper paper;
	if (!lt_read_paper(&paper, options, "quick"))
		return EXIT_USAGE;
	struct lt_diags diags = { 0 };
	int code = make_job(options, count, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
