/* The fill-in worksheet: a line a number, wide cells for a hand in a glove, on a page laid on its
 * side. */
#include "checklist/model.h"
#include "loomtag/checklist.h"

enum { COLUMN_TAG, COLUMN_WHAT, COLUMN_MATE, COLUMN_COLOURS, COLUMN_PLACE, COLUMN_NOTES, COLUMNS };

/* Shares of what the tags leave of the width. */
static const double shares[COLUMNS] = { 0, 0.24, 0.23, 0.22, 0.17, 0.14 };
static const char *const names[COLUMNS] = { "tags", "connector: what it is",
	"mates: part, its marking", "colours by way: 1 BN, 2 BU …", "place", "notes" };

/* Less than elsewhere, so that six plugs and all that is to be said are one page. */
#define MARGIN 12.5
#define TAGS_WIDTH 48.0
#define CELL_PAD 1.8
#define ROW_LEAST 12.0
#define PASSED_OVER_NAMED 48

struct sheet {
	struct lt_flow *flow;
	const struct lt_tags *tags;
	struct lt_type tag;
	double left[COLUMNS + 1];
};

static void set_columns(struct sheet *sheet)
{
	sheet->left[COLUMN_TAG] = 0;
	sheet->left[COLUMN_WHAT] = TAGS_WIDTH;
	double rest = lt_flow_width(sheet->flow) - TAGS_WIDTH;
	for (size_t i = COLUMN_WHAT; i < COLUMNS; i++)
		sheet->left[i + 1] = sheet->left[i] + rest * shares[i];
}

static void set_column_heads(struct sheet *sheet)
{
	struct lt_flow *flow = sheet->flow;
	const struct lt_type *type = &lt_type_small;
	lt_flow_begin(flow, (struct lt_flow_options){ .gap = 3, .keep = true, .repeats = true });
	for (size_t i = 0; i < COLUMNS; i++) {
		double x = sheet->left[i] + (i == COLUMN_TAG ? 0 : CELL_PAD);
		lt_flow_paragraph(flow, x, 0, sheet->left[i + 1] - x - 1, type, names[i]);
	}
	lt_flow_end(flow, type->leading + 1.2);
}

/* What is known already, small, so that there is room to write below or behind it. */
static double set_cell(struct sheet *sheet, size_t column, const char *text)
{
	struct lt_flow *flow = sheet->flow;
	double x = sheet->left[column] + CELL_PAD;
	double width = sheet->left[column + 1] - x - CELL_PAD;
	const char *clean = text == NULL ? "" : lt_arena_shown(&flow->arena, text);
	return lt_flow_paragraph(flow, x, 1.2, width, &lt_type_small, clean).y;
}

static double set_known(struct sheet *sheet, size_t index)
{
	const struct lt_harness *harness = sheet->tags->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_text what = { 0 };
	struct lt_text wires = { 0 };
	lt_text_add(&what, connector->id);
	if (connector->name != NULL)
		lt_text_printf(&what, ": %s", connector->name);
	lt_connector_wires(&wires, connector);
	const char *known[COLUMNS] = { [COLUMN_WHAT] = lt_text_string(&what),
		[COLUMN_MATE] = lt_connector_mate_name(harness, index),
		[COLUMN_COLOURS] = lt_text_string(&wires),
		[COLUMN_PLACE] = connector->where,
		[COLUMN_NOTES] = connector->note };
	double lowest = 0;
	for (size_t i = COLUMN_WHAT; i < COLUMNS; i++) {
		double y = set_cell(sheet, i, known[i]);
		lowest = y > lowest ? y : lowest;
	}
	lt_text_finish(&what);
	lt_text_finish(&wires);
	return lowest;
}

static void write_tags(char tag[LT_TAG_SIZE], char mate[LT_TAG_SIZE], const struct lt_tags *tags,
	size_t index)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, tags, index);
	lt_tag_write(tag, tags->number_of[index], LT_SIDE_H);
	mate[0] = '\0';
	for (size_t i = 0; i < count; i++)
		if (sides[i] == LT_SIDE_M)
			lt_tag_write(mate, tags->number_of[index], LT_SIDE_M);
}

static double set_tags(struct sheet *sheet, size_t index)
{
	char tag[LT_TAG_SIZE], mate[LT_TAG_SIZE];
	unsigned number = sheet->tags->number_of[index];
	if (number == 0) {
		double baseline = ROW_LEAST / 2 + lt_flow_capital(sheet->flow, &lt_type_title) / 2;
		lt_flow_line(sheet->flow, 0, baseline, &lt_type_title, "by eye");
		return ROW_LEAST - 2;
	}
	write_tags(tag, mate, sheet->tags, index);
	double capital = lt_flow_capital(sheet->flow, &sheet->tag);
	return lt_mark_tags(sheet->flow, 0, (ROW_LEAST - capital) / 2, TAGS_WIDTH - CELL_PAD,
		&sheet->tag, tag, mate[0] != '\0' ? mate : NULL, lt_upside_down(number) != 0);
}

static void set_row(struct sheet *sheet, size_t index)
{
	struct lt_flow *flow = sheet->flow;
	lt_flow_begin(flow, (struct lt_flow_options){ 0 });
	lt_flow_rule(flow, 0, 0, lt_flow_width(flow), 0, 0.3, LT_MARK_WRITE);
	double tags = set_tags(sheet, index) + 1.5;
	double known = set_known(sheet, index) + 1.5;
	double height = tags > known ? tags : known;
	height = height > ROW_LEAST ? height : ROW_LEAST;
	/* One row of a full description can be higher than a page: then there are no rules down,
	 * along which it could not be broken. */
	for (size_t i = COLUMN_WHAT; i < COLUMNS && height < lt_flow_height(flow) / 2; i++)
		lt_flow_rule(flow, sheet->left[i], 0, 0, height, 0.2, LT_MARK_THIN);
	/* Shared with the next row, but for the last on a page. */
	lt_flow_rule(flow, 0, height, lt_flow_width(flow), 0, 0.3, LT_MARK_WRITE);
	lt_flow_end(flow, height);
}

