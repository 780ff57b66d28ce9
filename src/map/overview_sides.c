/* Which side of the trunk each branch takes, and which cell.
 *
 * Nothing crosses by construction. On each side the columns take the branches in the order of
 * their exits, and of those in one column the leftmost goes farthest out, by the leftmost slot of
 * the channel: what turns towards a badge then passes no branch that goes on. Along the trunk,
 * branches that run to the right are the nearer to it the farther right they are, and those that
 * run to the left the reverse. So length is what is left to choose by. */
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "map/overview.h"

/* Bounds of the search for sides: how often all labels are gone over, and how many lengths of one
 * branch are computed for a page in all. */
#define ROUNDS 8
#define STEPS 3000000u

/* What one side needs to be seated; made once for a page and used for every trial. */
struct seating {
	const struct lt_overview_grid *grid;
	size_t *labels;        /* of the side at hand */
	double *exits, *pools; /* theirs */
	size_t *sizes;
	double *best;  /* by columns used, then labels seated */
	size_t *taken; /* how many of them the last column took */
	struct lt_overview_seat *trial;
	size_t steps;
};

static void seating_init(struct seating *seating, const struct lt_overview_grid *grid)
{
	size_t cells = (grid->columns + 1) * (grid->count + 1);
	*seating = (struct seating){ .grid = grid };
	seating->labels = lt_alloc_array(grid->count, sizeof *seating->labels);
	seating->exits = lt_alloc_array(grid->count, sizeof *seating->exits);
	seating->pools = lt_alloc_array(grid->count, sizeof *seating->pools);
	seating->sizes = lt_alloc_array(grid->count, sizeof *seating->sizes);
	seating->best = lt_alloc_array(cells, sizeof *seating->best);
	seating->taken = lt_alloc_array(cells, sizeof *seating->taken);
	seating->trial = lt_alloc_array(grid->count, sizeof *seating->trial);
}

static void seating_finish(struct seating *seating)
{
	free(seating->labels);
	free(seating->exits);
	free(seating->pools);
	free(seating->sizes);
	free(seating->best);
	free(seating->taken);
	free(seating->trial);
}

/* Moves the exits of one side apart where they are too near, as little as can be (least squares:
 * neighbours are pooled until their means ascend), and keeps them on the trunk. */
static void part_exits(struct seating *seating, size_t count)
{
	const struct lt_overview_grid *grid = seating->grid;
	if (count == 0)
		return;
	double room = grid->trunk_right - grid->trunk_left;
	double gap = LT_OVERVIEW_PITCH;
	if (gap * (double)count > room)
		gap = room / (double)count;
	size_t pools = 0;
	for (size_t i = 0; i < count; i++) {
		seating->pools[pools] = grid->x[seating->labels[i]] - gap * (double)i;
		seating->sizes[pools++] = 1;
		while (pools > 1 && seating->pools[pools - 2] > seating->pools[pools - 1]) {
			double a = (double)seating->sizes[pools - 2],
			       b = (double)seating->sizes[pools - 1];
			seating->pools[pools - 2] =
				(seating->pools[pools - 2] * a + seating->pools[pools - 1] * b) /
				(a + b);
			seating->sizes[pools - 2] += seating->sizes[pools - 1];
			pools--;
		}
	}
	double most = grid->trunk_right - gap * (double)(count - 1);
	for (size_t pool = 0, i = 0; pool < pools; pool++)
		for (size_t j = 0; j < seating->sizes[pool]; j++, i++)
			seating->exits[i] =
				fmax(grid->trunk_left, fmin(seating->pools[pool], most)) +
				gap * (double)i;
}

static double slot_of(const struct lt_overview_grid *grid, size_t column, size_t tier)
{
	return grid->left + grid->column * (double)column + grid->channel - LT_OVERVIEW_STUB -
	       grid->pitch * (double)tier;
}

/* The length of one branch. */
static double length_of(const struct lt_overview_grid *grid, double from, size_t column,
	size_t tier)
{
	double slot = slot_of(grid, column, tier);
	double badge = grid->left + grid->column * (double)column + grid->channel;
	return fabs(from - slot) + grid->first + grid->step * (double)tier + badge - slot;
}

