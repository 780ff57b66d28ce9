/* Which stickers and joints count at which stage. */
#include <string.h>

#include "verify/machine.h"

bool lt_stage_ordered(enum lt_stage stage)
{
	return stage == LT_STAGE_RECONNECT || stage == LT_STAGE_UNPLUG;
}

bool lt_joint_asked_for(const struct lt_plan *plan, size_t joint)
{
	return plan->stage != LT_STAGE_SWAP || plan->joints[joint].has_x;
}

bool lt_joint_single(const struct lt_plan *plan, size_t joint)
{
	return plan->stage == LT_STAGE_UNPLUG || !plan->joints[joint].has_m;
}

enum lt_side lt_first_side(enum lt_stage stage)
{
	return stage == LT_STAGE_SWAP ? LT_SIDE_X : LT_SIDE_H;
}

static bool mate_has_place(const struct lt_joint *joint, enum lt_stage stage)
{
	if (!joint->has_m)
		return false;
	switch (stage) {
	case LT_STAGE_TAG:
		/* While everything is still plugged in, the new part's sticker sticks to nothing
		 * here. */
		return !joint->has_x;
	case LT_STAGE_UNPLUG:
		return !joint->has_x || joint->m_is_old;
	case LT_STAGE_SWAP:
		return joint->has_x;
	case LT_STAGE_RECONNECT:
		return true;
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		break;
	}
	return false;
}

static bool side_has_place(const struct lt_joint *joint, enum lt_side side, enum lt_stage stage)
{
	switch (side) {
	case LT_SIDE_H:
		return stage != LT_STAGE_SWAP && stage != LT_STAGE_FINISH;
	case LT_SIDE_X:
		return joint->has_x && stage != LT_STAGE_FINISH;
	case LT_SIDE_M:
		return mate_has_place(joint, stage);
	case LT_SIDE_COUNT:
		break;
	}
	return false;
}

/* On a part that is out of the machine, or goes out, where the stage wants the one that stays. */
static bool is_on_old_part(const struct lt_joint *joint, enum lt_side side, enum lt_stage stage)
{
	if (side == LT_SIDE_M)
		return joint->m_is_old &&
		       (stage == LT_STAGE_RECONNECT || (stage == LT_STAGE_SWAP && joint->has_x));
	return side == LT_SIDE_X && stage == LT_STAGE_RECONNECT && (joint->has_x || joint->had_x);
}

enum lt_verdict lt_refuse(const struct lt_plan *plan, const struct lt_scan *scan, size_t index)
{
	const struct lt_joint *joint = index == LT_NONE ? NULL : &plan->joints[index];
	const bool paper = joint != NULL && joint->paper;
	if (scan->kind == LT_SCAN_MISREAD)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_TAG && !plan->typed && !paper)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_CODE && strcmp(scan->code, plan->code) != 0)
		return LT_VERDICT_FOREIGN;
	if (joint == NULL)
		return LT_VERDICT_UNKNOWN;
	if (is_on_old_part(joint, scan->side, plan->stage))
		return LT_VERDICT_OLD_PART;
	if (!side_has_place(joint, scan->side, plan->stage))
		return LT_VERDICT_UNKNOWN;
	return LT_VERDICT_COUNT;
}
