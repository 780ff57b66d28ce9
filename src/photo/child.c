/* A child process with limits of time and memory, in which pictures are read. */
#include "photo/child.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* The address sanitizer reserves terabytes, and makes the work slower. */
#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#ifndef SANITIZED
#define SANITIZED 0
#endif

enum { SLOWER = SANITIZED ? 3 : 1 };

/* Ends a whole answer, so that one that was cut short is known even where the exit status is not.
 */
static const char mark[] = "whole";

/* Lowers a limit, and what of it could be taken back. */
static void limit(int resource, rlim_t soft, rlim_t hard)
{
	struct rlimit now;
	if (getrlimit(resource, &now) != 0)
		return;
	if (now.rlim_max > hard)
		now.rlim_max = hard;
	if (now.rlim_cur > soft)
		now.rlim_cur = soft;
	if (now.rlim_cur > now.rlim_max)
		now.rlim_cur = now.rlim_max;
	setrlimit(resource, &now);
}

/* At the soft limit the child gets SIGXCPU, by which the parent knows; a second later it is killed
 * in any case. */
static void limit_time(rlim_t seconds)
{
	limit(RLIMIT_CPU, seconds, seconds + 1);
}

void lt_child_hurry(unsigned seconds)
{
	struct rusage used;
	if (getrusage(RUSAGE_SELF, &used) != 0)
		return;
	/* Limits are whole seconds: those begun count as one. */
	const rlim_t so_far = (rlim_t)used.ru_utime.tv_sec + (rlim_t)used.ru_stime.tv_sec + 1;
	limit_time(so_far + (rlim_t)seconds * SLOWER);
}

/* The parent's handlers put its terminal in order, which is not for the child to do. */
static void forget_handlers(void)
{
	static const int all[] = { SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGCONT, SIGXCPU,
		SIGWINCH };
	for (size_t i = 0; i < sizeof(all) / sizeof(all[0]); i++)
		signal(all[i], SIG_DFL);
	signal(SIGPIPE, SIG_IGN);
	sigset_t none;
	sigemptyset(&none);
	sigprocmask(SIG_SETMASK, &none, NULL);
}

/* Discards what libraries print about broken pictures. */
static void discard_output(void)
{
	const int nowhere = open("/dev/null", O_RDWR);
	for (int stream = 0; stream <= 2; stream++)
		if (nowhere < 0 || dup2(nowhere, stream) < 0)
			close(stream);
}

/* Runs before the parent's handlers, which were registered earlier, and instead of them. */
static void end_at_once(void)
{
	_exit(1);
}

/* Where memory runs out within the work, exit() is called; what the parent wants done at its own
 * end must not be done here, nor may what it has not written yet be written twice. */
static _Noreturn void be_child(int pipe, const struct lt_child_limits *limits, lt_child_work *work,
	void *data)
{
	FILE *out = fdopen(fcntl(pipe, F_DUPFD, 3), "w");
	if (out == NULL || atexit(end_at_once) != 0)
		_exit(1);
	forget_handlers();
	discard_output();
	limit(RLIMIT_CORE, 0, 0);
	if (!SANITIZED)
		limit(RLIMIT_AS, limits->memory, limits->memory);
	limit_time((rlim_t)limits->seconds * SLOWER);
	struct lt_text answer = { 0 };
	work(&answer, data);
	fwrite(lt_text_string(&answer), 1, answer.length, out);
	fwrite(mark, 1, sizeof(mark), out);
	_exit(fflush(out) == 0 && ferror(out) == 0 ? 0 : 1);
}

static long long now_ms(void)
{
	struct timespec time;
	clock_gettime(CLOCK_MONOTONIC, &time);
	return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000;
}

/* Takes in what comes until the pipe is closed; false when it does not end in time, or is more
 * than an answer may be. */
static bool take(struct lt_text *answer, int pipe, long long deadline, size_t most)
{
	char bytes[4096];
	for (;;) {
		const long long left = deadline - now_ms();
		struct pollfd wait = { .fd = pipe, .events = POLLIN };
		const int ready = left > 0 ? poll(&wait, 1, (int)left) : 0;
		if (ready < 0 && errno == EINTR)
			continue;
		if (ready <= 0)
			return false;
		const ssize_t got = read(pipe, bytes, sizeof(bytes));
		if (got < 0 && errno == EINTR)
			continue;
		if (got <= 0)
			return got == 0;
		if (answer->length + (size_t)got > most + sizeof(mark))
			return false;
		lt_text_add_bytes(answer, bytes, (size_t)got);
	}
}

/* True for an answer that is whole, and takes the mark off it. */
static bool is_whole(struct lt_text *answer)
{
	if (answer->length < sizeof(mark))
		return false;
	const size_t length = answer->length - sizeof(mark);
	if (memcmp(answer->bytes + length, mark, sizeof(mark)) != 0)
		return false;
	answer->length = length;
	answer->bytes[length] = '\0';
	return true;
}

/* True when the child was stopped for its time. Its status may have gone to somebody who ignores
 * the ends of children. */
static bool was_slow(pid_t child)
{
	int status = 0;
	pid_t ended;
	do
		ended = waitpid(child, &status, 0);
	while (ended < 0 && errno == EINTR);
	return ended == child && WIFSIGNALED(status) && WTERMSIG(status) == SIGXCPU;
}

enum lt_child_end lt_child_run(struct lt_text *answer, const struct lt_child_limits *limits,
	lt_child_work *work, void *data)
{
	int ends[2];
	*answer = (struct lt_text){ 0 };
	if (pipe(ends) != 0)
		return LT_CHILD_NONE;
	const long long deadline = now_ms() + (long long)limits->seconds * SLOWER * 3 * 1000;
	const pid_t child = fork();
	if (child == 0) {
		close(ends[0]);
		be_child(ends[1], limits, work, data);
	}
	const int error = errno;
	close(ends[1]);
	if (child < 0) {
		close(ends[0]);
		errno = error;
		return LT_CHILD_NONE;
	}
	const bool ended = take(answer, ends[0], deadline, limits->answer);
	const bool late = !ended && now_ms() >= deadline;
	close(ends[0]);
	if (!ended)
		kill(child, SIGKILL);
	const bool slow = was_slow(child) || late;
	if (ended && is_whole(answer))
		return LT_CHILD_DONE;
	lt_text_clear(answer);
	return slow ? LT_CHILD_SLOW : LT_CHILD_FAILED;
}
