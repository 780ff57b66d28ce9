#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "draw/dither.h"
#include "loomtag/base.h"

/* The pixels from `*from` to before `*to`, at least one, of `pixels` that dot `at` of `dots` stands
 * for. */
static void share_of(unsigned *from, unsigned *to, int at, int dots, unsigned pixels)
{
	*from = (unsigned)((uint64_t)at * pixels / (uint64_t)dots);
	*to = (unsigned)((uint64_t)(at + 1) * pixels / (uint64_t)dots);
	if (*to <= *from)
		*to = *from + 1;
}

/* The average light of a part of the picture, 0 to 255, by the weights of ITU-R BT.709. */
static int light_of(const struct lt_image *image, unsigned left, unsigned right, unsigned top,
	unsigned bottom)
{
	uint64_t sum = 0;
	for (unsigned y = top; y < bottom; y++) {
		const unsigned char *rgb = image->rgb + ((size_t)y * image->width + left) * 3;
		for (unsigned x = left; x < right; x++, rgb += 3)
			sum += 2126u * rgb[0] + 7152u * rgb[1] + 722u * rgb[2];
	}
	uint64_t parts = (uint64_t)(right - left) * (bottom - top) * 10000;
	return (int)((sum + parts / 2) / parts);
}

/* Hands what a dot is too light or too dark to its neighbours, all of it. `below` and `beside` have
 * a place before the first dot and one behind the last. */
static void hand_on(int off, int *beside, int *below)
{
	int right = off * 7 / 16, left_below = off * 3 / 16, straight_below = off * 5 / 16;
	beside[1] += right;
	below[-1] += left_below;
	below[0] += straight_below;
	below[1] += off - right - left_below - straight_below;
}

static int clamp(int value, int most)
{
	return value < 0 ? 0 : value < most ? value : most;
}

void lt_dither(const struct lt_dither_place *to, const struct lt_image *image)
{
	int from = clamp(to->left, to->page_width),
	    end = clamp(to->left + to->width, to->page_width);
	int top = clamp(to->top, to->page_height);
	int bottom = clamp(to->top + to->height, to->page_height);
	if (from >= end || top >= bottom)
		return;
	size_t room = (size_t)(end - from) + 2;
	int *off = lt_alloc_array(2 * room, sizeof(*off));
	int *beside = off, *below = off + room;
	for (int y = top; y < bottom; y++) {
		unsigned first_row, last_row;
		share_of(&first_row, &last_row, y - to->top, to->height, image->height);
		memset(below, 0, room * sizeof(*below));
		for (int x = from; x < end; x++) {
			unsigned first, last;
			share_of(&first, &last, x - to->left, to->width, image->width);
			int *here = beside + (x - from) + 1;
			int light = light_of(image, first, last, first_row, last_row) + *here;
			bool black = light < 128;
			to->bytes[(size_t)y * to->stride + (size_t)x] = black ? 255 : 0;
			hand_on(light - (black ? 0 : 255), here, below + (x - from) + 1);
		}
		int *swap = beside;
		beside = below;
		below = swap;
	}
	free(off);
}

/* The average colour of a part of the picture. */
static uint32_t colour_of(const struct lt_image *image, unsigned left, unsigned right, unsigned top,
	unsigned bottom)
{
	uint64_t sums[3] = { 0 };
	for (unsigned y = top; y < bottom; y++) {
		const unsigned char *rgb = image->rgb + ((size_t)y * image->width + left) * 3;
		for (unsigned x = left; x < right; x++, rgb += 3) {
			sums[0] += rgb[0];
			sums[1] += rgb[1];
			sums[2] += rgb[2];
		}
	}
	uint64_t parts = (uint64_t)(right - left) * (bottom - top);
	uint32_t colour = 0;
	for (unsigned i = 0; i < 3; i++)
		colour = colour << 8 | (uint32_t)((sums[i] + parts / 2) / parts);
	return colour;
}

void lt_dither_colours(const struct lt_dither_place *to, const struct lt_image *image)
{
	int from = clamp(to->left, to->page_width),
	    end = clamp(to->left + to->width, to->page_width);
	int top = clamp(to->top, to->page_height);
	int bottom = clamp(to->top + to->height, to->page_height);
	for (int y = top; y < bottom; y++) {
		unsigned first_row, last_row;
		share_of(&first_row, &last_row, y - to->top, to->height, image->height);
		uint32_t *row = (uint32_t *)(void *)(to->bytes + (size_t)y * to->stride);
		for (int x = from; x < end; x++) {
			unsigned first, last;
			share_of(&first, &last, x - to->left, to->width, image->width);
			row[x] = colour_of(image, first, last, first_row, last_row);
		}
	}
}
