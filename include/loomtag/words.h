/* Words: the texts of papers, screens and web pages, each in one place: the facts of a joint,
 * places, hazards, verdicts, times of a job.
 * To use it: read the fields of the structs; the functions return a text, or add one to a struct
 * lt_text. Nothing is drawn here. */
#ifndef LOOMTAG_WORDS_H
#define LOOMTAG_WORDS_H

#include <jansson.h>

#include "loomtag/job.h"

/* The answers to scans in plain words. */

/* Adds an answer in plain sentences, no newline. About a right pair it says only that the two
 * stickers belong together; it asks the person to check the rest. */
void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage);

/* The side that is the mate of H for this connector at this stage: X while the outgoing part is
 * still in (tag, unplug), else M; H for a one-sided connector. */
enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage);

/* The facts of a joint: one table for all media. */

/* The tag of one side of a joint; false where it has none. */
bool lt_joint_tag(char out[LT_TAG_SIZE], const struct lt_tags *tags, size_t connector,
	enum lt_side side);

/* Whether the part that it mates with is replaced. */
bool lt_joint_part_replaced(const struct lt_tags *tags, size_t connector);

enum lt_joint_fact {
	LT_FACT_HAZARD,  /* a hazard names it */
	LT_FACT_CAUTION, /* read it before the step */
	LT_FACT_MATE,
	LT_FACT_PLACE,
	LT_FACT_UNLOCK,
	LT_FACT_FACING,
	LT_FACT_CAP,       /* its open ends are closed while it is off */
	LT_FACT_FASTENING, /* how many, of what size, tool, torque, cup */
	LT_FACT_SEAT,
	LT_FACT_AFTER, /* what must be made first */
	LT_FACT_EARTH,
	LT_FACT_LOOKALIKES,
	LT_FACT_FIT, /* its fit is unknown */
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

/* Where facts are shown: each medium has its own order, labels and texts. */
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
	LT_SAID_MISSING /* needed, but not described: the text says so, or is "" for a line to write
			   on */
};

/* Iterates over the facts of a joint for a medium:
 *     struct lt_joint_facts facts = { .tags = tags, .connector = i, .medium = LT_JOINT_PANEL };
 *     while (lt_joint_facts_next(&facts))
 *             show(facts.label, lt_text_string(&facts.text), facts.said); */
struct lt_joint_facts {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes; /* or NULL: leaves out look-alikes */
	size_t connector;
	enum lt_joint_medium medium;
	bool in_hazard;    /* a hazard names it */
	const char *earth; /* the text about protective earth, or NULL */

	/* The present fact. */
	enum lt_joint_fact fact;
	enum lt_said said;
	const char *label;   /* a static string */
	struct lt_text text; /* not cleaned */
	unsigned rank;       /* of facts in the medium, from 1; 0 before the first */
};

/* Goes to the next fact that is described or must be shown. False after the last one; then
 * everything that was allocated is freed. */
bool lt_joint_facts_next(struct lt_joint_facts *facts);

/* What to do with the caps of open ends, as the medium says it, in a sentence. */
void lt_words_cap(struct lt_text *out, enum lt_joint_medium medium);

/* "port PWR": a connector's port, which must be described; only the port if it already contains the
 * word. */
void lt_joint_add_port(struct lt_text *out, const struct lt_connector *connector);

/* "12", or "C1 (no number)". */
void lt_joint_add_number(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* "vent motor (M1)", or "M1" where it has no name. */
void lt_component_add(struct lt_text *out, const struct lt_component *component);

/* "port PWR on vent motor (M1)": what it mates with, without the place. False, with nothing added,
 * if that is not described. */
bool lt_joint_add_mate(struct lt_text *out, const struct lt_tags *tags, size_t connector);

/* The order of places in indexes. */

/* The order of places, as strcmp: by the thing ("left cover" of "behind the left cover"), then by
 * the whole; letters without case, and numbers by their length first, so that lane 2 comes before
 * lane 10. NULL, for none given, is last. 0 only for equal bytes. */
int lt_place_compare(const char *a, const char *b);

/* Times, in milliseconds since 1970. */

/* Adds a time in a format of strftime, at `offset` seconds east of UTC. False, with nothing added,
 * for a time that strftime cannot represent. */
bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format);

/* "2026-03-01T07:15:02.250Z" (RFC 3339); null if it is negative or strftime cannot represent it. */
json_t *lt_time_json(long long at);

/* Jobs and events for the screen and as JSON. */

struct lt_job_words {
	const char *no_jobs;
	/* Labels and headings of columns. */
	const char *job, *code, *unit, *title, *revision, *opened, *last, *last_event, *stage,
		*scans, *state;
	const char *open, *closed, *damaged;
	const char *typed_accepted; /* of an event with --typed */
};
extern const struct lt_job_words lt_job_words;

/* "2026-03-01 08:15 +0100", in the local time of the machine; `at` in milliseconds since 1970. */
void lt_job_add_minute(struct lt_text *out, long long at);

/* The heading of the list of jobs, and one line of it. */
void lt_job_add_heading(struct lt_text *out);
void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound);

/* The text above the events of a job, and the text below them if all fit the chain of digests. */
void lt_job_add_facts(struct lt_text *out, const struct lt_job *job);
void lt_job_add_sound(struct lt_text *out, size_t events, const char *last);

/* That a job was closed. */
void lt_job_add_closed(struct lt_text *out, unsigned long long job, const char *code);

/* Columns that the name of the person takes. */
size_t lt_job_who_columns(const struct lt_job_event *event);
/* One event, as a line; `who_columns` is at least lt_job_who_columns of it. */
void lt_job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns);

/* A text as it was stored, null for NULL; a text that is not UTF-8 is cleaned. */
json_t *lt_words_json(const char *text);

/* An event's number is null if it has none. With `milliseconds` the time is also given in
 * milliseconds since 1970. */
