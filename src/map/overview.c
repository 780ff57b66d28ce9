/* The overview's pages: where connectors leave the trunk, how large the text is, which connectors
 * are on which page. */
#include <math.h>
#include <stdlib.h>

#include "map/overview.h"

/* Sizes of text that are tried, in that of the smallest. */
static const double scales[] = { 2.5, 2.1, 1.75, 1.6, 1.45, 1.33, 1.2, 1.1, 1 };

/* Of the board's height: what hazards in full, and their names, may take. */
#define HAZARDS_MOST 0.34
#define NAMES_MOST 0.2

/* Hazards in text of this size read well, and may keep the page's from being larger. */
#define HAZARDS_SCALE 1.1

/* The largest side of a page, in mm: that of the largest printers' sheets and more. */
#define PAGE_MOST 3000

/* A channel holds branches for so many tiers at most. */
#define TIERS_MOST 16

/* Places for connectors `first` to `last` - 1, none of which has one, evenly between two. */
static void spread(struct lt_overview_stop *stops, size_t first, size_t last, double from,
	double to)
{
	double step = (to - from) / (double)(last - first + 1);
	for (size_t i = first; i < last; i++)
		stops[i].place = from + step * (double)(i - first + 1);
}

/* Between neighbours in the description that say where they are; before the first of them from
 * the datum on, behind the last towards the harness's end. */
static void guess(struct lt_overview_stop *stops, const struct lt_harness *harness)
{
	size_t count = harness->connector_count, given = 0;
	double least = 0, most = 0;
	for (size_t i = 0; i < count; i++) {
		if (!harness->connectors[i].has_at)
			continue;
		double at = harness->connectors[i].at;
		least = given == 0 || at < least ? at : least;
		most = given == 0 || at > most ? at : most;
		given++;
	}
	double pitch = most > least ? (most - least) / (double)given : 10;
	double before = least > 0 ? 0 : least - pitch;
	size_t open = 0; /* the first that is still without a place */
	for (size_t i = 0; i < count; i++) {
		if (!harness->connectors[i].has_at)
			continue;
		stops[i].place = harness->connectors[i].at;
		stops[i].guessed = false;
		spread(stops, open, i, before, stops[i].place);
		before = stops[i].place;
		open = i + 1;
	}
	spread(stops, open, count, before, given > 0 ? most + pitch : (double)count + 1);
}

static int compare_stops(const void *a, const void *b)
{
	const struct lt_overview_stop *one = a, *other = b;
	if (one->place != other->place)
		return one->place < other->place ? -1 : 1;
	if (one->component != other->component)
		return one->component < other->component ? -1 : 1;
	return one->connector < other->connector ? -1 : one->connector > other->connector;
}

/* All connectors in the order of their places; joints of one component follow each other where
 * they have the same place. n log n. */
static void list_stops(struct lt_overview_context *context)
{
	const struct lt_harness *harness = context->input->tags->harness;
	size_t count = harness->connector_count;
	struct lt_overview_stop *stops = lt_arena_array(context->arena, count + 1, sizeof *stops);
	for (size_t i = 0; i < count; i++) {
		size_t component = harness->connectors[i].component;
		stops[i] = (struct lt_overview_stop){ i, component, .guessed = true };
		context->known |= harness->connectors[i].has_at;
	}
	guess(stops, harness);
	qsort(stops, count, sizeof *stops, compare_stops);
	context->stops = stops;
}

