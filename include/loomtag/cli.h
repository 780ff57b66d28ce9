/* Cli: the commands of the program and their options, as two tables. They define how the command
 * line is read; help, the manual page and completions are generated from them. */
#ifndef LOOMTAG_CLI_H
#define LOOMTAG_CLI_H

#include <stddef.h>

/* What a completion can offer for an option's value or an argument: a list of these, with | between
 * them. NULL: nothing.
 *
 *     word      this word
 *     .pdf      a file with this ending
 *     FILE      any file
 *     DIR       a folder
 *     LAYOUT    the name of a layout
 *     LAYOUT,   names of layouts, separated by commas
 *     COMMAND   a command */

struct options;

struct lt_command {
	const char *name;
	const char *arguments;                     /* one form a line: "FILE [SCANS]" */
	const char *summary;                       /* for a table of commands */
	const char *help;                          /* paragraphs, separated by empty lines */
	const char *first;                         /* completion of the first argument */
	const char *later;                         /* and of the later arguments */
	int least, most;                           /* how many arguments it can have */
	int bit;                                   /* FOR_... in cli/options.h */
	int (*run)(const struct options *options); /* returns the exit code */
};

/* In the order in which help shows them; the last has no name. */
extern const struct lt_command lt_commands[];

/* What an option means for some of the commands. */
struct lt_option_use {
	int commands;       /* FOR_... in cli/options.h */
	const char *help;   /* for a table of options */
	const char *values; /* completion of its value */
};

struct lt_option {
	const char *name;
	char letter;       /* short form, or 0 */
	const char *value; /* what help calls its value; NULL for a switch */
	size_t offset;     /* of its value in struct options: a bool or a const char * */
	/* Each for other commands; the last has no commands. */
	struct lt_option_use uses[10];
};

/* In the order in which help shows them; the last has no name. */
extern const struct lt_option lt_options[];

/* What an option means for a command, given by its bit; NULL if the command does not have the
 * option. */
const struct lt_option_use *lt_option_use(const struct lt_option *option, int command);

#endif
