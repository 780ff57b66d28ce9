/* A document as pages: every block one of the flow's, its parts in columns. */
#include <math.h>

#include "loomtag/words.h"
#include "page/marks.h"

#define COMPACT_HEAD 14.0
#define COMPACT_FOOT 13.0
#define PROSE_WIDTH 170.0
#define COLUMN_GAP 5.0

/* Columns of joints from the body's left edge, and the space around a joint. */
#define TAGS_WIDTH 50.0
#define TICK_TEXT 12.0
#define SECOND_BOX 17.0
#define UNPLUG_TAGS 36.0
#define MATE_TAGS 13.0
#define JOINT_PAD 3.2

#define LINE_TO_WRITE 8.0
#define BELOW_LINE 1.5
#define REMARK_LABEL 32.0
#define FAULT_BAR 8.0
#define FAULT_PAD 1.8

/* Findings are for a glance at arm's length: capitals of 3 mm and more, which NUREG-0700 prefers
 * at 500 mm. Cells are as body text; small ones are for who looks closely. */
static const struct lt_type finding_type = LT_TYPE(LT_TYPEFACE_REGULAR, 12, 5.8, 0);
static const struct lt_type fault_type = LT_TYPE(LT_TYPEFACE_BOLD, 12, 5.8, 0);
static const struct lt_type fault_mark = LT_TYPE(LT_TYPEFACE_BOLD, 14, 5.8, 1);
static const struct lt_type cell_type = LT_TYPE(LT_TYPEFACE_REGULAR, 8.5, 3.9, 0);
static const struct lt_type cell_loud = LT_TYPE(LT_TYPEFACE_BOLD, 8.5, 3.9, 0);
static const struct lt_type small_type = LT_TYPE(LT_TYPEFACE_CONDENSED, 7.5, 3.3, 0);
static const struct lt_type small_loud = LT_TYPE(LT_TYPEFACE_CONDENSED_BOLD, 7.5, 3.3, 0);

/* How tables are set; all in mm. */
struct look {
	const struct lt_type *type, *loud;
	double head_gap, head_right, head_least; /* above the headings; their height at least */
	double line, ink;                        /* of the rule above a row */
	double above, below;                     /* space within a row */
	double inset, right;                     /* before the cells but the first, and behind */
	double least;                            /* height of a row */
	bool keeps;                              /* the first row stays with the second */
};
static const struct look looks[LT_ROW_LOOKS] = {
	[LT_ROW_CELLS] = { &cell_type, &cell_loud, 2, 2, 0, 0.2, LT_MARK_THIN, 0.8, 0.8, 0, 2, 0,
		true },
	[LT_ROW_SMALL] = { &small_type, &small_loud, 2, 2, 0, 0.1, LT_MARK_THIN, 0.3, 0.3, 0, 2, 0,
		true },
	/* For a hand in a glove. What is known is small, so that there is room to write. */
	[LT_ROW_GRID] = { &lt_type_small, &lt_type_small, 3, 1, 5, 0.3, LT_MARK_WRITE, 1.2, 1.5,
		1.8, 1.8, 12, false },
};

struct page {
	struct lt_flow *flow;
	const struct lt_document *document;
	struct lt_type tag;
	double width;
	struct lt_flow_options next; /* for the next block, beside its gap and what it keeps with */
};

static void begin(struct page *page, double gap, bool keep)
{
	page->next.gap = gap;
	page->next.keep = keep;
	lt_flow_begin(page->flow, page->next);
	page->next = (struct lt_flow_options){ 0 };
}

/* The top of a paragraph whose first capitals begin at `capital`. */
static double top_for_capital(const struct page *page, const struct lt_type *type, double capital)
{
	return capital + lt_flow_capital(page->flow, type) - lt_flow_baseline(page->flow, type);
}

/* A label and its text beside it, or a line to write on; returns the y below. */
static double set_item(struct page *page, double x, double y, double width,
	const struct lt_block_item *item)
{
	struct lt_flow *flow = page->flow;
	const struct lt_type *type = item->kind == LT_ITEM_LOUD ? &lt_type_strong : &lt_type_body;
	double indent = item->label[0] != '\0' ? page->document->style->label_width : 0;
	double drop = item->text == NULL ? LINE_TO_WRITE - type->leading : 0;
	double baseline = y + drop + lt_flow_baseline(flow, type);
	lt_flow_line(flow, x, baseline, &lt_type_label, item->label);
	if (item->text != NULL)
		return lt_flow_paragraph(flow, x + indent, y, width - indent, type, item->text).y;
	lt_mark_write(flow, x + indent, baseline, width - indent, NULL);
	return y + LINE_TO_WRITE + BELOW_LINE;
}

