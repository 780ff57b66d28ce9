/* Files of the static pages: no file is replaced that this program did not write. Existing files
 * are checked before the first page is written, so that another person's folder is never left half
 * overwritten. */
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "loomtag/base.h"
#include "site/site.h"

/* What is read of a page: the mark is in it, and the title, unless that is very long. */
#define START_SIZE 2048

static const char *path_of(const struct lt_site *site, const char *name)
{
	return lt_arena_printf(site->arena, "%s%s%s", site->folder, name[0] != '\0' ? "/" : "",
		name);
}

const char *lt_site_index(const struct lt_site *site, const char *name)
{
	return lt_arena_printf(site->arena, "%s/index.html", name);
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
	return kind_at(path_of(site, name));
}

static void report_in_the_way(const struct lt_site *site, const char *path)
{
	lt_error(site->diags, lt_place_file(path),
		"is not a folder, and the pages need a folder here");
	lt_hint(site->diags, "move it, or name another folder with --pages");
}

bool lt_site_make_folder(const struct lt_site *site, const char *name)
{
	const char *path = path_of(site, name);
	struct stat status;
	if (mkdir(path, 0777) == 0)
		return true;
	if (errno != EEXIST) {
		lt_error(site->diags, lt_place_file(path), "cannot make the folder: %s",
			strerror(errno));
		lt_hint(site->diags, "check that the folder above it exists and can be written to");
		return false;
	}
	/* The folder itself may be reached through a link: it was named by who runs the program. */
	if ((name[0] == '\0' ? stat(path, &status) : lstat(path, &status)) == 0 &&
		S_ISDIR(status.st_mode))
		return true;
	report_in_the_way(site, path);
	return false;
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

/* What stands between two marks at the beginning of a page of this program; without markup. */
static const char *read_between(const struct lt_site *site, const char *name, const char *opening,
	const char *closing)
{
	char start[START_SIZE];
	const char *text = read_marked(start, path_of(site, name)) ? strstr(start, opening) : NULL;
	if (text == NULL)
		return NULL;
	text += strlen(opening);
	size_t length = strcspn(text, "<>\"");
	bool whole = strncmp(text + length, closing, strlen(closing)) == 0 &&
		     lt_utf8_check(text, length) == length;
	return whole ? lt_arena_copy(site->arena, text, length) : NULL;
}

const char *lt_site_title(const struct lt_site *site, const char *name)
{
	return read_between(site, name, "<title>", "</title>");
}

bool lt_site_may_write(const struct lt_site *site, const char *name, enum lt_site_file file)
{
	char start[START_SIZE];
	const char *path = path_of(site, name);
	enum lt_site_there there = kind_at(path);
	if (there == LT_SITE_AWAY ||
		(there == LT_SITE_PLAIN && (file == LT_SITE_PICTURE || read_marked(start, path))))
		return true;
	lt_error(site->diags, lt_place_file(path),
		there == LT_SITE_PLAIN ? "is not a page of loomtag, so it is not replaced"
				       : "is not a plain file, so it is not replaced");
	lt_hint(site->diags, "move it, or name a folder for the pages alone with --pages");
	return false;
}

bool lt_site_write(const struct lt_site *site, const char *name, enum lt_site_file file,
	const void *bytes, size_t length)
{
	return lt_site_may_write(site, name, file) &&
	       lt_file_write_unsynced(path_of(site, name), bytes, length, NULL, site->diags);
}

static int by_name(const struct dirent **a, const struct dirent **b)
{
	return strcmp((*a)->d_name, (*b)->d_name);
}

bool lt_site_list(const struct lt_site *site, const char *name, const char ***names, size_t *count)
{
	struct dirent **entries;
	const char *path = path_of(site, name);
	int found = scandir(path, &entries, NULL, by_name);
	*count = 0;
	*names = NULL;
	if (found < 0) {
		lt_error(site->diags, lt_place_file(path), "cannot be read: %s", strerror(errno));
		lt_hint(site->diags, "make it readable, or name another folder with --pages");
		return false;
	}
	*names = lt_arena_array(site->arena, (size_t)found + 1, sizeof **names);
	for (int i = 0; i < found; i++) {
		(*names)[(*count)++] = lt_arena_strdup(site->arena, entries[i]->d_name);
		free(entries[i]);
	}
	free(entries);
	return true;
}

/* A folder that may be there, and a page in it. */
static bool check_page(const struct lt_site *site, const char *name)
{
	enum lt_site_there there = lt_site_there(site, name);
	if (there == LT_SITE_FOLDER)
		return lt_site_may_write(site, lt_site_index(site, name), LT_SITE_PAGE);
	if (there != LT_SITE_AWAY)
		report_in_the_way(site, path_of(site, name));
	return there == LT_SITE_AWAY;
}

static bool check_tags(const struct lt_site *site)
{
	bool good = true;
	for (size_t i = 0; i < site->tags->harness->connector_count; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_tag_sides(sides, site->tags, i);
		for (size_t j = 0; j < count; j++) {
			char code[LT_SCAN_CODE_SIZE];
			lt_scan_code_write(code, site->tags->number_of[i], sides[j],
				site->tags->harness->code);
			good = check_page(site, code) && good;
		}
	}
	return good;
}

/* All that has the name of a picture, since how many there will be is not known yet. */
static bool check_pictures(const struct lt_site *site, const char *code)
{
	static const char *const begins[] = { "overview-", "photo-", "front-" };
	const char **names;
	size_t count;
	if (lt_site_there(site, code) != LT_SITE_FOLDER)
		return true;
	bool good = lt_site_list(site, code, &names, &count);
	for (size_t i = 0; i < count; i++)
		for (size_t j = 0; good && j < sizeof begins / sizeof *begins; j++)
			if (strncmp(names[i], begins[j], strlen(begins[j])) == 0)
				good = lt_site_may_write(site,
					lt_arena_printf(site->arena, "%s/%s", code, names[i]),
					LT_SITE_PICTURE);
	return good;
}

static bool differs(const char *there, const char *own)
{
	struct lt_text escaped = { 0 };
	lt_site_text(&escaped, own);
	bool other = there != NULL && own != NULL && strcmp(there, lt_text_string(&escaped)) != 0;
	lt_text_finish(&escaped);
	return other;
}

/* Two descriptions with one code and unit: the second takes the place of the first, whose stickers
 * then lead to the wrong joints. */
static void warn_of_another(const struct lt_site *site, const char *code)
{
	const char *name = lt_site_index(site, code);
	const char *title = lt_site_title(site, name);
	const char *source = read_between(site, name, LT_SITE_SOURCE, "\">");
	bool other_title = differs(title, lt_site_harness_title(site));
	bool other_source = differs(source, lt_site_source(site->tags->harness));
	if (!other_title && !other_source)
		return;
	struct lt_place place = lt_place_file(path_of(site, name));
	if (other_source && other_title)
		lt_warning(site->diags, place,
			"this page was made from %s with the title \"%s\", and is replaced", source,
			title);
	else if (other_source)
		lt_warning(site->diags, place, "this page was made from %s, and is replaced",
			source);
	else
		lt_warning(site->diags, place,
			"this page was made from a description with the title \"%s\", and is "
			"replaced",
			title);
	lt_hint(site->diags, "if that is another module, give it another harness code or unit, or "
			     "name another folder with --pages");
}

bool lt_site_check(const struct lt_site *site, const struct lt_site_gone *gone, size_t count)
{
	const char *code = site->tags->harness->code;
	bool good = true;
	for (size_t i = 0; good && i < count; i++)
		good = check_page(site, gone[i].name);
	good = lt_site_may_write(site, "style.css", LT_SITE_PAGE) && good;
	good = check_page(site, code) && good;
	good = good && check_pictures(site, code);
	good = check_tags(site) && good;
	good = lt_site_may_write(site, "index.html", LT_SITE_PAGE) && good;
	if (good && lt_site_there(site, code) == LT_SITE_FOLDER)
		warn_of_another(site, code);
	return good;
}
