#include "loomtag/words.h"

/* A tag as text, in a struct so that it can be had within an expression. */
struct tag {
	char text[LT_TAG_SIZE];
};

static struct tag tag_of(unsigned number, enum lt_side side)
{
	struct tag tag = { "" };
	lt_tag_write(tag.text, number, side);
	return tag;
}

/* The connector with a number, or LT_NONE. */
static size_t connector_of(const struct lt_tags *tags, unsigned number)
{
	return number <= tags->number_max ? tags->connector_of[number] : LT_NONE;
}

enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage)
{
	if (tags->harness->connectors[connector].sides != 2)
		return LT_SIDE_H;
	if ((stage == LT_STAGE_TAG || stage == LT_STAGE_UNPLUG) &&
		lt_connector_replaced(tags->harness, connector))
		return LT_SIDE_X;
	return LT_SIDE_M;
}

/* The tag that belongs to the one that was read. */
static struct tag other_half(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const size_t connector = connector_of(tags, answer->number);
	enum lt_side side = LT_SIDE_H;
	if (stage == LT_STAGE_SWAP)
		side = answer->side == LT_SIDE_X ? LT_SIDE_M : LT_SIDE_X;
	else if (answer->side == LT_SIDE_H && connector != LT_NONE)
		side = lt_mate_side(tags, connector, stage);
	return tag_of(answer->number, side);
}

/* Where a sticker of stage swap is. */
static const char *swap_place(enum lt_side side)
{
	return side == LT_SIDE_X ? "old" : "new";
}

static void say_half(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage)
{
	const struct tag other = other_half(answer, tags, stage);
	lt_text_printf(out, "%s read. Now scan %s", tag_of(answer->number, answer->side).text,
		other.text);
	if (stage == LT_STAGE_SWAP)
		lt_text_printf(out, ", on the %s part",
			swap_place(answer->side == LT_SIDE_X ? LT_SIDE_M : LT_SIDE_X));
	lt_text_add_char(out, '.');
}

static void say_made(struct lt_text *out, unsigned number, const char *what, enum lt_stage stage)
{
	lt_text_printf(out, "%u: %s. ", number, what);
	if (stage == LT_STAGE_TAG)
		lt_text_add(out, "Look that the sticker sits on this joint and on no other.");
	else
		lt_text_add(out, "Seat it, pull gently, tick.");
}

static void say_done(struct lt_text *out, unsigned number, enum lt_stage stage)
{
	if (stage == LT_STAGE_UNPLUG)
		lt_text_printf(out, "%u: noted as apart. Leave its stickers on.", number);
	else
		say_made(out, number, "read; it has one sticker only", stage);
}

static void say_mated(struct lt_text *out, unsigned number, enum lt_stage stage)
{
	if (stage == LT_STAGE_SWAP)
		lt_text_printf(out,
			"%u: the new part carries the number of the old one. Look that %s sits where "
			"%s sits on the old part.",
			number, tag_of(number, LT_SIDE_M).text, tag_of(number, LT_SIDE_X).text);
	else if (stage == LT_STAGE_TAG)
		lt_text_printf(out,
			"%u: right pair. Look that both stickers sit on the two halves of this one "
			"joint.",
			number);
	else
		say_made(out, number, "right pair", stage);
}

static void say_repeat(struct lt_text *out, const struct lt_answer *answer, enum lt_stage stage)
{
	if (answer->left) {
		lt_text_printf(out,
			"%u: right pair, and not noted as apart in this job. If you took it apart: seat "
			"it, pull gently.",
			answer->number);
		return;
	}
	lt_text_printf(out, "%u: %s before, and nothing has changed. ", answer->number,
		stage == LT_STAGE_UNPLUG ? "noted as apart" : "read");
	if (stage == LT_STAGE_RECONNECT)
		lt_text_add(out, "If you took it apart: seat it, pull gently.");
	else
		lt_text_printf(out, "Go on with the next %s.",
			stage == LT_STAGE_SWAP ? "part" : "joint");
}

static void say_out_of_order(struct lt_text *out, const struct lt_answer *answer,
	enum lt_stage stage)
{
	const unsigned first = answer->blocked_by, number = answer->number;
	if (stage == LT_STAGE_UNPLUG)
		lt_text_printf(out,
			"%u: noted as apart, but %u should have come apart first. Look that nothing was "
			"forced, then take %u apart and scan it, or skip it if it stays plugged in.",
			number, first, first);
	else
		lt_text_printf(out,
			"Not yet: %u must be made before %u. Make %u, then scan %u again.", first,
			number, first, number);
}

static void say_same_side(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage)
{
	const struct tag now = tag_of(answer->number, answer->side);
	const struct tag old = tag_of(answer->other, answer->other_side);
	if (answer->number == answer->other && answer->side == answer->other_side)
		lt_text_printf(out, "%s again. ", now.text);
	else if (stage == LT_STAGE_SWAP)
		lt_text_printf(out, "%s and %s are both on %s parts. ", old.text, now.text,
			swap_place(answer->side));
	else if (answer->side == LT_SIDE_H)
		lt_text_printf(out, "%s and %s are both harness halves. ", old.text, now.text);
	else
		lt_text_printf(out, "%s and %s are both machine halves. ", old.text, now.text);
	lt_text_printf(out, "%s counts now: scan %s.", now.text,
		other_half(answer, tags, stage).text);
}

