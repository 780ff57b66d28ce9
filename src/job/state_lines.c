/* What is ticked at stage finish. */
#include <string.h>

#include "state.h"

static void add_line(struct lt_job_state *state, const char *line)
{
	state->ticked[state->line_count] = LT_NONE;
	state->lines[state->line_count++] = line;
}

void lt_job_find_lines(struct lt_job_state *state)
{
	const struct lt_harness *harness = state->tags->harness;
	const size_t most =
		harness->hazard_count + harness->finish_count + harness->connector_count;
	state->lines = lt_arena_array(&state->arena, most, sizeof(*state->lines));
	state->ticked = lt_arena_array(&state->arena, most, sizeof(*state->ticked));
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		add_line(state, lt_arena_printf(&state->arena, "%s: restored%s%s", hazard->energy,
					hazard->restore != NULL ? ": " : "",
					hazard->restore != NULL ? hazard->restore : ""));
	}
	for (size_t i = 0; i < harness->finish_count; i++)
		add_line(state, harness->finish[i].text);
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (state->tags->number_of[i] != 0)
			continue;
		add_line(state,
			lt_arena_printf(&state->arena, "%s%s%s: looked at; it has no number",
				connector->id, connector->name != NULL ? ", " : "",
				connector->name != NULL ? connector->name : ""));
	}
}

bool lt_job_tick(struct lt_job_state *state, const char *text)
{
	bool found = false;
	for (size_t i = 0; text != NULL && i < state->line_count; i++) {
		if (strcmp(state->lines[i], text) != 0)
			continue;
		found = true;
		if (state->ticked[i] != LT_NONE)
			continue;
		state->ticked[i] = state->events;
		return true;
	}
	return found;
}

void lt_job_untick(struct lt_job_state *state)
{
	for (size_t i = 0; i < state->line_count; i++)
		state->ticked[i] = LT_NONE;
}

size_t lt_job_state_lines(const struct lt_job_state *state)
{
	return state->line_count;
}

const char *lt_job_state_line(const struct lt_job_state *state, size_t line)
{
	return state->lines[line];
}

size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line)
{
	return state->ticked[line];
}
