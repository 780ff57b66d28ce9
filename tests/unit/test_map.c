/* The whole map: every page measured, its title block, and the pages that texts refer to. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "loomtag/words.h"
#include "map/parts.h"
#include "random_harness.h"
#include "record_canvas.h"

#define HAIR 1e-6
#define RANDOM_HARNESSES 200

static const char *const samples[] = { "samples/dome-shutter.yaml", "samples/mast-head.yaml",
	"samples/seed-gantry.yaml" };

static size_t draw(struct record *record, struct fixture *fixture, enum lt_paper paper,
	bool portrait)
{
	struct lt_map_options options = LT_MAP_OPTIONS_INIT;
	double width, height;
	lt_paper_size(&width, &height, paper);
	options.width = portrait ? width : height;
	options.height = portrait ? height : width;
	options.date = "2026-11-25";
	struct lt_canvas canvas = record_canvas(record, record_measure());
	struct lt_map *map = lt_map_create(&fixture->tags, fixture->lookalikes, &options,
		&record->measure, &fixture->diags);
	assert_non_null(map);
	assert_true(lt_map_draw(map, &canvas, &fixture->diags));
	size_t pages = lt_map_pages(map);
	assert_int_equal(record->page_count, pages);
	lt_map_destroy(map);
	return pages;
}

/* A symbol with its quiet zone. */
static struct record_item whole_symbol(const struct record_item *code)
{
	struct record_item whole = *code;
	double module = code->right - code->left;
	whole.left -= LT_QR_QUIET * module;
	whole.top -= LT_QR_QUIET * module;
	whole.right = whole.left + (code->modules + 2 * LT_QR_QUIET) * module;
	whole.bottom = whole.top + (code->modules + 2 * LT_QR_QUIET) * module;
	return whole;
}

/* What stands in a frame or beside it, and not on its edge. */
static bool on_edge(const struct record_item *item, const struct record_item *frame)
{
	bool within = item->left >= frame->left - HAIR && item->right <= frame->right + HAIR &&
		      item->top >= frame->top - HAIR && item->bottom <= frame->bottom + HAIR;
	return record_overlap(item, frame) && !within;
}

static bool clash(const struct record_item *a, const struct record_item *b)
{
	if (a->kind == RECORD_QR) {
		struct record_item whole = whole_symbol(a);
		if (b->kind == RECORD_FRAME)
			return on_edge(&whole, b);
		if (b->point_count > 0 && !b->filled)
			return record_outline_meets(b, &whole);
		return record_overlap(&whole, b);
	}
	if (a->kind != RECORD_TEXT || b->kind == RECORD_QR)
		return false;
	if (b->kind != RECORD_FRAME)
		return record_clash(a, b);
	struct record_item letters = *a;
	letters.top = a->baseline - a->capital;
	letters.bottom = a->baseline;
	return on_edge(&letters, b);
}

static void check_clashes(const struct record *record)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *a = &record->items[i];
		const struct record_page *page = &record->pages[a->page];
		for (size_t j = page->first; j < page->first + page->count; j++) {
			const struct record_item *b = &record->items[j];
			if (i == j || !clash(a, b))
				continue;
			record_tell("this", a);
			record_tell("meets", b);
			fail();
		}
	}
}

/* Nothing leaves the page, no text is under 6 pt, no text meets another thing, codes have their
 * white edge, and every page says which it is of how many. */
static void check_pages(const struct record *record)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		const struct record_page *page = &record->pages[item->page];
		if (item->left < 5 - HAIR || item->top < 5 - HAIR ||
			item->right > page->width - 5 + HAIR ||
			item->bottom > page->height - 5 + HAIR)
			fail_msg("page %zu: \"%s\" is at %g %g %g %g", item->page + 1,
				item->text != NULL ? item->text : "-", item->left, item->top,
				item->right, item->bottom);
		if (item->kind == RECORD_TEXT && item->size < LT_MAP_TEXT_LEAST - HAIR)
			fail_msg("\"%s\" is %g mm", item->text, item->size);
	}
	check_clashes(record);
	for (size_t p = 0; p < record->page_count; p++) {
		const struct record_page *page = &record->pages[p];
		char counted[64];
		size_t said = 0, codes = 0;
		snprintf(counted, sizeof counted, "page %zu of %zu", p + 1, record->page_count);
		assert_true(page->ended);
		for (size_t i = page->first; i < page->first + page->count; i++) {
			const struct record_item *item = &record->items[i];
			said += item->kind == RECORD_TEXT && strcmp(item->text, counted) == 0;
			codes += item->kind == RECORD_QR;
		}
		assert_int_equal(said, 1);
		assert_true(codes >= 1);
	}
}

