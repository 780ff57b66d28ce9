/* Which of the layouts at hand each sticker goes on. */
#include <string.h>

#include "label/layout.h"
#include "label/shape.h"
#include "label/sticker.h"

/* Connectors told of for which nothing will do. */
#define FAILURES_TOLD 20

bool lt_stock_add(struct lt_stock *stock, size_t *index, const char *name,
	const char *const *folders, struct lt_diags *diags)
{
	struct lt_layout layout = { 0 };
	bool good = lt_layout_find(&layout, name, folders, diags);
	if (good) {
		*index = 0;
		while (*index < stock->count &&
			strcmp(stock->layouts[*index].name, layout.name) != 0)
			(*index)++;
		if (*index == LT_STOCK_MAX) {
			lt_error(diags, lt_place_none(), "a stock has at most %u layouts",
				LT_STOCK_MAX);
			good = false;
		} else if (*index == stock->count) {
			stock->layouts[stock->count++] = layout;
			return true;
		} else if (!lt_layout_same(&layout, &stock->layouts[*index])) {
			lt_error(diags, lt_place_none(),
				"there are two different layouts called %s", layout.name);
			lt_hint(diags, "give one of them another name");
			good = false;
		}
	}
	lt_layout_finish(&layout);
	return good;
}

bool lt_stock_add_list(struct lt_stock *stock, const char *list, const char *const *folders,
	struct lt_diags *diags)
{
	bool good = true;
	for (;; list++) {
		list += strspn(list, " ");
		size_t length = strcspn(list, ",");
		size_t end = length;
		while (end > 0 && list[end - 1] == ' ')
			end--;
		size_t index;
		if (length == 0) {
			lt_error(diags, lt_place_none(),
				"a list of layouts has a name between commas");
			lt_hint(diags, "write it as \"a4-3x8,roll-54x25\"");
			good = false;
		} else {
			const char *name = lt_arena_copy(&diags->arena, list, end);
			good = lt_stock_add(stock, &index, name, folders, diags) && good;
		}
		list += length;
		if (*list == '\0')
			return good;
	}
}

void lt_stock_add_all(struct lt_stock *stock, const char *const *folders)
{
	struct lt_diags unheard;
	lt_diags_init(&unheard);
	size_t count = 0;
	const char **names = lt_layout_names(&count, &unheard.arena, folders);
	for (size_t i = 0; i < count; i++) {
		size_t index;
		lt_stock_add(stock, &index, names[i], folders, &unheard);
	}
	lt_diags_finish(&unheard);
}

void lt_stock_finish(struct lt_stock *stock)
{
	if (stock == NULL)
		return;
	for (size_t i = 0; i < stock->count; i++)
		lt_layout_finish(&stock->layouts[i]);
	stock->count = 0;
}

/* What choosing takes. */
struct choice {
	const struct lt_stock *stock;
	const struct lt_stock_wish *wish;
	const struct lt_sticker_source *source;
	const struct lt_sticker_options *options;
};

/* How little a layout is wanted for a sticker, from what it is: 0 is best. */
static unsigned dislike_style(const struct lt_layout *layout, enum lt_side side, enum lt_fit fit)
{
	bool plate = layout->style == LT_STYLE_PLATE;
	if (fit == LT_FIT_UNKNOWN)
		return 2;
	return plate == (side == LT_SIDE_H) ? 1 : 0;
}

/* How little a layout is wanted for a sticker, all told. Where it fits and has no room all the
 * same, the first `reason` is written down. */
