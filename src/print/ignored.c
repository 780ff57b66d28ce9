/* What a printer ignores of a job: it may accept the job all the same and print it differently (RFC
 * 8011, 4.1.7 and appendix B.1.2: successful-ok-ignored-or-substituted-attributes). */
#include <string.h>

#include "print/link.h"

/* The settings of a job. If the printer ignores one that is needed, labels come out in the wrong
 * size or place; if it ignores another one, less well. */
static const struct setting {
	const char *name, *ignored;
	bool needed;
} settings[] = {
	{ "media", "the printer does not accept the medium of the job and would use another one",
		true },
	{ "media-col",
		"the printer does not accept the medium of the job and would use another one",
		true },
	{ "printer-resolution",
		"the printer does not accept the resolution of the job and would use another one",
		true },
	{ "print-scaling", "the printer does not keep the scale of the job", true },
	{ "finishings", "the printer ignores where the job must be cut", false },
	{ "print-quality", "the printer ignores the print quality of the job", false },
};

static const struct setting *find(const char *name)
{
	for (size_t i = 0; name != NULL && i < sizeof(settings) / sizeof(settings[0]); i++) {
		if (strcmp(settings[i].name, name) == 0)
			return &settings[i];
	}
	return NULL;
}

/* Adds the value that was asked for: ": 54 x 25 mm"; nothing where the request has none. */
static void add_value(struct lt_text *out, ipp_t *request, const char *name)
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
		lt_text_printf(out, ": %d dots per inch",
			ippGetResolution(asked, 0, &down, &units));
	} else {
		char text[256];
		ippAttributeString(asked, text, sizeof(text));
		lt_text_printf(out, ": %s", text);
	}
}

bool lt_answer_accepts_all(struct lt_link *link, ipp_t *request, ipp_t *answer, bool warns,
	struct lt_diags *diags)
{
	bool good = true;
	for (ipp_attribute_t *at = ippFirstAttribute(answer); at != NULL;
		at = ippNextAttribute(answer)) {
		const struct setting *setting = find(ippGetName(at));
		if (ippGetGroupTag(at) != IPP_TAG_UNSUPPORTED_GROUP || setting == NULL)
			continue;
		struct lt_text value = { 0 };
		lt_text_add(&value, setting->name);
		add_value(&value, request, setting->name);
		if (setting->needed) {
			lt_error(diags, lt_link_place(link), "%s (%s)", setting->ignored,
				lt_text_string(&value));
			lt_hint(diags, "check what is loaded, and the settings of the printer");
			good = false;
		} else if (warns) {
			lt_warning(diags, lt_link_place(link), "%s (%s)", setting->ignored,
				lt_text_string(&value));
		}
		lt_text_finish(&value);
	}
	return good;
}
