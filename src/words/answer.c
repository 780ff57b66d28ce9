/* The answers to scans in words: each verdict, and what to do next. */
#include <stdio.h>

#include "loomtag/words.h"

struct lt_verdict_words {
	/* To be read at arm's length. */
	const char *shown[LT_VERDICT_COUNT];
	const char *shown_at_unplug[LT_VERDICT_COUNT]; /* NULL: as at the other stages */
};
static const struct lt_verdict_words lt_verdict_words = {
	.shown = {
		[LT_VERDICT_HALF] = "HALF",
		[LT_VERDICT_MATED] = "RIGHT PAIR",
		[LT_VERDICT_DONE] = "RIGHT STICKER",
		[LT_VERDICT_REPEAT] = "SCANNED BEFORE",
		[LT_VERDICT_SAME_SIDE] = "SAME SIDE",
		[LT_VERDICT_WRONG_MATE] = "WRONG MATE",
		[LT_VERDICT_OUT_OF_ORDER] = "TOO EARLY",
		[LT_VERDICT_OLD_PART] = "OLD PART",
		[LT_VERDICT_FOREIGN] = "OTHER HARNESS OR UNIT",
		[LT_VERDICT_UNKNOWN] = "UNKNOWN",
		[LT_VERDICT_MISREAD] = "MISREAD",
	},
	.shown_at_unplug = {
		[LT_VERDICT_DONE] = "APART",
	},
};