static unsigned dislike(const struct choice *c, size_t index, struct lt_sticker_id id,
	struct lt_text *reason)
{
	const struct lt_layout *layout = &c->stock->layouts[index];
	double bundle =
		c->options->bundles != NULL ? c->options->bundles[id.connector].diameter : 0;
	enum lt_fit fit = lt_layout_fit(layout, bundle);
	if (fit == LT_FIT_TOO_THICK || fit == LT_FIT_TOO_THIN)
		return LT_WILL_NOT_DO;
	struct lt_diags unheard;
	lt_diags_init(&unheard);
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	unsigned result = LT_WILL_NOT_DO;
	if (lt_sticker_place(&sticker, &arena, layout, c->source, id, c->options, &unheard)) {
		unsigned doubts = lt_doubts_of(&sticker, layout, c->options->distance);
		bool poor = (doubts & (1u << LT_DOUBT_SYMBOL | 1u << LT_DOUBT_NUMBER |
					      1u << LT_DOUBT_BEND)) != 0;
		result = 2 * dislike_style(layout, id.side, fit) + poor;
		/* What cannot be read is worse than what sits less well. */
		if ((doubts & 1u << LT_DOUBT_NUMBER) != 0)
			result += 10;
	} else if (reason != NULL && reason->length == 0 && unheard.count > 0) {
		/* "connector X1: " stands before it already. */
		const char *message = unheard.items[unheard.count - 1].message;
		const char *colon = strstr(message, ": ");
		lt_text_add(reason, colon != NULL ? colon + 2 : message);
	}
	lt_arena_finish(&arena);
	lt_diags_finish(&unheard);
	return result;
}

/* Names the layouts that would do, each tried, the most wanted first. */
static void hint_doing(const struct choice *c, struct lt_sticker_id id, struct lt_diags *diags)
{
	const struct lt_stock *known = c->options->known;
	struct choice all = *c;
	all.stock = known;
	unsigned dislikes[LT_STOCK_MAX] = { 0 };
	for (size_t i = 0; known != NULL && i < known->count; i++)
		dislikes[i] = dislike(&all, i, id, NULL);
	lt_layout_hint(known, dislikes, diags);
}

static void tell_none(const struct choice *c, struct lt_sticker_id id, const char *reason,
	struct lt_diags *diags)
{
	const struct lt_connector *of = &c->source->tags->harness->connectors[id.connector];
	double bundle =
		c->options->bundles != NULL ? c->options->bundles[id.connector].diameter : 0;
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, c->source->tags->number_of[id.connector], id.side);
	char on[48] = "";
	if (bundle > 0)
		snprintf(on, sizeof(on), ", on a bundle of %.2f mm", bundle);
	lt_error(diags, of->place,
		"connector %s: none of the layouts at hand will do for sticker %s%s%s%s", of->id,
		tag, on, reason[0] != '\0' ? "; " : "", reason);
	hint_doing(c, id, diags);
}

/* Chooses for one sticker; LT_STOCK_NONE, with an error, when nothing will do. */
static size_t choose(const struct choice *c, struct lt_sticker_id id, struct lt_diags *diags)
{
	size_t best = LT_STOCK_NONE;
	unsigned least = LT_WILL_NOT_DO;
	struct lt_text reason = { 0 };
	for (size_t i = 0; i < c->wish->count && least > 0; i++) {
		unsigned much = dislike(c, i, id, &reason);
		if (much < least) {
			least = much;
			best = i;
		}
	}
	if (best == LT_STOCK_NONE)
		tell_none(c, id, lt_text_string(&reason), diags);
	lt_text_finish(&reason);
	return best;
}

/* Chooses for the stickers of one connector. What one side does not get, the others would not get
 * either for the most part: one of them is told. */
static bool choose_sides(unsigned char *choice, const struct choice *c, size_t connector,
	struct lt_diags *diags)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_selected_sides(sides, c->wish->only, c->source->tags, connector);
	for (size_t k = 0; k < count; k++) {
		if ((c->wish->sides & 1u << sides[k]) == 0)
			continue;
		size_t best =
			choose(c, (struct lt_sticker_id){ connector, sides[k], false }, diags);
		choice[connector * LT_SIDE_COUNT + sides[k]] = (unsigned char)best;
		if (best == LT_STOCK_NONE)
			return false;
	}
	return true;
}

bool lt_stock_choose(unsigned char *choice, const struct lt_stock *stock,
	const struct lt_stock_wish *wish, const struct lt_sticker_source *source,
	const struct lt_sticker_options *options, struct lt_diags *diags)
{
	const struct choice c = { stock, wish, source, options };
	const struct lt_harness *harness = source->tags->harness;
	size_t failures = 0;
	for (size_t i = 0; i < harness->connector_count && failures < FAILURES_TOLD; i++) {
		if (!choose_sides(choice, &c, i, diags))
			failures++;
	}
	return failures == 0;
}
