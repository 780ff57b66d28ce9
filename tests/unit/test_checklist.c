/* The checklist: what it says and in which order, and, measured on a canvas that records, where it
 * says it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fixture.h"
#include "loomtag/checklist.h"
#include "loomtag/words.h"
#include "record_canvas.h"

#define MARGIN_LEAST 12.0

static const char SMALL[] =
	"harness: KT4\n"
	"title: Kiln trolley drive\n"
	"unit: \"0042\"\n"
	"revision: C\n"
	"hazards:\n"
	"  - energy: mains 400 V\n"
	"    isolate: main switch Q1 off and locked\n"
	"    release: wait 5 minutes\n"
	"    prove: no voltage at X1\n"
	"    restore: mains back last\n"
	"  - energy: raised counterweight\n"
	"    isolate: pin in the guide\n"
	"    restore: pin out\n"
	"components:\n"
	"  - {id: M1, name: hoist motor, place: left column, fate: replace}\n"
	"  - {id: A2, name: drive board}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, port: PWR, family: big, ways: 3,\n"
	"     wires: {1: BN, 2: BU, 3: GNYE}, place: behind the left cover,\n"
	"     lock: press the latch, orient: latch to the front, seat: clicks once}\n"
	"  - {id: X2, name: encoder, mates: A2, port: J4, family: small, ways: 2}\n"
	"  - {id: X3, name: end switch, mates: A2, port: J5, family: small, ways: 2, after: [X1, "
	"C1]}\n"
	"  - {id: C1, name: strut clip, kind: clip, tag: none, place: upper strut}\n"
	"  - {id: E1, name: frame earth, kind: strap, family: M6, tag: paper, after: [X3]}\n"
	"  - {id: X6, name: spare probe, mates: A2, port: J9}\n"
	"  - {id: H1, name: drain hose, kind: hose, family: 8 mm barb, sides: 1}\n"
	"finish:\n"
	"  - Nothing pinched behind the covers\n";

/* Draws with every setting that matters and checks what must hold of any checklist. */
static void draw(struct record *record, const struct fixture *fixture, enum lt_paper paper)
{
	struct lt_checklist_options options = LT_CHECKLIST_OPTIONS_INIT;
	struct lt_measure measure = record_measure();
	struct lt_canvas canvas = record_canvas(record, measure);
	struct lt_diags diags;
	lt_diags_init(&diags);
	options.paper = paper;
	assert_true(lt_checklist_draw(&canvas, &fixture->tags, fixture->lookalikes, &options,
		&measure, &diags));
	assert_int_equal(diags.errors, 0);
	lt_diags_finish(&diags);
	assert_true(record->page_count > 0);
	assert_int_equal(record_outside(record, MARGIN_LEAST), 0);
	assert_int_equal(record_clashes(record), 0);
	/* NUREG-0700 11.4.1.5-1: at 500 mm a character is at least 2.0 mm high. */
	assert_int_equal(record_too_small(record, lt_height_least(500), 6), 0);
	assert_int_equal(record_coloured(record), 0);
	for (size_t i = 0; i < record->page_count; i++) {
		char line[64];
		snprintf(line, sizeof line, "page %zu of %zu", i + 1, record->page_count);
		size_t found = record_find(record, 0, line);
		assert_true(found < record->count);
		assert_int_equal(record->items[found].page, i);
		assert_int_equal(record_count_text(record, line), 1);
		assert_true(record->pages[i].ended);
	}
	assert_int_equal(record_count_text(record, fixture->harness.code), record->page_count);
}

static char *write_text(const struct fixture *fixture, size_t columns)
{
	struct lt_checklist_options options = LT_CHECKLIST_OPTIONS_INIT;
	struct lt_text text = { 0 };
	options.columns = columns;
	lt_checklist_write(&text, &fixture->tags, fixture->lookalikes, &options);
	return text.bytes;
}

static void assert_before(const char *text, const char *first, const char *second)
{
	const char *a = strstr(text, first);
	assert_non_null(a);
	if (strstr(a, second) == NULL)
		print_error("\"%s\" does not come after \"%s\"\n", second, first);
	assert_non_null(strstr(a, second));
}

static void assert_says(const char *text, const char *part)
{
	if (strstr(text, part) == NULL)
		print_error("not said: %s\n%s\n", part, text);
	assert_non_null(strstr(text, part));
}

