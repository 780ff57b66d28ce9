/* The record: made once from its facts, drawn as pages and written as text. */
#include <stdlib.h>

#include "loomtag/words.h"
#include "record/facts.h"

static const struct lt_document_style style = {
	.margin = LT_PAGE_MARGIN,
	.compact = true,
	.trims = true,
	.label_width = 23,
	.label_columns = 15,
	.gaps = { [LT_BLOCK_SECTION] = 6,
		[LT_BLOCK_PARAGRAPH] = 1,
		[LT_BLOCK_NOTE] = 1.5,
		[LT_BLOCK_FACTS] = 0.5,
		[LT_BLOCK_FINDING] = 1.5 },
	.spaced = 1u << LT_BLOCK_SECTION | 1u << LT_BLOCK_NOTE | 1u << LT_BLOCK_FACTS |
		  1u << LT_BLOCK_SIGN,
	.sign_height = 14,
	.sign_title = 26,
	.sign = { { "name", 58, 2 }, { "date", 36, 2 }, { "signature", 1, 0 } },
};

static void add_fact(struct lt_record *record, const char *label, const char *text,
	const char *none)
{
	lt_document_item(&record->document, LT_ITEM_PLAIN, label, text != NULL ? text : none);
}

static void add_facts(struct lt_record *record)
{
	const struct lt_job *job = record->job;
	struct lt_document *document = &record->document;
	lt_document_add(document, LT_BLOCK_FACTS, NULL);
	add_fact(record, "module", job->title, "no title is given");
	document->items[0].wide = true;
	add_fact(record, "harness code", job->code, "");
	add_fact(record, "unit", job->unit, "NOT GIVEN");
	add_fact(record, "revision", job->revision, "not given");
	add_fact(record, "job", lt_arena_printf(&record->arena, "%llu", job->id), "");
	add_fact(record, "begun", lt_record_moment(record, job->opened), "");
	add_fact(record, "last event", lt_record_moment(record, job->last), "");
	/* Nothing follows the event that closes. */
	add_fact(record, "closed", record->closed ? lt_record_moment(record, job->last) : NULL,
		"NOT CLOSED");
	add_fact(record, "recorded with", record->options.program, "");
	add_fact(record, "who",
		lt_record_names(record, record->who.names, record->who.count, "nobody"), "");
	document->items[document->item_count - 1].wide = true;
}

/* The job and its events; the last digest, in groups of four. */
static void set_head(struct lt_record *record)
{
	const struct lt_job *job = record->job;
	struct lt_arena *arena = &record->arena;
	const char *digest = record->count > 0 ? record->events[record->count - 1].digest : "none";
	struct lt_text line = { 0 };
	lt_text_add(&line, "last digest (SHA-256)");
	for (size_t i = 0; digest[i] != '\0'; i++)
		lt_text_printf(&line, "%s%c", i % 4 == 0 ? " " : "", digest[i]);
	const char *code = lt_arena_shown(arena, job->code);
	record->document.head = (struct lt_document_head){
		.title = lt_arena_printf(arena, "Record of job %llu", job->id),
		.code = code,
		.subtitle = record->document.items[0].text,
		.foot = { lt_arena_printf(arena, "%s, job %llu, %zu %s", code, job->id,
				  record->count, record->count == 1 ? "event" : "events"),
			lt_arena_shown(arena, lt_text_string(&line)) },
	};
	lt_text_finish(&line);
}

static void build(struct lt_record *record)
{
	lt_document_init(&record->document, &style);
	add_facts(record);
	set_head(record);
	lt_record_add_summary(record);
	lt_document_add(&record->document, LT_BLOCK_NOTE, lt_caution_scan)->gap = 5;
	lt_document_add(&record->document, LT_BLOCK_NOTE, lt_caution_work);
	lt_record_add_tables(record);
	lt_record_add_events(record);
}

struct lt_record *lt_record_create(const struct lt_tags *tags, const struct lt_job *job,
	const struct lt_job_event *events, size_t count, const struct lt_record_options *options)
{
	struct lt_record *record = lt_alloc_array(1, sizeof *record);
	*record = (struct lt_record){ .options = *options,
		.tags = tags,
		.job = job,
		.events = events,
		.count = count,
		.state = lt_job_state_create() };
	lt_record_find_facts(record);
	build(record);
	return record;
}

void lt_record_destroy(struct lt_record *record)
{
	if (record == NULL)
		return;
	lt_document_finish(&record->document);
	lt_job_state_destroy(record->state);
	lt_arena_finish(&record->arena);
	free(record);
}

size_t lt_record_faults(const struct lt_record *record)
{
	return record->faults;
}

size_t lt_record_misfit(const struct lt_record *record)
{
	return record->misfit;
}

bool lt_record_draw(struct lt_canvas *canvas, const struct lt_record *record,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	return lt_document_draw(canvas, &record->document, record->options.paper, measure, diags);
}

void lt_record_write(struct lt_text *out, const struct lt_record *record)
{
	lt_document_write(out, &record->document, record->options.columns);
}
