/* The facts of a joint in words: one table, for every medium that shows them. */
#include <stddef.h>
#include <stdlib.h>
#include <strings.h>

#include "loomtag/words.h"

/* Look-alikes named on a line; the rest is counted. */
#define LOOKALIKES_NAMED 12
/* Joints that must be made first, named on a map; a checklist names all. */
#define AFTER_NAMED 12

static const struct lt_connector *connector_of(const struct lt_tags *tags, size_t connector)
{
	return &tags->harness->connectors[connector];
}

static const struct lt_component *component_of(const struct lt_tags *tags, size_t connector)
{
	size_t component = connector_of(tags, connector)->component;
	return component == LT_NONE ? NULL : &tags->harness->components[component];
}

bool lt_joint_part_replaced(const struct lt_tags *tags, size_t connector)
{
	const struct lt_component *component = component_of(tags, connector);
	return component != NULL && component->replace;
}

bool lt_joint_tag(char out[LT_TAG_SIZE], const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, tags, connector);
	while (count > 0 && sides[count - 1] != side)
		count--;
	if (count > 0)
		lt_tag_write(out, tags->number_of[connector], side);
	return count > 0;
}

void lt_joint_add_port(struct lt_text *out, const struct lt_connector *connector)
{
	/* A port that is a number would be read as a joint's. */
	if (strncasecmp(connector->port, "port", 4) == 0)
		lt_text_add(out, connector->port);
	else
		lt_text_printf(out, "port %s", connector->port);
}

void lt_joint_add_number(struct lt_text *out, const struct lt_tags *tags, size_t connector)
{
	if (tags->number_of[connector] != 0)
		lt_text_printf(out, "%u", tags->number_of[connector]);
	else
		lt_text_printf(out, "%s (no number)", connector_of(tags, connector)->id);
}

void lt_component_add(struct lt_text *out, const struct lt_component *component)
{
	if (component->name != NULL)
		lt_text_printf(out, "%s (%s)", component->name, component->id);
	else
		lt_text_add(out, component->id);
}

bool lt_joint_add_mate(struct lt_text *out, const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	const struct lt_component *component = component_of(tags, index);
	struct lt_text port = { 0 }, part = { 0 };
	if (connector->port != NULL)
		lt_joint_add_port(&port, connector);
	if (component != NULL)
		lt_component_add(&part, component);
	if (port.length > 0 && part.length > 0)
		lt_text_printf(out, "%s on %s", lt_text_string(&port), lt_text_string(&part));
	else
		lt_text_add(out, lt_text_string(port.length > 0 ? &port : &part));
	lt_text_finish(&port);
	lt_text_finish(&part);
	return connector->port != NULL || component != NULL;
}

static int by_size(const void *a, const void *b)
{
	unsigned first = *(const unsigned *)a;
	unsigned second = *(const unsigned *)b;
	return first < second ? -1 : first > second;
}

/* The connectors by number, ascending, then those that have none: "2, 13, C1 (no number)". */
static void add_joints(struct lt_text *out, const struct lt_tags *tags, const size_t *items,
	size_t count)
{
	unsigned *numbers = lt_alloc_array(count + 1, sizeof *numbers);
	size_t numbered = 0;
	for (size_t i = 0; i < count; i++)
		if (tags->number_of[items[i]] != 0)
			numbers[numbered++] = tags->number_of[items[i]];
	qsort(numbers, numbered, sizeof *numbers, by_size);
	for (size_t i = 0; i < numbered; i++)
		lt_text_printf(out, out->length == 0 ? "%u" : ", %u", numbers[i]);
	for (size_t i = 0; i < count; i++)
		if (tags->number_of[items[i]] == 0) {
			lt_text_add(out, out->length == 0 ? "" : ", ");
			lt_joint_add_number(out, tags, items[i]);
		}
	free(numbers);
}