/* Labels `first` to first + count - 1 of the side, in one column. */
static double column_cost(struct seating *seating, size_t column, size_t first, size_t count)
{
	const struct lt_overview_grid *grid = seating->grid;
	double cost = 0;
	size_t before = LT_NONE;
	for (size_t i = 0; i < count; i++) {
		size_t component = grid->component[seating->labels[first + i]];
		cost += length_of(grid, seating->exits[first + i], column, count - 1 - i);
		if (component != LT_NONE && component != before)
			cost += LT_OVERVIEW_APART;
		before = component;
	}
	seating->steps += count;
	return cost;
}

/* The cheapest way of giving the side's labels to the columns: by columns from the left. */
static double seat_side(struct seating *seating, struct lt_overview_seat *seats, bool above)
{
	const struct lt_overview_grid *grid = seating->grid;
	size_t count = 0;
	for (size_t i = 0; i < grid->count; i++)
		if (seats[i].above == above)
			seating->labels[count++] = i;
	if (count > grid->columns * grid->tiers)
		return DBL_MAX;
	part_exits(seating, count);
	size_t row = count + 1;
	seating->best[0] = 0;
	for (size_t i = 1; i <= count; i++)
		seating->best[i] = DBL_MAX;
	for (size_t column = 1; column <= grid->columns; column++) {
		double *best = seating->best + column * row, *left = best - row;
		for (size_t i = 0; i <= count; i++) {
			best[i] = left[i];
			seating->taken[column * row + i] = 0;
			for (size_t take = 1; take <= grid->tiers && take <= i; take++) {
				if (left[i - take] == DBL_MAX)
					continue;
				double cost = left[i - take] +
					      column_cost(seating, column - 1, i - take, take);
				if (cost < best[i] - 1e-9) {
					best[i] = cost;
					seating->taken[column * row + i] = take;
				}
			}
		}
	}
	size_t left = count;
	for (size_t column = grid->columns; column > 0; column--) {
		size_t take = seating->taken[column * row + left];
		for (size_t i = 0; i < take; i++) {
			struct lt_overview_seat *seat = &seats[seating->labels[left - 1 - i]];
			seat->column = column - 1;
			seat->tier = i;
			seat->exit = seating->exits[left - 1 - i];
			seat->slot = slot_of(grid, column - 1, i);
		}
		left -= take;
	}
	return seating->best[grid->columns * row + count];
}

static double seat_both(struct seating *seating, struct lt_overview_seat *seats)
{
	double above = seat_side(seating, seats, true);
	if (above == DBL_MAX)
		return DBL_MAX;
	double below = seat_side(seating, seats, false);
	return below == DBL_MAX ? DBL_MAX : above + below;
}

double lt_overview_seat(struct lt_overview_seat *seats, const struct lt_overview_grid *grid)
{
	struct seating seating;
	seating_init(&seating, grid);
	double cost = seat_both(&seating, seats);
	seating_finish(&seating);
	return cost;
}

static size_t imbalance_of(const struct lt_overview_seat *seats, size_t count)
{
	size_t above = 0;
	for (size_t i = 0; i < count; i++)
		above += seats[i].above;
	return above > count - above ? 2 * above - count : count - 2 * above;
}

/* What the search has found so far. */
struct found {
	struct lt_overview_seat *seats;
	double cost;
	size_t imbalance;
	size_t tracks; /* no more than these may be needed */
};

/* Takes the trial when it is better. */
static bool try_sides(struct seating *seating, struct found *found)
{
	size_t count = seating->grid->count;
	double cost = seat_both(seating, seating->trial);
	size_t imbalance = imbalance_of(seating->trial, count);
	bool shorter = cost < found->cost - 1e-3;
	bool as_short = cost <= found->cost && imbalance < found->imbalance;
	if ((!shorter && !as_short) ||
		lt_overview_tracks(seating->trial, seating->grid) > found->tracks)
		return false;
	memcpy(found->seats, seating->trial, count * sizeof *seating->trial);
	found->cost = cost;
	found->imbalance = imbalance;
	return true;
}

