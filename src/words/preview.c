/* What a preview on the terminal cannot show. */
#include "loomtag/words.h"

const struct lt_preview_words lt_preview_words = {
	.symbols_too_fine = "The QR codes are too small to show here. They are on the paper.",
};

void lt_words_preview_columns(struct lt_text *out, unsigned columns)
{
	lt_text_printf(out, "A terminal of %u columns shows them.", columns);
}

void lt_words_preview_texts(struct lt_text *out, size_t count)
{
	lt_text_printf(out,
		lt_plural(count, "%zu text does not fit here. It is on the paper.",
			"%zu texts do not fit here. They are on the paper."),
		count);
}
