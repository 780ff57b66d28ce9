/* Look-alikes in words. */
#include "loomtag/harness.h"

bool lt_lookalikes_complete(const struct lt_lookalikes *lookalikes, struct lt_indices group)
{
	/* All that a member has are in its group. */
	for (size_t i = 0; i < group.count; i++)
		if (lt_lookalikes_of(lookalikes, group.items[i], NULL, 0) + 1 != group.count)
			return false;
	return true;
}

/* "4 with 5, 6 and 2 more" */
static void say_one(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t one, size_t most, lt_lookalike_name *name, const void *data)
{
	size_t count = lt_lookalikes_of(lookalikes, one, NULL, 0);
	size_t named = 0, shown = count < most ? count : most;
	name(out, one, data);
	lt_text_add(out, " with ");
	for (size_t i = 0; i < group.count && named < shown; i++) {
		if (!lt_lookalike(lookalikes, one, group.items[i]))
			continue;
		if (named > 0)
			lt_text_add(out, named + 1 == count ? " and " : ", ");
		name(out, group.items[i], data);
		named++;
	}
	if (named < count)
		lt_text_printf(out, " and %zu more", count - named);
}

void lt_lookalikes_say(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t most, lt_lookalike_name *name, const void *data)
{
	size_t shown = group.count < most ? group.count : most;
	for (size_t i = 0; i < shown; i++) {
		if (i > 0)
			lt_text_add(out, "; ");
		say_one(out, lookalikes, group, group.items[i], most, name, data);
	}
	if (shown < group.count)
		lt_text_printf(out, "; and %zu more", group.count - shown);
}
