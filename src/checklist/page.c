/* The checklist as pages: every entry a block, its parts in columns. */
#include <stdlib.h>

#include "checklist/model.h"
#include "loomtag/page.h"

/* Columns from the body's left edge, and the space around a joint. */
#define TAGS_WIDTH 50.0
#define TICK_TEXT 12.0
#define SECOND_BOX 17.0
#define UNPLUG_TAGS 36.0
#define MATE_TAGS 13.0
#define COLUMN_GAP 5.0
#define LABEL_WIDTH 19.0
#define JOINT_PAD 3.2
#define LINE_TO_WRITE 8.0
#define BELOW_LINE 1.5
#define PROSE_WIDTH 170.0

struct page {
	struct lt_flow *flow;
	const struct lt_checklist *list;
	struct lt_type tag;
	double width;
	struct lt_flow_options next; /* for the next block: set by a part's beginning */
};

/* What the next block asks for, with what a part before it asked for. */
static struct lt_flow_options options_of(struct page *page, double gap, bool keep)
{
	struct lt_flow_options options = page->next;
	page->next = (struct lt_flow_options){ 0 };
	options.gap = gap;
	options.keep = keep;
	return options;
}

static void begin(struct page *page, double gap, bool keep)
{
	lt_flow_begin(page->flow, options_of(page, gap, keep));
}

/* The top of a paragraph whose first capitals begin at `capital`. */
static double top_for_capital(const struct page *page, const struct lt_type *type, double capital)
{
	return capital + lt_flow_capital(page->flow, type) - lt_flow_baseline(page->flow, type);
}

/* The top of a paragraph whose first line stands in the middle of a tick box at `box`. */
static double top_beside_box(const struct page *page, const struct lt_type *type, double box)
{
	double capital = lt_flow_capital(page->flow, type);
	return top_for_capital(page, type, box + (LT_MARK_BOX - capital) / 2);
}

/* A label and its text beside it, or a line to write on; returns the y below. */
static double set_fact(struct page *page, double x, double y, double width,
	const struct lt_fact *fact)
{
	struct lt_flow *flow = page->flow;
	const struct lt_type *type =
		fact->kind == LT_FACT_WARNING ? &lt_type_strong : &lt_type_body;
	double indent = fact->label[0] != '\0' ? LABEL_WIDTH : 0;
	double drop = fact->text == NULL ? LINE_TO_WRITE - type->leading : 0;
	double baseline = y + drop + lt_flow_baseline(flow, type);
	lt_flow_line(flow, x, baseline, &lt_type_label, fact->label);
	if (fact->text != NULL)
		return lt_flow_paragraph(flow, x + indent, y, width - indent, type, fact->text).y;
	lt_mark_write(flow, x + indent, baseline, width - indent, NULL);
	return y + LINE_TO_WRITE + BELOW_LINE;
}

static double set_facts(struct page *page, double x, double y, double width,
	const struct lt_entry *entry)
{
	for (size_t i = 0; i < entry->count; i++)
		y = set_fact(page, x, y, width, &page->list->facts[entry->first + i]);
	return y;
}

static void set_section(struct page *page, const struct lt_entry *entry)
{
	begin(page, 8, true);
	lt_flow_paragraph(page->flow, 0, 0, page->width, &lt_type_section, entry->title);
	lt_flow_end(page->flow, 0);
}

static void set_paragraph(struct page *page, const struct lt_entry *entry)
{
	double width = page->width < PROSE_WIDTH ? page->width : PROSE_WIDTH;
	begin(page, 1, true);
	double y = lt_flow_paragraph(page->flow, 0, 0, width, &lt_type_body, entry->title).y;
	lt_flow_end(page->flow, y + 1);
}

static void set_caution(struct page *page, const struct lt_entry *entry)
{
	const char **texts = lt_alloc_array(entry->count + 1, sizeof *texts);
	for (size_t i = 0; i < entry->count; i++)
		texts[i] = page->list->facts[entry->first + i].text;
	lt_mark_caution(page->flow, options_of(page, 5, false), entry->title, texts, entry->count);
	free(texts);
}

/* A box and what it is for; returns the y below. */
static double set_tick(struct page *page, double x, double y, double width,
	const struct lt_fact *fact)
{
	const struct lt_type *type = &lt_type_body;
	double top = top_beside_box(page, type, y);
	lt_mark_box(page->flow, x, y);
	if (fact->text == NULL)
		top -= LINE_TO_WRITE - type->leading;
	double below = set_fact(page, x + TICK_TEXT, top, width - TICK_TEXT, fact);
	double box = y + LT_MARK_BOX;
	return fact->text != NULL && below > box ? below : box;
}

