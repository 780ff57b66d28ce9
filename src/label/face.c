/* The arrangement of texts and QR code on a sticker's face, and what is left out if there is no
 * room. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "label/sticker.h"
#include "loomtag/trade.h"

/* Round digits overshoot capitals above and the baseline below, in capitals. */
#define OVERSHOOT 0.03
/* The bar under a number that could be read upside down, in capitals and mm. */
#define BAR_SHARE 0.08
#define BAR_LEAST 0.4
/* Between tag and texts, in capitals of the tag. */
#define TAG_GAP 0.12
/* Of the printable height, as long as there are texts that want the rest. */
#define TAG_SHARE 0.5
/* Between tag and what stands beside it, in mm. */
#define SIDE_GAP 1.2
/* Texts stay smaller than the tag, whatever the weight of their line. */
#define TEXT_SHARE 0.6
/* Of the width beside the symbol, for a tag that stands beside the texts. */
#define TAG_WIDTH 0.45
/* What is computed to be equal is to within this. */
#define ROUNDING 1e-9

/* Where things may go. */
struct area {
	double left, top, right, bottom; /* printable, clear of a symbol beneath */
	double column;                   /* the right edge as long as the symbol is beside */
	double clear;                    /* from here down there is no symbol beside */
};

/* One face on its way. */
struct work {
	struct lt_sticker *sticker;
	const struct lt_placing *placing;
	const struct lt_measure *measure;
	const struct lt_blank *blank;
	double legible; /* capitals that are, at the reading distance, in mm */
	struct area area;
	struct lt_line lines[LT_LINES_MAX];
	size_t line_count;
	size_t tag;                   /* the index of its box */
	double tag_bottom, tag_right; /* of the room that it takes, whatever its letter */
};

static struct lt_box *add_box(struct lt_sticker *sticker, enum lt_box_role role)
{
	struct lt_box *box = &sticker->boxes[sticker->box_count++];
	*box = (struct lt_box){ .role = role };
	return box;
}