static void set_section(struct page *page, const struct lt_block *block)
{
	lt_flow_paragraph(page->flow, 0, 0, page->width, &lt_type_section, block->text);
	lt_flow_end(page->flow, 0);
}

/* Paragraphs and notes. */
static void set_prose(struct page *page, const struct lt_block *block)
{
	const double below = page->document->style->below_paragraph;
	double y = lt_flow_paragraph(page->flow, 0, 0, fmin(page->width, PROSE_WIDTH),
		&lt_type_body, block->text)
			   .y;
	lt_flow_end(page->flow, below > 0 ? y + below : 0);
}

static void set_remark(struct page *page, const struct lt_block *block)
{
	struct lt_flow *flow = page->flow;
	lt_flow_paragraph(flow, 0, 0, REMARK_LABEL - 2, &lt_type_strong, block->detail);
	lt_flow_paragraph(flow, REMARK_LABEL, 0, page->width - REMARK_LABEL, &lt_type_body,
		block->text);
	lt_flow_end(flow, 0);
}

static void set_caution(struct page *page, const struct lt_block *block)
{
	const double pad = 4, bar = 2, between = 1.5;
	const double x = bar + pad;
	struct lt_flow *flow = page->flow;
	double width = page->width - x - pad;
	size_t tint = flow->item_count;
	lt_flow_fill(flow, 0, 0, page->width, 0, 0.93);
	lt_flow_fill(flow, 0, 0, bar, 0, 0);
	double y = lt_flow_paragraph(flow, x, pad - 1, width, &lt_type_title, block->text).y;
	for (size_t i = 0; i < block->count; i++) {
		y += i == 0 ? 0.8 : between;
		y = lt_flow_paragraph(flow, x, y, width, &lt_type_body,
			page->document->items[block->first + i].text)
			    .y;
	}
	/* The background is as high as the text turned out to be. */
	flow->items[tint].height = y + pad - 1;
	flow->items[tint + 1].height = y + pad - 1;
	lt_flow_end(flow, 0);
}

/* Two facts beside each other, or one that is wide. */
static void set_facts(struct page *page, const struct lt_block *block)
{
	const struct lt_block_item *facts = &page->document->items[block->first];
	double width = (page->width - COLUMN_GAP) / 2;
	for (size_t i = 0; i < block->count; i++) {
		bool pair = !facts[i].wide && i + 1 < block->count && !facts[i + 1].wide;
		if (i > 0)
			begin(page, page->document->style->gaps[block->kind], true);
		set_item(page, 0, 0, facts[i].wide ? page->width : width, &facts[i]);
		if (pair)
			set_item(page, width + COLUMN_GAP, 0, width, &facts[++i]);
		lt_flow_end(page->flow, 0);
	}
}

static void set_finding(struct page *page, const struct lt_block *block)
{
	struct lt_flow *flow = page->flow;
	const double x = FAULT_BAR + 3, width = page->width - x - 3;
	if (!block->fault) {
		lt_flow_paragraph(flow, x, 0, width, &finding_type, block->text);
		lt_flow_end(flow, 0);
		return;
	}
	size_t bar = flow->item_count;
	lt_flow_fill(flow, 0, 0, FAULT_BAR, 0, 0);
	lt_flow_rule(flow, FAULT_BAR, 0.25, page->width - FAULT_BAR, 0, 0.5, 0);
	double mark = lt_flow_measure(flow, &fault_mark, "!");
	lt_flow_line(flow, (FAULT_BAR - mark) / 2, FAULT_PAD + lt_flow_baseline(flow, &fault_type),
		&fault_mark, "!");
	double y = lt_flow_paragraph(flow, x, FAULT_PAD, width, &fault_type, block->text).y;
	y += FAULT_PAD;
	flow->items[bar].height = y;
	lt_flow_rule(flow, FAULT_BAR, y - 0.25, page->width - FAULT_BAR, 0, 0.5, 0);
	lt_flow_rule(flow, page->width - 0.25, 0, 0, y, 0.5, 0);
	lt_flow_end(flow, y);
}

