/* One label of a layout, drawn with its sizes and a sample of a sticker. */
#include <math.h>
#include <string.h>

#include "loomtag/words.h"
#include "sheet/sheet.h"
#include "sheet/specimen_label.h"

#define OUTLINE 0.25
#define HAIR 0.12
#define DASH 1.0
#define HATCH 3.0
#define WORD_SIZE 2.8
#define WORD_PAD 0.8
#define CORNER_STEPS 6
#define PI 3.14159265358979323846

/* Two look-alikes. */
static const char sample_text[] =
	"harness: DS4\n"
	"title: Sample\n"
	"components:\n"
	"  - {id: M1, name: shutter motor, place: left post}\n"
	"  - {id: M2, name: hatch motor, place: right post}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, kind: plug, family: F1, ways: 3, wires: {1: BN, 2: BU, 3: GNYE}}\n"
	"  - {id: X2, name: hatch power, mates: M2, kind: plug, family: F1, ways: 3}\n";

/* The thickest bundle that a wrap or a flag goes round: the number is largest there. Of a tape's
 * flag the loop is that of the layout. */
static double suited_bundle(const struct lt_layout *layout)
{
	struct lt_range range = lt_layout_bundles(layout);
	return isinf(range.most) ? 0 : range.most;
}

void lt_specimen_label_init(struct lt_specimen_label *out, const struct lt_layout *layout,
	const struct lt_measure *measure)
{
	*out = (struct lt_specimen_label){ .layout = layout };
	double bundle = suited_bundle(layout);
	const struct lt_bundle bundles[2] = { { bundle, LT_BUNDLE_MEASURED, false },
		{ bundle, LT_BUNDLE_MEASURED, false } };
	struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
	options.bundles = bundle > 0 ? bundles : NULL;
	/* A label that is too small for any sticker is still a label to be shown. */
	out->placed =
		lt_sample_place(&out->sticker, &out->arena, sample_text, layout, &options, measure);
	if (out->placed)
		out->shape = out->sticker.shape;
	else
		lt_layout_shape(&out->shape, layout, layout->shortest, bundle);
}

void lt_specimen_label_finish(struct lt_specimen_label *label)
{
	lt_arena_finish(&label->arena);
}

struct pen {
	struct lt_canvas *canvas;
	const struct lt_measure *measure;
	double x, y, scale;
	/* Quiet zones of symbols, where nothing else may be drawn. */
	struct lt_zone quiet[LT_FACES];
	size_t quiet_count;
};

/* Grey where there are greys, and black where there are not. */
#define FAINT LT_GREY(0.45)

static void draw_line(const struct pen *pen, double x1, double y1, double x2, double y2,
	double thick)
{
	pen->canvas->line(pen->canvas->data, x1, y1, x2, y2, thick,
		thick < OUTLINE ? FAINT : LT_BLACK);
}

/* A quarter of a circle about x, y, from an angle on, in steps. */
static void draw_corner(const struct pen *pen, double x, double y, double radius, double from)
{
	for (int step = 0; step < CORNER_STEPS; step++) {
		double a = from + PI / 2 * step / CORNER_STEPS;
		double b = from + PI / 2 * (step + 1) / CORNER_STEPS;
		draw_line(pen, x + radius * cos(a), y + radius * sin(a), x + radius * cos(b),
			y + radius * sin(b), OUTLINE);
	}
}

/* Around the label, so that the line takes nothing from it. */
static void draw_outline(const struct pen *pen, const struct lt_specimen_label *label)
{
	double x = pen->x - OUTLINE / 2;
	double y = pen->y - OUTLINE / 2;
	double right = x + label->shape.width * pen->scale + OUTLINE;
	double bottom = y + label->shape.height * pen->scale + OUTLINE;
	double radius = fmin(label->layout->corner * pen->scale,
		fmin(label->shape.width, label->shape.height) * pen->scale / 2);
	if (!(radius > 0)) {
		pen->canvas->frame(pen->canvas->data, x, y, right - x, bottom - y, OUTLINE,
			LT_BLACK);
		return;
	}
	draw_line(pen, x + radius, y, right - radius, y, OUTLINE);
	draw_line(pen, x + radius, bottom, right - radius, bottom, OUTLINE);
	draw_line(pen, x, y + radius, x, bottom - radius, OUTLINE);
	draw_line(pen, right, y + radius, right, bottom - radius, OUTLINE);
	draw_corner(pen, x + radius, y + radius, radius, PI);
	draw_corner(pen, right - radius, y + radius, radius, 1.5 * PI);
	draw_corner(pen, right - radius, bottom - radius, radius, 0);
	draw_corner(pen, x + radius, bottom - radius, radius, PI / 2);
}

