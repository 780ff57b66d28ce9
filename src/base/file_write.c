/* Files written whole, and locks. */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <time.h>
#include <unistd.h>

#include "loomtag/base.h"

static char *join(const char *a, const char *b)
{
	struct lt_text joined = { 0 };
	lt_text_add(&joined, a);
	lt_text_add(&joined, b);
	return joined.bytes;
}

static bool same_file(const struct stat *status, const char *path)
{
	struct stat other;
	return stat(path, &other) == 0 && other.st_dev == status->st_dev &&
	       other.st_ino == status->st_ino;
}

/* A database of jobs may have any name, and nobody means to lose one. */
static bool is_database(const char *path)
{
	static const char magic[16] = "SQLite format 3";
	char begins[sizeof(magic)];
	FILE *stream = lt_file_open(path, NULL);
	if (stream == NULL)
		return false;
	const bool is = fread(begins, 1, sizeof(begins), stream) == sizeof(begins) &&
			memcmp(begins, magic, sizeof(magic)) == 0;
	fclose(stream);
	return is;
}

/* Whether `path` may be written; *exists: whether there is a plain file already, and *mode its
 * permissions, which else stays. */
static bool may_replace(const char *path, const char *const *keep, bool *exists, mode_t *mode,
	struct lt_diags *diags)
{
	struct stat status;
	const struct lt_place place = lt_place_file(path);
	*exists = stat(path, &status) == 0;
	const int reason = *exists ? 0 : errno;
	if (reason == ENOENT && lstat(path, &status) == 0) {
		lt_error(diags, place, "is a link to a file that does not exist");
		lt_hint(diags, "remove the link, or give another name with -o");
		return false;
	}
	if (reason != 0 && reason != ENOENT)
		lt_error(diags, place, "cannot be written: %s", strerror(reason));
	if (reason != 0)
		return reason == ENOENT;
	while (keep != NULL && *keep != NULL && !same_file(&status, *keep))
		keep++;
	*mode = status.st_mode & 07777;
	if (!S_ISREG(status.st_mode))
		lt_error(diags, place, "is not a plain file, so it is not replaced");
	else if (is_database(path))
		lt_error(diags, place, "is a database, so it is not replaced");
	else if (keep != NULL && *keep != NULL)
		lt_error(diags, place, "is the same file as %s, so it is not replaced", *keep);
	else
		return true;
	lt_hint(diags, "give another name with -o");
	return false;
}

bool lt_output_allowed(const char *path, const char *const *keep, struct lt_diags *diags)
{
	bool exists;
	mode_t mode = 0;
	return may_replace(path, keep, &exists, &mode, diags);
}

bool lt_output_open(struct lt_output *output, const char *path, const char *const *keep,
	struct lt_diags *diags)
{
	*output = (struct lt_output){ 0 };
	bool exists;
	mode_t mode = 0666;
	if (!may_replace(path, keep, &exists, &mode, diags))
		return false;
	/* Behind a symbolic link the file itself is replaced, and the link stays. */
	char *real = exists ? realpath(path, NULL) : NULL;
	output->path = real != NULL ? real : join(path, "");
	output->temporary = join(output->path, ".XXXXXX");
	if (!exists) {
		mode_t mask = umask(0);
		umask(mask);
		mode &= ~mask;
	}
	int fd = mkstemp(output->temporary);
	if (fd >= 0 && fchmod(fd, mode) == 0)
		output->stream = fdopen(fd, "wb");
	if (output->stream != NULL)
		return true;
	lt_error(diags, lt_place_file(path), "cannot be written: %s", strerror(errno));
	if (fd >= 0) {
		close(fd);
	} else {
		lt_hint(diags, "check that the folder exists and that you may write to it");
		free(output->temporary);
		output->temporary = NULL;
	}
	lt_output_abandon(output);
	return false;
}

/* Syncs the folder that a file is in. Returns 0, or the errno of a disk that fails; a file system
 * that cannot sync folders is none. */
static int sync_folder(const char *path)
{
	const size_t length = (size_t)(lt_path_base(path) - path);
	char *folder = join(length > 0 ? path : ".", "");
	if (length > 0)
		folder[length] = '\0';
	int reason = 0;
	/* A folder that may be written and not read cannot be synced by us. */
	int fd = open(folder, O_RDONLY | O_CLOEXEC);
	if (fd >= 0) {
		if (fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP && errno != ENOSYS)
			reason = errno;
		close(fd);
	}
	free(folder);
	return reason;
}

bool lt_folder_sync(const char *path, struct lt_diags *diags)
{
	/* Behind a symbolic link it is the file's own folder that has its name. */
	char *real = realpath(path, NULL);
	int reason = sync_folder(real != NULL ? real : path);
	free(real);
	if (reason == 0)
		return true;
	lt_error(diags, lt_place_file(path), "can be lost in a power failure: %s",
		strerror(reason));
	lt_hint(diags, "check the disk, then try again");
	return false;
}

