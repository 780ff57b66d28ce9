/* What loomtag check sums up. */
#include "loomtag/words.h"

void lt_words_check_counts(struct lt_text *out, const struct lt_check_counts *counts)
{
	lt_text_printf(out, lt_plural(counts->errors, "%zu error", "%zu errors"), counts->errors);
	lt_text_add(out, ", ");
	lt_text_printf(out, lt_plural(counts->warnings, "%zu warning", "%zu warnings"),
		counts->warnings);
	lt_text_add(out, ", ");
	lt_text_printf(out, lt_plural(counts->connectors, "%zu connector", "%zu connectors"),
		counts->connectors);
	lt_text_add(out, ", ");
	lt_text_printf(out,
		lt_plural(counts->groups, "%zu look-alike group", "%zu look-alike groups"),
		counts->groups);
}

static void add_lacking(struct lt_text *list, size_t count, const char *of)
{
	if (count == 0)
		return;
	lt_text_add(list, list->length > 0 ? ", " : "");
	lt_text_printf(list, lt_plural(count, "%s of %zu connector", "%s of %zu connectors"), of,
		count);
}

void lt_words_check_lacking(struct lt_text *out, const struct lt_check_lacking *lacking)
{
	struct lt_text list = { 0 };
	add_lacking(&list, lacking->family, "family");
	add_lacking(&list, lacking->place, "place");
	add_lacking(&list, lacking->facing, "orient (facing)");
	add_lacking(&list, lacking->lock, "lock");
	if (list.length > 0)
		lt_text_printf(out, "For a better map and checklist, describe: %s.",
			lt_text_string(&list));
	lt_text_finish(&list);
}
