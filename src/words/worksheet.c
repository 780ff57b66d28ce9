/* The words of the worksheet. */
#include "loomtag/words.h"

/* Numbers that were not used, named on the worksheet; the rest is counted. */
#define PASSED_OVER_NAMED 48

const struct lt_legend_words lt_legend_words = {
	.label = "Stickers",
	.sides = "H harness half, M machine half, X old part",
};

const struct lt_worksheet_words lt_worksheet_words = {
	.title = "Worksheet",
	.machine = "machine",
	.technician = "technician",
	.tags = "tags",
	.connector = "connector: what it is",
	.mate = "mates with, marking",
	.colours = "colours of the ways: 1 BN, 2 BU",
	.place = "place, notes",
	.stickers_on = "stickers on",
	.unplugged = "unplugged",
	.made = "made",
	.order = "Find every energy first. Shut down, isolate, and put on your own lock and "
		 "warning label. Release what is stored, and prove that it is dead. Remove "
		 "stickers of earlier jobs. Put H on the harness half and M on the machine half "
		 "of every joint. Only then unplug.",
	.about_colours = "Colours",
	.about_numbers = "Numbers",
	.next = "Next",
	.put_back = "To put back",
};

void lt_worksheet_add_colours(struct lt_text *out)
{
	struct lt_text colours = { 0 };
	for (int hue = 0; hue < LT_HUE_COUNT; hue++)
		lt_text_printf(&colours, hue == 0 ? "%s %s" : ", %s %s",
			lt_hue_code((enum lt_hue)hue), lt_hue_name((enum lt_hue)hue));
	lt_text_printf(out, "%s. Write the base colour first: WHRD is white with red.",
		lt_text_string(&colours));
	lt_text_finish(&colours);
}

/* "6 (can be read as 5)". */
static void add_passed(struct lt_text *out, const struct lt_passed_over *passed)
{
	switch (passed->why) {
	case LT_TURNED:
		lt_text_printf(out, "%u (reads as %u upside down)", passed->number,
			passed->because);
		break;
	case LT_SWAPPED:
		lt_text_printf(out, "%u (is %u with two digits swapped)", passed->number,
			passed->because);
		break;
	case LT_ONE_DIGIT:
		lt_text_printf(out, "%u (can be read as %u)", passed->number, passed->because);
		break;
	case LT_DISTINCT:
		lt_text_printf(out, "%u (not needed)", passed->number);
		break;
	}
}

void lt_worksheet_add_all_passed(struct lt_text *out, const struct lt_tags *tags)
{
	struct lt_passed_over passed[PASSED_OVER_NAMED];
	const size_t all = lt_tags_passed_over(tags, passed, PASSED_OVER_NAMED);
	const size_t named = all < PASSED_OVER_NAMED ? all : PASSED_OVER_NAMED;
	struct lt_text numbers = { 0 };
	for (size_t i = 0; i < named; i++) {
		if (i > 0)
			lt_text_add(&numbers, ", ");
		add_passed(&numbers, &passed[i]);
	}
	if (all > named)
		lt_text_printf(out,
			"These numbers are not used, because they are easily confused: %s, and %zu "
			"more.",
			lt_text_string(&numbers), all - named);
	else if (all > 0)
		lt_text_printf(out,
			"These numbers are not used, because they are easily confused: %s.",
			lt_text_string(&numbers));
	lt_text_finish(&numbers);
}

void lt_worksheet_add_next(struct lt_text *out, const char *file)
{
	if (file != NULL)
		lt_text_printf(out,
			"Type this into %s, where the second column is the id. Then run: loomtag "
			"checklist %s -o checklist.pdf",
			file, file);
	else
		lt_text_add(out,
			"Type this into the description, where the second column is the id. Then "
			"run “loomtag checklist” with it.");
}

void lt_worksheet_add_put_back(struct lt_text *out, const char *file)
{
	lt_text_printf(out, "loomtag verify %s --stage reconnect", file != NULL ? file : "FILE");
}
