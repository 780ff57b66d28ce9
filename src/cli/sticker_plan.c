/* Which layout each sticker goes on, and in which file. */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/folders.h"
#include "cli/sticker_plan.h"
#include "loomtag/base.h"

/* Which layout the stickers of a side go on. */
static const char *layout_wanted(const struct options *options, enum lt_side side)
{
	const char *own = side == LT_SIDE_H ? options->layout_h : options->layout_m;
	if (own != NULL)
		return own;
	if (options->layout != NULL)
		return options->layout;
	/* Whoever gives --stock wants it to be used. */
	bool all = options->layout_h == NULL && options->layout_m == NULL;
	return options->stock != NULL && all ? "auto" : DEFAULT_LAYOUT;
}

static bool is_auto(const struct options *options, enum lt_side side)
{
	return strcmp(layout_wanted(options, side), "auto") == 0;
}

static bool any_auto(const struct options *options)
{
	return is_auto(options, LT_SIDE_H) || is_auto(options, LT_SIDE_M);
}

/* Loads what the options name: --stock, and a layout for each side. */
static int load_stock(struct run *run)
{
	const struct options *options = run->session->options;
	struct lt_diags *diags = &run->session->diags;
	const char *const *folders = lt_layout_folders(&diags->arena);
	if (any_auto(options) != (options->stock != NULL))
		return options->stock == NULL
			       ? lt_usage_error(options->command,
					 "--layout auto needs --stock, for example --stock "
					 "a4-3x8,tape-12")
			       : lt_usage_error(options->command, "--stock is not used: give auto "
								  "with --layout, --layout-h or "
								  "--layout-m");
	if (options->stock != NULL &&
		!lt_stock_add_list(&run->stock, options->stock, folders, diags))
		return EXIT_INPUT;
	run->choosable = run->stock.count;
	bool round = any_auto(options);
	for (enum lt_side side = 0; side < LT_SIDE_COUNT; side++) {
		size_t *of_side = &run->of_side[side];
		if (is_auto(options, side))
			continue;
		if (!lt_stock_add(&run->stock, of_side, layout_wanted(options, side), folders,
			    diags))
			return EXIT_INPUT;
		round = round || run->stock.layouts[*of_side].style != LT_STYLE_PLATE;
	}
	if (round)
		lt_stock_add_all(&run->known, folders);
	return EXIT_YES;
}

/* What is drawn at a resolution that is not the layout's is placed and judged at that one: dots are
 * what a code is read by. A PDF of a sheet goes to a printer that is not known. */
static void set_resolution(struct run *run, const char *path)
{
	bool png = lt_is_file(path) && lt_same_word(lt_path_extension(path), "png");
	for (size_t i = 0; i < run->stock.count; i++) {
		struct lt_layout *layout = &run->stock.layouts[i];
		if (run->options.dpi > 0)
			layout->dpi = run->options.dpi;
		else if (png && layout->dpi <= 0)
			layout->dpi = DEFAULT_DPI;
	}
}

/* Chooses the layout of every sticker. */
static bool choose_layouts(struct run *run)
{
	struct lt_session *session = run->session;
	size_t connectors = session->harness.connector_count;
	run->choice = lt_alloc_array(connectors + 1, LT_SIDE_COUNT);
	unsigned sides = 0;
	for (enum lt_side side = 0; side < LT_SIDE_COUNT; side++) {
		if (is_auto(session->options, side))
			sides |= 1u << side;
		for (size_t i = 0; i < connectors; i++)
			run->choice[i * LT_SIDE_COUNT + side] =
				(sides & 1u << side) != 0 ? LT_STOCK_NONE
							  : (unsigned char)run->of_side[side];
	}
	const struct lt_stock_wish wish = { sides, run->choosable, run->options.sheet.only };
	const struct lt_sticker_source source = { &session->tags, session->lookalikes,
		&run->measure };
	return sides == 0 || lt_stock_choose(run->choice, &run->stock, &wish, &source,
				     &run->options.sheet.sticker, &session->diags);
}

/* OUT-WHAT.pdf for OUT.pdf. */
static const char *path_with(struct run *run, const char *path, const char *what)
{
	const char *ending = lt_path_extension(path);
	return lt_arena_printf(&run->session->diags.arena, "%.*s-%s.%s",
		(int)(strlen(path) - strlen(ending) - 1), path, what, ending);
}

/* The file of a part: with one part alone the one that was asked for; else called by the side, or
 * by the layout where sides are mixed. */
static const char *path_of_part(struct run *run, const char *path, size_t layout)
{
	if (!lt_is_file(path) || run->stock.count == 1)
		return path;
	if (any_auto(run->session->options))
		return path_with(run, path, run->stock.layouts[layout].name);
	return path_with(run, path, layout == run->of_side[LT_SIDE_H] ? "h" : "m");
}

