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
#ifndef LOOMTAG_REGISTER_H
#define LOOMTAG_REGISTER_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"
#include "loomtag/text.h"

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

/* Reads a register from memory, initialising `out` (finish it either way). Errors: a first line
 * that is not a register's or is of a newer version, another harness than `harness`, a malformed
 * line, no newline at the end (cut short), a number or id twice, numbers out of order; each names
 * its line and says how to mend it. */
bool lt_register_read(struct lt_register *out, const char *file, const char *bytes, size_t length,
	const char *harness, struct lt_diags *diags);

/* The same from a file; one that does not exist is an empty register. */
bool lt_register_read_file(struct lt_register *out, const char *path, const char *harness,
	struct lt_diags *diags);

/* Adds an entry; numbers need not come ascending (they are sorted on writing). `id` is copied. */
struct lt_register_entry *lt_register_add(struct lt_register *reg, unsigned number, const char *id);

/* The bytes of the file. */
void lt_register_write(struct lt_text *out, const struct lt_register *reg, const char *harness);

#endif
