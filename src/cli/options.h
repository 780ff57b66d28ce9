/* What stands on the command line: reading it, and which commands have which options. */
#ifndef LOOMTAG_CLI_OPTIONS_H
#define LOOMTAG_CLI_OPTIONS_H

#include <stdbool.h>

#include "loomtag/cli.h"

/* Exit codes. Shops script against them. */
enum {
	EXIT_YES = 0, /* done, and the answer is yes */
	EXIT_NO = 1,  /* the answer is no */
	EXIT_USAGE = 2,
	EXIT_INPUT = 3,  /* the input could not be read or has errors */
	EXIT_SYSTEM = 4, /* output, printer or system failure */
};

/* One bit a command, and sets of commands that share options. */
enum {
	FOR_QUICK = 1 << 0,
	FOR_CHECK = 1 << 1,
	FOR_TAGS = 1 << 2,
	FOR_STICKERS = 1 << 3,
	FOR_MAP = 1 << 4,
	FOR_CHECKLIST = 1 << 5,
	FOR_VERIFY = 1 << 6,
	FOR_JOBS = 1 << 7,
	FOR_RECORD = 1 << 8,
	FOR_PRINT = 1 << 9,
	FOR_LAYOUTS = 1 << 10,
	FOR_PRINTERS = 1 << 11,
	FOR_RULER = 1 << 12,
	FOR_HELP = 1 << 13,
	FOR_VERSION = 1 << 14,
	FOR_NEW = 1 << 15,
	FOR_ALL = -1,
	FOR_WORK = ~(FOR_HELP | FOR_VERSION), /* what is more than a word about the program */
	FOR_LABELS = FOR_QUICK | FOR_STICKERS | FOR_PRINT,
	FOR_PAPERS = FOR_QUICK | FOR_MAP | FOR_CHECKLIST | FOR_RECORD,
	FOR_UNITS = FOR_CHECK | FOR_TAGS | FOR_STICKERS | FOR_MAP | FOR_CHECKLIST | FOR_VERIFY |
		    FOR_JOBS | FOR_RECORD | FOR_PRINT,
};

/* Every option's value; NULL or false where it was not given. */
struct options {
	const char *command; /* its name, for hints */
	const char *output, *layout, *payload, *base, *unit, *dpi, *only, *start, *nudge, *stage,
		*paper, *color, *layout_h, *layout_m, *stock, *used, *scale, *distance, *printer,
		*smallest, *to, *user, *from, *copies, *db, *who, *device, *job, *pages;
	bool new_job, no_job, changed, photos, any_certificate, dry_run, resume, ladder, anew,
		new_stickers, print, check, explain, json, typed, quiet, landscape, portrait, help,
		version;
	char **arguments; /* what is not an option, NULL-terminated */
	int argument_count;
	bool colour_out; /* stdout and stderr may be coloured */
	bool colour_err;
};

/* Reads the options of a command and its arguments (argv[0] is its name). Returns the exit code;
 * EXIT_USAGE after an error on stderr. */
int lt_options_read(struct options *out, const struct lt_command *command, int argc, char **argv);

/* Prints on stderr what is wrong with the command line and which help to read; returns EXIT_USAGE.
 * `command` is NULL where it is none's. */
int lt_usage_error(const char *command, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* The same with a question in place of the hint at help: "did you mean MEANT?". */
int lt_usage_error_near(const char *meant, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* True where output goes into a file, and not onto the terminal ("-") or nowhere (NULL). */
bool lt_is_file(const char *path);

#endif
