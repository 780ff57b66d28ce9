/* A watch over a connection, for what drips in so slowly that no single wait is ever too long. */
#ifndef LOOMTAG_PRINT_WATCH_H
#define LOOMTAG_PRINT_WATCH_H

#include <pthread.h>
#include <stdbool.h>
#include <time.h>

#include "loomtag/print.h"

struct watch {
	pthread_t thread;
	pthread_mutex_t lock;
	pthread_cond_t wake;
	struct timespec end;
	int fd;
	bool running, over, rang;
};

/* Shuts the connection of `fd` down when `seconds` have passed, which ends every wait for it. The
 * struct stays where it is until lt_watch_end. */
void lt_watch_begin(struct watch *watch, int fd, double seconds);

/* Starts the time anew. */
void lt_watch_again(struct watch *watch, double seconds);

/* Ends the watch; true when its time had run out. */
bool lt_watch_end(struct watch *watch);

#endif
