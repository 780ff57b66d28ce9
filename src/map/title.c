#include <string.h>

#include "loomtag/page.h"
#include "loomtag/words.h"
#include "map/title.h"

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
#define CODE_EM 6.9
#define NAME_EM 4.6
#define LINE_EM 3.3
#define CAUTION_EM (7 * LT_POINT)
#define CAUTION_LEADING 3.1

static double width_of(const struct lt_map_title *title, enum lt_face face, double size,
	const char *text)
{
	return lt_text_width(title->input->measure, face, size, text);
}

/* Breaks `text` at spaces into lines of `width`; a word that is wider has a line of its own. */
static const char **break_lines(size_t *count, struct lt_arena *arena,
	const struct lt_map_title *title, const char *text, double width)
{
	const char **lines = lt_arena_array(arena, strlen(text) + 1, sizeof(*lines));
	*count = 0;
	while (*text != '\0') {
		size_t length = 0;
		const char *line = "";
		for (const char *at = text; at != NULL && *at != '\0';) {
			const char *space = strchr(at + 1, ' ');
			size_t longer = space != NULL ? (size_t)(space - text) : strlen(text);
			const char *tried = lt_arena_printf(arena, "%.*s", (int)longer, text);
			if (length > 0 &&
				width_of(title, LT_FACE_REGULAR, CAUTION_EM, tried) > width)
				break;
			line = tried;
			length = longer;
			at = space;
		}
		lines[(*count)++] = line;
		text += length;
		text += strspn(text, " ");
	}
	return lines;
}

static bool encode(struct lt_map_title *title, struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	struct lt_qr_plan plan;
	lt_payload_map_write(&text, title->input->tags, LT_NONE);
	bool good = true;
	if (lt_qr_plan(&plan, lt_text_string(&text), LT_QR_M) ||
		lt_qr_plan(&plan, lt_text_string(&text), LT_QR_L)) {
		good = lt_qr_encode(&title->qr, arena, lt_text_string(&text), &plan, diags);
		double fits = SYMBOL_MOST / (plan.modules + 2 * LT_QR_QUIET);
		title->module = fits > MODULE ? MODULE : fits < MODULE_LEAST ? MODULE_LEAST : fits;
	}
	lt_text_finish(&text);
	return good;
}

/* The energies, so that no page is without them. */
static const char *energies_line(struct lt_arena *arena, const struct lt_harness *harness,
	size_t page)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "Make safe before anything is unplugged (see page %zu): ", page);
	for (size_t i = 0; i < harness->hazard_count; i++)
		lt_text_printf(&line, "%s%s", i > 0 ? "; " : "",
			lt_arena_shown(arena, harness->hazards[i].energy));
	const char *kept = lt_arena_strdup(arena, lt_text_string(&line));
	lt_text_finish(&line);
	return kept;
}

void lt_map_title_hazards(struct lt_map_title *title, struct lt_arena *arena, size_t page)
{
	const struct lt_harness *harness = title->input->tags->harness;
	size_t count = harness->hazard_count;
	if (count == 0)
		return;
	title->hazards = energies_line(arena, harness, page);
	double width = width_of(title, LT_FACE_BOLD, CAUTION_EM, title->hazards);
	if (width > title->width - 2 * title->margin || strlen(title->hazards) >= LINE_ROOM)
		title->hazards =
			lt_arena_printf(arena, "%zu hazard%s: make safe first, see page %zu", count,
				count == 1 ? "" : "s", page);
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
	const char *cautions = lt_arena_printf(arena, "%s %s", lt_caution_work,
		"Front views show the mating face of the harness half: the other half and the wire "
		"side are its mirror image. The QR codes of this map lead to it and prove nothing: to "
		"prove a joint, scan its two stickers.");
	out->cautions = break_lines(&out->caution_count, arena, out, cautions, width - 2 * MARGIN);
	size_t lines = out->caution_count + (input->tags->harness->hazard_count > 0);
	out->foot = GAP + 1 + CAUTION_LEADING * (double)lines;
	return true;
}

static void set(struct lt_canvas *canvas, const struct lt_map_title *title, double x,
	double baseline, enum lt_face face, double size, const char *text, double room)
{
	char shown[LINE_ROOM];
	lt_text_shorten(shown, sizeof(shown), title->input->measure, face, size, text, room);
	canvas->text(canvas->data, x, baseline, face, size, LT_BLACK, shown);
}

/* "unit 0042   revision C   2026-11-25" */
static const char *facts(struct lt_arena *arena, const struct lt_map_title *title)
{
	const struct lt_harness *harness = title->input->tags->harness;
	return lt_arena_printf(arena, "%s%s   revision %s   %s%s",
		harness->unit != NULL ? "unit " : "no unit",
		harness->unit != NULL ? harness->unit : "",
		harness->revision != NULL ? lt_arena_shown(arena, harness->revision) : "not given",
		title->date != NULL ? title->date : "date ____________",
		title->input->tags->changed ? "   NUMBERS NOT KEPT YET: they may change" : "");
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
	double code = width_of(title, LT_FACE_BOLD, CODE_EM, harness->code);
	set(canvas, title, left, top + 5.2, LT_FACE_BOLD, CODE_EM, harness->code, right - left);
	if (harness->title != NULL)
		set(canvas, title, left + code + 4, top + 5.2, LT_FACE_CONDENSED_BOLD, NAME_EM,
			lt_arena_shown(&arena, harness->title), right - left - code - 4);

	const char *counted = lt_arena_printf(&arena, "page %zu of %zu", page, pages);
	double counted_width = width_of(title, LT_FACE_BOLD, LINE_EM, counted);
	set(canvas, title, right - counted_width, top + 10.8, LT_FACE_BOLD, LINE_EM, counted,
		counted_width + 1);
	set(canvas, title, left, top + 10.8, LT_FACE_BOLD, LINE_EM,
		lt_arena_printf(&arena, "Harness map: %s", what), right - counted_width - left - 4);
	set(canvas, title, left, top + 15.6, LT_FACE_REGULAR, LINE_EM, facts(&arena, title),
		right - left);
	double rule = top + title->head - GAP + RULE / 2;
	canvas->line(canvas->data, left, rule, title->width - title->margin, rule, RULE, LT_BLACK);
	lt_arena_finish(&arena);
}

static void draw_foot(struct lt_canvas *canvas, const struct lt_map_title *title)
{
	const double left = title->margin, room = title->width - 2 * title->margin;
	double y = title->height - title->margin - title->foot + GAP;
	canvas->line(canvas->data, left, y, left + room, y, RULE / 2, LT_BLACK);
	y += 0.6 + CAUTION_EM;
	if (title->hazards != NULL) {
		set(canvas, title, left, y, LT_FACE_BOLD, CAUTION_EM, title->hazards, room);
		y += CAUTION_LEADING;
	}
	for (size_t i = 0; i < title->caution_count; i++, y += CAUTION_LEADING)
		set(canvas, title, left, y, LT_FACE_REGULAR, CAUTION_EM, title->cautions[i], room);
}

void lt_map_title_draw(struct lt_canvas *canvas, const struct lt_map_title *title, const char *what,
	size_t page, size_t pages)
{
	draw_head(canvas, title, what, page, pages);
	draw_foot(canvas, title);
}
