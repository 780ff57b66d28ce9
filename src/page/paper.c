#include "loomtag/page.h"

static const struct {
	const char *name;
	double width, height;
} papers[LT_PAPER_COUNT] = {
	[LT_PAPER_A4] = { "a4", 210, 297 },
	[LT_PAPER_LETTER] = { "letter", 8.5 * 25.4, 11 * 25.4 },
	[LT_PAPER_A3] = { "a3", 297, 420 },
	[LT_PAPER_LEDGER] = { "ledger", 11 * 25.4, 17 * 25.4 },
};

void lt_paper_size(double *width, double *height, enum lt_paper paper)
{
	*width = papers[paper].width;
	*height = papers[paper].height;
}

const char *lt_paper_name(enum lt_paper paper)
{
	return papers[paper].name;
}

bool lt_paper_read(enum lt_paper *out, const char *name)
{
	for (int paper = 0; paper < LT_PAPER_COUNT; paper++) {
		*out = (enum lt_paper)paper;
		if (lt_same_word(name, papers[paper].name))
			return true;
	}
	return false;
}
