/* Bringing a register up to date with the description that it belongs to. */
#include <stdio.h>
#include <string.h>

#include "loomtag/base.h"
#include "tags/numbering.h"

struct reconciling {
	struct lt_register *reg;
	const struct lt_harness *harness;
	struct lt_diags *diags;
	struct lt_hash connectors; /* ids to indices */
	struct lt_hash entries;    /* ids to indices */
	bool changed;
};

static void index_entries(struct reconciling *r)
{
	lt_hash_finish(&r->entries);
	for (size_t i = 0; i < r->reg->count; i++)
		lt_hash_set(&r->entries, r->reg->entries[i].id, i);
}

static void index_connectors(struct reconciling *r)
{
	for (size_t i = 0; i < r->harness->connector_count; i++)
		lt_hash_put(&r->connectors, r->harness->connectors[i].id, i);
}

/* The tags of the stickers that were printed: "12H, 12X, 12M"; "" for none. */
#define TAGS_SIZE (3 * (LT_TAG_SIZE + 2))

static void write_printed(char out[TAGS_SIZE], const struct lt_register_entry *entry)
{
	char shown[sizeof(entry->printed)] = "";
	size_t count = 0;
	size_t at = 0;
	out[0] = '\0';
	/* An M sticker is one, whichever part it was printed for. */
	for (const char *c = entry->printed; *c != '\0'; c++) {
		char side = *c;
		if (side == 'N')
			side = 'M';
		if (memchr(shown, side, count) == NULL)
			shown[count++] = side;
	}
	for (size_t i = 0; i < count; i++)
		at += (size_t)snprintf(out + at, TAGS_SIZE - at, "%s%u%c", i > 0 ? ", " : "",
			entry->number, shown[i]);
}

/* Both the connector and the id it had before have a number. */
static void report_both_numbered(struct reconciling *r, const struct lt_connector *connector,
	const struct lt_register_entry *was, const struct lt_register_entry *now)
{
	lt_error(r->diags, connector->place,
		"connector %s has number %u in the register, but its earlier id %s has number %u",
		connector->id, now->number, was->id, was->number);
	char printed[TAGS_SIZE];
	write_printed(printed, now);
	if (printed[0] == '\0')
		lt_hint(r->diags,
			"to keep number %u, remove was: %s. To go back to number %u, delete line "
			"%u of %s",
			now->number, was->id, was->number, now->place.line, now->place.file);
	else
		lt_hint(r->diags,
			"to keep number %u, remove was: %s. To go back to number %u, destroy the "
			"stickers %s and delete line %u of %s",
			now->number, was->id, was->number, printed, now->place.line,
			now->place.file);
}

/* A number that nobody can have seen on a sticker, given when `was` had been forgotten. */
static bool is_unseen(const struct lt_register_entry *entry, const struct lt_connector *connector)
{
	return entry->printed[0] == '\0' && !entry->retired &&
	       connector->marking == LT_MARK_STICKER;
}

/* Follows one connector's `was`. */
static bool rename_entry(struct reconciling *r, const struct lt_connector *connector)
{
	size_t was = lt_hash_get(&r->entries, connector->was);
	size_t now = lt_hash_get(&r->entries, connector->id);
	if (was == LT_HASH_NONE) {
		if (now == LT_HASH_NONE && r->reg->count > 0) {
			lt_warning(r->diags, connector->place,
				"connector %s: was: \"%s\" is not in the register, so the "
				"connector gets a new number",
				connector->id, connector->was);
			lt_hint(r->diags, "check that was: is written like the earlier id");
		}
		return true;
	}
	struct lt_register_entry *old = &r->reg->entries[was];
	if (now != LT_HASH_NONE) {
		struct lt_register_entry *young = &r->reg->entries[now];
		if (!old->retired || !is_unseen(young, connector)) {
			report_both_numbered(r, connector, old, young);
			return false;
		}
		lt_note(r->diags, connector->place,
			"connector %s has its number %u again; number %u, which was never "
			"printed, is not used any more",
			connector->id, old->number, young->number);
		/* It stays in the register, so that no other connector is ever given it. */
		young->id = LT_REGISTER_NOBODY;
		young->retired = true;
	}
	old->id = lt_arena_strdup(&r->reg->arena, connector->id);
	r->changed = true;
	return true;
}

/* The first connector that needs a number and has none yet, or LT_NONE. */
static size_t first_new(const struct reconciling *r)
{
	for (size_t i = 0; i < r->harness->connector_count; i++) {
		const struct lt_connector *connector = &r->harness->connectors[i];
		if (connector->marking != LT_MARK_NONE && connector->was == NULL &&
			lt_hash_get(&r->entries, connector->id) == LT_HASH_NONE)
			return i;
	}
	return LT_NONE;
}