/* Any number of connectors, each with texts that name it. */
static char *many(size_t count)
{
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: MNY\nconnectors:\n");
	for (size_t i = 0; i < count; i++)
		lt_text_printf(&yaml,
			"  - {id: J%zu, name: joint-%zu, family: f%zu, ways: %zu, place: "
			"place-%zu, "
			"seat: seat-%zu, note: note-%zu, lock: lock-%zu}\n",
			i, i, i % 7, i % 3 + 1, i, i, i, i);
	return yaml.bytes;
}

static void every_mark_is_there(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	for (int paper = LT_PAPER_A4; paper <= LT_PAPER_LETTER; paper++) {
		draw(&record, &fixture, (enum lt_paper)paper);
		double width, height;
		lt_paper_size(&width, &height, (enum lt_paper)paper);
		assert_float_equal(record.pages[0].width, width, 1e-9);
		assert_float_equal(record.pages[0].height, height, 1e-9);
		for (size_t i = 0; i < fixture.harness.connector_count; i++) {
			enum lt_side sides[LT_SIDE_COUNT];
			size_t count = lt_tag_sides(sides, &fixture.tags, i);
			bool old = count == 3;
			for (size_t s = 0; s < count; s++) {
				char tag[LT_TAG_SIZE];
				lt_tag_write(tag, fixture.tags.number_of[i], sides[s]);
				/* H in both parts; M and X once each where a part is replaced. */
				bool twice = sides[s] == LT_SIDE_H || !old;
				assert_int_equal(record_count_text(&record, tag), twice ? 2 : 1);
			}
		}
		record_free(&record);
	}
	fixture_finish(&fixture);
}

static void tags_are_large(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	char *yaml = many(120);
	fixture_read(&fixture, NULL, yaml);
	draw(&record, &fixture, LT_PAPER_A4);
	for (size_t i = 0; i < fixture.harness.connector_count; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, fixture.tags.number_of[i], LT_SIDE_M);
		size_t found = record_find(&record, 0, tag);
		assert_true(found < record.count);
		/* NUREG-0700 prefers 3.0 mm at 500 mm; this is for arm's length and bad light. */
		assert_true(record.items[found].capital >= 5.0 - 1e-9);
		assert_true(record.items[found].capital > lt_height_preferred(500));
	}
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
}

/* The longest numbers do not fit side by side at a readable size. */
static void long_tags_stand_one_below_the_other(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	fixture.tags.number_of[1] = 98086;
	for (int paper = LT_PAPER_A4; paper <= LT_PAPER_LETTER; paper++) {
		draw(&record, &fixture, (enum lt_paper)paper);
		size_t h = record_find(&record, 0, "98086H");
		size_t m = record_find(&record, 0, "98086M");
		assert_true(h < record.count && m < record.count);
		assert_float_equal(record.items[h].left, record.items[m].left, 1e-9);
		assert_true(record.items[m].baseline > record.items[h].baseline);
		record_free(&record);
	}
	fixture_finish(&fixture);
}

static bool has_underline(const struct record *record, const struct record_item *tag)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind == RECORD_FILL && item->page == tag->page &&
			item->left >= tag->left - 1e-6 && item->right < tag->right &&
			item->top > tag->baseline && item->bottom <= tag->bottom + 1e-6)
			return true;
	}
	return false;
}

static void turned_numbers_are_underlined(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	char *yaml = many(120);
	fixture_read(&fixture, NULL, yaml);
	draw(&record, &fixture, LT_PAPER_A4);
	size_t turned = 0;
	for (size_t i = 0; i < fixture.harness.connector_count; i++) {
		char tag[LT_TAG_SIZE];
		unsigned number = fixture.tags.number_of[i];
		lt_tag_write(tag, number, LT_SIDE_H);
		size_t found = record_find(&record, 0, tag);
		assert_true(found < record.count);
		bool underline = has_underline(&record, &record.items[found]);
		assert_int_equal(underline, lt_upside_down(number) != 0);
		turned += underline;
	}
	assert_true(turned > 0 && turned < fixture.harness.connector_count);
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
}

