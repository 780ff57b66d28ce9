/* Job: one removal and reconnection of a harness: its plans and events, the database that keeps
 * them, the state that follows from them, and the one answer, lt_work_answer.
 * To use it: lt_work_open, then lt_work_scan and its like; each is one transaction with the store.
 * Nothing is judged again when a job is read. */
#ifndef LOOMTAG_JOB_H
#define LOOMTAG_JOB_H

#include "loomtag/verify.h"

/* The plan of a job: what its scans are judged by. It is kept in the job as the text of an event,
 * so that each verdict can be understood later, also after the description has changed.
 *
 * The text is JSON on one line:
 *   {"plan":1,"code":"RV3U0042","backdated":true,
 *    "joints":[{"id":"X1","number":12,"name":"motor power","kind":"plug","mates":"M1","port":"PWR",
 *               "sides":2,"tag":"sticker","after":[3],"fate":"replace","was":"X0",
 *               "x_printed":true,"m_is_old":true}],
 *    "lines":[{"kind":"hazard","text":"mains 230 V: restored: last","energy":"mains 230 V",
 *              "restore":"last"}]}
 * `joints` are all connectors of the description, in its order; "after" counts them from 0. A key
 * is left out if its value is 0, false or empty, or not described, or if it is "fate" and the part
 * stays.
 */

/* A connector, as a job knows it. */
struct lt_job_joint {
	const char *id;
	const char *was;  /* its id in the plan before, where that was another; or NULL */
	const char *name; /* to show when it was removed; or NULL */
	const char *kind;
	const char *mate, *port; /* NULL: not described */
	unsigned number;         /* 0: none, it is ticked */
	unsigned sides;          /* 1 or 2 */
	enum lt_marking marking;
	bool replaced;       /* its part is; only where it has an X sticker */
	bool x_printed;      /* an X sticker was printed, for this part or an earlier one */
	bool m_is_old;       /* its M stickers are on the outgoing part */
	const size_t *after; /* indices into joints, ascending */
	size_t after_count;
};

enum lt_job_line_kind {
	LT_JOB_LINE_EYE,    /* a joint with no number, to be checked by eye */
	LT_JOB_LINE_FINISH, /* a finish line */
	LT_JOB_LINE_HAZARD, /* energy to be restored */
	LT_JOB_LINE_KINDS
};

/* What is ticked at stage finish. */
struct lt_job_line {
	enum lt_job_line_kind kind;
	const char *text;
	const char *energy, *restore; /* of a hazard; `restore` may be NULL */
};

struct lt_job_plan {
	const char *code; /* harness code with unit */
	bool backdated; /* earlier events were judged by it too: lt_work_open sets this for a job of
			   version 1 whose description has not changed */
	struct lt_job_joint *joints;
	size_t joint_count; /* with and without number */
	size_t numbered;    /* with */
	struct lt_job_line *lines;
	size_t line_count;
};

/* Makes the plan of a description and its numbers. Arrays and composed texts are from `arena`; the
 * other strings are the harness's. Linear. */
void lt_job_plan_make(struct lt_job_plan *out, struct lt_arena *arena, const struct lt_tags *tags);

/* One thing that differs between two plans. */
enum lt_plan_change_kind {
	LT_PLAN_JOINT_NEW,  /* also one that had no number before */
	LT_PLAN_JOINT_GONE, /* also one that has no number now */
	LT_PLAN_NUMBER,     /* of the same connector */
	LT_PLAN_RENAMED,    /* by `was:` */
	LT_PLAN_MATE,
	LT_PLAN_PORT,
	LT_PLAN_SIDES,
	LT_PLAN_FATE,
	LT_PLAN_TAG, /* sticker, paper */
	LT_PLAN_KIND,
	LT_PLAN_AFTER,
	LT_PLAN_OLD_STICKER, /* its M sticker is on the outgoing part now */
	LT_PLAN_STICKERS,    /* what is known of stickers on outgoing parts */
	LT_PLAN_LINE_NEW,
	LT_PLAN_LINE_GONE
};
struct lt_plan_change {
	enum lt_plan_change_kind kind;
	bool voids;      /* what was recorded of the joint no longer counts */
	unsigned number; /* of the joint now, or what a removed one had; 0 for a line */
	const char *id;  /* of the joint; of a line its text */
	const char *before,
		*after; /* old and new value, as in the description; NULL: not described */
};

