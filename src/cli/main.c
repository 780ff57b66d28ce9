/* loomtag: tags for the two halves of every joint, from the description to the last scan. */
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "loomtag/base.h"

/* The table of commands. A new one is a file cmd_NAME.c and a row here. */
static const struct command commands[] = {
	{ "quick", "N", "N blank tag pairs, now: description, stickers and fill-in worksheet",
		"Makes a folder with a description of N connectors under a code of its own, their\n"
		"stickers, and a worksheet to write on by hand what each of them is. Put the stickers\n"
		"on both halves of every joint before anything is unplugged. Filled in later, the\n"
		"description keeps every number.\n"
		"\n"
		"-o names the folder; without it the folder is called by the code.\n",
		1, 1, FOR_QUICK, lt_run_quick },
	{ "check", "FILE", "every fault and every look-alike group",
		"Reads a description and tells all that is wrong with it, then which connectors would\n"
		"mate with each other's components. Writes nothing. Exit code 1 when there are errors.\n",
		1, 1, FOR_CHECK, lt_run_check },
	{ "tags", "FILE", "number the connectors, keep the register, list the tags",
		"Gives every connector that has none its number, keeps the register NAME.tags beside\n"
		"the description, and lists the tags. A number never moves to another connector.\n",
		1, 1, FOR_TAGS, lt_run_tags },
	{ "stickers", "FILE -o OUT",
		"sticker sheets: OUT.pdf, OUT.png (a page or label each), or -",
		"Writes the stickers of both halves of every joint. A component that is to be replaced\n"
		"gets three: H, X for the outgoing part, M for the new one. Numbers the connectors and\n"
		"keeps the register, as loomtag tags does.\n"
		"\n"
		"More PNG pages than one are called OUT-01.png and so on. Wires and housings take\n"
		"labels of their own: --layout-h and --layout-m write OUT-h and OUT-m. --layout auto\n"
		"chooses for each sticker among the layouts of --stock, and writes a file for each.\n"
		"-o - shows the stickers on the terminal and writes nothing.\n"
		"--explain prints the figures behind each sticker, --json the same as a document.\n",
		1, 1, FOR_STICKERS, lt_run_stickers },
	{ "map", "FILE -o OUT", "harness map: OUT.pdf, OUT.png, OUT.svg; or --pages DIR",
		"Draws what the harness looks like, which tag is where, what each plug looks like from\n"
		"the front, what it mates with and which others it would fit; with the wire list and an\n"
		"index by number and by place. The shop prints it once and hangs it by the bench.\n"
		"\n"
		"More PNG or SVG pages than one are called OUT-01.png and so on. --pages DIR writes the\n"
		"map as web pages, a folder a scan code, so that the links of the stickers lead there\n"
		"from any plain web server; with or without -o.\n",
		1, 1, FOR_MAP, lt_run_map },
	{ "checklist", "FILE -o OUT", "unplugging and reconnection checklist: .pdf, .txt, or -",
		"Writes what to make safe, the joints in unplugging order, and the joints in\n"
		"reconnection order, each with a box to tick. -o - shows it on the terminal.\n",
		1, 1, FOR_CHECKLIST, lt_run_checklist },
	{ "verify", "FILE [SCANS]", "check a scanned sequence; without SCANS, scan live",
		"Answers every scan. SCANS is a file with a scan a line (- for standard input); without\n"
		"it, scan or type into the terminal. Exit code 0 only when every numbered joint is made.\n"
		"\n"
		"A scan proves that two stickers belong together. It does not prove that a joint is\n"
		"seated, the right way round, or that its stickers were put on the right halves.\n"
		"\n"
		"Live, it keeps a job in bench.db beside FILE, stage by stage: every scan is on disk when\n"
		"it is answered, and what was interrupted goes on where it stopped. See loomtag jobs\n"
		"and loomtag record.\n"
		"\n"
		"With --photos, FILE is followed by pictures of made joints, both stickers of one joint in\n"
		"each: loomtag verify FILE --photos *.jpg. Exit code 3 when one could not be read.\n",
		1, INT_MAX, FOR_VERIFY, lt_run_verify },
	{ "jobs", "[FILE | show ID | close ID REASON|FILE]",
		"list the jobs, show one, or close one",
		"A job is one removal and reconnection of a module, and is kept in bench.db beside the\n"
		"description. Lists the jobs of the description FILE, or all that are in bench.db in\n"
		"the current folder, newest first. --db names another database.\n"
		"\n"
		"show ID tells all that happened in one job, and whether its digests fit: exit code 3\n"
		"when it was changed after it was recorded. close ID REASON ends one that is not\n"
		"finished; the reason is kept. close ID FILE.yaml ends one of which all is done.\n",
		0, INT_MAX, FOR_JOBS, lt_run_jobs },
	{ "record", "FILE -o OUT", "the record of a job, to sign and keep: .pdf, .txt, .json or -",
		"Writes what was done in a job, by whom and when, and what was not: first a summary,\n"
		"then the joints, wrong mates, parts and lines, a place to sign, and every event with\n"
		"their digest. Of the newest job of this harness and unit in which anything was scanned,\n"
		"or of --job N. -o - shows it on the terminal, with --json as JSON.\n",
		1, 1, FOR_RECORD, lt_run_record },
	{ "print", "FILE --to PRINTER", "stickers to a label printer, until they are out",
		"Asks the printer what is loaded, takes the layout that matches or refuses, sends the\n"
		"stickers at the head's own dots, and stays until they are out. Ctrl-C cancels the job\n"
		"at the printer. What did not come out is kept in NAME.print beside the description;\n"
		"--resume prints that and nothing twice, from the sticker that --from names, or asks.\n"
		"\n"
		"-o writes the job into a file instead: OUT.pwg or OUT.pdf. --ladder needs no FILE: it\n"
		"prints codes of fewer and fewer dots; tell what your scanner still reads with\n"
		"--smallest N, and it is kept for the printer. Exit code 4 when not all is out.\n",
		0, 1, FOR_PRINT, lt_run_print },
	{ "layouts", "[NAME]", "list label layouts, or show one",
		"Lists what labels there are: their size (of a flag each face, of a wrap the printed\n"
		"zone, of a tape its width), the print head's dots per inch, the bundles that they go\n"
		"round, and how many are on a page. With a name or the path of a file it shows all\n"
		"sizes of one, and draws it on the terminal (not with --quiet). -o OUT.pdf or OUT.png\n"
		"draws the one, or all on a contact sheet, at print size.\n"
		"\n"
		"--check takes files, as many as you like, and tells all that is wrong with them and\n"
		"what is doubtful. Exit code 1 when there are errors.\n",
		0, INT_MAX, FOR_LAYOUTS, lt_run_layouts },
	{ "printers", "", "list printers, and what is loaded in them",
		"Lists the print queues of this machine and the IPP printers that announce themselves\n"
		"on the network: how each is and why, what is loaded, its dots per inch and what it\n"
		"takes. Each is asked; one that does not answer is listed as such.\n",
		0, 0, FOR_PRINTERS, lt_run_printers },
	{ "ruler", "LAYOUT -o OUT", "alignment page for a label stock: .pdf or .png",
		"Draws the outlines and centres of all labels, and two bars to measure, to be held\n"
		"against the blank labels. The page and this command say what to do with what is read\n"
		"off: --nudge and --scale, for loomtag stickers and for a second ruler. Given together\n"
		"with --printer NAME they are remembered for that printer.\n",
		1, 1, FOR_RULER, lt_run_ruler },
};
enum { COMMANDS = sizeof(commands) / sizeof(commands[0]) };

