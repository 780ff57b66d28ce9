/* Record: what was done in a job, to sign and keep, as pages, text or JSON. It is made from the
 * events of the job alone and judges nothing. */
#ifndef LOOMTAG_RECORD_H
#define LOOMTAG_RECORD_H

#include "loomtag/checklist.h"

/* The record of a job: what was done, by whom and when, and what was not; to be read, signed and
 * kept. A page or two with an appendix of all events, the same as plain text, or as JSON.
 *
 * What is not proved by the events counts as not done, and faults stand out. The same job,
 * description and offsets give the same record. */

struct lt_record_options {
	enum lt_paper paper;
	size_t columns;      /* of the text rendering */
	const char *program; /* name and version, as "loomtag 0.1.0" */
	/* Returns the offset of local time from UTC, in seconds, east positive, at a moment
	 * (milliseconds since 1970). NULL: times are in UTC. */
	long (*offset)(void *data, long long at);
	void *data;
};
#define LT_RECORD_OPTIONS_INIT \
	{ \
		LT_PAPER_A4, 78, "loomtag", NULL, NULL \
	}

struct lt_record;

/* Works out the record of a job: `events` are all of its events, in order. The state of joints
 * follows from the plans in the job and from the recorded verdicts. The tags are those of today's
 * description: names of parts come from it. If it differs from the plan in force, the record shows
 * that. A job of version 1 that was closed has no plan: only its verdicts are shown.
 * Everything given must outlive the record. Never NULL. Near linear in events and joints. */
struct lt_record *lt_record_create(const struct lt_tags *tags, const struct lt_job *job,
	const struct lt_job_event *events, size_t count, const struct lt_record_options *options);
/* Takes NULL. */
void lt_record_destroy(struct lt_record *record);

/* The number of findings in the summary that are faults. */
size_t lt_record_faults(const struct lt_record *record);

/* Draws it as pages, in black and grey only. Every page has at its foot the job, "page n of m", the
 * number of events and the last one's digest. */
bool lt_record_draw(struct lt_canvas *canvas, const struct lt_record *record,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Writes it as plain text, UTF-8, lines of at most options->columns columns. */
void lt_record_write(struct lt_text *out, const struct lt_record *record);

/* Writes it as one JSON document, ASCII, with a line end. Texts are as they were stored, not
 * cleaned. */
void lt_record_write_json(struct lt_text *out, const struct lt_record *record);

#endif
