/* One run of the live screen: what its files share. */
#ifndef LOOMTAG_CLI_LIVE_SESSION_H
#define LOOMTAG_CLI_LIVE_SESSION_H

#include "cli/keys.h"
#include "cli/live_screen.h"
#include "loomtag/verify.h"

struct live_session {
	const struct lt_live *live;
	struct keys *keys;
	struct live_said said;
	struct lt_text text; /* on its way out */
	struct lt_text safe; /* the hazards that were confirmed, word for word */
	unsigned line;       /* of the input, from 1 */
	struct lt_wedge_last last;
	unsigned advised;    /* a bit for each trouble of the scanner that was told */
	bool quit;           /* the person has had enough */
	bool onward;         /* the word next: leave this stage */
	bool failed;         /* the store or the device: nothing more can be done */
	bool refused;        /* the description has changed, and nobody can be asked */
	bool moved;          /* onward, since others moved the job */
	bool scanning;       /* what others do is shown at once; not while something is asked */
	bool wakes;          /* a move by others ends what is being read */
	bool woken;          /* it did: the line that was read is none */
	bool idle;           /* the last scan changed nothing */
	size_t scans;        /* in this run */
	enum lt_stage going; /* the stage to go on with, when onward */
};

/* Reads a line, taking in meanwhile what others do to the job: then the screen is drawn anew, but
 * not where something is asked. False at the end of input, and when the store failed. */
bool lt_live_read(struct live_session *session, struct keys_line *line, const char *prompt);

/* The same, but a move of the job by others (lt_work_moved) ends it: session->woken then, and an
 * empty line, which nobody typed. */
bool lt_live_read_or_wake(struct live_session *session, struct keys_line *line, const char *prompt);

/* Sets what is said next. */
void lt_live_say(struct live_session *session, enum lt_tone tone, const char *words);

/* True for a line of this one word. */
bool lt_live_is_word(const struct keys_line *line, const char *word);

/* Past blanks and tabs. */
const char *lt_live_past_spaces(const char *at);

/* Copies the first word of a line; returns what stands behind it. */
const char *lt_live_first_word(char *out, size_t size, const char *line);

/* Each has everything confirmed that was asked; false on quit and at the end of input. */
bool lt_live_confirm_hazards(struct live_session *session);
/* The same, where the description that was read again says anything else of hazards than what was
 * confirmed. */
bool lt_live_confirm_new_hazards(struct live_session *session);

/* What a line asks for when it is a word and not a scan: true when it was one; *draw whether the
 * screen is to be drawn anew. */
bool lt_live_take_word(struct live_session *session, const struct keys_line *line, bool *draw);
/* The same for the words "stage NAME" alone: true when it names one, which is then gone on with. */
bool lt_live_take_stage(struct live_session *session, const struct keys_line *line);
/* The word that was perhaps meant, or NULL. */
const char *lt_live_nearest_word(const struct keys_line *line);

/* Answers a scan. */
void lt_live_answer(struct live_session *session, const struct keys_line *line);

/* True when the job was not moved by others, or the person has seen it; else false, with quit or
 * onward set. */
bool lt_live_look_up(struct live_session *session);

/* Says why a job whose every line is ticked stays open. */
void lt_live_add_why_open(struct lt_text *out, const struct lt_live *live);

/* Asks whether to go on with a job that was begun before, or begins one, after asking where there
 * was one. LT_LIVE_MADE: there is a job, and its plan is the description's. */
enum lt_live_end lt_live_begin_job(struct live_session *session);

/* Lists what a plan changes, joint by joint. */
void lt_live_add_changes(struct lt_text *out, const struct lt_live *live,
	const struct lt_plan_change *changes, size_t count);

/* Asks what to do where the description is not what the job is judged by, until the two are the
 * same. False on quit and at the end of input. */
bool lt_live_take_changes(struct live_session *session);

/* Goes through the stages, from the present one on. */
enum lt_live_end lt_live_run_stages(struct live_session *session);
bool lt_live_begin_stage(struct live_session *session, enum lt_stage stage);
/* At reconnect adds what is not known of the joints to what is said. */
void lt_live_warn_of_joints(struct live_session *session);
bool lt_live_stage_ok(const struct lt_live *live);

/* Scans, until the stage's answer is yes or the person goes on. */
void lt_live_scan(struct live_session *session);

/* Goes through the lines of stage finish. */
void lt_live_finish_lines(struct live_session *session);

#endif
