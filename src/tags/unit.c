/* The unit that a register is kept for, held against that of the description. */
#include <string.h>

#include "tags/numbering.h"

/* Stickers that are out, one for each side of each number. */
static size_t count_printed(const struct lt_register *reg)
{
	size_t count = 0;
	for (size_t i = 0; i < reg->count; i++) {
		const char *printed = reg->entries[i].printed;
		/* An M sticker is one, whichever part it was printed for. */
		count += strlen(printed) - (strchr(printed, 'M') && strchr(printed, 'N'));
	}
	return count;
}

static bool is_same(const char *a, const char *b)
{
	return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

/* What the code on the stickers has of a unit: nothing of one that is its own. */
static const char *in_code(const char *unit)
{
	return unit != NULL && strcmp(unit, "own") != 0 ? unit : NULL;
}

/* One sentence for each way in which the unit can have changed. */
static void report(const struct lt_register *reg, const struct lt_harness *harness, size_t printed,
	struct lt_diags *diags)
{
	const char *before = in_code(reg->unit), *now = in_code(harness->described_unit);
	if (before == NULL)
		lt_error(diags, harness->unit_place,
			lt_plural(printed,
				"unit: %s was added after %zu sticker was printed without a unit",
				"unit: %s was added after %zu stickers were printed without a unit"),
			now, printed);
	else if (now == NULL)
		lt_error(diags, harness->unit_place,
			lt_plural(printed,
				"unit: %s was removed after %zu sticker was printed with it",
				"unit: %s was removed after %zu stickers were printed with it"),
			before, printed);
	else
		lt_error(diags, harness->unit_place,
			lt_plural(printed,
				"unit: changed from %s to %s after %zu sticker was printed",
				"unit: changed from %s to %s after %zu stickers were printed"),
			before, now, printed);
	if (before == NULL)
		lt_hint(diags,
			"scans would call them foreign. To keep them, remove unit:. To print all "
			"stickers again, give --new-stickers");
	else
		lt_hint(diags,
			"scans would call them foreign. To keep them, write unit: %s again. To "
			"print all stickers again, give --new-stickers",
			before);
}

/* False, with an error, where stickers are out whose code is not that of the description. They stay
 * in the register: they are still on the machine, an M sticker on an old part too. */
static bool check_printed(const struct lt_register *reg, const struct lt_harness *harness,
	bool new_stickers, struct lt_diags *diags)
{
	const size_t printed = count_printed(reg);
	if (printed > 0 && !new_stickers) {
		report(reg, harness, printed, diags);
		return false;
	}
	if (printed > 0) {
		lt_warning(diags, harness->unit_place,
			lt_plural(printed, "%zu sticker was printed before the unit changed",
				"%zu stickers were printed before the unit changed"),
			printed);
		lt_hint(diags, "print all stickers again, and replace those on the machine");
	}
	return true;
}

bool lt_register_settle_unit(bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, const char *given, bool new_stickers,
	struct lt_diags *diags)
{
	const char *unit = harness->described_unit;
	*changed = false;
	if (reg->unit_known && (given != NULL || is_same(reg->unit, unit)))
		return true;
	if (reg->unit_known && !is_same(in_code(reg->unit), in_code(unit)) &&
		!check_printed(reg, harness, new_stickers, diags))
		return false;
	*changed = reg->harness != NULL;
	reg->unit_known = true;
	reg->unit = unit != NULL ? lt_arena_strdup(&reg->arena, unit) : NULL;
	return true;
}
