/* How good a page of the overview is, measured on what was placed. */
#include <math.h>

#include "loomtag/map.h"

struct reach {
	double left, top, right, bottom;
};

/* A hair, so that what only touches by rounding counts as meeting. */
#define HAIR 1e-6

static struct reach reach_of(const struct lt_overview_branch *branch, size_t piece)
{
	double x1 = branch->x[piece], x2 = branch->x[piece + 1];
	double y1 = branch->y[piece], y2 = branch->y[piece + 1];
	return (struct reach){ fmin(x1, x2), fmin(y1, y2), fmax(x1, x2), fmax(y1, y2) };
}

static bool meet(struct reach a, struct reach b)
{
	return a.left <= b.right + HAIR && b.left <= a.right + HAIR && a.top <= b.bottom + HAIR &&
	       b.top <= a.bottom + HAIR;
}

/* Pieces lie along or across the page, so where they reach is where they are. */
static bool branches_meet(const struct lt_overview_branch *a, const struct lt_overview_branch *b)
{
	for (size_t i = 0; i + 1 < a->count; i++)
		for (size_t j = 0; j + 1 < b->count; j++)
			if (meet(reach_of(a, i), reach_of(b, j)))
				return true;
	return false;
}

static bool runs_through(const struct lt_overview_branch *branch, const struct lt_overview_box *box)
{
	struct reach reach = { box->x, box->y, box->x + box->width, box->y + box->height };
	for (size_t i = 0; i + 1 < branch->count; i++)
		if (meet(reach_of(branch, i), reach))
			return true;
	return false;
}

static double length_of(const struct lt_overview_branch *branch)
{
	double length = 0;
	for (size_t i = 0; i + 1 < branch->count; i++)
		length += fabs(branch->x[i + 1] - branch->x[i]) +
			  fabs(branch->y[i + 1] - branch->y[i]);
	return length;
}

static bool has_box_before(const struct lt_overview_page *page, size_t index)
{
	for (size_t i = 0; i < index; i++)
		if (page->components[i].component == page->components[index].component)
			return true;
	return false;
}

struct lt_overview_quality lt_overview_quality(const struct lt_overview_page *page)
{
	struct lt_overview_quality quality = { 0 };
	size_t above = 0;
	for (size_t i = 0; i < page->label_count; i++) {
		const struct lt_overview_label *label = &page->labels[i];
		above += label->above;
		quality.length += length_of(&label->branch);
		for (size_t j = 0; j < i; j++)
			quality.crossings += branches_meet(&label->branch, &page->labels[j].branch);
		for (size_t j = 0; j < page->label_count; j++)
			quality.crossings +=
				j != i && runs_through(&label->branch, &page->labels[j].cell);
		for (size_t j = 0; j < page->component_count; j++)
			quality.crossings += runs_through(&label->branch, &page->components[j].box);
	}
	for (size_t i = 0; i < page->component_count; i++)
		if (has_box_before(page, i))
			quality.length += LT_OVERVIEW_APART;
	size_t below = page->label_count - above;
	quality.imbalance = above > below ? above - below : below - above;
	return quality;
}

int lt_overview_compare(struct lt_overview_quality a, struct lt_overview_quality b)
{
	if (a.crossings != b.crossings)
		return a.crossings < b.crossings ? -1 : 1;
	if (fabs(a.length - b.length) > 1e-3)
		return a.length < b.length ? -1 : 1;
	if (a.imbalance != b.imbalance)
		return a.imbalance < b.imbalance ? -1 : 1;
	return 0;
}
