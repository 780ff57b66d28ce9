/* Help on the terminal: the overview, and a command with its options. */
#include "cli/help.h"

#include <string.h>

#include "loomtag/base.h"

enum {
	COLUMNS = 80,
	COMMAND_COLUMN = 27, /* where the summaries of commands begin */
	OPTION_COLUMN = 24,
};

/* A row of a table: what stands at the left, and a text from `column` on, below it where the left
 * is too wide. */
static void print_row(FILE *out, const char *left, const char *text, size_t column)
{
	struct lt_text lines = { 0 };
	lt_text_wrap(&lines, text, COLUMNS - column, 0);
	size_t used = strlen(left);
	fputs(left, out);
	if (used + 2 > column) {
		fputc('\n', out);
		used = 0;
	}
	for (const char *line = lt_text_string(&lines); *line != '\0'; used = 0) {
		const char *end = strchr(line, '\n');
		fprintf(out, "%*s%.*s\n", (int)(column - used), "", (int)(end - line), line);
		line = end + 1;
	}
	lt_text_finish(&lines);
}

/* Paragraphs, an empty line between two. */
static void print_paragraphs(FILE *out, const char *text)
{
	while (*text != '\0') {
		const char *end = strstr(text, "\n\n");
		const size_t length = end != NULL ? (size_t)(end - text) : strlen(text);
		struct lt_text paragraph = { 0 }, lines = { 0 };
		lt_text_add_bytes(&paragraph, text, length);
		lt_text_wrap(&lines, lt_text_string(&paragraph), COLUMNS, 0);
		fprintf(out, "%s\n", lt_text_string(&lines));
		lt_text_finish(&paragraph);
		lt_text_finish(&lines);
		text += length + (end != NULL ? 2 : 0);
	}
}

void lt_help_overview(FILE *out, const struct lt_command *commands)
{
	fputs("usage: loomtag COMMAND [OPTIONS] [ARGUMENTS]\n\n", out);
	print_paragraphs(out,
		"loomtag numbers the joints of a wiring harness. It prints a sticker for each half "
		"of a joint, writes the checklist, and checks each pair by scan. A scan proves "
		"only that two stickers belong together.");
	fputs("commands:\n", out);
	for (const struct lt_command *command = commands; command->name != NULL; command++) {
		struct lt_text left = { 0 };
		lt_text_printf(&left, "  %s %.*s", command->name,
			(int)strcspn(command->arguments, "\n"), command->arguments);
		print_row(out, lt_text_string(&left), command->summary, COMMAND_COLUMN);
		lt_text_finish(&left);
	}
	fputs("\nexit codes:\n"
	      "  0  done, and the answer is yes\n"
	      "  1  the answer is no\n"
	      "  2  wrong usage\n"
	      "  3  the input has errors or cannot be read\n"
	      "  4  output, printer or system failure\n"
	      "\n"
	      "loomtag help COMMAND shows the options of a command.\n"
	      "The manual is loomtag(1): man loomtag\n",
		out);
}

static void print_options(FILE *out, int command)
{
	for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
		const struct lt_option_use *use = lt_option_use(option, command);
		if (use == NULL)
			continue;
		struct lt_text left = { 0 };
		if (option->letter != 0)
			lt_text_printf(&left, "  -%c, --%s", option->letter, option->name);
		else
			lt_text_printf(&left, "      --%s", option->name);
		if (option->value != NULL)
			lt_text_printf(&left, "=%s", option->value);
		print_row(out, lt_text_string(&left), use->help, OPTION_COLUMN);
		lt_text_finish(&left);
	}
}

void lt_help_command(FILE *out, const struct lt_command *command)
{
	const char *before = "usage:";
	for (const char *form = command->arguments;; form++) {
		const size_t length = strcspn(form, "\n");
		fprintf(out, "%s loomtag %s [OPTIONS]%s%.*s\n", before, command->name,
			length > 0 ? " " : "", (int)length, form);
		before = "      ";
		form += length;
		if (*form == '\0')
			break;
	}
	fputc('\n', out);
	print_paragraphs(out, command->help);
	fputs("options:\n", out);
	print_options(out, command->bit);
}