json_t *lt_job_json(const struct lt_job *job);
json_t *lt_job_event_json(const struct lt_job_event *event, bool milliseconds);

/* Hazards, and the cautions that every paper carries. */

/* What is done about a hazard, in the order of 29 CFR 1910.147 (d): isolated (which is when it is
 * locked and labelled), stored energy released, proved; and at the end restored. */
#define LT_HAZARD_STEPS 4

struct lt_hazard_words {
	const char *signals[LT_SIGNAL_COUNT];
	const char *harm; /* label of what it does to people */
	const char *lock; /* label of the lock and warning label */
	const char *lock_on, *lock_off;
	const char *step_not_described;
};
extern const struct lt_hazard_words lt_hazard_words;

/* Cautions for all work, and what a scan proves. */
extern const char lt_caution_work[], lt_caution_scan[];

/* "DANGER: mains 230 V", or "mains 230 V" where no signal word is described. */
void lt_hazard_add(struct lt_text *out, const struct lt_hazard *hazard);

/* The same as a title: "HAZARD: mains 230 V" where no signal word is described. */
void lt_hazard_add_title(struct lt_text *out, const struct lt_hazard *hazard);

/* "isolate", "release", "prove", "restore"; step from 0. */
const char *lt_hazard_step_name(size_t step);

/* What the description says of a step, from 0, or that it is not described. */
const char *lt_hazard_step(const struct lt_hazard *hazard, size_t step);

/* What all papers have: heads, headings of columns, lines to fill in. */
struct lt_page_words {
	const char *unit, *date, *revision;
	const char *tags;
	const char *facts; /* heads the column of what is said of a joint */
	const char *stickers_checked, *unplugged, *made, *initials;
	const char *by_eye, *no_number, *no_sticker;
	const char *number_missing; /* in plain text, where the tags would stand */
	const char *hazard_to_write;
};
extern const struct lt_page_words lt_page_words;

/* "page 2 of 7". */
void lt_page_add_number(struct lt_text *out, size_t page, size_t pages);

/* "KT4, unit 0042, revision C, date 2026-11-25"; `revision` may be NULL. */
void lt_page_add_head(struct lt_text *out, const char *code, const char *unit, const char *revision,
	const char *date);

/* A line to sign on, in plain text, behind who signs. */
void lt_page_add_sign(struct lt_text *out, const char *who);

/* The checklist. */
struct lt_checklist_words {
	const char *title;
	const char *part_unplug, *part_reconnect;
	const char *unplugged_by, *reconnected_by; /* who signs */
	const char *date;
	const char *read_first; /* heads the cautions */
	const char *make_safe, *make_safe_how;
	const char *every_energy_known, *people_told;
	const char *no_hazards, *no_hazards_how;
	const char *check_and_unplug, *check_and_unplug_how;
	const char *make_joints, *make_joints_how;
	const char *replaced, *new_part, *on_paper; /* badges of a joint */
	const char *last_checks, *no_last_checks;
	const char *restore, *restore_how;
	const char *tools_out, *people_clear;
	const char *written_energies;       /* where no hazard is described */
	const char *other_written_energies; /* where some are */
	const char *run_and_watched;
};
extern const struct lt_checklist_words lt_checklist_words;

/* The title of a paper: the harness's, or "Harness RV3" where it has none. */
void lt_checklist_add_title(struct lt_text *out, const struct lt_harness *harness);

/* "All 14 joints above are ticked: 12 by number, 2 checked by eye". */
void lt_checklist_add_count(struct lt_text *out, size_t joints, size_t numbered);

/* The worksheet. */
/* What the letters on the stickers stand for, on every paper that has them. */
struct lt_legend_words {
	const char *label, *sides;
};
extern const struct lt_legend_words lt_legend_words;

struct lt_worksheet_words {
	const char *title;
	const char *machine, *technician;
	/* Heads of columns; the last three are over boxes to tick. */
	const char *tags, *connector, *mate, *colours, *place, *stickers_on, *unplugged, *made;
	const char *order;                                           /* of the whole work */
	const char *about_colours, *about_numbers, *next, *put_back; /* before what follows */
};
extern const struct lt_worksheet_words lt_worksheet_words;

/* "BK black, BN brown, …", and how two colours are written. */
void lt_worksheet_add_colours(struct lt_text *out);

/* Which numbers were not used; nothing where all were. */
void lt_worksheet_add_all_passed(struct lt_text *out, const struct lt_tags *tags);

/* How the joints are checked when they are made again; `file` as below. */
void lt_worksheet_add_put_back(struct lt_text *out, const char *file);

/* How the description is filled in; `file` is its name, or NULL. */
void lt_worksheet_add_next(struct lt_text *out, const char *file);

/* The map on paper: its pages, hazards, overview. */
struct lt_map_words {
	const char *title;
	const char *overview, *hazards; /* titles of pages */
	const char *hazards_how;
	const char *views_and_codes; /* what its views and symbols are */
	const char *on_paper, *no_number, *new_part, *cover_or_clip;
	/* Signs that the foot of the page explains, and their meanings. */
	const char *trunk, *to_scale, *not_to_scale;
	const char *after, *after_means;
	const char *framed, *framed_means;
	const char *dashed, *dashed_means;
	const char *unknown_means, *hazard_means, *by_eye_means;
	const char *more; /* sign for what has no room */
};
extern const struct lt_map_words lt_map_words;

/* "Harness map: Overview". */
void lt_map_add_heading(struct lt_text *out, const char *page);

/* The page of the panels of joints with these numbers, both 0 for those that have none. */
void lt_map_add_connectors(struct lt_text *out, unsigned first, unsigned last);

/* "unit 0042   revision C   2026-11-25"; `date` may be NULL; `unsaved`: the numbers are not kept in
 * the register yet. */
void lt_map_add_facts(struct lt_text *out, const struct lt_harness *harness, const char *date,
	bool unsaved);

