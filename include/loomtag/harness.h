/* Harness: reads and checks a description, and derives from it which connectors are look-alikes,
 * the order of reconnection, and which wires each connector has.
 * To use it: lt_harness_read, then ask the struct lt_harness; lt_lookalikes_create for look-alikes.
 * Errors and warnings go into a struct lt_diags, each with its place. */
#ifndef LOOMTAG_HARNESS_H
#define LOOMTAG_HARNESS_H

#include "loomtag/trade.h"

/* The model of one harness: what a description says, checked and linked.
 *
 * Everything in it is owned by its arena. Strings are UTF-8, never empty; NULL means not given. */

#define LT_DESCRIPTION_MAX (16u * 1024 * 1024) /* bytes */
#define LT_CONNECTORS_MAX 20000u
#define LT_HARNESS_CODE_MAX 12u /* characters, with unit */
#define LT_WAYS_MAX 999u
#define LT_NONE ((size_t)-1) /* no index */

/* What comes apart: `kind:`. Up to the strap it mates with a component; from the screw on it is a
 * thing that is taken off, not a joint of the harness. */
enum lt_kind {
	LT_PLUG,
	LT_RING,
	LT_SPADE,
	LT_HOSE,
	LT_STRAP,
	LT_CLIP,
	LT_SCREW,
	LT_COVER,
	LT_SPRING,
	LT_SEAL,
	LT_CAP,
	LT_BRACKET,
	LT_KIND_COUNT
};

/* How a connector is marked: `tag:`. */
enum lt_marking {
	LT_MARK_STICKER,
	LT_MARK_PAPER, /* no room for a sticker: the checklist carries the number */
	LT_MARK_NONE   /* not numbered, only ticked */
};

/* How badly a hazard hurts a person who does not avoid it, `signal:`, in the words of ISO 3864-2
 * and ANSI Z535.6: a danger kills or injures seriously, a warning could, a caution could injure
 * slightly or moderately. */
enum lt_signal {
	LT_SIGNAL_NONE, /* not described */
	LT_SIGNAL_DANGER,
	LT_SIGNAL_WARNING,
	LT_SIGNAL_CAUTION,
	LT_SIGNAL_COUNT
};

struct lt_hazard {
	struct lt_place place;
	const char *energy;
	enum lt_signal signal;
	const char *harm;                                /* what it does to people; or NULL */
	const char *isolate, *release, *prove, *restore; /* or NULL */
};

struct lt_component {
	struct lt_place place;
	const char *id;
	const char *name, *where; /* or NULL */
	bool replace;             /* fate: replace */
	struct lt_place name_place;
};

/* Sides of a connector's face as the map shows it: `latch:`. */
enum lt_edge { LT_EDGE_NONE, LT_EDGE_TOP, LT_EDGE_BOTTOM, LT_EDGE_LEFT, LT_EDGE_RIGHT };

/* How ways are counted, looking at the mating face of the harness half: `numbering:`. Words of it
 * in any order: "across" (row after row, the usual way), "down" (column after column), "around"
 * (the first row, and the next one back), "clockwise" or "anticlockwise" (ways in a circle;
 * where it begins on the moulding is not described), and "from right" (way 1 at the top right, not
 * the top left). */
enum lt_way_path {
	LT_WAYS_NONE, /* not given: drawn as across, as a schematic only */
	LT_WAYS_ACROSS,
	LT_WAYS_DOWN,
	LT_WAYS_AROUND,
	LT_WAYS_CLOCKWISE,
	LT_WAYS_ANTICLOCKWISE
};
struct lt_way_order {
	enum lt_way_path path;
	bool from_right; /* not with the circles */
};

/* One way of a connector that has a wire. */
struct lt_way {
	const char *name;          /* "1", "A", as written */
	struct lt_colour *colours; /* one, or two where two wires share the way; as parsed */
	const char **written;      /* the IEC codes of these colours */
	size_t count;
	bool from_list; /* it came from the wire list */
};

