/* Commands: a file each, and a row in the table in main.c. */
#ifndef LOOMTAG_CLI_COMMAND_H
#define LOOMTAG_CLI_COMMAND_H

#include "cli/options.h"

struct command {
	const char *name;
	const char *arguments;                     /* "FILE [SCANS]" */
	const char *summary;                       /* one line */
	const char *help;                          /* paragraphs for --help */
	int least, most;                           /* how many arguments it takes */
	int bit;                                   /* in options.h: the options it takes */
	int (*run)(const struct options *options); /* returns the exit code */
};

int lt_run_check(const struct options *options);
int lt_run_checklist(const struct options *options);
int lt_run_jobs(const struct options *options);
int lt_run_layouts(const struct options *options);
int lt_run_map(const struct options *options);
int lt_run_printers(const struct options *options);
int lt_run_print(const struct options *options);
int lt_run_quick(const struct options *options);
int lt_run_record(const struct options *options);
int lt_run_ruler(const struct options *options);
int lt_run_stickers(const struct options *options);
int lt_run_tags(const struct options *options);
int lt_run_verify(const struct options *options);

#endif
