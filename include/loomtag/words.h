/* Words: what papers, screens and pages say, said once: the facts of a joint, places, hazards,
 * verdicts, moments of a job.
 * To use it: each function gives a text, or adds one to a struct lt_text; nothing is drawn here. */
#ifndef LOOMTAG_WORDS_H
#define LOOMTAG_WORDS_H

#include <jansson.h>

#include "loomtag/job.h"

/* The answers to scans in plain words. */

/* Says an answer in one to three plain sentences, no newline. It never says that a joint is all
 * right, only that the two stickers belong together, and asks for the rest. */
void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage);

/* The side that is the mate of H for this connector at this stage: X while the outgoing part is
 * still in (tag, unplug), else M; H for a one-sided connector. */
enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage);

/* What is said of a joint: one table of facts, for every medium that shows them. */

/* The tag of one side of a joint; false where it has none. */
bool lt_joint_tag(char out[LT_TAG_SIZE], const struct lt_tags *tags, size_t connector,
	enum lt_side side);

/* Whether the part that it mates with is replaced. */
bool lt_joint_part_replaced(const struct lt_tags *tags, size_t connector);

enum lt_joint_fact {
	LT_FACT_HAZARD, /* a hazard names it */
	LT_FACT_MATE,
	LT_FACT_PLACE,
	LT_FACT_UNLOCK,
	LT_FACT_FACING,
	LT_FACT_SEAT,
	LT_FACT_ORDER, /* what must be made first */
	LT_FACT_EARTH,
	LT_FACT_LOOKALIKES,
	LT_FACT_FIT, /* that nobody has said what else it would fit */
	LT_FACT_REPLACED,
	LT_FACT_PAPER, /* it has no sticker */
	LT_FACT_WIRES,
	LT_FACT_SIZE,
	LT_FACT_CODING,
	LT_FACT_SHELL,
	LT_FACT_NOTE,
	LT_FACT_PHOTO,
	LT_FACT_COUNT
};

/* Where facts are shown: each has an order, labels and words of its own. */
enum lt_joint_medium {
	LT_JOINT_UNPLUG, /* the checklist's first part */
	LT_JOINT_MATE,   /* and its second */
	LT_JOINT_PANEL,  /* of a map */
	LT_JOINT_PAGE,   /* of a tag */
	LT_JOINT_SCREEN, /* live */
	LT_JOINT_MEDIA
};

enum lt_said {
	LT_SAID_PLAIN,
	LT_SAID_LOUD,   /* a warning */
	LT_SAID_MISSING /* not described, and needed: the text says so, or is "" for a line to write
			   on */
};

/* Goes through what a medium says of a joint:
 *     struct lt_joint_facts facts = { .tags = tags, .connector = i, .medium = LT_JOINT_PANEL };
 *     while (lt_joint_facts_next(&facts))
 *             show(facts.label, lt_text_string(&facts.text), facts.said); */
struct lt_joint_facts {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes; /* or NULL: not told of */
	size_t connector;
	enum lt_joint_medium medium;
	bool in_hazard;    /* a hazard names it */
	const char *earth; /* what is said of protective earth, or NULL */

	/* The present fact. */
	enum lt_joint_fact fact;
	enum lt_said said;
	const char *label;   /* lives for ever */
	struct lt_text text; /* not cleaned */
	unsigned rank;       /* of facts in the medium, from 1; 0 before the first */
};

/* On to the next fact of which there is something to say. Behind the last one false, with all that
 * was allocated given back. */
bool lt_joint_facts_next(struct lt_joint_facts *facts);

/* What stands before a connector's port, which must be given: "port ", so that a port that is a
 * number is not read as a joint's; nothing where the port says so itself. */
const char *lt_joint_port_word(const struct lt_connector *connector);

/* How places are looked up: by the thing that they name. */

/* The order of places, as strcmp: by the thing ("left cover" of "behind the left cover"),
 * then by the whole; letters without case, and
 * numbers by their length first, so that lane 2 comes before lane 10. NULL, for none given, is
 * last. 0 for equal bytes alone. */
int lt_place_compare(const char *a, const char *b);

/* What is done about a hazard, in the order of 29 CFR 1910.147 (d): isolated (which is when it is
 * locked and labelled), stored energy released, proved; and at the end restored. */

#define LT_HAZARD_STEPS 4

/* "isolate", "release", "prove", "restore"; step from 0. */
const char *lt_hazard_step_name(size_t step);

