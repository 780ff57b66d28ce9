/* The table of commands, with help and version, which run here. A new command is a file
 * cmd_NAME.c, a bit in options.h and a row here. */
#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/help.h"
#include "loomtag/base.h"

static int run_help(const struct options *options);
static int run_version(const struct options *options);

#define DESCRIPTION ".yaml|.yml"

const struct lt_command lt_commands[] = {
	{ "quick", "N\nN --print [PRINTER]", "make blank stickers and a worksheet at once",
		"Makes a new folder with stickers for N joints, a worksheet and a description. The "
		"harness code is new each time, so nobody mixes these stickers with older ones.\n\n"
		"Put the stickers on both halves of every joint before you unplug anything. Write "
		"on the worksheet what each number is. If you complete the description later, "
		"every joint keeps its number.\n\n"
		"If you have no label sheets, add --layout a4-cut or --layout letter-cut: plain "
		"paper to cut out.\n\n"
		"--print also prints the stickers, on the labels that the printer has loaded. If "
		"not all are printed, the exit code is 4, and the PDF has them too.",
		NULL, NULL, 1, 2, FOR_QUICK, lt_run_quick },
	{ "new", "NAME [N]", "write a description to fill in",
		"Writes NAME.yaml, a description of N connectors (6 without N) with comments that "
		"say what to fill in. The harness code is NAME in capitals. A file that exists is "
		"not replaced. Then use loomtag check: it shows what is wrong, and what is still "
		"lacking.",
		NULL, NULL, 1, 2, FOR_NEW, lt_run_new },
	{ "check", "FILE", "check a description, and show the look-alikes",
		"Reads a description and shows everything that is wrong with it. Then shows the "
		"look-alikes: the connectors that would also fit on each other's components. "
		"Writes nothing. The exit code is 1 if the description has errors.",
		DESCRIPTION, NULL, 1, 1, FOR_CHECK, lt_run_check },
	{ "tags", "FILE", "number the joints and list their tags",
		"Gives a number to every joint that has none, and lists the tags. The numbers are "
		"kept in the register, NAME.tags beside the description. A number never moves to "
		"another connector.",
		DESCRIPTION, NULL, 1, 1, FOR_TAGS, lt_run_tags },
	{ "stickers", "FILE -o OUT", "make the stickers for both halves of every joint",
		"Writes the stickers for both halves of every joint: H for the harness half, M "
		"for the machine half. If a component is replaced, its joints have three "
		"stickers: H, X for the old part, and M for the new part. Numbers the joints as "
		"loomtag tags does.\n\n"
		"A .png file holds one page or label. If there are several, they are OUT-01.png, "
		"OUT-02.png and so on. With --layout-h or --layout-m, each half can have its own "
		"layout. If the two layouts differ, each half has its own file: for -o a.pdf, "
		"a-h.pdf and a-m.pdf. With --stock, loomtag chooses a layout for each sticker and "
		"writes a file for each layout.\n\n"
		"Print sheets at actual size, not \"fit to page\". Use -o - to see the stickers "
		"on the terminal first; this writes nothing.",
		DESCRIPTION, NULL, 1, 1, FOR_STICKERS, lt_run_stickers },
	{ "map", "FILE -o OUT\nFILE --pages DIR", "draw the map of the harness for the bench",
		"Draws the harness with all its tags. Shows each connector from the front, what it "
		"mates with, and where it would also fit. The wire list follows, and an index by "
		"number and by place.\n\n"
		"If there are several .png or .svg pages, they are OUT-01.png, OUT-02.png and so "
		"on. With --pages, loomtag writes the map as web pages. Put the folder on a web "
		"server, and the links on the stickers lead to them. -o and --pages can be used "
		"together.",
		DESCRIPTION, NULL, 1, 1, FOR_MAP, lt_run_map },
	{ "checklist", "FILE -o OUT", "write the checklist for unplugging and reconnecting",
		"Writes what to make safe, and the joints in the order of unplugging. The joints "
		"in the order of reconnecting follow, the last checks, and how to restore energy. "
		"There is a box to tick for everything to do.",
		DESCRIPTION, NULL, 1, 1, FOR_CHECKLIST, lt_run_checklist },
	{ "verify", "FILE [SCANS]\nFILE --photos PICTURE...",
		"check the joints by scan, live or from a file",
		"Answers every scan. Without SCANS, scan or type at the terminal. SCANS is a file "
		"with one scan on each line; - is standard input. The exit code is 0 only if the "
		"answer of the stage is yes.\n\n"
		"A scan proves only that two stickers belong together. It does not prove that a "
		"joint is seated, that it is facing the right way, or that its stickers are on "
		"the right halves. Check this yourself.\n\n"
		"At the terminal, loomtag keeps a job in bench.db beside FILE. A job has the "
		"stages tag, unplug, swap, reconnect and finish. Each scan is on disk before "
		"loomtag answers it. After an interruption, run loomtag verify FILE again, "
		"without --new, to continue.\n\n"
		"With --photos, each picture shows one joint with both its stickers. The exit "
		"code is 3 if a picture cannot be read.",
		DESCRIPTION, "FILE|-", 1, INT_MAX, FOR_VERIFY, lt_run_verify },
	{ "jobs", "[FILE]\nshow N\nclose N REASON\nclose N FILE",
		"list the jobs, show one, or close one",
		"A job is one removal and one reconnection of a module. Lists the jobs of the "
		"description FILE, newest first. Without FILE, lists all jobs in bench.db in the "
		"current folder.\n\n"
		"show N lists everything that happened in one job. The exit code is 3 if the job "
		"was changed after it was recorded.\n\n"
		"close N REASON closes a job that is not finished, and keeps the reason. close N "
		"FILE closes a finished job. FILE is its description.",
		"show|close|" DESCRIPTION, DESCRIPTION, 0, INT_MAX, FOR_JOBS, lt_run_jobs },
	{ "record", "FILE -o OUT", "write the record of a job, to sign and keep",
		"Writes what was done in a job and what was not done, by whom and when. The "
		"summary comes first, then the stages, the joints, the wrong mates and the parts "
		"to replace. The checks by eye, the last checks and the hazards follow, and a "
		"place to sign. All events follow. One digest covers them all.\n\n"
		"The exit code is 3 if the job was changed after it was recorded.",
		DESCRIPTION, NULL, 1, 1, FOR_RECORD, lt_run_record },
	{ "print",
		"FILE --to PRINTER\n"
		"FILE --layout NAME -o OUT\n"
		"FILE --resume\n"
		"--ladder --to PRINTER\n"
		"--smallest N --to PRINTER",
		"print the stickers on a label printer",
		"Asks the printer which labels are loaded, and uses the layout that fits them. "
		"Prints the stickers, and waits until all are printed. To cancel the print at the "
		"printer, press Ctrl-C.\n\n"
		"If not all stickers are printed, the exit code is 4. NAME.print beside the "
		"description then lists the stickers that were sent. --resume prints the rest. "
		"Use --from to give the first sticker to print; otherwise loomtag asks.\n\n"
		"--ladder needs no FILE. It prints codes that get smaller and smaller. Scan them. "
		"Then use --smallest to give the dots of the smallest code that your scanner "
		"reads. loomtag remembers this for the printer.",
		DESCRIPTION, NULL, 0, 1, FOR_PRINT, lt_run_print },
	{ "layouts", "[NAME]\n--check FILE...", "list the label layouts, show one, or check yours",
		"Lists the label layouts: name, size, kind, style, dots per inch, bundles, and "
		"labels on a page. With a name or a path, shows all sizes of one layout and draws "
		"it on the terminal. With -o, draws one layout or all layouts at print size.\n\n"
		"--check finds what is wrong or doubtful in layout files. The exit code is 1 if "
		"there are errors.",
		"LAYOUT|" DESCRIPTION, DESCRIPTION, 0, INT_MAX, FOR_LAYOUTS, lt_run_layouts },
	{ "printers", "", "list the printers and the labels that are loaded",
		"Lists the print queues of this computer, and the IPP printers that announce "
		"themselves on the network. Shows the state of each printer, the reason for it, "
		"the loaded labels, the dots per inch, and the formats that it can print.",
		NULL, NULL, 0, 0, FOR_PRINTERS, lt_run_printers },
	{ "ruler", "LAYOUT -o OUT", "draw a page to align a printer",
		"Draws the outlines and centres of all labels, and two bars to measure. Print the "
		"page at actual size, and hold it against the blank labels. The page shows which "
		"--scale and --nudge to use. If you add --printer NAME, loomtag remembers them for "
		"that printer.",
		"LAYOUT|" DESCRIPTION, NULL, 1, 1, FOR_RULER, lt_run_ruler },
	{ "help", "[COMMAND]", "show this overview, or the help for a command",
		"Shows the overview of the commands. With COMMAND, shows the help for this "
		"command, as loomtag COMMAND --help does.",
		"COMMAND", NULL, 0, 1, FOR_HELP, run_help },
	{ "version", "", "show the version", "Shows the version, as loomtag --version does.", NULL,
		NULL, 0, 0, FOR_VERSION, run_version },
	{ .name = NULL },
};

const struct lt_command *lt_command_find(const char *name)
{
	const char *names[sizeof(lt_commands) / sizeof(lt_commands[0])];
	size_t count = 0;
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		if (strcmp(name, command->name) == 0)
			return command;
		names[count++] = command->name;
	}
	const int near = lt_nearest(name, names, count);
	if (near >= 0)
		lt_usage_error_near(names[near], "unknown command \"%s\"", name);
	else
		lt_usage_error(NULL, "unknown command \"%s\"", name);
	return NULL;
}

static int run_help(const struct options *options)
{
	if (options->argument_count == 0) {
		lt_help_overview(stdout, lt_commands);
		return EXIT_YES;
	}
	const struct lt_command *command = lt_command_find(options->arguments[0]);
	if (command == NULL)
		return EXIT_USAGE;
	lt_help_command(stdout, command);
	return EXIT_YES;
}

static int run_version(const struct options *options)
{
	(void)options;
	puts("loomtag " LT_VERSION);
	return EXIT_YES;
}
