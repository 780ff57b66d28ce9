/* Reads the options of a command, by the table of options. */
#include <getopt.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/options.h"
#include "loomtag/base.h"

/* More than there are options; what getopt returns for a long one: FIRST_LONG and its row. */
enum { OPTIONS_MOST = 128, FIRST_LONG = 256 };

/* `hint` is clean, and NULL for the hint at help. */
static void print_error(const char *command, const char *hint, const char *format,
	va_list arguments)
{
	char message[1024];
	struct lt_text clean = { 0 };
	vsnprintf(message, sizeof(message), format, arguments);
	lt_text_add_clean(&clean, message, strlen(message));
	fprintf(stderr, "loomtag: error: %s\n", lt_text_string(&clean));
	lt_text_finish(&clean);
	if (hint != NULL)
		fprintf(stderr, "  hint: did you mean %s?\n", hint);
	else if (command != NULL)
		fprintf(stderr, "  hint: read loomtag %s --help\n", command);
	else
		fputs("  hint: read loomtag --help\n", stderr);
}

int lt_usage_error(const char *command, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	print_error(command, NULL, format, arguments);
	va_end(arguments);
	return EXIT_USAGE;
}

int lt_usage_error_near(const char *meant, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	print_error(NULL, meant, format, arguments);
	va_end(arguments);
	return EXIT_USAGE;
}

bool lt_is_file(const char *path)
{
	return path != NULL && strcmp(path, "-") != 0;
}

static bool has_option(const struct lt_command *command, const struct lt_option *option)
{
	return lt_option_use(option, command->bit) != NULL;
}

/* An option that getopt does not know, or the beginning of several. */
static int unknown_option(const struct lt_command *command, const char *name)
{
	const char *names[OPTIONS_MOST];
	size_t count = 0, alike = 0;
	struct lt_text list = { 0 };
	for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
		if (!has_option(command, option))
			continue;
		names[count++] = option->name;
		if (strncmp(option->name, name, strlen(name)) == 0)
			lt_text_printf(&list, "%s--%s", alike++ > 0 ? ", " : "", option->name);
	}
	const int near = lt_nearest(name, names, count);
	int code;
	if (alike > 1) {
		code = lt_usage_error(command->name, "--%s can mean several options: %s", name,
			lt_text_string(&list));
	} else if (near >= 0) {
		lt_text_clear(&list);
		lt_text_printf(&list, "--%s", names[near]);
		code = lt_usage_error_near(lt_text_string(&list), "loomtag %s has no option --%s",
			command->name, name);
	} else {
		code = lt_usage_error(command->name, "loomtag %s has no option --%s", command->name,
			name);
	}
	lt_text_finish(&list);
	return code;
}

/* What getopt refused; `argument` is where it stood. */
static int refuse(const struct lt_command *command, const char *argument)
{
	if (optopt >= FIRST_LONG)
		return lt_usage_error(command->name, "--%s cannot have a value",
			lt_options[optopt - FIRST_LONG].name);
	if (argument[0] != '-' || argument[1] != '-')
		return lt_usage_error(command->name, "loomtag %s has no option -%c", command->name,
			optopt);
	char name[64];
	snprintf(name, sizeof(name), "%s", argument + 2);
	name[strcspn(name, "=")] = '\0';
	return unknown_option(command, name);
}

/* The option that getopt found; NULL for none. */
static const struct lt_option *option_found(int found)
{
	if (found >= FIRST_LONG)
		return &lt_options[found - FIRST_LONG];
	for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
		if (option->letter != 0 && option->letter == found)
			return option;
	}
	return NULL;
}

static int set_value(struct options *options, const struct lt_option *option,
	const struct lt_command *command)
{
	void *field = (char *)options + option->offset;
	if (option->value == NULL)
		*(bool *)field = true;
	else if (optarg[0] == '\0')
		return lt_usage_error(command->name, "--%s needs a value", option->name);
	else
		*(const char **)field = optarg;
	return EXIT_YES;
}

