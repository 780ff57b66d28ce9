/* Writes what the tables of commands and options say into the manual page and the completions:
 * copies a template from standard input to standard output, and puts a part in place of each line
 * that is nothing but @PART@. It is run when the program is built, and not installed. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "loomtag/cli.h"

enum { COLUMNS = 78 };

/* help and version take no part in the work. */
static bool is_about_program(const struct lt_command *command)
{
	return strcmp(command->name, "help") == 0 || strcmp(command->name, "version") == 0;
}

/* An option of every command, which is not listed by command. */
static bool is_common(const struct lt_option *option)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		if (!is_about_program(command) && lt_option_use(option, command->bit) == NULL)
			return false;
	}
	return true;
}

/* Text for mdoc: what would be a request or an escape is none, options are bold. */
static void add_mdoc(struct lt_text *out, const char *text)
{
	bool bold = false;
	for (const char *c = text; *c != '\0'; c++) {
		const bool starts = c == text || c[-1] == ' ' || c[-1] == '(';
		if (starts && *c == '-' && (c[1] == '-' || isalpha((unsigned char)c[1]))) {
			lt_text_add(out, "\\fB");
			bold = true;
		} else if (bold && *c != '-' && !isalnum((unsigned char)*c)) {
			lt_text_add(out, "\\fR");
			bold = false;
		}
		if (starts && (*c == '.' || *c == '\''))
			lt_text_add(out, "\\&");
		if (*c == '-' || *c == '\\')
			lt_text_add_char(out, '\\');
		lt_text_add_char(out, *c == '\\' ? 'e' : *c);
	}
	if (bold)
		lt_text_add(out, "\\fR");
}

/* One paragraph of mdoc, each sentence on lines of its own. */
static void print_mdoc(const char *text, size_t length)
{
	struct lt_text sentence = { 0 }, words = { 0 }, lines = { 0 };
	for (const char *end = text + length; text < end;) {
		const char *stop = text;
		while (stop < end && !(*stop == '.' && (stop + 1 == end || stop[1] == ' ')))
			stop++;
		stop += stop < end;
		lt_text_clear(&sentence);
		lt_text_clear(&words);
		lt_text_clear(&lines);
		lt_text_add_bytes(&sentence, text, (size_t)(stop - text));
		add_mdoc(&words, lt_text_string(&sentence));
		lt_text_wrap(&lines, lt_text_string(&words), COLUMNS, 0);
		fputs(lt_text_string(&lines), stdout);
		for (text = stop; text < end && *text == ' ';)
			text++;
	}
	lt_text_finish(&sentence);
	lt_text_finish(&words);
	lt_text_finish(&lines);
}

/* One form of a command: "FILE [SCANS]" as "Ar FILE Op Ar SCANS". */
static void print_form(const char *form, size_t length)
{
	for (const char *end = form + length; form < end; form += *form == ' ') {
		size_t word = strcspn(form, " \n");
		if (form + word > end)
			word = (size_t)(end - form);
		const char *const next = form + word;
		if (*form == '[') {
			printf(" Op");
			form++;
			word -= 2;
		}
		const bool many = word > 3 && strncmp(form + word - 3, "...", 3) == 0;
		const int shown = (int)(many ? word - 3 : word);
		if (*form == '-')
			printf(" Fl %.*s", shown - 1, form + 1);
		else
			printf(" %s %.*s%s", isupper((unsigned char)*form) ? "Ar" : "Cm", shown,
				form, many ? " ..." : "");
		form = next;
	}
}

static void print_option_names(const struct lt_command *command)
{
	const char *before = "";
	for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
		if (lt_option_use(option, command->bit) == NULL || is_common(option))
			continue;
		if (before[0] == '\0')
			printf(".Pp\nOptions:\n");
		printf("%s.Fl -%s", before, option->name);
		before = " ,\n";
	}
	if (before[0] != '\0')
		printf(" .\n");
}

static void print_mdoc_commands(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		printf(".Ss %s\n", command->name);
		for (const char *form = command->arguments;; form++) {
			const size_t length = strcspn(form, "\n");
			printf(".D1 Nm loomtag Cm %s", command->name);
			print_form(form, length);
			printf("\n");
			form += length;
			if (*form == '\0')
				break;
		}
		for (const char *text = command->help; *text != '\0';) {
			const char *end = strstr(text, "\n\n");
			const size_t length = end != NULL ? (size_t)(end - text) : strlen(text);
			printf(".Pp\n");
			print_mdoc(text, length);
			text += length + (end != NULL ? 2 : 0);
		}
		print_option_names(command);
	}
}

