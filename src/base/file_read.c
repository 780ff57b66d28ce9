/* Paths, and reading files: regular files only, and where asked only those below a folder. */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "loomtag/base.h"

const char *lt_path_base(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash != NULL ? slash + 1 : path;
}

const char *lt_path_extension(const char *path)
{
	const char *base = lt_path_base(path);
	const char *dot = strrchr(base, '.');
	return dot != NULL && dot != base ? dot + 1 : "";
}

char *lt_path_with_extension(const char *path, const char *extension)
{
	const char *old = lt_path_extension(path);
	size_t stem = *old != '\0' ? (size_t)(old - path) - 1 : strlen(path);
	struct lt_text with = { 0 };
	lt_text_add_bytes(&with, path, stem);
	lt_text_printf(&with, ".%s", extension);
	return with.bytes;
}

static void report_odd(const char *path, mode_t mode, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(path);
	if (S_ISDIR(mode)) {
		lt_error(diags, place, "is a folder, not a file");
		lt_hint(diags, "give the file inside the folder");
		return;
	}
	if (S_ISFIFO(mode))
		lt_error(diags, place, "is a named pipe, not a file");
	else if (S_ISSOCK(mode))
		lt_error(diags, place, "is a socket, not a file");
	else
		lt_error(diags, place, "is a device, not a file");
	lt_hint(diags, "save its content to a file, and give that file");
}

/* Closes a descriptor, and errno stays what it is. */
static void close_quietly(int fd)
{
	const int reason = errno;
	close(fd);
	errno = reason;
}

/* Opens a regular file in an open folder; `link` is O_NOFOLLOW to refuse a symbolic link, else 0.
 * -1 with errno set on failure; -1 with the type in *odd when it is not a regular file. The type is
 * checked before opening, since opening a pipe can wait and opening a device can act on it, and
 * again on the open file, in case it was replaced between the two. */
static int open_regular(mode_t *odd, int folder, const char *name, int link)
{
	struct stat status;
	int fd = -1;
	bool known = fstatat(folder, name, &status, link != 0 ? AT_SYMLINK_NOFOLLOW : 0) == 0;
	if (known && (S_ISREG(status.st_mode) || S_ISLNK(status.st_mode))) {
		fd = openat(folder, name, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC | link);
		known = fd >= 0 && fstat(fd, &status) == 0;
	}
	*odd = known && !S_ISREG(status.st_mode) ? status.st_mode : 0;
	if (fd < 0 || (known && *odd == 0))
		return fd;
	close_quietly(fd);
	return -1;
}

/* The stream of what open_regular opened; NULL after reporting why there is none. */
static FILE *stream_of(int fd, mode_t odd, const char *path, struct lt_diags *diags)
{
	FILE *stream = fd >= 0 ? fdopen(fd, "rb") : NULL;
	if (stream == NULL && fd >= 0)
		close_quietly(fd);
	if (stream != NULL || diags == NULL)
		return stream;
	if (odd != 0) {
		report_odd(path, odd, diags);
		return NULL;
	}
	lt_error(diags, lt_place_file(path), "cannot be opened: %s", strerror(errno));
	lt_hint(diags, "check the name of the file and its permissions");
	return NULL;
}

FILE *lt_file_open(const char *path, struct lt_diags *diags)
{
	mode_t odd;
	const int fd = open_regular(&odd, AT_FDCWD, path, 0);
	return stream_of(fd, odd, path, diags);
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
	enum lt_within within = LT_WITHIN_MISSING;
	if (resolved.path != NULL)
		within = resolved.rest != NULL ? LT_WITHIN : LT_WITHIN_OUTSIDE;
	finish(&resolved);
	return within;
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

/* Opens what lt_file_within finds to be below the folder. What is opened is what was resolved: a
 * link that is put in its way meanwhile is not followed. */
static FILE *open_within(const char *folder, const char *name, struct lt_diags *diags)
{
	struct resolved resolved;
	resolve(&resolved, folder, name);
	FILE *stream = NULL;
	if (resolved.path != NULL && resolved.rest == NULL) {
		lt_error(diags, lt_place_file(name), "is outside the folder of the description");
		lt_hint(diags, "copy the file itself into the folder of the description");
	} else {
		char *base;
		mode_t odd = 0;
		const int in = resolved.rest != NULL ? open_folder(&base, &resolved) : -1;
		const int fd = in >= 0 ? open_regular(&odd, in, base, O_NOFOLLOW) : -1;
		if (in >= 0)
			close_quietly(in);
		stream = stream_of(fd, odd, name, diags);
	}
	finish(&resolved);
	return stream;
}

/* Reads and closes the stream of `path`, NULL for one that could not be opened. */
static bool read_whole(char **bytes, size_t *length, FILE *stream, const char *path, size_t max,
	struct lt_diags *diags)
{
	*bytes = NULL;
	*length = 0;
	if (stream == NULL)
		return false;
	struct lt_text text = { 0 };
	char block[16384];
	size_t got;
	lt_text_add(&text, "");
	while (text.length <= max && (got = fread(block, 1, sizeof(block), stream)) > 0)
		lt_text_add_bytes(&text, block, got);
	const int reason = ferror(stream) ? errno : 0;
	fclose(stream);
	if (reason == 0 && text.length <= max) {
		*bytes = text.bytes;
		*length = text.length;
		return true;
	}
	if (reason != 0)
		lt_error(diags, lt_place_file(path), "cannot be read: %s", strerror(reason));
	else
		lt_error(diags, lt_place_file(path), "is too large: at most %zu KiB can be read",
			max / 1024);
	lt_text_finish(&text);
	return false;
}

bool lt_file_read(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags)
{
	return read_whole(bytes, length, lt_file_open(path, diags), path, max, diags);
}

bool lt_file_read_within(char **bytes, size_t *length, const char *folder, const char *name,
	size_t max, struct lt_diags *diags)
{
	return read_whole(bytes, length, open_within(folder, name, diags), name, max, diags);
}

bool lt_file_read_if_there(char **bytes, size_t *length, const char *path, size_t max,
	struct lt_diags *diags)
{
	*bytes = NULL;
	*length = 0;
	struct stat status;
	if (lstat(path, &status) != 0 && errno == ENOENT)
		return true;
	if (stat(path, &status) != 0 && errno == ENOENT) {
		lt_error(diags, lt_place_file(path), "is a link to a file that does not exist");
		lt_hint(diags, "remove the link, or restore the file that it leads to");
		return false;
	}
	return lt_file_read(bytes, length, path, max, diags);
}
