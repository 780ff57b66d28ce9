/* The lines of text on a sticker, and how they are set in rows. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "label/lines.h"
#include "loomtag/words.h"

/* Ink of ASCII, in capitals: brackets stand a little above capitals, and g and | hang below. */
#define ASCII_ABOVE 1.06
#define ASCII_BELOW (LT_LINE_INK - ASCII_ABOVE)

/* A width that was computed to fit does, in mm. */
#define ROUNDING 1e-9

static const char ellipsis[] = "\xE2\x80\xA6";

/* True for what is no taller than ASCII: that, and the dashes, ellipsis and arrows used here. */
static bool is_low(const char *text)
{
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		bool dash = code >= 0x2010 && code <= 0x2027;
		bool arrow_head = code >= 0x2190 && code <= 0x2193;
		if (code > 0x7E && !dash && !arrow_head)
			return false;
	}
	return true;
}

/* How the width of a text grows with its capitals: one measurement serves all sizes. */
static double slope_of(const struct lt_line *line, enum lt_typeface face, const char *text,
	const struct lt_measure *measure)
{
	return lt_text_width(measure, face, lt_text_size(measure, face, 1), text) + 2 * line->pad;
}

/* The lines of one sticker as they are written. */
struct writer {
	struct lt_line *lines;
	size_t count;
	struct lt_arena *arena;
	const struct lt_sticker_source *source;
	struct lt_sticker_id id;
};

static struct lt_line *add(struct writer *w, enum lt_box_role role, const char *text)
{
	struct lt_line *line = &w->lines[w->count++];
	*line = (struct lt_line){ .role = role,
		.text = text,
		.weight = 1,
		.wide = LT_TYPEFACE_REGULAR,
		.narrow = LT_TYPEFACE_CONDENSED,
		.above = ASCII_ABOVE,
		.below = ASCII_BELOW };
	if (!is_low(text)) {
		const struct lt_measure *measure = w->source->measure;
		struct lt_typeface_heights heights = measure->heights(measure->data, line->wide);
		line->above = fmax(line->above, heights.ascent / heights.capital);
		line->below = fmax(line->below, heights.descent / heights.capital);
	}
	return line;
}

/* What the eye has to find first: bold and larger. */
static struct lt_line *add_warning(struct writer *w, enum lt_box_role role, const char *text)
{
	struct lt_line *line = add(w, role, text);
	line->wide = LT_TYPEFACE_BOLD;
	line->narrow = LT_TYPEFACE_CONDENSED_BOLD;
	line->weight = 1.15;
	line->warning = true;
	return line;
}

static const char *stick_over(const struct writer *w, unsigned shortening)
{
	char tag[LT_TAG_SIZE];
	struct lt_text text = { 0 };
	lt_tag_write(tag, w->source->tags->number_of[w->id.connector], LT_SIDE_M);
	lt_words_stick_over(&text, tag, shortening);
	return lt_arena_text(w->arena, &text);
}

/* White on black, which the banner's box is; its text has nothing below the baseline. */
static void add_banner(struct writer *w)
{
	struct lt_line *line = add_warning(w, LT_BOX_BANNER,
		w->id.side == LT_SIDE_X ? lt_sticker_words.old_part : lt_sticker_words.new_part);
	if (w->id.side == LT_SIDE_X && w->id.over_m) {
		line->text = stick_over(w, 0);
		line->shorter[0] = stick_over(w, 1);
		line->shorter[1] = stick_over(w, 2);
	}
	line->above = 1.25;
	line->below = 0.25;
	line->pad = 0.5;
}

/* Adds the first `listed` look-alikes and how many more there are. */
static void add_not_on(struct lt_text *out, const struct lt_line *line, size_t listed)
{
	lt_words_not_on(out, line->numbers, listed, line->all - listed);
}

