/* What the checklist says: the caution, the hazards, the order of the work. */
#include <stdlib.h>
#include <string.h>

#include "checklist/model.h"
#include "loomtag/base.h"

static const char NO_HAZARDS[] =
	"That does not mean there are none: look for mains, batteries and charged capacitors, "
	"springs and raised weights, pressure, heat, and any supply that can feed back another "
	"way. Write down what you find and make it safe before "
	"anything is unplugged.";

struct lt_entry *lt_checklist_add(struct lt_checklist *list, enum lt_entry_kind kind,
	const char *title)
{
	list->entries = lt_grow(list->entries, &list->room, list->count + 1, sizeof *list->entries);
	struct lt_entry *entry = &list->entries[list->count++];
	*entry = (struct lt_entry){ .kind = kind,
		.title = lt_arena_shown(&list->arena, title),
		.first = list->fact_count };
	return entry;
}

void lt_checklist_fact(struct lt_checklist *list, enum lt_fact_kind kind, const char *label,
	const char *text)
{
	list->facts =
		lt_grow(list->facts, &list->fact_room, list->fact_count + 1, sizeof *list->facts);
	list->facts[list->fact_count++] =
		(struct lt_fact){ kind, label, lt_arena_shown(&list->arena, text) };
	list->entries[list->count - 1].count++;
}

void lt_checklist_given(struct lt_checklist *list, const char *label, const char *text)
{
	if (text != NULL && text[0] != '\0')
		lt_checklist_fact(list, LT_FACT_PLAIN, label, text);
}

static void add_caution(struct lt_checklist *list)
{
	lt_checklist_add(list, LT_ENTRY_CAUTION, "Caution");
	lt_checklist_fact(list, LT_FACT_PLAIN, "", lt_caution_work);
	lt_checklist_fact(list, LT_FACT_PLAIN, "", lt_caution_scan);
}

/* The order of 29 CFR 1910.147 (d): isolate, lock or tag, release what is stored, verify. */
static void add_hazard(struct lt_checklist *list, const struct lt_hazard *hazard)
{
	struct lt_text title = { 0 };
	lt_text_printf(&title, "Energy: %s", hazard->energy == NULL ? "" : hazard->energy);
	lt_checklist_add(list, LT_ENTRY_HAZARD,
		hazard->energy == NULL ? NULL : lt_text_string(&title));
	lt_text_finish(&title);
	lt_checklist_fact(list, LT_FACT_TICK, "isolate", hazard->isolate);
	lt_checklist_fact(list, LT_FACT_TICK, "lock or tag",
		"own lock or tag is on, with name, date and reason");
	lt_checklist_fact(list, LT_FACT_TICK, "release", hazard->release);
	lt_checklist_fact(list, LT_FACT_TICK, "prove", hazard->prove);
}

static void add_hazards(struct lt_checklist *list, const struct lt_harness *harness)
{
	static const struct lt_hazard blank = { 0 };
	lt_checklist_add(list, LT_ENTRY_SECTION, "Make it safe");
	lt_checklist_add(list, LT_ENTRY_PARAGRAPH,
		"From the first line to the last, in this order. Where a line is blank, nothing is "
		"described: write what was done, or “none”. Try the tester on a known source "
		"before and after.");
	lt_checklist_add(list, LT_ENTRY_TICK,
		"Every energy is known: those below, and any that was found on looking");
	lt_checklist_add(list, LT_ENTRY_TICK,
		"Those affected are told, and the machine is shut down in the normal way");
	for (size_t i = 0; i < harness->hazard_count; i++)
		add_hazard(list, &harness->hazards[i]);
	if (harness->hazard_count == 0) {
		lt_checklist_add(list, LT_ENTRY_CAUTION, "No hazards are listed for this harness");
		lt_checklist_fact(list, LT_FACT_PLAIN, "", NO_HAZARDS);
		add_hazard(list, &blank);
	}
	/* One more in any case: the description may not know all. */
	add_hazard(list, &blank);
}

static void add_unplugging(struct lt_checklist *list, const struct lt_tags *tags)
{
	lt_checklist_add(list, LT_ENTRY_SECTION, "Check the stickers, then unplug");
	lt_checklist_add(list, LT_ENTRY_PARAGRAPH,
		"First box, while everything is still plugged in: the same number is on both halves. "
		"When every first box is ticked, unplug in this order and tick the second.");
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		lt_checklist_unplug(list, tags, i);
}

static void add_reconnecting(struct lt_checklist *list, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes)
{
	const struct lt_harness *harness = tags->harness;
	lt_checklist_add(list, LT_ENTRY_SECTION, "Make the joints in this order");
	lt_checklist_add(list, LT_ENTRY_PARAGRAPH,
		"The same number on both halves: that is the right pair. Seat it, pull gently, tick. "
		"One joint is finished before the next is begun.");
	for (size_t i = 0; i < harness->connector_count; i++)
		lt_checklist_mate(list, tags, lookalikes, harness->order[i]);
}

