/* Label: label media, and the arrangement of texts and QR code on a sticker. lt_layout_find finds
 * and reads a layout, lt_sticker_place arranges a sticker as boxes, lt_qr_encode makes its QR
 * symbol. Also here: which labels of a sheet are used, and the corrections of printers. Text is
 * measured through a struct lt_measure, so that no fonts are needed. */
#ifndef LOOMTAG_LABEL_H
#define LOOMTAG_LABEL_H

#include "loomtag/tags.h"

/* Measuring text: what arranging texts needs to know of fonts. Results have the unit of `size` or
 * `capital`. */

/* The fonts that texts are set in. */
enum lt_typeface {
	LT_TYPEFACE_REGULAR,
	LT_TYPEFACE_BOLD,
	LT_TYPEFACE_CONDENSED,
	LT_TYPEFACE_CONDENSED_BOLD,
	LT_TYPEFACE_COUNT
};

/* Heights are fractions of the em. `width` returns the advance width of `length` bytes of UTF-8, in
 * ems: multiply it by the size of the em. */
struct lt_typeface_heights {
	double capital; /* of H, above the baseline */
	double ascent;  /* highest ink of ASCII and of Latin letters with accents, to U+017F */
	double descent; /* their lowest ink below the baseline, positive */
};
struct lt_measure {
	double (*width)(void *data, enum lt_typeface face, const char *text, size_t length);
	struct lt_typeface_heights (*heights)(void *data, enum lt_typeface face);
	void *data;
};

/* The em of a text whose capitals are `capital` high. */
double lt_text_size(const struct lt_measure *measure, enum lt_typeface face, double capital);

/* From the top of a line to its baseline, and to its lowest ink. */
double lt_text_ascent(const struct lt_measure *measure, enum lt_typeface face, double size);
double lt_text_height(const struct lt_measure *measure, enum lt_typeface face, double size);

double lt_text_width(const struct lt_measure *measure, enum lt_typeface face, double size,
	const char *text);

/* How many bytes of `text` fit in a line of at most `width`, broken at a space; a first word that
 * is wider is taken whole. */
size_t lt_text_break(const struct lt_measure *measure, enum lt_typeface face, double size,
	const char *text, double width);

/* Shortens `text` with an ellipsis until it is at most `width` wide; the whole text when it fits,
 * "" when not even one character and the ellipsis do. Writes at most `room` bytes with the NUL.
 * Breaks between code points, never inside one. */
void lt_text_shorten(char *out, size_t room, const struct lt_measure *measure,
	enum lt_typeface face, double size, const char *text, double width);

/* Layouts: label media and their sizes. All lengths in mm. */

#define LT_LAYOUT_FILE_MAX (256u * 1024) /* bytes */

enum lt_medium { LT_MEDIUM_SHEET, LT_MEDIUM_ROLL, LT_MEDIUM_TAPE };
/* How a sticker sits: flat; folded round the wire with two faces back to back; or wound round it, a
 * printed zone that a clear tail then covers. */
enum lt_style { LT_STYLE_PLATE, LT_STYLE_FLAG, LT_STYLE_WRAP };
/* Where the clear tail of a wrap is, seen from its printed zone. */
enum lt_direction { LT_DOWN, LT_UP, LT_RIGHT, LT_LEFT };

/* What is drawn between the stickers of a sheet. */
enum lt_cut { LT_CUT_NONE, LT_CUT_LINES };

struct lt_layout {
	struct lt_arena arena;
	const char *name, *title;
	const char *file; /* that it was read from, or NULL */
	enum lt_medium medium;
	enum lt_style style;
	double page_width, page_height; /* sheet */
	double label_width;             /* 0 on a tape: computed for each sticker */
	double label_height;            /* on a tape its width */
	unsigned columns, rows;         /* sheet; 1 x 1 otherwise */
	double first_x, first_y;        /* top-left corner of the first label on the page */
	double pitch_x, pitch_y;
	enum lt_cut cut;          /* sheet: plain paper has lines to cut along */
	double inset;             /* unprintable edge of each label */
	double corner;            /* radius of the corners */
	double gap;               /* roll: between labels */
	double dpi;               /* the print head's dots per inch; 0 for a sheet: any */
	double shortest, longest; /* tape: of a face */
	/* Wrap. On a tape only the heights count, and the direction is LT_DOWN. */
	double printed_width, printed_height, clear_width, clear_height;
	enum lt_direction direction;
	double thickness; /* of the film */
	/* Flag: two faces side by side with the loop between. On a tape, the loop for a bundle of
	 * unknown size. */
	double face_width, face_height, loop;
};