/* The ways of a moulding by the names on it. */
struct lt_way_names {
	const char **names; /* as many as there are ways, in their order */
	size_t *sorted;     /* their indices, by strcmp of the names */
};

struct lt_connector {
	struct lt_place place;
	const char *id;
	const char *name, *port, *family, *key, *where, *lock, *orient, *seat, *was, *photo, *note;
	/* Places of the values of `name`, `port`, `where` and `photo`. */
	struct lt_place name_place, port_place, where_place, photo_place;
	size_t component; /* index, or LT_NONE */
	enum lt_kind kind;
	unsigned ways; /* how many; 0: not given */
	/* NULL: 1 to `ways`, or lettered. Connectors of one moulding share it. */
	const struct lt_way_names *way_names;
	unsigned rows;  /* 0: not given */
	unsigned count; /* of screws and other things; 0: not given */
	bool cap;       /* its open ends have to be closed while it is off */
	/* As written: the size of a thing ("4 x 16 mm"), its tool, its torque with a unit, the cup
	 * or bag that it lies in; and what to be careful of. Or NULL. */
	const char *dimension, *tool, *torque, *cup, *caution;
	struct lt_way_order numbering;
	enum lt_edge latch;
	enum lt_marking marking;
	unsigned sides; /* 1 or 2 */
	struct lt_indices fits, unlike, after;
	struct lt_way *wires; /* in the order of the ways */
	size_t wire_count;
	struct lt_wire_size size;
	double bundle; /* mm, 0: not measured */
	bool has_at;
	double at; /* mm along the harness */
};

/* One line of the wire list. */
struct lt_wire {
	struct lt_place place;
	const char *name; /* or NULL */
	size_t from, to;  /* connector indices */
	const char *from_way, *to_way;
	struct lt_colour colour;
	const char *colour_code; /* or NULL */
	struct lt_wire_size size;
};

struct lt_finish_line {
	struct lt_place place;
	const char *text;
};

/* How new numbers are given: by the marking of the connector where it can be, or in the order of
 * the description. */
enum lt_numbers { LT_NUMBERS_OWN, LT_NUMBERS_ORDER };

struct lt_harness {
	struct lt_arena arena;
	const char *file;           /* as given, for diagnostics; or NULL */
	const char *harness;        /* the harness code without unit: RV3 */
	const char *unit;           /* digits, or NULL */
	bool own_unit;              /* unit: own: no other module has this harness code */
	const char *described_unit; /* the key `unit`, also where an option replaces it; or NULL */
	struct lt_place unit_place; /* of its value; of the description where it is not given */
	char code[LT_HARNESS_CODE_MAX + 1]; /* with unit where there is one: RV3U0042 */
	const char *title, *revision, *base;
	enum lt_colour_convention colours;
	enum lt_numbers numbers;
	struct lt_hazard *hazards;
	size_t hazard_count;
	struct lt_component *components;
	size_t component_count;
	struct lt_connector *connectors; /* in unplugging order */
	size_t connector_count;
	struct lt_wire *wires;
	size_t wire_count;
	struct lt_finish_line *finish;
	size_t finish_count;
	/* Reconnection order of all connectors: topological by `after`, ties by the reverse of the
	 * unplugging order; connector_count indices. Set when the description has no errors. */
	size_t *order;
};

struct lt_harness_options {
	const char *unit; /* replaces the description's; NULL keeps it */
	const char *base; /* likewise, for link payloads */
};
#define LT_HARNESS_OPTIONS_INIT \
	{ \
		NULL, NULL \
	}

/* Reads a description from memory. Everything that is wrong goes into `diags`, with its place and
 * what to do; false if any of it is an error. `diags` also keeps a copy of the source, to show
 * lines of it. `out` is initialised by the call, finish it either way; it keeps no pointer to
 * `bytes` or `file`. Linear in the size of the description. Errors: keys that are unknown or
 * missing, values of the wrong form or out of range, ids that are used twice or not described, and
 * joints that must be made before each other in a circle. */
