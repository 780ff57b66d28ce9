/* What the live screen is drawn with. */
#ifndef LOOMTAG_CLI_LIVE_SCREEN_H
#define LOOMTAG_CLI_LIVE_SCREEN_H

#include "cli/live.h"

/* How a block is set on a terminal; its words say the same without. */
enum live_style { LIVE_PLAIN, LIVE_STRONG, LIVE_GOOD, LIVE_WAIT, LIVE_WRONG };

/* What is said about the line that was read last. */
struct live_said {
	enum lt_tone tone;
	struct lt_text words;
	const char *word;          /* the verdict in a word, for a scan; or NULL */
	char tag[2 * LT_TAG_SIZE]; /* the scan's tag, or two; "" where it had none */
};

enum lt_stage lt_live_stage(const struct lt_live *live);

/* The machine of the present stage; at stage finish that of reconnect; NULL where there is no plan
 * yet. */
const struct lt_verify *lt_live_machine(const struct lt_live *live);

/* The reason given last for skipping a joint at this stage, or "". */
const char *lt_live_reason(const struct lt_live *live, size_t joint);

/* Width and height to keep to. */
size_t lt_live_columns(const struct lt_live *live);
size_t lt_live_rows(const struct lt_live *live);

/* Adds a paragraph, cleaned of what could drive a terminal, wrapped behind `label`, its further
 * lines indented as far as the label reaches. At most `lines` lines (0: all); "..." where cut. */
void lt_live_add(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *label, const char *text, size_t lines);

/* The same with a formatted text, all of its lines. */
void lt_live_addf(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *label, const char *format, ...) __attribute__((format(printf, 5, 6)));

/* Adds a word in a bar of its style's colour, for a terminal. */
void lt_live_add_word(struct lt_text *out, const struct lt_live *live, enum live_style style,
	const char *word);

/* Adds a tag in large characters; nothing where the screen is too narrow. */
void lt_live_add_large(struct lt_text *out, const struct lt_live *live, const char *text);

/* Adds what clears the screen, on a terminal. */
void lt_live_clear(struct lt_text *out, const struct lt_live *live);

/* Writes out and empties the text. */
void lt_live_show(const struct lt_live *live, struct lt_text *text);

/* The connector of a joint. */
size_t lt_live_connector(const struct lt_live *live, size_t joint);

/* "motor power (X1)", or "X1" where it has no name. */
void lt_live_name(struct lt_text *out, const struct lt_live *live, size_t connector);

/* Adds the sign and the words of what was said last. */
void lt_live_add_said(struct lt_text *out, const struct lt_live *live,
	const struct live_said *said);

/* Adds title and code. */
void lt_live_add_title(struct lt_text *out, const struct lt_live *live);

/* Adds title, code, unit and stage; the warning where there is no unit. */
void lt_live_add_head(struct lt_text *out, const struct lt_live *live);

/* Draws the screen: the head (on a terminal), what was said, wrong mates, the next joint. */
void lt_live_draw(const struct lt_live *live, const struct live_said *said);

/* The prompt, on a terminal. */
void lt_live_prompt(const struct lt_live *live, const char *prompt);

/* Adds one line for each joint, in the order they are offered, with how it stands; of all joints,
 * or of those that are missing. */
void lt_live_add_joints(struct lt_text *out, const struct lt_live *live, bool only_open);

/* Adds the unresolved wrong mates, at most `limit`. */
void lt_live_add_wrong(struct lt_text *out, const struct lt_live *live, size_t limit);

/* Adds what is open or wrong at reconnect, in a few lines: before energy is restored. */
void lt_live_add_open(struct lt_text *out, const struct lt_live *live);

/* "checked", "apart", "proven", "made", "ticked": what the present stage does to a joint. */
const char *lt_live_made_word(const struct lt_live *live);

/* Adds what is left to do when the stage is done, which `yes` says, or what is missing when not. */
void lt_live_add_end(struct lt_text *out, const struct lt_live *live, bool yes);

#endif
