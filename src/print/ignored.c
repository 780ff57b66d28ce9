/* What a printer leaves out of what a job asks of it: it may take the job all the same and print
 * otherwise (RFC 8011, 4.1.7 and appendix B.1.2: successful-ok-ignored-or-substituted-attributes).
 */
#include <string.h>

#include "print/link.h"

/* What a job asks for. Without what is needed, labels come out in the wrong size or place; without
 * the others, less well. */
static const struct wish {
	const char *name, *words;
	bool needed;
} wishes[] = {
	{ "media", "medium", true },
	{ "media-col", "medium", true },
	{ "printer-resolution", "resolution", true },
	{ "print-scaling", "scale", true },
	{ "finishings", "cutting", false },
	{ "print-quality", "quality", false },
};

static const struct wish *find(const char *name)
{
	for (size_t i = 0; name != NULL && i < sizeof(wishes) / sizeof(wishes[0]); i++) {
		if (strcmp(wishes[i].name, name) == 0)
			return &wishes[i];
	}
	return NULL;
}

/* Adds what was asked for, in words: ": 54 x 25 mm"; nothing where it was not. */
static void add_asked(struct lt_text *out, ipp_t *request, const char *name)
{
	ipp_attribute_t *asked = ippFindAttribute(request, name, IPP_TAG_ZERO);
	if (asked == NULL)
		return;
	if (ippGetValueTag(asked) == IPP_TAG_BEGIN_COLLECTION) {
		ipp_attribute_t *column = ippFindAttribute(ippGetCollection(asked, 0), "media-size",
			IPP_TAG_BEGIN_COLLECTION);
		ipp_t *size = column != NULL ? ippGetCollection(column, 0) : NULL;
		ipp_attribute_t *width = ippFindAttribute(size, "x-dimension", IPP_TAG_INTEGER);
		ipp_attribute_t *height = ippFindAttribute(size, "y-dimension", IPP_TAG_INTEGER);
		if (width != NULL && height != NULL)
			lt_text_printf(out, ": %g x %g mm", ippGetInteger(width, 0) / 100.0,
				ippGetInteger(height, 0) / 100.0);
	} else if (ippGetValueTag(asked) == IPP_TAG_RESOLUTION) {
		ipp_res_t units;
		int down;
		lt_text_printf(out, ": %d dots an inch", ippGetResolution(asked, 0, &down, &units));
	} else {
		char text[256];
		ippAttributeString(asked, text, sizeof(text));
		lt_text_printf(out, ": %s", text);
	}
}

bool lt_answer_takes_all(struct lt_link *link, ipp_t *request, ipp_t *answer, bool warns,
	struct lt_diags *diags)
{
	bool good = true;
	for (ipp_attribute_t *at = ippFirstAttribute(answer); at != NULL;
		at = ippNextAttribute(answer)) {
		const struct wish *wish = find(ippGetName(at));
		if (ippGetGroupTag(at) != IPP_TAG_UNSUPPORTED_GROUP || wish == NULL)
			continue;
		struct lt_text asked = { 0 };
		lt_text_add(&asked, wish->name);
		add_asked(&asked, request, wish->name);
		if (wish->needed) {
			lt_error(diags, lt_link_place(link),
				"the printer does not take the %s that the job asks for (%s), "
				"and would print with another",
				wish->words, lt_text_string(&asked));
			lt_hint(diags, "see what is loaded, and what the printer is set to");
			good = false;
		} else if (warns) {
			lt_warning(diags, lt_link_place(link),
				"the printer does not heed what is asked of its %s (%s)",
				wish->words, lt_text_string(&asked));
		}
		lt_text_finish(&asked);
	}
	return good;
}
