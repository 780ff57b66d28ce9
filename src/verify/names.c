/* What verdicts and stages are called. */
#include "loomtag/verify.h"

#include <string.h>

const char *lt_verdict_name(enum lt_verdict verdict)
{
	static const char *const names[LT_VERDICT_COUNT] = { "half", "mated", "done", "repeat",
		"same-side", "wrong-mate", "out-of-order", "old-part", "foreign", "unknown",
		"misread" };
	return names[verdict];
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
