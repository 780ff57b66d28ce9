/* The answers to scans in plain words. */
#include <stdio.h>

#include "loomtag/words.h"

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

/* The side of the tag that belongs to the one that was read. */
static enum lt_side other_half(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const size_t connector = connector_of(tags, answer->number);
	if (stage == LT_STAGE_SWAP)
		return answer->side == LT_SIDE_X ? LT_SIDE_M : LT_SIDE_X;
	if (answer->side == LT_SIDE_H && connector != LT_NONE)
		return lt_mate_side(tags, connector, stage);
	return LT_SIDE_H;
}

/* What is said beside what each verdict says as a rule. */
enum {
	SAYS_AGAIN = LT_VERDICT_COUNT, /* the same sticker twice */
	SAYS_LEFT,                     /* right pair, that was not noted as apart */
	SAYS_OLD_M,                    /* an M that is on the outgoing part */
	SAYS_TYPED,
	SAYS_RETIRED,
	SAYS_ON_HARNESS, /* H, where parts are swapped */
	SAYS_NOT_REPLACED,
	SAYS_NOT_YET, /* M, while the outgoing part is in */
	SAYS_ONE_STICKER,
	SAYS_NO_OLD_PART,
	SAYINGS
};

/* Marks in them stand for what they name:
 *     %t the tag that was read      %n its number         %c the code that was read
 *     %m the tag that belongs to it %H %M %X its sides    %h the code of the harness
 *     %o the tag that waited        %b the number that comes first
 *     %p whether the tag is on the "old" or the "new" part   %q the same of its mate
 *     %s whether it is on the "harness" or the "machine" half */
static const struct {
	const char *usual, *at[LT_STAGE_COUNT]; /* at some stages it is something else */
} sayings[SAYINGS] = {
	[LT_VERDICT_HALF] = { .usual = "%t read. Now scan %m.",
		.at = { [LT_STAGE_SWAP] = "%t read. Now scan %m, on the %q part." } },
	[LT_VERDICT_MATED] = { .usual = "%n: right pair. Seat it, pull gently, tick.",
		.at = { [LT_STAGE_TAG] =
				"%n: right pair. Look that both stickers sit on the two halves of "
				"this one joint.",
			[LT_STAGE_SWAP] =
				"%n: the new part carries the number of the old one. Look "
				"that %M sits where %X sits on the old part." } },
	[LT_VERDICT_DONE] = { .usual =
				      "%n: read; it has one sticker only. Seat it, pull gently, tick.",
		.at = { [LT_STAGE_TAG] =
				"%n: read; it has one sticker only. Look that the sticker sits on "
				"this joint and on no other.",
			[LT_STAGE_UNPLUG] = "%n: noted as apart. Leave its stickers on." } },
	[LT_VERDICT_REPEAT] = { .usual =
					"%n: read before, and nothing has changed. Go on with the next "
					"joint.",
		.at = { [LT_STAGE_UNPLUG] =
				"%n: noted as apart before, and nothing has changed. Go on "
				"with the next joint.",
			[LT_STAGE_SWAP] =
				"%n: read before, and nothing has changed. Go on with the "
				"next part.",
			[LT_STAGE_RECONNECT] = "%n: read before, and nothing has changed. If you "
					       "took it apart: seat it, pull gently." } },
	[LT_VERDICT_SAME_SIDE] = { .usual = "%o and %t are both %s halves. %t counts now: scan %m.",
		.at = { [LT_STAGE_SWAP] =
				"%o and %t are both on %p parts. %t counts now: scan %m." } },
	[LT_VERDICT_WRONG_MATE] = { .usual =
					    "WRONG MATE: %t is not the other half of %o. Take them apart; "
					    "both are open again",
		.at = { [LT_STAGE_TAG] =
				"WRONG MATE: %t is not the other half of %o. Leave everything "
				"plugged in; put the stickers right, then scan both joints "
				"again.",
			[LT_STAGE_SWAP] = "WRONG MATE: %o and %t are of two different parts, and "
					  "both are open again. Put the stickers of the new parts "
					  "right, then scan both parts again." } },
	[LT_VERDICT_OUT_OF_ORDER] = { .usual =
					      "Not yet: %b must be made before %n. Make %b, then scan %n "
					      "again.",
		.at = { [LT_STAGE_UNPLUG] =
				"%n: noted as apart, but %b should have come apart first. Look "
				"that nothing was forced, then take %b apart and scan it, or "
				"skip it if it stays plugged in." } },
	[LT_VERDICT_OLD_PART] = { .usual = "%t is the outgoing part. The new part carries %M." },
	[LT_VERDICT_FOREIGN] = { .usual =
					 "This sticker belongs to another harness or unit: %c, not %h." },
	[LT_VERDICT_UNKNOWN] = { .usual =
					 "%t: this harness has no number %n. Look for a stray sticker." },
	[LT_VERDICT_MISREAD] = { .usual = "Misread: scan again." },
	[SAYS_AGAIN] = { .usual = "%t again. %t counts now: scan %m." },
	[SAYS_LEFT] = { .usual =
				"%n: right pair, and not noted as apart in this job. If you took it apart: "
				"seat it, pull gently." },
	[SAYS_OLD_M] = { .usual =
				 "%t went out before the part was to be replaced, so it is on the outgoing "
				 "part. Print %X to stick over it, and %t for the new part." },
	[SAYS_TYPED] = { .usual =
				 "Misread: %t was typed, and a typed tag proves nothing here. Scan the "
				 "sticker." },
	[SAYS_RETIRED] = { .usual =
				   "%t is an old sticker: number %n is no longer in use. Take it off." },
	[SAYS_ON_HARNESS] = { .usual =
				      "%t is on the harness. Scan the part's sticker: %X on the old part or "
				      "%M on the new one." },
	[SAYS_NOT_REPLACED] = { .usual =
					"%t: the part of number %n is not replaced. Scan the stickers of "
					"replaced parts only." },
	[SAYS_NOT_YET] = { .usual =
				   "%t is for the new part, which is not in the machine yet. Now scan %X, on "
				   "the outgoing part." },
	[SAYS_ONE_STICKER] = { .usual = "%t: number %n has one sticker only, %H." },
	[SAYS_NO_OLD_PART] = { .usual =
				       "%t: number %n has no outgoing part that is described. Look whether "
				       "its part is to be replaced." },
};