#define LT_TAPE_SHORTEST 8.0  /* mm, where the layout does not give it */
#define LT_TAPE_LONGEST 100.0 /* likewise */
#define LT_FILM_THICKNESS 0.1 /* mm, of a wrap's film, likewise: common practice, no source */

/* Reads a layout. Its `name` must be that of the file, without folder and .yaml. Errors name their
 * line: unknown keys, missing sizes, a grid that runs off its page, labels that overlap, an inset
 * that leaves nothing to print on, corners that cut into what is printed, zones that do not make up
 * the label, an unknown kind, style or direction. Where there is no error, warns of what is
 * doubtful: a sheet that is printed nearer than LT_PAGE_EDGE to the page's edge; a label on which a
 * two-digit tag with a short code has no room, has modules that are barely readable, or has a
 * number that is too small to read at 500 mm. With `measure` NULL only the first is checked. `file`
 * may be NULL. Finish `out` either way. */
#define LT_PAGE_EDGE 3.0 /* mm that office printers leave blank: common practice, no source */
bool lt_layout_check(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_layout_finish(struct lt_layout *layout);

/* Labels on one page: columns x rows. */
unsigned lt_layout_labels(const struct lt_layout *layout);

/* Top-left corner of label `index` (0 is the first, row by row) on its page. For a roll the page
 * is the label, so 0, 0. */
void lt_layout_position(double *x, double *y, const struct lt_layout *layout, unsigned index);

/* A part of a label. */
struct lt_zone {
	double x, y, width, height;
};

#define LT_FACES 2

/* One label as it lies flat: a plate is all face; a wrap has its printed zone as face and a clear
 * tail; a flag has two equal faces and a loop between. */
struct lt_shape {
	double width, height;
	struct lt_zone faces[LT_FACES]; /* equal in size; the inset is within them */
	size_t face_count;
	struct lt_zone clear; /* all 0 where there is none */
	struct lt_zone loop;  /* likewise */
};

/* The shape of a label. On a tape a face is `length` long, and the loop of a flag is pi x `bundle`
 * (mm; 0 where it is not known: the layout's loop then); otherwise neither counts. */
void lt_layout_shape(struct lt_shape *out, const struct lt_layout *layout, double length,
	double bundle);

/* The diameters of bundles that a layout suits, in mm. Plates lie flat and suit all: 0 to
 * INFINITY. */
struct lt_range {
	double least, most;
};
struct lt_range lt_layout_bundles(const struct lt_layout *layout);

/* Kind, style and direction, as in layout files: "sheet", "roll", "tape"; "plate", "flag", "wrap";
 * "down", "up", "right", "left": static strings. */
const char *lt_layout_kind(const struct lt_layout *layout);
const char *lt_layout_style(const struct lt_layout *layout);
const char *lt_layout_direction(const struct lt_layout *layout);

/* "none" or "lines": a static string. */
const char *lt_layout_cut(const struct lt_layout *layout);

/* The size of the printed part in words, from the arena: a label's size, a tape's width, one face
 * of a flag, the printed zone of a wrap. */
const char *lt_layout_size(struct lt_arena *arena, const struct lt_layout *layout);

/* Describes a layout: all its sizes, a line for each. */
void lt_layout_describe(struct lt_text *out, const struct lt_layout *layout);

/* The bundles that a layout suits in words: "3.2 to 6.8 mm", "up to 6.3 mm", "any". Returns `out`.
 */
#define LT_BUNDLES_SIZE 48
const char *lt_layout_bundle_words(char out[LT_BUNDLES_SIZE], const struct lt_layout *layout);

/* The file of a layout: a name containing '/' or ending in .yaml is a path; else NAME.yaml in the
 * first of `folders` (NULL-terminated) that has it, from the arena. NULL where none has. */
const char *lt_layout_path(struct lt_arena *arena, const char *name, const char *const *folders);

/* Reads the layout with that file, with the errors of lt_layout_check. An unknown name gets the
 * nearest known one as a hint. Finish `out` either way. */
bool lt_layout_find(struct lt_layout *out, const char *name, const char *const *folders,
	struct lt_diags *diags);

/* Adds an error that there are no layouts, with the folders that were searched. */
void lt_layout_none(const char *const *folders, struct lt_diags *diags);

/* The names of the layouts in `folders`, sorted, each once; strings and array from `arena`. */
const char **lt_layout_names(size_t *count, struct lt_arena *arena, const char *const *folders);

/* Payloads: what a QR code holds. */
enum lt_payload { LT_PAYLOAD_AUTO, LT_PAYLOAD_LINK, LT_PAYLOAD_FACTS, LT_PAYLOAD_CODE };

/* "auto", "link", "facts", "code": a static string. */
const char *lt_payload_name(enum lt_payload payload);

/* Warns, at the place of the field, of every word on a sticker that must be broken in
 * LT_PAYLOAD_FACTS because it looks like a scan code (lt_scan_break). */
void lt_payload_warn(const struct lt_harness *harness, struct lt_diags *diags);

/* Writes the text of a QR code on a map: for a connector with a number the link to its page, or its
 * facts where the harness has no base; for LT_NONE those of the harness. A connector with no number
 * has the harness's link, or its own facts. Facts are cut at 300 bytes. lt_scan_read finds a
 * misread in all of them, since a scan of the map proves nothing about a sticker. */
void lt_payload_map_write(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* False, with an error, for link where the harness has no base. */
bool lt_payload_check(const struct lt_harness *harness, enum lt_payload payload,
	struct lt_diags *diags);

/* QR symbols: version and level are chosen from the capacity table of ISO/IEC 18004, then the text
 * is encoded once. */

#define LT_QR_QUIET 4u /* modules of quiet zone on every side */
#define LT_QR_VERSION_MAX 40u

enum lt_qr_level { LT_QR_L, LT_QR_M, LT_QR_Q, LT_QR_H };
enum lt_qr_mode { LT_QR_NUMERIC, LT_QR_ALPHANUMERIC, LT_QR_BYTES };

/* What is to be encoded and how. */
struct lt_qr_plan {
	unsigned version;
	enum lt_qr_level level;
	enum lt_qr_mode mode;
	unsigned modules; /* a side */
};

/* The smallest version with room for the text at level `floor` (L or M), and the highest level
 * for which that version still has room. Text that is not ASCII takes an ECI header (UTF-8),
 * three or four bytes. False when no version has room, or the text is empty. */
bool lt_qr_plan(struct lt_qr_plan *out, const char *text, enum lt_qr_level floor);

/* A symbol. Module (x, y) is dark when lt_qr_dark; x to the right, y down, no quiet zone. */
struct lt_qr {
	unsigned modules;
	unsigned char *cells; /* modules x modules bytes, 1 dark, 0 light; from the arena */
};

/* Encodes by the plan. False with an error in `diags` when the encoder refuses or gives another
 * version than planned. */
bool lt_qr_encode(struct lt_qr *out, struct lt_arena *arena, const char *text,
	const struct lt_qr_plan *plan, struct lt_diags *diags);

static inline bool lt_qr_dark(const struct lt_qr *qr, unsigned x, unsigned y)
{
	return qr->cells[(size_t)y * qr->modules + x] != 0;
}

/* 'L', 'M', 'Q', 'H'. */
char lt_qr_level_letter(enum lt_qr_level level);

/* Stickers: what goes where on one label, as placed boxes that can be measured and then drawn.
 * All lengths in mm, y down; boxes from the top-left corner of the face that they stand on. */

enum lt_box_role {
	LT_BOX_TAG,       /* number and side letter, one text */
	LT_BOX_UNDERLINE, /* a bar under the number */
	LT_BOX_QR,
	LT_BOX_BANNER, /* NEW PART, OLD PART, stick over M: white on black */
	LT_BOX_LOOKALIKES,
	LT_BOX_NAME,
	LT_BOX_WIRES,
	LT_BOX_MATE,
	LT_BOX_HARNESS,
	LT_BOX_ROLE_COUNT
};

/* A box's x, y, width, height are those of its ink and may not overlap another's nor leave the
 * printable area of the face; for LT_BOX_QR the quiet zone around it (LT_QR_QUIET modules) may lie
 * in the inset but must stay on the face and clear of other boxes. */
struct lt_box {
	enum lt_box_role role;
	double x, y, width, height;
	const char *text; /* texts; from the sheet's arena */
	enum lt_typeface face;
	double size;     /* em, mm */
	double baseline; /* y of the baseline */
	double text_x;   /* where the text starts (inside a banner it is not x) */
	double module;   /* LT_BOX_QR: mm a module */
};
#define LT_STICKER_BOXES 16

/* How readable a symbol is. GOOD: its modules have the intended size; FAIR (sheets only): smaller,
 * but large enough for standard readers; MARGINAL: barely readable; UNREADABLE: too small. */
enum lt_quality { LT_QUALITY_UNREADABLE, LT_QUALITY_MARGINAL, LT_QUALITY_FAIR, LT_QUALITY_GOOD };

/* Which payload the QR code of a sticker carries, and how large its modules are. */
struct lt_symbol {
	enum lt_payload payload; /* never AUTO */
	const char *text;        /* from the arena */
	struct lt_qr_plan plan;
	double module; /* mm */
	unsigned dots; /* per module, of the print head; for a sheet of a printer with 600 dpi */
	enum lt_quality quality; /* of a sticker that was placed never UNREADABLE */
};

struct lt_sticker {
	unsigned number;
	enum lt_side side;
	size_t connector;
	struct lt_shape shape; /* the label; each of its faces carries all boxes */
	struct lt_symbol symbol;
	double number_height;    /* of the tag's capitals and digits, mm */
	double warning_height;   /* of the smallest capitals of banner and look-alikes; 0: none */
	struct lt_bundle bundle; /* of the connector */
	double bend; /* degrees of the bundle's circumference that the symbol covers; 0: flat */
	struct lt_box boxes[LT_STICKER_BOXES];
	size_t box_count;
	unsigned left_out;  /* bit per role: a text that found no room */
	unsigned shortened; /* bit per role: shortened with an ellipsis */
};

/* A symbol is read from about ten times its width (common practice). */
#define LT_READING_WIDTHS 10.0

struct lt_stock;
struct lt_sticker_options {
	enum lt_payload payload;
	double distance;                 /* reading distance, mm */
	double least_text;               /* smallest cap height of any text, mm */
	const struct lt_bundle *bundles; /* by connector; NULL: none is known */
	const struct lt_stock *known;    /* layouts to suggest if one does not fit, or NULL */
	/* Fewest dots per module that the scanner at hand reads, for layouts with a print head. A
	 * symbol with fewer is not readable. 0: not measured, 3 is assumed. */
	unsigned least_dots;
};
#define LT_STICKER_OPTIONS_INIT \
	{ \
		LT_PAYLOAD_AUTO, 500.0, 1.2, NULL, NULL, 0 \
	}

/* What stickers are made from: a harness with its numbers, and how their texts are measured. */
struct lt_sticker_source {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const struct lt_measure *measure;
};

/* One of its stickers. */
struct lt_sticker_id {
	size_t connector;
	enum lt_side side;
	bool over_m; /* an X sticker that goes over an M sticker that is already there */
};

/* Places one sticker. Text and plan are from `arena`. On a tape the label is as short as it can be
 * with all that finds room on the longest. If the number cannot be 0.004 x the reading distance
 * high, it is placed smaller; the caller warns of that, and of a symbol that is marginal or bends
 * too far. False, with an error naming the connector and what would help, when the tag (at
 * `least_text`) or the QR code cannot be placed at a readable size on this layout, or when the
 * label does not go round the bundle. The symbol itself is not encoded here. */
bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_sticker_source *source,
	struct lt_sticker_id id, const struct lt_sticker_options *options, struct lt_diags *diags);

/* Places sticker 12H of a made-up harness, to try a layout. `description` has no errors and one or
 * two connectors, which get the numbers 12 and 15; options->bundles is by these. False if the
 * sticker has no room. */
bool lt_sample_place(struct lt_sticker *out, struct lt_arena *arena, const char *description,
	const struct lt_layout *layout, const struct lt_sticker_options *options,
	const struct lt_measure *measure);

/* "name", "wire colours", …: what was left out, for messages: a static string. */
const char *lt_box_role_name(enum lt_box_role role);

/* Which stickers: a list such as "3,7-9,12M". */
struct lt_selection;
struct lt_selection *lt_selection_read(const char *text, struct lt_diags *diags);
void lt_selection_destroy(struct lt_selection *selection);
/* Reports, as errors, every item that matches no sticker. NULL selects all. */
bool lt_selection_check(const struct lt_selection *selection, const struct lt_tags *tags,
	struct lt_diags *diags);
/* The sides of a connector that get a sticker and are selected, in the order of printing. A
 * selection that is NULL selects all. */
size_t lt_selected_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_selection *selection,
	const struct lt_tags *tags, size_t connector);

