/* What the checklist says of one joint. */
#include "checklist/model.h"
#include "loomtag/words.h"

static const struct lt_connector *connector_of(const struct lt_tags *tags, size_t connector)
{
	return &tags->harness->connectors[connector];
}

static const struct lt_component *component_of(const struct lt_tags *tags, size_t connector)
{
	size_t component = connector_of(tags, connector)->component;
	return component == LT_NONE ? NULL : &tags->harness->components[component];
}

static bool part_is_replaced(const struct lt_tags *tags, size_t connector)
{
	const struct lt_component *component = component_of(tags, connector);
	return component != NULL && component->replace;
}

static bool has_side(const struct lt_tags *tags, size_t connector, enum lt_side side)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, tags, connector);
	for (size_t i = 0; i < count; i++)
		if (sides[i] == side)
			return true;
	return false;
}

static const char *tag_of(struct lt_checklist *list, const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	char tag[LT_TAG_SIZE];
	if (!has_side(tags, connector, side))
		return NULL;
	lt_tag_write(tag, tags->number_of[connector], side);
	return lt_arena_strdup(&list->arena, tag);
}

/* "X1, plug", or the kind alone where the id is the title. */
static const char *detail_of(struct lt_checklist *list, const struct lt_connector *connector)
{
	const char *kind = lt_kind_name(connector->kind);
	if (connector->name == NULL)
		return lt_arena_strdup(&list->arena, kind);
	return lt_arena_shown(&list->arena,
		lt_arena_printf(&list->arena, "%s, %s", connector->id, kind));
}

static void add_badge(struct lt_entry *entry, const char *badge)
{
	for (size_t i = 0; i < LT_ENTRY_BADGES; i++) {
		if (entry->badges[i] == NULL) {
			entry->badges[i] = badge;
			return;
		}
	}
}

static void add_joint(struct lt_checklist *list, enum lt_entry_kind kind,
	const struct lt_tags *tags, size_t index, enum lt_side mate)
{
	const struct lt_connector *connector = connector_of(tags, index);
	struct lt_entry *entry = lt_checklist_add(list, kind,
		connector->name != NULL ? connector->name : connector->id);
	unsigned number = tags->number_of[index];
	entry->detail = detail_of(list, connector);
	entry->tags[0] = tag_of(list, tags, index, LT_SIDE_H);
	entry->tags[1] = tag_of(list, tags, index, mate);
	entry->turned = number != 0 && lt_upside_down(number) != 0;
	entry->sticker = number != 0 && connector->marking == LT_MARK_STICKER;
	if (part_is_replaced(tags, index))
		add_badge(entry, kind == LT_ENTRY_MATE ? "NEW PART" : "REPLACED");
	if (connector->marking == LT_MARK_PAPER)
		add_badge(entry, "ON PAPER");
}

/* Where it is and what it joins. For a joint that only paper carries, what is not described is
 * left to be written: the place and the terminating point are all there is to find it by. */
static void add_where(struct lt_checklist *list, const struct lt_tags *tags, size_t index,
	const char *mate_label)
{
	const struct lt_connector *connector = connector_of(tags, index);
	bool paper = connector->marking == LT_MARK_PAPER;
	struct lt_text mate = { 0 };
	if (lt_joint_mate(&mate, tags, index))
		lt_checklist_fact(list, LT_FACT_PLAIN, mate_label, lt_text_string(&mate));
	else if (paper)
		lt_checklist_fact(list, LT_FACT_PLAIN, mate_label, NULL);
	lt_text_finish(&mate);
	if (paper && connector->where == NULL)
		lt_checklist_fact(list, LT_FACT_PLAIN, "place", NULL);
	else
		lt_checklist_given(list, "place", connector->where);
}

static void add_paper(struct lt_checklist *list, const struct lt_connector *connector)
{
	if (connector->marking == LT_MARK_PAPER)
		lt_checklist_fact(list, LT_FACT_PLAIN, "on paper",
			"no room for a sticker: this line carries the number; go by place and mate");
}

/* True when a part that is replaced has stickers that say so, not when the joint is one-sided, has
 * no number, or has it on paper. */
