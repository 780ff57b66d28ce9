/* Single values of a layout. */
#include <math.h>
#include <string.h>

#include "label/layout_read.h"
#include "loomtag/base.h"

bool lt_layout_same(double a, double b)
{
	/* A difference that is exactly the slack may come out a rounding error above it. */
	return fabs(a - b) <= LT_LAYOUT_SLACK + 1e-9;
}

const struct lt_node *lt_layout_find_key(const struct lt_layout_reader *r, const char *key,
	const char *example, bool wanted)
{
	const struct lt_node *node = lt_node_get(r->root, key);
	if (node == NULL) {
		if (wanted) {
			lt_error(r->diags, r->root->place, "the layout does not give its %s", key);
			lt_hint(r->diags, "add a line such as \"%s: %s\"", key, example);
		}
		return NULL;
	}
	if (node->kind != LT_SCALAR || node->text[0] == '\0') {
		lt_error(r->diags, node->place, "%s is not a single value", key);
		lt_hint(r->diags, "write it on the same line: \"%s: %s\"", key, example);
		return NULL;
	}
	return node;
}

void lt_layout_tell(const struct lt_layout_reader *r, const struct lt_node *node, const char *key,
	const char *what)
{
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "%s %s: %s", key, what, lt_quote(shown, node->text));
}

bool lt_layout_read_pair(const struct lt_layout_reader *r, double *a, double *b, const char *key,
	const char *example, double least)
{
	const struct lt_node *node = lt_layout_find_key(r, key, example, true);
	if (node == NULL)
		return false;
	double first, second;
	if (!lt_length_pair_read(&first, &second, node->text)) {
		lt_layout_tell(r, node, key, "is not two lengths");
		lt_hint(r->diags, "write it as \"%s\"", example);
		return false;
	}
	if (first < least || second < least || first > LT_LAYOUT_SIDE_MOST ||
		second > LT_LAYOUT_SIDE_MOST) {
		lt_layout_tell(r, node, key, "is out of range");
		lt_hint(r->diags, "each length is %g to %g mm", least, LT_LAYOUT_SIDE_MOST);
		return false;
	}
	*a = first;
	*b = second;
	return true;
}

bool lt_layout_read_length(const struct lt_layout_reader *r, double *mm, const char *key,
	const char *example, double least, bool wanted)
{
	const struct lt_node *node = lt_layout_find_key(r, key, example, wanted);
	if (node == NULL)
		return false;
	double length;
	if (!lt_length_read(&length, node->text)) {
		lt_layout_tell(r, node, key, "is not a length");
		lt_hint(r->diags, "write it as \"%s\"", example);
		return false;
	}
	if (length < least || length > LT_LAYOUT_SIDE_MOST) {
		lt_layout_tell(r, node, key, "is out of range");
		lt_hint(r->diags, "it is %g to %g mm", least, LT_LAYOUT_SIDE_MOST);
		return false;
	}
	*mm = length;
	return true;
}

int lt_layout_read_word(const struct lt_layout_reader *r, const char *key, const char *const *words,
	size_t count, bool wanted)
{
	if (!wanted && lt_node_get(r->root, key) == NULL)
		return 0;
	const struct lt_node *node = lt_layout_find_key(r, key, words[0], true);
	if (node == NULL)
		return -1;
	for (size_t i = 0; i < count; i++) {
		if (strcmp(node->text, words[i]) == 0)
			return (int)i;
	}
	char shown[LT_QUOTE_SIZE];
	lt_error(r->diags, node->place, "there is no %s %s", key, lt_quote(shown, node->text));
	int near = lt_nearest(node->text, words, count);
	if (near >= 0) {
		lt_hint(r->diags, "did you mean %s?", words[near]);
		return -1;
	}
	struct lt_text all = { 0 };
	for (size_t i = 0; i < count; i++)
		lt_text_printf(&all, "%s%s", i == 0 ? "" : i + 1 < count ? ", " : " or ", words[i]);
	lt_hint(r->diags, "it is %s", lt_text_string(&all));
	lt_text_finish(&all);
	return -1;
}
