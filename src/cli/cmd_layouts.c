/* loomtag layouts: list label layouts, show one, or find the faults of one. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/alignment.h"
#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/folders.h"
#include "cli/terminal.h"
#include "loomtag/sheet.h"
#include "loomtag/words.h"

/* Of a picture, where the layout has no head of its own and --dpi was not given. */
#define USUAL_DPI 300.0
#define MOST_SCALE 4.0        /* dots of a terminal a mm */
#define LEAST_PICTURE_DPI 72u /* of one that was given */

/* Layouts that could be read. */
struct shelf {
	struct lt_layout *items;
	size_t count;
};

/* Reads one layout onto the shelf, which has room for it. */
static bool shelve(struct shelf *shelf, const char *name, const char *const *folders,
	struct lt_diags *diags)
{
	struct lt_layout *layout = &shelf->items[shelf->count];
	bool good = lt_layout_find(layout, name, folders, diags);
	if (good)
		shelf->count++;
	else
		lt_layout_finish(layout);
	return good;
}

enum { NAME, SIZE, KIND, STYLE, HEAD, BUNDLES, LABELS, COLUMNS };

static void fill_row(const char *row[COLUMNS], struct lt_arena *arena,
	const struct lt_layout *layout)
{
	char bundles[LT_BUNDLES_SIZE];
	row[NAME] = layout->name;
	row[SIZE] = lt_layout_size(arena, layout);
	row[KIND] = lt_layout_kind(layout);
	row[STYLE] = lt_layout_style(layout);
	row[HEAD] = layout->dpi > 0 ? lt_arena_printf(arena, "%g dpi", layout->dpi)
				    : lt_layout_table_words.any_head;
	row[BUNDLES] = lt_arena_strdup(arena, lt_layout_bundle_words(bundles, layout));
	row[LABELS] = "";
	if (layout->medium == LT_MEDIUM_SHEET)
		row[LABELS] = lt_arena_printf(arena, "%u", lt_layout_labels(layout));
}

static void print_table(const struct shelf *shelf, struct lt_arena *arena)
{
	const struct lt_layout_table_words *words = &lt_layout_table_words;
	const char *const heads[COLUMNS] = { words->layout, words->size, words->kind, words->style,
		words->head, words->bundles, words->labels_a_page };
	const char *(*rows)[COLUMNS] = lt_arena_array(arena, shelf->count + 1, sizeof(*rows));
	size_t widths[COLUMNS] = { 0 };
	memcpy(rows[0], heads, sizeof(heads));
	for (size_t i = 0; i < shelf->count; i++)
		fill_row(rows[i + 1], arena, &shelf->items[i]);
	for (size_t i = 0; i <= shelf->count; i++) {
		for (size_t k = 0; k < COLUMNS; k++) {
			size_t width = lt_utf8_columns(rows[i][k]);
			widths[k] = width > widths[k] ? width : widths[k];
		}
	}
	for (size_t i = 0; i <= shelf->count; i++) {
		struct lt_text line = { 0 };
		for (size_t k = 0; k < COLUMNS; k++) {
			lt_text_add(&line, rows[i][k]);
			lt_text_add_times(&line, ' ', widths[k] + 2 - lt_utf8_columns(rows[i][k]));
		}
		while (line.length > 0 && line.bytes[line.length - 1] == ' ')
			line.bytes[--line.length] = '\0';
		puts(lt_text_string(&line));
		lt_text_finish(&line);
	}
}

/* null where `there` is not so. */
static json_t *number_json(bool there, double value)
{
	return there ? json_real(value) : json_null();
}

static json_t *size_json(bool there, double width, double height)
{
	if (!there)
		return json_null();
	return json_pack("{s:o, s:o}", "width", number_json(width > 0, width), "height",
		number_json(height > 0, height));
}