bool lt_harness_read(struct lt_harness *out, const char *file, const char *bytes, size_t length,
	const struct lt_harness_options *options, struct lt_diags *diags);

/* True for a well-formed harness code without unit: ALPHA 1*11(ALPHA / DIGIT), and not ending in
 * U and digits. */
bool lt_harness_code_valid(const char *code);

/* Whether `text` is a base address that links can begin with: http or https; a host by name, IPv4
 * or [IPv6]; perhaps a port from 1 to 65535 and a path of RFC 3986's unreserved characters,
 * sub-delims without the apostrophe, ":", "@" and percent-encoded octets; at most 500 bytes, and no
 * user name, query or fragment. If not, adds the reason to `fault`, a sentence without a full stop:
 * "the host is missing". The first character that is wrong is named with its position, from 1. */
struct lt_text;
bool lt_base_check(struct lt_text *fault, const char *text);

/* True when two modules could have the same stickers: neither unit nor `unit: own` is described. */
bool lt_harness_unit_missing(const struct lt_harness *harness);

/* Takes NULL or a zeroed struct. */
void lt_harness_finish(struct lt_harness *harness);

/* True for kinds that mate with a component, so that they have look-alikes: up to the strap. */
bool lt_kind_mates(enum lt_kind kind);
/* True for things: from the screw on. */
bool lt_kind_is_thing(enum lt_kind kind);

/* "plug", "ring", …: a static string. */
const char *lt_kind_name(enum lt_kind kind);

/* True when the connector's component is to be replaced and it has two sides and a number: its
 * outgoing half gets an X sticker. */
bool lt_connector_replaced(const struct lt_harness *harness, size_t connector);

/* Joints that must be made first and can be scanned: `after`, followed through connectors with no
 * number (tag: none) to those that have one. Allocated from `arena`, ascending, each once. */
struct lt_indices lt_connector_after(const struct lt_harness *harness, size_t connector,
	struct lt_arena *arena);

/* Compares the names of two ways of a connector, as strcmp: in the order of its list, or numbers
 * first, then letters in the order in which connectors are lettered: A to Z, a to z, AA. */
int lt_way_compare(const struct lt_connector *connector, const char *a, const char *b);

/* The wires of a harness, resolved: one for every line of the wire list; and one, whose other end
 * is not described, for each of the connectors' own colours that belongs to no line. */

struct lt_wire_end {
	size_t connector; /* LT_NONE: the description does not say where it goes */
	const char *way;
};

/* The colours that a wire may have, each once; none if its colour is not described. */
struct lt_colour_choice {
	struct lt_colour colours[4]; /* of two ways with two wires each */
	size_t count;
};

struct lt_resolved_wire {
	const struct lt_wire *line; /* of the wire list; NULL: known to one connector alone */
	struct lt_wire_end ends[2];
	/* The line's colour; else the colours of the ways at its ends that belong to no other wire.
	 */
	struct lt_colour_choice colour;
	/* The line's size; else those of its connectors, the thin one first. */
	struct lt_wire_size sizes[2];
	size_t size_count;
};

/* An end at a connector: ends[side] of that wire. */
struct lt_end_here {
	size_t connector;
	const char *way;
	size_t wire;
	unsigned side;
};

struct lt_wiring {
	struct lt_resolved_wire *wires; /* the lines of the wire list first, in their order */
	size_t count;
	struct lt_end_here *ends; /* by connector, then by the bytes of the way */
	size_t end_count;
	size_t *first; /* connector i has ends[first[i]] to ends[first[i + 1] - 1] */
};

/* Resolves them; all from `arena`. Texts are the harness's. n log n. */
struct lt_wiring lt_harness_wiring(struct lt_arena *arena, const struct lt_harness *harness);

