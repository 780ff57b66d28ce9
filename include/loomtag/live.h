/* Live: the conversation with the person who scans, through the stages of a job. It never waits and
 * uses no terminal, socket or file: input goes in, and a view to show comes out.
 * To use it: lt_live_create, show lt_live_view, then give lt_live_input each line that is scanned
 * or typed, and LT_LIVE_TIME at intervals, and show the new items, until view->asks is
 * LT_LIVE_ASKS_NOTHING. A process may have any number of them, each with its own struct lt_work. */
#ifndef LOOMTAG_LIVE_H
#define LOOMTAG_LIVE_H

#include "loomtag/job.h"

/* What is shown: a list of items, each of a kind, so that a terminal, a page or a test can show it
 * in its own way. Texts and labels may contain text from outside: clean them before showing. */
enum lt_live_kind {
	LT_LIVE_PAGE,   /* a new page: remove what is shown; no text */
	LT_LIVE_SCREEN, /* the same; what follows should fit on one screen */
	LT_LIVE_GAP,    /* a blank line */
	LT_LIVE_TEXT,   /* a paragraph */
	LT_LIVE_SAID, /* the answer to the last line, or a warning; shown with a sign for its style
		       */
	LT_LIVE_VERDICT,      /* the verdict in a word or two; label: the one or two tags that it is
				 about */
	LT_LIVE_CHANGE,       /* one thing that a new plan changes */
	LT_LIVE_BOX,          /* something to check and tick */
	LT_LIVE_JOINT,        /* the state of one joint; label: ticked or not, its number */
	LT_LIVE_WRONG_MATE,   /* one that is not resolved */
	LT_LIVE_PROGRESS,     /* how many of the needed joints are made: view->made, view->needed */
	LT_LIVE_NEXT,         /* the joint to work on; label: NOW or NEXT */
	LT_LIVE_NOTHING_NEXT, /* why there is none, and what is left to do */
	LT_LIVE_TAGS,         /* its tags, to be shown large enough to read from the machine */
	LT_LIVE_FACT,         /* a fact of it; label: which fact */
	LT_LIVE_DETAIL,       /* the same, less important */
	LT_LIVE_OTHERS,  /* joints that are look-alikes or must be made first; label: which of these
			  */
	LT_LIVE_CAUTION, /* a warning about the item above it */
	LT_LIVE_SKIPPED, /* which joints are skipped, and why */
	LT_LIVE_STEP,    /* a step of a hazard; label: what to do */
	LT_LIVE_WORD,    /* label: a word that can be typed */
	LT_LIVE_KINDS
};

/* The style of an item; the text alone also has the meaning. */
enum lt_live_style { LT_LIVE_PLAIN, LT_LIVE_STRONG, LT_LIVE_GOOD, LT_LIVE_WAIT, LT_LIVE_WRONG };

struct lt_live_item {
	enum lt_live_kind kind;
	enum lt_live_style style;
	char label[32]; /* "" for none */
	struct lt_text text;
};

/* The question that is open. */
enum lt_live_asks {
	LT_LIVE_ASKS_NOTHING, /* the conversation is over */
	LT_LIVE_ASKS_RESUME,  /* whether to continue a job that was opened before */
	LT_LIVE_ASKS_ANOTHER, /* whether to start a new job after one that is closed */
	LT_LIVE_ASKS_WHO,     /* for the name of who works here */
	LT_LIVE_ASKS_CHANGED, /* what to do where the description has changed */
	LT_LIVE_ASKS_HAZARD,  /* whether one hazard is made safe */
	LT_LIVE_ASKS_SCAN,    /* for a scan or a word */
	LT_LIVE_ASKS_TICK,    /* whether a line of stage finish is done */
	LT_LIVE_ASKS_SEEN,    /* for confirmation that the person read that another terminal changed
				 stage or plan */
	LT_LIVE_ASKS_ONWARD,  /* whether to start another stage */
	LT_LIVE_ASKS_ONWARD_OR_BACK, /* or to stay in this one */
	LT_LIVE_ASKS_REREAD          /* to correct a description that cannot be read */
};

enum lt_live_end {
	LT_LIVE_MADE,    /* the answer of the last stage is yes, and it was reached in this
			    conversation */
	LT_LIVE_LEFT,    /* quit or end of input with something missing, which was shown */
	LT_LIVE_UNSAFE,  /* a hazard was not confirmed; nothing was scanned */
	LT_LIVE_REFUSED, /* the description has changed, and nobody can be asked; this was shown */
	LT_LIVE_FAILED   /* the store failed; the diagnostics say how */
};