/* Stock: the label layouts at hand, and which of them is used for each sticker. */

#define LT_STOCK_MAX 64u
#define LT_STOCK_NONE 255u

struct lt_stock {
	struct lt_layout layouts[LT_STOCK_MAX];
	size_t count;
};

/* Adds the layout called `name` (as lt_layout_find has it), or finds the one of that name that is
 * there already; `*index` is its place. False, with an error, when there is no such layout, it has
 * errors, another of the same name came from elsewhere, or the stock is full. */
bool lt_stock_add(struct lt_stock *stock, size_t *index, const char *name,
	const char *const *folders, struct lt_diags *diags);

/* Adds each layout of a list such as "a4-3x8,tape-12". Errors as above, and an empty item. */
bool lt_stock_add_list(struct lt_stock *stock, const char *list, const char *const *folders,
	struct lt_diags *diags);

/* Adds every layout in the folders, as many as there is room for; skips those with errors. Used for
 * hints. */
void lt_stock_add_all(struct lt_stock *stock, const char *const *folders);

/* Takes NULL or a zeroed struct. */
void lt_stock_finish(struct lt_stock *stock);

/* True if a layout suits a connector's bundle (mm), or the bundle is not known (0). Else false,
 * with an error that names the connector and the bundle, and a hint with suitable layouts of
 * `known`, which may be NULL. */