static void add_lookalikes(struct writer *w)
{
	const struct lt_tags *tags = w->source->tags;
	struct lt_line found = { 0 };
	found.all = lt_tag_lookalikes(tags, w->source->lookalikes, w->id.connector, found.numbers,
		LT_LINE_NUMBERS);
	found.listed = found.all < LT_LINE_NUMBERS ? found.all : LT_LINE_NUMBERS;
	if (found.all == 0 && !lt_fit_unknown(tags->harness, w->id.connector))
		return;
	struct lt_text text = { 0 };
	if (found.all > 0)
		add_not_on(&text, &found, found.listed);
	else
		lt_text_add(&text, lt_sticker_words.fit_unknown);
	struct lt_line *line = add_warning(w, LT_BOX_LOOKALIKES, lt_arena_text(w->arena, &text));
	line->all = found.all;
	line->listed = found.listed;
	memcpy(line->numbers, found.numbers, sizeof(line->numbers));
}

/* The values that are given, one space between them; the first always is. */
static const char *join(struct lt_arena *arena, const char *a, const char *b, const char *c)
{
	const char *others[] = { b, c };
	for (size_t i = 0; i < sizeof(others) / sizeof(others[0]); i++) {
		if (others[i] != NULL)
			a = lt_arena_printf(arena, "%s %s", a, others[i]);
	}
	return a;
}

static const char *mate_text(const struct writer *w, const char *mate)
{
	struct lt_text text = { 0 };
	lt_words_sticker_mate(&text, w->id.side, mate);
	return lt_arena_text(w->arena, &text);
}

static void add_mate(struct writer *w, const struct lt_connector *connector)
{
	if (connector->component == LT_NONE)
		return;
	const struct lt_component *component =
		&w->source->tags->harness->components[connector->component];
	const char *mate = join(w->arena, component->id, component->name, connector->port);
	struct lt_line *line = add(w, LT_BOX_MATE, mate_text(w, mate));
	if (component->name != NULL) {
		mate = join(w->arena, component->id, connector->port, NULL);
		line->shorter[0] = mate_text(w, mate);
	}
}

static void add_wires(struct writer *w, const struct lt_connector *connector)
{
	struct lt_text wires = { 0 };
	lt_connector_wires(&wires, connector);
	if (wires.length > 0)
		add(w, LT_BOX_WIRES, lt_arena_strdup(w->arena, lt_text_string(&wires)));
	lt_text_finish(&wires);
}

size_t lt_lines_write(struct lt_line out[LT_LINES_MAX], struct lt_arena *arena,
	const struct lt_sticker_source *source, struct lt_sticker_id id)
{
	const struct lt_harness *harness = source->tags->harness;
	const struct lt_connector *c = &harness->connectors[id.connector];
	struct writer w = { out, 0, arena, source, id };
	if (id.side == LT_SIDE_X ||
		(id.side == LT_SIDE_M && lt_connector_replaced(harness, id.connector)))
		add_banner(&w);
	add_lookalikes(&w);
	add(&w, LT_BOX_NAME, join(arena, c->id, c->name, NULL));
	add_wires(&w, c);
	add_mate(&w, c);
	add(&w, LT_BOX_HARNESS, harness->code);
	for (size_t i = 0; i < w.count; i++)
		out[i].slope = slope_of(&out[i], out[i].narrow, out[i].text, source->measure);
	return w.count;
}

double lt_line_height(const struct lt_line *line)
{
	return line->weight * (line->above + line->below + LT_LINE_LEADING);
}

/* Writes the `index`th wording of a line, a shorter one each time; false when there is none. */
static bool write_wording(char out[LT_LINE_ROOM], const struct lt_line *line, size_t index)
{
	struct lt_text numbers = { 0 };
	const char *text = NULL;
	if (index == 0) {
		text = line->text;
	} else if (line->all > 0) {
		/* One number fewer each time, down to one. */
		if (index < line->listed) {
			add_not_on(&numbers, line, line->listed - index);
			text = lt_text_string(&numbers);
		}
	} else if (index <= sizeof(line->shorter) / sizeof(line->shorter[0])) {
		text = line->shorter[index - 1];
	}
	bool found = text != NULL && strlen(text) < LT_LINE_ROOM;
	if (found)
		memcpy(out, text, strlen(text) + 1);
	lt_text_finish(&numbers);
	return found;
}

