/* Reads layouts: the sizes of label media. */
#include "loomtag/layout.h"

#include <stdlib.h>
#include <string.h>

#include "loomtag/file.h"
#include "loomtag/length.h"
#include "loomtag/text.h"
#include "loomtag/yaml.h"

/* Sizes are written to a hundredth of a millimetre at best; sums of them are no more exact. */
#define SLACK 0.01
#define SIDE_MAX 1000.0
#define DPI_MIN 100u
#define DPI_MAX 2400u
/* A rounded corner of radius r cuts the square corner of the printable area unless the inset is at
 * least r x (1 - 1/sqrt 2). */
#define CORNER_CUT 0.2929

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const char *const mediums[] = { "sheet", "roll", "tape" };
static const char *const styles[] = { "plate", "flag", "wrap" };

static const char *const sheet_keys[] = { "layout", "title", "kind", "page", "label", "grid",
	"first", "pitch", "inset", "corner", "style" };
static const char *const roll_keys[] = { "layout", "title", "kind", "label", "gap", "dpi", "inset",
	"corner", "style" };

/* What is being read. */
struct reader {
	struct lt_layout *layout;
	const struct lt_node *root;
	struct lt_diags *diags;
};

/* The value of a key, or NULL with an error when it is missing (`example` then shows how to write
 * it) or is not a text. With `example` NULL it may be missing. */
static const struct lt_node *find(const struct reader *r, const char *key, const char *example)
{
	const struct lt_node *node = lt_node_get(r->root, key);
	if (node == NULL) {
		if (example != NULL) {
			lt_error(r->diags, r->root->place, "the layout does not give its %s", key);
			lt_hint(r->diags, "add a line such as \"%s: %s\"", key, example);
		}
		return NULL;
	}
	if (node->kind != LT_SCALAR || node->text[0] == '\0') {
		lt_error(r->diags, node->place, "%s is not a single value", key);
		lt_hint(r->diags, "write it on the same line: \"%s: %s\"", key,
			example != NULL ? example : "value");
		return NULL;
	}
	return node;
}

static void tell(const struct reader *r, const struct lt_node *node, const char *key,
	const char *what)
{
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "%s %s: %s", key, what, lt_quote(shown, node->text));
}

/* Two lengths, each from `least` to SIDE_MAX. */
static void read_pair(const struct reader *r, double *a, double *b, const char *key,
	const char *example, double least)
{
	const struct lt_node *node = find(r, key, example);
	if (node == NULL)
		return;
	if (!lt_length_pair_read(a, b, node->text)) {
		tell(r, node, key, "is not two lengths");
		lt_hint(r->diags, "write it as \"%s\"", example);
	} else if (*a < least || *b < least || *a > SIDE_MAX || *b > SIDE_MAX) {
		tell(r, node, key, "is out of range");
		lt_hint(r->diags, "each length is %g to %g mm", least, SIDE_MAX);
	}
}

/* One length, 0 to SIDE_MAX. With `example` NULL it may be missing. */
static void read_length(const struct reader *r, double *mm, const char *key, const char *example)
{
	const struct lt_node *node = find(r, key, example);
	if (node == NULL)
		return;
	if (!lt_length_read(mm, node->text)) {
		tell(r, node, key, "is not a length");
		lt_hint(r->diags, "write it as \"2 mm\"");
	} else if (*mm < 0 || *mm > SIDE_MAX) {
		tell(r, node, key, "is out of range");
		lt_hint(r->diags, "it is 0 to %g mm", SIDE_MAX);
	}
}

static void hint_words(struct lt_diags *diags, const char *const *words, size_t known)
{
	lt_hint(diags, "this version knows %s%s%s", words[0], known > 1 ? " and " : "",
		known > 1 ? words[1] : "");
}

/* One of a list of words, of which this version knows the first `known` (1 or 2). Returns its
 * index, or -1 with an error. A missing word is the first, unless it is `required`. */
static int read_word(const struct reader *r, const char *key, const char *const *words,
	size_t count, size_t known, bool required)
{
	if (!required && lt_node_get(r->root, key) == NULL)
		return 0;
	const struct lt_node *node = find(r, key, words[0]);
	if (node == NULL)
		return -1;
	for (size_t i = 0; i < count; i++) {
		if (strcmp(node->text, words[i]) != 0)
			continue;
		if (i < known)
			return (int)i;
		lt_error(r->diags, node->place, "%s \"%s\" is not supported yet", key, words[i]);
		hint_words(r->diags, words, known);
		return -1;
	}
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "there is no %s %s", key, lt_quote(shown, node->text));
	int near = lt_nearest(node->text, words, known);
	if (near >= 0)
		lt_hint(r->diags, "did you mean %s?", words[near]);
	else
		hint_words(r->diags, words, known);
	return -1;
}

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
static void read_name(const struct reader *r, const char *file)
{
	struct lt_layout *layout = r->layout;
	const struct lt_node *node = find(r, "layout", "a4-3x8");
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

static void read_title(const struct reader *r)
{
	struct lt_layout *layout = r->layout;
	const struct lt_node *node = find(r, "title", NULL);
	layout->title = node != NULL ? lt_arena_strdup(&layout->arena, node->text) : layout->name;
}

/* Tells when labels along one axis overlap or run off the page. */
static void check_axis(const struct reader *r, unsigned count, double first, double pitch,
	double label, double page, const char *what, const char *across)
{
	if (count > 1 && pitch < label - SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "pitch")->place,
			"labels overlap: they are %g mm %s, and the pitch is %g mm", label, across,
			pitch);
		lt_hint(r->diags,
			"the pitch is from one label's edge to the same edge of the next");
		return;
	}
	double end = first + (count - 1) * pitch + label;
	if (end > page + SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "grid")->place,
			"the grid runs off the page: %u %s end at %g mm, and the page is %g mm %s",
			count, what, end, page, across);
		lt_hint(r->diags, "check grid, first, pitch, label and page");
	}
}

