/* The rules of jobs stated a second time: nothing is kept, the whole list of events is gone through
 * each time, on the second statement of the rules of verifying. */
#ifndef TESTS_JOB_MODEL_H
#define TESTS_JOB_MODEL_H

#include "verify_model.h"

enum { JOB_MODEL_EVENTS = 48, JOB_MODEL_LINES = 3 };

enum job_model_kind {
	JOB_MODEL_SCAN,
	JOB_MODEL_SKIP,
	JOB_MODEL_UNDO,
	JOB_MODEL_LEAVE_OUT,
	JOB_MODEL_GO_ON,
	JOB_MODEL_PICTURE,
	JOB_MODEL_TICK,   /* of line `number` */
	JOB_MODEL_UNTICK, /* an undo at the last stage */
	JOB_MODEL_HAZARD,
	JOB_MODEL_KINDS
};

struct job_model_event {
	enum job_model_kind kind;
	enum model_stage stage;
	int station; /* from 0 */
	struct model_scan scan;
	int number; /* skipped or ticked */
	bool typed;
};

/* What going through a list leads to. */
struct job_model {
	struct model at[MODEL_STAGES];
	bool wrong_step[MODEL_STAGES][MODEL_DEPTH]; /* the step at this depth was a wrong mate */
	bool reconnecting, unplug_unknown;
	int unplugged[MODEL_JOINTS]; /* event, or -1 */
	int ticked[JOB_MODEL_LINES]; /* event, or -1 */
	int ticked_at[JOB_MODEL_LINES];
	bool begun[MODEL_STAGES], left_out[MODEL_STAGES], finishing;
	/* Of the last event: */
	bool accepted;
	int row; /* of a scan's verdict */
};

/* Until somebody did something at reconnect, what is needed there follows what came apart. */
static void job_model_prepare(struct job_model *m)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	bool any = false;
	if (m->reconnecting)
		return;
	for (int i = 0; i < reconnect->plan.count; i++) {
		const bool noted = m->at[MODEL_UNPLUG].now.made[i];
		any = any || noted;
		/* A part goes out with its joints apart, whoever noted it. */
		reconnect->plan.apart[i] = noted || reconnect->plan.joints[i].replaced;
	}
	reconnect->plan.apart_known = any && !m->unplug_unknown;
	model_begin(reconnect);
}

static void job_model_need(struct job_model *m, int number)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	if (m->reconnecting)
		model_require(reconnect, model_find(reconnect, number));
}

static void job_model_untick(struct job_model *m)
{
	for (int i = 0; i < JOB_MODEL_LINES; i++)
		m->ticked[i] = -1;
}

/* What is open, or apart, is not as it was when a line was ticked. */
static void job_model_untick_where_changed(struct job_model *m, int before[2][MODEL_JOINTS])
{
	if (memcmp(before[0], m->at[MODEL_RECONNECT].now.made, sizeof(before[0])) != 0 ||
		memcmp(before[1], m->at[MODEL_UNPLUG].now.made, sizeof(before[1])) != 0)
		job_model_untick(m);
}

