/* loomtag print: stickers to a label printer, until they are out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/print_run.h"
#include "cli/printed.h"
#include "cli/terminal.h"
#include "loomtag/base.h"

/* The answer to which sticker came out last; false when there is none to be had. */
static bool ask_last(struct lt_unfinished_tag *tag, bool *none, const struct lt_unfinished *left)
{
	char line[128];
	char usual[LT_TAG_SIZE] = "";
	if (isatty(STDIN_FILENO) != 1)
		return false;
	if (left->counted > 0) {
		const struct lt_unfinished_tag *last = &left->tags[left->counted - 1];
		lt_tag_write(usual, last->number, last->side);
	}
	for (int tries = 0; tries < 3; tries++) {
		printf("The printer counted %zu of %zu stickers. Which was the last that came out "
		       "whole?\n(its tag, such as %s; - for none): ",
			left->counted, left->count, usual[0] != '\0' ? usual : "4M");
		fflush(stdout);
		if (fgets(line, sizeof(line), stdin) == NULL)
			return false;
		line[strcspn(line, "\r\n")] = '\0';
		*none = strcmp(line, "-") == 0;
		if (*none || (lt_unfinished_tag_read(tag, line) &&
				     lt_unfinished_find(left, tag, true) < left->count))
			return true;
		puts("That is none of the stickers that were sent.");
	}
	return false;
}

/* Where to go on: the first sticker that is still to be printed. */
static int find_first(size_t *first, const struct print *print)
{
	const struct lt_unfinished *left = &print->left;
	const char *from = print->options->from;
	struct lt_unfinished_tag tag;
	bool none = false;
	if (from != NULL) {
		if (!lt_unfinished_tag_read(&tag, from))
			return lt_usage_error("print",
				"--from is a sticker's tag, such as 12M, not "
				"\"%s\"",
				from);
		*first = lt_unfinished_find(left, &tag, false);
		if (*first < left->count)
			return EXIT_YES;
		lt_error(print->diags, lt_place_file(print->record_path),
			"%s is none of the stickers that were sent", from);
		lt_hint(print->diags, "the file lists them, in their order");
		return EXIT_INPUT;
	}
	if (!ask_last(&tag, &none, left))
		return lt_usage_error("print",
			"printers count pages, not labels in hand: say with --from which sticker is "
			"the first that is still to be printed");
	*first = none ? 0 : lt_unfinished_find(left, &tag, true) + 1;
	return EXIT_YES;
}

/* Makes the list of what is left. */
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
				"the description has no sticker %s any more", text);
			lt_hint(print->diags,
				"it was changed since; say with --only what is left to print, and remove "
				"the file");
			return EXIT_INPUT;
		}
		list[i - first] = (struct lt_sticker_id){ connector, tag->side, false };
	}
	print->wanted.list = list;
	print->wanted.list_count = left->count - first;
	return EXIT_YES;
}

/* Whoever goes on has said what is in hand: an X sticker that the printer has counted may be
 * spoilt. What comes again is marked when it is out. */
static int mark_in_hand(struct print *print, size_t first)
{
	const struct lt_unfinished *left = &print->left;
	if (print->options->dry_run)
		return EXIT_YES;
	for (size_t i = left->count; i-- > 0;) {
		if (left->tags[i].side == LT_SIDE_X)
			lt_mark_x(print->session, left->tags[i].number, i < first);
	}
	return lt_session_save(print->session);
}

/* Reads what an earlier print has left; with --resume that is printed now. */
static int read_left(struct print *print, bool *nothing)
{
	bool there;
	*nothing = false;
	if (!lt_unfinished_read_file(&print->left, &there, print->record_path, print->diags))
		return EXIT_INPUT;
	if (!print->options->resume) {
		size_t left = print->left.count - print->left.counted;
		bool sends = !print->options->dry_run && print->options->output == NULL;
		lt_unfinished_finish(&print->left);
		if (!there || !sends || print->options->anew)
			return EXIT_YES;
		lt_error(print->diags, lt_place_file(print->record_path),
			"tells of a print that was not finished: %zu sticker%s may be left", left,
			left == 1 ? "" : "s");
		lt_hint(print->diags,
			"--resume prints what is left; --anew forgets it and prints what is "
			"asked for now");
		return EXIT_INPUT;
	}
	if (!there) {
		lt_error(print->diags, lt_place_file(print->record_path),
			"is not there: no print of this was left unfinished");
		lt_hint(print->diags, "leave --resume out");
		return EXIT_INPUT;
	}
	if (strcmp(print->left.code, print->session->harness.code) != 0) {
		lt_error(print->diags, lt_place_file(print->record_path),
			"is of %s, and this is %s", print->left.code, print->session->harness.code);
		lt_hint(print->diags, "give the same --unit as then");
		return EXIT_INPUT;
	}
	size_t first = 0;
	int code = find_first(&first, print);
	if (code != EXIT_YES)
		return code;
	code = mark_in_hand(print, first);
	if (code != EXIT_YES)
		return code;
	*nothing = first == print->left.count;
	if (*nothing) {
		if (!print->options->dry_run)
			unlink(print->record_path);
		puts("all of it came out; nothing is left to print");
		return EXIT_YES;
	}
	return list_left(print, first);
}

