/* A table of a map, set as blocks of a flow. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "loomtag/words.h"
#include "map/table.h"

/* No text in a table is smaller than that of its column heads. */
static const struct lt_type text_type = LT_TYPE(LT_TYPEFACE_REGULAR, 9, 4, 0);
static const struct lt_type strong_type = LT_TYPE(LT_TYPEFACE_BOLD, 9, 4, 0);
static const struct lt_type head_type = LT_TYPE(LT_TYPEFACE_REGULAR, 8, 3.6, 0.3);
static const struct lt_type title_type = LT_TYPE(LT_TYPEFACE_BOLD, 11, 5.5, 0);

/* Between columns: at least, and where there is room. */
#define GAP_LEAST 3.0
#define GAP_BEST 8.0

/* Above and below the text of a row; the rules, which are darker than half so that a printer that
 * knows black alone has them too. */
#define PAD 0.7
#define RULE 0.12
#define RULE_INK 0.45
#define HEAD_RULE 0.35

#define SWATCH_WIDTH 8.0
#define SWATCH_HEIGHT 2.8
#define BESIDE_SWATCH 1.6

/* Columns that are not to be broken have at most this share. */
#define WHOLE_MOST 0.7

/* A group's head that is higher than this share of a page is not shown again on every page. */
#define GROUP_MOST 0.25

struct lt_table_row *lt_table_add(struct lt_table *table, enum lt_table_row_kind kind)
{
	table->rows = lt_grow(table->rows, &table->room, table->count + 1, sizeof *table->rows);
	struct lt_table_row *row = &table->rows[table->count++];
	*row = (struct lt_table_row){ .kind = kind };
	return row;
}

const char *lt_table_named(struct lt_arena *arena, const char *name, const char *id)
{
	const char *clean = lt_arena_shown(arena, id);
	if (name == NULL)
		return clean;
	return lt_arena_printf(arena, "%s (%s)", lt_arena_shown(arena, name), clean);
}

struct ranked {
	const char *id;
	size_t connector;
};

static int compare_ranked(const void *one, const void *other)
{
	return strcmp(((const struct ranked *)one)->id, ((const struct ranked *)other)->id);
}

/* As the map's order, but those without a number by their ids. */
size_t *lt_table_ranks(size_t *rank, struct lt_arena *arena, const struct lt_map_input *input)
{
	const struct lt_tags *tags = input->tags;
	const size_t count = tags->harness->connector_count;
	struct ranked *ranked = lt_alloc_array(count + 1, sizeof *ranked);
	size_t *order = lt_arena_array(arena, count + 1, sizeof *order), numbered = 0;
	for (size_t i = 0; i < count; i++) {
		size_t connector = input->order[i];
		ranked[i] = (struct ranked){ tags->harness->connectors[connector].id, connector };
		numbered += tags->number_of[connector] != 0;
	}
	qsort(ranked + numbered, count - numbered, sizeof *ranked, compare_ranked);
	for (size_t i = 0; i < count; i++) {
		order[i] = ranked[i].connector;
		rank[order[i]] = i;
	}
	free(ranked);
	return order;
}

/* A table as it is set. */
struct setting {
	struct lt_flow *flow;
	const struct lt_table *table;
	double left[LT_TABLE_COLUMNS], width[LT_TABLE_COLUMNS];
	bool shown[LT_TABLE_COLUMNS]; /* columns that no row has anything in are left out */
	double whole;                 /* the table's width */
};

static const struct lt_type *type_of(const struct lt_table *table, size_t column)
{
	return table->columns[column].strong ? &strong_type : &text_type;
}

/* How wide a cell is with each of its lines unbroken. */
static double measure_cell(const struct lt_flow *flow, const struct lt_type *type, const char *text)
{
	double widest = 0;
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		double width = type->size *
			       flow->measure->width(flow->measure->data, type->face, text, length);
		widest = fmax(widest, width);
		text += length + (text[length] == '\n');
	}
	return widest;
}

static double swatch_room(const struct lt_table *table, size_t column,
	const struct lt_table_row *row)
{
	bool shown = table->columns[column].swatch && row->colour.count > 0;
	return shown ? SWATCH_WIDTH + BESIDE_SWATCH : 0;
}

