/* Reads layouts: the sizes of label media. */
#include <string.h>

#include "label/layout.h"

#define SIDE_LEAST 1.0 /* mm, of what is printed on or held */
#define SIDE_MOST 1000.0
#define DPI_LEAST 100u
#define DPI_MOST 2400u

/* The words of a key, by the enum that they stand for. */
static const char *const kind_words[] = { "sheet", "roll", "tape", NULL };
static const char *const style_words[] = { "plate", "flag", "wrap", NULL };
static const char *const direction_words[] = { "down", "up", "right", "left", NULL };
static const char *const cut_words[] = { "none", "lines", NULL };

enum {
	SHEET = 1 << LT_MEDIUM_SHEET,
	ROLL = 1 << LT_MEDIUM_ROLL,
	TAPE = 1 << LT_MEDIUM_TAPE,
	CUT = SHEET | ROLL, /* labels that come in one size */
	PLATE = 1 << LT_STYLE_PLATE,
	FLAG = 1 << LT_STYLE_FLAG,
	WRAP = 1 << LT_STYLE_WRAP,
	ANY = 7,
};

/* Keys are read a group at a time; the values of a group are compared with each other when all of
 * them are valid. */
enum group { HEAD, WIDTH, FACES, LABEL, EDGE, GRID, FEED, GROUPS };

/* What is written behind a key, and what is at its place in struct lt_layout. */
enum type {
	NAME,   /* a text; the layout's name, which is to be that of its file */
	TEXT,   /* a text */
	WORD,   /* one of the key's words; an enum */
	SIZE,   /* "12 mm", of what is held or printed on; a double */
	SIZES,  /* "70 x 37 mm"; two doubles */
	LENGTH, /* "0.5 mm", may be 0 */
	PAIR,   /* two of them */
	COUNTS, /* "3 x 8"; two unsigned */
	DPI     /* a double */
};

#define AT(field) .at = offsetof(struct lt_layout, field)
#define AND(field) .second = offsetof(struct lt_layout, field)

/* In the order in which they are read, group by group. A key that means something else on another
 * kind or style of layout has a row for each, one behind the other. */
