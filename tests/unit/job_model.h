/* The rules of jobs stated a second time, on the second statement of the rules of verifying. What
 * one event does is worked out from the whole state; what holds after a new plan is worked out anew
 * for every joint of it. Slow, plain, and sharing nothing with src/job. The rules in words are in
 * DEVELOPERS.md. */
#ifndef TESTS_JOB_MODEL_H
#define TESTS_JOB_MODEL_H

#include <stdio.h>

#include "verify_model.h"

enum {
	JOB_MODEL_CONNECTORS = 8,
	JOB_MODEL_LINES = JOB_MODEL_CONNECTORS + 4,
	JOB_MODEL_STRAYS = 32,
	MODEL_FINISH = MODEL_STAGES,
	JOB_MODEL_STAGES
};

/* A connector as the description has it; 0 is "none" and "not described". */
struct job_model_connector {
	int id, was; /* was 0: it had no other */
	int number, mate, port, kind;
	bool two_sided, replaced, paper, old_x, old_m;
	bool after[JOB_MODEL_CONNECTORS];
};

struct job_model_plan {
	int count;
	struct job_model_connector connectors[JOB_MODEL_CONNECTORS];
	bool finish[3]; /* these lines are ticked at the end */
	int hazard;     /* 0: none; 1, 2: how it is restored */
	int line_count; /* all that is ticked, in words */
	char lines[JOB_MODEL_LINES][64];
};

enum job_model_kind {
	JOB_MODEL_SCAN,
	JOB_MODEL_SKIP,
	JOB_MODEL_UNDO,
	JOB_MODEL_LEAVE_OUT,
	JOB_MODEL_GO_ON,
	JOB_MODEL_PICTURE,
	JOB_MODEL_TICK, /* of line `number` */
	JOB_MODEL_HAZARD,
	JOB_MODEL_PLAN,
	JOB_MODEL_APART, /* of stray `number` */
	JOB_MODEL_CLOSE, /* number 0: all is done; 1: with a reason */
	JOB_MODEL_KINDS
};

struct job_model_event {
	enum job_model_kind kind;
	int stage;
	int station; /* from 0 */
	struct model_scan scan;
	int number;
	bool typed;
	const struct job_model_plan *plan;
};

/* A wrong mate, one joint of which is gone, or at swap has a part that stays after all. */
struct job_model_stray {
	int stage;
	char tags[24];
	bool apart;
};

struct job_model {
	struct job_model_plan plan;
	int plans;
	int connector_of[MODEL_JOINTS]; /* by joint */
	struct model at[MODEL_STAGES];
	bool wrong_step[MODEL_STAGES][MODEL_DEPTH]; /* the step at this depth was a wrong mate */
	bool reconnecting, unplug_unknown, closed;
	bool asked[MODEL_JOINTS]; /* at reconnect in any case: a plan or two scans made it so */
	int since[MODEL_STAGES][MODEL_JOINTS]; /* the event that made it, or -1 */
	int ticked[JOB_MODEL_LINES];           /* event, or -1 */
	int ticked_at[JOB_MODEL_LINES];        /* station; -1: before the present plan */
	bool begun[JOB_MODEL_STAGES], left_out[JOB_MODEL_STAGES];
	int stage;      /* the present one */
	int gone_count; /* joints that a plan took away */
	int stray_count;
	struct job_model_stray strays[JOB_MODEL_STRAYS];
	/* Of the last event: */
	bool accepted;
	int row;                  /* of a scan's verdict */
	int voided, opened, kept; /* of a plan: joints */
};

/* Until somebody did something at reconnect, what is needed there follows what came apart. */
static inline void job_model_prepare(struct job_model *m)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	bool any = false;
	if (m->reconnecting)
		return;
	for (int i = 0; i < reconnect->plan.count; i++) {
		const bool noted = m->at[MODEL_UNPLUG].now.made[i];
		any = any || noted;
		/* A part goes out with its joints apart, whoever noted it. */
		reconnect->plan.apart[i] =
			noted || reconnect->plan.joints[i].replaced || m->asked[i];
	}
	reconnect->plan.apart_known = any && !m->unplug_unknown;
	model_begin(reconnect);
}

