/* Label: label media and what stands where on a sticker. Layouts are found and read by
 * lt_layout_find, a sticker is placed as boxes by lt_sticker_place, and its QR symbol made by
 * lt_qr_encode. Which labels of a sheet are used, and how a printer is off, are kept here too. Text
 * is measured through a struct lt_measure, so that no fonts are needed. */
#ifndef LOOMTAG_LABEL_H
#define LOOMTAG_LABEL_H

#include "loomtag/tags.h"

/* Measuring text: what deciding needs to know of fonts, so that it need not draw. */

enum lt_typeface {
	LT_TYPEFACE_REGULAR,
	LT_TYPEFACE_BOLD,
	LT_TYPEFACE_CONDENSED,
	LT_TYPEFACE_CONDENSED_BOLD,
	LT_TYPEFACE_COUNT
};

/* Heights are shares of the size (the em). `width` gives the advance width of a UTF-8 string in
 * ems: times the size it is in the size's unit. */
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

/* How many bytes of `text` make a line of at most `width`, broken at a space; all of a first word
 * that is longer. */
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
/* Where the clear tail of a wrap lies, seen from its printed zone. */
enum lt_direction { LT_DOWN, LT_UP, LT_RIGHT, LT_LEFT };

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
	double inset;             /* unprintable edge of each label */
	double corner;            /* radius of the corners */
	double gap;               /* roll: between labels */
	double dpi;               /* the head's dots per inch; 0 for a sheet, where any will do */
	double shortest, longest; /* tape: of a face */
	/* Wrap. On a tape only the heights count, and the direction is LT_DOWN. */
	double printed_width, printed_height, clear_width, clear_height;
	enum lt_direction direction;
	double thickness; /* of the film */
	/* Flag: two faces side by side with the loop between. Of a tape's flag the loop is that for
	 * a bundle that is not known. */
	double face_width, face_height, loop;
};

#define LT_TAPE_SHORTEST 8.0  /* mm, where the layout does not give it */
#define LT_TAPE_LONGEST 100.0 /* likewise */
#define LT_FILM_THICKNESS 0.1 /* mm, of a wrap's film, likewise: common practice, no source */

/* Reads a layout. `name` of the file (without folder and .yaml) must be the layout's own. Errors
 * name their line: unknown keys, missing sizes, a grid that runs off its page, labels that
 * overlap, an inset that leaves nothing to print on, corners that cut into what is printed, zones
 * that do not make up the label, an unknown kind, style or direction. Where there is no error,
 * warns of what is doubtful: a sheet that is printed nearer than LT_PAGE_EDGE to the page's edge; a
 * label on which a two-digit tag with a short code has no room, has modules that only just read, or
 * a number lower than can be read at 500 mm. `measure` NULL leaves out all but the first. `file`
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

/* The bundles that a layout suits, in mm. Plates lie flat and suit all: 0 to INFINITY. */
struct lt_range {
	double least, most;
};
struct lt_range lt_layout_bundles(const struct lt_layout *layout);

/* As layouts have it: "sheet", "roll", "tape"; "plate", "flag", "wrap"; "down", "up", "right",
 * "left". Live for ever. */
const char *lt_layout_kind(const struct lt_layout *layout);
const char *lt_layout_style(const struct lt_layout *layout);
const char *lt_layout_direction(const struct lt_layout *layout);

/* What counts for what is printed: a label's size, a tape's width, one face of a flag, the printed
 * zone of a wrap. From the arena. */
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

/* An error that there are no layouts, with the folders that were looked in. */
void lt_layout_none(const char *const *folders, struct lt_diags *diags);

/* The names of the layouts in `folders`, sorted, each once; strings and array from `arena`. */
const char **lt_layout_names(size_t *count, struct lt_arena *arena, const char *const *folders);

/* Payloads: what a QR code holds. */
enum lt_payload { LT_PAYLOAD_AUTO, LT_PAYLOAD_LINK, LT_PAYLOAD_FACTS, LT_PAYLOAD_CODE };

/* "auto", "link", "facts", "code"; a static string. */
const char *lt_payload_name(enum lt_payload payload);

/* Warns of every word that facts have to break, at the place of its field; only
 * where a sticker has it. */
