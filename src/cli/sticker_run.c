#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/printed.h"
#include "cli/sticker_plan.h"
#include "cli/sticker_run.h"
#include "cli/terminal.h"
#include "loomtag/base.h"

static void show_progress(void *data, size_t done, size_t all)
{
	struct run *run = data;
	if (run->session->options->quiet || all < 2000 || isatty(2) != 1)
		return;
	fprintf(stderr, "\r%zu of %zu stickers", done, all);
	fflush(stderr);
	run->progress_shown = true;
}

static void clear_progress(struct run *run)
{
	if (run->progress_shown)
		fprintf(stderr, "\r%40s\r", "");
	run->progress_shown = false;
}

static bool wants_explaining(const struct options *options)
{
	return options->explain || options->json;
}

static void note_placed(void *data, const struct lt_sticker *sticker)
{
	struct run *run = data;
	if (wants_explaining(run->session->options))
		lt_explain_sticker(&run->explain, sticker, run->drawn);
}

static void add_roles(struct lt_text *out, unsigned roles)
{
	const char *between = " ";
	for (enum lt_box_role role = 0; role < LT_BOX_ROLE_COUNT; role++) {
		if ((roles & 1u << role) != 0) {
			lt_text_printf(out, "%s%s", between, lt_box_role_name(role));
			between = ", ";
		}
	}
}

/* Says once what a label of this size has no room for. */
static void tell_of_room(struct lt_session *session, const struct lt_sheet *sheet)
{
	if (sheet->left_out == 0 && sheet->shortened == 0)
		return;
	/* What keeps a plug off a wrong mate is missed more than the rest. */
	const unsigned warnings = 1u << LT_BOX_LOOKALIKES | 1u << LT_BOX_BANNER;
	if ((sheet->left_out & warnings) != 0) {
		lt_warning(&session->diags, lt_place_none(),
			"layout %s has no room on some labels for what else a plug would fit, or for "
			"which part is new",
			sheet->layout->name);
		lt_hint(&session->diags, "take a larger label, or go by the checklist");
	}
	struct lt_text words = { 0 };
	if (sheet->left_out != 0) {
		lt_text_add(&words, "left out on some labels:");
		add_roles(&words, sheet->left_out);
	}
	if (sheet->shortened != 0) {
		lt_text_add(&words,
			words.length > 0 ? "; shortened:" : "shortened on some labels:");
		add_roles(&words, sheet->shortened);
	}
	lt_note(&session->diags, lt_place_none(), "layout %s has no room for everything; %s",
		sheet->layout->name, lt_text_string(&words));
	lt_text_finish(&words);
}

/* How much of what is at hand the stickers take. */
static void print_amount(const struct lt_sheet *sheet, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_print_clean("on %.0f mm of %s", ceil(sheet->length), layout->name);
	else
		lt_print_clean("on %u %s%s of %s", sheet->pages,
			layout->medium == LT_MEDIUM_SHEET ? "page" : "label",
			sheet->pages == 1 ? "" : "s", layout->name);
}

static void print_summary(const struct run *run, const struct part *part)
{
	const struct lt_sheet *sheet = &part->sheet;
	const struct lt_layout *layout = lt_layout_of(run, part);
	if (lt_is_file(part->path)) {
		char *names = lt_pages_names(&part->pages);
		lt_print_clean("%s: ", names);
		free(names);
	} else if (part->path != NULL) {
		printf("not printed yet: ");
	}
	printf("%zu sticker%s ", sheet->count, sheet->count == 1 ? "" : "s");
	if (sheet->apart)
		lt_print_clean("for %s", layout->name);
	else
		print_amount(sheet, layout);
	printf("; QR codes:");
	const char *between = " ";
	for (enum lt_payload payload = LT_PAYLOAD_LINK; payload <= LT_PAYLOAD_CODE; payload++) {
		if (sheet->payloads[payload] == 0)
			continue;
		printf("%s%s", between, lt_payload_name(payload));
		if (sheet->payloads[payload] != sheet->count)
			printf(" on %zu", sheet->payloads[payload]);
		between = ", ";
	}
	printf("\n");
}