static void set_hazard(struct page *page, const struct lt_entry *entry, bool keep)
{
	const double initials = 45;
	struct lt_flow *flow = page->flow;
	double width = page->width - initials - COLUMN_GAP;
	begin(page, 4, keep);
	lt_flow_rule(flow, 0, 0, page->width, 0, 0.2, LT_MARK_THIN);
	double y = JOINT_PAD;
	double baseline = y + lt_flow_baseline(flow, &lt_type_title);
	if (entry->title != NULL) {
		y = lt_flow_paragraph(flow, 0, y, width, &lt_type_title, entry->title).y;
	} else {
		double x = lt_flow_line(flow, 0, baseline, &lt_type_title, "Energy:");
		lt_mark_write(flow, x + 2, baseline, width - x - 2, NULL);
		y += lt_type_title.leading;
	}
	lt_mark_write(flow, page->width - initials, baseline, initials, "initials");
	for (size_t i = 0; i < entry->count; i++)
		y = set_tick(page, 0, y + 2, page->width, &page->list->facts[entry->first + i]);
	lt_flow_end(flow, y + 1);
}

static void set_tick_line(struct page *page, const struct lt_entry *entry, double gap, bool keep)
{
	struct lt_fact fact = { LT_FACT_TICK, "", entry->title };
	begin(page, gap, keep);
	set_tick(page, 0, 0, page->width, &fact);
	lt_flow_end(page->flow, 0);
}

static void set_sign(struct page *page, const struct lt_entry *entry)
{
	const double height = 15, date = 50;
	begin(page, 4, false);
	lt_mark_write(page->flow, 0, height - 2, page->width - date - COLUMN_GAP, entry->title);
	lt_mark_write(page->flow, page->width - date, height - 2, date, "date");
	lt_flow_end(page->flow, height);
}

/* Names the columns of the joints, on every page that has some. */
static void set_columns(struct page *page, enum lt_entry_kind kind)
{
	struct lt_flow *flow = page->flow;
	const struct lt_type *type = &lt_type_small;
	bool unplug = kind == LT_ENTRY_UNPLUG;
	double tags = unplug ? UNPLUG_TAGS : MATE_TAGS;
	double last = (unplug ? type->leading : 0) + lt_flow_baseline(flow, type);
	page->next.repeats = true;
	begin(page, 2, true);
	if (unplug) {
		lt_flow_line(flow, 0, last - type->leading, type, "stickers");
		lt_flow_line(flow, 0, last, type, "checked");
		lt_flow_line(flow, SECOND_BOX, last, type, "unplugged");
	} else {
		lt_flow_line(flow, 0, last, type, "made");
	}
	lt_flow_line(flow, tags, last, type, "tags");
	lt_flow_line(flow, tags + TAGS_WIDTH + COLUMN_GAP, last, type, "what, where, how");
	lt_flow_end(flow, (unplug ? 2 : 1) * type->leading + 1.5);
}

/* Tags and badges; `y` is the top of the tick box. Returns the y below. */
static double set_tags(struct page *page, double x, double y, const struct lt_entry *entry)
{
	struct lt_flow *flow = page->flow;
	double capital = y + (LT_MARK_BOX - lt_flow_capital(flow, &page->tag)) / 2;
	if (entry->tags[0] != NULL) {
		y = lt_mark_tags(flow, x, capital, TAGS_WIDTH, &page->tag, entry->tags[0],
			entry->tags[1], entry->turned);
	} else {
		double top = top_for_capital(page, &lt_type_title, capital);
		y = lt_flow_paragraph(flow, x, top, TAGS_WIDTH, &lt_type_title, "by eye").y;
		y = lt_flow_paragraph(flow, x, y, TAGS_WIDTH, &lt_type_small, "no number").y;
	}
	for (size_t i = 0; i < LT_ENTRY_BADGES && entry->badges[i] != NULL; i++)
		y = lt_mark_badge(flow, x, y + 1.6, entry->badges[i]);
	return y;
}

/* Name, id and facts of a joint; `y` is the top of the tick box. Returns the y below. */
static double set_text(struct page *page, double x, double y, const struct lt_entry *entry)
{
	struct lt_flow *flow = page->flow;
	double width = page->width - x;
	double capital = y + (LT_MARK_BOX - lt_flow_capital(flow, &page->tag)) / 2;
	double top = top_for_capital(page, &lt_type_title, capital);
	struct lt_flow_mark mark =
		lt_flow_paragraph(flow, x, top, width, &lt_type_title, entry->title);
	double room = x + width - (mark.x + 3);
	if (lt_flow_measure(flow, &lt_type_label, entry->detail) <= room)
		lt_flow_line(flow, mark.x + 3, mark.baseline, &lt_type_label, entry->detail);
	else
		mark = lt_flow_paragraph(flow, x, mark.y, width, &lt_type_label, entry->detail);
	return set_facts(page, x, mark.y + 0.8, width, entry);
}

