/* Small harnesses and events of jobs on them. */
#ifndef TESTS_JOB_FIXTURE_H
#define TESTS_JOB_FIXTURE_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/job.h"

enum { JOB_JOINTS = 7, JOB_NUMBERS = 50, JOB_EVENTS = 200 };

/* A harness whose connectors are joints, in the order of their numbers. */
struct job_fixture {
	struct lt_component components[8]; /* one that stays, one that is replaced, six more */
	struct lt_connector connectors[JOB_JOINTS + 1];
	char ids[JOB_JOINTS + 1][8]; /* "X1" for the first, and so on */
	size_t after[JOB_JOINTS + 1][JOB_JOINTS + 1], order[JOB_JOINTS + 1];
	unsigned number_of[JOB_JOINTS + 1];
	size_t connector_of[JOB_NUMBERS + 1];
	bool retired[JOB_NUMBERS + 1], x_printed[JOB_JOINTS + 1], m_is_old[JOB_JOINTS + 1];
	struct lt_hazard hazard;
	struct lt_finish_line finish[4];
	struct lt_harness harness;
	struct lt_tags tags;
};

/* With no joint yet. */
static inline void job_fixture_begin(struct job_fixture *out)
{
	memset(out, 0, sizeof(*out));
	out->components[0] = (struct lt_component){ .id = "B4" };
	out->components[1] = (struct lt_component){ .id = "M1", .replace = true };
	for (size_t i = 0; i <= JOB_NUMBERS; i++)
		out->connector_of[i] = LT_NONE;
	out->harness = (struct lt_harness){ .harness = "RV3", .code = "RV3U42" };
	out->harness.components = out->components;
	out->harness.component_count = 2;
	out->harness.connectors = out->connectors;
	out->harness.order = out->order;
	out->harness.hazards = &out->hazard;
	out->harness.finish = out->finish;
	out->tags = (struct lt_tags){ .harness = &out->harness,
		.number_of = out->number_of,
		.connector_of = out->connector_of,
		.retired = out->retired,
		.x_printed = out->x_printed,
		.m_is_old = out->m_is_old,
		.number_max = JOB_NUMBERS };
}

/* `after` are indices of joints; they are offered in the order they were added. */
static inline void job_fixture_add(struct job_fixture *fixture, unsigned number, unsigned sides,
	bool replaced, const size_t *after, size_t after_count)
{
	const size_t index = fixture->harness.connector_count++;
	struct lt_connector *connector = &fixture->connectors[index];
	snprintf(fixture->ids[index], sizeof(fixture->ids[index]), "X%zu", index + 1);
	*connector =
		(struct lt_connector){ .id = fixture->ids[index], .component = replaced ? 1 : 0 };
	connector->sides = sides;
	for (size_t k = 0; k < after_count; k++)
		fixture->after[index][k] = after[k];
	connector->after = (struct lt_indices){ fixture->after[index], after_count };
	fixture->order[index] = index;
	fixture->number_of[index] = number;
	fixture->connector_of[number] = index;
}

/* Events and the text of their scans. */
struct job_script {
	struct lt_job_event events[JOB_EVENTS];
	char texts[JOB_EVENTS][64];
	char tags[JOB_EVENTS][LT_TAG_SIZE];
	size_t count;
};

static inline struct lt_job_event *job_event(struct job_script *script, enum lt_job_event_kind kind,
	enum lt_stage stage, unsigned station)
{
	struct lt_job_event *event = &script->events[script->count];
	script->texts[script->count][0] = '\0';
	*event = (struct lt_job_event){
		.who = "Ines", .station = station, .kind = kind, .stage = stage
	};
	return event;
}

#endif
