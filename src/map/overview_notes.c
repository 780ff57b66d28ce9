/* What stands above and below the board of an overview's page: the hazards, and what the signs
 * mean. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/overview.h"

static const char dash[] = "\xE2\x80\x93";

/* What lists may take of the page's height. */
#define LISTS_MOST 0.25

/* A number as wide as that of any page. */
#define SOME_PAGE 88888

#define INDENT 1.5 /* of what is done about a hazard, ems */

/* Lines of an entry of the foot, at most. */
#define ENTRY_LINES 5

/* What one line of the foot says. */
struct entry {
	const char *sign, *text;
};

struct entries {
	struct entry *items;
	size_t count, room;
};

static void add_entry(struct entries *entries, const char *sign, const char *text)
{
	entries->items =
		lt_grow(entries->items, &entries->room, entries->count + 1, sizeof *entries->items);
	entries->items[entries->count++] = (struct entry){ sign, text };
}

static void name_connector(struct lt_text *out, size_t connector, const void *data)
{
	const struct lt_indices one = { &connector, 1 };
	lt_text_add(out, lt_overview_numbers(data, one, 1));
}

const char *lt_overview_group_words(const struct lt_overview_context *context,
	const struct lt_indices *group)
{
	enum { NUMBERS_MOST = 60 /* bytes */, CONNECTORS_MOST = 4 };
	const struct lt_lookalikes *lookalikes = context->input->lookalikes;
	struct lt_indices members = lt_overview_by_number(context, group);
	struct lt_text text = { 0 }, list = { 0 };
	if (lt_lookalikes_complete(lookalikes, members)) {
		lt_overview_add_group(&text, lt_overview_numbers(context, members, NUMBERS_MOST));
	} else {
		lt_lookalikes_say(&list, lookalikes, members, CONNECTORS_MOST, name_connector,
			context);
		lt_overview_add_some(&text, lt_text_string(&list),
			members.count <= CONNECTORS_MOST);
	}
	lt_text_finish(&list);
	return lt_map_keep(context->arena, &text);
}

/* The groups that these connectors are in, each once. */
static void list_groups(struct entries *entries, const struct lt_overview_context *context,
	size_t first, size_t count)
{
	const struct lt_overview_facts *facts = &context->facts;
	bool *here = lt_alloc_array(facts->group_count, sizeof *here);
	for (size_t i = first; i < first + count; i++) {
		size_t group = facts->group[context->stops[i].connector];
		if (group != LT_NONE)
			here[group] = true;
	}
	for (size_t i = 0; i < facts->group_count; i++)
		if (here[i])
			add_entry(entries, lt_overview_letter(context->arena, i),
				facts->group_words[i]);
	free(here);
}

/* The other signs, where a page has them. */
static void list_others(struct entries *entries, const struct lt_overview_context *context,
	size_t first, size_t count)
{
	const struct lt_harness *harness = context->input->tags->harness;
	bool unknown = false, danger = false, guessed = false, after = false;
	bool paper = false, none = false;
	for (size_t i = first; i < first + count; i++) {
		size_t connector = context->stops[i].connector;
		unknown |= lt_fit_unknown(harness, connector) &&
			   context->facts.group[connector] == LT_NONE;
		danger |= context->input->dangers[connector];
		guessed |= context->stops[i].guessed;
		after |= harness->connectors[connector].after.count > 0;
		paper |= harness->connectors[connector].marking == LT_MARK_PAPER;
		none |= harness->connectors[connector].marking == LT_MARK_NONE;
	}
	if (unknown)
		add_entry(entries, "?", lt_map_words.unknown_means);
	if (danger)
		add_entry(entries, "!", lt_map_words.hazard_means);
	if (after)
		add_entry(entries, lt_map_words.after, lt_map_words.after_means);
	if (paper)
		add_entry(entries, lt_map_words.framed, lt_map_words.framed_means);
	if (none)
		add_entry(entries, dash, lt_map_words.by_eye_means);
	if (count > 0)
		add_entry(entries, lt_map_words.trunk, lt_map_words.not_to_scale);
	if (guessed)
		add_entry(entries, lt_map_words.dashed, lt_map_words.dashed_means);
}

