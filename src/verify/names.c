/* Verdicts and stages: what there is to say of each, in one row. */
#include <string.h>

#include "loomtag/verify.h"

static const struct lt_verdict_row rows[LT_VERDICT_COUNT] = {
	[LT_VERDICT_HALF] = { "half", "HALF", "HALF", LT_EFFECT_WAIT, LT_TONE_WAIT, true, NULL },
	[LT_VERDICT_MATED] = { "mated", "RIGHT PAIR", "RIGHT PAIR", LT_EFFECT_MAKE, LT_TONE_GOOD,
		true, NULL },
	[LT_VERDICT_DONE] = { "done", "DONE", "APART", LT_EFFECT_MAKE, LT_TONE_GOOD, true, NULL },
	[LT_VERDICT_REPEAT] = { "repeat", "AGAIN", "AGAIN", LT_EFFECT_KEEP, LT_TONE_GOOD, true,
		"made before" },
	[LT_VERDICT_SAME_SIDE] = { "same-side", "SAME SIDE", "SAME SIDE", LT_EFFECT_WAIT,
		LT_TONE_WRONG, true, "two stickers of one side" },
	[LT_VERDICT_WRONG_MATE] = { "wrong-mate", "WRONG MATE", "WRONG MATE", LT_EFFECT_OPEN,
		LT_TONE_WRONG, true, NULL },
	[LT_VERDICT_OUT_OF_ORDER] = { "out-of-order", "NOT YET", "TOO EARLY", LT_EFFECT_EARLY,
		LT_TONE_WRONG, true, "joint before its turn" },
	[LT_VERDICT_OLD_PART] = { "old-part", "OLD PART", "OLD PART", LT_EFFECT_DROP, LT_TONE_WRONG,
		false, "sticker of an outgoing part" },
	[LT_VERDICT_FOREIGN] = { "foreign", "NOT OF THIS HARNESS", "NOT OF THIS HARNESS",
		LT_EFFECT_DROP, LT_TONE_WRONG, false, "sticker of another harness or unit" },
	[LT_VERDICT_UNKNOWN] = { "unknown", "UNKNOWN", "UNKNOWN", LT_EFFECT_DROP, LT_TONE_WRONG,
		false, "no such number or side" },
	[LT_VERDICT_MISREAD] = { "misread", "MISREAD", "MISREAD", LT_EFFECT_NOTHING, LT_TONE_WRONG,
		false, "misread" },
};

const struct lt_verdict_row *lt_verdict_row(enum lt_verdict verdict)
{
	return &rows[verdict];
}

const char *lt_verdict_name(enum lt_verdict verdict)
{
	return rows[verdict].key;
}

bool lt_verdict_read(enum lt_verdict *out, const char *key)
{
	for (int verdict = 0; key != NULL && verdict < LT_VERDICT_COUNT; verdict++) {
		*out = (enum lt_verdict)verdict;
		if (strcmp(key, rows[verdict].key) == 0)
			return true;
	}
	return false;
}

const char *lt_stage_name(enum lt_stage stage)
{
	static const char *const names[LT_STAGE_COUNT] = { "tag", "unplug", "swap", "reconnect",
		"finish" };
	return names[stage];
}

bool lt_stage_read(enum lt_stage *out, const char *name)
{
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		*out = (enum lt_stage)stage;
		if (strcmp(name, lt_stage_name(*out)) == 0)
			return true;
	}
	return false;
}
