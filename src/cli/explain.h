/* stickers --explain: the figures behind each sticker. */
#ifndef LOOMTAG_CLI_EXPLAIN_H
#define LOOMTAG_CLI_EXPLAIN_H

#include <jansson.h>
#include <stdbool.h>

#include "loomtag/label.h"

struct explain {
	bool json;
	double distance;  /* mm */
	json_t *stickers; /* with json */
	size_t count;
};

void lt_explain_begin(struct explain *out, bool json, double distance);

/* Prints a line of the table, or keeps what the document will say. */
void lt_explain_sticker(struct explain *explain, const struct lt_sticker *sticker,
	const struct lt_layout *layout);

/* Prints what the columns mean, or the document. Returns the exit code. */
int lt_explain_end(struct explain *explain);

#endif
