#include <math.h>
#include <stdio.h>
#include <string.h>

#include "label/lines.h"
#include "loomtag/base.h"

/* Ink of ASCII, in capitals: brackets stand a little above capitals, and g and | hang below. */
#define ASCII_ABOVE 1.06
#define ASCII_BELOW (LT_LINE_INK - ASCII_ABOVE)

/* A width that was computed to fit does, in mm. */
#define ROUNDING 1e-9

static const char ellipsis[] = "\xE2\x80\xA6";
static const char arrow[] = "\xE2\x86\x92";

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

/* How the width of a text grows with its capitals: one measurement tells all sizes. */
static double slope_of(const struct lt_line *line, enum lt_face face, const char *text,
	const struct lt_measure *measure)
{
	double em = 1 / measure->heights(measure->data, face).capital;
	return lt_text_width(measure, face, em, text) + 2 * line->pad;
}

static struct lt_line *add(struct lt_line *lines, size_t *count, enum lt_box_role role,
	const char *text, const struct lt_measure *measure)
{
	struct lt_line *line = &lines[(*count)++];
	*line = (struct lt_line){ .role = role, .text = text, .weight = 1 };
	line->wide = LT_FACE_REGULAR;
	line->narrow = LT_FACE_CONDENSED;
	line->above = ASCII_ABOVE;
	line->below = ASCII_BELOW;
	if (!is_low(text)) {
		struct lt_face_heights heights = measure->heights(measure->data, line->wide);
		line->above = fmax(line->above, heights.ascent / heights.capital);
		line->below = fmax(line->below, heights.descent / heights.capital);
	}
	return line;
}

/* What the eye has to find first: bold and larger. */
static void make_warning(struct lt_line *line)
{
	line->wide = LT_FACE_BOLD;
	line->narrow = LT_FACE_CONDENSED_BOLD;
	line->weight = 1.15;
	line->warning = true;
}

/* White on black, which the banner's box is; its text has nothing below the baseline. */
static void add_banner(struct lt_line *lines, size_t *count, struct lt_arena *arena,
	const struct lt_tags *tags, size_t connector, enum lt_side side, bool over_m,
	const struct lt_measure *measure)
{
	const char *text = side == LT_SIDE_X ? "OLD PART" : "NEW PART";
	const char *shorter[2] = { NULL, NULL };
	if (side == LT_SIDE_X && over_m) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, tags->number_of[connector], LT_SIDE_M);
		text = lt_arena_printf(arena, "OLD PART: STICK OVER %s", tag);
		shorter[0] = lt_arena_printf(arena, "STICK OVER %s", tag);
		shorter[1] = lt_arena_printf(arena, "OVER %s", tag);
	}
	struct lt_line *line = add(lines, count, LT_BOX_BANNER, text, measure);
	make_warning(line);
	memcpy(line->shorter, shorter, sizeof(shorter));
	line->above = 1.25;
	line->below = 0.25;
	line->pad = 0.5;
}

/* Writes the first `listed` look-alikes and how many more there are. They are what it would also
 * fit; said as "not on", since "fits" read in haste is an invitation. */
static void write_lookalikes(char *out, size_t room, const struct lt_line *line, size_t listed)
{
	size_t at = (size_t)snprintf(out, room, "not on");
	for (size_t i = 0; i < listed && at < room; i++)
		at += (size_t)snprintf(out + at, room - at, "%s%u", i > 0 ? ", " : " ",
			line->numbers[i]);
	if (line->all > listed && at < room)
		snprintf(out + at, room - at, " +%zu", line->all - listed);
}

#define LOOKALIKES_ROOM 96

static void add_lookalikes(struct lt_line *lines, size_t *count, struct lt_arena *arena,
	const struct lt_tags *tags, const struct lt_lookalikes *lookalikes, size_t connector,
	const struct lt_measure *measure)
{
	struct lt_line found = { 0 };
	found.all = lt_tag_lookalikes(tags, lookalikes, connector, found.numbers, LT_LINE_NUMBERS);
	found.listed = found.all < LT_LINE_NUMBERS ? found.all : LT_LINE_NUMBERS;
	bool unknown = lt_fit_unknown(tags->harness, connector);
	if (found.all == 0 && !unknown)
		return;
	char text[LOOKALIKES_ROOM] = "fit unknown";
	if (found.all > 0)
		write_lookalikes(text, sizeof(text), &found, found.listed);
	struct lt_line *line =
		add(lines, count, LT_BOX_LOOKALIKES, lt_arena_strdup(arena, text), measure);
	make_warning(line);
	line->all = found.all;
	line->listed = found.listed;
	memcpy(line->numbers, found.numbers, sizeof(line->numbers));
}

