/* What printers report about themselves, right and wrong. */
#include "unit.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "loomtag/words.h"
#include "print/ipp.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Names of finishings by value: PWG 5100.1, table 1 (finishings). */
enum { TRIM = 11, TRIM_AFTER_PAGES = 60, TRIM_AFTER_DOCUMENTS, TRIM_AFTER_COPIES, TRIM_AFTER_JOB };

static void add_words(ipp_t *answer, ipp_tag_t tag, const char *name, int count,
	const char *const *words)
{
	ippAddStrings(answer, IPP_TAG_PRINTER, tag, name, count, NULL, words);
}
#define WORDS(answer, tag, name, ...) \
	add_words(answer, tag, name, (int)COUNT(((const char *const[]){ __VA_ARGS__ })), \
		(const char *const[]){ __VA_ARGS__ })

static ipp_t *size_of(int width, int height)
{
	ipp_t *size = ippNew();
	ippAddInteger(size, IPP_TAG_ZERO, IPP_TAG_INTEGER, "x-dimension", width);
	ippAddInteger(size, IPP_TAG_ZERO, IPP_TAG_INTEGER, "y-dimension", height);
	return size;
}

/* A media-col that takes over `size`. */
static ipp_t *media_of(ipp_t *size, int margin)
{
	ipp_t *media = ippNew();
	ippAddCollection(media, IPP_TAG_ZERO, "media-size", size);
	ippDelete(size);
	ippAddInteger(media, IPP_TAG_ZERO, IPP_TAG_INTEGER, "media-left-margin", margin);
	ippAddInteger(media, IPP_TAG_ZERO, IPP_TAG_INTEGER, "media-top-margin", margin);
	return media;
}

/* Adds collections, which it takes over. */
static void add_media(ipp_t *answer, const char *name, int count, ipp_t **media)
{
	ippAddCollections(answer, IPP_TAG_PRINTER, name, count, (const ipp_t **)media);
	for (int i = 0; i < count; i++)
		ippDelete(media[i]);
}

/* What every printer of these tests can do. */
static ipp_t *plain_printer(void)
{
	ipp_t *answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "application/octet-stream",
		"image/pwg-raster");
	WORDS(answer, IPP_TAG_KEYWORD, "pwg-raster-document-type-supported", "srgb_8", "black_1");
	ippAddResolution(answer, IPP_TAG_PRINTER, "printer-resolution-supported", IPP_RES_PER_INCH,
		203, 203);
	return answer;
}

static void read_printer(struct lt_printer *out, ipp_t *answer, bool good, size_t warnings)
{
	struct lt_diags diags = { 0 };
	bool read = lt_printer_read(out, answer, &diags);
	if (read != good || diags.warnings != warnings || (diags.errors == 0) != good) {
		lt_diags_print(&diags, 0, stderr, false);
		fail_msg("%s, with %zu warnings", read ? "was read" : "was refused",
			diags.warnings);
	}
	lt_diags_finish(&diags);
	ippDelete(answer);
}

static bool near(double a, double b)
{
	return fabs(a - b) < 0.006;
}

static void assert_media(const struct lt_media *media, const char *name, double width,
	double height)
{
	assert_true(near(media->width, width));
	assert_true(near(media->height, height));
	if (name == NULL)
		assert_null(media->name);
	else
		assert_string_equal(media->name, name);
}

static void assert_range(const struct lt_media *range, double least_width, double most_width,
	double least_height, double most_height)
{
	assert_true(near(range->least_width, least_width));
	assert_true(near(range->width, most_width));
	assert_true(near(range->least_height, least_height));
	assert_true(near(range->height, most_height));
}