void lt_payload_warn(const struct lt_harness *harness, struct lt_diags *diags);

/* Writes what the QR codes of a map hold: for a connector with a number the link to its page, or
 * its facts where the harness has no base; for LT_NONE those of the harness. A connector with no
 * number has the harness's link, or its own facts. Facts are cut at 300 bytes. None of them reads
 * as a scan (lt_scan_read says misread): a scan of the map proves nothing of a
 * sticker. */
void lt_payload_map_write(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* False, with an error, for link where the harness has no base. */
bool lt_payload_check(const struct lt_harness *harness, enum lt_payload payload,
	struct lt_diags *diags);

/* QR symbols: version and level from the capacity table of ISO/IEC 18004, then one encoding. */

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

/* How well a symbol reads: its modules are as large as is aimed at; large enough for standard
 * readers, but less than is aimed at on paper (sheets only); only just; not at all. */
enum lt_quality { LT_QUALITY_UNREADABLE, LT_QUALITY_MARGINAL, LT_QUALITY_FAIR, LT_QUALITY_GOOD };

/* Which payload the QR code of a sticker carries, and how large its modules are. */
struct lt_symbol {
	enum lt_payload payload; /* never AUTO */
	const char *text;        /* from the arena */
	struct lt_qr_plan plan;
	double module;           /* mm */
	unsigned dots;           /* a module, of the head; of a sheet's printer at 600 dpi */
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
	double bend;             /* degrees of the bundle that the symbol goes round; 0 flat */
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
	const struct lt_stock *known;    /* layouts to name where one does not fit, or NULL */
	/* Dots a module that the scanner at hand was found to read, on layouts with a head: fewer
	 * do not read, and what is good has no fewer. 0: what reads as a rule, 3. */
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

/* Which of its stickers. */
struct lt_sticker_id {
	size_t connector;
	enum lt_side side;
	bool over_m; /* an X sticker that goes over an M sticker that is already there */
};

/* Places one sticker. Text and plan are from `arena`. On a tape the label is as short as it can be
 * with all that finds room on the longest. A number of less than 0.004 x the reading distance is
 * placed, if there is no way to have it larger; that is for the caller to warn of, as is a symbol
 * that is marginal or bends too far. False, with an error naming the connector and what would help,
 * when the tag (at `least_text`) or the QR code cannot be placed at a readable size on this layout,
 * or when the label does not go round the bundle. The symbol itself is not encoded here. */
bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_sticker_source *source,
	struct lt_sticker_id id, const struct lt_sticker_options *options, struct lt_diags *diags);

/* Places sticker 12H of a small harness that is made up, to try a layout with: of a description,
 * which has no errors, of one or two connectors. They are numbered 12 and 15, and bundles are by
 * them. False where it has no room. */
bool lt_sample_place(struct lt_sticker *out, struct lt_arena *arena, const char *description,
	const struct lt_layout *layout, const struct lt_sticker_options *options,
	const struct lt_measure *measure);

/* "name", "wire colours", …: what was left out, for messages; a static string. */
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

/* Stock: the label layouts that are at hand, and which of them each sticker goes on. */

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

/* Adds every layout in the folders, as many as there is room for; those with errors are passed
 * over. For hints. */
void lt_stock_add_all(struct lt_stock *stock, const char *const *folders);

/* Takes NULL or a zeroed struct. */
void lt_stock_finish(struct lt_stock *stock);

/* True when a layout goes round a connector's bundle or the bundle is not known; else an
 * error with the connector and the bundle, and a hint with suitable layouts of `known` (or NULL).
 */
bool lt_layout_check_fit(const struct lt_layout *layout, const struct lt_connector *connector,
	double bundle, const struct lt_stock *known, struct lt_diags *diags);

/* What is asked of a choice. */
struct lt_stock_wish {
	unsigned sides;                  /* bit per side: for which to choose */
	size_t count;                    /* among the first so many of the stock */
	const struct lt_selection *only; /* NULL: all */
};

/* Chooses for every sticker that is wanted among the stock, and writes its index to
 * choice[connector x LT_SIDE_COUNT + side]; leaves the others alone. The harness half
 * preferably gets what fits round its bundle, the other halves a plate; then by how well number
 * and symbol read; then in the order of the stock. A wrap or flag whose fit is not known comes
 * last. False, with an error for each connector, its bundle and the layouts that would do, when
 * none will. */
bool lt_stock_choose(unsigned char *choice, const struct lt_stock *stock,
	const struct lt_stock_wish *wish, const struct lt_sticker_source *source,
	const struct lt_sticker_options *options, struct lt_diags *diags);

/* Which labels of a part-used sheet are gone. */

/* Reads "1-5,9": labels are numbered row by row, from 1, and label n is used[n - 1]. `used` has
 * room for `labels` (1 and more, as many as the layout has on a sheet) and is set as a whole; all
 * false after an error. Errors, each beginning with --used: no number, 0, more than `labels`, a
 * range that runs backwards, no label at all, and every one. A label may be named twice. */
bool lt_used_read(bool *used, unsigned labels, const char *text, struct lt_diags *diags);

/* Doubts: what may be wrong with stickers that were placed. */

enum lt_doubt {
	LT_DOUBT_SYMBOL,  /* the symbol's modules are only just readable */
	LT_DOUBT_NUMBER,  /* the number is smaller than the reading distance wants */
	LT_DOUBT_WARNING, /* so are the look-alike numbers, or the banner */
	LT_DOUBT_BEND,    /* the symbol goes too far round its bundle */
	LT_DOUBT_BUNDLE,  /* the layout depends on a bundle that is not known */
	LT_DOUBT_CLOSE,   /* the bundle is computed, and hardly within what the layout suits */
	LT_DOUBT_PARTIAL, /* the bundle is computed from some of the ways only */
	LT_DOUBT_MATE,    /* a machine half's sticker is cut for the harness half's bundle */
	LT_DOUBT_COUNT
};

#define LT_DOUBTS_NAMED 4u

/* What a computed bundle may be off by: common practice, no source. */
#define LT_BUNDLE_DOUBT 0.1

/* Of one kind of doubt: how many stickers (or connectors, where it is the bundle), the first of
 * them, and the worst measure: mm a module, mm of number, degrees. */
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

/* Counts them. Start with a zeroed struct. */
void lt_doubts_note(struct lt_doubts *doubts, const struct lt_sticker *sticker,
	const struct lt_layout *layout, double distance);

/* Reports each kind once, with what helps: warnings; the last two kinds are notes. */
void lt_doubts_report(const struct lt_doubts *doubts, const struct lt_layout *layout,
	double distance, struct lt_diags *diags);

/* What was measured of printers, kept by the printer's name: how far it prints beside the place,
 * how much too large or small, and how small a symbol of its dots the scanner at hand reads.
 *
 * The file is YAML, with every value of a printer on a line of its own:
 *
 *     printers:
 *       - name: "bench 2"
 *         nudge: 0.5 x -1 mm
 *         scale: 1 x 0.998
 *         smallest: 3
 *
 * What a later version writes of a printer beside these is kept as it is. */

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

/* Owns all its strings. A zeroed struct knows no printer. */
struct lt_calibrations {
	struct lt_arena arena;
	struct lt_calibration *items; /* in the order of the file; malloc'd */
	size_t count, room;
};

/* Takes NULL or a zeroed struct. */
void lt_calibrations_finish(struct lt_calibrations *set);

/* Reads a file; one that is not there knows no printer. False when there is an error; `out` is then
 * to be finished, and must not be written over the file. A key of a printer that is not known is a
 * warning. */
bool lt_calibrations_read_file(struct lt_calibrations *out, const char *path,
	struct lt_diags *diags);

/* The calibration of the printer with just that name, or NULL. Valid until the set is changed. */
const struct lt_calibration *lt_calibration_find(const struct lt_calibrations *set,
	const char *name);

/* Enters or replaces a printer's calibration; all of it is copied but `others`: those of the set
 * stay. False, with an error and nothing changed, where the name or a number is out of range. */
bool lt_calibration_set(struct lt_calibrations *set, const struct lt_calibration *calibration,
	struct lt_diags *diags);

/* Sets one printer's calibration in the file: reads it, and writes it whole, under one lock. The
 * file need not be there, its folder must. A file with errors is reported and left as it is. */
bool lt_calibration_store(const char *path, const struct lt_calibration *calibration,
	struct lt_diags *diags);

#endif
