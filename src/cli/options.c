/* The options of all commands: reading them, and --help. */
#include <getopt.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/options.h"
#include "loomtag/page.h"

/* One option: where its value goes in struct options. */
struct row {
	const char *name;
	char letter;       /* short form, or 0 */
	const char *value; /* what --help calls its value; NULL for a switch */
	size_t offset;
	int taken_by;
	const char *help; /* NULL: the sizes of paper, from their table */
};

static const struct row rows[] = {
	{ "output", 'o', "OUT", offsetof(struct options, output),
		FOR_LABELS | FOR_MAP | FOR_CHECKLIST | FOR_RECORD | FOR_LAYOUTS | FOR_RULER,
		"where to write; the ending says what" },
	{ "layout", 0, "NAME", offsetof(struct options, layout), FOR_LABELS,
		"label layout, or the path of one (see loomtag layouts)" },
	{ "layout-h", 0, "NAME", offsetof(struct options, layout_h), FOR_QUICK | FOR_STICKERS,
		"layout of the harness half's stickers, in a file of their own" },
	{ "layout-m", 0, "NAME", offsetof(struct options, layout_m), FOR_QUICK | FOR_STICKERS,
		"layout of the machine half's stickers, likewise" },
	{ "stock", 0, "A,B,...", offsetof(struct options, stock), FOR_QUICK | FOR_STICKERS,
		"the layouts at hand, among which layout auto chooses for each sticker" },
	{ "payload", 0, "KIND", offsetof(struct options, payload), FOR_LABELS,
		"what the QR codes hold: auto, link, facts, code" },
	{ "base", 0, "URL", offsetof(struct options, base), FOR_LABELS | FOR_CHECK | FOR_MAP,
		"where links point to, instead of the description's base" },
	{ "unit", 0, "DIGITS", offsetof(struct options, unit), FOR_UNITS,
		"which unit this is, instead of the description's" },
	{ "dpi", 0, "N", offsetof(struct options, dpi),
		FOR_STICKERS | FOR_MAP | FOR_LAYOUTS | FOR_RULER,
		"dots per inch of PNG output (default: the layout's, or 300; of a map 200)" },
	{ "only", 0, "LIST", offsetof(struct options, only), FOR_STICKERS | FOR_PRINT,
		"only these stickers, such as 3,7-9,12M" },
	{ "start", 0, "N", offsetof(struct options, start), FOR_LABELS,
		"first free label of a used sheet, from 1" },
	{ "used", 0, "LIST", offsetof(struct options, used), FOR_LABELS,
		"labels of a used sheet that are gone, such as 1-5,9" },
	{ "nudge", 0, "X,Y", offsetof(struct options, nudge), FOR_LABELS | FOR_RULER,
		"move everything by X to the right and Y down, in mm" },
	{ "scale", 0, "X,Y", offsetof(struct options, scale), FOR_LABELS | FOR_RULER,
		"factors for the positions of a sheet's labels, such as 1.004,0.998" },
	{ "printer", 0, "NAME", offsetof(struct options, printer), FOR_LABELS | FOR_RULER,
		"remember --nudge, --scale and --smallest for this printer, or use what is remembered" },
	{ "smallest", 0, "N", offsetof(struct options, smallest), FOR_STICKERS | FOR_PRINT,
		"fewest dots a module that your scanner reads off it, 2 to 8 (see print --ladder)" },
	{ "to", 0, "PRINTER", offsetof(struct options, to), FOR_PRINT,
		"a print queue, a printer on the network by its name, or its ipp or ipps URI" },
	{ "user", 0, "NAME", offsetof(struct options, user), FOR_PRINT,
		"user name at the printer; the password is asked for, or LOOMTAG_PASSWORD" },
	{ "any-certificate", 0, NULL, offsetof(struct options, any_certificate), FOR_PRINT,
		"do not check the certificate of an ipps printer" },
	{ "copies", 0, "N", offsetof(struct options, copies), FOR_STICKERS | FOR_PRINT,
		"so many of each number's stickers, one set after the other" },
	{ "dry-run", 0, NULL, offsetof(struct options, dry_run), FOR_PRINT,
		"say what would be sent, and send nothing" },
	{ "resume", 0, NULL, offsetof(struct options, resume), FOR_PRINT,
		"print what is left of a print that was not finished" },
	{ "from", 0, "TAG", offsetof(struct options, from), FOR_PRINT,
		"with --resume: the first sticker to print, such as 12M" },
	{ "anew", 0, NULL, offsetof(struct options, anew), FOR_PRINT,
		"forget a print that was not finished, and print what is asked for now" },
	{ "ladder", 0, NULL, offsetof(struct options, ladder), FOR_PRINT,
		"print codes and texts from large to small, to find what still reads" },
	{ "distance", 0, "MM", offsetof(struct options, distance), FOR_LABELS,
		"from how far the numbers are read (default 500)" },
	{ "explain", 0, NULL, offsetof(struct options, explain), FOR_STICKERS,
		"print the figures behind each sticker; -o may be left out then" },
	{ "stage", 0, "STAGE", offsetof(struct options, stage), FOR_VERIFY,
		"tag (all still plugged in), unplug, swap, reconnect or finish; a first job at a terminal "
		"begins with tag, all else with reconnect" },
	{ "typed", 0, NULL, offsetof(struct options, typed), FOR_VERIFY,
		"let tags typed by hand count for every joint" },
	{ "photos", 0, NULL, offsetof(struct options, photos), FOR_VERIFY,
		"the files behind FILE are pictures, JPEG or PNG, each of one joint" },
	{ "new", 0, NULL, offsetof(struct options, new_job), FOR_VERIFY,
		"begin another job, and close an open one of this unit as not finished" },
	{ "changed", 0, NULL, offsetof(struct options, changed), FOR_VERIFY,
		"go on though the description has changed; what no longer counts is asked for again" },
	{ "no-job", 0, NULL, offsetof(struct options, no_job), FOR_VERIFY, "keep nothing of this" },
	{ "device", 0, "PATH", offsetof(struct options, device), FOR_VERIFY,
		"a serial scanner, beside the keyboard" },
	{ "paper", 0, "SIZE", offsetof(struct options, paper), FOR_PAPERS, NULL },
	{ "landscape", 0, NULL, offsetof(struct options, landscape), FOR_MAP,
		"wide pages (default)" },
	{ "portrait", 0, NULL, offsetof(struct options, portrait), FOR_MAP, "high pages" },
	{ "pages", 0, "DIR", offsetof(struct options, pages), FOR_MAP,
		"write the map as web pages into this folder, a page a tag" },
	{ "db", 0, "PATH", offsetof(struct options, db), FOR_VERIFY | FOR_JOBS | FOR_RECORD,
		"database of jobs (default: bench.db beside the description, or here)" },
	{ "who", 0, "NAME", offsetof(struct options, who), FOR_VERIFY | FOR_JOBS,
		"who works, for the record (default: asked for, else the user that is logged in)" },
	{ "job", 0, "N", offsetof(struct options, job), FOR_VERIFY | FOR_RECORD,
		"the job's number, as loomtag jobs lists it (default: the open one; of a record the newest)" },
	{ "json", 0, NULL, offsetof(struct options, json),
		FOR_CHECK | FOR_TAGS | FOR_STICKERS | FOR_VERIFY | FOR_JOBS | FOR_RECORD |
			FOR_LAYOUTS | FOR_PRINTERS,
		"one JSON document on standard output" },
	{ "check", 0, NULL, offsetof(struct options, check), FOR_LAYOUTS,
		"find the faults of layouts of your own" },
	{ "quiet", 'q', NULL, offsetof(struct options, quiet), FOR_ALL,
		"say nothing but warnings and errors" },
	{ "color", 0, "WHEN", offsetof(struct options, color), FOR_ALL,
		"auto (default), always or never; NO_COLOR is respected" },
	{ "help", 'h', NULL, offsetof(struct options, help), FOR_ALL, "show this" },
	{ "version", 0, NULL, offsetof(struct options, version), FOR_ALL, "show the version" },
};
enum { ROWS = sizeof(rows) / sizeof(rows[0]) };

