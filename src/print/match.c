/* Whether a layout fits what is loaded in a printer, and at which resolution it is drawn. */
#include <math.h>
#include <string.h>

#include "loomtag/print.h"

/* The resolution that is assumed where the printer and the layout give none. */
#define USUAL_DPI 600u
/* Below, dots are too coarse for any symbol; above, a page is too large to draw. */
#define LEAST_DPI 100u
#define MOST_DPI 2400u
#define NEAREST_MOST 3
#define SIZES_SHOWN 8u

static bool within(double value, double least, double most)
{
	return value >= least - LT_MEDIA_SLACK - 1e-9 && value <= most + LT_MEDIA_SLACK + 1e-9;
}

struct size {
	double width, height;
};

/* The size of a layout's pages; a tape has its width as height, and no width. */
static struct size page_size(const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_SHEET)
		return (struct size){ layout->page_width, layout->page_height };
	return (struct size){ layout->label_width, layout->label_height };
}

/* Whether pages fit the medium as the printer has it, or turned by a quarter. */
static bool fits_medium(const struct lt_media *media, const struct lt_layout *layout, bool turned)
{
	struct size page = page_size(layout);
	if (turned)
		page = (struct size){ page.height, page.width };
	bool fits = within(page.width, media->least_width, media->width);
	if (layout->medium == LT_MEDIUM_TAPE)
		return turned && fits;
	return fits && within(page.height, media->least_height, media->height);
}

bool lt_media_turned(const struct lt_media *media, const struct lt_layout *layout)
{
	return !fits_medium(media, layout, false) && fits_medium(media, layout, true);
}

/* The medium of a list that fits the layout, one that is not turned before others; or NULL. A sheet
 * fits its page, a roll its label, a tape any length of its width. */
static const struct lt_media *find_medium(const struct lt_media_list *list,
	const struct lt_layout *layout)
{
	const struct lt_media *found = NULL;
	for (size_t i = 0; i < list->count; i++) {
		if (fits_medium(&list->items[i], layout, false))
			return &list->items[i];
		if (found == NULL && fits_medium(&list->items[i], layout, true))
			found = &list->items[i];
	}
	return found;
}

const struct lt_media *lt_media_fitting(const struct lt_printer *printer,
	const struct lt_layout *layout)
{
	return find_medium(printer->ready.count > 0 ? &printer->ready : &printer->known, layout);
}

/* Whether the layout needs a size that the printer does not list. A printer that lists none, or
 * more than are kept, may have any size. */
static bool lacks_size(const struct lt_printer *printer, const struct lt_layout *layout)
{
	return printer->known.count + printer->ranges.count > 0 &&
	       printer->known.count < LT_PRINTER_LIST_MAX &&
	       printer->ranges.count < LT_PRINTER_LIST_MAX &&
	       find_medium(&printer->known, layout) == NULL &&
	       find_medium(&printer->ranges, layout) == NULL;
}

/* The text, which goes, as a string that lives as long as the diagnostics. */
static const char *keep(struct lt_text *text, struct lt_diags *diags)
{
	const char *copy = lt_arena_strdup(&diags->arena, lt_text_string(text));
	lt_text_finish(text);
	return copy;
}

/* "54 x 25 mm, 102 x 152 mm" */
static void write_media(struct lt_text *out, const struct lt_media_list *list, size_t most)
{
	for (size_t i = 0; i < list->count && i < most; i++)
		lt_text_printf(out, "%s%.4g x %.4g mm", i > 0 ? ", " : "", list->items[i].width,
			list->items[i].height);
}

static const char *list_loaded(const struct lt_printer *printer, struct lt_diags *diags)
{
	struct lt_text loaded = { 0 };
	write_media(&loaded, &printer->ready, LT_PRINTER_LIST_MAX);
	return keep(&loaded, diags);
}

/* The sizes that it has, and ranges of sizes that it accepts: "54 x 25 mm, 10 x 10 to 108 x 300 mm"
 */
static const char *list_sizes(const struct lt_printer *printer, struct lt_diags *diags)
{
	struct lt_text out = { 0 };
	write_media(&out, &printer->known, SIZES_SHOWN);
	if (printer->known.count > SIZES_SHOWN)
		lt_text_add(&out, ", …");
	for (size_t i = 0; i < printer->ranges.count && i < SIZES_SHOWN; i++) {
		const struct lt_media *range = &printer->ranges.items[i];
		lt_text_printf(&out, "%s%.4g x %.4g to %.4g x %.4g mm", out.length > 0 ? ", " : "",
			range->least_width, range->least_height, range->width, range->height);
	}
	return keep(&out, diags);
}

/* "labels of 54 x 25 mm" */
static const char *describe_labels(const struct lt_layout *layout, struct lt_diags *diags)
{
	struct size page = page_size(layout);
	if (layout->medium == LT_MEDIUM_TAPE)
		return lt_arena_printf(&diags->arena, "tape %.4g mm wide", page.height);
	if (layout->medium == LT_MEDIUM_SHEET)
		return lt_arena_printf(&diags->arena, "sheets of %.4g x %.4g mm", page.width,
			page.height);
	return lt_arena_printf(&diags->arena, "labels of %.4g x %.4g mm", page.width, page.height);
}

