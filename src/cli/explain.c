#include <math.h>
#include <stdio.h>

#include "cli/explain.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/trade.h"

void lt_explain_begin(struct explain *out, bool json, double distance)
{
	*out = (struct explain){ .json = json, .distance = distance };
	if (json)
		out->stickers = json_array();
}

/* From how far a symbol is read, in mm. */
static double code_distance(const struct lt_sticker *sticker)
{
	return LT_READING_WIDTHS * sticker->plan.modules * sticker->module;
}

/* From how far the number is read at the least: the height over the share of the distance that
 * NUREG-0700 wants. */
static double number_distance(const struct lt_sticker *sticker)
{
	return sticker->number_height / lt_height_least(1);
}

/* Figures as the table rounds them, so that no digits stand there that nobody meant. */
static json_t *rounded(double value, double step)
{
	return json_real(round(value / step) * step);
}

static void keep(struct explain *explain, const struct lt_sticker *sticker,
	const struct lt_layout *layout, const char *tag, const char *level)
{
	json_t *object = json_pack("{s:s, s:s, s:s, s:i, s:s, s:i, s:i}", "tag", tag, "layout",
		layout->name, "payload", lt_payload_name(sticker->payload), "version",
		(int)sticker->plan.version, "level", level, "modules", (int)sticker->plan.modules,
		"dots", (int)sticker->dots);
	json_object_set_new(object, "module", rounded(sticker->module, 1e-4));
	json_object_set_new(object, "code_read_from", rounded(code_distance(sticker), 1));
	json_object_set_new(object, "number_height", rounded(sticker->number_height, 1e-2));
	json_object_set_new(object, "number_read_from", rounded(number_distance(sticker), 1));
	json_object_set_new(object, "width", rounded(sticker->shape.width, 1e-2));
	json_object_set_new(object, "height", rounded(sticker->shape.height, 1e-2));
	bool known = sticker->bundle.diameter > 0;
	json_object_set_new(object, "bundle",
		known ? rounded(sticker->bundle.diameter, 1e-2) : json_null());
	json_object_set_new(object, "bundle_source",
		json_string(lt_bundle_source_name(sticker->bundle.source)));
	json_object_set_new(object, "bend", rounded(sticker->bend, 1));
	json_array_append_new(explain->stickers, object);
}

void lt_explain_sticker(struct explain *explain, const struct lt_sticker *sticker,
	const struct lt_layout *layout)
{
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, sticker->number, sticker->side);
	const char level[2] = { lt_qr_level_letter(sticker->plan.level), '\0' };
	if (explain->json) {
		keep(explain, sticker, layout, tag, level);
		return;
	}
	if (explain->count++ == 0)
		printf("%-7s %-14s %-7s %-5s %7s %4s %9s %9s %9s %9s  %s\n", "sticker", "layout",
			"payload", "code", "modules", "dots", "module", "read from", "number",
			"read from", "bundle");
	char version[8];
	snprintf(version, sizeof(version), "%u-%s", sticker->plan.version, level);
	lt_print_clean("%-7s %-14s %-7s %-5s %7u %4u %6.3f mm %6.0f mm %6.2f mm %6.0f mm  ", tag,
		layout->name, lt_payload_name(sticker->payload), version, sticker->plan.modules,
		sticker->dots, sticker->module, code_distance(sticker), sticker->number_height,
		number_distance(sticker));
	if (sticker->bundle.diameter > 0)
		printf("%.2f mm, ", sticker->bundle.diameter);
	printf("%s", lt_bundle_source_name(sticker->bundle.source));
	if (sticker->bend > 0)
		printf("; code goes round %.0f degrees", sticker->bend);
	putchar('\n');
}

int lt_explain_end(struct explain *explain)
{
	if (explain->json)
		return lt_print_json(json_pack("{s:f, s:o}", "distance", explain->distance,
			"stickers", explain->stickers));
	printf("code: QR version and level; dots a module, of a sheet at 600 an inch; a code is read\n"
	       "from about ten times its width, a number from its height over 0.004 (NUREG-0700);\n"
	       "at %g mm it wants %.1f mm, better %.1f mm.\n",
		explain->distance, lt_height_least(explain->distance),
		lt_height_preferred(explain->distance));
	return EXIT_YES;
}