int lt_usage_error(const char *command, const char *format, ...)
{
	fputs("loomtag: error: ", stderr);
	va_list arguments;
	va_start(arguments, format);
	char message[1024];
	vsnprintf(message, sizeof(message), format, arguments);
	va_end(arguments);
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, message, strlen(message));
	fputs(lt_text_string(&clean), stderr);
	lt_text_finish(&clean);
	fprintf(stderr, "\n  hint: loomtag %s%s--help tells how\n", command != NULL ? command : "",
		command != NULL ? " " : "");
	return EXIT_USAGE;
}

bool lt_is_file(const char *path)
{
	return path != NULL && strcmp(path, "-") != 0;
}

static int unknown_option(const struct command *command, const char *argument)
{
	if (argument[0] != '-' || argument[1] != '-')
		return lt_usage_error(command->name, "%s: unknown option \"%s\"", command->name,
			argument);
	char name[64];
	snprintf(name, sizeof(name), "%s", argument + 2);
	name[strcspn(name, "=")] = '\0';
	const char *names[ROWS];
	for (int i = 0; i < ROWS; i++) {
		names[i] = rows[i].name;
		if (strcmp(name, rows[i].name) == 0)
			return lt_usage_error(command->name, "--%s means nothing to loomtag %s",
				name, command->name);
	}
	int near = lt_nearest(name, names, ROWS);
	if (near >= 0)
		return lt_usage_error(command->name, "unknown option --%s; did you mean --%s?",
			name, names[near]);
	return lt_usage_error(command->name, "unknown option --%s", name);
}

