/* Base: what every other room uses, and nothing about harnesses: memory (arenas, lt_grow), text (a
 * growable string, UTF-8, text from outside made safe to show), diagnostics, whole files, hash
 * tables, lengths, and YAML as a tree of text.
 * To use it: a struct lt_diags collects errors and warnings; an arena owns memory that is freed all
 * at once. */
#ifndef LOOMTAG_BASE_H
#define LOOMTAG_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* Memory: an arena for everything that lives as long as one document, and growable arrays.
 *
 * Running out of memory is not an error that a caller can do anything about: it ends the program
 * with one line on stderr and exit code 4. Output is renamed into place only when it is whole, so
 * nothing half-written is left under its final name.
 */

struct lt_arena_block;

/* Allocations that are freed all at once. A zeroed struct is an empty arena. */
struct lt_arena {
	struct lt_arena_block *blocks;
};

void lt_arena_init(struct lt_arena *arena);

/* Frees everything allocated from the arena; takes NULL or a zeroed struct. */
void lt_arena_finish(struct lt_arena *arena);

/* Zeroed memory, aligned for any type, owned by the arena. Never NULL. */
void *lt_arena_alloc(struct lt_arena *arena, size_t size);

/* `count` zeroed elements of `size` bytes; an overflowing product counts as out of memory. */
void *lt_arena_array(struct lt_arena *arena, size_t count, size_t size);

/* A copy of `length` bytes with a NUL behind them, owned by the arena. */
char *lt_arena_copy(struct lt_arena *arena, const char *bytes, size_t length);

/* A copy of a string, owned by the arena. */
char *lt_arena_strdup(struct lt_arena *arena, const char *text);

