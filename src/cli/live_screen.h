/* How a live conversation is shown: on a terminal a screen at a time, else line after line. */
#ifndef LOOMTAG_CLI_LIVE_SCREEN_H
#define LOOMTAG_CLI_LIVE_SCREEN_H

#include <stdio.h>

#include "loomtag/live.h"

struct live_screen {
	FILE *out;
	bool terminal;  /* `out` is one: pages clear it, and questions are asked on it */
	bool colour;    /* on a terminal; signs and words say the same without */
	size_t columns; /* 0: ask the terminal each time, 80 where it does not say */
	size_t rows;    /* likewise, 24 */
	size_t drawn;   /* items of the conversation that are written; 0 to begin with */
	bool asking;    /* the cursor stands behind a question; for the caller to clear when the
			 * end of the line that was typed is echoed */
};

/* Writes what is new of a conversation; rings the bell where it should. */
void lt_live_screen_show(struct live_screen *screen, const struct lt_live_view *view);
/* Asks its question. */
void lt_live_screen_ask(struct live_screen *screen, const struct lt_live_view *view);
/* Begins a new line where the cursor stands behind a question: before other text goes there. */
void lt_live_screen_end_line(struct live_screen *screen);

#endif
