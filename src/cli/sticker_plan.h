/* Which stickers go on which layout, and into which file. */
#ifndef LOOMTAG_CLI_STICKER_PLAN_H
#define LOOMTAG_CLI_STICKER_PLAN_H

#include "cli/pages.h"
#include "cli/stickers.h"

/* The stickers of one layout, which go into a file of their own. */
struct part {
	const struct lt_layout *layout;
	const char *path; /* NULL: nothing is drawn; "-": on the terminal */
	struct lt_sheet_options options;
	struct lt_sheet sheet;
	struct pages pages;
	struct lt_canvas preview;
};

/* One run of stickers. */
struct run {
	struct lt_session *session;
	struct lt_fonts *fonts;
	struct lt_measure measure;
	struct lt_stock stock; /* of --stock first, then those named for a side */
	size_t choosable;      /* how many of them --layout auto chooses among */
	struct lt_stock known; /* for hints */
	struct sticker_options options;
	size_t of_side[LT_SIDE_COUNT]; /* its layout, where that is not chosen */
	unsigned char *choice;
	struct part *parts;
	size_t part_count;
	json_t *figures;               /* of the stickers, for --json; else NULL */
	size_t explained;              /* stickers, in a table */
	const struct lt_layout *drawn; /* whose stickers are being drawn */
	const char *const *keep;       /* files that no output may replace */
	bool progress_shown;
	long long seconds; /* the date of documents */
};

/* Loads the layouts that the options name, chooses among them for every sticker, and gives every
 * sticker its place in run->parts: a part a layout, each with the file it goes into. Returns the
 * exit code. */
int lt_plan_stickers(struct run *run, const char *path);

/* Warns of files that an earlier run with other layouts has left: they would be printed along with
 * these. */
void lt_warn_of_left_parts(struct run *run, const char *path);

#endif
