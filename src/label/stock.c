/* Which of the layouts at hand each sticker goes on. */
#include <string.h>

#include "label/layout.h"
#include "label/shape.h"
#include "label/sticker.h"

/* Connectors without a suitable layout that are reported. */
#define FAILURES_REPORTED 20

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
			lt_error(diags, lt_place_none(), "--stock can have at most %u layouts",
				LT_STOCK_MAX);
			lt_hint(diags, "leave out some of them");
			good = false;
		} else if (*index == stock->count) {
			stock->layouts[stock->count++] = layout;
			return true;
		} else if (!lt_layout_same(&layout, &stock->layouts[*index])) {
			lt_error(diags, lt_place_none(), "two different layouts are called %s",
				layout.name);
			lt_hint(diags, "rename one of them");
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
				"--stock has a comma without the name of a layout");
			lt_hint(diags, "write for example \"a4-3x8,roll-54x25\"");
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
	struct lt_diags ignored;
	lt_diags_init(&ignored);
	size_t count = 0;
	const char **names = lt_layout_names(&count, &ignored.arena, folders);
	for (size_t i = 0; i < count; i++) {
		size_t index;
		lt_stock_add(stock, &index, names[i], folders, &ignored);
	}
	lt_diags_finish(&ignored);
}

void lt_stock_finish(struct lt_stock *stock)
{
	if (stock == NULL)
		return;
	for (size_t i = 0; i < stock->count; i++)
		lt_layout_finish(&stock->layouts[i]);
	stock->count = 0;
}

/* What is needed to choose. */
struct choice {
	const struct lt_stock *stock;
	const struct lt_stock_wish *wish;
	const struct lt_sticker_source *source;
	const struct lt_sticker_options *options;
};

/* How badly the style of a layout suits a sticker: 0 is best. */
static unsigned style_penalty(const struct lt_layout *layout, enum lt_side side, enum lt_fit fit)
{
	bool plate = layout->style == LT_STYLE_PLATE;
	if (fit == LT_FIT_UNKNOWN)
		return 2;
	return plate == (side == LT_SIDE_H) ? 1 : 0;
}

/* How badly a layout suits a sticker: 0 is best, LT_WILL_NOT_DO where it cannot be used. Where it
 * fits the bundle but has no room and `reason` is empty, adds why; `reason` may be NULL. */
static unsigned penalty(const struct choice *c, size_t index, struct lt_sticker_id id,
	struct lt_text *reason)
{
	const struct lt_layout *layout = &c->stock->layouts[index];
	double bundle =
		c->options->bundles != NULL ? c->options->bundles[id.connector].diameter : 0;
	enum lt_fit fit = lt_layout_fit(layout, bundle);
	if (fit == LT_FIT_TOO_THICK || fit == LT_FIT_TOO_THIN)
		return LT_WILL_NOT_DO;
	struct lt_diags ignored;
	lt_diags_init(&ignored);
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	unsigned result = LT_WILL_NOT_DO;
	if (lt_sticker_place(&sticker, &arena, layout, c->source, id, c->options, &ignored)) {
		unsigned doubts = lt_doubts_of(&sticker, layout, c->options->distance);
		bool poor = (doubts & (1u << LT_DOUBT_SYMBOL | 1u << LT_DOUBT_NUMBER |
					      1u << LT_DOUBT_BEND)) != 0;
		result = 2 * style_penalty(layout, id.side, fit) + poor;
		/* What cannot be read is worse than what sits less well. */
		if ((doubts & 1u << LT_DOUBT_NUMBER) != 0)
			result += 10;
	} else if (reason != NULL && reason->length == 0 && ignored.count > 0) {
		/* The message that quotes it begins with "connector X1: " itself. */
		const char *message = ignored.items[ignored.count - 1].message;
		const char *colon = strstr(message, ": ");
		lt_text_add(reason, colon != NULL ? colon + 2 : message);
	}
	lt_arena_finish(&arena);
	lt_diags_finish(&ignored);
	return result;
}

/* Tries all known layouts and names the suitable ones in a hint, the best first. */
static void hint_suitable(const struct choice *c, struct lt_sticker_id id, struct lt_diags *diags)
{
	const struct lt_stock *known = c->options->known;
	struct choice all = *c;
	all.stock = known;
	unsigned penalties[LT_STOCK_MAX] = { 0 };
	for (size_t i = 0; known != NULL && i < known->count; i++)
		penalties[i] = penalty(&all, i, id, NULL);
	lt_layout_hint(known, penalties, diags);
}

static void report_none(const struct choice *c, struct lt_sticker_id id, const char *reason,
	struct lt_diags *diags)
{
	const struct lt_connector *of = &c->source->tags->harness->connectors[id.connector];
	double bundle =
		c->options->bundles != NULL ? c->options->bundles[id.connector].diameter : 0;
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, c->source->tags->number_of[id.connector], id.side);
	if (bundle > 0 && reason[0] != '\0')
		lt_error(diags, of->place,
			"connector %s: no layout of --stock suits sticker %s on a bundle of %.2f mm: "
			"%s",
			of->id, tag, bundle, reason);
	else if (bundle > 0)
		lt_error(diags, of->place,
			"connector %s: no layout of --stock suits sticker %s on a bundle of %.2f mm",
			of->id, tag, bundle);
	else if (reason[0] != '\0')
		lt_error(diags, of->place,
			"connector %s: no layout of --stock suits sticker %s: %s", of->id, tag,
			reason);
	else
		lt_error(diags, of->place, "connector %s: no layout of --stock suits sticker %s",
			of->id, tag);
	hint_suitable(c, id, diags);
}

/* Chooses for one sticker; LT_STOCK_NONE, with an error, when no layout is suitable. */
static size_t choose(const struct choice *c, struct lt_sticker_id id, struct lt_diags *diags)
{
	size_t best = LT_STOCK_NONE;
	unsigned least = LT_WILL_NOT_DO;
	struct lt_text reason = { 0 };
	for (size_t i = 0; i < c->wish->count && least > 0; i++) {
		unsigned much = penalty(c, i, id, &reason);
		if (much < least) {
			least = much;
			best = i;
		}
	}
	if (best == LT_STOCK_NONE)
		report_none(c, id, lt_text_string(&reason), diags);
	lt_text_finish(&reason);
	return best;
}

/* Chooses for the stickers of one connector. Where one side gets no layout, the others mostly would
 * not either: only one of them is reported. */
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
	for (size_t i = 0; i < harness->connector_count && failures < FAILURES_REPORTED; i++) {
		if (!choose_sides(choice, &c, i, diags))
			failures++;
	}
	return failures == 0;
}
