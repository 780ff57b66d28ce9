/* Looking for printers. */
#ifndef LOOMTAG_PRINT_FIND_H
#define LOOMTAG_PRINT_FIND_H

#include "loomtag/print.h"

/* A search that goes on. */
struct find_search {
	struct lt_found_list *out;
	size_t room;
	const char *name; /* ends when a queue of it is found; or NULL */
};

/* What libcups calls for each printer; 0 ends the search. */
int lt_find_take(void *search, unsigned flags, cups_dest_t *dest);

/* How many printers of a sorted list are called that, or, where none is, differ in nothing but
 * capitals; `out` is the first, or NULL. A queue is the only one of its very name. */
size_t lt_find_choose(const struct lt_found **out, const struct lt_found_list *list,
	const char *name);

#endif