static bool open_part(struct run *run, struct part *part, struct lt_canvas **canvas)
{
	struct lt_session *session = run->session;
	const struct lt_harness *harness = &session->harness;
	const struct lt_layout *layout = lt_layout_of(run, part);
	if (!lt_is_file(part->path)) {
		const struct lt_blocks_options options = { .columns = lt_terminal_columns(),
			.colour = session->options->colour_out };
		*canvas = &part->preview;
		return lt_blocks_create(&part->preview, stdout, run->fonts, &options,
			&session->diags);
	}
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&session->diags.arena, "Stickers %s%s%s", harness->code,
			harness->title != NULL ? ": " : "",
			harness->title != NULL ? harness->title : ""),
		.date = run->seconds,
		.dpi = layout->dpi,
	};
	const struct pages_options options = {
		.pdf = &pdf,
		.dpi = layout->dpi > 0 ? layout->dpi : DEFAULT_DPI,
	};
	*canvas = &part->pages.canvas;
	bool good = lt_pages_open(&part->pages, part->path, run->keep, run->fonts, &options,
		&session->diags);
	part->pages.numbered = run->stock.count > 1 && part->pages.pdf.stream == NULL;
	return good;
}

static int draw_part(struct run *run, struct part *part)
{
	struct lt_session *session = run->session;
	const struct lt_sheet_watcher watcher = { show_progress, note_placed, run };
	struct lt_canvas *canvas = NULL;
	if (part->path != NULL && !open_part(run, part, &canvas))
		return EXIT_SYSTEM;
	run->drawn = lt_layout_of(run, part);
	const struct lt_sticker_source source = { &session->tags, session->lookalikes,
		&run->measure };
	bool good = lt_sheet_draw(&part->sheet, canvas, &source, &part->options, &watcher,
		&session->diags);
	clear_progress(run);
	if (!good)
		return part->sheet.canvas_failed ? EXIT_SYSTEM : EXIT_INPUT;
	if (canvas == &part->preview && !canvas->finish(canvas->data, &session->diags))
		return EXIT_SYSTEM;
	return EXIT_YES;
}

/* Gives the files their names. `placed`: how many parts are out, whole. */
static bool place_parts(size_t *placed, struct run *run)
{
	struct lt_diags *diags = &run->session->diags;
	for (*placed = 0; *placed < run->part_count; (*placed)++) {
		if (!lt_pages_commit(&run->parts[*placed].pages, diags))
			return false;
	}
	return true;
}

/* Leaves in the register what is out of parts that could not all be placed. */
static void keep_placed(struct run *run, const struct printed_before *before, size_t placed)
{
	struct lt_session *session = run->session;
	lt_printed_restore(before, session);
	for (size_t i = 0; i < run->part_count; i++) {
		const struct part *part = &run->parts[i];
		if (i < placed || part->pages.placed)
			lt_mark_before_output(session, &part->sheet);
		if (i < placed)
			lt_mark_after_output(session, &part->sheet, part->sheet.count);
	}
	lt_save_without_output(session);
}

/* What needs room on the disk comes first, then the register, and then the names of the files: a
 * sticker whose number the register does not know would be worse than a number that has no sticker.
 */
static int commit(struct run *run)
{
	struct lt_session *session = run->session;
	struct printed_before before;
	size_t placed;
	for (size_t i = 0; i < run->part_count; i++) {
		if (!lt_pages_allowed(&run->parts[i].pages, &session->diags))
			return EXIT_SYSTEM;
	}
	for (size_t i = 0; i < run->part_count; i++) {
		if (!lt_pages_prepare(&run->parts[i].pages, &session->diags))
			return EXIT_SYSTEM;
	}
	lt_printed_remember(&before, session);
	for (size_t i = 0; i < run->part_count; i++)
		lt_mark_before_output(session, &run->parts[i].sheet);
	int code = lt_save_before_output(session);
	if (code == EXIT_YES && !place_parts(&placed, run)) {
		keep_placed(run, &before, placed);
		code = EXIT_SYSTEM;
	}
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++)
		lt_mark_after_output(session, &run->parts[i].sheet, run->parts[i].sheet.count);
	free(before.entries);
	return code == EXIT_YES ? lt_save_after_output(session) : code;
}

