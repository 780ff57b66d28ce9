/* What happened while verifying, for the result: each scan with its answer, and the joints that
 * were skipped with the reasons that were given. Also the answers in plain words. */
#ifndef LOOMTAG_VERIFY_LOG_H
#define LOOMTAG_VERIFY_LOG_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/memory.h"
#include "loomtag/text.h"
#include "loomtag/verify.h"

/* One scan and what it was answered. */
struct lt_event {
	unsigned line;    /* of the input, from 1 */
	const char *scan; /* as it came, trimmed; UTF-8 with no control characters */
	struct lt_answer answer;
	bool undone;           /* taken back since */
	unsigned long long id; /* of the job's event that it was kept as; 0 for none */
};

/* Why a joint was left out. */
struct lt_skip {
	unsigned number;
	const char *reason; /* as lt_event.scan */
};

/* Owns its text. A zeroed struct is an empty log. */
struct lt_verify_log {
	struct lt_arena arena;
	struct lt_event *events; /* in the order of the scans */
	size_t event_count, event_room;
	struct lt_skip *skips; /* all that were given, in order; the last of a number counts */
	size_t skip_count, skip_room;
	size_t *steps; /* what undo takes back: an event's index, or LT_NONE for a skip */
	size_t step_count, step_room;
};

/* Takes NULL or a zeroed struct. */
void lt_verify_log_finish(struct lt_verify_log *log);

/* Feeds one scan and keeps it with its answer. */
struct lt_answer lt_verify_log_feed(struct lt_verify_log *log, struct lt_verify *verify,
	unsigned line, const char *scan, size_t length);

/* Keeps a scan that was answered elsewhere, as the event with this id of a job; not for undo. */
void lt_verify_log_note(struct lt_verify_log *log, unsigned line, const char *scan, size_t length,
	struct lt_answer answer, unsigned long long id);

/* Keeps a line that is too long to be a scan: it is fed as a misread, whatever it begins with. */
struct lt_answer lt_verify_log_overlong(struct lt_verify_log *log, struct lt_verify *verify,
	unsigned line, const char *scan, size_t length);

/* Skips a joint and keeps the reason, which is copied and trimmed. False, with nothing kept, when
 * the number is not one that is asked for at this stage or its joint is made. */
bool lt_verify_log_skip(struct lt_verify_log *log, struct lt_verify *verify, unsigned number,
	const char *reason);

/* Takes back the last step. *event is the scan that was taken back, or NULL when it was a skip. A
 * wrong mate is not taken back, nor anything before it: what was plugged together wrongly is
 * mended by scanning the right pairs, not by a word. False with *event the wrong mate then, and
 * with NULL when there is nothing to take back or lt_verify_undo refuses. The event is valid until
 * the next feed. */
bool lt_verify_log_undo(struct lt_verify_log *log, struct lt_verify *verify,
	const struct lt_event **event);

/* The reason given last for skipping a number, or NULL. Whether it is skipped still is for
 * lt_verify_skipped to say. */
const char *lt_verify_log_reason(const struct lt_verify_log *log, unsigned number);

/* Says an answer in one to three plain sentences, no newline. It never says that a joint is all
 * right, only that the two stickers belong together, and asks for the rest. */
void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage);

/* The side that is the mate of H for this connector at this stage: X while the outgoing part is
 * still in (tag, unplug), else M; H for a one-sided connector. */
enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage);

/* How urgent an answer is. */
enum lt_tone {
	LT_TONE_GOOD, /* a right pair */
	LT_TONE_WAIT, /* half of it: go on */
	LT_TONE_WRONG /* stop and look */
};
enum lt_tone lt_verdict_tone(enum lt_verdict verdict);

#endif
