/* Feeds lines of arbitrary bytes to the state machine of a small plan. The first byte chooses
 * stage, typing and what came apart; a line that begins with '-' skips, with '@' changes the
 * station, with '+' requires, one that is '<' takes back. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/verify.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { PASSAGE = 4 };
static const size_t after_second[] = { 0, PASSAGE }, after_last[] = { 1, 2 };
static const size_t after_passage[] = { 2 };
static const struct lt_joint joints[] = {
	{ 1, true, false, false, NULL, 0, false, false },
	{ 2, true, true, false, after_second, 1, false, false },
	{ 3, false, false, false, NULL, 0, false, false },
	{ 4, true, false, true, after_last, 2, false, false },
	/* No number: passed when 3 is made; 2 comes after it. */
	{ 0, false, false, false, after_passage, 1, false, false },
};
enum { JOINTS = 4 };
static const size_t order[JOINTS] = { 0, 1, 2, 3 };

static const bool apart[JOINTS] = { true, false, false, true };

/* What must hold whatever was scanned: it ends the program when it does not. */
static void expect_sound(const struct lt_verify *verify)
{
	const bool unplugging = lt_verify_plan(verify)->stage == LT_STAGE_UNPLUG;
	size_t made = 0, needed = 0;
	for (size_t i = 0; i < JOINTS; i++) {
		const bool is_made = lt_verify_made(verify, i);
		const bool is_needed = lt_verify_needed(verify, i);
		needed += is_needed;
		made += is_made && is_needed;
		if (is_made && lt_verify_skipped(verify, i))
			abort();
		if (is_made && is_needed && !unplugging && lt_verify_blocked_by(verify, i) != 0)
			abort();
	}
	const struct lt_wrong_mate *wrong;
	const bool any_wrong = lt_verify_wrong(verify, &wrong) > 0;
	unsigned number, station;
	enum lt_side side;
	const bool waiting = lt_verify_pending(verify, &number, &side) ||
			     lt_verify_pending_elsewhere(verify, &number, &side, &station);
	if (made != lt_verify_made_count(verify) || needed != lt_verify_needed_count(verify))
		abort();
	if (lt_verify_typed_count(verify) > made)
		abort();
	if (lt_verify_ok(verify) && (made != needed || any_wrong || waiting))
		abort();
}

/* Judging changes nothing, and what was judged can be applied. */
static void scan(struct lt_verify *verify, const char *line, size_t length)
{
	struct lt_answer first = lt_verify_judge(verify, line, length);
	struct lt_answer again = lt_verify_judge(verify, line, length);
	if (first.verdict != again.verdict || first.other != again.other)
		abort();
	struct lt_answer kept = {
		.verdict = first.verdict,
		.has_tag = first.has_tag,
		.number = first.number,
		.side = first.side,
		.typed = first.typed,
	};
	if (!lt_verify_apply(verify, &kept) || kept.other != first.other)
		abort();
}

static void do_line(struct lt_verify *verify, const char *line, size_t length)
{
	if (length == 1 && line[0] == '<')
		lt_verify_undo(verify);
	else if (length > 1 && line[0] == '@')
		lt_verify_station(verify, (unsigned)line[1] % 4);
	else if (length > 1 && line[0] == '+')
		lt_verify_require(verify, (unsigned char)line[1] % JOINTS);
	else if (length > 1 && line[0] == '-')
		lt_verify_skip(verify, (unsigned)line[1] % 8);
	else
		scan(verify, line, length);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (size == 0)
		return 0;
	const struct lt_plan plan = { "RV3", joints, JOINTS, order,
		(enum lt_stage)((data[0] >> 3) % LT_STAGE_COUNT), (data[0] & 1) != 0,
		(data[0] & 2) != 0 ? apart : NULL, 1, NULL };
	struct lt_verify *verify = lt_verify_create(&plan);
	const char *at = (const char *)data + 1;
	const char *const end = (const char *)data + size;
	while (at < end) {
		const char *stop = memchr(at, '\n', (size_t)(end - at));
		if (stop == NULL)
			stop = end;
		do_line(verify, at, (size_t)(stop - at));
		expect_sound(verify);
		at = stop + 1;
	}
	lt_verify_destroy(verify);
	return 0;
}
