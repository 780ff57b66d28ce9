/* What a printer answers to Get-Printer-Attributes: what it can do, what is loaded, and which sizes
 * it has or accepts. */
#include <math.h>
#include <string.h>

#include "loomtag/base.h"
#include "print/ipp.h"
#include "print/link.h"

#define DPI_LEAST 50
#define DPI_MOST 4800
#define MM_PER_INCH 25.4
#define SIZE_LEAST 1.0 /* mm */
#define SIZE_MOST 2000.0
#define PER_MM 100.0 /* IPP counts hundredths of a millimetre */
#define SAME 0.05

/* What can be wrong with a value; each is reported once. */
enum fault { FAULT_TYPE, FAULT_SIZE, FAULT_RESOLUTION, FAULT_TOO_MANY, FAULTS };

/* One reading of an answer. */
struct reading {
	struct lt_printer *out;
	ipp_t *answer;
	struct lt_diags *diags;
	bool reported[FAULTS];
};

static void warn(struct reading *reading, enum fault fault, const char *attribute)
{
	struct lt_diags *diags = reading->diags;
	const struct lt_place place = lt_place_none();
	if (reading->reported[fault])
		return;
	reading->reported[fault] = true;
	switch (fault) {
	case FAULT_TYPE:
		lt_warning(diags, place,
			"the printer gives a value of the wrong type for %s, and loomtag ignores it",
			attribute);
		break;
	case FAULT_SIZE:
		lt_warning(diags, place,
			"the printer gives an impossible size for %s, and loomtag ignores it",
			attribute);
		break;
	case FAULT_RESOLUTION:
		lt_warning(diags, place,
			"the printer gives an impossible resolution for %s, and loomtag ignores it",
			attribute);
		break;
	case FAULT_TOO_MANY:
		lt_warning(diags, place,
			"the printer gives too many values for %s, and loomtag ignores the rest",
			attribute);
		break;
	case FAULTS:
		break;
	}
}

/* The printer's attribute of that name, or NULL where it is not there, or has no value (RFC 8010,
 * 3.5.2: tags of no value come before those of values). */
static ipp_attribute_t *find(struct reading *reading, const char *name)
{
	ipp_attribute_t *found = ippFindAttribute(reading->answer, name, IPP_TAG_ZERO);
	while (found != NULL && ippGetGroupTag(found) != IPP_TAG_PRINTER)
		found = ippFindNextAttribute(reading->answer, name, IPP_TAG_ZERO);
	return ippGetCount(found) > 0 && ippGetValueTag(found) >= IPP_TAG_INTEGER ? found : NULL;
}

/* The same, or NULL, with a warning, where it is of another type. */
static ipp_attribute_t *find_of(struct reading *reading, const char *name, ipp_tag_t type)
{
	ipp_attribute_t *found = find(reading, name);
	if (found == NULL || ippGetValueTag(found) == type)
		return found;
	warn(reading, FAULT_TYPE, name);
	return NULL;
}

/* The value of a keyword, a name, a text or the like; NULL, with a warning, for another type. Owned
 * by the answer and not clean. */
static const char *text_of(struct reading *reading, ipp_attribute_t *attribute, int index)
{
	const char *text = ippGetString(attribute, index, NULL);
	if (text == NULL)
		warn(reading, FAULT_TYPE, ippGetName(attribute));
	return text;
}

/* Whether a list of keywords or formats has one. */
static bool has_word(struct reading *reading, const char *name, const char *word)
{
	ipp_attribute_t *found = find(reading, name);
	int count = ippGetCount(found);
	for (int i = 0; i < count; i++) {
		const char *text = text_of(reading, found, i);
		if (text == NULL)
			return false;
		if (lt_same_word(text, word))
			return true;
	}
	return false;
}

