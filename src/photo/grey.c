/* A picture in grey, turned and scaled as a reader of codes wants it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "photo/grey.h"

void lt_grey_make(struct lt_grey *out, const struct lt_image *image)
{
	const size_t count = (size_t)image->width * image->height;
	*out = (struct lt_grey){ image->width, image->height, lt_alloc(count + 1) };
	for (size_t i = 0; i < count; i++) {
		const unsigned char *rgb = image->rgb + 3 * i;
		out->pixels[i] =
			(unsigned char)((77u * rgb[0] + 150u * rgb[1] + 29u * rgb[2] + 128) >> 8);
	}
}

bool lt_grey_shrink(struct lt_grey *out, const struct lt_grey *grey, unsigned factor)
{
	const unsigned width = grey->width / factor, height = grey->height / factor;
	*out = (struct lt_grey){ 0 };
	if (width == 0 || height == 0)
		return false;
	*out = (struct lt_grey){ width, height, lt_alloc((size_t)width * height) };
	unsigned char *to = out->pixels;
	for (unsigned y = 0; y < height; y++) {
		const unsigned char *from = grey->pixels + (size_t)y * factor * grey->width;
		for (unsigned x = 0; x < width; x++, from += factor) {
			unsigned sum = factor * factor / 2;
			for (size_t v = 0; v < factor; v++)
				for (size_t u = 0; u < factor; u++)
					sum += from[v * grey->width + u];
			*to++ = (unsigned char)(sum / (factor * factor));
		}
	}
	return true;
}

void lt_grey_enlarge(struct lt_grey *out, const struct lt_grey *grey)
{
	*out = (struct lt_grey){ 0 };
	if (grey->width == 0 || grey->height == 0)
		return;
	out->width = 2 * grey->width - 1;
	out->height = 2 * grey->height - 1;
	unsigned char *to = lt_alloc((size_t)out->width * out->height);
	out->pixels = to;
	for (unsigned y = 0; y < out->height; y++) {
		const size_t down = y % 2 * (size_t)grey->width;
		for (unsigned x = 0; x < out->width; x++) {
			const unsigned char *at =
				grey->pixels + (size_t)(y / 2) * grey->width + x / 2;
			const size_t right = x % 2;
			*to++ = (unsigned char)((at[0] + at[right] + at[down] + at[down + right] +
							2) /
						4);
		}
	}
}

/* Places in the picture in 1/256 of a pixel. */
enum { FINE = 256 };

/* A value between two above and two below, in whole * whole parts: `right` and `down` of `whole` on
 * the way to the second of each. */
static unsigned blend(const unsigned char above[2], const unsigned char below[2], unsigned right,
	unsigned down, unsigned whole)
{
	return (above[0] * (whole - right) + above[1] * right) * (whole - down) +
	       (below[0] * (whole - right) + below[1] * right) * down;
}

/* The value between four pixels; `x` and `y` are from 0 to below the last column and row. */
static unsigned char between_pixels(const struct lt_grey *grey, long x, long y)
{
	const unsigned char *at =
		grey->pixels + (size_t)(y / FINE) * grey->width + (size_t)(x / FINE);
	const unsigned value =
		blend(at, at + grey->width, (unsigned)(x % FINE), (unsigned)(y % FINE), FINE);
	return (unsigned char)((value + FINE * FINE / 2) / (FINE * FINE));
}

void lt_grey_turn(struct lt_grey *out, const struct lt_grey *grey, unsigned degrees)
{
	const double angle = degrees * 3.14159265358979323846 / 180;
	const double c = cos(angle), s = sin(angle);
	const double wide = grey->width, tall = grey->height;
	*out = (struct lt_grey){ (unsigned)(wide * c + tall * s) + 1,
		(unsigned)(wide * s + tall * c) + 1, NULL };
	const size_t count = (size_t)out->width * out->height;
	out->pixels = lt_alloc(count);
	memset(out->pixels, 128, count);
	const long across = lround(c * FINE), along = lround(s * FINE);
	const long last_x = ((long)grey->width - 1) * FINE,
		   last_y = ((long)grey->height - 1) * FINE;
	for (unsigned row = 0; row < out->height; row++) {
		const double down = row - (out->height - 1.0) / 2, left = (1.0 - out->width) / 2;
		long x = lround((left * c + down * s + (wide - 1) / 2) * FINE);
		long y = lround((down * c - left * s + (tall - 1) / 2) * FINE);
		unsigned char *to = out->pixels + (size_t)row * out->width;
		for (unsigned column = 0; column < out->width; column++, to++) {
			if (x >= 0 && x < last_x && y >= 0 && y < last_y)
				*to = between_pixels(grey, x, y);
			x += across;
			y -= along;
		}
	}
}

