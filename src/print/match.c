#include <math.h>
#include <string.h>

#include "loomtag/print.h"

/* What a printer that is asked for a sheet or a PDF is taken to have. */
#define USUAL_DPI 600u
/* Beyond, a page is too coarse for any symbol, or too large to draw. */
#define LEAST_DPI 100u
#define MOST_DPI 2400u
#define NEAREST_MOST 3
#define SIZES_SHOWN 8u

static bool equal(double a, double b)
{
	return fabs(a - b) <= LT_MEDIA_SLACK + 1e-9;
}

/* The size of a layout's pages; a tape has its width as height, and no width. */
static void page_size(double *width, double *height, const struct lt_layout *layout)
{
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	*width = sheet ? layout->page_width : layout->label_width;
	*height = sheet ? layout->page_height : layout->label_height;
}

/* On the medium as the printer has it. */
static bool lies_straight(const struct lt_media *media, const struct lt_layout *layout)
{
	double width, height;
	page_size(&width, &height, layout);
	return layout->medium != LT_MEDIUM_TAPE && equal(media->width, width) &&
	       equal(media->height, height);
}

static bool lies_turned(const struct lt_media *media, const struct lt_layout *layout)
{
	double width, height;
	page_size(&width, &height, layout);
	if (layout->medium == LT_MEDIUM_TAPE)
		return equal(media->width, height);
	return equal(media->width, height) && equal(media->height, width);
}

bool lt_media_takes(const struct lt_media *media, const struct lt_layout *layout)
{
	return lies_straight(media, layout) || lies_turned(media, layout);
}

bool lt_media_turned(const struct lt_media *media, const struct lt_layout *layout)
{
	return !lies_straight(media, layout) && lies_turned(media, layout);
}

/* The one of a list that takes the layout, one that is not turned before others; or NULL. */
static const struct lt_media *find_medium(const struct lt_media *list, size_t count,
	const struct lt_layout *layout)
{
	const struct lt_media *found = NULL;
	for (size_t i = 0; i < count; i++) {
		if (lies_straight(&list[i], layout))
			return &list[i];
		if (found == NULL && lies_turned(&list[i], layout))
			found = &list[i];
	}
	return found;
}

const struct lt_media *lt_media_loaded(const struct lt_printer *printer,
	const struct lt_layout *layout)
{
	return find_medium(printer->ready, printer->ready_count, layout);
}

const struct lt_media *lt_media_meant(const struct lt_printer *printer,
	const struct lt_layout *layout)
{
	if (printer->ready_count > 0)
		return lt_media_loaded(printer, layout);
	return find_medium(printer->known, printer->known_count, layout);
}

static bool within(double value, double least, double most)
{
	return value >= least - LT_MEDIA_SLACK && value <= most + LT_MEDIA_SLACK;
}

/* Whether a medium of a layout can be one of a range, as it is or turned. */
static bool range_takes(const struct lt_media_range *range, const struct lt_layout *layout)
{
	double width, height;
	page_size(&width, &height, layout);
	if (layout->medium == LT_MEDIUM_TAPE)
		return within(height, range->least_width, range->most_width);
	return (within(width, range->least_width, range->most_width) &&
		       within(height, range->least_height, range->most_height)) ||
	       (within(height, range->least_width, range->most_width) &&
		       within(width, range->least_height, range->most_height));
}

/* Whether the sizes that a printer tells of leave out what the layout wants. One that tells of
 * none, or of more than are kept, leaves out nothing. */
static bool is_left_out(const struct lt_printer *printer, const struct lt_layout *layout)
{
	if (printer->known_count + printer->range_count == 0 ||
		printer->known_count == LT_PRINTER_LIST_MAX ||
		printer->range_count == LT_PRINTER_LIST_MAX)
		return false;
	for (size_t i = 0; i < printer->known_count; i++) {
		if (lt_media_takes(&printer->known[i], layout))
			return false;
	}
	for (size_t i = 0; i < printer->range_count; i++) {
		if (range_takes(&printer->ranges[i], layout))
			return false;
	}
	return true;
}

/* "54 x 25 mm, 102 x 152 mm" */
static void write_media(struct lt_text *out, const struct lt_media *media, size_t count)
{
	for (size_t i = 0; i < count; i++)
		lt_text_printf(out, "%s%.4g x %.4g mm", i > 0 ? ", " : "", media[i].width,
			media[i].height);
}

static void write_loaded(struct lt_text *out, const struct lt_printer *printer)
{
	write_media(out, printer->ready, printer->ready_count);
}

/* The sizes that it has, and those that it can be told: "54 x 25 mm, 10 x 10 to 108 x 300 mm" */
static void write_sizes(struct lt_text *out, const struct lt_printer *printer)
{
	bool cut = printer->known_count > SIZES_SHOWN;
	write_media(out, printer->known, cut ? SIZES_SHOWN : printer->known_count);
	if (cut)
		lt_text_printf(out, " and %zu more", printer->known_count - SIZES_SHOWN);
	for (size_t i = 0; i < printer->range_count && i < SIZES_SHOWN; i++) {
		const struct lt_media_range *range = &printer->ranges[i];
		lt_text_printf(out, "%s%.4g x %.4g to %.4g x %.4g mm", out->length > 0 ? ", " : "",
			range->least_width, range->least_height, range->most_width,
			range->most_height);
	}
}

