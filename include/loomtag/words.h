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

/* What is said of a joint: one table of facts, for every medium that shows them. */

/* The tag of one side of a joint; false where it has none. */
bool lt_joint_tag(char out[LT_TAG_SIZE], const struct lt_tags *tags, size_t connector,
	enum lt_side side);

/* Whether the part that it mates with is replaced. */
bool lt_joint_part_replaced(const struct lt_tags *tags, size_t connector);

enum lt_joint_fact {
	LT_FACT_HAZARD, /* a hazard names it */
	LT_FACT_MATE,
	LT_FACT_PLACE,
	LT_FACT_UNLOCK,
	LT_FACT_FACING,
	LT_FACT_SEAT,
	LT_FACT_ORDER, /* what must be made first */
	LT_FACT_EARTH,
	LT_FACT_LOOKALIKES,
	LT_FACT_FIT, /* that nobody has said what else it would fit */
	LT_FACT_REPLACED,
	LT_FACT_PAPER, /* it has no sticker */
	LT_FACT_WIRES,
	LT_FACT_SIZE,
	LT_FACT_CODING,
	LT_FACT_SHELL,
	LT_FACT_NOTE,
	LT_FACT_PHOTO,
	LT_FACT_COUNT
};

/* Where facts are shown: each has an order, labels and words of its own. */
enum lt_joint_medium {
	LT_JOINT_UNPLUG, /* the checklist's first part */
	LT_JOINT_MATE,   /* and its second */
	LT_JOINT_PANEL,  /* of a map */
	LT_JOINT_PAGE,   /* of a tag */
	LT_JOINT_SCREEN, /* live */
	LT_JOINT_MEDIA
};

enum lt_said {
	LT_SAID_PLAIN,
	LT_SAID_LOUD,   /* a warning */
	LT_SAID_MISSING /* not described, and needed: the text says so, or is "" for a line to write
			   on */
};

/* Goes through what a medium says of a joint:
 *     struct lt_joint_facts facts = { .tags = tags, .connector = i, .medium = LT_JOINT_PANEL };
 *     while (lt_joint_facts_next(&facts))
 *             show(facts.label, lt_text_string(&facts.text), facts.said); */
struct lt_joint_facts {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes; /* or NULL: not told of */
	size_t connector;
	enum lt_joint_medium medium;
	bool in_hazard;    /* a hazard names it */
	const char *earth; /* what is said of protective earth, or NULL */

	/* The present fact. */
	enum lt_joint_fact fact;
	enum lt_said said;
	const char *label;   /* lives for ever */
	struct lt_text text; /* not cleaned */
	unsigned rank;       /* of facts in the medium, from 1; 0 before the first */
};

/* On to the next fact of which there is something to say. Behind the last one false, with all that
 * was allocated given back. */
bool lt_joint_facts_next(struct lt_joint_facts *facts);

/* What stands before a connector's port, which must be given: "port ", so that a port that is a
 * number is not read as a joint's; nothing where the port says so itself. */
const char *lt_joint_port_word(const struct lt_connector *connector);

/* How places are looked up: by the thing that they name. */

/* The order of places, as strcmp: by the thing ("left cover" of "behind the left cover"),
 * then by the whole; letters without case, and
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

/* Times, in milliseconds since 1970. */

/* Adds a time as strftime has it, by a clock that is `offset` seconds east of UTC. False, and
 * nothing added, for what does not fit a calendar. */
bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format);

/* "2026-03-01T07:15:02.250Z" (RFC 3339); null for what is no time of a job. */
json_t *lt_time_json(long long at);

/* Jobs and events for the screen and as JSON. */

struct lt_job_words {
	const char *no_jobs;
	/* Labels and headings of columns. */
	const char *job, *code, *unit, *title, *revision, *opened, *last, *last_event, *stage,
		*scans, *state;
	const char *open, *closed, *damaged;
	const char *typed_accepted; /* of an event with --typed */
};
extern const struct lt_job_words lt_job_words;

