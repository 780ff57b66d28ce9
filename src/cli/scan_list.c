#include <stdlib.h>

#include "cli/scan_list.h"
#include "loomtag/base.h"

void lt_scan_list_add(struct scan_list *list, size_t event, unsigned line)
{
	list->rows = lt_grow(list->rows, &list->room, list->count + 1, sizeof(*list->rows));
	list->rows[list->count++] = (struct scan_row){ event, line, false };
}

void lt_scan_list_undo(struct scan_list *list, size_t event)
{
	for (size_t i = list->count; i-- > 0;)
		if (list->rows[i].event == event) {
			list->rows[i].undone = true;
			return;
		}
}

void lt_scan_list_finish(struct scan_list *list)
{
	free(list->rows);
	*list = (struct scan_list){ 0 };
}
