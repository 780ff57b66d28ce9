/* A terminal that gives each key at once, and is given back as it was. */
#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include "cli/raw_terminal.h"

/* Signals that end the program, or stop it for a while. */
static const int endings[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT };
enum { ENDINGS = sizeof(endings) / sizeof(endings[0]) };

/* A handler of signals and of exit is given no pointer, so this cannot be anybody's own. */
static struct {
	volatile sig_atomic_t on;
	int fd;
	struct termios before, raw;
	struct sigaction was[ENDINGS], was_stop, was_continue;
	bool at_exit;
} terminal;

/* From the background of its own terminal it would stop the program instead. */
static bool in_foreground(void)
{
	const pid_t group = tcgetpgrp(terminal.fd);
	return group < 0 || group == getpgrp();
}

static void put_back(void)
{
	if (terminal.on && in_foreground())
		tcsetattr(terminal.fd, TCSANOW, &terminal.before);
}

/* Puts the terminal back and lets the signal do what it did before. */
static void on_ending(int signal_number)
{
	const int error = errno;
	put_back();
	for (size_t i = 0; i < ENDINGS; i++)
		if (endings[i] == signal_number)
			sigaction(signal_number, &terminal.was[i], NULL);
	raise(signal_number); /* comes when this handler returns */
	errno = error;
}

static void on_continue(int signal_number)
{
	const int error = errno;
	(void)signal_number;
	if (terminal.on && in_foreground())
		tcsetattr(terminal.fd, TCSANOW, &terminal.raw);
	errno = error;
}

static void on_stop(int signal_number)
{
	const int error = errno;
	sigset_t set;
	struct sigaction mine;
	put_back();
	sigaction(signal_number, &terminal.was_stop, &mine);
	sigemptyset(&set);
	sigaddset(&set, signal_number);
	raise(signal_number);
	sigprocmask(SIG_UNBLOCK, &set, NULL); /* stops here */
	sigaction(signal_number, &mine, NULL);
	on_continue(SIGCONT);
	errno = error;
}

/* Leaves a signal alone that somebody wants ignored. */
static void handle(int signal_number, void (*handler)(int), struct sigaction *was)
{
	struct sigaction action = { .sa_handler = handler, .sa_flags = SA_RESTART };
	sigemptyset(&action.sa_mask);
	sigaction(signal_number, NULL, was);
	if (was->sa_handler != SIG_IGN)
		sigaction(signal_number, &action, NULL);
}

bool lt_raw_terminal_enter(int fd)
{
	if (terminal.on || tcgetattr(fd, &terminal.before) != 0)
		return false;
	terminal.fd = fd;
	terminal.raw = terminal.before;
	/* CR stays CR, so that LF behind it can be told from a second line. */
	terminal.raw.c_iflag &= ~(tcflag_t)(ICRNL | INLCR | IGNCR | ISTRIP);
	terminal.raw.c_lflag &= ~(tcflag_t)(ICANON | ECHO | ECHONL | IEXTEN);
	terminal.raw.c_lflag |= ISIG;
	terminal.raw.c_cc[VMIN] = 1;
	terminal.raw.c_cc[VTIME] = 0;
	if (!terminal.at_exit)
		terminal.at_exit = atexit(lt_raw_terminal_leave) == 0;
	for (size_t i = 0; i < ENDINGS; i++)
		handle(endings[i], on_ending, &terminal.was[i]);
	handle(SIGTSTP, on_stop, &terminal.was_stop);
	handle(SIGCONT, on_continue, &terminal.was_continue);
	terminal.on = true;
	/* What was typed before is kept. */
	if (tcsetattr(fd, TCSANOW, &terminal.raw) == 0)
		return true;
	lt_raw_terminal_leave();
	return false;
}

void lt_raw_terminal_leave(void)
{
	if (!terminal.on)
		return;
	put_back();
	terminal.on = false;
	for (size_t i = 0; i < ENDINGS; i++)
		sigaction(endings[i], &terminal.was[i], NULL);
	sigaction(SIGTSTP, &terminal.was_stop, NULL);
	sigaction(SIGCONT, &terminal.was_continue, NULL);
}