/* Level or upright. */
static void draw_dashes(const struct pen *pen, double x1, double y1, double x2, double y2)
{
	double length = fabs(x2 - x1) + fabs(y2 - y1);
	/* Dashes at both ends; a long edge has longer ones. */
	double dash = fmax(DASH, length / 200);
	int count = (int)floor((length / dash + 1) / 2);
	double step = count > 1 ? (length - dash) / (count - 1) : 0;
	for (int i = 0; i < count; i++) {
		double from = i * step / length;
		double to = (i * step + dash) / length;
		double left = x1 + (x2 - x1) * from;
		double top = y1 + (y2 - y1) * from;
		double right = x1 + (x2 - x1) * to;
		double bottom = y1 + (y2 - y1) * to;
		const struct lt_zone ink = { left - HAIR, top - HAIR, right - left + 2 * HAIR,
			bottom - top + 2 * HAIR };
		if (lt_zone_is_free(&ink, pen->quiet, pen->quiet_count))
			draw_line(pen, left, top, right, bottom, HAIR);
	}
}

static struct lt_zone to_page(const struct pen *pen, struct lt_zone zone)
{
	return (struct lt_zone){ pen->x + zone.x * pen->scale, pen->y + zone.y * pen->scale,
		zone.width * pen->scale, zone.height * pen->scale };
}

/* The part that can be printed on. */
static void draw_inset(const struct pen *pen, struct lt_zone face, double inset)
{
	if (!(inset > 0))
		return;
	struct lt_zone zone =
		to_page(pen, (struct lt_zone){ face.x + inset, face.y + inset,
				     face.width - 2 * inset, face.height - 2 * inset });
	double right = zone.x + zone.width;
	double bottom = zone.y + zone.height;
	draw_dashes(pen, zone.x, zone.y, right, zone.y);
	draw_dashes(pen, zone.x, bottom, right, bottom);
	draw_dashes(pen, zone.x, zone.y, zone.x, bottom);
	draw_dashes(pen, right, zone.y, right, bottom);
}

/* Slanting lines, in step with those of every other zone. */
static void draw_hatch(const struct pen *pen, struct lt_zone zone)
{
	if (!(zone.width > 0.2 && zone.height > 0.2))
		return;
	double first = zone.x + zone.y;
	double step = fmax(HATCH, (zone.width + zone.height) / 200);
	int count = (int)((zone.width + zone.height) / step) + 1;
	for (int i = 0; i < count; i++) {
		/* Where x + y = sum. */
		double sum = (ceil(first / step) + i) * step;
		double left = fmax(zone.x, sum - zone.y - zone.height);
		double right = fmin(zone.x + zone.width, sum - zone.y);
		if (right > left)
			draw_line(pen, left, sum - left, right, sum - right, HAIR);
	}
}

/* Writes a word in the middle of a zone, and gives what it covers; false when it has no room. */
static bool draw_word(struct lt_zone *covered, const struct pen *pen, struct lt_zone zone,
	const char *word)
{
	double width = lt_text_width(pen->measure, LT_TYPEFACE_REGULAR, WORD_SIZE, word);
	double height = lt_text_height(pen->measure, LT_TYPEFACE_REGULAR, WORD_SIZE);
	if (width + 2 * WORD_PAD > zone.width || height + 2 * WORD_PAD > zone.height)
		return false;
	double x = zone.x + (zone.width - width) / 2;
	double y = zone.y + (zone.height - height) / 2;
	lt_text_draw(pen->canvas, pen->measure, x, y, LT_TYPEFACE_REGULAR, WORD_SIZE, word);
	*covered = (struct lt_zone){ x - WORD_PAD, y - WORD_PAD, width + 2 * WORD_PAD,
		height + 2 * WORD_PAD };
	return true;
}