/* Every text of a joint is on the page that its name is on, in both parts. */
static void joints_are_not_split(void **state)
{
	(void)state;
	static const char *const marks[2][3] = { { "place", "lock", "note" },
		{ "place", "seat", "note" } };
	struct fixture fixture;
	struct record record;
	char *yaml = many(300);
	fixture_read(&fixture, NULL, yaml);
	draw(&record, &fixture, LT_PAPER_LETTER);
	assert_true(record.page_count > 40);
	for (size_t i = 0; i < fixture.harness.connector_count; i++) {
		size_t from = 0;
		char line[32];
		for (size_t part = 0; part < 2; part++) {
			snprintf(line, sizeof line, "joint-%zu", i);
			size_t name = record_find(&record, from, line);
			assert_true(name < record.count);
			for (size_t m = 0; m < 3; m++) {
				snprintf(line, sizeof line, "%s-%zu", marks[part][m], i);
				size_t found = record_find(&record, name, line);
				assert_true(found < record.count);
				assert_int_equal(record.items[found].page, record.items[name].page);
			}
			from = name + 1;
		}
	}
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
}

/* Joints are made in the harness's order, on paper and as text. */
static void the_order_is_kept(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	draw(&record, &fixture, LT_PAPER_A4);
	char *text = write_text(&fixture, 78);
	const struct lt_harness *harness = &fixture.harness;
	size_t paper = record_find(&record, 0, lt_checklist_words.make_joints);
	const char *written = strstr(text, lt_checklist_words.make_joints);
	assert_non_null(written);
	for (size_t i = 0; i < harness->connector_count; i++) {
		const char *name = harness->connectors[harness->order[i]].name;
		paper = record_find(&record, paper, name);
		assert_true(paper < record.count);
		written = strstr(written, name);
		assert_non_null(written);
	}
	size_t unplug = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		unplug = record_find(&record, unplug, harness->connectors[i].name);
		assert_true(unplug < record_find(&record, 0, lt_checklist_words.make_joints));
	}
	/* And the order is the one that `after` asks for. */
	const char *part = strstr(text, lt_checklist_words.part_reconnect);
	assert_before(part, "motor power", "end switch");
	assert_before(part, "strut clip", "end switch");
	assert_before(part, "end switch", "frame earth");
	free(text);
	record_free(&record);
	fixture_finish(&fixture);
}

/* The piece of a text that speaks of one joint. */
static char *joint_of(const char *part, const char *name)
{
	const char *at = strstr(part, name);
	assert_non_null(at);
	const char *end = strstr(at, "\n\n");
	size_t length = end == NULL ? strlen(at) : (size_t)(end - at);
	char *joint = lt_alloc(length + 1);
	memcpy(joint, at, length);
	joint[length] = '\0';
	return joint;
}

/* 29 CFR 1910.147 (d): isolate, lock and warning label, release, verify; (e): tools out, those
 * affected told, and only then the locks off. */
static void hazards_come_in_the_order_of_safe_isolation(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	char *text = write_text(&fixture, 78);
	const struct lt_checklist_words *words = &lt_checklist_words;
	char label[32], lock[48];
	snprintf(label, sizeof label, "[ ] %s ", lt_hazard_words.lock);
	snprintf(lock, sizeof lock, "%.40s", lt_hazard_words.lock_on);
	assert_before(text, words->read_first, "HAZARD: mains 400 V");
	assert_before(text, words->people_told, "HAZARD: mains 400 V");
	const char *mains = strstr(text, "HAZARD: mains 400 V");
	assert_before(mains, "[ ] isolate     main switch Q1 off and locked", label);
	assert_before(mains, label, lock);
	assert_before(mains, label, "[ ] release     wait 5 minutes");
	assert_before(mains, "[ ] release     wait 5 minutes", "[ ] prove       no voltage at X1");
	assert_before(mains, "[ ] prove ", words->check_and_unplug);
	/* What is not described is left to be written. */
	const char *weight = strstr(text, "HAZARD: raised counterweight");
	assert_before(weight, "[ ] isolate     pin in the guide", "[ ] release     ____");
	const char *restore = strstr(text, words->restore);
	assert_non_null(restore);
	assert_before(restore, words->tools_out, words->people_clear);
	assert_before(restore, words->people_clear, "HAZARD: raised counterweight");
	assert_before(restore, "HAZARD: raised counterweight", "HAZARD: mains 400 V");
	assert_before(restore, "restore     pin out", "restore     mains back last");
	free(text);
	fixture_finish(&fixture);
}

/* Signal word, energy and harm stand before what is done about it; only where they are described.
 */
