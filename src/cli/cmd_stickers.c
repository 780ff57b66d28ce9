/* loomtag stickers: matching sticker sheets. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/sticker_plan.h"
#include "cli/terminal.h"
#include "loomtag/words.h"

static void show_progress(void *data, size_t done, size_t all)
{
	struct run *run = data;
	if (run->session->options->quiet || all < 2000 || isatty(2) != 1)
		return;
	struct lt_text line = { 0 };
	lt_words_stickers_progress(&line, done, all);
	fprintf(stderr, "\r%s", lt_text_string(&line));
	fflush(stderr);
	lt_text_finish(&line);
	run->progress_shown = true;
}

static void clear_progress(struct run *run)
{
	if (run->progress_shown)
		fprintf(stderr, "\r%40s\r", "");
	run->progress_shown = false;
}

/* Figures as the table rounds them, without digits that mean nothing. */
static json_t *rounded(double value, double step)
{
	return json_real(round(value / step) * step);
}

static json_t *sticker_json(const struct lt_sticker *sticker, const struct lt_layout *layout)
{
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, sticker->number, sticker->side);
	const char level[2] = { lt_qr_level_letter(sticker->symbol.plan.level), '\0' };
	double bundle = sticker->bundle.diameter;
	return json_pack(
		"{s:s, s:s, s:s, s:i, s:s, s:i, s:i, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:s,"
		" s:o}",
		"tag", tag, "layout", layout->name, "payload",
		lt_payload_name(sticker->symbol.payload), "version",
		(int)sticker->symbol.plan.version, "level", level, "modules",
		(int)sticker->symbol.plan.modules, "dots", (int)sticker->symbol.dots, "module",
		rounded(sticker->symbol.module, 1e-4), "code_read_from",
		rounded(lt_sticker_code_distance(sticker), 1), "number_height",
		rounded(sticker->number_height, 1e-2), "number_read_from",
		rounded(lt_sticker_number_distance(sticker), 1), "width",
		rounded(sticker->shape.width, 1e-2), "height", rounded(sticker->shape.height, 1e-2),
		"bundle", bundle > 0 ? rounded(bundle, 1e-2) : json_null(), "bundle_source",
		lt_bundle_source_name(sticker->bundle.source), "bend", rounded(sticker->bend, 1));
}

static void note_placed(void *data, const struct lt_sticker *sticker)
{
	struct run *run = data;
	if (run->figures != NULL) {
		json_array_append_new(run->figures, sticker_json(sticker, run->drawn));
	} else if (run->session->options->explain) {
		struct lt_text line = { 0 };
		if (run->explained++ == 0)
			fputs(lt_sticker_run_words.figures_heading, stdout);
		lt_explain_sticker(&line, sticker, run->drawn);
		lt_print_clean("%s", lt_text_string(&line));
		lt_text_finish(&line);
	}
}

/* Ends the table, or prints the document. */
static int end_explaining(struct run *run)
{
	double distance = run->options.sheet.sticker.distance;
	if (run->figures != NULL)
		return lt_print_json(json_pack("{s:f, s:O}", "distance", distance, "stickers",
			run->figures));
	if (run->session->options->explain) {
		struct lt_text foot = { 0 };
		lt_explain_foot(&foot, distance);
		fputs(lt_text_string(&foot), stdout);
		lt_text_finish(&foot);
	}
	return EXIT_YES;
}

/* The stickers of a part, and how many labels or pages they take. */
static void add_amount(struct lt_text *out, const struct lt_sheet *sheet,
	const struct lt_layout *layout)
{
	if (sheet->apart)
		lt_words_stickers_for(out, sheet->count, layout->name);
	else if (layout->medium == LT_MEDIUM_TAPE)
		lt_words_stickers_on_tape(out, sheet->count, ceil(sheet->length), layout->name);
	else if (layout->medium == LT_MEDIUM_SHEET)
		lt_words_stickers_on_pages(out, sheet->count, sheet->pages, layout->name);
	else
		lt_words_stickers_on_labels(out, sheet->count, sheet->pages, layout->name);
}

/* Which payloads the QR codes have: "facts", or "facts on 20, code on 4". */
static void add_payloads(struct lt_text *out, const struct lt_sheet *sheet)
{
	for (enum lt_payload payload = LT_PAYLOAD_LINK; payload <= LT_PAYLOAD_CODE; payload++) {
		if (sheet->payloads[payload] == 0)
			continue;
		if (out->length > 0)
			lt_text_add(out, ", ");
		if (sheet->payloads[payload] == sheet->count)
			lt_text_add(out, lt_payload_name(payload));
		else
			lt_words_payload_on(out, lt_payload_name(payload),
				sheet->payloads[payload]);
	}
}

static void print_summary(const struct run *run, const struct part *part)
{
	const struct lt_sheet *sheet = &part->sheet;
	struct lt_text amount = { 0 };
	struct lt_text payloads = { 0 };
	struct lt_text summary = { 0 };
	const char *file = part->path != NULL ? lt_sticker_run_words.preview : NULL;
	if (lt_is_file(part->path))
		file = lt_pages_names(&run->session->diags.arena, &part->pages);
	add_amount(&amount, sheet, part->layout);
	add_payloads(&payloads, sheet);
	lt_words_stickers_made(&summary, file, lt_text_string(&amount), lt_text_string(&payloads));
	lt_print_clean("%s\n", lt_text_string(&summary));
	lt_text_finish(&amount);
	lt_text_finish(&payloads);
	lt_text_finish(&summary);
}

