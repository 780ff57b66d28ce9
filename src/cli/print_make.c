/* Prepares what is sent to a printer: opens the printer, chooses the layout, draws the stickers. */
#include <errno.h>
#include <gnutls/gnutls.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/folders.h"
#include "cli/password.h"
#include "cli/printing.h"

enum { FILE_DPI = 300 };

static const char *ask_password(void *data, const char *prompt)
{
	struct print *print = data;
	return lt_password(print->typed, sizeof(print->typed), prompt);
}

int lt_print_open_printer(struct print *print)
{
	const struct options *options = print->options;
	if (options->to == NULL)
		return EXIT_YES;
	struct lt_link_options link_options = LT_LINK_OPTIONS_INIT;
	link_options.user = options->user;
	link_options.connect_ms = lt_print_patience(link_options.connect_ms);
	link_options.answer_ms = lt_print_patience(link_options.answer_ms);
	link_options.password = ask_password;
	link_options.may_continue = lt_print_may_continue;
	link_options.data = print;
	link_options.any_certificate = options->any_certificate;
	link_options.certificates = lt_certificate_folder(&print->diags->arena);
	print->link = lt_link_open(options->to, &link_options, print->diags);
	bool good =
		print->link != NULL && lt_link_printer(&print->printer, print->link, print->diags);
	/* The link has a copy. */
	gnutls_memset(print->typed, 0, sizeof(print->typed));
	if (!good)
		return EXIT_SYSTEM;
	if (!print->printer.accepting) {
		lt_error(print->diags, lt_place_none(), "printer %s does not accept jobs",
			options->to);
		lt_hint(print->diags,
			"check that the printer is switched on and that its queue accepts jobs");
		return EXIT_SYSTEM;
	}
	return EXIT_YES;
}

/* PWG Raster where the printer accepts it: its dots are those of the print head. The format of a
 * file follows from its name. */
static bool choose_format(struct print *print)
{
	const char *output = print->options->output;
	const struct lt_printer *printer = &print->printer;
	bool pdf = output != NULL && lt_same_word(lt_path_extension(output), "pdf");
	print->format = pdf ? LT_FORMAT_PDF : LT_FORMAT_PWG;
	print->type = LT_PWG_BLACK_1;
	if (print->link == NULL)
		return true;
	print->type = printer->black_1 ? LT_PWG_BLACK_1 : LT_PWG_SGRAY_8;
	if (output == NULL)
		print->format = printer->pwg ? LT_FORMAT_PWG : LT_FORMAT_PDF;
	bool pwg = print->format == LT_FORMAT_PWG;
	if (pwg ? printer->pwg : printer->pdf)
		return true;
	if (pwg)
		lt_usage_error("print",
			"the printer does not accept PWG Raster: -o must be a .pdf file, not \"%s\"",
			output);
	else
		lt_usage_error("print",
			"the printer does not accept PDF: -o must be a .pwg file, not \"%s\"",
			output);
	return false;
}

/* The layout asked for, by name. */
static bool find_named(struct print *print, const char *const *folders)
{
	size_t index;
	if (!lt_stock_add(&print->stock, &index, print->options->layout, folders, print->diags))
		return false;
	print->layout = &print->stock.layouts[index];
	return print->link == NULL || lt_media_check(&print->printer, print->layout, print->diags);
}

int lt_print_choose_layout(struct print *print)
{
	const struct options *options = print->options;
	const char *const *folders = lt_layout_folders(&print->diags->arena);
	if (!choose_format(print))
		return EXIT_USAGE;
	if (options->layout != NULL) {
		if (!find_named(print, folders))
			return EXIT_INPUT;
	} else if (print->link == NULL) {
		return lt_usage_error("print",
			"no layout given (--layout NAME), and no printer to ask what is loaded "
			"(--to PRINTER)");
	} else {
		lt_stock_add_all(&print->stock, folders);
		const struct lt_layout *found =
			lt_media_layout(&print->printer, &print->stock, print->diags);
		if (found == NULL)
			return EXIT_INPUT;
		print->layout = &print->stock.layouts[found - print->stock.layouts];
	}
	print->dpi = print->layout->dpi > 0 ? (unsigned)lround(print->layout->dpi) : FILE_DPI;
	if (print->link != NULL) {
		print->media = lt_media_fitting(&print->printer, print->layout);
		print->dpi = lt_media_dpi(&print->printer, print->layout,
			print->format == LT_FORMAT_PDF, print->diags);
		if (print->dpi == 0)
			return EXIT_SYSTEM;
	}
	/* Stickers are checked at the resolution at which they are drawn. */
	print->layout->dpi = print->dpi;
	return EXIT_YES;
}

