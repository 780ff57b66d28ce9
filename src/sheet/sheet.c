/* Sticker sheets: which stickers come in which places. */
#include <string.h>

#include "loomtag/sheet.h"

/* The next free label. */
struct cursor {
	unsigned page, label, labels;
	const bool *used; /* of the first page, or NULL */
	unsigned start;   /* of the first page */
	bool together;    /* each number has a page of its own */
};

/* True when a label of a page is there to be printed on. */
static bool is_free(const struct cursor *cursor, unsigned page, unsigned label)
{
	if (page > 1)
		return true;
	return label + 1 >= cursor->start && (cursor->used == NULL || !cursor->used[label]);
}

/* Goes on to the next free label, that where it stands included. */
static void find_free(struct cursor *cursor)
{
	while (cursor->label < cursor->labels && !is_free(cursor, cursor->page, cursor->label))
		cursor->label++;
	if (cursor->label == cursor->labels) {
		cursor->label = 0;
		cursor->page++;
	}
}

/* Free labels of the page, from where the cursor stands. */
static unsigned count_free(const struct cursor *cursor)
{
	unsigned count = 0;
	for (unsigned label = cursor->label; label < cursor->labels; label++)
		count += is_free(cursor, cursor->page, label);
	return count;
}

/* True when an M sticker went out before any X sticker did: it sits on the part which now leaves,
 * and the X sticker has to cover it. */
static bool covers_m(const struct lt_register_entry *entry)
{
	const char *first = strpbrk(entry->printed, "MX");
	return first != NULL && *first == 'M';
}

/* By number, 0 to number_max: whether an X sticker covers an M sticker. From the arena. */
static bool *find_covers(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_register *reg)
{
	bool *covers = lt_arena_array(arena, (size_t)tags->number_max + 1, sizeof(*covers));
	for (size_t i = 0; reg != NULL && i < reg->count; i++) {
		const struct lt_register_entry *entry = &reg->entries[i];
		if (entry->number <= tags->number_max && !entry->retired)
			covers[entry->number] = covers_m(entry);
	}
	return covers;
}

/* The sides of a connector that are wanted as stickers. */
static size_t wanted_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_tags *tags,
	size_t connector, const struct lt_sheet_options *options)
{
	const unsigned char *choice = options->choice;
	size_t count = lt_selected_sides(out, options->only, tags, connector);
	size_t kept = 0;
	for (size_t i = 0; i < count; i++) {
		if (choice == NULL || choice[connector * LT_SIDE_COUNT + out[i]] == options->medium)
			out[kept++] = out[i];
	}
	return kept;
}

/* Gives the stickers of one connector their labels: all on one page, where a page holds so many. */
static void place_group(struct lt_sheet *sheet, struct cursor *cursor, size_t connector,
	const enum lt_side *sides, size_t count, bool over_m)
{
	if (count == 0)
		return;
	find_free(cursor);
	if (cursor->together && sheet->count > 0) {
		cursor->label = 0;
		cursor->page = sheet->pages + 1;
	}
	if (count <= cursor->labels && count > count_free(cursor)) {
		cursor->label = 0;
		cursor->page++;
	}
	for (size_t i = 0; i < count; i++) {
		find_free(cursor);
		sheet->slots[sheet->count++] =
			(struct lt_slot){ { connector, sides[i], sides[i] == LT_SIDE_X && over_m },
				cursor->page, cursor->label++ };
		sheet->pages = cursor->page;
	}
}

static void warn_cover(const struct lt_sheet *sheet, size_t first, const struct lt_tags *tags,
	struct lt_diags *diags)
{
	for (size_t i = first; i < sheet->count; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		if (!slot->id.over_m)
			continue;
		const struct lt_connector *connector =
			&tags->harness->connectors[slot->id.connector];
		unsigned number = tags->number_of[slot->id.connector];
		lt_warning(diags, connector->place,
			"connector %s: its sticker %uM went out before the part was to be replaced",
			connector->id, number);
		lt_hint(diags,
			"if it is on the old part, stick %uX over it; the new %uM goes onto the "
			"new part",
			number, number);
		return;
	}
}

