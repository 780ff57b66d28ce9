/* The texts of labels and components, wrapped into lines. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "loomtag/words.h"
#include "map/overview.h"

/* A line's bytes at most, for cutting it; far beyond what a page has room for. */
#define LINE_ROOM 512

/* Names and places are broken once; marks as often as there can be any. */
#define LINES_MOST 2

static const char dash[] = "\xE2\x80\x93";

size_t lt_overview_fitting(const struct lt_overview_context *context, enum lt_typeface face,
	double ems, const char *text, bool break_words)
{
	const struct lt_measure *measure = context->input->measure;
	size_t space = 0, fits = 0;
	double width = 0;
	for (const char *at = text; *at != '\0';) {
		const char *start = at;
		lt_utf8_next(&at);
		width += measure->width(measure->data, face, start, (size_t)(at - start));
		if (*start == ' ')
			space = (size_t)(start - text);
		else if (width > ems)
			return space > 0 && !break_words ? space : fits;
		else
			fits = (size_t)(at - text);
	}
	return strlen(text);
}

/* The same for the last line but one: a word is broken rather than the text cut short. */
static size_t fitting_with_next(const struct lt_overview_context *context, enum lt_typeface face,
	double ems, const char *text)
{
	size_t length = lt_overview_fitting(context, face, ems, text, false);
	const char *rest = text + length + strspn(text + length, " ");
	if (rest[lt_overview_fitting(context, face, ems, rest, false)] == '\0')
		return length;
	size_t broken = lt_overview_fitting(context, face, ems, text, true);
	rest = text + broken + strspn(text + broken, " ");
	return rest[lt_overview_fitting(context, face, ems, rest, true)] == '\0' ? broken : length;
}

struct lt_overview_text *lt_overview_add_text(struct lt_overview_page *page,
	const struct lt_overview_context *context, const struct lt_overview_line *line, double x,
	double top, size_t connector)
{
	const struct lt_measure *measure = context->input->measure;
	struct lt_typeface_heights heights = measure->heights(measure->data, line->face);
	if (page->text_count == page->text_room) {
		const struct lt_overview_text *texts = page->texts;
		page->text_room = page->text_room < 16 ? 16 : 2 * page->text_room;
		page->texts = lt_arena_array(context->arena, page->text_room, sizeof *texts);
		if (page->text_count > 0)
			memcpy(page->texts, texts, page->text_count * sizeof *texts);
	}
	struct lt_overview_text *text = &page->texts[page->text_count++];
	*text = (struct lt_overview_text){
		.role = line->role,
		.box = { x, top, lt_text_width(measure, line->face, line->size, line->text),
			(heights.ascent + heights.descent) * line->size },
		.baseline = top + heights.ascent * line->size,
		.face = line->face,
		.size = line->size,
		.shortened = line->shortened,
		.text = line->text,
		.connector = connector,
	};
	return text;
}

static void add_line(struct lt_overview_block *block, struct lt_overview_line type,
	const char *text)
{
	type.text = text;
	block->height += LT_OVERVIEW_LEADING * type.size;
	block->lines[block->count++] = type;
}

void lt_overview_wrap(struct lt_overview_block *block, const struct lt_overview_context *context,
	struct lt_overview_line type, double width, size_t most, const char *text)
{
	if (text == NULL)
		return;
	struct lt_arena *arena = context->arena;
	text = lt_arena_shown(arena, text);
	for (size_t line = 1; *text != '\0' && block->count < LT_OVERVIEW_LINES; line++) {
		text += strspn(text, " ");
		double ems = width / type.size;
		size_t length = line + 1 == most
					? fitting_with_next(context, type.face, ems, text)
					: lt_overview_fitting(context, type.face, ems, text, false);
		size_t rest = length + strspn(text + length, " ");
		bool last = line >= most || block->count + 1 == LT_OVERVIEW_LINES;
		if (last && text[rest] != '\0') {
			char cut[LINE_ROOM];
			lt_text_shorten(cut, sizeof cut, context->input->measure, type.face,
				type.size, text, width);
			type.shortened = true;
			add_line(block, type, lt_arena_strdup(arena, cut));
			return;
		}
		if (length == 0)
			return;
		add_line(block, type, lt_arena_copy(arena, text, length));
		text += rest;
	}
}

const char *lt_overview_numbers(const struct lt_overview_context *context,
	struct lt_indices connectors, size_t limit)
{
	struct lt_text text = { 0 };
	size_t named = 0;
	for (; named < connectors.count && (named == 0 || text.length < limit); named++) {
		if (named > 0)
			lt_text_add(&text, ", ");
		lt_joint_add_number(&text, context->input->tags, connectors.items[named]);
	}
	const char *numbers = lt_map_keep(context->arena, &text);
	if (named == connectors.count)
		return numbers;
	lt_overview_add_more(&text, numbers, connectors.count - named);
	return lt_map_keep(context->arena, &text);
}