/* Whether pages lie across what the printer has. Those of a tape always do. */
static bool is_turned(const struct print *print)
{
	return print->media != NULL ? lt_media_turned(print->media, print->layout)
				    : print->layout->medium == LT_MEDIUM_TAPE;
}

/* A canvas on print->document. */
struct sheet_canvas {
	struct lt_canvas canvas;
	struct lt_pwg *pwg;
};

static bool open_canvas(struct sheet_canvas *out, struct print *print, unsigned pages)
{
	*out = (struct sheet_canvas){ 0 };
	print->document = tmpfile();
	if (print->document == NULL) {
		lt_error(print->diags, lt_place_none(), "cannot create a temporary file: %s",
			strerror(errno));
		return false;
	}
	if (print->format == LT_FORMAT_PDF) {
		const struct lt_pdf_options pdf = {
			.title = "loomtag", .dpi = print->dpi, .turn = is_turned(print)
		};
		return lt_pdf_create(&out->canvas, print->document, print->fonts, &pdf,
			print->diags);
	}
	out->pwg =
		lt_pwg_create(print->document, print->type, pages, is_turned(print), print->diags);
	if (out->pwg == NULL)
		return false;
	const struct lt_dot_sink sink = lt_pwg_sink(out->pwg);
	return lt_raster_create_dots(&out->canvas, print->dpi, print->fonts, &sink, print->diags);
}

/* Writes what was drawn if `code` is EXIT_YES. Returns the exit code. */
static int close_canvas(struct sheet_canvas *canvas, struct print *print, int code)
{
	if (code == EXIT_YES) {
		bool good = canvas->canvas.finish(canvas->canvas.data, print->diags) &&
			    (canvas->pwg == NULL || lt_pwg_finish(canvas->pwg, print->diags));
		if (good && fflush(print->document) != 0) {
			lt_error(print->diags, lt_place_none(),
				"cannot write the temporary file: %s", strerror(errno));
			good = false;
		}
		rewind(print->document);
		code = good ? EXIT_YES : EXIT_SYSTEM;
	}
	lt_canvas_destroy(&canvas->canvas);
	lt_pwg_destroy(canvas->pwg);
	return code;
}

/* The longest page that the printer accepts, mm; INFINITY where it does not say. */
static double longest_page(const struct print *print)
{
	const struct lt_media_list *ranges = &print->printer.ranges;
	double most = 0;
	for (size_t i = 0; i < ranges->count; i++)
		most = fmax(most, fmax(ranges->items[i].height, ranges->items[i].width));
	return ranges->count > 0 ? most : INFINITY;
}

/* A page longer than that would be cut off. */
static bool is_too_long(const struct print *print)
{
	return print->layout->medium == LT_MEDIUM_TAPE &&
	       print->longest > longest_page(print) + LT_MEDIA_SLACK;
}

static bool check_length(const struct print *print)
{
	if (!is_too_long(print))
		return true;
	lt_error(print->diags, lt_place_none(),
		"a page of tape is %.0f mm long, but the printer accepts at most %.0f mm",
		print->longest, longest_page(print));
	if (print->layout->style == LT_STYLE_FLAG)
		lt_hint(print->diags,
			"use a layout with style plate: it needs no loop round the bundle");
	else
		lt_hint(print->diags, "use a layout with shorter labels");
	return false;
}

/* Assigns the stickers to pages, and draws them. */
static int draw_sheet(struct print *print)
{
	struct lt_session *session = print->session;
	const struct lt_sheet_options *options = &print->wanted.sheet;
	struct sheet_canvas canvas;
	if (!lt_sheet_plan(&print->sheet, print->layout, &session->tags, &session->reg, options,
		    print->diags))
		return EXIT_INPUT;
	print->pages = print->sheet.pages;
	const struct lt_sticker_source source = { &session->tags, session->lookalikes,
		&print->measure };
	int code = open_canvas(&canvas, print, print->pages) ? EXIT_YES : EXIT_SYSTEM;
	if (code == EXIT_YES &&
		!lt_sheet_draw(&print->sheet, &canvas.canvas, &source, options, NULL, print->diags))
		code = print->sheet.canvas_failed ? EXIT_SYSTEM : EXIT_INPUT;
	print->longest = print->sheet.longest;
	return close_canvas(&canvas, print, code);
}

