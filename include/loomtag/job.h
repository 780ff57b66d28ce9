/* Jobs: what happened while one module was taken out and put back, kept in SQLite (bench.db).
 *
 * A job is a list of events, never changed and never removed, in one order for all who work on it.
 * What was committed is on disk when the call returns. Each event is a fact: a scan carries its
 * verdict, and what it was judged by is an event before it. Everything else about a job follows
 * from its events: see job_state.h.
 *
 * The chain of digests, by which a later change of an event shows. Each digest is SHA-256 (FIPS
 * 180-4), in lower-case hex, over a row of fields without anything between them. A field is its
 * length in bytes as a decimal number, a colon, its bytes (UTF-8) and a comma: "3:tag,"; one that
 * is not there is "-,". Numbers are in decimal. The fields of
 *   a job's own digest: "job", origin, code, harness, unit, title, revision, opened;
 *   an event's: the digest of the job's event before it (of the first: the job's own), id, at, who,
 *     station, kind, stage, text, tag, verdict, number, typed (0 or 1).
 * The chain alone does not tell when its end is cut off: for that each job counts its events. Who
 * can write the database can also write a new chain and another count: only the last digest kept
 * elsewhere, as on a printed record, shows that. */
#ifndef LOOMTAG_JOB_H
#define LOOMTAG_JOB_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"
#include "loomtag/verify.h"

/* Of the tables; kept in the database's user_version. */
#define LT_BENCH_VERSION 2

enum lt_job_event_kind {
	LT_JOB_OPENED, /* text: the title of the harness, as it was */
	LT_JOB_STAGE,  /* the stage that begins or goes on; text: NULL, in version 1 a mark */
	LT_JOB_STAGE_SKIPPED, /* text: the reason */
	LT_JOB_SCAN,          /* text: as it came; verdict: what it was answered */
	LT_JOB_PICTURE, /* text: the picture's name; scans of it follow. NULL: no more of it */
	LT_JOB_SKIP,    /* number; text: the reason */
	LT_JOB_UNDO,    /* takes back the last scan or skip of its stage */
	LT_JOB_TICK,    /* text: the hazard or finish line that was ticked, in words */
	LT_JOB_CLOSED,  /* text: the reason, or NULL: all was done */
	LT_JOB_HAZARD,  /* text: the energy of a hazard that somebody confirmed to be made safe */
	LT_JOB_PLAN,    /* text: the plan that is in force from here on, see job_plan.h */
	LT_JOB_SETTLED, /* somebody saw to what a joint that is gone left behind (lt_job_stray);
			   text: its tags, "3H 4M" or "3H" */
	LT_JOB_UNKNOWN, /* a kind that this program does not know: a newer one wrote it */
	LT_JOB_EVENT_KINDS
};

/* "opened", "stage", "stage-skipped", ... as in the record; lives for ever. Of an event that was
 * read the kind's name is event->kind_name. */
const char *lt_job_event_name(enum lt_job_event_kind kind);

struct lt_job_event {
	unsigned long long id; /* ascending in a job, from 1; given by the store */
	long long at;          /* milliseconds since 1970, UTC */
	const char *who;       /* the person; never NULL */
	unsigned station;      /* one a terminal that works on the job, from 1 */
	enum lt_job_event_kind kind;
	const char *kind_name; /* as it is kept; NULL before it is */
	enum lt_stage stage;   /* in which it happened */
	const char *text;      /* or NULL */
	const char *tag;       /* "12H": of a scan that had one; or NULL */
	const char *verdict;   /* of a scan (lt_verdict_name); or NULL */
	unsigned number;       /* LT_JOB_SKIP; else 0 */
	bool typed;            /* LT_JOB_SCAN: typed tags counted for every joint (--typed) */
	char digest[65]; /* SHA-256 in hex over the event before's digest and this event; given
			    by the store */
};

struct lt_job {
	unsigned long long id;        /* in this store */
	unsigned long long origin;    /* in the store where it was opened */
	const char *code;             /* harness code with unit */
	const char *harness;          /* without */
	const char *unit;             /* or NULL */
	const char *title, *revision; /* or NULL */
	long long opened, last;       /* milliseconds since 1970; of the last event */
	bool closed;
	size_t events, scans;
	size_t counted; /* events, as the job counted them: more than there are where some are gone
			 */
	enum lt_stage stage; /* of the last event */
};

struct lt_bench;