static const struct key {
	const char *name, *example;
	enum group group;
	unsigned kinds, styles; /* of layouts that have it */
	enum type type;
	size_t at, second; /* of a pair's second value; else 0 */
	const char *const *words;
	const char *choices; /* the words, for messages */
	bool optional;
	double otherwise; /* the length where it is not given */
} keys[] = {
	{ "layout", "a4-3x8", HEAD, ANY, ANY, NAME, AT(name) },
	{ "title", "what it is", HEAD, ANY, ANY, TEXT, AT(title), .optional = true },
	{ "kind", "sheet", HEAD, ANY, ANY, WORD, AT(medium), .words = kind_words,
		.choices = "sheet, roll or tape" },
	{ "style", "plate", HEAD, ANY, ANY, WORD, AT(style), .words = style_words,
		.choices = "plate, flag or wrap", .optional = true },
	{ "page", "210 x 297 mm", GRID, SHEET, ANY, SIZES, AT(page_width), AND(page_height) },
	{ "label", "70 x 37 mm", LABEL, CUT, PLATE, SIZES, AT(label_width), AND(label_height) },
	{ "label", "70 x 13 mm", LABEL, CUT, FLAG, SIZES, AT(label_width), AND(label_height) },
	{ "label", "25 x 38 mm", LABEL, CUT, WRAP, SIZES, AT(label_width), AND(label_height),
		.optional = true },
	{ "grid", "3 x 8", GRID, SHEET, ANY, COUNTS, AT(columns), AND(rows) },
	{ "first", "0 x 0.5 mm", GRID, SHEET, ANY, PAIR, AT(first_x), AND(first_y) },
	{ "pitch", "70 x 37 mm", GRID, SHEET, ANY, PAIR, AT(pitch_x), AND(pitch_y) },
	{ "cut", "lines", GRID, SHEET, ANY, WORD, AT(cut), .words = cut_words,
		.choices = "none or lines", .optional = true },
	{ "gap", "3 mm", FEED, ROLL, ANY, LENGTH, AT(gap) },
	{ "width", "12 mm", WIDTH, TAPE, ANY, SIZE, AT(label_height) },
	{ "shortest", "8 mm", FACES, TAPE, ANY, SIZE, AT(shortest), .optional = true,
		.otherwise = LT_TAPE_SHORTEST },
	{ "longest", "100 mm", FACES, TAPE, ANY, SIZE, AT(longest), .optional = true,
		.otherwise = LT_TAPE_LONGEST },
	{ "dpi", "203", WIDTH, TAPE, ANY, DPI, AT(dpi) },
	{ "dpi", "203", FEED, ROLL, ANY, DPI, AT(dpi) },
	{ "inset", "2 mm", EDGE, ANY, ANY, LENGTH, AT(inset) },
	{ "corner", "2 mm", EDGE, CUT, ANY, LENGTH, AT(corner), .optional = true },
	{ "face", "25 x 13 mm", LABEL, CUT, FLAG, SIZES, AT(face_width), AND(face_height) },
	{ "loop", "20 mm", LABEL, ANY, FLAG, SIZE, AT(loop) },
	{ "printed", "25 x 13 mm", LABEL, CUT, WRAP, SIZES, AT(printed_width),
		AND(printed_height) },
	{ "printed", "8 mm", LABEL, TAPE, WRAP, SIZE, AT(printed_height) },
	{ "clear", "25 x 25 mm", LABEL, CUT, WRAP, SIZES, AT(clear_width), AND(clear_height) },
	{ "clear", "16 mm", LABEL, TAPE, WRAP, SIZE, AT(clear_height) },
	{ "direction", "down", LABEL, ANY, WRAP, WORD, AT(direction), .words = direction_words,
		.choices = "down, up, right or left", .optional = true },
	{ "thickness", "0.1 mm", LABEL, ANY, WRAP, LENGTH, AT(thickness), .optional = true,
		.otherwise = LT_FILM_THICKNESS },
};
enum { KEYS = sizeof(keys) / sizeof(keys[0]) };

/* Words are stored in enums, which are written as unsigned. */
_Static_assert(sizeof(enum lt_medium) == sizeof(unsigned) &&
		       sizeof(enum lt_style) == sizeof(unsigned) &&
		       sizeof(enum lt_direction) == sizeof(unsigned) &&
		       sizeof(enum lt_cut) == sizeof(unsigned),
	"enums of layouts are unsigned");

/* True for a name of letters, digits, '-', '_' and '.', which every file system takes. */
static bool name_is_plain(const char *name)
{
	static const char plain[] =
		"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";
	return name[0] != '\0' && name[0] != '.' && name[strspn(name, plain)] == '\0';
}

/* The layout's name must be that of its file, so that a layout is found by its name. */
static bool check_name(const struct lt_layout_reader *r, const struct lt_node *node)
{
	char shown[LT_QUOTE_SIZE];
	if (!name_is_plain(node->text)) {
		lt_error(r->diags, node->place, "layout: %s is not a name for a layout",
			lt_quote(shown, node->text));
		lt_hint(r->diags, "use letters, digits and -");
		return false;
	}
	if (r->file == NULL)
		return true;
	const char *base = lt_path_base(r->file);
	size_t length = strlen(base);
	if (strcmp(lt_path_extension(base), "yaml") == 0)
		length -= strlen(".yaml");
	if (strlen(node->text) == length && strncmp(node->text, base, length) == 0)
		return true;
	lt_error(r->diags, node->place, "the layout is called %s, but its file is called %s",
		lt_quote(shown, node->text), base);
	lt_hint(r->diags, "give both the same name");
	return false;
}

static void hint_example(const struct lt_layout_reader *r, const struct key *key)
{
	lt_hint(r->diags, "write for example \"%s: %s\"", key->name, key->example);
}

