/* The record on paper, and as text. */
#include "record/paper.h"
#include "loomtag/words.h"

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

static void add_fact(struct lt_record_paper *paper, const char *label, const char *text,
	const char *none)
{
	lt_document_item(&paper->document, LT_ITEM_PLAIN, label, text != NULL ? text : none);
}

static void add_facts(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	const struct lt_job *job = record->job;
	struct lt_document *document = &paper->document;
	lt_document_add(document, LT_BLOCK_FACTS, NULL);
	add_fact(paper, "module", job->title, "no title is given");
	document->items[0].wide = true;
	add_fact(paper, "harness code", job->code, "");
	add_fact(paper, "unit", job->unit, "NOT GIVEN");
	add_fact(paper, "revision", job->revision, "not given");
	add_fact(paper, "job", lt_arena_printf(&document->arena, "%llu", job->id), "");
	add_fact(paper, "begun", lt_record_moment(paper, job->opened), "");
	add_fact(paper, "last event", lt_record_moment(paper, job->last), "");
	/* Nothing follows the event that closes. */
	add_fact(paper, "closed", record->closed ? lt_record_moment(paper, job->last) : NULL,
		"NOT CLOSED");
	add_fact(paper, "recorded with", record->options.program, "");
	add_fact(paper, "who",
		lt_record_names(paper, record->who.names, record->who.count, "nobody"), "");
	document->items[document->item_count - 1].wide = true;
}

/* The job and its events; the last digest, in groups of four. */
static void set_head(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	const struct lt_job *job = record->job;
	struct lt_arena *arena = &paper->document.arena;
	const char *digest = record->count > 0 ? record->events[record->count - 1].digest : "none";
	struct lt_text line = { 0 };
	lt_text_add(&line, "last digest (SHA-256)");
	for (size_t i = 0; digest[i] != '\0'; i++)
		lt_text_printf(&line, "%s%c", i % 4 == 0 ? " " : "", digest[i]);
	const char *code = lt_arena_shown(arena, job->code);
	paper->document.head = (struct lt_document_head){
		.title = lt_arena_printf(arena, "Record of job %llu", job->id),
		.code = code,
		.subtitle = paper->document.items[0].text,
		.foot = { lt_arena_printf(arena, "%s, job %llu, %zu %s", code, job->id,
				  record->count, record->count == 1 ? "event" : "events"),
			lt_arena_shown(arena, lt_text_string(&line)) },
	};
	lt_text_finish(&line);
}

void lt_record_build(struct lt_record_paper *out, const struct lt_record *record)
{
	*out = (struct lt_record_paper){ .record = record };
	lt_document_init(&out->document, &style);
	add_facts(out);
	set_head(out);
	lt_record_add_summary(out);
	lt_document_add(&out->document, LT_BLOCK_NOTE, lt_caution_scan)->gap = 5;
	lt_document_add(&out->document, LT_BLOCK_NOTE, lt_caution_work);
	lt_record_add_tables(out);
	lt_record_add_events(out);
}

void lt_record_paper_finish(struct lt_record_paper *paper)
{
	lt_document_finish(&paper->document);
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

bool lt_record_draw(struct lt_canvas *canvas, const struct lt_record *record,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_record_paper paper;
	lt_record_build(&paper, record);
	bool drawn =
		lt_document_draw(canvas, &paper.document, record->options.paper, measure, diags);
	lt_record_paper_finish(&paper);
	return drawn;
}

void lt_record_write(struct lt_text *out, const struct lt_record *record)
{
	struct lt_record_paper paper;
	lt_record_build(&paper, record);
	lt_document_write(out, &paper.document, record->options.columns);
	lt_record_paper_finish(&paper);
}
