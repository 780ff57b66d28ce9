/* The fill-in worksheet: a line a number, wide cells for a hand in a glove, on a page laid on its
 * side. */
#include "checklist/parts.h"
#include "loomtag/words.h"

#define PASSED_OVER_NAMED 48

static const struct lt_document_style style = {
	/* Less than elsewhere, so that six plugs and all that is to be said are one page. */
	.margin = 12.5,
	.landscape = true,
	/* Large enough, and white space in the rows. */
	.tag_best = LT_MARK_TAG_LEAST,
	.gaps = { [LT_BLOCK_REMARK] = 2 },
};

static const struct lt_block_table table = { LT_ROW_GRID, 6,
	{ "tags", "connector: what it is", "mates: part, its marking",
		"colours by way: 1 BN, 2 BU …", "place", "notes" },
	{ 48, 0.24, 0.23, 0.22, 0.17, 0.14 }, false };

static void add_cell(struct lt_document *sheet, const char *text)
{
	lt_document_item(sheet, LT_ITEM_PLAIN, "", text != NULL ? text : "");
}

/* What is known already stands in the cells. */
static void add_row(struct lt_document *sheet, const struct lt_tags *tags, size_t index)
{
	const struct lt_harness *harness = tags->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_text text = { 0 };
	struct lt_block *row = lt_document_add(sheet, LT_BLOCK_ROW, NULL);
	row->table = &table;
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
	add_cell(sheet, connector->where);
	add_cell(sheet, connector->note);
	lt_text_finish(&text);
}

/* Why a number is left out, about the number because of which it is. */
static const struct {
	const char *before, *behind;
} reasons[] = {
	[LT_TURNED] = { "upside down it reads as ", "" },
	[LT_SWAPPED] = { "", " with two digits swapped" },
	[LT_ONE_DIGIT] = { "it can be read as ", "" },
	[LT_DISTINCT] = { "not needed", "" },
};

static void write_passed_over(struct lt_text *out, const struct lt_tags *tags)
{
	struct lt_passed_over passed[PASSED_OVER_NAMED];
	size_t all = lt_tags_passed_over(tags, passed, PASSED_OVER_NAMED);
	size_t named = all < PASSED_OVER_NAMED ? all : PASSED_OVER_NAMED;
	if (all == 0)
		return;
	lt_text_add(out, "Left out, so that no number is taken for another: ");
	for (size_t i = 0; i < named; i++) {
		lt_text_printf(out, "%s%u (%s", i == 0 ? "" : ", ", passed[i].number,
			reasons[passed[i].why].before);
		if (passed[i].why != LT_DISTINCT)
			lt_text_printf(out, "%u", passed[i].because);
		lt_text_printf(out, "%s)", reasons[passed[i].why].behind);
	}
	if (all > named)
		lt_text_printf(out, ", and %zu more for the same reasons", all - named);
	lt_text_add(out, ".");
}

static void add_note(struct lt_document *sheet, const char *title, struct lt_text *text)
{
	if (text->length > 0)
		lt_document_add(sheet, LT_BLOCK_REMARK, lt_text_string(text))->detail = title;
	lt_text_clear(text);
}

static void add_notes(struct lt_document *sheet, const struct lt_tags *tags)
{
	const struct lt_harness *harness = tags->harness;
	struct lt_text line = { 0 };
	for (int hue = 0; hue < LT_HUE_COUNT; hue++)
		lt_text_printf(&line, "%s%s %s", hue == 0 ? "" : ", ",
			lt_hue_code((enum lt_hue)hue), lt_hue_name((enum lt_hue)hue));
	lt_text_add(&line, ". Base colour first: WHRD is white with red.");
	add_note(sheet, "Colours", &line);
	sheet->blocks[sheet->count - 1].gap = 5;
	write_passed_over(&line, tags);
	add_note(sheet, "Numbers", &line);
	lt_text_printf(&line,
		"Type what you wrote into %s, each line at the id in its second column: the numbers "
		"stay as they are. Then “loomtag checklist” prints the order of reconnecting.",
		harness->file != NULL ? lt_path_base(harness->file) : "the description");
	add_note(sheet, "How to go on", &line);
	lt_text_finish(&line);
}

static void add_caution(struct lt_document *sheet)
{
	static const char order[] =
		"Before anything is unplugged: find every energy, shut down, isolate, lock or tag, "
		"release what is stored, prove that it is dead. Then the same number on both halves "
		"of every joint, while everything is still plugged in.";
	lt_document_add(sheet, LT_BLOCK_CAUTION, "Caution");
	lt_document_item(sheet, LT_ITEM_PLAIN, "", lt_caution_work);
	lt_document_item(sheet, LT_ITEM_PLAIN, "", order);
	lt_document_item(sheet, LT_ITEM_PLAIN, "", lt_caution_scan);
}

bool lt_worksheet_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_checklist_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	struct lt_document sheet;
	lt_document_init(&sheet, &style);
	lt_checklist_head(&sheet, tags->harness, options);
	sheet.head.extra[0] = "machine";
	sheet.head.extra[1] = "technician";
	lt_document_add(&sheet, LT_BLOCK_PART, "Worksheet");
	add_caution(&sheet);
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		add_row(&sheet, tags, i);
	add_notes(&sheet, tags);
	bool drawn = lt_document_draw(canvas, &sheet, options->paper, measure, diags);
	lt_document_finish(&sheet);
	return drawn;
}
