/* Pictures of the static pages: photographs as they may be published, the overview and the front
 * views as drawings. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "site/site.h"

/* What a phone shows with room to enlarge: about 1200 by 900. */
#define PHOTO_PIXELS (1200ul * 900ul)

/* The smallest letters of the overview, mm: 12 pixels where the page is 1188 wide. */
#define OVERVIEW_TEXT 3.0

/* What a phone shows across of a front view, mm: 90 of 96 dots an inch are 340; and pixels a mm on
 * the screen, somewhat larger than on paper. No piece of it is higher than this: pages scroll. */
#define FRONT_WIDTH 90.0
#define FRONT_PIXELS 4.8
#define FRONT_PIECE 400.0

/* A drawing of more bytes is a file beside the page, so that the page is there at once. */
#define INLINE_MOST 40000

/* Beside the harness's page. */
static bool write_picture(const struct lt_site *site, const char *name, const void *bytes,
	size_t length)
{
	return lt_site_write(site,
		lt_arena_printf(site->arena, "%s/%s", site->tags->harness->code, name),
		LT_SITE_PICTURE, bytes, length);
}

static bool write_photo(struct lt_site_photo *photo, const struct lt_site *site, size_t connector,
	const struct lt_image *image)
{
	/* Packed anew: of what the file said beside its pixels, where it was taken above all,
	 * nothing is left. */
	struct lt_packed packed;
	if (!lt_pack(&packed, image, lt_pack_png)) {
		lt_error(site->diags, site->tags->harness->connectors[connector].place,
			"the photograph cannot be written for the pages");
		lt_hint(site->diags, "open it and save it as PNG or JPEG");
		return false;
	}
	unsigned number = site->tags->number_of[connector];
	const char *ending = packed.jpeg ? "jpg" : "png";
	*photo = (struct lt_site_photo){ .width = image->width, .height = image->height };
	if (number != 0)
		snprintf(photo->name, sizeof photo->name, "photo-%u.%s", number, ending);
	else
		snprintf(photo->name, sizeof photo->name, "photo-eye-%zu.%s", connector + 1,
			ending);
	bool good = write_picture(site, photo->name, packed.bytes, packed.length);
	free(packed.bytes);
	return good;
}

bool lt_site_photos(struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	site->photos =
		lt_arena_array(site->arena, harness->connector_count + 1, sizeof *site->photos);
	bool good = true;
	for (size_t i = 0; i < harness->connector_count && good; i++) {
		struct lt_image image;
		if (harness->connectors[i].photo == NULL ||
			!lt_photo_read(&image, harness, i, PHOTO_PIXELS, site->diags))
			continue;
		good = write_photo(&site->photos[i], site, i, &image);
		lt_image_finish(&image);
	}
	return good;
}

static bool write_overview(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)diags;
	const struct lt_site *site = data;
	return write_picture(site, lt_arena_printf(site->arena, "overview-%u.svg", page), bytes,
		length);
}

/* Draws an overview's pages, or a front view, on a page each. */
static bool draw_svg(const struct lt_site *site, const struct lt_page_sink *sink, const char *title,
	const struct lt_overview *overview, const struct lt_map_front *front)
{
	struct lt_canvas canvas;
	bool good = true;
	lt_svg_create(&canvas, sink, site->fonts, title);
	for (size_t i = 0; good && overview != NULL && i < overview->page_count; i++) {
		canvas.begin_page(canvas.data, overview->width, overview->height);
		lt_overview_draw(&canvas, overview, i);
		good = canvas.end_page(canvas.data, site->diags);
	}
	if (good && front != NULL) {
		canvas.begin_page(canvas.data, front->width, front->height);
		lt_map_front_draw(&canvas, front);
		good = canvas.end_page(canvas.data, site->diags);
	}
	good = good && canvas.finish(canvas.data, site->diags);
	lt_canvas_destroy(&canvas);
	return good;
}

bool lt_site_overview(struct lt_site *site)
{
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	options.margin = 4;
	options.text_least = OVERVIEW_TEXT;
	struct lt_overview overview;
	bool good = lt_overview_place(&overview, site->input, &options, site->diags) &&
		    draw_svg(site, &(const struct lt_page_sink){ write_overview, site },
			    lt_site_words.overview, &overview, NULL);
	site->overview_pages = overview.page_count;
	lt_overview_finish(&overview);
	return good;
}

static bool keep_drawing(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)page;
	(void)diags;
	lt_text_add_bytes(data, (const char *)bytes, length);
	return true;
}

/* As an element of the page, without what a file of its own begins with, and with a size in
 * pixels; or as a file. */
static bool add_drawing(struct lt_text *out, const struct lt_site *site, const char *name,
	const struct lt_text *svg, const struct lt_map_front *front, const char *title)
{
	unsigned width = (unsigned)lround(front->width * FRONT_PIXELS);
	unsigned height = (unsigned)lround(front->height * FRONT_PIXELS);
	if (svg->length > INLINE_MOST) {
		lt_site_add(out, "<img src=\"../%s/%s\" width=\"%u\" height=\"%u\" alt=\"%s\">\n",
			site->tags->harness->code, name, width, height, title);
		return write_picture(site, name, svg->bytes, svg->length);
	}
	const char *rest = strstr(lt_text_string(svg), " viewBox");
	if (rest != NULL) {
		lt_site_add(out, "<svg role=\"img\" width=\"%u\" height=\"%u\"", width, height);
		lt_text_add(out, rest);
	}
	return true;
}

bool lt_site_front(struct lt_text *out, const struct lt_site *site, size_t connector)
{
	struct lt_arena arena = { 0 };
	struct lt_text svg = { 0 };
	struct lt_map_front front;
	bool good = true;
	lt_map_front_place(&front, &arena, site->input, connector, FRONT_WIDTH, FRONT_PIECE);
	if (front.drawing != NULL) {
		struct lt_text words = { 0 };
		lt_site_add_front_alt(&words, lt_site_connector(site, connector)->id);
		const char *title = lt_arena_strdup(&arena, lt_text_string(&words));
		lt_text_finish(&words);
		const char *name =
			lt_arena_printf(&arena, "front-%u.svg", site->tags->number_of[connector]);
		good = draw_svg(site, &(const struct lt_page_sink){ keep_drawing, &svg }, title,
			NULL, &front);
		lt_site_section(out, "front", lt_site_words.front);
		lt_text_add(out, "<div class=\"front\">\n");
		good = good && add_drawing(out, site, name, &svg, &front, title);
		lt_text_add(out, "</div>\n</section>\n");
	}
	lt_text_finish(&svg);
	lt_arena_finish(&arena);
	return good;
}
