/* What the record says on paper, apart from how it is set: a list of entries that the page and the
 * text rendering go through from top to bottom. All strings are cleaned of control characters. */
#ifndef LOOMTAG_RECORD_MODEL_H
#define LOOMTAG_RECORD_MODEL_H

#include "loomtag/record.h"
#include "record/facts.h"

enum lt_record_kind {
	LT_RECORD_FACT,      /* label and text */
	LT_RECORD_SUMMARY,   /* text: one line of the summary */
	LT_RECORD_CAUTION,   /* text */
	LT_RECORD_SECTION,   /* text */
	LT_RECORD_PARAGRAPH, /* text */
	LT_RECORD_ROW,       /* cells of a table; the first row of a table begins it */
	LT_RECORD_SIGN       /* text: who signs */
};

#define LT_RECORD_COLUMNS 7
struct lt_record_table {
	size_t count;
	const char *headings[LT_RECORD_COLUMNS];
	double widths[LT_RECORD_COLUMNS]; /* mm; 0 for the one that has the rest */
	bool small;                       /* a row is a line, as small as may be */
};

struct lt_record_entry {
	enum lt_record_kind kind;
	bool fault;    /* not as it should be: stands out */
	bool wide;     /* LT_RECORD_FACT: has a line of its own */
	bool new_page; /* LT_RECORD_SECTION: begins one */
	const char *label, *text;
	const struct lt_record_table *table; /* LT_RECORD_ROW */
	const char *cells[LT_RECORD_COLUMNS];
	bool loud[LT_RECORD_COLUMNS]; /* this cell stands out */
	const char *under;            /* below the second cell; or NULL */
};

struct lt_record_paper {
	struct lt_arena arena;
	const struct lt_record *record;
	const char *title, *code;
	const char *foot[2]; /* job and events; the last digest, in groups of four */
	struct lt_record_entry *entries;
	size_t count, room;
	size_t faults; /* lines of the summary that stand out */
};

void lt_record_build(struct lt_record_paper *out, const struct lt_record *record);
void lt_record_paper_finish(struct lt_record_paper *paper);

/* The rest is for those that build it. */

/* Appends an entry; its text is cleaned. The pointer is good until the next one. */
struct lt_record_entry *lt_record_add(struct lt_record_paper *paper, enum lt_record_kind kind,
	const char *text);

/* The summary, the tables, the appendix. */
void lt_record_add_summary(struct lt_record_paper *paper);
void lt_record_add_tables(struct lt_record_paper *paper);
void lt_record_add_events(struct lt_record_paper *paper);

/* Local time of an event by index, "–" for LT_NONE: without the date on the day the job began. */
const char *lt_record_time(struct lt_record_paper *paper, size_t event);
/* In full, with the offset. */
const char *lt_record_moment(struct lt_record_paper *paper, long long at);

/* "unplugging", as it stands on paper. */
const char *lt_record_stage_words(enum lt_stage stage);

/* Appends the numbers of the joints that `which` picks, "1–4, 7"; returns how many. */
typedef bool lt_record_pick(const struct lt_record *record, const struct lt_record_joint *joint);
size_t lt_record_numbers(struct lt_text *out, const struct lt_record *record,
	lt_record_pick *which);

/* "1 joint", "2 joints". */
void lt_record_count(struct lt_text *out, size_t count, const char *one, const char *many);

#endif