/* Lists how `now` differs from `old`: joint by joint in the order of `now`, then removed joints,
 * then lines. Names, `was` and the order of the joints make no difference. Returns how many; the
 * list and composed texts from `arena`, other strings shared. was[i], with room for now's
 * joint_count, becomes the index in `old` of the connector that joint i is, LT_NONE for a new one;
 * `was` may be NULL. Linear. */
size_t lt_job_plan_compare(struct lt_plan_change **out, size_t *was, struct lt_arena *arena,
	const struct lt_job_plan *now, const struct lt_job_plan *old);

/* Jobs: what happened while one module was taken out and put back, kept in a store.
 *
 * A job is a list of events, never changed and never removed, in one order for all who work on it.
 * What was committed is on disk when the call returns. Each event is a fact: a scan includes its
 * verdict, and the plan that it was judged by is an earlier event. Everything else about a job
 * follows from its events: see struct lt_job_state.
 *
 * The chain of digests reveals a later change of an event. Each digest is SHA-256 (FIPS
 * 180-4), in lower-case hex, over a row of fields without anything between them. A field is its
 * length in bytes as a decimal number, a colon, its bytes (UTF-8) and a comma: "3:tag,"; one that
 * is not there is "-,". Numbers are in decimal. The fields of
 *   a job's own digest: "job", origin, code, harness, unit, title, revision, opened;
 *   an event's: the digest of the job's event before it (of the first: the job's own), id, at, who,
 *     station, kind, stage, text, tag, verdict, number, typed (0 or 1).
 * The chain alone does not reveal that events are missing at its end: therefore each job counts its
 * events. A person who can write the database can also write a new chain and another count: only
 * the last digest, kept elsewhere, for example on a printed record, reveals that. */

enum lt_job_event_kind {
	LT_JOB_OPENED, /* text: the title of the harness, as it was */
	LT_JOB_STAGE,  /* the stage that is started or resumed; text: NULL, in version 1 a mark */
	LT_JOB_STAGE_SKIPPED, /* text: the reason */
	LT_JOB_SCAN,          /* text: as it came; verdict: what it was answered */
	LT_JOB_PICTURE, /* text: the picture's name; scans of it follow. NULL: no more scans of it
			 */
	LT_JOB_SKIP,    /* number; text: the reason */
	LT_JOB_UNDO,    /* takes back the last scan or skip of its stage */
	LT_JOB_TICK,    /* text: the hazard or finish line that was ticked, in words */
	LT_JOB_CLOSED,  /* text: the reason, or NULL: all was done */
	LT_JOB_HAZARD,  /* text: the energy of a hazard that somebody confirmed to be made safe */
	LT_JOB_PLAN,    /* text: the plan that is in force from here on, see struct lt_job_plan */
	LT_JOB_SETTLED, /* somebody confirmed that a stray (lt_job_stray) was dealt with; text: its
			   tags, "3H 4M" or "3H" */
	LT_JOB_UNKNOWN, /* a kind that this program does not know: a newer one wrote it */
	LT_JOB_EVENT_KINDS
};

/* "opened", "stage", "stage-skipped", ... as in the record: a static string. Of an event that was
 * read the kind's name is event->kind_name. */
const char *lt_job_event_name(enum lt_job_event_kind kind);

struct lt_job_event {
	unsigned long long id; /* ascending in a job, from 1; given by the store */
	long long at;          /* milliseconds since 1970, UTC */
	const char *who;       /* the person; never NULL */
	unsigned station;      /* the number of the terminal in this job, from 1 */
	enum lt_job_event_kind kind;
	const char *kind_name; /* as the database has it; NULL before it is stored */
	enum lt_stage stage;   /* in which it happened */
	const char *text;      /* or NULL */
	const char *tag;       /* "12H": of a scan that had one; or NULL */
	const char *verdict;   /* of a scan (lt_verdict_name); or NULL */
	unsigned number;       /* LT_JOB_SKIP; else 0 */
	bool typed;            /* LT_JOB_SCAN: typed tags counted for every joint (--typed) */
	char digest[65]; /* SHA-256 in hex of the previous event's digest and this event; given by
			    the store */
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
	size_t counted; /* events, as the job counted them: more than `events` if some are missing
			 */
	enum lt_stage stage; /* of the last event */
};