bool lt_layout_check_fit(const struct lt_layout *layout, const struct lt_connector *connector,
	double bundle, const struct lt_stock *known, struct lt_diags *diags);

/* What to choose for. */
struct lt_stock_wish {
	unsigned sides;                  /* bit per side: for which to choose */
	size_t count;                    /* choose among the first `count` layouts of the stock */
	const struct lt_selection *only; /* NULL: all */
};

/* Chooses a layout for each sticker of the wish, and writes its index to choice[connector x
 * LT_SIDE_COUNT + side]; other entries do not change. Preferred for a harness half is a layout that
 * goes round its bundle, for other halves a plate; then the one whose number and symbol are more
 * readable; then the first in the stock. A wrap or flag for an unknown bundle is the last choice.
 * False if no layout is suitable, with an error for each such connector that names its bundle and
 * suitable layouts. */
bool lt_stock_choose(unsigned char *choice, const struct lt_stock *stock,
	const struct lt_stock_wish *wish, const struct lt_sticker_source *source,
	const struct lt_sticker_options *options, struct lt_diags *diags);

/* Which labels of a part-used sheet are used. */

/* Reads "1-5,9": labels are numbered row by row, from 1, and label n is used[n - 1]. `used` has
 * room for `labels` (1 and more, as many as the layout has on a sheet) and is set as a whole; all
 * false after an error. Errors, each beginning with --used: no number, 0, more than `labels`, a
 * range that runs backwards, no label at all, and every one. A label may be named twice. */