/* "Cm quick , Cm stickers": the commands of a use. */
static void print_users(const struct lt_option_use *use)
{
	const char *before = "";
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		if ((use->commands & command->bit) == 0)
			continue;
		printf("%s Cm %s", before, command->name);
		before = " ,";
	}
}

static void print_mdoc_option(const struct lt_option *option)
{
	printf(".It");
	if (option->letter != 0)
		printf(" Fl %c ,", option->letter);
	printf(" Fl -%s", option->name);
	if (option->value != NULL)
		printf(" Ns = Ns Ar %s", option->value);
	printf("\n");
	if (is_common(option) && option->uses[1].commands == 0) {
		print_mdoc(option->uses[0].help, strlen(option->uses[0].help));
		return;
	}
	printf(".Bl -tag -width checklist -compact\n");
	for (size_t i = 0; option->uses[i].commands != 0; i++) {
		printf(".It");
		print_users(&option->uses[i]);
		printf("\n");
		print_mdoc(option->uses[i].help, strlen(option->uses[i].help));
	}
	printf(".El\n");
}

static void print_mdoc_options(void)
{
	printf(".Bl -tag -width Ds\n");
	for (const struct lt_option *option = lt_options; option->name != NULL; option++)
		print_mdoc_option(option);
	printf(".El\n");
}

/* In single quotes of a shell. */
static void print_quoted(const char *text)
{
	putchar('\'');
	for (const char *c = text; *c != '\0'; c++)
		fputs(*c == '\'' ? "'\\''" : (const char[]){ *c, '\0' }, stdout);
	putchar('\'');
}

static void print_command_names(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++)
		printf("\t%s\n", command->name);
}

/* The options that need a value, so that what follows them is no argument. */
static void print_valued(void)
{
	for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
		if (option->value != NULL && option->letter != 0)
			printf("\t-%c\n", option->letter);
		if (option->value != NULL)
			printf("\t--%s\n", option->name);
	}
}

/* Branches of `case $command`: the names of its options. */
static void print_bash_options(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		printf("\t%s) echo '", command->name);
		const char *before = "";
		for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
			if (lt_option_use(option, command->bit) == NULL)
				continue;
			if (option->letter != 0)
				printf("%s-%c --%s", before, option->letter, option->name);
			else
				printf("%s--%s", before, option->name);
			before = " ";
		}
		printf("' ;;\n");
	}
}

/* Branches of `case $command:$option`: what can be offered for its value. */
static void print_bash_values(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
			const struct lt_option_use *use = lt_option_use(option, command->bit);
			if (use == NULL || use->values == NULL)
				continue;
			printf("\t%s:--%s", command->name, option->name);
			if (option->letter != 0)
				printf(" | %s:-%c", command->name, option->letter);
			printf(") echo '%s' ;;\n", use->values);
		}
	}
}

/* Branches of `case $command:first` and `:later`: what can be offered for an argument. */
static void print_bash_arguments(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		if (command->first != NULL)
			printf("\t%s:first) echo '%s' ;;\n", command->name, command->first);
		if (command->later != NULL)
			printf("\t%s:later) echo '%s' ;;\n", command->name, command->later);
	}
}

/* Elements of an array, for _describe. */
static void print_zsh_commands(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		struct lt_text text = { 0 };
		lt_text_printf(&text, "%s:%s", command->name, command->summary);
		printf("\t");
		print_quoted(lt_text_string(&text));
		printf("\n");
		lt_text_finish(&text);
	}
}

/* One element of _arguments, for an option by one of its names. */
static void print_zsh_option(const struct lt_option *option, const struct lt_option_use *use,
	const char *name, const char *end)
{
	struct lt_text text = { 0 };
	if (option->letter != 0)
		lt_text_printf(&text, "(-%c --%s)", option->letter, option->name);
	lt_text_printf(&text, "%s%s[", name, option->value != NULL ? end : "");
	for (const char *c = use->help; *c != '\0'; c++) {
		if (*c == '[' || *c == ']' || *c == '\\')
			lt_text_add_char(&text, '\\');
		lt_text_add_char(&text, *c);
	}
	lt_text_add(&text, "]");
	if (option->value != NULL)
		lt_text_printf(&text, ":%s:{_loomtag_offer \"%s\"}", option->value,
			use->values != NULL ? use->values : "");
	printf("\t\t");
	print_quoted(lt_text_string(&text));
	printf("\n");
	lt_text_finish(&text);
}