/* Changes the sides of labels `first` to `last`, or of these two alone. */
static bool try_change(struct seating *seating, struct found *found, size_t first, size_t last,
	bool between)
{
	size_t count = seating->grid->count;
	if (last >= count || seating->steps > STEPS)
		return false;
	memcpy(seating->trial, found->seats, count * sizeof *seating->trial);
	for (size_t i = first; i <= last; i++)
		if (between || i == first || i == last)
			seating->trial[i].above = !seating->trial[i].above;
	return try_sides(seating, found);
}

/* From the sides in `seats` downhill: one label, some neighbours, two near each other, all from
 * one on. */
static void improve(struct seating *seating, struct found *found)
{
	enum { NEAR = 5 };
	size_t last = seating->grid->count - 1;
	bool better = true;
	for (size_t round = 0; round < ROUNDS && better; round++) {
		better = false;
		for (size_t i = 0; i <= last; i++) {
			for (size_t j = i; j <= i + NEAR; j++)
				better |= try_change(seating, found, i, j, true);
			for (size_t j = i + 2; j <= i + NEAR; j++)
				better |= try_change(seating, found, i, j, false);
			better |= try_change(seating, found, i, last, true);
		}
	}
}

/* Joints of one component that follow each other take the same side, runs alternate. */
static void side_by_runs(struct lt_overview_seat *seats, const struct lt_overview_grid *grid)
{
	bool above = true;
	for (size_t i = 0; i < grid->count; i++) {
		bool run = i > 0 && grid->component[i] != LT_NONE &&
			   grid->component[i] == grid->component[i - 1];
		if (i > 0 && !run)
			above = !above;
		seats[i].above = above;
	}
}

void lt_overview_choose(struct lt_overview_seat *seats, const struct lt_overview_grid *grid)
{
	if (grid->count == 0)
		return;
	struct seating seating;
	seating_init(&seating, grid);
	struct found found = { .seats = seats };
	for (size_t i = 0; i < grid->count; i++)
		seats[i].above = i % 2 == 0;
	found.cost = seat_both(&seating, seats);
	found.imbalance = imbalance_of(seats, grid->count);
	size_t tracks = lt_overview_tracks(seats, grid);
	found.tracks = tracks > grid->tracks ? tracks : grid->tracks;
	side_by_runs(seating.trial, grid);
	try_sides(&seating, &found);
	improve(&seating, &found);
	seating_finish(&seating);
}

/* True when two neighbours on a side, of which the second is farther right, are in each other's
 * way along the trunk: both run to the right (or both to the left). */
static bool shares_track(const struct lt_overview_seat *a, const struct lt_overview_seat *b,
	bool to_right)
{
	const double clear = 0.8 * LT_OVERVIEW_PITCH;
	if (to_right)
		return a->slot > a->exit && b->slot > b->exit && b->exit < a->slot + clear;
	return a->slot < a->exit && b->slot < b->exit && b->slot < a->exit + clear;
}

static size_t side_tracks(struct lt_overview_seat *seats, const struct lt_overview_grid *grid,
	bool above)
{
	size_t most = 0;
	const struct lt_overview_seat *last = NULL;
	for (size_t i = 0; i < grid->count; i++) {
		struct lt_overview_seat *seat = &seats[i];
		if (seat->above != above)
			continue;
		seat->track = seat->slot != seat->exit;
		if (seat->slot < seat->exit && last != NULL && shares_track(last, seat, false))
			seat->track = last->track + 1;
		most = seat->track > most ? seat->track : most;
		last = seat;
	}
	last = NULL;
	for (size_t i = grid->count; i-- > 0;) {
		struct lt_overview_seat *seat = &seats[i];
		if (seat->above != above)
			continue;
		if (seat->slot > seat->exit && last != NULL && shares_track(seat, last, true))
			seat->track = last->track + 1;
		most = seat->track > most ? seat->track : most;
		last = seat;
	}
	return most;
}

size_t lt_overview_tracks(struct lt_overview_seat *seats, const struct lt_overview_grid *grid)
{
	size_t above = side_tracks(seats, grid, true), below = side_tracks(seats, grid, false);
	return above > below ? above : below;
}
