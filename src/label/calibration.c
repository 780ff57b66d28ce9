/* Calibrations of printers: the set, and writing it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "label/calibration.h"
#include "loomtag/base.h"

#define WAIT 5000 /* ms for another loomtag to let go of the file */

#define HEADING \
	"# What was measured of printers. loomtag writes this file anew: remarks are lost.\n"

void lt_calibrations_finish(struct lt_calibrations *set)
{
	if (set == NULL)
		return;
	free(set->items);
	lt_arena_finish(&set->arena);
	*set = (struct lt_calibrations){ 0 };
}

static bool is_shown(const char *text)
{
	while (*text != '\0') {
		uint32_t code = lt_utf8_next(&text);
		if (lt_text_shown(code) != code)
			return false;
	}
	return true;
}

bool lt_printer_name_check(const char *name, struct lt_place place, struct lt_diags *diags)
{
	char shown[LT_QUOTE_SIZE];
	if (*name == '\0') {
		lt_error(diags, place, "the printer's name is empty");
		lt_hint(diags, "give it the name that it goes by in the shop");
		return false;
	}
	if (lt_utf8_check(name, strlen(name)) != strlen(name) || !is_shown(name)) {
		lt_error(diags, place, "the printer's name %s has a character that cannot be shown",
			lt_quote(shown, name));
		lt_hint(diags, "use letters, digits, signs and spaces");
		return false;
	}
	if (strlen(name) > LT_PRINTER_NAME_MAX) {
		lt_error(diags, place, "the printer's name %s is longer than %u bytes",
			lt_quote(shown, name), LT_PRINTER_NAME_MAX);
		lt_hint(diags, "shorten it");
		return false;
	}
	return true;
}

bool lt_nudge_check(double x, double y, struct lt_place place, struct lt_diags *diags)
{
	if (fabs(x) <= LT_NUDGE_MAX && fabs(y) <= LT_NUDGE_MAX)
		return true;
	lt_error(diags, place, "a nudge of %.10g x %.10g mm is out of range", x, y);
	lt_hint(diags, "each is -%g to %g mm; more is another layout, or a sheet laid in wrong",
		LT_NUDGE_MAX, LT_NUDGE_MAX);
	return false;
}

static bool scale_in_range(double scale)
{
	return scale >= LT_SCALE_LEAST && scale <= LT_SCALE_MOST;
}

bool lt_scale_check(double x, double y, struct lt_place place, struct lt_diags *diags)
{
	if (scale_in_range(x) && scale_in_range(y))
		return true;
	lt_error(diags, place, "a scale of %.10g x %.10g is out of range", x, y);
	lt_hint(diags,
		"each is %g to %g, and 1 is true to size; look whether the printer is set to "
		"fit pages",
		LT_SCALE_LEAST, LT_SCALE_MOST);
	return false;
}

bool lt_smallest_check(unsigned dots, struct lt_place place, struct lt_diags *diags)
{
	if (dots >= LT_SMALLEST_LEAST && dots <= LT_SMALLEST_MOST)
		return true;
	lt_error(diags, place, "a smallest code of %u dots a module is out of range", dots);
	lt_hint(diags, "it is the fewest dots on the ladder that the scanner reads, %u to %u",
		LT_SMALLEST_LEAST, LT_SMALLEST_MOST);
	return false;
}

static struct lt_calibration *find(const struct lt_calibrations *set, const char *name)
{
	for (size_t i = 0; i < set->count; i++)
		if (strcmp(set->items[i].name, name) == 0)
			return &set->items[i];
	return NULL;
}

const struct lt_calibration *lt_calibration_find(const struct lt_calibrations *set,
	const char *name)
{
	return find(set, name);
}

struct lt_calibration *lt_calibration_add(struct lt_calibrations *set, const char *name)
{
	set->items = lt_grow(set->items, &set->room, set->count + 1, sizeof *set->items);
	struct lt_calibration *added = &set->items[set->count++];
	*added = (struct lt_calibration)LT_CALIBRATION_INIT;
	added->name = lt_arena_strdup(&set->arena, name);
	return added;
}

/* To the digits that are written, so that what is set is what is read back; never -0. */
static double rounded(double value, double parts)
{
	double whole = round(value * parts);
	return whole == 0 ? 0 : whole / parts;
}

void lt_calibration_fill(struct lt_calibration *out, const struct lt_calibration *from)
{
	out->nudge_x = rounded(from->nudge_x, 1e3);
	out->nudge_y = rounded(from->nudge_y, 1e3);
	out->scale_x = rounded(from->scale_x, 1e5);
	out->scale_y = rounded(from->scale_y, 1e5);
	out->smallest = from->smallest;
}