static void hazards_have_signal_and_harm(void **state)
{
	(void)state;
	static const char *const signals[] = { "danger", "warning", "caution" };
	static const char *const titles[] = { "DANGER: hot oil", "WARNING: hot oil",
		"CAUTION: hot oil" };
	for (size_t i = 0; i < 3; i++) {
		struct fixture fixture;
		struct record record;
		char yaml[256];
		snprintf(yaml, sizeof yaml,
			"harness: QX7\nhazards:\n"
			"  - {energy: hot oil, signal: %s, harm: it burns the skin, isolate: "
			"valve V1}\n"
			"  - {energy: spring, isolate: pin}\nconnectors: [{id: X1}]\n",
			signals[i]);
		fixture_read(&fixture, NULL, yaml);
		char *text = write_text(&fixture, 78);
		assert_before(text, titles[i], "harm        ! it burns the skin");
		assert_before(text, "it burns the skin", "[ ] isolate     valve V1");
		assert_before(text, "[ ] isolate     valve V1", "HAZARD: spring");
		char *spring = joint_of(text, "HAZARD: spring");
		assert_null(strstr(spring, "harm"));
		free(spring);
		assert_before(strstr(text, lt_checklist_words.restore), "HAZARD: spring",
			titles[i]);
		draw(&record, &fixture, LT_PAPER_A4);
		assert_int_equal(record_count_text(&record, titles[i]), 2);
		assert_int_equal(record_count_text(&record, "it burns the skin"), 1);
		record_free(&record);
		free(text);
		fixture_finish(&fixture);
	}
}

static void missing_hazards_are_stated(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	fixture_read(&fixture, NULL, "harness: QX7\nconnectors:\n  - id: X1\n");
	char *text = write_text(&fixture, 78);
	assert_says(text, lt_checklist_words.no_hazards);
	assert_says(text, "HAZARD: ______");
	assert_says(text, "[ ] isolate     ______");
	assert_says(text, "[ ] prove       ______");
	assert_says(text, lt_checklist_words.written_energies);
	assert_null(strstr(text, lt_checklist_words.other_written_energies));
	assert_says(text, "No last checks");
	assert_says(text, "unit ______");
	assert_says(text, "date ______");
	draw(&record, &fixture, LT_PAPER_A4);
	assert_int_equal(record_count_text(&record, lt_checklist_words.no_hazards), 1);
	assert_int_equal(record_count_text(&record, "Harness QX7"), record.page_count);
	record_free(&record);
	free(text);
	fixture_finish(&fixture);
}

static void assert_joint_says(const char *part, const char *name, const char *const *lines)
{
	char *joint = joint_of(part, name);
	for (; *lines != NULL; lines++)
		assert_says(joint, *lines);
	free(joint);
}

static void joints_have_their_facts(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	const unsigned *number = fixture.tags.number_of;
	char *text = write_text(&fixture, 120);
	char *unplug = lt_alloc(strlen(text) + 1);
	const char *mate = strstr(text, lt_checklist_words.part_reconnect);
	assert_non_null(mate);
	memcpy(unplug, text, (size_t)(mate - text));
	unplug[mate - text] = '\0';
	char after[96], alike[96], moves[96], old[96];
	snprintf(after, sizeof after, "after       ! %u, C1 (no number)", number[0]);
	snprintf(alike, sizeof alike, "would also fit %u: check the number", number[2]);
	snprintf(moves, sizeof moves, "%uM is on the new part, %uX stays on the old part",
		number[0], number[0]);
	snprintf(old, sizeof old, "%uX on the old part", number[0]);

	assert_joint_says(unplug, "motor power",
		(const char *[]){ lt_checklist_words.replaced, old,
			"port PWR on hoist motor (M1), left column", "press the latch",
			"behind the left cover", "[ ] stickers checked", "[ ] unplugged", NULL });
	assert_joint_says(mate, "motor power",
		(const char *[]){ "NEW PART", moves, "1\u00A0BN, 2\u00A0BU, 3\u00A0GNYE",
			"latch to the front", "clicks once", "initials", NULL });
	assert_joint_says(mate, "encoder",
		(const char *[]){ alike, "right pair: seat it, pull gently, tick", NULL });
	assert_joint_says(mate, "end switch", (const char *[]){ after, NULL });
	assert_joint_says(mate, "spare probe",
		(const char *[]){ "fit unknown", "check the number", NULL });
	/* US Army TM 5-3805-261-20, 2-4: where a tag cannot be fitted, the place and the
	 * terminating point are written on paper. */
	assert_joint_says(unplug, "frame earth",
		(const char *[]){ "ON PAPER", "mates with  ____", "place       ____", NULL });
	char unnumbered[96];
	snprintf(unnumbered, sizeof unnumbered, "%s  strut clip (C1, clip)",
		lt_page_words.number_missing);
	assert_says(mate, unnumbered);
	char *earth = joint_of(unplug, "frame earth");
	assert_null(strstr(earth, lt_page_words.stickers_checked));
	free(earth);
	char *clip = joint_of(unplug, "strut clip");
	assert_null(strstr(clip, lt_page_words.stickers_checked));
	free(clip);
	char *probe = joint_of(mate, "motor power");
	assert_null(strstr(probe, "would also fit"));
	free(probe);
	assert_says(mate, "All 7 joints above are ticked: 6 by number, 1 checked by eye");
	assert_before(mate, "All 7 joints", "Nothing pinched behind the covers");
	free(unplug);
	free(text);
	fixture_finish(&fixture);
}

