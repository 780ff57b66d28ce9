/* The hazards in the overview's head. None of their words is left out: where they have no room,
 * the head says on which page they are. */
#include <string.h>

#include "loomtag/words.h"
#include "map/overview.h"

#define INDENT 1.5 /* ems */

static const char dash[] = "\xE2\x80\x93";

/* What is being set, from `y` on. */
struct head {
	struct lt_overview_page *page; /* or NULL: only measured */
	const struct lt_overview_context *context;
	double em, x, y, right;
};

/* A paragraph of as many lines as it takes. */
static void set(struct head *head, enum lt_face face, double indent, const char *text)
{
	struct lt_arena *arena = head->context->arena;
	const struct lt_measure *measure = head->context->measure;
	struct lt_overview_line line = { LT_OVERVIEW_HAZARD, face, head->em, false, NULL };
	double ems = (head->right - head->x) / head->em - indent;
	text = lt_arena_shown(arena, text);
	for (text += strspn(text, " "); *text != '\0'; text += strspn(text, " ")) {
		size_t length = lt_overview_fitting(measure, face, ems, text);
		if (length == 0) { /* one character, be it too wide */
			const char *next = text;
			lt_utf8_next(&next);
			length = (size_t)(next - text);
		}
		line.text = lt_arena_copy(arena, text, length);
		if (head->page != NULL)
			lt_overview_add_text(head->page, arena, measure, &line,
				head->x + indent * head->em, head->y, LT_NONE);
		head->y += LT_OVERVIEW_LEADING * head->em;
		text += length;
	}
}

static void set_full(struct head *head, const struct lt_hazard *hazard)
{
	struct lt_text steps = { 0 };
	for (size_t i = 0; i < LT_HAZARD_STEPS; i++)
		lt_text_printf(&steps, "%s%s: %s", i > 0 ? " \xE2\x80\x93 " : "",
			lt_hazard_step_name(i), lt_hazard_step(hazard, i));
	set(head, LT_FACE_BOLD, 0,
		lt_arena_printf(head->context->arena, "HAZARD: %s", hazard->energy));
	set(head, LT_FACE_REGULAR, INDENT, lt_text_string(&steps));
	lt_text_finish(&steps);
}

static void set_names(struct head *head, const struct lt_harness *harness, size_t in_full)
{
	struct lt_text names = { 0 };
	lt_text_printf(&names,
		"HAZARDS: %zu, make safe before anything is unplugged, in full on page %zu:",
		harness->hazard_count, in_full);
	for (size_t i = 0; i < harness->hazard_count; i++)
		lt_text_printf(&names, " %s %s", dash, harness->hazards[i].energy);
	set(head, LT_FACE_BOLD, 0, lt_text_string(&names));
	lt_text_finish(&names);
}

double lt_overview_hazards(struct lt_overview_page *page, const struct lt_overview_context *context,
	const struct lt_overview_sizes *sizes, double x, double y, double width,
	enum lt_overview_hazards how, size_t in_full)
{
	const struct lt_harness *harness = context->tags->harness;
	struct head head = { page, context, sizes->em, x, y, x + width };
	if (harness->hazard_count == 0)
		return 0;
	if (how == LT_OVERVIEW_HAZARDS_TOLD)
		set(&head, LT_FACE_BOLD, 0,
			lt_arena_printf(context->arena,
				"HAZARDS: %zu, make safe before anything is unplugged: all on page "
				"%zu",
				harness->hazard_count, in_full));
	else if (how == LT_OVERVIEW_HAZARDS_NAMED)
		set_names(&head, harness, in_full);
	else
		for (size_t i = 0; i < harness->hazard_count; i++)
			set_full(&head, &harness->hazards[i]);
	return head.y - y + LT_OVERVIEW_GAP;
}
