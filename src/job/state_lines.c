/* What is ticked at stage finish. */
#include <string.h>

#include "state.h"

static void add_line(struct lt_job_state *state, const char *line)
{
	state->ticked[state->line_count] = LT_NONE;
	state->lines[state->line_count++] = line;
}

static void add_hazard(struct lt_job_state *state, const struct lt_hazard *hazard)
{
	add_line(state, lt_arena_printf(&state->arena, "%s: restored%s%s", hazard->energy,
				hazard->restore != NULL ? ": " : "",
				hazard->restore != NULL ? hazard->restore : ""));
}

static void add_connector(struct lt_job_state *state, const struct lt_connector *connector)
{
	add_line(state, lt_arena_printf(&state->arena, "%s%s%s: looked at; it has no number",
				connector->id, connector->name != NULL ? ", " : "",
				connector->name != NULL ? connector->name : ""));
}

/* Energy is restored when nobody has anything to do in there any more. */
void lt_job_find_lines(struct lt_job_state *state)
{
	const struct lt_harness *harness = state->tags->harness;
	const size_t most =
		harness->hazard_count + harness->finish_count + harness->connector_count;
	state->lines = lt_arena_array(&state->arena, most, sizeof(*state->lines));
	state->ticked = lt_arena_array(&state->arena, most, sizeof(*state->ticked));
	state->ticks = lt_arena_array(&state->arena, most, sizeof(*state->ticks));
	for (size_t i = 0; i < harness->connector_count; i++)
		if (state->tags->number_of[i] == 0)
			add_connector(state, &harness->connectors[i]);
	for (size_t i = 0; i < harness->finish_count; i++)
		add_line(state, harness->finish[i].text);
	for (size_t i = 0; i < harness->hazard_count; i++)
		add_hazard(state, &harness->hazards[i]);
}

bool lt_job_tick(struct lt_job_state *state, const struct lt_job_event *event)
{
	bool found = false;
	for (size_t i = 0; event->text != NULL && i < state->line_count; i++) {
		if (strcmp(state->lines[i], event->text) != 0)
			continue;
		found = true;
		if (state->ticked[i] != LT_NONE)
			continue;
		state->ticked[i] = state->events;
		state->ticks[state->tick_count++] = (struct lt_job_tick){ *event, i };
		return true;
	}
	return found;
}

void lt_job_untick(struct lt_job_state *state)
{
	for (size_t i = 0; i < state->line_count; i++)
		state->ticked[i] = LT_NONE;
	state->tick_count = 0;
}

const struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station)
{
	for (size_t i = state->tick_count; i-- > 0;)
		if (state->ticks[i].event.station == station)
			return &state->ticks[i];
	return NULL;
}

bool lt_job_take_tick_back(struct lt_job_state *state, unsigned station)
{
	const struct lt_job_tick *last = lt_job_last_tick(state, station);
	if (last == NULL)
		return false;
	state->ticked[last->line] = LT_NONE;
	state->tick_count--;
	for (size_t i = (size_t)(last - state->ticks); i < state->tick_count; i++)
		state->ticks[i] = state->ticks[i + 1];
	return true;
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
