/* Stickers as 1-bit pictures: the raster canvas draws what drawings has listed, and every page is
 * encoded as a PNG and thrown away. Prints pages and bytes. Usage: raster_canvas DRAWINGS DPI */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/draw.h"

static bool count_bytes(void *data, unsigned page, const unsigned char *png, size_t length,
	struct lt_diags *diags)
{
	(void)page;
	(void)png;
	(void)diags;
	*(size_t *)data += length;
	return true;
}

static void draw_code(struct lt_canvas *canvas, char *line)
{
	double x, y, module;
	struct lt_qr qr;
	int cells;
	if (sscanf(line, "code %lf %lf %lf %u %n", &x, &y, &module, &qr.modules, &cells) != 4)
		return;
	qr.cells = (unsigned char *)line + cells;
	for (size_t i = 0; i < (size_t)qr.modules * qr.modules; i++)
		qr.cells[i] = qr.cells[i] == '1';
	canvas->qr(canvas->data, x, y, module, &qr);
}

static void draw(struct lt_canvas *canvas, char *line)
{
	double x, y, width, height, size;
	int ink, face, text;
	if (sscanf(line, "rectangle %lf %lf %lf %lf %d", &x, &y, &width, &height, &ink) == 5)
		canvas->rectangle(canvas->data, x, y, width, height, LT_GREY(ink));
	else if (sscanf(line, "text %lf %lf %d %lf %d %n", &x, &y, &face, &size, &ink, &text) == 5)
		canvas->text(canvas->data, x, y, (enum lt_typeface)face, size, LT_GREY(ink),
			line + text);
	else
		draw_code(canvas, line);
}

static unsigned draw_all(struct lt_canvas *canvas, FILE *drawings, struct lt_diags *diags)
{
	static char line[65536];
	unsigned pages = 0;
	while (fgets(line, sizeof(line), drawings) != NULL) {
		double width, height;
		line[strcspn(line, "\n")] = '\0';
		if (sscanf(line, "page %lf %lf", &width, &height) != 2) {
			draw(canvas, line);
			continue;
		}
		if (pages++ > 0 && !canvas->end_page(canvas->data, diags))
			return 0;
		canvas->begin_page(canvas->data, width, height);
	}
	return pages > 0 && canvas->end_page(canvas->data, diags) ? pages : 0;
}

int main(int argc, char **argv)
{
	FILE *drawings = argc == 3 ? fopen(argv[1], "r") : NULL;
	if (drawings == NULL) {
		fprintf(stderr, "usage: raster_canvas DRAWINGS DPI\n");
		return 2;
	}
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_fonts *fonts = lt_fonts_create(&diags);
	size_t bytes = 0;
	const struct lt_page_sink sink = { count_bytes, &bytes };
	struct lt_canvas canvas = { 0 };
	unsigned pages = 0;
	if (fonts != NULL && lt_raster_create(&canvas, strtod(argv[2], NULL), fonts, &sink, &diags))
		pages = draw_all(&canvas, drawings, &diags);
	printf("%u pages, %zu bytes\n", pages, bytes);
	lt_diags_print(&diags, 0, stderr, false);
	lt_canvas_destroy(&canvas);
	lt_fonts_destroy(fonts);
	lt_diags_finish(&diags);
	fclose(drawings);
	return pages > 0 ? 0 : 1;
}
