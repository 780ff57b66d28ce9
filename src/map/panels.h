/* Connector panels: what each connector looks like from the front, way by way, and all that there
 * is to know of it. A panel is first a list of placed boxes, then ink. Lengths in mm. */
#ifndef LOOMTAG_MAP_PANELS_H
#define LOOMTAG_MAP_PANELS_H

#include "loomtag/map.h"
#include "map/parts.h"

struct lt_panel;
struct lt_drawing;

/* Places one connector's panel, `width` wide, with its corner at 0, 0; all of it from `arena`.
 * Never NULL: what is too long for a line is set on more of them. */
struct lt_panel *lt_panel_place(struct lt_arena *arena, const struct lt_map_input *input,
	size_t connector, double width);

double lt_panel_width(const struct lt_panel *panel);
double lt_panel_height(const struct lt_panel *panel);

/* Draws it with its corner at x, y. Reads its photograph, if any, and warns where that cannot be
 * read (the panel says so too). */
bool lt_panel_draw(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y,
	struct lt_diags *diags);

/* Draws the front view alone, for other documents; its size is lt_panel_front_size's. Nothing, and
 * 0, for a connector without ways. */
void lt_panel_front_size(double *width, double *height, const struct lt_panel *panel);
void lt_panel_front_draw(struct lt_canvas *canvas, const struct lt_panel *panel, double x,
	double y);

/* All panels, in the order of their numbers, those without number last, on pages. The codes of
 * colours are told in words before the first, where it leaves room on its page. */
struct lt_panels {
	struct lt_arena arena;
	size_t page_count;
	size_t *page_of; /* by connector, from 0 */
	struct lt_panel_spot *spots;
	size_t spot_count;
	struct lt_drawing *key; /* of colours, at the head of the first page; or NULL */
	struct lt_map_area area;
};

/* Finish `out` either way. Error: an area too small for a panel. */
bool lt_panels_place(struct lt_panels *out, const struct lt_map_input *input,
	const struct lt_map_area *area, struct lt_diags *diags);
/* Takes NULL or a zeroed struct. */
void lt_panels_finish(struct lt_panels *panels);

/* Draws a page of them, from 0, between begin_page and end_page. */
bool lt_panels_draw(struct lt_canvas *canvas, const struct lt_panels *panels, size_t page,
	struct lt_diags *diags);

#endif
