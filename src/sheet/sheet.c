/* Sticker sheets: which labels are free, which stickers come in which places, and drawing them. */
#include <math.h>
#include <string.h>

#include "loomtag/words.h"
#include "sheet/sheet.h"

/* Stickers that cannot be placed and are reported: the rest mostly have the same fault. */
#define FAILURES_REPORTED 3
/* Stickers between two calls of the progress. */
#define PROGRESS_STEP 64

/* The next free label. */
struct cursor {
	unsigned page, label, labels;
	const bool *used; /* of the first page, or NULL */
	unsigned start;   /* of the first page */
	bool together;    /* each number has a page of its own */
};

/* True when a label of a page is there to be printed on. */
static bool is_free(const struct cursor *cursor, unsigned page, unsigned label)
{
	if (page > 1)
		return true;
	return label + 1 >= cursor->start && (cursor->used == NULL || !cursor->used[label]);
}

/* Goes on to the next free label, that where it stands included. */
static void find_free(struct cursor *cursor)
{
	while (cursor->label < cursor->labels && !is_free(cursor, cursor->page, cursor->label))
		cursor->label++;
	if (cursor->label == cursor->labels) {
		cursor->label = 0;
		cursor->page++;
	}
}

/* Free labels of the page, from where the cursor stands. */
static unsigned count_free(const struct cursor *cursor)
{
	unsigned count = 0;
	for (unsigned label = cursor->label; label < cursor->labels; label++)
		count += is_free(cursor, cursor->page, label);
	return count;
}

/* True when an M sticker was printed before any X sticker: it is on the part that is now to be
 * replaced, and the X sticker must cover it. */
static bool covers_m(const struct lt_register_entry *entry)
{
	const char *first = strpbrk(entry->printed, "MX");
	return first != NULL && *first == 'M';
}

/* By number, 0 to number_max: whether an X sticker covers an M sticker. From the arena. */
static bool *find_covers(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_register *reg)
{
	bool *covers = lt_arena_array(arena, (size_t)tags->number_max + 1, sizeof(*covers));
	for (size_t i = 0; reg != NULL && i < reg->count; i++) {
		const struct lt_register_entry *entry = &reg->entries[i];
		if (entry->number <= tags->number_max && !entry->retired)
			covers[entry->number] = covers_m(entry);
	}
	return covers;
}

/* The sides of a connector that are wanted as stickers. */
static size_t wanted_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_tags *tags,
	size_t connector, const struct lt_sheet_options *options)
{
	const unsigned char *choice = options->choice;
	size_t count = lt_selected_sides(out, options->only, tags, connector);
	size_t kept = 0;
	for (size_t i = 0; i < count; i++) {
		if (choice == NULL || choice[connector * LT_SIDE_COUNT + out[i]] == options->medium)
			out[kept++] = out[i];
	}
	return kept;
}

/* Gives the stickers of one connector their labels: all on one page, where a page holds so many. */
static void place_group(struct lt_sheet *sheet, struct cursor *cursor, size_t connector,
	const enum lt_side *sides, size_t count, bool over_m)
{
	if (count == 0)
		return;
	find_free(cursor);
	if (cursor->together && sheet->count > 0) {
		cursor->label = 0;
		cursor->page = sheet->pages + 1;
	}
	if (count <= cursor->labels && count > count_free(cursor)) {
		cursor->label = 0;
		cursor->page++;
	}
	for (size_t i = 0; i < count; i++) {
		find_free(cursor);
		sheet->slots[sheet->count++] =
			(struct lt_slot){ { connector, sides[i], sides[i] == LT_SIDE_X && over_m },
				cursor->page, cursor->label++ };
		sheet->pages = cursor->page;
	}
}

static void warn_cover(const struct lt_sheet *sheet, size_t first, const struct lt_tags *tags,
	struct lt_diags *diags)
{
	for (size_t i = first; i < sheet->count; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		if (!slot->id.over_m)
			continue;
		const struct lt_connector *connector =
			&tags->harness->connectors[slot->id.connector];
		unsigned number = tags->number_of[slot->id.connector];
		lt_warning(diags, connector->place,
			"connector %s: sticker %uM was printed before the part was to be replaced",
			connector->id, number);
		lt_hint(diags,
			"if it is on the old part, stick %uX over it. Stick the new %uM on the new "
			"part",
			number, number);
		return;
	}
}

static bool check_start(const struct lt_layout *layout, unsigned start, unsigned labels,
	struct lt_diags *diags)
{
	if (start >= 1 && start <= labels)
		return true;
	lt_error(diags, lt_place_none(),
		lt_plural(labels, "--start %u: layout %s has %u label on a sheet",
			"--start %u: layout %s has %u labels on a sheet"),
		start, layout->name, labels);
	lt_hint(diags, "count row by row from 1, or leave out --start for a new sheet");
	return false;
}