static void test_roll(void **state)
{
	(void)state;
	ipp_t *answer = plain_printer();
	ippAddInteger(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "printer-state", 5);
	ippAddBoolean(answer, IPP_TAG_PRINTER, "printer-is-accepting-jobs", 0);
	WORDS(answer, IPP_TAG_KEYWORD, "printer-state-reasons", "none", "media-empty-error",
		"cover-open");
	add_media(answer, "media-col-ready", 1, (ipp_t *[]){ media_of(size_of(5400, 2500), 150) });
	WORDS(answer, IPP_TAG_KEYWORD, "media-ready", "om_label_54x25mm");
	add_media(answer, "media-col-database", 3,
		(ipp_t *[]){ media_of(size_of(5400, 2500), 0), media_of(size_of(3800, 1900), 0),
			media_of(size_of(5400, 2500), 0) });
	WORDS(answer, IPP_TAG_KEYWORD, "media-supported", "om_small_38x19mm", "oe_tall_2x1in");
	const int operations[] = { 2, 4, 5, 6, 8, 11 };
	ippAddIntegers(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "operations-supported", 6,
		operations);
	ippAddInteger(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "finishings-supported", 3);
	WORDS(answer, IPP_TAG_KEYWORD, "media-col-supported", "media-size", "media-top-margin");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	assert_int_equal(printer.quality, 0);
	assert_false(printer.unscaled);
	assert_null(printer.message);
	assert_int_equal(printer.state, IPP_PSTATE_STOPPED);
	assert_false(printer.accepting);
	assert_int_equal(printer.reason_count, 2);
	assert_string_equal(printer.reasons[0], "media-empty-error");
	assert_string_equal(printer.reasons[1], "cover-open");
	assert_int_equal(printer.ready.count, 1);
	assert_media(&printer.ready.items[0], "om_label_54x25mm", 54, 25);
	assert_int_equal(printer.known.count, 3);
	assert_media(&printer.known.items[0], NULL, 54, 25);
	assert_media(&printer.known.items[1], "om_small_38x19mm", 38, 19);
	assert_media(&printer.known.items[2], "oe_tall_2x1in", 50.8, 25.4);
	assert_int_equal(printer.ranges.count, 0);
	assert_true(printer.pwg);
	assert_false(printer.pdf);
	assert_true(printer.black_1);
	assert_int_equal(printer.resolutions.count, 1);
	assert_int_equal(printer.pwg_resolutions.count, 1);
	assert_int_equal(printer.pwg_resolutions.items[0], 203);
	assert_int_equal(printer.trims, 0);
	assert_true(printer.create_job);
	assert_true(printer.cancel_job);
	assert_true(printer.media_col);
	lt_printer_finish(&printer);
}

/* A length that is not fixed, a cutter, and resolutions in dots per cm. */
static void test_tape(void **state)
{
	(void)state;
	ipp_t *answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "Image/PWG-Raster");
	WORDS(answer, IPP_TAG_KEYWORD, "pwg-raster-document-type-supported", "sgray_8");
	const int across[] = { 236, 118, 118, 300 };
	const int down[] = { 236, 118, 118, 600 };
	ippAddResolutions(answer, IPP_TAG_PRINTER, "pwg-raster-document-resolution-supported", 4,
		IPP_RES_PER_CM, across, down);
	ipp_t *size = ippNew();
	ippAddInteger(size, IPP_TAG_ZERO, IPP_TAG_INTEGER, "x-dimension", 1200);
	ippAddRange(size, IPP_TAG_ZERO, "y-dimension", 0, 500000);
	add_media(answer, "media-col-ready", 1, (ipp_t *[]){ media_of(size, 0) });
	WORDS(answer, IPP_TAG_KEYWORD, "media-supported", "custom_min_6x20mm",
		"custom_max_24x100mm", "roll_min_1x1in", "roll_max_4x39in");
	const int finishings[] = { 3, TRIM, TRIM_AFTER_PAGES, TRIM_AFTER_COPIES, TRIM_AFTER_JOB };
	ippAddIntegers(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "finishings-supported", 5,
		finishings);
	WORDS(answer, IPP_TAG_KEYWORD, "job-creation-attributes-supported", "copies", "media-col");
	WORDS(answer, IPP_TAG_KEYWORD, "media-col-supported", "media-size");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	assert_int_equal(printer.ready.count, 1);
	assert_media(&printer.ready.items[0], NULL, 12, 2000);
	assert_int_equal(printer.ranges.count, 3);
	assert_range(&printer.ranges.items[0], 12, 12, 1, 2000);
	assert_range(&printer.ranges.items[1], 6, 24, 20, 100);
	assert_range(&printer.ranges.items[2], 25.4, 101.6, 25.4, 990.6);
	assert_int_equal(printer.known.count, 0);
	assert_int_equal(printer.pwg_resolutions.count, 2);
	assert_int_equal(printer.pwg_resolutions.items[0], 300);
	assert_int_equal(printer.pwg_resolutions.items[1], 599);
	assert_int_equal(printer.trims, LT_TRIM_ANY | LT_TRIM_PAGES | LT_TRIM_JOB);
	assert_true(printer.media_col);
	assert_true(printer.accepting);
	assert_int_equal(printer.state, 0);
	lt_printer_finish(&printer);
}

