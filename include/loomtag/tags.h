/* Tags: which number each connector carries, the register that remembers it, and scan codes.
 * To use it: a struct lt_session reads a description with its register and numbers it, and keeps
 * the register; lt_tag_write and lt_scan_code_write make what a sticker says, lt_scan_read takes it
 * apart again. A number never moves to another connector. */
#ifndef LOOMTAG_TAGS_H
#define LOOMTAG_TAGS_H

#include "loomtag/harness.h"

/* The register: NAME.tags, which number belongs to which connector, for ever.
 *
 *     loomtag register 1 RV3
 *     1 X1 HM
 *     2 X2 HXM
 *     3 X0 - retired
 *
 * A line a number, ascending: number, connector id, the sides printed so far in the order of
 * their printing (- for none), and "retired" when the connector is gone. N is an M sticker that was
 * printed for a new part: one that bears NEW PART. */

#define LT_REGISTER_MAX (4u * 1024 * 1024) /* bytes */

/* The id of a number that nobody carries and nobody gets: always retired, and the only id that may
 * stand on several lines. No connector's id has brackets. */
#define LT_REGISTER_NOBODY "(none)"

struct lt_register_entry {
	struct lt_place place; /* line 0 for one that is not in the file yet */
	unsigned number;
	const char *id;
	char printed[5]; /* some of H, M, X, N, in order of printing, each at most once */
	bool retired;
};

/* Entries ascending by number. Owns its text. A zeroed struct is an empty register. */
struct lt_register {
	struct lt_arena arena;
	const char *file;
	const char *harness;               /* NULL in an empty one */
	struct lt_register_entry *entries; /* from the arena */
	size_t count;
	size_t room;
};

void lt_register_init(struct lt_register *reg);
void lt_register_finish(struct lt_register *reg);

/* Adds an entry; numbers need not come ascending (they are sorted on writing). `id` is copied. */
struct lt_register_entry *lt_register_add(struct lt_register *reg, unsigned number, const char *id);

/* Numbers and tags: which connector carries which number, by the register and for the new ones
 * by the rule of numbering; and what is written in codes and payloads. */

enum lt_side { LT_SIDE_H, LT_SIDE_M, LT_SIDE_X, LT_SIDE_COUNT };

/* 'H', 'M', 'X'. */
char lt_side_letter(enum lt_side side);

/* The numbers of one harness. Arrays are from the arena; the harness must outlive it. */
struct lt_tags {
	struct lt_arena arena;
	const struct lt_harness *harness;
	unsigned *number_of;  /* by connector index; 0: no number (tag: none) */
	size_t *connector_of; /* by number, 0 to number_max; LT_NONE: no such number, or retired */
	bool *retired;        /* by number, 0 to number_max */
	/* By number, 0 to number_max: the connector that had it and is now to have none (tag:
	 * none); LT_NONE for all other numbers. NULL in tags that were not assigned. */
	size_t *by_eye;
	/* By connector, from the register: an X sticker went out at some time; and its only M
	 * stickers went out before the part was to be replaced, so that they are on the outgoing
	 * part. Both NULL in tags that were not assigned. */
	bool *x_printed, *m_is_old;
	unsigned number_max;
	bool changed; /* the register given was changed, and must be written */
	struct lt_lookalike_order *by_number; /* look-alikes by number; NULL: found when asked */
};

/* Gives every connector that is numbered its number. `reg` is brought up to date in memory (new
 * entries, `was` renames, retirements and returns), which is for the caller to write or not.
 * Each new connector, in the order of the description, takes the smallest number that was never
 * in the register and is confusable with none of its look-alikes'. Deterministic; near linear,
 * also when all are alike. Warns: a connector gone (suggesting `was:`), look-alikes that already
 * carry confusable numbers. Errors: a `was` that conflicts, no number left. `out` is initialised
 * by the call; finish it either way. */
bool lt_tags_assign(struct lt_tags *out, const struct lt_harness *harness,
	const struct lt_lookalikes *lookalikes, struct lt_register *reg, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_tags_finish(struct lt_tags *tags);

/* The sides that a numbered connector has: H; and M where it has two sides; and X where its
 * component is to be replaced. Returns how many; order of printing (H, X, M). Also for
 * tag: paper, whose tags are written by hand. 0 for one with no number. */
size_t lt_tag_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_tags *tags, size_t connector);

