/* Look-alikes in words: who would also fit whose mate. */
#include "loomtag/words.h"

/* "4 with 5, 6 and 2 more" */
static void add_one(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t one, size_t most, lt_lookalike_name *name, const void *data)
{
	size_t count = lt_lookalikes_of(lookalikes, one, NULL, 0);
	size_t named = 0, shown = count < most ? count : most;
	struct lt_text own = { 0 };
	struct lt_text others = { 0 };
	name(&own, one, data);
	for (size_t i = 0; i < group.count && named < shown; i++) {
		if (!lt_lookalike(lookalikes, one, group.items[i]))
			continue;
		if (named > 0)
			lt_text_add(&others, ", ");
		name(&others, group.items[i], data);
		named++;
	}
	if (named < count)
		lt_text_printf(out, "%s with %s and %zu more", lt_text_string(&own),
			lt_text_string(&others), count - named);
	else
		lt_text_printf(out, "%s with %s", lt_text_string(&own), lt_text_string(&others));
	lt_text_finish(&own);
	lt_text_finish(&others);
}

void lt_lookalikes_say(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t most, lt_lookalike_name *name, const void *data)
{
	size_t shown = group.count < most ? group.count : most;
	for (size_t i = 0; i < shown; i++) {
		if (i > 0)
			lt_text_add(out, "; ");
		add_one(out, lookalikes, group, group.items[i], most, name, data);
	}
	if (shown < group.count)
		lt_text_printf(out, "; %zu more", group.count - shown);
}
