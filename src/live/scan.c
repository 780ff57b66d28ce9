/* The answer to a scan. */
#include <stdio.h>
#include <stdlib.h>

#include "live/conversation.h"
#include "loomtag/words.h"

void lt_live_scans_add(struct lt_live_scans *scans, const struct lt_work *work, unsigned line)
{
	size_t count;
	lt_work_events(work, &count);
	scans->rows = lt_grow(scans->rows, &scans->room, scans->count + 1, sizeof(*scans->rows));
	scans->rows[scans->count++] = (struct lt_live_scan){ .event = count - 1, .line = line };
}

void lt_live_scans_finish(struct lt_live_scans *scans)
{
	free(scans->rows);
	*scans = (struct lt_live_scans){ 0 };
}

/* Shows what was received where it is not even a tag, and which word was perhaps meant. */
static void add_misread(struct lt_text *out, const struct lt_live_input *line)
{
	enum { SHOWN = 40 };
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, line->bytes, line->length < SHOWN ? line->length : SHOWN);
	lt_words_received(out, lt_text_string(&clean), line->length > SHOWN,
		lt_live_nearest_word(line));
	lt_text_finish(&clean);
}

/* Says once which setting of the scanner is wrong. */
static void advise(struct lt_live *live, enum lt_wedge_trouble trouble)
{
	const unsigned bit = 1u << trouble;
	if (trouble == LT_WEDGE_FINE || (live->advised & bit) != 0)
		return;
	live->advised |= bit;
	lt_text_printf(&live->words, " %s", lt_wedge_advice(trouble));
}

static void report_answer(struct lt_live *live, const struct lt_answer *answer,
	const struct lt_live_input *line, enum lt_stage stage)
{
	const struct lt_tags *tags = live->options.tags;
	lt_live_report(live, lt_verdict_row(answer->verdict)->tone, "");
	live->verdict = lt_verdict_word(answer->verdict, stage);
	if (answer->has_tag)
		lt_tag_write(live->tags, answer->number, answer->side);
	/* The two that are to be taken apart. */
	if (answer->verdict == LT_VERDICT_WRONG_MATE) {
		char other[LT_TAG_SIZE];
		lt_tag_write(other, answer->other, answer->other_side);
		snprintf(live->tags, sizeof(live->tags), "%s %u%c", other, answer->number,
			lt_side_letter(answer->side));
	}
	lt_answer_words(&live->words, answer, tags, stage);
	if (stage == LT_STAGE_RECONNECT &&
		(answer->verdict == LT_VERDICT_MATED || answer->verdict == LT_VERDICT_DONE))
		lt_words_seating(&live->words,
			&tags->harness->connectors[tags->connector_of[answer->number]]);
	if (answer->verdict == LT_VERDICT_MISREAD && !answer->has_tag)
		add_misread(&live->words, line);
}

void lt_live_answer(struct lt_live *live, const struct lt_live_input *line)
{
	const struct lt_live_options *options = &live->options;
	const enum lt_stage stage = lt_live_stage(live);
	struct lt_answer answer;
	struct lt_text undone = { 0 };
	/* What is typed by hand is not repaired: a slip of a finger looks like a mix-up of keys. */
	const enum lt_wedge_trouble trouble =
		line->scanned && !line->cut
			? lt_wedge_undo(&undone, line->bytes, line->length, options->tags)
			: LT_WEDGE_FINE;
	const bool repaired = trouble != LT_WEDGE_FINE;
	bool taken;
	if (lt_live_keep(live, lt_work_scan(options->work, &taken, &answer,
				       repaired ? lt_text_string(&undone) : line->bytes,
				       repaired ? undone.length : line->length, options->diags)) &&
		taken) {
		live->scanned++;
		live->idle = !answer.changed;
		lt_live_scans_add(options->scans, options->work, live->line);
		report_answer(live, &answer, line, stage);
		advise(live, trouble);
	}
	lt_text_finish(&undone);
}
