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

/* How far a print is: stickers, with the tag of the last one, NULL where there is none yet; pages
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

/* Asks for a password; and what is added before that where others can read it on its way. */
void lt_words_ask_password(struct lt_text *out, const char *user, const char *printer);
void lt_words_password_unencrypted(struct lt_text *out, const char *host);

#endif