static struct lt_overview_block entry_block(const struct lt_overview_context *context,
	const struct entry *entry, double width)
{
	struct lt_overview_block block = { 0 };
	struct lt_overview_line type = { LT_OVERVIEW_LIST, LT_TYPEFACE_REGULAR,
		context->plan.sizes.em, false, NULL };
	lt_overview_wrap(&block, context, type, width, ENTRY_LINES,
		lt_arena_printf(context->arena, "%s: %s", entry->sign, entry->text));
	return block;
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

static void lay_foot(struct foot *foot, const struct lt_overview_context *context, double width,
	double most, size_t columns)
{
	const size_t count = foot->entries.count;
	foot->columns = columns;
	foot->column = width / (double)columns;
	foot->inner = foot->column - 1.5 * context->plan.sizes.em;
	foot->height = 0;
	foot->shown = 0;
	foot->shortened = false;
	for (size_t first = 0; first < count; first += columns) {
		double height = 0;
		size_t next = first + columns < count ? first + columns : count;
		for (size_t i = first; i < next; i++) {
			struct lt_overview_block block =
				entry_block(context, &foot->entries.items[i], foot->inner);
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
	double width, double most)
{
	const double narrowest = 24; /* ems */
	size_t columns =
		(size_t)fmax(1, fmin(8, floor(width / (narrowest * context->plan.sizes.em))));
	lay_foot(foot, context, width, most, 1);
	struct foot best = *foot;
	for (size_t i = 2; i <= columns; i++) {
		lay_foot(foot, context, width, most, i);
		bool more = foot->shown > best.shown;
		bool whole = foot->shown == best.shown && !foot->shortened && best.shortened;
		bool lower = foot->shown == best.shown && foot->shortened <= best.shortened &&
			     foot->height < best.height - 1e-6;
		if (more || whole || lower)
			best = *foot;
	}
	lay_foot(foot, context, width, most, best.columns);
}

static void place_foot(struct lt_overview_page *page, const struct lt_overview_context *context,
	const struct foot *foot)
{
	const struct lt_overview_options *options = &context->options;
	double top = options->height - options->margin - options->foot - foot->height;
	page->lists = lt_arena_array(context->arena, foot->shown, sizeof *page->lists);
	for (size_t i = 0; i < foot->shown; i++) {
		struct entry *entry = &foot->entries.items[i];
		/* Not known before the page is placed; the room is that of the longer text. */
		if (entry->sign == lt_map_words.trunk && page->to_scale)
			entry->text = lt_map_words.to_scale;
		struct lt_overview_block block = entry_block(context, entry, foot->inner);
		double x = options->margin + foot->column * (double)(i % foot->columns);
		double y = top + foot->tops[i / foot->columns];
		page->lists[page->list_count++] = (struct lt_overview_list){ entry->sign,
			{ x, y, foot->inner, block.height } };
		for (size_t j = 0; j < block.count; j++) {
			lt_overview_add_text(page, context, &block.lines[j], x, y, LT_NONE);
			y += LT_OVERVIEW_LEADING * block.lines[j].size;
		}
	}
}

double lt_overview_lists(struct lt_overview_page *page, const struct lt_overview_context *context,
	size_t first, size_t count)
{
	const struct lt_overview_options *options = &context->options;
	double width = options->width - 2 * options->margin;
	struct foot foot = { 0 };
	list_groups(&foot.entries, context, first, count);
	list_others(&foot.entries, context, first, count);
	if (foot.entries.count == 0)
		return 0;
	foot.tops = lt_alloc_array(foot.entries.count, sizeof *foot.tops);
	choose_columns(&foot, context, width, LISTS_MOST * context->plan.height);
	struct entry *entries = foot.entries.items;
	/* The last of what fits makes room for a note that there is more. */
	if (foot.shown < foot.entries.count) {
		struct lt_text left = { 0 };
		lt_overview_add_lists_left(&left, foot.entries.count - foot.shown + 1);
		entries[foot.shown - 1] =
			(struct entry){ lt_map_words.more, lt_map_keep(context->arena, &left) };
	}
	if (page != NULL)
		place_foot(page, context, &foot);
	free(foot.tops);
	free(entries);
	return foot.height + LT_OVERVIEW_GAP;
}

/* The hazards in the head. None of their words is left out: where they have no room, the head says
 * on which page they are. */
struct head {
	struct lt_overview_page *page; /* or NULL: only measured */
	const struct lt_overview_context *context;
	double y; /* below what is set, from the head's top */
};

/* A paragraph of as many lines as it takes. */
static void set(struct head *head, enum lt_typeface face, double indent, const char *text)
{
	const struct lt_overview_context *context = head->context;
	const struct lt_overview_options *options = &context->options;
	struct lt_arena *arena = context->arena;
	const double em = context->plan.sizes.em;
	struct lt_overview_line line = { LT_OVERVIEW_HAZARD, face, em, false, NULL };
	double ems = (options->width - 2 * options->margin) / em - indent;
	text = lt_arena_shown(arena, text);
	for (text += strspn(text, " "); *text != '\0'; text += strspn(text, " ")) {
		size_t length = lt_overview_fitting(context, face, ems, text, false);
		if (length == 0) { /* one character, be it too wide */
			const char *next = text;
			lt_utf8_next(&next);
			length = (size_t)(next - text);
		}
		line.text = lt_arena_copy(arena, text, length);
		if (head->page != NULL)
			lt_overview_add_text(head->page, context, &line,
				options->margin + indent * em,
				options->margin + options->head + head->y, LT_NONE);
		head->y += LT_OVERVIEW_LEADING * em;
		text += length;
	}
}

static void set_full(struct head *head, const struct lt_hazard *hazard)
{
	struct lt_text text = { 0 };
	lt_hazard_add_title(&text, hazard);
	set(head, LT_TYPEFACE_BOLD, 0, lt_text_string(&text));
	lt_text_clear(&text);
	lt_overview_add_steps(&text, hazard);
	set(head, LT_TYPEFACE_REGULAR, INDENT, lt_text_string(&text));
	lt_text_finish(&text);
}

double lt_overview_hazards(struct lt_overview_page *page, const struct lt_overview_context *context)
{
	const struct lt_harness *harness = context->input->tags->harness;
	/* Measured before it is known which page has them in full. */
	size_t in_full = page != NULL ? context->plan.count + 1 : SOME_PAGE;
	struct head head = { page, context, 0 };
	struct lt_text text = { 0 };
	if (harness->hazard_count == 0)
		return 0;
	switch (context->plan.how) {
	case LT_OVERVIEW_HAZARDS_COUNTED:
		lt_overview_add_energy_count(&text, harness->hazard_count, in_full);
		set(&head, LT_TYPEFACE_BOLD, 0, lt_text_string(&text));
		break;
	case LT_OVERVIEW_HAZARDS_NAMED:
		lt_overview_add_energies(&text, harness, in_full);
		set(&head, LT_TYPEFACE_BOLD, 0, lt_text_string(&text));
		break;
	case LT_OVERVIEW_HAZARDS_FULL:
		for (size_t i = 0; i < harness->hazard_count; i++)
			set_full(&head, &harness->hazards[i]);
		break;
	}
	lt_text_finish(&text);
	return head.y + LT_OVERVIEW_GAP;
}