static int set_value(struct options *options, const struct row *row, const struct command *command)
{
	void *field = (char *)options + row->offset;
	if (row->value == NULL)
		*(bool *)field = true;
	else if (optarg[0] == '\0')
		return lt_usage_error(command->name, "--%s is given nothing", row->name);
	else
		*(const char **)field = optarg;
	return EXIT_YES;
}

/* Whether a stream may be coloured: --color, then NO_COLOR, then whether it is a terminal. */
static bool may_colour(const char *when, int fd)
{
	if (when != NULL && strcmp(when, "auto") != 0)
		return strcmp(when, "always") == 0;
	const char *no_color = getenv("NO_COLOR");
	if (no_color != NULL && no_color[0] != '\0')
		return false;
	const char *term = getenv("TERM");
	return isatty(fd) == 1 && (term == NULL || strcmp(term, "dumb") != 0);
}

int lt_options_read(struct options *out, const struct command *command, int argc, char **argv)
{
	*out = (struct options){ 0 };
	struct option longs[ROWS + 1] = { { 0 } };
	char shorts[2 * ROWS + 2] = ":";
	size_t used = 1;
	int count = 0;
	for (int i = 0; i < ROWS; i++) {
		if ((rows[i].taken_by & command->bit) == 0)
			continue;
		int has_value = rows[i].value != NULL ? required_argument : no_argument;
		longs[count++] = (struct option){ rows[i].name, has_value, NULL, 256 + i };
		if (rows[i].letter != 0) {
			shorts[used++] = rows[i].letter;
			if (has_value == required_argument)
				shorts[used++] = ':';
		}
	}
	shorts[used] = '\0';
	opterr = 0;
	optind = 1;
	int found;
	/* The argument being read is at optind before the call. */
	for (int at = optind; (found = getopt_long(argc, argv, shorts, longs, NULL)) != -1;
		at = optind) {
		if (found == '?')
			return unknown_option(command, argv[optind > at ? optind - 1 : at]);
		if (found == ':')
			return lt_usage_error(command->name, "%s wants a value", argv[optind - 1]);
		int row = found - 256;
		for (int i = 0; found < 256 && i < ROWS; i++) {
			if (rows[i].letter == found)
				row = i;
		}
		if (set_value(out, &rows[row], command) != EXIT_YES)
			return EXIT_USAGE;
	}
	out->arguments = argv + optind;
	out->argument_count = argc - optind;
	if (out->color != NULL && strcmp(out->color, "auto") != 0 &&
		strcmp(out->color, "always") != 0 && strcmp(out->color, "never") != 0)
		return lt_usage_error(command->name, "--color is auto, always or never, not \"%s\"",
			out->color);
	out->colour_out = may_colour(out->color, STDOUT_FILENO);
	out->colour_err = may_colour(out->color, STDERR_FILENO);
	return EXIT_YES;
}

void lt_options_help(const struct command *command)
{
	for (int i = 0; i < ROWS; i++) {
		if ((rows[i].taken_by & command->bit) == 0)
			continue;
		char left[40];
		char letter[8] = "    ";
		if (rows[i].letter != 0)
			snprintf(letter, sizeof(letter), "-%c, ", rows[i].letter);
		snprintf(left, sizeof(left), "%s--%s%s%s", letter, rows[i].name,
			rows[i].value != NULL ? "=" : "",
			rows[i].value != NULL ? rows[i].value : "");
		struct lt_text sizes = { 0 };
		lt_paper_help(&sizes);
		printf("  %-20s  %s\n", left,
			rows[i].help != NULL ? rows[i].help : lt_text_string(&sizes));
		lt_text_finish(&sizes);
	}
}