/* How the joint is felt to be home; what is asked for where the description does not say. */
static const char *seat_of(const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	if (connector->seat != NULL)
		return connector->seat;
	/* A cover's screws are not pressed home: as it came off, so it goes back on. */
	if ((connector->kind == LT_CLIP || lt_kind_is_thing(connector->kind)) &&
		(connector->lock != NULL || connector->kind == LT_SCREW))
		return "right place: fasten it as it was, check that it holds, tick";
	if (connector->kind == LT_CLIP)
		return "right place: press it until it holds, pull gently, tick";
	if (connector->kind == LT_RING || connector->kind == LT_STRAP)
		return "right place: fasten it tight, pull gently, tick";
	if (connector->sides == 1 || tags->number_of[index] == 0)
		return "right place: seat it, pull gently, tick";
	return "right pair: seat it, pull gently, tick";
}

/* The checklist's part on paper, where what is not described can be written. */
static bool is_checklist(const struct lt_joint_facts *facts)
{
	return facts->medium == LT_JOINT_UNPLUG || facts->medium == LT_JOINT_MATE;
}

static const struct lt_connector *described(const struct lt_joint_facts *facts)
{
	return connector_of(facts->tags, facts->connector);
}

/* For a joint that only paper carries, what is not described is left to be written: the place and
 * the terminating point are all there is to find it by. */
static bool leave_blank(struct lt_joint_facts *facts)
{
	facts->said = LT_SAID_MISSING;
	return is_checklist(facts) && described(facts)->marking == LT_MARK_PAPER;
}

/* "port PWR on vent motor (M1), left gearbox". */
static bool add_mate(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	const struct lt_component *component = component_of(facts->tags, facts->connector);
	if (lt_joint_add_mate(out, facts->tags, facts->connector)) {
		if (component != NULL && component->where != NULL)
			lt_text_printf(out, ", %s", component->where);
		return true;
	}
	if (facts->medium != LT_JOINT_PANEL)
		return leave_blank(facts);
	facts->said = LT_SAID_MISSING;
	lt_text_add(out, "not described");
	return of->sides > 1 && lt_kind_mates(of->kind);
}

/* "behind the left cover, at 320 mm": the number stays with its unit. */
static bool add_place(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	if (of->where != NULL)
		lt_text_add(out, of->where);
	if (facts->medium == LT_JOINT_PANEL && of->has_at)
		lt_text_printf(out,
			of->where == NULL ? "at\xC2\xA0%.7g\xC2\xA0mm"
					  : ", at\xC2\xA0%.7g\xC2\xA0mm",
			of->at);
	return out->length > 0 || leave_blank(facts);
}

static bool add_seat(struct lt_text *out, struct lt_joint_facts *facts)
{
	const bool asks = is_checklist(facts) || facts->medium == LT_JOINT_PANEL;
	const char *seat = described(facts)->seat;
	if (asks)
		seat = seat_of(facts->tags, facts->connector);
	lt_text_add(out, seat != NULL ? seat : "");
	return true;
}

/* On a map some of the joints are named; a checklist names all, and asks for them. */
static bool add_after(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_indices *after = &described(facts)->after;
	const bool panel = facts->medium == LT_JOINT_PANEL;
	const size_t named = panel && after->count > AFTER_NAMED ? AFTER_NAMED : after->count;
	struct lt_text joints = { 0 };
	add_joints(&joints, facts->tags, after->items, named);
	if (named < after->count)
		lt_text_printf(out, "%s and %zu more", lt_text_string(&joints),
			after->count - named);
	else if (panel)
		lt_text_add(out, lt_text_string(&joints));
	else
		lt_text_printf(out,
			lt_plural(after->count, "%s: check that it is ticked",
				"%s: check that all are ticked"),
			lt_text_string(&joints));
	lt_text_finish(&joints);
	return after->count > 0;
}

static bool add_earth(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out, facts->earth != NULL ? facts->earth : "");
	return true;
}

