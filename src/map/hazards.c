/* Hazards, one below the other: the energy, then what is done about it. */
#include "loomtag/words.h"
#include "map/parts.h"

#define LABEL 18.0   /* the width of the steps' names */
#define WIDEST 200.0 /* lines that are longer are hard to read */
#define BETWEEN 4.0
#define RULE 0.3

/* A heading higher than this share of a page is not shown again where its hazard goes on. */
#define HEADING_MOST 0.25

static const char order[] =
	"Before anything is unplugged: isolate, release and prove each energy, in this order. "
	"Restore last.";

static double width_of(const struct lt_flow *flow)
{
	double width = lt_flow_width(flow);
	return width < WIDEST ? width : WIDEST;
}

static void set_paragraph(struct lt_flow *flow, const struct lt_type *type, double gap,
	const char *text)
{
	lt_flow_begin(flow, (struct lt_flow_options){ .gap = gap, .ends_repeat = true });
	lt_flow_paragraph(flow, 0, 0, width_of(flow), type, text);
	lt_flow_end(flow, 0);
}

/* It stays with its first step, and is shown again on pages that the others begin. */
static void set_heading(struct lt_flow *flow, const char *energy)
{
	lt_flow_begin(flow,
		(struct lt_flow_options){ .gap = BETWEEN, .keep = true, .ends_repeat = true });
	lt_flow_rule(flow, 0, 0, width_of(flow), 0, RULE, 0);
	const char *text =
		lt_arena_printf(&flow->arena, "HAZARD: %s", lt_arena_shown(&flow->arena, energy));
	double below = lt_flow_paragraph(flow, 0, 1, width_of(flow), &lt_type_title, text).y;
	flow->blocks[flow->block_count].options.repeats =
		below <= HEADING_MOST * lt_flow_height(flow);
	lt_flow_end(flow, 0);
}

static void set_step(struct lt_flow *flow, const struct lt_hazard *hazard, size_t step)
{
	bool last = step + 1 == LT_HAZARD_STEPS;
	lt_flow_begin(flow, (struct lt_flow_options){ .gap = 0.5, .keep = !last });
	lt_flow_paragraph(flow, 0, 0, LABEL, &lt_type_body, lt_hazard_step_name(step));
	lt_flow_paragraph(flow, LABEL, 0, width_of(flow) - LABEL, &lt_type_strong,
		lt_arena_shown(&flow->arena, lt_hazard_step(hazard, step)));
	lt_flow_end(flow, 0);
}

void lt_map_hazards_place(struct lt_flow *out, const struct lt_map_input *input,
	const struct lt_map_area *area)
{
	const struct lt_harness *harness = input->tags->harness;
	lt_flow_init(out, input->measure, area->width, area->height, 0, 0);
	set_paragraph(out, &lt_type_strong, 0, order);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		set_heading(out, harness->hazards[i].energy);
		for (size_t step = 0; step < LT_HAZARD_STEPS; step++)
			set_step(out, &harness->hazards[i], step);
	}
	set_paragraph(out, &lt_type_body, BETWEEN, lt_caution_work);
	set_paragraph(out, &lt_type_body, 1, lt_caution_scan);
	lt_flow_lay(out);
}
