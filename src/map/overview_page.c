/* Places all that is on one page of the overview. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/trade.h"
#include "loomtag/words.h"
#include "map/overview.h"

/* From the trunk's end to the text beside it. */
#define TRUNK_TEXT 1.2

/* White space between cells one above the other, at most. */
#define GAP_MOST 6.0

/* A page that is being placed. */
struct work {
	struct lt_overview_page *page;
	const struct lt_overview_context *context;
	const struct lt_overview_sizes *sizes;
	const struct lt_overview_stop *stops; /* the page's own */
	struct lt_overview_grid grid;
	struct lt_overview_seat *seats;
	double track; /* between tracks */
	bool marked;  /* there is room for the places at the trunk's ends */
};

static double width_of(const struct work *work, const struct lt_overview_line *line)
{
	return lt_text_width(work->context->input->measure, line->face, line->size, line->text);
}

/* Places a line of text about `middle`, as high as its capitals. */
static struct lt_overview_text *add_text(struct work *work, const struct lt_overview_line *line,
	double x, double middle, size_t connector)
{
	const struct lt_measure *measure = work->context->input->measure;
	struct lt_typeface_heights heights = measure->heights(measure->data, line->face);
	double top = middle - (heights.ascent - heights.capital / 2) * line->size;
	return lt_overview_add_text(work->page, work->context, line, x, top, connector);
}

/* Where the trunk comes from or goes on to, beside its end. Returns the width that it takes. */
static double place_end(struct work *work, size_t other, bool before)
{
	struct lt_map_area *board = &work->page->board;
	if (other == 0)
		return 0;
	struct lt_overview_line line = {
		.role = LT_OVERVIEW_TRUNK, .face = LT_TYPEFACE_BOLD, .size = work->sizes->em
	};
	struct lt_text text = { 0 };
	lt_overview_add_page(&text, other, before);
	line.text = lt_map_keep(work->context->arena, &text);
	double width = width_of(work, &line);
	add_text(work, &line, before ? board->x : board->x + board->width - width,
		board->y + board->height / 2, LT_NONE);
	return width + TRUNK_TEXT;
}

/* "320 mm": a place that is at one of the trunk's ends. */
static struct lt_overview_line mark_of(const struct work *work, double place)
{
	/* Larger text would reach to the branches beside the trunk. */
	const double most = 3.2;
	return (struct lt_overview_line){ .role = LT_OVERVIEW_TRUNK,
		.face = LT_TYPEFACE_BOLD,
		.size = fmin(work->sizes->em, most),
		.text = lt_arena_printf(work->context->arena, "%.9g mm", round(place * 10) / 10) };
}

static void place_marks(struct work *work)
{
	const struct lt_overview_page *page = work->page;
	const struct lt_map_area *trunk = &page->trunk;
	struct lt_overview_line from = mark_of(work, page->from), to = mark_of(work, page->to);
	double middle = trunk->y + trunk->height / 2;
	add_text(work, &from, trunk->x - TRUNK_TEXT - width_of(work, &from), middle, LT_NONE);
	add_text(work, &to, trunk->x + trunk->width + TRUNK_TEXT, middle, LT_NONE);
}

static void place_trunk(struct work *work)
{
	struct lt_overview_page *page = work->page;
	size_t count = page->label_count;
	page->from = count > 0 ? work->stops[0].place : 0;
	page->to = count > 0 ? work->stops[count - 1].place : 0;
	double before = place_end(work, page->before, true);
	double after = place_end(work, page->after, false);
	struct lt_overview_line from = mark_of(work, page->from), to = mark_of(work, page->to);
	double left = before + width_of(work, &from) + TRUNK_TEXT;
	double right = after + width_of(work, &to) + TRUNK_TEXT;
	work->marked = work->context->known && page->to > page->from &&
		       left + right < page->board.width / 2;
	if (work->marked) {
		before = left;
		after = right;
	}
	page->trunk = (struct lt_map_area){
		.x = page->board.x + before,
		.y = page->board.y + (page->board.height - LT_OVERVIEW_TRUNK_WIDTH) / 2,
		.width = page->board.width - before - after,
		.height = LT_OVERVIEW_TRUNK_WIDTH,
	};
}

size_t lt_overview_page_tiers(const struct lt_overview_context *context, double height)
{
	const struct lt_overview_sizes *sizes = &context->plan.sizes;
	double room = (height - LT_OVERVIEW_TRUNK_WIDTH) / 2 - sizes->band + LT_OVERVIEW_GAP;
	double tiers = floor(room / (sizes->cell_height + LT_OVERVIEW_GAP));
	return (size_t)fmax(0, fmin((double)sizes->tiers, tiers));
}

