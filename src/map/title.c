/* Head and foot of the pages of a map. */
#include <string.h>

#include "loomtag/words.h"
#include "map/parts.h"

#define MARGIN 10.0
#define MODULE 0.5        /* of the QR code; less where it would be too high, */
#define MODULE_LEAST 0.42 /* but never less than that */
#define SYMBOL_MOST 22.0
#define HEAD_LEAST 17.0
#define RULE 0.5
#define LINE_ROOM 512 /* bytes of a line */
#define GAP 2.5       /* between the head or foot and what is between them */

/* Ems. A capital is 0.73 of it: the code's are 5 mm high, all others' above 2.0 mm, which
 * NUREG-0700 asks for at 500 mm, but for the cautions, which are 7 pt. */
static const struct lt_type code_type = { LT_TYPEFACE_BOLD, 6.9, 0, 0 };
static const struct lt_type name_type = { LT_TYPEFACE_CONDENSED_BOLD, 4.6, 0, 0 };
static const struct lt_type line_type = { LT_TYPEFACE_REGULAR, 3.3, 0, 0 };
static const struct lt_type strong_type = { LT_TYPEFACE_BOLD, 3.3, 0, 0 };
static const struct lt_type caution_type = { LT_TYPEFACE_REGULAR, 7 * LT_POINT, 3.1, 0 };
static const struct lt_type hazard_type = { LT_TYPEFACE_BOLD, 7 * LT_POINT, 3.1, 0 };

static double width_of(const struct lt_map_title *title, const struct lt_type *type,
	const char *text)
{
	return lt_text_width(title->input->measure, type->face, type->size, text);
}

/* Breaks the cautions into lines. */
static void set_cautions(struct lt_map_title *title, struct lt_arena *arena, const char *text)
{
	struct lt_flow flow;
	lt_flow_init(&flow, title->input->measure, 0, 0, 0, 0);
	lt_flow_paragraph(&flow, 0, 0, title->width - 2 * title->margin, &caution_type, text);
	title->caution_count = flow.item_count;
	title->cautions = lt_arena_array(arena, flow.item_count, sizeof *title->cautions);
	for (size_t i = 0; i < flow.item_count; i++)
		title->cautions[i] = lt_arena_strdup(arena, flow.items[i].text);
	lt_flow_finish(&flow);
}

bool lt_map_symbol_plan(struct lt_qr_plan *plan, struct lt_text *payload,
	const struct lt_tags *tags, size_t connector)
{
	lt_payload_map_write(payload, tags, connector);
	return lt_qr_plan(plan, lt_text_string(payload), LT_QR_M) ||
	       lt_qr_plan(plan, lt_text_string(payload), LT_QR_L);
}

static bool encode(struct lt_map_title *title, struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	struct lt_qr_plan plan;
	bool good = true;
	if (lt_map_symbol_plan(&plan, &text, title->input->tags, LT_NONE)) {
		good = lt_qr_encode(&title->qr, arena, lt_text_string(&text), &plan, diags);
		double fits = SYMBOL_MOST / (plan.modules + 2 * LT_QR_QUIET);
		title->module = fits > MODULE ? MODULE : fits < MODULE_LEAST ? MODULE_LEAST : fits;
	}
	lt_text_finish(&text);
	return good;
}

/* All energies by name, so that no page is without them; counted where that is too long. */
void lt_map_title_hazards(struct lt_map_title *title, struct lt_arena *arena, size_t page)
{
	const struct lt_harness *harness = title->input->tags->harness;
	struct lt_text line = { 0 };
	if (harness->hazard_count == 0)
		return;
	lt_map_add_energies(&line, harness, page);
	title->hazards = lt_arena_shown(arena, lt_text_string(&line));
	double width = width_of(title, &hazard_type, title->hazards);
	lt_text_clear(&line);
	if (width > title->width - 2 * title->margin || strlen(title->hazards) >= LINE_ROOM) {
		lt_map_add_energy_count(&line, harness->hazard_count, page);
		title->hazards = lt_arena_strdup(arena, lt_text_string(&line));
	}
	lt_text_finish(&line);
}

