/* Text on the live screen: paragraphs that keep to its width, and where they go. */
#include <stdarg.h>
#include <string.h>
#include <sys/ioctl.h>

#include "cli/live_screen.h"

static void ask_terminal(const struct lt_live *live, size_t *columns, size_t *rows)
{
	struct winsize size = { 0 };
	const int fd = fileno(live->out);
	*columns = 80;
	*rows = 24;
	if (fd < 0 || ioctl(fd, TIOCGWINSZ, &size) != 0)
		return;
	if (size.ws_col > 0)
		*columns = size.ws_col;
	if (size.ws_row > 0)
		*rows = size.ws_row;
}

size_t lt_live_columns(const struct lt_live *live)
{
	enum { LEAST = 20 };
	size_t columns = live->options.columns, rows;
	if (columns == 0)
		ask_terminal(live, &columns, &rows);
	return columns < LEAST ? LEAST : columns;
}

size_t lt_live_rows(const struct lt_live *live)
{
	size_t columns, rows = live->options.rows;
	if (rows == 0)
		ask_terminal(live, &columns, &rows);
	return rows;
}

static const char *style_on(const struct lt_live *live, enum live_style style)
{
	static const char *const coloured[] = { "", "\033[1m", "\033[1;32m", "\033[1;33m",
		"\033[1;31m" };
	if (!live->options.terminal || style == LIVE_PLAIN)
		return "";
	return live->options.colour ? coloured[style] : coloured[LIVE_STRONG];
}

static const char *style_off(const struct lt_live *live, enum live_style style)
{
	return live->options.terminal && style != LIVE_PLAIN ? "\033[0m" : "";
}

void lt_live_add(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *label, const char *text, size_t lines)
{
	enum { DOTS = 4 }; /* " ..." has room behind every line */
	struct lt_text clean = { 0 }, wrapped = { 0 };
	const size_t indent = lt_utf8_columns(label);
	/* The label's place is held by something that is not broken at spaces. */
	lt_text_add_times(&clean, 'x', indent);
	lt_text_add_clean(&clean, text, strlen(text));
	lt_text_wrap(&wrapped, lt_text_string(&clean), lt_live_columns(live) - DOTS, indent);

	const char *at = lt_text_string(&wrapped);
	for (size_t line = 1; *at != '\0'; line++) {
		const char *end = strchr(at, '\n');
		const bool last = line == lines && end[1] != '\0';
		lt_text_add(out, style_on(live, style));
		if (line == 1) {
			lt_text_add(out, label);
			at += indent;
		}
		lt_text_add_bytes(out, at, (size_t)(end - at));
		lt_text_add(out, last ? " ..." : "");
		lt_text_add(out, style_off(live, style));
		lt_text_add_char(out, '\n');
		if (last)
			break;
		at = end + 1;
	}
	lt_text_finish(&wrapped);
	lt_text_finish(&clean);
}

void lt_live_add_word(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *word)
{
	lt_text_printf(out, "    %s\033[7m  %s  \033[0m\n", style_on(live, style), word);
}

void lt_live_addf(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *label, const char *format, ...)
{
	struct lt_arena arena = { 0 };
	va_list arguments, again;
	va_start(arguments, format);
	va_copy(again, arguments);
	const int length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	const size_t size = (length > 0 ? (size_t)length : 0) + 1;
	char *text = lt_arena_alloc(&arena, size);
	vsnprintf(text, size, format, again);
	va_end(again);
	lt_live_add(out, live, style, label, text, 0);
	lt_arena_finish(&arena);
}

void lt_live_clear(struct lt_text *out, const struct lt_live *live)
{
	if (live->options.terminal)
		lt_text_add(out, "\033[H\033[2J");
}

void lt_live_show(const struct lt_live *live, struct lt_text *text)
{
	fwrite(lt_text_string(text), 1, text->length, live->out);
	fflush(live->out);
	lt_text_clear(text);
}