/* A box and what it is for, in the middle of its height; returns the y below. */
static double set_tick(struct page *page, double y, const struct lt_block_item *item)
{
	const struct lt_type *type = &lt_type_body;
	double capital = lt_flow_capital(page->flow, type);
	double top = top_for_capital(page, type, y + (LT_MARK_BOX - capital) / 2);
	lt_mark_box(page->flow, 0, y);
	if (item->text == NULL)
		top -= LINE_TO_WRITE - type->leading;
	double below = set_item(page, TICK_TEXT, top, page->width - TICK_TEXT, item);
	double box = y + LT_MARK_BOX;
	return item->text != NULL && below > box ? below : box;
}

static void set_tick_line(struct page *page, const struct lt_block *block)
{
	set_tick(page, 0,
		&(struct lt_block_item){ LT_ITEM_TICK, .label = "", .text = block->text });
	lt_flow_end(page->flow, 0);
}

static void set_hazard(struct page *page, const struct lt_block *block)
{
	const double initials = 45;
	struct lt_flow *flow = page->flow;
	double width = page->width - initials - COLUMN_GAP;
	lt_flow_rule(flow, 0, 0, page->width, 0, 0.2, LT_MARK_THIN);
	double y = JOINT_PAD;
	double baseline = y + lt_flow_baseline(flow, &lt_type_title);
	if (block->text != NULL) {
		y = lt_flow_paragraph(flow, 0, y, width, &lt_type_title, block->text).y;
	} else {
		double x = lt_flow_line(flow, 0, baseline, &lt_type_title,
			lt_page_words.hazard_to_write);
		lt_mark_write(flow, x + 2, baseline, width - x - 2, NULL);
		y += lt_type_title.leading;
	}
	lt_mark_write(flow, page->width - initials, baseline, initials, lt_page_words.initials);
	for (size_t i = 0; i < block->count; i++) {
		const struct lt_block_item *item = &page->document->items[block->first + i];
		y = item->kind == LT_ITEM_TICK
			    ? set_tick(page, y + 2, item)
			    : set_item(page, TICK_TEXT, y + 1, page->width - TICK_TEXT, item);
	}
	lt_flow_end(flow, y + 1);
}

/* Names the columns of the joints, on every page that has some; the last line of each is level. */
static void set_joint_headings(struct page *page, bool unplug)
{
	const struct lt_type *type = &lt_type_small;
	const double tags = unplug ? UNPLUG_TAGS : MATE_TAGS;
	const double y = unplug ? type->leading : 0;
	if (unplug) {
		lt_flow_paragraph(page->flow, 0, 0, SECOND_BOX - 2, type,
			lt_page_words.stickers_checked);
		lt_flow_paragraph(page->flow, SECOND_BOX, y, tags, type, lt_page_words.unplugged);
	} else {
		lt_flow_paragraph(page->flow, 0, y, tags, type, lt_page_words.made);
	}
	lt_flow_paragraph(page->flow, tags, y, TAGS_WIDTH, type, lt_page_words.tags);
	lt_flow_paragraph(page->flow, tags + TAGS_WIDTH + COLUMN_GAP, y, TAGS_WIDTH, type,
		lt_page_words.facts);
	lt_flow_end(page->flow, y + type->leading + 1.5);
}

/* Tags and badges of a joint; `capital` is the top of the capitals. Returns the y below. */
static double set_tags(struct page *page, double x, double capital, const struct lt_block *block)
{
	struct lt_flow *flow = page->flow;
	double y;
	if (block->tags.tag != NULL) {
		y = lt_mark_tags(flow, x, capital, TAGS_WIDTH, &page->tag, &block->tags);
	} else {
		y = top_for_capital(page, &lt_type_title, capital);
		y = lt_flow_paragraph(flow, x, y, TAGS_WIDTH, &lt_type_title, lt_page_words.by_eye)
			    .y;
		y = lt_flow_paragraph(flow, x, y, TAGS_WIDTH, &lt_type_small,
			lt_page_words.no_number)
			    .y;
	}
	for (size_t i = 0; i < LT_BLOCK_BADGES && block->badges[i] != NULL; i++)
		y = lt_mark_badge(flow, x, y + 1.6, block->badges[i]);
	return y;
}