bool lt_calibration_set(struct lt_calibrations *set, const struct lt_calibration *calibration,
	struct lt_diags *diags)
{
	struct lt_place place = lt_place_none();
	bool good = lt_printer_name_check(calibration->name, place, diags);
	good = lt_nudge_check(calibration->nudge_x, calibration->nudge_y, place, diags) && good;
	good = lt_scale_check(calibration->scale_x, calibration->scale_y, place, diags) && good;
	if (calibration->smallest != 0)
		good = lt_smallest_check(calibration->smallest, place, diags) && good;
	if (!good)
		return false;
	struct lt_calibration *entry = find(set, calibration->name);
	if (entry == NULL)
		entry = lt_calibration_add(set, calibration->name);
	lt_calibration_fill(entry, calibration);
	return true;
}

static void add_quoted(struct lt_text *out, const char *text)
{
	lt_text_add_char(out, '"');
	while (*text != '\0') {
		const char *start = text;
		uint32_t code = lt_utf8_next(&text);
		/* YAML takes none of these as they are, or not for text (YAML 1.1, 5.1 and 5.4). */
		if (lt_text_shown(code) != code) {
			lt_text_printf(out, code > 0xFFFF ? "\\U%08X" : "\\u%04X", (unsigned)code);
			continue;
		}
		if (code == '"' || code == '\\')
			lt_text_add_char(out, '\\');
		lt_text_add_bytes(out, start, (size_t)(text - start));
	}
	lt_text_add_char(out, '"');
}

/* A decimal number without exponent, and without noughts at its end. */
static void add_number(struct lt_text *out, double value, int digits)
{
	lt_text_printf(out, "%.*f", digits, value);
	while (out->bytes[out->length - 1] == '0')
		out->length--;
	if (out->bytes[out->length - 1] == '.')
		out->length--;
	out->bytes[out->length] = '\0';
}

static void write_one(struct lt_text *out, const struct lt_calibration *calibration)
{
	lt_text_add(out, "  - name: ");
	add_quoted(out, calibration->name);
	lt_text_add(out, "\n    nudge: ");
	add_number(out, calibration->nudge_x, 3);
	lt_text_add(out, " x ");
	add_number(out, calibration->nudge_y, 3);
	lt_text_add(out, " mm\n    scale: ");
	add_number(out, calibration->scale_x, 5);
	lt_text_add(out, " x ");
	add_number(out, calibration->scale_y, 5);
	lt_text_add_char(out, '\n');
	if (calibration->smallest != 0)
		lt_text_printf(out, "    smallest: %u\n", calibration->smallest);
	for (size_t i = 0; i < calibration->other_count; i++) {
		lt_text_printf(out, "    %s: ", calibration->others[i].key);
		add_quoted(out, calibration->others[i].value);
		lt_text_add_char(out, '\n');
	}
}

void lt_calibrations_write(struct lt_text *out, const struct lt_calibrations *set)
{
	lt_text_add(out, HEADING);
	lt_text_add(out, set->count > 0 ? "printers:\n" : "printers: []\n");
	for (size_t i = 0; i < set->count; i++)
		write_one(out, &set->items[i]);
}

static bool write_file(const char *path, const struct lt_calibrations *set, struct lt_diags *diags)
{
	struct lt_text bytes = { 0 };
	lt_calibrations_write(&bytes, set);
	bool good = bytes.length <= LT_CALIBRATION_FILE_MAX;
	if (good) {
		good = lt_file_write(path, bytes.bytes, bytes.length, NULL, diags);
	} else {
		lt_error(diags, lt_place_file(path),
			"would be larger than %u KiB, the most that is read",
			LT_CALIBRATION_FILE_MAX / 1024);
		lt_hint(diags, "take out the printers that are gone");
	}
	lt_text_finish(&bytes);
	return good;
}

bool lt_calibration_store(const char *path, const struct lt_calibration *calibration,
	struct lt_diags *diags)
{
	struct lt_lock lock;
	if (!lt_lock_take(&lock, path, WAIT, diags))
		return false;
	struct lt_calibrations set;
	bool good = lt_calibrations_read_file(&set, path, diags) &&
		    lt_calibration_set(&set, calibration, diags) && write_file(path, &set, diags);
	lt_calibrations_finish(&set);
	lt_lock_drop(&lock);
	return good;
}
