/* A connector's face, as drawings show it: how its ways are counted, and where its latch is. */
#include <string.h>

#include "harness/read.h"
#include "loomtag/base.h"

static const char *const path_words[] = { "across", "down", "around", "clockwise",
	"anticlockwise" };
#define PATHS (sizeof path_words / sizeof *path_words)

static void tell_numbering(struct lt_reader *reader, struct lt_place place, const char *word)
{
	static const char *const words[] = { "across", "down", "around", "clockwise",
		"anticlockwise", "from", "right" };
	const size_t count = sizeof words / sizeof *words;
	char shown[LT_QUOTE_SIZE];
	lt_error(reader->diags, place,
		"%snumbering %s is not made of across, down, around, clockwise, anticlockwise, "
		"from right",
		reader->subject, lt_quote(shown, word));
	int nearest = lt_nearest(word, words, count);
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean %s?",
			nearest < (int)PATHS ? words[nearest] : "from right");
	else
		lt_hint(reader->diags,
			"look at the mating face of the harness half; way 1 is at the top left, "
			"or at the top right: from right");
}

/* Reads one word, or the two of "from right", and moves behind them; false when told. */
static bool read_numbering_word(struct lt_way_order *order, struct lt_reader *reader,
	struct lt_place place, const char **at)
{
	const char *word = lt_arena_copy(&reader->scratch, *at, strcspn(*at, " "));
	*at += strlen(word) + strspn(*at + strlen(word), " ");
	if (strcmp(word, "from") == 0 && strcspn(*at, " ") == 5 && strncmp(*at, "right", 5) == 0) {
		*at += 5 + strspn(*at + 5, " ");
		order->from_right = true;
		return true;
	}
	for (size_t i = 0; i < PATHS; i++) {
		if (strcmp(word, path_words[i]) != 0)
			continue;
		enum lt_way_path path = (enum lt_way_path)(LT_WAYS_ACROSS + i);
		if (order->path == LT_WAYS_NONE || order->path == path) {
			order->path = path;
			return true;
		}
		lt_error(reader->diags, place, "%snumbering is both %s and %s", reader->subject,
			path_words[order->path - LT_WAYS_ACROSS], word);
		lt_hint(reader->diags, "ways are counted in one way: keep the one that is right");
		return false;
	}
	tell_numbering(reader, place, word);
	return false;
}

static bool is_circle(enum lt_way_path path)
{
	return path == LT_WAYS_CLOCKWISE || path == LT_WAYS_ANTICLOCKWISE;
}

void lt_read_numbering(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	struct lt_way_order order = { 0 };
	const char *at = lt_read_text(reader, key, value);
	if (!at)
		return;
	struct lt_place place = lt_read_place(reader, value);
	while (*at)
		if (!read_numbering_word(&order, reader, place, &at))
			return;
	if (order.path == LT_WAYS_NONE)
		order.path = LT_WAYS_ACROSS;
	if (is_circle(order.path) && order.from_right) {
		lt_error(reader->diags, place,
			"%snumbering in a circle does not begin at the right", reader->subject);
		lt_hint(reader->diags, "a circle has way 1 at the top: leave out from right");
		return;
	}
	if (is_circle(order.path) && connector->rows) {
		lt_error(reader->diags, place, "%snumbering in a circle has no rows",
			reader->subject);
		lt_hint(reader->diags, "leave out rows, or count across, down or around");
		return;
	}
	connector->numbering = order;
}

void lt_read_latch(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	static const char *const words[] = { "top", "bottom", "left", "right" };
	size_t index;
	if (lt_read_choice(&index, reader, key, value, words, sizeof words / sizeof *words))
		*(enum lt_edge *)into = (enum lt_edge)(LT_EDGE_TOP + index);
}

void lt_check_numbering(struct lt_reader *reader)
{
	const struct lt_harness *harness = reader->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->numbering.path == LT_WAYS_NONE || connector->ways ||
			reader->ways_of[i])
			continue;
		lt_error(reader->diags,
			lt_read_place(reader,
				lt_node_get(&reader->connector_items[i], "numbering")),
			"connector %s: numbering is given, but it has no ways", connector->id);
		lt_hint(reader->diags, "say how many ways it has with ways:");
	}
}