/* One that takes PDF and says nothing of raster. */
static void test_sheet_printer(void **state)
{
	(void)state;
	ipp_t *answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "application/pdf",
		"image/pwg-raster");
	WORDS(answer, IPP_TAG_KEYWORD, "media-ready", "iso_a4_210x297mm", "na_letter_8.5x11in");
	ippAddInteger(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "printer-state", 3);
	ippAddInteger(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "finishings-supported",
		TRIM_AFTER_DOCUMENTS);
	/* RFC 8011, 5.2.13: 3 draft, 4 normal, 5 high. */
	const int qualities[] = { 3, 4 };
	ippAddIntegers(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "print-quality-supported", 2,
		qualities);
	WORDS(answer, IPP_TAG_KEYWORD, "print-scaling-supported", "auto", "none");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	assert_true(printer.pdf);
	/* It cannot be sent raster when it does not say of what resolution. */
	assert_false(printer.pwg);
	assert_int_equal(printer.quality, 4);
	assert_true(printer.unscaled);
	assert_int_equal(printer.ready.count, 2);
	assert_media(&printer.ready.items[0], "iso_a4_210x297mm", 210, 297);
	/* ISO 216 and US letter: 8.5 x 11 in. */
	assert_media(&printer.ready.items[1], "na_letter_8.5x11in", 215.9, 279.4);
	assert_int_equal(printer.state, IPP_PSTATE_IDLE);
	assert_int_equal(printer.trims, LT_TRIM_DOCUMENTS);
	assert_false(printer.media_col);
	lt_printer_finish(&printer);
}

/* A size can be sent only where media-col takes one. */
static void test_media_col_without_size(void **state)
{
	(void)state;
	ipp_t *answer = plain_printer();
	WORDS(answer, IPP_TAG_KEYWORD, "job-creation-attributes-supported", "copies", "media-col");
	WORDS(answer, IPP_TAG_KEYWORD, "media-col-supported", "media-type");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	assert_false(printer.media_col);
	lt_printer_finish(&printer);
}

/* What printing needs is not there. */
static void test_refuses(void **state)
{
	(void)state;
	struct lt_printer printer;
	read_printer(&printer, ippNew(), false, 0);
	lt_printer_finish(&printer);

	ipp_t *answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "image/jpeg");
	read_printer(&printer, answer, false, 0);
	lt_printer_finish(&printer);

	answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "image/pwg-raster");
	WORDS(answer, IPP_TAG_KEYWORD, "pwg-raster-document-type-supported", "black_1");
	read_printer(&printer, answer, false, 0);
	lt_printer_finish(&printer);

	answer = ippNew();
	WORDS(answer, IPP_TAG_MIMETYPE, "document-format-supported", "image/pwg-raster");
	WORDS(answer, IPP_TAG_KEYWORD, "pwg-raster-document-type-supported", "srgb_8");
	ippAddResolution(answer, IPP_TAG_PRINTER, "printer-resolution-supported", IPP_RES_PER_INCH,
		203, 203);
	read_printer(&printer, answer, false, 0);
	lt_printer_finish(&printer);
}

/* Numbers that cannot be: each kind is told once. */
static void test_absurd_numbers(void **state)
{
	(void)state;
	ipp_t *answer = plain_printer();
	add_media(answer, "media-col-database", 8,
		(ipp_t *[]){ media_of(size_of(-5400, 2500), 0), media_of(size_of(INT_MAX, 2500), 0),
			media_of(size_of(5400, INT_MIN), 0), media_of(size_of(0, 0), 0),
			media_of(size_of(99, 2500), 0), media_of(size_of(200001, 2500), 0),
			media_of(size_of(5400, 2500), INT_MAX),
			media_of(size_of(100, 200000), -1) });
	ipp_t *backwards = ippNew();
	ippAddRange(backwards, IPP_TAG_ZERO, "x-dimension", 5000, 1000);
	ippAddRange(backwards, IPP_TAG_ZERO, "y-dimension", INT_MIN, INT_MAX);
	add_media(answer, "media-col-ready", 1, (ipp_t *[]){ media_of(backwards, 0) });
	WORDS(answer, IPP_TAG_KEYWORD, "media-supported", "om_absurd_999999x999999mm",
		"custom_max_50x50mm", "custom_min_60x60mm", "labels", "", "om__x_mm");
	const int across[] = { 49, 4801, 0, INT_MAX, 300 };
	ippAddResolutions(answer, IPP_TAG_PRINTER, "pwg-raster-document-resolution-supported", 5,
		IPP_RES_PER_INCH, across, across);
	ippAddInteger(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "printer-state", INT_MAX);
	struct lt_printer printer;
	/* Of sizes and resolutions. */
	read_printer(&printer, answer, true, 2);
	assert_int_equal(printer.known.count, 2);
	assert_media(&printer.known.items[0], NULL, 54, 25);
	assert_media(&printer.known.items[1], NULL, 1, 2000);
	assert_int_equal(printer.ready.count, 0);
	assert_int_equal(printer.ranges.count, 0);
	assert_int_equal(printer.pwg_resolutions.count, 1);
	assert_int_equal(printer.pwg_resolutions.items[0], 300);
	assert_int_equal(printer.state, 0);
	lt_printer_finish(&printer);
}