/* A formatted string, owned by the arena. */
char *lt_arena_printf(struct lt_arena *arena, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* Zeroed memory, never NULL; the caller frees. */
void *lt_alloc(size_t size);
void *lt_alloc_array(size_t count, size_t size);

/* Makes room for at least `need` elements of `size` bytes in the heap array `items`, which now
 * has room for `*room`; doubles, so that appending is linear. Returns the array, never NULL. */
void *lt_grow(void *items, size_t *room, size_t need, size_t size);

/* Strings: a growable one, UTF-8, and the nearest word for a hint. */

/* A growable string, always NUL-terminated once anything was added. A zeroed struct is empty. */
struct lt_text {
	char *bytes;
	size_t length;
	size_t room;
};

/* Frees the bytes; takes NULL or a zeroed struct. */
void lt_text_finish(struct lt_text *text);

/* Empties the string and keeps its room. */
void lt_text_clear(struct lt_text *text);

void lt_text_add(struct lt_text *text, const char *string);
void lt_text_add_bytes(struct lt_text *text, const char *bytes, size_t length);
void lt_text_add_char(struct lt_text *text, char c);
void lt_text_add_times(struct lt_text *text, char c, size_t times);
void lt_text_printf(struct lt_text *text, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* One of two whole sentences, by how many there are: the first for 1, the second for all else. Both
 * take the same values:
 *     lt_text_printf(&text, lt_plural(n, "%zu sticker is left.", "%zu stickers are left."), n); */
const char *lt_plural(size_t count, const char *one, const char *many)
	__attribute__((format_arg(2), format_arg(3)));

/* The string, "" when nothing was added. Owned by `text`. */
const char *lt_text_string(const struct lt_text *text);

/* The code point to show for one that came from outside, on terminals and on paper: a space for a
 * tab, a line feed or a carriage return; U+FFFD for a control character, one that changes the
 * direction of text, an invisible one or one that is not a character; else the code point itself.
 * Every output uses this function. */
uint32_t lt_text_shown(uint32_t code);

/* Adds text that came from outside to `out`, each code point as lt_text_shown gives it; a byte that
 * is not UTF-8 becomes U+FFFD. lt_text_add_clean drops blanks at both ends of the text,
 * lt_text_add_visible keeps them. The bytes may contain NULs and need not end with one. */
void lt_text_add_clean(struct lt_text *out, const char *bytes, size_t length);
void lt_text_add_visible(struct lt_text *out, const char *bytes, size_t length);

/* Copies the string into the arena and finishes the text. */
const char *lt_arena_text(struct lt_arena *arena, struct lt_text *text);

/* A copy in the arena, as lt_text_add_visible writes it; NULL for NULL. */
const char *lt_arena_shown(struct lt_arena *arena, const char *text);

/* Decodes the code point at *at and moves *at behind it; at the end (NUL) returns 0 and stays.
 * A malformed sequence gives U+FFFD and moves one byte. */
uint32_t lt_utf8_next(const char **at);

/* Decodes the code point that begins at `bytes`, of which there are `length`, at least 1; returns
 * how many bytes it takes. A malformed sequence gives U+FFFD and takes one byte. */
size_t lt_utf8_take(uint32_t *code, const char *bytes, size_t length);

/* The offset of the first byte that is not UTF-8 (RFC 3629: no surrogates, no overlong forms,
 * nothing above U+10FFFF), or `length` if there is none. */
size_t lt_utf8_check(const char *bytes, size_t length);

/* Writes one code point, 1 to 4 bytes, no NUL; returns how many. */
size_t lt_utf8_put(char out[4], uint32_t code);

/* Code points in a string. */
size_t lt_utf8_count(const char *string);

/* Columns that the string takes on a terminal (wcwidth-like: wide East Asian 2, combining 0). */
size_t lt_utf8_columns(const char *string);

/* The index of the word nearest to `word`, or -1 when none is near enough to be worth a hint
 * (at most a third of the word's length, at least 1). */
int lt_nearest(const char *word, const char *const *words, size_t count);

/* Compares without case. No locale is set, so that only ASCII letters have a case. */
bool lt_same_word(const char *a, const char *b);

/* The lines of `text` broken to at most `columns` terminal columns at spaces (a longer word is
 * broken), each appended to `out` behind `indent` spaces and ended with a newline; the first line
 * has no indent. */
void lt_text_wrap(struct lt_text *out, const char *text, size_t columns, size_t indent);

/* Diagnostics: what is wrong, where, and what to do, in the form that compilers use. */

enum lt_severity { LT_NOTE, LT_WARNING, LT_ERROR };

/* A place in a file. Lines and columns count from 1; 0 means that there is none. Columns count
 * characters (code points). `file` may be NULL. The strings are not owned. */
struct lt_place {
	const char *file;
	unsigned line;
	unsigned column;
};

struct lt_diag {
	enum lt_severity severity;
	struct lt_place place;
	const char *message;
	const char *hint; /* or NULL */
};

struct lt_source;

/* Diagnostics, in the order in which they were added. Owns all its text. At most LT_DIAGS_MAX
 * errors, and as many warnings and notes together, are kept; the rest are only counted. So warnings
 * never displace errors. A zeroed struct is empty. */
#define LT_DIAGS_MAX 1000
struct lt_diags {
	struct lt_arena arena;
	struct lt_diag *items;
	size_t count;
	size_t room;
	size_t errors; /* kept or not */
	size_t warnings;
	size_t left_out; /* not kept */
	size_t kept_errors;
	bool last_left_out;
	struct lt_source *sources;
};

void lt_diags_init(struct lt_diags *diags);
void lt_diags_finish(struct lt_diags *diags);

/* Lets printed diagnostics show lines of this file. Both are copied. */
void lt_diags_source(struct lt_diags *diags, const char *file, const char *bytes, size_t length);

/* Each adds one diagnostic. Text is copied, each character as lt_text_shown has it, so that input
 * cannot drive a terminal. The message has no full stop at its end. */
void lt_error(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void lt_warning(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void lt_note(struct lt_diags *diags, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

/* Adds "hint: …" to the diagnostic added last. */
void lt_hint(struct lt_diags *diags, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A place that names a file and no line. */
struct lt_place lt_place_file(const char *file);

/* No place at all. */
struct lt_place lt_place_none(void);

/* Sorts by file, line and column; diagnostics at the same place keep their order. */
void lt_diags_sort(struct lt_diags *diags);

/* Prints all from index `from` on: place, severity and message, the source line with a caret, the
 * hint; then how many were left out. With colours if `colour`. */
void lt_diags_print(const struct lt_diags *diags, size_t from, FILE *out, bool colour);

/* "error", "warning", "note". */
const char *lt_severity_name(enum lt_severity severity);

/* Files read with a limit and written whole. */

/* Opens a regular file for reading, without blocking. NULL if it cannot be opened or is a
 * directory, a named pipe, a socket or a device; adds the reason as an error, unless `diags` is
 * NULL. The caller closes the stream. */
FILE *lt_file_open(const char *path, struct lt_diags *diags);

/* Whether a file is below `folder` ("" for the current one) once every symbolic link in both paths
 * is followed. `name` is absolute, or relative to `folder`. LT_WITHIN_MISSING: there is no such
 * file. */
enum lt_within { LT_WITHIN, LT_WITHIN_OUTSIDE, LT_WITHIN_MISSING };
enum lt_within lt_file_within(const char *folder, const char *name);

/* Reads a whole file. *bytes is malloc'd with a NUL behind it; the caller frees it. False, with an
 * error, for what lt_file_open refuses, a file that cannot be read, and one of more than `max`
 * bytes. */
bool lt_file_read(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags);

/* As lt_file_read, and also refuses a file that is not below `folder`, see lt_file_within. The
 * resolved path is opened without following links, in case it was replaced by a link in the
 * meantime. */
bool lt_file_read_within(char **bytes, size_t *length, const char *folder, const char *name,
	size_t max, struct lt_diags *diags);

/* As lt_file_read, but a file that does not exist is not an error: then true, and *bytes NULL. A
 * symbolic link to a missing file is an error. */
bool lt_file_read_if_there(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags);

/* A file that is being written: under a temporary name in the same folder, and renamed when it is
 * complete. */
struct lt_output {
	FILE *stream;
	char *path;
	char *temporary;
	bool unsynced; /* commit does not wait for the disk: see lt_file_write_unsynced */
};

/* Whether `path` may be replaced, by the rules of lt_output_open. False after reporting why not. */
bool lt_output_allowed(const char *path, const char *const *keep, struct lt_diags *diags);

/* Opens the temporary file. Refuses a target that exists and is not a plain file, an SQLite
 * database, and one that is the same file as any of `keep` (a NULL-terminated list of paths that
 * must not be replaced, or NULL). A symbolic link to a plain file is followed: the file behind it
 * is replaced. An existing file's permissions are kept. */
bool lt_output_open(struct lt_output *output, const char *path, const char *const *keep,
	struct lt_diags *diags);

/* Flushes, syncs and closes the stream, so that only the renaming is left, which needs no disk
 * space. On failure (for example a full disk) removes the temporary file, adds an error and
 * finishes the struct. */
bool lt_output_prepare(struct lt_output *output, struct lt_diags *diags);

/* Calls lt_output_prepare if that was not done, then renames the file. On failure removes the
 * temporary file, keeps the old file and adds an error. Finishes the struct either way. */
bool lt_output_commit(struct lt_output *output, struct lt_diags *diags);

/* Discards what was written; takes NULL or a zeroed struct. */
void lt_output_abandon(struct lt_output *output);

/* Writes a file in one call, as the functions above do. */
bool lt_file_write(const char *path, const void *bytes, size_t length, const char *const *keep,
	struct lt_diags *diags);

/* The same without waiting for the disk, for thousands of files that can be made again. A reader
 * finds either the old or the new file, complete; but a power cut soon after the call can damage
 * the file. */
bool lt_file_write_unsynced(const char *path, const void *bytes, size_t length,
	const char *const *keep, struct lt_diags *diags);

/* Syncs the folder that the file `path` is in, so that its new name lasts through a power cut.
 * False, with an error about the file, where the disk fails; a file system that cannot do it is no
 * failure. */
bool lt_folder_sync(const char *path, struct lt_diags *diags);

/* A lock that other processes of this program respect: an advisory lock on `path`.lock, which ends
 * with the process at the latest. lt_lock_take waits up to `milliseconds`, then fails with an error
 * that names the lock. */
struct lt_lock {
	int fd; /* 0 when not held, so that a zeroed struct is no lock */
	char *path;
};
bool lt_lock_take(struct lt_lock *lock, const char *path, unsigned milliseconds,
	struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_lock_drop(struct lt_lock *lock);

/* `path` with the extension behind its last dot replaced (`roof.yaml`, "tags" gives `roof.tags`);
 * appended where it has none. The caller frees. */
char *lt_path_with_extension(const char *path, const char *extension);

/* The part of a path after the last '/', inside `path`. */
const char *lt_path_base(const char *path);

/* The extension with no dot, "" where there is none; inside `path`. */
const char *lt_path_extension(const char *path);

/* A table from strings to numbers, for looking ids up in constant time. */

#define LT_HASH_NONE ((size_t)-1) /* the same as LT_NONE */

struct lt_hash_slot;

/* Keys are not copied: they must outlive the table. A zeroed struct is an empty table. */
struct lt_hash {
	struct lt_hash_slot *slots;
	size_t room;
	size_t count;
};

/* Frees the table; takes NULL or a zeroed struct. */
void lt_hash_finish(struct lt_hash *hash);

/* Enters a key that is not there yet. Gives LT_HASH_NONE when it was entered; else the value that
 * the key has already, which stays. `value` is anything but LT_HASH_NONE. */
size_t lt_hash_put(struct lt_hash *hash, const char *key, size_t value);

/* Enters a key, or replaces the value that it has. */
void lt_hash_set(struct lt_hash *hash, const char *key, size_t value);

/* The value of a key, or LT_HASH_NONE. */
size_t lt_hash_get(const struct lt_hash *hash, const char *key);

/* A list of indices: of connectors, joints, or nodes. */
struct lt_indices {
	size_t *items;
	size_t count;
};

/* Topological order of `count` nodes: each comes behind all nodes that it waits for, and of the
 * nodes that could be next, the one with the greatest weight comes first. All weights must differ.
 * blocked[i] is how many nodes node i waits for, and is changed; waiting[i] lists the nodes that
 * wait for node i. Returns how many nodes are in `order`: fewer than `count` if nodes wait for each
 * other in a circle; `blocked` of those stays above 0. n log n. */
size_t lt_order_by_weight(size_t *order, size_t *blocked, size_t count,
	const struct lt_indices *waiting, const size_t *weight);

/* Lengths and sizes as people write them. */

/* Reads "6.2 mm", "3 cm", "1.5 in" or "-1 mm" into millimetres. A unit is required except for 0;
 * decimal point only, no exponent; at most 1 km, positive or negative. */
bool lt_length_read(double *mm, const char *text);

/* Reads "70 x 37 mm" (or "2 x 1 in", "2.5 cm x 13 mm"); × is read as x. A unit behind the second
 * number counts for both when the first has none. */
bool lt_length_pair_read(double *a_mm, double *b_mm, const char *text);

/* Reads "3 x 8" as two whole numbers from 1 to 10000. */
bool lt_count_pair_read(unsigned *a, unsigned *b, const char *text);

/* Reads a decimal number with an optional sign and fraction, no exponent, the whole string. */
bool lt_decimal_read(double *value, const char *text);

/* Reads "1 x 0.998" as two such numbers. */
bool lt_decimal_pair_read(double *a, double *b, const char *text);

/* Reads a whole number without sign or leading zero (0 itself is allowed), at most `max`. */
bool lt_whole_read(unsigned *value, const char *text, unsigned max);

/* A YAML document as a tree of text, each node with its place.
 *
 * YAML 1.1 by libyaml's events, UTF-8, one document. Nothing is typed: every scalar is the text
 * that was written. Anchors, aliases and tags are refused, as are keys given twice in a mapping,
 * keys that are not scalars, and nesting deeper than LT_YAML_DEPTH. */

#define LT_YAML_DEPTH 16
#define LT_YAML_NODES 2000000u

enum lt_node_kind { LT_SCALAR, LT_LIST, LT_MAP };

struct lt_node {
	enum lt_node_kind kind;
	struct lt_place place;
	const char *text;      /* LT_SCALAR: its text, NUL inside is refused; "" when empty */
	bool quoted;           /* LT_SCALAR: written in quotes */
	struct lt_node *items; /* LT_LIST, LT_MAP: the values */
	struct lt_node *keys;  /* LT_MAP: their keys, scalars */
	size_t count;
};

/* Reads a document into a tree owned by `arena`. `file` is copied into it for the places. Gives the
 * source to `diags` as well. An empty document is an error. False after any error; then *root is
 * the whole tree if reading could continue after the error (a key given twice has its first value),
 * so that other errors can be reported as well; else a zeroed scalar, `text` NULL. Linear in
 * `length`; at most LT_YAML_NODES keys and values. */
bool lt_yaml_read(struct lt_node *root, struct lt_arena *arena, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

/* The value of a key in a map, or NULL. Linear in the map. */
const struct lt_node *lt_node_get(const struct lt_node *map, const char *key);

/* Reports every key in the map that is not among `known`, with the nearest known one as a hint.
 * `what` is what the map describes: "a connector". */
bool lt_node_only(const struct lt_node *map, const char *const *known, size_t count,
	const char *what, struct lt_diags *diags);

/* Writes a text as messages show it: in double quotes, and cut with an ellipsis after LT_QUOTE_MAX
 * characters. Returns `out`. */
#define LT_QUOTE_MAX 60
#define LT_QUOTE_SIZE (4 * LT_QUOTE_MAX + 6)
const char *lt_quote(char out[LT_QUOTE_SIZE], const char *text);

#endif