bool lt_media_check(const struct lt_printer *printer, const struct lt_layout *layout,
	struct lt_diags *diags)
{
	if (find_medium(&printer->ready, layout) != NULL)
		return true;
	const char *labels = describe_labels(layout, diags);
	if (printer->ready.count > 0) {
		lt_error(diags, lt_place_none(),
			"layout %s needs %s, but the printer has %s loaded", layout->name, labels,
			list_loaded(printer, diags));
		lt_hint(diags, "load what the layout needs, set the size at the printer, or use "
			       "another --layout");
		return false;
	}
	if (lacks_size(printer, layout)) {
		lt_error(diags, lt_place_none(),
			"layout %s needs %s, but the printer has only these sizes: %s",
			layout->name, labels, list_sizes(printer, diags));
		lt_hint(diags, "use a --layout of a size that the printer has");
		return false;
	}
	lt_warning(diags, lt_place_none(),
		"the printer does not say what is loaded, and layout %s needs %s", layout->name,
		labels);
	lt_hint(diags, "check that this is loaded");
	return true;
}

/* True when two layouts are the same labels, perhaps for print heads of another resolution. */
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
		/* The first label and the pitch have no meaning on a roll. */
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
	const struct lt_dpi_list *list = lt_printer_dpi(printer);
	for (size_t i = 0; i < list->count; i++) {
		if (list->items[i] == dpi)
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
	struct size page = page_size(layout);
	double least = INFINITY;
	for (size_t i = 0; i < printer->ready.count; i++) {
		const struct lt_media *media = &printer->ready.items[i];
		double away = fabs(media->width - page.height);
		if (layout->medium != LT_MEDIUM_TAPE)
			away = fmin(away + fabs(media->height - page.width),
				fabs(media->width - page.width) +
					fabs(media->height - page.height));
		least = fmin(least, away);
	}
	return least;
}

static const char *list_nearest(const struct lt_printer *printer, const struct lt_stock *stock,
	struct lt_diags *diags)
{
	bool named[LT_STOCK_MAX] = { false };
	struct lt_text out = { 0 };
	for (int n = 0; n < NEAREST_MOST; n++) {
		size_t best = stock->count;
		for (size_t i = 0; i < stock->count; i++) {
			if (!named[i] && (best == stock->count ||
						 distance(printer, &stock->layouts[i]) <
							 distance(printer, &stock->layouts[best])))
				best = i;
		}
		if (best == stock->count)
			break;
		named[best] = true;
		lt_text_printf(&out, "%s%s (%s)", n > 0 ? ", " : "", stock->layouts[best].name,
			describe_labels(&stock->layouts[best], diags));
	}
	return keep(&out, diags);
}

static void report_none(const struct lt_printer *printer, const struct lt_stock *stock,
	struct lt_diags *diags)
{
	lt_error(diags, lt_place_none(), "no layout fits what is loaded in the printer: %s",
		list_loaded(printer, diags));
	if (stock->count > 0)
		lt_hint(diags,
			"the nearest layouts are: %s. Load the labels of one of these, or write a "
			"layout of the loaded size",
			list_nearest(printer, stock, diags));
	else
		lt_hint(diags, "write a layout of the loaded size");
}

static void report_several(const struct lt_printer *printer, const struct lt_stock *stock,
	struct lt_diags *diags)
{
	struct lt_text names = { 0 };
	for (size_t i = 0; i < stock->count; i++) {
		if (find_medium(&printer->ready, &stock->layouts[i]) != NULL)
			lt_text_printf(&names, "%s%s", names.length > 0 ? ", " : "",
				stock->layouts[i].name);
	}
	lt_error(diags, lt_place_none(),
		"several layouts fit what is loaded in the printer (%s): %s",
		list_loaded(printer, diags), lt_text_string(&names));
	lt_hint(diags, "choose one with --layout");
	lt_text_finish(&names);
}

const struct lt_layout *lt_media_layout(const struct lt_printer *printer,
	const struct lt_stock *stock, struct lt_diags *diags)
{
	if (printer->ready.count == 0) {
		lt_error(diags, lt_place_none(), "the printer does not say what is loaded");
		lt_hint(diags, "say with --layout which labels are loaded");
		return NULL;
	}
	const struct lt_layout *best = NULL;
	for (size_t i = 0; i < stock->count; i++) {
		const struct lt_layout *layout = &stock->layouts[i];
		if (find_medium(&printer->ready, layout) == NULL)
			continue;
		if (best != NULL && !same_labels(best, layout)) {
			report_several(printer, stock, diags);
			return NULL;
		}
		if (best == NULL || is_better(layout, best, printer))
			best = layout;
	}
	if (best == NULL)
		report_none(printer, stock, diags);
	return best;
}

const struct lt_dpi_list *lt_printer_dpi(const struct lt_printer *printer)
{
	return printer->pwg ? &printer->pwg_resolutions : &printer->resolutions;
}

/* The resolution of a list that is nearest to `wanted`, the finer of two; 0 where it has none. */
static unsigned nearest_dpi(const struct lt_dpi_list *list, double wanted)
{
	unsigned best = 0;
	for (size_t i = 0; i < list->count; i++) {
		unsigned dpi = list->items[i];
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
	unsigned dpi = nearest_dpi(pdf ? &printer->resolutions : &printer->pwg_resolutions, wanted);
	/* A PDF has no dots of its own, and the printer does not say which it has. */
	if (pdf && dpi == 0)
		return (unsigned)lround(wanted);
	if (dpi == 0) {
		lt_error(diags, lt_place_none(),
			"the printer has no resolution from %u to %u dots per inch", LEAST_DPI,
			MOST_DPI);
		lt_hint(diags, "make a PDF of the stickers and print that (loomtag stickers)");
	} else if (layout->dpi > 0 && dpi != wanted) {
		lt_warning(diags, lt_place_none(),
			"layout %s is for %g dots per inch, but the printer has %u", layout->name,
			layout->dpi, dpi);
		lt_hint(diags, "use a layout with dpi: %u for the best print", dpi);
	}
	return dpi;
}