/* The symbol stands in the top right corner, or at the bottom of a face higher than wide. */
static void place_symbol(struct work *work, const struct lt_symbol *symbol)
{
	const struct lt_blank *blank = work->blank;
	double inset = blank->layout->inset;
	double width = symbol->plan.modules * symbol->module;
	double quiet = LT_QR_QUIET * symbol->module;
	double margin = fmax(inset, quiet);
	struct area *area = &work->area;
	*area = (struct area){ inset, inset, blank->width - inset, blank->height - inset, 0, 0 };
	struct lt_box *box = add_box(work->sticker, LT_BOX_QR);
	box->width = box->height = width;
	box->module = symbol->module;
	if (lt_symbol_beside(blank)) {
		box->x = blank->width - margin - width;
		box->y = margin;
		area->column = box->x - quiet;
		area->clear = box->y + width + quiet;
	} else {
		box->x = (blank->width - width) / 2;
		box->y = blank->height - margin - width;
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
 * warnings stay legible. */
static double tag_limit(const struct work *work, bool barred)
{
	const struct area *area = &work->area;
	double height = area->bottom - area->top;
	double texts = 0;
	double warnings = 0;
	for (size_t i = 0; i < work->line_count; i++) {
		double line = lt_line_height(&work->lines[i]);
		texts += line * work->legible;
		warnings +=
			work->lines[i].warning ? line / work->lines[i].weight * work->legible : 0;
	}
	double limit = fmax(height * TAG_SHARE, (height - texts) / (1 + TAG_GAP));
	limit = fmin(limit, (height - warnings) / (1 + TAG_GAP));
	limit = fmax(limit, fmin(height, tag_height(work->legible, barred)));
	return tag_capital(limit, barred);
}

/* The bar under the number's digits, not under the letter. */
static void place_bar(struct work *work, const struct lt_box *tag, double capital)
{
	char digits[LT_TAG_SIZE];
	snprintf(digits, sizeof(digits), "%u", work->sticker->number);
	struct lt_box *bar = add_box(work->sticker, LT_BOX_UNDERLINE);
	bar->x = tag->x;
	bar->width = lt_text_width(work->measure, tag->face, tag->size, digits);
	bar->y = tag->baseline + (OVERSHOOT + BAR_SHARE) * capital;
	bar->height = fmax(BAR_LEAST, BAR_SHARE * capital);
	work->tag_bottom = bar->y + bar->height;
}

/* Number and side in the top left corner, as large as `limit` (mm, in height) and `width` allow.
 * Returns the height of its capitals, 0 when that is less than any text may have. */
static double place_tag(struct work *work, double limit, double width)
{
	struct lt_sticker *sticker = work->sticker;
	const struct lt_measure *measure = work->measure;
	const struct area *area = &work->area;
	char text[LT_TAG_SIZE];
	char widest[LT_TAG_SIZE];
	lt_tag_write(text, sticker->number, sticker->side);
	/* The halves of a joint are to look alike: each leaves room for the widest letter. */
	lt_tag_write(widest, sticker->number, LT_SIDE_M);
	limit = fmin(limit, work->blank->tag_height_most);
	width = fmin(width, work->blank->tag_width_most);
	double capital = 0;
	double slope = 0;
	enum lt_typeface face = LT_TYPEFACE_BOLD;
	for (int narrow = 0; narrow < 2; narrow++) {
		face = narrow == 0 ? LT_TYPEFACE_BOLD : LT_TYPEFACE_CONDENSED_BOLD;
		slope = lt_text_width(measure, face, lt_text_size(measure, face, 1), widest);
		capital = fmin(limit, width / slope);
		if (capital >= limit)
			break;
	}
	if (capital < work->placing->options->least_text - ROUNDING)
		return 0;
	work->tag = sticker->box_count;
	struct lt_box *tag = add_box(sticker, LT_BOX_TAG);
	tag->text = lt_arena_strdup(work->placing->arena, text);
	tag->face = face;
	tag->size = lt_text_size(measure, face, capital);
	tag->x = tag->text_x = area->left;
	tag->y = area->top;
	tag->width = lt_text_width(measure, face, tag->size, text);
	work->tag_right = tag->x + slope * capital;
	tag->height = capital * (1 + 2 * OVERSHOOT);
	tag->baseline = tag->y + capital * (1 + OVERSHOOT);
	work->tag_bottom = tag->y + tag->height;
	if (lt_upside_down(sticker->number) != 0)
		place_bar(work, tag, capital);
	return capital;
}

static void add_text(struct work *work, const struct lt_line *line, const struct lt_fitted *fitted,
	double x, double y)
{
	struct lt_box *box = add_box(work->sticker, line->role);
	box->text = lt_arena_strdup(work->placing->arena, fitted->text);
	box->face = fitted->face;
	box->size = lt_text_size(work->measure, box->face, fitted->capital);
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
	double left = work->tag_right + SIDE_GAP;
	double y = tag->y;
	size_t placed = 0;
	for (; placed < work->line_count && work->lines[placed].warning; placed++) {
		const struct lt_line *line = &work->lines[placed];
		double share = line->above + line->below;
		double capital = fmin(most * line->weight, (work->tag_bottom - y) / share);
		struct lt_fitted fitted;
		if (capital < work->legible ||
			!lt_line_fit(&fitted, line, work->area.column - left, capital,
				work->legible, work->legible, work->measure) ||
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
	if (!lt_line_fit(&fitted, line, right - left, capital * line->weight, work->legible,
		    work->placing->options->least_text, work->measure)) {
		work->sticker->left_out |= 1u << line->role;
		return left;
	}
	/* A line that came out smaller stands in the middle of its room. */
	double spare = room - share * fitted.capital;
	add_text(work, line, &fitted, left, bottom - room + spare / 2);
	return left + fitted.width;
}

static void place_row(struct work *work, const struct lt_row *row, double bottom)
{
	const struct area *area = &work->area;
	double capital = row->capital;
	double top = bottom - lt_row_height(row);
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

/* Arranges the lines in a room that ends at the area's bottom, the last row standing on it. With
 * `centred` what is left of the room's height is shared between above and below. */
static void place_rows(struct work *work, const struct lt_room *room, bool centred)
{
	const struct area *area = &work->area;
	double bottom = area->bottom;
	struct lt_row rows[LT_LINES_MAX];
	size_t row_count = 0;
	size_t used = lt_rows_arrange(rows, &row_count, work->lines, work->line_count, room);
	for (size_t i = used; i < work->line_count; i++)
		work->sticker->left_out |= 1u << work->lines[i].role;
	/* Where the last row runs on beneath the symbol, long lines are better off there. */
	if (row_count > 0 && bottom - LT_LINE_INK * rows[row_count - 1].capital >= area->clear)
		lt_rows_sink_long(rows, row_count, room);
	double height = 0;
	for (size_t i = 0; i < row_count; i++)
		height += lt_row_height(&rows[i]);
	if (centred)
		bottom -= fmax(0, room->height - height) / 2;
	for (size_t i = row_count; i > 0; i--) {
		place_row(work, &rows[i - 1], bottom);
		bottom -= lt_row_height(&rows[i - 1]);
	}
}

/* Places the tag and then the lines. Above the texts, these stand on the bottom edge, so that as
 * many as can be run on beneath the symbol. Beside them, the tag takes the whole height, in its
 * middle, and the texts what is left of the width. Returns the height of the tag's capitals, or 0.
 */
static double place_texts(struct work *work, bool beside)
{
	struct area *area = &work->area;
	const struct lt_sticker_options *options = work->placing->options;
	bool barred = lt_upside_down(work->sticker->number) != 0;
	double width = area->column - area->left;
	double height = area->bottom - area->top;
	double tag = beside ? place_tag(work, tag_capital(height, barred), TAG_WIDTH * width)
			    : place_tag(work, tag_limit(work, barred), width);
	if (tag <= 0)
		return 0;
	double most = fmin(lt_height_preferred(options->distance), TEXT_SHARE * tag);
	if (beside) {
		double spare = fmax(0, area->bottom - work->tag_bottom) / 2;
		for (size_t i = work->tag; i < work->sticker->box_count; i++) {
			work->sticker->boxes[i].y += spare;
			work->sticker->boxes[i].baseline += spare;
		}
		area->left = work->tag_right + SIDE_GAP;
	} else {
		place_beside_tag(work, most);
		height = area->bottom - work->tag_bottom - TAG_GAP * tag;
	}
	const struct lt_room room = { area->column - area->left, height, most, work->legible,
		options->least_text };
	place_rows(work, &room, beside);
	return tag;
}

double lt_box_capital(const struct lt_box *box, const struct lt_measure *measure)
{
	return box->size * measure->heights(measure->data, box->face).capital;
}

/* How many texts, the tag apart, are less than legible. */
static unsigned count_small(const struct work *work)
{
	unsigned small = 0;
	for (size_t i = 0; i < work->sticker->box_count; i++) {
		const struct lt_box *box = &work->sticker->boxes[i];
		small += box->text != NULL && box->role != LT_BOX_TAG &&
			 lt_box_capital(box, work->measure) < work->legible - ROUNDING;
	}
	return small;
}

/* Places the lines whose roles are not in `without`. */
static struct lt_face_rank place(struct work *work, const struct lt_symbol *symbol, bool beside,
	unsigned without)
{
	const struct lt_placing *placing = work->placing;
	struct lt_sticker *sticker = work->sticker;
	work->line_count = 0;
	for (size_t i = 0; i < placing->line_count; i++) {
		if ((without & 1u << placing->lines[i].role) == 0)
			work->lines[work->line_count++] = placing->lines[i];
	}
	sticker->box_count = 0;
	sticker->left_out = sticker->shortened = 0;
	place_symbol(work, symbol);
	double tag = place_texts(work, beside);
	return (struct lt_face_rank){ tag >= work->legible - ROUNDING, tag, sticker->left_out,
		sticker->shortened, count_small(work) };
}

struct lt_face_rank lt_face_place(struct lt_sticker *out, const struct lt_placing *placing,
	const struct lt_blank *blank, const struct lt_symbol *symbol, bool beside)
{
	struct work work = { .sticker = out,
		.placing = placing,
		.measure = placing->source->measure,
		.blank = blank,
		.legible = lt_height_least(placing->options->distance) };
	struct lt_face_rank rank = place(&work, symbol, beside, 0);
	unsigned lost = rank.left_out;
	if (lost == 0)
		return rank;
	/* The tag held back for lines that then found no room: it may have it. */
	struct lt_face_rank larger = place(&work, symbol, beside, lost);
	if (larger.left_out == 0 && larger.number_height > rank.number_height)
		rank = larger;
	else
		rank = place(&work, symbol, beside, 0);
	rank.left_out |= lost;
	out->left_out = rank.left_out;
	return rank;
}

/* Compares two sets of roles that found no room, one bit a role. The lowest bit that is in only one
 * of them decides, since roles are numbered by importance: negative when it is in `b`, so that `a`
 * is better; 0 when the sets are equal. */
static int compare_lost(unsigned a, unsigned b)
{
	unsigned differ = a ^ b;
	unsigned first = differ & (~differ + 1);
	if (first == 0)
		return 0;
	return (a & first) != 0 ? 1 : -1;
}

/* What keeps a plug off a wrong mate. */
#define WARNINGS (1u << LT_BOX_BANNER | 1u << LT_BOX_LOOKALIKES)

bool lt_face_better(const struct lt_face_rank *a, const struct lt_face_rank *b)
{
	/* Without its tag, nothing else was placed. */
	if (a->number_height <= 0 || b->number_height <= 0)
		return a->number_height > b->number_height;
	if (a->readable != b->readable)
		return a->readable;
	int lost = compare_lost(a->left_out & WARNINGS, b->left_out & WARNINGS);
	if (lost != 0)
		return lost < 0;
	if (a->number_height < b->number_height - ROUNDING)
		return false;
	lost = compare_lost(a->left_out | a->shortened, b->left_out | b->shortened);
	if (lost == 0)
		lost = compare_lost(a->left_out, b->left_out);
	return lost != 0 ? lost < 0 : a->small < b->small;
}

bool lt_face_as_good(const struct lt_face_rank *a, const struct lt_face_rank *b)
{
	return a->number_height >= b->number_height - ROUNDING &&
	       (a->left_out & ~b->left_out) == 0 && (a->shortened & ~b->shortened) == 0 &&
	       a->small <= b->small;
}
