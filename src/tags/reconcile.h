/* Bringing a register up to date with the description that it belongs to. */
#ifndef LOOMTAG_TAGS_RECONCILE_H
#define LOOMTAG_TAGS_RECONCILE_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/tags.h"

/* Renames entries by `was`, retires those whose connector is gone or is numbered no more, and
 * brings back those whose connector is there again. `entry_of` becomes, by connector, the index of
 * its entry or LT_NONE. The description has no errors, so that no two connectors were the same one
 * and none was one that is still there. Sets *changed when anything in the register changed. False
 * when a `was` conflicts. */
bool lt_register_reconcile(size_t *entry_of, bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, struct lt_diags *diags);

#endif