/* Name, id and facts of a joint; `capital` is the top of the capitals. Returns the y below. */
static double set_facts_of_joint(struct page *page, double x, double capital,
	const struct lt_block *block)
{
	struct lt_flow *flow = page->flow;
	double width = page->width - x;
	struct lt_flow_mark mark = lt_flow_paragraph(flow, x,
		top_for_capital(page, &lt_type_title, capital), width, &lt_type_title, block->text);
	double room = x + width - (mark.x + 3);
	if (lt_flow_measure(flow, &lt_type_label, block->detail) <= room)
		lt_flow_line(flow, mark.x + 3, mark.baseline, &lt_type_label, block->detail);
	else
		mark = lt_flow_paragraph(flow, x, mark.y, width, &lt_type_label, block->detail);
	double y = mark.y + 0.8;
	for (size_t i = 0; i < block->count; i++)
		y = set_item(page, x, y, width, &page->document->items[block->first + i]);
	return y;
}

static void set_joint(struct page *page, const struct lt_block *block)
{
	struct lt_flow *flow = page->flow;
	bool unplug = block->kind == LT_BLOCK_UNPLUG;
	double tags = unplug ? UNPLUG_TAGS : MATE_TAGS;
	double capital = JOINT_PAD + (LT_MARK_BOX - lt_flow_capital(flow, &page->tag)) / 2;
	lt_flow_rule(flow, 0, 0, page->width, 0, 0.2, LT_MARK_THIN);
	if (unplug && !block->sticker) {
		double top = JOINT_PAD + (LT_MARK_BOX - 2 * lt_type_small.leading) / 2;
		lt_flow_paragraph(flow, 0, top, SECOND_BOX - 2, &lt_type_small,
			lt_page_words.no_sticker);
	} else {
		lt_mark_box(flow, 0, JOINT_PAD);
	}
	if (unplug)
		lt_mark_box(flow, SECOND_BOX, JOINT_PAD);
	double left = set_tags(page, tags, capital, block);
	if (!unplug) {
		left += LINE_TO_WRITE - 1;
		lt_mark_write(flow, tags, left, TAGS_WIDTH, lt_page_words.initials);
	}
	double right = set_facts_of_joint(page, tags + TAGS_WIDTH + COLUMN_GAP, capital, block);
	lt_flow_end(flow, fmax(left, right) + JOINT_PAD);
}

/* A width in mm, or a share of `left`. */
static double width_of(double width, double left)
{
	return width > 1 ? width : left * width;
}

static double column_width(const struct page *page, const struct lt_block_table *table, size_t of)
{
	double left = page->width;
	for (size_t i = 0; i < table->count; i++)
		left -= table->widths[i] > 1 ? table->widths[i] : 0;
	return width_of(table->widths[of], left);
}

static void set_table_headings(struct page *page, const struct lt_block_table *table)
{
	const struct look *look = &looks[table->look];
	double left = 0;
	for (size_t i = 0; i < table->count; i++) {
		double x = left + (i > 0 ? look->inset : 0);
		left += column_width(page, table, i);
		lt_flow_paragraph(page->flow, x, 0, left - x - look->head_right, &lt_type_small,
			table->headings[i]);
	}
	lt_flow_end(page->flow, look->head_least);
}

/* The tags of a row that is to be written in; returns the y below. */
static double set_row_tags(struct page *page, const struct lt_block *row, double width)
{
	struct lt_flow *flow = page->flow;
	const double height = looks[LT_ROW_GRID].least;
	if (row->tags.tag != NULL)
		return lt_mark_tags(flow, 0, (height - lt_flow_capital(flow, &page->tag)) / 2,
			width, &page->tag, &row->tags);
	lt_flow_line(flow, 0, height / 2 + lt_flow_capital(flow, &lt_type_title) / 2,
		&lt_type_title, lt_page_words.by_eye);
	return height - 2;
}

/* Rules down, and one across that is shared with the next row, but for the last on a page. */
static void set_grid(struct page *page, const struct lt_block_table *table, double height)
{
	const struct look *look = &looks[table->look];
	double x = 0;
	/* One row of a full description can be higher than a page: then there are no rules down,
	 * along which it could not be broken. */
	for (size_t i = 0; i + 1 < table->count && height < lt_flow_height(page->flow) / 2; i++) {
		x += column_width(page, table, i);
		lt_flow_rule(page->flow, x, 0, 0, height, 0.2, LT_MARK_THIN);
	}
	lt_flow_rule(page->flow, 0, height, page->width, 0, look->line, look->ink);
}

