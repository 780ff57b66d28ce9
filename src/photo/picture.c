/* The codes in a picture, found by looking at it in several sizes. */
#include "photo/picture.h"
#include "photo/grey.h"

#include <stdlib.h>
#include <string.h>

#include <zbar.h>

/* Looks are taken at 1/1, 1/2, ... of the size. A code wants modules of 2 to 5 pixels or so: with
 * more, zbar takes noise for edges. A side below this shows no two codes that were not seen at a
 * larger size. */
enum { FACTOR_MOST = 6, SIDE_LEAST = 400 };

/* Each look takes its time: above so many pixels light is not evened, and up to so many the picture
 * is enlarged first, since zbar reads small modules better when there is more between them. */
enum { EVENED_UP_TO = 6000000, ENLARGED_UP_TO = 3000000 };

/* The texts found so far. */
struct finds {
	struct lt_arena *arena;
	const char **texts;
	size_t count, room;
};

/* Keeps a text that was not found before. A NUL within would cut it short, so that what stands
 * before it might pass for the whole: it becomes another control character. */
static void keep(struct finds *finds, const char *bytes, size_t length)
{
	char *text = lt_arena_copy(finds->arena, bytes, length);
	for (size_t i = 0; i < length; i++) {
		if (text[i] == '\0')
			text[i] = '\x01';
	}
	for (size_t i = 0; i < finds->count; i++) {
		if (strcmp(finds->texts[i], text) == 0)
			return;
	}
	finds->texts = lt_grow(finds->texts, &finds->room, finds->count + 1, sizeof(*finds->texts));
	finds->texts[finds->count++] = text;
}

/* Takes one look. zbar gives up on a picture for want of memory only, which ends the program
 * elsewhere; here it is as if nothing was seen. */
static void look(struct finds *finds, zbar_image_scanner_t *scanner, const struct lt_grey *grey)
{
	zbar_image_t *image = zbar_image_create();
	zbar_image_set_format(image, zbar_fourcc('Y', '8', '0', '0'));
	zbar_image_set_size(image, grey->width, grey->height);
	zbar_image_set_data(image, grey->pixels, (size_t)grey->width * grey->height, NULL);
	zbar_scan_image(scanner, image);
	for (const zbar_symbol_t *symbol = zbar_image_first_symbol(image); symbol != NULL;
		symbol = zbar_symbol_next(symbol)) {
		if (zbar_symbol_get_type(symbol) == ZBAR_QRCODE)
			keep(finds, zbar_symbol_get_data(symbol),
				zbar_symbol_get_data_length(symbol));
	}
	zbar_image_destroy(image);
}

/* QR codes alone, and their bytes as they are: zbar would else guess at a character set, and turn
 * UTF-8 that is not in Latin script into something else. */
static zbar_image_scanner_t *make_scanner(void)
{
	zbar_image_scanner_t *scanner = zbar_image_scanner_create();
	zbar_image_scanner_set_config(scanner, ZBAR_NONE, ZBAR_CFG_ENABLE, 0);
	zbar_image_scanner_set_config(scanner, ZBAR_QRCODE, ZBAR_CFG_ENABLE, 1);
	zbar_image_scanner_set_config(scanner, ZBAR_QRCODE, ZBAR_CFG_BINARY, 1);
	return scanner;
}

/* zbar follows level and upright lines, and misses the finder patterns of a code that is tilted
 * away on a slant, so the picture is turned as well. */
static void look_turned(struct finds *finds, zbar_image_scanner_t *scanner,
	const struct lt_grey *grey)
{
	for (unsigned degrees = 30; degrees < 90; degrees += 30) {
		struct lt_grey turned;
		lt_grey_turn(&turned, grey, degrees);
		look(finds, scanner, &turned);
		lt_grey_finish(&turned);
	}
}

/* As it is and turned, then with light and contrast made even; changes it. */
static void look_at_all(struct finds *finds, zbar_image_scanner_t *scanner, struct lt_grey *grey)
{
	look(finds, scanner, grey);
	look_turned(finds, scanner, grey);
	if ((size_t)grey->width * grey->height > EVENED_UP_TO)
		return;
	lt_grey_even(grey);
	look(finds, scanner, grey);
}

/* Two codes that were found prove nothing about a third, so every look is taken whatever the ones
 * before it found. */
size_t lt_picture_codes(const char ***out, struct lt_arena *arena, const struct lt_image *image)
{
	struct finds finds = { .arena = arena };
	zbar_image_scanner_t *scanner = make_scanner();
	struct lt_grey whole, small;
	lt_grey_make(&whole, image);
	for (unsigned factor = 1; factor <= FACTOR_MOST; factor++) {
		if (factor > 1 && whole.width / factor < SIDE_LEAST &&
			whole.height / factor < SIDE_LEAST)
			break;
		if (!lt_grey_shrink(&small, &whole, factor))
			break;
		look_at_all(&finds, scanner, &small);
		lt_grey_finish(&small);
	}
	if ((size_t)whole.width * whole.height <= ENLARGED_UP_TO) {
		lt_grey_enlarge(&small, &whole);
		look_turned(&finds, scanner, &small);
		lt_grey_finish(&small);
	}
	lt_grey_finish(&whole);
	zbar_image_scanner_destroy(scanner);
	*out = lt_arena_array(arena, finds.count + 1, sizeof(**out));
	if (finds.count > 0)
		memcpy(*out, finds.texts, finds.count * sizeof(**out));
	free(finds.texts);
	return finds.count;
}