/* A used page on which nothing finds room would have to go through the printer blank: whoever puts
 * it in would get the next page's stickers on it instead. */
static bool check_first(const struct lt_sheet *sheet, const struct lt_sheet_options *options,
	const struct lt_tags *tags, struct lt_diags *diags)
{
	const struct lt_slot *slot = &sheet->slots[0];
	if (slot->page == 1)
		return true;
	const char *option = options->used != NULL ? "--used" : "--start";
	lt_error(diags, lt_place_none(),
		"%s leaves too few labels on the page for all stickers of number %u", option,
		tags->number_of[slot->id.connector]);
	lt_hint(diags, "put in a new sheet and leave out %s", option);
	return false;
}

/* Places the stickers of a list: those of one connector together, up to where a side comes again,
 * which is another copy. */
static void place_list(struct lt_sheet *sheet, struct cursor *cursor,
	const struct lt_sheet_options *options, const bool *covers, const struct lt_tags *tags)
{
	for (size_t i = 0; i < options->list_count;) {
		size_t connector = options->list[i].connector;
		enum lt_side sides[LT_SIDE_COUNT];
		unsigned seen = 0;
		size_t count = 0;
		while (i < options->list_count && options->list[i].connector == connector &&
			(seen & 1u << options->list[i].side) == 0) {
			seen |= 1u << options->list[i].side;
			sides[count++] = options->list[i++].side;
		}
		place_group(sheet, cursor, connector, sides, count,
			covers[tags->number_of[connector]]);
	}
}

bool lt_sheet_plan(struct lt_sheet *out, const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_register *reg, const struct lt_sheet_options *options,
	struct lt_diags *diags)
{
	*out = (struct lt_sheet){ .layout = layout, .apart = options->apart };
	out->together = options->together && layout->medium == LT_MEDIUM_TAPE && !options->apart;
	unsigned labels = options->apart ? 1 : lt_layout_labels(layout);
	labels = out->together ? LT_SIDE_COUNT : labels;
	if (!check_start(layout, options->start, labels, diags) ||
		!lt_payload_check(tags->harness, options->sticker.payload, diags) ||
		!lt_selection_check(options->only, tags, diags))
		return false;
	size_t connectors = tags->harness->connector_count;
	size_t most = options->list != NULL ? options->list_count
					    : connectors * LT_SIDE_COUNT * options->copies;
	out->slots = lt_arena_array(&out->arena, most + 1, sizeof(*out->slots));
	const bool *covers = find_covers(&out->arena, tags, reg);
	struct cursor cursor = { 1, 0, labels, options->used, options->start, out->together };
	const struct lt_bundle *bundles = options->sticker.bundles;
	bool fits = true;
	if (options->list != NULL)
		place_list(out, &cursor, options, covers, tags);
	for (size_t i = 0; i < connectors && options->list == NULL; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = wanted_sides(sides, tags, i, options);
		size_t first = out->count;
		for (unsigned copy = 0; copy < options->copies; copy++)
			place_group(out, &cursor, i, sides, count, covers[tags->number_of[i]]);
		warn_cover(out, first, tags, diags);
		if (count > 0 && !lt_layout_check_fit(layout, &tags->harness->connectors[i],
					 bundles != NULL ? bundles[i].diameter : 0,
					 options->sticker.known, diags))
			fits = false;
	}
	if (out->count > 0)
		return fits && check_first(out, options, tags, diags);
	if (options->choice != NULL)
		return true;
	lt_error(diags, lt_place_file(tags->harness->file), "there is no sticker to print");
	lt_hint(diags, "remove \"tag: paper\" or \"tag: none\" from connectors that need stickers");
	return false;
}

void lt_sheet_finish(struct lt_sheet *sheet)
{
	if (sheet == NULL)
		return;
	lt_arena_finish(&sheet->arena);
	*sheet = (struct lt_sheet){ 0 };
}

void lt_text_draw(struct lt_canvas *canvas, const struct lt_measure *measure, double x, double y,
	enum lt_typeface face, double size, const char *text)
{
	if (text[0] != '\0')
		canvas->text(canvas->data, x, y + lt_text_ascent(measure, face, size), face, size,
			LT_BLACK, text);
}

bool lt_zone_is_free(const struct lt_zone *zone, const struct lt_zone *taken, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		if (zone->x < taken[i].x + taken[i].width && taken[i].x < zone->x + zone->width &&
			zone->y < taken[i].y + taken[i].height &&
			taken[i].y < zone->y + zone->height)
			return false;
	}
	return true;
}