static void set_row(struct page *page, const struct lt_block *row)
{
	struct lt_flow *flow = page->flow;
	const struct lt_block_table *table = row->table;
	const struct look *look = &looks[table->look];
	const bool grid = table->look == LT_ROW_GRID;
	double left = 0, bottom = 0;
	lt_flow_rule(flow, 0, 0, page->width, 0, look->line, look->ink);
	if (grid)
		bottom = set_row_tags(page, row, column_width(page, table, 0) - look->right);
	for (size_t i = 0; i < row->count; i++) {
		const struct lt_block_item *cell = &page->document->items[row->first + i];
		bool loud = cell->kind == LT_ITEM_LOUD || (i == 0 && table->strong);
		double x = left + (i > 0 ? look->inset : 0);
		left += column_width(page, table, i);
		double width = left - x - look->right;
		if (cell->kind == LT_ITEM_TICK) {
			lt_mark_box(flow, (x + left - look->inset - LT_MARK_BOX) / 2,
				(look->least - LT_MARK_BOX) / 2);
			continue;
		}
		double y = lt_flow_paragraph(flow, x, look->above, width,
			loud ? look->loud : look->type, cell->text)
				   .y;
		if (i == 1 && row->detail != NULL)
			y = lt_flow_paragraph(flow, x, y, width, look->type, row->detail).y;
		bottom = fmax(bottom, y);
	}
	if (grid) {
		bottom = fmax(bottom + look->below, look->least);
		set_grid(page, table, bottom);
		lt_flow_end(flow, bottom);
	} else {
		/* Its lowest letters decide, not the white space below them. */
		lt_flow_end(flow, 0);
		flow->blocks[flow->block_count - 1].height += look->below;
	}
}

static void set_sign(struct page *page, const struct lt_block *block)
{
	const struct lt_document_style *style = page->document->style;
	const double baseline = style->sign_height - 2;
	double x = style->sign_title, left = page->width - style->sign_title;
	if (style->sign_title > 0)
		lt_flow_line(page->flow, 0, baseline, &lt_type_strong, block->text);
	for (size_t i = 0; i < LT_SIGN_FIELDS; i++)
		left -= style->sign[i].width > 1 ? style->sign[i].width : 0;
	for (size_t i = 0; i < LT_SIGN_FIELDS && style->sign[i].width > 0; i++) {
		const struct lt_sign_field *field = &style->sign[i];
		double width = width_of(field->width, left);
		lt_mark_write(page->flow, x, baseline, width - field->gap,
			field->label != NULL ? field->label : block->text);
		x += width;
	}
	lt_flow_end(page->flow, style->sign_height);
}

#define KIND(kind) (1u << LT_BLOCK_##kind)

static const struct {
	void (*set)(struct page *page, const struct lt_block *block);
	unsigned keeps; /* kinds that it is not parted from when they follow it */
} kinds[LT_BLOCK_KINDS] = {
	[LT_BLOCK_SECTION] = { set_section, ~0u },
	[LT_BLOCK_PARAGRAPH] = { set_prose, ~(KIND(PARAGRAPH) | KIND(SECTION) | KIND(KINDS)) },
	[LT_BLOCK_NOTE] = { set_prose, KIND(NOTE) },
	[LT_BLOCK_REMARK] = { set_remark, 0 },
	[LT_BLOCK_CAUTION] = { set_caution, 0 },
	[LT_BLOCK_FACTS] = { set_facts, ~0u },
	[LT_BLOCK_FINDING] = { set_finding, 0 },
	/* A signature does not stand on a page of its own, nor with the last line alone. */
	[LT_BLOCK_HAZARD] = { set_hazard, KIND(TICK) },
	[LT_BLOCK_UNPLUG] = { set_joint, KIND(SIGN) },
	[LT_BLOCK_MATE] = { set_joint, KIND(SIGN) },
	[LT_BLOCK_TICK] = { set_tick_line, KIND(SIGN) },
	[LT_BLOCK_ROW] = { set_row, 0 },
	[LT_BLOCK_SIGN] = { set_sign, KIND(SIGN) },
};

/* What has headings that are shown again on every page. */
static bool is_run(enum lt_block_kind kind)
{
	return (1u << kind & (KIND(UNPLUG) | KIND(MATE) | KIND(ROW))) != 0;
}

static void set_headings(struct page *page, const struct lt_block *block)
{
	page->next.repeats = true;
	begin(page, block->kind == LT_BLOCK_ROW ? looks[block->table->look].head_gap : 2, true);
	if (block->kind == LT_BLOCK_ROW)
		set_table_headings(page, block->table);
	else
		set_joint_headings(page, block->kind == LT_BLOCK_UNPLUG);
}