static inline void job_model_need(struct job_model *m, int number)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	if (m->reconnecting)
		model_require(reconnect, model_find(reconnect, number));
}

static inline void job_model_untick(struct job_model *m)
{
	for (int i = 0; i < JOB_MODEL_LINES; i++)
		m->ticked[i] = -1;
}

/* What is open, or apart, is not as it was when a line was ticked. */
static inline void job_model_untick_where_changed(struct job_model *m, int before[2][MODEL_JOINTS])
{
	if (memcmp(before[0], m->at[MODEL_RECONNECT].now.made, sizeof(before[0])) != 0 ||
		memcmp(before[1], m->at[MODEL_UNPLUG].now.made, sizeof(before[1])) != 0)
		job_model_untick(m);
}

static inline void job_model_scan(struct job_model *m, const struct job_model_event *e, int index)
{
	struct model *at = &m->at[e->stage];
	const int pending = model_pending(at);
	bool changed;
	m->row = model_feed(at, e->scan, &changed);
	const char *verdict = model_rows[m->row].verdict;
	const bool wrong = strcmp(verdict, "wrong-mate") == 0;
	if (changed)
		m->wrong_step[e->stage][at->depth - 1] = wrong;
	if (e->stage == MODEL_RECONNECT && changed)
		m->reconnecting = true;
	if (strcmp(verdict, "mated") == 0 || strcmp(verdict, "done") == 0 ||
		(e->stage == MODEL_UNPLUG && strcmp(verdict, "out-of-order") == 0))
		m->since[e->stage][model_find(at, e->scan.number)] = index;
	if (e->stage == MODEL_UNPLUG &&
		(strcmp(verdict, "done") == 0 || strcmp(verdict, "out-of-order") == 0 ||
			strcmp(verdict, "repeat") == 0)) {
		m->asked[model_find(at, e->scan.number)] |= strcmp(verdict, "repeat") == 0;
		job_model_need(m, e->scan.number);
		job_model_untick(m);
	}
	/* The new part has come: nothing is plugged into it. */
	if (e->stage == MODEL_SWAP &&
		(strcmp(verdict, "mated") == 0 || strcmp(verdict, "repeat") == 0)) {
		job_model_need(m, e->scan.number);
		job_model_untick(m);
	}
	if (wrong && e->stage == MODEL_RECONNECT)
		job_model_untick(m);
	if (wrong && e->stage != MODEL_RECONNECT) {
		job_model_need(m, e->scan.number);
		job_model_need(m, pending);
	}
}

static inline bool job_model_skip(struct job_model *m, const struct job_model_event *e)
{
	if (e->stage == MODEL_FINISH)
		return false;
	struct model *at = &m->at[e->stage];
	const int joint = model_find(at, e->number);
	const int depth = at->depth;
	if (joint < 0 || at->now.made[joint] || !model_skip(at, e->number))
		return false;
	if (at->depth > depth)
		m->wrong_step[e->stage][depth] = false;
	m->reconnecting = m->reconnecting || e->stage == MODEL_RECONNECT;
	return true;
}

static inline bool job_model_take_tick_back(struct job_model *m, int station)
{
	int last = -1;
	for (int i = 0; i < m->plan.line_count; i++)
		if (m->ticked[i] >= 0 && m->ticked_at[i] == station &&
			(last < 0 || m->ticked[i] > m->ticked[last]))
			last = i;
	if (last >= 0)
		m->ticked[last] = -1;
	return last >= 0;
}

static inline int job_model_apart_count(const struct job_model *m)
{
	int count = 0;
	for (int i = 0; i < m->at[MODEL_UNPLUG].plan.count; i++)
		count += m->at[MODEL_UNPLUG].now.made[i];
	return count;
}