/* Sets the text of `out` in the wide face at `capital` or in the narrow one, there as small as
 * `least`. */
static bool set(struct lt_fitted *out, const struct lt_line *line, double width, double capital,
	double least, const struct lt_measure *measure)
{
	for (int narrow = 0; narrow < 2; narrow++) {
		out->face = narrow == 0 ? line->wide : line->narrow;
		double slope = slope_of(line, out->face, out->text, measure);
		out->capital = capital;
		if (slope * capital > width + ROUNDING && narrow != 0)
			out->capital = width / slope;
		out->width = slope * out->capital;
		if (slope * capital <= width + ROUNDING || (narrow != 0 && out->capital >= least))
			return true;
	}
	return false;
}

/* An ellipsis behind half a colour would make another colour of it: cuts behind a whole way. */
static void cut_wires(char *text)
{
	size_t length = strlen(text);
	while (length > 0 && text[length - 1] != ',')
		length--;
	if (length == 0 || length + 1 + sizeof(ellipsis) > LT_LINE_ROOM) {
		text[0] = '\0';
		return;
	}
	text[length] = ' ';
	memcpy(text + length + 1, ellipsis, sizeof(ellipsis));
}

/* Characters that an ellipsis must leave of a text; fewer mean nothing. */
#define STUB_LEAST 5

/* Cuts the line at its smallest. */
static bool cut(struct lt_fitted *out, const struct lt_line *line, double width, double least,
	const struct lt_measure *measure)
{
	double size = lt_text_size(measure, line->narrow, least);
	lt_text_shorten(out->text, sizeof(out->text), measure, line->narrow, size, line->text,
		width);
	if (line->role == LT_BOX_WIRES)
		cut_wires(out->text);
	out->cut = true;
	out->face = line->narrow;
	out->capital = least;
	out->width = lt_text_width(measure, line->narrow, size, out->text);
	return lt_utf8_count(out->text) > STUB_LEAST && out->width <= width;
}

bool lt_line_fit(struct lt_fitted *out, const struct lt_line *line, double width, double capital,
	double legible, double least, const struct lt_measure *measure)
{
	out->cut = false;
	legible = fmin(legible, capital);
	const double leasts[] = { legible, least };
	for (size_t k = 0; k < 2; k++) {
		for (size_t i = 0; write_wording(out->text, line, i); i++) {
			if (set(out, line, width, capital, leasts[k], measure))
				return true;
		}
	}
	return !line->warning && cut(out, line, width, least, measure);
}

/* A line may be set that much smaller than the others before it has to move. */
#define SMALLER 0.8
/* Two lines on a row are harder to find than two rows: it has to be worth it. */
#define WORTH 1.15

/* Which neighbours share a row: bit i for lines i and i + 1. */
static bool may_join(const struct lt_line *lines, size_t count, unsigned joins)
{
	if ((joins & (joins << 1)) != 0)
		return false;
	for (size_t i = 0; i + 1 < count; i++) {
		if ((joins >> i & 1) != 0 && (lines[i].warning || lines[i + 1].warning))
			return false;
	}
	return true;
}

static size_t fill_rows(struct lt_row rows[LT_LINES_MAX], const struct lt_line *lines, size_t count,
	unsigned joins)
{
	size_t filled = 0;
	for (size_t i = 0; i < count; i++) {
		struct lt_row *row = &rows[filled++];
		row->lines[0] = &lines[i];
		row->count = 1;
		if ((joins >> i & 1) != 0) {
			row->lines[1] = &lines[++i];
			row->count = 2;
		}
	}
	return filled;
}

/* What a row takes in capitals, with the space between rows. */
static double share_of(const struct lt_row *row)
{
	double height = lt_line_height(row->lines[0]);
	return row->count > 1 ? fmax(height, lt_line_height(row->lines[1])) : height;
}

