/* Looking for printers. */
#ifndef LOOMTAG_PRINT_FIND_H
#define LOOMTAG_PRINT_FIND_H

#include "loomtag/link.h"

/* As lt_printers_find; ends sooner when one of exactly that name is found, where it is not NULL. */
void find_until(struct lt_found_list *out, const char *name, unsigned milliseconds);

#endif
