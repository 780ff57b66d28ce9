/* The colours of a wire, as a small picture. */
#include <math.h>

#include "loomtag/page.h"

/* mm: the frame, and the least from stripe to stripe, so that a coarse printer shows them apart. */
#define FRAME 0.15
#define PITCH_LEAST 1.2

#define STRIPES_MOST 1000.0

/* How much of the wire its further colours cover together: a third; as much as the base colour
 * where they are two. Protective earth is half and half, since on any 15 mm of it neither colour
 * covers less than 30 % or more than 70 % (IEC 60445; from memory). */
static double stripe_share(const struct lt_colour *colour, size_t inks)
{
	return lt_colour_is_earth(colour) || inks > 2 ? 1.0 / 2 : 1.0 / 3;
}

static struct lt_ink to_ink(unsigned rgb)
{
	return (struct lt_ink){ (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0,
		(rgb & 255) / 255.0 };
}

/* Stripes of a wire that lies along the longer side of the box. */
struct stripes {
	size_t count;
	double pitch, width;
	double slant; /* how much further along a stripe ends than it begins */
};

/* As many as make stripes about as far apart as the wire is thick, each colour as often. A slant
 * that keeps a stripe within its pitch keeps all of them whole, and so their areas exact. */
static struct stripes plan_stripes(double along, double across, size_t colours, double share)
{
	double each =
		fmin(floor(along / (fmax(across, PITCH_LEAST) * (double)colours)), STRIPES_MOST);
	struct stripes stripes = { .count = colours * (each > 1 ? (size_t)each : 1) };
	stripes.pitch = along / (double)stripes.count;
	stripes.width = stripes.pitch * share;
	stripes.slant = fmin(across, stripes.pitch - stripes.width);
	return stripes;
}

static void draw_stripe(struct lt_canvas *canvas, const struct lt_point corners[4], bool upright,
	struct lt_point origin, struct lt_ink ink)
{
	struct lt_point points[4];
	for (size_t i = 0; i < 4; i++) {
		points[i].x = origin.x + (upright ? corners[i].y : corners[i].x);
		points[i].y = origin.y + (upright ? corners[i].x : corners[i].y);
	}
	canvas->polygon(canvas->data, points, 4, NULL, &ink);
}

void lt_swatch_draw(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_colour *colour)
{
	unsigned inks[LT_COLOUR_PARTS];
	size_t count = lt_colour_inks(inks, colour);
	if (count == 0 || !(width > 0 && height > 0))
		return;
	double line = fmin(FRAME, fmin(width, height) / 8);
	struct lt_point origin = { x + line / 2, y + line / 2 };
	width -= line;
	height -= line;
	canvas->rectangle(canvas->data, origin.x, origin.y, width, height, to_ink(inks[0]));
	bool upright = height > width;
	double along = upright ? height : width;
	double across = upright ? width : height;
	struct stripes stripes = { 0 };
	if (count > 1)
		stripes = plan_stripes(along, across, count - 1, stripe_share(colour, count));
	for (size_t i = 0; i < stripes.count; i++) {
		double middle = stripes.pitch * ((double)i + 0.5);
		double low = middle - stripes.width / 2;
		double high = middle + stripes.width / 2;
		double lean = stripes.slant / 2;
		const struct lt_point corners[4] = { { low + lean, 0 }, { high + lean, 0 },
			{ high - lean, across }, { low - lean, across } };
		draw_stripe(canvas, corners, upright, origin, to_ink(inks[1 + i % (count - 1)]));
	}
	canvas->frame(canvas->data, origin.x, origin.y, width, height, line, LT_BLACK);
}