/* Of a sticker that this harness has or may have had, but that has no place at this stage. */
static unsigned say_of_unknown(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const size_t connector = connector_of(tags, answer->number);
	if (answer->number <= tags->number_max && tags->retired[answer->number])
		return SAYS_RETIRED;
	if (connector == LT_NONE)
		return LT_VERDICT_UNKNOWN;
	if (stage == LT_STAGE_SWAP)
		return lt_connector_replaced(tags->harness, connector) ? SAYS_ON_HARNESS
								       : SAYS_NOT_REPLACED;
	if (answer->side != LT_SIDE_M)
		return SAYS_NO_OLD_PART;
	return lt_mate_side(tags, connector, stage) == LT_SIDE_X ? SAYS_NOT_YET : SAYS_ONE_STICKER;
}

static unsigned say_of(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const bool again = answer->number == answer->other && answer->side == answer->other_side;
	switch (answer->verdict) {
	case LT_VERDICT_REPEAT:
		return answer->left ? SAYS_LEFT : LT_VERDICT_REPEAT;
	case LT_VERDICT_SAME_SIDE:
		return again ? SAYS_AGAIN : LT_VERDICT_SAME_SIDE;
	case LT_VERDICT_OLD_PART:
		return answer->side == LT_SIDE_M ? SAYS_OLD_M : LT_VERDICT_OLD_PART;
	case LT_VERDICT_UNKNOWN:
		return say_of_unknown(answer, tags, stage);
	case LT_VERDICT_MISREAD:
	case LT_VERDICT_COUNT:
		return answer->typed ? SAYS_TYPED : LT_VERDICT_MISREAD;
	case LT_VERDICT_HALF:
	case LT_VERDICT_MATED:
	case LT_VERDICT_DONE:
	case LT_VERDICT_WRONG_MATE:
	case LT_VERDICT_OUT_OF_ORDER:
	case LT_VERDICT_FOREIGN:
		break;
	}
	return answer->verdict;
}

static const char *tag(char out[LT_TAG_SIZE], unsigned number, enum lt_side side)
{
	lt_tag_write(out, number, side);
	return out;
}

#define DECIMAL_SIZE 12
static const char *decimal(char out[DECIMAL_SIZE], unsigned number)
{
	snprintf(out, DECIMAL_SIZE, "%u", number);
	return out;
}

void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage)
{
	enum { MARKS = 128 };
	char room[6][LT_TAG_SIZE], numbers[2][DECIMAL_SIZE];
	const bool old = answer->side == LT_SIDE_X;
	const char *const names[MARKS] = {
		['t'] = tag(room[0], answer->number, answer->side),
		['m'] = tag(room[1], answer->number, other_half(answer, tags, stage)),
		['o'] = tag(room[2], answer->other, answer->other_side),
		['H'] = tag(room[3], answer->number, LT_SIDE_H),
		['M'] = tag(room[4], answer->number, LT_SIDE_M),
		['X'] = tag(room[5], answer->number, LT_SIDE_X),
		['n'] = decimal(numbers[0], answer->number),
		['b'] = decimal(numbers[1], answer->blocked_by),
		['c'] = answer->code,
		['h'] = tags->harness->code,
		['p'] = old ? "old" : "new",
		['q'] = old ? "new" : "old",
		['s'] = answer->side == LT_SIDE_H ? "harness" : "machine",
	};
	const unsigned saying = say_of(answer, tags, stage);
	const char *words = sayings[saying].at[stage];
	for (words = words != NULL ? words : sayings[saying].usual; *words != '\0'; words++) {
		if (*words == '%')
			lt_text_add(out, names[(unsigned char)*++words]);
		else
			lt_text_add_char(out, *words);
	}
	if (saying == LT_VERDICT_WRONG_MATE && sayings[saying].at[stage] == NULL) {
		if (answer->reopened > 0)
			lt_text_printf(out, ", and %zu made %s to be made and scanned again",
				answer->reopened,
				answer->reopened == 1 ? "joint has" : "joints have");
		lt_text_add_char(out, '.');
	}
	if ((saying == LT_VERDICT_MISREAD || saying == SAYS_TYPED) && answer->other != 0)
		lt_text_printf(out, " %s still waits for its other half.", names['o']);
}
