/* Families as people mean them: parts of a text, and which texts are nearly the same. */
#include <stdlib.h>
#include <string.h>

#include "harness/family.h"

/* A text of which more than this are nearly the same by a letter or blank more is no misspelling of
 * them. */
#define LONGER_MOST 256u

/* Two halves, so that two sums are only equal by chance once in 2^128. */
struct sum {
	uint64_t half[2];
};

/* What an entry was entered under. Keys of different ways never meet. */
enum way {
	WAY_WORD,    /* the parts without a word, or all of them */
	WAY_LETTER,  /* a word with a letter left open */
	WAY_SWAPPED, /* a word with two neighbours in the order of their codes */
	WAY_SHORTER, /* a word without a letter, or all of it */
	WAY_BLANK    /* the parts with two words run together, or all of them */
};

/* Small, since a long word has many. */
struct lt_family_entry {
	struct sum key;
	uint32_t shell;
	uint8_t way; /* enum way */
	bool whole;  /* under WAY_SHORTER or WAY_BLANK: entered as it is */
};

static struct sum plus(struct sum a, struct sum b)
{
	return (struct sum){ { a.half[0] + b.half[0], a.half[1] + b.half[1] } };
}

static struct sum minus(struct sum a, struct sum b)
{
	return (struct sum){ { a.half[0] - b.half[0], a.half[1] - b.half[1] } };
}

/* Spreads each bit over all: a multiplication takes it upwards, a shift back down. The factor is
 * 2^64 divided by the golden ratio, made odd. */
static uint64_t scatter(uint64_t x)
{
	enum { ROUNDS = 3 };
	for (int i = 0; i < ROUNDS; i++) {
		x *= UINT64_C(0x9e3779b97f4a7c15);
		x ^= x >> 32;
	}
	return x;
}

static struct sum scatter_both(struct sum s, uint64_t salt)
{
	return (struct sum){ { scatter(s.half[0] + 2 * salt), scatter(~s.half[1] + 2 * salt) } };
}

/* A code point at its place. A word's sum is that of its code points, so that the sum of a word
 * that differs from it in one place needs no walk through the others. */
static struct sum letter(uint32_t code, size_t at)
{
	const uint64_t both = (uint64_t)at << 32 | code;
	return scatter_both((struct sum){ { both, both } }, 7);
}

static bool is_digit(uint32_t code)
{
	return code >= '0' && code <= '9';
}

/* Not a digit, and no white space, punctuation or sign of ASCII, Latin-1 or General Punctuation. */
static bool is_letter(uint32_t code)
{
	if (code < 0x80)
		return (code >= 'a' && code <= 'z') || (code >= 'A' && code <= 'Z');
	if (code <= 0xBF)
		return code == 0xAA || code == 0xB5 || code == 0xBA;
	return code != 0xD7 && code != 0xF7 && !(code >= 0x2000 && code <= 0x206F) &&
	       code != 0x3000;
}

/* A part of a family: a word or a number. */
struct part {
	const char *start; /* in the text */
	size_t length;
	bool is_number;
	bool joins; /* a word, and the part before it is one too */
};

/* The code point at `at` and how many bytes it takes: 0 at the end. */
static size_t code_at(uint32_t *code, const char *at)
{
	const char *next = at;
	*code = lt_utf8_next(&next);
	return (size_t)(next - at);
}

static void read_number(struct part *part, const char *start)
{
	size_t length = strspn(start, "0123456789");
	const size_t decimals = start[length] == '.' || start[length] == ','
					? strspn(start + length + 1, "0123456789")
					: 0;
	if (decimals > 0)
		length += 1 + decimals;
	*part = (struct part){ .start = start, .length = length, .is_number = true };
}

/* The next part, from `at` on; false at the end. */
static bool next_part(struct part *part, const char *at)
{
	uint32_t code;
	size_t step;
	while ((step = code_at(&code, at)) > 0 && !is_digit(code) && !is_letter(code))
		at += step;
	if (step == 0)
		return false;
	if (is_digit(code)) {
		read_number(part, at);
		return true;
	}
	*part = (struct part){ .start = at };
	while ((step = code_at(&code, at + part->length)) > 0 && is_letter(code))
		part->length += step;
	return true;
}

bool lt_family_given(const char *text)
{
	struct part part;
	return text != NULL && next_part(&part, text);
}

/* Removes the marks of Unicode that stand over the letter before them: an umlaut that is written
 * with one is then nearly the same as one that is a letter of its own. */
static void drop_marks(char *text)
{
	char *kept = text;
	const char *at = text;
	while (*at != '\0') {
		uint32_t code;
		const size_t length = code_at(&code, at);
		if (code < 0x300 || code > 0x36F) {
			memmove(kept, at, length);
			kept += length;
		}
		at += length;
	}
	*kept = '\0';
}

