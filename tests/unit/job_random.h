/* Random plans of jobs, and random changes of them. */
#ifndef TESTS_JOB_RANDOM_H
#define TESTS_JOB_RANDOM_H

#include "job/plan.h"
#include "job_fixture.h"
#include "job_model.h"

static inline uint64_t chance(uint64_t *seed)
{
	*seed ^= *seed << 13;
	*seed ^= *seed >> 7;
	*seed ^= *seed << 17;
	return *seed >> 11;
}

static inline int below(uint64_t *seed, int n)
{
	return (int)(chance(seed) % (unsigned)n);
}

static inline bool one_in(uint64_t *seed, int n)
{
	return below(seed, n) == 0;
}

/* What can happen to a description in the middle of a job. */
enum change {
	CHANGE_NOTHING,
	CHANGE_NUMBER,
	CHANGE_NUMBERS_EXCHANGED,
	CHANGE_REMOVED,
	CHANGE_ADDED,
	CHANGE_CAME_BACK,
	CHANGE_RENAMED,
	CHANGE_RENAMED_UNSAID, /* without `was` */
	CHANGE_MATE,
	CHANGE_MATE_DESCRIBED,
	CHANGE_MATE_DROPPED,
	CHANGE_PORT,
	CHANGE_SIDES,
	CHANGE_FATE,
	CHANGE_PAPER,
	CHANGE_UNNUMBERED, /* to `tag: none`, and back */
	CHANGE_AFTER_ADDED,
	CHANGE_AFTER_DROPPED,
	CHANGE_KIND,
	CHANGE_LINE,
	CHANGE_HAZARD,
	CHANGE_ORDER,
	CHANGE_OLD_M,
	CHANGES
};

/* A description that changes. */
struct description {
	struct job_model_plan plan;
	int last_id;
	struct job_model_connector gone; /* the last that was removed; id 0: none */
};

static inline int free_number(const struct job_model_plan *plan, uint64_t *seed)
{
	for (;;) {
		const int number = 1 + below(seed, 20);
		bool taken = false;
		for (int i = 0; i < plan->count; i++)
			taken = taken || plan->connectors[i].number == number;
		if (!taken)
			return number;
	}
}

/* Whether one comes after another, by whatever way. */
static inline bool follows(const struct job_model_plan *plan, int connector, int before)
{
	for (int i = 0; i < plan->count; i++)
		if (plan->connectors[connector].after[i] &&
			(i == before || follows(plan, i, before)))
			return true;
	return false;
}

static inline void add_after(struct job_model_plan *plan, uint64_t *seed)
{
	const int a = below(seed, plan->count), b = below(seed, plan->count);
	if (a != b && !follows(plan, b, a))
		plan->connectors[a].after[b] = true;
}

/* The connector at `from` goes to `to`, and those between make room. */
static inline void move_connector(struct job_model_plan *plan, int from, int to)
{
	const struct job_model_plan old = *plan;
	int place[JOB_MODEL_CONNECTORS], next = 0;
	for (int i = 0; i < plan->count; i++) {
		next += next == to;
		place[i] = i == from ? to : next++;
	}
	for (int i = 0; i < plan->count; i++) {
		struct job_model_connector *moved = &plan->connectors[place[i]];
		*moved = old.connectors[i];
		for (int k = 0; k < plan->count; k++)
			moved->after[place[k]] = old.connectors[i].after[k];
	}
}

static inline void set_fate(struct job_model_connector *c, bool replaced)
{
	c->replaced = replaced && c->two_sided && c->mate != 0 && c->number != 0;
	c->old_m = c->old_m && c->replaced;
}

static inline void add_connector(struct description *d, const struct job_model_connector *connector,
	uint64_t *seed)
{
	struct job_model_plan *plan = &d->plan;
	if (plan->count == JOB_MODEL_CONNECTORS)
		return;
	struct job_model_connector *c = &plan->connectors[plan->count];
	*c = *connector;
	memset(c->after, 0, sizeof(c->after));
	for (int i = 0; i < plan->count; i++)
		if (c->number != 0 && plan->connectors[i].number == c->number)
			c->number = free_number(plan, seed);
	plan->count++;
	move_connector(plan, plan->count - 1, below(seed, plan->count));
	for (int times = below(seed, 3); times > 0; times--)
		add_after(plan, seed);
}

