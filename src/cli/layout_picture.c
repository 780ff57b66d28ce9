#include <stdio.h>
#include <stdlib.h>

#include "cli/layout_picture.h"
#include "cli/pages.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/sheet.h"

/* Of a picture, where the layout has no head of its own and --dpi was not given. */
#define USUAL_DPI 300u
#define MOST_SCALE 4.0 /* dots of a terminal a mm */
#define LEAST_DPI 72u
#define MOST_DPI 2400u

int lt_show_layout_picture(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_blocks_options blocks = LT_BLOCKS_OPTIONS_INIT;
	blocks.columns = lt_terminal_columns();
	blocks.colour = options->colour_out;
	/* The label's shape counts, and not the sample's code. */
	blocks.scale = MOST_SCALE;
	/* All that is to be said stands above it in words already. */
	struct lt_canvas canvas;
	bool good = lt_blocks_create(&canvas, stdout, fonts, &blocks, diags) &&
		    lt_specimen_draw(&canvas, layout, false, &measure, diags) &&
		    canvas.finish(canvas.data, diags);
	lt_canvas_destroy(&canvas);
	lt_fonts_destroy(fonts);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

static bool draw(struct lt_canvas *canvas, const struct lt_layout *layouts, size_t count,
	bool contact, const struct lt_measure *measure, struct lt_diags *diags)
{
	if (!contact)
		return lt_specimen_draw(canvas, &layouts[0], true, measure, diags);
	const struct lt_layout **pointers = lt_alloc_array(count, sizeof(struct lt_layout *));
	for (size_t i = 0; i < count; i++)
		pointers[i] = &layouts[i];
	bool good = lt_specimen_contact(canvas, pointers, count, measure, diags);
	free(pointers);
	return good;
}

static int write_pages(struct pages *pages, const struct lt_layout *layouts, size_t count,
	bool contact, struct lt_fonts *fonts, bool quiet, struct lt_diags *diags)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	if (!draw(&pages->canvas, layouts, count, contact, &measure, diags) ||
		!lt_pages_commit(pages, diags))
		return EXIT_SYSTEM;
	if (!quiet) {
		char *names = lt_pages_names(pages);
		if (contact)
			lt_print_clean("%s: %zu layout%s at print size\n", names, count,
				count == 1 ? "" : "s");
		else
			lt_print_clean("%s: layout %s at print size\n", names, layouts[0].name);
		free(names);
	}
	return EXIT_YES;
}

int lt_write_layout_pictures(const struct lt_layout *layouts, size_t count, bool contact,
	const struct options *options, struct lt_diags *diags)
{
	unsigned dpi = USUAL_DPI;
	if (!contact && layouts[0].dpi > 0)
		dpi = (unsigned)layouts[0].dpi;
	if (options->dpi != NULL &&
		(!lt_whole_read(&dpi, options->dpi, MOST_DPI) || dpi < LEAST_DPI))
		return lt_usage_error("layouts",
			"--dpi is a whole number from %u to %u, not \"%s\"", LEAST_DPI, MOST_DPI,
			options->dpi);
	struct lt_pdf_options pdf = { .title = "Label layouts" };
	if (!lt_document_time(&pdf.date))
		return EXIT_USAGE;
	if (!contact) {
		pdf.title = lt_arena_printf(&diags->arena, "Label layout %s", layouts[0].name);
		pdf.dpi = layouts[0].dpi;
	}
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const struct pages_options kind = { .pdf = &pdf, .dpi = dpi };
	struct pages pages = { 0 };
	int code = EXIT_SYSTEM;
	/* A layout's own file may be called anything. */
	const char *const keep[] = { options->arguments[0], NULL };
	if (lt_pages_open(&pages, options->output, keep, fonts, &kind, diags))
		code = write_pages(&pages, layouts, count, contact, fonts, options->quiet, diags);
	lt_pages_finish(&pages);
	lt_fonts_destroy(fonts);
	return code;
}