static void make_grid(struct work *work)
{
	const struct lt_overview_page *page = work->page;
	const struct lt_overview_sizes *sizes = work->sizes;
	size_t count = page->label_count;
	size_t *components = lt_arena_array(work->context->arena, count, sizeof *components);
	for (size_t i = 0; i < count; i++)
		components[i] = work->stops[i].component;
	size_t tiers = lt_overview_page_tiers(work->context, page->board.height);
	double room = (page->board.height - LT_OVERVIEW_TRUNK_WIDTH) / 2 - sizes->band;
	double gap = tiers > 1 ? (room - sizes->cell_height * (double)tiers) / (double)(tiers - 1)
			       : LT_OVERVIEW_GAP;
	work->grid = (struct lt_overview_grid){
		.count = count,
		.component = components,
		.trunk_left = page->trunk.x + LT_OVERVIEW_TRUNK_END,
		.trunk_right = page->trunk.x + page->trunk.width - LT_OVERVIEW_TRUNK_END,
		.columns = sizes->columns,
		.tiers = tiers,
		.left = page->board.x,
		.column = sizes->column,
		.channel = sizes->channel,
		.tracks = sizes->tracks,
		.pitch = LT_OVERVIEW_PITCH,
		.first = sizes->band + sizes->cell_height / 2,
		.step = sizes->cell_height + fmin(gap, GAP_MOST),
	};
}

/* Exits between the true scale (share 0) and even spaces (share 1). Those are even over the whole
 * board, be the trunk shorter: so each has its exit by the column that it is likely to be in. */
static void place_exits(const struct work *work, double *x, double share)
{
	const struct lt_overview_page *page = work->page;
	const struct lt_overview_grid *grid = &work->grid;
	double span = page->to - page->from, width = grid->trunk_right - grid->trunk_left;
	for (size_t i = 0; i < grid->count; i++) {
		double even = ((double)i + 0.5) / (double)grid->count;
		double along = span > 0 ? (work->stops[i].place - page->from) / span : 0.5;
		x[i] = (1 - share) * (grid->trunk_left + along * width) +
		       share * (page->board.x + even * page->board.width);
	}
}

/* True when no exit had to be moved far to keep it apart from others. */
static bool exits_are_true(const struct work *work)
{
	for (size_t i = 0; i < work->grid.count; i++)
		if (fabs(work->seats[i].exit - work->grid.x[i]) > LT_OVERVIEW_OFF_SCALE)
			return false;
	return true;
}

/* Sides and cells; off the true scale along the trunk where the tracks do not suffice for that.
 * Chosen sides need no more of them than those that are there to compare with, or there are. */
static void seat(struct work *work)
{
	static const double shares[] = { 0, 0.35, 0.7, 1 };
	size_t count = work->grid.count, tracks = 0;
	double *x = lt_alloc_array(count, sizeof *x);
	struct lt_overview_seat *alternating = lt_alloc_array(count, sizeof *alternating);
	for (size_t i = 0; i < count; i++)
		alternating[i].above = i % 2 == 0;
	work->grid.x = x;
	for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
		place_exits(work, x, shares[i]);
		lt_overview_seat(alternating, &work->grid);
		if (work->context->options.alternating)
			memcpy(work->seats, alternating, count * sizeof *alternating);
		else
			lt_overview_choose(work->seats, &work->grid);
		size_t other = lt_overview_tracks(alternating, &work->grid);
		tracks = lt_overview_tracks(work->seats, &work->grid);
		work->page->to_scale = work->marked && shares[i] == 0 && exits_are_true(work);
		if (other <= work->sizes->tracks)
			break;
	}
	work->track = LT_OVERVIEW_PITCH;
	if (tracks > work->sizes->tracks)
		work->track *= (double)work->sizes->tracks / (double)tracks;
	work->grid.x = NULL;
	free(alternating);
	free(x);
}

/* Along the way from the trunk to the badge. */
static void place_branch(const struct work *work, struct lt_overview_label *label,
	const struct lt_overview_seat *seat, double middle)
{
	const struct lt_map_area *trunk = &work->page->trunk;
	double away = seat->above ? -1 : 1;
	double edge = seat->above ? trunk->y : trunk->y + trunk->height;
	double track = edge + away * (LT_OVERVIEW_CLEAR + work->track * (double)seat->track);
	struct lt_overview_branch *branch = &label->branch;
	double x[LT_OVERVIEW_POINTS] = { seat->exit, seat->exit, seat->slot, seat->slot,
		label->badge.x };
	double y[LT_OVERVIEW_POINTS] = { edge, track, track, middle, middle };
	for (size_t i = 0; i < LT_OVERVIEW_POINTS; i++) {
		if (seat->track == 0 && (i == 1 || i == 2))
			continue;
		branch->x[branch->count] = x[i];
		branch->y[branch->count++] = y[i];
	}
}

