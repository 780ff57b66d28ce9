/* Options of commands about jobs: the database, the number of a job, who works. */
#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/job_options.h"
#include "loomtag/base.h"

const char *lt_job_database(const struct options *options, const char *description,
	struct lt_arena *arena)
{
	if (options->db != NULL)
		return options->db;
	if (description == NULL)
		return "bench.db";
	const int folder = (int)(lt_path_base(description) - description);
	return lt_arena_printf(arena, "%.*sbench.db", folder, description);
}

const char *lt_job_who(const struct options *options, struct lt_arena *arena)
{
	const struct passwd *user = getpwuid(getuid());
	const char *const names[] = { options->who, getenv("LOGNAME"), getenv("USER"),
		user != NULL ? user->pw_name : NULL };
	const char *who = "?";
	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		struct lt_text clean = { 0 };
		if (names[i] != NULL)
			lt_text_add_clean(&clean, names[i], strlen(names[i]));
		const bool found = clean.length > 0;
		if (found)
			who = lt_arena_strdup(arena, lt_text_string(&clean));
		lt_text_finish(&clean);
		if (found)
			break;
	}
	return who;
}

bool lt_job_number(unsigned long long *out, const char *command, const char *text)
{
	enum { DIGITS_MOST = 18 };
	const size_t digits = strspn(text, "0123456789");
	*out = 0;
	if (digits > 0 && digits <= DIGITS_MOST && text[digits] == '\0')
		*out = strtoull(text, NULL, 10);
	if (*out != 0)
		return true;
	lt_usage_error(command, "the number of a job must be a whole number from 1, not \"%s\"",
		text);
	return false;
}

long long lt_job_now(void)
{
	struct timespec now;
	clock_gettime(CLOCK_REALTIME, &now);
	return now.tv_sec * 1000LL + now.tv_nsec / 1000000;
}