/* All sizes of a layout; what it does not have is null. */
static json_t *layout_json(const struct lt_layout *layout)
{
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	bool flag = layout->style == LT_STYLE_FLAG;
	bool wrap = layout->style == LT_STYLE_WRAP;
	struct lt_range range = lt_layout_bundles(layout);
	return json_pack(
		"{s:s, s:s, s:s, s:s, s:o, s:f, s:f, s:o, s:i, s:o, s:i, s:i, s:o, s:o, s:o,"
		" s:o, s:o, s:o, s:o, s:s?, s:o, s:s?, s:{s:f, s:o}}",
		"name", layout->name, "title", layout->title, "kind", lt_layout_kind(layout),
		"style", lt_layout_style(layout), "label",
		size_json(true, layout->label_width, layout->label_height), "inset", layout->inset,
		"corner", layout->corner, "dpi", number_json(layout->dpi > 0, layout->dpi),
		"labels", (int)lt_layout_labels(layout), "page",
		size_json(layout->medium == LT_MEDIUM_SHEET, layout->page_width,
			layout->page_height),
		"columns", (int)layout->columns, "rows", (int)layout->rows, "gap",
		number_json(layout->medium == LT_MEDIUM_ROLL, layout->gap), "shortest",
		number_json(tape, layout->shortest), "longest", number_json(tape, layout->longest),
		"face", size_json(flag, layout->face_width, layout->label_height), "loop",
		number_json(flag, layout->loop), "printed",
		size_json(wrap, layout->printed_width, layout->printed_height), "clear",
		size_json(wrap, layout->clear_width, layout->clear_height), "direction",
		wrap ? lt_layout_direction(layout) : NULL, "thickness",
		number_json(wrap, layout->thickness), "cut",
		layout->medium == LT_MEDIUM_SHEET ? lt_layout_cut(layout) : NULL, "bundle", "least",
		range.least, "most", number_json(!isinf(range.most), range.most));
}

static int print_shelf_json(const struct shelf *shelf)
{
	json_t *list = json_array();
	for (size_t i = 0; i < shelf->count; i++)
		json_array_append_new(list, layout_json(&shelf->items[i]));
	return lt_print_json(list);
}