/* All that were left plugged in are to be made: it is not known what came apart. */
static inline void job_model_need_all(struct job_model *m)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	for (int i = 0; m->reconnecting && i < reconnect->plan.count; i++)
		if (reconnect->now.left[i])
			model_require(reconnect, i);
}

static inline bool job_model_undo(struct job_model *m, const struct job_model_event *e)
{
	if (e->stage == MODEL_FINISH)
		return job_model_take_tick_back(m, e->station);
	struct model *at = &m->at[e->stage];
	if (at->depth == 0 || m->wrong_step[e->stage][at->depth - 1] || !model_undo(at))
		return false;
	/* Others were left plugged in since some were noted as apart; none is any more. */
	if (e->stage == MODEL_UNPLUG && job_model_apart_count(m) == 0)
		job_model_need_all(m);
	return true;
}

static inline void job_model_leave_out(struct job_model *m, const struct job_model_event *e)
{
	m->left_out[e->stage] = true;
	if (e->stage != MODEL_UNPLUG)
		return;
	m->unplug_unknown = true;
	job_model_untick(m);
	job_model_need_all(m);
}

/* Whoever goes back to a stage is asked for all of it. */
static inline void job_model_go_on(struct job_model *m, const struct job_model_event *e)
{
	m->stage = e->stage;
	for (int i = 0; e->stage != MODEL_FINISH && i < m->at[e->stage].plan.count; i++)
		if (m->at[e->stage].now.unasked[i])
			model_ask(&m->at[e->stage], i, true);
}

static inline bool job_model_tick(struct job_model *m, const struct job_model_event *e, int index)
{
	if (e->stage != MODEL_FINISH || e->number >= m->plan.line_count)
		return false;
	if (m->ticked[e->number] < 0) {
		m->ticked[e->number] = index;
		m->ticked_at[e->number] = e->station;
	}
	return true;
}

/* A new plan. */

static inline int job_model_of_id(const struct job_model_plan *plan, int id)
{
	for (int i = 0; i < plan->count; i++)
		if (id != 0 && plan->connectors[i].id == id)
			return i;
	return -1;
}

/* The connector of the old plan that this one is, or -1. One that is newly said to have been
 * another of the old plan, where that plan has its own id as well, may be either, so it is neither.
 */
static inline int job_model_was(const struct job_model_plan *old,
	const struct job_model_connector *connector)
{
	const int own = job_model_of_id(old, connector->id);
	const int earlier = job_model_of_id(old, connector->was);
	if (own >= 0 && earlier >= 0 && earlier != own &&
		old->connectors[own].was != connector->was)
		return -1;
	return own >= 0 ? own : earlier;
}

/* It was said before, and is something else now, or nothing. */
static inline bool job_model_says_otherwise(int before, int now)
{
	return before != 0 && before != now;
}

/* Two descriptions of one joint, so different that what was noted of it counts no more. */
static inline bool job_model_voids(const struct job_model_connector *before,
	const struct job_model_connector *now)
{
	return before->number != now->number || job_model_says_otherwise(before->mate, now->mate) ||
	       job_model_says_otherwise(before->port, now->port) ||
	       before->two_sided != now->two_sided || before->replaced != now->replaced ||
	       (before->paper && !now->paper) || (!before->old_m && now->old_m);
}

static inline void job_model_describe(struct job_model *m, const struct job_model_plan *plan)
{
	int node_of[JOB_MODEL_CONNECTORS];
	struct model_plan all;
	memset(&all, 0, sizeof(all));
	for (int i = 0; i < plan->count; i++) {
		const struct job_model_connector *c = &plan->connectors[i];
		if (c->number == 0) {
			node_of[i] = MODEL_JOINTS + all.passages++;
			continue;
		}
		node_of[i] = all.count;
		all.order[all.count] = all.count;
		m->connector_of[all.count] = i;
		all.joints[all.count++] = (struct model_joint){ c->number, c->two_sided,
			c->replaced, c->paper, c->old_x, c->old_m };
	}
	for (int i = 0; i < plan->count; i++)
		for (int k = 0; k < plan->count; k++)
			all.after[node_of[i]][node_of[k]] = plan->connectors[i].after[k];
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		memset(&m->at[stage], 0, sizeof(m->at[stage]));
		m->at[stage].plan = all;
		m->at[stage].plan.stage = (enum model_stage)stage;
	}
	m->plan = *plan;
}

