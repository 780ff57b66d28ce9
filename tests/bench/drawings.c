/* Lists what is drawn for a description on a layout, a call a line, for raster_canvas and
 * bare_raster:
 *
 *   page WIDTH HEIGHT                      in mm, and so on
 *   rectangle X Y WIDTH HEIGHT INK         ink 0 is black, 1 white
 *   text X BASELINE FACE SIZE INK TEXT     the face by its number, the text to the end of the line
 *   code X Y MODULE MODULES CELLS          a 0 or 1 for every module
 *
 * Usage: drawings DESCRIPTION LAYOUT-FILE */
#include <stdio.h>

#include "job.h"

static void list_page(void *data, double width, double height)
{
	fprintf(data, "page %.17g %.17g\n", width, height);
}

static void list_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	fprintf(data, "rectangle %.17g %.17g %.17g %.17g %d\n", x, y, width, height, fill.red > 0);
}

static void list_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	fprintf(data, "text %.17g %.17g %d %.17g %d %s\n", x, baseline, (int)face, size,
		ink.red > 0, text);
}

static void list_code(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	fprintf(data, "code %.17g %.17g %.17g %u ", x, y, module, qr->modules);
	for (size_t i = 0; i < (size_t)qr->modules * qr->modules; i++)
		fputc(qr->cells[i] ? '1' : '0', data);
	fputc('\n', data);
}

static bool list_end(void *data, struct lt_diags *diags)
{
	if (!ferror((FILE *)data))
		return true;
	lt_error(diags, lt_place_none(), "the list cannot be written");
	return false;
}

int main(int argc, char **argv)
{
	if (argc != 3) {
		fprintf(stderr, "usage: drawings DESCRIPTION LAYOUT-FILE\n");
		return 2;
	}
	struct job job;
	/* Stickers have no lines and no frames. */
	struct lt_canvas canvas = { .begin_page = list_page,
		.text = list_text,
		.rectangle = list_rectangle,
		.qr = list_code,
		.end_page = list_end,
		.finish = list_end,
		.data = stdout };
	bool good = job_open(&job, argv[1], argv[2]);
	const struct lt_sticker_source source = { &job.tags, job.lookalikes, &job.measure };
	good = good && lt_sheet_draw(&job.sheet, &canvas, &source, &job.options, NULL, &job.diags);
	job_close(&job);
	return good ? 0 : 1;
}