static bool read_word(unsigned *out, const struct lt_layout_reader *r, const struct key *key,
	const struct lt_node *node)
{
	unsigned count = 0;
	while (key->words[count] != NULL && strcmp(node->text, key->words[count]) != 0)
		count++;
	if (key->words[count] != NULL) {
		*out = count;
		return true;
	}
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "%s must be %s, not %s", key->name, key->choices,
		lt_quote(shown, node->text));
	int near = lt_nearest(node->text, key->words, count);
	if (near >= 0)
		lt_hint(r->diags, "did you mean \"%s\"?", key->words[near]);
	else
		hint_example(r, key);
	return false;
}

/* One length, or two where there is a second. */
static bool read_length(double *out, double *second, const struct lt_layout_reader *r,
	const struct key *key, const struct lt_node *node)
{
	char shown[LT_QUOTE_SIZE];
	double a, b = 0;
	bool pair = second != NULL;
	if (pair ? !lt_length_pair_read(&a, &b, node->text) : !lt_length_read(&a, node->text)) {
		if (pair)
			lt_error(r->diags, node->place, "%s: %s is not two lengths", key->name,
				lt_quote(shown, node->text));
		else
			lt_error(r->diags, node->place, "%s: %s is not a length", key->name,
				lt_quote(shown, node->text));
		hint_example(r, key);
		return false;
	}
	double least = key->type == SIZE || key->type == SIZES ? SIDE_LEAST : 0;
	if (a < least || a > SIDE_MOST || (pair && (b < least || b > SIDE_MOST))) {
		lt_error(r->diags, node->place, "%s: %s is out of range", key->name,
			lt_quote(shown, node->text));
		if (pair)
			lt_hint(r->diags, "each length must be from %g to %g mm", least, SIDE_MOST);
		else
			lt_hint(r->diags, "the length must be from %g to %g mm", least, SIDE_MOST);
		return false;
	}
	*out = a;
	if (pair)
		*second = b;
	return true;
}

static bool read_dpi(double *out, const struct lt_layout_reader *r, const struct key *key,
	const struct lt_node *node)
{
	unsigned dpi = 0;
	if (lt_whole_read(&dpi, node->text, DPI_MOST) && dpi >= DPI_LEAST) {
		*out = dpi;
		return true;
	}
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "%s: %s is not a number of dots per inch", key->name,
		lt_quote(shown, node->text));
	lt_hint(r->diags, "write a whole number from %u to %u", DPI_LEAST, DPI_MOST);
	return false;
}

static bool read_counts(unsigned *columns, unsigned *rows, const struct lt_layout_reader *r,
	const struct key *key, const struct lt_node *node)
{
	if (lt_count_pair_read(columns, rows, node->text))
		return true;
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "%s: %s is not columns x rows", key->name,
		lt_quote(shown, node->text));
	hint_example(r, key);
	return false;
}

/* Reads the value of a key to its place in the layout. False after reporting what cannot be read.
 */
static bool read_value(const struct lt_layout_reader *r, const struct key *key,
	const struct lt_node *node)
{
	void *at = (char *)r->layout + key->at;
	void *second = (char *)r->layout + key->second;
	switch (key->type) {
	case NAME:
	case TEXT:
		*(const char **)at = lt_arena_strdup(&r->layout->arena, node->text);
		return key->type == TEXT || check_name(r, node);
	case WORD:
		return read_word(at, r, key, node);
	case SIZE:
	case LENGTH:
		return read_length(at, NULL, r, key, node);
	case SIZES:
	case PAIR:
		return read_length(at, second, r, key, node);
	case COUNTS:
		return read_counts(at, second, r, key, node);
	case DPI:
		return read_dpi(at, r, key, node);
	}
	return false;
}

