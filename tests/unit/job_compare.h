/* Holds a state of a job against the model, in all that can be seen of it. */
#ifndef TESTS_JOB_COMPARE_H
#define TESTS_JOB_COMPARE_H

#include "job/state.h"
#include "job_play.h"

static inline enum lt_side side_of(int letter)
{
	return letter == 'H' ? LT_SIDE_H : letter == 'M' ? LT_SIDE_M : LT_SIDE_X;
}

static inline const char *compare_joints(const struct lt_job_state *state,
	const struct job_model *m, int stage)
{
	const struct model *at = &m->at[stage];
	const struct lt_verify *machine = lt_job_state_machine(state, stages[stage]);
	for (int i = 0; i < at->plan.count; i++) {
		const size_t joint = (size_t)i;
		const bool made = at->now.made[i];
		if (lt_verify_made(machine, joint) != made)
			return made ? "made: program open" : "made: program made";
		if (lt_verify_needed(machine, joint) != model_needed(at, i))
			return "needed";
		if (lt_verify_skipped(machine, joint) != (at->now.skipped[i] != 0) ||
			(lt_job_state_skipped_by(state, stages[stage], joint) == LT_NONE) !=
				(at->now.skipped[i] == 0))
			return "skipped";
		if (lt_verify_typed(machine, joint) != (made && at->now.by_typing[i]))
			return "typed";
		const struct lt_joint_history history = lt_job_state_history(state, joint);
		const size_t since[MODEL_STAGES] = { history.proven, history.unplugged,
			history.swapped, history.made };
		const bool left = at->now.left[i];
		if (since[stage] != (made && !left ? (size_t)m->since[stage][i] : LT_NONE))
			return "event that made it";
	}
	if (lt_verify_made_count(machine) != (size_t)model_made_count(at) ||
		lt_verify_needed_count(machine) != (size_t)model_needed_count(at) ||
		lt_verify_typed_count(machine) != (size_t)model_typed_count(at))
		return "counts";
	return NULL;
}

/* The next joint that is offered may be made; where none is offered, none may. */
static inline const char *compare_next(const struct lt_verify *machine, const struct model *at)
{
	const size_t next = lt_verify_next(machine);
	if (next == LT_NONE)
		return model_next(at) < 0 ? NULL : "nothing offered";
	const int joint = (int)next;
	return model_needed(at, joint) && !at->now.made[joint] && !at->now.skipped[joint] &&
			       model_free(at, joint)
		       ? NULL
		       : "offered";
}

static inline const char *compare_waiting(struct lt_job_state *state, const struct job_model *m,
	int stage)
{
	const struct model *at = &m->at[stage];
	for (int i = 0; i < MODEL_STATIONS; i++) {
		unsigned number;
		enum lt_side side;
		lt_job_state_look(state, (unsigned)i + 1);
		lt_verify_pending(lt_job_state_machine(state, stages[stage]), &number, &side);
		if (number != (unsigned)at->now.at[i].pending ||
			(number != 0 && side != side_of(at->now.at[i].side)))
			return "pending";
	}
	const struct lt_wrong_mate *wrong;
	const struct lt_verify *machine = lt_job_state_machine(state, stages[stage]);
	if (lt_verify_wrong(machine, &wrong) != (size_t)at->now.wrong_count)
		return "count of wrong mates";
	for (int i = 0; i < at->now.wrong_count; i++)
		if (wrong[i].h != (unsigned)at->now.wrong[i][0] ||
			wrong[i].m != (unsigned)at->now.wrong[i][1] ||
			wrong[i].mate_side != side_of(at->now.wrong[i][2]) ||
			wrong[i].h_side != side_of(at->now.wrong[i][3]))
			return "wrong mates";
	return NULL;
}

static inline const char *compare_strays(const struct lt_job_state *state,
	const struct job_model *m)
{
	const struct lt_job_stray *strays;
	if (lt_job_state_strays(state, &strays) != (size_t)m->stray_count)
		return "count of strays";
	for (int i = 0; i < m->stray_count; i++)
		if (strcmp(strays[i].tags, m->strays[i].tags) != 0 ||
			strays[i].stage != stages[m->strays[i].stage] ||
			(strays[i].settled != LT_NONE) != m->strays[i].apart)
			return "strays";
	return NULL;
}

