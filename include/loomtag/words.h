/* Words: what papers, screens and pages say, said once: the facts of a joint, places, hazards,
 * verdicts, moments of a job.
 * To use it: each function gives a text, or adds one to a struct lt_text; nothing is drawn here. */
#ifndef LOOMTAG_WORDS_H
#define LOOMTAG_WORDS_H

#include <jansson.h>

#include "loomtag/job.h"

/* The answers to scans in plain words. */

/* Adds an answer in plain sentences, no newline. A right pair is only said to be two stickers that
 * belong together; the person is asked for the rest. */
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

/* A text as it was kept, null where there is none; what is not UTF-8 comes out clean. */
json_t *lt_words_json(const char *text);

/* An event's number is null where it has none. With `milliseconds` the time is also told in them.
 */
json_t *lt_job_json(const struct lt_job *job);
json_t *lt_job_event_json(const struct lt_job_event *event, bool milliseconds);

/* The cautions that every paper carries. */
extern const char lt_caution_work[], lt_caution_scan[];

/* Verdicts. */

struct lt_verdict_words {
	/* To be read at arm's length. */
	const char *shown[LT_VERDICT_COUNT];
	const char *shown_at_unplug[LT_VERDICT_COUNT]; /* NULL: as at the other stages */
	/* How the record counts the scans that were out of place ("3 misread"); NULL: not counted
	 * there. */
	const char *out_of_place[LT_VERDICT_COUNT];
};
extern const struct lt_verdict_words lt_verdict_words;

/* Lives for ever. */
const char *lt_verdict_word(enum lt_verdict verdict, enum lt_stage stage);

/* The result of verifying: the same sentences at the end of a live stage and after a file. */

struct lt_result_words {
	const char *yes[LT_STAGE_COUNT];
	const char *yes_others_skipped; /* at stage unplug, where a joint is skipped */
	const char *no[LT_STAGE_COUNT];
	const char *no_earlier_stage; /* at stage finish, where each line is ticked */
	const char *no_scan;          /* nothing was scanned in this run */
	const char *no_number;        /* no joint has one */
	const char *no_other_plan;    /* the description has changed */
	const char *no_unresolved;    /* all is made, and yet it is no yes */
	const char *no_unit;
	const char *check_by_eye; /* before joints that have no number */
	const char *done[LT_STAGE_COUNT];
	const char *open[LT_STAGE_COUNT];
	const char *not_asked[LT_STAGE_COUNT];
	/* Why a stage was left out, as the job keeps it. */
	const char *later_stage_started;
	/* Labels of lines in the result of a file. */
	const char *missing_row, *eye_row;
};
extern const struct lt_result_words lt_result_words;

/* The answer as lt_work_answer gives it, in a sentence that lives for ever. */
const char *lt_result_answer(unsigned no, enum lt_stage stage, bool others_skipped);
/* "RV3, stage reconnect: 2 of 13 numbered joints made." */
void lt_words_result_count(struct lt_text *out, const char *code, enum lt_stage stage, size_t made,
	size_t needed);
void lt_words_typed(struct lt_text *out, size_t count);
/* The state of a joint, to stand behind its name. The reason is read where it is skipped. */
void lt_words_joint_state(struct lt_text *out, const struct lt_verify *machine, size_t joint,
	const char *skip_reason);
/* A wrong mate that is not resolved, and what resolves it: `machine` is of its stage. */
void lt_words_wrong_mate(struct lt_text *out, const struct lt_verify *machine,
	const struct lt_wrong_mate *wrong);
/* One of an earlier stage. */
void lt_words_wrong_stickers(struct lt_text *out, const struct lt_wrong_mate *wrong,
	enum lt_stage stage);
/* Wrong mates that were resolved since. */
void lt_words_resolved(struct lt_text *out, size_t count);
void lt_words_stray(struct lt_text *out, const struct lt_job_stray *stray);
/* A sticker that waits for its other half; station 0: the present one. */
void lt_words_half_pair(struct lt_text *out, unsigned number, enum lt_side side, unsigned station);
/* Joints that are not asked for at stage reconnect; a list of numbers. */
void lt_words_not_asked(struct lt_text *out, const char *numbers);

/* The live screen. */

struct lt_live_words {
	/* Questions: what each key and word does. */
	const char *ask_resume;
	const char *ask_new_job;
	const char *ask_who;
	const char *ask_changed;
	const char *ask_hazard;
	const char *ask_scan;
	const char *ask_tick;
	const char *ask_seen;
	const char *ask_next_stage;
	const char *ask_next_stage_or_back;
	const char *ask_corrected;
	const char *scan_not_counted; /* a scan where something else is asked */

	/* The head of a screen. */
	const char *stage_begins[LT_STAGE_COUNT];

	/* The beginning. */
	const char *who_works;
	const char *changed_since;
	const char *plan_unknown; /* nothing counts: the job has no plan */
	const char *make_safe;
	const char *only_yes_confirms;
	const char *hazards_confirmed;
	const char *no_hazards;
	const char *nothing_scanned;
	const char *file_unreadable;
	const char *new_description;

	/* Warnings at stage reconnect. */
	const char *stickers_unchecked;

	/* The joint to go to. */
	const char *next, *now;
	const char *skipped_label;
	const char *by_eye_first;
	const char *would_fit_label;
	const char *fit_unknown;
	const char *only_skipped_left;
	const char *all_apart;
	const char *rest_stays_in;

