/* Runs a command a number of times and prints its best: seconds by the clock, seconds of the
 * processor, and the most memory that any run took, in MB. Usage: measure TIMES COMMAND... */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

struct cost {
	double clock;
	double processor;
	double megabytes;
};

static double seconds(struct timeval time)
{
	return (double)time.tv_sec + (double)time.tv_usec / 1e6;
}

static double now(void)
{
	struct timespec time;
	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

/* The memory is that of the largest child so far, which is what is wanted. */
static int run(struct cost *cost, char **command)
{
	struct rusage before, after;
	getrusage(RUSAGE_CHILDREN, &before);
	double start = now();
	pid_t child = fork();
	if (child == 0) {
		execvp(command[0], command);
		perror(command[0]);
		_exit(127);
	}
	int status = 1;
	if (child < 0 || waitpid(child, &status, 0) != child || status != 0)
		return 1;
	cost->clock = now() - start;
	getrusage(RUSAGE_CHILDREN, &after);
	cost->processor = seconds(after.ru_utime) + seconds(after.ru_stime) -
			  seconds(before.ru_utime) - seconds(before.ru_stime);
	cost->megabytes = (double)after.ru_maxrss / 1024;
	return 0;
}

int main(int argc, char **argv)
{
	int times = argc > 2 ? (int)strtol(argv[1], NULL, 10) : 0;
	if (times < 1) {
		fprintf(stderr, "usage: measure TIMES COMMAND...\n");
		return 2;
	}
	struct cost best = { 0 };
	for (int i = 0; i < times; i++) {
		struct cost cost;
		if (run(&cost, argv + 2) != 0) {
			fprintf(stderr, "measure: %s failed\n", argv[2]);
			return 1;
		}
		if (i == 0 || cost.clock < best.clock)
			best.clock = cost.clock;
		if (i == 0 || cost.processor < best.processor)
			best.processor = cost.processor;
		best.megabytes = cost.megabytes;
	}
	printf("%.3f %.3f %.1f\n", best.clock, best.processor, best.megabytes);
	return 0;
}