static inline void add_any(struct description *d, uint64_t *seed)
{
	struct job_model_connector c = { .id = ++d->last_id };
	c.number = one_in(seed, 4) ? 0 : free_number(&d->plan, seed);
	c.two_sided = !one_in(seed, 5);
	c.mate = one_in(seed, 4) ? 0 : 1 + below(seed, 3);
	c.port = one_in(seed, 3) ? 1 + below(seed, 2) : 0;
	c.paper = c.number != 0 && one_in(seed, 4);
	c.old_x = one_in(seed, 6);
	set_fate(&c, one_in(seed, 2));
	c.old_m = c.replaced && one_in(seed, 5);
	add_connector(d, &c, seed);
}

static inline void remove_connector(struct description *d, int at)
{
	struct job_model_plan *plan = &d->plan;
	if (plan->count == 1)
		return;
	move_connector(plan, at, plan->count - 1);
	d->gone = plan->connectors[--plan->count];
	for (int i = 0; i < plan->count; i++)
		plan->connectors[i].after[plan->count] = false;
}

static inline void exchange_numbers(struct job_model_plan *plan, uint64_t *seed)
{
	struct job_model_connector *a = &plan->connectors[below(seed, plan->count)];
	struct job_model_connector *b = &plan->connectors[below(seed, plan->count)];
	if (a->number == 0 || b->number == 0)
		return;
	const int number = a->number;
	a->number = b->number;
	b->number = number;
}

/* Another one than before, from 1 to `most`. */
static inline int another(int before, int most, uint64_t *seed)
{
	return before == 0 ? 1 + below(seed, most) : 1 + (before + below(seed, most - 1)) % most;
}

static inline void change_number(struct job_model_plan *plan, struct job_model_connector *c,
	enum change change, uint64_t *seed)
{
	if (change == CHANGE_NUMBER && c->number != 0)
		c->number = free_number(plan, seed);
	if (change == CHANGE_PAPER && c->number != 0)
		c->paper = !c->paper;
	if (change != CHANGE_UNNUMBERED)
		return;
	c->number = c->number != 0 ? 0 : free_number(plan, seed);
	c->paper = false;
	set_fate(c, c->replaced);
}

static inline void change_what_it_is(struct job_model_connector *c, enum change change,
	uint64_t *seed)
{
	if (change == CHANGE_MATE || (change == CHANGE_MATE_DESCRIBED && c->mate == 0))
		c->mate = another(c->mate, 3, seed);
	if (change == CHANGE_MATE_DROPPED)
		c->mate = 0;
	if (change == CHANGE_PORT)
		c->port = one_in(seed, 4) ? 0 : another(c->port, 3, seed);
	if (change == CHANGE_SIDES)
		c->two_sided = !c->two_sided;
	if (change == CHANGE_KIND)
		c->kind = (c->kind + 1) % 3;
	if (change == CHANGE_OLD_M && c->replaced)
		c->old_m = !c->old_m;
	set_fate(c, change == CHANGE_FATE ? !c->replaced : c->replaced);
}

static inline void change_names(struct description *d, struct job_model_connector *c,
	enum change change, uint64_t *seed)
{
	if (change != CHANGE_RENAMED && change != CHANGE_RENAMED_UNSAID)
		return;
	c->was = change == CHANGE_RENAMED ? c->id : 0;
	/* Also by the id of one that was taken out, perhaps in the same plan. */
	if (d->gone.id != 0 && one_in(seed, 2)) {
		c->id = d->gone.id;
		d->gone.id = 0;
	} else {
		c->id = ++d->last_id;
	}
}

static inline void change_list(struct description *d, int at, enum change change, uint64_t *seed)
{
	struct job_model_plan *plan = &d->plan;
	if (change == CHANGE_NUMBERS_EXCHANGED)
		exchange_numbers(plan, seed);
	if (change == CHANGE_REMOVED)
		remove_connector(d, at);
	if (change == CHANGE_ADDED)
		add_any(d, seed);
	if (change == CHANGE_CAME_BACK && d->gone.id != 0) {
		add_connector(d, &d->gone, seed);
		d->gone.id = 0;
	}
	if (change == CHANGE_AFTER_ADDED)
		for (int times = 0; times < 3; times++)
			add_after(plan, seed);
	if (change == CHANGE_AFTER_DROPPED)
		memset(plan->connectors[at].after, 0, sizeof(plan->connectors[at].after));
	if (change == CHANGE_LINE)
		plan->finish[below(seed, 3)] ^= true;
	if (change == CHANGE_HAZARD)
		plan->hazard = (plan->hazard + 1) % 3;
	if (change == CHANGE_ORDER)
		for (int times = 0; times < 3; times++)
			move_connector(plan, below(seed, plan->count), below(seed, plan->count));
}

