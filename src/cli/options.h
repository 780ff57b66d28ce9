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

/* One bit an option; a command's row says which it takes. */
enum {
	TAKES_OUTPUT = 1 << 0,
	TAKES_LAYOUT = 1 << 1,
	TAKES_PAYLOAD = 1 << 2,
	TAKES_BASE = 1 << 3,
	TAKES_UNIT = 1 << 4,
	TAKES_DPI = 1 << 5,
	TAKES_ONLY = 1 << 6,
	TAKES_START = 1 << 7,
	TAKES_NUDGE = 1 << 8,
	TAKES_JSON = 1 << 9,
	TAKES_STAGE = 1 << 10,
	TAKES_TYPED = 1 << 11,
	TAKES_PAPER = 1 << 12,
	TAKES_ALWAYS = 1 << 13, /* --quiet, --color, --help, --version */
	TAKES_CHECK = 1 << 14,
	TAKES_STOCK = 1 << 15, /* --layout-h, --layout-m, --stock */
	TAKES_USED = 1 << 16,
	TAKES_SCALE = 1 << 17,
	TAKES_DISTANCE = 1 << 18,
	TAKES_EXPLAIN = 1 << 19,
	TAKES_PRINTER = 1 << 20,
	TAKES_SMALLEST = 1 << 21,
	TAKES_TO = 1 << 22,    /* --to, --user, --any-certificate */
	TAKES_PRINT = 1 << 23, /* --dry-run, --resume, --from, --anew, --ladder */
	TAKES_COPIES = 1 << 24,
	TAKES_PHOTOS = 1 << 25,
	TAKES_JOB = 1 << 26,     /* --db, --who */
	TAKES_MAP = 1 << 27,     /* --landscape, --portrait, --pages */
	TAKES_LIVE = 1 << 28,    /* --new, --no-job, --device */
	TAKES_RECORD = 1 << 29,  /* --db, --job */
	TAKES_CHANGED = 1 << 30, /* --changed */
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

/* Writes the lines of --help for the options in `takes`, to stdout. */
void lt_options_help(unsigned takes);

/* Says on stderr what is wrong with the command line and how to get help; returns EXIT_USAGE. */
int lt_usage_error(const char *command, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* True where output goes into a file, and not onto the terminal ("-") or nowhere (NULL). */
bool lt_is_file(const char *path);

#endif