static void check_harness(struct fixture *fixture, enum lt_paper paper, bool portrait)
{
	struct record record;
	draw(&record, fixture, paper, portrait);
	check_pages(&record);
	record_free(&record);
}

static void samples_are_drawn_cleanly_on_every_paper(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		struct fixture fixture;
		fixture_read_sample(&fixture, samples[i]);
		for (int paper = 0; paper < LT_PAPER_COUNT; paper++) {
			check_harness(&fixture, (enum lt_paper)paper, false);
			check_harness(&fixture, (enum lt_paper)paper, true);
		}
		fixture_finish(&fixture);
	}
}

static void random_harnesses_are_drawn_cleanly(void **state)
{
	(void)state;
	uint64_t seed = 20261125;
	for (unsigned i = 0; i < RANDOM_HARNESSES; i++) {
		struct fixture fixture;
		unsigned most = i % 20 == 0 ? 300 : 40;
		random_harness(&fixture, &seed, 1 + build_random(&seed, most), true);
		check_harness(&fixture, (enum lt_paper)(i % LT_PAPER_COUNT), i % 3 == 0);
		fixture_finish(&fixture);
	}
}

static size_t find_text(const struct record *record, size_t page, const char *part)
{
	size_t count = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		count += item->kind == RECORD_TEXT && item->page == page &&
			 strstr(item->text, part) != NULL;
	}
	return count;
}

/* Lines may end anywhere. */
static bool has_paragraph(const struct record *record, size_t page, const char *paragraph)
{
	struct lt_text all = { 0 };
	for (size_t i = 0; i < record->count; i++)
		if (record->items[i].kind == RECORD_TEXT && record->items[i].page == page)
			lt_text_printf(&all, "%s ", record->items[i].text);
	const bool found = strstr(lt_text_string(&all), paragraph) != NULL;
	lt_text_finish(&all);
	return found;
}

static void every_page_has_its_title_block(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	fixture_read_sample(&fixture, samples[0]);
	size_t pages = draw(&record, &fixture, LT_PAPER_A4, false);
	for (size_t page = 0; page < pages; page++) {
		assert_true(find_text(&record, page, "DS4U0042") >= 1);
		assert_true(find_text(&record, page, "Observatory dome, shutter drive module") >=
			    1);
		assert_int_equal(find_text(&record, page, "unit 0042   revision C   2026-11-25"),
			1);
		assert_true(find_text(&record, page, "DANGER: mains 230 V; DANGER: shutter") >= 1);
		assert_true(find_text(&record, page, "; WARNING: compressed air") >= 1);
		assert_true(has_paragraph(&record, page, lt_caution_work));
		assert_true(has_paragraph(&record, page, lt_map_words.views_and_codes));
	}
	record_free(&record);
	fixture_finish(&fixture);
}

/* The page that is said to have a connector's panel has its two tags. */
static void panels_are_on_the_page_that_is_named(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read_sample(&fixture, samples[2]);
	struct record record;
	struct lt_map_options options = LT_MAP_OPTIONS_INIT;
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	struct lt_map *map = lt_map_create(&fixture.tags, fixture.lookalikes, &options,
		&record.measure, &fixture.diags);
	assert_non_null(map);
	assert_true(lt_map_draw(map, &canvas, &fixture.diags));
	for (size_t i = 0; i < fixture.harness.connector_count; i++) {
		const struct lt_connector *connector = &fixture.harness.connectors[i];
		size_t page = lt_map_page_of(map, i);
		assert_true(page >= 1 && page <= lt_map_pages(map));
		assert_true(find_text(&record, page - 1, connector->id) >= 1);
		if (fixture.tags.number_of[i] == 0)
			continue;
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, fixture.tags.number_of[i], LT_SIDE_H);
		assert_true(find_text(&record, page - 1, tag) >= 1);
	}
	lt_map_destroy(map);
	record_free(&record);
	fixture_finish(&fixture);
}

/* Hazards with more words than an overview has room for: on pages that follow it, in full, and
 * every page says which they are. */