static int print_help(void)
{
	puts("Tags for everything that is unplugged: numbered stickers for both halves of every joint,\n"
	     "the checklist to put them back by, and a check of every pair by scan.\n"
	     "\n"
	     "usage: loomtag COMMAND [OPTIONS] ...\n");
	for (int i = 0; i < COMMANDS; i++) {
		char left[40];
		snprintf(left, sizeof(left), "%s %s", commands[i].name, commands[i].arguments);
		printf("  %-24s %s\n", left, commands[i].summary);
	}
	puts("\nloomtag COMMAND --help tells more of each.\n"
	     "Exit codes: 0 done, and the answer is yes; 1 the answer is no; 2 usage;\n"
	     "3 the input has errors or cannot be read; 4 output or system failure.");
	return EXIT_YES;
}

static int print_command_help(const struct command *command)
{
	printf("usage: loomtag %s [OPTIONS] %s\n\n%s\n\n%s\noptions:\n", command->name,
		command->arguments, command->summary, command->help);
	lt_options_help(command);
	return EXIT_YES;
}

static const struct command *find_command(const char *name)
{
	const char *names[COMMANDS];
	for (int i = 0; i < COMMANDS; i++) {
		if (strcmp(name, commands[i].name) == 0)
			return &commands[i];
		names[i] = commands[i].name;
	}
	int near = lt_nearest(name, names, COMMANDS);
	if (near >= 0)
		lt_usage_error(NULL, "unknown command \"%s\"; did you mean %s?", name, names[near]);
	else
		lt_usage_error(NULL, "unknown command \"%s\"", name);
	return NULL;
}

static int print_version(void)
{
	puts("loomtag " LT_VERSION);
	return EXIT_YES;
}

static int run(int argc, char **argv)
{
	if (argc < 2)
		return lt_usage_error(NULL, "no command given");
	if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)
		return print_help();
	if (strcmp(argv[1], "--version") == 0)
		return print_version();
	const struct command *command = find_command(argv[1]);
	struct options options;
	if (command == NULL || lt_options_read(&options, command, argc - 1, argv + 1) != EXIT_YES)
		return EXIT_USAGE;
	if (options.help)
		return print_command_help(command);
	if (options.version)
		return print_version();
	if (options.argument_count < command->least || options.argument_count > command->most)
		return lt_usage_error(command->name, "loomtag %s takes %s, and %d %s given",
			command->name, command->arguments, options.argument_count,
			options.argument_count == 1 ? "was" : "were");
	return command->run(&options);
}

/* A standard stream that was closed must not lend its number to a file that is written: messages
 * would end up inside it. What is opened in its place can be read, so writing to it still fails. */
static bool occupy_standard_streams(void)
{
	int fd;
	do
		fd = open("/dev/null", O_RDONLY);
	while (fd >= 0 && fd <= STDERR_FILENO);
	if (fd < 0)
		return false;
	close(fd);
	return true;
}

int main(int argc, char **argv)
{
	if (!occupy_standard_streams())
		return EXIT_SYSTEM;
	int code = run(argc, argv);
	/* What was said may still be waiting to be written, to a full disk or a closed pipe. */
	if ((fflush(stdout) != 0 || ferror(stdout)) && code != EXIT_USAGE) {
		fputs("loomtag: error: standard output could not be written whole\n", stderr);
		code = EXIT_SYSTEM;
	}
	return code;
}