static void report_unwritten(const struct lt_output *output, int reason, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(output->path), "cannot be written completely: %s",
		strerror(reason));
	lt_hint(diags, "the file was not changed. Free some space, or choose another folder");
}

/* Why an earlier write failed, of which errno is long gone: asked of the file anew. */
static int why_unwritten(int fd)
{
	struct statvfs space;
	errno = 0;
	if (write(fd, "", 1) != 1 && errno != 0)
		return errno;
	return fstatvfs(fd, &space) == 0 && space.f_bavail == 0 ? ENOSPC : EIO;
}

bool lt_output_prepare(struct lt_output *output, struct lt_diags *diags)
{
	FILE *stream = output->stream;
	if (stream == NULL)
		return output->temporary != NULL;
	output->stream = NULL;
	errno = 0;
	bool good = fflush(stream) == 0 && ferror(stream) == 0;
	good = good && (output->unsynced || fsync(fileno(stream)) == 0 || errno == EINVAL);
	int reason = errno;
	if (!good && reason == 0)
		reason = why_unwritten(fileno(stream));
	if (fclose(stream) != 0 && good) {
		good = false;
		reason = errno;
	}
	if (!good) {
		report_unwritten(output, reason, diags);
		lt_output_abandon(output);
	}
	return good;
}

bool lt_output_commit(struct lt_output *output, struct lt_diags *diags)
{
	bool good = lt_output_prepare(output, diags);
	if (good && rename(output->temporary, output->path) != 0) {
		report_unwritten(output, errno, diags);
		good = false;
	} else if (good) {
		/* The file is there: a folder that cannot be synced takes nothing away. */
		if (!output->unsynced)
			(void)sync_folder(output->path);
		free(output->temporary);
		output->temporary = NULL;
	}
	lt_output_abandon(output);
	return good;
}

void lt_output_abandon(struct lt_output *output)
{
	if (output == NULL)
		return;
	if (output->stream != NULL)
		fclose(output->stream);
	if (output->temporary != NULL)
		unlink(output->temporary);
	free(output->temporary);
	free(output->path);
	*output = (struct lt_output){ 0 };
}

static bool write_whole(const char *path, const void *bytes, size_t length, const char *const *keep,
	bool synced, struct lt_diags *diags)
{
	struct lt_output output;
	if (!lt_output_open(&output, path, keep, diags))
		return false;
	output.unsynced = !synced;
	fwrite(bytes, 1, length, output.stream);
	return lt_output_commit(&output, diags);
}

bool lt_file_write(const char *path, const void *bytes, size_t length, const char *const *keep,
	struct lt_diags *diags)
{
	return write_whole(path, bytes, length, keep, true, diags);
}

bool lt_file_write_unsynced(const char *path, const void *bytes, size_t length,
	const char *const *keep, struct lt_diags *diags)
{
	return write_whole(path, bytes, length, keep, false, diags);
}

/* Opens the lock's file; its descriptor is never 0, which means not held. */
static int open_lock(const char *path)
{
	int fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
	if (fd != 0)
		return fd;
	int moved = fcntl(fd, F_DUPFD_CLOEXEC, 3);
	close(fd);
	return moved;
}

/* A write lock on the whole file, and the file still the one that others would open: whoever held
 * it before may have removed it meanwhile. */
static bool try_lock(int fd, const char *path)
{
	struct flock lock = { .l_type = F_WRLCK, .l_whence = SEEK_SET };
	struct stat status;
	return fcntl(fd, F_SETLK, &lock) == 0 && fstat(fd, &status) == 0 &&
	       same_file(&status, path);
}

bool lt_lock_take(struct lt_lock *lock, const char *path, unsigned milliseconds,
	struct lt_diags *diags)
{
	enum { STEP = 20 };
	*lock = (struct lt_lock){ .path = join(path, ".lock") };
	for (unsigned waited = 0;; waited += STEP) {
		int fd = open_lock(lock->path);
		if (fd < 0) {
			lt_error(diags, lt_place_file(lock->path),
				"cannot be opened, so %s cannot be locked: %s", path,
				strerror(errno));
			break;
		}
		if (try_lock(fd, lock->path)) {
			lock->fd = fd;
			return true;
		}
		close(fd);
		if (waited >= milliseconds) {
			lt_error(diags, lt_place_file(path),
				"is in use by another loomtag (lock file %s)", lock->path);
			lt_hint(diags, "wait until it has finished, then try again");
			break;
		}
		nanosleep(&(struct timespec){ .tv_nsec = STEP * 1000000L }, NULL);
	}
	lt_lock_drop(lock);
	return false;
}

void lt_lock_drop(struct lt_lock *lock)
{
	if (lock == NULL)
		return;
	if (lock->fd > 0) {
		/* Removed before it is let go, while nobody else can hold it. */
		unlink(lock->path);
		close(lock->fd);
	}
	free(lock->path);
	*lock = (struct lt_lock){ 0 };
}
