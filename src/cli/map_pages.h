/* The harness map as static pages in a folder. */
#ifndef LOOMTAG_CLI_MAP_PAGES_H
#define LOOMTAG_CLI_MAP_PAGES_H

#include "cli/session.h"

/* Writes the pages and says how many. Returns the exit code after telling what is wrong. */
int lt_map_write_pages(struct lt_session *session, const char *folder);

#endif
