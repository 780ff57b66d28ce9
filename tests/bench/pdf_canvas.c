/* The canvas alone: the codes that bare_pdf draws, and six texts beside each, through the canvas.
 * Usage: pdf_canvas PAYLOADS OUT.pdf, with PAYLOADS as bare_pdf reads it. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/draw.h"

#define COLUMNS 3u
#define ROWS 8u

static void draw_texts(struct lt_canvas *canvas, double x, double y, unsigned number)
{
	char text[64];
	snprintf(text, sizeof(text), "%u%c", number / 2 + 1, number % 2 == 0 ? 'H' : 'M');
	canvas->text(canvas->data, x, y + 12, LT_TYPEFACE_BOLD, 10, LT_BLACK, text);
	canvas->text(canvas->data, x, y + 17, LT_TYPEFACE_REGULAR, 2.6, LT_BLACK,
		"also fits 3, 17, 45");
	snprintf(text, sizeof(text), "vent motor %u", number);
	canvas->text(canvas->data, x, y + 21, LT_TYPEFACE_BOLD, 2.6, LT_BLACK, text);
	canvas->text(canvas->data, x, y + 25, LT_TYPEFACE_CONDENSED, 2.6, LT_BLACK,
		"1 BN 2 BU 3 GNYE");
	snprintf(text, sizeof(text), "\u2192 M%u left gearbox", number % 97);
	canvas->text(canvas->data, x, y + 29, LT_TYPEFACE_CONDENSED, 2.6, LT_BLACK, text);
	canvas->text(canvas->data, x, y + 33, LT_TYPEFACE_REGULAR, 2.6, LT_BLACK, "RV3");
}

static bool draw_code(struct lt_canvas *canvas, double x, double y, unsigned version, char level,
	char mode, const char *text, struct lt_diags *diags)
{
	struct lt_qr_plan plan = { .version = version,
		.level = (enum lt_qr_level)(strchr("LMQH", level) - (const char *)"LMQH"),
		.mode = (enum lt_qr_mode)(strchr("NAB", mode) - (const char *)"NAB"),
		.modules = 17 + 4 * version };
	struct lt_arena arena;
	lt_arena_init(&arena);
	struct lt_qr qr;
	bool good = lt_qr_encode(&qr, &arena, text, &plan, diags);
	if (good) {
		double module = 31.0 / (plan.modules + 8);
		canvas->qr(canvas->data, x + 4 * module, y + 4 * module, module, &qr);
	}
	lt_arena_finish(&arena);
	return good;
}

static bool draw_all(struct lt_canvas *canvas, FILE *payloads, struct lt_diags *diags)
{
	char line[4096];
	unsigned count = 0;
	for (; fgets(line, sizeof(line), payloads) != NULL; count++) {
		unsigned version;
		int text;
		char level, mode;
		line[strcspn(line, "\n")] = '\0';
		if (sscanf(line, "%u %c %c %n", &version, &level, &mode, &text) != 3 ||
			strchr("LMQH", level) == NULL || strchr("NAB", mode) == NULL)
			return false;
		unsigned place = count % (COLUMNS * ROWS);
		if (place == 0) {
			if (count > 0 && !canvas->end_page(canvas->data, diags))
				return false;
			canvas->begin_page(canvas->data, 210, 297);
		}
		unsigned row = place / COLUMNS;
		double x = 70.0 * (place % COLUMNS);
		double y = 0.5 + 37.0 * row;
		draw_texts(canvas, x + 3, y, count);
		if (!draw_code(canvas, x + 36, y + 3, version, level, mode, line + text, diags))
			return false;
	}
	return count > 0 && canvas->end_page(canvas->data, diags);
}

int main(int argc, char **argv)
{
	FILE *payloads = argc == 3 ? fopen(argv[1], "r") : NULL;
	FILE *out = payloads != NULL ? fopen(argv[2], "wb") : NULL;
	if (out == NULL) {
		fprintf(stderr, "usage: pdf_canvas PAYLOADS OUT.pdf\n");
		return 2;
	}
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_fonts *fonts = lt_fonts_create(&diags);
	struct lt_pdf_options options = { .title = "bench" };
	struct lt_canvas canvas = { 0 };
	bool good = fonts != NULL && lt_pdf_create(&canvas, out, fonts, &options, &diags) &&
		    draw_all(&canvas, payloads, &diags) && canvas.finish(canvas.data, &diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_canvas_destroy(&canvas);
	lt_fonts_destroy(fonts);
	lt_diags_finish(&diags);
	fclose(payloads);
	good = fclose(out) == 0 && good;
	return good ? 0 : 1;
}
