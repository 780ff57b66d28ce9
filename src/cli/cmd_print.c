/* loomtag print: sends stickers to a label printer and waits until all are printed. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/printing.h"
#include "cli/terminal.h"
#include "loomtag/words.h"

/* Asks which sticker was printed last. False when there is no answer. */
static bool ask_last(struct lt_unfinished_tag *tag, bool *none, const struct lt_unfinished *left)
{
	char line[128];
	char example[LT_TAG_SIZE] = "4M";
	if (isatty(STDIN_FILENO) != 1)
		return false;
	if (left->counted > 0) {
		const struct lt_unfinished_tag *last = &left->tags[left->counted - 1];
		lt_tag_write(example, last->number, last->side);
	}
	for (int tries = 0; tries < 3; tries++) {
		struct lt_text question = { 0 };
		lt_words_ask_last(&question, left->counted, left->count, example);
		fputs(lt_text_string(&question), stdout);
		lt_text_finish(&question);
		fflush(stdout);
		if (fgets(line, sizeof(line), stdin) == NULL)
			return false;
		line[strcspn(line, "\r\n")] = '\0';
		*none = strcmp(line, "-") == 0;
		if (*none || (lt_unfinished_tag_read(tag, line) &&
				     lt_unfinished_find(left, tag, true) < left->count))
			return true;
		puts(lt_print_words.was_not_sent);
	}
	return false;
}

/* Finds the first sticker that is still to be printed. Returns the exit code. */
static int find_first(size_t *first, const struct print *print)
{
	const struct lt_unfinished *left = &print->left;
	const char *from = print->options->from;
	struct lt_unfinished_tag tag;
	bool none = false;
	if (from != NULL) {
		if (!lt_unfinished_tag_read(&tag, from))
			return lt_usage_error("print",
				"--from must be a tag, for example 12M, not \"%s\"", from);
		*first = lt_unfinished_find(left, &tag, false);
		if (*first < left->count)
			return EXIT_YES;
		lt_error(print->diags, lt_place_file(print->record_path),
			"sticker %s was not sent to the printer", from);
		lt_hint(print->diags, "choose a tag from the list in this file");
		return EXIT_INPUT;
	}
	if (!ask_last(&tag, &none, left))
		return lt_usage_error("print",
			"--resume needs --from TAG, the first sticker that is still to be printed");
	*first = none ? 0 : lt_unfinished_find(left, &tag, true) + 1;
	return EXIT_YES;
}

/* Makes the list of the stickers that are left. */
static int list_left(struct print *print, size_t first)
{
	const struct lt_unfinished *left = &print->left;
	const struct lt_tags *tags = &print->session->tags;
	struct lt_sticker_id *list =
		lt_arena_array(&print->diags->arena, left->count + 1, sizeof(*list));
	for (size_t i = first; i < left->count; i++) {
		const struct lt_unfinished_tag *tag = &left->tags[i];
		size_t connector =
			tag->number <= tags->number_max ? tags->connector_of[tag->number] : LT_NONE;
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = connector != LT_NONE ? lt_tag_sides(sides, tags, connector) : 0;
		bool there = false;
		for (size_t k = 0; k < count; k++)
			there = there || sides[k] == tag->side;
		if (!there) {
			char text[LT_TAG_SIZE];
			lt_tag_write(text, tag->number, tag->side);
			lt_error(print->diags, lt_place_file(print->record_path),
				"the description no longer has sticker %s", text);
			lt_hint(print->diags,
				"the description was changed. Delete this file. Then print the "
				"stickers that are left with --only");
			return EXIT_INPUT;
		}
		list[i - first] = (struct lt_sticker_id){ connector, tag->side, false };
	}
	print->wanted.sheet.list = list;
	print->wanted.sheet.list_count = left->count - first;
	return EXIT_YES;
}

/* The user has said which stickers are in hand: an X sticker that the printer counted may be
 * spoilt. Stickers that are printed again are marked when they are printed. */
