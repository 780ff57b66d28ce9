/* A deadline for a connection, for what drips in so slowly that no single wait is ever too long. */
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
	bool running, over, rang;
};

/* Shuts the connection of `fd` down when `seconds` have passed, which ends every wait for it. The
 * struct stays where it is until lt_deadline_end. */
void lt_deadline_begin(struct deadline *deadline, int fd, double seconds);

/* Starts the time anew. */
void lt_deadline_again(struct deadline *deadline, double seconds);

/* Ends it; true when its time had run out. */
bool lt_deadline_end(struct deadline *deadline);

#endif
