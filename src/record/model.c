/* What the record says: the head, and what its parts share. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "loomtag/base.h"
#include "loomtag/words.h"
#include "record/model.h"

struct lt_record_entry *lt_record_add(struct lt_record_paper *paper, enum lt_record_kind kind,
	const char *text)
{
	paper->entries =
		lt_grow(paper->entries, &paper->room, paper->count + 1, sizeof *paper->entries);
	struct lt_record_entry *entry = &paper->entries[paper->count++];
	*entry = (struct lt_record_entry){ .kind = kind,
		.text = lt_arena_shown(&paper->arena, text) };
	return entry;
}

const char *lt_record_stage_words(enum lt_stage stage)
{
	switch (stage) {
	case LT_STAGE_TAG:
		return "stickers checked";
	case LT_STAGE_UNPLUG:
		return "unplugging";
	case LT_STAGE_SWAP:
		return "parts replaced";
	case LT_STAGE_RECONNECT:
		return "reconnecting";
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		break;
	}
	return "last checks";
}

/* A moment in local time and its distance from UTC in seconds. */
struct moment {
	struct tm tm;
	long offset;
	bool good;
};

static struct moment moment_of(const struct lt_record *record, long long at)
{
	struct moment moment = { 0 };
	if (record->options.offset != NULL)
		moment.offset = record->options.offset(record->options.data, at);
	time_t seconds = (time_t)(at / 1000 + moment.offset);
	moment.good = gmtime_r(&seconds, &moment.tm) != NULL;
	return moment;
}

static void add_date(struct lt_text *out, const struct moment *moment)
{
	lt_text_printf(out, "%04d-%02d-%02d", moment->tm.tm_year + 1900, moment->tm.tm_mon + 1,
		moment->tm.tm_mday);
}

