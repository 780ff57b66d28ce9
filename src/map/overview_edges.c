/* What stands below the board: what the signs mean. And how texts are added to a page. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "map/overview.h"

static const char dash[] = "\xE2\x80\x93";
static const char trunk[] = "trunk";

void *lt_overview_grow(struct lt_arena *arena, void *items, size_t *room, size_t count, size_t size)
{
	if (count < *room)
		return items;
	size_t more = *room < 16 ? 16 : 2 * *room;
	void *grown = lt_arena_array(arena, more, size);
	if (count > 0)
		memcpy(grown, items, count * size);
	*room = more;
	return grown;
}

struct lt_overview_text *lt_overview_add_text(struct lt_overview_page *page, struct lt_arena *arena,
	const struct lt_measure *measure, const struct lt_overview_line *line, double x, double top,
	size_t connector)
{
	struct lt_face_heights heights = measure->heights(measure->data, line->face);
	page->texts = lt_overview_grow(arena, page->texts, &page->text_room, page->text_count,
		sizeof *page->texts);
	struct lt_overview_text *text = &page->texts[page->text_count++];
	*text = (struct lt_overview_text){
		.role = line->role,
		.box = { x, top, lt_text_width(measure, line->face, line->size, line->text),
			(heights.ascent + heights.descent) * line->size },
		.baseline = top + heights.ascent * line->size,
		.face = line->face,
		.size = line->size,
		.shortened = line->shortened,
		.text = line->text,
		.connector = connector,
	};
	return text;
}

static void place_block(struct lt_overview_page *page, const struct lt_overview_context *context,
	const struct lt_overview_block *block, double x, double y)
{
	for (size_t i = 0; i < block->count; i++) {
		lt_overview_add_text(page, context->arena, context->measure, &block->lines[i], x, y,
			LT_NONE);
		y += LT_OVERVIEW_LEADING * block->lines[i].size;
	}
}

/* Lines of an entry of the foot, at most. */
#define ENTRY_LINES 5

/* What one line of the foot says. */
struct entry {
	const char *sign, *text;
	size_t group;
};

struct entries {
	struct entry *items;
	size_t count, room;
};

static void add_entry(struct entries *entries, const char *sign, const char *text, size_t group)
{
	entries->items =
		lt_grow(entries->items, &entries->room, entries->count + 1, sizeof *entries->items);
	entries->items[entries->count++] = (struct entry){ sign, text, group };
}

static int compare_sizes(const void *a, const void *b)
{
	size_t one = *(const size_t *)a, other = *(const size_t *)b;
	return one < other ? -1 : one > other;
}

/* The groups that these connectors are in, ascending, each once. Returns how many. */
static size_t groups_of(size_t *groups, const struct lt_overview_context *context, size_t first,
	size_t count)
{
	size_t found = 0, kept = 0;
	for (size_t i = first; i < first + count; i++) {
		size_t group = context->facts.group[context->stops[i].connector];
		if (group != LT_NONE)
			groups[found++] = group;
	}
	if (found > 0)
		qsort(groups, found, sizeof *groups, compare_sizes);
	for (size_t i = 0; i < found; i++)
		if (i == 0 || groups[i] != groups[i - 1])
			groups[kept++] = groups[i];
	return kept;
}

static int compare_numbers(const void *a, const void *b)
{
	const size_t *one = a, *other = b;
	return one[0] != other[0] ? compare_sizes(&one[0], &other[0])
				  : compare_sizes(&one[1], &other[1]);
}

struct lt_indices lt_overview_by_number(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_indices *members)
{
	size_t(*keys)[2] = lt_alloc_array(members->count, sizeof *keys);
	struct lt_indices sorted = {
		.items = lt_arena_array(arena, members->count, sizeof *sorted.items),
		.count = members->count,
	};
	for (size_t i = 0; i < members->count; i++) {
		unsigned number = tags->number_of[members->items[i]];
		keys[i][0] = number != 0 ? number : LT_NONE;
		keys[i][1] = members->items[i];
	}
	if (members->count > 0)
		qsort(keys, members->count, sizeof *keys, compare_numbers);
	for (size_t i = 0; i < members->count; i++)
		sorted.items[i] = keys[i][1];
	free(keys);
	return sorted;
}