struct lt_live_view {
	enum lt_live_asks asks;
	const char *prompt; /* the question in words, "" for none; a static string */
	const char *const
		*answers;     /* the words that answer it, NULL-terminated; "": an empty line */
	enum lt_live_end end; /* when `asks` is LT_LIVE_ASKS_NOTHING */
	bool rings;           /* ring: something went wrong with the last input */
	size_t made, needed;  /* joints, at the last LT_LIVE_PROGRESS */
	/* The items from the last page or screen before the last input on. `first` is the number of
	 * items[0], counted from 0 since the beginning. */
	const struct lt_live_item *items;
	size_t first, count;
};

/* The scans of one run, each with its event in the job. A zeroed struct is an empty list. */
struct lt_live_scan {
	size_t event;  /* its index in the job */
	unsigned line; /* of the input, from 1; for photographs the number of the photograph */
	bool undone;   /* taken back since */
};
struct lt_live_scans {
	struct lt_live_scan *rows;
	size_t count, room;
};
/* Adds the scan that `work` recorded last. */
void lt_live_scans_add(struct lt_live_scans *scans, const struct lt_work *work, unsigned line);
void lt_live_scans_finish(struct lt_live_scans *scans);

/* What a conversation is about, and what it needs from the caller. All of it must outlive the
 * conversation. */
struct lt_live_options {
	const struct lt_tags *tags;
	const struct lt_lookalikes *const *lookalikes; /* of the same tags; or NULL */
	struct lt_work *work;                          /* of the same tags, opened */
	struct lt_live_scans *scans;                   /* gets what is scanned */
	/* Errors and warnings of the job: the caller shows these too. */
	struct lt_diags *diags;
	/* A person is present, sees one screen at a time and can be asked. Else lines come from a
	 * pipe, and all items are shown one after the other. */
	bool attended;
	enum lt_stage stage; /* to start or resume; LT_STAGE_COUNT: the present stage */
	bool new_job;        /* start a new job without asking */
	bool changed;        /* accept a changed description without asking */
	/* Returns the name of the person who works here on this job (0: a job that is not started
	 * yet), or NULL if it is not known. Then the person is asked, with `suggested` as the
	 * default; `suggested` is used if nobody can be asked. */
	const char *(*who)(void *data, unsigned long long job);
	/* Stores the name that was typed; `name` is valid as long as `diags`. */
	void (*keep_name)(void *data, const char *name, unsigned long long job);
	const char *suggested;
	/* Reads the description again, into the same tags, and calls lt_work_describe. If it cannot
	 * be read, adds an error, changes nothing and returns false. NULL: the description cannot
	 * change.
	 */
	bool (*reread)(void *data);
	void *data; /* the argument of these functions, each of which may be NULL */
};

struct lt_live;

/* Starts the conversation. It asks whether to continue an open job, or to start a new one after a
 * closed one, and what to do if the description has changed; then it has the hazards confirmed, and
 * answers each line until the stage's answer is yes, `quit` or the end of input; then it shows what
 * is left to do and, if `attended`, offers the next stage. When a scan is answered, it is stored.
 * Never NULL. */
struct lt_live *lt_live_create(const struct lt_live_options *options);
/* Takes NULL. */
void lt_live_destroy(struct lt_live *live);

enum lt_live_input_kind {
	LT_LIVE_LINE,
	LT_LIVE_TIME,   /* time has passed, or another terminal changed the job */
	LT_LIVE_LOST,   /* the scanner is disconnected; the keyboard still works */
	LT_LIVE_NO_MORE /* the end of input; give it again until nothing is asked */
};

struct lt_live_input {
	enum lt_live_input_kind kind;
	/* A line without its end, NUL-terminated; it may hold anything. */
	const char *bytes;
	size_t length;
	bool cut;     /* the line was longer and was cut: it is a misread */
	bool scanned; /* it came from a scanner, whose wrong settings are undone (lt_wedge_undo) */
	bool timed; /* `at` is when it came: a double trigger counts as one scan (lt_wedge_twice) */
	long long at; /* milliseconds of a clock that does not jump */
};

/* Processes an input. False if the view did not change. */
bool lt_live_input(struct lt_live *live, const struct lt_live_input *input);

/* The view to show now. The pointer never changes; each input changes the view. */
const struct lt_live_view *lt_live_view(const struct lt_live *live);

/* The reason given last for skipping a joint at a stage, or "". */
const char *lt_live_reason(const struct lt_work *work, enum lt_stage stage, size_t joint);

/* Adds the numbers, ascending, of the joints that are not needed, because they were not recorded as
 * apart; for a machine of stage unplug, of those that are neither apart nor skipped. Returns how
 * many. */
size_t lt_live_left(struct lt_text *out, const struct lt_verify *machine, unsigned number_max);

#endif
