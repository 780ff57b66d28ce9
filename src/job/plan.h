/* Plans of jobs as the room itself uses them. */
#ifndef LOOMTAG_JOB_PLAN_H
#define LOOMTAG_JOB_PLAN_H

#include "loomtag/job.h"

/* Writes its text. */
void lt_job_plan_write(struct lt_text *out, const struct lt_job_plan *plan);

/* Reads a text; all from `arena`. False when it is none, or one that this program does not
 * understand: nothing is assumed. */
bool lt_job_plan_read(struct lt_job_plan *out, struct lt_arena *arena, const char *text);

/* What the machine of a stage is created with. joint_of[i], with room for the plan's joint_count,
 * becomes the machine's index of joint i, or of its passage. Arrays from `arena`; the plan's
 * strings are shared. False where a joint comes after itself. n log n. */
bool lt_job_plan_machine(struct lt_plan *out, size_t *joint_of, struct lt_arena *arena,
	const struct lt_job_plan *plan, enum lt_stage stage);

/* The mark by which version 1 of the store knew a description again, of stage events; lives in
 * `arena`. */
const char *lt_job_mark_v1(struct lt_arena *arena, const struct lt_tags *tags);

#endif
