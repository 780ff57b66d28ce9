/* The fill-in worksheet: a line a number, on landscape pages, with cells wide enough to write in
 * with gloves. */
#include "checklist/parts.h"
#include "loomtag/words.h"

#define WORDS lt_worksheet_words

enum { BOXES = 3 }; /* of a joint: stickers on, unplugged, made */

static const struct lt_document_style style = {
	/* Less than elsewhere, so that six plugs and all that is to be said are one page. */
	.margin = 12.5,
	.landscape = true,
	/* Large enough, and white space in the rows. */
	.tag_best = LT_MARK_TAG_LEAST,
	.gaps = { [LT_BLOCK_REMARK] = 1.4 },
};

/* It lives as long as the document. */
static const struct lt_block_table *make_table(struct lt_document *sheet)
{
	struct lt_block_table *table = lt_arena_alloc(&sheet->arena, sizeof *table);
	/* Eight colours, written 5 mm high in a glove, take two lines of 64 mm at most. */
	*table = (struct lt_block_table){ LT_ROW_GRID, 8,
		{ WORDS.tags, WORDS.connector, WORDS.mate, WORDS.colours, WORDS.place,
			WORDS.stickers_on, WORDS.unplugged, WORDS.made },
		{ 46, 0.34, 0.34, 64, 0.32, 19, 18, 13 }, false };
	return table;
}

static void add_cell(struct lt_document *sheet, const char *text)
{
	lt_document_item(sheet, LT_ITEM_PLAIN, "", text != NULL ? text : "");
}

/* What is known already stands in the cells. */
static void add_row(struct lt_document *sheet, const struct lt_block_table *table,
	const struct lt_tags *tags, size_t index)
{
	const struct lt_harness *harness = tags->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_text text = { 0 };
	struct lt_block *row = lt_document_add(sheet, LT_BLOCK_ROW, NULL);
	row->table = table;
	row->tags = lt_checklist_tags(sheet, tags, index, false);
	add_cell(sheet, "");
	lt_text_add(&text, connector->id);
	if (connector->name != NULL)
		lt_text_printf(&text, ": %s", connector->name);
	add_cell(sheet, lt_text_string(&text));
	add_cell(sheet, lt_connector_mate_name(harness, index));
	lt_text_clear(&text);
	lt_connector_wires(&text, connector);
	add_cell(sheet, lt_text_string(&text));
	lt_text_clear(&text);
	if (connector->where != NULL && connector->note != NULL)
		lt_text_printf(&text, "%s; %s", connector->where, connector->note);
	else if (connector->where != NULL || connector->note != NULL)
		lt_text_add(&text, connector->where != NULL ? connector->where : connector->note);
	add_cell(sheet, lt_text_string(&text));
	lt_text_finish(&text);
	for (int i = 0; i < BOXES; i++)
		lt_document_item(sheet, LT_ITEM_TICK, "", "");
}

static void add_note(struct lt_document *sheet, const char *title, struct lt_text *text)
{
	if (text->length > 0)
		lt_document_add(sheet, LT_BLOCK_REMARK, lt_text_string(text))->detail = title;
	lt_text_clear(text);
}

static void add_notes(struct lt_document *sheet, const struct lt_tags *tags)
{
	const char *file = tags->harness->file;
	struct lt_text line = { 0 };
	lt_worksheet_add_colours(&line);
	add_note(sheet, WORDS.about_colours, &line);
	sheet->blocks[sheet->count - 1].gap = 3;
	lt_worksheet_add_all_passed(&line, tags);
	add_note(sheet, WORDS.about_numbers, &line);
	lt_worksheet_add_next(&line, file != NULL ? lt_path_base(file) : NULL);
	add_note(sheet, WORDS.next, &line);
	lt_worksheet_add_put_back(&line, file != NULL ? lt_path_base(file) : NULL);
	add_note(sheet, WORDS.put_back, &line);
	lt_text_finish(&line);
}

static void add_cautions(struct lt_document *sheet)
{
	lt_document_add(sheet, LT_BLOCK_CAUTION, lt_checklist_words.read_first);
	lt_document_item(sheet, LT_ITEM_PLAIN, "", lt_caution_work);
	lt_document_item(sheet, LT_ITEM_PLAIN, "", WORDS.order);
	lt_document_item(sheet, LT_ITEM_PLAIN, "", lt_caution_scan);
}

bool lt_worksheet_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_checklist_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	struct lt_document sheet;
	lt_document_init(&sheet, &style);
	lt_checklist_head(&sheet, tags->harness, options);
	sheet.head.extra[0] = WORDS.machine;
	sheet.head.extra[1] = WORDS.technician;
	lt_document_add(&sheet, LT_BLOCK_PART, WORDS.title);
	add_cautions(&sheet);
	lt_checklist_legend(&sheet);
	const struct lt_block_table *table = make_table(&sheet);
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		add_row(&sheet, table, tags, i);
	add_notes(&sheet, tags);
	bool drawn = lt_document_draw(canvas, &sheet, options->paper, measure, diags);
	lt_document_finish(&sheet);
	return drawn;
}