/* Where no sticker can be, nobody is asked to move one. */
static void only_stickers_are_to_be_moved(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, NULL,
		"harness: PRX\ncomponents: [{id: M1, fate: replace}]\nconnectors:\n"
		"  - {id: X1, name: paper joint, mates: M1, tag: paper}\n"
		"  - {id: X2, name: eye joint, mates: M1, tag: none}\n"
		"  - {id: X3, name: one half, mates: M1, sides: 1}\n");
	char *text = write_text(&fixture, 120);
	const char *mate = strstr(text, lt_checklist_words.part_reconnect);
	assert_non_null(mate);
	static const char *const names[] = { "paper joint", "eye joint", "one half" };
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		assert_joint_says(text, names[i],
			(const char *[]){
				lt_checklist_words.replaced, "this part will be replaced", NULL });
		assert_joint_says(mate, names[i],
			(const char *[]){
				lt_checklist_words.new_part, "mates with the new part", NULL });
	}
	/* Nor is any tag but those of the pairs named. */
	assert_null(strstr(text, "on the old part"));
	assert_null(strstr(text, "is on the new part"));
	free(text);
	fixture_finish(&fixture);
}

/* All alike: each line names a few and counts the rest. */
static void long_lists_of_lookalikes_are_cut(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: ALK\nconnectors:\n");
	for (int i = 0; i < 40; i++)
		lt_text_printf(&yaml, "  - {id: X%d, family: same}\n", i);
	fixture_read(&fixture, NULL, lt_text_string(&yaml));
	char *text = write_text(&fixture, 200);
	assert_says(text, " and 27 more: check the number");
	free(text);
	lt_text_finish(&yaml);
	fixture_finish(&fixture);
}

static void no_line_is_too_long(void **state)
{
	(void)state;
	static const size_t widths[] = { 16, 24, 40, 60, 78, 132 };
	struct fixture fixture;
	fixture_read(&fixture, "kt4.yaml", SMALL);
	for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++) {
		char *text = write_text(&fixture, widths[w]);
		for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
			if (lt_utf8_columns(line) > widths[w])
				print_error("%zu: %s\n", widths[w], line);
			assert_true(lt_utf8_columns(line) <= widths[w]);
		}
		free(text);
	}
	fixture_finish(&fixture);
}

static void every_tag_is_in_the_text(void **state)
{
	(void)state;
	struct fixture fixture;
	char *yaml = many(90);
	fixture_read(&fixture, NULL, yaml);
	char *text = write_text(&fixture, 78);
	const char *mate = strstr(text, lt_checklist_words.part_reconnect);
	assert_non_null(mate);
	for (size_t i = 0; i < fixture.harness.connector_count; i++) {
		char line[48];
		unsigned number = fixture.tags.number_of[i];
		snprintf(line, sizeof line, "\n%uH – %uM  joint-%zu ", number, number, i);
		assert_non_null(strstr(text, line));
		snprintf(line, sizeof line, "\n[ ] %uH – %uM  joint-%zu ", number, number, i);
		assert_non_null(strstr(mate, line));
	}
	free(text);
	free(yaml);
	fixture_finish(&fixture);
}

