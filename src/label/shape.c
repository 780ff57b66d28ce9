/* The geometry of labels: where their zones lie, and which bundles they suit. */
#include <math.h>

#include "label/shape.h"
#include "loomtag/words.h"

#define PI 3.14159265358979323846

/* The share of the circumference that is seen well from one side: 120 degrees. Common practice, no
 * source. */
#define SEEN_SHARE (1.0 / 3.0)

#define LAYOUTS_NAMED 5u /* in a hint */

/* Sizes that were computed from each other are equal to within this, in mm. */
#define ROUNDING 1e-9

bool lt_winds_down(const struct lt_layout *layout)
{
	return layout->direction == LT_DOWN || layout->direction == LT_UP;
}

unsigned lt_layout_labels(const struct lt_layout *layout)
{
	return layout->columns * layout->rows;
}

void lt_layout_position(double *x, double *y, const struct lt_layout *layout, unsigned index)
{
	unsigned column = index % layout->columns;
	unsigned row = index / layout->columns;
	*x = layout->first_x + column * layout->pitch_x;
	*y = layout->first_y + row * layout->pitch_y;
}

static void shape_wrap(struct lt_shape *out, const struct lt_layout *layout, double length)
{
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	struct lt_zone face = { 0, 0, tape ? length : layout->printed_width,
		layout->printed_height };
	struct lt_zone clear = { 0, 0, tape ? length : layout->clear_width, layout->clear_height };
	enum lt_direction direction = layout->direction;
	clear.x = direction == LT_RIGHT ? face.width : 0;
	clear.y = direction == LT_DOWN ? face.height : 0;
	face.x = direction == LT_LEFT ? clear.width : 0;
	face.y = direction == LT_UP ? clear.height : 0;
	out->faces[0] = face;
	out->face_count = 1;
	out->clear = clear;
	out->width = fmax(face.x + face.width, clear.x + clear.width);
	out->height = fmax(face.y + face.height, clear.y + clear.height);
}

static void shape_flag(struct lt_shape *out, const struct lt_layout *layout, double length,
	double bundle)
{
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	double face = tape ? length : layout->face_width;
	double loop = tape && bundle > 0 ? PI * bundle : layout->loop;
	double height = layout->label_height;
	out->faces[0] = (struct lt_zone){ 0, 0, face, height };
	out->faces[1] = (struct lt_zone){ face + loop, 0, face, height };
	out->face_count = 2;
	out->loop = (struct lt_zone){ face, 0, loop, height };
	out->width = 2 * face + loop;
	out->height = height;
}

void lt_layout_shape(struct lt_shape *out, const struct lt_layout *layout, double length,
	double bundle)
{
	*out = (struct lt_shape){ 0 };
	switch (layout->style) {
	case LT_STYLE_PLATE:
		out->width = layout->medium == LT_MEDIUM_TAPE ? length : layout->label_width;
		out->height = layout->label_height;
		out->faces[0] = (struct lt_zone){ 0, 0, out->width, out->height };
		out->face_count = 1;
		break;
	case LT_STYLE_WRAP:
		shape_wrap(out, layout, length);
		break;
	case LT_STYLE_FLAG:
		shape_flag(out, layout, length, bundle);
		break;
	}
}

struct lt_range lt_layout_bundles(const struct lt_layout *layout)
{
	switch (layout->style) {
	case LT_STYLE_PLATE:
		break;
	case LT_STYLE_WRAP: {
		double printed =
			lt_winds_down(layout) ? layout->printed_height : layout->printed_width;
		double clear = lt_winds_down(layout) ? layout->clear_height : layout->clear_width;
		return (struct lt_range){ printed / PI,
			fmax(0, clear / PI - 2 * layout->thickness) };
	}
	case LT_STYLE_FLAG:
		/* A tape is cut to the loop that is needed. */
		if (layout->medium != LT_MEDIUM_TAPE)
			return (struct lt_range){ 0, layout->loop / PI };
		break;
	}
	return (struct lt_range){ 0, INFINITY };
}

enum lt_fit lt_layout_fit(const struct lt_layout *layout, double bundle)
{
	if (layout->style == LT_STYLE_PLATE)
		return LT_FIT_YES;
	if (!(bundle > 0))
		return LT_FIT_UNKNOWN;
	struct lt_range range = lt_layout_bundles(layout);
	if (bundle < range.least - ROUNDING)
		return LT_FIT_TOO_THIN;
	return bundle > range.most + ROUNDING ? LT_FIT_TOO_THICK : LT_FIT_YES;
}