/* Draws one layout on standard output. */
static int show_picture(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_preview_options blocks = LT_PREVIEW_OPTIONS_INIT;
	blocks.columns = lt_terminal_columns();
	blocks.colour = options->colour_out;
	/* The label's shape counts, and not the sample's code. */
	blocks.scale = MOST_SCALE;
	/* The description above it has all the words. */
	struct lt_canvas canvas;
	bool good = lt_preview_create(&canvas, stdout, fonts, &blocks, diags) &&
		    lt_specimen_draw(&canvas, layout, false, &measure, diags) &&
		    canvas.finish(canvas.data, diags);
	lt_canvas_destroy(&canvas);
	lt_fonts_destroy(fonts);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

static bool draw_one(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct shelf *shelf = drawing->data;
	return lt_specimen_draw(canvas, &shelf->items[0], true, measure, diags);
}

static bool draw_all(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct shelf *shelf = drawing->data;
	return lt_specimen_contact(canvas, shelf->items, shelf->count, measure, diags);
}

/* Draws into options->output: one layout by itself, or all on a contact sheet. At least one. */
static int write_pictures(struct shelf *shelf, bool all, const struct options *options,
	struct lt_diags *diags)
{
	const struct lt_layout *first = &shelf->items[0];
	double dpi = !all && first->dpi > 0 ? first->dpi : USUAL_DPI;
	if (lt_read_dpi(&dpi, options, LEAST_PICTURE_DPI, "layouts") != EXIT_YES)
		return EXIT_USAGE;
	/* A layout's own file may be called anything. */
	const char *const keep[] = { options->arguments[0], NULL };
	struct drawing drawing = {
		.pdf.title = lt_specimen_words.title,
		.kind.dpi = dpi,
		.keep = keep,
		.data = shelf,
		.draw = all ? draw_all : draw_one,
	};
	if (!all) {
		struct lt_text title = { 0 };
		lt_words_specimen_title(&title, first->name);
		drawing.pdf.title = lt_arena_text(&diags->arena, &title);
		drawing.pdf.dpi = first->dpi;
	}
	const char *names;
	int code = lt_drawing_write(&names, options->output, &drawing, diags);
	if (code != EXIT_YES || options->quiet)
		return code;
	struct lt_text drawn = { 0 };
	if (all)
		lt_words_layouts_drawn(&drawn, names, shelf->count);
	else
		lt_words_layout_drawn(&drawn, names, first->name);
	lt_print_clean("%s\n", lt_text_string(&drawn));
	lt_text_finish(&drawn);
	return code;
}

/* As a description, then as a drawing. */
static int show_layout(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags)
{
	struct lt_text description = { 0 };
	lt_layout_describe(&description, layout);
	fputs(lt_text_string(&description), stdout);
	lt_text_finish(&description);
	return options->quiet ? EXIT_YES : show_picture(layout, options, diags);
}

/* Shows what is on the shelf in the way that was asked for. */
static int show_shelf(struct shelf *shelf, const struct options *options, struct lt_diags *diags)
{
	bool all = options->argument_count == 0;
	if (options->json)
		return print_shelf_json(shelf);
	if (lt_is_file(options->output) && shelf->count > 0)
		return write_pictures(shelf, all, options, diags);
	if (all && shelf->count > 0)
		print_table(shelf, &diags->arena);
	else if (shelf->count == 1)
		return show_layout(&shelf->items[0], options, diags);
	return EXIT_YES;
}

/* Lists all layouts, or shows the one that is named. */
static int list_layouts(const struct options *options, struct lt_diags *diags)
{
	const char *const *folders = lt_layout_folders(&diags->arena);
	size_t count = 1;
	const char *const named[] = { options->arguments[0] };
	const char *const *names = named;
	if (options->argument_count == 0)
		names = lt_layout_names(&count, &diags->arena, folders);
	if (count == 0)
		lt_layout_none(folders, diags);
	struct shelf shelf = { lt_alloc_array(count + 1, sizeof(struct lt_layout)), 0 };
	bool good = count > 0;
	for (size_t i = 0; i < count; i++)
		good = shelve(&shelf, names[i], folders, diags) && good;
	int code = good ? EXIT_YES : EXIT_INPUT;
	int shown = show_shelf(&shelf, options, diags);
	code = shown != EXIT_YES ? shown : code;
	for (size_t i = 0; i < shelf.count; i++)
		lt_layout_finish(&shelf.items[i]);
	free(shelf.items);
	return code;
}

/* EXIT_YES, EXIT_NO when it has errors, EXIT_INPUT when it cannot be read. */
static int check_layout(const char *path, const struct options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	char *bytes = NULL;
	size_t length = 0;
	if (!lt_file_read(&bytes, &length, path, LT_LAYOUT_FILE_MAX, diags))
		return EXIT_INPUT;
	struct lt_layout layout = { 0 };
	size_t errors = diags->errors;
	size_t warnings = diags->warnings;
	bool good = lt_layout_check(&layout, path, bytes, length, measure, diags);
	lt_layout_finish(&layout);
	free(bytes);
	if (!options->json && !options->quiet) {
		struct lt_text checked = { 0 };
		lt_words_layout_checked(&checked, path, diags->errors - errors,
			diags->warnings - warnings);
		lt_print_clean("%s\n", lt_text_string(&checked));
		lt_text_finish(&checked);
	}
	return good ? EXIT_YES : EXIT_NO;
}

static int check_layouts(const struct options *options, struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const char *const *folders = lt_layout_folders(&diags->arena);
	const struct lt_measure measure = lt_fonts_measure(fonts);
	int code = EXIT_YES;
	for (int i = 0; i < options->argument_count; i++) {
		const char *name = options->arguments[i];
		const char *path = lt_layout_path(&diags->arena, name, folders);
		int found = check_layout(path != NULL ? path : name, options, &measure, diags);
		/* A layout that cannot be read weighs more than one with faults. */
		code = found > code ? found : code;
	}
	lt_fonts_destroy(fonts);
	lt_diags_sort(diags);
	if (options->json) {
		int printed = lt_print_json(json_pack("{s:b, s:o}", "ok", diags->errors == 0,
			"diagnostics", lt_diags_json(diags)));
		code = printed != EXIT_YES ? printed : code;
	}
	return code;
}

/* Checks the options against each other. Returns the exit code after reporting those that cannot be
 * used together. */
static int check_options(const struct options *options)
{
	if (options->check && options->argument_count == 0)
		return lt_usage_error("layouts", "--check needs the file of a layout");
	if (!options->check && options->argument_count > 1)
		return lt_usage_error("layouts",
			"layouts shows one layout at a time, and %d were given",
			options->argument_count);
	if (options->output == NULL)
		return EXIT_YES;
	const char *ending = lt_path_extension(options->output);
	if (options->check || options->json)
		return lt_usage_error("layouts", "cannot be used together: -o and %s",
			options->check ? "--check" : "--json");
	if (!lt_is_file(options->output) && options->argument_count == 0)
		return lt_usage_error("layouts", "-o - needs the name of a layout");
	if (lt_is_file(options->output) && !lt_same_word(ending, "pdf") &&
		!lt_same_word(ending, "png"))
		return lt_usage_error("layouts",
			"-o must be a .pdf or .png file, or - for the terminal, not \"%s\"",
			options->output);
	return EXIT_YES;
}

int lt_run_layouts(const struct options *options)
{
	int code = check_options(options);
	if (code != EXIT_YES)
		return code;
	struct lt_diags diags = { 0 };
	code = options->check ? check_layouts(options, &diags) : list_layouts(options, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