static void draw_box(struct lt_canvas *canvas, const struct lt_box *box, double x, double y)
{
	bool banner = box->role == LT_BOX_BANNER;
	if (banner || box->role == LT_BOX_UNDERLINE)
		canvas->rectangle(canvas->data, x + box->x, y + box->y, box->width, box->height,
			LT_BLACK);
	if (box->text != NULL)
		canvas->text(canvas->data, x + box->text_x, y + box->baseline, box->face, box->size,
			banner ? LT_WHITE : LT_BLACK, box->text);
}

static void draw_face(struct lt_canvas *canvas, const struct lt_sticker *sticker,
	const struct lt_qr *qr, double x, double y)
{
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		if (box->role == LT_BOX_QR)
			canvas->qr(canvas->data, x + box->x, y + box->y, box->module, qr);
		else
			draw_box(canvas, box, x, y);
	}
}

bool lt_sticker_draw(struct lt_canvas *canvas, const struct lt_sticker *sticker, double x, double y,
	struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_qr qr;
	if (!lt_qr_encode(&qr, arena, sticker->symbol.text, &sticker->symbol.plan, diags))
		return false;
	for (size_t face = 0; face < sticker->shape.face_count; face++)
		draw_face(canvas, sticker, &qr, x + sticker->shape.faces[face].x,
			y + sticker->shape.faces[face].y);
	return true;
}

/* What drawing a sheet takes. */
struct drawing {
	struct lt_sheet *sheet;
	struct lt_canvas *canvas; /* or NULL */
	const struct lt_sticker_source *source;
	const struct lt_sheet_options *options;
	const struct lt_sheet_watcher *watcher; /* or NULL */
	struct lt_diags *diags;
	unsigned page; /* begun; 0 before the first */
};

/* Between stickers that share a page of tape, a mark on either edge for the scissors, in mm. */
#define MARK_LENGTH 1.5
#define MARK_LINE 0.15

/* Lines to cut plain paper along, in mm. */
#define CUT_LINE 0.18
#define CUT_WORDS_TOP 8.0 /* from the page's edge, for printers that leave as much blank */
#define CUT_WORDS_CAPITAL 2.0
#define CUT_WORDS_BELOW 0.8

/* Stickers that share a page of tape: each copy of a number has one of its own. */
#define STICKERS_TOGETHER ((size_t)LT_SIDE_COUNT)

/* Some stickers, placed, that are drawn on the same page. */
struct placed {
	const struct lt_slot *slots;
	struct lt_sticker stickers[STICKERS_TOGETHER];
	size_t count;
	struct lt_arena arena;
};

/* Says how to cut, in the top margin. A page that was used before has it already. */
static void draw_cut_words(const struct drawing *d)
{
	const struct lt_layout *layout = d->sheet->layout;
	const struct lt_measure *measure = d->source->measure;
	const enum lt_typeface face = LT_TYPEFACE_REGULAR;
	double size = lt_text_size(measure, face, CUT_WORDS_CAPITAL);
	double room = layout->first_y - CUT_WORDS_TOP - CUT_WORDS_BELOW;
	bool again = d->page == 1 && (d->options->start > 1 || d->options->used != NULL);
	if (again || lt_text_height(measure, face, size) > room ||
		lt_text_width(measure, face, size, lt_sheet_cut_along) >
			layout->page_width - 2 * layout->first_x)
		return;
	lt_text_draw(d->canvas, measure, layout->first_x, CUT_WORDS_TOP, face, size,
		lt_sheet_cut_along);
}

/* The lines lie just outside the label, where nothing of a code's quiet zone is. Where the gap to
 * the next label is as wide as a line, both have the same one. */
static void draw_cut_lines(struct lt_canvas *canvas, const struct lt_layout *layout, double x,
	double y)
{
	double beside = fmin(CUT_LINE, layout->pitch_x - layout->label_width) / 2;
	double below = fmin(CUT_LINE, layout->pitch_y - layout->label_height) / 2;
	canvas->frame(canvas->data, x - beside, y - below, layout->label_width + 2 * beside,
		layout->label_height + 2 * below, CUT_LINE, LT_BLACK);
}

/* Ends the page that was begun and begins that of the stickers, unless it is the same. */
static bool turn_page(struct drawing *d, const struct placed *placed)
{
	struct lt_canvas *canvas = d->canvas;
	unsigned page = placed->slots[0].page;
	if (page == d->page)
		return true;
	if (d->page != 0 && !canvas->end_page(canvas->data, d->diags))
		return false;
	const struct lt_layout *layout = d->sheet->layout;
	bool whole = layout->medium == LT_MEDIUM_SHEET && !d->sheet->apart;
	double width = 0;
	for (size_t i = 0; i < placed->count; i++)
		width += placed->stickers[i].shape.width;
	width = whole ? layout->page_width : width;
	d->sheet->longest = width > d->sheet->longest ? width : d->sheet->longest;
	canvas->begin_page(canvas->data, width,
		whole ? layout->page_height : placed->stickers[0].shape.height);
	d->page = page;
	if (whole && layout->cut == LT_CUT_LINES)
		draw_cut_words(d);
	return true;
}