static inline enum lt_stage_state standing_of(const struct job_model *m, int stage)
{
	const bool finish = stage == MODEL_FINISH;
	if (!job_model_has_something(m, stage))
		return LT_STATE_NOTHING;
	if (m->left_out[stage])
		return LT_STATE_SKIPPED;
	if (stage == MODEL_UNPLUG ? (job_model_apart_count(m) > 0 || job_model_ok(m, stage)) &&
					    m->stage > MODEL_UNPLUG && m->begun[stage]
		: finish ? job_model_finish_ok(m)
			 : job_model_ok(m, stage))
		return LT_STATE_DONE;
	return m->begun[stage] ? LT_STATE_BEGUN : LT_STATE_NOT_BEGUN;
}

static inline const char *compare_answers(const struct lt_job_state *state,
	const struct job_model *m)
{
	static const char *const answers[] = { "answer at tag", "answer at unplug",
		"answer at swap", "answer at reconnect", "answer at finish" };
	static const char *const standings[] = { "standing of tag", "standing of unplug",
		"standing of swap", "standing of reconnect", "standing of finish" };
	for (int stage = 0; stage < JOB_MODEL_STAGES; stage++) {
		const bool ok =
			stage == MODEL_FINISH ? job_model_finish_ok(m) : job_model_ok(m, stage);
		if ((lt_job_state_no(state, stages[stage]) == 0) != ok ||
			lt_job_state_ok(state, stages[stage]) != ok)
			return answers[stage];
		if (lt_job_state_of_stage(state, stages[stage]) != standing_of(m, stage))
			return standings[stage];
	}
	const bool done = job_model_all_done(m);
	if ((lt_job_state_no(state, LT_STAGE_COUNT) == 0) != done ||
		lt_job_state_ok(state, LT_STAGE_COUNT) != done)
		return "answer of the job";
	return NULL;
}

static inline const char *compare_rest(const struct lt_job_state *state, const struct job_model *m)
{
	if (lt_job_state_lines(state) != (size_t)m->plan.line_count)
		return "count of lines";
	for (int i = 0; i < m->plan.line_count; i++)
		if (lt_job_state_ticked(state, (size_t)i) !=
			(m->ticked[i] < 0 ? LT_NONE : (size_t)m->ticked[i]))
			return "ticked";
	for (int i = 0; i < m->at[0].plan.count; i++) {
		const struct job_model_connector *c = &m->plan.connectors[m->connector_of[i]];
		const struct lt_job_joint *joint = lt_job_state_joint(state, (size_t)i);
		const int rank = job_model_rank(m, i);
		char id[16];
		snprintf(id, sizeof(id), "X%d", c->id);
		if (strcmp(joint->id, id) != 0 || joint->number != (unsigned)c->number)
			return "joints";
		if (lt_job_state_history(state, (size_t)i).unplug_rank !=
			(rank < 0 ? LT_NONE : (size_t)rank))
			return "rank";
	}
	if (lt_job_state_unplugging_known(state) !=
		(job_model_apart_count(m) > 0 && !m->unplug_unknown))
		return "unplugging known";
	const struct lt_job_removed *gone;
	if (lt_job_state_removed(state, &gone) != (size_t)m->gone_count)
		return "joints that were removed";
	if (lt_job_state_closed(state) != m->closed)
		return "closed";
	if (lt_job_state_stage(state) != stages[m->stage])
		return "stage";
	return lt_job_state_strange(state) == LT_NONE ? NULL : "strange";
}

/* In what a state and the model differ, or NULL. */
static inline const char *difference(struct lt_job_state *state, const struct job_model *m,
	int *stage)
{
	if (lt_job_state_plans(state) != (size_t)m->plans)
		return "plans";
	if (m->plans == 0)
		return NULL;
	const char *why = NULL;
	if (lt_job_state_joints(state) != (size_t)m->at[0].plan.count)
		return "count of joints";
	for (*stage = 0; *stage < MODEL_STAGES && why == NULL; ++*stage) {
		why = compare_joints(state, m, *stage);
		if (why == NULL)
			why = compare_next(lt_job_state_machine(state, stages[*stage]),
				&m->at[*stage]);
		if (why == NULL)
			why = compare_waiting(state, m, *stage);
		if (why != NULL)
			return why;
	}
	if (why == NULL)
		why = compare_strays(state, m);
	if (why == NULL)
		why = compare_rest(state, m);
	return why == NULL ? compare_answers(state, m) : why;
}

#endif