/* What is known of the connectors beside the harness. */
static void gather_facts(struct lt_overview_context *context)
{
	const struct lt_harness *harness = context->input->tags->harness;
	struct lt_overview_facts *facts = &context->facts;
	facts->group =
		lt_arena_array(context->arena, harness->connector_count, sizeof *facts->group);
	facts->groups = lt_lookalike_groups(context->input->lookalikes, &facts->group_count);
	facts->joints =
		lt_arena_array(context->arena, harness->component_count, sizeof *facts->joints);
	facts->group_words =
		lt_arena_array(context->arena, facts->group_count, sizeof *facts->group_words);
	for (size_t i = 0; i < harness->connector_count; i++) {
		facts->group[i] = LT_NONE;
		if (harness->connectors[i].component != LT_NONE)
			facts->joints[harness->connectors[i].component]++;
	}
	for (size_t i = 0; i < facts->group_count; i++) {
		facts->group_words[i] = lt_overview_group_words(context, &facts->groups[i]);
		for (size_t j = 0; j < facts->groups[i].count; j++)
			facts->group[facts->groups[i].items[j]] = i;
	}
}

/* Columns, widths and heights for text of this size. Returns false when the page is too narrow. */
static bool size_columns(struct lt_overview_context *context, double em)
{
	struct lt_overview_sizes *sizes = &context->plan.sizes;
	const struct lt_overview_options *options = &context->options;
	struct lt_typeface_heights heights =
		context->input->measure->heights(context->input->measure->data, LT_TYPEFACE_BOLD);
	double width = options->width - 2 * options->margin;
	double height = options->height - 2 * options->margin - options->head - options->foot;
	*sizes = (struct lt_overview_sizes){ .em = em, .badge_em = 2 * em, .sign = 1.35 * em };
	sizes->badge_width = lt_overview_badge_ems(context) * sizes->badge_em + 0.8 * em;
	sizes->badge_height = heights.capital * sizes->badge_em + 0.9 * em;
	/* A column needs about as many tracks as it has tiers. */
	const double lines = 5; /* of a usual label */
	double tier = lines * LT_OVERVIEW_LEADING * em + LT_OVERVIEW_GAP + LT_OVERVIEW_PITCH;
	double tiers = (height / 2 - 2 * LT_OVERVIEW_CLEAR) / tier;
	sizes->tiers = (size_t)fmax(1, fmin(TIERS_MOST, floor(tiers)));
	sizes->tracks = sizes->tiers + 1 > LT_OVERVIEW_TRACKS_LEAST ? sizes->tiers + 1
								    : LT_OVERVIEW_TRACKS_LEAST;
	sizes->band = 2 * LT_OVERVIEW_CLEAR + LT_OVERVIEW_PITCH * (double)sizes->tracks;
	sizes->channel = LT_OVERVIEW_PITCH * (double)sizes->tiers + LT_OVERVIEW_STUB;
	double gaps = (LT_OVERVIEW_BESIDE + LT_OVERVIEW_MATE) * em;
	double column = sizes->channel + sizes->badge_width + gaps + 23.35 * em;
	if (!(width >= column))
		return false;
	sizes->columns = (size_t)(width / column);
	sizes->column = width / (double)sizes->columns;
	double texts = sizes->column - sizes->channel - sizes->badge_width - gaps;
	sizes->label = 0.53 * texts;
	sizes->component = texts - sizes->label;
	return true;
}

/* The height of the highest label, for all cells. */
static void size_cells(struct lt_overview_context *context)
{
	struct lt_overview_sizes *sizes = &context->plan.sizes;
	sizes->cell_height = sizes->badge_height;
	for (size_t i = 0; i < context->input->tags->harness->connector_count; i++) {
		struct lt_overview_words words;
		lt_overview_words(&words, context, i);
		sizes->cell_height =
			fmax(sizes->cell_height, fmax(words.label.height, words.component.height));
	}
}

/* The board of a page that begins with stop `first`. */
static struct lt_map_area board_of(const struct lt_overview_context *context, size_t first,
	size_t count)
{
	const struct lt_overview_options *options = &context->options;
	struct lt_map_area board = {
		.x = options->margin,
		.y = options->margin + options->head + context->plan.hazards,
		.width = options->width - 2 * options->margin,
	};
	double bottom = options->height - options->margin - options->foot;
	board.height = bottom - lt_overview_lists(NULL, context, first, count) - board.y;
	return board;
}

/* How many of the next `most` connectors go on one page; 0: none. What the lists take depends on
 * that, so it is tried, with fewer each time. */