/* What the description says of it, or that it says nothing. */
const char *lt_hazard_step(const struct lt_hazard *hazard, size_t step);

/* Times, in milliseconds since 1970. */

/* Adds a time as strftime has it, by a clock that is `offset` seconds east of UTC. False, and
 * nothing added, for what does not fit a calendar. */
bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format);

/* "2026-03-01T07:15:02.250Z" (RFC 3339); null for what is no time of a job. */
json_t *lt_time_json(long long at);

/* Jobs and events for the screen and as JSON. */

/* "2026-03-01 08:15 +0100", in the local time of the machine; `at` in milliseconds since 1970. */
void lt_job_add_minute(struct lt_text *out, long long at);

/* One line of the list of jobs, and its heading. */
void lt_job_add_heading(struct lt_text *out);
void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound);

/* What stands above the events of a job. */
void lt_job_add_facts(struct lt_text *out, const struct lt_job *job);

/* Columns that the name of the person takes. */
size_t lt_job_who_columns(const struct lt_job_event *event);
/* One line of what happened, with at least as much room for the name as it takes. */
void lt_job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns);

/* A text as it was kept, null where there is none; what is not UTF-8 comes out clean. */
json_t *lt_words_json(const char *text);

/* An event's number is null where it has none. With `milliseconds` the time is also told in them.
 */
json_t *lt_job_json(const struct lt_job *job);
json_t *lt_job_event_json(const struct lt_job_event *event, bool milliseconds);

/* The cautions that every paper carries. */
extern const char lt_caution_work[], lt_caution_scan[];

/* Stickers. */

struct lt_sticker_words {
	const char *old_part, *new_part, *fit_unknown;
};
extern const struct lt_sticker_words lt_sticker_words;

/* "OLD PART: STICK OVER 12M" and, for a `shortening` of 1 and 2, the same in fewer words. */
void lt_words_stick_over(struct lt_text *out, const char *tag, unsigned shortening);

/* "not on 4, 7 +3": what the plug would also fit. It says "not on", since "fits", read in haste, is
 * an invitation. */
void lt_words_not_on(struct lt_text *out, const unsigned *numbers, size_t listed, size_t more);

/* What the half of that side mates with: an arrow on H; "on B1" on the machine half. */
void lt_words_sticker_mate(struct lt_text *out, enum lt_side side, const char *mate);

/* What a QR code says behind a scan code: "X1 motor power to M1 vent motor PWR; behind the left
 * cover; 1 BN, 2 BU, 3 GNYE". On one line, with single spaces. */
void lt_words_code_joint(struct lt_text *out, const struct lt_harness *harness,
	const struct lt_connector *connector);

/* What a QR code of the map says of a joint, `number` 0 where it has none; with NULL of the
 * harness: "RV3 map: Polytunnel roof-vent drive; 12 joints; revision C; unit 0042". */
void lt_words_map_code(struct lt_text *out, const struct lt_harness *harness,
	const struct lt_connector *connector, unsigned number);

/* What the commands that make stickers report. */
struct lt_sticker_run_words {
	const char *title;            /* of the document */
	const char *preview;          /* in place of a file's name */
	const char *figures_heading;  /* of the table of figures; a line */
	const char *bundle_source[4]; /* by enum lt_bundle_source, in that table */
	const char *no_unit;
};
extern const struct lt_sticker_run_words lt_sticker_run_words;

void lt_words_stickers_done(struct lt_text *out, size_t done, size_t all);
void lt_words_stickers_for(struct lt_text *out, size_t stickers, const char *layout);
void lt_words_stickers_on_pages(struct lt_text *out, size_t stickers, unsigned pages,
	const char *layout);
void lt_words_stickers_on_labels(struct lt_text *out, size_t stickers, unsigned labels,
	const char *layout);
void lt_words_stickers_on_tape(struct lt_text *out, size_t stickers, double length,
	const char *layout);
void lt_words_payload_on(struct lt_text *out, const char *payload, size_t stickers);
/* `stickers` is one of the above, `payloads` a list of names and of lt_words_payload_on; `file` may
 * be NULL. */
void lt_words_stickers_made(struct lt_text *out, const char *file, const char *stickers,
	const char *payloads);
/* Of the table of figures. Heights in mm, for a reading distance in mm. */
void lt_words_figures_bend(struct lt_text *out, double degrees);
void lt_words_figures_foot(struct lt_text *out, double distance, double least, double preferred);