static void name_connector(struct lt_text *out, size_t connector, const void *data)
{
	const struct lt_tags *tags = data;
	if (tags->number_of[connector] != 0)
		lt_text_printf(out, "%u", tags->number_of[connector]);
	else
		lt_text_printf(out, "%s (no number)", tags->harness->connectors[connector].id);
}

/* "4, 5, 7 would go on each other's mates", where that is so of every two. */
static const char *say_group(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_indices *group)
{
	enum { NUMBERS_MOST = 60 /* bytes */, CONNECTORS_MOST = 4 };
	struct lt_indices members = lt_overview_by_number(arena, tags, group);
	if (lt_lookalikes_complete(lookalikes, members))
		return lt_arena_printf(arena, "%s would go on each other's mates",
			lt_overview_numbers(arena, tags, members, NUMBERS_MOST));
	struct lt_text text = { 0 };
	lt_text_add(&text, "not all would go on each other's mates, but ");
	lt_lookalikes_say(&text, lookalikes, members, CONNECTORS_MOST, name_connector, tags);
	if (members.count > CONNECTORS_MOST)
		lt_text_add(&text, ": see the panels");
	const char *said = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return said;
}

void lt_overview_say_groups(struct lt_overview_facts *facts, struct lt_arena *arena,
	const struct lt_tags *tags, const struct lt_lookalikes *lookalikes)
{
	facts->says = lt_arena_array(arena, facts->group_count, sizeof *facts->says);
	for (size_t i = 0; i < facts->group_count; i++)
		facts->says[i] = say_group(arena, tags, lookalikes, &facts->groups[i]);
}

static void list_groups(struct entries *entries, const struct lt_overview_context *context,
	size_t first, size_t count)
{
	size_t *groups = lt_alloc_array(count, sizeof *groups);
	size_t found = groups_of(groups, context, first, count);
	for (size_t i = 0; i < found; i++)
		add_entry(entries, lt_overview_letter(context->arena, groups[i]),
			context->facts.says[groups[i]], groups[i]);
	free(groups);
}

/* The other signs, where a page has them. */
static void list_others(struct entries *entries, const struct lt_overview_context *context,
	size_t first, size_t count)
{
	const struct lt_harness *harness = context->tags->harness;
	bool unknown = false, danger = false, guessed = false, after = false;
	bool paper = false, none = false;
	for (size_t i = first; i < first + count; i++) {
		size_t connector = context->stops[i].connector;
		unknown |= lt_fit_unknown(harness, connector) &&
			   context->facts.group[connector] == LT_NONE;
		danger |= context->facts.danger[connector];
		guessed |= context->stops[i].guessed;
		after |= harness->connectors[connector].after.count > 0;
		paper |= harness->connectors[connector].marking == LT_MARK_PAPER;
		none |= harness->connectors[connector].marking == LT_MARK_NONE;
	}
	if (unknown)
		add_entry(entries, "?", "what else it would go on is not known", LT_NONE);
	if (danger)
		add_entry(entries, "!", "named in a hazard: read it first; no ! does not mean safe",
			LT_NONE);
	if (after)
		add_entry(entries, "after", "joints that have to be made first", LT_NONE);
	if (paper)
		add_entry(entries, "framed number", "no sticker, it is on paper alone", LT_NONE);
	if (none)
		add_entry(entries, dash, "not numbered, only ticked", LT_NONE);
	if (count > 0)
		add_entry(entries, trunk, "not to scale", LT_NONE);
	if (guessed)
		add_entry(entries, "dashed branch", "its place on the trunk is not described",
			LT_NONE);
}

static struct lt_overview_block entry_block(const struct lt_overview_context *context,
	const struct lt_overview_sizes *sizes, const struct entry *entry, double width)
{
	struct lt_overview_block block = { 0 };
	struct lt_overview_line type = { LT_OVERVIEW_LIST, LT_FACE_REGULAR, sizes->em, false,
		NULL };
	lt_overview_wrap(&block, context->arena, context->measure, type, width, ENTRY_LINES,
		lt_arena_printf(context->arena, "%s: %s", entry->sign, entry->text));
	return block;
}

