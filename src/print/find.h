/* Looking for printers. */
#ifndef LOOMTAG_PRINT_FIND_H
#define LOOMTAG_PRINT_FIND_H

#include "loomtag/print.h"

/* A search in progress. */
struct find_search {
	struct lt_found_list *out;
	size_t room;
	const char *name; /* the search ends when a queue of this name is found; or NULL */
};

/* What libcups calls for each printer; 0 ends the search. */
int lt_find_take(void *search, unsigned flags, cups_dest_t *dest);

/* How many printers of a sorted list have the name, or, where none has it, a name that differs in
 * capitals alone; `out` is the first, or NULL. A queue hides printers of exactly its name. */
size_t lt_find_choose(const struct lt_found **out, const struct lt_found_list *list,
	const char *name);

#endif
