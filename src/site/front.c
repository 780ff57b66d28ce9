/* The front view of a connector in a page: drawn once, and the same for each of its tags. */
#include <math.h>
#include <string.h>

#include "loomtag/draw.h"
#include "site/site.h"

/* What a phone shows across, mm: 90 of 96 dots an inch are 340. */
#define WIDTH 90.0

/* Pixels a mm on the screen: somewhat larger than on paper. */
#define PIXELS 4.8

/* No piece of it is higher: pages scroll. */
#define PIECE 400.0

/* A drawing of more bytes is a file beside the page, so that the page is there at once. */
#define INLINE_MOST 40000

static bool keep_drawing(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)page;
	(void)diags;
	lt_text_add_bytes(data, (const char *)bytes, length);
	return true;
}

static bool draw(struct lt_text *svg, const struct lt_site *site, const struct lt_map_front *front,
	const char *title)
{
	const struct lt_page_sink sink = { keep_drawing, svg };
	struct lt_canvas canvas;
	lt_svg_create(&canvas, &sink, site->fonts, title);
	canvas.begin_page(canvas.data, front->width, front->height);
	lt_map_front_draw(&canvas, front);
	bool good = canvas.end_page(canvas.data, site->diags) &&
		    canvas.finish(canvas.data, site->diags);
	lt_canvas_destroy(&canvas);
	return good;
}

/* As an element of the page, without what a file of its own begins with, and with a size in
 * pixels. */
static void add_inline(struct lt_text *out, const struct lt_text *svg,
	const struct lt_map_front *front)
{
	const char *rest = strstr(lt_text_string(svg), " viewBox");
	if (rest == NULL)
		return;
	lt_text_printf(out, "<svg role=\"img\" width=\"%ld\" height=\"%ld\"",
		lround(front->width * PIXELS), lround(front->height * PIXELS));
	lt_text_add(out, rest);
}

static bool add_file(struct lt_text *out, const struct lt_site *site, size_t connector,
	const struct lt_text *svg, const struct lt_map_front *front, const char *title)
{
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/front-%u.svg", site->tags->harness->code,
		site->tags->number_of[connector]);
	bool good = lt_site_write_picture(site, lt_text_string(&path), svg->bytes, svg->length);
	lt_text_printf(out, "<img src=\"../%s\" width=\"%ld\" height=\"%ld\" alt=\"",
		lt_text_string(&path), lround(front->width * PIXELS),
		lround(front->height * PIXELS));
	lt_site_text(out, title);
	lt_text_add(out, "\">\n");
	lt_text_finish(&path);
	return good;
}

bool lt_site_front(struct lt_text *out, const struct lt_site *site, size_t connector)
{
	struct lt_arena arena = { 0 };
	struct lt_text svg = { 0 };
	struct lt_text title = { 0 };
	struct lt_map_front front;
	lt_map_front_place(&front, &arena, site->input, connector, WIDTH, PIECE);
	bool good = true;
	if (front.drawing != NULL) {
		lt_text_printf(&title, "Front view of the harness half of %s",
			site->tags->harness->connectors[connector].id);
		good = draw(&svg, site, &front, lt_text_string(&title));
		lt_text_add(out,
			"<section aria-labelledby=\"front\">\n<h2 id=\"front\">Front view, "
			"harness half</h2>\n<div class=\"front\">\n");
		if (svg.length <= INLINE_MOST)
			add_inline(out, &svg, &front);
		else
			good = good &&
			       add_file(out, site, connector, &svg, &front, lt_text_string(&title));
		lt_text_add(out, "</div>\n</section>\n");
	}
	lt_text_finish(&title);
	lt_text_finish(&svg);
	lt_arena_finish(&arena);
	return good;
}
