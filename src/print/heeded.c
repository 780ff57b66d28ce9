/* What a printer leaves out of what a job asks of it: it may take the job all the same and print
 * otherwise (RFC 8011, 4.1.7 and appendix B.1.2: successful-ok-ignored-or-substituted-attributes).
 */
#include <string.h>

#include "print/way.h"

/* Without these, labels come out in the wrong size or place; without the others, less well. */
static bool is_needed(const char *name)
{
	static const char *const needed[] = { "media", "media-col", "printer-resolution",
		"print-scaling" };
	for (size_t i = 0; i < sizeof(needed) / sizeof(needed[0]); i++)
		if (strcmp(needed[i], name) == 0)
			return true;
	return false;
}

/* " of 54 x 25 mm", where the medium was asked for by its size. */
static void add_size(struct lt_text *out, ipp_attribute_t *column)
{
	ipp_t *members = ippGetCollection(column, 0);
	ipp_attribute_t *size = ippFindAttribute(members, "media-size", IPP_TAG_BEGIN_COLLECTION);
	ipp_t *sides = size != NULL ? ippGetCollection(size, 0) : NULL;
	ipp_attribute_t *width = ippFindAttribute(sides, "x-dimension", IPP_TAG_INTEGER);
	ipp_attribute_t *height = ippFindAttribute(sides, "y-dimension", IPP_TAG_INTEGER);
	if (width != NULL && height != NULL)
		lt_text_printf(out, "%g x %g mm", ippGetInteger(width, 0) / 100.0,
			ippGetInteger(height, 0) / 100.0);
}

/* What was asked for, in words; nothing where it was not. */
static void add_asked(struct lt_text *out, ipp_t *request, const char *name)
{
	ipp_attribute_t *asked = ippFindAttribute(request, name, IPP_TAG_ZERO);
	char text[256];
	if (asked == NULL)
		return;
	if (ippGetValueTag(asked) == IPP_TAG_BEGIN_COLLECTION) {
		add_size(out, asked);
	} else if (ippGetValueTag(asked) == IPP_TAG_RESOLUTION) {
		ipp_res_t units;
		int down;
		lt_text_printf(out, "%d dots an inch", ippGetResolution(asked, 0, &down, &units));
	} else {
		ippAttributeString(asked, text, sizeof(text));
		lt_text_add(out, text);
	}
}

static const char *word_for(const char *name)
{
	static const struct {
		const char *name, *words;
	} known[] = { { "media", "medium" }, { "media-col", "medium" },
		{ "printer-resolution", "resolution" }, { "print-scaling", "scale" },
		{ "finishings", "cutting" }, { "print-quality", "quality" } };
	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++)
		if (strcmp(known[i].name, name) == 0)
			return known[i].words;
	return NULL;
}

bool lt_way_heeded(struct lt_link *link, ipp_t *request, ipp_t *answer, struct lt_diags *diags)
{
	bool good = true;
	for (ipp_attribute_t *at = ippFirstAttribute(answer); at != NULL;
		at = ippNextAttribute(answer)) {
		const char *name = ippGetName(at);
		const char *words = name != NULL ? word_for(name) : NULL;
		if (ippGetGroupTag(at) != IPP_TAG_UNSUPPORTED_GROUP || words == NULL)
			continue;
		struct lt_text asked = { 0 };
		add_asked(&asked, request, name);
		const char *colon = asked.length > 0 ? ": " : "";
		if (is_needed(name)) {
			lt_error(diags, lt_way_place(link),
				"the printer does not take the %s that the job asks for (%s%s%s), "
				"and would print with another",
				words, name, colon, lt_text_string(&asked));
			lt_hint(diags, "see what is loaded, and what the printer is set to");
			good = false;
		} else {
			lt_warning(diags, lt_way_place(link),
				"the printer does not heed what is asked of its %s (%s%s%s)", words,
				name, colon, lt_text_string(&asked));
		}
		lt_text_finish(&asked);
	}
	return good;
}
