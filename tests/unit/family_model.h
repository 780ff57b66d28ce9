/* Families compared a second time, from the words of the manual: each with each, part by part. */
#ifndef LOOMTAG_TESTS_UNIT_FAMILY_MODEL_H
#define LOOMTAG_TESTS_UNIT_FAMILY_MODEL_H

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FAMILY_PARTS = 12, FAMILY_LETTERS = 24 };

/* Families of ASCII letters, digits and points. */
struct family_model {
	char words[FAMILY_PARTS][FAMILY_LETTERS];
	bool joined[FAMILY_PARTS]; /* the word follows the one before it */
	size_t word_count;
	double numbers[FAMILY_PARTS];
	size_t number_count;
};

static inline struct family_model family_model_of(const char *text)
{
	struct family_model f = { 0 };
	bool after_word = false;
	while (*text != '\0') {
		if (isdigit((unsigned char)*text)) {
			char *end;
			f.numbers[f.number_count++] = strtod(text, &end);
			text = end;
			after_word = false;
		} else if (isalpha((unsigned char)*text)) {
			char *word = f.words[f.word_count];
			for (size_t i = 0; isalpha((unsigned char)*text); i++)
				word[i] = (char)tolower((unsigned char)*text++);
			f.joined[f.word_count++] = after_word;
			after_word = true;
		} else {
			text++;
		}
	}
	return f;
}

static inline bool family_model_numbers(const struct family_model *a, const struct family_model *b)
{
	bool used[FAMILY_PARTS] = { false };
	for (size_t i = 0; i < a->number_count; i++) {
		size_t j = 0;
		while (j < b->number_count && (used[j] || a->numbers[i] != b->numbers[j]))
			j++;
		if (j == b->number_count)
			return false;
		used[j] = true;
	}
	return a->number_count == b->number_count;
}

/* How many words of `a` find no partner in `b`. */
static inline size_t family_model_left(const struct family_model *a, const struct family_model *b)
{
	bool used[FAMILY_PARTS] = { false };
	size_t left = 0;
	for (size_t i = 0; i < a->word_count; i++) {
		size_t j = 0;
		while (j < b->word_count && (used[j] || strcmp(a->words[i], b->words[j]) != 0))
			j++;
		if (j == b->word_count)
			left++;
		else
			used[j] = true;
	}
	return left;
}

static inline bool family_model_same(const struct family_model *a, const struct family_model *b)
{
	return family_model_numbers(a, b) && family_model_left(a, b) == 0 &&
	       family_model_left(b, a) == 0;
}

/* One letter differs, is missing or stands before its neighbour. */
static inline bool family_model_slip(const char *a, const char *b)
{
	if (strlen(a) == 1 && strlen(b) == 1)
		return false;
	const size_t long_one = strlen(a) > strlen(b) ? strlen(a) : strlen(b);
	if (strlen(a) < strlen(b)) {
		const char *other = a;
		a = b;
		b = other;
	}
	if (strlen(a) == strlen(b)) {
		size_t different = 0, last = 0;
		for (size_t i = 0; i < long_one; i++)
			if (a[i] != b[i]) {
				different++;
				last = i;
			}
		return different == 1 || (different == 2 && last > 0 && a[last] == b[last - 1] &&
						 a[last - 1] == b[last]);
	}
	for (size_t i = 0; strlen(a) == strlen(b) + 1 && i < long_one; i++)
		if (strncmp(a, b, i) == 0 && strcmp(a + i + 1, b + i) == 0)
			return true;
	return false;
}

/* `b` is `a` with two words that follow each other run together. */
static inline bool family_model_run_together(const struct family_model *a,
	const struct family_model *b)
{
	for (size_t i = 1; i < a->word_count; i++) {
		struct family_model joined = *a;
		if (!a->joined[i])
			continue;
		char *before = joined.words[i - 1];
		const size_t length = strlen(before);
		snprintf(before + length, FAMILY_LETTERS - length, "%s", a->words[i]);
		memcpy(joined.words[i], joined.words[joined.word_count - 1], FAMILY_LETTERS);
		joined.word_count--;
		if (family_model_same(&joined, b))
			return true;
	}
	return false;
}

static inline bool family_model_near(const struct family_model *a, const struct family_model *b)
{
	if (!family_model_numbers(a, b))
		return false;
	const size_t only_a = family_model_left(a, b), only_b = family_model_left(b, a);
	const bool shared = a->number_count > 0 || a->word_count > only_a;
	if (only_a <= 1 && only_b <= 1 && only_a + only_b > 0 && shared)
		return true;
	if (a->number_count == 0 && a->word_count == 1 && b->word_count == 1 &&
		family_model_slip(a->words[0], b->words[0]))
		return true;
	return family_model_run_together(a, b) || family_model_run_together(b, a);
}

#endif
