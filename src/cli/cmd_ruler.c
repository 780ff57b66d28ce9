/* loomtag ruler: a page to hold against blank labels. */
#include <stdio.h>
#include <stdlib.h>

#include "cli/alignment.h"
#include "cli/command.h"
#include "cli/folders.h"
#include "cli/pages.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/sheet.h"

enum { DEFAULT_DPI = 300 };

static void print_words(const char *path, const struct lt_layout *layout,
	const struct lt_calibration *ruler)
{
	struct lt_text words = { 0 };
	lt_ruler_write(&words, layout, ruler);
	lt_print_clean("%s: ruler for layout %s\n\n", path, layout->name);
	fputs(lt_text_string(&words), stdout);
	lt_text_finish(&words);
}

static int write_ruler(const struct options *options, const struct lt_layout *layout,
	const struct lt_calibration *ruler, double dpi, struct lt_diags *diags)
{
	long long seconds;
	if (!lt_document_time(&seconds))
		return EXIT_USAGE;
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const char *const keep[] = { options->arguments[0], NULL };
	const struct lt_measure measure = lt_fonts_measure(fonts);
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&diags->arena, "Ruler for layout %s", layout->name),
		.date = seconds,
		.dpi = dpi,
	};
	const struct pages_options kind = { .pdf = &pdf, .dpi = dpi > 0 ? dpi : DEFAULT_DPI };
	struct pages pages;
	bool good = lt_pages_open(&pages, options->output, keep, fonts, &kind, diags) &&
		    lt_ruler_draw(&pages.canvas, layout, ruler, &measure, diags) &&
		    lt_pages_commit(&pages, diags);
	lt_pages_finish(&pages);
	lt_fonts_destroy(fonts);
	if (good && !options->quiet)
		print_words(options->output, layout, ruler);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

static int with_layout(const struct options *options, const struct lt_calibration *ruler,
	double dpi, struct lt_diags *diags)
{
	struct lt_layout layout;
	int code = EXIT_INPUT;
	if (lt_layout_find(&layout, options->arguments[0], lt_layout_folders(&diags->arena),
		    diags)) {
		if (options->scale != NULL && layout.medium != LT_MEDIUM_SHEET)
			lt_warning(diags, lt_place_none(),
				"--scale moves the labels of a sheet; on layout %s it does nothing",
				layout.name);
		code = write_ruler(options, &layout, ruler, dpi > 0 ? dpi : layout.dpi, diags);
	}
	lt_layout_finish(&layout);
	return code;
}

/* The page as the printer would have it moved; what --printer says of that is remembered. */
static int aligned(const struct options *options, double dpi, struct lt_diags *diags)
{
	struct lt_calibration alignment;
	int code = lt_alignment_read(&alignment, options, true, "ruler", diags);
	if (code != EXIT_YES)
		return code;
	code = with_layout(options, &alignment, dpi, diags);
	if (code == EXIT_YES && !lt_alignment_keep(&alignment, options, diags))
		return EXIT_SYSTEM;
	return code;
}

int lt_run_ruler(const struct options *options)
{
	double dpi = 0;
	if (options->output == NULL)
		return lt_usage_error("ruler",
			"where to write is not said (-o OUT.pdf or OUT.png)");
	const char *ending = lt_path_extension(options->output);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return lt_usage_error("ruler", "-o is a .pdf or a .png, not \"%s\"",
			options->output);
	if (!lt_read_dpi(&dpi, options, "ruler"))
		return EXIT_USAGE;
	struct lt_diags diags;
	lt_diags_init(&diags);
	int code = aligned(options, dpi, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
