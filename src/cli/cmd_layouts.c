/* loomtag layouts: list label layouts, show one, or find the faults of one. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/diags_json.h"
#include "cli/layout_picture.h"
#include "cli/layout_words.h"
#include "cli/session.h"
#include "cli/sticker_run.h"
#include "cli/terminal.h"
#include "loomtag/draw.h"

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

static void fill_row(struct lt_text row[COLUMNS], const struct lt_layout *layout)
{
	struct lt_range range = lt_layout_bundles(layout);
	lt_text_add(&row[NAME], layout->name);
	lt_layout_size(&row[SIZE], layout);
	lt_text_add(&row[KIND], lt_layout_kind(layout));
	lt_text_add(&row[STYLE], lt_layout_style(layout));
	if (layout->dpi > 0)
		lt_text_printf(&row[HEAD], "%g dpi", layout->dpi);
	else
		lt_text_add(&row[HEAD], "any");
	lt_range_write(&row[BUNDLES], &range);
	if (layout->medium == LT_MEDIUM_SHEET)
		lt_text_printf(&row[LABELS], "%u", lt_layout_labels(layout));
}

static void print_row(struct lt_text row[COLUMNS], const size_t widths[COLUMNS])
{
	struct lt_text line = { 0 };
	for (size_t i = 0; i < COLUMNS; i++) {
		const char *cell = lt_text_string(&row[i]);
		lt_text_add(&line, cell);
		/* Nothing behind the last cell of a line. */
		bool last = true;
		for (size_t k = i + 1; k < COLUMNS; k++)
			last = last && row[k].length == 0;
		if (last)
			break;
		lt_text_add_times(&line, ' ', widths[i] + 2 - lt_utf8_columns(cell));
	}
	puts(lt_text_string(&line));
	lt_text_finish(&line);
}

static void print_table(const struct shelf *shelf)
{
	static const char *const heads[COLUMNS] = { "layout", "size", "kind", "style", "head",
		"bundles", "a page" };
	struct lt_text(*rows)[COLUMNS] = lt_alloc_array(shelf->count + 1, sizeof(*rows));
	memset(rows, 0, (shelf->count + 1) * sizeof(*rows));
	size_t widths[COLUMNS] = { 0 };
	for (size_t i = 0; i < COLUMNS; i++)
		lt_text_add(&rows[0][i], heads[i]);
	for (size_t i = 0; i < shelf->count; i++)
		fill_row(rows[i + 1], &shelf->items[i]);
	for (size_t i = 0; i <= shelf->count; i++) {
		for (size_t k = 0; k < COLUMNS; k++) {
			size_t width = lt_utf8_columns(lt_text_string(&rows[i][k]));
			widths[k] = width > widths[k] ? width : widths[k];
		}
	}
	for (size_t i = 0; i <= shelf->count; i++) {
		print_row(rows[i], widths);
		for (size_t k = 0; k < COLUMNS; k++)
			lt_text_finish(&rows[i][k]);
	}
	free(rows);
}

static int print_shelf_json(const struct shelf *shelf)
{
	json_t *list = json_array();
	for (size_t i = 0; i < shelf->count; i++)
		json_array_append_new(list, lt_layout_json(&shelf->items[i]));
	return lt_print_json(list);
}

/* In words, then as a drawing. */
static int show_layout(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags)
{
	struct lt_text words = { 0 };
	lt_layout_words(&words, layout);
	fputs(lt_text_string(&words), stdout);
	lt_text_finish(&words);
	return options->quiet ? EXIT_YES : lt_show_layout_picture(layout, options, diags);
}

/* True when the layouts are to be drawn into a file. */
static bool is_picture(const struct options *options)
{
	return options->output != NULL && strcmp(options->output, "-") != 0;
}

/* Says what is on the shelf in the way that was asked for. */
static int tell(const struct shelf *shelf, const struct options *options, struct lt_diags *diags)
{
	bool all = options->argument_count == 0;
	if (options->json)
		return print_shelf_json(shelf);
	if (is_picture(options) && shelf->count > 0)
		return lt_write_layout_pictures(shelf->items, shelf->count, all, options, diags);
	if (all && shelf->count > 0)
		print_table(shelf);
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
	int told = tell(&shelf, options, diags);
	code = told != EXIT_YES ? told : code;
	for (size_t i = 0; i < shelf.count; i++)
		lt_layout_finish(&shelf.items[i]);
	free(shelf.items);
	return code;
}

/* The file of a layout that was given by path or by name; from the diagnostics' arena. */
static const char *layout_path(const char *name, struct lt_diags *diags)
{
	bool plain = strchr(name, '/') == NULL && !lt_same_word(lt_path_extension(name), "yaml");
	const char *const *folders = lt_layout_folders(&diags->arena);
	for (size_t i = 0; plain && name[0] != '\0' && folders[i] != NULL; i++) {
		char *path = lt_arena_printf(&diags->arena, "%s/%s.yaml", folders[i], name);
		if (access(path, F_OK) == 0)
			return path;
	}
	return name;
}

/* EXIT_YES, EXIT_NO when it has errors, EXIT_INPUT when it cannot be read. */
static int check_layout(const char *path, const struct options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	char *bytes = NULL;
	size_t length = 0;
	if (!lt_file_read(&bytes, &length, path, LT_LAYOUT_FILE_MAX, diags))
		return EXIT_INPUT;
	struct lt_layout layout;
	size_t errors = diags->errors;
	size_t warnings = diags->warnings;
	bool good = lt_layout_check(&layout, path, bytes, length, measure, diags);
	lt_layout_finish(&layout);
	free(bytes);
	if (!options->json && !options->quiet) {
		errors = diags->errors - errors;
		warnings = diags->warnings - warnings;
		lt_print_clean("%s: %zu error%s, %zu warning%s\n", path, errors,
			errors == 1 ? "" : "s", warnings, warnings == 1 ? "" : "s");
	}
	return good ? EXIT_YES : EXIT_NO;
}

static int check_layouts(const struct options *options, struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return EXIT_SYSTEM;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	int code = EXIT_YES;
	for (int i = 0; i < options->argument_count; i++) {
		const char *path = layout_path(options->arguments[i], diags);
		int found = check_layout(path, options, &measure, diags);
		/* What could not be looked at weighs more than what has faults. */
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

/* False after saying which options do not go together. */
static bool may_draw(const struct options *options)
{
	if (options->output == NULL)
		return true;
	const char *ending = lt_path_extension(options->output);
	if (options->check || options->json)
		lt_usage_error("layouts", "-o draws pictures, and %s does not go with it",
			options->check ? "--check" : "--json");
	else if (!is_picture(options) && options->argument_count == 0)
		lt_usage_error("layouts", "-o - draws one layout, which is to be named");
	else if (is_picture(options) && !lt_same_word(ending, "pdf") &&
		 !lt_same_word(ending, "png"))
		lt_usage_error("layouts",
			"-o is a .pdf or a .png, or - for the terminal, not \"%s\"",
			options->output);
	else
		return true;
	return false;
}

int lt_run_layouts(const struct options *options)
{
	if (options->check && options->argument_count == 0)
		return lt_usage_error("layouts", "--check wants the file of a layout");
	if (!options->check && options->argument_count > 1)
		return lt_usage_error("layouts", "one layout is shown at a time, and %d were given",
			options->argument_count);
	if (!may_draw(options))
		return EXIT_USAGE;
	struct lt_diags diags;
	lt_diags_init(&diags);
	int code = options->check ? check_layouts(options, &diags) : list_layouts(options, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return code;
}
