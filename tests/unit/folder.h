/* A folder of its own for tests of files: the group's set-up enters it, its tear-down removes it.
 * Included behind unit.h. */
#ifndef LOOMTAG_TESTS_FOLDER_H
#define LOOMTAG_TESTS_FOLDER_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "loomtag/base.h"

static char folder[64];

static inline int enter_folder(void **state)
{
	(void)state;
	strcpy(folder, "/tmp/loomtag-test-XXXXXX");
	return mkdtemp(folder) != NULL && chdir(folder) == 0 ? 0 : -1;
}

static inline int leave_folder(void **state)
{
	(void)state;
	char command[128];
	snprintf(command, sizeof(command), "rm -rf %s", folder);
	return chdir("/") == 0 ? system(command) : -1;
}

static inline void write_plain(const char *path, const char *text)
{
	FILE *stream = fopen(path, "wb");
	assert_non_null(stream);
	fputs(text, stream);
	fclose(stream);
}

static inline void assert_holds(const char *path, const char *text)
{
	struct lt_diags diags = { 0 };
	char *bytes;
	size_t length;
	assert_true(lt_file_read(&bytes, &length, path, 10000, &diags));
	assert_int_equal(length, strlen(text));
	assert_string_equal(bytes, text);
	free(bytes);
	lt_diags_finish(&diags);
}

#endif