bool lt_map_title_place(struct lt_map_title *out, struct lt_arena *arena,
	const struct lt_map_input *input, double width, double height, const char *date,
	struct lt_diags *diags)
{
	*out = (struct lt_map_title){
		.input = input,
		.width = width,
		.height = height,
		.margin = MARGIN,
		.date = date,
	};
	if (!encode(out, arena, diags))
		return false;
	double symbol = (out->qr.modules + 2 * LT_QR_QUIET) * out->module;
	out->head = (symbol > HEAD_LEAST ? symbol : HEAD_LEAST) + GAP;
	const char *cautions =
		lt_arena_printf(arena, "%s %s", lt_caution_work, lt_map_words.views_and_codes);
	set_cautions(out, arena, cautions);
	size_t lines = out->caution_count + (input->tags->harness->hazard_count > 0);
	out->foot = GAP + 1 + caution_type.leading * (double)lines;
	return true;
}

static void set(struct lt_canvas *canvas, const struct lt_map_title *title, double x,
	double baseline, const struct lt_type *type, const char *text, double room)
{
	char shown[LINE_ROOM];
	lt_text_shorten(shown, sizeof(shown), title->input->measure, type->face, type->size, text,
		room);
	canvas->text(canvas->data, x, baseline, type->face, type->size, LT_BLACK, shown);
}

static void draw_head(struct lt_canvas *canvas, const struct lt_map_title *title, const char *what,
	size_t page, size_t pages)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	const struct lt_harness *harness = title->input->tags->harness;
	const double left = title->margin, top = title->margin;
	double right = title->width - title->margin;
	if (title->qr.modules > 0) {
		double quiet = LT_QR_QUIET * title->module;
		right -= title->qr.modules * title->module + 2 * quiet;
		canvas->qr(canvas->data, right + quiet, top + quiet, title->module, &title->qr);
		right -= 2;
	}
	double code = width_of(title, &code_type, harness->code);
	set(canvas, title, left, top + 5.2, &code_type, harness->code, right - left);
	if (harness->title != NULL)
		set(canvas, title, left + code + 4, top + 5.2, &name_type,
			lt_arena_shown(&arena, harness->title), right - left - code - 4);

	struct lt_text text = { 0 };
	lt_page_add_number(&text, page, pages);
	const char *counted = lt_map_keep(&arena, &text);
	double counted_width = width_of(title, &strong_type, counted);
	set(canvas, title, right - counted_width, top + 10.8, &strong_type, counted,
		counted_width + 1);
	lt_map_add_heading(&text, what);
	set(canvas, title, left, top + 10.8, &strong_type, lt_map_keep(&arena, &text),
		right - counted_width - left - 4);
	lt_map_add_facts(&text, harness, title->date, title->input->tags->changed);
	set(canvas, title, left, top + 15.6, &line_type,
		lt_arena_shown(&arena, lt_text_string(&text)), right - left);
	lt_text_finish(&text);
	double rule = top + title->head - GAP + RULE / 2;
	canvas->line(canvas->data, left, rule, title->width - title->margin, rule, RULE, LT_BLACK);
	lt_arena_finish(&arena);
}

static void draw_foot(struct lt_canvas *canvas, const struct lt_map_title *title)
{
	const double left = title->margin, room = title->width - 2 * title->margin;
	double y = title->height - title->margin - title->foot + GAP;
	canvas->line(canvas->data, left, y, left + room, y, RULE / 2, LT_BLACK);
	y += 0.6 + caution_type.size;
	if (title->hazards != NULL) {
		set(canvas, title, left, y, &hazard_type, title->hazards, room);
		y += caution_type.leading;
	}
	for (size_t i = 0; i < title->caution_count; i++, y += caution_type.leading)
		set(canvas, title, left, y, &caution_type, title->cautions[i], room);
}

void lt_map_title_draw(struct lt_canvas *canvas, const struct lt_map_title *title, const char *what,
	size_t page, size_t pages)
{
	draw_head(canvas, title, what, page, pages);
	draw_foot(canvas, title);
}