const char *lt_verdict_word(enum lt_verdict verdict, enum lt_stage stage)
{
	const char *at_unplug = lt_verdict_words.shown_at_unplug[verdict];
	return stage == LT_STAGE_UNPLUG && at_unplug != NULL ? at_unplug
							     : lt_verdict_words.shown[verdict];
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

/* The cases in which a verdict has other sentences than it has as a rule. */
enum {
	TEXT_OLD_NEXT = LT_VERDICT_COUNT, /* half, and the other half is on the old part */
	TEXT_NEW_NEXT,                    /* or on the new one */
	TEXT_HALF_ON_PAPER,               /* half, of a joint that has no stickers */
	TEXT_AGAIN,                       /* the same sticker twice */
	TEXT_TWO_MACHINE_HALVES,
	TEXT_TWO_OLD_PARTS,
	TEXT_TWO_NEW_PARTS,
	TEXT_LEFT,  /* right pair, that was not recorded as apart */
	TEXT_OLD_M, /* an M that is on the old part */
	TEXT_TYPED,
	TEXT_RETIRED,
	TEXT_ON_HARNESS, /* H, where parts are swapped */
	TEXT_NOT_REPLACED,
	TEXT_NOT_YET, /* M, while the old part is in */
	TEXT_ONE_STICKER,
	TEXT_NO_OLD_PART,
	TEXTS
};

/* Marks in them stand for the values:
 *     %t the tag that was read      %n its number         %c the code that was read
 *     %m the tag that belongs to it %H %M %X its sides    %h the code of the harness
 *     %o the tag that waited        %b the number that comes first */
static const struct {
	const char *usual, *at[LT_STAGE_COUNT]; /* at some stages it is something else */
} texts[TEXTS] = {
	[LT_VERDICT_HALF] = { .usual = "%t read. Now scan %m." },
	[LT_VERDICT_MATED] = { .usual = "%n: right pair. Seat it, pull gently, tick.",
		.at = { [LT_STAGE_TAG] = "%n: right pair. Check that both stickers are on the two "
					 "halves of this joint.",
			[LT_STAGE_SWAP] = "%n: right pair. Check that %M is on the new part, in "
					  "the same place as %X on the old part." } },
	[LT_VERDICT_DONE] = { .usual = "%n: right sticker. It has no other half. Seat the joint, "
				       "pull gently, tick.",
		.at = { [LT_STAGE_TAG] =
				"%n: right sticker. It has no other half. Check that it is on "
				"this joint and no other.",
			[LT_STAGE_UNPLUG] = "%n: recorded as apart. Leave its stickers on." } },
	[LT_VERDICT_REPEAT] = { .usual = "%n: scanned before. Nothing has changed. Scan the next "
					 "joint.",
		.at = { [LT_STAGE_UNPLUG] =
				"%n: recorded as apart before. Nothing has changed. Scan the next "
				"joint.",
			[LT_STAGE_SWAP] =
				"%n: scanned before. Nothing has changed. Scan the next part.",
			[LT_STAGE_RECONNECT] =
				"%n: scanned before. Nothing has changed. If you took it apart, "
				"seat it, pull gently, tick." } },
	[LT_VERDICT_SAME_SIDE] = { .usual = "%o and %t are both on harness halves. Now scan %m, "
					    "the other half of %t." },
	[LT_VERDICT_WRONG_MATE] = { .usual = "WRONG MATE: %t is not the other half of %o. A wrong "
					     "mate can burn a board or hurt someone. Take both "
					     "joints apart now. Then scan the right pairs.",
		.at = { [LT_STAGE_TAG] =
				"WRONG MATE: %t is not the other half of %o. A sticker on the "
				"wrong half leads to a wrong mate later. Leave everything plugged "
				"in. Put each sticker on its correct half. Then scan both pairs "
				"again.",
			[LT_STAGE_SWAP] =
				"WRONG MATE: %o and %t carry different numbers. A wrong sticker on "
				"a new part leads to a wrong mate later. Put each sticker on its "
				"correct part. Then scan both pairs again." } },
	[LT_VERDICT_OUT_OF_ORDER] = { .usual = "TOO EARLY: %n comes after %b and does not count "
					       "yet. Make %b. Then scan %n again.",
		.at = { [LT_STAGE_UNPLUG] =
				"%n: recorded as apart, but %b should come first. Check that "
				"nothing was forced. Then unplug %b and scan it. If %b stays "
				"plugged in, type: skip %b REASON" } },
	[LT_VERDICT_OLD_PART] = { .usual = "%t is on the old part. Scan %M on the new part." },
	[LT_VERDICT_FOREIGN] = { .usual = "This sticker belongs to another harness or unit: %c, "
					  "not %h. Do not connect it here. Find out where it "
					  "belongs." },
	[LT_VERDICT_UNKNOWN] = { .usual = "%t: this harness has no number %n. Find out where this "
					  "sticker belongs." },
	[LT_VERDICT_MISREAD] = { .usual = "Misread. Scan again." },
	[TEXT_OLD_NEXT] = { .usual = "%t read. Now scan %m on the old part." },
	[TEXT_NEW_NEXT] = { .usual = "%t read. Now scan %m on the new part." },
	[TEXT_HALF_ON_PAPER] = { .usual = "%t read. Now type %m." },
	[TEXT_AGAIN] = { .usual = "%t again. Scan its other half, %m." },
	[TEXT_TWO_MACHINE_HALVES] = { .usual = "%o and %t are both on machine halves. Now scan %m, "
					       "the other half of %t." },
	[TEXT_TWO_OLD_PARTS] = { .usual = "%o and %t are both on old parts. Now scan %m on the new "
					  "part." },
	[TEXT_TWO_NEW_PARTS] = { .usual = "%o and %t are both on new parts. Now scan %m on the old "
					  "part." },
	[TEXT_LEFT] = { .usual = "%n: right pair. This job has no record that it was apart. If you "
				 "took it apart, seat it, pull gently, tick." },
	[TEXT_OLD_M] = { .usual = "This %t is an early sticker on the old part. Print %X and "
				  "stick it over this %t. Print a new %t and stick it on the new "
				  "part." },
	[TEXT_TYPED] = { .usual =
				 "NOT COUNTED: %t was typed by hand. Scan the sticker. If you have no "
				 "scanner, quit and run the same command with --typed." },
	[TEXT_RETIRED] = { .usual = "%t is an old sticker. Number %n is no longer used. Remove the "
				    "sticker." },
	[TEXT_ON_HARNESS] = { .usual = "%t is on the harness. Scan the sticker of the part: %X on "
				       "the old part or %M on the new part." },
	[TEXT_NOT_REPLACED] = { .usual = "%t: the part of number %n is not replaced. Scan only the "
					 "stickers of replaced parts." },
	[TEXT_NOT_YET] = { .usual = "%t is for the new part, which is not in the machine yet. "
				    "Scan %X on the old part." },
	[TEXT_ONE_STICKER] = { .usual = "%t: number %n has only one sticker, %H." },
	[TEXT_NO_OLD_PART] = { .usual = "%t: no old part is described for number %n. Check whether "
					"its part is replaced." },
};

/* Of a sticker that this harness has or may have had, but that has no place at this stage. */
static unsigned text_of_unknown(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const size_t connector = connector_of(tags, answer->number);
	if (answer->number <= tags->number_max && tags->retired[answer->number])
		return TEXT_RETIRED;
	if (connector == LT_NONE)
		return LT_VERDICT_UNKNOWN;
	if (stage == LT_STAGE_SWAP)
		return lt_connector_replaced(tags->harness, connector) ? TEXT_ON_HARNESS
								       : TEXT_NOT_REPLACED;
	if (answer->side != LT_SIDE_M)
		return TEXT_NO_OLD_PART;
	return lt_mate_side(tags, connector, stage) == LT_SIDE_X ? TEXT_NOT_YET : TEXT_ONE_STICKER;
}

static unsigned text_of_same_side(const struct lt_answer *answer, enum lt_stage stage)
{
	if (answer->number == answer->other && answer->side == answer->other_side)
		return TEXT_AGAIN;
	if (stage == LT_STAGE_SWAP)
		return answer->side == LT_SIDE_X ? TEXT_TWO_OLD_PARTS : TEXT_TWO_NEW_PARTS;
	return answer->side == LT_SIDE_H ? LT_VERDICT_SAME_SIDE : TEXT_TWO_MACHINE_HALVES;
}

static unsigned text_of_half(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	const size_t connector = connector_of(tags, answer->number);
	if (connector != LT_NONE && tags->harness->connectors[connector].marking == LT_MARK_PAPER)
		return TEXT_HALF_ON_PAPER;
	if (stage == LT_STAGE_SWAP)
		return answer->side == LT_SIDE_X ? TEXT_NEW_NEXT : TEXT_OLD_NEXT;
	return LT_VERDICT_HALF;
}

static unsigned text_of(const struct lt_answer *answer, const struct lt_tags *tags,
	enum lt_stage stage)
{
	switch (answer->verdict) {
	case LT_VERDICT_HALF:
		return text_of_half(answer, tags, stage);
	case LT_VERDICT_REPEAT:
		return answer->left ? TEXT_LEFT : LT_VERDICT_REPEAT;
	case LT_VERDICT_SAME_SIDE:
		return text_of_same_side(answer, stage);
	case LT_VERDICT_OLD_PART:
		return answer->side == LT_SIDE_M ? TEXT_OLD_M : LT_VERDICT_OLD_PART;
	case LT_VERDICT_UNKNOWN:
		return text_of_unknown(answer, tags, stage);
	case LT_VERDICT_MISREAD:
	case LT_VERDICT_COUNT:
		return answer->typed ? TEXT_TYPED : LT_VERDICT_MISREAD;
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
	};
	const unsigned text = text_of(answer, tags, stage);
	const char *words = texts[text].at[stage];
	for (words = words != NULL ? words : texts[text].usual; *words != '\0'; words++) {
		if (*words == '%')
			lt_text_add(out, names[(unsigned char)*++words]);
		else
			lt_text_add_char(out, *words);
	}
	/* At the other stages the sentence says what is open again. */
	if (text == LT_VERDICT_WRONG_MATE && stage == LT_STAGE_RECONNECT && answer->reopened > 0)
		lt_text_printf(out,
			lt_plural(answer->reopened,
				" %zu joint no longer counts as made. Make it, then scan it again.",
				" %zu joints no longer count as made. Make them, then scan them "
				"again."),
			answer->reopened);
	if ((text == LT_VERDICT_MISREAD || text == TEXT_TYPED) && answer->other != 0)
		lt_text_printf(out, " %s still waits for its other half.", names['o']);
}
