/* Live: the conversation with whoever scans, through the stages of a job. It waits for nothing and
 * knows no terminal, socket or file: what happens goes in, what is to be shown comes out.
 * To use it: lt_live_create, show lt_live_view, then give lt_live_input each line that is scanned
 * or typed, and now and then the time, and show what is new, until the view asks nothing any more.
 * There may be any number of them in a process, each with a work of its own. */
#ifndef LOOMTAG_LIVE_H
#define LOOMTAG_LIVE_H

#include "loomtag/job.h"

/* What is shown: a list of paragraphs, each of a kind, so that a terminal, a page or a test can set
 * it as suits it. Words and labels are plain; they may hold text from outside. */
enum lt_live_kind {
	LT_LIVE_PAGE,    /* a new page: what is shown so far is removed; no text */
	LT_LIVE_SCREEN,  /* the same, and what follows should be seen at one glance */
	LT_LIVE_GAP,     /* a blank line */
	LT_LIVE_TEXT,    /* words; with no label, as where none is named */
	LT_LIVE_SAID,    /* the answer to the last line, or a warning, behind a sign of its style */
	LT_LIVE_VERDICT, /* the verdict in a word; label: the tag, or two, that it is about */
	LT_LIVE_CHANGE,  /* one thing that a new plan changes */
	LT_LIVE_BOX,     /* something to check and tick */
	LT_LIVE_JOINT,   /* the state of one joint; label: ticked or not, its number */
	LT_LIVE_WRONG_MATE,   /* one that is not resolved */
	LT_LIVE_PROGRESS,     /* how many joints are made, of how many: view->made and needed */
	LT_LIVE_NEXT,         /* the joint to go to; label: NOW or NEXT */
	LT_LIVE_NOTHING_NEXT, /* why there is none, and what is left to do */
	LT_LIVE_TAGS,         /* its stickers, to be seen from where it is */
	LT_LIVE_FACT,         /* what is known of it; label: what that is */
	LT_LIVE_DETAIL,       /* the same, of less use */
	LT_LIVE_OTHERS,  /* joints that it could be mixed up with, or that come first; label: why */
	LT_LIVE_CAUTION, /* what to look out for; belongs to what stands above it */
	LT_LIVE_SKIPPED, /* which joints are skipped, and why */
	LT_LIVE_STEP,    /* of a hazard; label: what is to be done */
	LT_LIVE_WORD,    /* label: a word that can be typed */
	LT_LIVE_KINDS
};

/* How it is meant; the words say the same. */
enum lt_live_style { LT_LIVE_PLAIN, LT_LIVE_STRONG, LT_LIVE_GOOD, LT_LIVE_WAIT, LT_LIVE_WRONG };

struct lt_live_item {
	enum lt_live_kind kind;
	enum lt_live_style style;
	char label[32]; /* "" for none */
	struct lt_text text;
};

/* The question that is open. */
enum lt_live_asks {
	LT_LIVE_ASKS_NOTHING,        /* the conversation is over */
	LT_LIVE_ASKS_RESUME,         /* whether to continue a job that was opened before */
	LT_LIVE_ASKS_ANOTHER,        /* whether to start a new job after one that is closed */
	LT_LIVE_ASKS_WHO,            /* for the name of who works here */
	LT_LIVE_ASKS_CHANGED,        /* what to do where the description has changed */
	LT_LIVE_ASKS_HAZARD,         /* whether one hazard is made safe */
	LT_LIVE_ASKS_SCAN,           /* for a scan or a word */
	LT_LIVE_ASKS_TICK,           /* whether a line of stage finish is so */
	LT_LIVE_ASKS_SEEN,           /* to read that another terminal changed stage or plan */
	LT_LIVE_ASKS_ONWARD,         /* whether to start another stage */
	LT_LIVE_ASKS_ONWARD_OR_BACK, /* or to stay in this one */
	LT_LIVE_ASKS_REREAD          /* to correct a description that cannot be read */
};

enum lt_live_end {
	LT_LIVE_MADE,    /* the answer of the stage that it ended in is yes, by what was done now */
	LT_LIVE_LEFT,    /* quit or end of input with something missing, which was said */
	LT_LIVE_UNSAFE,  /* a hazard was not confirmed; nothing was scanned */
	LT_LIVE_REFUSED, /* the description has changed, and nobody can be asked; it was said */
	LT_LIVE_FAILED   /* the store failed; the diagnostics say how */
};

