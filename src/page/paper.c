/* Sizes of paper. */
#include "loomtag/page.h"

/* Those that a binder takes are for documents too. */
static const struct {
	const char *name;
	double width, height;
	bool documents;
} papers[LT_PAPER_COUNT] = {
	[LT_PAPER_A4] = { "a4", 210, 297, true },
	[LT_PAPER_A3] = { "a3", 297, 420, false },
	[LT_PAPER_LETTER] = { "letter", 8.5 * 25.4, 11 * 25.4, true },
	[LT_PAPER_LEDGER] = { "ledger", 11 * 25.4, 17 * 25.4, false },
};

void lt_paper_size(double *width, double *height, enum lt_paper paper)
{
	*width = papers[paper].width;
	*height = papers[paper].height;
}

void lt_paper_list(struct lt_text *out, bool documents)
{
	const char *last = NULL;
	struct lt_text names = { 0 };
	for (size_t i = 0; i < LT_PAPER_COUNT; i++) {
		if (documents && !papers[i].documents)
			continue;
		if (last != NULL)
			lt_text_printf(&names, names.length > 0 ? ", %s" : "%s", last);
		last = papers[i].name;
	}
	lt_text_printf(out, "%s or %s", lt_text_string(&names), last);
	lt_text_finish(&names);
}

bool lt_paper_read(enum lt_paper *out, const char *name, bool documents)
{
	for (int paper = 0; paper < LT_PAPER_COUNT; paper++) {
		*out = (enum lt_paper)paper;
		if ((!documents || papers[paper].documents) &&
			lt_same_word(name, papers[paper].name))
			return true;
	}
	return false;
}
