#include <math.h>

#include "label/symbol.h"
#include "loomtag/base.h"

#define MM_PER_INCH 25.4

/* The share of the label's longer side that symbol and quiet zone may take: the tag comes first. */
#define SHARE 0.45

/* Module sizes in mm. Heads want 4 dots and more a module for stable operation, and readers
 * manage 0.25 mm; three dots or 0.16 mm still read with a good print and a good reader. Sheets go
 * through printers that are not known, and spread their toner: with them more is aimed at. */
#define FAIR 0.25
#define FAIR_DOTS 4u
#define LEAST 0.16
#define LEAST_DOTS 3u
#define SHEET_GOOD 0.33
/* Whole multiples of this keep modules even on the usual office printers. */
#define SHEET_DPI 600.0

/* Enough for comfort: what is beyond is better left to the tag. A symbol is read from about ten
 * times its width, so that a small one may have larger modules. */
#define MODULE_COMFORT 0.51
#define SYMBOL_COMFORT 14.0

/* One way to write a payload. */
struct trial {
	struct lt_qr_plan plan;
	double module;
	unsigned dots;
	enum lt_quality quality;
	bool bent; /* too far round its bundle */
};

bool lt_symbol_beside(const struct lt_blank *blank)
{
	return blank->endless || blank->width >= blank->height;
}

/* The step in which modules grow: one dot of the head. */
static double dot_size(const struct lt_layout *layout)
{
	return MM_PER_INCH / (layout->dpi > 0 ? layout->dpi : SHEET_DPI);
}

/* True when a symbol of that many modules has its place: its ink in the printable area, its quiet
 * zone on the face, and both in the symbol's share of it. */
static bool has_place(const struct lt_blank *blank, unsigned modules, double module)
{
	double symbol = modules * module;
	double quiet = LT_QR_QUIET * module;
	double margin = fmax(blank->layout->inset, quiet);
	bool beside = lt_symbol_beside(blank);
	double along = beside ? blank->width : blank->height;
	double across = beside ? blank->height : blank->width;
	return (blank->endless || quiet + symbol + margin <= along * SHARE) &&
	       symbol + 2 * margin <= across + 1e-9;
}

static double good_size(const struct lt_layout *layout)
{
	return layout->medium == LT_MEDIUM_SHEET ? SHEET_GOOD : FAIR;
}

/* The fewest dots a module that read at all. What was found out about a head says nothing of
 * sheets, whose dots are not a printer's. */
static unsigned readable_dots(const struct lt_layout *layout, unsigned least_dots)
{
	return layout->medium == LT_MEDIUM_SHEET || least_dots == 0 ? LEAST_DOTS : least_dots;
}

/* The fewest dots a module with which a symbol is good: stable, and one that reads. */
static unsigned good_dots(const struct lt_layout *layout, unsigned least_dots)
{
	unsigned readable = readable_dots(layout, least_dots);
	return readable > FAIR_DOTS ? readable : FAIR_DOTS;
}

static enum lt_quality judge(const struct lt_layout *layout, unsigned dots, double module,
	unsigned least_dots)
{
	/* A size that is exactly at the limit may come out a rounding error below it. */
	module += 1e-9;
	if (module >= FAIR && dots >= good_dots(layout, least_dots))
		return module >= good_size(layout) ? LT_QUALITY_GOOD : LT_QUALITY_FAIR;
	if (module >= LEAST && dots >= readable_dots(layout, least_dots))
		return LT_QUALITY_MARGINAL;
	return LT_QUALITY_UNREADABLE;
}

double lt_bend_most(unsigned version)
{
	if (version <= 2)
		return 90;
	return version <= 5 ? 60 : 50;
}

/* The largest symbol of so many modules that is read in one look, once it is wound round. */
static double bend_room(const struct lt_blank *blank, unsigned modules)
{
	return blank->round * lt_bend_most((modules - 17) / 4) / 360;
}

/* The size from which more would not make a symbol easier to read, in dots. */
static unsigned enough_dots(const struct lt_blank *blank, unsigned modules,
	const struct lt_symbol_wish *wish)
{
	double dot = dot_size(blank->layout);
	double good = good_size(blank->layout);
	double comfort = fmax(MODULE_COMFORT, SYMBOL_COMFORT / modules);
	/* Rather smaller than bent out of sight; but good to read before it is wound on. */
	comfort = fmin(comfort, fmax(good, bend_room(blank, modules) / modules));
	unsigned least = (unsigned)ceil(good / dot - 1e-9);
	unsigned dots = wish->small ? least : (unsigned)(comfort / dot);
	dots = dots < least ? least : dots;
	unsigned stable = good_dots(blank->layout, wish->least_dots);
	return dots < stable ? stable : dots;
}

/* The largest module size at which a planned symbol has its place. */
static void size_modules(struct trial *trial, const struct lt_blank *blank,
	const struct lt_symbol_wish *wish)
{
	double dot = dot_size(blank->layout);
	unsigned dots = enough_dots(blank, trial->plan.modules, wish);
	while (dots > 0 && !has_place(blank, trial->plan.modules, dots * dot))
		dots--;
	trial->module = dots * dot;
	trial->dots = dots;
	trial->quality = judge(blank->layout, dots, trial->module, wish->least_dots);
	unsigned modules = trial->plan.modules;
	trial->bent = modules * trial->module > bend_room(blank, modules) + 1e-9;
}