bool lt_used_read(bool *used, unsigned labels, const char *text, struct lt_diags *diags);

/* Doubts: possible problems of stickers that were placed. */

enum lt_doubt {
	LT_DOUBT_SYMBOL,  /* the symbol's modules are only just readable */
	LT_DOUBT_NUMBER,  /* the number is too small for the reading distance */
	LT_DOUBT_WARNING, /* so are the look-alike numbers, or the banner */
	LT_DOUBT_BEND,    /* the symbol bends too far round its bundle */
	LT_DOUBT_BUNDLE,  /* the layout depends on a bundle that is not known */
	LT_DOUBT_CLOSE,   /* the bundle is computed, and close to the limit of what the layout suits
			   */
	LT_DOUBT_PARTIAL, /* the bundle is computed from some of the ways only */
	LT_DOUBT_MATE,    /* a machine half's sticker is cut for the harness half's bundle */
	LT_DOUBT_COUNT
};

#define LT_DOUBTS_NAMED 4u

/* Relative error of a computed bundle: common practice, no source. */
#define LT_BUNDLE_DOUBT 0.1

/* One kind of doubt: how many stickers have it (for doubts about a bundle: connectors), the first
 * of them, and the worst value: mm per module, mm of the number's height, or degrees. */
struct lt_doubt_entry {
	size_t count;
	unsigned numbers[LT_DOUBTS_NAMED];
	enum lt_side sides[LT_DOUBTS_NAMED];
	unsigned last; /* the number counted last */
	double worst;
	unsigned dots; /* a module, at the worst */
};
struct lt_doubts {
	struct lt_doubt_entry entries[LT_DOUBT_COUNT];
};

