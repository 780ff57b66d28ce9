/* Words: what papers, screens and pages say, said once: the facts of a joint, places, hazards,
 * verdicts, moments of a job.
 * To use it: each function gives a text, or adds one to a struct lt_text; nothing is drawn here. */
#ifndef LOOMTAG_WORDS_H
#define LOOMTAG_WORDS_H

#include <jansson.h>

#include "loomtag/job.h"

/* The answers to scans in plain words. */

/* Says an answer in one to three plain sentences, no newline. It never says that a joint is all
 * right, only that the two stickers belong together, and asks for the rest. */
void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage);

/* The side that is the mate of H for this connector at this stage: X while the outgoing part is
 * still in (tag, unplug), else M; H for a one-sided connector. */
enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage);

/* What the papers say of a joint, in the same words on each. */

/* What stands before a connector's port, which must be given: "port ", so that a port that is a
 * number is not read as a joint's; nothing where the port says so itself. */
const char *lt_joint_port_word(const struct lt_connector *connector);

/* "port PWR on vent motor (M1), left gearbox"; false when nothing is known of it. */
bool lt_joint_mate(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* "after 3, 4": the joints that must be made first, at most so many of them, and how many more. */
void lt_joint_after(struct lt_text *out, const struct lt_tags *tags, size_t connector, size_t most);

/* The same as an order: "make 3 and 4 first". */
void lt_joint_first(struct lt_text *out, const struct lt_tags *tags, size_t connector, size_t most);

/* "would also fit 5, 7: check the number"; false when there are no look-alikes. Some are named,
 * the rest counted. */
bool lt_joint_lookalikes(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector);

/* "fit unknown, might go on others: check the number"; false where the fit is known. */
bool lt_joint_unknown_fit(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* How the joint is felt to be home; what is asked for where the description does not say. Lives as
 * long as the harness. */
const char *lt_joint_seat(const struct lt_tags *tags, size_t connector);

/* How places are looked up: by the thing that they name. */

/* The part of a place behind words such as "behind the" and "top of": "left cover" of "behind the
 * left cover"; all of it where nothing is behind them. Points into the place. */
const char *lt_place_thing(const char *place);

/* The order of places, as strcmp: by the thing, then by the whole; letters without case, and
 * numbers by their length first, so that lane 2 comes before lane 10. NULL, for none given, is
 * last. 0 for equal bytes alone. */
int lt_place_compare(const char *a, const char *b);

/* What is done about a hazard, in the order of 29 CFR 1910.147 (d): isolated (which is when it is
 * locked and labelled), stored energy released, proved; and at the end restored. */

#define LT_HAZARD_STEPS 4

/* "isolate", "release", "prove", "restore"; step from 0. */
const char *lt_hazard_step_name(size_t step);

/* What the description says of it, or that it says nothing. */
const char *lt_hazard_step(const struct lt_hazard *hazard, size_t step);

/* Jobs and events for the screen and as JSON. */

/* "2026-03-01 08:15 +0100", in the local time of the machine; `at` in milliseconds since 1970. */
void lt_job_add_minute(struct lt_text *out, long long at);

/* One line of the list of jobs, and its heading. */
void lt_job_add_heading(struct lt_text *out);
void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound);

/* What stands above the events of a job. */
void lt_job_add_facts(struct lt_text *out, const struct lt_job *job);

/* Columns that the name of the person takes. */
size_t lt_job_who_columns(const struct lt_job_event *event);
/* One line of what happened, with at least as much room for the name as it takes. */
void lt_job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns);

json_t *lt_job_json(const struct lt_job *job);
json_t *lt_job_event_json(const struct lt_job_event *event);

/* The cautions that every paper carries. */
extern const char lt_caution_work[], lt_caution_scan[];

#endif