struct lt_job_db;

/* Opens a database. With `make` creates it if there is no file or an empty one. NULL, with an error
 * at `path` that says what to do, and with the file unchanged, if it cannot be opened, is not a
 * plain file, is not a database of this program, was written by a newer version, or is damaged
 * (quick_check). A database of an older version is updated in one transaction. Other processes may
 * have it open at the same time. A read-only file can be opened without `make`; then
 * lt_job_db_begin fails. */
struct lt_job_db *lt_job_db_open(const char *path, bool make, struct lt_diags *diags);
/* Takes NULL. */
void lt_job_db_close(struct lt_job_db *db);

/* All jobs, or with `code` those of one harness and unit, newest first; from `arena`. */
bool lt_job_db_jobs(struct lt_job **out, size_t *count, struct lt_job_db *db, const char *code,
	struct lt_arena *arena, struct lt_diags *diags);

/* One job. False with an error when there is none with that id. */
bool lt_job_db_job(struct lt_job *out, struct lt_job_db *db, unsigned long long id,
	struct lt_arena *arena, struct lt_diags *diags);

/* A transaction, with exclusive access to the database until commit or abandon; waits up to five
 * seconds for other processes. Either all of its changes are kept or none. lt_job_db_commit returns
 * true when they are on disk, false when none is kept. After a failure within the transaction,
 * abandon it. */
bool lt_job_db_begin(struct lt_job_db *db, struct lt_diags *diags);
bool lt_job_db_commit(struct lt_job_db *db, struct lt_diags *diags);

/* Within a transaction: a station number that was not used in the job before. */
bool lt_job_db_station(unsigned *station, struct lt_job_db *db, unsigned long long job,
	struct lt_diags *diags);

/* Within a transaction: appends an event and sets its id and digest. LT_JOB_CLOSED closes the job.
 * False, with an error, if the job is closed, a text is not UTF-8, `who` is empty or `at` is not in
 * the years 1970 to 9999. */
bool lt_job_db_append(struct lt_job_db *db, unsigned long long job, struct lt_job_event *event,
	struct lt_diags *diags);

/* The events of a job after the first `known`, in order; from `arena`. */
bool lt_job_db_events(struct lt_job_event **out, size_t *count, struct lt_job_db *db,
	unsigned long long job, size_t known, struct lt_arena *arena, struct lt_diags *diags);

/* Computes the chain of digests again: returns the index of the first event that does not fit, or
 * `count` where all do. `events` are all of the job. */
size_t lt_job_digest_check(const struct lt_job *job, const struct lt_job_event *events,
	size_t count);

/* How many events are missing at the end of a job. The job must have been read before its events.
 */
size_t lt_job_events_missing(const struct lt_job *job, size_t count);

/* Whether all the events of a job fit its chain of digests and its count. If not, adds an error at
 * `path`. */
bool lt_job_sound(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	const char *path, struct lt_diags *diags);

/* The same for a job in the database; call it before adding events. Within a transaction or not. */
bool lt_job_db_sound(struct lt_job_db *db, unsigned long long job, struct lt_diags *diags);

/* The state of a job: its events, applied one after the other. Does no input or output. The same
 * events always give the same state: it does not depend on the description.
 *
 * Scans are not judged again: the verdict is part of the event. lt_work_scan judges new scans, by
 * the plan in force. DEVELOPERS.md has tables of what one stage changes in the others, and of what
 * a new plan does. */

/* The state of one stage. */
enum lt_stage_state {
	LT_STATE_NOT_BEGUN,
	LT_STATE_BEGUN,
	LT_STATE_DONE, /* the answer is yes; unplug: a joint is apart and a later stage was started
			*/
	LT_STATE_SKIPPED, /* a person skipped it */
	LT_STATE_NOTHING  /* there is nothing to do: no part is replaced, no line, no joint */
};

/* What is recorded of one numbered joint: for each the index of the event that recorded it, or
 * LT_NONE. Events are counted from 0 in the order of the job. */
struct lt_joint_history {
	size_t proven; /* at stage tag: its two stickers were a right pair, and no wrong mate opened
			  it since */
	size_t unplugged;   /* at stage unplug */
	size_t swapped;     /* at stage swap: X and M scanned, the new part carries the number */
	size_t made;        /* at stage reconnect, and not opened since */
	size_t skipped;     /* at the present stage; else at the last stage that skipped it */
	size_t stays;       /* skipped at stage unplug, which means that it stays plugged in */
	size_t unplug_rank; /* 0 for the first that came apart; LT_NONE */
};

