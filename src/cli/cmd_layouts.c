/* loomtag layouts: list label layouts, or show one. */
#include <stdio.h>

#include "command.h"
#include "loomtag/layout.h"
#include "sticker_run.h"

static void print_long(const struct lt_layout *layout)
{
	printf("%s: %s\n", layout->name, layout->title != NULL ? layout->title : "");
	printf("  label   %g x %g mm, unprintable edge %g mm\n", layout->label_width,
		layout->label_height, layout->inset);
	if (layout->medium == LT_MEDIUM_SHEET)
		printf("  sheet   %g x %g mm, %u x %u labels, first at %g, %g mm, pitch %g x %g mm\n",
			layout->page_width, layout->page_height, layout->columns, layout->rows,
			layout->first_x, layout->first_y, layout->pitch_x, layout->pitch_y);
	else
		printf("  roll    gap %g mm, head %g dpi\n", layout->gap, layout->dpi);
}

static bool show_layout(const char *name, const char *const *folders, bool whole,
	struct lt_diags *diags)
{
	struct lt_layout layout = { 0 };
	bool good = lt_layout_find(&layout, name, folders, diags);
	if (good && whole)
		print_long(&layout);
	else if (good)
		printf("%-14s %s\n", layout.name, layout.title != NULL ? layout.title : "");
	lt_layout_finish(&layout);
	return good;
}

int run_layouts(const struct options *options)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	const char *const *folders = layout_folders(&diags.arena);
	bool good = true;
	if (options->argument_count == 1) {
		good = show_layout(options->arguments[0], folders, true, &diags);
	} else {
		size_t count;
		const char **names = lt_layout_names(&count, &diags.arena, folders);
		for (size_t i = 0; i < count; i++)
			good = show_layout(names[i], folders, false, &diags) && good;
	}
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return good ? EXIT_YES : EXIT_INPUT;
}