/* "would also fit 5, 7: check the number". */
static bool add_lookalikes(struct lt_text *out, struct lt_joint_facts *facts)
{
	size_t items[LOOKALIKES_NAMED];
	if (facts->lookalikes == NULL)
		return false;
	const bool numbered = facts->tags->number_of[facts->connector] != 0;
	const size_t all =
		lt_lookalikes_of(facts->lookalikes, facts->connector, items, LOOKALIKES_NAMED);
	const size_t named = all < LOOKALIKES_NAMED ? all : LOOKALIKES_NAMED;
	struct lt_text joints = { 0 };
	add_joints(&joints, facts->tags, items, named);
	if (all > named)
		lt_text_printf(out,
			numbered ? "would also fit %s and %zu more: check the number"
				 : "would also fit %s and %zu more: check that it is the right one",
			lt_text_string(&joints), all - named);
	else
		lt_text_printf(out,
			numbered ? "would also fit %s: check the number"
				 : "would also fit %s: check that it is the right one",
			lt_text_string(&joints));
	lt_text_finish(&joints);
	return all > 0;
}

static bool add_fit(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out,
		facts->tags->number_of[facts->connector] != 0
			? "fit unknown, could fit elsewhere: check the number"
			: "fit unknown, could fit elsewhere: check that it is the right one");
	return lt_fit_unknown(facts->tags->harness, facts->connector);
}

/* What is done with a part that is replaced, and with the stickers that are on it: where they say
 * so, not when the joint is one-sided, has no number, or has it on paper. */
static bool add_replaced(struct lt_text *out, struct lt_joint_facts *facts)
{
	static const char *const plain[LT_JOINT_MEDIA] = {
		[LT_JOINT_UNPLUG] = "this part will be replaced",
		[LT_JOINT_MATE] = "mates with the new part, not with the old part",
		[LT_JOINT_PANEL] = "mates with the new part, not with the old part",
	};
	char mate[LT_TAG_SIZE], old[LT_TAG_SIZE];
	if (!lt_joint_part_replaced(facts->tags, facts->connector))
		return false;
	if (described(facts)->marking != LT_MARK_STICKER ||
		!lt_joint_tag(old, facts->tags, facts->connector, LT_SIDE_X) ||
		!lt_joint_tag(mate, facts->tags, facts->connector, LT_SIDE_M))
		lt_text_add(out, plain[facts->medium]);
	else if (facts->medium == LT_JOINT_UNPLUG)
		lt_text_printf(out,
			"Now: stick %s on the old part. If the old part has %s, stick %s over it. "
			"Later: stick %s on the new part, in the same place.",
			old, mate, old, mate);
	else
		lt_text_printf(out, "%s is on the new part, %s stays on the old part", mate, old);
	return true;
}

static bool add_paper(struct lt_text *out, struct lt_joint_facts *facts)
{
	static const char *const words[LT_JOINT_MEDIA] = {
		[LT_JOINT_UNPLUG] = "This line carries the number. Find the joint by its place and "
				    "its mate.",
		[LT_JOINT_MATE] = "This line carries the number. Find the joint by its place and "
				  "its mate.",
		[LT_JOINT_PANEL] = "the checklist carries the number",
		[LT_JOINT_PAGE] = "The checklist carries the number. Find the joint by its place "
				  "and its mate.",
	};
	lt_text_add(out, words[facts->medium]);
	return described(facts)->marking == LT_MARK_PAPER;
}

/* On paper a way and its colour are never parted by the end of a line. */
static bool add_wires(struct lt_text *out, struct lt_joint_facts *facts)
{
	struct lt_text wires = { 0 };
	lt_connector_wires(&wires, described(facts));
	const char *string = lt_text_string(&wires);
	for (size_t i = 0; string[i] != '\0'; i++) {
		if (is_checklist(facts) && string[i] == ' ' && i > 0 && string[i - 1] != ',')
			lt_text_add(out, "\xC2\xA0");
		else
			lt_text_add_char(out, string[i]);
	}
	lt_text_finish(&wires);
	return true;
}

static bool add_size(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	char size[24];
	lt_wire_size_write(size, &of->size);
	if (of->bundle > 0 && size[0] != '\0')
		lt_text_printf(out, "%s, bundle %.4g mm", size, of->bundle);
	else if (of->bundle > 0)
		lt_text_printf(out, "bundle %.4g mm", of->bundle);
	else
		lt_text_add(out, size);
	return true;
}

