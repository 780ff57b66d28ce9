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

/* "H, X and M", or "none". */
#define SIDES_SIZE 16
static void write_sides(char out[SIDES_SIZE], const struct lt_register_entry *entry)
{
	static const char *const joints[] = { "", " and ", ", " };
	char shown[sizeof(entry->printed)] = "";
	size_t count = 0;
	size_t at = 0;
	/* An M sticker is one, whichever part it was printed for. */
	for (const char *c = entry->printed; *c != '\0'; c++) {
		char side = *c;
		if (side == 'N')
			side = 'M';
		if (memchr(shown, side, count) == NULL)
			shown[count++] = side;
	}
	for (size_t i = 0; i < count; i++) {
		const char *joint = joints[i == 0 ? 0 : i + 1 == count ? 1 : 2];
		at += (size_t)snprintf(out + at, SIDES_SIZE - at, "%s%c", joint, shown[i]);
	}
	if (count == 0)
		snprintf(out, SIDES_SIZE, "none");
}

/* Both the connector and the id it had before have a number. */
static void tell_both_numbered(struct reconciling *r, const struct lt_connector *connector,
	const struct lt_register_entry *was, const struct lt_register_entry *now)
{
	lt_error(r->diags, connector->place,
		"connector %s has number %u in the register, and %s, which it says it was, has %u",
		connector->id, now->number, was->id, was->number);
	char sides[SIDES_SIZE];
	write_sides(sides, now);
	lt_hint(r->diags,
		"to keep %u, remove `was: %s`; to go back to %u, throw away the stickers of %u (sides "
		"printed: %s) and remove line %u of %s",
		now->number, was->id, was->number, now->number, sides, now->place.line,
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
				"connector %s was \"%s\", which the register does not know; it takes a "
				"new number",
				connector->id, connector->was);
			lt_hint(r->diags, "is `was` written as the id was?");
		}
		return true;
	}
	struct lt_register_entry *old = &r->reg->entries[was];
	if (now != LT_HASH_NONE) {
		struct lt_register_entry *young = &r->reg->entries[now];
		if (!old->retired || !is_unseen(young, connector)) {
			tell_both_numbered(r, connector, old, young);
			return false;
		}
		lt_note(r->diags, connector->place,
			"connector %s has its number %u again, and gives up %u, of which nothing was "
			"printed and which nobody gets",
			connector->id, old->number, young->number);
		/* It stays in the register, so that no other connector is ever given it. */
		young->id = LT_REGISTER_NOBODY;
		young->retired = true;
	}
	old->id = lt_arena_strdup(&r->reg->arena, connector->id);
	r->changed = true;
	return true;
}

/* The first connector that wants a number and has none yet, or LT_NONE. */
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

static void tell_gone(const struct reconciling *r, const struct lt_register_entry *entry,
	size_t candidate)
{
	lt_warning(r->diags, entry->place,
		"connector %s is gone from the description; its number %u is retired", entry->id,
		entry->number);
	if (candidate != LT_NONE)
		lt_hint(r->diags,
			"where it is there under a new id, %s say, write `was: %s` there and it keeps "
			"number %u",
			r->harness->connectors[candidate].id, entry->id, entry->number);
	else
		lt_hint(r->diags, "take its stickers off; no other connector will carry %u",
			entry->number);
}

static void tell_not_numbered(const struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	if (entry->printed[0] == '\0')
		return;
	char sides[SIDES_SIZE];
	write_sides(sides, entry);
	lt_warning(r->diags, connector->place,
		"connector %s is not numbered any more (tag: none), but its stickers were printed: "
		"%u %s",
		connector->id, entry->number, sides);
	lt_hint(r->diags, "take them off; number %u stays reserved for it", entry->number);
}

/* Stickers that are about count again, which is wrong where the id now names something else. */
static void tell_back(struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	lt_warning(r->diags, connector->place,
		"connector %s is back and has its number %u again, whose stickers were printed",
		connector->id, entry->number);
	lt_hint(r->diags, "where it is another joint than before, give it another id");
}

/* Takes a side out of what was printed; false when it is not there. */
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
static void tell_one_sided(struct reconciling *r, const struct lt_register_entry *entry,
	const struct lt_connector *connector)
{
	if (connector->sides == 2 || strpbrk(entry->printed, "MN") == NULL)
		return;
	lt_warning(r->diags, connector->place,
		"connector %s has one side now, but its sticker %uM was printed: one scan proves it, "
		"not a pair",
		connector->id, entry->number);
	lt_hint(r->diags, "is sides: 1 meant? then take %uM off", entry->number);
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
			tell_one_sided(r, entry, &r->harness->connectors[index]);
		}
		if (entry->retired == retired)
			continue;
		entry->retired = retired;
		r->changed = true;
		if (!retired && entry->printed[0] != '\0' &&
			r->harness->connectors[index].was == NULL)
			tell_back(r, entry, &r->harness->connectors[index]);
		if (gone)
			tell_gone(r, entry, candidate);
		else if (retired)
			tell_not_numbered(r, entry, &r->harness->connectors[index]);
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
