/* The QR code of a sticker: which payload, at least which level, how large a module. */
#include <math.h>

#include "label/sticker.h"

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

/* What is asked of a symbol. */
struct request {
	const struct lt_placing *placing;
	const struct lt_blank *blank;
	enum lt_payload payload;
	bool small;
	struct lt_text text; /* the payload written last */
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

/* The fewest dots a module that read at all. What was measured of a print head does not count
 * for sheets, whose dots are not a printer's. */
static unsigned readable_dots(const struct request *request)
{
	unsigned least = request->placing->options->least_dots;
	return request->blank->layout->medium == LT_MEDIUM_SHEET || least == 0 ? LEAST_DOTS : least;
}

/* The fewest dots a module with which a symbol is good: stable, and one that reads. */
static unsigned good_dots(const struct request *request)
{
	unsigned readable = readable_dots(request);
	return readable > FAIR_DOTS ? readable : FAIR_DOTS;
}

static enum lt_quality judge(const struct request *request, unsigned dots, double module)
{
	/* A size that is exactly at the limit may come out a rounding error below it. */
	module += 1e-9;
	if (module >= FAIR && dots >= good_dots(request))
		return module >= good_size(request->blank->layout) ? LT_QUALITY_GOOD
								   : LT_QUALITY_FAIR;
	if (module >= LEAST && dots >= readable_dots(request))
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
static unsigned enough_dots(const struct request *request, unsigned modules)
{
	const struct lt_blank *blank = request->blank;
	double dot = dot_size(blank->layout);
	double good = good_size(blank->layout);
	double comfort = fmax(MODULE_COMFORT, SYMBOL_COMFORT / modules);
	/* Rather smaller than bent out of sight; but good to read before it is wound on. */
	comfort = fmin(comfort, fmax(good, bend_room(blank, modules) / modules));
	unsigned least = (unsigned)ceil(good / dot - 1e-9);
	unsigned dots = request->small ? least : (unsigned)(comfort / dot);
	dots = dots < least ? least : dots;
	unsigned stable = good_dots(request);
	return dots < stable ? stable : dots;
}

/* True for a symbol that goes too far round its bundle. */
static bool is_bent(const struct lt_blank *blank, const struct lt_symbol *symbol)
{
	unsigned modules = symbol->plan.modules;
	return modules * symbol->module > bend_room(blank, modules) + 1e-9;
}

/* Plans a text at a level or better, with the largest modules that have their place. */
static struct lt_symbol try_level(const struct request *request, enum lt_qr_level level)
{
	const struct lt_blank *blank = request->blank;
	struct lt_symbol symbol = { 0 };
	if (!lt_qr_plan(&symbol.plan, lt_text_string(&request->text), level))
		return symbol;
	double dot = dot_size(blank->layout);
	symbol.dots = enough_dots(request, symbol.plan.modules);
	while (symbol.dots > 0 && !has_place(blank, symbol.plan.modules, symbol.dots * dot))
		symbol.dots--;
	symbol.module = symbol.dots * dot;
	symbol.quality = judge(request, symbol.dots, symbol.module);
	return symbol;
}

/* A payload at level M or better and, where that is not good, at L as well; but for its text. */
static struct lt_symbol try_payload(struct request *request, enum lt_payload payload)
{
	const struct lt_placing *placing = request->placing;
	struct lt_symbol symbol = { 0 };
	lt_text_clear(&request->text);
	if (lt_payload_write(&request->text, payload, placing->source->tags, placing->id.connector,
		    placing->id.side)) {
		symbol = try_level(request, LT_QR_M);
		struct lt_symbol low = { 0 };
		if (symbol.quality != LT_QUALITY_GOOD)
			low = try_level(request, LT_QR_L);
		if (low.module > symbol.module)
			symbol = low;
	}
	symbol.payload = payload;
	return symbol;
}

/* The first payload at least as good as `least` that is read in one look; AUTO when there is none.
 */
static enum lt_payload first_of(struct lt_symbol *symbol, struct request *request,
	enum lt_quality least)
{
	static const enum lt_payload order[] = { LT_PAYLOAD_LINK, LT_PAYLOAD_FACTS,
		LT_PAYLOAD_CODE };
	for (size_t i = 0; i < sizeof(order) / sizeof(order[0]); i++) {
		*symbol = try_payload(request, order[i]);
		if (symbol->quality >= least && !is_bent(request->blank, symbol))
			return order[i];
	}
	return LT_PAYLOAD_AUTO;
}

static void report_no_room(const struct request *request, struct lt_diags *diags)
{
	const struct lt_blank *blank = request->blank;
	const struct lt_harness *harness = request->placing->source->tags->harness;
	const struct lt_connector *connector = &harness->connectors[request->placing->id.connector];
	const char *layout = blank->layout->name;
	if (request->payload == LT_PAYLOAD_AUTO)
		lt_error(diags, connector->place,
			"connector %s: its QR code has no room at a readable size on layout %s "
			"(%.4g x %.4g mm to print on)",
			connector->id, layout, blank->width, blank->height);
	else
		lt_error(diags, connector->place,
			"connector %s: its QR code with --payload %s has no room at a readable size on "
			"layout %s (%.4g x %.4g mm to print on)",
			connector->id, lt_payload_name(request->payload), layout, blank->width,
			blank->height);
}

/* What helps where no payload fits, and where `other` does. */
static void hint_at_room(const struct request *request, enum lt_payload other,
	struct lt_diags *diags)
{
	bool head = request->blank->layout->dpi > 0;
	/* Where the scanner needs more dots than is usual, that may be the cause. */
	bool strict = head && request->placing->options->least_dots > LEAST_DOTS;
	const char *name = lt_payload_name(other);
	if (other == LT_PAYLOAD_AUTO && strict)
		lt_hint(diags, "use a larger label, a finer print head or a scanner that reads "
			       "smaller codes (--smallest)");
	else if (other == LT_PAYLOAD_AUTO && head)
		lt_hint(diags, "use a larger label or a finer print head");
	else if (other == LT_PAYLOAD_AUTO)
		lt_hint(diags, "use a larger label");
	else if (strict)
		lt_hint(diags,
			"use --payload %s, a larger label, a finer print head or a scanner that reads "
			"smaller codes (--smallest)",
			name);
	else if (head)
		lt_hint(diags, "use --payload %s, a larger label or a finer print head", name);
	else
		lt_hint(diags, "use --payload %s or a larger label", name);
}

static void report(struct request *request, struct lt_diags *diags)
{
	const struct lt_harness *harness = request->placing->source->tags->harness;
	struct lt_symbol symbol;
	if (!lt_payload_check(harness, request->payload, diags))
		return;
	report_no_room(request, diags);
	hint_at_room(request, first_of(&symbol, request, LT_QUALITY_MARGINAL), diags);
}

bool lt_symbol_choose(struct lt_symbol *out, const struct lt_placing *placing,
	const struct lt_blank *blank, enum lt_payload payload, bool small, struct lt_diags *diags)
{
	struct request request = { placing, blank, payload, small, { 0 } };
	*out = (struct lt_symbol){ 0 };
	/* In AUTO code comes last: what is in `out` then is the least that can be printed. */
	if (payload != LT_PAYLOAD_AUTO)
		*out = try_payload(&request, payload);
	else if (first_of(out, &request, LT_QUALITY_GOOD) == LT_PAYLOAD_AUTO)
		first_of(out, &request, LT_QUALITY_FAIR);
	bool readable = out->quality != LT_QUALITY_UNREADABLE;
	if (readable)
		out->text = lt_arena_strdup(placing->arena, lt_text_string(&request.text));
	else
		report(&request, diags);
	lt_text_finish(&request.text);
	return readable;
}
