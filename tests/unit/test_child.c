/* Work in a child process: whatever happens to it, the parent gets a result and continues. */
#include "unit/unit.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "loomtag/base.h"
#include "photo/child.h"

static const struct lt_child_limits plenty = {
	.seconds = 20, .memory = (size_t)2000 << 20, .answer = 1 << 20
};

static void say_it(struct lt_text *answer, void *data)
{
	lt_text_add(answer, data);
}

static void say_much(struct lt_text *answer, void *data)
{
	lt_text_add_times(answer, 'x', *(const size_t *)data);
}

static void be_led_astray(struct lt_text *answer, void *data)
{
	lt_text_add(answer, "half an ans");
	raise(*(const int *)data);
}

static void leave(struct lt_text *answer, void *data)
{
	(void)data;
	lt_text_add(answer, "half an ans");
	exit(0);
}

static void print_something(struct lt_text *answer, void *data)
{
	(void)data;
	puts("this is not for the parent's output");
	fprintf(stderr, "nor is this\n");
	fflush(NULL);
	lt_text_add(answer, "done");
}

static void never_end(struct lt_text *answer, void *data)
{
	(void)answer;
	(void)data;
	lt_child_hurry(0);
	for (volatile unsigned i = 0;; i++)
		;
}

/* The address sanitizer, under which there is no limit, refuses no less than terabytes. */
#ifdef __SANITIZE_ADDRESS__
static const size_t too_large = (size_t)1 << 60;
#else
static const size_t too_large = (size_t)3000 << 20;
#endif

static void take_all_memory(struct lt_text *answer, void *data)
{
	(void)data;
	free(lt_alloc(too_large));
	lt_text_add(answer, "there is enough");
}

/* Runs the work and has what it answered; nothing of the child is left behind. */
static void assert_run(enum lt_child_end expected, const char *text, lt_child_work *work,
	void *data)
{
	struct lt_text answer;
	assert_int_equal(lt_child_run(&answer, &plenty, work, data), expected);
	assert_string_equal(lt_text_string(&answer), text);
	assert_int_equal(answer.length, strlen(text));
	lt_text_finish(&answer);
	assert_int_equal(waitpid(-1, NULL, WNOHANG), -1);
	assert_int_equal(errno, ECHILD);
}

static void answers_come_whole(void **state)
{
	(void)state;
	char nothing[] = "", something[] = "12HRV3J";
	assert_run(LT_CHILD_DONE, nothing, say_it, nothing);
	assert_run(LT_CHILD_DONE, something, say_it, something);
	/* More than a pipe holds. */
	size_t much = 1 << 20;
	struct lt_text answer;
	assert_int_equal(lt_child_run(&answer, &plenty, say_much, &much), LT_CHILD_DONE);
	assert_int_equal(answer.length, much);
	lt_text_finish(&answer);
}

static void incomplete_answers_are_refused(void **state)
{
	(void)state;
	int signals[] = { SIGSEGV, SIGABRT, SIGKILL, SIGBUS };
	for (size_t i = 0; i < sizeof(signals) / sizeof(signals[0]); i++)
		assert_run(LT_CHILD_FAILED, "", be_led_astray, &signals[i]);
	assert_run(LT_CHILD_FAILED, "", leave, NULL);
	size_t too_much = plenty.answer + 1;
	assert_run(LT_CHILD_FAILED, "", say_much, &too_much);
}

static void endless_work_is_stopped(void **state)
{
	(void)state;
	assert_run(LT_CHILD_SLOW, "", never_end, NULL);
}

static void memory_is_limited(void **state)
{
	(void)state;
	assert_run(LT_CHILD_FAILED, "", take_all_memory, NULL);
}

/* As a program that started this one may want it. */
static void works_when_sigchld_is_ignored(void **state)
{
	(void)state;
	char text[] = "12HRV3J";
	int number = SIGSEGV;
	signal(SIGCHLD, SIG_IGN);
	assert_run(LT_CHILD_DONE, text, say_it, text);
	assert_run(LT_CHILD_FAILED, "", be_led_astray, &number);
	signal(SIGCHLD, SIG_DFL);
}

/* What the parent does when it ends, in a process of its own: writes to a pipe. */
static int handler_pipe = -1;

static void tell_of_the_end(void)
{
	if (write(handler_pipe, "end\n", 4) != 4)
		abort();
}

static _Noreturn void be_parent(int out)
{
	handler_pipe = out;
	dup2(out, STDOUT_FILENO);
	dup2(out, STDERR_FILENO);
	atexit(tell_of_the_end);
	printf("once\n"); /* not written yet when the child is started */
	struct lt_text answer;
	lt_child_run(&answer, &plenty, print_something, NULL);
	lt_text_finish(&answer);
	lt_child_run(&answer, &plenty, leave, NULL);
	lt_text_finish(&answer);
	fflush(stdout);
	tell_of_the_end();
	_exit(0);
}

static void a_child_prints_nothing_and_runs_no_exit_handlers(void **state)
{
	(void)state;
	int ends[2];
	assert_int_equal(pipe(ends), 0);
	fflush(NULL);
	const pid_t parent = fork();
	if (parent == 0) {
		close(ends[0]);
		be_parent(ends[1]);
	}
	close(ends[1]);
	char said[256];
	size_t length = 0;
	ssize_t got;
	while (length < sizeof(said) - 1 &&
		(got = read(ends[0], said + length, sizeof(said) - 1 - length)) > 0)
		length += (size_t)got;
	said[length] = '\0';
	close(ends[0]);
	assert_int_equal(waitpid(parent, NULL, 0), parent);
	assert_string_equal(said, "once\nend\n");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(answers_come_whole),
		cmocka_unit_test(incomplete_answers_are_refused),
		cmocka_unit_test(endless_work_is_stopped),
		cmocka_unit_test(memory_is_limited),
		cmocka_unit_test(works_when_sigchld_is_ignored),
		cmocka_unit_test(a_child_prints_nothing_and_runs_no_exit_handlers),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