static bool add_hazard(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out, "a hazard names this joint: read that hazard first");
	return facts->in_hazard;
}

/* What to do with the caps of open ends. */
static const char *cap_of(enum lt_joint_medium medium)
{
	static const char *const words[LT_JOINT_MEDIA] = {
		[LT_JOINT_UNPLUG] = "close the open ends as soon as it is apart",
		[LT_JOINT_MATE] = "remove the caps, then make the joint",
		[LT_JOINT_PANEL] = "close the open ends while it is off",
		[LT_JOINT_PAGE] = "close the open ends while it is off",
		[LT_JOINT_SCREEN] = "close the open ends while it is off",
	};
	return words[medium];
}

static bool add_cap(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out, cap_of(facts->medium));
	return described(facts)->cap;
}

void lt_words_cap(struct lt_text *out, enum lt_joint_medium medium)
{
	lt_text_printf(out, "Cap: %s.", cap_of(medium));
}

/* "6 pieces, 4 x 16 mm, T20, 1.2 N m, cup C3": what is described of it. */
static bool add_fastening(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	const char *const parts[] = { of->dimension, of->tool, of->torque };
	if (of->count > 0)
		lt_text_printf(out, lt_plural(of->count, "%u piece", "%u pieces"), of->count);
	for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
		if (parts[i] == NULL)
			continue;
		lt_text_add(out, out->length > 0 ? ", " : "");
		lt_text_add(out, parts[i]);
	}
	if (of->cup != NULL)
		lt_text_printf(out, out->length > 0 ? ", cup %s" : "cup %s", of->cup);
	return true;
}

enum {
	UNPLUG = 1u << LT_JOINT_UNPLUG,
	MATE = 1u << LT_JOINT_MATE,
	PANEL = 1u << LT_JOINT_PANEL,
	PAGE = 1u << LT_JOINT_PAGE,
	SCREEN = 1u << LT_JOINT_SCREEN
};

/* By medium: unplug, mate, panel, page, screen. What has no function is a text of the description.
 */
