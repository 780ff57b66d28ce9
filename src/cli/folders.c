/* The folders of the user, and those of layouts beside the program. */
#include <errno.h>
#include <libgen.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/folders.h"

/* The program's folder inside the folder that a variable names, or else inside one of the user. */
static const char *own_folder(struct lt_arena *arena, const char *variable, const char *fallback)
{
	const char *named = getenv(variable);
	const char *home = getenv("HOME");
	if (named != NULL && named[0] == '/')
		return lt_arena_printf(arena, "%s/loomtag", named);
	if (home != NULL && home[0] == '/')
		return lt_arena_printf(arena, "%s/%s/loomtag", home, fallback);
	return NULL;
}

const char *lt_config_folder(struct lt_arena *arena)
{
	return own_folder(arena, "XDG_CONFIG_HOME", ".config");
}

const char *lt_state_folder(struct lt_arena *arena)
{
	return own_folder(arena, "XDG_STATE_HOME", ".local/state");
}

bool lt_folder_make(const char *path, struct lt_diags *diags)
{
	char *copy = lt_arena_strdup(&diags->arena, path);
	for (char *c = copy + 1;; c++) {
		char was = *c;
		if (was != '/' && was != '\0')
			continue;
		*c = '\0';
		if (mkdir(copy, 0777) != 0 && errno != EEXIST) {
			lt_error(diags, lt_place_file(copy), "the folder cannot be created: %s",
				strerror(errno));
			return false;
		}
		*c = was;
		if (was == '\0')
			return true;
	}
}

const char *lt_certificate_folder(struct lt_arena *arena)
{
	const char *config = lt_config_folder(arena);
	return config != NULL ? lt_arena_printf(arena, "%s/certificates", config) : NULL;
}

/* The folder above the one that the program is in; NULL where it is not known. */
static const char *program_parent(struct lt_arena *arena)
{
	char path[PATH_MAX];
	ssize_t length = readlink("/proc/self/exe", path, sizeof(path) - 1);
	if (length <= 0)
		return NULL;
	path[length] = '\0';
	return lt_arena_strdup(arena, dirname(dirname(path)));
}

const char *const *lt_layout_folders(struct lt_arena *arena)
{
	static const char *const beside[] = { "layouts", "share/loomtag/layouts" };
	const char **folders = lt_arena_array(arena, 4, sizeof(*folders));
	size_t count = 0;
	const char *config = lt_config_folder(arena), *parent = program_parent(arena);
	if (config != NULL)
		folders[count++] = lt_arena_printf(arena, "%s/layouts", config);
	for (size_t i = 0; i < 2 && parent != NULL; i++)
		folders[count++] = lt_arena_printf(arena, "%s/%s", parent, beside[i]);
	return folders;
}