static void report_removed(const struct reconciling *r, const struct lt_register_entry *entry,
	size_t candidate)
{
	lt_warning(r->diags, entry->place,
		"connector %s was removed from the description, so its number %u is retired",
		entry->id, entry->number);
	if (candidate != LT_NONE)
		lt_hint(r->diags,
			"if connector %s is the same one with a new id, write was: %s there to "
			"keep number %u",
			r->harness->connectors[candidate].id, entry->id, entry->number);
	else
		lt_hint(r->diags, "remove its stickers. No other connector gets number %u",
			entry->number);
}

static void report_not_numbered(const struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	if (entry->printed[0] == '\0')
		return;
	char printed[TAGS_SIZE];
	write_printed(printed, entry);
	lt_warning(r->diags, connector->place,
		"connector %s has no number any more (tag: none), but its stickers were printed: "
		"%s",
		connector->id, printed);
	lt_hint(r->diags, "remove the stickers. Number %u stays reserved for this connector",
		entry->number);
}

/* Stickers that were printed earlier are valid again, which is wrong where the id now names another
 * joint. */
static void report_back(struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	lt_warning(r->diags, connector->place,
		"connector %s is back in the description with its number %u, and stickers of it "
		"were printed before",
		connector->id, entry->number);
	lt_hint(r->diags, "if it is another joint than before, give it another id");
}

/* Removes a side from what was printed; false when it is not there. */
static bool forget_side(struct lt_register_entry *entry, char side)
{
	char *at = strchr(entry->printed, side);
	if (at == NULL)
		return false;
	memmove(at, at + 1, strlen(at));
	return true;
}

/* A part that is kept is the new one of an earlier replacement: its M sticker is on it, and when
 * it is replaced in its turn, X goes over that. */
static void forget_old_part(struct reconciling *r, struct lt_register_entry *entry, size_t index)
{
	if (lt_connector_replaced(r->harness, index))
		return;
	bool old = forget_side(entry, 'X');
	bool new = forget_side(entry, 'N');
	if (new &&strchr(entry->printed, 'M') == NULL)
		entry->printed[strlen(entry->printed)] = 'M';
	r->changed = r->changed || old || new;
}

/* One sticker is scanned where two were printed. */
static void report_one_sided(struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	if (connector->sides == 2 || strpbrk(entry->printed, "MN") == NULL)
		return;
	lt_warning(r->diags, connector->place,
		"connector %s now has only one sticker to scan, but its sticker %uM was printed "
		"too",
		connector->id, entry->number);
	lt_hint(r->diags, "remove sticker %uM, or write sides: 2 at the connector", entry->number);
}

/* Retires and brings back. */
static void settle_entries(size_t *entry_of, struct reconciling *r)
{
	size_t candidate = first_new(r);
	for (size_t i = 0; i < r->reg->count; i++) {
		struct lt_register_entry *entry = &r->reg->entries[i];
		size_t index = lt_hash_get(&r->connectors, entry->id);
		bool gone = index == LT_HASH_NONE;
		bool retired = gone || r->harness->connectors[index].marking == LT_MARK_NONE;
		if (!retired) {
			entry_of[index] = i;
			forget_old_part(r, entry, index);
			report_one_sided(r, entry, &r->harness->connectors[index]);
		}
		if (entry->retired == retired)
			continue;
		entry->retired = retired;
		r->changed = true;
		if (!retired && entry->printed[0] != '\0' &&
			r->harness->connectors[index].was == NULL)
			report_back(r, entry, &r->harness->connectors[index]);
		if (gone)
			report_removed(r, entry, candidate);
		else if (retired)
			report_not_numbered(r, entry, &r->harness->connectors[index]);
	}
}

bool lt_register_reconcile(size_t *entry_of, bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, struct lt_diags *diags)
{
	struct reconciling r = { .reg = reg, .harness = harness, .diags = diags };
	index_connectors(&r);
	index_entries(&r);
	bool good = true;
	for (size_t i = 0; i < harness->connector_count; i++) {
		entry_of[i] = LT_NONE;
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->was != NULL && !rename_entry(&r, connector))
			good = false;
	}
	if (good) {
		index_entries(&r);
		settle_entries(entry_of, &r);
	}
	*changed = r.changed;
	lt_hash_finish(&r.connectors);
	lt_hash_finish(&r.entries);
	return good;
}
