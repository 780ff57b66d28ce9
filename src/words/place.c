/* In which order places are listed: by what they are behind, beside or in; numbers as numbers. */
#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

#include "loomtag/words.h"

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static int fold(char c)
{
	return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : (unsigned char)c;
}

/* What is behind the word, or NULL where the text does not begin with it. */
static const char *behind_word(const char *text, const char *word)
{
	size_t length = strlen(word);
	if (strncasecmp(text, word, length) != 0 || text[length] != ' ')
		return NULL;
	text += length;
	return text + strspn(text, " ");
}

static const char *behind_any(const char *text, const char *const *words, size_t count)
{
	const char *behind = NULL;
	for (size_t i = 0; i < count && behind == NULL; i++)
		behind = behind_word(text, words[i]);
	return behind;
}

#define BEHIND_ANY(text, words) behind_any(text, words, sizeof(words) / sizeof *(words))

/* What is behind one word, or pair of words, that says no more than where at the thing. */
static const char *behind_next(const char *text)
{
	static const char *const words[] = { "behind", "under", "beneath", "inside", "outside",
		"within", "on", "over", "above", "below", "at", "in", "into", "along", "beside",
		"between", "near", "through", "by", "from", "to", "of", "the", "a", "an" };
	static const char *const sides[] = { "left", "right", "top", "bottom", "end", "foot",
		"head", "back", "front", "rear", "middle", "centre", "side", "edge", "next" };
	const char *behind = BEHIND_ANY(text, words);
	if (behind != NULL)
		return behind;
	/* "left of the drum", not "left cover". */
	behind = BEHIND_ANY(text, sides);
	if (behind == NULL)
		return NULL;
	const char *rest = behind_word(behind, "of");
	return rest != NULL ? rest : behind_word(behind, "to");
}

/* The part of a place behind words such as "behind the" and "top of": "left cover" of "behind the
 * left cover"; all of it where nothing is behind them. Points into the place. */
static const char *thing_of(const char *place)
{
	const char *thing = place;
	for (const char *next = place; next != NULL; next = behind_next(thing))
		thing = next;
	return thing[0] != '\0' ? thing : place;
}

static size_t count_digits(const char *text)
{
	size_t digits = 0;
	while (is_digit(text[digits]))
		digits++;
	return digits;
}

static int compare_words(const char *a, const char *b)
{
	for (bool inside = false; *a != '\0' && *b != '\0'; a++, b++) {
		bool number = is_digit(*a) && is_digit(*b);
		if (number && !inside) {
			size_t digits = count_digits(a), others = count_digits(b);
			if (digits != others)
				return digits < others ? -1 : 1;
		}
		if (fold(*a) != fold(*b))
			return fold(*a) < fold(*b) ? -1 : 1;
		inside = number;
	}
	return (*a != '\0') - (*b != '\0');
}

int lt_place_compare(const char *a, const char *b)
{
	if (a == NULL || b == NULL)
		return (a == NULL) - (b == NULL);
	int order = compare_words(thing_of(a), thing_of(b));
	if (order == 0)
		order = compare_words(a, b);
	return order != 0 ? order : strcmp(a, b);
}