/* Whether a stream may be coloured: --color, then NO_COLOR, then whether it is a terminal. */
static bool may_colour(const char *when, int fd)
{
	if (when != NULL && strcmp(when, "auto") != 0)
		return strcmp(when, "always") == 0;
	const char *no_color = getenv("NO_COLOR");
	if (no_color != NULL && no_color[0] != '\0')
		return false;
	const char *term = getenv("TERM");
	return isatty(fd) == 1 && (term == NULL || strcmp(term, "dumb") != 0);
}

/* The name on the command line that getopt took for a long option. */
static size_t name_length(const char **name, const struct lt_option *option, char **argv)
{
	for (int back = 1; back <= 2 && back < optind; back++) {
		const char *argument = argv[optind - back];
		const size_t length = strcspn(argument, "=");
		if (length > 2 && strncmp(argument, "--", 2) == 0 &&
			strncmp(argument + 2, option->name, length - 2) == 0) {
			*name = argument + 2;
			return length - 2;
		}
	}
	*name = option->name;
	return strlen(option->name);
}

/* Whether an abbreviation is the whole name of an option that only other commands have. */
static bool is_of_others(const struct lt_option *option, char **argv)
{
	const char *name;
	const size_t length = name_length(&name, option, argv);
	for (const struct lt_option *other = lt_options; other->name != NULL; other++)
		if (other != option && strlen(other->name) == length &&
			strncmp(other->name, name, length) == 0)
			return true;
	return false;
}

static int refuse_of_others(const struct lt_command *command, const struct lt_option *option,
	char **argv)
{
	const char *name;
	const int length = (int)name_length(&name, option, argv);
	return lt_usage_error(command->name, "loomtag %s has no option --%.*s", command->name,
		length, name);
}

/* What getopt is told of the options of a command. */
static void list_options(struct option *longs, char *shorts, const struct lt_command *command)
{
	*shorts++ = ':';
	for (int i = 0; lt_options[i].name != NULL; i++) {
		const struct lt_option *option = &lt_options[i];
		const int has_value = option->value != NULL ? required_argument : no_argument;
		if (!has_option(command, option))
			continue;
		*longs++ = (struct option){ option->name, has_value, NULL, FIRST_LONG + i };
		if (option->letter != 0)
			*shorts++ = option->letter;
		if (option->letter != 0 && has_value == required_argument)
			*shorts++ = ':';
	}
}

static int read_options(struct options *out, const struct lt_command *command, int argc,
	char **argv)
{
	struct option longs[OPTIONS_MOST] = { { 0 } };
	char shorts[2 * OPTIONS_MOST] = "";
	list_options(longs, shorts, command);
	opterr = 0;
	optind = 1;
	int found;
	/* The argument being read is at optind before the call. */
	for (int at = optind; (found = getopt_long(argc, argv, shorts, longs, NULL)) != -1;
		at = optind) {
		const struct lt_option *option = option_found(found == ':' ? optopt : found);
		if (found == '?')
			return refuse(command, argv[optind > at ? optind - 1 : at]);
		if (found == ':' && optopt < FIRST_LONG)
			return lt_usage_error(command->name, "-%c needs a value", optopt);
		if (found == ':')
			return lt_usage_error(command->name, "--%s needs a value", option->name);
		if (found >= FIRST_LONG && is_of_others(option, argv))
			return refuse_of_others(command, option, argv);
		if (set_value(out, option, command) != EXIT_YES)
			return EXIT_USAGE;
	}
	return EXIT_YES;
}

int lt_options_read(struct options *out, const struct lt_command *command, int argc, char **argv)
{
	*out = (struct options){ .command = command->name };
	if (read_options(out, command, argc, argv) != EXIT_YES)
		return EXIT_USAGE;
	out->arguments = argv + optind;
	out->argument_count = argc - optind;
	if (out->color != NULL && strcmp(out->color, "auto") != 0 &&
		strcmp(out->color, "always") != 0 && strcmp(out->color, "never") != 0)
		return lt_usage_error(command->name,
			"--color must be auto, always or never, not \"%s\"", out->color);
	out->colour_out = may_colour(out->color, STDOUT_FILENO);
	out->colour_err = may_colour(out->color, STDERR_FILENO);
	return EXIT_YES;
}