static void place_signs(struct work *work, const struct lt_overview_words *words, double x,
	double middle, size_t connector)
{
	const struct lt_overview_sizes *sizes = work->sizes;
	struct lt_overview_page *page = work->page;
	for (size_t i = 0; i < LT_OVERVIEW_SIGNS && words->signs[i] != NULL; i++) {
		struct lt_overview_line line = { LT_OVERVIEW_SIGN, LT_TYPEFACE_BOLD, sizes->em,
			false, words->signs[i] };
		double text = width_of(work, &line);
		double width = fmax(sizes->sign, text + 0.6 * sizes->em);
		page->signs[page->sign_count++] = (struct lt_overview_sign){ words->sign_kinds[i],
			{ x, middle - sizes->sign / 2, width, sizes->sign }, connector };
		add_text(work, &line, x + (width - text) / 2, middle, connector)->white =
			words->sign_kinds[i] == LT_OVERVIEW_DANGER;
		x += width + 0.4 * sizes->em;
	}
}

/* The label's lines, centred on `middle`; signs stand before the first mark, or below. Returns how
 * far the lines reach to the right. */
static double place_lines(struct work *work, const struct lt_overview_words *words, double x,
	double middle, size_t connector)
{
	const struct lt_overview_sizes *sizes = work->sizes;
	double y = middle - words->label.height / 2;
	double indent = 0, right = x;
	for (size_t i = 0; i < words->label.count; i++) {
		const struct lt_overview_line *line = &words->label.lines[i];
		double leading = LT_OVERVIEW_LEADING * line->size;
		bool first_mark =
			line->role == LT_OVERVIEW_MARK && words->signs[0] != NULL && indent == 0;
		if (first_mark) {
			y += 0.25 * sizes->em;
			place_signs(work, words, x, y + leading / 2, connector);
			indent = lt_overview_signs_width(work->context, words);
		}
		add_text(work, line, x + indent, y + leading / 2, connector);
		right = fmax(right, x + indent + width_of(work, line));
		y += leading;
	}
	if (words->signs[0] != NULL && indent == 0)
		place_signs(work, words, x, y + 0.3 * sizes->em + sizes->sign / 2, connector);
	return right;
}

static void place_badge(struct work *work, struct lt_overview_label *label, const char *text,
	double x, double middle)
{
	const struct lt_overview_sizes *sizes = work->sizes;
	struct lt_overview_line line = { LT_OVERVIEW_BADGE, LT_TYPEFACE_BOLD, sizes->badge_em,
		false, text };
	double width = lt_text_width(work->context->input->measure, line.face, line.size, text);
	label->badge = (struct lt_map_area){ x, middle - sizes->badge_height / 2,
		sizes->badge_width, sizes->badge_height };
	add_text(work, &line, x + (sizes->badge_width - width) / 2, middle, label->connector)
		->white = label->marking == LT_MARK_STICKER;
}

static double middle_of(const struct work *work, const struct lt_overview_seat *seat)
{
	const struct lt_map_area *trunk = &work->page->trunk;
	double away = work->grid.first + work->grid.step * (double)seat->tier;
	return seat->above ? trunk->y - away : trunk->y + trunk->height + away;
}

static double badge_x(const struct work *work, const struct lt_overview_seat *seat)
{
	return work->grid.left + work->grid.column * (double)seat->column + work->grid.channel;
}

static void place_label(struct work *work, size_t index)
{
	const struct lt_overview_sizes *sizes = work->sizes;
	const struct lt_overview_seat *seat = &work->seats[index];
	const struct lt_overview_stop *stop = &work->stops[index];
	const struct lt_tags *tags = work->context->input->tags;
	const struct lt_connector *connector = &tags->harness->connectors[stop->connector];
	double middle = middle_of(work, seat), x = badge_x(work, seat);
	double beside = LT_OVERVIEW_BESIDE * sizes->em;
	struct lt_overview_words words;
	lt_overview_words(&words, work->context, stop->connector);
	struct lt_overview_label *label = &work->page->labels[index];
	*label = (struct lt_overview_label){
		.connector = stop->connector,
		.number = tags->number_of[stop->connector],
		.above = seat->above,
		.place = stop->place,
		.guessed = stop->guessed,
		.marking = connector->marking,
	};
	label->turned = label->number != 0 && lt_upside_down(label->number) != 0;
	double width = sizes->label;
	if (connector->component == LT_NONE)
		width += LT_OVERVIEW_MATE * sizes->em + sizes->component;
	label->cell = (struct lt_map_area){ x, middle - sizes->cell_height / 2,
		sizes->badge_width + beside + width, sizes->cell_height };
	place_badge(work, label, words.badge, x, middle);
	double right =
		place_lines(work, &words, x + sizes->badge_width + beside, middle, stop->connector);
	label->mate_to = label->cell.x + label->cell.width + LT_OVERVIEW_MATE * sizes->em;
	label->mate_from =
		fmin(right + beside, label->mate_to - LT_OVERVIEW_MATE_LEAST * sizes->em);
	label->mate_y = middle;
	label->mates = connector->component != LT_NONE;
	place_branch(work, label, seat, middle);
}

