/* loomtag ruler: a page to hold against blank labels. */
#include <stdio.h>
#include <stdlib.h>

#include "command.h"
#include "folders.h"
#include "loomtag/calibration.h"
#include "loomtag/font.h"
#include "loomtag/length.h"
#include "loomtag/ruler.h"
#include "pages.h"
#include "session.h"
#include "sticker_options.h"

enum { DEFAULT_DPI = 300, LEAST_DPI = 100, MOST_DPI = 2400 };

static bool read_options(struct lt_ruler_options *ruler, unsigned *dpi,
	const struct options *options)
{
	*ruler = (struct lt_ruler_options)LT_RULER_OPTIONS_INIT;
	*dpi = 0;
	if (options->nudge != NULL && !read_two_numbers(&ruler->nudge_x, &ruler->nudge_y,
					      options->nudge, -LT_NUDGE_MAX, LT_NUDGE_MAX)) {
		usage_error("ruler", "--nudge is two numbers of mm, such as 0.5,-1, not \"%s\"",
			options->nudge);
		return false;
	}
	if (options->scale != NULL && !read_two_numbers(&ruler->scale_x, &ruler->scale_y,
					      options->scale, LT_SCALE_LEAST, LT_SCALE_MOST)) {
		usage_error("ruler",
			"--scale is two factors from %g to %g, such as 1.004,0.998, not \"%s\"",
			LT_SCALE_LEAST, LT_SCALE_MOST, options->scale);
		return false;
	}
	if (options->dpi != NULL &&
		(!lt_whole_read(dpi, options->dpi, MOST_DPI) || *dpi < LEAST_DPI)) {
		usage_error("ruler", "--dpi is a whole number from %d to %d, not \"%s\"", LEAST_DPI,
			MOST_DPI, options->dpi);
		return false;
	}
	return true;
}

static void print_words(const char *path, const struct lt_layout *layout,
	const struct lt_ruler_options *ruler)
{
	struct lt_text words = { 0 };
	lt_ruler_write(&words, layout, ruler);
	printf("%s: ruler for layout %s\n\n%s", path, layout->name, lt_text_string(&words));
	lt_text_finish(&words);
}

static int write_ruler(const struct options *options, const struct lt_layout *layout,
	const struct lt_ruler_options *ruler, double dpi, struct lt_diags *diags)
{
	long long seconds;
	if (!document_time(&seconds))
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
	struct pages pages;
	bool good = pages_open(&pages, options->output, keep, fonts, &pdf,
			    dpi > 0 ? dpi : DEFAULT_DPI, diags) &&
		    lt_ruler_draw(&pages.canvas, layout, ruler, &measure, diags) &&
		    pages_commit(&pages, diags);
	pages_finish(&pages);
	lt_fonts_destroy(fonts);
	if (good && !options->quiet)
		print_words(options->output, layout, ruler);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

static int with_layout(const struct options *options, const struct lt_ruler_options *ruler,
	unsigned dpi, struct lt_diags *diags)
{
	struct lt_layout layout;
	int code = EXIT_INPUT;
	if (lt_layout_find(&layout, options->arguments[0], layout_folders(&diags->arena), diags)) {
		if (options->scale != NULL && layout.medium != LT_MEDIUM_SHEET)
			lt_warning(diags, lt_place_none(),
				"--scale moves the labels of a sheet; on layout %s it does nothing",
				layout.name);
		code = write_ruler(options, &layout, ruler, dpi > 0 ? dpi : layout.dpi, diags);
	}
	lt_layout_finish(&layout);
	return code;
}

int run_ruler(const struct options *options)
{
	struct lt_ruler_options ruler;
	unsigned dpi;
	if (options->output == NULL)
		return usage_error("ruler", "where to write is not said (-o OUT.pdf or OUT.png)");
	const char *ending = lt_path_extension(options->output);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return usage_error("ruler", "-o is a .pdf or a .png, not \"%s\"", options->output);
	if (!read_options(&ruler, &dpi, options))
		return EXIT_USAGE;
	struct lt_diags diags;
	lt_diags_init(&diags);
	int code = with_layout(options, &ruler, dpi, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