static int compare_ranks(const void *a, const void *b)
{
	size_t one = *(const size_t *)a, other = *(const size_t *)b;
	return one < other ? -1 : one > other;
}

struct lt_indices lt_overview_by_number(const struct lt_overview_context *context,
	const struct lt_indices *members)
{
	struct lt_indices sorted = {
		.items = lt_arena_array(context->arena, members->count + 1, sizeof *sorted.items),
		.count = members->count,
	};
	for (size_t i = 0; i < sorted.count; i++)
		sorted.items[i] = context->input->rank[members->items[i]];
	qsort(sorted.items, sorted.count, sizeof *sorted.items, compare_ranks);
	for (size_t i = 0; i < sorted.count; i++)
		sorted.items[i] = context->input->order[sorted.items[i]];
	return sorted;
}

/* "X6 → PWR", without the id where that is the title; or NULL. */
static const char *id_line(const struct lt_overview_context *context,
	const struct lt_connector *connector)
{
	const char *id = connector->name != NULL ? connector->id : NULL;
	struct lt_text text = { 0 };
	if (connector->port != NULL)
		lt_overview_add_port(&text, id, connector->port);
	else if (id != NULL)
		lt_text_add(&text, id);
	if (connector->marking == LT_MARK_NONE && connector->kind == LT_CLIP)
		lt_text_printf(&text, text.length > 0 ? ", %s" : "%s", lt_map_words.cover_or_clip);
	if (lt_kind_is_thing(connector->kind))
		lt_text_printf(&text, text.length > 0 ? ", %s" : "%s",
			lt_kind_name(connector->kind));
	return lt_map_keep(context->arena, &text);
}

/* "X6 → PWR, at 320 mm"; the place has a line of its own rather than be broken. */
static void id_words(struct lt_overview_block *label, const struct lt_overview_context *context,
	struct lt_overview_line type, double width, const struct lt_connector *connector)
{
	const char *line = id_line(context, connector);
	if (connector->has_at) {
		struct lt_text place = { 0 };
		lt_overview_add_place(&place, connector->at);
		const char *at = lt_map_keep(context->arena, &place);
		const char *both =
			line == NULL ? at : lt_arena_printf(context->arena, "%s, %s", line, at);
		if (lt_text_width(context->input->measure, type.face, type.size, both) > width) {
			lt_overview_wrap(label, context, type, width, LINES_MOST, line);
			line = at;
		} else {
			line = both;
		}
	}
	lt_overview_wrap(label, context, type, width, LINES_MOST, line);
}

/* What stands beside the signs. */
static const char *mark_line(const struct lt_overview_context *context, size_t index)
{
	enum { NUMBERS_MOST = 24 }; /* bytes; the checklist has them all */
	const struct lt_connector *connector = &context->input->tags->harness->connectors[index];
	struct lt_indices after = lt_overview_by_number(context, &connector->after);
	struct lt_text text = { 0 };
	if (connector->marking == LT_MARK_PAPER)
		lt_text_add(&text, lt_map_words.on_paper);
	if (connector->marking == LT_MARK_NONE)
		lt_text_add(&text, lt_map_words.no_number);
	if (after.count > 0)
		lt_text_printf(&text, text.length > 0 ? "; %s %s" : "%s %s", lt_map_words.after,
			lt_overview_numbers(context, after, NUMBERS_MOST));
	return lt_map_keep(context->arena, &text);
}

const char *lt_overview_letter(struct lt_arena *arena, size_t group)
{
	enum { ROOM = 16 };
	char letters[ROOM];
	size_t at = ROOM - 1;
	letters[at] = '\0';
	for (size_t rest = group + 1; rest > 0; rest = (rest - 1) / 26)
		letters[--at] = (char)('A' + (rest - 1) % 26);
	return lt_arena_strdup(arena, letters + at);
}

static void add_signs(struct lt_overview_words *out, const struct lt_overview_context *context,
	size_t connector)
{
	size_t count = 0;
	if (context->facts.group[connector] != LT_NONE) {
		out->sign_kinds[count] = LT_OVERVIEW_ALIKE;
		out->signs[count++] =
			lt_overview_letter(context->arena, context->facts.group[connector]);
	} else if (lt_fit_unknown(context->input->tags->harness, connector)) {
		out->sign_kinds[count] = LT_OVERVIEW_UNKNOWN;
		out->signs[count++] = "?";
	}
	if (context->input->dangers[connector]) {
		out->sign_kinds[count] = LT_OVERVIEW_DANGER;
		out->signs[count++] = "!";
	}
}

