/* What the record says on paper: a document, filled from the facts of the job. */
#ifndef LOOMTAG_RECORD_PAPER_H
#define LOOMTAG_RECORD_PAPER_H

#include "loomtag/page.h"
#include "record/facts.h"

struct lt_record_paper {
	struct lt_document document;
	const struct lt_record *record;
	size_t faults; /* findings that stand out */
};

void lt_record_build(struct lt_record_paper *out, const struct lt_record *record);
void lt_record_paper_finish(struct lt_record_paper *paper);

/* The rest is for those that build it. */

/* The summary, a finding a line; the tables; the appendix. */
void lt_record_add_summary(struct lt_record_paper *paper);
void lt_record_add_tables(struct lt_record_paper *paper);
void lt_record_add_events(struct lt_record_paper *paper);

/* Local time of an event by index, "–" for LT_NONE: without the date on the day the job began. From
 * the paper's arena. */
const char *lt_record_time(struct lt_record_paper *paper, size_t event);
/* In full, with the offset. */
const char *lt_record_moment(struct lt_record_paper *paper, long long at);

/* "unplugging", as it stands on paper. */
const char *lt_record_stage_words(enum lt_stage stage);

/* Names with commas between, from the paper's arena; `none` where there are none. */
const char *lt_record_names(struct lt_record_paper *paper, const char *const *names, size_t count,
	const char *none);

#endif