/* For a new plan: what each of its joints was in the old one. */
struct job_model_change {
	const struct job_model *old;
	int was[MODEL_JOINTS];     /* the old joint, also of one that is void; -1 */
	bool is_new[MODEL_JOINTS]; /* it is new, or void, which counts as new */
};

static inline int job_model_old_joint(const struct job_model *old, int connector)
{
	for (int i = 0; i < old->at[0].plan.count; i++)
		if (old->connector_of[i] == connector)
			return i;
	return -1;
}

static inline void job_model_compare(struct job_model_change *out, struct job_model *m,
	const struct job_model *old)
{
	out->old = old;
	for (int i = 0; i < m->at[0].plan.count; i++) {
		const struct job_model_connector *now = &m->plan.connectors[m->connector_of[i]];
		const int was = job_model_was(&old->plan, now);
		out->was[i] = was < 0 ? -1 : job_model_old_joint(old, was);
		out->is_new[i] =
			out->was[i] < 0 || job_model_voids(&old->plan.connectors[was], now);
		m->voided += out->is_new[i] && out->was[i] >= 0;
		m->gone_count -= out->was[i] >= 0;
	}
	m->gone_count += old->at[0].plan.count;
}

/* What was noted of joints that are the same is kept. */
static inline void job_model_carry_joints(struct job_model *m,
	const struct job_model_change *change, int stage)
{
	const struct model_state *before = &change->old->at[stage].now;
	struct model_state *now = &m->at[stage].now;
	const bool over = stage != MODEL_RECONNECT && m->begun[stage] && stage < m->stage;
	for (int i = 0; i < m->at[stage].plan.count; i++) {
		const int was = change->was[i];
		m->since[stage][i] = change->is_new[i] ? -1 : change->old->since[stage][was];
		if (change->is_new[i]) {
			/* A stage that was left half-way stays so. */
			const bool open = was >= 0 && !before->made[was] && !before->unasked[was] &&
					  model_concerns(&change->old->at[stage], was);
			now->unasked[i] = over && !open && model_concerns(&m->at[stage], i);
			continue;
		}
		now->made[i] = before->made[was];
		now->by_typing[i] = before->by_typing[was];
		now->skipped[i] = before->skipped[was];
		now->left[i] = before->left[was];
		now->unasked[i] = before->unasked[was];
	}
}

static inline void job_model_carry_wrong(struct job_model *m, const struct job_model_change *change,
	int stage)
{
	const struct model *before = &change->old->at[stage];
	for (int k = 0; k < before->now.wrong_count; k++) {
		const int *wrong = before->now.wrong[k];
		int number[2] = { 0, 0 };
		for (int i = 0; i < m->at[stage].plan.count; i++)
			for (int half = 0; half < 2; half++)
				if (change->was[i] >= 0 &&
					before->plan.joints[change->was[i]].number == wrong[half] &&
					model_concerns(&m->at[stage], i))
					number[half] = m->at[stage].plan.joints[i].number;
		if (number[0] != 0 && number[1] != 0) {
			model_find_wrong(&m->at[stage], number[0], wrong[3], number[1], wrong[2]);
			continue;
		}
		assert(m->stray_count < JOB_MODEL_STRAYS);
		struct job_model_stray *stray = &m->strays[m->stray_count++];
		*stray = (struct job_model_stray){ .stage = stage };
		snprintf(stray->tags, sizeof(stray->tags), "%d%c %d%c", wrong[0], wrong[3],
			wrong[1], wrong[2]);
	}
}

