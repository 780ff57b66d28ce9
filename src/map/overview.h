/* What the files of the overview share: the pages as they are placed, and what leads there.
 *
 * Cells for the badges, labels and components stand in columns, some one above the other, on both
 * sides of the trunk; branches reach them through channels between the columns.
 *
 * Lengths in mm from the page's top-left corner, y down. A text's size is its em: 6 pt is an em of
 * 2.117 mm. A text's box reaches from the face's ascent to its descent, and as wide as it measures.
 */
#ifndef LOOMTAG_MAP_OVERVIEW_H
#define LOOMTAG_MAP_OVERVIEW_H

#include "map/parts.h"

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
	struct lt_map_area box;
	double baseline;
	enum lt_typeface face;
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
	struct lt_map_area box;
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
	unsigned number;          /* 0: none */
	bool above;               /* the trunk */
	double place;             /* along the harness, mm; steps where no connector says */
	bool guessed;             /* the description does not say where it leaves the trunk */
	bool turned;              /* its number reads as another one upside down */
	struct lt_map_area cell;  /* badge and texts, without the component */
	struct lt_map_area badge; /* filled where there is a sticker, else framed */
	enum lt_marking marking;
	struct lt_overview_branch branch;
	/* A line from the label to its component, where there is one. */
	bool mates;
	double mate_from, mate_to, mate_y;
};

/* A component, beside one or more labels that lie next to each other. */
struct lt_overview_component {
	size_t component;
	struct lt_map_area box;
	bool replaced;
};

/* One line of look-alikes joined in a list. */
struct lt_overview_list {
	const char *sign;
	struct lt_map_area box;
};

struct lt_overview_page {
	struct lt_map_area board; /* what is left between hazards and lists */
	struct lt_map_area trunk;
	double from, to;      /* the labels' places that lie at its ends */
	size_t before, after; /* pages, from 1, where the trunk goes on; 0: it ends here */
	bool to_scale; /* along the trunk, within LT_OVERVIEW_OFF_SCALE; the ends are marked */
	struct lt_overview_label *labels; /* in the order of their places */
	size_t label_count;
	struct lt_overview_component *components;
	size_t component_count;
	struct lt_overview_sign *signs;
	size_t sign_count;
	struct lt_overview_list *lists;
	size_t list_count;
	struct lt_overview_text *texts;
	size_t text_count, text_room;
};

/* Joints of one component come to lie side by side where that makes the branches longer by less
 * than this for each box of the component beyond its first. */
#define LT_OVERVIEW_APART 60.0

/* From the trunk's ends to the first and last places on it: where it is to scale, its ends are
 * where to measure from. */
#define LT_OVERVIEW_TRUNK_END 0.6

/* The trunk's thickness; the branches' lines and how far apart they are at least. */
#define LT_OVERVIEW_TRUNK_WIDTH 2.4
#define LT_OVERVIEW_LINE 0.35
#define LT_OVERVIEW_PITCH 1.3

/* White space on either side of the band between the trunk and the nearest cells, in which
 * branches run along the trunk on tracks; and how many of them there is always room for. */
#define LT_OVERVIEW_CLEAR 1.3
#define LT_OVERVIEW_TRACKS_LEAST 6

/* From a channel's last branch to the badge. */
#define LT_OVERVIEW_STUB 2.0

/* White space between cells one above the other, at least. */
#define LT_OVERVIEW_GAP 2.0

/* A connector where it belongs on the trunk. */
struct lt_overview_stop {
	size_t connector;
	size_t component; /* that it mates, or LT_NONE */
	double place;
	bool guessed;
};

/* What is known of the connectors beside the harness. */
struct lt_overview_facts {
	size_t *group;  /* by connector: of look-alikes, or LT_NONE */
	size_t *joints; /* of each component */
	const struct lt_indices *groups;
	size_t group_count;
	const char **group_words; /* of each group, for the list in the foot */
};

/* Text, set in lines that are measured but have no place yet. */
#define LT_OVERVIEW_LINES 10
struct lt_overview_line {
	enum lt_overview_role role;
	enum lt_typeface face;
	double size;
	bool shortened;
	const char *text;
};
struct lt_overview_block {
	struct lt_overview_line lines[LT_OVERVIEW_LINES];
	size_t count;
	double height;
};

/* Sizes that follow from the page and the size of its text. */
struct lt_overview_sizes {
	double em; /* of the smallest text */
	double badge_em, badge_width, badge_height;
	double sign;             /* height of signs */
	size_t columns, tiers;   /* tiers: the most that the channels have room for */
	size_t tracks;           /* in the band */
	double band;             /* its height, with the white space */
	double column, channel;  /* a column's width, and that of the channel in it */
	double label, component; /* widths of the texts; component with its frame's padding */
	double cell_height;
};

/* What a connector's label says. */
#define LT_OVERVIEW_SIGNS 2
struct lt_overview_words {
	struct lt_overview_block label, component;
	const char *signs[LT_OVERVIEW_SIGNS]; /* letters; NULL behind the last */
	enum lt_overview_sign_kind sign_kinds[LT_OVERVIEW_SIGNS];
	const char *badge;
};

/* How the head shows the hazards. Their words are never shortened. */
enum lt_overview_hazards {
	LT_OVERVIEW_HAZARDS_FULL,   /* energies, and all that is to be done */
	LT_OVERVIEW_HAZARDS_NAMED,  /* energies, and the page with the rest */
	LT_OVERVIEW_HAZARDS_COUNTED /* how many, and the page */
};

