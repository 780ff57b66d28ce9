/* What is loaded in a printer, and which sizes it knows or can be told. */
#include <math.h>
#include <string.h>

#include "print/facts.h"

#define SIZE_LEAST 1.0 /* mm */
#define SIZE_MOST 2000.0
#define PER_MM 100.0 /* IPP counts hundredths of a millimetre */
#define SAME 0.05

/* Two extents, each of them a span. */
struct span {
	double least, most;
};
struct extent {
	struct span width, height;
};

static bool is_fixed(const struct span *span)
{
	return span->most - span->least < SAME;
}

/* Reads x-dimension or y-dimension. False after telling, where it is not one that can be. A span
 * that goes on beyond all use is cut. */
static bool read_span(struct span *out, struct facts *facts, ipp_t *size, const char *name,
	const char *attribute)
{
	ipp_attribute_t *found = ippFindAttribute(size, name, IPP_TAG_ZERO);
	int least = 0;
	int most = 0;
	if (found != NULL && ippGetValueTag(found) == IPP_TAG_INTEGER) {
		least = ippGetInteger(found, 0);
		most = least;
	} else if (found != NULL && ippGetValueTag(found) == IPP_TAG_RANGE) {
		least = ippGetRange(found, 0, &most);
	} else {
		lt_facts_pass_over(facts, FACTS_TYPE, attribute);
		return false;
	}
	*out = (struct span){ least / PER_MM, most / PER_MM };
	if (least < most && most >= SIZE_LEAST * PER_MM && least <= SIZE_MOST * PER_MM) {
		/* Zero or one hundredth is how some say that they have no lower limit. */
		out->least = least >= 0 ? fmax(out->least, SIZE_LEAST) : -1;
		out->most = fmin(out->most, SIZE_MOST);
	}
	if (out->least >= SIZE_LEAST && out->most <= SIZE_MOST && out->least <= out->most)
		return true;
	lt_facts_pass_over(facts, FACTS_SIZE, attribute);
	return false;
}

static bool read_extent(struct extent *out, struct facts *facts, ipp_t *size, const char *attribute)
{
	return read_span(&out->width, facts, size, "x-dimension", attribute) &&
	       read_span(&out->height, facts, size, "y-dimension", attribute);
}

static double read_margin(struct facts *facts, ipp_t *media, const char *name, double across,
	const char *attribute)
{
	ipp_attribute_t *found = ippFindAttribute(media, name, IPP_TAG_ZERO);
	if (found == NULL)
		return 0;
	if (ippGetValueTag(found) != IPP_TAG_INTEGER) {
		lt_facts_pass_over(facts, FACTS_TYPE, attribute);
		return 0;
	}
	double margin = ippGetInteger(found, 0) / PER_MM;
	if (margin >= 0 && 2 * margin < across)
		return margin;
	lt_facts_pass_over(facts, FACTS_MARGIN, attribute);
	return 0;
}

static const char *read_name(struct facts *facts, ipp_t *media)
{
	ipp_attribute_t *found = ippFindAttribute(media, "media-size-name", IPP_TAG_ZERO);
	if (found == NULL || ippGetValueTag(found) != IPP_TAG_KEYWORD)
		return NULL;
	return lt_facts_copy(facts, ippGetString(found, 0, NULL));
}

/* Where media of one list go. */
struct shelf {
	struct lt_media *items;
	size_t *count;
};

/* One of that size that is there already, or NULL. */
static struct lt_media *find_same(const struct shelf *shelf, const struct lt_media *media)
{
	for (size_t i = 0; i < *shelf->count; i++) {
		if (fabs(shelf->items[i].width - media->width) < SAME &&
			fabs(shelf->items[i].height - media->height) < SAME)
			return &shelf->items[i];
	}
	return NULL;
}

static void add_media(struct facts *facts, const struct shelf *shelf, const struct lt_media *media,
	const char *attribute)
{
	struct lt_media *same = find_same(shelf, media);
	if (same != NULL) {
		if (same->name == NULL)
			same->name = media->name;
	} else if (*shelf->count < LT_PRINTER_LIST_MAX) {
		shelf->items[(*shelf->count)++] = *media;
	} else {
		lt_facts_pass_over(facts, FACTS_TOO_MANY, attribute);
	}
}

static void add_range(struct facts *facts, const struct extent *extent, const char *attribute)
{
	struct lt_printer *out = facts->out;
	const struct lt_media_range range = { extent->width.least, extent->width.most,
		extent->height.least, extent->height.most };
	for (size_t i = 0; i < out->range_count; i++) {
		const struct lt_media_range *old = &out->ranges[i];
		if (fabs(old->least_width - range.least_width) < SAME &&
			fabs(old->most_width - range.most_width) < SAME &&
			fabs(old->least_height - range.least_height) < SAME &&
			fabs(old->most_height - range.most_height) < SAME)
			return;
	}
	if (out->range_count < LT_PRINTER_LIST_MAX)
		out->ranges[out->range_count++] = range;
	else
		lt_facts_pass_over(facts, FACTS_TOO_MANY, attribute);
}

