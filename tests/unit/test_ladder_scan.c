/* The ladder's codes read by a scanner that is not ours: zbarimg (zbar-tools). */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "folder.h"
#include "loomtag/sheet.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Fewer may be read off a picture, and need not be. */
#define SURELY 3u

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL || enter_folder(state);
}

static int tear_down(void **state)
{
	lt_fonts_destroy(fonts);
	return leave_folder(state);
}

/* How often each number of dots was read. */
struct scans {
	unsigned read[LT_LADDER_MOST + 1];
};

/* Lines that zbarimg writes of a picture: what its codes say. */
static void scan_picture(struct scans *scans, const char *path)
{
	char command[128];
	char line[64];
	snprintf(command, sizeof(command),
		"zbarimg --raw -q --nodbus -Sdisable -Sqrcode.enable %s 2>zbar.log", path);
	FILE *pipe = popen(command, "r");
	assert_non_null(pipe);
	while (fgets(line, sizeof(line), pipe) != NULL) {
		unsigned dots;
		char end;
		if (sscanf(line, "DOTS%u%c", &dots, &end) != 2 || end != '\n' ||
			dots > LT_LADDER_MOST || dots < LT_LADDER_LEAST)
			fail_msg("zbarimg reads: %s", line);
		scans->read[dots]++;
	}
	int status = pclose(pipe);
	/* 4: there is no code on this page, which holds the words or the texts. */
	if (!WIFEXITED(status) || (WEXITSTATUS(status) != 0 && WEXITSTATUS(status) != 4))
		fail_msg("zbarimg (package zbar-tools) cannot be run");
}

static bool scan_page(void *data, unsigned number, const unsigned char *png, size_t length,
	struct lt_diags *diags)
{
	(void)number;
	(void)diags;
	FILE *file = fopen("page.png", "wb");
	assert_non_null(file);
	assert_int_equal(fwrite(png, 1, length, file), length);
	assert_int_equal(fclose(file), 0);
	scan_picture(data, "page.png");
	return true;
}

static void every_code_of_three_dots_and_more_is_read(void **state)
{
	(void)state;
	static const struct {
		enum lt_medium medium;
		double width, height, dpi;
		unsigned largest;
	} cases[] = {
		{ LT_MEDIUM_ROLL, 76, 51, 203, 8 },
		{ LT_MEDIUM_ROLL, 54, 25, 203, 6 },
		{ LT_MEDIUM_ROLL, 54, 25, 300, 8 },
		{ LT_MEDIUM_TAPE, 0, 24, 300, 8 },
		{ LT_MEDIUM_TAPE, 0, 18, 203, 4 },
		{ LT_MEDIUM_SHEET, 70, 37, 300, 8 },
	};
	const struct lt_measure measure = lt_fonts_measure(fonts);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_layout layout = { .name = "mine",
			.medium = cases[i].medium,
			.page_width = 210,
			.page_height = 297,
			.label_width = cases[i].width,
			.label_height = cases[i].height,
			.columns = 1,
			.rows = 1,
			.inset = 1.5,
			.shortest = LT_TAPE_SHORTEST,
			.longest = LT_TAPE_LONGEST };
		struct lt_diags diags = { 0 };
		struct lt_ladder ladder;
		struct scans scans = { { 0 } };
		struct lt_page_sink sink = { scan_page, &scans };
		struct lt_canvas canvas;
		assert_true(lt_ladder_plan(&ladder, &layout, cases[i].dpi, INFINITY, &measure,
			&diags));
		assert_int_equal(ladder.largest_dots, cases[i].largest);
		assert_true(lt_raster_create(&canvas, cases[i].dpi, fonts, &sink, &diags));
		assert_true(lt_ladder_draw(&canvas, &ladder, &measure, &diags));
		assert_true(canvas.finish(canvas.data, &diags));
		assert_int_equal(diags.errors, 0);
		lt_canvas_destroy(&canvas);
		for (unsigned dots = SURELY; dots <= LT_LADDER_MOST; dots++) {
			bool there = dots <= cases[i].largest;
			if ((scans.read[dots] > 0) != there)
				fail_msg("%g x %g mm at %g dpi: %u dots read %u times",
					cases[i].width, cases[i].height, cases[i].dpi, dots,
					scans.read[dots]);
		}
		lt_ladder_finish(&ladder);
		lt_diags_finish(&diags);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_code_of_three_dots_and_more_is_read),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
