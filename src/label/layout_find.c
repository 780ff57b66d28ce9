/* Finds layouts by name in the folders where they are kept. */
#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "label/layout.h"

#define EXTENSION ".yaml"

/* The length of a file's name without .yaml, or 0 when it does not end so. */
static size_t stem_length(const char *name)
{
	size_t length = strlen(name);
	size_t extension = strlen(EXTENSION);
	if (length <= extension || strcmp(name + length - extension, EXTENSION) != 0)
		return 0;
	return length - extension;
}

static int compare_names(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Names found so far. */
struct names {
	const char **items;
	size_t count, room;
};

static void add_folder(struct names *names, struct lt_arena *arena, const char *folder)
{
	DIR *directory = opendir(folder);
	if (directory == NULL)
		return;
	for (struct dirent *entry = readdir(directory); entry != NULL; entry = readdir(directory)) {
		size_t length = stem_length(entry->d_name);
		struct stat status;
		if (length == 0 || entry->d_name[0] == '.' ||
			fstatat(dirfd(directory), entry->d_name, &status, 0) != 0 ||
			!S_ISREG(status.st_mode))
			continue;
		names->items = lt_grow(names->items, &names->room, names->count + 1,
			sizeof(*names->items));
		names->items[names->count++] = lt_arena_copy(arena, entry->d_name, length);
	}
	closedir(directory);
}

const char **lt_layout_names(size_t *count, struct lt_arena *arena, const char *const *folders)
{
	struct names names = { 0 };
	for (size_t i = 0; folders[i] != NULL; i++)
		add_folder(&names, arena, folders[i]);
	if (names.count > 0)
		qsort(names.items, names.count, sizeof(*names.items), compare_names);
	const char **sorted = lt_arena_array(arena, names.count + 1, sizeof(*sorted));
	*count = 0;
	for (size_t i = 0; i < names.count; i++) {
		if (*count == 0 || strcmp(sorted[*count - 1], names.items[i]) != 0)
			sorted[(*count)++] = names.items[i];
	}
	free(names.items);
	return sorted;
}

void lt_layout_none(const char *const *folders, struct lt_diags *diags)
{
	struct lt_text places = { 0 };
	for (size_t i = 0; folders[i] != NULL; i++)
		lt_text_printf(&places, i > 0 ? ", %s" : "%s", folders[i]);
	if (places.length > 0) {
		lt_error(diags, lt_place_none(), "no layouts in %s", lt_text_string(&places));
		lt_hint(diags,
			"copy the folder \"layouts\" to one of these places, or give the path "
			"of a .yaml file");
	} else {
		lt_error(diags, lt_place_none(), "there is no folder of layouts");
		lt_hint(diags, "give the path of a .yaml file");
	}
	lt_text_finish(&places);
}

static void report_unknown(const char *name, const char *const *folders, struct lt_diags *diags)
{
	size_t count = 0;
	const char **names = lt_layout_names(&count, &diags->arena, folders);
	if (count == 0) {
		lt_layout_none(folders, diags);
		return;
	}
	lt_error(diags, lt_place_none(), "there is no layout \"%s\"", name);
	int near = lt_nearest(name, names, count);
	if (near >= 0)
		lt_hint(diags, "did you mean \"%s\"?", names[near]);
	else
		lt_hint(diags,
			"run \"loomtag layouts\" to see all layouts, or give the path of a .yaml "
			"file");
}

static bool read_file(struct lt_layout *out, const char *path, struct lt_diags *diags)
{
	char *bytes = NULL;
	size_t length = 0;
	if (!lt_file_read(&bytes, &length, path, LT_LAYOUT_FILE_MAX, diags))
		return false;
	bool ok = lt_layout_read(out, path, bytes, length, diags);
	free(bytes);
	return ok;
}

const char *lt_layout_path(struct lt_arena *arena, const char *name, const char *const *folders)
{
	if (strchr(name, '/') != NULL || stem_length(name) > 0)
		return name;
	for (size_t i = 0; folders[i] != NULL && name[0] != '\0'; i++) {
		const char *path = lt_arena_printf(arena, "%s/%s%s", folders[i], name, EXTENSION);
		if (access(path, F_OK) == 0)
			return path;
	}
	return NULL;
}

bool lt_layout_find(struct lt_layout *out, const char *name, const char *const *folders,
	struct lt_diags *diags)
{
	*out = (struct lt_layout){ 0 };
	const char *path = lt_layout_path(&diags->arena, name, folders);
	if (path != NULL)
		return read_file(out, path, diags);
	report_unknown(name, folders, diags);
	return false;
}
