/* Printers that this computer knows, and those that announce themselves on the network. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "print/find.h"
#include "print/ipp.h"

/* Nobody would read a longer list. */
#define FOUND_MOST 1000u

static const char *option(const cups_dest_t *dest, const char *name)
{
	return cupsGetOption(name, dest->num_options, dest->options);
}

/* Whether the printer can be reached over IPP: others are announced too. */
static bool speaks_ipp(const char *uri)
{
	return uri != NULL && (strncmp(uri, "ipp://", 6) == 0 || strncmp(uri, "ipps://", 7) == 0);
}

/* True for two URIs of one announcement, which may be of ipp and of ipps. */
static bool same_announcement(const char *a, const char *b)
{
	static const char service[] = "._ipp";
	const char *a_host = strstr(a, "://");
	const char *b_host = strstr(b, "://");
	const char *a_end = a_host != NULL ? strstr(a_host, service) : NULL;
	const char *b_end = b_host != NULL ? strstr(b_host, service) : NULL;
	if (a_end == NULL || b_end == NULL)
		return strcmp(a, b) == 0;
	if (a_end - a_host != b_end - b_host ||
		strncmp(a_host, b_host, (size_t)(a_end - a_host)) != 0)
		return false;
	a_end += strlen(service);
	b_end += strlen(service);
	return strcmp(a_end + (*a_end == 's'), b_end + (*b_end == 's')) == 0;
}

/* Removes the same one. A queue is known by its name; on the network several printers may have one
 * name, also that of a queue. */
static void remove_found(struct lt_found_list *list, const struct lt_found *found)
{
	for (size_t i = 0; i < list->count; i++) {
		const struct lt_found *old = &list->items[i];
		if (old->queue != found->queue || strcmp(old->name, found->name) != 0 ||
			(!old->queue && !same_announcement(old->uri, found->uri)))
			continue;
		list->count--;
		memmove(list->items + i, list->items + i + 1,
			(list->count - i) * sizeof(*list->items));
		return;
	}
}

/* Its name: of a queue that of the queue, of a printer on the network the announced one. */
static const char *name_of(const cups_dest_t *dest, bool queue)
{
	const char *name = queue ? NULL : option(dest, "printer-info");
	return name != NULL && name[0] != '\0' ? name : dest->name;
}

int lt_find_take(void *data, unsigned flags, cups_dest_t *dest)
{
	struct find_search *search = data;
	struct lt_found_list *list = search->out;
	const char *kind = option(dest, "printer-type");
	unsigned long type = kind != NULL ? strtoul(kind, NULL, 10) : 0;
	const char *uri = option(dest, "printer-uri-supported");
	bool queue = uri != NULL && (type & CUPS_PRINTER_DISCOVERED) == 0;
	if (!queue)
		uri = option(dest, "device-uri");
	/* An instance is the same queue with other options. */
	if (dest->instance != NULL || !speaks_ipp(uri) || (type & CUPS_PRINTER_FAX) != 0)
		return 1;
	const struct lt_found found = { lt_answer_text(&list->arena, name_of(dest, queue)),
		lt_answer_text(&list->arena, uri), queue };
	remove_found(list, &found);
	if ((flags & CUPS_DEST_FLAGS_REMOVED) != 0 || list->count == FOUND_MOST)
		return 1;
	list->items = lt_grow(list->items, &search->room, list->count + 1, sizeof(*list->items));
	list->items[list->count++] = found;
	/* Several on the network may have the name, so the search continues. */
	return !queue || search->name == NULL || strcmp(found.name, search->name) != 0;
}

/* By name, a queue before a printer of the same name. */
static int compare(const void *a, const void *b)
{
	const struct lt_found *left = a;
	const struct lt_found *right = b;
	int order = strcmp(left->name, right->name);
	if (order == 0)
		order = (int)right->queue - (int)left->queue;
	return order != 0 ? order : strcmp(left->uri, right->uri);
}

void lt_printers_find(struct lt_found_list *out, const char *name, unsigned milliseconds)
{
	*out = (struct lt_found_list){ 0 };
	struct find_search search = { .out = out, .name = name };
	/* Without a print service and a network nothing is found: that is no error. */
	cupsEnumDests(CUPS_DEST_FLAGS_NONE, (int)milliseconds, NULL, 0, 0, lt_find_take, &search);
	if (out->count > 1)
		qsort(out->items, out->count, sizeof(*out->items), compare);
}

/* True for a printer with exactly the name of a queue before it. */
static bool is_behind_queue(const struct lt_found_list *list, size_t at)
{
	for (size_t i = 0; i < at; i++) {
		if (list->items[i].queue && strcmp(list->items[i].name, list->items[at].name) == 0)
			return true;
	}
	return false;
}

size_t lt_find_choose(const struct lt_found **out, const struct lt_found_list *list,
	const char *name)
{
	size_t count = 0;
	*out = NULL;
	for (int exactly = 1; count == 0 && exactly >= 0; exactly--) {
		for (size_t i = 0; i < list->count; i++) {
			const struct lt_found *found = &list->items[i];
			bool matches = exactly == 1 ? strcmp(found->name, name) == 0
						    : lt_same_word(found->name, name);
			if (matches && !is_behind_queue(list, i) && count++ == 0)
				*out = found;
		}
	}
	return count;
}

void lt_found_list_finish(struct lt_found_list *list)
{
	if (list == NULL)
		return;
	free(list->items);
	lt_arena_finish(&list->arena);
	*list = (struct lt_found_list){ 0 };
}