/* The energies by name, or counted, that are described in full on `page`. */
void lt_map_add_energies(struct lt_text *out, const struct lt_harness *harness, size_t page);
void lt_map_add_energy_count(struct lt_text *out, size_t hazards, size_t page);

/* The same in the head of an overview. */
void lt_overview_add_energies(struct lt_text *out, const struct lt_harness *harness, size_t page);
void lt_overview_add_energy_count(struct lt_text *out, size_t hazards, size_t page);

/* "isolate: breaker F4 – release: wait – …", with the harm before it. */
void lt_overview_add_steps(struct lt_text *out, const struct lt_hazard *hazard);

/* What look-alikes there are in a group: all of each other, or some as listed. */
void lt_overview_add_group(struct lt_text *out, const char *numbers);
void lt_overview_add_some(struct lt_text *out, const char *list, bool whole);

/* "4, 5 and 20 more". */
void lt_overview_add_more(struct lt_text *out, const char *numbers, size_t more);

/* "X6 → PWR"; `id` may be NULL. */
void lt_overview_add_port(struct lt_text *out, const char *id, const char *port);

/* "at 320 mm": a place along the trunk. */
void lt_overview_add_place(struct lt_text *out, double mm);

/* Lists of the foot that have no room. */
void lt_overview_add_lists_left(struct lt_text *out, size_t lists);

/* Where the trunk comes from, or goes to. */
void lt_overview_add_page(struct lt_text *out, size_t page, bool before);

/* A component that is drawn in more boxes than one. */
void lt_overview_add_boxes(struct lt_text *out, size_t boxes);

/* The panels of a map: front views and what stands beside them. */
struct lt_panel_words {
	const char *no_number, *on_old_part;
	const char *symbol, *no_symbol;
	const char *no_photo;
	const char *colour_not_described, *ways_not_described;
	const char *front;
	const char *latches[LT_EDGE_RIGHT + 1];
	const char *paths[LT_WAYS_ANTICLOCKWISE + 1];
	const char *paths_from_right[LT_WAYS_ANTICLOCKWISE + 1];
	const char *first_left, *first_right; /* in a single row */
	const char *unrolled, *schematic, *uneven_rows;
	const char *unnamed_way, *no_wires, *empty_way, *colour_unknown;
};
extern const struct lt_panel_words lt_panel_words;

/* "X1, plug, 3 ways, tab housing, coding A"; the id only where the name is the title. */
void lt_panel_add_kind(struct lt_text *out, const struct lt_connector *connector);

/* Protective earth, on `count` ways by name, or on the only one; `first`: made before all else. */
void lt_panel_add_earth(struct lt_text *out, const char *ways, size_t count, bool first);

/* The head of a panel that is continued: tags (NULL where there is none) and id. */
void lt_panel_add_continued(struct lt_text *out, const char *tag, const char *mate, const char *id);

/* A piece of a front view; `ways` may be NULL. */
void lt_panel_add_piece(struct lt_text *out, size_t piece, size_t pieces, const char *ways);

/* Which way to look for on the moulding. */
void lt_panel_add_first_way(struct lt_text *out, const char *way);

/* "coding A". */
void lt_panel_add_coding(struct lt_text *out, const char *key);

/* That a sign shows the kind, not the shape. */
void lt_panel_add_sign(struct lt_text *out, const char *kind);

/* "Colours: BN brown, BU blue": of the hues that are `on`. */
void lt_panel_add_colours(struct lt_text *out, const bool on[LT_HUE_COUNT]);

/* The tables of a map: index and wire list. */
struct lt_table_words {
	const char *index_by_number, *index_by_place, *index_by_place_how;
	const char *wire_list, *wires_by_colour;
	const char *number, *tags, *connector, *mate, *place, *page; /* heads of columns */
	const char *what_is_there;
	const char *from, *to, *colour, *size, *wire;
	const char *in_words, *both_ends, *one_end, *ends;
	const char *by_eye; /* in the place of a number */
	const char *does_not_apply;
	const char *not_described, *place_not_described;
	const char *no_number, *no_sticker, *new_part, *retired;
	const char *between_choices; /* of colours or sizes that a wire may have */
	const char *all;
	const char *no_wires, *no_wire_list;
};
extern const struct lt_table_words lt_table_words;

/* What is at a place: a joint with its mate, a component that is a joint's mate, or one that no
 * connector mates with. */
void lt_table_add_joint_and_mate(struct lt_text *out, const char *joint, const char *mate);
void lt_table_add_mate_of(struct lt_text *out, const char *mate, const char *joint);
void lt_table_add_unmated(struct lt_text *out, const char *component);

/* One end of a wire: "12H way 1 (X1.1)"; `tag` is NULL where the joint has no number. */
void lt_table_add_end(struct lt_text *out, const char *tag, const char *id, const char *way);

/* How many wires have one end described. */
void lt_table_add_open_ends(struct lt_text *out, size_t wires);

/* "white and red"; of green-and-yellow also what it means (IEC 60445). */
void lt_colour_add(struct lt_text *out, const struct lt_colour *colour);

/* The map as web pages. */
struct lt_site_words {
	const char *all_maps, *scan_or_choose; /* the page that leads to all harnesses */
	const char *harness, *unit, *revision, *written;
	const char *on_this_page, *other_pages; /* names of lists of links */
	const char *overview, *by_number, *by_place, *by_eye, *wire_list, *last_checks;
	const char *all_harnesses;
	const char *overview_how, *overview_parts, *by_eye_how, *by_place_how;
	const char *no_wire_list, *wire_ends_how;
	const char *id_and_kind, *mates_with, *is_on, *was_on, *after;
	/* Heads of columns. */
	const char *number, *joint, *joint_and_place, *mate;
	const char *wire, *from, *to, *colour, *size, *way;
	const char *row_by_eye; /* in the place of the tags */
	const char *is_here, *is_replaced;
	const char *not_described, *place_not_described, *mate_not_described;
	const char *harness_half, *machine_half, *new_half, *old_half, *one_sticker;
	const char *partner, *no_partner, *mates_with_new; /* of a tag's other stickers */
	const char *old_part, *new_part, *part_replaced;   /* before what it means */
	const char *mates_with_new_part;
	const char *hazard_names_it;
	const char *would_also_fit, *fit_unknown, *check_number;
	const char *make_after;
	const char *front, *mirror_of_front, *mirror_of_picture;
	const char *handling;
	const char *previous, *next;
	const char *do_not_use, *earlier_map, *now;
	const char *hazards, *no_hazards, *make_safe, *before_unplugging, *who_isolates;
	const char *no_unit;
};
extern const struct lt_site_words lt_site_words;

