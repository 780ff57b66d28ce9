/* The marks that the papers share. */
#include <string.h>

#include "loomtag/words.h"
#include "page/marks.h"

const struct lt_type lt_type_body = LT_TYPE(LT_TYPEFACE_REGULAR, 9, 4.5, 0);
const struct lt_type lt_type_strong = LT_TYPE(LT_TYPEFACE_BOLD, 9, 4.5, 0);
const struct lt_type lt_type_label = LT_TYPE(LT_TYPEFACE_REGULAR, 8, 4.5, LT_MARK_LABEL);
const struct lt_type lt_type_small = LT_TYPE(LT_TYPEFACE_REGULAR, 8, 3.8, LT_MARK_LABEL);
const struct lt_type lt_type_title = LT_TYPE(LT_TYPEFACE_BOLD, 11, 5.5, 0);
const struct lt_type lt_type_section = LT_TYPE(LT_TYPEFACE_BOLD, 14, 7, 0);
const struct lt_type lt_type_head = LT_TYPE(LT_TYPEFACE_BOLD, 12, 6, 0);
const struct lt_type lt_type_badge = LT_TYPE(LT_TYPEFACE_BOLD, 8, 4.8, 1);

#define DASH " – "
#define BOX_LINE 0.45
#define WRITE_LINE 0.25
#define STACKED_GAP 3.5
#define REVISION_ROOM 60.0

struct lt_type lt_type_tag(const struct lt_flow *flow, double capital)
{
	struct lt_type type = { LT_TYPEFACE_BOLD, 1, 1, 0 };
	type.size = capital / lt_flow_capital(flow, &type);
	type.leading = type.size * 1.25;
	return type;
}

void lt_mark_box(struct lt_flow *flow, double x, double y)
{
	lt_flow_frame(flow, x, y, LT_MARK_BOX, LT_MARK_BOX, BOX_LINE, 0);
}

double lt_mark_tag(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *tag, bool turned)
{
	double width = lt_flow_line(flow, x, baseline, type, tag);
	if (turned) {
		/* Under the digits alone: the letter behind them has no line. */
		size_t digits = strspn(tag, "0123456789");
		double under = type->size *
			       flow->measure->width(flow->measure->data, type->face, tag, digits);
		lt_flow_fill(flow, x, baseline + 0.14 * type->size, under, 0.08 * type->size, 0);
	}
	return width;
}

static double pair_width(const struct lt_flow *flow, const struct lt_type *type,
	const struct lt_tag_pair *tags)
{
	double width = lt_flow_measure(flow, type, tags->tag);
	if (tags->mate != NULL)
		width +=
			lt_flow_measure(flow, type, DASH) + lt_flow_measure(flow, type, tags->mate);
	return width;
}

double lt_mark_tags(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const struct lt_tag_pair *tags)
{
	double capital = lt_flow_capital(flow, type);
	double baseline = y + capital;
	bool beside = pair_width(flow, type, tags) <= width;
	double behind = x + lt_mark_tag(flow, x, baseline, type, tags->tag, tags->turned);
	if (tags->mate != NULL && beside) {
		behind += lt_flow_line(flow, behind, baseline, type, DASH);
		lt_mark_tag(flow, behind, baseline, type, tags->mate, tags->turned);
	} else if (tags->mate != NULL) {
		baseline += capital + STACKED_GAP;
		lt_mark_tag(flow, x, baseline, type, tags->mate, tags->turned);
	}
	return baseline + 0.25 * type->size;
}

double lt_mark_tag_capital(const struct lt_flow *flow, double width, const struct lt_tag_pair *tags)
{
	struct lt_type type = lt_type_tag(flow, LT_MARK_TAG_BEST);
	return pair_width(flow, &type, tags) <= width ? LT_MARK_TAG_BEST : LT_MARK_TAG_LEAST;
}

double lt_mark_badge(struct lt_flow *flow, double x, double y, const char *text)
{
	const double pad = 1.5;
	double width = lt_flow_measure(flow, &lt_type_badge, text);
	lt_flow_fill(flow, x, y, width + 2 * pad, lt_type_badge.leading, 0);
	lt_flow_line(flow, x + pad, y + lt_flow_baseline(flow, &lt_type_badge), &lt_type_badge,
		text);
	return y + lt_type_badge.leading;
}

