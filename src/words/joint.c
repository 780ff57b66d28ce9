/* What is said of a joint: one table of facts, for every medium that shows them. */
#include <stddef.h>
#include <stdlib.h>
#include <strings.h>

#include "loomtag/words.h"

/* Look-alikes named on a line; the rest is counted. */
#define LOOKALIKES_NAMED 12
/* Joints that come first, named on a map; a checklist names all. */
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

const char *lt_joint_port_word(const struct lt_connector *connector)
{
	return strncasecmp(connector->port, "port", 4) == 0 ? "" : "port ";
}

/* "port PWR on vent motor (M1), left gearbox"; false where nothing is known of it. */
static bool write_mate(struct lt_text *out, const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	const struct lt_component *component = component_of(tags, index);
	if (connector->port != NULL)
		lt_text_printf(out, "%s%s", lt_joint_port_word(connector), connector->port);
	if (component == NULL)
		return connector->port != NULL;
	if (connector->port != NULL)
		lt_text_add(out, " on ");
	if (component->name != NULL)
		lt_text_printf(out, "%s (%s)", component->name, component->id);
	else
		lt_text_add(out, component->id);
	if (component->where != NULL)
		lt_text_printf(out, ", %s", component->where);
	return true;
}

static int by_size(const void *a, const void *b)
{
	unsigned first = *(const unsigned *)a;
	unsigned second = *(const unsigned *)b;
	return first < second ? -1 : first > second;
}

/* What parts an item of a list from those before it. */
static const char *comma(size_t item, size_t count, const char *last)
{
	return item == 0 ? "" : item + 1 == count ? last : ", ";
}

/* The connectors by number, ascending, then by id those that have none; `last` stands before the
 * last one. */
static void write_joints(struct lt_text *out, const struct lt_tags *tags, const size_t *items,
	size_t count, const char *last)
{
	unsigned *numbers = lt_alloc_array(count + 1, sizeof *numbers);
	size_t numbered = 0;
	for (size_t i = 0; i < count; i++)
		if (tags->number_of[items[i]] != 0)
			numbers[numbered++] = tags->number_of[items[i]];
	qsort(numbers, numbered, sizeof *numbers, by_size);
	for (size_t i = 0; i < numbered; i++)
		lt_text_printf(out, "%s%u", comma(i, count, last), numbers[i]);
	for (size_t i = 0, item = numbered; i < count; i++)
		if (tags->number_of[items[i]] == 0)
			lt_text_printf(out, "%s%s (no number)", comma(item++, count, last),
				connector_of(tags, items[i])->id);
	free(numbers);
}

/* What must be made first, some of it named; `last` stands before the last one where all are. */
static void write_after(struct lt_text *out, const struct lt_tags *tags, size_t index, size_t most,
	const char *last)
{
	const struct lt_indices *after = &connector_of(tags, index)->after;
	size_t named = after->count < most ? after->count : most;
	write_joints(out, tags, after->items, named, named < after->count ? ", " : last);
	if (named < after->count)
		lt_text_printf(out, " and %zu more", after->count - named);
}

static const char *what_to_check(const struct lt_tags *tags, size_t index)
{
	return tags->number_of[index] != 0 ? "check the number" : "check that it is the right one";
}

/* How the joint is felt to be home; what is asked for where the description does not say. */
static const char *seat_of(const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	if (connector->seat != NULL)
		return connector->seat;
	/* A cover's screws are not pressed home: as it came off, so it goes back on. */
	if (connector->kind == LT_CLIP && connector->lock != NULL)
		return "right place: fasten it as it was, see that it holds, tick";
	if (connector->kind == LT_CLIP)
		return "press it home until it holds; pull gently, tick";
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

/* What the joint goes on to, as the screen says it. */
static bool say_mate_short(struct lt_text *out, const struct lt_joint_facts *facts)
{
	const struct lt_component *component = component_of(facts->tags, facts->connector);
	if (component == NULL)
		return false;
	lt_text_add(out, lt_connector_mate_name(facts->tags->harness, facts->connector));
	if (component->name != NULL)
		lt_text_printf(out, " (%s)", component->id);
	if (described(facts)->port != NULL)
		lt_text_printf(out, ", at %s", described(facts)->port);
	if (component->where != NULL)
		lt_text_printf(out, ", %s", component->where);
	return true;
}

static bool say_mate(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	if (facts->medium == LT_JOINT_SCREEN)
		return say_mate_short(out, facts);
	if (write_mate(out, facts->tags, facts->connector))
		return true;
	if (facts->medium != LT_JOINT_PANEL)
		return leave_blank(facts);
	facts->said = LT_SAID_MISSING;
	lt_text_add(out, "not described");
	return of->sides > 1 && of->kind != LT_CLIP;
}

/* "behind the left cover, at 320 mm": the number stays with its unit. */
static bool say_place(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	if (of->where != NULL)
		lt_text_add(out, of->where);
	if (facts->medium == LT_JOINT_PANEL && of->has_at)
		lt_text_printf(out, "%sat\xC2\xA0%.7g\xC2\xA0mm", out->length > 0 ? ", " : "",
			of->at);
	return out->length > 0 || leave_blank(facts);
}

static bool say_seat(struct lt_text *out, struct lt_joint_facts *facts)
{
	const bool asks = is_checklist(facts) || facts->medium == LT_JOINT_PANEL;
	const char *seat = described(facts)->seat;
	if (asks)
		seat = seat_of(facts->tags, facts->connector);
	lt_text_add(out, seat != NULL ? seat : "");
	return true;
}

static bool say_order(struct lt_text *out, struct lt_joint_facts *facts)
{
	const size_t count = described(facts)->after.count;
	if (count == 0)
		return false;
	if (facts->medium == LT_JOINT_PANEL) {
		lt_text_add(out, "make ");
		write_after(out, facts->tags, facts->connector, AFTER_NAMED, " and ");
		lt_text_add(out, " first");
		return true;
	}
	lt_text_add(out, "after ");
	write_after(out, facts->tags, facts->connector, count, ", ");
	lt_text_add(out, count == 1 ? ": is it ticked?" : ": are they ticked?");
	return true;
}

static bool say_earth(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out, facts->earth != NULL ? facts->earth : "");
	return true;
}

