/* Ends a connection when its time has expired. */
#include <math.h>
#include <signal.h>
#include <sys/socket.h>
#include <time.h>

#include "print/deadline.h"

/* Seconds of a clock that nobody can set. */
static double now(void)
{
	struct timespec time;
	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec + (double)time.tv_nsec / 1e9;
}

static void *wait_for_end(void *data)
{
	struct deadline *deadline = data;
	pthread_mutex_lock(&deadline->lock);
	while (!deadline->over && now() < deadline->end) {
		double whole = floor(deadline->end);
		const struct timespec end = { (time_t)whole,
			(long)((deadline->end - whole) * 1e9) };
		pthread_cond_timedwait(&deadline->wake, &deadline->lock, &end);
	}
	if (!deadline->over) {
		deadline->expired = true;
		shutdown(deadline->fd, SHUT_RDWR);
	}
	pthread_mutex_unlock(&deadline->lock);
	return NULL;
}

void lt_deadline_begin(struct deadline *deadline, int fd, double seconds)
{
	*deadline = (struct deadline){ .fd = fd, .end = now() + seconds };
	pthread_condattr_t clock;
	pthread_condattr_init(&clock);
	pthread_condattr_setclock(&clock, CLOCK_MONOTONIC);
	pthread_mutex_init(&deadline->lock, NULL);
	pthread_cond_init(&deadline->wake, &clock);
	pthread_condattr_destroy(&clock);
	/* Signals are for the program, which may have to cancel the job. */
	sigset_t all;
	sigset_t before;
	sigfillset(&all);
	pthread_sigmask(SIG_SETMASK, &all, &before);
	deadline->running = pthread_create(&deadline->thread, NULL, wait_for_end, deadline) == 0;
	pthread_sigmask(SIG_SETMASK, &before, NULL);
}

void lt_deadline_restart(struct deadline *deadline, double seconds)
{
	pthread_mutex_lock(&deadline->lock);
	deadline->end = now() + seconds;
	pthread_mutex_unlock(&deadline->lock);
}

bool lt_deadline_end(struct deadline *deadline)
{
	pthread_mutex_lock(&deadline->lock);
	deadline->over = true;
	pthread_cond_signal(&deadline->wake);
	pthread_mutex_unlock(&deadline->lock);
	if (deadline->running)
		pthread_join(deadline->thread, NULL);
	pthread_cond_destroy(&deadline->wake);
	pthread_mutex_destroy(&deadline->lock);
	return deadline->expired;
}