/* Whether a list of enums has one. */
static bool has_enum(struct reading *reading, const char *name, int value)
{
	ipp_attribute_t *found = find(reading, name);
	ipp_tag_t type = ippGetValueTag(found);
	if (found == NULL || type == IPP_TAG_ENUM || type == IPP_TAG_INTEGER)
		return ippContainsInteger(found, value) != 0;
	warn(reading, FAULT_TYPE, name);
	return false;
}

static void read_state(struct reading *reading)
{
	struct lt_printer *out = reading->out;
	ipp_attribute_t *found = find(reading, "printer-state-message");
	const char *message = found != NULL ? text_of(reading, found, 0) : NULL;
	if (message != NULL && message[0] != '\0')
		out->message = lt_answer_text(&out->arena, message);
	for (ipp_pstate_t state = IPP_PSTATE_IDLE; state <= IPP_PSTATE_STOPPED; state++) {
		if (has_enum(reading, "printer-state", (int)state))
			out->state = state;
	}
	found = find_of(reading, "printer-is-accepting-jobs", IPP_TAG_BOOLEAN);
	out->accepting = found == NULL || ippGetBoolean(found, 0) != 0;
}

static void read_reasons(struct reading *reading)
{
	ipp_attribute_t *found = find(reading, "printer-state-reasons");
	int count = ippGetCount(found);
	struct lt_printer *out = reading->out;
	out->reasons = lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(*out->reasons));
	for (int i = 0; i < count; i++) {
		const char *reason = text_of(reading, found, i);
		if (reason == NULL)
			return;
		if (strcmp(reason, "none") == 0 || reason[0] == '\0')
			continue;
		if (out->reason_count == LT_PRINTER_LIST_MAX) {
			warn(reading, FAULT_TOO_MANY, "printer-state-reasons");
			return;
		}
		out->reasons[out->reason_count++] = lt_answer_text(&out->arena, reason);
	}
}

/* Puts a resolution where it belongs in an ascending list, each once. */
static void add_resolution(struct reading *reading, struct lt_dpi_list *list, unsigned dpi,
	const char *name)
{
	size_t at = 0;
	while (at < list->count && list->items[at] < dpi)
		at++;
	if (at < list->count && list->items[at] == dpi)
		return;
	if (list->count == LT_PRINTER_LIST_MAX) {
		warn(reading, FAULT_TOO_MANY, name);
		return;
	}
	memmove(list->items + at + 1, list->items + at, (list->count - at) * sizeof(*list->items));
	list->items[at] = dpi;
	list->count++;
}

/* Reads the square ones; others are valid, but of no use here. */
static struct lt_dpi_list read_resolutions(struct reading *reading, const char *name)
{
	struct lt_dpi_list list = { 0 };
	ipp_attribute_t *found = find_of(reading, name, IPP_TAG_RESOLUTION);
	int count = ippGetCount(found);
	list.items = lt_arena_array(&reading->out->arena, LT_PRINTER_LIST_MAX, sizeof(*list.items));
	for (int i = 0; i < count; i++) {
		int down = 0;
		ipp_res_t units = IPP_RES_PER_INCH;
		int across = ippGetResolution(found, i, &down, &units);
		double dpi = across;
		if (units == IPP_RES_PER_CM)
			dpi = round(across * (MM_PER_INCH / 10));
		bool known = units == IPP_RES_PER_CM || units == IPP_RES_PER_INCH;
		if (!known || down <= 0 || dpi < DPI_LEAST || dpi > DPI_MOST)
			warn(reading, FAULT_RESOLUTION, name);
		else if (across == down)
			add_resolution(reading, &list, (unsigned)dpi, name);
	}
	return list;
}

static void read_all_resolutions(struct reading *reading)
{
	struct lt_printer *out = reading->out;
	out->resolutions = read_resolutions(reading, "printer-resolution-supported");
	if (out->resolutions.count == 0)
		out->resolutions = read_resolutions(reading, "printer-resolution-default");
	out->pwg_resolutions =
		read_resolutions(reading, "pwg-raster-document-resolution-supported");
	if (out->pwg_resolutions.count == 0)
		out->pwg_resolutions = out->resolutions;
}