static inline void change_description(struct description *d, enum change change, uint64_t *seed)
{
	const int at = below(seed, d->plan.count);
	struct job_model_connector *c = &d->plan.connectors[at];
	change_number(&d->plan, c, change, seed);
	change_what_it_is(c, change, seed);
	change_names(d, c, change, seed);
	change_list(d, at, change, seed);
}

static inline void random_description(struct description *out, uint64_t *seed)
{
	memset(out, 0, sizeof(*out));
	for (int count = one_in(seed, 8) ? 1 : 3 + below(seed, 5); count > 0; count--)
		add_any(out, seed);
	for (int times = below(seed, 7); times > 0; times--)
		add_after(&out->plan, seed);
	for (int i = 0; i < 3; i++)
		out->plan.finish[i] = one_in(seed, 2);
	out->plan.hazard = below(seed, 3);
}

/* The description as the program has it, and the plan it makes of it, from `arena`. The lines in
 * words are the program's; how many there are is checked. */
static inline const char *make_plan(struct job_model_plan *plan, struct job_fixture *fixture,
	struct lt_arena *arena)
{
	static const char *const lines[] = { "covers closed", "nothing pinched",
		"cover screwed on" };
	struct lt_job_plan made;
	struct lt_text text = { .bytes = NULL };
	int line_count = 0;
	job_fixture_begin(fixture);
	for (int i = 0; i < 8; i++)
		fixture->components[i] =
			(struct lt_component){ .id = lt_arena_printf(arena, "B%d", i % 4),
				.replace = i >= 4 };
	fixture->harness.component_count = 8;
	for (int i = 0; i < plan->count; i++) {
		const struct job_model_connector *c = &plan->connectors[i];
		size_t after[JOB_MODEL_CONNECTORS], count = 0;
		for (int k = 0; k < plan->count; k++)
			if (c->after[k])
				after[count++] = (size_t)k;
		job_fixture_add(fixture, (unsigned)c->number, c->two_sided ? 2 : 1, false, after,
			count);
		struct lt_connector *to = &fixture->connectors[i];
		to->id = lt_arena_printf(arena, "X%d", c->id);
		to->was = c->was != 0 ? lt_arena_printf(arena, "X%d", c->was) : NULL;
		to->port = c->port != 0 ? lt_arena_printf(arena, "P%d", c->port) : NULL;
		to->component = c->mate == 0 ? LT_NONE : (size_t)(c->mate + (c->replaced ? 4 : 0));
		to->kind = (enum lt_kind)c->kind;
		to->marking = c->number == 0 ? LT_MARK_NONE
			      : c->paper     ? LT_MARK_PAPER
					     : LT_MARK_STICKER;
		fixture->x_printed[i] = c->old_x;
		fixture->m_is_old[i] = c->old_m;
		line_count += c->number == 0;
	}
	fixture->connector_of[0] = LT_NONE;
	for (int i = 0; i < 3; i++)
		if (plan->finish[i])
			fixture->finish[fixture->harness.finish_count++].text = lines[i];
	fixture->hazard = (struct lt_hazard){ .energy = "mains 230 V",
		.restore = plan->hazard == 2 ? "last" : NULL };
	fixture->harness.hazard_count = plan->hazard != 0;
	line_count += (int)(fixture->harness.finish_count + fixture->harness.hazard_count);

	lt_job_plan_make(&made, arena, &fixture->tags);
	assert(made.line_count == (size_t)line_count);
	plan->line_count = line_count;
	for (int i = 0; i < line_count; i++)
		snprintf(plan->lines[i], sizeof(plan->lines[i]), "%s", made.lines[i].text);
	lt_job_plan_write(&text, &made);
	const char *written = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return written;
}

#endif