static void find_shown(struct setting *setting)
{
	const struct lt_table *table = setting->table;
	bool any = false;
	for (size_t i = 0; i < table->count; i++) {
		if (table->rows[i].kind != LT_TABLE_CELLS)
			continue;
		any = true;
		for (size_t j = 0; j < table->column_count; j++)
			setting->shown[j] |= table->rows[i].cells[j] != NULL;
	}
	for (size_t j = 0; j < table->column_count; j++)
		setting->shown[j] |= !any;
}

/* How wide each column would be with no text broken. */
static void measure_columns(struct setting *setting)
{
	const struct lt_table *table = setting->table;
	find_shown(setting);
	for (size_t i = 0; i < table->column_count; i++)
		if (setting->shown[i])
			setting->width[i] =
				measure_cell(setting->flow, &head_type, table->columns[i].name);
	for (size_t i = 0; i < table->count; i++) {
		const struct lt_table_row *row = &table->rows[i];
		size_t count = row->kind == LT_TABLE_CELLS       ? table->column_count
			       : row->kind == LT_TABLE_WIDE_TEXT ? 1
								 : 0;
		for (size_t j = 0; j < count; j++) {
			if (row->cells[j] == NULL)
				continue;
			double width =
				swatch_room(table, j, row) +
				measure_cell(setting->flow, type_of(table, j), row->cells[j]);
			setting->width[j] = fmax(setting->width[j], width);
		}
	}
}

/* Settles the columns that should be whole, where they leave enough. Returns how many. */
static size_t settle_whole(bool *settled, double *room, const struct setting *setting)
{
	const struct lt_table *table = setting->table;
	double sum = 0;
	size_t count = 0;
	for (size_t i = 0; i < table->column_count; i++)
		sum += table->columns[i].whole ? setting->width[i] : 0;
	for (size_t i = 0; i < table->column_count && sum <= WHOLE_MOST * *room; i++)
		count += settled[i] = table->columns[i].whole;
	if (count > 0)
		*room -= sum;
	return count;
}

/* Lets the widest columns have the same width, such that all together have `room`. */
static void share(struct setting *setting, double room)
{
	bool settled[LT_TABLE_COLUMNS] = { false };
	double *width = setting->width;
	size_t count = setting->table->column_count;
	size_t left = count - settle_whole(settled, &room, setting);
	for (bool changed = true; changed && left > 0;) {
		changed = false;
		double each = room / (double)left;
		for (size_t i = 0; i < count && !changed; i++) {
			if (settled[i] || width[i] > each)
				continue;
			settled[i] = changed = true;
			room -= width[i];
			left--;
		}
	}
	for (size_t i = 0; i < count; i++)
		if (!settled[i])
			width[i] = room / (double)left;
}

/* Returns whether all texts have the width that they want. */
static bool set_columns(struct setting *setting)
{
	double room = lt_flow_width(setting->flow), sum = 0, gaps = -1;
	measure_columns(setting);
	for (size_t i = 0; i < setting->table->column_count; i++) {
		sum += setting->width[i];
		gaps += setting->shown[i];
	}
	double gap = gaps > 0 ? (room - sum) / gaps : 0;
	bool fits = sum + GAP_LEAST * gaps <= room;
	if (!fits) {
		gap = GAP_LEAST;
		share(setting, room - gap * gaps);
	}
	gap = fmin(gap, GAP_BEST);
	double x = 0;
	for (size_t i = 0; i < setting->table->column_count; i++) {
		setting->left[i] = x;
		if (!setting->shown[i])
			continue;
		setting->whole = x + setting->width[i];
		x = setting->whole + gap;
	}
	return fits;
}

/* Each line of the text as a paragraph; returns the y below. */
static double set_lines(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const char *text)
{
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		const char *line = lt_arena_copy(&flow->arena, text, length);
		y = lt_flow_paragraph(flow, x, y, width, type, line).y;
		text += length + (text[length] == '\n');
	}
	return y;
}