struct lt_job_state;

/* A job with no event yet. Never NULL. */
struct lt_job_state *lt_job_state_create(void);
/* Takes NULL. */
void lt_job_state_destroy(struct lt_job_state *state);

/* Applies an event. A new event has id 0 and counts as an event of the job only if this returns
 * true; an event from the database has an id and counts in either case. The event's strings must
 * outlive the state. For LT_JOB_SCAN sets *answer, which may be NULL. False, with nothing changed,
 * for an impossible event: a scan with a verdict that is impossible here, a skip of a number that
 * does not exist or of a joint that is made, an undo where there is nothing to take back or that
 * would take back a wrong mate or another station's step, a tick of a line that does not exist or
 * at another stage than finish, a plan that cannot be read or is of another code, closing without a
 * reason while lt_job_state_ok is false for the whole job, anything after closing, and an unknown
 * kind or verdict. After an impossible event from the database every answer is no:
 * lt_job_state_strange. */
bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer);

/* The index of the first stored event that is impossible here or of an unknown kind; LT_NONE. */
size_t lt_job_state_strange(const struct lt_job_state *state);

/* lt_job_state_plans: how many plans there were; the last one is in force. A job of version 1 has
 * none until it is continued. lt_job_state_replan: what the plan with this index changed; the first
 * one changes nothing, unless it voids what version 1 recorded. */
struct lt_job_replan {
	size_t event;                   /* by which it came into force */
	const struct lt_job_plan *plan; /* itself */
	const struct lt_plan_change *changes;
	size_t change_count;
	bool voids_all; /* nothing that was recorded before counts: it is not known by which plan it
			   was judged */
};
size_t lt_job_state_plans(const struct lt_job_state *state);
const struct lt_job_replan *lt_job_state_replan(const struct lt_job_state *state, size_t index);

/* The stage that the last LT_JOB_STAGE began; before any, LT_STAGE_RECONNECT. */
enum lt_stage lt_job_state_stage(const struct lt_job_state *state);
enum lt_stage_state lt_job_state_of_stage(const struct lt_job_state *state, enum lt_stage stage);

/* The machine of a stage: ask it for its plan and for what is made, pending and next. NULL for
 * LT_STAGE_FINISH, and where there is no plan. Its pending sticker is the one of the station that
 * scanned last, or for which the job was read since. Valid until the next event is applied. */
const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage);

/* How many joints of the plan in force have a number. The machines of all stages use the same
 * indices. */
size_t lt_job_state_joints(const struct lt_job_state *state);
/* A joint in the plan in force. */
const struct lt_job_joint *lt_job_state_joint(const struct lt_job_state *state, size_t joint);

struct lt_joint_history lt_job_state_history(const struct lt_job_state *state, size_t joint);

/* The event that skipped a joint at a stage, if it is skipped still; else LT_NONE. */
size_t lt_job_state_skipped_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint);

/* The lines to tick at stage finish: each joint without a number, to be checked by eye, then each
 * finish line, then each hazard. */
size_t lt_job_state_lines(const struct lt_job_state *state);
const struct lt_job_line *lt_job_state_line(const struct lt_job_state *state, size_t line);
/* The index of the event that ticked it, or LT_NONE. */
size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line);

/* A problem with a joint that was removed from the plan, which no scan can settle: a wrong mate
 * with it (at stage swap also with one whose part is no longer replaced), or that it was recorded
 * as apart, or its part as replaced, and was not made. It keeps the answer at no until somebody
 * confirms that it was dealt with (LT_JOB_SETTLED). */
struct lt_job_stray {
	enum lt_stage stage;
	char tags[2 * LT_TAG_SIZE]; /* as they were: "3H 4M"; of one that was not made "3H" */
	const char *ids[2];         /* of the connectors, as they were; the second may be NULL */
	size_t settled;             /* the event that confirms it, or LT_NONE */
};
/* All that there were, in order. */
size_t lt_job_state_strays(const struct lt_job_state *state, const struct lt_job_stray **out);