/* A part as it is compared. */
static const char *fold_part(struct lt_arena *arena, const struct part *part)
{
	char *folded = lt_arena_copy(arena, part->start, part->length);
	for (char *c = folded; *c != '\0'; c++)
		*c = *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
	if (!part->is_number) {
		drop_marks(folded);
		return folded;
	}
	char *point = strpbrk(folded, ".,");
	if (point != NULL) {
		char *last = folded + part->length - 1;
		*point = '.';
		while (*last == '0')
			*last-- = '\0';
		if (last == point)
			*last = '\0';
	}
	while (folded[0] == '0' && is_digit((unsigned char)folded[1]))
		folded++;
	return folded;
}

/* The parts of a family, in the order of the text. */
struct parts {
	struct lt_arena arena;
	const char **folded;
	bool *is_number, *joins; /* joins: a word that follows a word */
	size_t count, words;
};

static void read_parts(struct parts *out, const char *text)
{
	*out = (struct parts){ 0 };
	const size_t most = strlen(text) + 1;
	out->folded = lt_arena_array(&out->arena, most, sizeof *out->folded);
	out->is_number = lt_arena_array(&out->arena, most, sizeof *out->is_number);
	out->joins = lt_arena_array(&out->arena, most, sizeof *out->joins);
	struct part part;
	for (const char *at = text; next_part(&part, at); at = part.start + part.length) {
		const size_t i = out->count++;
		out->folded[i] = fold_part(&out->arena, &part);
		out->is_number[i] = part.is_number;
		out->joins[i] = !part.is_number && i > 0 && !out->is_number[i - 1];
		out->words += !part.is_number;
	}
}

static int compare_texts(const void *one, const void *other)
{
	return strcmp(*(const char *const *)one, *(const char *const *)other);
}

void lt_family_fold(struct lt_text *out, const char *text)
{
	struct parts parts;
	read_parts(&parts, text);
	qsort(parts.folded, parts.count, sizeof *parts.folded, compare_texts);
	for (size_t i = 0; i < parts.count; i++)
		lt_text_printf(out, " %s", parts.folded[i]);
	lt_arena_finish(&parts.arena);
}

static void enter(struct lt_family_index *index, size_t shell, enum way way, struct sum key)
{
	index->entries =
		lt_grow(index->entries, &index->room, index->count + 1, sizeof *index->entries);
	index->entries[index->count++] = (struct lt_family_entry){
		.key = key, .way = (uint8_t)way, .shell = (uint32_t)shell
	};
}

static void enter_whole(struct lt_family_index *index, size_t shell, enum way way, struct sum key)
{
	enter(index, shell, way, key);
	index->entries[index->count - 1].whole = true;
}

/* The sum of the code points of a word, the first of which stands at `at`. */
static struct sum word_sum(const char *word, size_t at)
{
	struct sum sum = { 0 };
	uint32_t code;
	while ((code = lt_utf8_next(&word)) != 0)
		sum = plus(sum, letter(code, at++));
	return sum;
}

/* A part within the sum of a family, where the order of parts does not count. */
static struct sum part_sum(struct sum word)
{
	return scatter_both(word, 11);
}

/* Words that differ in one letter, where there is nothing else to compare. */
static void enter_letters(struct lt_family_index *index, size_t shell, struct sum kind,
	const char *word)
{
	const size_t length = lt_utf8_count(word);
	struct lt_arena arena = { 0 };
	uint32_t *codes = lt_arena_array(&arena, length + 1, sizeof *codes);
	struct sum *behind = lt_arena_array(&arena, length + 2, sizeof *behind);
	for (size_t i = 0; i < length; i++)
		codes[i] = lt_utf8_next(&word);
	/* The sum of the letters from one on, each moved to the place before its own. */
	for (size_t i = length; i > 1; i--)
		behind[i - 1] = plus(behind[i], letter(codes[i - 1], i - 2));
	struct sum all = kind, before = kind;
	for (size_t i = 0; i < length; i++)
		all = plus(all, letter(codes[i], i));
	enter_whole(index, shell, WAY_SHORTER, all);
	for (size_t i = 0; i < length; i++) {
		const struct sum without = minus(all, letter(codes[i], i));
		/* Of a word of one letter nothing is left. */
		if (length == 1)
			break;
		enter(index, shell, WAY_LETTER, plus(without, letter(0, i)));
		enter(index, shell, WAY_SHORTER, plus(before, behind[i + 1]));
		if (i + 1 < length && codes[i] != codes[i + 1]) {
			const bool down = codes[i] > codes[i + 1];
			struct sum sorted = minus(without, letter(codes[i + 1], i + 1));
			sorted = plus(sorted, letter(codes[down ? i + 1 : i], i));
			sorted = plus(sorted, letter(codes[down ? i : i + 1], i + 1));
			enter(index, shell, WAY_SWAPPED, plus(sorted, letter(0, i)));
		}
		before = plus(before, letter(codes[i], i));
	}
	lt_arena_finish(&arena);
}