static double set_cell(const struct setting *setting, size_t column, const struct lt_table_row *row)
{
	struct lt_flow *flow = setting->flow;
	const struct lt_type *type = type_of(setting->table, column);
	double x = setting->left[column];
	double indent = swatch_room(setting->table, column, row);
	double baseline = PAD + lt_flow_baseline(flow, type);
	if (indent > 0) {
		double middle = baseline - lt_flow_capital(flow, type) / 2;
		lt_flow_swatch(flow, x, middle - SWATCH_HEIGHT / 2, SWATCH_WIDTH, SWATCH_HEIGHT,
			&row->colour);
	}
	if (column == 0 && row->turned)
		lt_flow_fill(flow, x, baseline + 0.14 * type->size,
			lt_flow_measure(flow, type, row->cells[0]), 0.08 * type->size, 0);
	return set_lines(flow, x + indent, PAD, setting->width[column] - indent, type,
		row->cells[column]);
}

static double set_wide_text(const struct setting *setting, const struct lt_table_row *row)
{
	bool numbered = row->cells[0] != NULL;
	double x = numbered ? setting->left[1] : 0;
	double y = numbered ? set_cell(setting, 0, row) : 0;
	return fmax(y, set_lines(setting->flow, x, PAD, lt_flow_width(setting->flow) - x,
			       &text_type, row->cells[1]));
}

static void set_row(const struct setting *setting, const struct lt_table_row *row)
{
	struct lt_flow *flow = setting->flow;
	double y = PAD + text_type.leading;
	lt_flow_begin(flow, (struct lt_flow_options){ 0 });
	lt_flow_rule(flow, 0, RULE / 2, setting->whole, 0, RULE, RULE_INK);
	if (row->kind == LT_TABLE_WIDE_TEXT)
		y = fmax(y, set_wide_text(setting, row));
	for (size_t i = 0; row->kind == LT_TABLE_CELLS && i < setting->table->column_count; i++)
		if (row->cells[i] != NULL)
			y = fmax(y, set_cell(setting, i, row));
	lt_flow_end(flow, y + PAD);
}

static void set_group(const struct setting *setting, const struct lt_table_row *row)
{
	struct lt_flow *flow = setting->flow;
	lt_flow_begin(flow, (struct lt_flow_options){ .under = true });
	lt_flow_rule(flow, 0, RULE / 2, setting->whole, 0, RULE, RULE_INK);
	double y = set_lines(flow, 0, 2 * PAD, lt_flow_width(flow), &strong_type, row->cells[0]);
	bool again = y < GROUP_MOST * lt_flow_height(flow);
	struct lt_flow_options *options = &flow->blocks[flow->block_count].options;
	options->repeats = again;
	options->keep = again;
	lt_flow_end(flow, y + PAD / 2);
}

static void set_heads(const struct setting *setting)
{
	struct lt_flow *flow = setting->flow;
	const struct lt_table *table = setting->table;
	const double gap = 7;
	lt_flow_begin(flow,
		(struct lt_flow_options){ .gap = gap, .keep = true, .ends_repeat = true });
	lt_flow_paragraph(flow, 0, 0, lt_flow_width(flow), &title_type, table->title);
	lt_flow_end(flow, 0);
	lt_flow_begin(flow, (struct lt_flow_options){ .keep = true, .repeats = true });
	double y = 0;
	for (size_t i = 0; i < table->column_count; i++)
		if (setting->shown[i])
			y = fmax(y, lt_flow_paragraph(flow, setting->left[i], 0.5,
					    setting->width[i], &head_type, table->columns[i].name)
					    .y);
	lt_flow_rule(flow, 0, y + 0.6, setting->whole, 0, HEAD_RULE, 0);
	lt_flow_end(flow, y + 0.6 + HEAD_RULE / 2);
}

bool lt_table_set(struct lt_flow *flow, const struct lt_table *table)
{
	struct setting setting = { .flow = flow, .table = table };
	bool fits = set_columns(&setting);
	set_heads(&setting);
	for (size_t i = 0; i < table->count; i++) {
		if (table->rows[i].kind == LT_TABLE_GROUP)
			set_group(&setting, &table->rows[i]);
		else
			set_row(&setting, &table->rows[i]);
	}
	free(table->rows);
	return fits;
}
