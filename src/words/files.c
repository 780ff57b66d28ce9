/* The names of documents and of their files. */
#include "loomtag/words.h"

void lt_words_document_title(struct lt_text *out, const char *document,
	const struct lt_harness *harness)
{
	if (harness->title != NULL)
		lt_text_printf(out, "%s %s: %s", document, harness->code, harness->title);
	else
		lt_text_printf(out, "%s %s", document, harness->code);
}

void lt_words_file_range(struct lt_text *out, const char *first, const char *last)
{
	lt_text_printf(out, "%s to %s", first, last);
}
