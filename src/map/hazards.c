/* Hazards, one below the other: the energy, then what is done about it. */
#include "loomtag/words.h"
#include "map/parts.h"

#define LABEL 18.0   /* the width of the labels */
#define WIDEST 200.0 /* lines that are longer are hard to read */
#define BETWEEN 4.0
#define RULE 0.3

/* A heading higher than this share of a page is not shown again where its hazard goes on. */
#define HEADING_MOST 0.25

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

/* It stays with its first line, and is shown again on pages that the others begin. */
static void set_heading(struct lt_flow *flow, const struct lt_hazard *hazard)
{
	lt_flow_begin(flow,
		(struct lt_flow_options){ .gap = BETWEEN, .keep = true, .ends_repeat = true });
	lt_flow_rule(flow, 0, 0, width_of(flow), 0, RULE, 0);
	struct lt_text title = { 0 };
	lt_hazard_add_title(&title, hazard);
	double below = lt_flow_paragraph(flow, 0, 1, width_of(flow), &lt_type_title,
		lt_arena_shown(&flow->arena, lt_text_string(&title)))
			       .y;
	lt_text_finish(&title);
	flow->blocks[flow->block_count].options.repeats =
		below <= HEADING_MOST * lt_flow_height(flow);
	lt_flow_end(flow, 0);
}

/* What it does to people, or what is done about it. */
static void set_line(struct lt_flow *flow, const char *label, const char *text, bool keep)
{
	lt_flow_begin(flow, (struct lt_flow_options){ .gap = 0.5, .keep = keep });
	lt_flow_paragraph(flow, 0, 0, LABEL, &lt_type_body, label);
	lt_flow_paragraph(flow, LABEL, 0, width_of(flow) - LABEL, &lt_type_strong,
		lt_arena_shown(&flow->arena, text));
	lt_flow_end(flow, 0);
}

void lt_map_hazards_place(struct lt_flow *out, const struct lt_map_input *input,
	const struct lt_map_area *area)
{
	const struct lt_harness *harness = input->tags->harness;
	lt_flow_init(out, input->measure, area->width, area->height, 0, 0);
	set_paragraph(out, &lt_type_strong, 0, lt_map_words.hazards_how);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		set_heading(out, hazard);
		if (hazard->harm != NULL)
			set_line(out, lt_hazard_words.harm, hazard->harm, true);
		for (size_t step = 0; step < LT_HAZARD_STEPS; step++)
			set_line(out, lt_hazard_step_name(step), lt_hazard_step(hazard, step),
				step + 1 < LT_HAZARD_STEPS);
	}
	set_paragraph(out, &lt_type_body, BETWEEN, lt_caution_work);
	set_paragraph(out, &lt_type_body, 1, lt_caution_scan);
	lt_flow_lay(out);
}