static void place_entry(struct lt_overview_page *page, const struct lt_overview_context *context,
	const struct lt_overview_block *block, const struct entry *entry, double x, double y,
	double width)
{
	place_block(page, context, block, x, y);
	page->lists = lt_overview_grow(context->arena, page->lists, &page->list_room,
		page->list_count, sizeof *page->lists);
	page->lists[page->list_count++] = (struct lt_overview_list){ entry->sign,
		{ x, y, width, block->height }, entry->group };
}

/* How the lists stand: in columns, filled row by row. */
struct foot {
	struct entries entries;
	size_t columns;
	double column, inner; /* widths, with and without the white space between */
	double *tops;         /* of the rows, from the foot's top */
	double height;
	size_t shown;   /* entries */
	bool shortened; /* one of them */
};

static void lay_foot(struct foot *foot, const struct lt_overview_context *context,
	const struct lt_overview_sizes *sizes, double width, double most, size_t columns)
{
	const size_t count = foot->entries.count;
	foot->columns = columns;
	foot->column = width / (double)columns;
	foot->inner = foot->column - 1.5 * sizes->em;
	foot->height = 0;
	foot->shown = 0;
	foot->shortened = false;
	for (size_t first = 0; first < count; first += columns) {
		double height = 0;
		size_t next = first + columns < count ? first + columns : count;
		for (size_t i = first; i < next; i++) {
			struct lt_overview_block block =
				entry_block(context, sizes, &foot->entries.items[i], foot->inner);
			height = fmax(height, block.height);
			foot->shortened |= block.lines[block.count - 1].shortened;
		}
		if (first > 0 && foot->height + height > most)
			break;
		foot->tops[first / columns] = foot->height;
		foot->height += height;
		foot->shown = next;
	}
}

/* The number of columns that shows the most entries, then whole ones, then the lowest. */
static void choose_columns(struct foot *foot, const struct lt_overview_context *context,
	const struct lt_overview_sizes *sizes, double width, double most)
{
	const double narrowest = 24; /* ems */
	size_t columns = (size_t)fmax(1, fmin(8, floor(width / (narrowest * sizes->em))));
	lay_foot(foot, context, sizes, width, most, 1);
	struct foot best = *foot;
	for (size_t i = 2; i <= columns; i++) {
		lay_foot(foot, context, sizes, width, most, i);
		bool more = foot->shown > best.shown;
		bool whole = foot->shown == best.shown && !foot->shortened && best.shortened;
		bool lower = foot->shown == best.shown && foot->shortened <= best.shortened &&
			     foot->height < best.height - 1e-6;
		if (more || whole || lower)
			best = *foot;
	}
	lay_foot(foot, context, sizes, width, most, best.columns);
}

double lt_overview_lists(struct lt_overview_page *page, const struct lt_overview_context *context,
	const struct lt_overview_sizes *sizes, double x, double bottom, double width, double most,
	size_t first, size_t count)
{
	struct foot foot = { 0 };
	list_groups(&foot.entries, context, first, count);
	list_others(&foot.entries, context, first, count);
	if (foot.entries.count == 0)
		return 0;
	foot.tops = lt_alloc_array(foot.entries.count, sizeof *foot.tops);
	choose_columns(&foot, context, sizes, width, most);
	struct entry *entries = foot.entries.items;
	/* The last of what fits tells that there is more. */
	if (foot.shown < foot.entries.count) {
		entries[foot.shown - 1] = (struct entry){ "more",
			lt_arena_printf(context->arena, "%zu lists without room; see check",
				foot.entries.count - foot.shown + 1),
			LT_NONE };
	}
	for (size_t i = 0; page != NULL && i < foot.shown; i++) {
		/* Not known before the page is placed; the room is that of the longer text. */
		if (entries[i].sign == trunk && page->to_scale)
			entries[i].text = "to scale";
		struct lt_overview_block block =
			entry_block(context, sizes, &entries[i], foot.inner);
		place_entry(page, context, &block, &entries[i],
			x + foot.column * (double)(i % foot.columns),
			bottom - foot.height + foot.tops[i / foot.columns], foot.inner);
	}
	free(foot.tops);
	free(entries);
	return foot.height + LT_OVERVIEW_GAP;
}