static size_t fill_page(const struct lt_overview_context *context, size_t first, size_t most)
{
	for (size_t count = most;;) {
		struct lt_map_area board = board_of(context, first, count);
		size_t room = 2 * context->plan.sizes.columns *
			      lt_overview_page_tiers(context, board.height);
		if (count <= room)
			return count;
		count = room;
		if (count == 0)
			return 0;
	}
}

/* Where to end a page that may have `most` connectors: at the widest gap near its end. */
static size_t end_at_gap(const struct lt_overview_context *context, size_t first, size_t most,
	size_t least)
{
	size_t best = most;
	double widest = 0;
	for (size_t count = most; count >= least && count > 0; count--) {
		const struct lt_overview_stop *next = &context->stops[first + count];
		double gap = next->place - next[-1].place;
		if (gap > widest * 1.01) {
			widest = gap;
			best = count;
		}
	}
	return best;
}

/* How many connectors the next page has: as many as fit; or, when there are to be `pages`, its
 * share of them. */
static size_t next_page(const struct lt_overview_context *context, size_t first, size_t pages)
{
	const struct lt_overview_plan *plan = &context->plan;
	size_t left = context->input->tags->harness->connector_count - first;
	size_t cells = 2 * plan->sizes.columns * plan->sizes.tiers;
	size_t full = fill_page(context, first, left < cells ? left : cells);
	size_t others = pages > plan->count ? pages - plan->count - 1 : 0;
	if (others == 0 || full == 0 || full >= left)
		return full;
	size_t share = (left + others) / (others + 1);
	/* A little more than the share when that ends the page at a gap. */
	size_t most = share + share / 8 < full ? share + share / 8 : full;
	size_t least = share - share / 8;
	size_t need = left > others * full ? left - others * full : 1;
	return end_at_gap(context, first, most, least > need ? least : need);
}

/* Fills the plan's firsts; false when a page has no room for any. */
static bool split(struct lt_overview_context *context, size_t pages)
{
	struct lt_overview_plan *plan = &context->plan;
	size_t count = context->input->tags->harness->connector_count, first = 0;
	plan->count = 0;
	do {
		size_t next = count > 0 ? next_page(context, first, pages) : 0;
		if (next == 0 && count > 0)
			return false;
		plan->firsts[plan->count++] = first;
		first += next;
		plan->firsts[plan->count] = first;
	} while (first < count);
	return true;
}

/* Tries one size of text. */
static bool plan_pages(struct lt_overview_context *context, double em)
{
	const struct lt_overview_options *options = &context->options;
	struct lt_overview_plan *plan = &context->plan;
	if (!size_columns(context, em))
		return false;
	size_cells(context);
	plan->height = options->height - 2 * options->margin - options->head - options->foot;
	plan->hazards = lt_overview_hazards(NULL, context);
	double most = plan->how == LT_OVERVIEW_HAZARDS_FULL ? HAZARDS_MOST : NAMES_MOST;
	return plan->hazards <= most * plan->height && split(context, 0);
}

/* The same pages filled evenly, when that does not take more of them. */
static void even_out(struct lt_overview_context *context)
{
	size_t pages = context->plan.count;
	if (pages > 1 && (!split(context, pages) || context->plan.count > pages))
		split(context, 0);
}

/* The largest text that takes no more pages than the smallest, with the hazards shown in this way.
 */
static bool choose_scale(struct lt_overview_context *context, enum lt_overview_hazards how)
{
	struct lt_overview_plan *plan = &context->plan;
	size_t least = 0;
	plan->how = how;
	for (size_t i = sizeof scales / sizeof *scales; i-- > 0;) {
		bool fits = plan_pages(context, context->options.text_least * scales[i]);
		if (!fits || (least > 0 && plan->count > least))
			break;
		least = plan->count;
		plan->scale = scales[i];
	}
	plan->count = least;
	return least > 0;
}