/* A joint that a new plan removed, with its history at that time. */
struct lt_job_removed {
	const struct lt_job_joint *joint;
	struct lt_joint_history history;
	size_t event; /* the plan that removed it */
};
size_t lt_job_state_removed(const struct lt_job_state *state, const struct lt_job_removed **out);

/* Reasons for the answer no. */
enum {
	LT_NO_PLAN = 1 << 0,     /* the job has no plan: it is not known by what it was judged */
	LT_NO_STRANGE = 1 << 1,  /* an event is impossible, or of an unknown kind */
	LT_NO_NUMBER = 1 << 2,   /* no joint has a number, so no scan proves anything */
	LT_NO_OPEN = 1 << 3,     /* a joint is open; at unplug one is neither apart nor skipped */
	LT_NO_PENDING = 1 << 4,  /* half a pair waits for its other half */
	LT_NO_WRONG = 1 << 5,    /* a wrong mate is not resolved */
	LT_NO_STICKERS = 1 << 6, /* at reconnect: stickers on wrong halves, found at tag or swap */
	LT_NO_STRAY = 1 << 7,    /* a stray (lt_job_stray) is not settled */
	LT_NO_TICK = 1 << 8,     /* at finish: a line is not ticked */
	LT_NO_EARLIER = 1 << 9,  /* at finish: an earlier stage is not done */
	LT_NO_OTHER_PLAN = 1 << 10 /* the description here is not what the job is judged by; said by
				      lt_work_answer */
};

/* False if it is not known which joints came apart, because nothing was recorded or the stage was
 * skipped: then every joint is needed at reconnect. */
bool lt_job_state_unplugging_known(const struct lt_job_state *state);

/* Whether the answer of a stage, or for LT_STAGE_COUNT of the whole job, is yes by these events.
 * Never show this to a person: use lt_work_answer, which reads the database first. */
bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage);

bool lt_job_state_closed(const struct lt_job_state *state);

/* A job that is being worked on at this terminal: its state, kept up to date with the database and
 * with other terminals. Every scan of this program goes through it, with or without a database, and
 * every yes comes from lt_work_answer.
 *
 * Every step is one transaction: it reads the events of other terminals, checks that the last event
 * that was read is still there, then judges, applies and appends its own event, and returns when
 * that is on disk. Without a database the events are only in memory. */

/* A longer line, in bytes, is a misread, whatever it begins with; this many bytes of it are
 * kept. */
#define LT_SCAN_MAX 4096

struct lt_work_options {
	const char *db;         /* path of the database; NULL: events are only kept in memory */
	unsigned long long job; /* continue only this job; 0: the one that is open */
	bool new_job; /* lt_work_begin is called next: the open job is not read, so that it can be
			 closed even if its events were changed in the database */
	bool typed;   /* typed tags count for every joint */
};

struct lt_work;

/* Opens the database and reads the open job of this harness and unit, if there is one; does not
 * start one. Creates the database if there is none and options->job is 0. NULL, with an error, if
 * the database cannot be used, the job's events were changed since they were stored or were written
 * by a newer program, or options->job is not the open job of this unit. `tags` and `who`, the name
 * of the person here, must outlive it. */
struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	const char *who, struct lt_diags *diags);
/* Takes NULL. The job stays as it is. */
void lt_work_close(struct lt_work *work);

/* Sets the name of the person here, for the events from now on; it must outlive the work. */
void lt_work_set_who(struct lt_work *work, const char *who);

/* Starts a new job with the plan of the description here. An open job is closed as not finished,
 * with a warning. */
bool lt_work_begin(struct lt_work *work, struct lt_diags *diags);

/* True when there is a job: it was open, or lt_work_begin started it. */
bool lt_work_has_job(const struct lt_work *work);

/* The newest job of this unit that is closed, from the store, its strings from `arena`; id 0 where
 * there is none. */
bool lt_work_last_closed(struct lt_job *out, struct lt_work *work, struct lt_arena *arena,
	struct lt_diags *diags);

const struct lt_job_state *lt_work_state(const struct lt_work *work);
/* The events so far, in order; owned by the work, valid until the next call that adds some. */
const struct lt_job_event *lt_work_events(const struct lt_work *work, size_t *count);
/* The job's id in the store; 0 without one. */
unsigned long long lt_work_job(const struct lt_work *work);
/* How many events the job had when it was opened: 0 for a new job. */
size_t lt_work_resumed(const struct lt_work *work);

