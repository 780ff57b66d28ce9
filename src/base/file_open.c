/* Opening files to read: regular ones alone, and those of a folder. */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "loomtag/base.h"

enum { OPEN_FILE = O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC };

static void tell_odd(const char *path, mode_t mode, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(path);
	if (diags == NULL)
		return;
	if (S_ISDIR(mode)) {
		lt_error(diags, place, "is a folder, not a file");
		lt_hint(diags, "name the file inside it");
		return;
	}
	if (S_ISFIFO(mode))
		lt_error(diags, place, "is a named pipe, not a file");
	else if (S_ISSOCK(mode))
		lt_error(diags, place, "is a socket, not a file");
	else
		lt_error(diags, place, "is a device, not a file");
	lt_hint(diags, "save what it gives in a file, and name that");
}

FILE *lt_file_open(const char *path, struct lt_diags *diags)
{
	/* What is no file is not even opened: that may wait, or move a tape. What came in its place
	 * since is seen by the second look. */
	struct stat status;
	int fd = -1;
	bool known = stat(path, &status) == 0;
	if (known && S_ISREG(status.st_mode)) {
		fd = open(path, OPEN_FILE);
		known = fd >= 0 && fstat(fd, &status) == 0;
	}
	if (!known && diags != NULL) {
		lt_error(diags, lt_place_file(path), "cannot be opened: %s", strerror(errno));
		lt_hint(diags, "is the name right, and may it be read?");
	}
	FILE *stream = NULL;
	if (known && !S_ISREG(status.st_mode))
		tell_odd(path, status.st_mode, diags);
	else if (known)
		stream = fdopen(fd, "rb");
	if (stream == NULL && fd >= 0)
		close(fd);
	return stream;
}

/* The rest of `path` below `root`, both resolved; NULL where it is not below. */
static const char *below(const char *path, const char *root)
{
	const size_t length = strcmp(root, "/") == 0 ? 0 : strlen(root);
	return strncmp(path, root, length) == 0 && path[length] == '/' ? path + length + 1 : NULL;
}

/* A name in a folder as it resolves. */
struct resolved {
	char *root, *path;
	const char *rest; /* of the path, below the root; NULL outside of it */
};

static void resolve(struct resolved *out, const char *folder, const char *name)
{
	struct lt_text joined = { 0 };
	*out = (struct resolved){ .root = realpath(folder[0] != '\0' ? folder : ".", NULL) };
	if (out->root == NULL)
		return;
	if (name[0] != '/')
		lt_text_printf(&joined, "%s/", out->root);
	lt_text_add(&joined, name);
	out->path = realpath(lt_text_string(&joined), NULL);
	const int reason = errno;
	lt_text_finish(&joined);
	if (out->path != NULL)
		out->rest = below(out->path, out->root);
	errno = reason;
}

static void finish(struct resolved *resolved)
{
	free(resolved->root);
	free(resolved->path);
}

enum lt_within lt_file_within(const char *folder, const char *name)
{
	struct resolved resolved;
	resolve(&resolved, folder, name);
	enum lt_within within = LT_WITHIN_AWAY;
	if (resolved.path != NULL)
		within = resolved.rest != NULL ? LT_WITHIN : LT_WITHIN_OUTSIDE;
	finish(&resolved);
	return within;
}

/* Closes a descriptor, and errno stays what it is. */
static void close_quietly(int fd)
{
	const int reason = errno;
	close(fd);
	errno = reason;
}

/* Opens the folder of what was resolved, step by step and through no link: there is none in it, but
 * for one that was put there since. *name is what is to be opened in it. -1 with errno set. */
static int open_folder(char **name, const struct resolved *resolved)
{
	enum { OPEN_FOLDER = O_RDONLY | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW };
	int folder = open(resolved->root, OPEN_FOLDER);
	char *step = resolved->path + (resolved->rest - resolved->path);
	for (char *end = strchr(step, '/'); folder >= 0 && end != NULL; end = strchr(step, '/')) {
		*end = '\0';
		const int next = openat(folder, step, OPEN_FOLDER);
		close_quietly(folder);
		*end = '/';
		folder = next;
		step = end + 1;
	}
	*name = step;
	return folder;
}

/* -1 with errno set, or with *mode that of what is no regular file. */
static int open_resolved(mode_t *mode, const struct resolved *resolved)
{
	char *name;
	struct stat status = { 0 };
	const int folder = open_folder(&name, resolved);
	if (folder < 0)
		return -1;
	int fd = -1;
	bool known = fstatat(folder, name, &status, AT_SYMLINK_NOFOLLOW) == 0;
	/* A link was put there just now: opening it fails, and says so. */
	if (known && (S_ISREG(status.st_mode) || S_ISLNK(status.st_mode))) {
		fd = openat(folder, name, OPEN_FILE | O_NOFOLLOW);
		known = fd >= 0 && fstat(fd, &status) == 0;
	}
	if (known && !S_ISREG(status.st_mode))
		*mode = status.st_mode;
	if (fd >= 0 && (!known || !S_ISREG(status.st_mode))) {
		close_quietly(fd);
		fd = -1;
	}
	close_quietly(folder);
	return fd;
}

FILE *lt_file_open_within(const char *folder, const char *name, struct lt_diags *diags)
{
	struct resolved resolved;
	mode_t mode = 0;
	int fd = -1;
	resolve(&resolved, folder, name);
	if (resolved.rest != NULL)
		fd = open_resolved(&mode, &resolved);
	FILE *stream = fd >= 0 ? fdopen(fd, "rb") : NULL;
	if (resolved.path != NULL && resolved.rest == NULL) {
		lt_error(diags, lt_place_file(name), "leads out of the folder that it must be in");
		lt_hint(diags, "put the file itself into that folder");
	} else if (stream == NULL && mode != 0) {
		tell_odd(name, mode, diags);
	} else if (stream == NULL) {
		lt_error(diags, lt_place_file(name), "cannot be opened: %s", strerror(errno));
		lt_hint(diags, "is the name right, and may it be read?");
	}
	if (stream == NULL && fd >= 0)
		close(fd);
	finish(&resolved);
	return stream;
}
