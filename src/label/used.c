#include "label/ranges.h"
#include "loomtag/label.h"

#define OPTION "--used"

static void clear(bool *used, unsigned labels)
{
	for (unsigned i = 0; i < labels; i++)
		used[i] = false;
}

static bool is_blank(const char *text)
{
	while (*text == ' ')
		text++;
	return *text == '\0';
}

static bool tell(const char *start, const char *what, unsigned labels, struct lt_diags *diags)
{
	lt_range_tell(OPTION, start, what, diags);
	lt_hint(diags, "labels are counted row by row, from 1 to %u; write such as 1-5,9", labels);
	return false;
}

/* Reads one item and moves *at to where it ends. False, and told, where it is none. */
static bool read_item(bool *used, unsigned labels, const char **at, struct lt_diags *diags)
{
	const char *start = *at;
	struct lt_number_range range;
	if (!lt_range_read(&range, at) || !lt_range_ends(at))
		return tell(start, "is not the number of a label", labels, diags);
	if (range.from == 0 || range.to == 0)
		return tell(start, "begins at 0, and the first label is 1", labels, diags);
	if (range.from > labels || range.to > labels) {
		lt_range_tell(OPTION, start, "is beyond the last label", diags);
		lt_hint(diags, "the layout has %u label%s on a sheet", labels,
			labels == 1 ? "" : "s");
		return false;
	}
	if (range.to < range.from)
		return tell(start, "runs backwards", labels, diags);
	for (unsigned label = range.from; label <= range.to; label++)
		used[label - 1] = true;
	return true;
}

static bool read_all(bool *used, unsigned labels, const char *text, struct lt_diags *diags)
{
	for (const char *at = text;; at++) {
		if (!read_item(used, labels, &at, diags))
			return false;
		if (*at == '\0')
			return true;
	}
}

static bool any_left(const bool *used, unsigned labels)
{
	for (unsigned i = 0; i < labels; i++)
		if (!used[i])
			return true;
	return false;
}

bool lt_used_read(bool *used, unsigned labels, const char *text, struct lt_diags *diags)
{
	clear(used, labels);
	if (is_blank(text)) {
		lt_error(diags, lt_place_none(), OPTION " names no label");
		lt_hint(diags, "leave it out for a whole sheet, or write such as 1-5,9");
		return false;
	}
	bool good = read_all(used, labels, text, diags);
	if (good && !any_left(used, labels)) {
		lt_error(diags, lt_place_none(), OPTION ": every label of the sheet is gone");
		lt_hint(diags, "take a new sheet, and leave " OPTION " out");
		good = false;
	}
	if (!good)
		clear(used, labels);
	return good;
}
