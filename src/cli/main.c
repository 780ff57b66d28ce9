/* loomtag: tags for the two halves of every joint, from the description to the last scan. */
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/help.h"

static int check_arguments(const struct lt_command *command, const struct options *options)
{
	if (options->argument_count < command->least)
		return lt_usage_error(command->name, "no %.*s given",
			(int)strcspn(command->arguments, " \n"), command->arguments);
	if (options->argument_count > command->most)
		return lt_usage_error(command->name, "too many arguments: \"%s\"",
			options->arguments[command->most]);
	return EXIT_YES;
}

static int run_command(const struct lt_command *command, int argc, char **argv)
{
	struct options options;
	if (lt_options_read(&options, command, argc, argv) != EXIT_YES)
		return EXIT_USAGE;
	if (options.help) {
		lt_help_command(stdout, command);
		return EXIT_YES;
	}
	if (options.version)
		command = lt_command_find("version");
	else if (check_arguments(command, &options) != EXIT_YES)
		return EXIT_USAGE;
	return command->run(&options);
}

static int run(int argc, char **argv)
{
	if (argc < 2) {
		/* Help for a person, an error for a script. */
		lt_help_overview(stderr, lt_commands);
		fputs("\nloomtag: error: no command given\n", stderr);
		return EXIT_USAGE;
	}
	const char *name = argv[1];
	if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
		name = "help";
	else if (strcmp(name, "--version") == 0)
		name = "version";
	const struct lt_command *command = lt_command_find(name);
	return command != NULL ? run_command(command, argc - 1, argv + 1) : EXIT_USAGE;
}

/* A standard stream that was closed must not lend its number to a file that is written: messages
 * would end up inside it. What is opened in its place can be read, so writing to it still fails. */
static bool occupy_standard_streams(void)
{
	int fd;
	do
		fd = open("/dev/null", O_RDONLY);
	while (fd >= 0 && fd <= STDERR_FILENO);
	if (fd < 0)
		return false;
	close(fd);
	return true;
}

int main(int argc, char **argv)
{
	if (!occupy_standard_streams())
		return EXIT_SYSTEM;
	int code = run(argc, argv);
	/* Output may still be waiting to be written, to a full disk or a closed pipe. */
	if ((fflush(stdout) != 0 || ferror(stdout)) && code != EXIT_USAGE) {
		fputs("loomtag: error: cannot write all of standard output\n", stderr);
		code = EXIT_SYSTEM;
	}
	return code;
}