/* An `after` that the old plan did not have. */
static inline bool job_model_new_after(const struct job_model *m,
	const struct job_model_change *change, int connector, int before)
{
	const struct job_model_plan *old = &change->old->plan;
	const int a = job_model_was(old, &m->plan.connectors[connector]);
	const int b = job_model_was(old, &m->plan.connectors[before]);
	return a < 0 || b < 0 || !old->connectors[a].after[b];
}

/* A way leads from one connector to what comes before it, over those without a number, and there
 * is an `after` on it that the old plan did not have. */
static inline bool job_model_newly_after(const struct job_model *m,
	const struct job_model_change *change, int connector, int before, bool any_new)
{
	for (int i = 0; i < m->plan.count; i++) {
		if (!m->plan.connectors[connector].after[i])
			continue;
		const bool new = any_new || job_model_new_after(m, change, connector, i);
		if (i == before ? new
				: m->plan.connectors[i].number == 0 &&
					  job_model_newly_after(m, change, i, before, new))
			return true;
	}
	return false;
}

/* Something before it is open that should not be: for one that was made, anything; for one that
 * was left plugged in, what it was not left in with. */
static inline bool job_model_undermined(const struct job_model *m,
	const struct job_model_change *change, int joint)
{
	const struct model *at = &m->at[MODEL_RECONNECT];
	for (int i = 0; i < at->plan.count; i++) {
		if (at->now.made[i])
			continue;
		if (at->now.left[joint] ? job_model_newly_after(m, change, m->connector_of[joint],
						  m->connector_of[i], false)
					: model_comes_after(&at->plan, joint, i))
			return true;
	}
	return false;
}

/* What was made on what is no longer made is open. */
static inline void job_model_open(struct job_model *m, const struct job_model_change *change)
{
	struct model *at = &m->at[MODEL_RECONNECT];
	bool opened[MODEL_JOINTS] = { false };
	for (int i = 0; i < at->plan.count; i++)
		for (int k = 0; k < at->plan.count; k++)
			if (change->is_new[k] && change->was[k] >= 0 &&
				change->old->at[MODEL_RECONNECT].now.made[change->was[k]] &&
				model_comes_after(&at->plan, i, k))
				opened[i] = at->now.made[i];
	model_open_all(at, opened);
	for (bool again = true; again;) {
		again = false;
		for (int i = 0; i < at->plan.count; i++)
			if (at->now.made[i] && job_model_undermined(m, change, i)) {
				model_open(at, i, i);
				again = true;
			}
	}
}

/* Ticks stay with their lines, unless a joint is to be made that was not when they were given. */
static inline void job_model_carry_ticks(struct job_model *m, const struct job_model_change *change)
{
	const struct job_model *old = change->old;
	bool all = false;
	for (int i = 0; i < m->at[0].plan.count; i++) {
		const bool opened = !change->is_new[i] &&
				    old->at[MODEL_RECONNECT].now.made[change->was[i]] &&
				    !m->at[MODEL_RECONNECT].now.made[i];
		all = all || change->is_new[i] || opened;
		m->opened += opened;
		m->kept += !change->is_new[i] && m->at[MODEL_RECONNECT].now.made[i];
	}
	job_model_untick(m);
	for (int i = 0; !all && i < m->plan.line_count; i++)
		for (int k = 0; k < old->plan.line_count; k++)
			if (strcmp(m->plan.lines[i], old->plan.lines[k]) == 0) {
				m->ticked[i] = old->ticked[k];
				m->ticked_at[i] = -1;
			}
}

/* What came apart, or lost its part, and was not made before it went hangs loose. */
static inline void job_model_note_loose(struct job_model *m, const struct job_model_change *change)
{
	const struct job_model *old = change->old;
	for (int joint = 0; joint < old->at[0].plan.count; joint++) {
		bool stays = false;
		for (int i = 0; i < m->at[0].plan.count; i++)
			stays = stays || change->was[i] == joint;
		if (stays || old->at[MODEL_RECONNECT].now.made[joint] ||
			(!old->at[MODEL_UNPLUG].now.made[joint] &&
				!old->at[MODEL_SWAP].now.made[joint]))
			continue;
		assert(m->stray_count < JOB_MODEL_STRAYS);
		struct job_model_stray *stray = &m->strays[m->stray_count++];
		*stray = (struct job_model_stray){ .stage = MODEL_RECONNECT };
		snprintf(stray->tags, sizeof(stray->tags), "%dH",
			old->at[0].plan.joints[joint].number);
	}
}

