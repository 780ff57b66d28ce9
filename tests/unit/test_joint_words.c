/* What each medium says of a joint, fact by fact. */
#include "unit.h"

#include "fixture.h"
#include "loomtag/words.h"

static const char FULL[] =
	"harness: KT4\n"
	"components:\n"
	"  - {id: M1, name: hoist motor, place: left column, fate: replace}\n"
	"  - {id: A2, name: drive board}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, port: PWR, family: big, key: blue, ways: 2,\n"
	"     wires: {1: BN, 2: BU}, size: 1.5 mm2, place: behind the left cover, at: 320 mm,\n"
	"     lock: press the latch, orient: latch up, seat: clicks once, note: hot, after: [X2, "
	"C1]}\n"
	"  - {id: X2, name: encoder, mates: A2, port: port 4, family: small, ways: 2}\n"
	"  - {id: X3, name: end switch, mates: A2, family: small, ways: 2, tag: paper}\n"
	"  - {id: C1, name: clip, kind: clip, tag: none}\n"
	"  - {id: X5, tag: paper}\n"
	"  - {id: X6, kind: hose, family: barb, sides: 1}\n";

/* "label: text" by line, "!" before a warning, "?" before what is not described. */
static void assert_said(const struct fixture *fixture, size_t connector,
	enum lt_joint_medium medium, const char *expected)
{
	struct lt_text all = { 0 };
	struct lt_joint_facts facts = { .tags = &fixture->tags,
		.lookalikes = fixture->lookalikes,
		.connector = connector,
		.medium = medium,
		.in_hazard = connector == 0,
		.earth = connector == 1 ? "protective earth" : NULL };
	while (lt_joint_facts_next(&facts))
		lt_text_printf(&all, "%s%s: %s\n",
			facts.said == LT_SAID_LOUD      ? "!"
			: facts.said == LT_SAID_MISSING ? "?"
							: "",
			facts.label, lt_text_string(&facts.text));
	assert_null(facts.text.bytes);
	assert_string_equal(lt_text_string(&all), expected);
	lt_text_finish(&all);
}

static void described_facts(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "kiln.yaml", FULL);
	assert_said(&fixture, 0, LT_JOINT_UNPLUG,
		"mates with: port PWR on hoist motor (M1), left column\n"
		"place: behind the left cover\n"
		"unlock: press the latch\n"
		"old part: Now: stick 1X on the old part. If the old part has 1M, stick 1X over "
		"it. "
		"Later: stick 1M on the new part, in the same place.\n"
		"note: hot\n");
	assert_said(&fixture, 0, LT_JOINT_MATE,
		"!after: 2, C1 (no number): check that all are ticked\n"
		"mates with: port PWR on hoist motor (M1), left column\n"
		"place: behind the left cover\n"
		"!new part: 1M is on the new part, 1X stays on the old part\n"
		"wires: 1\xC2\xA0"
		"BN, 2\xC2\xA0"
		"BU\n"
		"facing: latch up\n"
		"seat: clicks once\n"
		"note: hot\n");
	assert_said(&fixture, 0, LT_JOINT_PANEL,
		"!!: a hazard names this joint: read that hazard first\n"
		"!mates with: port PWR on hoist motor (M1), left column\n"
		"place: behind the left cover, at\xC2\xA0"
		"320\xC2\xA0mm\n"
		"unlock: press the latch\n"
		"facing: latch up\n"
		"seat: clicks once\n"
		"!after: 2, C1 (no number)\n"
		"!new part: 1M is on the new part, 1X stays on the old part\n"
		"note: hot\n"
		"wires: 1.5 mm²\n");
	assert_said(&fixture, 0, LT_JOINT_PAGE,
		"Place: behind the left cover\n"
		"Unlock: press the latch\n"
		"Facing: latch up\n"
		"Seat: clicks once\n"
		"Coding: blue\n"
		"Shell: big\n"
		"Note: hot\n");
	assert_said(&fixture, 0, LT_JOINT_SCREEN,
		"mates with: port PWR on hoist motor (M1), left column\n"
		"place: behind the left cover\n"
		"unlock: press the latch\n"
		"facing: latch up\n"
		"seat: clicks once\n"
		"wires: 1 BN, 2 BU\n"
		"note: hot\n");
	fixture_finish(&fixture);
}

static void facts_not_described(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "kiln.yaml", FULL);
	/* On paper the place and the mate are all there is to find it by. */
	assert_said(&fixture, 4, LT_JOINT_UNPLUG,
		"?mates with: \n"
		"?place: \n"
		"no sticker: This line carries the number. Find the joint by its place and its "
		"mate.\n");
	assert_said(&fixture, 4, LT_JOINT_PANEL,
		"?mates with: not described\n"
		"seat: right pair: seat it, pull gently, tick\n"
		"!fit: fit unknown, could fit elsewhere: check the number\n"
		"no sticker: the checklist carries the number\n");
	assert_said(&fixture, 4, LT_JOINT_PAGE,
		"No sticker: The checklist carries the number. Find the joint by its place and "
		"its mate.\n");
	/* A clip, and what has one side, need no mate. */
	assert_said(&fixture, 3, LT_JOINT_UNPLUG, "");
	assert_said(&fixture, 3, LT_JOINT_PANEL,
		"seat: right place: press it until it holds, pull gently, tick\n");
	assert_said(&fixture, 5, LT_JOINT_PANEL, "seat: right place: seat it, pull gently, tick\n");
	assert_said(&fixture, 5, LT_JOINT_SCREEN, "");
	fixture_finish(&fixture);
}

static void warnings_about_a_joint(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "kiln.yaml", FULL);
	assert_said(&fixture, 1, LT_JOINT_MATE,
		"mates with: port 4 on drive board (A2)\n"
		"!fit: would also fit 3: check the number\n"
		"seat: right pair: seat it, pull gently, tick\n");
	assert_said(&fixture, 1, LT_JOINT_PANEL,
		"!mates with: port 4 on drive board (A2)\n"
		"seat: right pair: seat it, pull gently, tick\n"
		"!earth: protective earth\n"
		"!fit: would also fit 3: check the number\n");
	lt_lookalikes_destroy(fixture.lookalikes);
	fixture.lookalikes = NULL;
	assert_said(&fixture, 1, LT_JOINT_MATE,
		"mates with: port 4 on drive board (A2)\n"
		"seat: right pair: seat it, pull gently, tick\n");
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(described_facts),
		cmocka_unit_test(facts_not_described),
		cmocka_unit_test(warnings_about_a_joint),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
