/* Files of the static pages: nothing is replaced that this program did not write. */
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "loomtag/base.h"
#include "site/site.h"

/* What is read of a page: the mark is in it, and the title, unless that is very long. */
#define START_SIZE 2048

static char *path_of(const struct lt_site *site, const char *name)
{
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s%s%s", site->folder, name[0] != '\0' ? "/" : "", name);
	return path.bytes;
}

static enum lt_site_there kind_at(const char *path)
{
	struct stat status;
	if (lstat(path, &status) != 0)
		return errno == ENOENT ? LT_SITE_AWAY : LT_SITE_OTHER;
	if (S_ISREG(status.st_mode))
		return LT_SITE_PLAIN;
	return S_ISDIR(status.st_mode) ? LT_SITE_FOLDER : LT_SITE_OTHER;
}

enum lt_site_there lt_site_there(const struct lt_site *site, const char *name)
{
	char *path = path_of(site, name);
	enum lt_site_there there = kind_at(path);
	free(path);
	return there;
}

/* The folder itself may be reached through a link: it was named by who runs the program. */
static bool is_folder(const char *path, bool itself)
{
	struct stat status;
	return (itself ? stat(path, &status) : lstat(path, &status)) == 0 &&
	       S_ISDIR(status.st_mode);
}

static void tell_in_the_way(const struct lt_site *site, const char *path)
{
	lt_error(site->diags, lt_place_file(path),
		"is in the way of a folder for the pages, and is left as it is");
	lt_hint(site->diags, "move it away, or give another folder with --pages");
}

bool lt_site_folder_allowed(const struct lt_site *site, const char *name)
{
	char *path = path_of(site, name);
	enum lt_site_there there = kind_at(path);
	bool good = there == LT_SITE_AWAY || there == LT_SITE_FOLDER;
	if (!good)
		tell_in_the_way(site, path);
	free(path);
	return good;
}

bool lt_site_make_folder(const struct lt_site *site, const char *name)
{
	char *path = path_of(site, name);
	bool good = mkdir(path, 0777) == 0;
	int reason = errno;
	if (!good && reason == EEXIST) {
		good = is_folder(path, name[0] == '\0');
		if (!good)
			tell_in_the_way(site, path);
	} else if (!good) {
		lt_error(site->diags, lt_place_file(path), "cannot be made: %s", strerror(reason));
		lt_hint(site->diags, "is the folder above it there, and may it be written?");
	}
	free(path);
	return good;
}

/* The beginning of a file that has the mark in it, or false. */
static bool read_marked(char start[START_SIZE], const char *path)
{
	FILE *stream = lt_file_open(path, NULL);
	if (stream == NULL)
		return false;
	size_t length = fread(start, 1, START_SIZE - 1, stream);
	fclose(stream);
	start[length] = '\0';
	return strstr(start, LT_SITE_MARK) != NULL;
}

static bool is_marked(const char *path)
{
	char start[START_SIZE];
	return read_marked(start, path);
}

/* What stands between two marks at the beginning of a page of this program; without markup. */
static const char *read_between(const struct lt_site *site, struct lt_arena *arena,
	const char *name, const char *opening, const char *closing)
{
	char start[START_SIZE];
	char *path = path_of(site, name);
	const char *text = read_marked(start, path) ? strstr(start, opening) : NULL;
	free(path);
	if (text == NULL)
		return NULL;
	text += strlen(opening);
	size_t length = strcspn(text, "<>\"");
	bool whole = strncmp(text + length, closing, strlen(closing)) == 0 &&
		     lt_utf8_check(text, length) == length;
	return whole ? lt_arena_copy(arena, text, length) : NULL;
}

const char *lt_site_title(const struct lt_site *site, struct lt_arena *arena, const char *name)
{
	return read_between(site, arena, name, "<title>", "</title>");
}

const char *lt_site_source_of(const struct lt_site *site, struct lt_arena *arena, const char *name)
{
	return read_between(site, arena, name, LT_SITE_SOURCE, "\">");
}

static bool may_write(const struct lt_site *site, const char *path, bool marked)
{
	enum lt_site_there there = kind_at(path);
	if (there == LT_SITE_AWAY || (there == LT_SITE_PLAIN && (!marked || is_marked(path))))
		return true;
	lt_error(site->diags, lt_place_file(path), "%s, and is left as it is",
		there == LT_SITE_PLAIN ? "is not a page that loomtag wrote"
				       : "is not a plain file");
	lt_hint(site->diags, "move it away, or give a folder of their own to the pages with "
			     "--pages");
	return false;
}

bool lt_site_allowed(const struct lt_site *site, const char *name)
{
	char *path = path_of(site, name);
	bool good = may_write(site, path, true);
	free(path);
	return good;
}

bool lt_site_picture_allowed(const struct lt_site *site, const char *name)
{
	char *path = path_of(site, name);
	bool good = may_write(site, path, false);
	free(path);
	return good;
}

static bool write_file(const struct lt_site *site, const char *name, const void *bytes,
	size_t length, bool marked)
{
	char *path = path_of(site, name);
	bool good = may_write(site, path, marked) &&
		    lt_file_write_unsynced(path, bytes, length, NULL, site->diags);
	free(path);
	return good;
}

bool lt_site_write_page(const struct lt_site *site, const char *path, const struct lt_text *page)
{
	return write_file(site, path, lt_text_string(page), page->length, true);
}

bool lt_site_write_picture(const struct lt_site *site, const char *path, const void *bytes,
	size_t length)
{
	return write_file(site, path, bytes, length, false);
}

void lt_site_settle(void)
{
	sync();
}

static int by_name(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

bool lt_site_list(const struct lt_site *site, struct lt_arena *arena, const char ***names,
	size_t *count)
{
	const char **list = NULL;
	size_t room = 0;
	*count = 0;
	*names = NULL;
	DIR *folder = opendir(site->folder);
	if (folder == NULL) {
		lt_error(site->diags, lt_place_file(site->folder), "cannot be looked through: %s",
			strerror(errno));
		lt_hint(site->diags, "pages of tags that are no more could stay in it; make it "
				     "readable, or give another folder");
		return false;
	}
	const struct dirent *entry;
	while ((entry = readdir(folder)) != NULL) {
		list = lt_grow(list, &room, *count + 1, sizeof *list);
		list[(*count)++] = lt_arena_strdup(arena, entry->d_name);
	}
	closedir(folder);
	*names = lt_arena_array(arena, *count + 1, sizeof **names);
	if (*count > 0) {
		qsort(list, *count, sizeof *list, by_name);
		memcpy(*names, list, *count * sizeof *list);
	}
	free(list);
	return true;
}