/* The bundles of all connectors, by index; from `arena`. Measured where the description says so,
 * else computed from the wires at the connector: one for each end of a line of the wire list, with
 * the size that the line gives, else the connector's; and one, with the connector's size, for each
 * of the connector's own colours that no such line is. Not known where there are no wires or a
 * size is missing. n log n. */
struct lt_bundle *lt_harness_bundles(struct lt_arena *arena, const struct lt_harness *harness);

/* The component's name, or its id where it has none; "" for a connector that names none. */
const char *lt_connector_mate_name(const struct lt_harness *harness, size_t connector);

/* Writes the colours by way ("1 BN, 2 BU, 3 GNYE"), nothing when there are none. */
void lt_connector_wires(struct lt_text *out, const struct lt_connector *connector);

/* Look-alikes: which connectors would physically mate with each other's components.
 *
 * Two connectors are look-alikes when they have the same kind and none of family, ways and key
 * differs; ways or key left out match anything. `fits` and `unlike` of either connector overrule
 * this, and `fits` overrules `unlike`. Families compare part by part, in any order: words, ASCII
 * letters without case, and numbers with their decimals. Families that are nearly the same, which
 * may be a slip of the pen, are taken for the same: their numbers are the same, and one letter or
 * one word differs, or a blank. Keys compare as text, with runs of white space as one space and
 * ASCII letters without case. Ways compare by how many.
 * A connector without family has unknown fit: it is numbered as if it were a look-alike of all but
 * clips, and not listed. Clips have none unless `fits` says so. FAA AC 43.13-1B 11-235 b.
 *
 * No function takes quadratic time, unless the size of its result is quadratic. */

struct lt_lookalikes;

/* Indexes a harness, which must outlive the result. */
struct lt_lookalikes *lt_lookalikes_create(const struct lt_harness *harness);
void lt_lookalikes_destroy(struct lt_lookalikes *lookalikes);

/* True when the connector's fit is unknown: no family, not a clip. */
bool lt_fit_unknown(const struct lt_harness *harness, size_t connector);

/* True when the two are listed look-alikes of each other (known fit, or `fits`). Never of itself.
 * Constant time on average. */
