/* A password, asked for at the terminal and not shown there. */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/signalfd.h>
#include <termios.h>
#include <unistd.h>

#include "cli/password.h"

/* Signals that would end the program, except those that it was started to ignore. */
static void list_ending(sigset_t *out)
{
	static const int signals[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT };
	sigemptyset(out);
	for (size_t i = 0; i < sizeof(signals) / sizeof(signals[0]); i++) {
		struct sigaction now;
		if (sigaction(signals[i], NULL, &now) == 0 && now.sa_handler != SIG_IGN)
			sigaddset(out, signals[i]);
	}
}

/* Reads a line without its end, of less than `size` bytes. False when one of some signals, which
 * are blocked, came first, or there is no whole line. */
static bool read_line(char *line, size_t size, int terminal, const sigset_t *ending)
{
	struct pollfd waits[] = {
		{ .fd = terminal, .events = POLLIN },
		{ .fd = signalfd(-1, ending, SFD_CLOEXEC), .events = POLLIN },
	};
	int ready;
	do
		ready = poll(waits, 2, -1);
	while (ready < 0 && errno == EINTR);
	close(waits[1].fd);
	/* A terminal gives whole lines. */
	bool typed = ready > 0 && waits[1].revents == 0;
	ssize_t length = typed ? read(terminal, line, size - 1) : -1;
	line[length > 0 ? length : 0] = '\0';
	char *end = strchr(line, '\n');
	if (end != NULL)
		*end = '\0';
	return end != NULL;
}

/* Reads a line from a terminal that does not show it. Signals that end the program are blocked
 * until the terminal shows again what is typed. */
static bool read_hidden(char *line, size_t size, int terminal, const char *prompt)
{
	struct termios shown;
	sigset_t ending;
	sigset_t mask;
	if (tcgetattr(terminal, &shown) != 0)
		return false;
	struct termios hidden = shown;
	hidden.c_lflag &= ~(tcflag_t)ECHO;
	list_ending(&ending);
	sigprocmask(SIG_BLOCK, &ending, &mask);
	bool good = tcsetattr(terminal, TCSAFLUSH, &hidden) == 0;
	if (good) {
		dprintf(terminal, "%s ", prompt);
		good = read_line(line, size, terminal, &ending);
		tcsetattr(terminal, TCSAFLUSH, &shown);
		dprintf(terminal, "\n");
	}
	sigprocmask(SIG_SETMASK, &mask, NULL);
	return good;
}

const char *lt_password(char *typed, size_t size, const char *prompt)
{
	const char *given = getenv("LOOMTAG_PASSWORD");
	if (given != NULL)
		return given;
	int terminal = open("/dev/tty", O_RDWR | O_NOCTTY | O_CLOEXEC);
	if (terminal < 0)
		return NULL;
	bool good = read_hidden(typed, size, terminal, prompt);
	close(terminal);
	return good ? typed : NULL;
}