/* "labels of 54 x 25 mm" */
static void write_wanted(struct lt_text *out, const struct lt_layout *layout)
{
	double width, height;
	page_size(&width, &height, layout);
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out, "tape %.4g mm wide", height);
	else
		lt_text_printf(out, "%s of %.4g x %.4g mm",
			layout->medium == LT_MEDIUM_SHEET ? "sheets" : "labels", width, height);
}

static void tell_left_out(const struct lt_printer *printer, const struct lt_layout *layout,
	const char *wanted, struct lt_diags *diags)
{
	struct lt_text sizes = { 0 };
	write_sizes(&sizes, printer);
	lt_error(diags, lt_place_none(),
		"layout %s wants %s, which the printer does not have; it has %s", layout->name,
		wanted, lt_text_string(&sizes));
	lt_hint(diags, "give a --layout of a size that it has");
	lt_text_finish(&sizes);
}

bool lt_media_check(const struct lt_printer *printer, const struct lt_layout *layout,
	struct lt_diags *diags)
{
	if (lt_media_loaded(printer, layout) != NULL)
		return true;
	struct lt_text loaded = { 0 };
	struct lt_text wanted = { 0 };
	write_loaded(&loaded, printer);
	write_wanted(&wanted, layout);
	bool good = printer->ready_count == 0 && !is_left_out(printer, layout);
	if (good) {
		lt_warning(diags, lt_place_none(),
			"the printer does not say what is loaded; layout %s wants %s", layout->name,
			lt_text_string(&wanted));
		lt_hint(diags, "look whether that is what is in it");
	} else if (printer->ready_count == 0) {
		tell_left_out(printer, layout, lt_text_string(&wanted), diags);
	} else {
		lt_error(diags, lt_place_none(),
			"layout %s wants %s, but the printer says that %s is loaded", layout->name,
			lt_text_string(&wanted), lt_text_string(&loaded));
		lt_hint(diags, "load what the layout wants, set the size at the printer, or give "
			       "another --layout");
	}
	lt_text_finish(&loaded);
	lt_text_finish(&wanted);
	return good;
}

/* True when two layouts are the same labels, if for other heads. */
static bool same_labels(const struct lt_layout *a, const struct lt_layout *b)
{
	const double sizes[][2] = {
		{ a->page_width, b->page_width },
		{ a->page_height, b->page_height },
		{ a->label_width, b->label_width },
		{ a->label_height, b->label_height },
		{ a->first_x, b->first_x },
		{ a->first_y, b->first_y },
		{ a->pitch_x, b->pitch_x },
		{ a->pitch_y, b->pitch_y },
		{ a->printed_width, b->printed_width },
		{ a->printed_height, b->printed_height },
		{ a->face_width, b->face_width },
		{ a->loop, b->loop },
	};
	for (size_t i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++) {
		/* Rolls have no first label and no pitch that would count. */
		if (a->medium != LT_MEDIUM_SHEET && i >= 4 && i < 8)
			continue;
		if (fabs(sizes[i][0] - sizes[i][1]) > 0.05)
			return false;
	}
	return a->medium == b->medium && a->style == b->style && a->columns == b->columns &&
	       a->rows == b->rows && a->direction == b->direction;
}

static bool has_dpi(const struct lt_printer *printer, double dpi)
{
	const unsigned *list = printer->pwg ? printer->pwg_resolutions : printer->resolutions;
	size_t count = printer->pwg ? printer->pwg_resolution_count : printer->resolution_count;
	for (size_t i = 0; i < count; i++) {
		if (list[i] == dpi)
			return true;
	}
	return false;
}

/* The better of two for the same labels: at dots that the printer has, and then the finer one. */
static bool is_better(const struct lt_layout *a, const struct lt_layout *b,
	const struct lt_printer *printer)
{
	bool a_has = has_dpi(printer, a->dpi);
	bool b_has = has_dpi(printer, b->dpi);
	return a_has != b_has ? a_has : a->dpi > b->dpi;
}

/* How far a layout's pages are from what is loaded, in mm. */
static double distance(const struct lt_printer *printer, const struct lt_layout *layout)
{
	double width, height;
	double least = INFINITY;
	page_size(&width, &height, layout);
	for (size_t i = 0; i < printer->ready_count; i++) {
		const struct lt_media *media = &printer->ready[i];
		double straight = fabs(media->width - width) + fabs(media->height - height);
		double turned = fabs(media->width - height) + fabs(media->height - width);
		double off = layout->medium == LT_MEDIUM_TAPE ? fabs(media->width - height)
							      : fmin(straight, turned);
		least = fmin(least, off);
	}
	return least;
}

