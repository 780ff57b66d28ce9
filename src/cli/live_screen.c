/* Draws the conversation at the bench on a terminal. */
#include <string.h>
#include <sys/ioctl.h>

#include "cli/live_screen.h"
#include "loomtag/words.h"

/* What is left out where the screen has few rows: each step adds to the one before. */
enum tightness {
	TIGHT_NOT,
	TIGHT_NO_BLANK_LINES,
	TIGHT_NO_LARGE_NEXT,
	TIGHT_NO_LARGE_TAGS,
	TIGHT_ONE_LINE_EACH,
	TIGHT_BARE, /* wrong mates but one, and wires and notes go */
	TIGHT_STEPS
};

/* How items of a kind are set. */
static const struct row {
	size_t indent;
	size_t width;             /* that the label takes at least */
	size_t lines;             /* at most; 0: all */
	enum tightness left_out;  /* from which step on; TIGHT_NOT: never */
	enum tightness shortened; /* to one line; likewise */
} kinds[LT_LIVE_KINDS] = {
	[LT_LIVE_GAP] = { .left_out = TIGHT_NO_BLANK_LINES },
	[LT_LIVE_SAID] = { .width = 4 },
	[LT_LIVE_VERDICT] = { .left_out = TIGHT_NO_LARGE_TAGS },
	[LT_LIVE_CHANGE] = { .indent = 2 },
	[LT_LIVE_BOX] = { .indent = 2 },
	[LT_LIVE_JOINT] = { .indent = 2, .width = 11 },
	[LT_LIVE_WRONG_MATE] = { .width = 4 },
	[LT_LIVE_NEXT] = { .width = 6, .lines = 2 },
	[LT_LIVE_NOTHING_NEXT] = { .width = 6 },
	[LT_LIVE_TAGS] = { .left_out = TIGHT_NO_LARGE_NEXT },
	[LT_LIVE_FACT] = { .indent = 4, .width = 11, .lines = 2, .shortened = TIGHT_ONE_LINE_EACH },
	[LT_LIVE_DETAIL] = { .indent = 4,
		.width = 11,
		.lines = 2,
		.left_out = TIGHT_BARE,
		.shortened = TIGHT_ONE_LINE_EACH },
	[LT_LIVE_OTHERS] = { .indent = 4, .lines = 2 },
	[LT_LIVE_CAUTION] = { .indent = 4 },
	[LT_LIVE_SKIPPED] = { .lines = 2 },
	[LT_LIVE_STEP] = { .indent = 2, .width = 9 },
	[LT_LIVE_WORD] = { .indent = 2, .width = 8 },
};

/* Width and height to keep to. */

static struct winsize size_of(const struct live_screen *screen)
{
	struct winsize size = { 0 };
	const int fd = fileno(screen->out);
	if (fd < 0 || ioctl(fd, TIOCGWINSZ, &size) != 0)
		size = (struct winsize){ 0 };
	return size;
}

static size_t columns_of(const struct live_screen *screen)
{
	enum { LEAST = 20, USUAL = 80 };
	const size_t asked = screen->columns > 0 ? screen->columns : size_of(screen).ws_col;
	const size_t columns = asked > 0 ? asked : USUAL;
	return columns < LEAST ? LEAST : columns;
}

static size_t rows_of(const struct live_screen *screen)
{
	enum { USUAL = 24 };
	const size_t rows = screen->rows > 0 ? screen->rows : size_of(screen).ws_row;
	return rows > 0 ? rows : USUAL;
}

/* Paragraphs. */

static const char *style_on(const struct live_screen *screen, enum lt_live_style style)
{
	static const char *const coloured[] = { "", "\033[1m", "\033[1;32m", "\033[1;33m",
		"\033[1;31m" };
	if (!screen->terminal || style == LT_LIVE_PLAIN)
		return "";
	return screen->colour ? coloured[style] : coloured[LT_LIVE_STRONG];
}

/* Adds a paragraph, cleaned of what could drive a terminal, wrapped behind `label`, its further
 * lines indented as far as the label reaches. At most `lines` lines (0: all); "..." where cut. */
static void add_paragraph(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_item *item, const char *label, size_t lines)
{
	enum { DOTS = 4 }; /* " ..." has room behind every line */
	struct lt_text clean = { 0 }, wrapped = { 0 };
	const size_t indent = lt_utf8_columns(label);
	const char *on = style_on(screen, item->style);
	/* The label's place is held by something that is not broken at spaces. */
	lt_text_add_times(&clean, 'x', indent);
	lt_text_add_clean(&clean, lt_text_string(&item->text), item->text.length);
	lt_text_wrap(&wrapped, lt_text_string(&clean), columns_of(screen) - DOTS, indent);

	const char *at = lt_text_string(&wrapped);
	for (size_t line = 1; *at != '\0'; line++) {
		const char *end = strchr(at, '\n');
		const bool last = line == lines && end[1] != '\0';
		lt_text_add(out, on);
		if (line == 1) {
			lt_text_add(out, label);
			at += indent;
		}
		lt_text_add_bytes(out, at, (size_t)(end - at));
		lt_text_add(out, last ? " ..." : "");
		lt_text_add(out, on[0] != '\0' ? "\033[0m" : "");
		lt_text_add_char(out, '\n');
		if (last)
			break;
		at = end + 1;
	}
	lt_text_finish(&wrapped);
	lt_text_finish(&clean);
}