static inline void job_model_replan(struct job_model *m, const struct job_model_plan *plan)
{
	static struct job_model old;
	struct job_model_change change;
	old = *m;
	m->plans++;
	m->voided = m->opened = m->kept = 0;
	job_model_describe(m, plan);
	job_model_compare(&change, m, &old);
	job_model_note_loose(m, &change);
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		job_model_carry_joints(m, &change, stage);
		job_model_carry_wrong(m, &change, stage);
	}
	job_model_open(m, &change);
	/* Others were left plugged in since some were noted as apart; none is any more. */
	if (job_model_apart_count(m) == 0)
		job_model_need_all(m);
	/* By the first plan none is new. */
	for (int i = 0; i < m->at[0].plan.count && old.plans > 0; i++)
		m->asked[i] = change.is_new[i] || old.asked[change.was[i]] ||
			      (old.at[MODEL_RECONNECT].now.left[change.was[i]] &&
				      !m->at[MODEL_RECONNECT].now.left[i]);
	job_model_prepare(m);
	job_model_carry_ticks(m, &change);
}

/* The answers. */

static inline bool job_model_all_ticked(const struct job_model *m)
{
	for (int i = 0; i < m->plan.line_count; i++)
		if (m->ticked[i] < 0)
			return false;
	return true;
}

static inline bool job_model_stray_at(const struct job_model *m, int stage)
{
	for (int i = 0; i < m->stray_count; i++)
		if (!m->strays[i].apart &&
			(stage == MODEL_RECONNECT || m->strays[i].stage == stage))
			return true;
	return false;
}

/* Nothing at a stage that has scans is against a yes. */
static inline bool job_model_is_clear(const struct job_model *m, int stage)
{
	const struct model *at = &m->at[stage];
	if (stage == MODEL_UNPLUG) {
		for (int i = 0; i < at->plan.count; i++)
			if (!at->now.made[i] && !at->now.skipped[i])
				return false;
		return true;
	}
	if (!model_ok(at) || job_model_stray_at(m, stage))
		return false;
	return stage != MODEL_RECONNECT ||
	       (m->at[MODEL_TAG].now.wrong_count == 0 && m->at[MODEL_SWAP].now.wrong_count == 0);
}

/* The answer of a stage that has scans: where no joint has a number, no scan proves anything. */
static inline bool job_model_ok(const struct job_model *m, int stage)
{
	return m->at[stage].plan.count > 0 && job_model_is_clear(m, stage);
}

static inline bool job_model_has_something(const struct job_model *m, int stage)
{
	if (stage == MODEL_FINISH)
		return m->plan.line_count > 0;
	for (int i = 0; i < m->at[stage].plan.count; i++)
		if (model_needed(&m->at[stage], i))
			return true;
	return false;
}

/* A stage that has something to do, was begun, and is neither done nor left out. */
static inline bool job_model_is_under_way(const struct job_model *m, int stage)
{
	return job_model_has_something(m, stage) && m->begun[stage] && !m->left_out[stage] &&
	       !job_model_ok(m, stage);
}

/* What cannot be scanned at all is ticked. */
static inline bool job_model_rest_is_done(const struct job_model *m)
{
	return job_model_is_clear(m, MODEL_RECONNECT) && !job_model_is_under_way(m, MODEL_TAG) &&
	       !job_model_is_under_way(m, MODEL_SWAP);
}

static inline bool job_model_finish_ok(const struct job_model *m)
{
	return job_model_all_ticked(m) && job_model_rest_is_done(m);
}

