#include <math.h>
#include <signal.h>
#include <sys/socket.h>

#include "print/watch.h"

static struct timespec from_now(double seconds)
{
	struct timespec time;
	double whole = floor(seconds);
	clock_gettime(CLOCK_MONOTONIC, &time);
	time.tv_sec += (time_t)whole;
	time.tv_nsec += (long)((seconds - whole) * 1e9);
	if (time.tv_nsec >= 1000000000) {
		time.tv_nsec -= 1000000000;
		time.tv_sec++;
	}
	return time;
}

static bool is_past(const struct timespec *end)
{
	struct timespec now;
	clock_gettime(CLOCK_MONOTONIC, &now);
	return now.tv_sec > end->tv_sec ||
	       (now.tv_sec == end->tv_sec && now.tv_nsec >= end->tv_nsec);
}

static void *wait_for_end(void *data)
{
	struct watch *watch = data;
	pthread_mutex_lock(&watch->lock);
	while (!watch->over && !is_past(&watch->end))
		pthread_cond_timedwait(&watch->wake, &watch->lock, &watch->end);
	if (!watch->over) {
		watch->rang = true;
		shutdown(watch->fd, SHUT_RDWR);
	}
	pthread_mutex_unlock(&watch->lock);
	return NULL;
}

void lt_watch_begin(struct watch *watch, int fd, double seconds)
{
	*watch = (struct watch){ .fd = fd, .end = from_now(seconds) };
	pthread_condattr_t clock;
	pthread_condattr_init(&clock);
	pthread_condattr_setclock(&clock, CLOCK_MONOTONIC);
	pthread_mutex_init(&watch->lock, NULL);
	pthread_cond_init(&watch->wake, &clock);
	pthread_condattr_destroy(&clock);
	/* Signals are for the program, which may have to cancel the job. */
	sigset_t all;
	sigset_t before;
	sigfillset(&all);
	pthread_sigmask(SIG_SETMASK, &all, &before);
	watch->running = pthread_create(&watch->thread, NULL, wait_for_end, watch) == 0;
	pthread_sigmask(SIG_SETMASK, &before, NULL);
}

void lt_watch_again(struct watch *watch, double seconds)
{
	pthread_mutex_lock(&watch->lock);
	watch->end = from_now(seconds);
	pthread_mutex_unlock(&watch->lock);
}

bool lt_watch_end(struct watch *watch)
{
	pthread_mutex_lock(&watch->lock);
	watch->over = true;
	pthread_cond_signal(&watch->wake);
	pthread_mutex_unlock(&watch->lock);
	if (watch->running)
		pthread_join(watch->thread, NULL);
	pthread_cond_destroy(&watch->wake);
	pthread_mutex_destroy(&watch->lock);
	return watch->rang;
}