static unsigned random_below(unsigned *seed, unsigned limit)
{
	*seed = *seed * 1664525u + 1013904223u;
	return (*seed >> 8) % limit;
}

/* Words of any length, some far wider than any line, some not Latin; up to what a description may
 * hold in one field. */
static void random_text(struct lt_text *out, unsigned *seed)
{
	static const char *const letters[] = { "a", "m", "W", "é", "Ж", "漢", "e\xcc\x81", "-" };
	size_t most =
		out->length + 1 + (random_below(seed, 9) == 0 ? 490 : 1 + random_below(seed, 60));
	unsigned longest = random_below(seed, 4) == 0 ? 500 : 12;
	lt_text_add_char(out, '"');
	while (out->length < most) {
		unsigned length = 1 + random_below(seed, longest);
		for (unsigned i = 0; i < length && out->length < most; i++)
			lt_text_add(out, letters[random_below(seed, 8)]);
		lt_text_add_char(out, ' ');
	}
	lt_text_add(out, "x\"");
}

static void random_field(struct lt_text *out, unsigned *seed, const char *indent, const char *name)
{
	if (random_below(seed, 3) == 0)
		return;
	lt_text_printf(out, "%s%s: ", indent, name);
	random_text(out, seed);
	lt_text_add_char(out, '\n');
}

/* As many as make a joint higher than a page. */
static void random_wires(struct lt_text *out, unsigned *seed)
{
	unsigned ways = 700 + random_below(seed, 299);
	lt_text_printf(out, "    ways: %u\n    wires: {", ways);
	for (unsigned i = 1; i <= ways; i++)
		lt_text_printf(out, "%s%u: [WHRD, BNYE]", i == 1 ? "" : ", ", i);
	lt_text_add(out, "}\n");
}

static char *random_harness(unsigned seed)
{
	static const char *const fields[] = { "name", "port", "place", "lock", "orient", "seat",
		"note", "photo", "family" };
	static const char *const markings[] = { "paper", "none" };
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: RND\n");
	random_field(&yaml, &seed, "", "title");
	random_field(&yaml, &seed, "", "revision");
	unsigned hazards = random_below(&seed, 4);
	for (unsigned i = 0; i < hazards; i++) {
		lt_text_add(&yaml, i == 0 ? "hazards:\n  - energy: " : "  - energy: ");
		random_text(&yaml, &seed);
		lt_text_add_char(&yaml, '\n');
		random_field(&yaml, &seed, "    ", "isolate");
		random_field(&yaml, &seed, "    ", "release");
		random_field(&yaml, &seed, "    ", "restore");
	}
	lt_text_add(&yaml, "components:\n  - {id: M1, fate: replace}\n  - id: M2\n");
	random_field(&yaml, &seed, "    ", "name");
	lt_text_add(&yaml, "connectors:\n");
	unsigned connectors = 1 + random_below(&seed, 12);
	for (unsigned i = 0; i < connectors; i++) {
		lt_text_printf(&yaml, "  - id: X%u\n", i);
		for (size_t f = 0; f < sizeof fields / sizeof fields[0]; f++)
			random_field(&yaml, &seed, "    ", fields[f]);
		if (random_below(&seed, 12) == 0)
			random_wires(&yaml, &seed);
		if (random_below(&seed, 2) == 0)
			lt_text_printf(&yaml, "    mates: M%u\n", 1 + random_below(&seed, 2));
		if (random_below(&seed, 4) == 0)
			lt_text_printf(&yaml, "    tag: %s\n", markings[random_below(&seed, 2)]);
		if (i > 0 && random_below(&seed, 3) == 0)
			lt_text_printf(&yaml, "    after: [X%u]\n", random_below(&seed, i));
	}
	return yaml.bytes;
}

static void nothing_overlaps_with_any_text(void **state)
{
	(void)state;
	size_t fewer_pages = 0, more_pages = 0;
	for (unsigned seed = 1; seed <= 40; seed++) {
		struct fixture fixture;
		struct record record;
		char *yaml = random_harness(seed * 7919);
		fixture_read(&fixture, NULL, yaml);
		draw(&record, &fixture, seed % 2 == 0 ? LT_PAPER_A4 : LT_PAPER_LETTER);
		fewer_pages += record.page_count < 5;
		more_pages += record.page_count > 10;
		record_free(&record);
		fixture_finish(&fixture);
		free(yaml);
	}
	/* The texts were as unlike as they were meant to be. */
	assert_true(fewer_pages > 0 && more_pages > 0);
}