/* A box beside seats `first` and `last`, which are in one column, and all between. */
static void place_component(struct work *work, const struct lt_overview_seat *first,
	const struct lt_overview_seat *last, size_t index)
{
	const struct lt_overview_sizes *sizes = work->sizes;
	struct lt_overview_page *page = work->page;
	size_t component = work->grid.component[index];
	struct lt_overview_block words;
	lt_overview_component_words(&words, work->context, component);
	double top = middle_of(work, first), bottom = middle_of(work, last);
	double middle = (top + bottom) / 2, half = fabs(top - bottom) / 2;
	double height = fmax(words.height, sizes->badge_height);
	double x = badge_x(work, first) + sizes->badge_width + sizes->label +
		   (LT_OVERVIEW_BESIDE + LT_OVERVIEW_MATE) * sizes->em;
	page->components[page->component_count++] = (struct lt_overview_component){
		.component = component,
		.box = { x, middle - half - height / 2, sizes->component, 2 * half + height },
		.replaced = work->context->input->tags->harness->components[component].replace,
	};
}

void lt_overview_say_components(struct lt_overview_page *page,
	const struct lt_overview_context *context)
{
	struct work work = { .page = page, .context = context, .sizes = &context->plan.sizes };
	double pad = LT_OVERVIEW_PAD * work.sizes->em;
	for (size_t i = 0; i < page->component_count; i++) {
		const struct lt_map_area *box = &page->components[i].box;
		struct lt_overview_block words;
		lt_overview_component_words(&words, context, page->components[i].component);
		double y = box->y + (box->height - words.height) / 2 + pad;
		for (size_t j = 0; j < words.count; j++) {
			const struct lt_overview_line *line = &words.lines[j];
			double leading = LT_OVERVIEW_LEADING * line->size;
			add_text(&work, line, box->x + pad, y + leading / 2, LT_NONE);
			y += leading;
		}
	}
}

/* One box for all labels of a column that follow each other and have the same component. */
static void place_components(struct work *work, bool above)
{
	size_t first = LT_NONE, last = LT_NONE;
	for (size_t i = 0; i <= work->grid.count; i++) {
		bool end = i == work->grid.count;
		if (!end && work->seats[i].above != above)
			continue;
		bool same = !end && first != LT_NONE &&
			    work->seats[i].column == work->seats[first].column &&
			    work->grid.component[i] == work->grid.component[first];
		if (!same && first != LT_NONE && work->grid.component[first] != LT_NONE)
			place_component(work, &work->seats[first], &work->seats[last], first);
		if (!same)
			first = i;
		last = i;
	}
}

void lt_overview_place_page(struct lt_overview_page *pages, size_t page,
	const struct lt_overview_context *context, struct lt_map_area board)
{
	const struct lt_overview_plan *plan = &context->plan;
	size_t first = plan->firsts[page], count = plan->firsts[page + 1] - first;
	struct work work = {
		.page = &pages[page],
		.context = context,
		.sizes = &plan->sizes,
		.stops = context->stops + first,
		.seats = lt_alloc_array(count, sizeof *work.seats),
	};
	pages[page] = (struct lt_overview_page){
		.board = board,
		.before = page,
		.after = page + 1 < plan->count ? page + 2 : 0,
		.labels = lt_arena_array(context->arena, count, sizeof *pages->labels),
		.label_count = count,
		.components = lt_arena_array(context->arena, count, sizeof *pages->components),
		.signs = lt_arena_array(context->arena, count * LT_OVERVIEW_SIGNS,
			sizeof *pages->signs),
	};
	lt_overview_hazards(work.page, context);
	place_trunk(&work);
	make_grid(&work);
	if (count > 0)
		seat(&work);
	if (pages[page].to_scale)
		place_marks(&work);
	for (size_t i = 0; i < count; i++)
		place_label(&work, i);
	place_components(&work, true);
	place_components(&work, false);
	lt_overview_lists(work.page, context, first, count);
	free(work.seats);
}
