/* Cli: the commands of the program and their options, as two tables. The command line is read by
 * them; help, the manual page and completions are written from them. */
#ifndef LOOMTAG_CLI_H
#define LOOMTAG_CLI_H

#include <stddef.h>

/* What a completion can offer for an option's value or for an argument: words of these kinds, with
 * | between them. NULL where nothing can be offered. word     this word .pdf     a file whose name
 * ends so FILE     any file DIR      a folder LAYOUT   the name of a layout LAYOUT,  names of
 * layouts, separated by commas COMMAND  a command
 */

struct options;

struct lt_command {
	const char *name;
	const char *arguments;                     /* a line a form: "FILE [SCANS]" */
	const char *summary;                       /* for a table of commands */
	const char *help;                          /* paragraphs, an empty line between two */
	const char *first;                         /* what can be offered for the first argument */
	const char *later;                         /* and for those behind it */
	int least, most;                           /* how many arguments it can have */
	int bit;                                   /* FOR_... in cli/options.h */
	int (*run)(const struct options *options); /* returns the exit code */
};

/* In the order in which help shows them; the last has no name. */
extern const struct lt_command lt_commands[];

/* What an option is for the commands of a set. */
struct lt_option_use {
	int commands;       /* FOR_... in cli/options.h */
	const char *help;   /* for a table of options */
	const char *values; /* what can be offered */
};

struct lt_option {
	const char *name;
	char letter;       /* short form, or 0 */
	const char *value; /* what help calls its value; NULL for a switch */
	size_t offset;     /* of its value in struct options: a bool or a const char * */
	/* Of different commands; the last is of none. */
	struct lt_option_use uses[10];
};

/* In the order in which help shows them; the last has no name. */
extern const struct lt_option lt_options[];

/* What an option is for a command, given by its bit; NULL where the command does not have it. */
const struct lt_option_use *lt_option_use(const struct lt_option *option, int command);

#endif