/* Branches of `case $command`: its options and arguments, for _arguments. */
static void print_zsh_arguments(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		printf("\t%s) arguments=(\n", command->name);
		for (const struct lt_option *option = lt_options; option->name != NULL; option++) {
			const struct lt_option_use *use = lt_option_use(option, command->bit);
			struct lt_text name = { 0 };
			if (use != NULL && option->letter != 0)
				print_zsh_option(option, use,
					(const char[]){ '-', option->letter, '\0' }, "+");
			lt_text_printf(&name, "--%s", option->name);
			if (use != NULL)
				print_zsh_option(option, use, lt_text_string(&name), "=");
			lt_text_finish(&name);
		}
		if (command->most > 0)
			printf("\t\t'1:argument:{_loomtag_offer \"%s\"}'\n",
				command->first != NULL ? command->first : "");
		if (command->most > 1)
			printf("\t\t'*:argument:{_loomtag_offer \"%s\"}'\n",
				command->later != NULL ? command->later : "");
		printf("\t\t) ;;\n");
	}
}

static void print_fish_option(const struct lt_command *command, const struct lt_option *option)
{
	const struct lt_option_use *use = lt_option_use(option, command->bit);
	if (use == NULL)
		return;
	printf("complete -c loomtag -n '__loomtag_is %s' -l %s", command->name, option->name);
	if (option->letter != 0)
		printf(" -s %c", option->letter);
	if (option->value != NULL)
		printf(" -x");
	if (use->values != NULL)
		printf(" -a '(__loomtag_offer \"%s\")'", use->values);
	printf(" -d ");
	print_quoted(use->help);
	printf("\n");
}

/* A `complete` for each command, option and argument. */
static void print_fish(void)
{
	for (const struct lt_command *command = lt_commands; command->name != NULL; command++) {
		printf("complete -c loomtag -n __loomtag_is_bare -a %s -d ", command->name);
		print_quoted(command->summary);
		printf("\n");
		for (const struct lt_option *option = lt_options; option->name != NULL; option++)
			print_fish_option(command, option);
		if (command->first != NULL)
			printf("complete -c loomtag -n '__loomtag_is %s first' "
			       "-a '(__loomtag_offer \"%s\")'\n",
				command->name, command->first);
		if (command->later != NULL)
			printf("complete -c loomtag -n '__loomtag_is %s later' "
			       "-a '(__loomtag_offer \"%s\")'\n",
				command->name, command->later);
	}
}

/* Copies a line, with the program's version in place of @version@. */
static void copy_line(const char *line)
{
	const char *at = strstr(line, "@version@");
	if (at == NULL)
		fputs(line, stdout);
	else
		printf("%.*s%s%s", (int)(at - line), line, LT_VERSION, at + strlen("@version@"));
}

int main(void)
{
	static const struct {
		const char *name;
		void (*print)(void);
	} parts[] = {
		{ "@mdoc-commands@\n", print_mdoc_commands },
		{ "@mdoc-options@\n", print_mdoc_options },
		{ "@command-names@\n", print_command_names },
		{ "@valued@\n", print_valued },
		{ "@bash-options@\n", print_bash_options },
		{ "@bash-values@\n", print_bash_values },
		{ "@bash-arguments@\n", print_bash_arguments },
		{ "@zsh-commands@\n", print_zsh_commands },
		{ "@zsh-arguments@\n", print_zsh_arguments },
		{ "@fish@\n", print_fish },
	};
	enum { PARTS = sizeof(parts) / sizeof(parts[0]) };
	char line[1024];
	while (fgets(line, sizeof(line), stdin) != NULL) {
		size_t part = 0;
		while (part < PARTS && strcmp(line, parts[part].name) != 0)
			part++;
		if (part < PARTS)
			parts[part].print();
		else
			copy_line(line);
	}
	return ferror(stdin) || fflush(stdout) != 0 || ferror(stdout) ? EXIT_FAILURE : EXIT_SUCCESS;
}