void lt_mark_write(struct lt_flow *flow, double x, double baseline, double width, const char *label)
{
	double behind = x;
	if (label != NULL && label[0] != '\0')
		behind += lt_flow_line(flow, x, baseline, &lt_type_small, label) + 1.5;
	if (behind < x + width)
		lt_flow_rule(flow, behind, baseline + 0.6, x + width - behind, 0, WRITE_LINE,
			LT_MARK_WRITE);
}

/* "unit 0042", or "unit" and a line to write on; returns the x behind it and a space. */
static double head_field(struct lt_flow *flow, double x, double baseline, const char *label,
	const char *value, double blank)
{
	const double gap = 6;
	double wide;
	if (value != NULL) {
		wide = lt_flow_line(flow, x, baseline, &lt_type_small, label) + 1.5;
		wide += lt_flow_line(flow, x + wide, baseline, &lt_type_body, value);
	} else {
		wide = lt_flow_measure(flow, &lt_type_small, label) + 1.5 + blank;
		lt_mark_write(flow, x, baseline, wide, label);
	}
	return x + wide + gap;
}

static double title_room(const struct lt_flow *flow, const struct lt_document_head *head)
{
	return lt_flow_width(flow) - lt_flow_measure(flow, &lt_type_head, head->code) - 8;
}

void lt_mark_head_in_full(struct lt_flow *flow, const struct lt_document_head *head,
	const char *page_title)
{
	bool title = lt_flow_measure(flow, &lt_type_head, head->title) > title_room(flow, head);
	bool revision = head->revision != NULL &&
			lt_flow_measure(flow, &lt_type_body, head->revision) > REVISION_ROOM;
	if (!title && !revision)
		return;
	double y = 0;
	double width = lt_flow_width(flow);
	lt_flow_begin(flow, (struct lt_flow_options){ .keep = true, .title = page_title });
	if (title)
		y = lt_flow_paragraph(flow, 0, y, width, &lt_type_title, head->title).y;
	if (title && revision)
		y += 1.5;
	if (revision) {
		y = lt_flow_paragraph(flow, 0, y, width, &lt_type_small, lt_page_words.revision).y;
		y = lt_flow_paragraph(flow, 0, y, width, &lt_type_body, head->revision).y;
	}
	lt_flow_end(flow, y + 4);
}

/* One line, shortened to `width`; the whole text stands on the first page where it does not fit. */
static void set_shortened(struct lt_flow *flow, double x, double baseline,
	const struct lt_type *type, const char *text, double width)
{
	char line[512];
	lt_text_shorten(line, sizeof line, flow->measure, type->face, type->size, text, width);
	lt_flow_line(flow, x, baseline, type, line);
}

const char *lt_mark_page_number(struct lt_flow *flow, size_t page)
{
	struct lt_text number = { 0 };
	lt_page_add_number(&number, page, flow->page_count);
	const char *kept = lt_arena_strdup(&flow->arena, lt_text_string(&number));
	lt_text_finish(&number);
	return kept;
}

void lt_mark_page_head(struct lt_flow *flow, size_t page, const char *title, void *data)
{
	const struct lt_document_head *head = data;
	const double first = 4.6, second = 11, third = 17.8, rule = 20.5;
	double right = lt_flow_width(flow);
	double code = lt_flow_measure(flow, &lt_type_head, head->code);
	lt_flow_line(flow, right - code, first, &lt_type_head, head->code);
	set_shortened(flow, 0, first, &lt_type_head, head->title, title_room(flow, head));

	const char *pages = lt_mark_page_number(flow, page);
	double pages_width = lt_flow_measure(flow, &lt_type_strong, pages);
	lt_flow_line(flow, right - pages_width, second, &lt_type_strong, pages);
	if (title != NULL)
		lt_flow_line(flow, 0, second, &lt_type_strong, title);

	double x = 0;
	if (head->unit == NULL || head->unit[0] != '\0')
		x = head_field(flow, x, third, lt_page_words.unit, head->unit, 22);
	x = head_field(flow, x, third, lt_page_words.date, head->date, 26);
	for (size_t i = 0; i < LT_HEAD_EXTRA && head->extra[i] != NULL; i++)
		x = head_field(flow, x, third, head->extra[i], NULL, 50);
	if (head->revision != NULL) {
		x += lt_flow_line(flow, x, third, &lt_type_small, lt_page_words.revision) + 1.5;
		set_shortened(flow, x, third, &lt_type_body, head->revision, REVISION_ROOM);
	}
	lt_flow_rule(flow, 0, rule, right, 0, 0.5, 0);
}