/* The job may be closed with no reason. */
static inline bool job_model_all_done(const struct job_model *m)
{
	return (job_model_all_ticked(m) || m->left_out[MODEL_FINISH]) && job_model_rest_is_done(m);
}

/* How many came apart before this one and are noted as apart; -1 for one that is not. */
static inline int job_model_rank(const struct job_model *m, int joint)
{
	const struct model *at = &m->at[MODEL_UNPLUG];
	const int *since = m->since[MODEL_UNPLUG];
	int rank = 0;
	if (!at->now.made[joint])
		return -1;
	for (int i = 0; i < at->plan.count; i++)
		rank += at->now.made[i] && since[i] < since[joint];
	return rank;
}

/* One event after the other. */

/* Somebody says so of one wrong mate; where there are two of the same tags, of the first. */
static inline bool job_model_apart(struct job_model *m, const struct job_model_event *e)
{
	for (int i = 0; e->number < m->stray_count && i < m->stray_count; i++)
		if (!m->strays[i].apart &&
			strcmp(m->strays[i].tags, m->strays[e->number].tags) == 0)
			return m->strays[i].apart = true;
	return false;
}

static inline bool job_model_close(struct job_model *m, const struct job_model_event *e)
{
	if (e->number == 0 && !job_model_all_done(m))
		return false;
	return m->closed = true;
}

static inline void job_model_note_stage(struct job_model *m, const struct job_model_event *e)
{
	if (e->kind == JOB_MODEL_SCAN || e->kind == JOB_MODEL_SKIP || e->kind == JOB_MODEL_TICK ||
		e->kind == JOB_MODEL_GO_ON) {
		m->begun[e->stage] = true;
		m->left_out[e->stage] = false;
	}
}

static inline bool job_model_does(struct job_model *m, const struct job_model_event *e, int index)
{
	switch (e->kind) {
	case JOB_MODEL_SCAN:
		job_model_scan(m, e, index);
		return true;
	case JOB_MODEL_SKIP:
		return job_model_skip(m, e);
	case JOB_MODEL_UNDO:
		return job_model_undo(m, e);
	case JOB_MODEL_LEAVE_OUT:
		job_model_leave_out(m, e);
		return true;
	case JOB_MODEL_PICTURE:
		if (e->stage == MODEL_FINISH)
			return false;
		model_wait_for_nothing(&m->at[e->stage], e->station);
		return true;
	case JOB_MODEL_TICK:
		return job_model_tick(m, e, index);
	case JOB_MODEL_GO_ON:
		job_model_go_on(m, e);
		return true;
	case JOB_MODEL_APART:
		return job_model_apart(m, e);
	case JOB_MODEL_CLOSE:
		return job_model_close(m, e);
	case JOB_MODEL_PLAN:
	case JOB_MODEL_HAZARD:
	case JOB_MODEL_KINDS:
		break;
	}
	return true;
}

static inline void job_model_event(struct job_model *m, const struct job_model_event *e, int index)
{
	int before[2][MODEL_JOINTS];
	m->accepted = !m->closed;
	if (!m->accepted)
		return;
	if (e->kind == JOB_MODEL_PLAN) {
		job_model_replan(m, e->plan);
		return;
	}
	memcpy(before[0], m->at[MODEL_RECONNECT].now.made, sizeof(before[0]));
	memcpy(before[1], m->at[MODEL_UNPLUG].now.made, sizeof(before[1]));
	if (e->stage != MODEL_FINISH) {
		m->at[e->stage].station = e->station;
		m->at[e->stage].plan.typed_allowed = e->typed;
	}
	m->accepted = job_model_does(m, e, index);
	if (m->accepted)
		job_model_note_stage(m, e);
	job_model_prepare(m);
	job_model_untick_where_changed(m, before);
}

/* With no plan yet. */
static inline void job_model_begin(struct job_model *m)
{
	memset(m, 0, sizeof(*m));
	m->stage = MODEL_RECONNECT;
	job_model_untick(m);
}

#endif
