/* Which keys belong to which kind and style of layout. */
#include <stdio.h>
#include <string.h>

#include "label/layout_read.h"
#include "loomtag/base.h"

const char *const lt_layout_kinds[LT_MEDIUM_TAPE + 1] = { "sheet", "roll", "tape" };
const char *const lt_layout_styles[LT_STYLE_WRAP + 1] = { "plate", "flag", "wrap" };

enum {
	SHEET = 1 << LT_MEDIUM_SHEET,
	ROLL = 1 << LT_MEDIUM_ROLL,
	TAPE = 1 << LT_MEDIUM_TAPE,
	CUT = SHEET | ROLL, /* labels that come in one size */
	FLAG = 1 << LT_STYLE_FLAG,
	WRAP = 1 << LT_STYLE_WRAP,
	ANY = 7,
};

/* In the order in which a layout is best written. */
static const struct {
	const char *name;
	unsigned kinds, styles;
} keys[] = {
	{ "layout", ANY, ANY },
	{ "title", ANY, ANY },
	{ "kind", ANY, ANY },
	{ "style", ANY, ANY },
	{ "page", SHEET, ANY },
	{ "label", CUT, ANY },
	{ "grid", SHEET, ANY },
	{ "first", SHEET, ANY },
	{ "pitch", SHEET, ANY },
	{ "gap", ROLL, ANY },
	{ "width", TAPE, ANY },
	{ "shortest", TAPE, ANY },
	{ "longest", TAPE, ANY },
	{ "dpi", ROLL | TAPE, ANY },
	{ "inset", ANY, ANY },
	{ "corner", CUT, ANY },
	{ "face", CUT, FLAG },
	{ "loop", ANY, FLAG },
	{ "printed", ANY, WRAP },
	{ "clear", ANY, WRAP },
	{ "direction", ANY, WRAP },
	{ "thickness", ANY, WRAP },
};
enum { KEYS = sizeof(keys) / sizeof(keys[0]) };

/* "kind sheet or roll". */
static void add_where(struct lt_text *out, const char *what, const char *const *words, unsigned set)
{
	lt_text_printf(out, "%s", what);
	const char *between = " ";
	for (unsigned i = 0; i <= LT_MEDIUM_TAPE; i++) {
		if ((set & 1u << i) == 0)
			continue;
		lt_text_printf(out, "%s%s", between, words[i]);
		between = " or ";
	}
}

static void tell_foreign(const struct lt_layout_reader *r, const struct lt_node *key,
	unsigned index, unsigned kind, unsigned style)
{
	struct lt_text where = { 0 };
	bool other_kind = (keys[index].kinds & kind) == 0;
	const char *what = other_kind ? "kind" : "style";
	add_where(&where, what, other_kind ? lt_layout_kinds : lt_layout_styles,
		other_kind ? keys[index].kinds : keys[index].styles);
	lt_error(r->diags, key->place, "%s belongs to %s", key->text, lt_text_string(&where));
	lt_text_clear(&where);
	add_where(&where, what, other_kind ? lt_layout_kinds : lt_layout_styles,
		other_kind ? kind : style);
	lt_hint(r->diags, "this layout is of %s: take the line out, or change its %s",
		lt_text_string(&where), what);
	lt_text_finish(&where);
}

/* The index of a key, or KEYS. */
static unsigned find_key(const char *name)
{
	unsigned i = 0;
	while (i < KEYS && strcmp(name, keys[i].name) != 0)
		i++;
	return i;
}

void lt_layout_check_keys(const struct lt_layout_reader *r, int medium, int style)
{
	unsigned kind_set = medium < 0 ? (unsigned)ANY : 1u << medium;
	unsigned style_set = style < 0 ? (unsigned)ANY : 1u << style;
	const char *known[KEYS];
	size_t known_count = 0;
	for (unsigned i = 0; i < KEYS; i++) {
		if ((keys[i].kinds & kind_set) != 0 && (keys[i].styles & style_set) != 0)
			known[known_count++] = keys[i].name;
	}
	/* What belongs elsewhere is told of here, and kept from being told of as unknown. */
	struct lt_node rest = *r->root;
	rest.keys = lt_arena_array(r->scratch, rest.count + 1, sizeof(*rest.keys));
	rest.items = lt_arena_array(r->scratch, rest.count + 1, sizeof(*rest.items));
	rest.count = 0;
	for (size_t i = 0; i < r->root->count; i++) {
		unsigned index = find_key(r->root->keys[i].text);
		if (index < KEYS && ((keys[index].kinds & kind_set) == 0 ||
					    (keys[index].styles & style_set) == 0)) {
			tell_foreign(r, &r->root->keys[i], index, kind_set, style_set);
			continue;
		}
		rest.keys[rest.count] = r->root->keys[i];
		rest.items[rest.count++] = r->root->items[i];
	}
	char what[32];
	snprintf(what, sizeof(what), "a%s%s layout", medium < 0 ? "" : " ",
		medium < 0 ? "" : lt_layout_kinds[medium]);
	lt_node_only(&rest, known, known_count, what, r->diags);
}