double lt_row_height(const struct lt_row *row)
{
	return share_of(row) * row->capital;
}

/* Sets the largest capitals at which the rows have room, those of warnings at least `warning`, and
 * returns those of the others. A line on its own may be set narrower later, two that share a row
 * may not. */
static double fit_rows(struct lt_row *rows, size_t count, const struct lt_room *room,
	double warning)
{
	double all = 0;
	double warnings = 0;
	double capital = room->most;
	for (size_t i = 0; i < count; i++) {
		double share = share_of(&rows[i]);
		all += share;
		warnings += rows[i].lines[0]->warning ? share : 0;
		if (rows[i].count > 1)
			capital = fmin(capital,
				room->width / (rows[i].lines[0]->slope + rows[i].lines[1]->slope +
						      LT_ROW_GAP));
	}
	double even = fmin(capital, room->height / all);
	bool apart = even < warning && all > warnings;
	double others = even;
	if (apart)
		others = fmin(capital, (room->height - warnings * warning) / (all - warnings));
	for (size_t i = 0; i < count; i++)
		rows[i].capital = apart && rows[i].lines[0]->warning ? warning : others;
	return others;
}

/* The rows that hold `count` lines with the largest capitals. Returns these, of the lines that are
 * no warnings. */
static double find_rows(struct lt_row rows[LT_LINES_MAX], size_t *row_count,
	const struct lt_line *lines, size_t count, const struct lt_room *room, double warning)
{
	*row_count = fill_rows(rows, lines, count, 0);
	double capital = fit_rows(rows, *row_count, room, warning);
	for (unsigned joins = 1; joins < 1u << (count - 1); joins++) {
		struct lt_row other[LT_LINES_MAX];
		if (capital >= room->legible || !may_join(lines, count, joins))
			continue;
		size_t other_count = fill_rows(other, lines, count, joins);
		double fitted = fit_rows(other, other_count, room, warning);
		if (fitted < capital * (capital < room->least ? 1 : WORTH))
			continue;
		capital = fitted;
		*row_count = other_count;
		memcpy(rows, other, other_count * sizeof(other[0]));
	}
	return capital;
}

/* The capitals of weight 1 with which the warnings, which weigh more, are just legible. */
static double warning_capital(const struct lt_line *lines, size_t count, const struct lt_room *room)
{
	double capital = 0;
	for (size_t i = 0; i < count; i++) {
		if (lines[i].warning)
			capital = fmax(capital, room->legible / lines[i].weight);
	}
	return fmin(capital, room->most);
}

size_t lt_rows_arrange(struct lt_row rows[LT_LINES_MAX], size_t *row_count,
	const struct lt_line *lines, size_t count, const struct lt_room *room)
{
	double warning = warning_capital(lines, count, room);
	size_t warnings = 0;
	while (warnings < count && lines[warnings].warning)
		warnings++;
	for (; count > 0; count--) {
		/* The warnings alone are as small as they have to be. */
		if (find_rows(rows, row_count, lines, count, room,
			    count > warnings ? warning : 0) >= room->least)
			return count;
	}
	*row_count = 0;
	return 0;
}

/* True for a line that will have to be set smaller or cut; not for one that has a short form. */
static bool is_long(const struct lt_row *row, const struct lt_room *room)
{
	const struct lt_line *line = row->lines[0];
	return row->count == 1 && !line->warning && line->shorter[0] == NULL &&
	       line->slope * fmin(row->capital, room->legible) * SMALLER > room->width;
}

void lt_rows_sink_long(struct lt_row *rows, size_t count, const struct lt_room *room)
{
	struct lt_row sorted[LT_LINES_MAX] = { 0 };
	size_t sorted_count = 0;
	for (int last = 0; last < 2; last++) {
		for (size_t i = 0; i < count; i++) {
			if (is_long(&rows[i], room) == (last == 1))
				sorted[sorted_count++] = rows[i];
		}
	}
	memcpy(rows, sorted, sorted_count * sizeof(rows[0]));
}