/* "Harness RV3": the title where the description gives none. */
void lt_site_add_harness(struct lt_text *out, const char *code);

/* Which map a page is of. */
void lt_site_add_map(struct lt_text *out, const struct lt_harness *harness);

/* "Written 2026-11-25". */
void lt_site_add_written(struct lt_text *out, const char *date);

/* Texts for a reader that cannot see the pictures (alt). */
void lt_site_add_overview_alt(struct lt_text *out, size_t part, size_t parts);
void lt_site_add_photo_alt(struct lt_text *out, const char *name);
void lt_site_add_front_alt(struct lt_text *out, const char *id);

/* A link to a harness's map. */
void lt_site_add_map_of(struct lt_text *out, const char *code);

/* A joint that has no number. */
void lt_site_add_unnumbered(struct lt_text *out, const char *name);

/* Heads a joint's wires; `size` is "" where it is not described. */
void lt_site_add_wires(struct lt_text *out, const char *size);

/* Look-alikes that are not linked. */
void lt_site_add_more(struct lt_text *out, size_t more, bool without_number);

/* What the replacement of the part means for a person who holds this half. */
void lt_site_add_replaced(struct lt_text *out, const struct lt_tags *tags, size_t connector,
	enum lt_side side);

/* That an M sticker was printed before the part was to be replaced. */
void lt_site_add_old_m(struct lt_text *out, unsigned number);

/* Why a tag is not used: in short, then the rest. `name` is that of the joint that is checked by
 * eye. */
enum lt_gone {
	LT_GONE_UNNUMBERED, /* the joint has no number any more */
	LT_GONE_RETIRED,
	LT_GONE_SIDE,
	LT_GONE_NEVER,
};
void lt_site_add_gone(struct lt_text *out, enum lt_gone why, unsigned number, enum lt_side side);
void lt_site_add_gone_why(struct lt_text *out, enum lt_gone why, const char *name,
	const char *code);

/* A description to fill in. */
struct lt_template {
	const char *code; /* of the harness */
	const char *file; /* of the description, where it has no numbers yet */
	size_t count;     /* connectors, at least 1 */
	/* By connector, where its stickers are printed: it is called by it, T7, and the code is its
	 * own unit. NULL: the connectors are X1, X2, and so on. */
	const unsigned *numbers;
};
void lt_template_add(struct lt_text *out, const struct lt_template *template);

/* What quick, new, checklist and map print when they are done. */
struct lt_quick_words {
	const char *actual_size;
	const char *start;                            /* how the work begins */
	const char *nothing_written;                  /* after a preview */
	const char *several_printers, *which_printer; /* before the list, and the question */
};
extern const struct lt_quick_words lt_quick_words;

/* The numbers that were not used, without the reasons; nothing where all were. */
void lt_quick_add_not_used(struct lt_text *out, const struct lt_tags *tags);
/* How to do without label sheets. */
void lt_quick_add_no_labels(struct lt_text *out, const char *description, const char *layout);
/* A line of the list of printers, with the layout of the labels that are loaded. */
void lt_quick_add_printer(struct lt_text *out, size_t index, const char *name, const char *layout);
/* Not all stickers are printed; where they are too, and how to print them later. */
void lt_quick_add_not_printed(struct lt_text *out, const char *pdf, const char *description);
void lt_quick_add_worksheet(struct lt_text *out, const char *file);
void lt_quick_add_fill_in(struct lt_text *out, const char *file);
void lt_new_add_done(struct lt_text *out, const char *file);
void lt_checklist_add_done(struct lt_text *out, const char *file, size_t joints);
void lt_map_add_done(struct lt_text *out, const char *files, size_t joints, size_t pages);
void lt_site_add_done(struct lt_text *out, const char *folder, size_t tags, const char *code);

/* Look-alikes. */

/* Adds which connectors are look-alikes of which, in a group that is not complete: "4 with 5, 6; 5
 * with 4", in the order given, of at most `most` connectors at most `most` look-alikes each, the
 * others counted: "4 with 5 and 2 more; 3 more". `name` adds the name of a connector. Linear in the
 * group. */
typedef void lt_lookalike_name(struct lt_text *out, size_t connector, const void *data);
void lt_lookalikes_say(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t most, lt_lookalike_name *name, const void *data);

/* Adds a list that was shortened, with how many `more` there are: "X1, X2 and 3 more". */
void lt_words_and_more(struct lt_text *out, const char *list, size_t more);

/* The end of loomtag check: "0 errors, 2 warnings, 12 connectors, 1 look-alike group". */
struct lt_check_counts {
	size_t errors, warnings, connectors, groups;
};
void lt_words_check_counts(struct lt_text *out, const struct lt_check_counts *counts);

/* Connectors that lack what a good map and checklist need. */
struct lt_check_lacking {
	size_t family, place, facing, lock;
};
/* Nothing where nothing is lacking. */
void lt_words_check_lacking(struct lt_text *out, const struct lt_check_lacking *lacking);

/* The table of tags. */
struct lt_tags_words {
	const char *number, *sides, *connector, *name, *component, *would_also_fit; /* heads */
	const char *paper, *checked_by_eye, *retired, *fit_unknown;
};
extern const struct lt_tags_words lt_tags_words;