static void set_rows(struct sheet *sheet)
{
	const struct lt_tags *tags = sheet->tags;
	/* Large enough, and white space in the rows. */
	sheet->tag = lt_type_tag(sheet->flow, LT_MARK_TAG_LEAST);
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		set_row(sheet, i);
}

static void write_reason(struct lt_text *out, const struct lt_passed_over *passed)
{
	lt_text_printf(out, "%u ", passed->number);
	switch (passed->why) {
	case LT_TURNED:
		lt_text_printf(out, "(upside down it reads as %u)", passed->because);
		break;
	case LT_SWAPPED:
		lt_text_printf(out, "(%u with two digits swapped)", passed->because);
		break;
	case LT_ONE_DIGIT:
		lt_text_printf(out, "(it can be read as %u)", passed->because);
		break;
	case LT_DISTINCT:
		lt_text_add(out, "(not needed)");
		break;
	}
}

static void write_passed_over(struct lt_text *out, const struct lt_tags *tags)
{
	struct lt_passed_over passed[PASSED_OVER_NAMED];
	size_t all = lt_tags_passed_over(tags, passed, PASSED_OVER_NAMED);
	size_t named = all < PASSED_OVER_NAMED ? all : PASSED_OVER_NAMED;
	if (all == 0)
		return;
	lt_text_add(out, "Left out, so that no number is taken for another: ");
	for (size_t i = 0; i < named; i++) {
		lt_text_add(out, i == 0 ? "" : ", ");
		write_reason(out, &passed[i]);
	}
	if (all > named)
		lt_text_printf(out, ", and %zu more for the same reasons", all - named);
	lt_text_add(out, ".");
}

static void set_note(struct sheet *sheet, const char *title, const char *text, bool ends)
{
	struct lt_flow *flow = sheet->flow;
	const double label = 32;
	if (text[0] == '\0')
		return;
	lt_flow_begin(flow, (struct lt_flow_options){ .gap = ends ? 5 : 2, .ends_repeat = ends });
	lt_flow_paragraph(flow, 0, 0, label - 2, &lt_type_strong, title);
	lt_flow_paragraph(flow, label, 0, lt_flow_width(flow) - label, &lt_type_body, text);
	lt_flow_end(flow, 0);
}

static void set_notes(struct sheet *sheet)
{
	const struct lt_harness *harness = sheet->tags->harness;
	struct lt_text line = { 0 };
	for (int hue = 0; hue < LT_HUE_COUNT; hue++)
		lt_text_printf(&line, "%s%s %s", hue == 0 ? "" : ", ",
			lt_hue_code((enum lt_hue)hue), lt_hue_name((enum lt_hue)hue));
	lt_text_add(&line, ". Base colour first: WHRD is white with red.");
	set_note(sheet, "Colours", lt_text_string(&line), true);
	lt_text_clear(&line);
	write_passed_over(&line, sheet->tags);
	set_note(sheet, "Numbers", lt_text_string(&line), false);
	lt_text_clear(&line);
	lt_text_printf(&line,
		"Type what you wrote into %s, each line at the id in its second column: the numbers "
		"stay as they are. Then “loomtag checklist” prints the order of reconnecting.",
		harness->file != NULL
			? lt_arena_shown(&sheet->flow->arena, lt_path_base(harness->file))
			: "the description");
	set_note(sheet, "How to go on", lt_text_string(&line), false);
	lt_text_finish(&line);
}

static void set_caution(struct sheet *sheet)
{
	static const char order[] =
		"Before anything is unplugged: find every energy, shut down, isolate, lock or tag, "
		"release what is stored, prove that it is dead. Then the same number on both halves "
		"of every joint, while everything is still plugged in.";
	const char *const paragraphs[] = { lt_caution_work, order, lt_caution_scan };
	lt_mark_caution(sheet->flow, (struct lt_flow_options){ .title = "Worksheet" }, "Caution",
		paragraphs, sizeof paragraphs / sizeof paragraphs[0]);
}

bool lt_worksheet_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_checklist_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	const struct lt_harness *harness = tags->harness;
	double width, height;
	struct lt_flow flow;
	lt_paper_size(&width, &height, options->paper);
	lt_flow_init(&flow, measure, height, width, MARGIN, LT_MARK_HEAD);
	struct lt_mark_head head = {
		.title = harness->title != NULL
				 ? lt_arena_shown(&flow.arena, harness->title)
				 : lt_arena_printf(&flow.arena, "Harness %s", harness->harness),
		.code = harness->code,
		.unit = harness->unit,
		.date = options->date,
		.extra = { "machine", "technician" },
	};
	struct sheet sheet = { .flow = &flow, .tags = tags };
	set_columns(&sheet);
	lt_mark_head_in_full(&flow, &head, "Worksheet");
	set_caution(&sheet);
	set_column_heads(&sheet);
	set_rows(&sheet);
	set_notes(&sheet);
	bool drawn = lt_flow_draw(&flow, canvas, lt_mark_page_head, &head, diags);
	lt_flow_finish(&flow);
	return drawn;
}
