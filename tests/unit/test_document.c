/* Documents: what their renderers make of each kind of block. */
#include "unit.h"

#include "page/marks.h"
#include "record_canvas.h"

static const struct lt_document_style style = {
	.margin = LT_PAGE_MARGIN,
	.label_width = 20,
	.label_columns = 8,
	.tag_best = LT_MARK_TAG_BEST,
	.spaced = 1u << LT_BLOCK_PART | 1u << LT_BLOCK_SECTION,
	.sign_height = 14,
	.sign = { { NULL, 1, 5 }, { "date", 50, 0 } },
};

static const struct lt_block_table table = { LT_ROW_CELLS, 3, { "what", "where", "when" },
	{ 40, 1, 30 }, true };

static void fill(struct lt_document *document)
{
	struct lt_block *block;
	lt_document_init(document, &style);
	document->head = (struct lt_document_head){ .title = "Spare parts", .code = "KT4" };
	lt_document_add(document, LT_BLOCK_PART, "Part 1");
	lt_document_add(document, LT_BLOCK_SECTION, "On the shelf")->detail = "ON THE SHELF";
	lt_document_add(document, LT_BLOCK_PARAGRAPH, "Count\x1b them.");
	lt_document_add(document, LT_BLOCK_REMARK, "as printed")->detail = "Colours";
	lt_document_add(document, LT_BLOCK_CAUTION, "Caution");
	lt_document_item(document, LT_ITEM_PLAIN, "", "Heavy.");
	lt_document_add(document, LT_BLOCK_FACTS, NULL);
	lt_document_item(document, LT_ITEM_PLAIN, "shelf", "seven");
	lt_document_item(document, LT_ITEM_LOUD, "weight", NULL);
	block = lt_document_add(document, LT_BLOCK_MATE, "motor power");
	block->detail = "X1, plug";
	block->badges[0] = "NEW PART";
	block->tags = (struct lt_tag_pair){ "1H", "1M", false };
	lt_document_item(document, LT_ITEM_PLAIN, "place", "left");
	for (size_t i = 0; i < 2; i++) {
		block = lt_document_add(document, LT_BLOCK_ROW, NULL);
		block->table = &table;
		block->fault = i > 0;
		block->detail = "below";
		lt_document_item(document, LT_ITEM_PLAIN, "", i > 0 ? "nut" : "bolt");
		lt_document_item(document, LT_ITEM_PLAIN, "", "drawer");
		lt_document_item(document, LT_ITEM_PLAIN, "", i > 0 ? "–" : "today");
	}
	lt_document_add(document, LT_BLOCK_TICK, NULL);
	lt_document_add(document, LT_BLOCK_SIGN, "Counted by");
}

static void as_text(void **state)
{
	(void)state;
	struct lt_document document;
	struct lt_text text = { 0 };
	fill(&document);
	lt_document_write(&text, &document, 40);
	assert_string_equal(lt_text_string(&text), "Spare parts\n"
						   "KT4, unit ______, date ____________\n"
						   "\n"
						   "\n"
						   "Part 1\n"
						   "======\n"
						   "\n"
						   "ON THE SHELF\n"
						   "------------\n"
						   "Count\xEF\xBF\xBD them.\n"
						   "Colours as printed\n"
						   "! Caution\n"
						   "! Heavy.\n"
						   "shelf   seven\n"
						   "weight  ! ______________________________\n"
						   "          ______\n"
						   "[ ] 1H – 1M  motor power (X1, plug)  **\n"
						   "    NEW PART **\n"
						   "    place   left\n"
						   "    initials ______\n"
						   "  bolt  drawer, below\n"
						   "      when: today\n"
						   "! nut  drawer, below\n"
						   "[ ] ____________________________________\n"
						   "Counted by: ______________________ \n"
						   "Date: ____________\n");
	lt_text_finish(&text);
	lt_document_finish(&document);
}

static void as_pages(void **state)
{
	(void)state;
	struct lt_document document;
	struct record record;
	struct lt_measure measure = record_measure();
	struct lt_canvas canvas = record_canvas(&record, measure);
	struct lt_diags diags = { 0 };
	fill(&document);
	assert_true(lt_document_draw(&canvas, &document, LT_PAPER_A4, &measure, &diags));
	assert_int_equal(record.page_count, 1);
	assert_int_equal(record_outside(&record, LT_PAGE_MARGIN - 0.5), 0);
	assert_int_equal(record_clashes(&record), 0);
	assert_int_equal(record_coloured(&record), 0);
	static const char *const once[] = { "Spare parts", "Part 1", "On the shelf", "Caution",
		"Heavy.", "shelf", "seven", "weight", "1H", "1M", "motor power", "NEW PART", "what",
		"bolt", "nut", "Counted by", "date", "page 1 of 1" };
	for (size_t i = 0; i < sizeof once / sizeof *once; i++)
		if (record_count_text(&record, once[i]) != (strcmp(once[i], "date") == 0 ? 2u : 1u))
			fail_msg("not once: %s", once[i]);
	assert_int_equal(record_count_text(&record, "ON THE SHELF"), 0);
	record_free(&record);
	lt_document_finish(&document);
	lt_diags_finish(&diags);
}

/* A table's headings are shown again where it goes on, and a signature is not alone on a page. */
static void runs_and_signatures(void **state)
{
	(void)state;
	struct lt_document document;
	struct record record;
	struct lt_measure measure = record_measure();
	struct lt_canvas canvas = record_canvas(&record, measure);
	struct lt_diags diags = { 0 };
	lt_document_init(&document, &style);
	document.head = (struct lt_document_head){ .title = "Long", .code = "KT4" };
	lt_document_add(&document, LT_BLOCK_PART, "Part 1");
	for (size_t i = 0; i < 90; i++) {
		lt_document_add(&document, LT_BLOCK_ROW, NULL)->table = &table;
		for (size_t cell = 0; cell < table.count; cell++)
			lt_document_item(&document, LT_ITEM_PLAIN, "", "cell");
	}
	lt_document_add(&document, LT_BLOCK_TICK, "last line");
	lt_document_add(&document, LT_BLOCK_SIGN, "Counted by");
	assert_true(lt_document_draw(&canvas, &document, LT_PAPER_LETTER, &measure, &diags));
	assert_true(record.page_count > 1);
	assert_int_equal(record_count_text(&record, "where"), record.page_count);
	const size_t tick = record_find(&record, 0, "last line");
	const size_t sign = record_find(&record, 0, "Counted by");
	assert_true(tick < record.count && sign < record.count);
	assert_int_equal(record.items[tick].page, record.items[sign].page);
	record_free(&record);
	lt_document_finish(&document);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(as_text),
		cmocka_unit_test(as_pages),
		cmocka_unit_test(runs_and_signatures),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
