/* loomtag new: a description to fill in. */
#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/terminal.h"
#include "loomtag/harness.h"
#include "loomtag/words.h"

enum { USUAL = 6, MOST = 999 };

#define ENDING ".yaml"

/* A harness code out of a name: its letters and digits, in capitals. False where that gives none.
 */
static bool make_code(char out[LT_HARNESS_CODE_MAX + 1], const char *name, size_t length)
{
	size_t made = 0;
	for (size_t i = 0; i < length && made < LT_HARNESS_CODE_MAX; i++) {
		const char c = name[i];
		if (c >= 'a' && c <= 'z')
			out[made++] = (char)(c - 'a' + 'A');
		else if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'))
			out[made++] = c;
	}
	out[made] = '\0';
	return lt_harness_code_valid(out);
}

static int write_template(const struct lt_template *template, bool quiet, struct lt_diags *diags)
{
	if (access(template->file, F_OK) == 0 || errno != ENOENT) {
		lt_error(diags, lt_place_file(template->file), "already exists");
		lt_hint(diags, "choose another name");
		return EXIT_SYSTEM;
	}
	struct lt_text text = { 0 };
	lt_template_add(&text, template);
	const bool good =
		lt_file_write(template->file, lt_text_string(&text), text.length, NULL, diags);
	lt_text_clear(&text);
	lt_new_add_done(&text, template->file);
	if (good && !quiet)
		lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

int lt_run_new(const struct options *options)
{
	const char *name = options->arguments[0];
	unsigned count = USUAL;
	if (options->argument_count > 1 &&
		(!lt_whole_read(&count, options->arguments[1], MOST) || count == 0))
		return lt_usage_error("new", "N must be a whole number from 1 to %d, not \"%s\"",
			MOST, options->arguments[1]);
	size_t length = strlen(name);
	for (size_t i = 0; i < length; i++)
		if ((unsigned char)name[i] < ' ' || name[i] == 0x7F)
			return lt_usage_error("new", "NAME cannot have line ends or tabs: \"%s\"",
				name);
	if (length > strlen(ENDING) && strcmp(name + length - strlen(ENDING), ENDING) == 0)
		length -= strlen(ENDING);
	const char *base = lt_path_base(name);
	char code[LT_HARNESS_CODE_MAX + 1];
	if (base[0] == '.' || !make_code(code, base, length - (size_t)(base - name)))
		return lt_usage_error("new",
			"\"%s\" gives no harness code: NAME needs 2 letters or digits, with a "
			"letter first, and must not end in U and digits",
			name);
	struct lt_diags diags = { 0 };
	const struct lt_template template = {
		.code = code,
		.file = lt_arena_printf(&diags.arena, "%.*s" ENDING, (int)length, name),
		.count = count,
	};
	const int result = write_template(&template, options->quiet, &diags);
	lt_diags_print(&diags, 0, stderr, options->colour_err);
	lt_diags_finish(&diags);
	return result;
}
