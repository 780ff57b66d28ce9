#include "paper/hazard_steps.h"

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