static bool check_start(const struct lt_layout *layout, unsigned start, unsigned labels,
	struct lt_diags *diags)
{
	if (start >= 1 && start <= labels)
		return true;
	lt_error(diags, lt_place_none(), "--start %u: layout %s has %u label%s a page", start,
		layout->name, labels, labels == 1 ? "" : "s");
	lt_hint(diags, "count row by row from 1; leave --start out for a whole page");
	return false;
}

/* A used page on which nothing finds room would have to go through the printer blank: whoever puts
 * it in would get the next page's stickers on it instead. */
static bool check_first(const struct lt_sheet *sheet, const struct lt_sheet_options *options,
	const struct lt_tags *tags, struct lt_diags *diags)
{
	const struct lt_slot *slot = &sheet->slots[0];
	if (slot->page == 1)
		return true;
	const char *option = options->used != NULL ? "--used" : "--start";
	lt_error(diags, lt_place_none(),
		"%s leaves too little of the page for the stickers of number %u together", option,
		tags->number_of[slot->id.connector]);
	lt_hint(diags, "put in a whole page and leave %s out", option);
	return false;
}

/* Places the stickers of a list: those of one connector together, up to where a side comes again,
 * which is another copy. */
static void place_list(struct lt_sheet *sheet, struct cursor *cursor,
	const struct lt_sheet_options *options, const bool *covers, const struct lt_tags *tags)
{
	for (size_t i = 0; i < options->list_count;) {
		size_t connector = options->list[i].connector;
		enum lt_side sides[LT_SIDE_COUNT];
		unsigned seen = 0;
		size_t count = 0;
		while (i < options->list_count && options->list[i].connector == connector &&
			(seen & 1u << options->list[i].side) == 0) {
			seen |= 1u << options->list[i].side;
			sides[count++] = options->list[i++].side;
		}
		place_group(sheet, cursor, connector, sides, count,
			covers[tags->number_of[connector]]);
	}
}

bool lt_sheet_plan(struct lt_sheet *out, const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_register *reg, const struct lt_sheet_options *options,
	struct lt_diags *diags)
{
	*out = (struct lt_sheet){ .layout = layout, .apart = options->apart };
	out->together = options->together && layout->medium == LT_MEDIUM_TAPE && !options->apart;
	unsigned labels = options->apart ? 1 : lt_layout_labels(layout);
	labels = out->together ? LT_SIDE_COUNT : labels;
	if (!check_start(layout, options->start, labels, diags) ||
		!lt_payload_check(tags->harness, options->sticker.payload, diags) ||
		!lt_selection_check(options->only, tags, diags))
		return false;
	size_t connectors = tags->harness->connector_count;
	size_t most = options->list != NULL ? options->list_count
					    : connectors * LT_SIDE_COUNT * options->copies;
	out->slots = lt_arena_array(&out->arena, most + 1, sizeof(*out->slots));
	const bool *covers = find_covers(&out->arena, tags, reg);
	struct cursor cursor = { 1, 0, labels, options->used, options->start, out->together };
	const struct lt_bundle *bundles = options->sticker.bundles;
	bool fits = true;
	if (options->list != NULL)
		place_list(out, &cursor, options, covers, tags);
	for (size_t i = 0; i < connectors && options->list == NULL; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = wanted_sides(sides, tags, i, options);
		size_t first = out->count;
		for (unsigned copy = 0; copy < options->copies; copy++)
			place_group(out, &cursor, i, sides, count, covers[tags->number_of[i]]);
		warn_cover(out, first, tags, diags);
		if (count > 0 && !lt_layout_check_fit(layout, &tags->harness->connectors[i],
					 bundles != NULL ? bundles[i].diameter : 0,
					 options->sticker.known, diags))
			fits = false;
	}
	if (out->count > 0)
		return fits && check_first(out, options, tags, diags);
	if (options->choice != NULL)
		return true;
	lt_error(diags, lt_place_file(tags->harness->file), "there is no sticker to print");
	lt_hint(diags, "every connector is marked tag: paper or tag: none");
	return false;
}

void lt_sheet_finish(struct lt_sheet *sheet)
{
	if (sheet == NULL)
		return;
	lt_arena_finish(&sheet->arena);
	*sheet = (struct lt_sheet){ 0 };
}
