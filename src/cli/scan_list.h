/* The scans of one run of a command, by the events of the job that they became. */
#ifndef LOOMTAG_CLI_SCAN_LIST_H
#define LOOMTAG_CLI_SCAN_LIST_H

#include <stdbool.h>
#include <stddef.h>

struct scan_row {
	size_t event;  /* its index in the job */
	unsigned line; /* of the input, from 1; of photographs which one */
	bool undone;   /* taken back since */
};

/* A zeroed struct is an empty list. */
struct scan_list {
	struct scan_row *rows;
	size_t count, room;
};

void lt_scan_list_add(struct scan_list *list, size_t event, unsigned line);
/* Notes that an event was taken back, where it is in the list. */
void lt_scan_list_undo(struct scan_list *list, size_t event);
void lt_scan_list_finish(struct scan_list *list);

#endif
