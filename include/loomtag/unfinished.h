/* What was sent to a printer and did not come out whole, or may not have: NAME.print beside the
 * description, so that what is left can be printed, and nothing twice. */
#ifndef LOOMTAG_UNFINISHED_H
#define LOOMTAG_UNFINISHED_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"
#include "loomtag/tags.h"
#include "loomtag/text.h"

#define LT_UNFINISHED_MAX (16u * 1024 * 1024) /* bytes */

struct lt_unfinished_tag {
	unsigned number;
	enum lt_side side;
};

struct lt_unfinished {
	struct lt_arena arena;
	const char *code; /* the harness code, with unit */
	const char *printer, *layout;
	size_t counted;                 /* stickers that came out by the printer's count */
	struct lt_unfinished_tag *tags; /* in the order they were sent */
	size_t count;
};

/* Reads the bytes of a file, which is named in errors. False, with an error, when it is damaged.
 * Finish `out` either way. */
bool lt_unfinished_read(struct lt_unfinished *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

/* Reads a file. False, with an error, when it is damaged; `*there` false, and true, when there is
 * none. Finish `out` either way. */
bool lt_unfinished_read_file(struct lt_unfinished *out, bool *there, const char *path,
	struct lt_diags *diags);

/* Writes it as it is read. */
void lt_unfinished_write(struct lt_text *out, const struct lt_unfinished *unfinished);

/* Takes NULL or a zeroed struct. */
void lt_unfinished_finish(struct lt_unfinished *unfinished);

/* Where a tag stands; of several copies the one nearest to what the printer counted, `come_out` of
 * the last that came out (counted - 1), else of the next. The count when it was not sent. */
size_t lt_unfinished_find(const struct lt_unfinished *unfinished,
	const struct lt_unfinished_tag *tag, bool come_out);

/* Reads a tag such as "12M", in either case, and nothing besides. */
bool lt_unfinished_tag_read(struct lt_unfinished_tag *out, const char *text);

#endif