/* Pictures of joints: a sentence or two for what the stickers in one say. `tags` is a list, such as
 * "12H, 12M". */
struct lt_picture_words {
	const char *no_code, *nothing_changed;
};
extern const struct lt_picture_words lt_picture_words;
void lt_words_picture_half(struct lt_text *out, const char *tag);
void lt_words_picture_two_joints(struct lt_text *out, const char *tags);
void lt_words_picture_many(struct lt_text *out, const char *tags, size_t count);
/* `name` is the joint's, or NULL. */
void lt_words_picture_joint(struct lt_text *out, const char *tags, const char *name);
void lt_words_picture_same_side(struct lt_text *out, const char *tags, enum lt_side side);
/* Without a full stop, which could belong to the last of the codes. */
void lt_words_picture_ignored(struct lt_text *out, const char *codes, size_t count);

/* Notes below a preview on the terminal. */
struct lt_preview_words {
	const char *symbols_too_fine;
};
extern const struct lt_preview_words lt_preview_words;
void lt_words_preview_columns(struct lt_text *out, unsigned columns);
void lt_words_preview_texts(struct lt_text *out, size_t count);

/* Names of documents and files. */

/* "Checklist RV3: Polytunnel roof-vent drive"; `document` is "Checklist". */
void lt_words_document_title(struct lt_text *out, const char *document,
	const struct lt_harness *harness);

/* "out-01.png to out-03.png" */
void lt_words_file_range(struct lt_text *out, const char *first, const char *last);

/* Changes of the plan of a job. */

/* Adds one change in one or two whole sentences, no newline. Not cleaned. */
void lt_plan_change_words(struct lt_text *out, const struct lt_plan_change *change);

/* The record of a job. The findings of its summary are whole sentences, or a label in capitals with
 * what it is about. */

/* Joints that a finding lists. */
enum lt_joints_found {
	LT_JOINTS_NOT_APART,        /* not recorded as apart */
	LT_JOINTS_UNACCOUNTED,      /* of these, without any proof that they stayed plugged in */
	LT_JOINTS_UNCHECKED,        /* their stickers were not checked */
	LT_JOINTS_UNCHECKED_BEFORE, /* the same, where it is known that they were apart */
	LT_JOINTS_SKIPPED,
	LT_JOINTS_TYPED,          /* though they have stickers */
	LT_JOINTS_TYPED_OF_PAPER, /* they have none */
	LT_JOINTS_REMOVED
};

struct lt_record_words {
	/* The head: labels, and what stands there for what is missing. */
	const char *module, *harness_code, *unit, *revision, *job, *started, *last_event, *closed,
		*program, *who;
	const char *not_described, *unit_missing, *unit_own, *not_closed, *nobody, *time_unknown,
		*no_digest;

	/* Findings without values. */
	const char *events_gone, *closed_in_doubt, *no_joint_has_number;
	const char *not_reconnected, *not_reconnected_by_strange_event;
	const char *no_wrong_mate, *nobody_named, *plan_unknown, *described_anew, *no_unit;

	/* Titles of sections; the summary's in the text rendering too. */
	const char *summary, *summary_as_text, *changes, *stages, *joints, *wrong_mates, *parts,
		*lines, *hazards, *signatures, *events;
	/* What an empty section says. */
	const char *joints_unknown, *no_number, *no_wrong_mate_row, *no_part, *no_line, *no_hazard;
	const char *nothing_before_counts; /* a change of the plan that voids everything before */
	const char *no_other_scan, *about_events;
	const char *technician, *foreman, *sign_name, *sign_date, *sign_signature;

	/* Headings of columns. */
	const char *column_stage, *column_state, *column_started, *column_last, *column_who;
	const char *column_tags, *column_joint, *column_stickers, *column_apart, *column_new_part,
		*column_made;
	const char *column_time, *column_stickers_scanned, *column_resolved;
	const char *column_part, *column_place, *column_joints, *column_part_checked;
	const char *column_line, *column_ticked, *column_by;
	const char *column_hazard, *column_confirmed, *column_restored;
	const char *column_event, *column_terminal, *column_what, *column_answer;

	/* Cells. */
	const char *stage_called[LT_STAGE_COUNT];
	const char *stage_state[LT_STATE_NOTHING + 1];
	const char *state_unknown;
	const char *made, *not_made, *not_apart;
	const char *not_checked, *not_resolved, *not_confirmed, *not_ticked;
	const char *digest_wrong, *not_understood;
	const char *typed_at[LT_STAGE_COUNT]; /* NULL where nothing is typed */
	/* Scans that are counted below the wrong mates; NULL: not counted. */
	const char *other_scan[LT_VERDICT_COUNT];
};
extern const struct lt_record_words lt_record_words;

/* Says which file was written, in a line without its end. */
void lt_words_record_written(struct lt_text *out, const char *path, unsigned long long job,
	size_t events, size_t faults);
/* The title of the PDF file. */
void lt_words_record_pdf_title(struct lt_text *out, unsigned long long job, const char *code);

/* The head and the foot. */
void lt_words_record_title(struct lt_text *out, unsigned long long job);
void lt_words_record_foot(struct lt_text *out, const char *code, unsigned long long job,
	size_t events);
/* A digest in groups of four characters; NULL: there is none. */
void lt_words_record_digest(struct lt_text *out, const char *digest);

/* Findings about the events. `event` counts from 1. */
void lt_words_events_changed(struct lt_text *out, size_t event, size_t all);
void lt_words_events_missing(struct lt_text *out, size_t missing, size_t all);
void lt_words_events_fit(struct lt_text *out, size_t all);
void lt_words_event_not_understood(struct lt_text *out, size_t event);

/* Findings about the end of the job. */
void lt_words_closed(struct lt_text *out, const char *moment);
void lt_words_closed_unfinished(struct lt_text *out, const char *reason);

