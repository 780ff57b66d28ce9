/* The checklist: the caution, the hazards, the order of the work. */
#include "checklist/parts.h"
#include "loomtag/words.h"

static const struct lt_document_style style = {
	.margin = LT_PAGE_MARGIN,
	.label_width = 19,
	.label_columns = 12,
	.below_paragraph = 1,
	.tag_best = LT_MARK_TAG_BEST,
	.gaps = { [LT_BLOCK_SECTION] = 8,
		[LT_BLOCK_PARAGRAPH] = 1,
		[LT_BLOCK_CAUTION] = 5,
		[LT_BLOCK_HAZARD] = 4,
		[LT_BLOCK_TICK] = 2,
		[LT_BLOCK_SIGN] = 4 },
	.spaced = ~0u,
	.sign_height = 15,
	.sign = { { NULL, 1, 5 }, { "date", 50, 0 } },
};

static const char NO_HAZARDS[] =
	"That does not mean there are none: look for mains, batteries and charged capacitors, "
	"springs and raised weights, pressure, heat, and any supply that can feed back another "
	"way. Write down what you find and make it safe before "
	"anything is unplugged.";

static const char *tag_of(struct lt_document *list, const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	char tag[LT_TAG_SIZE];
	return lt_joint_tag(tag, tags, connector, side) ? lt_arena_strdup(&list->arena, tag) : NULL;
}

struct lt_tag_pair lt_checklist_tags(struct lt_document *list, const struct lt_tags *tags,
	size_t connector, bool old)
{
	const unsigned number = tags->number_of[connector];
	const char *mate = old ? tag_of(list, tags, connector, LT_SIDE_X) : NULL;
	return (struct lt_tag_pair){
		.tag = tag_of(list, tags, connector, LT_SIDE_H),
		.mate = mate != NULL ? mate : tag_of(list, tags, connector, LT_SIDE_M),
		.turned = number != 0 && lt_upside_down(number) != 0,
	};
}

/* A joint with its facts; the detail is "X1, plug", or the kind alone where the id is the title. */
static void add_joint(struct lt_document *list, enum lt_block_kind kind, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t index)
{
	const bool unplug = kind == LT_BLOCK_UNPLUG;
	const struct lt_connector *connector = &tags->harness->connectors[index];
	const char *name = connector->name != NULL ? connector->name : connector->id;
	struct lt_joint_facts facts = { .tags = tags,
		.lookalikes = lookalikes,
		.connector = index,
		.medium = unplug ? LT_JOINT_UNPLUG : LT_JOINT_MATE };
	struct lt_block *block = lt_document_add(list, kind, name);
	size_t badges = 0;
	block->detail = lt_kind_name(connector->kind);
	if (connector->name != NULL)
		block->detail = lt_arena_shown(&list->arena,
			lt_arena_printf(&list->arena, "%s, %s", connector->id, block->detail));
	block->tags = lt_checklist_tags(list, tags, index, unplug);
	block->sticker = block->tags.tag != NULL && connector->marking == LT_MARK_STICKER;
	if (lt_joint_part_replaced(tags, index))
		block->badges[badges++] = unplug ? "REPLACED" : "NEW PART";
	if (connector->marking == LT_MARK_PAPER)
		block->badges[badges] = "ON PAPER";
	while (lt_joint_facts_next(&facts))
		lt_document_item(list, facts.said == LT_SAID_LOUD ? LT_ITEM_LOUD : LT_ITEM_PLAIN,
			facts.label,
			facts.said == LT_SAID_MISSING ? NULL : lt_text_string(&facts.text));
}

static void add_energy(struct lt_document *list, const struct lt_hazard *hazard)
{
	lt_document_add(list, LT_BLOCK_HAZARD,
		hazard->energy != NULL ? lt_arena_printf(&list->arena, "Energy: %s", hazard->energy)
				       : NULL);
}

/* The order of 29 CFR 1910.147 (d): isolate, lock or tag, release what is stored, verify. */
static void add_hazard(struct lt_document *list, const struct lt_hazard *hazard)
{
	add_energy(list, hazard);
	lt_document_item(list, LT_ITEM_TICK, "isolate", hazard->isolate);
	lt_document_item(list, LT_ITEM_TICK, "lock or tag",
		"own lock or tag is on, with name, date and reason");
	lt_document_item(list, LT_ITEM_TICK, "release", hazard->release);
	lt_document_item(list, LT_ITEM_TICK, "prove", hazard->prove);
}

static void add_hazards(struct lt_document *list, const struct lt_harness *harness)
{
	static const struct lt_hazard blank = { 0 };
	lt_document_add(list, LT_BLOCK_SECTION, "Make it safe");
	lt_document_add(list, LT_BLOCK_PARAGRAPH,
		"From the first line to the last, in this order. Where a line is blank, nothing is "
		"described: write what was done, or “none”. Try the tester on a known source "
		"before and after.");
	lt_document_add(list, LT_BLOCK_TICK,
		"Every energy is known: those below, and any that was found on looking");
	lt_document_add(list, LT_BLOCK_TICK,
		"Those affected are told, and the machine is shut down in the normal way");
	for (size_t i = 0; i < harness->hazard_count; i++)
		add_hazard(list, &harness->hazards[i]);
	if (harness->hazard_count == 0) {
		lt_document_add(list, LT_BLOCK_CAUTION, "No hazards are listed for this harness");
		lt_document_item(list, LT_ITEM_PLAIN, "", NO_HAZARDS);
		add_hazard(list, &blank);
	}
	/* One more in any case: the description may not know all. */
	add_hazard(list, &blank);
}