void lt_family_add(struct lt_family_index *index, size_t shell, enum lt_kind kind,
	const char *family)
{
	struct parts parts;
	read_parts(&parts, family);
	const struct sum of_kind = scatter_both((struct sum){ { kind, kind } }, 13);
	struct sum *sums = lt_arena_array(&parts.arena, parts.count + 1, sizeof *sums);
	struct sum all = of_kind;
	for (size_t i = 0; i < parts.count; i++) {
		sums[i] = part_sum(word_sum(parts.folded[i], 0));
		all = plus(all, sums[i]);
	}
	enter(index, shell, WAY_WORD, all);
	enter_whole(index, shell, WAY_BLANK, all);
	for (size_t i = 0; i < parts.count; i++) {
		if (!parts.is_number[i] && parts.count > 1)
			enter(index, shell, WAY_WORD, minus(all, sums[i]));
		if (!parts.joins[i])
			continue;
		const char *first = parts.folded[i - 1];
		const struct sum joined =
			plus(word_sum(first, 0), word_sum(parts.folded[i], lt_utf8_count(first)));
		enter(index, shell, WAY_BLANK,
			plus(minus(minus(all, sums[i - 1]), sums[i]), part_sum(joined)));
	}
	if (parts.count == 1 && parts.words == 1)
		enter_letters(index, shell, of_kind, parts.folded[0]);
	lt_arena_finish(&parts.arena);
}

static int compare_keys(const struct lt_family_entry *a, const struct lt_family_entry *b)
{
	if (a->way != b->way)
		return a->way < b->way ? -1 : 1;
	for (size_t i = 0; i < 2; i++)
		if (a->key.half[i] != b->key.half[i])
			return a->key.half[i] < b->key.half[i] ? -1 : 1;
	return 0;
}

/* By key, the whole one first, then by shell. */
static int compare_entries(const void *one, const void *other)
{
	const struct lt_family_entry *a = one, *b = other;
	const int order = compare_keys(a, b);
	if (order != 0)
		return order;
	if (a->whole != b->whole)
		return a->whole ? -1 : 1;
	return (a->shell > b->shell) - (a->shell < b->shell);
}

/* Circles while they are found: the shells of all, and how many each has. */
struct circles {
	size_t *shells, *sizes;
	size_t shell_count, shell_room, count, room;
};

static void add_circle(struct circles *circles, const size_t *shells, size_t count)
{
	circles->shells = lt_grow(circles->shells, &circles->shell_room,
		circles->shell_count + count, sizeof *circles->shells);
	memcpy(circles->shells + circles->shell_count, shells, count * sizeof *shells);
	circles->shell_count += count;
	circles->sizes =
		lt_grow(circles->sizes, &circles->room, circles->count + 1, sizeof *circles->sizes);
	circles->sizes[circles->count++] = count;
}

/* Adds what the entries of one key make: a circle of all; or, where a letter or blank is missing,
 * one of each with the whole one: two that lack another letter are not near each other. `shells`
 * has room for all entries. */
static void add_met(struct circles *circles, const struct lt_family_entry *entries, size_t count,
	size_t *shells)
{
	size_t different = 0;
	for (size_t i = 0; i < count; i++)
		if (i == 0 || entries[i].shell != entries[i - 1].shell)
			shells[different++] = entries[i].shell;
	if (different < 2)
		return;
	if (entries[0].way < WAY_SHORTER) {
		add_circle(circles, shells, different);
		return;
	}
	for (size_t i = 1; entries[0].whole && i < different && i <= LONGER_MOST; i++) {
		const bool ascend = shells[0] < shells[i];
		add_circle(circles, (size_t[]){ shells[ascend ? 0 : i], shells[ascend ? i : 0] },
			2);
	}
}

struct lt_indices *lt_family_circles(size_t *count, struct lt_family_index *index,
	struct lt_arena *arena)
{
	struct circles found = { 0 };
	size_t *shells = lt_alloc_array(index->count + 1, sizeof *shells);
	if (index->count > 0)
		qsort(index->entries, index->count, sizeof *index->entries, compare_entries);
	for (size_t i = 0, next; i < index->count; i = next) {
		for (next = i + 1; next < index->count; next++)
			if (compare_keys(&index->entries[i], &index->entries[next]) != 0)
				break;
		add_met(&found, &index->entries[i], next - i, shells);
	}
	struct lt_indices *circles = lt_arena_array(arena, found.count + 1, sizeof *circles);
	size_t *items = lt_arena_array(arena, found.shell_count + 1, sizeof *items);
	if (found.shell_count > 0)
		memcpy(items, found.shells, found.shell_count * sizeof *items);
	for (size_t i = 0; i < found.count; i++) {
		circles[i] = (struct lt_indices){ items, found.sizes[i] };
		items += found.sizes[i];
	}
	*count = found.count;
	free(shells);
	free(found.shells);
	free(found.sizes);
	return circles;
}

void lt_family_index_finish(struct lt_family_index *index)
{
	free(index->entries);
	*index = (struct lt_family_index){ 0 };
}
