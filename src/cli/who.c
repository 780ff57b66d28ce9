/* Who works here: remembered by terminal and job. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/folders.h"
#include "cli/who.h"
#include "loomtag/base.h"

/* A line a terminal: its name, the database, the job and the person, with tabs between. */
enum { FIELDS = 4, FILE_MOST = 1 << 20 };

static const char *file_name(struct lt_arena *arena)
{
	const char *folder = lt_state_folder(arena);
	return folder != NULL ? lt_arena_printf(arena, "%s/terminals", folder) : NULL;
}

/* The bytes of the file, NUL-terminated; NULL where there is none. */
static char *read_file(struct lt_arena *arena, struct lt_diags *diags)
{
	const char *path = file_name(arena);
	char *bytes = NULL;
	size_t length;
	if (path == NULL || !lt_file_read_if_there(&bytes, &length, path, FILE_MOST, diags) ||
		bytes == NULL)
		return NULL;
	char *text = lt_arena_copy(arena, bytes, length);
	free(bytes);
	return text;
}

/* Splits a line at its tabs; false when it has not as many fields as it should. */
static bool split(char *fields[FIELDS], char *line)
{
	for (size_t i = 0; i < FIELDS; i++) {
		fields[i] = line;
		char *tab = strchr(line, '\t');
		if ((tab == NULL) != (i + 1 == FIELDS))
			return false;
		if (tab != NULL) {
			*tab = '\0';
			line = tab + 1;
		}
	}
	return true;
}

/* The same from wherever the program is started. */
static const char *full_path(struct lt_arena *arena, const char *path)
{
	char *real = realpath(path, NULL);
	const char *kept = lt_arena_strdup(arena, real != NULL ? real : path);
	free(real);
	return kept;
}

void lt_who_recall(struct who_remembered *out, const char *database, struct lt_arena *arena)
{
	struct lt_diags diags = { 0 };
	const char *terminal = ttyname(STDIN_FILENO);
	const char *path = database != NULL ? full_path(arena, database) : "";
	char *text = read_file(arena, &diags), *rest = NULL, *fields[FIELDS];
	*out = (struct who_remembered){ 0 };
	for (char *line = text != NULL ? strtok_r(text, "\n", &rest) : NULL; line != NULL;
		line = strtok_r(NULL, "\n", &rest)) {
		if (terminal == NULL || !split(fields, line) || strcmp(fields[0], terminal) != 0)
			continue;
		out->name = fields[3];
		out->job = strcmp(fields[1], path) == 0 ? strtoull(fields[2], NULL, 10) : 0;
	}
	lt_diags_finish(&diags);
}

/* The lines of other terminals, as they were. */
static void add_others(struct lt_text *out, char *text, const char *terminal)
{
	const size_t length = strlen(terminal);
	char *rest = NULL;
	for (char *line = text != NULL ? strtok_r(text, "\n", &rest) : NULL; line != NULL;
		line = strtok_r(NULL, "\n", &rest))
		if (strncmp(line, terminal, length) != 0 || line[length] != '\t')
			lt_text_printf(out, "%s\n", line);
}

void lt_who_remember(const char *name, const char *database, unsigned long long job)
{
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_text text = { 0 };
	const char *terminal = ttyname(STDIN_FILENO);
	const char *path = file_name(&arena);
	if (terminal != NULL && path != NULL && lt_folder_make(lt_state_folder(&arena), &diags)) {
		const char *nothing[] = { NULL };
		add_others(&text, read_file(&arena, &diags), terminal);
		lt_text_printf(&text, "%s\t%s\t%llu\t%s\n", terminal, full_path(&arena, database),
			job, name);
		lt_file_write(path, lt_text_string(&text), text.length, nothing, &diags);
	}
	lt_text_finish(&text);
	lt_arena_finish(&arena);
	lt_diags_finish(&diags);
}
