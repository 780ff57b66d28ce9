/* Files read with a limit and written whole. */
#ifndef LOOMTAG_FILE_H
#define LOOMTAG_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "loomtag/diag.h"

/* Opens a regular file for reading, and never waits for it. NULL for what cannot be opened and for
 * a directory, a named pipe, a socket or a device; says why where `diags` is not NULL. The caller
 * closes the stream. */
FILE *lt_file_open(const char *path, struct lt_diags *diags);

/* Whether `name`, a path from `folder` on ("" for the current one) or an absolute one, leads to
 * what is below that folder once every link in both is followed; AWAY where it leads to nothing. */
enum lt_within { LT_WITHIN, LT_WITHIN_OUTSIDE, LT_WITHIN_AWAY };
enum lt_within lt_file_within(const char *folder, const char *name);

/* As lt_file_open, and refuses what is not below `folder`. What is opened is what was resolved: a
 * link that is put in its way meanwhile is not followed. */
FILE *lt_file_open_within(const char *folder, const char *name, struct lt_diags *diags);

/* Reads a whole file. *bytes is malloc'd with a NUL behind it; the caller frees it. Refuses (with
 * an error in `diags`) what lt_file_open does, what cannot be read, and more than `max` bytes. */
bool lt_file_read(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags);

/* As lt_file_read, of a file that lt_file_open_within opens. */
bool lt_file_read_within(char **bytes, size_t *length, const char *folder, const char *name,
	size_t max, struct lt_diags *diags);

/* As lt_file_read, but of a file that need not be there: then true, and *bytes NULL. A link to
 * what is away is there and cannot be read. */
bool lt_file_read_if_there(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags);

/* A file on its way: written under a temporary name in the same folder, renamed when whole. */
struct lt_output {
	FILE *stream;
	char *path;
	char *temporary;
	bool hurried; /* commit does not wait for the disk: see lt_file_write_hurried */
};

/* Whether `path` may be replaced, by the rules of lt_output_open. False after telling why not. */
bool lt_output_allowed(const char *path, const char *const *keep, struct lt_diags *diags);

/* Opens the temporary file. Refuses a target that exists and is not a plain file, an SQLite
 * database, and one that is the same file as any of `keep` (a NULL-terminated list of paths that
 * must not be replaced, or NULL). A symbolic link to a plain file is followed: the file behind it
 * is replaced. An existing file's permissions are kept. */
bool lt_output_open(struct lt_output *output, const char *path, const char *const *keep,
	struct lt_diags *diags);

/* Flushes, syncs and closes the stream, so that only the renaming is left, which needs no room; on
 * failure (a full disk, say) removes the temporary file, says why and finishes the struct. */
bool lt_output_prepare(struct lt_output *output, struct lt_diags *diags);

/* Prepares, where that is not done, and renames; on failure removes the temporary file, leaves
 * what was there before, and says why. Either way the struct is finished. */
bool lt_output_commit(struct lt_output *output, struct lt_diags *diags);

/* Throws away what was written; takes NULL or a zeroed struct. */
void lt_output_abandon(struct lt_output *output);

/* Writes bytes whole in one call. */
bool lt_file_write(const char *path, const void *bytes, size_t length, const char *const *keep,
	struct lt_diags *diags);

/* The same without waiting for the disk, for files by the thousand that can be made again: whoever
 * reads the file finds the old or the new one whole, but after a power cut within moments it may be
 * neither. */
bool lt_file_write_hurried(const char *path, const void *bytes, size_t length,
	const char *const *keep, struct lt_diags *diags);

/* Syncs the folder that the file `path` is in, so that its new name lasts through a power cut.
 * False, with an error about the file, where the disk fails; a file system that cannot do it is no
 * failure. */
bool lt_folder_sync(const char *path, struct lt_diags *diags);

/* A lock that other processes of this program respect (an advisory lock on `path`.lock, kept for
 * at most as long as the process lives). Waits up to `milliseconds`, then says who is in the way
 * of what. */
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

#endif