static void add_item(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_item *item, enum tightness tightness)
{
	static const char *const signs[] = { "", "", "++", "..", "!!" };
	const struct row *row = &kinds[item->kind];
	const bool is_signed = item->kind == LT_LIVE_SAID || item->kind == LT_LIVE_WRONG_MATE;
	const char *words = is_signed ? signs[item->style] : item->label;
	const size_t length = words[0] != '\0' ? strlen(words) + 1 : 0;
	struct lt_text label = { 0 };
	lt_text_add_times(&label, ' ', row->indent);
	lt_text_add(&label, words);
	lt_text_add_times(&label, ' ', (length > row->width ? length : row->width) - strlen(words));
	add_paragraph(out, screen, item, lt_text_string(&label),
		row->shortened != TIGHT_NOT && tightness >= row->shortened ? 1 : row->lines);
	lt_text_finish(&label);
}

/* Tags large enough to be read at arm's length. */

/* Characters five wide and five high: a tag can be read from across the bench. */
static const char *large_glyph(char c)
{
	static const struct {
		char c;
		const char *rows;
	} glyphs[] = {
		{ '0', ".###.#...##...##...#.###." },
		{ '1', "..#...##....#....#...###." },
		{ '2', "####.....#.###.#....#####" },
		{ '3', "####.....#..##.....#####." },
		{ '4', "#..#.#..#.#####...#....#." },
		{ '5', "######....####.....#####." },
		{ '6', ".###.#....####.#...#.###." },
		{ '7', "#####....#...#...#....#.." },
		{ '8', ".###.#...#.###.#...#.###." },
		{ '9', ".###.#...#.####....#.###." },
		{ 'H', "#...##...#######...##...#" },
		{ 'M', "#...###.###.#.##...##...#" },
		{ 'X', "#...#.#.#...#...#.#.#...#" },
		{ '+', ".......#...###...#......." },
	};
	for (size_t i = 0; i < sizeof(glyphs) / sizeof(glyphs[0]); i++)
		if (glyphs[i].c == c)
			return glyphs[i].rows;
	return ".........................";
}

/* Nothing where the screen is too narrow. */
static void add_large(struct lt_text *out, const struct live_screen *screen, const char *text)
{
	enum { SIZE = 5, INDENT = 4 };
	if (INDENT + strlen(text) * (SIZE + 1) > columns_of(screen))
		return;
	for (size_t row = 0; row < SIZE; row++) {
		bool ink = false;
		lt_text_add_times(out, ' ', INDENT);
		for (const char *c = text; *c != '\0'; c++)
			for (size_t i = 0; i <= SIZE; i++) {
				const bool dot = i < SIZE && large_glyph(*c)[row * SIZE + i] == '#';
				if (dot != ink)
					lt_text_add(out, dot ? "\033[7m" : "\033[0m");
				ink = dot;
				lt_text_add_char(out, ' ');
			}
		lt_text_add_char(out, '\n');
	}
}

static void add_progress(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_item *item, const struct lt_live_view *view)
{
	enum { MOST = 30, BESIDE = 18 };
	const size_t room = columns_of(screen) - BESIDE;
	const size_t width = room < MOST ? room : MOST;
	const size_t filled = view->needed == 0 ? width : view->made * width / view->needed;
	lt_text_printf(out, "%s [", lt_text_string(&item->text));
	lt_text_add_times(out, '#', filled);
	lt_text_add_times(out, '.', width - filled);
	lt_text_add(out, "]\n");
}

/* The whole. */

static void draw_item(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_view *view, size_t index, enum tightness tightness)
{
	const struct lt_live_item *item = &view->items[index];
	const enum tightness left_out = kinds[item->kind].left_out;
	if (left_out != TIGHT_NOT && tightness >= left_out)
		return;
	switch (item->kind) {
	case LT_LIVE_PAGE:
	case LT_LIVE_SCREEN:
		lt_text_add(out, screen->terminal ? "\033[H\033[2J" : "");
		break;
	case LT_LIVE_GAP:
		lt_text_add_char(out, '\n');
		break;
	case LT_LIVE_VERDICT:
		if (screen->terminal) {
			add_large(out, screen, item->label);
			lt_text_printf(out, "    %s\033[7m  %s  \033[0m\n",
				style_on(screen, item->style), lt_text_string(&item->text));
		}
		break;
	case LT_LIVE_TAGS:
		if (screen->terminal)
			add_large(out, screen, lt_text_string(&item->text));
		break;
	case LT_LIVE_PROGRESS:
		add_progress(out, screen, item, view);
		break;
	default:
		add_item(out, screen, item, tightness);
	}
}

