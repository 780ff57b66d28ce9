#include "folders.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

const char *config_folder(struct lt_arena *arena)
{
	const char *config = getenv("XDG_CONFIG_HOME");
	const char *home = getenv("HOME");
	if (config != NULL && config[0] == '/')
		return lt_arena_printf(arena, "%s/loomtag", config);
	if (home != NULL && home[0] == '/')
		return lt_arena_printf(arena, "%s/.config/loomtag", home);
	return NULL;
}

const char *certificate_folder(struct lt_arena *arena)
{
	const char *config = config_folder(arena);
	return config != NULL ? lt_arena_printf(arena, "%s/certificates", config) : NULL;
}

/* ../share/loomtag/layouts from where the program is; NULL when that cannot be told. */
static const char *installed_folder(struct lt_arena *arena)
{
	char path[PATH_MAX];
	ssize_t length = readlink("/proc/self/exe", path, sizeof(path) - 1);
	if (length <= 0)
		return NULL;
	path[length] = '\0';
	char *slash = strrchr(path, '/');
	if (slash == NULL)
		return NULL;
	*slash = '\0';
	return lt_arena_printf(arena, "%s/../share/loomtag/layouts", path);
}

const char *const *layout_folders(struct lt_arena *arena)
{
	const char **folders = lt_arena_array(arena, 4, sizeof(*folders));
	size_t count = 0;
	const char *config = config_folder(arena);
	if (config != NULL)
		folders[count++] = lt_arena_printf(arena, "%s/layouts", config);
	const char *installed = installed_folder(arena);
	if (installed != NULL && access(installed, F_OK) == 0)
		folders[count++] = installed;
	folders[count++] = LT_SOURCE_LAYOUTS;
	return folders;
}