struct lt_live_view {
	enum lt_live_asks asks;
	const char *prompt;         /* the question in words, "" for none; a static string */
	const char *const *answers; /* the words that answer it, up to NULL; "": an empty line */
	enum lt_live_end end;       /* once nothing is asked */
	bool rings;                 /* something is wrong that was not before: stop and look */
	size_t made, needed;        /* joints, at the last LT_LIVE_PROGRESS */
	/* What is shown, from the last page or screen before the last input on: items[0] is the
	 * item `first`, counted from 0 since the beginning. */
	const struct lt_live_item *items;
	size_t first, count;
};

/* The scans of one run, by the events of the job that they became. A zeroed struct is an empty
 * list. */
struct lt_live_scan {
	size_t event;  /* its index in the job */
	unsigned line; /* of the input, from 1; of photographs which one */
	bool undone;   /* taken back since */
};
struct lt_live_scans {
	struct lt_live_scan *rows;
	size_t count, room;
};
/* Adds the scan that the work took last. */
void lt_live_scans_add(struct lt_live_scans *scans, const struct lt_work *work, unsigned line);
void lt_live_scans_finish(struct lt_live_scans *scans);

/* What a conversation is about, and what it needs from outside. All of it outlives it. */
struct lt_live_options {
	const struct lt_tags *tags;
	const struct lt_lookalikes *const *lookalikes; /* of the same tags; or NULL */
	struct lt_work *work;                          /* of the same tags, opened */
	struct lt_live_scans *scans;                   /* gets what is scanned */
	/* Why something failed, and warnings of the job: whoever shows the view shows these too. */
	struct lt_diags *diags;
	/* Somebody sits there, sees a screen at a time and can be asked; else lines come from a
	 * pipe, and what is shown is a list that goes on. */
	bool attended;
	enum lt_stage stage; /* to begin or go on with; LT_STAGE_COUNT: the present stage */
	bool new_job;        /* begin another job, unasked */
	bool changed;        /* go on by a description that has changed, unasked */
	/* The person who works here in this job (0: one that is yet to be begun), where it is
	 * known; where it gives NULL it is asked for, with `suggested` offered, which is also taken
	 * where nobody can be asked. */
	const char *(*who)(void *data, unsigned long long job);
	/* Keeps the name that was given; `name` lives as long as the diagnostics. */
	void (*keep_name)(void *data, const char *name, unsigned long long job);
	const char *suggested;
	/* Reads the description again, into the same tags, and gives it to the work; where it
	 * cannot be read, says so, leaves all as it was, and returns false. NULL: it cannot change.
	 */
	bool (*reread)(void *data);
	void *data; /* of these; each may be NULL, and then is not asked */
};

struct lt_live;

/* Asks whether to go on with a job that was begun before, or to begin another after one that was
 * closed, and how to go on where the description has changed; then has the hazards confirmed, and
 * answers each line until the stage's answer is yes, `quit` or the end of input, and says what is
 * left to do; where it is attended it then offers the next stage. What was scanned is kept when it
 * is answered. Never NULL. */
struct lt_live *lt_live_create(const struct lt_live_options *options);
/* Takes NULL. */
void lt_live_destroy(struct lt_live *live);

enum lt_live_input_kind {
	LT_LIVE_LINE,
	LT_LIVE_TIME,   /* time has passed, or something happened elsewhere */
	LT_LIVE_LOST,   /* the scanner is disconnected; the keyboard still works */
	LT_LIVE_NO_MORE /* the end of input; given again while something is asked */
};

struct lt_live_input {
	enum lt_live_input_kind kind;
	/* A line without its end, NUL-terminated; it may hold anything. */
	const char *bytes;
	size_t length;
	bool cut;     /* there was more, which was dropped: it is a misread */
	bool scanned; /* it came from a scanner, whose wrong settings are undone (lt_wedge_undo) */
	bool timed;   /* `at` is when it came: the same scan twice at once is one */
	long long at; /* milliseconds of a clock that does not jump */
};

/* Takes in what happened. False where that changes nothing that is shown: nothing was asked anew.
 */
bool lt_live_input(struct lt_live *live, const struct lt_live_input *input);

/* What is to be shown now; the same place always, changed by each input. */
const struct lt_live_view *lt_live_view(const struct lt_live *live);

/* The reason given last for skipping a joint at a stage, or "". */
const char *lt_live_reason(const struct lt_work *work, enum lt_stage stage, size_t joint);

/* Adds the numbers, ascending, of the joints that are not asked for, since nobody noted them as
 * apart; of a machine of stage unplug those that are neither apart nor skipped. Returns how many.
 */
size_t lt_live_left(struct lt_text *out, const struct lt_verify *machine, unsigned number_max);

#endif
