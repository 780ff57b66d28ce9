/* What the files of a conversation share. */
#ifndef LOOMTAG_LIVE_CONVERSATION_H
#define LOOMTAG_LIVE_CONVERSATION_H

#include "loomtag/live.h"

/* Where the conversation is. Each step is entered, which either asks something or leads on to
 * another step, and takes the answer: live.c has them in a table. */
enum lt_live_step {
	LT_STEP_JOB,
	LT_STEP_WHO,
	LT_STEP_CHANGES, /* the description is made the plan of the job, where it is not */
	LT_STEP_HAZARDS,
	LT_STEP_FOLLOWED, /* both are done, and it goes on as live->follow says */
	LT_STEP_WORK,     /* scans, or lines of stage finish */
	LT_STEP_SEEN,
	LT_STEP_LEAVE,  /* the stage is left, for whatever reason */
	LT_STEP_REREAD, /* the file is read again before anything is said at its end */
	LT_STEP_ONWARD,
	LT_STEP_OVER,
	LT_STEPS
};

/* What comes after the description and its hazards were taken as they are now. */
enum lt_live_follow {
	LT_FOLLOW_BEGIN, /* the first stage */
	LT_FOLLOW_WORK,  /* what was at hand before */
	LT_FOLLOW_SEEN,  /* the stage that others took the job to */
	LT_FOLLOW_END    /* the end of the stage */
};

struct lt_live {
	struct lt_live_options options;
	struct lt_live_view view;
	enum lt_live_step step;
	bool entered; /* the step asked something */
	struct lt_live_item *items;
	size_t item_room;

	/* What is said about what came last. */
	enum lt_tone tone;
	struct lt_text words;
	const char *verdict;        /* in a word, for a scan; or NULL */
	char tags[2 * LT_TAG_SIZE]; /* the scan's tag, or two; "" where it had none */

	bool another; /* another job is to be begun */
	enum lt_live_follow follow;
	bool differed;       /* at the end of a stage: the description was edited meanwhile */
	size_t hazard;       /* the one that is asked for */
	bool waiting;        /* it was asked for before */
	struct lt_text safe; /* the hazards that were confirmed, word for word */
	unsigned line;       /* of the input, from 1 */
	struct lt_wedge_last last;
	unsigned advised;    /* a bit for each trouble of the scanner that was shown */
	bool still;          /* the screen is not to be shown anew */
	bool quit;           /* the person has had enough */
	bool onward;         /* leave this stage for `going` */
	enum lt_stage going; /* LT_STAGE_COUNT: no other is left */
	bool idle;           /* the last scan changed nothing */
	size_t scanned;      /* in this conversation */
};

/* Leads on to a step, which is entered next. */
void lt_live_go(struct lt_live *live, enum lt_live_step step);
/* Ends the conversation. */
void lt_live_finish(struct lt_live *live, enum lt_live_end end);
/* Ends it where the store did not take what it was given: what is not kept is not done. Returns
 * `good`. */
bool lt_live_keep(struct lt_live *live, bool good);
/* Asks something. */
void lt_live_ask(struct lt_live *live, enum lt_live_asks asks);

/* What is shown. */

/* A new paragraph, whose words are added to what is returned, at once. */
struct lt_text *lt_live_put(struct lt_live *live, enum lt_live_kind kind, enum lt_live_style style,
	const char *label);
/* One with these words. */
void lt_live_add(struct lt_live *live, enum lt_live_kind kind, enum lt_live_style style,
	const char *label, const char *text);
/* A page that begins with title and code. */
void lt_live_page(struct lt_live *live);
/* Title, code, unit and stage; the warning where there is no unit. */
void lt_live_head(struct lt_live *live);

/* Sets what is said next. */
void lt_live_report(struct lt_live *live, enum lt_tone tone, const char *words);
/* Shows it. */
void lt_live_add_report(struct lt_live *live);
enum lt_live_style lt_live_style_of(enum lt_tone tone);

/* Of the job. */

enum lt_stage lt_live_stage(const struct lt_live *live);
bool lt_live_stage_ok(const struct lt_live *live);
/* Leads the job to a stage; false where that was not kept. */
bool lt_live_begin(struct lt_live *live, enum lt_stage stage);
/* The machine of the present stage; at stage finish that of reconnect; NULL where there is no plan
 * yet. */
const struct lt_verify *lt_live_machine(const struct lt_live *live);
/* "motor power (X1)", or "X1" where it has no name. */
void lt_live_name(struct lt_text *out, const struct lt_live *live, size_t connector);

/* joints.c: lists. */

/* How many joints of the stage are made, of how many. */
void lt_live_count(struct lt_live *live);
/* The state of each joint, in the order they are offered; of all joints, or of those missing. */
void lt_live_joints(struct lt_live *live, bool only_open);
/* All wrong mates that are not resolved, and what else no pair can resolve. */
void lt_live_wrong(struct lt_live *live);
/* What a plan changes, joint by joint. */
void lt_live_changes(struct lt_live *live, const struct lt_plan_change *changes, size_t count);
/* The screen of a stage with scans: what was said, wrong mates, the next joint. */
void lt_live_screen(struct lt_live *live);

/* ending.c: the end of a stage. */

/* The answer of the stage (`no` as lt_work_answer has it), and what is missing or left to do. */
void lt_live_ending(struct lt_live *live, unsigned no);
/* What is open or wrong at reconnect, in a few lines: before energy is restored. */
void lt_live_open(struct lt_live *live);
/* Why a job whose every line is ticked stays open. */
void lt_live_why_open(struct lt_live *live);

/* commands.c: words that can be typed. */

/* True for a line of this one word. */
bool lt_live_is_word(const struct lt_live_input *line, const char *word);
/* True for quit, and at the end of input. */
bool lt_live_is_quit(const struct lt_live_input *line);
/* True where nothing is written; at the end of input nothing is. */
bool lt_live_is_empty(const struct lt_live_input *line);
/* Does what a line asks for when it is a word and not a scan: true when it was one. live->still is
 * set where the screen stays as it is. */
bool lt_live_take_word(struct lt_live *live, const struct lt_live_input *line);
/* The same for the words "stage NAME" alone: true when it names one, which then starts. */
bool lt_live_take_stage(struct lt_live *live, const struct lt_live_input *line);
/* The word that was perhaps meant, or NULL. */
const char *lt_live_nearest_word(const struct lt_live_input *line);
/* The words, up to NULL. */
extern const char *const lt_live_commands[];

/* scan.c: answers a scan. */
void lt_live_answer(struct lt_live *live, const struct lt_live_input *line);

/* follow.c: takes the file as it is now, where the plan in force is another one. */
void lt_live_follow(struct lt_live *live, enum lt_live_follow follow);

/* The steps: what they show when they are entered, and how they take a line (NULL: the end of
 * input). begin.c, follow.c and stages.c. */
void lt_live_enter_job(struct lt_live *live);
void lt_live_take_job(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_who(struct lt_live *live);
void lt_live_take_who(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_changes(struct lt_live *live);
void lt_live_take_changes(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_hazards(struct lt_live *live);
void lt_live_take_hazards(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_followed(struct lt_live *live);
void lt_live_enter_reread(struct lt_live *live);
void lt_live_take_reread(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_work(struct lt_live *live);
void lt_live_take_work(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_seen(struct lt_live *live);
void lt_live_take_seen(struct lt_live *live, const struct lt_live_input *line);
void lt_live_enter_leave(struct lt_live *live);
void lt_live_enter_onward(struct lt_live *live);
void lt_live_take_onward(struct lt_live *live, const struct lt_live_input *line);

#endif