static void set_block(struct page *page, size_t index)
{
	const struct lt_document *document = page->document;
	const struct lt_block *block = &document->blocks[index];
	const enum lt_block_kind next =
		index + 1 < document->count ? block[1].kind : LT_BLOCK_KINDS;
	const bool first =
		index == 0 || block[-1].kind != block->kind || block[-1].table != block->table;
	bool keeps = (kinds[block->kind].keeps >> next & 1) != 0;
	if (first && index > 0 && is_run(block[-1].kind))
		page->next.ends_repeat = true;
	if (block->new_page || block->kind == LT_BLOCK_PART)
		page->next.new_page = true;
	if (block->kind == LT_BLOCK_PART) {
		page->next.title = block->text;
		return;
	}
	if (first && is_run(block->kind))
		set_headings(page, block);
	/* The first row of a table is not the only one of it on a page. */
	if (block->kind == LT_BLOCK_ROW)
		keeps = first && next == LT_BLOCK_ROW && looks[block->table->look].keeps;
	begin(page, block->gap > 0 ? block->gap : document->style->gaps[block->kind], keeps);
	kinds[block->kind].set(page, block);
}

/* One size for the whole document, so that its columns look alike. */
static double tag_capital(const struct lt_flow *flow, const struct lt_document *document)
{
	double capital = document->style->tag_best;
	for (size_t i = 0; i < document->count && capital > LT_MARK_TAG_LEAST; i++)
		if (document->blocks[i].tags.tag != NULL)
			capital = lt_mark_tag_capital(flow, TAGS_WIDTH, &document->blocks[i].tags);
	return capital;
}

/* The whole title is among the facts on the first page. */
static void set_compact_head(struct lt_flow *flow, size_t number, const char *title, void *data)
{
	const struct lt_document_head *head = data;
	const double baseline = 4.6, rule = 8;
	const double width = lt_flow_width(flow);
	const double top = flow->page_height - 2 * flow->margin - COMPACT_FOOT;
	const double first = top + 4 + lt_flow_baseline(flow, &lt_type_small);
	char line[512];
	(void)title;
	double code = lt_flow_measure(flow, &lt_type_head, head->code);
	double behind = lt_flow_line(flow, 0, baseline, &lt_type_head, head->title);
	lt_flow_line(flow, width - code, baseline, &lt_type_head, head->code);
	lt_text_shorten(line, sizeof line, flow->measure, lt_type_body.face, lt_type_body.size,
		head->subtitle, width - code - behind - 12);
	lt_flow_line(flow, behind + 6, baseline, &lt_type_body, line);
	lt_flow_rule(flow, 0, rule, width, 0, 0.5, 0);

	lt_flow_rule(flow, 0, top + 3.5, width, 0, 0.25, 0);
	const char *pages = lt_mark_page_number(flow, number);
	lt_flow_line(flow, width - lt_flow_measure(flow, &lt_type_strong, pages), first,
		&lt_type_strong, pages);
	lt_flow_line(flow, 0, first, &lt_type_small, head->foot[0]);
	lt_flow_line(flow, 0, first + lt_type_small.leading, &lt_type_small, head->foot[1]);
}

bool lt_document_draw(struct lt_canvas *canvas, const struct lt_document *document,
	enum lt_paper paper, const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct lt_document_style *style = document->style;
	double width, height;
	struct lt_flow flow;
	lt_paper_size(&width, &height, paper);
	lt_flow_init(&flow, measure, style->landscape ? height : width,
		style->landscape ? width : height, style->margin,
		style->compact ? COMPACT_HEAD : LT_MARK_HEAD);
	flow.foot = style->compact ? COMPACT_FOOT : 0;
	struct page page = { .flow = &flow, .document = document, .width = lt_flow_width(&flow) };
	page.tag = lt_type_tag(&flow, tag_capital(&flow, document));
	if (!style->compact)
		lt_mark_head_in_full(&flow, &document->head, document->blocks[0].text);
	for (size_t i = 0; i < document->count; i++)
		set_block(&page, i);
	struct lt_document_head head = document->head;
	bool drawn = lt_flow_draw(&flow, canvas,
		style->compact ? set_compact_head : lt_mark_page_head, &head, diags);
	lt_flow_finish(&flow);
	return drawn;
}