/* Findings about joints. Numbers are listed as "1–4, 7". `open` are those that are not made, ""
 * where all are; `made` of `all` joints that have to be made. */
void lt_words_joints_made(struct lt_text *out, const char *open, size_t made, size_t all,
	bool apart_known);
void lt_words_joints_found(struct lt_text *out, enum lt_joints_found which, size_t count,
	const char *numbers);
void lt_words_record_half(struct lt_text *out, unsigned number, enum lt_side side,
	unsigned station);

/* Other findings. `open` lists what is not resolved or not checked; "" for none. */
void lt_words_wrong_mates(struct lt_text *out, size_t count, const char *open);
void lt_words_parts_checked(struct lt_text *out, size_t count, const char *open);
/* Stages that are skipped, not started or not finished. */
void lt_words_stages_found(struct lt_text *out, enum lt_stage_state state, size_t count,
	const char *names);
/* Of `all` hazards, not 0. */
void lt_words_hazards_confirmed(struct lt_text *out, size_t unconfirmed, size_t late, size_t all);
/* Of `all` lines of the last checks, not 0. */
void lt_words_record_lines(struct lt_text *out, size_t unticked, size_t all);

/* Findings about the description. */
void lt_words_first_plan_late(struct lt_text *out, size_t event);
void lt_words_plan_changed(struct lt_text *out, size_t changes, bool voids);
/* NULL: not described. */
void lt_words_revision_changed(struct lt_text *out, const char *then, const char *now);

/* Cells and lines of the tables. */
void lt_words_day_of_times(struct lt_text *out, const char *moment);
void lt_words_replanned(struct lt_text *out, const char *time, const char *who);
/* `reason` may be NULL. */
void lt_words_stage_skipped(struct lt_text *out, const char *who, const char *reason);
void lt_words_joint_skipped(struct lt_text *out, enum lt_stage stage, const char *reason);
void lt_words_joint_typed(struct lt_text *out, const char *when);
/* `name` may be NULL. */
void lt_words_joint_called(struct lt_text *out, const char *id, const char *name, bool removed);
void lt_words_joint_mates(struct lt_text *out, const char *mate);
void lt_words_apart_at(struct lt_text *out, const char *time, size_t rank);
/* A tag may be NULL: not known. */
void lt_words_wrong_pair(struct lt_text *out, const char *first, const char *second);
void lt_words_other_scans(struct lt_text *out, const char *counts);
void lt_words_record_restore(struct lt_text *out, const char *how);
void lt_words_confirmed_late(struct lt_text *out, const char *time);

/* Verdicts. */

/* The verdict in a word or two, in capitals where it must be seen: a static string. */
const char *lt_verdict_word(enum lt_verdict verdict, enum lt_stage stage);

/* The result of verifying: the same sentences at the end of a live stage and after a file. */

struct lt_result_words {
	const char *yes[LT_STAGE_COUNT];
	const char *yes_others_skipped; /* at stage unplug, where a joint is skipped */
	const char *no[LT_STAGE_COUNT];
	const char *no_earlier_stage; /* at stage finish, where each line is ticked */
	const char *no_scan;          /* nothing was scanned in this run */
	const char *no_number;        /* no joint has one */
	const char *no_other_plan;    /* the description has changed */
	/* Everything is made or ticked, and the answer is still no. */
	const char *no_wrong_mate_open, *no_half_waits, *no_removed_joint, *no_strange_event,
		*no_plan;
	const char *no_unit;
	const char *check_by_eye; /* before joints that have no number */
	const char *done[LT_STAGE_COUNT];
	const char *open[LT_STAGE_COUNT];
	const char *not_asked[LT_STAGE_COUNT];
	/* Why a stage was left out, as the job keeps it. */
	const char *later_stage_started;
	/* Labels of lines in the result of a file. */
	const char *missing_row, *eye_row;
};
extern const struct lt_result_words lt_result_words;

/* The answer of lt_work_answer in a sentence: a static string. */
const char *lt_result_answer(unsigned no, enum lt_stage stage, bool others_skipped);
/* "RV3, stage reconnect: 2 of 13 numbered joints made." */
void lt_words_result_count(struct lt_text *out, const char *code, enum lt_stage stage, size_t made,
	size_t needed);
void lt_words_typed(struct lt_text *out, size_t count);
/* No sticker is printed yet, and how to print them: `file` is the description's. */
void lt_words_print_first(struct lt_text *out, const char *file);
/* The state of a joint, to stand behind its name. The reason is read where it is skipped. */
void lt_words_joint_state(struct lt_text *out, const struct lt_verify *machine, size_t joint,
	const char *skip_reason);
/* A wrong mate that is not resolved, and what resolves it: `machine` is of its stage. */
void lt_words_wrong_mate(struct lt_text *out, const struct lt_verify *machine,
	const struct lt_wrong_mate *wrong);
/* One of an earlier stage. */
void lt_words_wrong_stickers(struct lt_text *out, const struct lt_wrong_mate *wrong,
	enum lt_stage stage);
/* Wrong mates that were resolved since. */
void lt_words_resolved(struct lt_text *out, size_t count);
void lt_words_stray(struct lt_text *out, const struct lt_job_stray *stray);
/* A sticker that waits for its other half; station 0: the present one. */
void lt_words_half_pair(struct lt_text *out, unsigned number, enum lt_side side, unsigned station);
/* Joints that are not asked for at stage reconnect; a list of numbers. */
void lt_words_not_asked(struct lt_text *out, const char *numbers);

/* The live screen. */

struct lt_live_words {
	/* Questions: what each key and word does. */
	const char *ask_resume;
	const char *ask_new_job;
	const char *ask_who;
	const char *ask_changed;
	const char *ask_hazard;
	const char *ask_scan;
	const char *ask_tick;
	const char *ask_seen;
	const char *ask_next_stage;
	const char *ask_next_stage_or_back;
	const char *ask_corrected;
	const char *scan_not_counted; /* a scan where something else is asked */

