/* Calibrations of printers: the set, and its file read and written. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "label/calibration.h"

#define WAIT 5000   /* ms for another loomtag to let go of the file */
#define KEY_MAX 40u /* bytes of a key that is kept */

#define HEADING \
	"# What was measured of printers. loomtag rewrites this file: your comments are lost.\n"

static const char *const top_keys[] = { "printers" };
static const char *const printer_keys[] = { "name", "nudge", "scale", "smallest" };
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* What is measured, as it stands in the file. */
enum value { NUDGE, SCALE, SMALLEST, VALUES };
static const struct {
	const char *key, *example;
} values[VALUES] = {
	[NUDGE] = { "nudge", "nudge: 0.5 x -1 mm" },
	[SCALE] = { "scale", "scale: 1 x 0.998" },
	[SMALLEST] = { "smallest", "smallest: 3" },
};

void lt_calibrations_finish(struct lt_calibrations *set)
{
	if (set == NULL)
		return;
	free(set->items);
	lt_arena_finish(&set->arena);
	*set = (struct lt_calibrations){ 0 };
}

/* True for what is UTF-8, and of which nothing would be shown otherwise. */
static bool is_shown(const char *text)
{
	struct lt_text shown = { 0 };
	lt_text_add_visible(&shown, text, strlen(text));
	bool same = strcmp(lt_text_string(&shown), text) == 0;
	lt_text_finish(&shown);
	return same;
}