static void set_joint(struct page *page, const struct lt_entry *entry, bool keep)
{
	struct lt_flow *flow = page->flow;
	bool unplug = entry->kind == LT_ENTRY_UNPLUG;
	double tags = unplug ? UNPLUG_TAGS : MATE_TAGS;
	double box = JOINT_PAD;
	begin(page, 0, keep);
	lt_flow_rule(flow, 0, 0, page->width, 0, 0.2, LT_MARK_THIN);
	if (unplug && !entry->sticker) {
		double top = box + (LT_MARK_BOX - 2 * lt_type_small.leading) / 2;
		lt_flow_paragraph(flow, 0, top, SECOND_BOX - 2, &lt_type_small, "no sticker");
	} else {
		lt_mark_box(flow, 0, box);
	}
	if (unplug)
		lt_mark_box(flow, SECOND_BOX, box);
	double left = set_tags(page, tags, box, entry);
	if (!unplug) {
		left += LINE_TO_WRITE - 1;
		lt_mark_write(flow, tags, left, TAGS_WIDTH, "initials");
	}
	double right = set_text(page, tags + TAGS_WIDTH + COLUMN_GAP, box, entry);
	lt_flow_end(flow, (left > right ? left : right) + JOINT_PAD);
}

static bool is_joint(const struct lt_checklist *list, size_t index)
{
	return index < list->count && (list->entries[index].kind == LT_ENTRY_UNPLUG ||
					      list->entries[index].kind == LT_ENTRY_MATE);
}

static void set_entry(struct page *page, size_t index)
{
	const struct lt_checklist *list = page->list;
	const struct lt_entry *entry = &list->entries[index];
	/* A signature does not stand on a page of its own, nor with the last line alone. */
	bool keep = index + 1 < list->count && entry[1].kind == LT_ENTRY_SIGN;
	bool ends = index + 2 < list->count && entry[2].kind == LT_ENTRY_SIGN;
	bool after_joint = index > 0 && is_joint(list, index - 1);
	if (after_joint && !is_joint(list, index))
		page->next.ends_repeat = true;
	switch (entry->kind) {
	case LT_ENTRY_PART:
		page->next.new_page = true;
		page->next.title = entry->title;
		break;
	case LT_ENTRY_SECTION:
		set_section(page, entry);
		break;
	case LT_ENTRY_PARAGRAPH:
		set_paragraph(page, entry);
		break;
	case LT_ENTRY_CAUTION:
		set_caution(page, entry);
		break;
	case LT_ENTRY_HAZARD:
		set_hazard(page, entry, ends);
		break;
	case LT_ENTRY_UNPLUG:
	case LT_ENTRY_MATE:
		if (!after_joint)
			set_columns(page, entry->kind);
		set_joint(page, entry, keep);
		break;
	case LT_ENTRY_TICK:
		/* One that follows a hazard is not one of its lines. */
		set_tick_line(page, entry, entry[-1].kind == LT_ENTRY_HAZARD ? 7 : 2, keep);
		break;
	case LT_ENTRY_SIGN:
		set_sign(page, entry);
		break;
	}
}

/* One size for the whole document, so that its columns look alike. */
static double tag_capital(const struct lt_flow *flow, const struct lt_checklist *list)
{
	double capital = LT_MARK_TAG_BEST;
	for (size_t i = 0; i < list->count && capital > LT_MARK_TAG_LEAST; i++) {
		const struct lt_entry *entry = &list->entries[i];
		if (entry->tags[0] != NULL)
			capital = lt_mark_tag_capital(flow, TAGS_WIDTH, entry->tags[0],
				entry->tags[1]);
	}
	return capital;
}

bool lt_checklist_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	double width, height;
	struct lt_checklist list;
	struct lt_flow flow;
	lt_paper_size(&width, &height, options->paper);
	lt_checklist_build(&list, tags, lookalikes, options);
	lt_flow_init(&flow, measure, width, height, LT_MARK_MARGIN, LT_MARK_HEAD);
	struct lt_mark_head head = { .title = list.title,
		.code = list.code,
		.unit = list.unit,
		.revision = list.revision,
		.date = list.date };
	struct page page = { .flow = &flow, .list = &list, .width = lt_flow_width(&flow) };
	page.tag = lt_type_tag(&flow, tag_capital(&flow, &list));
	lt_mark_head_in_full(&flow, &head, list.entries[0].title);
	for (size_t i = 0; i < list.count; i++)
		set_entry(&page, i);
	bool drawn = lt_flow_draw(&flow, canvas, lt_mark_page_head, &head, diags);
	lt_flow_finish(&flow);
	lt_checklist_finish(&list);
	return drawn;
}