/* Reads x-dimension or y-dimension. False, with a warning, where the size is impossible. A range
 * that is larger than any use is cut. */
static bool read_span(double *least, double *most, struct reading *reading, ipp_attribute_t *size,
	const char *attribute)
{
	int from = 0;
	int to = 0;
	if (ippGetValueTag(size) == IPP_TAG_INTEGER) {
		from = to = ippGetInteger(size, 0);
	} else if (ippGetValueTag(size) == IPP_TAG_RANGE) {
		from = ippGetRange(size, 0, &to);
	} else {
		warn(reading, FAULT_TYPE, attribute);
		return false;
	}
	*least = from / PER_MM;
	*most = to / PER_MM;
	if (from < to && *most >= SIZE_LEAST && *least <= SIZE_MOST) {
		/* Zero or one hundredth is how some say that they have no lower limit. */
		*least = from >= 0 ? fmax(*least, SIZE_LEAST) : -1;
		*most = fmin(*most, SIZE_MOST);
	}
	if (*least >= SIZE_LEAST && *most <= SIZE_MOST && *least <= *most)
		return true;
	warn(reading, FAULT_SIZE, attribute);
	return false;
}

static bool equal(double a, double b)
{
	return fabs(a - b) < SAME;
}

/* Adds a medium to a list, or its name to one of that size that is there already. */
static void add_media(struct reading *reading, struct lt_media_list *list,
	const struct lt_media *media, const char *attribute)
{
	for (size_t i = 0; i < list->count; i++) {
		struct lt_media *old = &list->items[i];
		if (equal(old->width, media->width) && equal(old->height, media->height) &&
			equal(old->least_width, media->least_width) &&
			equal(old->least_height, media->least_height)) {
			if (old->name == NULL)
				old->name = media->name;
			return;
		}
	}
	if (list->count < LT_PRINTER_LIST_MAX)
		list->items[list->count++] = *media;
	else
		warn(reading, FAULT_TOO_MANY, attribute);
}

/* One media-col: of a fixed size, or of a range. A loaded medium with a range is a roll: it is
 * listed at its longest. */
static void read_media_col(struct reading *reading, struct lt_media_list *list, ipp_t *media,
	const char *attribute)
{
	ipp_attribute_t *column = ippFindAttribute(media, "media-size", IPP_TAG_ZERO);
	struct lt_media found = { 0 };
	if (ippGetValueTag(column) != IPP_TAG_BEGIN_COLLECTION) {
		warn(reading, FAULT_TYPE, attribute);
		return;
	}
	ipp_t *size = ippGetCollection(column, 0);
	if (!read_span(&found.least_width, &found.width, reading,
		    ippFindAttribute(size, "x-dimension", IPP_TAG_ZERO), attribute) ||
		!read_span(&found.least_height, &found.height, reading,
			ippFindAttribute(size, "y-dimension", IPP_TAG_ZERO), attribute))
		return;
	bool fixed =
		equal(found.least_width, found.width) && equal(found.least_height, found.height);
	if (!fixed)
		add_media(reading, &reading->out->ranges, &found, attribute);
	if (!fixed && list != &reading->out->ready)
		return;
	found.least_width = found.width;
	found.least_height = found.height;
	ipp_attribute_t *name = ippFindAttribute(media, "media-size-name", IPP_TAG_KEYWORD);
	if (name != NULL)
		found.name = lt_answer_text(&reading->out->arena, ippGetString(name, 0, NULL));
	add_media(reading, list, &found, attribute);
}

/* The size in a self-describing name. False for a name of another kind, which says nothing, and,
 * with a warning, for an impossible size. */
