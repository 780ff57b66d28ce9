/* What the checklist says, apart from how it is set: a list of entries that the page and the text
 * rendering go through from top to bottom. All strings are cleaned of control characters. */
#ifndef LOOMTAG_CHECKLIST_MODEL_H
#define LOOMTAG_CHECKLIST_MODEL_H

#include <stdint.h>

#include "loomtag/checklist.h"

enum lt_entry_kind {
	LT_ENTRY_PART,      /* title: begins a new page */
	LT_ENTRY_SECTION,   /* title */
	LT_ENTRY_PARAGRAPH, /* title: plain text */
	LT_ENTRY_CAUTION,   /* facts in a frame */
	LT_ENTRY_HAZARD,    /* title and facts to tick */
	LT_ENTRY_UNPLUG,    /* a joint that comes apart; two boxes: stickers checked, unplugged */
	LT_ENTRY_MATE,      /* a joint that is made; one box */
	LT_ENTRY_TICK,      /* title: one line to tick */
	LT_ENTRY_SIGN       /* who and when */
};

enum lt_fact_kind {
	LT_FACT_PLAIN,
	LT_FACT_WARNING, /* stands out */
	LT_FACT_TICK     /* has a box of its own */
};

struct lt_fact {
	enum lt_fact_kind kind;
	const char *label; /* "" for none */
	const char *text;  /* NULL: a line to write on */
};

#define LT_ENTRY_BADGES 2
struct lt_entry {
	enum lt_entry_kind kind;
	const char *title;                   /* NULL: a line to write on */
	const char *detail;                  /* joints: id and kind; or NULL */
	const char *tags[2];                 /* joints: "12H" and "12M"; NULL where there is none */
	bool turned;                         /* the number reads as another one upside down */
	bool sticker;                        /* LT_ENTRY_UNPLUG: there is a sticker to check */
	const char *badges[LT_ENTRY_BADGES]; /* NULL where there is none */
	size_t first, count;                 /* facts */
};

struct lt_checklist {
	struct lt_arena arena;
	const char *title, *code;
	const char *unit, *revision, *date; /* or NULL */
	struct lt_entry *entries;
	size_t count, room;
	struct lt_fact *facts;
	size_t fact_count, fact_room;
};

void lt_checklist_build(struct lt_checklist *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options);
void lt_checklist_finish(struct lt_checklist *list);

/* The rest is for those that build it. */

/* Appends an entry; facts that follow are its. The pointer is good until the next one. */
struct lt_entry *lt_checklist_add(struct lt_checklist *list, enum lt_entry_kind kind,
	const char *title);

/* Appends a fact to the last entry. */
void lt_checklist_fact(struct lt_checklist *list, enum lt_fact_kind kind, const char *label,
	const char *text);

/* Appends a fact when there is something to say. */
void lt_checklist_given(struct lt_checklist *list, const char *label, const char *text);

/* Appends the entries of one joint. */
void lt_checklist_unplug(struct lt_checklist *list, const struct lt_tags *tags, size_t connector);
void lt_checklist_mate(struct lt_checklist *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector);

#endif