/* "2026-03-01 08:15 +0100", in the local time of the machine; `at` in milliseconds since 1970. */
void lt_job_add_minute(struct lt_text *out, long long at);

/* One line of the list of jobs, and its heading. */
void lt_job_add_heading(struct lt_text *out);
void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound);

/* What stands above the events of a job, and below them where all are sound. */
void lt_job_add_facts(struct lt_text *out, const struct lt_job *job);
void lt_job_add_sound(struct lt_text *out, size_t events, const char *last);

/* That a job was closed. */
void lt_job_add_closed(struct lt_text *out, unsigned long long job, const char *code);

/* Columns that the name of the person takes. */
size_t lt_job_who_columns(const struct lt_job_event *event);
/* One line of what happened, with at least as much room for the name as it takes. */
void lt_job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns);

/* A text as it was kept, null where there is none; what is not UTF-8 comes out clean. */
json_t *lt_words_json(const char *text);

/* An event's number is null where it has none. With `milliseconds` the time is also told in them.
 */
json_t *lt_job_json(const struct lt_job *job);
json_t *lt_job_event_json(const struct lt_job_event *event, bool milliseconds);

/* The cautions that every paper carries. */
extern const char lt_caution_work[], lt_caution_scan[];

/* Changes of the plan of a job. */

/* Adds one change in one or two whole sentences, no newline. Not cleaned. */
void lt_plan_change_words(struct lt_text *out, const struct lt_plan_change *change);

/* The record of a job. The findings of its summary are whole sentences, or a label in capitals with
 * what it is about. */

/* Joints that a finding lists. */
enum lt_joints_found {
	LT_JOINTS_NOT_APART,        /* not recorded as apart */
	LT_JOINTS_UNACCOUNTED,      /* of these, without any proof that they stayed plugged in */
	LT_JOINTS_UNCHECKED,        /* their stickers were not checked */
	LT_JOINTS_UNCHECKED_BEFORE, /* the same, where it is known that they were apart */
	LT_JOINTS_SKIPPED,
	LT_JOINTS_TYPED,          /* though they have stickers */
	LT_JOINTS_TYPED_OF_PAPER, /* they have none */
	LT_JOINTS_REMOVED
};

struct lt_record_words {
	/* The head: labels, and what stands there for what is missing. */
	const char *module, *harness_code, *unit, *revision, *job, *started, *last_event, *closed,
		*program, *who;
	const char *not_described, *unit_missing, *not_closed, *nobody, *time_unknown, *no_digest;

	/* Findings without values. */
	const char *events_gone, *closed_in_doubt, *no_joint_has_number;
	const char *not_reconnected, *not_reconnected_by_strange_event;
	const char *no_wrong_mate, *nobody_named, *plan_unknown, *described_anew, *no_unit;

	/* Titles of sections; the summary's in the text rendering too. */
	const char *summary, *summary_as_text, *changes, *stages, *joints, *wrong_mates, *parts,
		*lines, *hazards, *signatures, *events;
	/* What a section says where nothing is in it. */
	const char *joints_unknown, *no_number, *no_wrong_mate_row, *no_part, *no_line, *no_hazard;
	const char *nothing_before_counts; /* a change of the plan that voids all */
	const char *no_other_scan, *about_events;
	const char *technician, *foreman, *sign_name, *sign_date, *sign_signature;

	/* Headings of columns. */
	const char *column_stage, *column_state, *column_started, *column_last, *column_who;
	const char *column_tags, *column_joint, *column_stickers, *column_apart, *column_new_part,
		*column_made;
	const char *column_time, *column_stickers_scanned, *column_resolved;
	const char *column_part, *column_place, *column_joints, *column_part_checked;
	const char *column_line, *column_ticked, *column_by;
	const char *column_hazard, *column_confirmed, *column_restored;
	const char *column_event, *column_terminal, *column_what, *column_answer;