static int mark_in_hand(struct print *print, size_t first)
{
	const struct lt_unfinished *left = &print->left;
	if (print->options->dry_run)
		return EXIT_YES;
	for (size_t i = left->count; i-- > 0;) {
		if (left->tags[i].side == LT_SIDE_X)
			lt_printed_x(&print->session->tags, &print->session->reg,
				left->tags[i].number, i < first);
	}
	return lt_session_save(print->session);
}

/* A new print would lose what is left of an earlier one. */
static int check_nothing_left(struct print *print)
{
	const struct options *options = print->options;
	size_t left = print->left.count - print->left.counted;
	bool there = print->left.code != NULL;
	bool sends = !options->dry_run && options->output == NULL;
	lt_unfinished_finish(&print->left);
	if (!there || !sends || options->anew)
		return EXIT_YES;
	lt_error(print->diags, lt_place_file(print->record_path),
		lt_plural(left, "the last print is not finished: %zu sticker may be missing",
			"the last print is not finished: %zu stickers may be missing"),
		left);
	lt_hint(print->diags,
		"to print the rest, use --resume. To forget it and start a new print, use --anew");
	return EXIT_INPUT;
}

/* Continues an earlier print. `*nothing`: all of it is printed. Returns the exit code. */
static int resume(struct print *print, bool *nothing)
{
	const struct lt_unfinished *left = &print->left;
	const char *code_now = print->session->harness.code;
	const struct lt_place place = lt_place_file(print->record_path);
	if (left->code == NULL) {
		lt_error(print->diags, place, "no unfinished print found");
		lt_hint(print->diags, "leave out --resume");
		return EXIT_INPUT;
	}
	if (strcmp(left->code, code_now) != 0) {
		lt_error(print->diags, place, "the unfinished print is of %s, not of %s",
			left->code, code_now);
		lt_hint(print->diags, "use the --unit of the unfinished print");
		return EXIT_INPUT;
	}
	size_t first = 0;
	int code = find_first(&first, print);
	if (code == EXIT_YES)
		code = mark_in_hand(print, first);
	if (code != EXIT_YES)
		return code;
	*nothing = first == left->count;
	if (!*nothing)
		return list_left(print, first);
	if (!print->options->dry_run)
		unlink(print->record_path);
	puts(lt_print_words.nothing_left);
	return EXIT_YES;
}

static void print_written(const struct print *print)
{
	struct lt_text text = { 0 };
	lt_words_job_written(&text, print->options->output, print->pages, print->layout->name);
	lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
}

/* Draws, and then shows, writes or sends. */
static int deliver(struct print *print)
{
	const struct options *options = print->options;
	int code = print->session != NULL ? lt_print_draw_stickers(print)
					  : lt_print_draw_ladder(print);
	if (print->session != NULL)
		lt_session_print_diags(print->session);
	if (code != EXIT_YES)
		return code;
	if (options->dry_run) {
		lt_print_describe_job(print);
		return EXIT_YES;
	}
	if (options->output == NULL)
		return lt_print_send(print);
	code = lt_print_write(print);
	if (code == EXIT_YES && !options->quiet)
		print_written(print);
	return code;
}

static int print_job(struct print *print)
{
	const struct options *options = print->options;
	struct sticker_options *wanted = &print->wanted;
	bool nothing = false;
	int code = lt_sticker_options_read(wanted, options, print->diags);
	if (code == EXIT_YES && print->session != NULL)
		code = options->resume ? resume(print, &nothing) : check_nothing_left(print);
	if (code != EXIT_YES || nothing)
		return code;
	print->fonts = lt_fonts_create(print->diags);
	if (print->fonts == NULL)
		return EXIT_SYSTEM;
	print->measure = lt_fonts_measure(print->fonts);
	code = lt_print_open_printer(print);
	if (code == EXIT_YES)
		code = lt_print_choose_layout(print);
	if (code == EXIT_YES && print->layout->medium == LT_MEDIUM_SHEET)
		code = lt_sticker_options_used(&wanted->sheet, print->layout, options,
			print->diags);
	if (code == EXIT_YES)
		code = deliver(print);
	if (code == EXIT_YES && !lt_alignment_keep(&wanted->alignment, options, print->diags))
		code = EXIT_SYSTEM;
	return code;
}

