/* A deadline for a connection: data may arrive so slowly that no single wait is too long, but all
 * of them together are. */
#ifndef LOOMTAG_PRINT_DEADLINE_H
#define LOOMTAG_PRINT_DEADLINE_H

#include <pthread.h>
#include <stdbool.h>

struct deadline {
	pthread_t thread;
	pthread_mutex_t lock;
	pthread_cond_t wake;
	double end; /* seconds of the monotonic clock */
	int fd;
	bool running, over;
	bool expired; /* the connection was shut down */
};

/* Shuts the connection of `fd` down when `seconds` have passed, which ends every wait for it. The
 * struct stays where it is until lt_deadline_end. */
void lt_deadline_begin(struct deadline *deadline, int fd, double seconds);

/* Starts the time again. */
void lt_deadline_restart(struct deadline *deadline, double seconds);

/* Ends it; true when its time had expired. */
bool lt_deadline_end(struct deadline *deadline);

#endif
