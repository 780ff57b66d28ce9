#include "loomtag/verify_log.h"

#include <stdlib.h>

void lt_verify_log_finish(struct lt_verify_log *log)
{
	if (log == NULL)
		return;
	lt_arena_finish(&log->arena);
	free(log->events);
	free(log->skips);
	free(log->steps);
	*log = (struct lt_verify_log){ 0 };
}

static const char *keep(struct lt_verify_log *log, const char *bytes, size_t length)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, bytes, length);
	const char *kept = lt_arena_copy(&log->arena, lt_text_string(&clean), clean.length);
	lt_text_finish(&clean);
	return kept;
}

static void add_step(struct lt_verify_log *log, size_t event)
{
	log->steps = lt_grow(log->steps, &log->step_room, log->step_count + 1, sizeof(*log->steps));
	log->steps[log->step_count++] = event;
}

static struct lt_answer add_event(struct lt_verify_log *log, unsigned line, const char *scan,
	size_t length, struct lt_answer answer)
{
	log->events =
		lt_grow(log->events, &log->event_room, log->event_count + 1, sizeof(*log->events));
	log->events[log->event_count++] =
		(struct lt_event){ line, keep(log, scan, length), answer, false, 0 };
	if (answer.changed)
		add_step(log, log->event_count - 1);
	return answer;
}

struct lt_answer lt_verify_log_feed(struct lt_verify_log *log, struct lt_verify *verify,
	unsigned line, const char *scan, size_t length)
{
	return add_event(log, line, scan, length, lt_verify_feed(verify, scan, length));
}

struct lt_answer lt_verify_log_overlong(struct lt_verify_log *log, struct lt_verify *verify,
	unsigned line, const char *scan, size_t length)
{
	return add_event(log, line, scan, length, lt_verify_feed(verify, "", 0));
}

void lt_verify_log_note(struct lt_verify_log *log, unsigned line, const char *scan, size_t length,
	struct lt_answer answer, unsigned long long id)
{
	answer.changed = false;
	add_event(log, line, scan, length, answer);
	log->events[log->event_count - 1].id = id;
}

bool lt_verify_log_skip(struct lt_verify_log *log, struct lt_verify *verify, unsigned number,
	const char *reason)
{
	const size_t joint = lt_verify_joint(verify, number);
	if (joint == LT_NONE || lt_verify_made(verify, joint))
		return false;
	const bool already = lt_verify_skipped(verify, joint);
	if (!lt_verify_skip(verify, number))
		return false;
	if (!already)
		add_step(log, LT_NONE);
	log->skips = lt_grow(log->skips, &log->skip_room, log->skip_count + 1, sizeof(*log->skips));
	size_t length = 0;
	while (reason[length] != '\0')
		length++;
	log->skips[log->skip_count++] = (struct lt_skip){ number, keep(log, reason, length) };
	return true;
}

bool lt_verify_log_undo(struct lt_verify_log *log, struct lt_verify *verify,
	const struct lt_event **event)
{
	*event = NULL;
	if (log->step_count == 0)
		return false;
	const size_t index = log->steps[log->step_count - 1];
	struct lt_event *last = index != LT_NONE ? &log->events[index] : NULL;
	*event = last;
	if (last != NULL && last->answer.verdict == LT_VERDICT_WRONG_MATE)
		return false;
	if (!lt_verify_undo(verify)) {
		*event = NULL;
		return false;
	}
	log->step_count--;
	if (last != NULL)
		last->undone = true;
	return true;
}

const char *lt_verify_log_reason(const struct lt_verify_log *log, unsigned number)
{
	for (size_t i = log->skip_count; i-- > 0;)
		if (log->skips[i].number == number)
			return log->skips[i].reason;
	return NULL;
}
