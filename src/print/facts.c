/* What a printer answers to Get-Printer-Attributes. */
#include <limits.h>
#include <math.h>
#include <string.h>

#include "loomtag/base.h"
#include "print/facts.h"

#define TEXT_MAX 1023u /* RFC 8011 5.1.3 */
#define DPI_LEAST 50
#define DPI_MOST 4800
#define MM_PER_INCH 25.4

void lt_facts_pass_over(struct facts *facts, enum facts_kind kind, const char *attribute)
{
	static const char *const what[FACTS_KINDS] = {
		[FACTS_TYPE] = "a value of the wrong type",
		[FACTS_SIZE] = "a size that cannot be",
		[FACTS_MARGIN] = "a margin that cannot be",
		[FACTS_RESOLUTION] = "a resolution that cannot be",
		[FACTS_COUNT] = "a number that cannot be",
		[FACTS_TOO_MANY] = "more values than are of use",
	};
	if (facts->told[kind])
		return;
	facts->told[kind] = true;
	lt_warning(facts->diags, lt_place_none(), "the printer gives %s for %s; it is passed over",
		what[kind], attribute);
}

ipp_attribute_t *lt_facts_find(struct facts *facts, const char *name)
{
	ipp_attribute_t *found = ippFindAttribute(facts->answer, name, IPP_TAG_ZERO);
	while (found != NULL && ippGetGroupTag(found) != IPP_TAG_PRINTER)
		found = ippFindNextAttribute(facts->answer, name, IPP_TAG_ZERO);
	if (found == NULL || ippGetCount(found) < 1)
		return NULL;
	switch (ippGetValueTag(found)) {
	case IPP_TAG_UNSUPPORTED_VALUE:
	case IPP_TAG_DEFAULT:
	case IPP_TAG_UNKNOWN:
	case IPP_TAG_NOVALUE:
	case IPP_TAG_NOTSETTABLE:
	case IPP_TAG_DELETEATTR:
	case IPP_TAG_ADMINDEFINE:
		return NULL;
	default:
		return found;
	}
}

const char *lt_facts_string(struct facts *facts, ipp_attribute_t *attribute, int index)
{
	switch (ippGetValueTag(attribute)) {
	case IPP_TAG_TEXT:
	case IPP_TAG_TEXTLANG:
	case IPP_TAG_NAME:
	case IPP_TAG_NAMELANG:
	case IPP_TAG_KEYWORD:
	case IPP_TAG_URI:
	case IPP_TAG_MIMETYPE: {
		const char *text = ippGetString(attribute, index, NULL);
		if (text != NULL)
			return text;
		break;
	}
	default:
		break;
	}
	lt_facts_pass_over(facts, FACTS_TYPE, ippGetName(attribute));
	return NULL;
}

const char *lt_facts_copy(struct facts *facts, const char *text)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, text, strnlen(text, TEXT_MAX));
	const char *copy = lt_arena_copy(&facts->out->arena, lt_text_string(&clean), clean.length);
	lt_text_finish(&clean);
	return copy;
}

/* A text; NULL where there is none, or it is empty. */
static const char *read_text(struct facts *facts, const char *name)
{
	ipp_attribute_t *found = lt_facts_find(facts, name);
	const char *text = found != NULL ? lt_facts_string(facts, found, 0) : NULL;
	return text != NULL && text[0] != '\0' ? lt_facts_copy(facts, text) : NULL;
}

/* A boolean; `otherwise` where there is none. */
static bool read_bool(struct facts *facts, const char *name, bool otherwise)
{
	ipp_attribute_t *found = lt_facts_find(facts, name);
	if (found == NULL)
		return otherwise;
	if (ippGetValueTag(found) != IPP_TAG_BOOLEAN) {
		lt_facts_pass_over(facts, FACTS_TYPE, name);
		return otherwise;
	}
	return ippGetBoolean(found, 0) != 0;
}

/* Whether a list of keywords or formats has one. */
static bool has_word(struct facts *facts, const char *name, const char *word)
{
	ipp_attribute_t *found = lt_facts_find(facts, name);
	int count = found != NULL ? ippGetCount(found) : 0;
	for (int i = 0; i < count; i++) {
		const char *text = lt_facts_string(facts, found, i);
		if (text == NULL)
			return false;
		if (lt_same_word(text, word))
			return true;
	}
	return false;
}