/* Prints nothing: only keeps the settings of a printer. */
static int keep_settings(struct print *print)
{
	struct lt_calibration *alignment = &print->wanted.alignment;
	int code = lt_alignment_read(alignment, print->options, false, "print", print->diags);
	if (code == EXIT_YES && !lt_alignment_keep(alignment, print->options, print->diags))
		code = EXIT_SYSTEM;
	return code;
}

static int check_options(const struct options *options)
{
	const char *output = options->output;
	if (lt_refuse_password(options->to, "print") ||
		lt_refuse_password(options->printer, "print"))
		return EXIT_USAGE;
	bool file = options->argument_count == 1;
	bool settings =
		options->smallest != NULL || options->nudge != NULL || options->scale != NULL;
	if (options->to == NULL && output == NULL && !options->resume)
		return lt_usage_error("print",
			"no printer given (--to PRINTER). loomtag printers lists the printers");
	if (output != NULL && !lt_same_word(lt_path_extension(output), "pwg") &&
		!lt_same_word(lt_path_extension(output), "pdf"))
		return lt_usage_error("print", "-o must be a .pwg or .pdf file, not \"%s\"",
			output);
	if (file && options->ladder)
		return lt_usage_error("print",
			"cannot be used together: --ladder and a description");
	if (!file && !options->ladder && !settings)
		return lt_usage_error("print", "no description given");
	if (options->from != NULL && !options->resume)
		return lt_usage_error("print",
			"--from needs --resume. To choose stickers, use --only");
	if (options->resume && options->only != NULL)
		return lt_usage_error("print", "cannot be used together: --resume and --only");
	if (options->resume && options->copies != NULL)
		return lt_usage_error("print", "cannot be used together: --resume and --copies");
	if (options->resume && options->ladder)
		return lt_usage_error("print", "cannot be used together: --resume and --ladder");
	return EXIT_YES;
}

static int run_without_session(const struct options *options)
{
	struct lt_diags diags = { 0 };
	struct print print = { .options = options, .diags = &diags };
	int code = options->ladder ? print_job(&print) : keep_settings(&print);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_print_finish(&print);
	lt_diags_finish(&diags);
	return code;
}

/* Fills in the printer and the layout of `options` from an unfinished print. */
static int run_with_session(struct options *options)
{
	struct lt_session session;
	struct print print = { .options = options, .session = &session, .diags = &session.diags };
	int code = lt_session_open(&session, options,
		options->dry_run ? SESSION_READS : SESSION_WRITES);
	print.record_path = lt_path_with_extension(session.path, "print");
	/* Read under the lock: another terminal may have continued that print. */
	if (code == EXIT_YES &&
		!lt_unfinished_read_file(&print.left, print.record_path, print.diags))
		code = EXIT_INPUT;
	if (options->resume && options->layout == NULL)
		options->layout = print.left.layout;
	if (options->resume && options->to == NULL && options->output == NULL)
		options->to = print.left.printer;
	if (options->printer == NULL)
		options->printer = options->to;
	if (code == EXIT_YES)
		code = print_job(&print);
	lt_session_print_diags(&session);
	if (code == EXIT_YES && !options->dry_run)
		lt_session_note_new_register(&session);
	lt_print_finish(&print);
	lt_session_finish(&session);
	return code;
}

int lt_run_print(const struct options *options)
{
	int code = check_options(options);
	if (code != EXIT_YES)
		return code;
	struct options own = *options;
	/* Settings of a printer are kept under the name that is given here. */
	if (own.printer == NULL)
		own.printer = own.to;
	return own.argument_count == 1 ? run_with_session(&own) : run_without_session(&own);
}
