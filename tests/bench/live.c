/* Scans typed at the live screen through a pseudo-terminal, each when the one before was answered:
 * from the last character to the question after the answer, which stands there once the scan is
 * kept. Prints the milliseconds of the median and of the slowest. SCANS is a file with a scan a
 * line that do not finish the stage; it is gone through again and again.
 * Usage: live PROGRAM DESCRIPTION SCANS HAZARDS TIMES */
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "loomtag/base.h"

#define ASKED "(help): "

static double now(void)
{
	struct timespec time;
	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static int by_size(const void *a, const void *b)
{
	const double *one = a, *other = b;
	return (*one > *other) - (*one < *other);
}

static void run_program(const char *terminal, const char *program, const char *description)
{
	setsid();
	const int fd = open(terminal, O_RDWR);
	if (fd >= 0 && dup2(fd, 0) == 0 && dup2(fd, 1) == 1 && dup2(fd, 2) == 2)
		execl(program, program, "verify", description, "--stage", "reconnect", "--who",
			"bench", "--new", (char *)NULL);
	_exit(127);
}

/* Reads on until `words` came; false when they do not within ten seconds. */
static bool wait_for(int fd, const char *words)
{
	enum { ROOM = 1 << 16 };
	static char came[ROOM + 1];
	size_t length = 0;
	for (;;) {
		struct pollfd asked = { .fd = fd, .events = POLLIN };
		if (length == ROOM || poll(&asked, 1, 10000) != 1)
			return false;
		const ssize_t count = read(fd, came + length, ROOM - length);
		if (count <= 0)
			return false;
		length += (size_t)count;
		came[length] = '\0';
		if (strstr(came, words) != NULL)
			return true;
	}
}

static bool type(int fd, const char *line, size_t length)
{
	char whole[128];
	if (length + 1 > sizeof(whole))
		return false;
	memcpy(whole, line, length);
	whole[length] = '\r';
	return write(fd, whole, length + 1) == (ssize_t)length + 1;
}

static bool begin(int fd, size_t hazards)
{
	for (size_t i = 0; i < hazards; i++)
		if (!wait_for(fd, "proved: ") || !type(fd, "yes", 3))
			return false;
	return wait_for(fd, ASKED);
}

static bool scan_all(int fd, const char *scans, double *took, size_t times)
{
	const char *at = scans;
	for (size_t i = 0; i < times; i++) {
		const size_t length = strcspn(at, "\n");
		const double start = now();
		if (length == 0 || !type(fd, at, length) || !wait_for(fd, ASKED))
			return false;
		took[i] = now() - start;
		at += length + (at[length] == '\n');
		if (*at == '\0')
			at = scans;
	}
	return true;
}

/* The program in a terminal; gives the end of it that a person has, or -1. */
static int open_terminal(pid_t *child, const char *program, const char *description)
{
	const int fd = posix_openpt(O_RDWR | O_NOCTTY);
	if (fd < 0 || grantpt(fd) != 0 || unlockpt(fd) != 0)
		return -1;
	*child = fork();
	if (*child == 0)
		run_program(ptsname(fd), program, description);
	return *child > 0 ? fd : -1;
}

/* Scans, and says how long it took. */
static bool measure(char **argv, const char *scans)
{
	enum { MOST = 10000 };
	static double took[MOST];
	const size_t times = strtoul(argv[5], NULL, 10);
	pid_t child = -1;
	if (times == 0 || times > MOST)
		return false;
	const int fd = open_terminal(&child, argv[1], argv[2]);
	if (fd < 0)
		return false;
	const bool good = begin(fd, strtoul(argv[4], NULL, 10)) && scan_all(fd, scans, took, times);
	kill(child, SIGKILL);
	waitpid(child, NULL, 0);
	if (!good)
		return false;
	qsort(took, times, sizeof(*took), by_size);
	printf("%.2f %.2f\n", took[times / 2], took[times - 1]);
	return true;
}

int main(int argc, char **argv)
{
	struct lt_diags diags;
	char *scans = NULL;
	size_t length;
	if (argc != 6)
		return 2;
	lt_diags_init(&diags);
	const bool good =
		lt_file_read(&scans, &length, argv[3], 1 << 20, &diags) && measure(argv, scans);
	free(scans);
	lt_diags_finish(&diags);
	return good ? 0 : 1;
}