static void write_layout(struct lt_text *out, const struct lt_layout *layout)
{
	lt_text_printf(out, "%s%s (", out->length > 0 ? ", " : "", layout->name);
	write_wanted(out, layout);
	lt_text_add(out, ")");
}

static void write_nearest(struct lt_text *out, const struct lt_printer *printer,
	const struct lt_stock *stock)
{
	bool named[LT_STOCK_MAX] = { false };
	for (int n = 0; n < NEAREST_MOST; n++) {
		size_t best = stock->count;
		for (size_t i = 0; i < stock->count; i++) {
			if (!named[i] && (best == stock->count ||
						 distance(printer, &stock->layouts[i]) <
							 distance(printer, &stock->layouts[best])))
				best = i;
		}
		if (best == stock->count)
			return;
		named[best] = true;
		write_layout(out, &stock->layouts[best]);
	}
}

static void tell_none(const struct lt_printer *printer, const struct lt_stock *stock,
	struct lt_diags *diags)
{
	struct lt_text loaded = { 0 };
	struct lt_text nearest = { 0 };
	write_loaded(&loaded, printer);
	write_nearest(&nearest, printer, stock);
	lt_error(diags, lt_place_none(), "no layout goes with what the printer says is loaded, %s",
		lt_text_string(&loaded));
	if (nearest.length > 0)
		lt_hint(diags,
			"the nearest are %s; load one of these, or write a layout of that size",
			lt_text_string(&nearest));
	else
		lt_hint(diags, "write a layout of that size");
	lt_text_finish(&loaded);
	lt_text_finish(&nearest);
}

static void tell_several(const struct lt_printer *printer, const struct lt_stock *stock,
	struct lt_diags *diags)
{
	struct lt_text loaded = { 0 };
	struct lt_text names = { 0 };
	write_loaded(&loaded, printer);
	for (size_t i = 0; i < stock->count; i++) {
		if (lt_media_loaded(printer, &stock->layouts[i]) != NULL)
			lt_text_printf(&names, "%s%s", names.length > 0 ? ", " : "",
				stock->layouts[i].name);
	}
	lt_error(diags, lt_place_none(),
		"the printer says that %s is loaded, which several layouts go with: %s",
		lt_text_string(&loaded), lt_text_string(&names));
	lt_hint(diags, "say which with --layout");
	lt_text_finish(&loaded);
	lt_text_finish(&names);
}

const struct lt_layout *lt_media_layout(const struct lt_printer *printer,
	const struct lt_stock *stock, struct lt_diags *diags)
{
	if (printer->ready_count == 0) {
		lt_error(diags, lt_place_none(), "the printer does not say what is loaded");
		lt_hint(diags, "say with --layout which labels are in it");
		return NULL;
	}
	const struct lt_layout *best = NULL;
	for (size_t i = 0; i < stock->count; i++) {
		const struct lt_layout *layout = &stock->layouts[i];
		if (lt_media_loaded(printer, layout) == NULL)
			continue;
		if (best != NULL && !same_labels(best, layout)) {
			tell_several(printer, stock, diags);
			return NULL;
		}
		if (best == NULL || is_better(layout, best, printer))
			best = layout;
	}
	if (best == NULL)
		tell_none(printer, stock, diags);
	return best;
}

/* The resolution of a list that is nearest to `wanted`, the finer of two; 0 where it has none. */
static unsigned nearest_dpi(const unsigned *list, size_t count, double wanted)
{
	unsigned best = 0;
	for (size_t i = 0; i < count; i++) {
		unsigned dpi = list[i];
		if (dpi < LEAST_DPI || dpi > MOST_DPI)
			continue;
		double off = fabs(dpi - wanted);
		if (best == 0 || off < fabs(best - wanted) ||
			(off == fabs(best - wanted) && dpi > best))
			best = dpi;
	}
	return best;
}

unsigned lt_media_dpi(const struct lt_printer *printer, const struct lt_layout *layout, bool pdf,
	struct lt_diags *diags)
{
	double wanted = layout->dpi > 0 ? layout->dpi : USUAL_DPI;
	unsigned dpi =
		pdf ? nearest_dpi(printer->resolutions, printer->resolution_count, wanted)
		    : nearest_dpi(printer->pwg_resolutions, printer->pwg_resolution_count, wanted);
	/* It has no dots of its own; those of the printer that it does not tell are not known. */
	if (pdf && dpi == 0)
		return (unsigned)lround(wanted);
	if (dpi == 0) {
		lt_error(diags, lt_place_none(),
			"the printer has no resolution from %u to %u dots an inch", LEAST_DPI,
			MOST_DPI);
		lt_hint(diags, "print a PDF of the stickers instead (loomtag stickers)");
	} else if (layout->dpi > 0 && dpi != wanted) {
		lt_warning(diags, lt_place_none(),
			"layout %s is for a head of %g dots an inch, the printer has %u",
			layout->name, layout->dpi, dpi);
		lt_hint(diags, "a layout with \"dpi: %u\" makes the most of it", dpi);
	}
	return dpi;
}