/* "would also fit 5, 7: check the number". */
static bool say_lookalikes(struct lt_text *out, struct lt_joint_facts *facts)
{
	size_t items[LOOKALIKES_NAMED];
	if (facts->lookalikes == NULL)
		return false;
	size_t all = lt_lookalikes_of(facts->lookalikes, facts->connector, items, LOOKALIKES_NAMED);
	size_t named = all < LOOKALIKES_NAMED ? all : LOOKALIKES_NAMED;
	lt_text_add(out, "would also fit ");
	write_joints(out, facts->tags, items, named, ", ");
	if (all > named)
		lt_text_printf(out, " and %zu more", all - named);
	lt_text_printf(out, ": %s", what_to_check(facts->tags, facts->connector));
	return all > 0;
}

static bool say_fit(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_printf(out, "fit unknown, might go on others: %s",
		what_to_check(facts->tags, facts->connector));
	return lt_fit_unknown(facts->tags->harness, facts->connector);
}

/* What is done with a part that is replaced, and with the stickers that are on it: where they say
 * so, not when the joint is one-sided, has no number, or has it on paper. */
static bool say_replaced(struct lt_text *out, struct lt_joint_facts *facts)
{
	static const char *const plain[LT_JOINT_MEDIA] = {
		[LT_JOINT_UNPLUG] = "this part is replaced",
		[LT_JOINT_MATE] = "this goes on the new part",
		[LT_JOINT_PANEL] = "NEW PART goes in: this goes on it, not back on the old one",
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
			"old part gets %s, over any %s that is on it; another %s goes on the new part "
			"before the old one leaves the bench",
			old, mate, mate);
	else
		lt_text_printf(out, "%s: %s is on the new part, %s stays on the old one",
			facts->medium == LT_JOINT_MATE ? "the number moves" : "NEW PART goes in",
			mate, old);
	return true;
}

static bool say_paper(struct lt_text *out, struct lt_joint_facts *facts)
{
	static const char *const words[LT_JOINT_MEDIA] = {
		[LT_JOINT_UNPLUG] =
			"no room for a sticker: this line carries the number; go by place "
			"and mate",
		[LT_JOINT_MATE] =
			"no room for a sticker: this line carries the number; go by place "
			"and mate",
		[LT_JOINT_PANEL] = "none: its tag is on paper",
		[LT_JOINT_PAGE] = "no room for a sticker: the checklist carries the number; go by "
				  "place and mate",
	};
	lt_text_add(out, words[facts->medium]);
	return described(facts)->marking == LT_MARK_PAPER;
}

/* On paper a way and its colour are never parted by the end of a line. */
static bool say_wires(struct lt_text *out, struct lt_joint_facts *facts)
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

static bool say_size(struct lt_text *out, struct lt_joint_facts *facts)
{
	const struct lt_connector *of = described(facts);
	char size[24];
	lt_wire_size_write(size, &of->size);
	lt_text_add(out, size);
	if (of->bundle > 0)
		lt_text_printf(out, "%sbundle %.4g mm", out->length > 0 ? ", " : "", of->bundle);
	return true;
}

static bool say_hazard(struct lt_text *out, struct lt_joint_facts *facts)
{
	lt_text_add(out, "named in a hazard: read it first");
	return facts->in_hazard;
}

