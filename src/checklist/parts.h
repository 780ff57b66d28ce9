/* What the checklist and the worksheet share. */
#ifndef LOOMTAG_CHECKLIST_PARTS_H
#define LOOMTAG_CHECKLIST_PARTS_H

#include "loomtag/checklist.h"

/* Fills in the head but for the revision: title, code, unit and date. */
void lt_checklist_head(struct lt_document *out, const struct lt_harness *harness,
	const struct lt_checklist_options *options);

/* Adds what the letters on the stickers stand for. */
void lt_checklist_legend(struct lt_document *out);

/* The tags of a joint, from the arena; with `old` that of the outgoing part where there is one. */
struct lt_tag_pair lt_checklist_tags(struct lt_document *list, const struct lt_tags *tags,
	size_t connector, bool old);

#endif