/* Every attribute that is read, as another type than it should be. */
static void test_wrong_types(void **state)
{
	(void)state;
	static const char *const names[] = { "printer-state-message", "printer-state",
		"printer-is-accepting-jobs", "printer-state-reasons", "printer-resolution-default",
		"media-col-ready", "media-ready", "media-col-database", "media-supported",
		"finishings-supported", "operations-supported", "media-col-supported",
		"print-quality-supported", "print-scaling-supported" };
	for (int type = 0; type < 4; type++) {
		ipp_t *answer = plain_printer();
		for (size_t i = 0; i < COUNT(names); i++) {
			if (type == 0)
				ippAddDate(answer, IPP_TAG_PRINTER, names[i], ippTimeToDate(0));
			else if (type == 1)
				ippAddOctetString(answer, IPP_TAG_PRINTER, names[i], "\0\377", 2);
			else if (type == 2)
				ippAddOutOfBand(answer, IPP_TAG_PRINTER, IPP_TAG_NOVALUE, names[i]);
			else
				ippAddSeparator(answer);
		}
		struct lt_printer printer;
		read_printer(&printer, answer, true, type < 2 ? 1 : 0);
		assert_int_equal(printer.ready.count + printer.known.count, 0);
		assert_null(printer.message);
		lt_printer_finish(&printer);
	}
}

/* Attributes of another group say nothing of the printer. */
static void test_other_groups(void **state)
{
	(void)state;
	ipp_t *answer = plain_printer();
	const char *name = "printer-state-message";
	ippAddString(answer, IPP_TAG_UNSUPPORTED_GROUP, IPP_TAG_TEXT, name, NULL, "no");
	ippAddString(answer, IPP_TAG_PRINTER, IPP_TAG_TEXT, name, NULL, "yes");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	assert_string_equal(printer.message, "yes");
	lt_printer_finish(&printer);
}

static void test_many_values(void **state)
{
	(void)state;
	enum { MANY = 100000 };
	static int numbers[MANY];
	static const char *words[MANY];
	static char names[MANY][32];
	for (int i = 0; i < MANY; i++) {
		numbers[i] = 50 + i % 4751;
		snprintf(names[i], sizeof(names[i]), "om_n_%dx%dmm", 1 + i % 500, 1 + i % 500);
		words[i] = names[i];
	}
	ipp_t *answer = plain_printer();
	ippAddResolutions(answer, IPP_TAG_PRINTER, "pwg-raster-document-resolution-supported", MANY,
		IPP_RES_PER_INCH, numbers, numbers);
	ippAddIntegers(answer, IPP_TAG_PRINTER, IPP_TAG_ENUM, "operations-supported", MANY,
		numbers);
	add_words(answer, IPP_TAG_KEYWORD, "media-supported", MANY, words);
	add_words(answer, IPP_TAG_KEYWORD, "printer-state-reasons", MANY, words);
	struct lt_printer printer;
	read_printer(&printer, answer, true, 1);
	assert_int_equal(printer.known.count, LT_PRINTER_LIST_MAX);
	assert_int_equal(printer.pwg_resolutions.count, LT_PRINTER_LIST_MAX);
	assert_int_equal(printer.reason_count, LT_PRINTER_LIST_MAX);
	for (size_t i = 1; i < printer.pwg_resolutions.count; i++)
		assert_true(printer.pwg_resolutions.items[i - 1] <
			    printer.pwg_resolutions.items[i]);
	lt_printer_finish(&printer);
}

/* Collections where a size should be, and in one another. */
static void test_collections(void **state)
{
	(void)state;
	ipp_t *deep = size_of(5400, 2500);
	for (int i = 0; i < 50; i++) {
		ipp_t *outer = ippNew();
		ippAddCollection(outer, IPP_TAG_ZERO, i % 2 == 0 ? "x-dimension" : "media-size",
			deep);
		ippDelete(deep);
		deep = outer;
	}
	ipp_t *answer = plain_printer();
	add_media(answer, "media-col-database", 3,
		(ipp_t *[]){ deep, ippNew(), media_of(ippNew(), 0) });
	struct lt_printer printer;
	read_printer(&printer, answer, true, 1);
	assert_int_equal(printer.known.count, 0);
	lt_printer_finish(&printer);
}

