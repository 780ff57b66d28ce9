/* One PDF of many stickers: those of a description, over and over. Prints how many there are.
 * Usage: many DESCRIPTION LAYOUT-FILE TIMES OUT.pdf */
#include <stdio.h>
#include <stdlib.h>

#include "job.h"

static bool draw_times(struct job *job, struct lt_canvas *canvas, unsigned long times)
{
	for (unsigned long i = 0; i < times; i++) {
		const struct lt_sticker_source source = { &job->tags, job->lookalikes,
			&job->measure };
		if (!lt_sheet_draw(&job->sheet, canvas, &source, &job->options, NULL, &job->diags))
			return false;
	}
	return canvas->finish(canvas->data, &job->diags);
}

int main(int argc, char **argv)
{
	FILE *out = argc == 5 ? fopen(argv[4], "wb") : NULL;
	if (out == NULL) {
		fprintf(stderr, "usage: many DESCRIPTION LAYOUT-FILE TIMES OUT.pdf\n");
		return 2;
	}
	unsigned long times = strtoul(argv[3], NULL, 10);
	struct job job;
	struct lt_canvas canvas = { 0 };
	struct lt_pdf_options options = { .title = "many" };
	bool good = job_open(&job, argv[1], argv[2]) &&
		    lt_pdf_create(&canvas, out, job.fonts, &options, &job.diags) &&
		    draw_times(&job, &canvas, times);
	if (good)
		printf("%zu stickers\n", job.sheet.count * times);
	lt_canvas_destroy(&canvas);
	job_close(&job);
	good = fclose(out) == 0 && good;
	return good ? 0 : 1;
}
