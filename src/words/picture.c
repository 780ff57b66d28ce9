/* What the stickers in a picture of a joint say. */
#include "loomtag/words.h"

const struct lt_picture_words lt_picture_words = {
	.no_code = "No code found. Go closer, hold still, use more light.",
	.nothing_changed = "This joint was scanned before. Nothing changed.",
};

void lt_words_picture_half(struct lt_text *out, const char *tag)
{
	lt_text_printf(out, "Only %s found. Take a picture with both stickers in it.", tag);
}

void lt_words_picture_two_joints(struct lt_text *out, const char *tags)
{
	lt_text_printf(out, "%s belong to two joints. Take one picture of each joint.", tags);
}

void lt_words_picture_many(struct lt_text *out, const char *tags, size_t count)
{
	lt_text_printf(out, "%zu stickers found: %s. Take one picture of each joint.", count, tags);
}

void lt_words_picture_joint(struct lt_text *out, const char *tags, const char *name)
{
	if (name != NULL)
		lt_text_printf(out, "%s: %s.", tags, name);
	else
		lt_text_printf(out, "%s.", tags);
}

void lt_words_picture_same_side(struct lt_text *out, const char *tags, enum lt_side side)
{
	if (side == LT_SIDE_H)
		lt_text_printf(out,
			"%s are both harness halves, so not a pair. Check which sticker is wrong.",
			tags);
	else
		lt_text_printf(out,
			"%s are both machine halves, so not a pair. Check which sticker is wrong.",
			tags);
}

void lt_words_picture_ignored(struct lt_text *out, const char *codes, size_t count)
{
	lt_text_printf(out,
		lt_plural(count, "%zu other code was ignored: %s",
			"%zu other codes were ignored: %s"),
		count, codes);
}
