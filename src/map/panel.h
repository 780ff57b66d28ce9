/* What the files of a connector panel share. Lengths in mm. */
#ifndef LOOMTAG_MAP_PANEL_H
#define LOOMTAG_MAP_PANEL_H

#include "map/parts.h"

/* Shapes that lie under the text. All are given by their box; a line goes from its top left corner
 * to its bottom right one, upwards where its height is below 0. */
enum lt_panel_shape_kind {
	LT_PANEL_LINE,
	LT_PANEL_BOX,
	LT_PANEL_CIRCLE,
	LT_PANEL_POLYGON,
	LT_PANEL_SWATCH,
	LT_PANEL_GLUE /* not seen: keeps what is within it on one page */
};
struct lt_panel_shape {
	enum lt_panel_shape_kind kind;
	double x, y, width, height;
	struct lt_pen pen;
	const struct lt_point *points; /* LT_PANEL_POLYGON; static data */
	size_t count;
	const struct lt_colour *colour; /* LT_PANEL_SWATCH; lives as long as the harness */
};

/* What is being placed: texts are the flow's, shapes are beside them. */
struct lt_sketch {
	struct lt_flow flow;
	struct lt_panel_shape *shapes;
	size_t shape_count, shape_room;
};

void lt_sketch_init(struct lt_sketch *sketch, const struct lt_measure *measure);
void lt_sketch_finish(struct lt_sketch *sketch);

void lt_sketch_line(struct lt_sketch *sketch, double x1, double y1, double x2, double y2,
	struct lt_pen pen);
void lt_sketch_box(struct lt_sketch *sketch, double x, double y, double width, double height,
	struct lt_pen pen);
void lt_sketch_circle(struct lt_sketch *sketch, double x, double y, double radius,
	struct lt_pen pen);
/* The points must be static data. */
void lt_sketch_polygon(struct lt_sketch *sketch, const struct lt_point *points, size_t count,
	struct lt_pen pen);
void lt_sketch_swatch(struct lt_sketch *sketch, double x, double y, double width, double height,
	const struct lt_colour *colour);
void lt_sketch_glue(struct lt_sketch *sketch, double top, double bottom);

/* One line of text about the middle `x`; y is the top of its box. */
void lt_sketch_centred(struct lt_sketch *sketch, double x, double y, const struct lt_type *type,
	const char *text);

/* The code of a way's wire about the middle `x`, and that it is protective earth; returns the y
 * below with the gap. */
double lt_sketch_code(struct lt_sketch *sketch, double x, double y, const struct lt_way *way,
	size_t wire, double gap);

/* The height of a text's box. */
double lt_sketch_text_height(const struct lt_sketch *sketch, const struct lt_type *type);

/* A kept sketch. */
struct lt_drawing {
	const struct lt_flow_item *items;
	const struct lt_panel_shape *shapes;
	size_t item_count, shape_count;
	double width, height; /* that it reaches, from its corner */
};
void lt_sketch_keep(struct lt_drawing *out, struct lt_arena *arena, const struct lt_sketch *sketch);

/* A drawing of one paragraph; returns the y below it. */
double lt_drawing_paragraph(struct lt_drawing *out, struct lt_arena *arena,
	const struct lt_measure *measure, const struct lt_map_area *box, const struct lt_type *type,
	const char *text);

/* Draws what begins at `top` and above `bottom` of it, its corner at x, y. */
void lt_drawing_draw(struct lt_canvas *canvas, const struct lt_drawing *drawing, double x, double y,
	double top, double bottom);

/* A thin outline, its line within the box. */
void lt_panel_outline(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_pen *pen);
extern const struct lt_pen lt_panel_frame;

/* The types of a panel. */
extern const struct lt_type lt_panel_text, lt_panel_strong, lt_panel_label, lt_panel_way,
	lt_panel_code;

/* One way of a connector, as the front view shows it. */
struct lt_panel_way {
	const char *name;          /* NULL: there is one, but its name is not known */
	const struct lt_way *wire; /* NULL: none with a colour */
	bool colour_missing;       /* a wire of the list whose colour is not given */
	size_t row, column;
};
struct lt_panel_ways {
	struct lt_panel_way *items;
	size_t count;
	size_t wires;                          /* most that one way shows; at least 1 */
	size_t earths;                         /* most of one way that are protective earth */
	bool described;                        /* one way at least has a wire */
	size_t unnamed, empty, colour_missing; /* how many */
	bool filled; /* all rows but the last are to be of one length; else they share evenly */
	size_t rows, columns; /* set by lt_panel_ways_arrange */
};

/* All ways of a connector in their order. */
void lt_panel_ways(struct lt_panel_ways *out, struct lt_arena *arena,
	const struct lt_map_input *input, size_t connector);

/* Gives each way its place in so many rows (at least 1), counted as the order says; circles as
 * across. Where the ways do not divide evenly, the first rows are longer by one, or the last is
 * shorter. */
void lt_panel_ways_arrange(struct lt_panel_ways *ways, size_t rows,
	const struct lt_way_order *order);

/* The front view. */
struct lt_front {
	struct lt_drawing drawing;
	bool broken;   /* too wide for its width: in pieces, or a circle unrolled */
	bool squeezed; /* rows that are not described are shorter than they would be */
};
/* Pieces are at most `width` wide and `height` high (at least 35 and 40). Nothing without ways. */
void lt_front_place(struct lt_front *out, struct lt_arena *arena, const struct lt_measure *measure,
	const struct lt_connector *connector, const struct lt_panel_ways *ways, double width,
	double height);

/* A sign for the kind, with its wire's colour; for kinds that have no ways to count. */
void lt_panel_sign(struct lt_drawing *out, struct lt_arena *arena, const struct lt_measure *measure,
	const struct lt_connector *connector, const struct lt_panel_ways *ways, double width);

struct lt_panel {
	const struct lt_tags *tags;
	size_t connector;
	double width, height;
	struct lt_drawing body;
	struct lt_front front; /* or sign */
	bool has_front;        /* a front view, not a sign */
	double front_x, front_y;
	struct lt_map_area qr; /* of the symbol, without its quiet zone */
	double module;
	struct lt_map_area photo;
	struct lt_drawing no_photo;  /* within it, where it cannot be read */
	struct lt_drawing continued; /* head of what is not on the first page */
};

/* Space between the panel's frame and what is in it; height of the head when it goes on. */
#define LT_PANEL_PAD 2.5
#define LT_PANEL_CONTINUED 7.0

/* Places one connector's panel, `width` wide, with its corner at 0, 0; all of it from `arena`.
 * Never NULL: what is too long for a line is set on more of them. No piece of the front view is
 * higher than `piece`, and it may stand beside the text where `beside`. */
struct lt_panel *lt_panel_place(struct lt_arena *arena, const struct lt_map_input *input,
	size_t connector, double width, double piece, bool beside);

/* Where a panel can be parted, ascending: each in white space over its whole width. From the
 * arena. */
size_t lt_panel_breaks(double **out, struct lt_arena *arena, const struct lt_panel *panel);

/* Draws a part with its frame, its corner at x, y: what is between `top` and `bottom` in it. Reads
 * its photograph, if any, and warns where that cannot be read (the panel says so too). */
bool lt_panel_draw(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y,
	double top, double bottom, struct lt_diags *diags);

#endif