/* Draws, and then shows, writes or sends. */
static int deliver(struct print *print)
{
	const struct options *options = print->options;
	int code = print->session != NULL ? lt_print_draw_stickers(print)
					  : lt_print_draw_ladder(print);
	if (print->session != NULL)
		lt_session_tell(print->session);
	if (code != EXIT_YES)
		return code;
	if (options->dry_run) {
		lt_print_tell_plan(print);
		return EXIT_YES;
	}
	if (options->output == NULL)
		return lt_print_send(print);
	code = lt_print_write(print);
	if (code == EXIT_YES && !options->quiet)
		lt_print_clean("%s: a job of %u page%s for %s\n", options->output, print->pages,
			print->pages == 1 ? "" : "s", print->layout->name);
	return code;
}

static int print_job(struct print *print, struct lt_selection *only)
{
	const struct options *options = print->options;
	double dpi = 0;
	int code = lt_sticker_options_read(&print->wanted, &print->alignment, &dpi, options,
		print->diags);
	if (code != EXIT_YES)
		return code;
	print->wanted.only = only;
	bool nothing = false;
	if (print->session != NULL)
		code = read_left(print, &nothing);
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
		code = lt_sticker_options_used(&print->wanted, print->layout, options,
			print->diags);
	if (code == EXIT_YES)
		code = deliver(print);
	if (code == EXIT_YES && !lt_alignment_keep(&print->alignment, options, print->diags))
		code = EXIT_SYSTEM;
	return code;
}

/* Only tells what was found out of the printer. */
static int remember(struct print *print)
{
	int code =
		lt_alignment_read(&print->alignment, print->options, false, "print", print->diags);
	if (code == EXIT_YES && !lt_alignment_keep(&print->alignment, print->options, print->diags))
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
	bool tells = options->smallest != NULL || options->nudge != NULL || options->scale != NULL;
	if (options->to == NULL && output == NULL && !options->resume)
		return lt_usage_error("print", "which printer is not said (--to PRINTER; \"loomtag "
					       "printers\" lists them)");
	if (output != NULL && !lt_same_word(lt_path_extension(output), "pwg") &&
		!lt_same_word(lt_path_extension(output), "pdf"))
		return lt_usage_error("print", "-o is a .pwg or a .pdf, not \"%s\"", output);
	if (file == options->ladder && (file || !tells))
		return lt_usage_error("print", file ? "--ladder prints no description"
						    : "which description to print is not said");
	if (options->from != NULL && !options->resume)
		return lt_usage_error("print",
			"--from goes with --resume; --only chooses stickers");
	if (options->resume &&
		(options->only != NULL || options->copies != NULL || options->ladder))
		return lt_usage_error("print", "--resume prints what is left: --only, --copies and "
					       "--ladder do not go with it");
	return EXIT_YES;
}

static int run_without_session(const struct options *options)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct print print = { .options = options, .diags = &diags };
	int code = options->ladder ? print_job(&print, NULL) : remember(&print);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_print_finish(&print);
	lt_diags_finish(&diags);
	return code;
}

/* The printer of a print that was not finished; the caller frees. NULL where there is none, which
 * is told when the record is read in its turn. */
static char *recorded_printer(const char *description)
{
	struct lt_unfinished left;
	struct lt_diags unheard;
	bool there;
	lt_diags_init(&unheard);
	char *path = lt_path_with_extension(description, "print");
	char *printer = NULL;
	if (lt_unfinished_read_file(&left, &there, path, &unheard) && there) {
		size_t size = strlen(left.printer) + 1;
		printer = lt_alloc(size);
		memcpy(printer, left.printer, size);
	}
	lt_unfinished_finish(&left);
	lt_diags_finish(&unheard);
	free(path);
	return printer;
}

/* What is remembered of a printer goes by the name that it is given here. */
static void name_printer(struct options *options)
{
	if (options->printer == NULL)
		options->printer = options->to;
}

/* `options`: of which the printer is filled in where an earlier print says it. */
static int run_with_session(struct options *options)
{
	struct lt_session session;
	char *recorded = NULL;
	int code = lt_session_open(&session, options,
		options->dry_run ? SESSION_READS : SESSION_WRITES);
	/* Read under the lock, as all of it: another may have gone on with that print meanwhile. */
	if (code == EXIT_YES && options->resume && options->to == NULL && options->output == NULL)
		options->to = recorded = recorded_printer(session.path);
	name_printer(options);
	struct print print = { .options = options, .session = &session, .diags = &session.diags };
	struct lt_selection *only = NULL;
	if (code == EXIT_YES && options->only != NULL) {
		only = lt_selection_read(options->only, print.diags);
		code = only != NULL ? EXIT_YES : EXIT_USAGE;
	}
	if (code == EXIT_YES) {
		print.record_path = lt_path_with_extension(session.path, "print");
		code = print_job(&print, only);
	}
	lt_session_tell(&session);
	if (code == EXIT_YES && !options->dry_run)
		lt_session_note_new_register(&session);
	lt_print_finish(&print);
	lt_selection_destroy(only);
	lt_session_finish(&session);
	free(recorded);
	return code;
}

int lt_run_print(const struct options *options)
{
	int code = check_options(options);
	if (code != EXIT_YES)
		return code;
	struct options own = *options;
	if (own.argument_count == 1)
		return run_with_session(&own);
	name_printer(&own);
	return run_without_session(&own);
}
