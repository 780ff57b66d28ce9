/* What is ticked at stage finish. */
#include <string.h>

#include "job/state.h"

bool lt_job_tick(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_job_frame *const frame = &state->frame;
	bool found = false;
	for (size_t i = 0; event->text != NULL && i < frame->plan->line_count; i++) {
		if (strcmp(frame->plan->lines[i].text, event->text) != 0)
			continue;
		found = true;
		if (frame->ticked[i] != LT_NONE)
			continue;
		frame->ticked[i] = state->events;
		frame->ticks[frame->tick_count++] =
			(struct lt_job_tick){ state->events, i, event->station };
		return true;
	}
	return found;
}

void lt_job_untick(struct lt_job_state *state)
{
	struct lt_job_frame *const frame = &state->frame;
	for (size_t i = 0; i < frame->plan->line_count; i++)
		frame->ticked[i] = LT_NONE;
	frame->tick_count = 0;
}

const struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station)
{
	for (size_t i = state->frame.tick_count; i-- > 0;)
		if (state->frame.ticks[i].station == station)
			return &state->frame.ticks[i];
	return NULL;
}

bool lt_job_take_tick_back(struct lt_job_state *state, unsigned station)
{
	struct lt_job_frame *const frame = &state->frame;
	const struct lt_job_tick *last = lt_job_last_tick(state, station);
	if (last == NULL)
		return false;
	frame->ticked[last->line] = LT_NONE;
	frame->tick_count--;
	for (size_t i = (size_t)(last - frame->ticks); i < frame->tick_count; i++)
		frame->ticks[i] = frame->ticks[i + 1];
	return true;
}

size_t lt_job_state_lines(const struct lt_job_state *state)
{
	return state->frame.plan != NULL ? state->frame.plan->line_count : 0;
}

const struct lt_job_line *lt_job_state_line(const struct lt_job_state *state, size_t line)
{
	return &state->frame.plan->lines[line];
}

size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line)
{
	return state->frame.ticked[line];
}
