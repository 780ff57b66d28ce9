/* loomtag stickers: matching sticker sheets. */
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "session.h"
#include "sticker_run.h"

int run_stickers(const struct options *options)
{
	bool paper = options->output != NULL && strcmp(options->output, "-") != 0;
	if (options->output == NULL && !options->explain && !options->json)
		return usage_error("stickers",
			"where to write the stickers is not said (-o OUT.pdf, or -o - to look at them)");
	struct session session;
	int code = session_open(&session, options, paper ? SESSION_WRITES : SESSION_READS);
	if (code == EXIT_YES)
		code = write_stickers(&session, options->output);
	if (code == EXIT_YES && paper)
		session_note_new_register(&session);
	if (code == EXIT_YES && paper && session.harness.unit == NULL && !options->quiet &&
		!options->json)
		puts("no unit given: stickers of two like modules could not be told apart (--unit)");
	session_finish(&session);
	return code;
}
