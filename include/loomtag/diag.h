/* Diagnostics: what is wrong, where, and what to do, as a compiler says it. */
#ifndef LOOMTAG_DIAG_H
#define LOOMTAG_DIAG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "loomtag/memory.h"

enum lt_severity { LT_NOTE, LT_WARNING, LT_ERROR };

/* A place in a file. Lines and columns count from 1; 0 means that there is none. Columns count
 * characters (code points). `file` may be NULL. The strings are not owned. */
struct lt_place {
	const char *file;
	unsigned line;
	unsigned column;
};

struct lt_diag {
	enum lt_severity severity;
	struct lt_place place;
	const char *message;
	const char *hint; /* or NULL */
};

struct lt_source;

/* What was found, in order of the finding. Owns all its text. At most LT_DIAGS_MAX errors and as
 * many others are kept, the rest is counted: no error is lost among warnings. A zeroed struct is
 * empty. */
#define LT_DIAGS_MAX 1000
struct lt_diags {
	struct lt_arena arena;
	struct lt_diag *items;
	size_t count;
	size_t room;
	size_t errors; /* all of them, kept or not */
	size_t warnings;
	size_t left_out; /* not kept */
	size_t kept_errors;
	bool last_left_out;
	struct lt_source *sources;
};

void lt_diags_init(struct lt_diags *diags);
void lt_diags_finish(struct lt_diags *diags);

/* Lets printed diagnostics show lines of this file. Both are copied. */
void lt_diags_source(struct lt_diags *diags, const char *file, const char *bytes, size_t length);

/* Each adds one diagnostic. Text is copied, each character as lt_text_shown has it, so that input
 * cannot drive a terminal. The message has no full stop at its end. */
void lt_error(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void lt_warning(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void lt_note(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

/* Adds "hint: …" to the diagnostic added last. */
void lt_hint(struct lt_diags *diags, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A place that names a file and no line. */
struct lt_place lt_place_file(const char *file);

/* No place at all. */
struct lt_place lt_place_none(void);

/* Orders by file, line and column, keeping the order of the finding among equals. */
void lt_diags_sort(struct lt_diags *diags);

/* Prints all from index `from` on: place, severity and message, the source line with a caret, the
 * hint; then how many were left out. Colour only where `colour`. */
void lt_diags_print(const struct lt_diags *diags, size_t from, FILE *out, bool colour);

/* "error", "warning", "note". */
const char *lt_severity_name(enum lt_severity severity);

#endif