static bool size_of_name(struct lt_media *out, struct reading *reading, const char *name,
	const char *attribute)
{
	pwg_media_t *media = pwgMediaForPWG(name);
	if (media == NULL)
		return false;
	out->width = out->least_width = media->width / PER_MM;
	out->height = out->least_height = media->length / PER_MM;
	if (fmin(out->width, out->height) >= SIZE_LEAST &&
		fmax(out->width, out->height) <= SIZE_MOST)
		return true;
	warn(reading, FAULT_SIZE, attribute);
	return false;
}

/* True for custom_min_… and roll_min_…, or the same with max (PWG 5101.1, 5.1). */
static bool is_limit(const char *name, const char *which)
{
	const char *at = strchr(name, '_');
	return (strncmp(name, "custom_", 7) == 0 || strncmp(name, "roll_", 5) == 0) &&
	       strncmp(at + 1, which, 3) == 0 && at[4] == '_';
}

/* Names. Two that are limits, a smallest and a largest, make a range. */
static void read_media_names(struct reading *reading, struct lt_media_list *list,
	const char *attribute)
{
	ipp_attribute_t *found = find(reading, attribute);
	int count = ippGetCount(found);
	struct lt_media least = { 0 };
	struct lt_media most = { 0 };
	for (int i = 0; i < count; i++) {
		const char *name = text_of(reading, found, i);
		if (name == NULL)
			return;
		struct lt_media size = { 0 };
		if (!size_of_name(&size, reading, name, attribute))
			continue;
		if (is_limit(name, "min")) {
			least = size;
		} else if (is_limit(name, "max")) {
			most = size;
		} else {
			size.name = lt_answer_text(&reading->out->arena, name);
			add_media(reading, list, &size, attribute);
		}
		if (least.width > 0 && most.width >= least.width && most.height >= least.height) {
			most.least_width = least.width;
			most.least_height = least.height;
			add_media(reading, &reading->out->ranges, &most, attribute);
			least = most = (struct lt_media){ 0 };
		}
	}
}

/* Reads media from the two attributes that list them: by their properties, and by name. */
static void read_media(struct reading *reading, struct lt_media_list *list, const char *columns,
	const char *names)
{
	ipp_attribute_t *found = find_of(reading, columns, IPP_TAG_BEGIN_COLLECTION);
	int count = ippGetCount(found);
	for (int i = 0; i < count; i++)
		read_media_col(reading, list, ippGetCollection(found, i), columns);
	read_media_names(reading, list, names);
}

static void read_all_media(struct reading *reading)
{
	struct lt_printer *out = reading->out;
	struct lt_media_list *const lists[] = { &out->ready, &out->known, &out->ranges };
	for (size_t i = 0; i < 3; i++)
		lists[i]->items =
			lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(struct lt_media));
	read_media(reading, &out->ready, "media-col-ready", "media-ready");
	read_media(reading, &out->known, "media-col-database", "media-supported");
}

const struct lt_trim lt_trims[LT_TRIMS] = {
	{ IPP_FINISHINGS_TRIM, LT_TRIM_ANY },
	{ IPP_FINISHINGS_TRIM_AFTER_PAGES, LT_TRIM_PAGES },
	{ IPP_FINISHINGS_TRIM_AFTER_DOCUMENTS, LT_TRIM_DOCUMENTS },
	{ IPP_FINISHINGS_TRIM_AFTER_JOB, LT_TRIM_JOB },
};

static void read_abilities(struct reading *reading)
{
	struct lt_printer *out = reading->out;
	for (size_t i = 0; i < LT_TRIMS; i++) {
		if (has_enum(reading, "finishings-supported", lt_trims[i].finishing))
			out->trims |= lt_trims[i].bit;
	}
	out->create_job = has_enum(reading, "operations-supported", IPP_OP_CREATE_JOB) &&
			  has_enum(reading, "operations-supported", IPP_OP_SEND_DOCUMENT);
	out->cancel_job = has_enum(reading, "operations-supported", IPP_OP_CANCEL_JOB);
	/* Its presence says that a job may carry media-col with a size (PWG 5100.7). Lists of what
	 * jobs may be created with leave it out even where it is accepted. */
	out->media_col = has_word(reading, "media-col-supported", "media-size");
	/* Draft, normal, high (RFC 8011, 5.2.13). */
	for (int quality = IPP_QUALITY_DRAFT; quality <= IPP_QUALITY_HIGH; quality++) {
		if (has_enum(reading, "print-quality-supported", quality))
			out->quality = quality;
	}
	out->unscaled = has_word(reading, "print-scaling-supported", "none");
}

