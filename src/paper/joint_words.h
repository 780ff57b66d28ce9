/* What the papers say of a joint, in the same words on each. */
#ifndef LOOMTAG_PAPER_JOINT_WORDS_H
#define LOOMTAG_PAPER_JOINT_WORDS_H

#include "loomtag/lookalike.h"
#include "loomtag/tags.h"
#include "loomtag/text.h"

/* What stands before a connector's port, which must be given: "port ", so that a port that is a
 * number is not read as a joint's; nothing where the port says so itself. */
const char *lt_joint_port_word(const struct lt_connector *connector);

/* "port PWR on vent motor (M1), left gearbox"; false when nothing is known of it. */
bool lt_joint_mate(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* "after 3, 4": the joints that must be made first, at most so many of them, and how many more. */
void lt_joint_after(struct lt_text *out, const struct lt_tags *tags, size_t connector, size_t most);

/* The same as an order: "make 3 and 4 first". */
void lt_joint_first(struct lt_text *out, const struct lt_tags *tags, size_t connector, size_t most);

/* "would also fit 5, 7: check the number"; false when there are no look-alikes. Some are named,
 * the rest counted. */
bool lt_joint_lookalikes(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector);

/* "fit unknown, might go on others: check the number"; false where the fit is known. */
bool lt_joint_unknown_fit(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* How the joint is felt to be home; what is asked for where the description does not say. Lives as
 * long as the harness. */
const char *lt_joint_seat(const struct lt_tags *tags, size_t connector);

#endif
