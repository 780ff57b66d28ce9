/* Printers that this machine knows, and those that announce themselves on the network. */
#include <stdlib.h>
#include <string.h>

#include "find.h"
#include "loomtag/verify_log.h"

/* More are on no network where one would look through a list of them. */
#define FOUND_MOST 1000u

struct search {
	struct lt_found_list *out;
	size_t room;
	const char *name; /* ends when it is found; or NULL */
};

static const char *option(const cups_dest_t *dest, const char *name)
{
	return cupsGetOption(name, dest->num_options, dest->options);
}

/* Whether it can be reached over IPP: others are announced too. */
static bool speaks_ipp(const char *uri)
{
	return uri != NULL && (strncmp(uri, "ipp://", 6) == 0 || strncmp(uri, "ipps://", 7) == 0);
}

static void remove_found(struct lt_found_list *list, const char *name)
{
	for (size_t i = 0; i < list->count; i++) {
		if (strcmp(list->items[i].name, name) == 0) {
			list->count--;
			memmove(list->items + i, list->items + i + 1,
				(list->count - i) * sizeof(*list->items));
			return;
		}
	}
}

/* What it is called by: a queue by its name, a printer on the network as it calls itself. */
static const char *name_of(struct lt_arena *arena, const cups_dest_t *dest, bool queue)
{
	const char *name = queue ? NULL : option(dest, "printer-info");
	if (name == NULL || name[0] == '\0')
		name = dest->name;
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, name, strlen(name));
	const char *copy = lt_arena_strdup(arena, lt_text_string(&clean));
	lt_text_finish(&clean);
	return copy;
}

static int take(void *data, unsigned flags, cups_dest_t *dest)
{
	struct search *search = data;
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
	const char *name = name_of(&list->arena, dest, queue);
	if (!queue || (flags & CUPS_DEST_FLAGS_REMOVED) != 0)
		remove_found(list, name);
	if ((flags & CUPS_DEST_FLAGS_REMOVED) != 0 || list->count == FOUND_MOST)
		return 1;
	list->items = lt_grow(list->items, &search->room, list->count + 1, sizeof(*list->items));
	list->items[list->count++] =
		(struct lt_found){ name, lt_arena_strdup(&list->arena, uri), queue };
	return search->name == NULL || strcmp(name, search->name) != 0;
}

/* By name, a queue before a printer that calls itself the same. */
static int compare(const void *a, const void *b)
{
	const struct lt_found *left = a;
	const struct lt_found *right = b;
	int order = strcmp(left->name, right->name);
	return order != 0 ? order : (int)right->queue - (int)left->queue;
}

void find_until(struct lt_found_list *out, const char *name, unsigned milliseconds)
{
	*out = (struct lt_found_list){ 0 };
	struct search search = { out, 0, name };
	/* It gives 0 also where there is neither a print service nor a network: nothing was found.
	 */
	cupsEnumDests(CUPS_DEST_FLAGS_NONE, (int)milliseconds, NULL, 0, 0, take, &search);
	if (out->count > 1)
		qsort(out->items, out->count, sizeof(*out->items), compare);
}

bool lt_printers_find(struct lt_found_list *out, const struct lt_link_options *options,
	struct lt_diags *diags)
{
	(void)diags;
	find_until(out, NULL, options->find_ms);
	return true;
}

void lt_found_list_finish(struct lt_found_list *list)
{
	if (list == NULL)
		return;
	free(list->items);
	lt_arena_finish(&list->arena);
	*list = (struct lt_found_list){ 0 };
}