	/* Words that are typed. */
	const char *nothing_to_take_back;
	const char *undo_alone;
	const char *undo_idle; /* the last scan changed nothing */
	const char *skip_taken_back;
	const char *tick_taken_back;
	const char *wrong_mate_stays[LT_STAGE_COUNT]; /* undo cannot take it back */
	const char *skip_how;
	const char *stage_how;
	const char *apart_how;
	const char *gone_how;
	const char *help_scan_word;
	const char *help_scan;
	const char *help_undo;
	const char *help_skip;
	const char *help_status;
	const char *help_next;
	const char *help_apart;
	const char *help_gone;
	const char *help_stage;
	const char *help_quit;
	const char *help_scans_prove;

	/* The end of a stage. */
	const char *missing;
	const char *unplug_in_order;
	const char *to_finish;
	const char *restore_last;
	const char *restore;
	const char *go_back_or_close;

	/* Stage finish. */
	const char *energy_while_open;
	const char *ticked;
	const char *ticked_while_open;
	const char *not_ticked;
	const char *only_yes_ticks;

	/* Other terminals, and the scanner. */
	const char *enter_before_scans;
	const char *scanner_lost;
};
extern const struct lt_live_words lt_live_words;

struct lt_words_job {
	unsigned long long number;
	long long opened, last; /* milliseconds since 1970 */
	enum lt_stage stage;
	bool has_plan; /* made and needed are known */
	size_t made, needed;
};
/* A job that is open, before somebody is asked whether to continue it. */
void lt_words_open_job(struct lt_text *out, const struct lt_words_job *job);
void lt_words_closed_job(struct lt_text *out, const struct lt_job *job);
/* It is closed now, by this conversation. */
void lt_words_job_done(struct lt_text *out, unsigned long long job);
void lt_words_job_not_closed(struct lt_text *out, unsigned long long job);
void lt_words_stage_not_done(struct lt_text *out, enum lt_stage stage);
void lt_words_stage_starts(struct lt_text *out, enum lt_stage stage);
void lt_words_next_stage(struct lt_text *out, enum lt_stage stage);
void lt_words_back_at_stage(struct lt_text *out, enum lt_stage stage);

/* unit NULL: none is given */
void lt_words_unit(struct lt_text *out, const char *unit);
/* Joints that are made, of how many. */
void lt_words_progress(struct lt_text *out, size_t made, size_t needed);

void lt_words_name_offered(struct lt_text *out, const char *name);
/* index from 0 */
void lt_words_hazard(struct lt_text *out, size_t index, size_t count, const char *energy);
void lt_words_not_confirmed(struct lt_text *out, const char *energy);
/* restore may be NULL */
void lt_words_restore(struct lt_text *out, const char *energy, const char *restore);
/* Numbers that have changed: their stickers are wrong now. */
void lt_words_print_again(struct lt_text *out, size_t count);

/* Lists of numbers. */
void lt_words_asked_for(struct lt_text *out, size_t needed, size_t all);
void lt_words_not_checked(struct lt_text *out, const char *numbers);
void lt_words_not_scanned(struct lt_text *out, const char *numbers);
void lt_words_open_joints(struct lt_text *out, const char *numbers);
/* `more` are not in the list. */
void lt_words_would_fit(struct lt_text *out, const char *numbers, size_t more);

/* What the description says of facing and seat, as sentences, each behind a space. */
void lt_words_seating(struct lt_text *out, const struct lt_connector *connector);
void lt_words_new_part(struct lt_text *out, unsigned number);
/* A joint on paper; `other` is NULL where one tag is enough. */
void lt_words_type_tags(struct lt_text *out, const char *tag, const char *other);
/* What was received is clean; `more`: it was longer. `word` is what was perhaps meant, or NULL. */
void lt_words_received(struct lt_text *out, const char *received, bool more, const char *word);

void lt_words_scan_taken_back(struct lt_text *out, const struct lt_job_event *event);
void lt_words_half_waits(struct lt_text *out, unsigned number, enum lt_side side);
enum lt_words_skip {
	LT_SKIP_NO_NUMBER, /* no joint has it */
	LT_SKIP_DONE,      /* it is made, apart, ... */
	LT_SKIP_NO_REASON,
	LT_SKIP_NOT_ASKED,
	LT_SKIPPED
};
void lt_words_skip(struct lt_text *out, enum lt_words_skip result, unsigned number,
	enum lt_stage stage);
/* What a removed joint left behind was dealt with; tags as lt_job_stray has them. */
void lt_words_settled(struct lt_text *out, const char *tags, bool wrong_mate);

void lt_words_lines_ticked(struct lt_text *out, size_t ticked, size_t lines);
/* reason NULL: all was done */
void lt_words_closed_elsewhere(struct lt_text *out, const char *who, const char *reason);
void lt_words_plan_elsewhere(struct lt_text *out, const char *who);
void lt_words_stage_elsewhere(struct lt_text *out, enum lt_stage stage, const char *who);
/* `count` events of other terminals, of which `last` is the last. */
void lt_words_events_elsewhere(struct lt_text *out, size_t count, const struct lt_job_event *last);
void lt_words_half_elsewhere(struct lt_text *out, unsigned number, enum lt_side side);
/* Wrong mates beside those that are shown. */
void lt_words_more_wrong(struct lt_text *out, size_t count);

#endif