enum { MATE = 1u << LT_JOINT_MATE, PANEL = 1u << LT_JOINT_PANEL };

/* By medium: unplug, mate, panel, page, screen. What has no function is a text of the description.
 */
static const struct fact {
	bool (*say)(struct lt_text *out, struct lt_joint_facts *facts);
	size_t given;                        /* offset of the text in struct lt_connector */
	unsigned char ranks[LT_JOINT_MEDIA]; /* 0: not shown there */
	const char *labels[LT_JOINT_MEDIA];
	unsigned loud; /* media in which it is a warning */
} table[LT_FACT_COUNT] = {
	[LT_FACT_HAZARD] = { say_hazard, 0, { 0, 0, 1, 0, 0 }, { NULL, NULL, "!", NULL, NULL },
		PANEL },
	[LT_FACT_MATE] = { say_mate, 0, { 1, 2, 2, 0, 1 }, { "from", "onto", "mates", NULL, "on" },
		PANEL },
	[LT_FACT_PLACE] = { say_place, 0, { 2, 3, 3, 1, 2 },
		{ "place", "place", "place", "Where it is", "place" }, 0 },
	[LT_FACT_UNLOCK] = { NULL, offsetof(struct lt_connector, lock), { 3, 0, 4, 3, 3 },
		{ "unlock", NULL, "unlock", "Unlock", "unlock" }, 0 },
	[LT_FACT_FACING] = { NULL, offsetof(struct lt_connector, orient), { 0, 9, 5, 4, 4 },
		{ NULL, "facing", "facing", "Which way round", "turned" }, 0 },
	[LT_FACT_SEAT] = { say_seat, 0, { 0, 10, 6, 5, 5 },
		{ NULL, "seat", "seat", "Seat", "seats" }, 0 },
	[LT_FACT_ORDER] = { say_order, 0, { 0, 1, 7, 0, 0 }, { NULL, "first", "order", NULL, NULL },
		MATE | PANEL },
	[LT_FACT_EARTH] = { say_earth, 0, { 0, 0, 8, 0, 0 }, { NULL, NULL, "earth", NULL, NULL },
		PANEL },
	[LT_FACT_LOOKALIKES] = { say_lookalikes, 0, { 0, 4, 9, 0, 0 },
		{ NULL, "check", "check", NULL, NULL }, MATE | PANEL },
	[LT_FACT_FIT] = { say_fit, 0, { 0, 5, 10, 0, 0 }, { NULL, "check", "check", NULL, NULL },
		MATE | PANEL },
	[LT_FACT_REPLACED] = { say_replaced, 0, { 4, 6, 11, 0, 0 },
		{ "replaced", "new part", "replaced", NULL, NULL }, MATE | PANEL },
	[LT_FACT_PAPER] = { say_paper, 0, { 5, 7, 12, 2, 0 },
		{ "on paper", "on paper", "sticker", "On paper", NULL }, 0 },
	[LT_FACT_WIRES] = { say_wires, 0, { 0, 8, 0, 0, 6 }, { NULL, "wires", NULL, NULL, "wires" },
		0 },
	[LT_FACT_SIZE] = { say_size, 0, { 0, 0, 14, 0, 0 }, { NULL, NULL, "wires", NULL, NULL },
		0 },
	[LT_FACT_CODING] = { NULL, offsetof(struct lt_connector, key), { 0, 0, 0, 6, 0 },
		{ NULL, NULL, NULL, "Coding", NULL }, 0 },
	[LT_FACT_SHELL] = { NULL, offsetof(struct lt_connector, family), { 0, 0, 0, 7, 0 },
		{ NULL, NULL, NULL, "Shell", NULL }, 0 },
	[LT_FACT_NOTE] = { NULL, offsetof(struct lt_connector, note), { 6, 11, 13, 8, 7 },
		{ "note", "note", "note", "Note", "note" }, 0 },
	[LT_FACT_PHOTO] = { NULL, offsetof(struct lt_connector, photo), { 0, 12, 0, 0, 0 },
		{ NULL, "photo", NULL, NULL, NULL }, 0 },
};

/* Whether there is something to say of it, which is then in `facts`. */
static bool say(struct lt_joint_facts *facts, enum lt_joint_fact which)
{
	const struct fact *fact = &table[which];
	facts->fact = which;
	facts->label = fact->labels[facts->medium];
	facts->said = fact->loud >> facts->medium & 1 ? LT_SAID_LOUD : LT_SAID_PLAIN;
	lt_text_clear(&facts->text);
	if (fact->say != NULL)
		return fact->say(&facts->text, facts) &&
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
			if (table[i].ranks[facts->medium] == facts->rank && say(facts, i))
				return true;
	lt_text_finish(&facts->text);
	return false;
}
