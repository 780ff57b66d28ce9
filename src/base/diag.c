/* Diagnostics: errors, warnings and notes with their places, kept, sorted and shown. */
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"

struct lt_source {
	struct lt_source *next;
	const char *file;
	const char *bytes;
	size_t length;
};

void lt_diags_init(struct lt_diags *diags)
{
	*diags = (struct lt_diags){ 0 };
}

void lt_diags_finish(struct lt_diags *diags)
{
	if (diags == NULL)
		return;
	free(diags->items);
	lt_arena_finish(&diags->arena);
	*diags = (struct lt_diags){ 0 };
}

void lt_diags_source(struct lt_diags *diags, const char *file, const char *bytes, size_t length)
{
	struct lt_source *source = lt_arena_alloc(&diags->arena, sizeof(*source));
	source->file = lt_arena_shown(&diags->arena, file);
	source->bytes = lt_arena_copy(&diags->arena, bytes, length);
	source->length = length;
	source->next = diags->sources;
	diags->sources = source;
}

__attribute__((format(printf, 4, 0))) static void add(struct lt_diags *diags,
	enum lt_severity severity, struct lt_place place, const char *format, va_list arguments)
{
	if (severity == LT_ERROR)
		diags->errors++;
	if (severity == LT_WARNING)
		diags->warnings++;
	size_t kept_errors = diags->kept_errors;
	diags->last_left_out = severity == LT_ERROR ? kept_errors >= LT_DIAGS_MAX
						    : diags->count - kept_errors >= LT_DIAGS_MAX;
	if (diags->last_left_out) {
		diags->left_out++;
		return;
	}
	if (severity == LT_ERROR)
		diags->kept_errors++;
	char message[4096];
	vsnprintf(message, sizeof(message), format, arguments);
	diags->items = lt_grow(diags->items, &diags->room, diags->count + 1, sizeof(*diags->items));
	struct lt_diag *diag = &diags->items[diags->count++];
	diag->severity = severity;
	diag->place = place;
	diag->place.file = lt_arena_shown(&diags->arena, place.file);
	diag->message = lt_arena_shown(&diags->arena, message);
	diag->hint = NULL;
}

void lt_error(struct lt_diags *diags, struct lt_place place, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	add(diags, LT_ERROR, place, format, arguments);
	va_end(arguments);
}

void lt_warning(struct lt_diags *diags, struct lt_place place, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	add(diags, LT_WARNING, place, format, arguments);
	va_end(arguments);
}

void lt_note(struct lt_diags *diags, struct lt_place place, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	add(diags, LT_NOTE, place, format, arguments);
	va_end(arguments);
}

void lt_hint(struct lt_diags *diags, const char *format, ...)
{
	if (diags->count == 0 || diags->last_left_out)
		return;
	char hint[4096];
	va_list arguments;
	va_start(arguments, format);
	vsnprintf(hint, sizeof(hint), format, arguments);
	va_end(arguments);
	diags->items[diags->count - 1].hint = lt_arena_shown(&diags->arena, hint);
}

struct lt_place lt_place_file(const char *file)
{
	return (struct lt_place){ .file = file };
}

struct lt_place lt_place_none(void)
{
	return (struct lt_place){ 0 };
}

const char *lt_severity_name(enum lt_severity severity)
{
	static const char *const names[] = { "note", "warning", "error" };
	return names[severity];
}

static int compare_places(const struct lt_place *a, const struct lt_place *b)
{
	int order = strcmp(a->file != NULL ? a->file : "", b->file != NULL ? b->file : "");
	if (order == 0)
		order = (a->line > b->line) - (a->line < b->line);
	return order != 0 ? order : (a->column > b->column) - (a->column < b->column);
}

void lt_diags_sort(struct lt_diags *diags)
{
	/* Insertion keeps equals in order; there are at most LT_DIAGS_MAX, mostly sorted. */
	for (size_t i = 1; i < diags->count; i++) {
		struct lt_diag diag = diags->items[i];
		size_t at = i;
		while (at > 0 && compare_places(&diags->items[at - 1].place, &diag.place) > 0) {
			diags->items[at] = diags->items[at - 1];
			at--;
		}
		diags->items[at] = diag;
	}
}

static const struct lt_source *find_source(const struct lt_diags *diags, const char *file)
{
	for (const struct lt_source *source = diags->sources; source != NULL && file != NULL;
		source = source->next) {
		if (strcmp(source->file, file) == 0)
			return source;
	}
	return NULL;
}

