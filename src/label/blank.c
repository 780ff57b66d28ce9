#include <math.h>

#include "label/blank.h"
#include "loomtag/label.h"

#define PI 3.14159265358979323846

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
	if (layout->direction == LT_DOWN || layout->direction == LT_UP)
		blank.tag_height_most = blank.round * LT_SEEN_SHARE;
	else
		blank.tag_width_most = blank.round * LT_SEEN_SHARE;
	return blank;
}

double lt_blank_bend(const struct lt_layout *layout, double bundle, double mm)
{
	return layout->style == LT_STYLE_WRAP && bundle > 0 ? 360 * mm / (PI * bundle) : 0;
}