/* False after reporting a key that is missing or cannot be read. */
static bool read_key(const struct lt_layout_reader *r, const struct key *key)
{
	const struct lt_node *node = lt_node_get(r->root, key->name);
	if (node == NULL && key->optional) {
		if (key->otherwise > 0)
			*(double *)(void *)((char *)r->layout + key->at) = key->otherwise;
		return true;
	}
	if (node == NULL) {
		lt_error(r->diags, r->root->place, "the layout needs \"%s\"", key->name);
		lt_hint(r->diags, "add a line, for example \"%s: %s\"", key->name, key->example);
		return false;
	}
	if (node->kind != LT_SCALAR || node->text[0] == '\0') {
		lt_error(r->diags, node->place, "%s needs a single value", key->name);
		lt_hint(r->diags, "write it on the same line, for example \"%s: %s\"", key->name,
			key->example);
		return false;
	}
	return read_value(r, key, node);
}

/* The words of a set of bits, "sheet, roll"; from the arena. */
static const char *words_of(struct lt_arena *arena, const char *const *words, unsigned set)
{
	struct lt_text list = { 0 };
	for (unsigned i = 0; words[i] != NULL; i++) {
		if ((set & 1u << i) != 0)
			lt_text_printf(&list, list.length > 0 ? ", %s" : "%s", words[i]);
	}
	return lt_arena_text(arena, &list);
}

/* Reports a key of layouts of other kinds. */
static void report_kind(const struct lt_layout_reader *r, const struct lt_node *key, unsigned kinds)
{
	lt_error(r->diags, key->place, "key \"%s\" is only for these kinds of layouts: %s",
		key->text, words_of(r->scratch, kind_words, kinds));
	lt_hint(r->diags, "remove the line, or change \"kind: %s\"", kind_words[r->layout->medium]);
}

/* Reports a key of layouts of other styles. */
static void report_style(const struct lt_layout_reader *r, const struct lt_node *key,
	unsigned styles)
{
	lt_error(r->diags, key->place, "key \"%s\" is only for these styles of layouts: %s",
		key->text, words_of(r->scratch, style_words, styles));
	lt_hint(r->diags, "remove the line, or change \"style: %s\"",
		style_words[r->layout->style]);
}

/* Reports keys that are not known, and those of another kind or style. `kinds` and `styles` are
 * what the layout may be: every one where it is not known. */
static void check_keys(const struct lt_layout_reader *r, unsigned kinds, unsigned styles)
{
	const char *known[KEYS] = { NULL };
	size_t known_count = 0;
	for (size_t i = 0; i < KEYS; i++) {
		if ((keys[i].kinds & kinds) == 0 || (keys[i].styles & styles) == 0)
			continue;
		if (known_count == 0 || strcmp(known[known_count - 1], keys[i].name) != 0)
			known[known_count++] = keys[i].name;
	}
	/* Keys of other kinds and styles are reported here, and not once more as unknown. */
	struct lt_node rest = *r->root;
	rest.keys = lt_arena_array(r->scratch, rest.count + 1, sizeof(*rest.keys));
	rest.items = lt_arena_array(r->scratch, rest.count + 1, sizeof(*rest.items));
	rest.count = 0;
	for (size_t i = 0; i < r->root->count; i++) {
		const struct lt_node *key = &r->root->keys[i];
		unsigned key_kinds = 0, key_styles = 0;
		for (size_t k = 0; k < KEYS; k++) {
			bool same = strcmp(key->text, keys[k].name) == 0;
			key_kinds |= same ? keys[k].kinds : 0;
			key_styles |= same ? keys[k].styles : 0;
		}
		if (key_kinds != 0 && (key_kinds & kinds) == 0) {
			report_kind(r, key, key_kinds);
		} else if (key_kinds != 0 && (key_styles & styles) == 0) {
			report_style(r, key, key_styles);
		} else {
			rest.keys[rest.count] = *key;
			rest.items[rest.count++] = r->root->items[i];
		}
	}
	static const char *const named[] = {
		[LT_MEDIUM_SHEET] = "a sheet layout",
		[LT_MEDIUM_ROLL] = "a roll layout",
		[LT_MEDIUM_TAPE] = "a tape layout",
	};
	lt_node_only(&rest, known, known_count,
		kinds == ANY ? "a layout" : named[r->layout->medium], r->diags);
}