static int explain(struct run *run)
{
	return wants_explaining(run->session->options) ? lt_explain_end(&run->explain) : EXIT_YES;
}

static int draw(struct run *run)
{
	struct lt_session *session = run->session;
	const struct options *options = session->options;
	if (!lt_document_time(&run->seconds))
		return EXIT_USAGE;
	if (wants_explaining(options))
		lt_explain_begin(&run->explain, options->json, run->options.sticker.distance);
	int code = EXIT_YES;
	bool paper = lt_is_file(run->parts[0].path);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++)
		code = draw_part(run, &run->parts[i]);
	if (code == EXIT_YES && paper)
		code = commit(run);
	if (code == EXIT_YES)
		code = explain(run);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		lt_doubts_tell(&part->sheet.doubts, lt_layout_of(run, part),
			run->options.sticker.distance, &session->diags);
		tell_of_room(session, &part->sheet);
		if (!options->quiet && !options->json)
			print_summary(run, part);
	}
	if (code == EXIT_YES)
		lt_session_warn_of_glyphs(session, run->fonts);
	return code;
}

static int with_fonts(struct run *run, const char *path)
{
	struct lt_session *session = run->session;
	run->fonts = lt_fonts_create(&session->diags);
	if (run->fonts == NULL)
		return EXIT_SYSTEM;
	run->measure = lt_fonts_measure(run->fonts);
	run->options.sticker.bundles = lt_harness_bundles(&session->diags.arena, &session->harness);
	int code = lt_plan_stickers(run, path);
	if (code == EXIT_YES)
		code = draw(run);
	if (code == EXIT_YES && lt_is_file(path))
		lt_warn_of_left_parts(run, path);
	return code;
}

static void run_finish(struct run *run)
{
	for (size_t i = 0; i < run->part_count; i++) {
		lt_pages_finish(&run->parts[i].pages);
		lt_canvas_destroy(&run->parts[i].preview);
		lt_sheet_finish(&run->parts[i].sheet);
	}
	free(run->parts);
	free(run->choice);
	lt_fonts_destroy(run->fonts);
	lt_stock_finish(&run->stock);
	lt_stock_finish(&run->known);
	free(run);
}

static int check_path(struct lt_session *session, const char *path)
{
	const char *ending = lt_path_extension(path);
	if (!lt_output_allowed(path, lt_session_keep(session), &session->diags))
		return lt_session_fail(session, EXIT_SYSTEM);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return lt_usage_error("stickers",
			"-o is a .pdf or a .png, or - for the terminal, not \"%s\"", path);
	return EXIT_YES;
}

int lt_write_stickers(struct lt_session *session, const char *path)
{
	int code = path != NULL && lt_is_file(path) ? check_path(session, path) : EXIT_YES;
	if (code != EXIT_YES)
		return code;
	if (path != NULL && !lt_is_file(path) && session->options->json)
		return lt_usage_error("stickers",
			"--json is one document on standard output, and "
			"-o - shows stickers there: leave out one of them");
	struct run *run = lt_alloc(sizeof(*run));
	run->session = session;
	struct lt_selection *only = NULL;
	const struct options *options = session->options;
	code = lt_sticker_options_read(&run->options, &run->alignment, &run->dpi, options,
		&session->diags);
	if (code == EXIT_YES && options->only != NULL) {
		only = lt_selection_read(options->only, &session->diags);
		code = only != NULL ? EXIT_YES : EXIT_USAGE;
	}
	if (code == EXIT_YES) {
		run->options.only = only;
		run->options.apart = path != NULL && !lt_is_file(path);
		code = with_fonts(run, path);
	}
	if (code == EXIT_YES && lt_is_file(path) &&
		!lt_alignment_keep(&run->alignment, options, &session->diags))
		code = EXIT_SYSTEM;
	run_finish(run);
	lt_selection_destroy(only);
	return lt_session_fail(session, code);
}