static bool moves_sticker(const struct lt_tags *tags, size_t index)
{
	return connector_of(tags, index)->marking == LT_MARK_STICKER &&
	       has_side(tags, index, LT_SIDE_X) && has_side(tags, index, LT_SIDE_M);
}

static void add_old_part(struct lt_checklist *list, const struct lt_tags *tags, size_t index)
{
	if (!part_is_replaced(tags, index))
		return;
	const char *text = "this part is replaced";
	if (moves_sticker(tags, index))
		text = lt_arena_printf(&list->arena,
			"old part gets %s, over any %s that is on it; another %s goes on the new "
			"part before the old one leaves the bench",
			tag_of(list, tags, index, LT_SIDE_X), tag_of(list, tags, index, LT_SIDE_M),
			tag_of(list, tags, index, LT_SIDE_M));
	lt_checklist_fact(list, LT_FACT_PLAIN, "replaced", text);
}

void lt_checklist_unplug(struct lt_checklist *list, const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	bool old = has_side(tags, index, LT_SIDE_X);
	add_joint(list, LT_ENTRY_UNPLUG, tags, index, old ? LT_SIDE_X : LT_SIDE_M);
	add_where(list, tags, index, "from");
	lt_checklist_given(list, "unlock", connector->lock);
	add_old_part(list, tags, index);
	add_paper(list, connector);
	lt_checklist_given(list, "note", connector->note);
}

static void add_after(struct lt_checklist *list, const struct lt_tags *tags, size_t index)
{
	const struct lt_indices *after = &connector_of(tags, index)->after;
	if (after->count == 0)
		return;
	struct lt_text line = { 0 };
	lt_joint_after(&line, tags, index, after->count);
	lt_text_add(&line, after->count == 1 ? ": is it ticked?" : ": are they ticked?");
	lt_checklist_fact(list, LT_FACT_WARNING, "first", lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_lookalikes(struct lt_checklist *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t index)
{
	struct lt_text line = { 0 };
	if (lt_joint_lookalikes(&line, tags, lookalikes, index))
		lt_checklist_fact(list, LT_FACT_WARNING, "check", lt_text_string(&line));
	lt_text_clear(&line);
	if (lt_joint_unknown_fit(&line, tags, index))
		lt_checklist_fact(list, LT_FACT_WARNING, "check", lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_new_part(struct lt_checklist *list, const struct lt_tags *tags, size_t index)
{
	if (!part_is_replaced(tags, index))
		return;
	const char *text = "this goes on the new part";
	if (moves_sticker(tags, index))
		text = lt_arena_printf(&list->arena,
			"the number moves: %s is on the new part, %s stays on the old one",
			tag_of(list, tags, index, LT_SIDE_M), tag_of(list, tags, index, LT_SIDE_X));
	lt_checklist_fact(list, LT_FACT_WARNING, "new part", text);
}

/* A way and its colour are never parted by the end of a line. */
static void add_wires(struct lt_checklist *list, const struct lt_connector *connector)
{
	static const char no_break_space[] = "\xC2\xA0";
	struct lt_text wires = { 0 };
	struct lt_text bound = { 0 };
	lt_connector_wires(&wires, connector);
	const char *string = lt_text_string(&wires);
	for (size_t i = 0; string[i] != '\0'; i++) {
		if (string[i] == ' ' && i > 0 && string[i - 1] != ',')
			lt_text_add(&bound, no_break_space);
		else
			lt_text_add_char(&bound, string[i]);
	}
	lt_checklist_given(list, "wires", lt_text_string(&bound));
	lt_text_finish(&bound);
	lt_text_finish(&wires);
}

void lt_checklist_mate(struct lt_checklist *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	add_joint(list, LT_ENTRY_MATE, tags, index, LT_SIDE_M);
	add_after(list, tags, index);
	add_where(list, tags, index, "onto");
	add_lookalikes(list, tags, lookalikes, index);
	add_new_part(list, tags, index);
	add_paper(list, connector);
	add_wires(list, connector);
	lt_checklist_given(list, "facing", connector->orient);
	lt_checklist_fact(list, LT_FACT_PLAIN, "seat", lt_joint_seat(tags, index));
	lt_checklist_given(list, "note", connector->note);
	lt_checklist_given(list, "photo", connector->photo);
}