/* What is chosen for all pages: page i has stops firsts[i] to firsts[i + 1] - 1. */
struct lt_overview_plan {
	struct lt_overview_sizes sizes;
	double scale;  /* of the text, in its least size */
	double height; /* of the page between head and foot */
	enum lt_overview_hazards how;
	double hazards; /* height that they take */
	size_t *firsts;
	size_t count;
};

struct lt_overview_context {
	const struct lt_map_input *input;
	struct lt_overview_options options;
	struct lt_overview_facts facts;
	struct lt_overview_stop *stops; /* in the order of their places */
	bool known;                     /* any place is given */
	struct lt_overview_plan plan;
	const size_t *boxes;    /* of each component on all pages; NULL while not known */
	struct lt_arena *arena; /* for texts */
};

/* Between badge and label, and between label and component, in ems of the smallest text; and of the
 * latter at least what a line is seen on. */
#define LT_OVERVIEW_BESIDE 0.6
#define LT_OVERVIEW_MATE 0.75
#define LT_OVERVIEW_MATE_LEAST 0.55

#define LT_OVERVIEW_LEADING 1.24
#define LT_OVERVIEW_PAD 0.5 /* of frames, in ems of the smallest text */

/* Adds `text` on at most `most` lines, broken at spaces; within words where it would not fit
 * otherwise; what is left even then is cut off the last line with an ellipsis. Nothing for NULL. */
void lt_overview_wrap(struct lt_overview_block *block, const struct lt_overview_context *context,
	struct lt_overview_line type, double width, size_t most, const char *text);

/* How many bytes of `text` go on a line that is so many ems wide: up to the last space that fits,
 * else what fits; what fits in any case when words may be broken; 0 where not even one character
 * does. */
size_t lt_overview_fitting(const struct lt_overview_context *context, enum lt_typeface face,
	double ems, const char *text, bool break_words);

/* "A", "B" … "Z", "AA" …; from the arena. */
const char *lt_overview_letter(struct lt_arena *arena, size_t group);

/* Connectors by number, those without one last. */
struct lt_indices lt_overview_by_number(const struct lt_overview_context *context,
	const struct lt_indices *members);

/* Their numbers, or "C1 (no number)", in the order given: about `limit` bytes of them at most,
 * and how many more there are. */
const char *lt_overview_numbers(const struct lt_overview_context *context,
	struct lt_indices connectors, size_t limit);

void lt_overview_words(struct lt_overview_words *out, const struct lt_overview_context *context,
	size_t connector);

/* What a component's box says. While it is not known in how many boxes it is drawn, with room for
 * that. */
void lt_overview_component_words(struct lt_overview_block *out,
	const struct lt_overview_context *context, size_t component);

/* The width of the widest badge text, in ems; and of a label's signs. */
double lt_overview_badge_ems(const struct lt_overview_context *context);
double lt_overview_signs_width(const struct lt_overview_context *context,
	const struct lt_overview_words *words);

/* Set the head's hazards and the foot's lists of a page with these stops. Without a page they only
 * measure; return the height with the white space to the board. */
double lt_overview_hazards(struct lt_overview_page *page,
	const struct lt_overview_context *context);
double lt_overview_lists(struct lt_overview_page *page, const struct lt_overview_context *context,
	size_t first, size_t count);

/* What a list says of a group of look-alikes. */
const char *lt_overview_group_words(const struct lt_overview_context *context,
	const struct lt_indices *group);

/* The tiers that a board of this height has room for on each side. */
size_t lt_overview_page_tiers(const struct lt_overview_context *context, double height);

/* Fills pages[page]. */
void lt_overview_place_page(struct lt_overview_page *pages, size_t page,
	const struct lt_overview_context *context, struct lt_map_area board);

/* Adds what the components' boxes of a page say, once context->boxes is known. */
void lt_overview_say_components(struct lt_overview_page *page,
	const struct lt_overview_context *context);

/* Places a text on a page. */
struct lt_overview_text *lt_overview_add_text(struct lt_overview_page *page,
	const struct lt_overview_context *context, const struct lt_overview_line *line, double x,
	double top, size_t connector);

/* Where the cells of one page are, and what is to go into them. */
struct lt_overview_grid {
	size_t count;            /* labels */
	const double *x;         /* where each leaves the trunk if there is room, ascending */
	const size_t *component; /* of each, or LT_NONE */
	double trunk_left, trunk_right;
	size_t columns, tiers;
	double left, column, channel; /* of the first column; see lt_overview_sizes */
	size_t tracks;                /* that there is room for at the usual distance */
	double pitch;                 /* of branches in a channel */
	double first, step;           /* from the trunk's edge to the middle of tier 0, and on */
};

/* Where each label goes. */
struct lt_overview_seat {
	bool above;
	size_t column, tier;
	double exit;  /* x where it leaves the trunk */
	double slot;  /* x in its channel */
	size_t track; /* from 1, counted from the trunk; 0: straight */
};

/* Fills seats for the sides given in them, each side in the order of x, so that no two branches
 * cross and the length is the least for these sides; returns the length with LT_OVERVIEW_APART for
 * every box of a component (the first as well). Each side must have cells enough. */
double lt_overview_seat(struct lt_overview_seat *seats, const struct lt_overview_grid *grid);

/* Finds better sides than alternating ones: those changed, a few labels at a time and a bounded
 * number of times, as long as that makes the page better. */
void lt_overview_choose(struct lt_overview_seat *seats, const struct lt_overview_grid *grid);

/* The most tracks that any side needs. Sets the seats' tracks. */
size_t lt_overview_tracks(struct lt_overview_seat *seats, const struct lt_overview_grid *grid);

#endif