/* All but the head, which is known. */
static void read_sizes(const struct lt_layout_reader *r)
{
	static void (*const checks[GROUPS])(const struct lt_layout_reader *) = {
		[FACES] = lt_layout_check_faces,
		[LABEL] = lt_layout_check_label,
		[EDGE] = lt_layout_check_edge,
		[GRID] = lt_layout_check_grid
	};
	unsigned kind = 1u << r->layout->medium, style = 1u << r->layout->style;
	bool sized = true; /* the label's size is known: without it, no more can be judged */
	for (unsigned group = HEAD + 1; group < GROUPS; group++) {
		size_t before = r->diags->errors;
		bool has = false;
		for (size_t i = 0; i < KEYS; i++) {
			if (keys[i].group != group || (keys[i].kinds & kind) == 0 ||
				(keys[i].styles & style) == 0)
				continue;
			has = true;
			read_key(r, &keys[i]);
		}
		bool size = group <= LABEL;
		if (has && checks[group] != NULL && r->diags->errors == before && (size || sized))
			checks[group](r);
		if (size)
			sized = sized && r->diags->errors == before;
	}
}

static void read_root(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	if (r->root->kind != LT_MAP) {
		lt_error(r->diags, r->root->place, "this is not a layout");
		lt_hint(r->diags, "write lines \"key: value\", the first one \"layout: NAME\"");
		return;
	}
	unsigned kinds = ANY, styles = ANY;
	for (size_t i = 0; keys[i].group == HEAD; i++) {
		bool good = read_key(r, &keys[i]);
		if (good && keys[i].words == kind_words)
			kinds = 1u << layout->medium;
		else if (good && keys[i].words == style_words)
			styles = 1u << layout->style;
	}
	if (layout->title == NULL)
		layout->title = layout->name;
	check_keys(r, kinds, styles);
	/* Each kind and style has sizes of its own: without it, none can be judged. */
	if (kinds != ANY && styles != ANY)
		read_sizes(r);
}

/* Reads a layout; and when it is right and `thorough` doubts it. */
static bool read_bytes(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	bool thorough, const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_arena scratch = { 0 };
	struct lt_node root = { 0 };
	*out = (struct lt_layout){ .columns = 1, .rows = 1 };
	const struct lt_layout_reader reader = { out, &scratch, &root, file, diags };
	if (file != NULL)
		out->file = lt_arena_strdup(&out->arena, file);
	size_t before = diags->errors;
	if (length > LT_LAYOUT_FILE_MAX)
		lt_error(diags, lt_place_file(file), "is larger than %u KiB, the most that is read",
			LT_LAYOUT_FILE_MAX / 1024);
	else if (lt_yaml_read(&root, &scratch, file, bytes, length, diags))
		read_root(&reader);
	if (thorough && diags->errors == before)
		lt_layout_doubt(out, &root, measure, diags);
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

const char *lt_layout_kind(const struct lt_layout *layout)
{
	return kind_words[layout->medium];
}

const char *lt_layout_style(const struct lt_layout *layout)
{
	return style_words[layout->style];
}

const char *lt_layout_direction(const struct lt_layout *layout)
{
	return direction_words[layout->direction];
}

const char *lt_layout_cut(const struct lt_layout *layout)
{
	return cut_words[layout->cut];
}

void lt_layout_finish(struct lt_layout *layout)
{
	if (layout == NULL)
		return;
	lt_arena_finish(&layout->arena);
	*layout = (struct lt_layout){ 0 };
}

static bool same_value(const void *a, const void *b, enum type type)
{
	if (type == NAME || type == TEXT)
		return true;
	if (type == WORD || type == COUNTS)
		return *(const unsigned *)a == *(const unsigned *)b;
	return *(const double *)a == *(const double *)b;
}

bool lt_layout_same(const struct lt_layout *a, const struct lt_layout *b)
{
	for (size_t i = 0; i < KEYS; i++) {
		const size_t at[] = { keys[i].at, keys[i].second };
		for (size_t k = 0; k < 2 && at[k] != 0; k++) {
			if (!same_value((const char *)a + at[k], (const char *)b + at[k],
				    keys[i].type))
				return false;
		}
	}
	return true;
}