const char *lt_layout_bundle_words(char out[LT_BUNDLES_SIZE], const struct lt_layout *layout)
{
	struct lt_range range = lt_layout_bundles(layout);
	/* Rounded inwards, so that every bundle in the range fits. */
	double least = ceil(range.least * 10 - ROUNDING) / 10;
	double most = floor(range.most * 10 + ROUNDING) / 10;
	struct lt_text text = { 0 };
	if (isinf(range.most))
		lt_text_add(&text, lt_layout_table_words.any_bundle);
	else if (range.least > 0)
		lt_words_bundles_between(&text, least, most);
	else
		lt_words_bundles_up_to(&text, most);
	snprintf(out, LT_BUNDLES_SIZE, "%s", lt_text_string(&text));
	lt_text_finish(&text);
	return out;
}

void lt_layout_hint(const struct lt_stock *known, const unsigned penalties[LT_STOCK_MAX],
	struct lt_diags *diags)
{
	struct lt_text names = { 0 };
	size_t named = 0;
	for (unsigned much = 0; known != NULL && much <= LT_DISLIKE_MOST; much++) {
		for (size_t i = 0; i < known->count && named < LAYOUTS_NAMED; i++) {
			if (penalties[i] == much)
				lt_text_printf(&names, "%s%s", named++ > 0 ? ", " : "",
					known->layouts[i].name);
		}
	}
	if (named > 0)
		lt_hint(diags, "use one of these layouts: %s", lt_text_string(&names));
	else
		lt_hint(diags, "run \"loomtag layouts\" to see which bundles each layout suits");
	lt_text_finish(&names);
}

/* Names those that go round the bundle, of the style given first. */
static void hint_fitting(const struct lt_stock *known, enum lt_style style, double bundle,
	struct lt_diags *diags)
{
	unsigned penalties[LT_STOCK_MAX] = { 0 };
	for (size_t i = 0; known != NULL && i < known->count; i++) {
		const struct lt_layout *layout = &known->layouts[i];
		bool fits = layout->style != LT_STYLE_PLATE &&
			    lt_layout_fit(layout, bundle) == LT_FIT_YES;
		penalties[i] = fits ? layout->style != style : LT_WILL_NOT_DO;
	}
	lt_layout_hint(known, penalties, diags);
}

bool lt_layout_check_fit(const struct lt_layout *layout, const struct lt_connector *connector,
	double bundle, const struct lt_stock *known, struct lt_diags *diags)
{
	enum lt_fit fit = lt_layout_fit(layout, bundle);
	if (fit == LT_FIT_YES || fit == LT_FIT_UNKNOWN)
		return true;
	char suits[LT_BUNDLES_SIZE];
	lt_layout_bundle_words(suits, layout);
	if (fit == LT_FIT_TOO_THIN)
		lt_error(diags, connector->place,
			"connector %s: its bundle of %.2f mm is too thin for layout %s, which suits %s",
			connector->id, bundle, layout->name, suits);
	else
		lt_error(diags, connector->place,
			"connector %s: its bundle of %.2f mm is too thick for layout %s, which suits %s",
			connector->id, bundle, layout->name, suits);
	hint_fitting(known, layout->style, bundle, diags);
	return false;
}

struct lt_blank lt_blank_of(const struct lt_layout *layout, double length, double bundle)
{
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, length, bundle);
	struct lt_blank blank = {
		.layout = layout,
		.width = shape.faces[0].width,
		.height = shape.faces[0].height,
		.endless = layout->medium == LT_MEDIUM_TAPE,
		.tag_width_most = INFINITY,
		.tag_height_most = INFINITY,
		.round = INFINITY,
	};
	if (layout->style != LT_STYLE_WRAP)
		return blank;
	/* A bundle that is not known is no thicker than what the wrap goes round. */
	blank.round = PI * (bundle > 0 ? bundle : lt_layout_bundles(layout).most);
	if (lt_winds_down(layout))
		blank.tag_height_most = blank.round * SEEN_SHARE;
	else
		blank.tag_width_most = blank.round * SEEN_SHARE;
	return blank;
}
