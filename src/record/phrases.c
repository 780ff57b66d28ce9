/* What the parts of a record have in common: times and lists of names. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "record/facts.h"

const char *lt_record_keep(struct lt_record *record, struct lt_text *text)
{
	const char *copy = lt_arena_strdup(&record->arena, lt_text_string(text));
	lt_text_finish(text);
	return copy;
}

const char *lt_record_names(struct lt_record *record, const char *const *names, size_t count,
	const char *none)
{
	struct lt_text text = { 0 };
	for (size_t i = 0; i < count; i++)
		lt_text_printf(&text, "%s%s", i > 0 ? ", " : "", names[i]);
	lt_text_add(&text, count > 0 ? "" : none);
	return lt_record_keep(record, &text);
}

/* Seconds that local time is east of UTC. */
static long offset_at(const struct lt_record *record, long long at)
{
	const struct lt_record_options *options = &record->options;
	return options->offset != NULL ? options->offset(options->data, at) : 0;
}

static void add_offset(struct lt_text *out, long offset)
{
	const long minutes = labs(offset) / 60;
	lt_text_printf(out, " %c%02ld:%02ld", offset < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

const char *lt_record_moment(struct lt_record *record, long long at)
{
	const long offset = offset_at(record, at);
	struct lt_text text = { 0 };
	if (!lt_time_add(&text, at, offset, "%Y-%m-%d %H:%M:%S"))
		return lt_record_words.time_unknown;
	add_offset(&text, offset);
	return lt_record_keep(record, &text);
}

const char *lt_record_time(struct lt_record *record, size_t event)
{
	static const char date[] = "%Y-%m-%d ";
	struct lt_text text = { 0 }, first_day = { 0 };
	if (event == LT_NONE)
		return "–";
	const long long at = record->events[event].at, opened = record->job->opened;
	const long offset = offset_at(record, at), first = offset_at(record, opened);
	if (!lt_time_add(&text, at, offset, date))
		return lt_record_words.time_unknown;
	lt_time_add(&first_day, opened, first, date);
	if (offset == first && strcmp(lt_text_string(&text), lt_text_string(&first_day)) == 0)
		lt_text_clear(&text);
	lt_text_finish(&first_day);
	lt_time_add(&text, at, offset, "%H:%M:%S");
	if (offset != first)
		add_offset(&text, offset);
	return lt_record_keep(record, &text);
}
