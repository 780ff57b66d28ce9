/* Stock: the label layouts that are at hand, and which of them each sticker goes on. */
#ifndef LOOMTAG_STOCK_H
#define LOOMTAG_STOCK_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/layout.h"
#include "loomtag/sticker.h"

#define LT_STOCK_MAX 64u
#define LT_STOCK_NONE 255u

struct lt_stock {
	struct lt_layout layouts[LT_STOCK_MAX];
	size_t count;
};

/* Adds the layout called `name` (as lt_layout_find has it), or finds the one of that name that is
 * there already; `*index` tells which. False, with an error, when there is no such layout, it has
 * errors, another of the same name came from elsewhere, or the stock is full. */
bool lt_stock_add(struct lt_stock *stock, size_t *index, const char *name,
	const char *const *folders, struct lt_diags *diags);

/* Adds each layout of a list such as "a4-3x8,tape-12". Errors as above, and an empty item. */
bool lt_stock_add_list(struct lt_stock *stock, const char *list, const char *const *folders,
	struct lt_diags *diags);

/* Adds every layout in the folders, as many as there is room for; those with errors are passed
 * over. For hints. */
void lt_stock_add_all(struct lt_stock *stock, const char *const *folders);

/* Takes NULL or a zeroed struct. */
void lt_stock_finish(struct lt_stock *stock);

/* True when a layout goes round a connector's bundle or the bundle is not known; else tells, as an
 * error, the connector, the bundle and which of the layouts `known` (or NULL) would do. */
bool lt_stock_check_fit(const struct lt_layout *layout, const struct lt_connector *connector,
	double bundle, const struct lt_stock *known, struct lt_diags *diags);

/* What is asked of a choice. */
struct lt_stock_wish {
	unsigned sides;                  /* bit per side: for which to choose */
	size_t count;                    /* among the first so many of the stock */
	const struct lt_selection *only; /* NULL: all */
	const struct lt_stock *known;    /* for hints, or NULL */
};

/* Chooses for every sticker that is wanted among the stock, and writes its index to
 * choice[connector x LT_SIDE_COUNT + side]; leaves the others alone. The harness half goes by
 * preference on what fits round its bundle, the other halves on a plate; then by how well number
 * and symbol read; then in the order of the stock. A wrap or flag whose fit is not known comes
 * last. False, with an error for each connector, its bundle and the layouts that would do, when
 * none will. */
bool lt_stock_choose(unsigned char *choice, const struct lt_stock *stock,
	const struct lt_stock_wish *wish, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_sticker_options *options,
	const struct lt_measure *measure, struct lt_diags *diags);

#endif