/* Draws what is to be seen at one glance; of wrong mates only some. */
static void draw_glance(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_view *view, size_t from, size_t to, enum tightness tightness)
{
	const size_t most = tightness >= TIGHT_BARE ? 1 : 4;
	size_t wrong = 0, shown = 0;
	for (size_t i = from; i < to; i++)
		wrong += view->items[i].kind == LT_LIVE_WRONG_MATE;
	for (size_t i = from; i < to; i++) {
		const bool is_wrong = view->items[i].kind == LT_LIVE_WRONG_MATE;
		shown += is_wrong;
		if (is_wrong && shown > most)
			continue;
		draw_item(out, screen, view, i, tightness);
		if (!is_wrong || shown < most || wrong == most)
			continue;
		struct lt_live_item more = { .kind = LT_LIVE_SAID, .style = LT_LIVE_WRONG };
		lt_words_more_wrong(&more.text, wrong - most);
		add_item(out, screen, &more, tightness);
		lt_text_finish(&more.text);
	}
}

static size_t line_count(const struct lt_text *text)
{
	size_t count = 0;
	for (size_t i = 0; i < text->length; i++)
		count += text->bytes[i] == '\n';
	return count;
}

/* The question, wrapped, with the place behind it where the answer is typed. */
static void add_prompt(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_view *view)
{
	static const char sign[] = " > ";
	struct lt_text wrapped = { 0 };
	lt_text_wrap(&wrapped, view->prompt, columns_of(screen) - sizeof(sign), 0);
	size_t length = wrapped.length;
	while (length > 0 && wrapped.bytes[length - 1] == '\n')
		length--;
	lt_text_add_bytes(out, lt_text_string(&wrapped), length);
	lt_text_add(out, sign);
	lt_text_finish(&wrapped);
}

static size_t prompt_lines(const struct live_screen *screen, const struct lt_live_view *view)
{
	struct lt_text prompt = { 0 };
	add_prompt(&prompt, screen, view);
	const size_t lines = line_count(&prompt) + 1;
	lt_text_finish(&prompt);
	return lines;
}

/* As much as there is room for above the question. */
static void draw_to_fit(struct lt_text *out, const struct live_screen *screen,
	const struct lt_live_view *view, size_t from, size_t to)
{
	struct lt_text body = { 0 };
	for (int step = TIGHT_NOT; step < TIGHT_STEPS; step++) {
		lt_text_clear(&body);
		draw_glance(&body, screen, view, from, to, (enum tightness)step);
		if (!screen->terminal ||
			line_count(&body) + prompt_lines(screen, view) <= rows_of(screen))
			break;
	}
	lt_text_add_bytes(out, lt_text_string(&body), body.length);
	lt_text_finish(&body);
}

void lt_live_screen_show(struct live_screen *screen, const struct lt_live_view *view)
{
	struct lt_text out = { 0 };
	const size_t start = screen->drawn > view->first ? screen->drawn - view->first : 0;
	const bool clears = start < view->count && view->items[start].kind <= LT_LIVE_SCREEN;
	size_t next;
	for (size_t i = start; i < view->count; i = next) {
		next = i + 1;
		draw_item(&out, screen, view, i, TIGHT_NOT);
		if (view->items[i].kind != LT_LIVE_SCREEN)
			continue;
		while (next < view->count && view->items[next].kind != LT_LIVE_PAGE &&
			view->items[next].kind != LT_LIVE_SCREEN)
			next++;
		draw_to_fit(&out, screen, view, i + 1, next);
	}
	screen->drawn = view->first + view->count;
	if (clears)
		screen->asking = false;
	else if (out.length > 0)
		lt_live_screen_end_line(screen);
	lt_text_add(&out, screen->terminal && view->rings ? "\a" : "");
	fwrite(lt_text_string(&out), 1, out.length, screen->out);
	fflush(screen->out);
	lt_text_finish(&out);
}

void lt_live_screen_end_line(struct live_screen *screen)
{
	if (screen->asking)
		fputc('\n', screen->out);
	screen->asking = false;
	fflush(screen->out);
}

void lt_live_screen_ask(struct live_screen *screen, const struct lt_live_view *view)
{
	lt_live_screen_end_line(screen);
	screen->asking = screen->terminal && view->prompt[0] != '\0';
	/* Who reads what a pipe said sees what was confirmed. */
	struct lt_text prompt = { 0 };
	if (screen->asking)
		add_prompt(&prompt, screen, view);
	else if (view->asks == LT_LIVE_ASKS_HAZARD)
		lt_text_printf(&prompt, "%s\n", view->prompt);
	fputs(lt_text_string(&prompt), screen->out);
	fflush(screen->out);
	lt_text_finish(&prompt);
}
