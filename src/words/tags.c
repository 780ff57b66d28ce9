/* The table of tags. */
#include "loomtag/words.h"

const struct lt_tags_words lt_tags_words = {
	.number = "number",
	.sides = "sides",
	.connector = "connector",
	.name = "name",
	.component = "component",
	.would_also_fit = "would also fit",
	.paper = "paper",
	.checked_by_eye = "checked by eye",
	.retired = "retired",
	.fit_unknown = "fit unknown",
};

void lt_words_and_more(struct lt_text *out, const char *list, size_t more)
{
	if (more > 0)
		lt_text_printf(out, "%s and %zu more", list, more);
	else
		lt_text_add(out, list);
}