/* The picture in tiles, each with its darkest and lightest. A finder pattern is seven modules, and
 * a tile of its size has dark and light. */
enum { TILE = 32 };

/* Below this difference there is nothing in a neighbourhood but noise. */
enum { CONTRAST_LEAST = 24 };

struct tile {
	unsigned char low, high;
};

/* The darkest and lightest of a tile, but for one in 64, which may be noise or glare. */
static struct tile measure(const struct lt_grey *grey, unsigned left, unsigned top)
{
	unsigned counts[256] = { 0 };
	unsigned total = 0;
	for (unsigned y = top; y < top + TILE && y < grey->height; y++) {
		for (unsigned x = left; x < left + TILE && x < grey->width; x++) {
			counts[grey->pixels[(size_t)y * grey->width + x]]++;
			total++;
		}
	}
	unsigned low = 0, high = 255;
	for (unsigned below = 0; below + counts[low] <= total / 64; low++)
		below += counts[low];
	for (unsigned above = 0; above + counts[high] <= total / 64; high--)
		above += counts[high];
	return (struct tile){ (unsigned char)low, (unsigned char)high };
}

/* The darkest and lightest of a tile and the eight round it. */
static struct tile widen(const struct tile *tiles, unsigned across, unsigned down, unsigned x,
	unsigned y)
{
	struct tile wide = tiles[(size_t)y * across + x];
	for (unsigned v = y > 0 ? y - 1 : 0; v <= y + 1 && v < down; v++) {
		for (unsigned u = x > 0 ? x - 1 : 0; u <= x + 1 && u < across; u++) {
			const struct tile *tile = &tiles[(size_t)v * across + u];
			wide.low = tile->low < wide.low ? tile->low : wide.low;
			wide.high = tile->high > wide.high ? tile->high : wide.high;
		}
	}
	return wide;
}

/* Where a pixel lies between the middles of two tiles: the first tile, the second, and how many
 * of TILE parts it is on from the first to the second. */
struct between {
	unsigned first, second, part;
};

static struct between find_between(unsigned at, unsigned tiles)
{
	if (at < TILE / 2)
		return (struct between){ 0, 0, 0 };
	const unsigned first = (at - TILE / 2) / TILE;
	return (struct between){ first, first + 1 < tiles ? first + 1 : first,
		(at - TILE / 2) % TILE };
}

/* A value between four tiles' middles, in TILE * TILE parts. */
static unsigned mix(const unsigned char *values, unsigned across, struct between x,
	struct between y)
{
	const unsigned char *up = values + (size_t)y.first * across;
	const unsigned char *down = values + (size_t)y.second * across;
	return blend((const unsigned char[]){ up[x.first], up[x.second] },
		(const unsigned char[]){ down[x.first], down[x.second] }, x.part, y.part, TILE);
}

void lt_grey_even(struct lt_grey *grey)
{
	const unsigned across = (grey->width + TILE - 1) / TILE;
	const unsigned down = (grey->height + TILE - 1) / TILE;
	const size_t count = (size_t)across * down;
	struct tile *tiles = lt_alloc_array(count, sizeof(*tiles));
	unsigned char *low = lt_alloc(count), *high = lt_alloc(count);
	for (size_t i = 0; i < count; i++)
		tiles[i] =
			measure(grey, (unsigned)(i % across) * TILE, (unsigned)(i / across) * TILE);
	for (size_t i = 0; i < count; i++) {
		const struct tile wide =
			widen(tiles, across, down, (unsigned)(i % across), (unsigned)(i / across));
		low[i] = wide.low;
		high[i] = wide.high;
	}
	const unsigned one = TILE * TILE;
	for (unsigned y = 0; y < grey->height; y++) {
		const struct between row = find_between(y, down);
		unsigned char *at = grey->pixels + (size_t)y * grey->width;
		for (unsigned x = 0; x < grey->width; x++, at++) {
			const struct between column = find_between(x, across);
			const unsigned dark = mix(low, across, column, row);
			const unsigned light = mix(high, across, column, row);
			unsigned range = light > dark ? light - dark : 0;
			if (range < CONTRAST_LEAST * one)
				range = CONTRAST_LEAST * one;
			const unsigned value = *at * one;
			const unsigned even = value > dark ? (value - dark) / (range / 255) : 0;
			*at = (unsigned char)(even < 255 ? even : 255);
		}
	}
	free(tiles);
	free(low);
	free(high);
}

void lt_grey_finish(struct lt_grey *grey)
{
	if (grey == NULL)
		return;
	free(grey->pixels);
	*grey = (struct lt_grey){ 0 };
}
