/* Decides what goes where on one sticker. */
#include "loomtag/sticker.h"

#include <math.h>
#include <string.h>

#include "label/lines.h"
#include "label/rows.h"
#include "label/symbol.h"
#include "loomtag/legible.h"

/* Round digits overshoot capitals above and the baseline below, in capitals. */
#define OVERSHOOT 0.03
/* The bar under a number that could be read upside down, in capitals and mm. */
#define BAR_SHARE 0.08
#define BAR_LEAST 0.4
/* Between tag and texts, in capitals of the tag. */
#define TAG_GAP 0.08
/* Of the printable height, as long as there are texts that want the rest. */
#define TAG_SHARE 0.5
/* Between tag and what stands beside it, in mm. */
#define SIDE_GAP 1.2
/* Texts stay smaller than the tag, whatever the weight of their line. */
#define TEXT_SHARE 0.6

/* Where things may go. */
struct area {
	double left, top, right, bottom; /* printable, clear of a symbol beneath */
	double column;                   /* the right edge as long as the symbol is beside */
	double clear;                    /* from here down there is no symbol beside */
};

/* One sticker on its way. */
struct work {
	struct lt_sticker *sticker;
	struct lt_arena *arena;
	const struct lt_sticker_options *options;
	const struct lt_measure *measure;
	struct area area;
	struct lt_line lines[LT_LINES_MAX];
	size_t line_count;
	size_t tag; /* the index of its box */
	double tag_bottom;
};

const char *lt_box_role_name(enum lt_box_role role)
{
	static const char *const names[LT_BOX_ROLE_COUNT] = { "tag", "underline", "QR code",
		"banner", "look-alikes", "name", "wire colours", "mate", "harness code" };
	return role < LT_BOX_ROLE_COUNT ? names[role] : "";
}

static struct lt_box *add_box(struct lt_sticker *sticker, enum lt_box_role role)
{
	struct lt_box *box = &sticker->boxes[sticker->box_count++];
	*box = (struct lt_box){ .role = role };
	return box;
}

/* The symbol stands in the top right corner, or at the bottom of a label higher than wide. */
static void place_symbol(struct work *work, const struct lt_layout *layout,
	const struct lt_symbol *symbol)
{
	double width = symbol->plan.modules * symbol->module;
	double quiet = LT_QR_QUIET * symbol->module;
	double margin = fmax(layout->inset, quiet);
	struct area *area = &work->area;
	*area = (struct area){ layout->inset, layout->inset, layout->label_width - layout->inset,
		layout->label_height - layout->inset, 0, 0 };
	struct lt_box *box = add_box(work->sticker, LT_BOX_QR);
	box->width = box->height = width;
	box->module = symbol->module;
	if (lt_symbol_beside(layout)) {
		box->x = layout->label_width - margin - width;
		box->y = margin;
		area->column = box->x - quiet;
		area->clear = box->y + width + quiet;
	} else {
		box->x = (layout->label_width - width) / 2;
		box->y = layout->label_height - margin - width;
		area->column = area->right;
		area->bottom = box->y - quiet;
	}
}

/* What `capital` of tag takes in height, with its bar. */
static double tag_height(double capital, bool barred)
{
	double bar = barred ? 2 * BAR_SHARE * capital + BAR_LEAST : 0;
	return capital * (1 + 2 * OVERSHOOT) + bar;
}

/* The tag that takes `height`. */
static double tag_capital(double height, bool barred)
{
	double share = 1 + 2 * OVERSHOOT + (barred ? 2 * BAR_SHARE : 0);
	return (height - (barred ? BAR_LEAST : 0)) / share;
}

/* How tall the tag may be: half the label, or what the texts leave at a readable size; but the
 * warnings keep their least. */
static double tag_limit(const struct work *work, bool barred)
{
	const struct area *area = &work->area;
	double height = area->bottom - area->top;
	double legible = lt_height_least(work->options->distance);
	double texts = 0;
	double warnings = 0;
	for (size_t i = 0; i < work->line_count; i++) {
		double line = lt_line_height(&work->lines[i]);
		texts += line * legible;
		warnings += work->lines[i].warning ? line * work->options->least_text : 0;
	}
	double limit = fmax(height * TAG_SHARE, (height - texts) / (1 + TAG_GAP));
	limit = fmin(limit, (height - warnings) / (1 + TAG_GAP));
	limit = fmax(limit, fmin(height, tag_height(legible, barred)));
	return tag_capital(limit, barred);
}

