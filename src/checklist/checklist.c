/* The checklist: the caution, the hazards, the order of the work. */
#include "checklist/parts.h"
#include "loomtag/words.h"

#define WORDS lt_checklist_words

static const struct lt_document_style style = {
	.margin = LT_PAGE_MARGIN,
	.label_width = 19,
	.label_columns = 12,
	.below_paragraph = 1,
	.tag_best = LT_MARK_TAG_BEST,
	.gaps = { [LT_BLOCK_SECTION] = 8,
		[LT_BLOCK_PARAGRAPH] = 1,
		[LT_BLOCK_CAUTION] = 5,
		[LT_BLOCK_REMARK] = 4,
		[LT_BLOCK_HAZARD] = 4,
		[LT_BLOCK_TICK] = 2,
		[LT_BLOCK_SIGN] = 4 },
	.spaced = ~0u,
	.sign_height = 15,
	.sign = { { NULL, 1, 5 }, { NULL, 50, 0 } },
};

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
		block->badges[badges++] = unplug ? WORDS.replaced : WORDS.new_part;
	if (connector->marking == LT_MARK_PAPER)
		block->badges[badges] = WORDS.on_paper;
	while (lt_joint_facts_next(&facts))
		lt_document_item(list, facts.said == LT_SAID_LOUD ? LT_ITEM_LOUD : LT_ITEM_PLAIN,
			facts.label,
			facts.said == LT_SAID_MISSING ? NULL : lt_text_string(&facts.text));
}

/* A line is left to write on where the hazard has no energy. */
static void add_hazard_title(struct lt_document *list, const struct lt_hazard *hazard)
{
	struct lt_text title = { 0 };
	if (hazard->energy != NULL)
		lt_hazard_add_title(&title, hazard);
	lt_document_add(list, LT_BLOCK_HAZARD,
		hazard->energy != NULL ? lt_text_string(&title) : NULL);
	lt_text_finish(&title);
}

/* The order of 29 CFR 1910.147 (d): isolate, put on lock and warning label, release what is stored,
 * verify. */
static void add_hazard(struct lt_document *list, const struct lt_hazard *hazard)
{
	add_hazard_title(list, hazard);
	if (hazard->harm != NULL)
		lt_document_item(list, LT_ITEM_LOUD, lt_hazard_words.harm, hazard->harm);
	lt_document_item(list, LT_ITEM_TICK, lt_hazard_step_name(0), hazard->isolate);
	lt_document_item(list, LT_ITEM_TICK, lt_hazard_words.lock, lt_hazard_words.lock_on);
	lt_document_item(list, LT_ITEM_TICK, lt_hazard_step_name(1), hazard->release);
	lt_document_item(list, LT_ITEM_TICK, lt_hazard_step_name(2), hazard->prove);
}

static void add_hazards(struct lt_document *list, const struct lt_harness *harness)
{
	static const struct lt_hazard blank = { 0 };
	lt_document_add(list, LT_BLOCK_SECTION, WORDS.make_safe);
	lt_document_add(list, LT_BLOCK_PARAGRAPH, WORDS.make_safe_how);
	lt_document_add(list, LT_BLOCK_TICK, WORDS.every_energy_known);
	lt_document_add(list, LT_BLOCK_TICK, WORDS.people_told);
	for (size_t i = 0; i < harness->hazard_count; i++)
		add_hazard(list, &harness->hazards[i]);
	if (harness->hazard_count == 0) {
		lt_document_add(list, LT_BLOCK_CAUTION, WORDS.no_hazards);
		lt_document_item(list, LT_ITEM_PLAIN, "", WORDS.no_hazards_how);
		add_hazard(list, &blank);
	}
	/* One more in any case: the description may not know all. */
	add_hazard(list, &blank);
}

static void add_unplugging(struct lt_document *list, const struct lt_tags *tags)
{
	lt_document_add(list, LT_BLOCK_SECTION, WORDS.check_and_unplug);
	lt_document_add(list, LT_BLOCK_PARAGRAPH, WORDS.check_and_unplug_how);
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		add_joint(list, LT_BLOCK_UNPLUG, tags, NULL, i);
}

static void add_reconnecting(struct lt_document *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes)
{
	const struct lt_harness *harness = tags->harness;
	lt_document_add(list, LT_BLOCK_SECTION, WORDS.make_joints);
	lt_document_add(list, LT_BLOCK_PARAGRAPH, WORDS.make_joints_how);
	for (size_t i = 0; i < harness->connector_count; i++)
		add_joint(list, LT_BLOCK_MATE, tags, lookalikes, harness->order[i]);
}