/* Label layouts: the table of all, the description of one, and pictures. Lengths in mm. */

struct lt_layout_table_words {
	const char *layout, *size, *kind, *style, *head, *bundles, *labels_a_page;
	const char *any_head, *any_bundle;
};
extern const struct lt_layout_table_words lt_layout_table_words;

/* What the lines of a description begin with, and where the tail of a wrap lies. */
struct lt_layout_words {
	const char *tape, *label, *edge, *corners, *length, *flag, *printed, *clear, *film;
	const char *bundles, *sheet, *gap, *head;
	const char *tail_below, *tail_above, *tail_right, *tail_left;
};
extern const struct lt_layout_words lt_layout_words;

void lt_words_bundles_between(struct lt_text *out, double least, double most);
void lt_words_bundles_up_to(struct lt_text *out, double most);
void lt_words_tape_width(struct lt_text *out, double width);
void lt_words_not_printed(struct lt_text *out, double inset);
void lt_words_corner_radius(struct lt_text *out, double radius);
void lt_words_face_length(struct lt_text *out, double shortest, double longest);
void lt_words_flag(struct lt_text *out, double width, double height, double loop);
/* `loop` is that for a bundle that is not known. */
void lt_words_tape_flag(struct lt_text *out, double loop);
void lt_words_film(struct lt_text *out, double thickness);
struct lt_sheet_figures {
	double width, height;
	unsigned columns, rows;
	double first_x, first_y, pitch_x, pitch_y;
};
void lt_words_sheet(struct lt_text *out, const struct lt_sheet_figures *sheet);
void lt_words_label_gap(struct lt_text *out, double gap);

struct lt_specimen_words {
	const char *title, *heading, *bar; /* of the page with all layouts */
	const char *lies_flat, *loop_is_cut, *no_room;
	const char *clear, *loop; /* in the zones of a label */
	const char *flag, *wrap;
};
extern const struct lt_specimen_words lt_specimen_words;

void lt_words_specimen_title(struct lt_text *out, const char *layout);
void lt_words_specimen_bundles(struct lt_text *out, const char *bundles);
void lt_words_specimen_edge(struct lt_text *out, double inset);
void lt_words_specimen_tape(struct lt_text *out, double shortest, double longest);
void lt_words_specimen_head(struct lt_text *out, double dpi);
void lt_words_specimen_page(struct lt_text *out, double width, double height, unsigned columns,
	unsigned rows);
void lt_words_contact_tape(struct lt_text *out, double width);
void lt_words_contact_scale(struct lt_text *out, double parts);
void lt_words_contact_bundles(struct lt_text *out, const char *bundles);
void lt_words_contact_page(struct lt_text *out, size_t page, size_t pages);

/* Lines that `layouts` prints. */
void lt_words_layout_drawn(struct lt_text *out, const char *file, const char *layout);
void lt_words_layouts_drawn(struct lt_text *out, const char *file, size_t layouts);
void lt_words_layout_checked(struct lt_text *out, const char *file, size_t errors, size_t warnings);

/* The ruler, a step a field or function, and the ladder. Lengths in mm. */

struct lt_ruler_words {
	const char *print_page, *measure_outlines, *print_page_again; /* on a sheet */
	const char *print_label, *no_bar, *print_label_again;         /* on one label */
	const char *right, *down;                                     /* the bars */
};
extern const struct lt_ruler_words lt_ruler_words;

void lt_words_ruler_title(struct lt_text *out, const char *layout);
void lt_words_ruler_written(struct lt_text *out, const char *file, const char *layout);
/* How long the bars must be; on a label 0 for a bar that has no room. */
void lt_words_ruler_measure_page(struct lt_text *out, double x, double y);
void lt_words_ruler_measure_label(struct lt_text *out, double x, double y);
void lt_words_ruler_measure_frame(struct lt_text *out, double inset);
void lt_words_ruler_nudged(struct lt_text *out, double x, double y);
void lt_words_ruler_scaled(struct lt_text *out, double x, double y);

struct lt_ladder_words {
	const char *smallest; /* before a line to write a number on */
	const char *dots;     /* behind it */
};
extern const struct lt_ladder_words lt_ladder_words;

void lt_words_ladder_scan(struct lt_text *out, double dpi);
void lt_words_dots(struct lt_text *out, unsigned dots);

#endif
