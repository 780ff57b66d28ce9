/* What standard output is: how wide, and what may be shown on it. */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "cli/terminal.h"
#include "loomtag/base.h"

enum { COLUMNS_LEAST = 10, COLUMNS_MOST = 500, COLUMNS_USUAL = 80 };

void lt_print_clean(const char *format, ...)
{
	struct lt_text clean = { 0 };
	va_list arguments, again;
	va_start(arguments, format);
	va_copy(again, arguments);
	const int needed = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	const size_t size = (size_t)(needed > 0 ? needed : 0) + 1;
	char *text = lt_alloc(size);
	text[0] = '\0';
	vsnprintf(text, size, format, again);
	va_end(again);
	size_t length = strlen(text);
	while (length > 0 && text[length - 1] == '\n')
		length--;
	lt_text_add_visible(&clean, text, length);
	lt_text_add(&clean, text + length);
	fputs(lt_text_string(&clean), stdout);
	lt_text_finish(&clean);
	free(text);
}

static void add_escape(struct lt_text *out, uint32_t code)
{
	/* In JSON two UTF-16 units stand for what is beyond 16 bits (RFC 8259, 7). */
	if (code > 0xFFFF)
		lt_text_printf(out, "\\u%04X\\u%04X", 0xD800u + ((code - 0x10000) >> 10),
			0xDC00u + ((code - 0x10000) & 0x3FF));
	else
		lt_text_printf(out, "\\u%04X", (unsigned)code);
}

bool lt_print_json_value(const json_t *value, size_t flags)
{
	char *text = json_dumps(value, flags);
	if (text == NULL)
		return false;
	struct lt_text out = { 0 };
	const char *done = text;
	for (const char *at = text; *at != '\0';) {
		const char *start = at;
		const uint32_t code = lt_utf8_next(&at);
		/* Below stand only line ends between values: JSON escapes the others itself. */
		if (code < 0x7F || lt_text_shown(code) == code)
			continue;
		lt_text_add_bytes(&out, done, (size_t)(start - done));
		add_escape(&out, code);
		done = at;
	}
	lt_text_add(&out, done);
	const bool good = fwrite(lt_text_string(&out), 1, out.length, stdout) == out.length;
	lt_text_finish(&out);
	free(text);
	return good;
}

unsigned lt_terminal_columns(void)
{
	unsigned columns = COLUMNS_USUAL;
	struct winsize size = { 0 };
	const char *given = getenv("COLUMNS");
	if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
		columns = size.ws_col;
	else if (given != NULL && !lt_whole_read(&columns, given, COLUMNS_MOST))
		columns = COLUMNS_USUAL;
	if (columns < COLUMNS_LEAST)
		return COLUMNS_LEAST;
	return columns < COLUMNS_MOST ? columns : COLUMNS_MOST;
}