/* "All 14 joints above are ticked: 12 by number, 2 by eye". */
static void add_count(struct lt_checklist *list, const struct lt_tags *tags)
{
	size_t all = tags->harness->connector_count;
	size_t numbered = 0;
	for (size_t i = 0; i < all; i++)
		numbered += tags->number_of[i] != 0;
	struct lt_text line = { 0 };
	if (all == 1)
		lt_text_add(&line, "The one joint above is ticked");
	else
		lt_text_printf(&line, "All %zu joints above are ticked", all);
	if (numbered < all)
		lt_text_printf(&line, ": %zu by number, %zu by eye", numbered, all - numbered);
	lt_checklist_add(list, LT_ENTRY_TICK, lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_last_checks(struct lt_checklist *list, const struct lt_tags *tags)
{
	const struct lt_harness *harness = tags->harness;
	lt_checklist_add(list, LT_ENTRY_SECTION, "Last checks");
	add_count(list, tags);
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_checklist_add(list, LT_ENTRY_TICK, harness->finish[i].text);
	if (harness->finish_count > 0)
		return;
	lt_checklist_add(list, LT_ENTRY_PARAGRAPH,
		"No last checks are listed for this harness. Write what has to be looked at before "
		"the covers close:");
	lt_checklist_add(list, LT_ENTRY_TICK, NULL);
	lt_checklist_add(list, LT_ENTRY_TICK, NULL);
}

static void add_restoring_of(struct lt_checklist *list, const struct lt_hazard *hazard)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "Energy: %s", hazard->energy);
	lt_checklist_add(list, LT_ENTRY_HAZARD, lt_text_string(&line));
	lt_text_finish(&line);
	lt_checklist_fact(list, LT_FACT_TICK, "lock or tag", "taken off by whoever put it on");
	lt_checklist_fact(list, LT_FACT_TICK, "restore", hazard->restore);
}

/* The order of 29 CFR 1910.147 (e): look the machine over, clear tools, tell those affected, only
 * then take locks off; what was isolated last comes back first. */
static void add_restoring(struct lt_checklist *list, const struct lt_harness *harness)
{
	lt_checklist_add(list, LT_ENTRY_SECTION, "Restore the energies");
	lt_checklist_add(list, LT_ENTRY_PARAGRAPH,
		"In this order, by those licensed to do it where local codes say so. Not before "
		"every line above is ticked.");
	lt_checklist_add(list, LT_ENTRY_TICK, "Tools and loose parts are out, covers are closed");
	lt_checklist_add(list, LT_ENTRY_TICK, "Everyone affected is told and stands clear");
	lt_checklist_add(list, LT_ENTRY_TICK,
		harness->hazard_count == 0
			? "Every energy written down in part 1 is restored, the last one first"
			: "Any other energy written down in part 1 is restored, the last one first");
	for (size_t i = harness->hazard_count; i-- > 0;)
		add_restoring_of(list, &harness->hazards[i]);
	lt_checklist_add(list, LT_ENTRY_TICK, "It was run and watched");
}

static void set_head(struct lt_checklist *list, const struct lt_harness *harness,
	const struct lt_checklist_options *options)
{
	list->title = harness->title != NULL
			      ? lt_arena_shown(&list->arena, harness->title)
			      : lt_arena_printf(&list->arena, "Harness %s", harness->harness);
	list->code = lt_arena_shown(&list->arena, harness->code);
	list->unit = lt_arena_shown(&list->arena, harness->unit);
	list->revision = lt_arena_shown(&list->arena, harness->revision);
	list->date = lt_arena_shown(&list->arena, options->date);
}

void lt_checklist_build(struct lt_checklist *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options)
{
	*out = (struct lt_checklist){ 0 };
	lt_arena_init(&out->arena);
	set_head(out, tags->harness, options);
	lt_checklist_add(out, LT_ENTRY_PART, "Part 1: Before unplugging");
	add_caution(out);
	add_hazards(out, tags->harness);
	add_unplugging(out, tags);
	lt_checklist_add(out, LT_ENTRY_SIGN, "Part 1 done by");
	lt_checklist_add(out, LT_ENTRY_PART, "Part 2: Reconnecting");
	add_reconnecting(out, tags, lookalikes);
	add_last_checks(out, tags);
	add_restoring(out, tags->harness);
	lt_checklist_add(out, LT_ENTRY_SIGN, "Part 2 done by");
}

void lt_checklist_finish(struct lt_checklist *list)
{
	lt_arena_finish(&list->arena);
	free(list->entries);
	free(list->facts);
	*list = (struct lt_checklist){ 0 };
}
