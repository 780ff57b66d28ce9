/* Reads calibrations of printers. */
#include <stdlib.h>
#include <string.h>

#include "label/calibration.h"
#include "loomtag/base.h"

#define KEY_MAX 40u /* bytes of a key that is kept */

static const char *const top_keys[] = { "printers" };
static const char *const printer_keys[] = { "name", "nudge", "scale", "smallest" };
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

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
	lt_error(reader->diags, (*found)->place, "%s is not a single value", key);
	lt_hint(reader->diags, "write it on the same line");
	*found = NULL;
	return false;
}

static void tell(const struct reader *reader, const struct lt_node *value, const char *what,
	const char *example)
{
	char shown[LT_QUOTE_SIZE];
	lt_error(reader->diags, value->place, "%s %s", lt_quote(shown, value->text), what);
	lt_hint(reader->diags, "write it as \"%s\"", example);
}

static void read_nudge(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *printer)
{
	const struct lt_node *value;
	double x;
	double y;
	if (!find_text(&value, reader, printer, "nudge") || value == NULL)
		return;
	if (!lt_length_pair_read(&x, &y, value->text)) {
		tell(reader, value, "is not two lengths", "nudge: 0.5 x -1 mm");
	} else if (lt_nudge_check(x, y, value->place, reader->diags)) {
		out->nudge_x = x;
		out->nudge_y = y;
	}
}

static void read_scale(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *printer)
{
	const struct lt_node *value;
	double x;
	double y;
	if (!find_text(&value, reader, printer, "scale") || value == NULL)
		return;
	if (!lt_decimal_pair_read(&x, &y, value->text)) {
		tell(reader, value, "is not two plain numbers", "scale: 1 x 0.998");
	} else if (lt_scale_check(x, y, value->place, reader->diags)) {
		out->scale_x = x;
		out->scale_y = y;
	}
}

static void read_smallest(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *printer)
{
	const struct lt_node *value;
	unsigned dots;
	if (!find_text(&value, reader, printer, "smallest") || value == NULL)
		return;
	if (!lt_whole_read(&dots, value->text, 1000000))
		tell(reader, value, "is not a whole number of dots", "smallest: 3");
	else if (lt_smallest_check(dots, value->place, reader->diags))
		out->smallest = dots;
}

/* The printer's name; NULL, and told, where it has none, or one that another has. */
static const char *read_name(struct reader *reader, const struct lt_node *printer)
{
	const struct lt_node *value;
	char shown[LT_QUOTE_SIZE];
	if (!find_text(&value, reader, printer, "name"))
		return NULL;
	if (value == NULL) {
		lt_error(reader->diags, printer->place, "this printer has no name");
		lt_hint(reader->diags, "add a line such as \"name: bench 2\"");
		return NULL;
	}
	if (!lt_printer_name_check(value->text, value->place, reader->diags))
		return NULL;
	if (lt_hash_put(&reader->names, value->text, reader->set->count) != LT_HASH_NONE) {
		lt_error(reader->diags, value->place, "a printer called %s is there already",
			lt_quote(shown, value->text));
		lt_hint(reader->diags, "keep the one that is right");
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

/* Keeps what a later version may have written. It may also be a slip of the pen. */
static void keep_other(struct lt_calibration *out, const struct reader *reader,
	const struct lt_node *key, const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	if (!is_plain_key(key->text) || value->kind != LT_SCALAR) {
		lt_error(reader->diags, key->place, "a printer has no key %s",
			lt_quote(shown, key->text));
		lt_hint(reader->diags,
			"a printer has name, nudge, scale and smallest; take out the rest");
		return;
	}
	lt_warning(reader->diags, key->place, "the key %s is not known, and is kept as it is",
		key->text);
	int nearest = lt_nearest(key->text, printer_keys, COUNT(printer_keys));
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean %s?", printer_keys[nearest]);
	struct lt_arena *arena = &reader->set->arena;
	out->others[out->other_count++] = (struct lt_kept_key){
		.key = lt_arena_strdup(arena, key->text),
		.value = lt_arena_strdup(arena, value->text),
	};
}

static void read_printer(struct reader *reader, const struct lt_node *printer)
{
	if (printer->kind != LT_MAP) {
		lt_error(reader->diags, printer->place, "a printer is described by keys");
		lt_hint(reader->diags, "write it as - name: bench 2");
		return;
	}
	const char *name = read_name(reader, printer);
	struct lt_calibration *out = lt_calibration_add(reader->set, name != NULL ? name : "?");
	read_nudge(out, reader, printer);
	read_scale(out, reader, printer);
	read_smallest(out, reader, printer);
	lt_calibration_fill(out, out);
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
		lt_hint(reader->diags, "begin with printers:, then a line \"- name: bench 2\"; or "
				       "put the file away, and measure again");
		return;
	}
	for (size_t i = 0; i < printers->count; i++)
		read_printer(reader, &printers->items[i]);
}

/* What to do about a file that is damaged as a whole, where nothing better was said. */
static void hint_damaged(struct lt_diags *diags)
{
	if (diags->count > 0 && diags->items[diags->count - 1].hint == NULL)
		lt_hint(diags, "mend the file, or put it away and measure again");
}

static void read_bytes(struct reader *reader, const char *file, const char *bytes, size_t length)
{
	struct lt_arena scratch = { 0 };
	struct lt_node root;
	if (length > LT_CALIBRATION_FILE_MAX) {
		lt_error(reader->diags, lt_place_file(file),
			"is larger than %u KiB, the most that is read",
			LT_CALIBRATION_FILE_MAX / 1024);
		hint_damaged(reader->diags);
	} else if (!lt_yaml_read(&root, &scratch, file, bytes, length, reader->diags)) {
		hint_damaged(reader->diags);
	} else {
		read_root(reader, &root);
	}
	lt_hash_finish(&reader->names);
	lt_arena_finish(&scratch);
}

bool lt_calibrations_read(struct lt_calibrations *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags)
{
	size_t before = diags->errors;
	*out = (struct lt_calibrations){ 0 };
	struct reader reader = { .set = out, .diags = diags };
	read_bytes(&reader, file, bytes, length);
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
