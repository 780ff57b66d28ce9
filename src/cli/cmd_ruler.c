/* loomtag ruler: a page to hold against blank labels. */
#include <stdio.h>

#include "cli/alignment.h"
#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/folders.h"
#include "cli/terminal.h"
#include "loomtag/sheet.h"
#include "loomtag/words.h"

enum { DEFAULT_DPI = 300 };

static void print_words(const char *path, const struct lt_layout *layout,
	const struct lt_calibration *ruler)
{
	struct lt_text written = { 0 };
	struct lt_text steps = { 0 };
	lt_words_ruler_written(&written, path, layout->name);
	lt_ruler_write(&steps, layout, ruler);
	lt_print_clean("%s\n\n", lt_text_string(&written));
	fputs(lt_text_string(&steps), stdout);
	lt_text_finish(&written);
	lt_text_finish(&steps);
}

/* What is drawn. */
struct ruler {
	struct lt_layout layout;
	struct lt_calibration alignment;
};

static bool draw(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct ruler *ruler = drawing->data;
	return lt_ruler_draw(canvas, &ruler->layout, &ruler->alignment, measure, diags);
}

static int write_ruler(const struct options *options, struct ruler *ruler, double dpi,
	struct lt_diags *diags)
{
	const char *const keep[] = { options->arguments[0], NULL };
	const struct lt_layout *layout = &ruler->layout;
	if (!lt_layout_find(&ruler->layout, options->arguments[0], lt_layout_folders(&diags->arena),
		    diags))
		return EXIT_INPUT;
	if (options->scale != NULL && layout->medium != LT_MEDIUM_SHEET)
		lt_warning(diags, lt_place_none(),
			"--scale only moves the labels of a sheet, and layout %s is not a sheet",
			layout->name);
	if (dpi <= 0)
		dpi = layout->dpi;
	struct lt_text title = { 0 };
	lt_words_ruler_title(&title, layout->name);
	struct drawing drawing = {
		.pdf.title = lt_arena_text(&diags->arena, &title),
		.pdf.dpi = dpi,
		.kind.dpi = dpi > 0 ? dpi : DEFAULT_DPI,
		.keep = keep,
		.data = ruler,
		.draw = draw,
	};
	int code = lt_drawing_write(NULL, options->output, &drawing, diags);
	if (code == EXIT_YES && !options->quiet)
		print_words(options->output, layout, &ruler->alignment);
	return code;
}

/* Writes the page with the moves of this printer, and remembers them for --printer. */
static int aligned(const struct options *options, double dpi, struct lt_diags *diags)
{
	struct ruler ruler = { 0 };
	int code = lt_alignment_read(&ruler.alignment, options, true, "ruler", diags);
	if (code != EXIT_YES)
		return code;
	code = write_ruler(options, &ruler, dpi, diags);
	lt_layout_finish(&ruler.layout);
	if (code == EXIT_YES && !lt_alignment_keep(&ruler.alignment, options, diags))
		return EXIT_SYSTEM;
	return code;
}

int lt_run_ruler(const struct options *options)
{
	double dpi = 0;
	if (options->output == NULL)
		return lt_usage_error("ruler", "no output file given (-o OUT.pdf or OUT.png)");
	const char *ending = lt_path_extension(options->output);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return lt_usage_error("ruler", "-o must be a .pdf or .png file, not \"%s\"",
			options->output);
	if (lt_read_dpi(&dpi, options, LEAST_DPI, "ruler") != EXIT_YES)
		return EXIT_USAGE;
	struct lt_diags diags = { 0 };
	int code = aligned(options, dpi, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