static void read_sheet(const struct reader *r)
{
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	read_pair(r, &layout->page_width, &layout->page_height, "page", "210 x 297 mm", 1);
	read_pair(r, &layout->first_x, &layout->first_y, "first", "0 x 0.5 mm", 0);
	read_pair(r, &layout->pitch_x, &layout->pitch_y, "pitch", "70 x 37 mm", 0);
	const struct lt_node *grid = find(r, "grid", "3 x 8");
	if (grid != NULL && !lt_count_pair_read(&layout->columns, &layout->rows, grid->text)) {
		tell(r, grid, "grid", "is not columns x rows");
		lt_hint(r->diags, "write it as \"3 x 8\"");
	}
	if (r->diags->errors > before || layout->label_width <= 0)
		return;
	check_axis(r, layout->columns, layout->first_x, layout->pitch_x, layout->label_width,
		layout->page_width, "columns", "wide");
	check_axis(r, layout->rows, layout->first_y, layout->pitch_y, layout->label_height,
		layout->page_height, "rows", "high");
}

static void read_roll(const struct reader *r)
{
	struct lt_layout *layout = r->layout;
	unsigned dpi = 0;
	layout->columns = layout->rows = 1;
	read_length(r, &layout->gap, "gap", "3 mm");
	const struct lt_node *node = find(r, "dpi", "203");
	if (node == NULL)
		return;
	if (!lt_whole_read(&dpi, node->text, DPI_MAX) || dpi < DPI_MIN) {
		tell(r, node, "dpi", "is not a print head's dots per inch");
		lt_hint(r->diags, "it is a whole number from %u to %u", DPI_MIN, DPI_MAX);
	}
	layout->dpi = dpi;
}

/* What every label has. */
static void read_label(const struct reader *r)
{
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	read_pair(r, &layout->label_width, &layout->label_height, "label", "70 x 37 mm", 1);
	read_length(r, &layout->inset, "inset", "2 mm");
	read_length(r, &layout->corner, "corner", NULL);
	if (r->diags->errors > before)
		return;
	double shorter = layout->label_width < layout->label_height ? layout->label_width
								    : layout->label_height;
	if (shorter - 2 * layout->inset < 1) {
		lt_error(r->diags, lt_node_get(r->root, "inset")->place,
			"an inset of %g mm leaves nothing to print on", layout->inset);
		lt_hint(r->diags, "the label is %g x %g mm", layout->label_width,
			layout->label_height);
	} else if (layout->corner * CORNER_CUT > layout->inset + SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "corner")->place,
			"corners of %g mm cut into what is printed", layout->corner);
		lt_hint(r->diags, "with these corners the inset has to be at least %.2f mm",
			layout->corner * CORNER_CUT);
	}
}

static void read_root(const struct reader *r, const char *file)
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
	int medium = read_word(r, "kind", mediums, COUNT(mediums), LT_MEDIUM_TAPE, true);
	int style = read_word(r, "style", styles, COUNT(styles), LT_STYLE_FLAG, false);
	/* Each kind and style has keys of its own: without it, none can be judged. */
	if (medium < 0 || style < 0)
		return;
	layout->medium = (enum lt_medium)medium;
	layout->style = (enum lt_style)style;
	read_label(r);
	if (layout->medium == LT_MEDIUM_SHEET) {
		lt_node_only(r->root, sheet_keys, COUNT(sheet_keys), "a sheet layout", r->diags);
		read_sheet(r);
	} else {
		lt_node_only(r->root, roll_keys, COUNT(roll_keys), "a roll layout", r->diags);
		read_roll(r);
	}
}

bool lt_layout_read(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	struct lt_diags *diags)
{
	*out = (struct lt_layout){ 0 };
	size_t before = diags->errors;
	if (length > LT_LAYOUT_FILE_MAX) {
		lt_error(diags, lt_place_file(file),
			"too long for a layout, which has at most %u bytes",
			(unsigned)LT_LAYOUT_FILE_MAX);
		return false;
	}
	struct lt_arena scratch = { 0 };
	struct lt_node root = { 0 };
	if (lt_yaml_read(&root, &scratch, file, bytes, length, diags))
		read_root(&(struct reader){ out, &root, diags }, file);
	lt_arena_finish(&scratch);
	return diags->errors == before;
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