/* Plans a text at level M or better and, where that is not good, at L as well. */
static struct trial try_text(const struct lt_blank *blank, const char *text,
	const struct lt_symbol_wish *wish)
{
	struct trial medium = { 0 };
	struct trial low = { 0 };
	if (lt_qr_plan(&medium.plan, text, LT_QR_M))
		size_modules(&medium, blank, wish);
	if (medium.quality == LT_QUALITY_GOOD)
		return medium;
	if (lt_qr_plan(&low.plan, text, LT_QR_L))
		size_modules(&low, blank, wish);
	return low.module > medium.module ? low : medium;
}

/* What is asked for one sticker. */
struct request {
	const struct lt_blank *blank;
	const struct lt_tags *tags;
	size_t connector;
	enum lt_side side;
	const struct lt_symbol_wish *wish;
	struct lt_text text; /* the payload written last */
};

static struct trial try_payload(struct request *request, enum lt_payload payload)
{
	lt_text_clear(&request->text);
	if (!lt_payload_write(&request->text, payload, request->tags, request->connector,
		    request->side))
		return (struct trial){ 0 };
	return try_text(request->blank, lt_text_string(&request->text), request->wish);
}

/* The first payload at least as good as `least` that is read in one look; AUTO when there is none.
 */
static enum lt_payload first_of(struct trial *trial, struct request *request, enum lt_quality least)
{
	static const enum lt_payload order[] = { LT_PAYLOAD_LINK, LT_PAYLOAD_FACTS,
		LT_PAYLOAD_CODE };
	for (size_t i = 0; i < sizeof(order) / sizeof(order[0]); i++) {
		*trial = try_payload(request, order[i]);
		if (trial->quality >= least && !trial->bent)
			return order[i];
	}
	return LT_PAYLOAD_AUTO;
}

static void tell(struct request *request, struct lt_diags *diags)
{
	enum lt_payload wanted = request->wish->payload;
	const struct lt_harness *harness = request->tags->harness;
	const struct lt_connector *connector = &harness->connectors[request->connector];
	const struct lt_layout *layout = request->blank->layout;
	if (wanted == LT_PAYLOAD_LINK && harness->base == NULL) {
		lt_error(diags, lt_place_file(harness->file), "payload link needs a base address");
		lt_hint(diags, "give \"base:\" in the description, or --base");
		return;
	}
	struct trial trial;
	enum lt_payload other = first_of(&trial, request, LT_QUALITY_MARGINAL);
	lt_error(diags, connector->place,
		"connector %s: its QR code%s%s has no room at a readable size on layout %s (%.4g x %.4g mm to print on)",
		connector->id, wanted != LT_PAYLOAD_AUTO ? " with payload " : "",
		wanted != LT_PAYLOAD_AUTO ? lt_payload_name(wanted) : "", layout->name,
		request->blank->width, request->blank->height);
	const char *finer = layout->dpi > 0 ? " or a finer head" : "";
	/* Where the scanner asks for more than is usual, that may be what is in the way. */
	const char *less = layout->dpi > 0 && request->wish->least_dots > LEAST_DOTS
				   ? ", or a scanner that reads smaller codes (--smallest)"
				   : "";
	if (other != LT_PAYLOAD_AUTO)
		lt_hint(diags, "payload %s would fit, or take a larger label%s%s",
			lt_payload_name(other), finer, less);
	else
		lt_hint(diags, "take a larger label%s%s", finer, less);
}

bool lt_symbol_choose(struct lt_symbol *out, struct lt_arena *arena, const struct lt_blank *blank,
	const struct lt_tags *tags, size_t connector, enum lt_side side,
	const struct lt_symbol_wish *wish, struct lt_diags *diags)
{
	struct request request = { blank, tags, connector, side, wish, { 0 } };
	struct trial trial = { 0 };
	enum lt_payload chosen = wish->payload;
	if (wish->payload == LT_PAYLOAD_AUTO) {
		chosen = first_of(&trial, &request, LT_QUALITY_GOOD);
		if (chosen == LT_PAYLOAD_AUTO)
			chosen = first_of(&trial, &request, LT_QUALITY_FAIR);
		/* Code comes last: what is in `trial` now is the least that can be printed. */
		if (chosen == LT_PAYLOAD_AUTO)
			chosen = LT_PAYLOAD_CODE;
	} else {
		trial = try_payload(&request, wish->payload);
	}
	if (trial.quality == LT_QUALITY_UNREADABLE) {
		tell(&request, diags);
	} else {
		*out = (struct lt_symbol){ chosen,
			lt_arena_strdup(arena, lt_text_string(&request.text)), trial.plan,
			trial.module, trial.dots, trial.quality };
	}
	lt_text_finish(&request.text);
	return trial.quality != LT_QUALITY_UNREADABLE;
}