/* How the description here differs from the plan in force: as long as it does, no scan is accepted.
 * Returns how many changes there are; sets *voids_all if nothing that was recorded counts, because
 * the job has no plan that it was judged by. The list is valid until the next call that changes. */
size_t lt_work_changes(const struct lt_work *work, const struct lt_plan_change **out,
	bool *voids_all);
/* True if it differs; also if it is of another harness or unit, which lt_work_replan cannot
 * resolve. */
bool lt_work_differs(const struct lt_work *work);
/* Puts the plan of the description here in force; does nothing if it is. */
bool lt_work_replan(struct lt_work *work, struct lt_diags *diags);
/* Call this after reading the description again: `tags` replaces the earlier tags. */
void lt_work_describe(struct lt_work *work, const struct lt_tags *tags);

/* The index in the tags' harness of the connector of a joint of the plan in force; LT_NONE if it
 * has no such connector. */
size_t lt_work_connector(const struct lt_work *work, size_t joint);

/* The calls below return false, with an error, if the database failed, or was removed, moved or
 * replaced by an older copy. Then nothing was kept, the state is unchanged, and every later call
 * fails too. */

/* Reads the events that other terminals added since the last read; sets *added (may be NULL)
 * to how many. */
bool lt_work_sync(struct lt_work *work, size_t *added, struct lt_diags *diags);

/* Why the answer of a stage, or for LT_STAGE_COUNT of the whole job, is no (LT_NO_...); 0 for yes,
 * which is returned only if the database has every event that this work has read. */
bool lt_work_answer(unsigned *no, struct lt_work *work, enum lt_stage stage,
	struct lt_diags *diags);

/* One scan, in the present stage. Sets *taken to false, and keeps nothing, if
 * lt_work_changed_elsewhere or lt_work_differs is true: the scan was meant for another stage or
 * plan. Returns false, with an error, also at stage finish. */
bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags);

/* True when another terminal started another stage, put another plan in force or closed the job,
 * until lt_work_acknowledge is called or this terminal does one of these itself. The meaning of a
 * scan depends on stage and plan. */
bool lt_work_changed_elsewhere(const struct lt_work *work);
/* How many plans came since then; their indices begin at *first. */
size_t lt_work_unseen_plans(const struct lt_work *work, size_t *first);
/* Accepts the stage, the plan and the closing as they are now: lt_work_changed_elsewhere is false
 * until the next change. */
void lt_work_acknowledge(struct lt_work *work);

/* Scans from now on are from the picture of this name; NULL: they are not from a picture. Drops
 * what is pending at this terminal in either case. */
bool lt_work_picture(struct lt_work *work, const char *name, struct lt_diags *diags);

/* The following four also set *done: false, with nothing kept, for a step that lt_job_state_apply
 * refuses, and if lt_work_changed_elsewhere is true. */
bool lt_work_skip(struct lt_work *work, bool *done, unsigned number, const char *reason,
	struct lt_diags *diags);
/* *undone is the index of the event that was taken back; if *done is false, of the wrong mate that
 * cannot be taken back, or LT_NONE if there is nothing to take back.
 */
bool lt_work_undo(struct lt_work *work, bool *done, size_t *undone, struct lt_diags *diags);
bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags);
/* Records that the person here dealt with the stray with these tags (lt_job_stray.tags). */
bool lt_work_settle(struct lt_work *work, bool *done, const char *tags, struct lt_diags *diags);

/* Starts or resumes a stage. Earlier stages that were never started and have something to do are
 * recorded as skipped, with `reason`. Does nothing if it is the present stage and was started, or
 * if lt_work_changed_elsewhere is true: call lt_work_acknowledge first. */
bool lt_work_stage(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags);

/* Records that the person here confirmed that a hazard is made safe. */
bool lt_work_confirm(struct lt_work *work, const char *energy, struct lt_diags *diags);

/* The next stage after the present one that has something to do; LT_STAGE_COUNT if there is
 * none. */
enum lt_stage lt_work_next_stage(const struct lt_work *work);

/* Closes the job; `reason` NULL: all was done. With NULL the job stays open if its answer is no by
 * now, because another terminal opened a joint or changed the plan: check lt_job_state_closed
 * afterwards. */
bool lt_work_finish(struct lt_work *work, const char *reason, struct lt_diags *diags);

#endif
