/* Assigning numbers: giving new ones, bringing a register up to date with its description, and the
 * register as the bytes of a file. */
#ifndef LOOMTAG_TAGS_NUMBERING_H
#define LOOMTAG_TAGS_NUMBERING_H

#include "loomtag/tags.h"

struct lt_numbering {
	const struct lt_harness *harness;
	const struct lt_lookalikes *lookalikes;
	struct lt_markings *markings;
	unsigned *number_of;   /* by connector; 0: none; the caller's */
	size_t *owner_of;      /* by number; LT_NONE: nobody, or retired */
	unsigned numbered;     /* connectors that have or get a number */
	struct lt_bars *fit;   /* numbers that are used, or barred to scopes */
	struct lt_bars *plain; /* these, and those that end an id */
};

/* Keeps all that it is given, until finished. */
void lt_numbering_init(struct lt_numbering *numbering, const struct lt_harness *harness,
	const struct lt_lookalikes *lookalikes, unsigned *number_of);
void lt_numbering_finish(struct lt_numbering *numbering);

/* Takes a number out of use for others; `connector` carries it, or LT_NONE: it is retired. */
void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector);

/* A number is fit for a connector when it was never used, is confusable with the number of none of
 * its look-alikes for numbering, and ends the id or port of none of them. */

/* The number that the connector's own marking gives it, where that is fit: what ends its id, else
 * its port, up to 99 or twice the connectors that are numbered; 0 where there is none. */
unsigned lt_numbering_own(const struct lt_numbering *numbering, size_t connector);

/* The smallest fit number that ends no connector's id, up to twice the connectors that are
 * numbered; else, and with `numbers: order`, the smallest fit one. 0 when none is left. */
unsigned lt_numbering_next(struct lt_numbering *numbering, size_t connector);

/* The connectors in the order in which they are offered their own numbers: those whose id begins
 * as most do (up to the digits that end it) first. connector_count indices, for the caller to free.
 */
size_t *lt_numbering_order(const struct lt_harness *harness);

/* Renames entries by `was`, retires those whose connector is gone or is numbered no more, and
 * brings back those whose connector is there again. `entry_of` becomes, by connector, the index of
 * its entry or LT_NONE. The description has no errors, so that no two connectors were the same one
 * and none was one that is still there. Sets *changed when anything in the register changed. False
 * when a `was` conflicts. */
bool lt_register_reconcile(size_t *entry_of, bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, struct lt_diags *diags);

/* Reads a register from memory, initialising `out` (finish it either way); one with no bytes, NULL,
 * is empty. Errors: a first line that is not a register's or is of a newer version, another harness
 * than `harness`, a malformed line, no newline at the end (cut short), a number or id twice,
 * numbers out of order; each names its line and says how to mend it. */
bool lt_register_read(struct lt_register *out, const char *file, const char *bytes, size_t length,
	const char *harness, struct lt_diags *diags);

/* Holds the register against the unit of the description, unless another was `given` by an option:
 * with another unit, or without one, all stickers that were printed would be foreign. One that is
 * its own is not in the code on the stickers. With `new_stickers` that is a warning. What was
 * printed stays in the register: the stickers are still there. Sets *changed when the first line
 * has to be written, also of one that an older program wrote. False after an error that says how
 * many stickers there are. */
bool lt_register_settle_unit(bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, const char *given, bool new_stickers,
	struct lt_diags *diags);

/* The bytes of the file. */
void lt_register_write(struct lt_text *out, const struct lt_register *reg, const char *harness);

#endif