/* Counts the doubts about one sticker. Start with a zeroed struct. */
void lt_doubts_note(struct lt_doubts *doubts, const struct lt_sticker *sticker,
	const struct lt_layout *layout, double distance);

/* Reports each kind once, with a hint, as a warning; the last two kinds as notes. */
void lt_doubts_report(const struct lt_doubts *doubts, const struct lt_layout *layout,
	double distance, struct lt_diags *diags);

/* Calibrations, by the name of the printer: how to correct the position and the scale of its
 * prints, and the fewest dots per module that the scanner at hand reads.
 *
 * The file is YAML, with every value of a printer on a line of its own:
 *
 *     printers:
 *       - name: "bench 2"
 *         nudge: 0.5 x -1 mm
 *         scale: 1 x 0.998
 *         smallest: 3
 *
 * Other keys of a printer, which a later version may write, are kept. */

#define LT_CALIBRATION_FILE_MAX (1u * 1024 * 1024) /* bytes */
#define LT_PRINTER_NAME_MAX 127u                   /* bytes */
#define LT_NUDGE_MAX 50.0                          /* mm, either way */
#define LT_SCALE_LEAST 0.9
#define LT_SCALE_MOST 1.1
#define LT_SMALLEST_LEAST 2u /* dots a module */
#define LT_SMALLEST_MOST 8u

struct lt_kept_key {
	const char *key, *value;
};

struct lt_calibration {
	const char *name;           /* UTF-8 with no control characters, 1 to LT_PRINTER_NAME_MAX */
	double nudge_x, nudge_y;    /* mm to the right and down; written to 0.001 */
	double scale_x, scale_y;    /* 1 is true to size; written to 0.00001 */
	unsigned smallest;          /* dots a module that still read; 0: not known, not written */
	struct lt_kept_key *others; /* keys that this version does not know */
	size_t other_count;
};
#define LT_CALIBRATION_INIT \
	{ \
		.scale_x = 1, .scale_y = 1 \
	}

/* Owns all its strings. A zeroed struct is an empty set. */
struct lt_calibrations {
	struct lt_arena arena;
	struct lt_calibration *items; /* in the order of the file; malloc'd */
	size_t count, room;
};

/* Takes NULL or a zeroed struct. */
void lt_calibrations_finish(struct lt_calibrations *set);

/* Reads a file; a missing one gives an empty set. False after an error: finish `out` then, and do
 * not write it to the file. An unknown key of a printer is a warning. */
bool lt_calibrations_read_file(struct lt_calibrations *out, const char *path,
	struct lt_diags *diags);

/* The calibration of the printer with just that name, or NULL. Valid until the set is changed. */
const struct lt_calibration *lt_calibration_find(const struct lt_calibrations *set,
	const char *name);

/* Adds or replaces a printer's calibration. Copies all of it except `others`: the set keeps its
 * own. False, with an error and nothing changed, where the name or a number is out of range. */
bool lt_calibration_set(struct lt_calibrations *set, const struct lt_calibration *calibration,
	struct lt_diags *diags);

/* Sets one printer's calibration in the file: reads it, and writes it whole, under one lock. The
 * file need not be there, its folder must. A file with errors is reported and left as it is. */
bool lt_calibration_store(const char *path, const struct lt_calibration *calibration,
	struct lt_diags *diags);

#endif