	/* The head of a screen. */
	const char *stage_begins[LT_STAGE_COUNT];

	/* The beginning. */
	const char *who_works;
	const char *changed_since;
	const char *plan_unknown; /* nothing counts: the job has no plan */
	const char *make_safe;
	const char *only_yes_confirms;
	const char *hazards_confirmed;
	const char *no_hazards;
	const char *nothing_scanned;
	const char *file_unreadable;
	const char *new_description;

	/* Warnings at stage reconnect. */
	const char *stickers_unchecked;

	/* The joint to go to. */
	const char *next, *now;
	const char *skipped_label;
	const char *by_eye_first;
	const char *would_fit_label;
	const char *fit_unknown;
	const char *only_skipped_left[LT_STAGE_COUNT];
	const char *new_part_on_paper; /* of a joint without stickers */
	const char *all_apart;
	const char *rest_stays_in;

	/* Words that are typed. */
	const char *nothing_to_take_back;
	const char *undo_alone;
	const char *undo_idle; /* the last scan changed nothing */
	const char *skip_taken_back;
	const char *tick_taken_back;
	const char *wrong_mate_stays[LT_STAGE_COUNT]; /* undo cannot take it back */
	const char *skip_how;
	const char *stage_how;
	const char *apart_how;
	const char *gone_how;
	const char *help_scan_word;
	const char *help_scan[LT_STAGE_COUNT];
	const char *help_undo;
	const char *help_skip[LT_STAGE_COUNT];
	const char *help_status;
	const char *help_next;
	const char *help_apart;
	const char *help_gone;
	const char *help_stage;
	const char *help_quit;
	const char *help_scans_prove;

	/* The end of a stage. */
	const char *missing;
	const char *unplug_in_order;
	const char *to_finish;
	const char *restore_last;
	const char *restore;
	const char *go_back_or_close;

	/* Stage finish. */
	const char *energy_while_open;
	const char *ticked;
	const char *ticked_while_open;
	const char *not_ticked;
	const char *only_yes_ticks;

	/* Other terminals, and the scanner. */
	const char *enter_before_scans;
	const char *scanner_lost;
};
extern const struct lt_live_words lt_live_words;

struct lt_words_job {
	unsigned long long number;
	long long opened, last; /* milliseconds since 1970 */
	enum lt_stage stage;
	bool has_plan; /* made and needed are known */
	size_t made, needed;
};
/* A job that is open, before somebody is asked whether to continue it. */
void lt_words_open_job(struct lt_text *out, const struct lt_words_job *job);
void lt_words_closed_job(struct lt_text *out, const struct lt_job *job);
/* It is closed now, by this conversation. */
void lt_words_job_done(struct lt_text *out, unsigned long long job);
void lt_words_job_not_closed(struct lt_text *out, unsigned long long job);
void lt_words_stage_not_done(struct lt_text *out, enum lt_stage stage);
void lt_words_stage_starts(struct lt_text *out, enum lt_stage stage);
void lt_words_next_stage(struct lt_text *out, enum lt_stage stage);
void lt_words_back_at_stage(struct lt_text *out, enum lt_stage stage);

/* The unit, or that it is missing; with a space behind it. Nothing for one that is its own. */
void lt_words_unit(struct lt_text *out, const struct lt_harness *harness);
/* Joints that are made, of how many. */
void lt_words_progress(struct lt_text *out, size_t made, size_t needed);

void lt_words_name_offered(struct lt_text *out, const char *name);
/* index from 0 */
void lt_words_hazard(struct lt_text *out, size_t index, size_t count,
	const struct lt_hazard *hazard);
void lt_words_not_confirmed(struct lt_text *out, const char *energy);
/* restore may be NULL */
void lt_words_restore(struct lt_text *out, const char *energy, const char *restore);
/* Numbers that have changed: their stickers are wrong now. */
/* A caution that belongs to one joint or thing. */
void lt_words_caution(struct lt_text *out, const char *caution);
void lt_words_print_again(struct lt_text *out, size_t count);

/* Lists of numbers. */
void lt_words_asked_for(struct lt_text *out, size_t needed, size_t all);
void lt_words_not_checked(struct lt_text *out, const char *numbers);
void lt_words_not_scanned(struct lt_text *out, const char *numbers);
void lt_words_open_joints(struct lt_text *out, const char *numbers);
/* `more` are not in the list. */
void lt_words_would_fit(struct lt_text *out, const char *numbers, size_t more);

/* What the description says of facing and seat, as sentences, each behind a space. */
void lt_words_seating(struct lt_text *out, const struct lt_connector *connector);
void lt_words_new_part(struct lt_text *out, unsigned number);
/* A joint on paper; `other` is NULL where one tag is enough. */
void lt_words_type_tags(struct lt_text *out, const char *tag, const char *other);
/* `received` is clean; `more`: the line was longer. `word` is a command that was perhaps meant, or
 * NULL. */
void lt_words_received(struct lt_text *out, const char *received, bool more, const char *word);

void lt_words_scan_taken_back(struct lt_text *out, const struct lt_job_event *event);
void lt_words_half_waits(struct lt_text *out, unsigned number, enum lt_side side);
enum lt_words_skip {
	LT_SKIP_NO_NUMBER, /* no joint has it */
	LT_SKIP_DONE,      /* it is made, apart, ... */
	LT_SKIP_NO_REASON,
	LT_SKIP_NOT_ASKED,
	LT_SKIPPED
};
void lt_words_skip(struct lt_text *out, enum lt_words_skip result, unsigned number,
	enum lt_stage stage);
/* A stray was dealt with; tags as in struct lt_job_stray. */
void lt_words_settled(struct lt_text *out, const char *tags, bool wrong_mate);

