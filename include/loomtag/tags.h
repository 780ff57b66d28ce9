/* Tags: which number each connector carries, the register that remembers it, and scan codes.
 * To use it: a struct lt_session reads a description with its register and numbers it, and keeps
 * the register; lt_tag_write and lt_scan_code_write write what a sticker shows, lt_scan_read reads
 * it. A number never moves to another connector. */
#ifndef LOOMTAG_TAGS_H
#define LOOMTAG_TAGS_H

#include "loomtag/harness.h"

/* The register: NAME.tags, the permanent record of which number belongs to which connector.
 *
 *     loomtag register 2 RV3 unit 0042
 *     1 X1 HM
 *     2 X2 HXM
 *     3 X0 - retired
 *
 * The first line ends in "no unit" where the description gave none, and in the code where an older
 * program wrote it: such a register is version 1, and is of any unit.
 * A line a number, ascending: number, connector id, the sides printed so far in the order of their
 * printing (- for none), and "retired" when the connector was removed. N is an M sticker that was
 * printed for a new part: it says NEW PART. */

#define LT_REGISTER_MAX (4u * 1024 * 1024) /* bytes */

/* The id of a number that no connector has and that is never assigned: always retired, and the only
 * id that may be on more than one line. Connector ids cannot contain brackets. */
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
	bool unit_known;                   /* the first line has a unit, or that there is none */
	const char *unit;                  /* digits or "own"; NULL for none */
	struct lt_register_entry *entries; /* from the arena */
	size_t count;
	size_t room;
};

void lt_register_init(struct lt_register *reg);
void lt_register_finish(struct lt_register *reg);

/* Adds an entry; numbers need not come ascending (they are sorted on writing). `id` is copied. */
struct lt_register_entry *lt_register_add(struct lt_register *reg, unsigned number, const char *id);

/* Numbers and tags: which connector has which number, from the register or, for new connectors, by
 * the rules of numbering; and the text of tags and scan codes. */

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
	/* By number, 0 to number_max: the connector that had it before it was set to tag: none;
	 * LT_NONE for all other numbers. NULL unless set by lt_tags_assign. */
	size_t *by_eye;
	/* By connector, from the register: x_printed: an X sticker was printed at some time.
	 * m_is_old: all its M stickers were printed before the part was set to be replaced, so they
	 * are on the outgoing part. Both NULL unless set by lt_tags_assign. */
	bool *x_printed, *m_is_old;
	unsigned number_max;
	/* There are joints that take a sticker, and no sticker was ever printed; set by
	 * lt_tags_assign. */
	bool none_printed;
	bool changed;                         /* the register was changed and must be written */
	struct lt_lookalike_order *by_number; /* look-alikes sorted by number, or NULL */
};

/* Gives every connector that is numbered its number. `reg` is updated in memory (new entries,
 * renames by `was`, connectors that were removed or came back); writing it is left to the caller.
 * A number is fit for a connector when it was never in the register, is confusable with no number
 * of its look-alikes, and ends the id and the port of none of them. First, connectors whose ids
 * begin as most do come first: a connector whose id (or port, if the id has no digits) ends in a
 * number up to 99, or up to twice the numbered connectors, takes that number if it is fit. Then
 * each other one, in the order of the description, takes the smallest fit number that ends no id,
 * up to twice the numbered connectors, or else the smallest fit one. With `numbers: order` each
 * takes the smallest fit one. Deterministic; near linear, also when all connectors are look-alikes.
 * Warns of a removed connector (the hint suggests `was:`) and of look-alikes that already have
 * confusable numbers. Errors: a `was` that conflicts, no number left. `out` is initialised by the
 * call; finish it either way. */
bool lt_tags_assign(struct lt_tags *out, const struct lt_harness *harness,
	const struct lt_lookalikes *lookalikes, struct lt_register *reg, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_tags_finish(struct lt_tags *tags);

/* The sides that a numbered connector has: H; and M where it has two sides; and X where its
 * component is to be replaced. Returns how many; order of printing (H, X, M). Also for
 * tag: paper, whose tags are written by hand. 0 for one with no number. */
size_t lt_tag_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_tags *tags, size_t connector);

/* The numbers of a connector's listed look-alikes, ascending, at most `limit`; returns how many
 * there are in all. Look-alikes with no number are not counted. For tags from lt_tags_assign linear
 * in `limit` and the connector's `fits` and `unlike`. */
size_t lt_tag_lookalikes(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	size_t connector, unsigned *out, size_t limit);

/* Numbers below the largest that were never assigned, each with a number in use that it is
 * confusable with (`because`; 0 if it could have been assigned). At most `limit` in `out`,
 * ascending; returns how many there are in all. */
struct lt_passed_over {
	unsigned number;
	unsigned because;
	enum lt_confusion why;
};
size_t lt_tags_passed_over(const struct lt_tags *tags, struct lt_passed_over *out, size_t limit);

/* Session: a description with its register and its tags. */

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
	bool on_disk;      /* the register is known to be on disk */
	bool unit_changed; /* its first line has to be written */
	/* For the caller that opened it, not used in this room: the command line; how many
	 * diagnostics were printed already; and whether the register must stay unchanged if a later
	 * step fails. */
	const struct options *options;
	size_t printed;
	bool all_or_none;
	/* Another unit than before may be described: all stickers will be printed again. Set by the
	 * caller between init and load. */
	bool new_stickers;
};

enum lt_session_fault {
	LT_SESSION_GOOD,
	LT_SESSION_UNREADABLE, /* a file cannot be read, or the register is not valid */
	LT_SESSION_WRONG,      /* the description has errors */
	LT_SESSION_LOCKED      /* another process has the register */
};

/* `path` is the description's; `path` and `given` must outlive the session. Finish it. */
void lt_session_init(struct lt_session *session, const char *path,
	const struct lt_harness_options *given);

/* Takes NULL or a zeroed struct. */
void lt_session_finish(struct lt_session *session);

/* Reads the description, then its register, and numbers the connectors in memory. With `to_write`
 * takes the register's lock before, and holds it until lt_session_finish. Reports what is wrong in
 * session->diags. */
enum lt_session_fault lt_session_load(struct lt_session *session, bool to_write);

/* Reads a description that is in no file, and numbers the connectors in memory. */
enum lt_session_fault lt_session_load_text(struct lt_session *session, const char *bytes,
	size_t length);

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

/* Adds a note if there was no register: if it was lost, the numbers may differ from stickers that
 * were already printed. */
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