static void add_count(struct lt_document *list, const struct lt_tags *tags)
{
	size_t all = tags->harness->connector_count;
	size_t numbered = 0;
	for (size_t i = 0; i < all; i++)
		numbered += tags->number_of[i] != 0;
	struct lt_text line = { 0 };
	lt_checklist_add_count(&line, all, numbered);
	lt_document_add(list, LT_BLOCK_TICK, lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_last_checks(struct lt_document *list, const struct lt_tags *tags)
{
	const struct lt_harness *harness = tags->harness;
	lt_document_add(list, LT_BLOCK_SECTION, WORDS.last_checks);
	add_count(list, tags);
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_document_add(list, LT_BLOCK_TICK, harness->finish[i].text);
	if (harness->finish_count > 0)
		return;
	lt_document_add(list, LT_BLOCK_PARAGRAPH, WORDS.no_last_checks);
	lt_document_add(list, LT_BLOCK_TICK, NULL);
	lt_document_add(list, LT_BLOCK_TICK, NULL);
}

/* The order of 29 CFR 1910.147 (e): look the machine over, clear tools, tell those affected, only
 * then take locks off; what was isolated last comes back first. */
static void add_restoring(struct lt_document *list, const struct lt_harness *harness)
{
	const bool any = harness->hazard_count > 0;
	lt_document_add(list, LT_BLOCK_SECTION, WORDS.restore);
	lt_document_add(list, LT_BLOCK_PARAGRAPH, WORDS.restore_how);
	lt_document_add(list, LT_BLOCK_TICK, WORDS.tools_out);
	lt_document_add(list, LT_BLOCK_TICK, WORDS.people_clear);
	lt_document_add(list, LT_BLOCK_TICK,
		any ? WORDS.other_written_energies : WORDS.written_energies);
	for (size_t i = harness->hazard_count; i-- > 0;) {
		add_hazard_title(list, &harness->hazards[i]);
		lt_document_item(list, LT_ITEM_TICK, lt_hazard_words.lock,
			lt_hazard_words.lock_off);
		lt_document_item(list, LT_ITEM_TICK, lt_hazard_step_name(3),
			harness->hazards[i].restore);
	}
	/* It is not one of a hazard's lines. */
	lt_document_add(list, LT_BLOCK_TICK, WORDS.run_and_watched)->gap = any ? 7 : 0;
}

void lt_checklist_head(struct lt_document *out, const struct lt_harness *harness,
	const struct lt_checklist_options *options)
{
	struct lt_text title = { 0 };
	lt_checklist_add_title(&title, harness);
	out->head = (struct lt_document_head){
		.title = lt_arena_shown(&out->arena, lt_text_string(&title)),
		.code = lt_arena_shown(&out->arena, harness->code),
		.unit = harness->own_unit ? "" : lt_arena_shown(&out->arena, harness->unit),
		.date = lt_arena_shown(&out->arena, options->date),
	};
	lt_text_finish(&title);
}

void lt_checklist_legend(struct lt_document *out)
{
	lt_document_add(out, LT_BLOCK_REMARK, lt_legend_words.sides)->detail =
		lt_legend_words.label;
}

/* The caller finishes it; `own_style` must outlive it. */
static void build(struct lt_document *out, struct lt_document_style *own_style,
	const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	const struct lt_checklist_options *options)
{
	*own_style = style;
	own_style->sign[1].label = WORDS.date;
	lt_document_init(out, own_style);
	lt_checklist_head(out, tags->harness, options);
	out->head.revision = lt_arena_shown(&out->arena, tags->harness->revision);
	lt_document_add(out, LT_BLOCK_PART, WORDS.part_unplug);
	lt_document_add(out, LT_BLOCK_CAUTION, WORDS.read_first);
	lt_document_item(out, LT_ITEM_PLAIN, "", lt_caution_work);
	lt_document_item(out, LT_ITEM_PLAIN, "", lt_caution_scan);
	lt_checklist_legend(out);
	add_hazards(out, tags->harness);
	add_unplugging(out, tags);
	lt_document_add(out, LT_BLOCK_SIGN, WORDS.unplugged_by);
	lt_document_add(out, LT_BLOCK_PART, WORDS.part_reconnect);
	add_reconnecting(out, tags, lookalikes);
	add_last_checks(out, tags);
	add_restoring(out, tags->harness);
	lt_document_add(out, LT_BLOCK_SIGN, WORDS.reconnected_by);
}

bool lt_checklist_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_document list;
	struct lt_document_style own_style;
	build(&list, &own_style, tags, lookalikes, options);
	bool drawn = lt_document_draw(canvas, &list, options->paper, measure, diags);
	lt_document_finish(&list);
	return drawn;
}

void lt_checklist_write(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options)
{
	struct lt_document list;
	struct lt_document_style own_style;
	build(&list, &own_style, tags, lookalikes, options);
	lt_document_write(out, &list, options->columns);
	lt_document_finish(&list);
}
