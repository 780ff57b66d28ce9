/* The record: made once from its facts, drawn as pages and written as text. */
#include <stdlib.h>

#include "loomtag/words.h"
#include "record/facts.h"

/* Without its texts. */
static const struct lt_document_style look = {
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
	.sign = { { NULL, 58, 2 }, { NULL, 36, 2 }, { NULL, 1, 0 } },
};

static void set_style(struct lt_record *record)
{
	record->style = look;
	record->style.sign[0].label = lt_record_words.sign_name;
	record->style.sign[1].label = lt_record_words.sign_date;
	record->style.sign[2].label = lt_record_words.sign_signature;
}

static void add_fact(struct lt_record *record, const char *label, const char *text,
	const char *none)
{
	lt_document_item(&record->document, LT_ITEM_PLAIN, label, text != NULL ? text : none);
}

static void add_facts(struct lt_record *record)
{
	const struct lt_record_words *words = &lt_record_words;
	const struct lt_job *job = record->job;
	struct lt_document *document = &record->document;
	lt_document_add(document, LT_BLOCK_FACTS, NULL);
	add_fact(record, words->module, job->title, words->not_described);
	document->items[0].wide = true;
	add_fact(record, words->harness_code, job->code, "");
	add_fact(record, words->unit, job->unit,
		record->tags->harness->own_unit ? words->unit_own : words->unit_missing);
	add_fact(record, words->revision, job->revision, words->not_described);
	add_fact(record, words->job, lt_arena_printf(&record->arena, "%llu", job->id), "");
	add_fact(record, words->started, lt_record_moment(record, job->opened), "");
	add_fact(record, words->last_event, lt_record_moment(record, job->last), "");
	/* Nothing follows the event that closes. */
	add_fact(record, words->closed, record->closed ? lt_record_moment(record, job->last) : NULL,
		words->not_closed);
	add_fact(record, words->program, record->options.program, "");
	add_fact(record, words->who,
		lt_record_names(record, record->who.names, record->who.count, words->nobody), "");
	document->items[document->item_count - 1].wide = true;
}

static const char *shown(struct lt_record *record, struct lt_text *text)
{
	return lt_arena_shown(&record->arena, lt_record_keep(record, text));
}

static void set_head(struct lt_record *record)
{
	const struct lt_job *job = record->job;
	struct lt_text title = { 0 }, foot = { 0 }, digest = { 0 };
	lt_words_record_title(&title, job->id);
	lt_words_record_foot(&foot, job->code, job->id, record->count);
	lt_words_record_digest(&digest,
		record->count > 0 ? record->events[record->count - 1].digest : NULL);
	record->document.head = (struct lt_document_head){
		.title = shown(record, &title),
		.code = lt_arena_shown(&record->arena, job->code),
		.subtitle = record->document.items[0].text,
		.foot = { shown(record, &foot), shown(record, &digest) },
	};
}

static void build(struct lt_record *record)
{
	set_style(record);
	lt_document_init(&record->document, &record->style);
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

bool lt_record_draw(struct lt_canvas *canvas, const struct lt_record *record,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	return lt_document_draw(canvas, &record->document, record->options.paper, measure, diags);
}

void lt_record_write(struct lt_text *out, const struct lt_record *record)
{
	lt_document_write(out, &record->document, record->options.columns);
}