/* Whether the printer accepts a format that loomtag can send. */
static bool read_formats(struct reading *reading)
{
	struct lt_printer *out = reading->out;
	out->pwg = has_word(reading, "document-format-supported", "image/pwg-raster");
	out->pdf = has_word(reading, "document-format-supported", "application/pdf");
	out->black_1 = has_word(reading, "pwg-raster-document-type-supported", "black_1");
	bool sgray_8 = has_word(reading, "pwg-raster-document-type-supported", "sgray_8");
	const bool no_resolution = out->pwg && out->pwg_resolutions.count == 0;
	const bool no_colours = out->pwg && !out->black_1 && !sgray_8;
	out->pwg = out->pwg && !no_resolution && !no_colours;
	if (out->pwg || out->pdf)
		return true;
	if (no_resolution) {
		lt_error(reading->diags, lt_place_none(),
			"the printer accepts PWG Raster, but does not say at which resolution");
	} else if (no_colours) {
		lt_error(reading->diags, lt_place_none(),
			"the printer accepts PWG Raster, but neither in black_1 nor in sgray_8");
	} else {
		lt_error(reading->diags, lt_place_none(),
			"the printer accepts no format that loomtag can send");
		lt_hint(reading->diags,
			"use a printer that accepts image/pwg-raster or application/pdf, or a print "
			"queue with the driver of the printer");
	}
	return false;
}

bool lt_printer_read(struct lt_printer *out, ipp_t *answer, struct lt_diags *diags)
{
	*out = (struct lt_printer){ 0 };
	struct reading reading = { .out = out, .answer = answer, .diags = diags };
	read_state(&reading);
	read_reasons(&reading);
	read_all_resolutions(&reading);
	read_all_media(&reading);
	read_abilities(&reading);
	return read_formats(&reading);
}

/* All that is read above. */
static const char *const attributes[] = { "document-format-supported", "finishings-supported",
	"media-col-database", "media-col-ready", "media-col-supported", "media-ready",
	"media-supported", "operations-supported", "print-quality-supported",
	"print-scaling-supported", "printer-is-accepting-jobs", "printer-resolution-default",
	"printer-resolution-supported", "printer-state", "printer-state-message",
	"printer-state-reasons", "pwg-raster-document-resolution-supported",
	"pwg-raster-document-type-supported" };

bool lt_link_printer(struct lt_printer *out, struct lt_link *link, struct lt_diags *diags)
{
	static const char *const all[] = { "all", "media-col-database" };
	*out = (struct lt_printer){ 0 };
	ipp_t *answer = lt_link_attributes(link, 0, attributes,
		sizeof(attributes) / sizeof(attributes[0]), diags);
	/* Some printers do not accept such a list. */
	if (answer != NULL && ippGetStatusCode(answer) >= IPP_STATUS_ERROR_BAD_REQUEST) {
		ippDelete(answer);
		answer = lt_link_attributes(link, 0, all, 2, diags);
	}
	bool good = lt_link_status(link, answer, LT_PURPOSE_ASK, diags) &&
		    lt_printer_read(out, answer, diags);
	ippDelete(answer);
	return good;
}

void lt_printer_finish(struct lt_printer *printer)
{
	if (printer == NULL)
		return;
	lt_arena_finish(&printer->arena);
	*printer = (struct lt_printer){ 0 };
}