/* Whether a list of enums has one. */
static bool has_enum(struct facts *facts, const char *name, int value)
{
	ipp_attribute_t *found = lt_facts_find(facts, name);
	if (found == NULL)
		return false;
	ipp_tag_t tag = ippGetValueTag(found);
	if (tag != IPP_TAG_ENUM && tag != IPP_TAG_INTEGER) {
		lt_facts_pass_over(facts, FACTS_TYPE, name);
		return false;
	}
	int count = ippGetCount(found);
	for (int i = 0; i < count; i++) {
		if (ippGetInteger(found, i) == value)
			return true;
	}
	return false;
}

static enum lt_printer_state read_state(struct facts *facts)
{
	if (has_enum(facts, "printer-state", IPP_PSTATE_IDLE))
		return LT_PRINTER_IDLE;
	if (has_enum(facts, "printer-state", IPP_PSTATE_PROCESSING))
		return LT_PRINTER_BUSY;
	if (has_enum(facts, "printer-state", IPP_PSTATE_STOPPED))
		return LT_PRINTER_STOPPED;
	return LT_PRINTER_UNKNOWN;
}

static void read_reasons(struct facts *facts)
{
	ipp_attribute_t *found = lt_facts_find(facts, "printer-state-reasons");
	int count = found != NULL ? ippGetCount(found) : 0;
	struct lt_printer *out = facts->out;
	out->reasons = lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(*out->reasons));
	for (int i = 0; i < count; i++) {
		const char *reason = lt_facts_string(facts, found, i);
		if (reason == NULL)
			return;
		if (strcmp(reason, "none") == 0 || reason[0] == '\0')
			continue;
		if (out->reason_count == LT_PRINTER_LIST_MAX) {
			lt_facts_pass_over(facts, FACTS_TOO_MANY, "printer-state-reasons");
			return;
		}
		out->reasons[out->reason_count++] = lt_facts_copy(facts, reason);
	}
}

/* Puts a resolution where it belongs in an ascending list, each once. */
static void add_resolution(struct facts *facts, unsigned *list, size_t *count, unsigned dpi,
	const char *name)
{
	size_t at = 0;
	while (at < *count && list[at] < dpi)
		at++;
	if (at < *count && list[at] == dpi)
		return;
	if (*count == LT_PRINTER_LIST_MAX) {
		lt_facts_pass_over(facts, FACTS_TOO_MANY, name);
		return;
	}
	memmove(list + at + 1, list + at, (*count - at) * sizeof(*list));
	list[at] = dpi;
	++*count;
}

/* Reads the square ones; others are right, and of no use here. */
static unsigned *read_resolutions(size_t *count, struct facts *facts, const char *name)
{
	unsigned *list = lt_arena_array(&facts->out->arena, LT_PRINTER_LIST_MAX, sizeof(*list));
	ipp_attribute_t *found = lt_facts_find(facts, name);
	*count = 0;
	if (found == NULL)
		return list;
	if (ippGetValueTag(found) != IPP_TAG_RESOLUTION) {
		lt_facts_pass_over(facts, FACTS_TYPE, name);
		return list;
	}
	int values = ippGetCount(found);
	for (int i = 0; i < values; i++) {
		int down = 0;
		ipp_res_t units = IPP_RES_PER_INCH;
		int across = ippGetResolution(found, i, &down, &units);
		double dpi = across;
		if (units == IPP_RES_PER_CM)
			dpi = round(across * (MM_PER_INCH / 10));
		bool known = units == IPP_RES_PER_CM || units == IPP_RES_PER_INCH;
		if (!known || down <= 0 || dpi < DPI_LEAST || dpi > DPI_MOST)
			lt_facts_pass_over(facts, FACTS_RESOLUTION, name);
		else if (across == down)
			add_resolution(facts, list, count, (unsigned)dpi, name);
	}
	return list;
}

static void read_all_resolutions(struct facts *facts)
{
	struct lt_printer *out = facts->out;
	out->resolutions =
		read_resolutions(&out->resolution_count, facts, "printer-resolution-supported");
	if (out->resolution_count == 0)
		out->resolutions = read_resolutions(&out->resolution_count, facts,
			"printer-resolution-default");
	out->pwg_resolutions = read_resolutions(&out->pwg_resolution_count, facts,
		"pwg-raster-document-resolution-supported");
	if (out->pwg_resolution_count == 0) {
		out->pwg_resolutions = out->resolutions;
		out->pwg_resolution_count = out->resolution_count;
	}
}

static unsigned read_copies(struct facts *facts)
{
	ipp_attribute_t *found = lt_facts_find(facts, "copies-supported");
	if (found == NULL)
		return 1;
	int most = 0;
	ipp_tag_t tag = ippGetValueTag(found);
	if (tag == IPP_TAG_RANGE)
		ippGetRange(found, 0, &most);
	else if (tag == IPP_TAG_INTEGER)
		most = ippGetInteger(found, 0);
	else
		lt_facts_pass_over(facts, FACTS_TYPE, "copies-supported");
	if (most < 1 && (tag == IPP_TAG_RANGE || tag == IPP_TAG_INTEGER))
		lt_facts_pass_over(facts, FACTS_COUNT, "copies-supported");
	return most > 1 ? (unsigned)most : 1;
}