/* The clear tail is hatched, around the word for it. Its corners are those of the label, unless it
 * is wider than what is printed, or less wide. */
static void draw_clear(const struct pen *pen, const struct lt_shape *shape)
{
	struct lt_zone zone = to_page(pen, shape->clear);
	struct lt_zone face = to_page(pen, shape->faces[0]);
	struct lt_zone word;
	/* Where the two meet, on the clear side. */
	double x = zone.x > face.x ? zone.x + HAIR / 2 : face.x - HAIR / 2;
	double y = zone.y > face.y ? zone.y + HAIR / 2 : face.y - HAIR / 2;
	if (zone.x == face.x && zone.width == face.width)
		draw_line(pen, zone.x, y, zone.x + zone.width, y, HAIR);
	else if (zone.y == face.y && zone.height == face.height)
		draw_line(pen, x, zone.y, x, zone.y + zone.height, HAIR);
	else
		pen->canvas->frame(pen->canvas->data, zone.x, zone.y, zone.width, zone.height, HAIR,
			LT_BLACK);
	if (!draw_word(&word, pen, zone, lt_specimen_words.clear)) {
		draw_hatch(pen, zone);
		return;
	}
	double right = word.x + word.width;
	double bottom = word.y + word.height;
	draw_hatch(pen, (struct lt_zone){ zone.x, zone.y, zone.width, word.y - zone.y });
	draw_hatch(pen,
		(struct lt_zone){ zone.x, bottom, zone.width, zone.y + zone.height - bottom });
	draw_hatch(pen, (struct lt_zone){ zone.x, word.y, word.x - zone.x, word.height });
	draw_hatch(pen,
		(struct lt_zone){ right, word.y, zone.x + zone.width - right, word.height });
}

/* The loop lies between two folds, which are drawn on it. */
static void draw_loop(const struct pen *pen, struct lt_zone loop)
{
	struct lt_zone zone = to_page(pen, loop);
	struct lt_zone word;
	double bottom = zone.y + zone.height;
	double left = zone.x + HAIR / 2;
	double right = zone.x + zone.width - HAIR / 2;
	draw_line(pen, left, zone.y, left, bottom, HAIR);
	draw_line(pen, right, zone.y, right, bottom, HAIR);
	draw_word(&word, pen, zone, lt_specimen_words.loop);
}

static void find_quiet(struct pen *pen, const struct lt_specimen_label *label)
{
	const struct lt_box *code = NULL;
	for (size_t i = 0; i < label->sticker.box_count && code == NULL; i++) {
		if (label->sticker.boxes[i].role == LT_BOX_QR)
			code = &label->sticker.boxes[i];
	}
	for (size_t k = 0; code != NULL && k < label->shape.face_count; k++) {
		const struct lt_zone *face = &label->shape.faces[k];
		struct lt_zone *quiet = &pen->quiet[pen->quiet_count++];
		double around = code->module * LT_QR_QUIET;
		quiet->x = pen->x + face->x + code->x - around;
		quiet->y = pen->y + face->y + code->y - around;
		quiet->width = code->width + 2 * around;
		quiet->height = code->height + 2 * around;
	}
}

bool lt_specimen_label_draw(struct lt_canvas *canvas, const struct lt_specimen_label *label,
	const struct lt_specimen_style *style, double x, double y, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	struct pen pen = {
		.canvas = canvas, .measure = measure, .x = x, .y = y, .scale = style->scale
	};
	const struct lt_shape *shape = &label->shape;
	bool sample = label->placed && style->scale == 1;
	if (sample)
		find_quiet(&pen, label);
	draw_outline(&pen, label);
	if (shape->clear.width > 0 && shape->clear.height > 0)
		draw_clear(&pen, shape);
	if (shape->loop.width > 0)
		draw_loop(&pen, shape->loop);
	for (size_t i = 0; style->insets && i < shape->face_count; i++)
		draw_inset(&pen, shape->faces[i], label->layout->inset);
	if (!sample)
		return true;
	struct lt_arena arena = { 0 };
	bool good = lt_sticker_draw(canvas, &label->sticker, x, y, &arena, diags);
	lt_arena_finish(&arena);
	return good;
}