/* One media-col: of a fixed size, or of a range. What is loaded and has a range is a roll that ends
 * somewhere: it is on the shelf at its longest. */
static void read_media_col(struct facts *facts, const struct shelf *shelf, ipp_t *media,
	bool loaded, const char *attribute)
{
	ipp_attribute_t *size = ippFindAttribute(media, "media-size", IPP_TAG_ZERO);
	struct extent extent;
	if (size == NULL || ippGetValueTag(size) != IPP_TAG_BEGIN_COLLECTION) {
		lt_facts_pass_over(facts, FACTS_TYPE, attribute);
		return;
	}
	if (!read_extent(&extent, facts, ippGetCollection(size, 0), attribute))
		return;
	bool fixed = is_fixed(&extent.width) && is_fixed(&extent.height);
	if (!fixed)
		add_range(facts, &extent, attribute);
	if (!fixed && !loaded)
		return;
	double width = extent.width.most;
	double height = extent.height.most;
	const struct lt_media found = {
		.name = read_name(facts, media),
		.width = width,
		.height = height,
		.left = read_margin(facts, media, "media-left-margin", width, attribute),
		.right = read_margin(facts, media, "media-right-margin", width, attribute),
		.top = read_margin(facts, media, "media-top-margin", height, attribute),
		.bottom = read_margin(facts, media, "media-bottom-margin", height, attribute),
	};
	add_media(facts, shelf, &found, attribute);
}

static void read_media_cols(struct facts *facts, const struct shelf *shelf, const char *name,
	bool loaded)
{
	ipp_attribute_t *found = lt_facts_find(facts, name);
	if (found == NULL)
		return;
	if (ippGetValueTag(found) != IPP_TAG_BEGIN_COLLECTION) {
		lt_facts_pass_over(facts, FACTS_TYPE, name);
		return;
	}
	int count = ippGetCount(found);
	for (int i = 0; i < count; i++)
		read_media_col(facts, shelf, ippGetCollection(found, i), loaded, name);
}

struct sides {
	double width, height;
};

/* The size in a self-describing name. False for a name of another sort, which says nothing, and,
 * after telling, for a size that cannot be. */
static bool size_of_name(struct sides *out, struct facts *facts, const char *name,
	const char *attribute)
{
	pwg_media_t *media = pwgMediaForPWG(name);
	if (media == NULL)
		return false;
	*out = (struct sides){ media->width / PER_MM, media->length / PER_MM };
	if (fmin(out->width, out->height) >= SIZE_LEAST &&
		fmax(out->width, out->height) <= SIZE_MOST)
		return true;
	lt_facts_pass_over(facts, FACTS_SIZE, attribute);
	return false;
}

/* True for custom_min_… and roll_min_…, or the same with max (PWG 5101.1, 5.1). */
static bool is_limit(const char *name, const char *which)
{
	const char *at = strchr(name, '_');
	return (strncmp(name, "custom_", 7) == 0 || strncmp(name, "roll_", 5) == 0) &&
	       strncmp(at + 1, which, 3) == 0 && at[4] == '_';
}

/* Names; those that are limits make a range out of a smallest and a largest. */
static void read_media_names(struct facts *facts, const struct shelf *shelf, const char *attribute)
{
	ipp_attribute_t *found = lt_facts_find(facts, attribute);
	int count = found != NULL ? ippGetCount(found) : 0;
	struct sides least = { 0, 0 };
	struct sides most = { 0, 0 };
	for (int i = 0; i < count; i++) {
		const char *name = lt_facts_string(facts, found, i);
		if (name == NULL)
			return;
		struct sides size;
		if (!size_of_name(&size, facts, name, attribute))
			continue;
		if (is_limit(name, "min")) {
			least = size;
		} else if (is_limit(name, "max")) {
			most = size;
		} else {
			const struct lt_media media = { .name = lt_facts_copy(facts, name),
				.width = size.width,
				.height = size.height };
			add_media(facts, shelf, &media, attribute);
		}
		if (least.width > 0 && most.width >= least.width && most.height >= least.height) {
			const struct extent extent = { { least.width, most.width },
				{ least.height, most.height } };
			add_range(facts, &extent, attribute);
			least = most = (struct sides){ 0, 0 };
		}
	}
}

void lt_facts_media(struct facts *facts)
{
	struct lt_printer *out = facts->out;
	out->ready = lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(*out->ready));
	out->known = lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(*out->known));
	out->ranges = lt_arena_array(&out->arena, LT_PRINTER_LIST_MAX, sizeof(*out->ranges));
	const struct shelf ready = { out->ready, &out->ready_count };
	const struct shelf known = { out->known, &out->known_count };
	read_media_cols(facts, &ready, "media-col-ready", true);
	read_media_names(facts, &ready, "media-ready");
	read_media_cols(facts, &known, "media-col-database", false);
	read_media_names(facts, &known, "media-supported");
}
