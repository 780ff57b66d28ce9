/* The record as pages: every entry a block; tables in columns. */
#include "loomtag/page.h"
#include "record/model.h"

#define HEAD 14.0
#define FOOT 13.0
#define LABEL_WIDTH 23.0
#define COLUMN_GAP 5.0
#define CELL_GAP 2.0
#define ROW_PAD 0.8
#define PROSE_WIDTH 170.0
#define FAULT_BAR 8.0
#define FAULT_PAD 1.8
#define SIGN_HEIGHT 14.0

#define TYPE(face, points, leading, ink) \
	{ \
		face, (points)*LT_POINT, leading, ink \
	}

/* The summary is for a glance at arm's length: capitals of 3 mm and more, which NUREG-0700 prefers
 * at 500 mm. Cells are as body text; the appendix is for who looks closely. */
static const struct lt_type summary_type = TYPE(LT_FACE_REGULAR, 12, 5.8, 0);
static const struct lt_type fault_type = TYPE(LT_FACE_BOLD, 12, 5.8, 0);
static const struct lt_type fault_mark = TYPE(LT_FACE_BOLD, 14, 5.8, 1);
static const struct lt_type cell_type = TYPE(LT_FACE_REGULAR, 8.5, 3.9, 0);
static const struct lt_type loud_type = TYPE(LT_FACE_BOLD, 8.5, 3.9, 0);
static const struct lt_type event_type = TYPE(LT_FACE_CONDENSED, 7.5, 3.3, 0);
static const struct lt_type event_loud_type = TYPE(LT_FACE_CONDENSED_BOLD, 7.5, 3.3, 0);

struct page {
	struct lt_flow *flow;
	const struct lt_record_paper *paper;
	double width;
	bool ends_repeat; /* the next block is not of the table before it */
};

static void begin(struct page *page, struct lt_flow_options options)
{
	options.ends_repeat = page->ends_repeat;
	page->ends_repeat = false;
	lt_flow_begin(page->flow, options);
}

static double set_fact(struct page *page, double x, double width,
	const struct lt_record_entry *entry)
{
	struct lt_flow *flow = page->flow;
	double baseline = lt_flow_baseline(flow, &lt_type_body);
	lt_flow_line(flow, x, baseline, &lt_type_label, entry->label);
	return lt_flow_paragraph(flow, x + LABEL_WIDTH, 0, width - LABEL_WIDTH, &lt_type_body,
		entry->text)
		.y;
}

/* Two facts beside each other, or one that is wide; returns how many were set. */
static size_t set_facts(struct page *page, const struct lt_record_entry *entry, size_t left)
{
	double width = (page->width - COLUMN_GAP) / 2;
	bool pair = !entry->wide && left > 1 && entry[1].kind == LT_RECORD_FACT && !entry[1].wide;
	begin(page, (struct lt_flow_options){ .gap = 0.5, .keep = true });
	set_fact(page, 0, entry->wide ? page->width : width, entry);
	if (pair)
		set_fact(page, width + COLUMN_GAP, width, entry + 1);
	lt_flow_end(page->flow, 0);
	return pair ? 2 : 1;
}

static void set_fault(struct page *page, const struct lt_record_entry *entry)
{
	struct lt_flow *flow = page->flow;
	const double x = FAULT_BAR + 3;
	begin(page, (struct lt_flow_options){ .gap = 1.5 });
	size_t bar = flow->item_count;
	lt_flow_fill(flow, 0, 0, FAULT_BAR, 0, 0);
	lt_flow_rule(flow, FAULT_BAR, 0.25, page->width - FAULT_BAR, 0, 0.5, 0);
	double mark = lt_flow_measure(flow, &fault_mark, "!");
	lt_flow_line(flow, (FAULT_BAR - mark) / 2, FAULT_PAD + lt_flow_baseline(flow, &fault_type),
		&fault_mark, "!");
	double y =
		lt_flow_paragraph(flow, x, FAULT_PAD, page->width - x - 3, &fault_type, entry->text)
			.y;
	y += FAULT_PAD;
	flow->items[bar].height = y;
	lt_flow_rule(flow, FAULT_BAR, y - 0.25, page->width - FAULT_BAR, 0, 0.5, 0);
	lt_flow_rule(flow, page->width - 0.25, 0, 0, y, 0.5, 0);
	lt_flow_end(flow, y);
}