void lt_words_lines_ticked(struct lt_text *out, size_t ticked, size_t lines);
/* reason NULL: all was done */
void lt_words_closed_elsewhere(struct lt_text *out, const char *who, const char *reason);
void lt_words_plan_elsewhere(struct lt_text *out, const char *who);
void lt_words_stage_elsewhere(struct lt_text *out, enum lt_stage stage, const char *who);
/* `count` events of other terminals, of which `last` is the last. */
void lt_words_events_elsewhere(struct lt_text *out, size_t count, const struct lt_job_event *last);
void lt_words_half_elsewhere(struct lt_text *out, unsigned number, enum lt_side side);
/* How many wrong mates there are besides those that are shown. */
void lt_words_more_wrong(struct lt_text *out, size_t count);

/* Printing. */

/* What a printer reports about itself and its jobs, a field a keyword of IPP with _ for - (RFC
 * 8011, 5.4.12 and 5.3.8; PWG 5100.9 and 5100.11). Each stands alone, as an item of a list. */
struct lt_printer_reason_words {
	const char *bander_empty, *connecting_to_device, *cover_open, *cutter_at_eol, *cutter_jam,
		*cutter_near_eol, *cutter_opened, *cutter_unrecoverable_failure, *developer_empty,
		*developer_low, *door_open, *fuser_over_temp, *fuser_under_temp, *hibernate,
		*hold_new_jobs, *input_manual_input_request, *input_media_size_change,
		*input_tray_missing, *interlock_open, *interpreter_resource_unavailable,
		*job_canceled_at_device, *job_canceled_by_operator, *job_canceled_by_user,
		*job_completed_successfully, *job_completed_with_errors,
		*job_completed_with_warnings, *job_data_insufficient, *job_held_for_authentication,
		*job_hold_until_specified, *job_incoming, *job_outgoing, *job_printing, *job_queued,
		*job_release_wait, *job_stopped, *job_transforming, *marker_failure,
		*marker_supply_empty, *marker_supply_low, *marker_supply_missing,
		*marker_waste_almost_full, *marker_waste_full, *media_empty, *media_jam, *media_low,
		*media_needed, *media_path_cannot_duplex_media_selected,
		*media_path_media_tray_empty, *moving_to_paused, *offline, *opc_life_over,
		*opc_near_eol, *other, *output_area_almost_full, *output_area_full,
		*output_tray_missing, *paused, *power_up, *printer_stopped,
		*processing_to_stop_point, *resources_are_not_ready, *shutdown, *spool_area_full,
		*stopped_partly, *stopping, *subunit_missing, *timed_out, *toner_empty, *toner_low,
		*unsupported_compression, *unsupported_document_format;
};
extern const struct lt_printer_reason_words lt_printer_reason_words;

/* Progress, results and questions of printing, and what a dry run lists. */
struct lt_print_words {
	/* Labels of the dry run, and where the printer cuts. */
	const char *printer, *layout, *medium, *format, *resolution, *pages, *cut,
		*cut_after_each_page, *cut_at_the_end, *stickers;
	const char *stopped_without_reason, *printer_continues, *job_does_not_start, *cancelling;
	const char *not_counted, *ladder_done, *ladder_next, *nothing_left;
	const char *was_not_sent;    /* the answer to lt_words_ask_last is not among the stickers */
	const char *unfinished_file; /* first line of NAME.print */
};
extern const struct lt_print_words lt_print_words;

/* The list of printers: labels, and what stands behind them. */
struct lt_printers_words {
	const char *queue, *on_network;
	const char *state, *state_unknown, *ready, *printing, *stopped, *no_answer, *no_jobs;
	const char *reasons, *message, *error;
	const char *loaded, *not_known, *resolutions, *formats, *pwg_raster, *pdf;
	const char *none_found, *none_found_why, *none_found_next;
};
extern const struct lt_printers_words lt_printers_words;

/* Progress of a print: stickers, with the tag of the last one, NULL if none is printed yet; pages
 * of the ladder. */
void lt_words_stickers_printed(struct lt_text *out, size_t printed, size_t all, const char *last);
void lt_words_pages_printed(struct lt_text *out, size_t printed, size_t all);

/* `reasons`: texts of lt_printer_reason_words, or the printer's own, separated by "; ". */
void lt_words_printer_waits(struct lt_text *out, const char *reasons);
void lt_words_printer_warns(struct lt_text *out, const char *reasons);

/* `reason`: the message of an error. */
void lt_words_asking_again(struct lt_text *out, const char *reason);
void lt_words_not_cancelled(struct lt_text *out, const char *reason);

void lt_words_stickers_done(struct lt_text *out, size_t count, const char *layout);
void lt_words_job_written(struct lt_text *out, const char *file, size_t pages, const char *layout);

/* Asks which sticker was printed last, with the tag of a sticker as an example. Ends where the
 * answer is typed. */
void lt_words_ask_last(struct lt_text *out, size_t counted, size_t all, const char *example);

/* Asks for a password; and the warning before it if the password is sent unencrypted. */
void lt_words_ask_password(struct lt_text *out, const char *user, const char *printer);
void lt_words_password_unencrypted(struct lt_text *out, const char *host);

/* Stickers. */

struct lt_sticker_words {
	const char *old_part, *new_part, *fit_unknown;
};
extern const struct lt_sticker_words lt_sticker_words;

/* "OLD PART: STICK OVER 12M" and, for a `shortening` of 1 and 2, the same in fewer words. */
void lt_words_stick_over(struct lt_text *out, const char *tag, unsigned shortening);

/* "not on 4, 7 +3": what the plug would also fit. It says "not on", since "fits" could be misread
 * as an instruction. */
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

void lt_words_stickers_progress(struct lt_text *out, size_t done, size_t all);
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
	const char *bundles, *sheet, *cut, *gap, *head;
	const char *cut_lines;
	const char *tail_below, *tail_above, *tail_right, *tail_left;
};
extern const struct lt_layout_words lt_layout_words;

/* In the margin of a sheet that is cut along its lines. */
extern const char lt_sheet_cut_along[];

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