/* --start and --used are only for one sheet: there must be just one. */
static int read_used(struct run *run)
{
	const struct options *options = run->session->options;
	/* A preview shows labels one by one, whichever of a sheet they are. */
	if ((options->start == NULL && options->used == NULL) || run->options.sheet.apart)
		return EXIT_YES;
	if (options->start != NULL && options->used != NULL)
		return lt_usage_error(options->command, "cannot be used together: --start and "
							"--used");
	const char *name = options->start != NULL ? "--start" : "--used";
	struct part *sheet = NULL;
	for (size_t i = 0; i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		if (part->layout->medium != LT_MEDIUM_SHEET)
			continue;
		if (sheet != NULL)
			return lt_usage_error(options->command,
				"%s is only for one sheet, and there are two: %s and %s", name,
				sheet->layout->name, part->layout->name);
		sheet = part;
	}
	if (sheet == NULL)
		return lt_usage_error(options->command,
			"%s is only for a sheet, and layout %s is not a sheet", name,
			run->parts[0].layout->name);
	sheet->options.start = run->options.sheet.start;
	return lt_sticker_options_used(&sheet->options, sheet->layout, options,
		&run->session->diags);
}

/* Which layouts are wanted by a sticker that is asked for. */
static void find_wanted(bool wanted[LT_STOCK_MAX], const struct run *run)
{
	const struct lt_tags *tags = &run->session->tags;
	for (size_t i = 0; i < tags->harness->connector_count; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_selected_sides(sides, run->options.sheet.only, tags, i);
		for (size_t k = 0; k < count; k++) {
			unsigned char index = run->choice[i * LT_SIDE_COUNT + sides[k]];
			if (index != LT_STOCK_NONE)
				wanted[index] = true;
		}
	}
}

/* Makes a part of every layout that is wanted by some sticker, and gives its stickers places. */
static int plan_parts(struct run *run, const char *path)
{
	struct lt_session *session = run->session;
	run->parts = lt_alloc_array(run->stock.count, sizeof(*run->parts));
	bool wanted[LT_STOCK_MAX] = { false };
	find_wanted(wanted, run);
	for (size_t i = 0; i < run->stock.count; i++) {
		if (!wanted[i])
			continue;
		struct part *part = &run->parts[run->part_count++];
		*part = (struct part){ .layout = &run->stock.layouts[i],
			.options = run->options.sheet };
		part->path = path_of_part(run, path, i);
		part->options.start = 1;
		part->options.medium = (unsigned)i;
		part->options.choice = run->stock.count > 1 ? run->choice : NULL;
	}
	if (run->part_count == 0) {
		lt_error(&session->diags, lt_place_file(session->path),
			"there is no sticker to print");
		lt_hint(&session->diags,
			"remove \"tag: paper\" or \"tag: none\" from connectors that need stickers");
		return EXIT_INPUT;
	}
	int code = read_used(run);
	bool good = true;
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		good = lt_sheet_plan(&part->sheet, part->layout, &session->tags, &session->reg,
			       &part->options, &session->diags) &&
		       good;
		lt_sheet_warn_of_moves(&part->options, part->layout, &session->diags);
	}
	if (code != EXIT_YES)
		return code;
	return good ? EXIT_YES : EXIT_INPUT;
}

/* Files that were read may not be overwritten. */
static void list_kept(struct run *run)
{
	const char *const *own = lt_session_keep(run->session);
	size_t count = 0;
	while (own[count] != NULL)
		count++;
	const char **keep = lt_arena_array(&run->session->diags.arena, count + run->stock.count + 1,
		sizeof(*keep));
	memcpy(keep, own, count * sizeof(*keep));
	for (size_t i = 0; i < run->stock.count; i++) {
		if (run->stock.layouts[i].file != NULL)
			keep[count++] = run->stock.layouts[i].file;
	}
	run->keep = keep;
}

int lt_plan_stickers(struct run *run, const char *path)
{
	struct lt_session *session = run->session;
	int code = load_stock(run);
	if (code != EXIT_YES)
		return code;
	set_resolution(run, path);
	list_kept(run);
	run->options.sheet.sticker.known = &run->known;
	if (!lt_selection_check(run->options.sheet.only, &session->tags, &session->diags) ||
		!choose_layouts(run))
		return EXIT_INPUT;
	return plan_parts(run, path);
}

/* True for a file that this run has written, also as the first of several pages. */
static bool is_written(const struct run *run, const char *path)
{
	for (size_t i = 0; i < run->part_count; i++) {
		if (run->parts[i].path != NULL && strcmp(run->parts[i].path, path) == 0)
			return true;
	}
	return false;
}

static void warn_of_left(struct run *run, const char *path)
{
	struct stat status;
	const char *first = path_with(run, path, "01");
	const char *there = stat(path, &status) == 0 ? path : first;
	if (is_written(run, path) || stat(there, &status) != 0)
		return;
	lt_warning(&run->session->diags, lt_place_file(there),
		"was left by an earlier run with other layouts");
	lt_hint(&run->session->diags, "delete it, so that it is not printed with these files");
}

void lt_warn_of_left_parts(struct run *run, const char *path)
{
	if (run->stock.count > 1 || run->part_count > 1)
		warn_of_left(run, path);
	warn_of_left(run, path_with(run, path, "h"));
	warn_of_left(run, path_with(run, path, "m"));
	for (size_t i = 0; i < run->known.count; i++)
		warn_of_left(run, path_with(run, path, run->known.layouts[i].name));
	for (size_t i = 0; i < run->stock.count; i++)
		warn_of_left(run, path_with(run, path, run->stock.layouts[i].name));
}
