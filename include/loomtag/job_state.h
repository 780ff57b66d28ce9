/* Where a job stands: its events, applied one after the other to a state machine for each stage.
 * No input or output of its own; the same events and tags give the same state. */
#ifndef LOOMTAG_JOB_STATE_H
#define LOOMTAG_JOB_STATE_H

#include "loomtag/job.h"
#include "loomtag/tags.h"
#include "loomtag/verify.h"

/* How a stage of a job stands. */
enum lt_stage_standing {
	LT_STANDING_NOT_BEGUN,
	LT_STANDING_BEGUN,
	LT_STANDING_DONE, /* the answer is yes; unplug: it is yes, and it was left for a later one
			   */
	LT_STANDING_SKIPPED, /* it was said that it is left out */
	LT_STANDING_NOTHING  /* there is nothing to do: no part is replaced, no line, no joint */
};

/* What a job says of one numbered joint, each with the index of the event that says so, or LT_NONE.
 * Events are counted from 0 in the order of the job, also those that are refused now. */
struct lt_joint_history {
	size_t proven;      /* at stage tag: its pair belonged together, and was not opened since */
	size_t unplugged;   /* at stage unplug */
	size_t swapped;     /* at stage swap: X and M scanned, the new part carries the number */
	size_t made;        /* at stage reconnect, and not opened since */
	size_t skipped;     /* at the present stage; or the last stage where it was */
	size_t stays;       /* skipped at stage unplug: it was said that it stays plugged in */
	size_t unplug_rank; /* 0 for the first that came apart; LT_NONE */
};

struct lt_job_state;

/* A job with no event yet. `tags` must outlive it. Never NULL. */
struct lt_job_state *lt_job_state_create(const struct lt_tags *tags);
/* Takes NULL. */
void lt_job_state_destroy(struct lt_job_state *state);

/* Applies an event, whether it has just happened (its id is 0, and it becomes one of the job's only
 * if this returns true) or is read from the store (it has an id, and is one either way). A scan's
 * answer is in *answer (NULL where it does not matter) - worked out anew: when the tags have
 * changed since, it may differ from event->verdict. The event's strings must outlive the state.
 * False, and nothing changed, for what cannot be: a skip of no such number or of a joint that is
 * made, an undo where there is nothing to take back, or that would take back a wrong mate or
 * another station's step, a tick of no such line or at another stage than finish, a scan at stage
 * finish, closing with no reason when lt_job_state_all_done says no, anything after closing.
 *
 * What was answered one way and is answered another now proves nothing either way:
 *  - The joints of a scan that was, or is now, a right pair, a wrong mate or out of order and not
 *    both are open, and nothing is pending at its station.
 *  - An undo that is read from the store where it cannot be told any more what it took back opens
 *    every joint of its stage.
 *  - When a scan at stage unplug is answered otherwise, or the description was another when the
 *    stage was begun (lt_job_state_mark), or the stage was left out, it is not known what came
 *    apart, and every joint is needed at reconnect.
 *  - Where the description was another, what opens a joint at reconnect opens all.
 *
 * What one stage says of another:
 *  - Until the first scan or skip at reconnect, what is needed there follows the unplugging. After
 *    it, each joint that comes apart, also a second time, is needed and open; to take that scan
 *    back does not close it.
 *  - A wrong mate at stage tag or swap is one of stickers on the wrong halves: a pair made with
 *    them at reconnect proves nothing. Both joints are open there, and until it is resolved at its
 *    own stage reconnect is not ok.
 *  - A joint whose part is replaced was apart, whatever was noted at stage unplug: it is needed at
 *    reconnect. A right pair at stage swap (also a second time) says that the part was replaced
 *    then: the joint is needed and open, and what comes after it; to take that scan back does not
 *    close it.
 *  - A tick counts until a joint is made, opened or comes apart after it, or is found to have been.
 * An undo at stage finish takes the last tick of its station back. LT_JOB_HAZARD changes nothing.
 * LT_JOB_STAGE_SKIPPED leaves out event->stage. LT_JOB_PICTURE drops what is pending at its
 * station; one with no text ends the pictures. */
bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer);

/* The stage that the last LT_JOB_STAGE began; before any, LT_STAGE_RECONNECT. */
enum lt_stage lt_job_state_stage(const struct lt_job_state *state);
enum lt_stage_standing lt_job_state_standing(const struct lt_job_state *state, enum lt_stage stage);

/* The machine of a stage, for its plan, what is made, pending and next. NULL for
 * LT_STAGE_FINISH. Its pending sticker is that of the station that scanned last, or that was looked
 * from since. Valid until the next event is applied. */
const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage);

/* Until the next event, what is pending is what is pending at this station. */
void lt_job_state_look(struct lt_job_state *state, unsigned station);

/* The connector of a joint of any stage's plan (joints of all plans are the same, by index). */
size_t lt_job_state_connector(const struct lt_job_state *state, size_t joint);
size_t lt_job_state_joints(const struct lt_job_state *state);

struct lt_joint_history lt_job_state_history(const struct lt_job_state *state, size_t joint);

/* What there is to tick at stage finish: each joint without a number, to be looked at, then each
 * finish line, then each hazard ("mains 230 V: restored: covers closed"): energy is restored last
 * (29 CFR 1910.147 (e)). */
size_t lt_job_state_lines(const struct lt_job_state *state);
const char *lt_job_state_line(const struct lt_job_state *state, size_t line);
/* The index of the event that ticked it, or LT_NONE. */
size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line);

/* True when the stage's answer is yes. At reconnect: every joint that came apart in this job is
 * made, nothing is pending, no wrong mate is unresolved, at stages tag and swap neither; where the
 * unplugging was not recorded, every joint. At unplug: what came apart is not known to be all, so
 * yes as soon as anything did. At finish: every line is ticked and
 * nothing else stands against closing the job: lt_job_state_all_done. */
bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage);

/* True when the job can be closed with no reason: reconnect is ok, and every other stage is done,
 * left out, has nothing to do, or (tag, unplug, swap) was never begun. */
bool lt_job_state_all_done(const struct lt_job_state *state);

/* The scan, skip or tick that an undo at this station, in the present stage, is about: also a wrong
 * mate, which is not taken back. A scan's verdict is set. NULL when there is none, or the last step
 * is another station's (ticks of others do not matter). Valid until the next event is applied. */
const struct lt_job_event *lt_job_state_last(const struct lt_job_state *state, unsigned station);

/* How many events there are. */
size_t lt_job_state_events(const struct lt_job_state *state);

/* How many events of the store are not what they were: scans that are answered otherwise, and
 * others that are refused. 0 while the tags are the same. */
size_t lt_job_state_changed(const struct lt_job_state *state);

/* False when every joint is needed at reconnect since it is not known what came apart: nothing was
 * recorded, the stage was left out, or the description is another since. */
bool lt_job_state_unplugging_known(const struct lt_job_state *state);

/* Which numbers there are, of what, and what comes after what, in a few characters: to be the text
 * of LT_JOB_STAGE, so that what follows is known to be of the same. Lives as long as the state. */
const char *lt_job_state_mark(const struct lt_job_state *state);

bool lt_job_state_closed(const struct lt_job_state *state);

#endif