static void job_model_scan(struct job_model *m, const struct job_model_event *e, int index)
{
	struct model *at = &m->at[e->stage];
	const int pending = model_pending(at);
	bool changed;
	at->plan.typed_allowed = e->typed;
	m->row = model_feed(at, e->scan, &changed);
	const char *verdict = model_rows[m->row].verdict;
	const bool wrong = strcmp(verdict, "wrong-mate") == 0;
	if (changed)
		m->wrong_step[e->stage][at->depth - 1] = wrong;
	if (e->stage == MODEL_RECONNECT && changed)
		m->reconnecting = true;
	if (e->stage == MODEL_UNPLUG &&
		(strcmp(verdict, "done") == 0 || strcmp(verdict, "out-of-order") == 0 ||
			strcmp(verdict, "repeat") == 0)) {
		if (strcmp(verdict, "repeat") != 0)
			m->unplugged[model_find(at, e->scan.number)] = index;
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

static bool job_model_skip(struct job_model *m, const struct job_model_event *e)
{
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

static bool job_model_undo(struct job_model *m, const struct job_model_event *e)
{
	struct model *at = &m->at[e->stage];
	return at->depth > 0 && !m->wrong_step[e->stage][at->depth - 1] && model_undo(at);
}

static void job_model_leave_out(struct job_model *m, const struct job_model_event *e)
{
	struct model *reconnect = &m->at[MODEL_RECONNECT];
	if (e->stage != MODEL_UNPLUG)
		return;
	m->unplug_unknown = true;
	job_model_untick(m);
	for (int i = 0; m->reconnecting && i < reconnect->plan.count; i++)
		if (reconnect->now.left[i])
			model_require(reconnect, i);
}

static bool job_model_take_tick_back(struct job_model *m, int station)
{
	int last = -1;
	for (int i = 0; i < JOB_MODEL_LINES; i++)
		if (m->ticked[i] >= 0 && m->ticked_at[i] == station &&
			(last < 0 || m->ticked[i] > m->ticked[last]))
			last = i;
	if (last >= 0)
		m->ticked[last] = -1;
	return last >= 0;
}

static void job_model_tick(struct job_model *m, const struct job_model_event *e, int index)
{
	m->finishing = true;
	if (m->ticked[e->number] >= 0)
		return;
	m->ticked[e->number] = index;
	m->ticked_at[e->number] = e->station;
}

static void job_model_note_stage(struct job_model *m, const struct job_model_event *e)
{
	if (!m->accepted)
		return;
	if (e->kind == JOB_MODEL_SCAN || e->kind == JOB_MODEL_SKIP || e->kind == JOB_MODEL_GO_ON) {
		m->begun[e->stage] = true;
		m->left_out[e->stage] = false;
	}
	if (e->kind == JOB_MODEL_LEAVE_OUT)
		m->left_out[e->stage] = true;
}

static void job_model_event(struct job_model *m, const struct job_model_event *e, int index)
{
	struct model *at = &m->at[e->stage];
	int before[2][MODEL_JOINTS];
	job_model_prepare(m);
	memcpy(before[0], m->at[MODEL_RECONNECT].now.made, sizeof(before[0]));
	memcpy(before[1], m->at[MODEL_UNPLUG].now.made, sizeof(before[1]));
	at->station = e->station;
	m->accepted = true;
	switch (e->kind) {
	case JOB_MODEL_SCAN:
		job_model_scan(m, e, index);
		break;
	case JOB_MODEL_SKIP:
		m->accepted = job_model_skip(m, e);
		break;
	case JOB_MODEL_UNDO:
		m->accepted = job_model_undo(m, e);
		break;
	case JOB_MODEL_LEAVE_OUT:
		job_model_leave_out(m, e);
		break;
	case JOB_MODEL_PICTURE:
		model_wait_for_nothing(at, e->station);
		break;
	case JOB_MODEL_TICK:
		job_model_tick(m, e, index);
		break;
	case JOB_MODEL_UNTICK:
		m->accepted = job_model_take_tick_back(m, e->station);
		break;
	case JOB_MODEL_GO_ON:
	case JOB_MODEL_HAZARD:
	case JOB_MODEL_KINDS:
		break;
	}
	job_model_note_stage(m, e);
	job_model_prepare(m);
	job_model_untick_where_changed(m, before);
}

static void job_model_go_through(struct job_model *m, const struct model_plan *plan,
	const struct job_model_event *events, int count)
{
	m->reconnecting = m->unplug_unknown = m->finishing = false;
	memset(m->begun, 0, sizeof(m->begun));
	memset(m->left_out, 0, sizeof(m->left_out));
	job_model_untick(m);
	for (int i = 0; i < MODEL_JOINTS; i++)
		m->unplugged[i] = -1;
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		m->at[stage].plan = *plan;
		m->at[stage].plan.stage = (enum model_stage)stage;
		model_begin(&m->at[stage]);
	}
	for (int i = 0; i < count; i++)
		job_model_event(m, &events[i], i);
	job_model_prepare(m);
}

static bool job_model_ok(const struct job_model *m, enum model_stage stage)
{
	bool any = false;
	for (int i = 0; i < m->at[stage].plan.count; i++)
		any = any || m->at[stage].now.made[i];
	if (stage == MODEL_UNPLUG)
		return any;
	return model_ok(&m->at[stage]) &&
	       (stage != MODEL_RECONNECT || (m->at[MODEL_TAG].now.wrong_count == 0 &&
						    m->at[MODEL_SWAP].now.wrong_count == 0));
}

/* A stage that has something to do, was begun, and is neither done nor left out. */
static bool job_model_is_under_way(const struct job_model *m, enum model_stage stage)
{
	return model_needed_count(&m->at[stage]) > 0 && m->begun[stage] && !m->left_out[stage] &&
	       !job_model_ok(m, stage);
}

static bool job_model_finish_ok(const struct job_model *m)
{
	for (int i = 0; i < JOB_MODEL_LINES; i++)
		if (m->ticked[i] < 0)
			return false;
	return job_model_ok(m, MODEL_RECONNECT) && !job_model_is_under_way(m, MODEL_TAG) &&
	       !job_model_is_under_way(m, MODEL_SWAP);
}

/* How many came apart before this one and are noted as apart; -1 for one that is not. */
static int job_model_rank(const struct job_model *m, int joint)
{
	const struct model *at = &m->at[MODEL_UNPLUG];
	int rank = 0;
	if (!at->now.made[joint])
		return -1;
	for (int i = 0; i < at->plan.count; i++)
		rank += at->now.made[i] && m->unplugged[i] < m->unplugged[joint];
	return rank;
}

#endif