bool lt_lookalike(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

/* True when the two must not have confusable numbers: look-alikes, or one of unknown fit. */
bool lt_lookalike_for_numbering(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

/* The listed look-alikes of one connector, ascending, at most `limit` of them, in `out` (may be
 * NULL with limit 0). Returns how many there are in all. Linear in `limit` and the connector's
 * `fits` and `unlike`. */
size_t lt_lookalikes_of(const struct lt_lookalikes *lookalikes, size_t connector, size_t *out,
	size_t limit);

/* The same in another order: `rank` gives every connector a rank of its own, 1 to LT_RANK_MAX (a
 * tag number, say), or 0 to leave it out. Linear in the harness; `rank` is not kept. */
#define LT_RANK_MAX 1000000u
struct lt_lookalike_order;
struct lt_lookalike_order *lt_lookalike_order_create(const struct lt_lookalikes *lookalikes,
	const unsigned *rank);
void lt_lookalike_order_destroy(struct lt_lookalike_order *order);

/* The ranks of one connector's listed look-alikes, ascending, at most `limit` of them, in `out`.
 * Returns how many there are in all. Linear in `limit`, near linear in the connector's `fits` and
 * `unlike`. */
size_t lt_lookalike_ranks(const struct lt_lookalike_order *order, size_t connector, unsigned *out,
	size_t limit);

/* The groups: connected sets of two or more listed look-alikes, each ascending, groups in order
 * of their first member. Owned by `lookalikes`. */
const struct lt_indices *lt_lookalike_groups(const struct lt_lookalikes *lookalikes, size_t *count);

/* True when every connector of a group is a look-alike of every other. Linear in the group and its
 * connectors' `fits` and `unlike`. */
bool lt_lookalikes_complete(const struct lt_lookalikes *lookalikes, struct lt_indices group);

/* The families that are nearly the same, and so count as look-alikes though nobody may have meant
 * it: for each set of them that `fits` and `unlike` say nothing of, the first connector of each,
 * ascending, two or more. From the arena. Near linear. */
struct lt_indices *lt_lookalike_near(size_t *count, const struct lt_lookalikes *lookalikes,
	struct lt_arena *arena);

/* Two connectors of one kind and family, the first of their numbers of ways: the narrower one could
 * go into the mate of the wider one, of which `fits`, `unlike` and key say nothing. For each number
 * of ways the next larger one alone. From the arena; n log n, and linear in the numbers of ways. */
struct lt_narrower {
	size_t narrow, wide;
};
struct lt_narrower *lt_lookalike_narrower(size_t *count, const struct lt_lookalikes *lookalikes,
	struct lt_arena *arena);

/* Scopes for numbering. A scope has a set of members and a set of blockers: no blocker may have a
 * number that is confusable with a member's, unless `unlike` allows it. The scopes that a connector
 * is a member of, in this order:
 *   all but clips                blockers: connectors of unknown fit
 * then four for its kind and family, or four for each circle of that kind and of families that are
 * nearly the same as its own:
 *   same kind and family         and those of that kind and family with neither ways nor key
 *   same, and same ways          and those with these ways, or none, and no key
 *   same, and same key           and those with this key, or none, and no ways
 *   same in all four             and every other that matches
 * where, for a member that has no ways, "these ways, or none" are any ways at all; and so for key.
 * Blockers of the first are blockers of all; those of each second are blockers of its third and
 * fourth, and those of both of its fifth. Where there are two circles or more, the last scope is
 * for all of them together. Connectors of unknown fit are members of the first and of one whose
 * blockers are all but clips. A clip is a member of none. Owned by `lookalikes`. */
#define LT_SCOPES_OF_CIRCLE 4
struct lt_indices lt_scopes_of(const struct lt_lookalikes *lookalikes, size_t connector);

/* True when the connector is one of the scope's blockers; for a scope that is for several circles
 * together, of those of its own family alone. Constant time on average. */
bool lt_scope_blocked_by(const struct lt_lookalikes *lookalikes, size_t scope, size_t connector);

/* The connectors that are `unlike` this one, whichever of the two names the other; ascending, each
 * once. Owned by `lookalikes`. */
struct lt_indices lt_lookalike_unlike(const struct lt_lookalikes *lookalikes, size_t connector);

/* Markings: the numbers that are already on the machine. A connector holds the number that ends its
 * id and the one that ends its port ("X12" 12, "IN03" 3): 1 to LT_NUMBER_MAX, leading zeros
 * dropped.
 */

/* The number that ends a text, 0 where none does or it is larger. Takes NULL. */
unsigned lt_marking_number(const char *text);

/* Which connectors hold which numbers. Keeps `lookalikes`; destroy it. n log n. */
struct lt_markings *lt_markings_create(const struct lt_lookalikes *lookalikes);
/* Takes NULL. */
void lt_markings_destroy(struct lt_markings *markings);

/* True when the number (0 to LT_NUMBER_MAX) ends the id of any connector. */
bool lt_marking_ends_id(const struct lt_markings *markings, unsigned number);

/* True when another connector holds the number that must not have a number confusable with this
 * one's (lt_lookalike_for_numbering). log n, and linear in what this connector says of others. */
bool lt_marking_of_lookalike(const struct lt_markings *markings, size_t connector, unsigned number);

/* True when a blocker of the scope holds the number: the scope at this place of those that
 * lt_scopes_of gives for the connector, which may itself be that blocker. log n. */
bool lt_marking_bars_scope(const struct lt_markings *markings, size_t connector, size_t place,
	unsigned number);

#endif