/* Opens a database; makes it where there is none (or an empty file) and `make` is set. NULL with an
 * error at `path` that says what to do, and the file untouched, when it cannot be opened, is no
 * plain file, is not a database of this program's, was written by a newer version, or is damaged
 * (quick_check). An older version is brought up to date in one transaction. Others may have it open
 * at the same time. One that may only be read is opened without `make`; lt_bench_begin then
 * refuses. */
struct lt_bench *lt_bench_open(const char *path, bool make, struct lt_diags *diags);
/* Takes NULL. */
void lt_bench_close(struct lt_bench *bench);

/* All jobs, or with `code` those of one harness and unit, newest first; from `arena`. */
bool lt_bench_jobs(struct lt_job **out, size_t *count, struct lt_bench *bench, const char *code,
	struct lt_arena *arena, struct lt_diags *diags);

/* One job. False with an error when there is none with that id. */
bool lt_bench_job(struct lt_job *out, struct lt_bench *bench, unsigned long long id,
	struct lt_arena *arena, struct lt_diags *diags);

/* A transaction: whoever begins has the database to himself until commit or abandon; waits up to
 * five seconds for others. What happens between is there wholly or not at all. lt_bench_commit
 * returns true when it is on disk, false when none of it is kept. After any failure between,
 * abandon it. */
bool lt_bench_begin(struct lt_bench *bench, struct lt_diags *diags);
bool lt_bench_commit(struct lt_bench *bench, struct lt_diags *diags);
void lt_bench_abandon(struct lt_bench *bench);

/* Within a transaction: the open job of a harness and unit, *id 0 where there is none (there is
 * never more than one). */
bool lt_bench_open_job(unsigned long long *id, struct lt_bench *bench, const char *code,
	struct lt_diags *diags);

/* Within a transaction: a new job with its first event, LT_JOB_OPENED. Error: there is an open one
 * already. `job` gives code, harness, unit, title, revision; `first` who, at (which is also when
 * the job was opened), station and stage. */
bool lt_bench_new_job(unsigned long long *id, struct lt_bench *bench, const struct lt_job *job,
	const struct lt_job_event *first, struct lt_diags *diags);

/* Within a transaction: a station number of the job that nobody had before. */
bool lt_bench_station(unsigned *station, struct lt_bench *bench, unsigned long long job,
	struct lt_diags *diags);

/* Within a transaction: appends an event; `*event` gets its id and digest. Not to a closed job, and
 * no text that is not UTF-8; who is not empty, at from 1970 to 9999. LT_JOB_CLOSED closes it. */
bool lt_bench_append(struct lt_bench *bench, unsigned long long job, struct lt_job_event *event,
	struct lt_diags *diags);

/* The events of a job behind the first `known`, in order; from `arena`. */
bool lt_bench_events(struct lt_job_event **out, size_t *count, struct lt_bench *bench,
	unsigned long long job, size_t known, struct lt_arena *arena, struct lt_diags *diags);

/* Whether the store still is the one that was opened, and event `known` of a job, counted from 1,
 * still is the one with this digest: a store that was put back to an older state, moved or removed
 * says no, with an error that says what to do. The file itself is asked, not what is remembered of
 * it. Within a transaction or not. */
bool lt_bench_holds(struct lt_bench *bench, unsigned long long job, size_t known,
	const char *digest, struct lt_diags *diags);

/* True when another connection changed the database since this was last asked; cheap. */
bool lt_bench_changed(struct lt_bench *bench);

/* Works the chain of digests out anew: the index of the first event that does not fit, or `count`
 * where all do. `events` are all of the job. */
size_t lt_job_digest_check(const struct lt_job *job, const struct lt_job_event *events,
	size_t count);

/* How many events are gone from the end of a job that was read before its events were. */
size_t lt_job_gone(const struct lt_job *job, size_t count);

/* Whether the events of a job, all there are, fit its chain and its count. Where they do not, false
 * with an error at `path` that tells what is wrong. */
bool lt_job_sound(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	const char *path, struct lt_diags *diags);

/* The same of a job in the database, to be asked before anything is added to it; within a
 * transaction or not. *misfit, which may be NULL, is the index of the first event that does not fit
 * or is gone; LT_NONE where all fit or the job cannot be read. */
bool lt_bench_sound(struct lt_bench *bench, unsigned long long job, size_t *misfit,
	struct lt_diags *diags);

#endif