static void add_unplugging(struct lt_document *list, const struct lt_tags *tags)
{
	lt_document_add(list, LT_BLOCK_SECTION, "Check the stickers, then unplug");
	lt_document_add(list, LT_BLOCK_PARAGRAPH,
		"First box, while everything is still plugged in: the same number is on both halves. "
		"When every first box is ticked, unplug in this order and tick the second.");
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		add_joint(list, LT_BLOCK_UNPLUG, tags, NULL, i);
}

static void add_reconnecting(struct lt_document *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes)
{
	const struct lt_harness *harness = tags->harness;
	lt_document_add(list, LT_BLOCK_SECTION, "Make the joints in this order");
	lt_document_add(list, LT_BLOCK_PARAGRAPH,
		"The same number on both halves: that is the right pair. Seat it, pull gently, tick. "
		"One joint is finished before the next is begun.");
	for (size_t i = 0; i < harness->connector_count; i++)
		add_joint(list, LT_BLOCK_MATE, tags, lookalikes, harness->order[i]);
}

/* "All 14 joints above are ticked: 12 by number, 2 by eye". */
static void add_count(struct lt_document *list, const struct lt_tags *tags)
{
	size_t all = tags->harness->connector_count;
	size_t numbered = 0;
	for (size_t i = 0; i < all; i++)
		numbered += tags->number_of[i] != 0;
	struct lt_text line = { 0 };
	lt_text_printf(&line,
		all == 1 ? "The one joint above is ticked" : "All %zu joints above are ticked",
		all);
	if (numbered < all)
		lt_text_printf(&line, ": %zu by number, %zu by eye", numbered, all - numbered);
	lt_document_add(list, LT_BLOCK_TICK, lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_last_checks(struct lt_document *list, const struct lt_tags *tags)
{
	const struct lt_harness *harness = tags->harness;
	lt_document_add(list, LT_BLOCK_SECTION, "Last checks");
	add_count(list, tags);
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_document_add(list, LT_BLOCK_TICK, harness->finish[i].text);
	if (harness->finish_count > 0)
		return;
	lt_document_add(list, LT_BLOCK_PARAGRAPH,
		"No last checks are listed for this harness. Write what has to be looked at before "
		"the covers close:");
	lt_document_add(list, LT_BLOCK_TICK, NULL);
	lt_document_add(list, LT_BLOCK_TICK, NULL);
}

/* The order of 29 CFR 1910.147 (e): look the machine over, clear tools, tell those affected, only
 * then take locks off; what was isolated last comes back first. */
static void add_restoring(struct lt_document *list, const struct lt_harness *harness)
{
	lt_document_add(list, LT_BLOCK_SECTION, "Restore the energies");
	lt_document_add(list, LT_BLOCK_PARAGRAPH,
		"In this order, by those licensed to do it where local codes say so. Not before "
		"every line above is ticked.");
	lt_document_add(list, LT_BLOCK_TICK, "Tools and loose parts are out, covers are closed");
	lt_document_add(list, LT_BLOCK_TICK, "Everyone affected is told and stands clear");
	lt_document_add(list, LT_BLOCK_TICK,
		harness->hazard_count == 0
			? "Every energy written down in part 1 is restored, the last one first"
			: "Any other energy written down in part 1 is restored, the last one first");
	for (size_t i = harness->hazard_count; i-- > 0;) {
		add_energy(list, &harness->hazards[i]);
		lt_document_item(list, LT_ITEM_TICK, "lock or tag",
			"taken off by whoever put it on");
		lt_document_item(list, LT_ITEM_TICK, "restore", harness->hazards[i].restore);
	}
	/* It is not one of a hazard's lines. */
	lt_document_add(list, LT_BLOCK_TICK, "It was run and watched")->gap =
		harness->hazard_count > 0 ? 7 : 0;
}

void lt_checklist_head(struct lt_document *out, const struct lt_harness *harness,
	const struct lt_checklist_options *options)
{
	out->head = (struct lt_document_head){
		.title = harness->title != NULL
				 ? lt_arena_shown(&out->arena, harness->title)
				 : lt_arena_printf(&out->arena, "Harness %s", harness->harness),
		.code = lt_arena_shown(&out->arena, harness->code),
		.unit = lt_arena_shown(&out->arena, harness->unit),
		.date = lt_arena_shown(&out->arena, options->date),
	};
}

/* The caller finishes it. */
static void build(struct lt_document *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options)
{
	lt_document_init(out, &style);
	lt_checklist_head(out, tags->harness, options);
	out->head.revision = lt_arena_shown(&out->arena, tags->harness->revision);
	lt_document_add(out, LT_BLOCK_PART, "Part 1: Before unplugging");
	lt_document_add(out, LT_BLOCK_CAUTION, "Caution");
	lt_document_item(out, LT_ITEM_PLAIN, "", lt_caution_work);
	lt_document_item(out, LT_ITEM_PLAIN, "", lt_caution_scan);
	add_hazards(out, tags->harness);
	add_unplugging(out, tags);
	lt_document_add(out, LT_BLOCK_SIGN, "Part 1 done by");
	lt_document_add(out, LT_BLOCK_PART, "Part 2: Reconnecting");
	add_reconnecting(out, tags, lookalikes);
	add_last_checks(out, tags);
	add_restoring(out, tags->harness);
	lt_document_add(out, LT_BLOCK_SIGN, "Part 2 done by");
}

bool lt_checklist_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_document list;
	build(&list, tags, lookalikes, options);
	bool drawn = lt_document_draw(canvas, &list, options->paper, measure, diags);
	lt_document_finish(&list);
	return drawn;
}

void lt_checklist_write(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options)
{
	struct lt_document list;
	build(&list, tags, lookalikes, options);
	lt_document_write(out, &list, options->columns);
	lt_document_finish(&list);
}