/* The bar under the number's digits, not under the letter. */
static void place_bar(struct work *work, const struct lt_box *tag, double capital)
{
	char digits[LT_TAG_SIZE];
	lt_tag_write(digits, work->sticker->number, work->sticker->side);
	for (char *c = digits; *c != '\0'; c++) {
		if (*c > '9')
			*c = '\0';
	}
	struct lt_box *bar = add_box(work->sticker, LT_BOX_UNDERLINE);
	bar->x = tag->x;
	bar->width = lt_text_width(work->measure, tag->face, tag->size, digits);
	bar->y = tag->baseline + (OVERSHOOT + BAR_SHARE) * capital;
	bar->height = fmax(BAR_LEAST, BAR_SHARE * capital);
	work->tag_bottom = bar->y + bar->height;
}

/* Number and side in the top left corner, as large as can be. Returns the height of its capitals,
 * 0 when that is less than can be read. */
static double place_tag(struct work *work)
{
	struct lt_sticker *sticker = work->sticker;
	const struct lt_measure *measure = work->measure;
	const struct area *area = &work->area;
	char text[LT_TAG_SIZE];
	lt_tag_write(text, sticker->number, sticker->side);
	bool barred = lt_upside_down(sticker->number) != 0;
	double limit = tag_limit(work, barred);
	double capital = 0;
	double slope = 0;
	enum lt_face face = LT_FACE_BOLD;
	for (int narrow = 0; narrow < 2; narrow++) {
		face = narrow == 0 ? LT_FACE_BOLD : LT_FACE_CONDENSED_BOLD;
		slope = lt_text_width(measure, face, 1, text) /
			measure->heights(measure->data, face).capital;
		capital = fmin(limit, (area->column - area->left) / slope);
		if (capital >= limit)
			break;
	}
	if (capital < lt_height_least(work->options->distance) - 1e-9)
		return 0;
	work->tag = sticker->box_count;
	struct lt_box *tag = add_box(sticker, LT_BOX_TAG);
	tag->text = lt_arena_strdup(work->arena, text);
	tag->face = face;
	tag->size = capital / measure->heights(measure->data, face).capital;
	tag->x = tag->text_x = area->left;
	tag->y = area->top;
	tag->width = slope * capital;
	tag->height = capital * (1 + 2 * OVERSHOOT);
	tag->baseline = tag->y + capital * (1 + OVERSHOOT);
	work->tag_bottom = tag->y + tag->height;
	if (barred)
		place_bar(work, tag, capital);
	return capital;
}

static void add_text(struct work *work, const struct lt_line *line, const struct lt_fitted *fitted,
	double x, double y)
{
	const struct lt_measure *measure = work->measure;
	struct lt_box *box = add_box(work->sticker, line->role);
	box->text = lt_arena_strdup(work->arena, fitted->text);
	box->face = fitted->face;
	box->size = fitted->capital / measure->heights(measure->data, box->face).capital;
	box->x = x;
	box->y = y;
	box->width = fitted->width;
	box->height = (line->above + line->below) * fitted->capital;
	box->text_x = x + line->pad * fitted->capital;
	box->baseline = y + line->above * fitted->capital;
	if (fitted->cut)
		work->sticker->shortened |= 1u << line->role;
}

/* A short number on a wide label leaves room beside it: that goes to the warnings, where all they
 * say fits there at a good size. The lines beneath have the more room. */
static void place_beside_tag(struct work *work, double most)
{
	const struct lt_box *tag = &work->sticker->boxes[work->tag];
	double left = tag->x + tag->width + SIDE_GAP;
	double legible = lt_height_least(work->options->distance);
	double y = tag->y;
	size_t placed = 0;
	for (; placed < work->line_count && work->lines[placed].warning; placed++) {
		const struct lt_line *line = &work->lines[placed];
		double share = line->above + line->below;
		double capital = fmin(most * line->weight, (work->tag_bottom - y) / share);
		struct lt_fitted fitted;
		if (capital < legible ||
			!lt_line_fit(&fitted, line, work->area.column - left, capital, legible,
				legible, work->measure) ||
			strcmp(fitted.text, line->text) != 0)
			break;
		add_text(work, line, &fitted, left, y);
		y += (share + LT_LINE_LEADING) * fitted.capital;
	}
	work->line_count -= placed;
	memmove(work->lines, work->lines + placed, work->line_count * sizeof(work->lines[0]));
}

/* Sets one line of a row from `left` to `right`, the row's ink ending at `bottom`. Returns where
 * the line ends. */
static double place_line(struct work *work, const struct lt_line *line, double left, double right,
	double bottom, double capital)
{
	double share = line->above + line->below;
	double room = share * line->weight * capital;
	struct lt_fitted fitted;
	if (!lt_line_fit(&fitted, line, right - left, capital * line->weight,
		    lt_height_least(work->options->distance), work->options->least_text,
		    work->measure)) {
		work->sticker->left_out |= 1u << line->role;
		return left;
	}
	/* A line that came out smaller stands in the middle of its room. */
	double spare = room - share * fitted.capital;
	add_text(work, line, &fitted, left, bottom - room + spare / 2);
	return left + fitted.width;
}