/* Nothing that a printer says can drive a terminal. */
static void test_texts_are_cleaned(void **state)
{
	(void)state;
	static const char dirty[] = "a\033[2Jb\n\xC0\xAF\x9B\u202E";
	static char endless[4000];
	memset(endless, 'x', sizeof(endless) - 1);
	memcpy(endless, dirty, sizeof(dirty) - 1);
	ipp_t *answer = plain_printer();
	ippAddString(answer, IPP_TAG_PRINTER, IPP_TAG_TEXT, "printer-state-message", NULL, endless);
	WORDS(answer, IPP_TAG_KEYWORD, "printer-state-reasons", "media-\a-\u2066jam");
	struct lt_printer printer;
	read_printer(&printer, answer, true, 0);
	const char *const texts[] = { printer.message, printer.reasons[0] };
	for (size_t i = 0; i < COUNT(texts); i++) {
		assert_int_equal(lt_utf8_check(texts[i], strlen(texts[i])), strlen(texts[i]));
		uint32_t code;
		for (const char *at = texts[i]; (code = lt_utf8_next(&at)) != 0;)
			assert_int_equal(lt_text_shown(code), code);
	}
	assert_true(lt_utf8_count(printer.message) <= 1023);
	lt_printer_finish(&printer);

	answer = plain_printer();
	ippAddString(answer, IPP_TAG_PRINTER, IPP_TAG_TEXT, "printer-state-message", NULL, "");
	read_printer(&printer, answer, true, 0);
	assert_null(printer.message);
	lt_printer_finish(&printer);
}

static void test_finish(void **state)
{
	(void)state;
	struct lt_printer printer = { 0 };
	lt_printer_finish(NULL);
	lt_printer_finish(&printer);
	lt_printer_finish(&printer);
}

static void assert_words(const char *reason, const char *words, bool stops)
{
	struct lt_text text = { 0 };
	lt_reason_add(&text, reason);
	assert_string_equal(lt_text_string(&text), words);
	lt_text_finish(&text);
	if (lt_reason_stops(reason) != stops)
		fail_msg("%s: %s", reason, stops ? "stops printing" : "does not stop printing");
}

/* Keywords of RFC 8011 5.4.12 and PWG 5100.9, with and without their severity. */
static void test_reasons(void **state)
{
	(void)state;
	const struct lt_printer_reason_words *words = &lt_printer_reason_words;
	assert_words("media-empty", words->media_empty, true);
	assert_words("media-empty-error", words->media_empty, true);
	assert_words("media-empty-warning", words->media_empty, false);
	assert_words("media-empty-report", words->media_empty, false);
	assert_words("media-jam-error", words->media_jam, true);
	assert_words("media-needed", words->media_needed, true);
	assert_words("media-needed-warning", words->media_needed, true);
	assert_words("media-needed-report", words->media_needed, false);
	assert_words("media-low-warning", words->media_low, false);
	assert_words("media-low-error", words->media_low, false);
	assert_words("cover-open", words->cover_open, true);
	assert_words("offline", words->offline, true);
	assert_words("paused", words->paused, true);
	assert_words("marker-supply-empty-error", words->marker_supply_empty, true);
	/* Several keywords, one text. */
	assert_words("trimmer-jam", words->cutter_jam, true);
	assert_words("job-spooling", words->job_incoming, false);
	/* Not known: as it is. */
	assert_words("example-winder-stuck", "example winder stuck", false);
	assert_words("example-winder-stuck-error", "example winder stuck", true);
	assert_words("example-winder-missing", "example winder missing", true);
	assert_words("example-winder-missing-warning", "example winder missing", false);
	assert_words("-error", " error", false);
	assert_words("", "", false);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_roll),
		cmocka_unit_test(test_tape),
		cmocka_unit_test(test_sheet_printer),
		cmocka_unit_test(test_media_col_without_size),
		cmocka_unit_test(test_refuses),
		cmocka_unit_test(test_absurd_numbers),
		cmocka_unit_test(test_wrong_types),
		cmocka_unit_test(test_other_groups),
		cmocka_unit_test(test_many_values),
		cmocka_unit_test(test_collections),
		cmocka_unit_test(test_texts_are_cleaned),
		cmocka_unit_test(test_finish),
		cmocka_unit_test(test_reasons),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
