/* Hazards, and the cautions that every paper carries. */
#include "loomtag/words.h"

const char lt_caution_work[] =
	"This sheet does not replace training, the maker’s instructions or the rules of your site. "
	"Isolating energy and restoring it is for those licensed to do it where local codes say so. "
	"If in doubt, stop and ask.";

const char lt_caution_scan[] =
	"A scan proves that two stickers belong together. It does not prove that a joint is seated, "
	"that it is the right way round, or that its stickers were on the right halves to begin "
	"with. Look, pull gently, and tick by hand.";

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
	return steps[step] != NULL ? steps[step] : "not described: find out";
}