static void add_offset(struct lt_text *out, long offset)
{
	long minutes = labs(offset) / 60;
	lt_text_printf(out, " %c%02ld:%02ld", offset < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

static void add_clock(struct lt_text *out, const struct moment *moment)
{
	lt_text_printf(out, "%02d:%02d:%02d", moment->tm.tm_hour, moment->tm.tm_min,
		moment->tm.tm_sec);
}

static const char *keep(struct lt_record_paper *paper, struct lt_text *text)
{
	const char *copy = lt_arena_strdup(&paper->arena, lt_text_string(text));
	lt_text_finish(text);
	return copy;
}

const char *lt_record_moment(struct lt_record_paper *paper, long long at)
{
	struct lt_text text = { 0 };
	struct moment moment = moment_of(paper->record, at);
	if (!moment.good)
		return "unknown";
	add_date(&text, &moment);
	lt_text_add_char(&text, ' ');
	add_clock(&text, &moment);
	add_offset(&text, moment.offset);
	return keep(paper, &text);
}

const char *lt_record_time(struct lt_record_paper *paper, size_t event)
{
	const struct lt_record *record = paper->record;
	if (event == LT_NONE)
		return "–";
	struct lt_text text = { 0 };
	struct moment first = moment_of(record, record->job->opened);
	struct moment moment = moment_of(record, record->events[event].at);
	if (!moment.good)
		return "unknown";
	if (moment.tm.tm_yday != first.tm.tm_yday || moment.tm.tm_year != first.tm.tm_year ||
		moment.offset != first.offset) {
		add_date(&text, &moment);
		lt_text_add_char(&text, ' ');
	}
	add_clock(&text, &moment);
	if (moment.offset != first.offset)
		add_offset(&text, moment.offset);
	return keep(paper, &text);
}

size_t lt_record_numbers(struct lt_text *out, const struct lt_record *record, lt_record_pick *which)
{
	size_t count = 0;
	for (size_t i = 0; i < record->joint_count; i++) {
		if (!which(record, &record->joints[i]))
			continue;
		size_t last = i;
		while (last + 1 < record->joint_count &&
			record->joints[last + 1].number == record->joints[last].number + 1 &&
			which(record, &record->joints[last + 1]))
			last++;
		/* Two that follow each other are no range. */
		if (last - i < 2)
			last = i;
		lt_text_printf(out, "%s%u", count > 0 ? ", " : "", record->joints[i].number);
		if (last > i)
			lt_text_printf(out, "–%u", record->joints[last].number);
		count += last - i + 1;
		i = last;
	}
	return count;
}

void lt_record_count(struct lt_text *out, size_t count, const char *one, const char *many)
{
	lt_text_printf(out, "%zu %s", count, count == 1 ? one : many);
}

static void add_fact(struct lt_record_paper *paper, const char *label, const char *text)
{
	lt_record_add(paper, LT_RECORD_FACT, text)->label = label;
}

static void add_head(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	const struct lt_job *job = record->job;
	struct lt_text who = { 0 };
	struct lt_text number = { 0 };
	lt_text_printf(&number, "%llu", job->id);
	for (size_t i = 0; i < record->who_count; i++)
		lt_text_printf(&who, "%s%s", i > 0 ? ", " : "", record->who[i]);
	add_fact(paper, "module", job->title != NULL ? job->title : "no title is given");
	paper->entries[paper->count - 1].wide = true;
	add_fact(paper, "harness code", job->code);
	add_fact(paper, "unit", job->unit != NULL ? job->unit : "NOT GIVEN");
	add_fact(paper, "revision", job->revision != NULL ? job->revision : "not given");
	add_fact(paper, "job", lt_text_string(&number));
	add_fact(paper, "begun", lt_record_moment(paper, job->opened));
	add_fact(paper, "last event", lt_record_moment(paper, job->last));
	/* Nothing follows the event that closes. */
	add_fact(paper, "closed",
		record->closed ? lt_record_moment(paper, job->last) : "NOT CLOSED");
	add_fact(paper, "recorded with", record->options.program);
	add_fact(paper, "who", record->who_count > 0 ? lt_text_string(&who) : "nobody");
	paper->entries[paper->count - 1].wide = true;
	lt_text_finish(&who);
	lt_text_finish(&number);
}

static void add_cautions(struct lt_record_paper *paper)
{
	lt_record_add(paper, LT_RECORD_CAUTION, lt_caution_scan);
	lt_record_add(paper, LT_RECORD_CAUTION, lt_caution_work);
}

static void set_foot(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text line = { 0 };
	lt_text_printf(&line, "%s, job %llu, ", paper->code, record->job->id);
	lt_record_count(&line, record->count, "event", "events");
	paper->foot[0] = keep(paper, &line);
	line = (struct lt_text){ 0 };
	lt_text_add(&line, "last digest (SHA-256)");
	const char *digest = record->count > 0 ? record->events[record->count - 1].digest : "none";
	for (size_t i = 0; digest[i] != '\0'; i++) {
		if (i % 4 == 0)
			lt_text_add_char(&line, ' ');
		lt_text_add_char(&line, digest[i]);
	}
	paper->foot[1] = lt_arena_shown(&paper->arena, lt_text_string(&line));
	lt_text_finish(&line);
}

void lt_record_build(struct lt_record_paper *out, const struct lt_record *record)
{
	*out = (struct lt_record_paper){ .record = record };
	lt_arena_init(&out->arena);
	out->code = lt_arena_shown(&out->arena, record->job->code);
	out->title = lt_arena_printf(&out->arena, "Record of job %llu", record->job->id);
	set_foot(out);
	add_head(out);
	lt_record_add_summary(out);
	add_cautions(out);
	lt_record_add_tables(out);
	lt_record_add_events(out);
}

void lt_record_paper_finish(struct lt_record_paper *paper)
{
	lt_arena_finish(&paper->arena);
	free(paper->entries);
	*paper = (struct lt_record_paper){ 0 };
}

size_t lt_record_faults(const struct lt_record *record)
{
	struct lt_record_paper paper;
	lt_record_build(&paper, record);
	size_t faults = paper.faults;
	lt_record_paper_finish(&paper);
	return faults;
}