static const struct fact {
	bool (*add)(struct lt_text *out, struct lt_joint_facts *facts);
	size_t given;                        /* offset of the text in struct lt_connector */
	unsigned char ranks[LT_JOINT_MEDIA]; /* 0: not shown there */
	const char *labels[LT_JOINT_MEDIA];
	unsigned loud; /* media in which it is a warning */
} table[LT_FACT_COUNT] = {
	[LT_FACT_HAZARD] = { add_hazard, 0, { 0, 0, 1, 0, 0 }, { NULL, NULL, "!", NULL, NULL },
		PANEL },
	[LT_FACT_CAUTION] = { NULL, offsetof(struct lt_connector, caution), { 1, 1, 2, 1, 1 },
		{ "caution", "caution", "caution", "Caution", "caution" },
		UNPLUG | MATE | PANEL | PAGE | SCREEN },
	[LT_FACT_MATE] = { add_mate, 0, { 2, 4, 3, 0, 2 },
		{ "mates with", "mates with", "mates with", NULL, "mates with" }, PANEL },
	[LT_FACT_PLACE] = { add_place, 0, { 3, 5, 4, 2, 3 },
		{ "place", "place", "place", "Place", "place" }, 0 },
	[LT_FACT_UNLOCK] = { NULL, offsetof(struct lt_connector, lock), { 4, 0, 5, 4, 4 },
		{ "unlock", NULL, "unlock", "Unlock", "unlock" }, 0 },
	[LT_FACT_FACING] = { NULL, offsetof(struct lt_connector, orient), { 0, 12, 6, 6, 6 },
		{ NULL, "facing", "facing", "Facing", "facing" }, 0 },
	[LT_FACT_CAP] = { add_cap, 0, { 5, 2, 17, 5, 5 }, { "cap", "cap", "cap", "Cap", "cap" },
		UNPLUG | MATE },
	[LT_FACT_FASTENING] = { add_fastening, 0, { 6, 10, 7, 7, 7 },
		{ "fastening", "fastening", "fastening", "Fastening", "fastening" }, 0 },
	[LT_FACT_SEAT] = { add_seat, 0, { 0, 13, 8, 8, 8 },
		{ NULL, "seat", "seat", "Seat", "seat" }, 0 },
	[LT_FACT_AFTER] = { add_after, 0, { 0, 3, 9, 0, 0 }, { NULL, "after", "after", NULL, NULL },
		MATE | PANEL },
	[LT_FACT_EARTH] = { add_earth, 0, { 0, 0, 10, 0, 0 }, { NULL, NULL, "earth", NULL, NULL },
		PANEL },
	[LT_FACT_LOOKALIKES] = { add_lookalikes, 0, { 0, 6, 11, 0, 0 },
		{ NULL, "fit", "fit", NULL, NULL }, MATE | PANEL },
	[LT_FACT_FIT] = { add_fit, 0, { 0, 7, 12, 0, 0 }, { NULL, "fit", "fit", NULL, NULL },
		MATE | PANEL },
	[LT_FACT_REPLACED] = { add_replaced, 0, { 7, 8, 13, 0, 0 },
		{ "old part", "new part", "new part", NULL, NULL }, MATE | PANEL },
	[LT_FACT_PAPER] = { add_paper, 0, { 8, 9, 14, 3, 0 },
		{ "no sticker", "no sticker", "no sticker", "No sticker", NULL }, 0 },
	[LT_FACT_WIRES] = { add_wires, 0, { 0, 11, 0, 0, 9 },
		{ NULL, "wires", NULL, NULL, "wires" }, 0 },
	[LT_FACT_SIZE] = { add_size, 0, { 0, 0, 16, 0, 0 }, { NULL, NULL, "wires", NULL, NULL },
		0 },
	[LT_FACT_CODING] = { NULL, offsetof(struct lt_connector, key), { 0, 0, 0, 9, 0 },
		{ NULL, NULL, NULL, "Coding", NULL }, 0 },
	[LT_FACT_SHELL] = { NULL, offsetof(struct lt_connector, family), { 0, 0, 0, 10, 0 },
		{ NULL, NULL, NULL, "Shell", NULL }, 0 },
	[LT_FACT_NOTE] = { NULL, offsetof(struct lt_connector, note), { 9, 14, 15, 11, 10 },
		{ "note", "note", "note", "Note", "note" }, 0 },
	[LT_FACT_PHOTO] = { NULL, offsetof(struct lt_connector, photo), { 0, 15, 0, 0, 0 },
		{ NULL, "photo", NULL, NULL, NULL }, 0 },
};

/* Whether there is something to say of it, which is then in `facts`. */
static bool fill_in(struct lt_joint_facts *facts, enum lt_joint_fact which)
{
	const struct fact *fact = &table[which];
	facts->fact = which;
	facts->label = fact->labels[facts->medium];
	facts->said = fact->loud >> facts->medium & 1 ? LT_SAID_LOUD : LT_SAID_PLAIN;
	lt_text_clear(&facts->text);
	if (fact->add != NULL)
		return fact->add(&facts->text, facts) &&
		       (facts->text.length > 0 || facts->said == LT_SAID_MISSING);
	const char *const *given =
		(const char *const *)((const char *)described(facts) + fact->given);
	lt_text_add(&facts->text, *given != NULL ? *given : "");
	return facts->text.length > 0;
}

bool lt_joint_facts_next(struct lt_joint_facts *facts)
{
	for (facts->rank++; facts->rank <= LT_FACT_COUNT; facts->rank++)
		for (enum lt_joint_fact i = LT_FACT_HAZARD; i < LT_FACT_COUNT; i++)
			if (table[i].ranks[facts->medium] == facts->rank && fill_in(facts, i))
				return true;
	lt_text_finish(&facts->text);
	return false;
}
