/* Pictures of the static pages: the overview as drawings, photographs as they may be published. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/map.h"
#include "site/site.h"

/* What a phone shows with room to enlarge: about 1200 by 900. */
#define PHOTO_PIXELS (1200ul * 900ul)

/* The smallest letters of the overview, mm: 12 pixels where the page is 1188 wide. */
#define OVERVIEW_TEXT 3.0

static bool write_photo(struct lt_site_photo *photo, const struct lt_site *site, size_t connector,
	const struct lt_image *image)
{
	/* Packed anew: of what the file said beside its pixels, where it was taken above all,
	 * nothing is left. */
	struct lt_packed packed;
	if (!lt_pack(&packed, image, lt_pack_png)) {
		lt_error(site->diags, site->tags->harness->connectors[connector].place,
			"the photograph cannot be packed for the pages");
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
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/%s", site->tags->harness->code, photo->name);
	bool good = lt_site_write_picture(site, lt_text_string(&path), packed.bytes, packed.length);
	lt_text_finish(&path);
	free(packed.bytes);
	return good;
}

bool lt_site_photos(struct lt_site *site, struct lt_arena *arena)
{
	const struct lt_harness *harness = site->tags->harness;
	site->photos = lt_arena_array(arena, harness->connector_count + 1, sizeof *site->photos);
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
	struct lt_site *site = data;
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/overview-%u.svg", site->tags->harness->code, page);
	bool good = lt_site_write_picture(site, lt_text_string(&path), bytes, length);
	lt_text_finish(&path);
	return good;
}

static bool draw_overview(struct lt_site *site, const struct lt_overview *overview)
{
	const struct lt_page_sink sink = { write_overview, site };
	struct lt_canvas canvas;
	bool good = true;
	lt_svg_create(&canvas, &sink, site->fonts, "Overview of the harness");
	for (size_t i = 0; i < overview->page_count && good; i++) {
		canvas.begin_page(canvas.data, overview->width, overview->height);
		lt_overview_draw(&canvas, overview, i);
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
		    draw_overview(site, &overview);
	site->overview_pages = overview.page_count;
	lt_overview_finish(&overview);
	return good;
}