/* The parts that are given, one space between them. */
static const char *join(struct lt_arena *arena, const char *a, const char *b, const char *c,
	const char *d)
{
	const char *parts[] = { a, b, c, d };
	struct lt_text text = { 0 };
	for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++) {
		if (parts[i] == NULL)
			continue;
		if (text.length > 0)
			lt_text_add_char(&text, ' ');
		lt_text_add(&text, parts[i]);
	}
	char *joined = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return joined;
}

static void add_mate(struct lt_line *lines, size_t *count, struct lt_arena *arena,
	const struct lt_harness *harness, const struct lt_connector *connector,
	const struct lt_measure *measure)
{
	if (connector->component == LT_NONE)
		return;
	const struct lt_component *component = &harness->components[connector->component];
	const char *text = join(arena, arrow, component->id, component->name, connector->port);
	struct lt_line *line = add(lines, count, LT_BOX_MATE, text, measure);
	if (component->name != NULL)
		line->shorter[0] = join(arena, arrow, component->id, connector->port, NULL);
}

static void add_wires(struct lt_line *lines, size_t *count, struct lt_arena *arena,
	const struct lt_connector *connector, const struct lt_measure *measure)
{
	struct lt_text wires = { 0 };
	lt_connector_wires(&wires, connector);
	if (wires.length > 0)
		add(lines, count, LT_BOX_WIRES, lt_arena_strdup(arena, lt_text_string(&wires)),
			measure);
	lt_text_finish(&wires);
}

size_t lt_lines_write(struct lt_line out[LT_LINES_MAX], struct lt_arena *arena,
	const struct lt_tags *tags, const struct lt_lookalikes *lookalikes, size_t connector,
	enum lt_side side, const struct lt_sticker_options *options,
	const struct lt_measure *measure)
{
	const struct lt_harness *harness = tags->harness;
	const struct lt_connector *c = &harness->connectors[connector];
	size_t count = 0;
	if (side == LT_SIDE_X || (side == LT_SIDE_M && lt_connector_replaced(harness, connector)))
		add_banner(out, &count, arena, tags, connector, side, options->over_m, measure);
	add_lookalikes(out, &count, arena, tags, lookalikes, connector, measure);
	add(out, &count, LT_BOX_NAME, join(arena, c->id, c->name, NULL, NULL), measure);
	add_wires(out, &count, arena, c, measure);
	add_mate(out, &count, arena, harness, c, measure);
	add(out, &count, LT_BOX_HARNESS, harness->code, measure);
	for (size_t i = 0; i < count; i++)
		out[i].slope = slope_of(&out[i], out[i].narrow, out[i].text, measure);
	return count;
}

double lt_line_height(const struct lt_line *line)
{
	return line->weight * (line->above + line->below + LT_LINE_LEADING);
}

/* The `index`th way to say a line, in fewer words each time; false when there is no such. */
static bool say(char out[LT_LINE_ROOM], const struct lt_line *line, size_t index)
{
	if (index > 0 && line->all > 0) {
		/* One number fewer each time, down to one; never "not" alone, which would read as
		 * what number this is not. */
		if (index >= line->listed)
			return false;
		write_lookalikes(out, LT_LINE_ROOM, line, line->listed - index);
		return true;
	}
	if (index > sizeof(line->shorter) / sizeof(line->shorter[0]))
		return false;
	const char *text = index == 0 ? line->text : line->shorter[index - 1];
	if (text == NULL || strlen(text) >= LT_LINE_ROOM)
		return false;
	memcpy(out, text, strlen(text) + 1);
	return true;
}

/* Sets what `out` says in the wide face at `capital` or in the narrow one, there as small as
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

/* What an ellipsis leaves of a text has to say something. */
#define STUB_LEAST 5

static size_t count_characters(const char *text)
{
	size_t count = 0;
	while (lt_utf8_next(&text) != 0)
		count++;
	return count;
}

/* Cuts the line at its smallest. */
static bool cut(struct lt_fitted *out, const struct lt_line *line, double width, double least,
	const struct lt_measure *measure)
{
	double size = least / measure->heights(measure->data, line->narrow).capital;
	lt_text_shorten(out->text, sizeof(out->text), measure, line->narrow, size, line->text,
		width);
	if (line->role == LT_BOX_WIRES)
		cut_wires(out->text);
	out->cut = true;
	out->face = line->narrow;
	out->capital = least;
	out->width = lt_text_width(measure, line->narrow, size, out->text);
	return count_characters(out->text) > STUB_LEAST && out->width <= width;
}

bool lt_line_fit(struct lt_fitted *out, const struct lt_line *line, double width, double capital,
	double legible, double least, const struct lt_measure *measure)
{
	out->cut = false;
	legible = fmin(legible, capital);
	for (size_t i = 0; say(out->text, line, i); i++) {
		if (set(out, line, width, capital, legible, measure))
			return true;
	}
	for (size_t i = 0; say(out->text, line, i); i++) {
		if (set(out, line, width, capital, least, measure))
			return true;
	}
	return !line->warning && cut(out, line, width, least, measure);
}
