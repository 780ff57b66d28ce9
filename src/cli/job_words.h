/* Jobs and events for the screen and as JSON. */
#ifndef LOOMTAG_CLI_JOB_WORDS_H
#define LOOMTAG_CLI_JOB_WORDS_H

#include <jansson.h>

#include "loomtag/job.h"
#include "loomtag/text.h"

/* "2026-03-01 08:15 +0100", in the local time of the machine; `at` in milliseconds since 1970. */
void job_add_minute(struct lt_text *out, long long at);

/* One line of the list of jobs, and its heading. */
void job_add_heading(struct lt_text *out);
void job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound);

/* What stands above the events of a job. */
void job_add_facts(struct lt_text *out, const struct lt_job *job);

/* Columns that the name of the person takes. */
size_t job_who_columns(const struct lt_job_event *event);
/* One line of what happened, with at least as much room for the name as it takes. */
void job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns);

json_t *job_json(const struct lt_job *job);
json_t *job_event_json(const struct lt_job_event *event);

#endif