/* True when there is something to tick below the item, on its page. */
static bool box_below(const struct record *record, const struct record_item *item)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *box = &record->items[i];
		if (box->kind == RECORD_FRAME && box->page == item->page && box->top > item->bottom)
			return true;
	}
	return false;
}

/* No page ends in a section's title or in the names of columns. */
static void no_title_is_last_on_a_page(void **state)
{
	(void)state;
	const char *const titles[] = { lt_checklist_words.make_safe,
		lt_checklist_words.check_and_unplug, lt_checklist_words.make_joints,
		lt_checklist_words.last_checks, lt_checklist_words.restore, lt_page_words.unplugged,
		lt_page_words.made };
	for (unsigned count = 1; count < 30; count++) {
		struct fixture fixture;
		struct record record;
		char *yaml = many(count);
		fixture_read(&fixture, NULL, yaml);
		draw(&record, &fixture, LT_PAPER_A4);
		for (size_t t = 0; t < sizeof titles / sizeof titles[0]; t++) {
			size_t found = record_find(&record, 0, titles[t]);
			assert_true(found < record.count);
			for (; found < record.count;
				found = record_find(&record, found + 1, titles[t]))
				assert_true(box_below(&record, &record.items[found]));
		}
		record_free(&record);
		fixture_finish(&fixture);
		free(yaml);
	}
}

static size_t measured;

static double count_width(void *data, enum lt_typeface face, const char *text, size_t length)
{
	measured += length + 1;
	return record_measure_width(data, face, text, length);
}

static size_t cost_of(size_t connectors)
{
	struct fixture fixture;
	struct record record;
	struct lt_checklist_options options = LT_CHECKLIST_OPTIONS_INIT;
	struct lt_measure measure = record_measure();
	measure.width = count_width;
	char *yaml = many(connectors);
	fixture_read(&fixture, NULL, yaml);
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	measured = 0;
	assert_true(lt_checklist_draw(&canvas, &fixture.tags, fixture.lookalikes, &options,
		&measure, &fixture.diags));
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
	return measured;
}

static void the_cost_is_linear(void **state)
{
	(void)state;
	size_t small = cost_of(500);
	size_t large = cost_of(2000);
	assert_true(small > 0);
	assert_true((double)large < 4.4 * (double)small);
}

static void control_characters_are_replaced(void **state)
{
	(void)state;
	struct lt_arena arena;
	lt_arena_init(&arena);
	assert_null(lt_arena_shown(&arena, NULL));
	assert_string_equal(lt_arena_shown(&arena, "left\ncover\t2"), "left cover 2");
	assert_string_equal(lt_arena_shown(&arena, "a\x1b[31mb"), "a\xef\xbf\xbd[31mb");
	/* C1 CSI, and a right-to-left override that would turn a number's digits round. */
	assert_string_equal(lt_arena_shown(&arena, "\xc2\x9b"
						   "1m"),
		"\xef\xbf\xbd"
		"1m");
	assert_string_equal(lt_arena_shown(&arena, "\xe2\x80\xae"
						   "12H"),
		"\xef\xbf\xbd"
		"12H");
	lt_arena_finish(&arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_mark_is_there),
		cmocka_unit_test(tags_are_large),
		cmocka_unit_test(long_tags_stand_one_below_the_other),
		cmocka_unit_test(turned_numbers_are_underlined),
		cmocka_unit_test(joints_are_not_split),
		cmocka_unit_test(the_order_is_kept),
		cmocka_unit_test(hazards_come_in_the_order_of_safe_isolation),
		cmocka_unit_test(hazards_have_signal_and_harm),
		cmocka_unit_test(missing_hazards_are_stated),
		cmocka_unit_test(joints_have_their_facts),
		cmocka_unit_test(only_stickers_are_to_be_moved),
		cmocka_unit_test(long_lists_of_lookalikes_are_cut),
		cmocka_unit_test(no_line_is_too_long),
		cmocka_unit_test(every_tag_is_in_the_text),
		cmocka_unit_test(nothing_overlaps_with_any_text),
		cmocka_unit_test(no_title_is_last_on_a_page),
		cmocka_unit_test(the_cost_is_linear),
		cmocka_unit_test(control_characters_are_replaced),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