/* Each check is true for a valid value, and has reported any other. */
static bool check_name(const char *name, struct lt_place place, struct lt_diags *diags)
{
	char shown[LT_QUOTE_SIZE];
	if (*name == '\0') {
		lt_error(diags, place, "the printer's name is empty");
		lt_hint(diags, "give it the name that the shop uses for it");
		return false;
	}
	if (!is_shown(name)) {
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

static bool scale_in_range(double scale)
{
	return scale >= LT_SCALE_LEAST && scale <= LT_SCALE_MOST;
}

static bool check_value(const struct lt_calibration *c, enum value value, struct lt_place place,
	struct lt_diags *diags)
{
	const bool good[VALUES] = {
		[NUDGE] = fabs(c->nudge_x) <= LT_NUDGE_MAX && fabs(c->nudge_y) <= LT_NUDGE_MAX,
		[SCALE] = scale_in_range(c->scale_x) && scale_in_range(c->scale_y),
		[SMALLEST] = c->smallest >= LT_SMALLEST_LEAST && c->smallest <= LT_SMALLEST_MOST,
	};
	if (good[value])
		return true;
	if (value == NUDGE) {
		lt_error(diags, place, "nudge: %.10g x %.10g mm is out of range", c->nudge_x,
			c->nudge_y);
		lt_hint(diags,
			"each must be from -%g to %g mm. If more is needed, check the layout and how the sheet "
			"lies in the printer",
			LT_NUDGE_MAX, LT_NUDGE_MAX);
	} else if (value == SCALE) {
		lt_error(diags, place, "scale: %.10g x %.10g is out of range", c->scale_x,
			c->scale_y);
		lt_hint(diags,
			"each must be from %g to %g, and 1 is actual size. Check that the printer does not fit "
			"pages to the paper",
			LT_SCALE_LEAST, LT_SCALE_MOST);
	} else {
		lt_error(diags, place, "smallest: %u dots a module is out of range", c->smallest);
		lt_hint(diags,
			"give the fewest dots on the ladder that the scanner reads, from %u to %u",
			LT_SMALLEST_LEAST, LT_SMALLEST_MOST);
	}
	return false;
}

const struct lt_calibration *lt_calibration_find(const struct lt_calibrations *set,
	const char *name)
{
	for (size_t i = 0; i < set->count; i++)
		if (strcmp(set->items[i].name, name) == 0)
			return &set->items[i];
	return NULL;
}

/* Adds a printer that the set does not have, true to size and place. */
static struct lt_calibration *add(struct lt_calibrations *set, const char *name)
{
	set->items = lt_grow(set->items, &set->room, set->count + 1, sizeof *set->items);
	struct lt_calibration *added = &set->items[set->count++];
	*added = (struct lt_calibration)LT_CALIBRATION_INIT;
	added->name = lt_arena_strdup(&set->arena, name);
	return added;
}

/* To the digits that are written, so that what is set is what is read back, and needs no exponent;
 * never -0. */
static double rounded(double value, double parts)
{
	double whole = round(value * parts);
	return whole == 0 ? 0 : whole / parts;
}

static void fill(struct lt_calibration *out, const struct lt_calibration *from)
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
	bool good = check_name(calibration->name, place, diags);
	for (enum value value = 0; value < VALUES; value++) {
		if (value != SMALLEST || calibration->smallest != 0)
			good = check_value(calibration, value, place, diags) && good;
	}
	if (!good)
		return false;
	const struct lt_calibration *found = lt_calibration_find(set, calibration->name);
	fill(found != NULL ? &set->items[found - set->items] : add(set, calibration->name),
		calibration);
	return true;
}

struct reader {
	struct lt_calibrations *set;
	struct lt_diags *diags;
	struct lt_hash names; /* to index */
};

/* The text of a key that a printer may have, or NULL; false when it is there and no text. */
static bool find_text(const struct lt_node **found, const struct reader *reader,
	const struct lt_node *printer, const char *key)
{
	*found = lt_node_get(printer, key);
	if (*found == NULL || (*found)->kind == LT_SCALAR)
		return true;
	lt_error(reader->diags, (*found)->place, "%s needs a single value", key);
	lt_hint(reader->diags, "write it on the same line");
	*found = NULL;
	return false;
}

static void read_value(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *printer, enum value value)
{
	const struct lt_node *node;
	struct lt_calibration read = *out;
	if (!find_text(&node, reader, printer, values[value].key) || node == NULL)
		return;
	bool good = value == NUDGE ? lt_length_pair_read(&read.nudge_x, &read.nudge_y, node->text)
		    : value == SCALE
			    ? lt_decimal_pair_read(&read.scale_x, &read.scale_y, node->text)
			    : lt_whole_read(&read.smallest, node->text, 1000000);
	if (!good) {
		char shown[LT_QUOTE_SIZE];
		lt_quote(shown, node->text);
		if (value == NUDGE)
			lt_error(reader->diags, node->place, "nudge: %s is not two lengths", shown);
		else if (value == SCALE)
			lt_error(reader->diags, node->place, "scale: %s is not two numbers", shown);
		else
			lt_error(reader->diags, node->place,
				"smallest: %s is not a whole number of dots", shown);
		lt_hint(reader->diags, "write for example \"%s\"", values[value].example);
	} else if (check_value(&read, value, node->place, reader->diags)) {
		*out = read;
	}
}

/* The printer's name; NULL, and reported, where it has none or that of another. */
static const char *read_name(struct reader *reader, const struct lt_node *printer)
{
	const struct lt_node *value;
	char shown[LT_QUOTE_SIZE];
	if (!find_text(&value, reader, printer, "name"))
		return NULL;
	if (value == NULL) {
		lt_error(reader->diags, printer->place, "this printer has no name");
		lt_hint(reader->diags, "add a line, for example \"name: bench 2\"");
		return NULL;
	}
	if (!check_name(value->text, value->place, reader->diags))
		return NULL;
	if (lt_hash_put(&reader->names, value->text, reader->set->count) != LT_HASH_NONE) {
		lt_error(reader->diags, value->place, "there are two printers called %s",
			lt_quote(shown, value->text));
		lt_hint(reader->diags, "remove the wrong one");
		return NULL;
	}
	return value->text;
}

static bool is_known(const char *key)
{
	for (size_t i = 0; i < COUNT(printer_keys); i++)
		if (strcmp(printer_keys[i], key) == 0)
			return true;
	return false;
}

/* A word that needs no quotes as a key, wherever it stands. */
static bool is_plain_key(const char *key)
{
	size_t length = strspn(key, "abcdefghijklmnopqrstuvwxyz_");
	return length > 0 && length <= KEY_MAX && key[length] == '\0';
}

/* Keeps what a later version may have written; it may also be a typing error, so it warns. */
static void keep_other(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *key, const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	if (!is_plain_key(key->text) || value->kind != LT_SCALAR) {
		lt_error(reader->diags, key->place, "unknown key %s in a printer",
			lt_quote(shown, key->text));
		lt_hint(reader->diags,
			"remove the line: the keys are name, nudge, scale and smallest");
		return;
	}
	lt_warning(reader->diags, key->place, "unknown key \"%s\" in a printer, kept unchanged",
		key->text);
	int nearest = lt_nearest(key->text, printer_keys, COUNT(printer_keys));
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean \"%s\"?", printer_keys[nearest]);
	struct lt_arena *arena = &reader->set->arena;
	out->others[out->other_count++] = (struct lt_kept_key){
		.key = lt_arena_strdup(arena, key->text),
		.value = lt_arena_strdup(arena, value->text),
	};
}

