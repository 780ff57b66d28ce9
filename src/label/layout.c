/* Reads layouts: the sizes of label media. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "label/layout_read.h"
#include "loomtag/label.h"

/* A rounded corner of radius r cuts the square corner of the printable area unless the inset is at
 * least r x (1 - 1/sqrt 2). */
#define CORNER_CUT 0.2929

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* True for a name of letters, digits, '-', '_' and '.', which every file system takes. */
static bool name_is_plain(const char *name)
{
	for (const char *c = name; *c != '\0'; c++) {
		bool letter = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z');
		if (!letter && !(*c >= '0' && *c <= '9') && strchr("-_.", *c) == NULL)
			return false;
	}
	return name[0] != '\0' && name[0] != '.';
}

/* The layout's name, which must be that of its file, so that what is asked for is what is read. */
static void read_name(const struct lt_layout_reader *r, const char *file)
{
	struct lt_layout *layout = r->layout;
	const struct lt_node *node = lt_layout_find_key(r, "layout", "a4-3x8", true);
	if (node == NULL)
		return;
	char shown[LT_QUOTE_SIZE];
	layout->name = lt_arena_strdup(&layout->arena, node->text);
	if (!name_is_plain(node->text)) {
		lt_error(r->diags, node->place, "a layout cannot be called %s",
			lt_quote(shown, node->text));
		lt_hint(r->diags, "use letters, digits and -");
		return;
	}
	if (file == NULL)
		return;
	const char *base = lt_path_base(file);
	size_t length = strlen(base);
	if (strcmp(lt_path_extension(base), "yaml") == 0)
		length -= strlen(".yaml");
	if (strlen(node->text) != length || strncmp(node->text, base, length) != 0) {
		lt_error(r->diags, node->place, "the layout is called %s, but its file %s",
			lt_quote(shown, node->text), base);
		lt_hint(r->diags, "give both the same name");
	}
}

static void read_title(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	const struct lt_node *node = lt_layout_find_key(r, "title", "what it is", false);
	layout->title = node != NULL ? lt_arena_strdup(&layout->arena, node->text) : layout->name;
}

/* Edge and corners of a label whose size is known. Zones that are printed on have edges of their
 * own. */
static void check_edge(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, layout->shortest, 0);
	const struct lt_zone *face = &shape.faces[0];
	if (fmin(face->width, face->height) - 2 * layout->inset < 1) {
		lt_error(r->diags, lt_node_get(r->root, "inset")->place,
			"an inset of %g mm leaves nothing to print on", layout->inset);
		lt_hint(r->diags, "%s is %g x %g mm",
			layout->style == LT_STYLE_PLATE  ? "the label"
			: layout->style == LT_STYLE_FLAG ? "a face"
							 : "the printed zone",
			face->width, face->height);
	} else if (layout->corner * CORNER_CUT > layout->inset + LT_LAYOUT_SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "corner")->place,
			"corners of %g mm cut into what is printed", layout->corner);
		lt_hint(r->diags, "with these corners the inset has to be at least %.2f mm",
			layout->corner * CORNER_CUT);
	}
}

/* All but name, title, kind and style, which are known. */
static void read_sizes(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_layout_read_tape(r);
	bool sized = lt_layout_read_style(r) && r->diags->errors == before;
	before = r->diags->errors;
	lt_layout_read_length(r, &layout->inset, "inset", "2 mm", 0, true);
	if (layout->medium != LT_MEDIUM_TAPE)
		lt_layout_read_length(r, &layout->corner, "corner", "2 mm", 0, false);
	if (sized && r->diags->errors == before)
		check_edge(r);
	if (layout->medium == LT_MEDIUM_SHEET)
		lt_layout_read_sheet(r, sized);
	else if (layout->medium == LT_MEDIUM_ROLL)
		lt_layout_read_roll(r);
}

static void read_root(const struct lt_layout_reader *r, const char *file)
{
	struct lt_layout *layout = r->layout;
	if (r->root->kind != LT_MAP) {
		lt_error(r->diags, r->root->place, "this is not a layout");
		lt_hint(r->diags,
			"a layout is made of lines \"key: value\", the first \"layout: NAME\"");
		return;
	}
	read_name(r, file);
	read_title(r);
	int medium = lt_layout_read_word(r, "kind", lt_layout_kinds, COUNT(lt_layout_kinds), true);
	int style =
		lt_layout_read_word(r, "style", lt_layout_styles, COUNT(lt_layout_styles), false);
	lt_layout_check_keys(r, medium, style);
	/* Each kind and style has sizes of its own: without it, none can be judged. */
	if (medium < 0 || style < 0)
		return;
	layout->medium = (enum lt_medium)medium;
	layout->style = (enum lt_style)style;
	read_sizes(r);
}

/* Reads a layout; and when it is right and `thorough` doubts it. */
static bool read_bytes(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	bool thorough, const struct lt_measure *measure, struct lt_diags *diags)
{
	*out = (struct lt_layout){ 0 };
	if (file != NULL)
		out->file = lt_arena_strdup(&out->arena, file);
	size_t before = diags->errors;
	if (length > LT_LAYOUT_FILE_MAX) {
		lt_error(diags, lt_place_file(file),
			"too long for a layout, which has at most %u bytes",
			(unsigned)LT_LAYOUT_FILE_MAX);
		return false;
	}
	struct lt_arena scratch = { 0 };
	struct lt_node root = { 0 };
	const struct lt_layout_reader reader = { out, &scratch, &root, diags };
	if (lt_yaml_read(&root, &scratch, file, bytes, length, diags))
		read_root(&reader, file);
	if (thorough && diags->errors == before)
		lt_layout_doubt(&reader, measure);
	lt_arena_finish(&scratch);
	return diags->errors == before;
}

bool lt_layout_read(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	struct lt_diags *diags)
{
	return read_bytes(out, file, bytes, length, false, NULL, diags);
}

bool lt_layout_check(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	return read_bytes(out, file, bytes, length, true, measure, diags);
}

bool lt_layout_read_file(struct lt_layout *out, const char *path, struct lt_diags *diags)
{
	char *bytes = NULL;
	size_t length = 0;
	*out = (struct lt_layout){ 0 };
	if (!lt_file_read(&bytes, &length, path, LT_LAYOUT_FILE_MAX, diags))
		return false;
	bool ok = lt_layout_read(out, path, bytes, length, diags);
	free(bytes);
	return ok;
}

void lt_layout_finish(struct lt_layout *layout)
{
	if (layout == NULL)
		return;
	lt_arena_finish(&layout->arena);
	*layout = (struct lt_layout){ 0 };
}

unsigned lt_layout_labels(const struct lt_layout *layout)
{
	return layout->columns * layout->rows;
}

void lt_layout_position(double *x, double *y, const struct lt_layout *layout, unsigned index)
{
	unsigned column = index % layout->columns;
	unsigned row = index / layout->columns;
	*x = layout->first_x + column * layout->pitch_x;
	*y = layout->first_y + row * layout->pitch_y;
}