/* The numbers of a connector's listed look-alikes, ascending, at most `limit`; returns how many
 * there are in all. Look-alikes with no number are not counted. Linear in `limit` and the
 * connector's `fits` and `unlike` for tags that lt_tags_assign has given. */
size_t lt_tag_lookalikes(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	size_t connector, unsigned *out, size_t limit);

/* Numbers below the largest that nobody carries and nobody carried, each with a number in use
 * that it is confusable with (0 when it was free but not needed). At most `limit` in `out`,
 * ascending; returns how many there are in all. */
struct lt_passed_over {
	unsigned number;
	unsigned because;
	enum lt_confusion why;
};
size_t lt_tags_passed_over(const struct lt_tags *tags, struct lt_passed_over *out, size_t limit);

/* Session: a description, its register and its tags, which belong together. */

struct options;

struct lt_session {
	const char *path; /* of the description */
	char *register_path;
	struct lt_harness_options given;
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
	struct lt_lock lock;
	bool on_disk; /* the register is known to be */
	/* For whoever opened it, and never looked at here: the command line, how many diagnostics
	 * were shown already, and whether the register goes too when something fails. */
	const struct options *options;
	size_t printed;
	bool all_or_none;
};

enum lt_session_fault {
	LT_SESSION_GOOD,
	LT_SESSION_UNREADABLE, /* a file cannot be read, or not the register understood */
	LT_SESSION_WRONG,      /* the description has errors */
	LT_SESSION_LOCKED      /* another process has the register */
};

/* `path` is that of the description, and it and `given` outlive the session. Finish it. */
void lt_session_init(struct lt_session *session, const char *path,
	const struct lt_harness_options *given);

/* Takes NULL or a zeroed struct. */
void lt_session_finish(struct lt_session *session);

/* Reads the description, then its register, and numbers the connectors in memory; with `to_write`
 * all of it under the register's lock, which is held up to lt_session_finish. What is wrong is
 * reported in the session's diagnostics. */
enum lt_session_fault lt_session_load(struct lt_session *session, bool to_write);

/* The first half without the lock: the description alone. */
enum lt_session_fault lt_session_load_description(struct lt_session *session);

/* The second half: the register, and the numbers. */
bool lt_session_load_register(struct lt_session *session);

/* Reads both again, into the same places. False when they cannot be read now, or are of another
 * harness or unit: what was read before stays then. `found` is initialised by the call, for the
 * caller to finish: the diagnostics. */
bool lt_session_reload(struct lt_session *session, struct lt_diags *found);

/* Writes the register when it was changed, and waits until it is on disk, also when it was not.
 * False after reporting why not. */
bool lt_session_store(struct lt_session *session);

/* Adds a note where there was no register: one that was lost gave other numbers. */
void lt_session_note_new(struct lt_session *session);

/* "12H" with its NUL. */
#define LT_TAG_SIZE 8
void lt_tag_write(char out[LT_TAG_SIZE], unsigned number, enum lt_side side);

/* "12HRV3J" with its NUL. `code` is the harness code, at most 12 characters 0-9 A-Z. */
#define LT_SCAN_CODE_SIZE 24
void lt_scan_code_write(char out[LT_SCAN_CODE_SIZE], unsigned number, enum lt_side side,
	const char *code);

/* What a scanner or a person gave. */
enum lt_scan_kind {
	LT_SCAN_CODE,   /* a scan code whose check character fits */
	LT_SCAN_TAG,    /* a bare tag, typed by hand */
	LT_SCAN_MISREAD /* neither */
};
struct lt_scan {
	enum lt_scan_kind kind;
	unsigned number;
	enum lt_side side;
	char code[LT_HARNESS_CODE_MAX + 1]; /* LT_SCAN_CODE: the harness code */
};

/* Reads a scan: trims, takes the first space-delimited token, in it the last run of letters and
 * digits, upper-cases it (ASCII). A bare tag must be the only
 * run in its token. A line with a second scan on it is a misread, also within the token. Never
 * guesses. */
void lt_scan_read(struct lt_scan *out, const char *bytes, size_t length);

/* Where a word with no white space in it has to be broken by a space, so that lt_scan_read takes
 * neither half for a scan code: between number and side. 0 for a word that is no scan code. */
size_t lt_scan_break(const char *word, size_t length);

#endif
