/* A store of jobs: the functions that each kind of store must have. The chain of digests, what is
 * refused, and the check of a job are the same for all: see db.c and chain.c.
 *
 * To add a store: fill a struct lt_job_db in a file of its own, as db_sqlite_open.c does, choose
 * it in lt_job_db_open, and run tests/unit/store_conformance.h on it. */
#ifndef LOOMTAG_JOB_DB_H
#define LOOMTAG_JOB_DB_H

#include "loomtag/job.h"

/* The end of a job, to which the next event is appended. */
struct lt_job_end {
	bool exists;              /* there is such a job */
	bool closed;              /* it takes no event */
	size_t counted;           /* how many events there were, also where some are gone */
	unsigned long long event; /* id of the last that is there; 0: there is none */
	char digest[65];          /* of that event */
};

/* Functions return false with an error that says what to do, naming the store. What is read is from
 * the arena that is given. A failure leaves what the transaction did so far to be abandoned. */
struct lt_job_db {
	void (*close)(void *data);

	/* One transaction at a time, which has the store to itself. Committed is on disk. */
	bool (*begin)(void *data, struct lt_diags *diags);
	bool (*commit)(void *data, struct lt_diags *diags);
	void (*abandon)(void *data); /* also where there is none */
	bool (*in_transaction)(void *data);

	/* Whether another connection changed anything since this was last asked; cheap. */
	bool (*changed)(void *data);
	/* Whether it is still the store that was opened. Empties the cache, so that the next
	 * read is from the file. */
	bool (*still_there)(void *data, struct lt_diags *diags);

	/* Jobs, newest first: of a harness and unit, or all where `code` is NULL; with this id,
	 * or all where it is 0. */
	bool (*jobs)(struct lt_job **out, size_t *count, void *data, const char *code,
		unsigned long long id, struct lt_arena *arena, struct lt_diags *diags);
	/* The events of a job behind the first `known`, in order. */
	bool (*events)(struct lt_job_event **out, size_t *count, void *data, unsigned long long job,
		size_t known, struct lt_arena *arena, struct lt_diags *diags);

	/* Within a transaction. The open job of a harness and unit; *id 0: there is none. */
	bool (*open_job)(unsigned long long *id, void *data, const char *code,
		struct lt_diags *diags);
	/* A new job without events, open. Its origin is its id. */
	bool (*new_job)(unsigned long long *id, void *data, const struct lt_job *job,
		unsigned station, struct lt_diags *diags);
	/* A station that nobody had; *station 0: there is no such job. */
	bool (*station)(unsigned *station, void *data, unsigned long long job,
		struct lt_diags *diags);
	bool (*end)(struct lt_job_end *out, void *data, unsigned long long job,
		struct lt_diags *diags);
	/* Appends an event with its id and digest as the `seq`th of a job, counted from 1;
	 * LT_JOB_CLOSED closes the job. Refuses a `seq` that is not the next, a closed job, an
	 * empty `who`, a time outside of 1970 to 9999 and station 0. */
	bool (*append)(void *data, unsigned long long job, size_t seq,
		const struct lt_job_event *event, struct lt_diags *diags);

	const char *name; /* in messages */
	void *data;
};

/* Opens a file of SQLite's, as lt_job_db_open says. */
bool lt_sqlite_open(struct lt_job_db *out, const char *path, bool make, struct lt_diags *diags);

/* Gives up what the transaction did, if there is one. */
void lt_job_db_abandon(struct lt_job_db *db);

/* Within a transaction: the open job of a harness and unit, *id 0 where there is none (there is
 * never more than one). */
bool lt_job_db_open_job(unsigned long long *id, struct lt_job_db *db, const char *code,
	struct lt_diags *diags);

/* Within a transaction: a new job with its first event, LT_JOB_OPENED. Error: there is an open one
 * already. `job` gives code, harness, unit, title, revision; `first` who, at (which is also when
 * the job was opened), station and stage. */
bool lt_job_db_new_job(unsigned long long *id, struct lt_job_db *db, const struct lt_job *job,
	const struct lt_job_event *first, struct lt_diags *diags);

/* Whether the store is still the one that was opened, and event `known` of a job, counted from 1,
 * still has this digest. False with an error if the store was replaced by an older copy, moved or
 * deleted. Reads the file, not a cache. Within a transaction or not. */
bool lt_job_db_still_has(struct lt_job_db *db, unsigned long long job, size_t known,
	const char *digest, struct lt_diags *diags);

/* The digest of a job's own fields, from which its chain begins; false when SHA-256 is not to be
 * had. */
bool lt_job_digest_first(char out[65], const struct lt_job *job);
/* The digest of an event that follows the digest `before`, which may be `out`. */
bool lt_job_digest_event(char out[65], const char *before, const struct lt_job_event *event);

#endif
