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