/* Hazards in full where that takes no more pages than to name them and have them on one of their
 * own, nor text that is hard to read. */
static bool choose_hazards(struct lt_overview_context *context)
{
	struct lt_overview_context full = *context;
	bool fits = choose_scale(&full, LT_OVERVIEW_HAZARDS_FULL);
	if (context->input->tags->harness->hazard_count > 0) {
		bool named = choose_scale(context, LT_OVERVIEW_HAZARDS_NAMED) ||
			     choose_scale(context, LT_OVERVIEW_HAZARDS_COUNTED);
		bool readable = full.plan.scale >= fmin(context->plan.scale, HAZARDS_SCALE);
		if (named && !(fits && full.plan.count <= context->plan.count + 1 && readable))
			return true;
	}
	context->plan = full.plan;
	return fits;
}

/* Decides all but what goes where on a page. What is set in lines for that is forgotten. */
static bool choose_plan(struct lt_overview_context *context)
{
	struct lt_arena scratch = { 0 };
	struct lt_overview_context trial = *context;
	trial.arena = &scratch;
	bool fits = choose_hazards(&trial) &&
		    plan_pages(&trial, context->options.text_least * trial.plan.scale);
	if (fits)
		even_out(&trial);
	context->plan = trial.plan;
	lt_arena_finish(&scratch);
	return fits;
}

static bool is_page(const struct lt_overview_options *options)
{
	return options->width > 0 && options->height > 0 && options->width <= PAGE_MOST &&
	       options->height <= PAGE_MOST && options->margin >= 0 && options->head >= 0 &&
	       options->foot >= 0 && options->text_least > 0;
}

static bool no_room(struct lt_diags *diags, const struct lt_overview_options *options)
{
	lt_error(diags, lt_place_none(),
		"a page of %.4g x %.4g mm has no room for one connector in readable text",
		options->width, options->height);
	lt_hint(diags, "choose a larger paper size");
	return false;
}

/* In how many boxes each component is drawn. */
static size_t *count_boxes(struct lt_overview *overview, const struct lt_harness *harness)
{
	size_t *boxes = lt_arena_array(&overview->arena, harness->component_count, sizeof *boxes);
	for (size_t i = 0; i < overview->page_count; i++)
		for (size_t j = 0; j < overview->pages[i].component_count; j++)
			boxes[overview->pages[i].components[j].component]++;
	return boxes;
}

bool lt_overview_place(struct lt_overview *out, const struct lt_map_input *input,
	const struct lt_overview_options *options, struct lt_diags *diags)
{
	const struct lt_harness *harness = input->tags->harness;
	*out = (struct lt_overview){ .width = options->width, .height = options->height };
	lt_arena_init(&out->arena);
	if (!is_page(options))
		return no_room(diags, options);
	struct lt_overview_context context = {
		.input = input, .options = *options, .arena = &out->arena
	};
	const struct lt_overview_plan *plan = &context.plan;
	context.plan.firsts =
		lt_arena_array(&out->arena, harness->connector_count + 2, sizeof *plan->firsts);
	list_stops(&context);
	gather_facts(&context);
	if (!choose_plan(&context))
		return no_room(diags, options);
	out->text = plan->sizes.em;
	out->page_count = plan->count;
	if (plan->how != LT_OVERVIEW_HAZARDS_FULL)
		out->hazards_page = plan->count + 1;
	out->pages = lt_arena_array(&out->arena, plan->count, sizeof *out->pages);
	for (size_t i = 0; i < plan->count; i++) {
		size_t first = plan->firsts[i];
		lt_overview_place_page(out->pages, i, &context,
			board_of(&context, first, plan->firsts[i + 1] - first));
	}
	context.boxes = count_boxes(out, harness);
	for (size_t i = 0; i < plan->count; i++)
		lt_overview_say_components(&out->pages[i], &context);
	return true;
}

void lt_overview_finish(struct lt_overview *overview)
{
	if (overview != NULL)
		lt_arena_finish(&overview->arena);
}