static void set_summary(struct page *page, const struct lt_record_entry *entry, bool first)
{
	struct lt_flow *flow = page->flow;
	if (first) {
		begin(page, (struct lt_flow_options){ .gap = 6, .keep = true });
		lt_flow_paragraph(flow, 0, 0, page->width, &lt_type_section, "Summary");
		lt_flow_end(flow, 0);
	}
	if (entry->fault) {
		set_fault(page, entry);
		return;
	}
	const double x = FAULT_BAR + 3;
	begin(page, (struct lt_flow_options){ .gap = 1.5 });
	lt_flow_paragraph(flow, x, 0, page->width - x - 3, &summary_type, entry->text);
	lt_flow_end(flow, 0);
}

static void set_paragraph(struct page *page, const struct lt_record_entry *entry, double gap,
	bool keep)
{
	const struct lt_type *type = &lt_type_body;
	double width = page->width < PROSE_WIDTH ? page->width : PROSE_WIDTH;
	begin(page, (struct lt_flow_options){ .gap = gap, .keep = keep });
	lt_flow_paragraph(page->flow, 0, 0, width, type, entry->text);
	lt_flow_end(page->flow, 0);
}

static void set_section(struct page *page, const struct lt_record_entry *entry)
{
	begin(page,
		(struct lt_flow_options){ .gap = 6, .keep = true, .new_page = entry->new_page });
	lt_flow_paragraph(page->flow, 0, 0, page->width, &lt_type_section, entry->text);
	lt_flow_end(page->flow, 0);
}

/* The width of a column; the one that is not given has what is left. */
static double column_width(const struct page *page, const struct lt_record_table *table, size_t of)
{
	double left = page->width;
	for (size_t i = 0; i < table->count; i++)
		left -= table->widths[i];
	return table->widths[of] > 0 ? table->widths[of] : left;
}

static void set_headings(struct page *page, const struct lt_record_table *table)
{
	double x = 0;
	begin(page, (struct lt_flow_options){ .gap = 2, .keep = true, .repeats = true });
	for (size_t i = 0; i < table->count; i++) {
		double width = column_width(page, table, i);
		lt_flow_paragraph(page->flow, x, 0, width - CELL_GAP, &lt_type_small,
			table->headings[i]);
		x += width;
	}
	lt_flow_end(page->flow, 0);
}

static void set_row(struct page *page, const struct lt_record_entry *row, bool keep)
{
	struct lt_flow *flow = page->flow;
	const struct lt_record_table *table = row->table;
	const struct lt_type *type = table->small ? &event_type : &cell_type;
	const struct lt_type *loud = table->small ? &event_loud_type : &loud_type;
	double pad = table->small ? 0.3 : ROW_PAD;
	double x = 0;
	begin(page, (struct lt_flow_options){ .keep = keep });
	lt_flow_rule(flow, 0, 0, page->width, 0, table->small ? 0.1 : 0.2, LT_MARK_THIN);
	for (size_t i = 0; i < table->count; i++) {
		double width = column_width(page, table, i);
		double y = lt_flow_paragraph(flow, x, pad, width - CELL_GAP,
			row->loud[i] ? loud : type, row->cells[i])
				   .y;
		if (i == 1 && row->under != NULL)
			lt_flow_paragraph(flow, x, y, width - CELL_GAP, type, row->under);
		x += width;
	}
	double bottom = 0;
	for (size_t i = flow->blocks[flow->block_count].first; i < flow->item_count; i++)
		if (flow->items[i].y + flow->items[i].height > bottom)
			bottom = flow->items[i].y + flow->items[i].height;
	lt_flow_end(flow, bottom + pad);
}

static void set_sign(struct page *page, const struct lt_record_entry *entry, bool keep)
{
	struct lt_flow *flow = page->flow;
	const double title = 26, name = 58, date = 36;
	const double baseline = SIGN_HEIGHT - 2;
	begin(page, (struct lt_flow_options){ .keep = keep });
	lt_flow_line(flow, 0, baseline, &lt_type_strong, entry->text);
	lt_mark_write(flow, title, baseline, name - CELL_GAP, "name");
	lt_mark_write(flow, title + name, baseline, date - CELL_GAP, "date");
	lt_mark_write(flow, title + name + date, baseline, page->width - title - name - date,
		"signature");
	lt_flow_end(flow, SIGN_HEIGHT);
}

