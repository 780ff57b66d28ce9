/* The facts of a record, worked out once from the events of a job, for every rendering. Strings are
 * as they were recorded, not cleaned. */
#ifndef LOOMTAG_RECORD_FACTS_H
#define LOOMTAG_RECORD_FACTS_H

#include "loomtag/page.h"
#include "loomtag/record.h"

/* The state of a joint at the end. */
enum lt_record_joint_state {
	LT_RECORD_MADE,
	LT_RECORD_LEFT_IN, /* unplugging was recorded, and this joint was not recorded as apart */
	LT_RECORD_OPEN     /* not made, or nothing shows that it was */
};

/* A numbered joint. */
struct lt_record_joint {
	const struct lt_job_joint *plan; /* as the plan has it */
	struct lt_joint_history history;
	const char *tags;           /* "12H – 12M" */
	const char *mate;           /* "M1 vent motor, PWR", or NULL */
	bool removed;               /* a later plan of the job removed it */
	bool described;             /* today's description has it, with this number */
	bool typed[LT_STAGE_COUNT]; /* by a tag typed by hand, on either half; not at unplug */
	bool proven_before;         /* proven, and not only after it came apart */
	bool stays;                 /* it was skipped at unplug with a reason */
	bool needed;                /* has to be made: it came apart, or that is not known */
	enum lt_record_joint_state state;
	unsigned is; /* LT_RECORD_IS_... */
	size_t next; /* joint of the same part; LT_NONE */
};

/* A joint without number, a hazard or a finish line: ticked at stage finish. */
struct lt_record_line {
	const struct lt_job_line *plan; /* what the plan says of it */
	size_t ticked;                  /* event, or LT_NONE */
	size_t confirmed; /* of a hazard: the event that first said it is made safe, or LT_NONE */
	bool late;        /* that was after something had been touched */
};

struct lt_record_wrong {
	size_t event;
	const char *first, *second; /* tags; NULL where it is not known */
	const char *ids[2];         /* of their connectors then; NULL likewise */
	size_t resolved;            /* the event that resolved it; LT_NONE: none */
};

struct lt_record_part {
	const char *id, *name, *place; /* name and place by today's description; or NULL */
	size_t first, joint_count;     /* its joints, each with the next; LT_NONE: none */
	size_t swapped;                /* the event by which all of them were; LT_NONE: not all */
};

enum lt_record_table {
	LT_RECORD_TABLE_STAGES,
	LT_RECORD_TABLE_JOINTS,
	LT_RECORD_TABLE_WRONG,
	LT_RECORD_TABLE_PARTS,
	LT_RECORD_TABLE_LINES,
	LT_RECORD_TABLE_HAZARDS,
	LT_RECORD_TABLE_EVENTS,
	LT_RECORD_TABLES
};

/* People, each once, in order. */
struct lt_record_people {
	const char **names;
	size_t count;
};

struct lt_record_stage {
	enum lt_stage_state state;
	size_t begun, ended; /* first and last event; LT_NONE: none */
	size_t skipped;      /* event that says it is left out; LT_NONE */
	struct lt_record_people who;
};

struct lt_record {
	struct lt_arena arena;
	struct lt_record_options options;
	const struct lt_tags *tags;
	const struct lt_job *job;
	const struct lt_job_event *events;
	size_t count;
	struct lt_job_state *state; /* after all of them */

	bool redescribed; /* today's description is not the plan that is in force */
	bool closed;
	const char *reason;          /* why it was closed unfinished, or NULL */
	size_t misfit;               /* the first event that does not fit its digest, or LT_NONE */
	bool unplugging;             /* it is known which joints came apart */
	bool reconnected;            /* the stage's own answer */
	size_t missing_events;       /* events that are missing from the end */
	struct lt_record_people who; /* all who had a part in it */

	struct lt_record_stage stages[LT_STAGE_COUNT];
	struct lt_record_joint *joints; /* by number */
	size_t joint_count;
	struct lt_record_line *lines; /* joints without number, finish lines, hazards */
	size_t line_count;
	struct lt_record_wrong *wrong;
	size_t wrong_count;
	struct lt_record_part *parts;
	size_t part_count;
	size_t verdicts[LT_VERDICT_COUNT];

	/* The paper, filled from the facts. */
	struct lt_document_style style;
	struct lt_block_table tables[LT_RECORD_TABLES];
	struct lt_document document;
	size_t faults; /* findings that stand out */
};

/* What the findings list joints by, each a bit. */
enum {
	LT_RECORD_IS_OPEN = 1,
	LT_RECORD_IS_MADE = 2, /* and had to be */
	LT_RECORD_IS_LEFT_IN = 4,
	/* Nothing shows that it was together, with the right stickers, when the others came apart.
	 */
	LT_RECORD_IS_UNACCOUNTED = 8,
	LT_RECORD_IS_SKIPPED = 16,
	LT_RECORD_IS_TYPED = 32,          /* though it has stickers */
	LT_RECORD_IS_TYPED_OF_PAPER = 64, /* it has none */
	LT_RECORD_IS_UNPROVEN = 128,
	LT_RECORD_IS_REMOVED = 256
};

/* The joint of a connector, also of one that was removed, or NULL. Linear. */
struct lt_record_joint *lt_record_joint_of(const struct lt_record *record, const char *id);

/* Works out the facts; the events are there. */
void lt_record_find_facts(struct lt_record *record);
/* Of them the joints; the state has had all events. */
void lt_record_find_joints(struct lt_record *record);

/* The summary, a finding a line; the tables; the appendix. */
void lt_record_add_summary(struct lt_record *record);
void lt_record_add_tables(struct lt_record *record);
void lt_record_add_events(struct lt_record *record);

/* The text as it is now, in the record's arena; finishes it. */
const char *lt_record_keep(struct lt_record *record, struct lt_text *text);

/* Local time of an event by index, "–" for LT_NONE: without the date on the day the job began. From
 * the record's arena. */
const char *lt_record_time(struct lt_record *record, size_t event);
/* In full, with the offset. */
const char *lt_record_moment(struct lt_record *record, long long at);

/* Names with commas between, from the record's arena; `none` where there are none. */
const char *lt_record_names(struct lt_record *record, const char *const *names, size_t count,
	const char *none);

#endif
