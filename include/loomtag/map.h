/* Map: a harness on paper: the overview with its trunk and branches, a panel for each connector,
 * indexes and wire tables.
 * To use it: lt_map_create, then lt_map_draw on a canvas; the overview alone by lt_overview_place
 * and lt_overview_draw. */
#ifndef LOOMTAG_MAP_H
#define LOOMTAG_MAP_H

#include "loomtag/draw.h"

/* The harness map on paper: overview, connector panels, wire list and index, each page complete in
 * itself: with its title block, cautions and QR code. */

/* No text on a map is smaller: 6 pt as an em, in mm. */
#define LT_MAP_TEXT_LEAST (6 * 25.4 / 72)

struct lt_map_options {
	double width, height; /* of the paper, mm */
	const char *date;     /* "2026-11-25" */
};
#define LT_MAP_OPTIONS_INIT \
	{ \
		297, 210, NULL \
	}

struct lt_map;

/* Places everything on pages. The arguments must outlive the map. NULL with an error when the paper
 * is too small. n log n in the number of connectors. */
struct lt_map *lt_map_create(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	const struct lt_map_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

/* Takes NULL. */
void lt_map_destroy(struct lt_map *map);

size_t lt_map_pages(const struct lt_map *map);

/* The page, from 1, with the connector's panel. */
size_t lt_map_page_of(const struct lt_map *map, size_t connector);

/* Draws all pages. Photographs are read as they are drawn, one at a time; one that cannot be read
 * is warned of. */
bool lt_map_draw(struct lt_map *map, struct lt_canvas *canvas, struct lt_diags *diags);

/* By connector, from `arena`: true where the text of a hazard has its id as a word of its own, in
 * any case. Linear in the texts. */
bool *lt_map_dangers(struct lt_arena *arena, const struct lt_harness *harness);

/* The harness map's overview: the harness as it lies on a forming board. This decides what is
 * placed where; it draws nothing.
 *
 * On every page a trunk lies along the page and a branch leaves it for every connector, in the
 * order of their places along the harness. At a branch's end are a badge with the number, a label
 * and, beside it, the component. Cells for these stand in columns, some one above the other, on
 * both sides of the trunk; branches reach them through channels between the columns.
 *
 * Lengths in mm from the page's top-left corner, y down. A text's size is its em: 6 pt is an em of
 * 2.117 mm. A text's box reaches from the face's ascent to its descent, and as wide as it measures.
 */

#define LT_OVERVIEW_TEXT_LEAST (6 * 25.4 / 72)

struct lt_overview_options {
	double width, height; /* of the page */
	double margin;        /* on all sides */
	double head, foot;    /* within the margins, kept free for others */
	double text_least;    /* no text has a smaller em */
	bool naive;           /* sides alternate in order, as something to compare with */
};
#define LT_OVERVIEW_OPTIONS_INIT \
	{ \
		297, 210, 10, 0, 0, LT_OVERVIEW_TEXT_LEAST, false \
	}

struct lt_overview_box {
	double x, y, width, height;
};

enum lt_overview_role {
	LT_OVERVIEW_BADGE,     /* a number, or a dash where there is none */
	LT_OVERVIEW_NAME,      /* the connector's, or its id where it has none */
	LT_OVERVIEW_ID,        /* its id, the port it goes to, its place along the harness */
	LT_OVERVIEW_PLACE,     /* where it is */
	LT_OVERVIEW_MARK,      /* what has to come first, that it has no sticker */
	LT_OVERVIEW_SIGN,      /* the letter in a sign */
	LT_OVERVIEW_COMPONENT, /* its id and name, its place, how many boxes it has, that it is new
				*/
	LT_OVERVIEW_HAZARD,    /* in the head */
	LT_OVERVIEW_LIST,      /* what the signs mean, in the foot */
	LT_OVERVIEW_TRUNK      /* where the trunk goes on; the places at its ends, when to scale */
};

/* One line of text. */
struct lt_overview_text {
	enum lt_overview_role role;
	struct lt_overview_box box;
	double baseline;
	enum lt_face face;
	double size;
	bool white;     /* on a filled badge; else black */
	bool shortened; /* ends in an ellipsis, having had no room on two lines */
	const char *text;
	size_t connector; /* whose it is, or LT_NONE */
};

enum lt_overview_sign_kind {
	LT_OVERVIEW_ALIKE,   /* a letter: one of a group of look-alikes */
	LT_OVERVIEW_UNKNOWN, /* "?": what else it would fit is not known */
	LT_OVERVIEW_DANGER   /* "!": one of the hazards names it */
};
struct lt_overview_sign {
	enum lt_overview_sign_kind kind;
	struct lt_overview_box box;
	size_t connector;
};

/* How far, in mm, a branch may be from its true place on a trunk that is said to be to scale. */
#define LT_OVERVIEW_OFF_SCALE 3.0

#define LT_OVERVIEW_POINTS 5
struct lt_overview_branch {
	double x[LT_OVERVIEW_POINTS], y[LT_OVERVIEW_POINTS]; /* from trunk to badge */
	size_t count;
};

/* One connector. */
struct lt_overview_label {
	size_t connector;
	unsigned number;              /* 0: none */
	bool above;                   /* the trunk */
	size_t column, tier;          /* tier 0 is nearest to the trunk */
	double place;                 /* along the harness, mm; steps where no connector says */
	bool guessed;                 /* the description does not say where it leaves the trunk */
	bool turned;                  /* its number reads as another one upside down */
	struct lt_overview_box cell;  /* badge and texts, without the component */
	struct lt_overview_box badge; /* filled where there is a sticker, else framed */
	enum lt_marking marking;
	struct lt_overview_branch branch;
	/* A line from the label to its component, where there is one. */
	bool mates;
	double mate_from, mate_to, mate_y;
};

/* A component, beside one or more labels that lie next to each other. */
struct lt_overview_component {
	size_t component;
	struct lt_overview_box box;
	bool replaced;
};

/* One line of look-alikes joined in a list. */
struct lt_overview_list {
	const char *sign;
	struct lt_overview_box box;
	size_t group; /* of lt_lookalike_groups, or LT_NONE: unknown fit, hazards */
};

struct lt_overview_page {
	struct lt_overview_box board; /* what is left between hazards and lists */
	struct lt_overview_box trunk;
	double from, to;      /* the labels' places that lie at its ends */
	size_t before, after; /* pages, from 1, where the trunk goes on; 0: it ends here */
	bool to_scale; /* along the trunk, within LT_OVERVIEW_OFF_SCALE; the ends are marked */
	struct lt_overview_label *labels; /* in the order of their places */
	size_t label_count;
	struct lt_overview_component *components;
	size_t component_count, component_room;
	struct lt_overview_sign *signs;
	size_t sign_count, sign_room;
	struct lt_overview_list *lists;
	size_t list_count, list_room;
	struct lt_overview_text *texts;
	size_t text_count, text_room;
};

struct lt_overview {
	struct lt_arena arena;
	double width, height, text; /* the em of its smallest text */
	struct lt_overview_page *pages;
	size_t page_count;
	/* 0 when every page has the hazards in full; else they are only named, as being in full on
	 * the page that follows the overview: this one, from 1. */
	size_t hazards_page;
};

/* Places the overview. The text is as large as the least number of pages allows. `out` is
 * initialised by the call; finish it either way. n log n in the number of connectors: the search
 * for sides is bounded by the room on a page. Error: a page that has no room for one connector. */
bool lt_overview_place(struct lt_overview *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_overview_options *options,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_overview_finish(struct lt_overview *overview);

/* How good a page is: the fewer crossings the better, then the shorter, then the more even.
 * `length` is that of all branches, and LT_OVERVIEW_APART more for each box of a component beyond
 * its first: joints of one component come to lie side by side where that costs less. */
#define LT_OVERVIEW_APART 60.0
struct lt_overview_quality {
	size_t crossings; /* pairs of branches that meet, and of a branch and another's cell */
	double length;
	size_t imbalance; /* labels above less those below, or the reverse */
};

/* Measures what was placed. Quadratic in the labels of the page. */
struct lt_overview_quality lt_overview_quality(const struct lt_overview_page *page);

/* Below 0 when a is better, above when b is; lengths within a thousandth of a mm are equal. */
int lt_overview_compare(struct lt_overview_quality a, struct lt_overview_quality b);

/* Draws one page's overview, page from 0, between begin_page and end_page. */
void lt_overview_draw(struct lt_canvas *canvas, const struct lt_overview *overview, size_t page);

#endif