/* Sets an entry; returns how many it took. */
static size_t set_entry(struct page *page, size_t index)
{
	const struct lt_record_paper *paper = page->paper;
	const struct lt_record_entry *entry = &paper->entries[index];
	const struct lt_record_entry *before = index > 0 ? &paper->entries[index - 1] : NULL;
	bool first = before == NULL || before->kind != entry->kind;
	bool more = index + 1 < paper->count && paper->entries[index + 1].kind == entry->kind;
	if (before != NULL && before->kind == LT_RECORD_ROW && before->table != entry->table)
		page->ends_repeat = true;
	switch (entry->kind) {
	case LT_RECORD_FACT:
		return set_facts(page, entry, paper->count - index);
	case LT_RECORD_SUMMARY:
		set_summary(page, entry, first);
		break;
	case LT_RECORD_CAUTION:
		set_paragraph(page, entry, first ? 5 : 1.5, more);
		break;
	case LT_RECORD_SECTION:
		set_section(page, entry);
		break;
	case LT_RECORD_PARAGRAPH:
		/* It is not parted from the table that it is about. */
		set_paragraph(page, entry, 1,
			index + 1 < paper->count &&
				paper->entries[index + 1].kind == LT_RECORD_ROW);
		break;
	case LT_RECORD_ROW:
		if (first)
			set_headings(page, entry->table);
		set_row(page, entry, first && more);
		break;
	case LT_RECORD_SIGN:
		set_sign(page, entry, more);
		break;
	}
	return 1;
}

/* The whole title is among the facts on the first page. */
static void set_head(struct lt_flow *flow, const struct lt_record_paper *paper)
{
	const double baseline = 4.6, rule = 8;
	char line[512];
	double width = lt_flow_width(flow);
	double code = lt_flow_measure(flow, &lt_type_head, paper->code);
	double title = lt_flow_line(flow, 0, baseline, &lt_type_head, paper->title);
	lt_flow_line(flow, width - code, baseline, &lt_type_head, paper->code);
	lt_text_shorten(line, sizeof line, flow->measure, lt_type_body.face, lt_type_body.size,
		paper->entries[0].text, width - code - title - 12);
	lt_flow_line(flow, title + 6, baseline, &lt_type_body, line);
	lt_flow_rule(flow, 0, rule, width, 0, 0.5, 0);
}

static void set_page(struct lt_flow *flow, size_t number, const char *title, void *data)
{
	const struct lt_record_paper *paper = data;
	double width = lt_flow_width(flow);
	double top = flow->page_height - 2 * flow->margin - FOOT;
	double first = top + 4 + lt_flow_baseline(flow, &lt_type_small);
	double second = first + lt_type_small.leading;
	(void)title;
	set_head(flow, paper);
	lt_flow_rule(flow, 0, top + 3.5, width, 0, 0.25, 0);
	const char *pages =
		lt_arena_printf(&flow->arena, "page %zu of %zu", number, flow->page_count);
	double pages_width = lt_flow_measure(flow, &lt_type_strong, pages);
	lt_flow_line(flow, width - pages_width, first, &lt_type_strong, pages);
	lt_flow_line(flow, 0, first, &lt_type_small, paper->foot[0]);
	lt_flow_line(flow, 0, second, &lt_type_small, paper->foot[1]);
}

bool lt_record_draw(struct lt_canvas *canvas, const struct lt_record *record,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	double width, height;
	struct lt_flow flow;
	struct lt_record_paper paper;
	lt_paper_size(&width, &height, record->options.paper);
	lt_record_build(&paper, record);
	lt_flow_init(&flow, measure, width, height, LT_MARK_MARGIN, HEAD);
	flow.foot = FOOT;
	struct page page = { .flow = &flow, .paper = &paper, .width = lt_flow_width(&flow) };
	for (size_t i = 0; i < paper.count;)
		i += set_entry(&page, i);
	bool drawn = lt_flow_draw(&flow, canvas, set_page, &paper, diags);
	lt_flow_finish(&flow);
	lt_record_paper_finish(&paper);
	return drawn;
}