	/* Cells. */
	const char *stage_called[LT_STAGE_COUNT];
	const char *stage_state[LT_STATE_NOTHING + 1];
	const char *state_unknown;
	const char *made, *not_made, *not_apart;
	const char *not_checked, *not_resolved, *not_confirmed, *not_ticked;
	const char *digest_wrong, *not_understood;
	const char *typed_at[LT_STAGE_COUNT]; /* NULL where nothing is typed */
	/* Scans that are counted below the wrong mates; NULL: not counted. */
	const char *other_scan[LT_VERDICT_COUNT];
};
extern const struct lt_record_words lt_record_words;

/* Says which file was written, in a line without its end. */
void lt_words_record_written(struct lt_text *out, const char *path, unsigned long long job,
	size_t events, size_t faults);
/* The title of the PDF file. */
void lt_words_record_pdf_title(struct lt_text *out, unsigned long long job, const char *code);

/* The head and the foot. */
void lt_words_record_title(struct lt_text *out, unsigned long long job);
void lt_words_record_foot(struct lt_text *out, const char *code, unsigned long long job,
	size_t events);
/* In groups of four characters; NULL: there is none. */
void lt_words_record_digest(struct lt_text *out, const char *digest);

/* Findings about the events. `event` counts from 1. */
void lt_words_events_changed(struct lt_text *out, size_t event, size_t all);
void lt_words_events_missing(struct lt_text *out, size_t missing, size_t all);
void lt_words_events_fit(struct lt_text *out, size_t all);
void lt_words_event_not_understood(struct lt_text *out, size_t event);

/* Findings about the end of the job. */
void lt_words_closed(struct lt_text *out, const char *moment);
void lt_words_closed_unfinished(struct lt_text *out, const char *reason);

/* Findings about joints. Numbers are listed as "1–4, 7". `open` are those that are not made, ""
 * where all are; `made` of `all` joints that have to be made. */
void lt_words_joints_made(struct lt_text *out, const char *open, size_t made, size_t all,
	bool apart_known);
void lt_words_joints_found(struct lt_text *out, enum lt_joints_found which, size_t count,
	const char *numbers);
void lt_words_half_waits(struct lt_text *out, unsigned number, enum lt_side side, unsigned station);

/* Other findings. `open` lists what is not resolved or not checked; "" for none. */
void lt_words_wrong_mates(struct lt_text *out, size_t count, const char *open);
void lt_words_parts_checked(struct lt_text *out, size_t count, const char *open);
/* Stages that are skipped, not started or not finished. */
void lt_words_stages_found(struct lt_text *out, enum lt_stage_state state, size_t count,
	const char *names);
/* Of `all` hazards, not 0. */
void lt_words_hazards_confirmed(struct lt_text *out, size_t unconfirmed, size_t late, size_t all);
/* Of `all` lines of the last checks, not 0. */
void lt_words_lines_ticked(struct lt_text *out, size_t unticked, size_t all);

/* Findings about the description. */
void lt_words_first_plan_late(struct lt_text *out, size_t event);
void lt_words_plan_changed(struct lt_text *out, size_t changes, bool voids);
/* NULL: not described. */
void lt_words_revision_changed(struct lt_text *out, const char *then, const char *now);

/* Cells and lines of the tables. */
void lt_words_day_of_times(struct lt_text *out, const char *moment);
void lt_words_replanned(struct lt_text *out, const char *time, const char *who);
/* `reason` may be NULL. */
void lt_words_stage_skipped(struct lt_text *out, const char *who, const char *reason);
void lt_words_joint_skipped(struct lt_text *out, enum lt_stage stage, const char *reason);
void lt_words_joint_typed(struct lt_text *out, const char *when);
/* `name` may be NULL. */
void lt_words_joint_called(struct lt_text *out, const char *id, const char *name, bool removed);
void lt_words_joint_mates(struct lt_text *out, const char *mate);
void lt_words_apart_at(struct lt_text *out, const char *time, size_t rank);
/* A tag may be NULL: not known. */
void lt_words_wrong_pair(struct lt_text *out, const char *first, const char *second);
void lt_words_other_scans(struct lt_text *out, const char *counts);
void lt_words_restore(struct lt_text *out, const char *how);
void lt_words_confirmed_late(struct lt_text *out, const char *time);

#endif