/* A sign is as wide as its letters, at least as wide as it is high. */
double lt_overview_signs_width(const struct lt_overview_context *context,
	const struct lt_overview_words *words)
{
	const struct lt_overview_sizes *sizes = &context->plan.sizes;
	double width = 0;
	for (size_t i = 0; i < LT_OVERVIEW_SIGNS && words->signs[i] != NULL; i++) {
		double text = lt_text_width(context->input->measure, LT_TYPEFACE_BOLD, sizes->em,
			words->signs[i]);
		width += fmax(sizes->sign, text + 0.6 * sizes->em) + 0.4 * sizes->em;
	}
	return width;
}

static void label_words(struct lt_overview_words *out, const struct lt_overview_context *context,
	size_t index, double width)
{
	const struct lt_connector *connector = &context->input->tags->harness->connectors[index];
	struct lt_overview_line name = { LT_OVERVIEW_NAME, LT_TYPEFACE_BOLD, context->plan.sizes.em,
		false, NULL };
	struct lt_overview_line plain = { LT_OVERVIEW_ID, LT_TYPEFACE_REGULAR,
		context->plan.sizes.em, false, NULL };
	lt_overview_wrap(&out->label, context, name, width, LINES_MOST,
		connector->name != NULL ? connector->name : connector->id);
	id_words(&out->label, context, plain, width, connector);
	plain.role = LT_OVERVIEW_PLACE;
	lt_overview_wrap(&out->label, context, plain, width, LINES_MOST, connector->where);
	plain.role = LT_OVERVIEW_MARK;
	plain.face = LT_TYPEFACE_BOLD;
	double room = width - lt_overview_signs_width(context, out);
	size_t before = out->label.count;
	lt_overview_wrap(&out->label, context, plain, room, LINES_MOST, mark_line(context, index));
	/* Signs want a line of their own height. */
	if (out->signs[0] != NULL)
		out->label.height +=
			out->label.count == before
				? context->plan.sizes.sign + 0.3 * context->plan.sizes.em
				: 0.5 * context->plan.sizes.em;
}

/* "same part, 2 boxes", for one that is drawn more than once. */
static const char *boxes_line(const struct lt_overview_context *context, size_t component)
{
	enum { MANY = 888 }; /* as wide as any number of them */
	size_t boxes = context->boxes != NULL                 ? context->boxes[component]
		       : context->facts.joints[component] > 1 ? MANY
							      : 1;
	if (boxes < 2)
		return NULL;
	struct lt_text text = { 0 };
	lt_overview_add_boxes(&text, boxes);
	return lt_map_keep(context->arena, &text);
}

void lt_overview_component_words(struct lt_overview_block *out,
	const struct lt_overview_context *context, size_t index)
{
	const struct lt_component *component = &context->input->tags->harness->components[index];
	double width = context->plan.sizes.component - 2 * LT_OVERVIEW_PAD * context->plan.sizes.em;
	struct lt_overview_line type = { LT_OVERVIEW_COMPONENT, LT_TYPEFACE_BOLD,
		context->plan.sizes.em, false, NULL };
	const char *title = component->name == NULL ? component->id
						    : lt_arena_printf(context->arena, "%s %s",
							      component->id, component->name);
	*out = (struct lt_overview_block){ 0 };
	lt_overview_wrap(out, context, type, width, LINES_MOST, title);
	type.face = LT_TYPEFACE_REGULAR;
	lt_overview_wrap(out, context, type, width, LINES_MOST, component->where);
	type.face = LT_TYPEFACE_CONDENSED;
	lt_overview_wrap(out, context, type, width, 1, boxes_line(context, index));
	type.face = LT_TYPEFACE_BOLD;
	if (component->replace)
		lt_overview_wrap(out, context, type, width, 1, lt_map_words.new_part);
	out->height += 2 * LT_OVERVIEW_PAD * context->plan.sizes.em;
}

void lt_overview_words(struct lt_overview_words *out, const struct lt_overview_context *context,
	size_t connector)
{
	const struct lt_harness *harness = context->input->tags->harness;
	size_t component = harness->connectors[connector].component;
	*out = (struct lt_overview_words){ 0 };
	unsigned number = context->input->tags->number_of[connector];
	out->badge = number == 0 ? dash : lt_arena_printf(context->arena, "%u", number);
	add_signs(out, context, connector);
	double width = context->plan.sizes.label;
	if (component == LT_NONE)
		width += LT_OVERVIEW_MATE * context->plan.sizes.em + context->plan.sizes.component;
	else
		lt_overview_component_words(&out->component, context, component);
	label_words(out, context, connector, width);
}

double lt_overview_badge_ems(const struct lt_overview_context *context)
{
	const struct lt_tags *tags = context->input->tags;
	double widest = 0;
	for (size_t i = 0; i < tags->harness->connector_count; i++) {
		char number[LT_TAG_SIZE + 4];
		snprintf(number, sizeof number, "%u", tags->number_of[i]);
		widest = fmax(widest,
			lt_text_width(context->input->measure, LT_TYPEFACE_BOLD, 1, number));
	}
	return fmax(widest, lt_text_width(context->input->measure, LT_TYPEFACE_BOLD, 1, dash));
}