int lt_print_draw_stickers(struct print *print)
{
	struct lt_session *session = print->session;
	struct lt_sheet_options *options = &print->wanted.sheet;
	options->together = (print->printer.trims & LT_TRIM_PAGES) != 0;
	options->sticker.bundles = lt_harness_bundles(&print->diags->arena, &session->harness);
	options->sticker.known = &print->stock;
	if (print->layout->medium == LT_MEDIUM_TAPE)
		print->layout->longest = lt_sheet_longest(print->layout, options->sticker.bundles,
			session->harness.connector_count, longest_page(print));
	int code = draw_sheet(print);
	if (code == EXIT_YES && options->together && is_too_long(print)) {
		/* Use a page for each sticker instead; the printer cuts them apart. */
		options->together = false;
		lt_sheet_finish(&print->sheet);
		fclose(print->document);
		print->document = NULL;
		code = draw_sheet(print);
	}
	if (code == EXIT_YES && !check_length(print))
		code = EXIT_INPUT;
	if (code == EXIT_YES)
		lt_doubts_report(&print->sheet.doubts, print->layout, options->sticker.distance,
			print->diags);
	return code;
}

int lt_print_draw_ladder(struct print *print)
{
	struct lt_ladder ladder;
	struct sheet_canvas canvas;
	int code = EXIT_INPUT;
	/* The longest page of the printer, in half millimetres as strips are cut. */
	double longest = floor(longest_page(print) * 2) / 2;
	if (lt_ladder_plan(&ladder, print->layout, print->dpi, longest, &print->measure,
		    print->diags)) {
		print->pages = ladder.pages;
		print->longest = ladder.width;
		bool good = open_canvas(&canvas, print, ladder.pages) &&
			    lt_ladder_draw(&canvas.canvas, &ladder, &print->measure, print->diags);
		code = close_canvas(&canvas, print, good ? EXIT_YES : EXIT_SYSTEM);
		if (code == EXIT_YES && !check_length(print))
			code = EXIT_INPUT;
	}
	lt_ladder_finish(&ladder);
	return code;
}

/* Copies the document to a file that can be renamed to -o. */
static bool copy_document(struct lt_output *out, struct print *print)
{
	const char *const none[] = { NULL };
	const char *const *keep = print->session != NULL ? lt_session_keep(print->session) : none;
	if (!lt_output_open(out, print->options->output, keep, print->diags))
		return false;
	char block[65536];
	size_t length;
	bool good = true;
	while (good && (length = fread(block, 1, sizeof(block), print->document)) > 0)
		good = fwrite(block, 1, length, out->stream) == length;
	if (ferror(print->document) != 0) {
		lt_error(print->diags, lt_place_none(), "cannot read the temporary file");
		return false;
	}
	/* This reports what could not be written. */
	return lt_output_prepare(out, print->diags);
}

/* The file that can be renamed to -o. */
struct ready {
	struct lt_output output;
	struct lt_diags *diags;
};

static enum placed place(void *data, size_t sheet)
{
	(void)sheet;
	struct ready *ready = data;
	return lt_output_commit(&ready->output, ready->diags) ? PLACED : PLACED_NOT;
}

int lt_print_write(struct print *print)
{
	struct ready ready = { .diags = print->diags };
	const struct lt_sheet *sheet = &print->sheet;
	int code = EXIT_SYSTEM;
	if (copy_document(&ready.output, print)) {
		if (print->session != NULL)
			code = lt_place_stickers(print->session, &sheet, 1, place, &ready);
		else if (place(&ready, 0) == PLACED)
			code = EXIT_YES;
	}
	lt_output_abandon(&ready.output);
	return code;
}

void lt_print_finish(struct print *print)
{
	if (print->document != NULL)
		fclose(print->document);
	lt_sheet_finish(&print->sheet);
	lt_unfinished_finish(&print->left);
	lt_sticker_options_finish(&print->wanted);
	lt_fonts_destroy(print->fonts);
	lt_stock_finish(&print->stock);
	lt_printer_finish(&print->printer);
	lt_link_close(print->link);
	gnutls_memset(print->typed, 0, sizeof(print->typed));
	free(print->record_path);
}
