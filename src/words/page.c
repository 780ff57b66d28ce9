/* What all papers have: heads, headings of columns, lines to fill in. */
#include "loomtag/words.h"

const struct lt_page_words lt_page_words = {
	.unit = "unit",
	.date = "date",
	.revision = "revision",
	.tags = "tags",
	.facts = "what, where, how",
	.stickers_checked = "stickers checked",
	.unplugged = "unplugged",
	.made = "made",
	.initials = "initials",
	.by_eye = "by eye",
	.no_number = "no number",
	.no_sticker = "no sticker",
	.number_missing = "no number, checked by eye:",
	.hazard_to_write = "HAZARD:",
};

void lt_page_add_number(struct lt_text *out, size_t page, size_t pages)
{
	lt_text_printf(out, "page %zu of %zu", page, pages);
}

void lt_page_add_head(struct lt_text *out, const char *code, const char *unit, const char *revision,
	const char *date)
{
	lt_text_add(out, code);
	if (unit[0] != '\0')
		lt_text_printf(out, ", unit %s", unit);
	if (revision != NULL)
		lt_text_printf(out, ", revision %s", revision);
	lt_text_printf(out, ", date %s", date);
}

void lt_page_add_sign(struct lt_text *out, const char *who)
{
	lt_text_printf(out, "%s: ______________________  Date: ____________", who);
}
