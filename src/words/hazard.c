/* Hazards, and the cautions that every paper carries. */
#include "loomtag/words.h"

const char lt_caution_work[] =
	"Live or stored energy can kill or injure you. Follow the machine’s own instructions, your "
	"training and local codes. This list does not replace them. If you are not licensed to "
	"isolate or restore, get somebody who is. If in doubt, stop and ask.";

const char lt_caution_scan[] =
	"A scan proves only that two stickers belong together. The joint can still be loose or "
	"face the wrong way, or its stickers can be on the wrong halves. Such a joint can "
	"overheat, leak or move the machine. Look at each joint, pull gently, and tick it by hand.";

const struct lt_hazard_words lt_hazard_words = {
	.signals = { [LT_SIGNAL_DANGER] = "DANGER",
		[LT_SIGNAL_WARNING] = "WARNING",
		[LT_SIGNAL_CAUTION] = "CAUTION" },
	.harm = "harm",
	.lock = "lock",
	.lock_on = "your own lock and warning label are on, with name, date and reason",
	.lock_off = "each lock and warning label is removed by the person who put it on",
	.step_not_described = "not described: find out",
};

void lt_hazard_add(struct lt_text *out, const struct lt_hazard *hazard)
{
	if (hazard->signal != LT_SIGNAL_NONE)
		lt_text_printf(out, "%s: %s", lt_hazard_words.signals[hazard->signal],
			hazard->energy);
	else
		lt_text_add(out, hazard->energy);
}

void lt_hazard_add_title(struct lt_text *out, const struct lt_hazard *hazard)
{
	if (hazard->signal != LT_SIGNAL_NONE)
		lt_hazard_add(out, hazard);
	else
		lt_text_printf(out, "HAZARD: %s", hazard->energy);
}

const char *lt_hazard_step_name(size_t step)
{
	static const char *const names[LT_HAZARD_STEPS] = { "isolate", "release", "prove",
		"restore" };
	return names[step];
}

const char *lt_hazard_step(const struct lt_hazard *hazard, size_t step)
{
	const char *const steps[LT_HAZARD_STEPS] = { hazard->isolate, hazard->release,
		hazard->prove, hazard->restore };
	return steps[step] != NULL ? steps[step] : lt_hazard_words.step_not_described;
}