static void place_row(struct work *work, const struct lt_row *row, double bottom, double capital)
{
	const struct area *area = &work->area;
	double top = bottom - lt_row_height(row) * capital;
	double right = top >= area->clear ? area->right : area->column;
	if (row->count == 1) {
		place_line(work, row->lines[0], area->left, right, bottom, capital);
		return;
	}
	double gap = LT_ROW_GAP * capital;
	double second = row->lines[1]->slope * capital;
	double end =
		place_line(work, row->lines[0], area->left, right - gap - second, bottom, capital);
	place_line(work, row->lines[1], end + gap, right, bottom, capital);
}

/* The texts stand on the bottom edge, so that as many as can be run on beneath the symbol. */
static void place_rows(struct work *work, double tag)
{
	const struct area *area = &work->area;
	double distance = work->options->distance;
	double most = fmin(lt_height_preferred(distance), TEXT_SHARE * tag);
	place_beside_tag(work, most);
	struct lt_room room = { area->column - area->left,
		area->bottom - work->tag_bottom - TAG_GAP * tag, most, lt_height_least(distance),
		work->options->least_text };
	struct lt_row rows[LT_LINES_MAX];
	size_t row_count = 0;
	double capital = 0;
	size_t used =
		lt_rows_arrange(rows, &row_count, &capital, work->lines, work->line_count, &room);
	for (size_t i = used; i < work->line_count; i++)
		work->sticker->left_out |= 1u << work->lines[i].role;
	/* Where the last row runs on beneath the symbol, long lines are better off there. */
	if (area->bottom - LT_LINE_INK * capital >= area->clear)
		lt_rows_sink_long(rows, row_count, &room, capital);
	double bottom = area->bottom;
	for (size_t i = row_count; i > 0; i--) {
		place_row(work, &rows[i - 1], bottom, capital);
		bottom -= lt_row_height(&rows[i - 1]) * capital;
	}
}

static void tell_no_room(const struct work *work, const struct lt_layout *layout,
	const struct lt_connector *connector, struct lt_diags *diags)
{
	lt_error(diags, connector->place,
		"connector %s: number %u has no room at a readable size (%.1f mm) beside its QR code "
		"on layout %s (%g x %g mm)",
		connector->id, work->sticker->number, lt_height_least(work->options->distance),
		layout->name, layout->label_width, layout->label_height);
	lt_hint(diags, "take a larger label%s",
		work->sticker->payload != LT_PAYLOAD_CODE ? ", or payload code" : "");
}

/* Chooses the symbol, and gives it and the tag their places. False, with an error, when there is no
 * symbol; `*tag` is 0 when there is no room for the tag. */
static bool place_code_and_tag(struct work *work, double *tag, const struct lt_layout *layout,
	const struct lt_tags *tags, enum lt_payload payload, bool small, struct lt_diags *diags)
{
	struct lt_sticker *sticker = work->sticker;
	struct lt_symbol symbol;
	if (!lt_symbol_choose(&symbol, work->arena, layout, tags, sticker->connector, sticker->side,
		    payload, small, diags))
		return false;
	sticker->payload = symbol.payload;
	sticker->plan = symbol.plan;
	sticker->payload_text = symbol.text;
	sticker->box_count = 0;
	place_symbol(work, layout, &symbol);
	*tag = place_tag(work);
	return true;
}

bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector, enum lt_side side,
	const struct lt_sticker_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	*out = (struct lt_sticker){ 0 };
	out->number = tags->number_of[connector];
	out->side = side;
	out->connector = connector;
	struct work work = {
		.sticker = out, .arena = arena, .options = options, .measure = measure
	};
	work.line_count = lt_lines_write(work.lines, arena, tags, lookalikes, connector, side,
		options, measure);
	double tag = 0;
	enum lt_payload payload = options->payload;
	if (!place_code_and_tag(&work, &tag, layout, tags, payload, false, diags))
		return false;
	/* The tag comes before what else the symbol could say, and before its size. */
	payload = payload == LT_PAYLOAD_AUTO ? LT_PAYLOAD_CODE : payload;
	if (tag <= 0 && !place_code_and_tag(&work, &tag, layout, tags, payload, true, diags))
		return false;
	if (tag <= 0) {
		tell_no_room(&work, layout, &tags->harness->connectors[connector], diags);
		return false;
	}
	place_rows(&work, tag);
	return true;
}
