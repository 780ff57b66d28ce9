/* loomtag stickers: matching sticker sheets. */
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/session.h"
#include "cli/sticker_run.h"

int lt_run_stickers(const struct options *options)
{
	bool paper = options->output != NULL && strcmp(options->output, "-") != 0;
	if (options->output == NULL && !options->explain && !options->json)
		return lt_usage_error("stickers",
			"where to write the stickers is not said (-o OUT.pdf, or -o - to look at them)");
	struct lt_session session;
	int code = lt_session_open(&session, options, paper ? SESSION_WRITES : SESSION_READS);
	if (code == EXIT_YES)
		code = lt_write_stickers(&session, options->output);
	if (code == EXIT_YES && paper)
		lt_session_note_new_register(&session);
	if (code == EXIT_YES && paper && session.harness.unit == NULL && !options->quiet &&
		!options->json)
		puts("no unit given: stickers of two like modules could not be told apart (--unit)");
	lt_session_finish(&session);
	return code;
}