static void note(const struct drawing *d, const struct lt_sticker *sticker)
{
	struct lt_sheet *sheet = d->sheet;
	sheet->left_out |= sticker->left_out;
	sheet->shortened |= sticker->shortened;
	sheet->payloads[sticker->symbol.payload]++;
	if (sheet->layout->medium == LT_MEDIUM_TAPE)
		sheet->length += sticker->shape.width;
	lt_doubts_note(&sheet->doubts, sticker, sheet->layout, d->options->sticker.distance);
	if (d->watcher != NULL && d->watcher->placed != NULL)
		d->watcher->placed(d->watcher->data, sticker);
}

static void mark_cut(struct lt_canvas *canvas, double x, double height)
{
	canvas->line(canvas->data, x, 0, x, MARK_LENGTH, MARK_LINE, LT_BLACK);
	canvas->line(canvas->data, x, height - MARK_LENGTH, x, height, MARK_LINE, LT_BLACK);
}

/* Draws stickers that were placed, on the page that was begun: on their labels, or, on a tape, one
 * after the other. */
static bool draw_placed(struct drawing *d, struct placed *placed)
{
	const struct lt_sheet_options *options = d->options;
	double along = 0;
	for (size_t i = 0; i < placed->count; i++) {
		const struct lt_sticker *sticker = &placed->stickers[i];
		double x = along;
		double y = 0;
		if (!d->sheet->apart && !d->sheet->together)
			lt_layout_position(&x, &y, d->sheet->layout, placed->slots[i].label);
		bool on_label = !d->sheet->apart && d->sheet->layout->cut == LT_CUT_LINES;
		if (on_label)
			draw_cut_lines(d->canvas, d->sheet->layout,
				x * options->scale_x + options->nudge_x,
				y * options->scale_y + options->nudge_y);
		if (i > 0)
			mark_cut(d->canvas, x, sticker->shape.height);
		if (!lt_sticker_draw(d->canvas, sticker, x * options->scale_x + options->nudge_x,
			    y * options->scale_y + options->nudge_y, &placed->arena, d->diags))
			return false;
		along += sticker->shape.width;
	}
	return true;
}

static bool place(struct drawing *d, struct placed *placed)
{
	for (size_t i = 0; i < placed->count; i++) {
		if (!lt_sticker_place(&placed->stickers[i], &placed->arena, d->sheet->layout,
			    d->source, placed->slots[i].id, &d->options->sticker, d->diags))
			return false;
	}
	return true;
}

/* Places and draws `count` stickers of one page; what they take in memory is freed with them. False
 * when they cannot be placed, or, with the sheet's `canvas_failed`, drawn. */
static bool draw_slots(struct drawing *d, const struct lt_slot *slots, size_t count)
{
	struct placed placed = { .slots = slots, .count = count };
	bool good = place(d, &placed);
	if (good && d->canvas != NULL) {
		good = turn_page(d, &placed) && draw_placed(d, &placed);
		d->sheet->canvas_failed = !good;
	}
	for (size_t i = 0; good && i < count; i++)
		note(d, &placed.stickers[i]);
	lt_arena_finish(&placed.arena);
	return good;
}

/* How many stickers from slot `first` on are drawn at once: those that share a page of tape. */
static size_t count_together(const struct lt_sheet *sheet, size_t first)
{
	size_t count = 1;
	while (sheet->together && count < STICKERS_TOGETHER && first + count < sheet->count &&
		sheet->slots[first + count].page == sheet->slots[first].page)
		count++;
	return count;
}

bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas,
	const struct lt_sticker_source *source, const struct lt_sheet_options *options,
	const struct lt_sheet_watcher *watcher, struct lt_diags *diags)
{
	struct drawing d = { sheet, canvas, source, options, watcher, diags, 0 };
	unsigned failures = 0;
	size_t failed = LT_NONE;
	for (size_t i = 0, count = 0; i < sheet->count && failures < FAILURES_REPORTED;
		i += count) {
		const struct lt_slot *slot = &sheet->slots[i];
		count = count_together(sheet, i);
		/* What keeps one sticker of a connector from its place keeps the others too. */
		if (slot->id.connector == failed)
			continue;
		if (!draw_slots(&d, slot, count)) {
			if (sheet->canvas_failed)
				return false;
			failed = slot->id.connector;
			failures++;
		}
		if (watcher != NULL && watcher->progress != NULL &&
			(i % PROGRESS_STEP == 0 || i + count == sheet->count))
			watcher->progress(watcher->data, i + count, sheet->count);
	}
	if (d.page != 0 && !canvas->end_page(canvas->data, diags))
		sheet->canvas_failed = true;
	return !sheet->canvas_failed && failures == 0;
}
