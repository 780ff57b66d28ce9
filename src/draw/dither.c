/* Pictures on a page of dots. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "draw/dots.h"

struct part {
	unsigned from, end;
};

/* The pixels, at least one, of `pixels` that dot `at` of `dots` stands for. */
static struct part part_of(int at, int dots, unsigned pixels)
{
	unsigned from = (unsigned)((uint64_t)at * pixels / (uint64_t)dots);
	unsigned end = (unsigned)((uint64_t)(at + 1) * pixels / (uint64_t)dots);
	return (struct part){ from, end > from ? end : from + 1 };
}

/* Part of a picture: how many pixels it has, and the sums of their colours. */
struct sums {
	uint64_t pixels;
	uint64_t rgb[3];
};

static struct sums sum_up(const struct lt_image *image, struct part columns, struct part rows)
{
	struct sums sums = { .pixels = (uint64_t)(columns.end - columns.from) *
				       (rows.end - rows.from) };
	for (unsigned y = rows.from; y < rows.end; y++) {
		const unsigned char *rgb =
			image->rgb + ((size_t)y * image->width + columns.from) * 3;
		for (unsigned x = columns.from; x < columns.end; x++) {
			for (unsigned i = 0; i < 3; i++)
				sums.rgb[i] += *rgb++;
		}
	}
	return sums;
}

/* The average light, 0 to 255, by the weights of ITU-R BT.709. */
static int light_of(const struct sums *sums)
{
	uint64_t sum = 2126 * sums->rgb[0] + 7152 * sums->rgb[1] + 722 * sums->rgb[2];
	uint64_t parts = sums->pixels * 10000;
	return (int)((sum + parts / 2) / parts);
}

static uint32_t colour_of(const struct sums *sums)
{
	uint32_t colour = 0;
	for (unsigned i = 0; i < 3; i++)
		colour = colour << 8 | (uint32_t)((sums->rgb[i] + sums->pixels / 2) / sums->pixels);
	return colour;
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

void lt_dots_put_image(const struct lt_bitmap *page, const cairo_rectangle_int_t *place,
	const struct lt_image *image)
{
	int left = clamp(place->x, page->width);
	int right = clamp(place->x + place->width, page->width);
	int top = clamp(place->y, page->height);
	int bottom = clamp(place->y + place->height, page->height);
	if (left >= right || top >= bottom)
		return;
	size_t room = (size_t)(right - left) + 2;
	int *off = lt_alloc_array(2 * room, sizeof(*off));
	int *beside = off, *below = off + room;
	for (int y = top; y < bottom; y++) {
		struct part rows = part_of(y - place->y, place->height, image->height);
		unsigned char *row = page->bytes + (size_t)y * page->stride;
		uint32_t *words = (uint32_t *)(void *)row;
		memset(below, 0, room * sizeof(*below));
		for (int x = left; x < right; x++) {
			struct part columns = part_of(x - place->x, place->width, image->width);
			struct sums sums = sum_up(image, columns, rows);
			if (page->colour) {
				words[x] = colour_of(&sums);
				continue;
			}
			int *here = beside + (x - left) + 1;
			int light = light_of(&sums) + *here;
			row[x] = light < 128 ? 255 : 0;
			hand_on(light - (255 - row[x]), here, below + (x - left) + 1);
		}
		int *swap = beside;
		beside = below;
		below = swap;
	}
	free(off);
}
