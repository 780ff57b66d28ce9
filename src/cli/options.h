/* What stands on the command line: one table of options, and which command takes which. */
#ifndef LOOMTAG_CLI_OPTIONS_H
#define LOOMTAG_CLI_OPTIONS_H

#include <stdbool.h>

/* Exit codes. Shops script against them. */
enum {
	EXIT_YES = 0, /* done, and the answer is yes */
	EXIT_NO = 1,  /* the answer is no */
	EXIT_USAGE = 2,
	EXIT_INPUT = 3,  /* the input could not be read or has errors */
	EXIT_SYSTEM = 4, /* output, printer or system failure */
};

/* One bit a command, and those that make the same things: an option's row says who takes it. */
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
	FOR_ALL = -1,
	FOR_LABELS = FOR_QUICK | FOR_STICKERS | FOR_PRINT,
	FOR_PAPERS = FOR_QUICK | FOR_MAP | FOR_CHECKLIST | FOR_RECORD,
	FOR_UNITS = FOR_CHECK | FOR_TAGS | FOR_STICKERS | FOR_MAP | FOR_CHECKLIST | FOR_VERIFY |
		    FOR_JOBS | FOR_RECORD | FOR_PRINT,
};

/* Every option's value; NULL or false where it was not given. */
struct options {
	const char *output, *layout, *payload, *base, *unit, *dpi, *only, *start, *nudge, *stage,
		*paper, *color, *layout_h, *layout_m, *stock, *used, *scale, *distance, *printer,
		*smallest, *to, *user, *from, *copies, *db, *who, *device, *job, *pages;
	bool new_job, no_job, changed, photos, any_certificate, dry_run, resume, ladder, anew,
		check, explain, json, typed, quiet, landscape, portrait, help, version;
	char **arguments; /* what is not an option, NULL-terminated */
	int argument_count;
	bool colour_out; /* stdout and stderr may be coloured */
	bool colour_err;
};

struct command;

/* Reads the options that `command` takes from its arguments (argv[0] is its name). Returns the
 * exit code after saying on stderr what is wrong. */
int lt_options_read(struct options *out, const struct command *command, int argc, char **argv);

/* Writes the lines of --help for the options of a command, to stdout. */
void lt_options_help(const struct command *command);

/* Says on stderr what is wrong with the command line and how to get help; returns EXIT_USAGE. */
int lt_usage_error(const char *command, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* True where output goes into a file, and not onto the terminal ("-") or nowhere (NULL). */
bool lt_is_file(const char *path);

#endif