static bool open_part(struct run *run, struct part *part, struct lt_canvas **canvas)
{
	struct lt_session *session = run->session;
	const struct lt_layout *layout = part->layout;
	if (!lt_is_file(part->path)) {
		const struct lt_preview_options options = { .columns = lt_terminal_columns(),
			.colour = session->options->colour_out };
		*canvas = &part->preview;
		return lt_preview_create(&part->preview, stdout, run->fonts, &options,
			&session->diags);
	}
	const struct lt_pdf_options pdf = {
		.title = lt_drawing_title(session, lt_sticker_run_words.title),
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
	run->drawn = part->layout;
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

static enum placed place_part(void *data, size_t part)
{
	struct run *run = data;
	struct pages *pages = &run->parts[part].pages;
	if (lt_pages_commit(pages, &run->session->diags))
		return PLACED;
	return pages->placed ? PLACED_IN_PART : PLACED_NOT;
}

/* First what needs room on the disk, then the register, and then the names of the files: a sticker
 * whose number is not in the register would be worse than a number that has no sticker. */
static int commit(struct run *run)
{
	struct lt_diags *diags = &run->session->diags;
	const struct lt_sheet **sheets =
		lt_arena_array(&diags->arena, run->part_count, sizeof(struct lt_sheet *));
	for (size_t i = 0; i < run->part_count; i++) {
		sheets[i] = &run->parts[i].sheet;
		if (!lt_pages_allowed(&run->parts[i].pages, diags))
			return EXIT_SYSTEM;
	}
	for (size_t i = 0; i < run->part_count; i++) {
		if (!lt_pages_prepare(&run->parts[i].pages, diags))
			return EXIT_SYSTEM;
	}
	return lt_place_stickers(run->session, sheets, run->part_count, place_part, run);
}

static int draw(struct run *run)
{
	struct lt_session *session = run->session;
	const struct options *options = session->options;
	if (!lt_document_time(&run->seconds))
		return EXIT_USAGE;
	if (options->json)
		run->figures = json_array();
	int code = EXIT_YES;
	bool paper = lt_is_file(run->parts[0].path);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++)
		code = draw_part(run, &run->parts[i]);
	if (code == EXIT_YES && paper)
		code = commit(run);
	if (code == EXIT_YES)
		code = end_explaining(run);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		lt_doubts_report(&part->sheet.doubts, part->layout,
			run->options.sheet.sticker.distance, &session->diags);
		lt_sheet_report_room(&part->sheet, &session->diags);
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
	run->options.sheet.sticker.bundles =
		lt_harness_bundles(&session->diags.arena, &session->harness);
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
	json_decref(run->figures);
	lt_sticker_options_finish(&run->options);
	lt_fonts_destroy(run->fonts);
	lt_stock_finish(&run->stock);
	lt_stock_finish(&run->known);
	free(run);
}

int lt_write_stickers(struct lt_session *session, const char *path)
{
	bool file = lt_is_file(path);
	const struct options *options = session->options;
	const char *ending = file ? lt_path_extension(path) : "pdf";
	if (file && !lt_output_allowed(path, lt_session_keep(session), &session->diags))
		return lt_session_fail(session, EXIT_SYSTEM);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return lt_usage_error("stickers",
			"-o must be a .pdf or .png file, or - for the terminal, not \"%s\"", path);
	if (path != NULL && !file && options->json)
		return lt_usage_error("stickers", "cannot be used together: --json and -o -");
	struct run *run = lt_alloc(sizeof(*run));
	run->session = session;
	int code = lt_sticker_options_read(&run->options, options, &session->diags);
	if (code == EXIT_YES) {
		run->options.sheet.apart = path != NULL && !file;
		code = with_fonts(run, path);
	}
	if (code == EXIT_YES && file &&
		!lt_alignment_keep(&run->options.alignment, options, &session->diags))
		code = EXIT_SYSTEM;
	run_finish(run);
	return lt_session_fail(session, code);
}

int lt_run_stickers(const struct options *options)
{
	bool paper = lt_is_file(options->output);
	if (options->output == NULL && !options->explain && !options->json)
		return lt_usage_error("stickers",
			"no output file given (-o OUT.pdf, or -o - for the terminal)");
	struct lt_session session;
	int code = lt_session_open(&session, options, paper ? SESSION_WRITES : SESSION_READS);
	if (code == EXIT_YES)
		code = lt_write_stickers(&session, options->output);
	if (code == EXIT_YES && paper)
		lt_session_note_new_register(&session);
	if (code == EXIT_YES && paper && lt_harness_unit_missing(&session.harness) &&
		!options->quiet && !options->json)
		puts(lt_sticker_run_words.no_unit);
	lt_session_finish(&session);
	return code;
}