static void hazards_without_room_have_pages_of_their_own(void **state)
{
	(void)state;
	enum { HAZARDS = 40, WORDS = 60 };
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: HAZ\nhazards:\n");
	for (unsigned i = 0; i < HAZARDS; i++) {
		lt_text_printf(&yaml, "  - energy: spring %u\n    isolate: pin", i);
		for (unsigned j = 0; j < WORDS; j++)
			lt_text_printf(&yaml, " w%u-%u", i, j);
		lt_text_add(&yaml, "\n");
		if (i == 0)
			lt_text_add(&yaml, "    signal: warning\n    harm: it pinches\n");
	}
	lt_text_add(&yaml, "connectors:\n  - {id: X1, family: f}\n");
	struct fixture fixture;
	struct record record;
	fixture_read(&fixture, "hazards.yaml", lt_text_string(&yaml));
	size_t pages = draw(&record, &fixture, LT_PAPER_A4, false);
	check_pages(&record);
	assert_true(find_text(&record, 0, "40 HAZARDS: ") == 1);
	assert_true(find_text(&record, 0, "(see page 2): – WARNING: spring 0 – ") == 1);
	assert_int_equal(find_text(&record, 1, "WARNING: spring 0"), 1);
	assert_int_equal(find_text(&record, 1, "it pinches"), 1);
	assert_true(find_text(&record, 1, "HAZARD: spring 1") >= 1);
	size_t found = 0, steps = 0, hazard_pages = 0;
	for (size_t page = 0; page < pages; page++) {
		bool on = find_text(&record, page, "Harness map: Hazards") == 1;
		hazard_pages += on;
		assert_true(!on || page == hazard_pages);
		struct lt_text counted = { 0 };
		lt_map_add_energy_count(&counted, HAZARDS, 2);
		assert_int_equal(find_text(&record, page, lt_text_string(&counted)), 1);
		lt_text_finish(&counted);
		for (unsigned i = 0; i < HAZARDS && on; i++) {
			char last[24];
			snprintf(last, sizeof last, "w%u-%d", i, WORDS - 1);
			found += find_text(&record, page, last);
		}
		steps += on ? find_text(&record, page, lt_hazard_words.step_not_described) : 0;
	}
	assert_true(hazard_pages > 1);
	assert_int_equal(found, HAZARDS);
	assert_int_equal(steps, 3 * HAZARDS);
	struct lt_map_options options = LT_MAP_OPTIONS_INIT;
	const struct lt_measure measure = record_measure();
	struct lt_map *map = lt_map_create(&fixture.tags, fixture.lookalikes, &options, &measure,
		&fixture.diags);
	assert_non_null(map);
	size_t panel = lt_map_page_of(map, 0);
	assert_true(panel > hazard_pages + 1);
	assert_int_equal(find_text(&record, panel - 1, "Harness map: Connector 1"), 1);
	record_free(&record);
	lt_map_destroy(map);
	lt_text_finish(&yaml);
	fixture_finish(&fixture);
}

static void paper_that_is_too_small_is_refused(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read_sample(&fixture, samples[0]);
	const struct lt_measure measure = record_measure();
	struct lt_map_options options = LT_MAP_OPTIONS_INIT;
	options.width = 60;
	options.height = 60;
	assert_null(lt_map_create(&fixture.tags, fixture.lookalikes, &options, &measure,
		&fixture.diags));
	assert_true(fixture.diags.errors > 0);
	fixture_finish(&fixture);
}

static void papers_are_as_their_standards_say(void **state)
{
	(void)state;
	/* ISO 216; ANSI/ASME Y14.1 A and B are letter and ledger. */
	static const struct {
		const char *name;
		double width, height;
	} sizes[] = { { "a4", 210, 297 }, { "A3", 297, 420 }, { "letter", 215.9, 279.4 },
		{ "Ledger", 279.4, 431.8 } };
	enum lt_paper paper;
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
		double width, height;
		assert_true(lt_paper_read(&paper, sizes[i].name, false));
		lt_paper_size(&width, &height, paper);
		assert_true(fabs(width - sizes[i].width) < 0.01);
		assert_true(fabs(height - sizes[i].height) < 0.01);
	}
	assert_false(lt_paper_read(&paper, "a5", false));
	assert_false(lt_paper_read(&paper, "", false));
	assert_true(lt_paper_read(&paper, "Letter", true));
	assert_false(lt_paper_read(&paper, "a3", true));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(samples_are_drawn_cleanly_on_every_paper),
		cmocka_unit_test(random_harnesses_are_drawn_cleanly),
		cmocka_unit_test(every_page_has_its_title_block),
		cmocka_unit_test(panels_are_on_the_page_that_is_named),
		cmocka_unit_test(hazards_without_room_have_pages_of_their_own),
		cmocka_unit_test(paper_that_is_too_small_is_refused),
		cmocka_unit_test(papers_are_as_their_standards_say),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
