/* The plan of a job: what its scans are judged by. It is kept in the job as the text of an event,
 * so that whoever reads the job later, with whatever description, knows what each verdict meant.
 *
 * The text is JSON on one line:
 *   {"plan":1,"code":"RV3U0042","backdated":true,
 *    "joints":[{"id":"X1","number":12,"name":"motor power","kind":"plug","mates":"M1","port":"PWR",
 *               "sides":2,"tag":"sticker","after":[3],"fate":"replace","was":"X0",
 *               "x_printed":true,"m_is_old":true}],
 *    "lines":[{"kind":"hazard","text":"mains 230 V: restored: last","energy":"mains 230 V",
 *              "restore":"last"}]}
 * `joints` are all connectors of the description, in its order; "after" counts them from 0. Keys
 * with nothing to say are left out: no number, no port, nothing after, a part that stays. */
#ifndef LOOMTAG_JOB_PLAN_H
#define LOOMTAG_JOB_PLAN_H

#include "loomtag/tags.h"
#include "loomtag/verify.h"

/* A connector, as a job knows it. */
struct lt_job_joint {
	const char *id;
	const char *was;  /* its id in the plan before, where that was another; or NULL */
	const char *name; /* for showing it when it is gone; or NULL */
	const char *kind;
	const char *mate, *port; /* NULL: not described */
	unsigned number;         /* 0: none, it is ticked */
	unsigned sides;          /* 1 or 2 */
	enum lt_marking marking;
	bool replaced;       /* its part is; only where it has an X sticker */
	bool x_printed;      /* an X sticker went out, now or for an earlier part */
	bool m_is_old;       /* its M stickers are on the outgoing part */
	const size_t *after; /* indices into joints, ascending */
	size_t after_count;
};

enum lt_job_line_kind {
	LT_JOB_LINE_EYE,    /* a joint with no number, to be looked at */
	LT_JOB_LINE_FINISH, /* a finish line */
	LT_JOB_LINE_HAZARD, /* energy to be restored */
	LT_JOB_LINE_KINDS
};

/* What is ticked at stage finish. */
struct lt_job_line {
	enum lt_job_line_kind kind;
	const char *text;
	const char *energy, *restore; /* of a hazard; `restore` may be NULL */
};

struct lt_job_plan {
	const char *code; /* harness code with unit */
	bool backdated;   /* what happened before it was judged by it: see job_state.h */
	struct lt_job_joint *joints;
	size_t joint_count; /* with and without number */
	size_t numbered;    /* with */
	struct lt_job_line *lines;
	size_t line_count;
};

/* The plan that a description and its numbers make. Arrays and composed texts from `arena`; the
 * other strings are the harness's. Linear. */
void lt_job_plan_make(struct lt_job_plan *out, struct lt_arena *arena, const struct lt_tags *tags);

/* Writes its text. */
struct lt_text;
void lt_job_plan_write(struct lt_text *out, const struct lt_job_plan *plan);

/* Reads a text; all from `arena`. False when it is none, or one that this program does not
 * understand: nothing is assumed. */
bool lt_job_plan_read(struct lt_job_plan *out, struct lt_arena *arena, const char *text);

/* What the machine of a stage is created with. joint_of[i], with room for the plan's joint_count,
 * becomes the machine's index of joint i, or of its passage. Arrays from `arena`; the plan's
 * strings are shared. n log n. */
void lt_job_plan_machine(struct lt_plan *out, size_t *joint_of, struct lt_arena *arena,
	const struct lt_job_plan *plan, enum lt_stage stage);

/* One thing that differs between two plans. */
enum lt_plan_change_kind {
	LT_PLAN_JOINT_NEW,  /* also one that had no number before */
	LT_PLAN_JOINT_GONE, /* also one that has no number now */
	LT_PLAN_NUMBER,     /* of the same connector */
	LT_PLAN_RENAMED,    /* `was:` says so */
	LT_PLAN_MATE,
	LT_PLAN_PORT,
	LT_PLAN_SIDES,
	LT_PLAN_FATE,
	LT_PLAN_TAG, /* sticker, paper */
	LT_PLAN_KIND,
	LT_PLAN_AFTER,
	LT_PLAN_OLD_STICKER, /* its M sticker is on the outgoing part now */
	LT_PLAN_STICKERS,    /* what is known of stickers on outgoing parts */
	LT_PLAN_LINE_NEW,
	LT_PLAN_LINE_GONE
};
struct lt_plan_change {
	enum lt_plan_change_kind kind;
	bool voids;      /* what was noted of the joint counts no more */
	unsigned number; /* of the joint now, or of one that is gone as it was; 0 for a line */
	const char *id;  /* of the joint; of a line its text */
	const char *before, *after; /* what it was and is, in words or numbers; or NULL */
};

/* Lists how `now` differs from `old`, joint by joint in the order of `now`, then what is gone, then
 * the lines. Names, `was` and the order of the joints make no difference. Returns how many; the
 * list and composed texts from `arena`, other strings shared. was[i], with room for now's
 * joint_count, becomes the index in `old` of the connector that joint i is, LT_NONE for a new one.
 * Linear. */
size_t lt_job_plan_compare(struct lt_plan_change **out, size_t *was, struct lt_arena *arena,
	const struct lt_job_plan *now, const struct lt_job_plan *old);

/* Says one change in a sentence that stands alone, no newline. */
void lt_plan_change_words(struct lt_text *out, const struct lt_plan_change *change);

/* The mark by which version 1 of the store knew a description again, of stage events; lives in
 * `arena`. */
const char *lt_job_mark_v1(struct lt_arena *arena, const struct lt_tags *tags);

#endif