static unsigned read_trims(struct facts *facts)
{
	static const struct {
		int value;
		unsigned bit;
	} known[] = {
		{ IPP_FINISHINGS_TRIM, LT_TRIM_ANY },
		{ IPP_FINISHINGS_TRIM_AFTER_PAGES, LT_TRIM_PAGES },
		{ IPP_FINISHINGS_TRIM_AFTER_DOCUMENTS, LT_TRIM_DOCUMENTS },
		{ IPP_FINISHINGS_TRIM_AFTER_JOB, LT_TRIM_JOB },
	};
	unsigned trims = 0;
	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++) {
		if (has_enum(facts, "finishings-supported", known[i].value))
			trims |= known[i].bit;
	}
	return trims;
}

/* Whether a job may carry media-col with a size: its presence says so (PWG 5100.7). Lists of what
 * jobs may be created with leave it out even where it is taken. */
static bool takes_media_col(struct facts *facts)
{
	return has_word(facts, "media-col-supported", "media-size");
}

/* The best of print-quality-supported: draft, normal, high (RFC 8011, 5.2.13). */
static int read_quality(struct facts *facts)
{
	for (int quality = IPP_QUALITY_HIGH; quality >= IPP_QUALITY_DRAFT; quality--) {
		if (has_enum(facts, "print-quality-supported", quality))
			return quality;
	}
	return 0;
}

static void read_formats(struct facts *facts)
{
	struct lt_printer *out = facts->out;
	out->pwg = has_word(facts, "document-format-supported", "image/pwg-raster");
	out->pdf = has_word(facts, "document-format-supported", "application/pdf");
	out->black_1 = has_word(facts, "pwg-raster-document-type-supported", "black_1");
	out->sgray_8 = has_word(facts, "pwg-raster-document-type-supported", "sgray_8");
}

/* Whether there is a way to send it something. */
static bool check_formats(struct facts *facts)
{
	struct lt_printer *out = facts->out;
	const char *lacks = NULL;
	if (out->pwg && out->pwg_resolution_count == 0)
		lacks = "at which resolution";
	else if (out->pwg && !out->black_1 && !out->sgray_8)
		lacks = "in which colours (black_1 or sgray_8 would do)";
	out->pwg = out->pwg && lacks == NULL;
	if (out->pwg || out->pdf)
		return true;
	if (lacks != NULL) {
		lt_error(facts->diags, lt_place_none(),
			"the printer takes PWG Raster, and does not say %s", lacks);
	} else {
		lt_error(facts->diags, lt_place_none(),
			"the printer says of no format that loomtag can send that it takes it");
		lt_hint(facts->diags, "it has to take image/pwg-raster or application/pdf; a print "
				      "queue with its driver does");
	}
	return false;
}

bool lt_printer_read(struct lt_printer *out, ipp_t *answer, struct lt_diags *diags)
{
	*out = (struct lt_printer){ 0 };
	struct facts facts = { .out = out, .answer = answer, .diags = diags };
	out->name = read_text(&facts, "printer-name");
	out->info = read_text(&facts, "printer-info");
	out->message = read_text(&facts, "printer-state-message");
	out->state = read_state(&facts);
	out->accepting = read_bool(&facts, "printer-is-accepting-jobs", true);
	read_reasons(&facts);
	read_all_resolutions(&facts);
	lt_facts_media(&facts);
	read_formats(&facts);
	out->copies_most = read_copies(&facts);
	out->trims = read_trims(&facts);
	out->create_job = has_enum(&facts, "operations-supported", IPP_OP_CREATE_JOB) &&
			  has_enum(&facts, "operations-supported", IPP_OP_SEND_DOCUMENT);
	out->cancel_job = has_enum(&facts, "operations-supported", IPP_OP_CANCEL_JOB);
	out->multiple_documents = read_bool(&facts, "multiple-document-jobs-supported", false);
	out->media_col = takes_media_col(&facts);
	out->quality = read_quality(&facts);
	out->unscaled = has_word(&facts, "print-scaling-supported", "none");
	return check_formats(&facts);
}

void lt_printer_finish(struct lt_printer *printer)
{
	if (printer == NULL)
		return;
	lt_arena_finish(&printer->arena);
	*printer = (struct lt_printer){ 0 };
}