static void read_printer(struct reader *reader, const struct lt_node *printer)
{
	if (printer->kind != LT_MAP) {
		lt_error(reader->diags, printer->place, "a printer needs keys and values");
		lt_hint(reader->diags, "write for example \"- name: bench 2\"");
		return;
	}
	const char *name = read_name(reader, printer);
	struct lt_calibration *out = add(reader->set, name != NULL ? name : "?");
	for (enum value value = 0; value < VALUES; value++)
		read_value(out, reader, printer, value);
	fill(out, out);
	out->others = lt_arena_array(&reader->set->arena, printer->count, sizeof *out->others);
	for (size_t i = 0; i < printer->count; i++)
		if (!is_known(printer->keys[i].text))
			keep_other(out, reader, &printer->keys[i], &printer->items[i]);
}

static void read_root(struct reader *reader, const struct lt_node *root)
{
	const struct lt_node *printers = lt_node_get(root, "printers");
	lt_node_only(root, top_keys, COUNT(top_keys), "a file of calibrations", reader->diags);
	if (printers == NULL || printers->kind != LT_LIST) {
		lt_error(reader->diags, printers != NULL ? printers->place : root->place,
			"there is no list of printers");
		lt_hint(reader->diags,
			"begin the file with \"printers:\" and a line \"- name: bench 2\", "
			"or remove the file and measure again");
		return;
	}
	for (size_t i = 0; i < printers->count; i++)
		read_printer(reader, &printers->items[i]);
}

bool lt_calibrations_read(struct lt_calibrations *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags)
{
	size_t before = diags->errors;
	*out = (struct lt_calibrations){ 0 };
	struct reader reader = { .set = out, .diags = diags };
	struct lt_arena scratch = { 0 };
	struct lt_node root;
	bool whole = false;
	if (length > LT_CALIBRATION_FILE_MAX)
		lt_error(diags, lt_place_file(file), "is larger than %u KiB, the most that is read",
			LT_CALIBRATION_FILE_MAX / 1024);
	else
		whole = lt_yaml_read(&root, &scratch, file, bytes, length, diags);
	if (whole)
		read_root(&reader, &root);
	else if (diags->count > 0 && diags->items[diags->count - 1].hint == NULL)
		lt_hint(diags, "repair the file, or remove it and measure again");
	lt_hash_finish(&reader.names);
	lt_arena_finish(&scratch);
	return diags->errors == before;
}

bool lt_calibrations_read_file(struct lt_calibrations *out, const char *path,
	struct lt_diags *diags)
{
	char *bytes;
	size_t length;
	*out = (struct lt_calibrations){ 0 };
	if (!lt_file_read_if_there(&bytes, &length, path, LT_CALIBRATION_FILE_MAX, diags))
		return false;
	bool good = bytes == NULL || lt_calibrations_read(out, path, bytes, length, diags);
	free(bytes);
	return good;
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

static void write_one(struct lt_text *out, const struct lt_calibration *calibration)
{
	lt_text_add(out, "  - name: ");
	add_quoted(out, calibration->name);
	lt_text_printf(out, "\n    nudge: %.10g x %.10g mm\n    scale: %.10g x %.10g\n",
		calibration->nudge_x, calibration->nudge_y, calibration->scale_x,
		calibration->scale_y);
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
		lt_error(diags, lt_place_file(path), "cannot be written: larger than %u KiB",
			LT_CALIBRATION_FILE_MAX / 1024);
		lt_hint(diags, "remove printers that are not used any more");
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
