/* Sentences for the changes between two plans of a job. */
#include "loomtag/words.h"

static const char *or_not_described(const char *text)
{
	return text != NULL && text[0] != '\0' ? text : "not described";
}

/* "12 X1", or "C1" where it has no number. */
static void add_joint(struct lt_text *out, const struct lt_plan_change *change)
{
	if (change->number != 0)
		lt_text_printf(out, "%u %s", change->number, change->id);
	else
		lt_text_add(out, change->id);
}

/* A change from one value to another. */
static void add_values(struct lt_text *out, const struct lt_plan_change *change, const char *joint)
{
	const char *before = or_not_described(change->before);
	const char *after = or_not_described(change->after);
	switch (change->kind) {
	case LT_PLAN_NUMBER:
		lt_text_printf(out, "%s: the number was %s and is now %s.", joint, before, after);
		return;
	case LT_PLAN_RENAMED:
		lt_text_printf(out, "%s: the id was %s and is now %s.", joint, before, after);
		return;
	case LT_PLAN_MATE:
		lt_text_printf(out, "%s: the mate was %s and is now %s.", joint, before, after);
		return;
	case LT_PLAN_PORT:
		lt_text_printf(out, "%s: the port was %s and is now %s.", joint, before, after);
		return;
	case LT_PLAN_SIDES:
		lt_text_printf(out, "%s: the number of stickers was %s and is now %s.", joint,
			before, after);
		return;
	case LT_PLAN_FATE:
		lt_text_printf(out, "%s: the fate of its part was %s and is now %s.", joint, before,
			after);
		return;
	case LT_PLAN_TAG:
		lt_text_printf(out, "%s: the kind of tag was %s and is now %s.", joint, before,
			after);
		return;
	case LT_PLAN_KIND:
		lt_text_printf(out, "%s: the kind of joint was %s and is now %s.", joint, before,
			after);
		return;
	case LT_PLAN_AFTER:
		lt_text_printf(out, "%s: the joints to make first were %s and are now %s.", joint,
			before, after);
		return;
	case LT_PLAN_JOINT_NEW:
	case LT_PLAN_JOINT_GONE:
	case LT_PLAN_OLD_STICKER:
	case LT_PLAN_STICKERS:
	case LT_PLAN_LINE_NEW:
	case LT_PLAN_LINE_GONE:
		return;
	}
}

void lt_plan_change_words(struct lt_text *out, const struct lt_plan_change *change)
{
	struct lt_text text = { 0 };
	add_joint(&text, change);
	const char *joint = lt_text_string(&text);
	bool voids = change->voids;
	switch (change->kind) {
	case LT_PLAN_JOINT_NEW:
		lt_text_printf(out, "%s: this joint is new in the description. It must be made.",
			joint);
		voids = false;
		break;
	case LT_PLAN_JOINT_GONE:
		lt_text_printf(out,
			"%s: this joint was removed from the description. It is not scanned any "
			"more.",
			joint);
		voids = false;
		break;
	case LT_PLAN_OLD_STICKER:
		lt_text_printf(out, "%s: the register shows that its M sticker is on the old part.",
			joint);
		break;
	case LT_PLAN_STICKERS:
		lt_text_printf(out, "%s: the register now lists other stickers as printed.", joint);
		break;
	case LT_PLAN_LINE_NEW:
		lt_text_printf(out, "New line to tick: %s", change->id);
		break;
	case LT_PLAN_LINE_GONE:
		lt_text_printf(out, "Removed line, no longer to tick: %s", change->id);
		break;
	case LT_PLAN_NUMBER:
	case LT_PLAN_RENAMED:
	case LT_PLAN_MATE:
	case LT_PLAN_PORT:
	case LT_PLAN_SIDES:
	case LT_PLAN_FATE:
	case LT_PLAN_TAG:
	case LT_PLAN_KIND:
	case LT_PLAN_AFTER:
		add_values(out, change, joint);
		break;
	}
	if (voids)
		lt_text_add(out, " What was recorded of this joint no longer counts.");
	lt_text_finish(&text);
}