/* A place in a source, from which a later one is found: printing in order is linear, however long
 * the lines are. */
struct finder {
	const struct lt_source *source;
	unsigned line;
	unsigned column;
	size_t at; /* its offset */
};

static bool find_line(struct finder *finder, const struct lt_source *source, unsigned number)
{
	if (finder->source != source || finder->line > number)
		*finder = (struct finder){ .source = source, .line = 1, .column = 1 };
	while (finder->line < number) {
		const char *end =
			memchr(source->bytes + finder->at, '\n', source->length - finder->at);
		if (end == NULL)
			return false;
		finder->at = (size_t)(end - source->bytes) + 1;
		finder->line++;
		finder->column = 1;
	}
	return true;
}

/* Takes a character of the line; false at its end. */
static bool take(uint32_t *code, const struct lt_source *source, size_t *at)
{
	const size_t left = source->length - *at;
	if (left == 0)
		return false;
	const char *bytes = source->bytes + *at;
	if (bytes[0] == '\n' || (bytes[0] == '\r' && (left == 1 || bytes[1] == '\n')))
		return false;
	*at += lt_utf8_take(code, bytes, left);
	return true;
}

/* Goes to a column of the line, or to the line's end where it has fewer. */
static void find_column(struct finder *finder, unsigned column)
{
	if (finder->column > column) {
		while (finder->at > 0 && finder->source->bytes[finder->at - 1] != '\n')
			finder->at--;
		finder->column = 1;
	}
	uint32_t code;
	while (finder->column < column && take(&code, finder->source, &finder->at))
		finder->column++;
}

/* A window of a long line that has the column in it. */
enum { SHOWN_BEFORE = 60, SHOWN_BEHIND = 60 };

static void print_source_line(FILE *out, struct finder *finder, unsigned column, bool colour)
{
	find_column(finder, column > SHOWN_BEFORE ? column - SHOWN_BEFORE : 1);
	struct lt_text shown = { 0 };
	size_t indent = 0;
	size_t at = finder->at;
	unsigned reached = finder->column;
	for (uint32_t code; reached < column + SHOWN_BEHIND && take(&code, finder->source, &at);
		reached++) {
		char one[5] = { 0 };
		lt_text_add_bytes(&shown, one, lt_utf8_put(one, lt_text_shown(code)));
		if (reached < column)
			indent += lt_utf8_columns(one);
	}
	/* A line that goes on is seen to. */
	fprintf(out, "  %s%s\n", lt_text_string(&shown),
		reached >= column + SHOWN_BEHIND ? "…" : "");
	fprintf(out, "  %*s%s^%s\n", (int)indent, "", colour ? "\033[1;32m" : "",
		colour ? "\033[0m" : "");
	lt_text_finish(&shown);
}

static void print_place(FILE *out, const struct lt_place *place, bool colour)
{
	fprintf(out, "%s%s:", colour ? "\033[1m" : "",
		place->file != NULL ? place->file : "loomtag");
	if (place->line > 0)
		fprintf(out, "%u:", place->line);
	if (place->line > 0 && place->column > 0)
		fprintf(out, "%u:", place->column);
	fprintf(out, " %s", colour ? "\033[0m" : "");
}

void lt_diags_print(const struct lt_diags *diags, size_t from, FILE *out, bool colour)
{
	static const char *const colours[] = { "\033[1;36m", "\033[1;35m", "\033[1;31m" };
	struct finder finder = { 0 };
	for (size_t i = from; i < diags->count; i++) {
		const struct lt_diag *diag = &diags->items[i];
		print_place(out, &diag->place, colour);
		fprintf(out, "%s%s:%s %s\n", colour ? colours[diag->severity] : "",
			lt_severity_name(diag->severity), colour ? "\033[0m" : "", diag->message);
		const struct lt_source *source =
			diag->place.line > 0 ? find_source(diags, diag->place.file) : NULL;
		if (source != NULL && diag->place.column > 0 &&
			find_line(&finder, source, diag->place.line))
			print_source_line(out, &finder, diag->place.column, colour);
		if (diag->hint != NULL)
			fprintf(out, "  hint: %s\n", diag->hint);
	}
	if (diags->left_out > 0)
		fprintf(out,
			lt_plural(diags->left_out, "loomtag: note: %zu more message is not shown\n",
				"loomtag: note: %zu more messages are not shown\n"),
			diags->left_out);
}