static void say_wrong_mate(struct lt_text *out, const struct lt_answer *answer, enum lt_stage stage)
{
	if (stage == LT_STAGE_SWAP) {
		lt_text_printf(out,
			"WRONG MATE: %s and %s are of two different parts, and both are open again. Put "
			"the stickers of the new parts right, then scan both parts again.",
			tag_of(answer->other, answer->other_side).text,
			tag_of(answer->number, answer->side).text);
		return;
	}
	if (stage == LT_STAGE_TAG) {
		lt_text_printf(out,
			"WRONG MATE: %s is not the other half of %s. Leave everything plugged in; put "
			"the stickers right, then scan both joints again.",
			tag_of(answer->number, answer->side).text,
			tag_of(answer->other, answer->other_side).text);
		return;
	}
	lt_text_printf(out,
		"WRONG MATE: %s is not the other half of %s. Take them apart; both are open again",
		tag_of(answer->number, answer->side).text,
		tag_of(answer->other, answer->other_side).text);
	if (answer->reopened > 0)
		lt_text_printf(out, ", and %zu made %s to be made and scanned again",
			answer->reopened, answer->reopened == 1 ? "joint has" : "joints have");
	lt_text_add_char(out, '.');
}

/* A sticker that this harness has, but that has no place at stage swap. */
static void say_not_swapped(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, size_t connector)
{
	const unsigned number = answer->number;
	const struct tag tag = tag_of(number, answer->side);
	if (!lt_connector_replaced(tags->harness, connector))
		lt_text_printf(out,
			"%s: the part of number %u is not replaced. Scan the stickers of replaced parts "
			"only.",
			tag.text, number);
	else
		lt_text_printf(out,
			"%s is on the harness. Scan the part's sticker: %s on the old part or %s on the "
			"new one.",
			tag.text, tag_of(number, LT_SIDE_X).text, tag_of(number, LT_SIDE_M).text);
}

/* A sticker that this harness may have had, but that has no place at the other stages. */
static void say_no_place(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage, size_t connector)
{
	const struct tag tag = tag_of(answer->number, answer->side);
	if (answer->side == LT_SIDE_M && lt_mate_side(tags, connector, stage) == LT_SIDE_X)
		lt_text_printf(out,
			"%s is for the new part, which is not in the machine yet. Now scan %s, on the "
			"outgoing part.",
			tag.text, tag_of(answer->number, LT_SIDE_X).text);
	else if (answer->side == LT_SIDE_M)
		lt_text_printf(out, "%s: number %u has one sticker only, %s.", tag.text,
			answer->number, tag_of(answer->number, LT_SIDE_H).text);
	else
		lt_text_printf(out,
			"%s: number %u has no outgoing part that is described. Look whether its part "
			"is to be replaced.",
			tag.text, answer->number);
}

static void say_unknown(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage)
{
	const struct tag tag = tag_of(answer->number, answer->side);
	const size_t connector = connector_of(tags, answer->number);
	if (answer->number <= tags->number_max && tags->retired[answer->number])
		lt_text_printf(out,
			"%s is an old sticker: number %u is no longer in use. Take it off.",
			tag.text, answer->number);
	else if (connector == LT_NONE)
		lt_text_printf(out, "%s: this harness has no number %u. Look for a stray sticker.",
			tag.text, answer->number);
	else if (stage == LT_STAGE_SWAP)
		say_not_swapped(out, answer, tags, connector);
	else
		say_no_place(out, answer, tags, stage, connector);
}

static void say_misread(struct lt_text *out, const struct lt_answer *answer)
{
	if (answer->typed)
		lt_text_printf(out,
			"Misread: %s was typed, and a typed tag proves nothing here. Scan the sticker.",
			tag_of(answer->number, answer->side).text);
	else
		lt_text_add(out, "Misread: scan again.");
	if (answer->other != 0)
		lt_text_printf(out, " %s still waits for its other half.",
			tag_of(answer->other, answer->other_side).text);
}

void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage)
{
	const struct tag tag = tag_of(answer->number, answer->side);
	switch (answer->verdict) {
	case LT_VERDICT_HALF:
		say_half(out, answer, tags, stage);
		break;
	case LT_VERDICT_MATED:
		say_mated(out, answer->number, stage);
		break;
	case LT_VERDICT_DONE:
		say_done(out, answer->number, stage);
		break;
	case LT_VERDICT_REPEAT:
		say_repeat(out, answer, stage);
		break;
	case LT_VERDICT_SAME_SIDE:
		say_same_side(out, answer, tags, stage);
		break;
	case LT_VERDICT_WRONG_MATE:
		say_wrong_mate(out, answer, stage);
		break;
	case LT_VERDICT_OUT_OF_ORDER:
		say_out_of_order(out, answer, stage);
		break;
	case LT_VERDICT_OLD_PART:
		if (answer->side == LT_SIDE_M)
			lt_text_printf(out,
				"%s went out before the part was to be replaced, so it is on the "
				"outgoing part. Print %s to stick over it, and %s for the new part.",
				tag.text, tag_of(answer->number, LT_SIDE_X).text, tag.text);
		else
			lt_text_printf(out, "%s is the outgoing part. The new part carries %s.",
				tag.text, tag_of(answer->number, LT_SIDE_M).text);
		break;
	case LT_VERDICT_FOREIGN:
		lt_text_printf(out, "This sticker belongs to another harness or unit: %s, not %s.",
			answer->code, tags->harness->code);
		break;
	case LT_VERDICT_UNKNOWN:
		say_unknown(out, answer, tags, stage);
		break;
	case LT_VERDICT_MISREAD:
	case LT_VERDICT_COUNT:
		say_misread(out, answer);
		break;
	}
}
