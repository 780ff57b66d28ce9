/* The harness map as static pages: what is written where, what is left alone, and that no text of a
 * description becomes markup. How the pages look and read is judged from outside. */
#include "unit.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "build.h"
#include "fixture.h"
#include "folder.h"
#include "loomtag/site.h"
#include "site/site.h"

static const char two_joints[] =
	"harness: RV3\n"
	"components:\n"
	"  - {id: M1, name: vent motor, place: left gearbox, fate: replace}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, family: a, wires: {1: BN, 2: "
	"WHRD, 3: GNYE}, ways: 3, place: behind the cover}\n"
	"  - {id: X2, name: rain sensor, family: b, after: [X1]}\n";

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_finish(&diags);
	return fonts != NULL ? enter_folder(state) : -1;
}

static int tear_down(void **state)
{
	lt_fonts_destroy(fonts);
	return leave_folder(state);
}

static bool write_site(struct fixture *fixture, const char *into, size_t *pages)
{
	const struct lt_map_site_options options = { .date = "2026-11-25" };
	return lt_map_site_write(pages, into, &fixture->tags, fixture->lookalikes, &options, fonts,
		&fixture->diags);
}

/* Writes the pages of one description; returns how many tags have one. */
static size_t write_yaml(const char *into, const char *yaml)
{
	struct fixture fixture;
	size_t pages;
	fixture_read(&fixture, "test.yaml", yaml);
	bool good = write_site(&fixture, into, &pages);
	if (!good)
		lt_diags_print(&fixture.diags, 0, stderr, false);
	assert_true(good);
	fixture_finish(&fixture);
	return pages;
}

/* The same where it must fail, with these words in the first error. */
static void refuse_yaml(const char *into, const char *yaml, const char *path, const char *words)
{
	struct fixture fixture;
	fixture_read(&fixture, "test.yaml", yaml);
	assert_false(write_site(&fixture, into, NULL));
	size_t first = 0;
	while (first < fixture.diags.count && fixture.diags.items[first].severity != LT_ERROR)
		first++;
	assert_true(first < fixture.diags.count);
	const struct lt_diag *found = &fixture.diags.items[first];
	assert_string_equal(found->place.file, path);
	assert_non_null(strstr(found->message, words));
	assert_non_null(found->hint);
	fixture_finish(&fixture);
}

static char *read_page(const char *path)
{
	struct lt_diags diags = { 0 };
	char *bytes;
	size_t length;
	assert_true(lt_file_read(&bytes, &length, path, 10000000, &diags));
	lt_diags_finish(&diags);
	return bytes;
}

static void assert_says(const char *path, const char *words)
{
	char *page = read_page(path);
	if (strstr(page, words) == NULL)
		fail_msg("%s does not say: %s", path, words);
	free(page);
}

static void assert_silent(const char *path, const char *words)
{
	char *page = read_page(path);
	if (strstr(page, words) != NULL)
		fail_msg("%s says: %s", path, words);
	free(page);
}

static bool is_there(const char *path)
{
	struct stat status;
	return lstat(path, &status) == 0;
}

static void test_pages(void **state)
{
	(void)state;
	/* 1H, 1X, 1M, 2H, 2M. */
	assert_int_equal(write_yaml("a", two_joints), 5);
	assert_says("a/1HRV3C/index.html", "motor power");
	assert_says("a/1HRV3C/index.html", "vent motor");
	assert_says("a/1HRV3C/index.html", "left gearbox");
	assert_says("a/1HRV3C/index.html", "behind the cover");
	assert_says("a/1HRV3C/index.html", "<b>WHRD</b>");
	/* IEC 60445. */
	assert_says("a/1HRV3C/index.html", "green-and-yellow: protective earth (PE)");
	assert_silent("a/1HRV3C/index.html", lt_site_words.mirror_of_picture);
	assert_silent("a/1HRV3C/index.html", lt_site_words.hazard_names_it);
	assert_says("a/RV3/index.html", "rain sensor");
	assert_says("a/index.html", "href=\"RV3/index.html\"");
	assert_true(is_there("a/RV3/overview-1.svg"));
	assert_true(is_there("a/style.css"));
}

/* Who scans a half of a part that is replaced is told which part it is. */
static void test_replaced(void **state)
{
	(void)state;
	char old[LT_SCAN_CODE_SIZE], new[LT_SCAN_CODE_SIZE], path[64];
	lt_scan_code_write(old, 1, LT_SIDE_X, "RV3");
	lt_scan_code_write(new, 1, LT_SIDE_M, "RV3");
	write_yaml("replaced", two_joints);
	snprintf(path, sizeof path, "replaced/%s/index.html", old);
	assert_says(path, lt_site_words.old_part);
	assert_says(path, "Do not reconnect 1H");
	snprintf(path, sizeof path, "replaced/%s/index.html", new);
	assert_says(path, lt_site_words.new_part);
	assert_silent(path, lt_site_words.old_part);
	assert_says(path, lt_site_words.mirror_of_picture);
}

/* Signal word, energy and harm come before what is done about it, and the signal word is in the
 * summary of a tag's page. */
static void test_what_a_hazard_does(void **state)
{
	(void)state;
	write_yaml("harm",
		"harness: RV3\nhazards:\n"
		"  - {energy: hot oil, signal: warning, harm: it burns, isolate: valve V1}\n"
		"  - {energy: spring, isolate: pin}\nconnectors:\n  - {id: X1}\n");
	static const char *const paths[] = { "harm/RV3/index.html", "harm/1HRV3C/index.html" };
	for (size_t i = 0; i < 2; i++) {
		static const char *const order[] = { ">WARNING: hot oil<", "<dd>it burns</dd>",
			"<dd>valve V1</dd>", ">HAZARD: spring<" };
		char *page = read_page(paths[i]);
		const char *at = strstr(page, "class=\"hazard\"");
		for (size_t j = 0; j < sizeof order / sizeof *order && at != NULL; j++)
			at = strstr(at, order[j]);
		assert_non_null(at);
		free(page);
	}
	assert_says(paths[1], "<b>WARNING: hot oil</b>");
	assert_says(paths[1], "<b>spring</b>");
}

static void test_named_in_a_hazard(void **state)
{
	(void)state;
	write_yaml("named", "harness: RV3\nhazards:\n  - {energy: mains, prove: none at X1}\n"
			    "connectors:\n  - {id: X1, family: a}\n");
	assert_says("named/1HRV3C/index.html", lt_site_words.hazard_names_it);
}

/* An M sticker that went out before the part was to be replaced is on the outgoing part. */
static void test_old_sticker(void **state)
{
	(void)state;
	struct fixture fixture;
	char code[LT_SCAN_CODE_SIZE], path[64];
	fixture_read(&fixture, "test.yaml", two_joints);
	fixture.tags.m_is_old[0] = true;
	assert_true(write_site(&fixture, "old", NULL));
	fixture_finish(&fixture);
	lt_scan_code_write(code, 1, LT_SIDE_M, "RV3");
	snprintf(path, sizeof path, "old/%s/index.html", code);
	struct lt_text words = { 0 };
	lt_site_add_old_m(&words, 1);
	assert_says(path, lt_text_string(&words));
	lt_text_finish(&words);
	lt_scan_code_write(code, 2, LT_SIDE_M, "RV3");
	snprintf(path, sizeof path, "old/%s/index.html", code);
	assert_silent(path, "stuck over it");
}

/* Twice the same input, the same bytes. */
static void test_same_bytes(void **state)
{
	(void)state;
	write_yaml("same", two_joints);
	write_yaml("twice", two_joints);
	write_yaml("twice", two_joints);
	assert_int_equal(system("diff -r same twice"), 0);
}

static void test_pages_of_removed_tags(void **state)
{
	(void)state;
	char x_code[LT_SCAN_CODE_SIZE], path[64];
	write_yaml("stale", two_joints);
	/* The part is kept after all, and X2 is gone. */
	struct fixture fixture;
	fixture_read(&fixture, "test.yaml",
		"harness: RV3\nconnectors:\n  - {id: X1, name: motor power, family: a}\n");
	struct lt_tags *tags = &fixture.tags;
	assert_int_equal(tags->number_max, 1);
	size_t connector_of[] = { LT_NONE, 0, LT_NONE };
	bool retired[] = { false, false, true };
	tags->connector_of = connector_of;
	tags->retired = retired;
	tags->by_eye = NULL;
	tags->number_max = 2;
	assert_true(write_site(&fixture, "stale", NULL));
	fixture_finish(&fixture);

	lt_scan_code_write(x_code, 1, LT_SIDE_X, "RV3");
	snprintf(path, sizeof path, "stale/%s/index.html", x_code);
	assert_says(path, "Number 1 has no side X any more.");
	assert_says(path, "Do not");
	for (int side = LT_SIDE_H; side <= LT_SIDE_M; side++) {
		lt_scan_code_write(x_code, 2, (enum lt_side)side, "RV3");
		snprintf(path, sizeof path, "stale/%s/index.html", x_code);
		assert_says(path, "Number 2 is no longer used");
		assert_silent(path, "rain sensor");
	}
	assert_says("stale/1HRV3C/index.html", "motor power");
	/* Another run, with a register that knows nothing of number 2. */
	write_yaml("stale", "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n");
	assert_says(path, "There is no number 2");
}

/* A joint that is to have no number any more is still there. */
static void test_by_eye(void **state)
{
	(void)state;
	char code[LT_SCAN_CODE_SIZE], path[64];
	write_yaml("eye", two_joints);
	struct fixture fixture;
	fixture_read(&fixture, "test.yaml",
		"harness: RV3\nconnectors:\n  - {id: X1, family: a}\n"
		"  - {id: X2, name: rain sensor, family: b, tag: none}\n");
	lt_tags_finish(&fixture.tags);
	lt_register_add(&fixture.reg, 2, "X2");
	assert_true(lt_tags_assign(&fixture.tags, &fixture.harness, fixture.lookalikes,
		&fixture.reg, &fixture.diags));
	assert_int_equal(fixture.tags.by_eye[2], 1);
	assert_int_equal(fixture.tags.by_eye[1], LT_NONE);
	assert_true(write_site(&fixture, "eye", NULL));
	fixture_finish(&fixture);
	lt_scan_code_write(code, 2, LT_SIDE_H, "RV3");
	snprintf(path, sizeof path, "eye/%s/index.html", code);
	assert_says(path, "Do not");
	assert_says(path, "rain sensor, has no number any more");
	assert_says(path, "Number 2 is no longer on a sticker");
	assert_silent(path, "is no longer used");
}

/* Another description with the same code takes the place of the pages: not in silence. */
static void test_another_description(void **state)
{
	(void)state;
	static const struct {
		const char *file, *title, *warns;
	} runs[] = {
		{ "one.yaml", "Left drive & co", NULL },
		{ "one.yaml", "Left drive & co", NULL },
		{ "some/where/one.yaml", "Left drive & co", NULL },
		{ "two.yaml", "Left drive & co", "made from one.yaml, and" },
		{ "two.yaml", "Right drive", "with the title \"RV3 – Left drive" },
		{ "three.yaml", "Left drive", "made from two.yaml with the title" },
	};
	for (size_t i = 0; i < sizeof runs / sizeof *runs; i++) {
		struct fixture fixture;
		struct lt_text yaml = { 0 };
		lt_text_printf(&yaml,
			"harness: RV3\ntitle: %s\nconnectors:\n  - {id: X1, family: a}\n",
			runs[i].title);
		fixture_read(&fixture, runs[i].file, lt_text_string(&yaml));
		size_t before = fixture.diags.count;
		assert_true(write_site(&fixture, "another", NULL));
		assert_int_equal(fixture.diags.count - before, runs[i].warns != NULL);
		if (runs[i].warns != NULL)
			assert_non_null(strstr(fixture.diags.items[before].message, runs[i].warns));
		fixture_finish(&fixture);
		lt_text_finish(&yaml);
	}
}

/* What only looks like a page of this harness stays as it is. */
static void test_left_alone(void **state)
{
	(void)state;
	static const char *const names[] = {
		"2HRV3",  /* no check character */
		"2HRV30", /* a wrong one */
		"2hrv3",  /* not as on a sticker */
		"7HRV4X", /* perhaps another harness */
		"notes",
	};
	char path[64];
	char right[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(right, 2, LT_SIDE_H, "RV3");
	assert_string_not_equal(right, "2HRV30");
	write_yaml("alone", "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n");
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		snprintf(path, sizeof path, "alone/%s", names[i]);
		assert_int_equal(mkdir(path, 0777), 0);
		snprintf(path, sizeof path, "alone/%s/index.html", names[i]);
		write_plain(path, "kept " LT_SITE_MARK);
	}
	/* The right name, but in small letters. */
	for (char *c = right; *c != '\0'; c++)
		*c = (char)tolower((unsigned char)*c);
	snprintf(path, sizeof path, "alone/%s", right);
	assert_int_equal(mkdir(path, 0777), 0);
	snprintf(path, sizeof path, "alone/%s/index.html", right);
	write_plain(path, "kept");
	write_yaml("alone", "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n");
	assert_holds(path, "kept");
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		snprintf(path, sizeof path, "alone/%s/index.html", names[i]);
		assert_holds(path, "kept " LT_SITE_MARK);
	}
}

static void test_links(void **state)
{
	(void)state;
	static const char yaml[] = "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n";
	assert_int_equal(mkdir("links", 0777), 0);
	assert_int_equal(mkdir("elsewhere", 0777), 0);
	/* A page's folder, a page, and the page of a tag that is no more. */
	assert_int_equal(symlink("../elsewhere", "links/1HRV3C"), 0);
	refuse_yaml("links", yaml, "links/1HRV3C", "is not a folder");
	assert_int_equal(unlink("links/1HRV3C"), 0);
	write_plain("elsewhere/page", "kept " LT_SITE_MARK);
	assert_int_equal(mkdir("links/1HRV3C", 0777), 0);
	assert_int_equal(symlink("../../elsewhere/page", "links/1HRV3C/index.html"), 0);
	refuse_yaml("links", yaml, "links/1HRV3C/index.html", "not a plain file");
	assert_int_equal(unlink("links/1HRV3C/index.html"), 0);
	char gone[LT_SCAN_CODE_SIZE], path[64];
	lt_scan_code_write(gone, 9, LT_SIDE_H, "RV3");
	snprintf(path, sizeof path, "links/%s", gone);
	assert_int_equal(symlink("../elsewhere", path), 0);
	refuse_yaml("links", yaml, path, "is not a folder");
	assert_int_equal(unlink(path), 0);
	assert_holds("elsewhere/page", "kept " LT_SITE_MARK);
	assert_false(is_there("elsewhere/index.html"));
	write_yaml("links", yaml);
	/* The folder that was named may be one. */
	assert_int_equal(symlink("elsewhere", "by-link"), 0);
	write_yaml("by-link", yaml);
	assert_true(is_there("elsewhere/RV3/index.html"));
}

/* Pages that somebody else wrote are never replaced. */
static void test_files_of_other_programs_are_kept(void **state)
{
	(void)state;
	static const char yaml[] = "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n";
	static const char *const paths[] = { "others/style.css", "others/RV3/index.html",
		"others/1HRV3C/index.html", "others/index.html" };
	for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
		assert_int_equal(system("mkdir -p others/RV3 others/1HRV3C"), 0);
		write_plain(paths[i], "<p>mine</p>");
		refuse_yaml("others", yaml, paths[i], "is not a page of loomtag");
		assert_holds(paths[i], "<p>mine</p>");
		/* Nothing at all was written. */
		assert_int_equal(system("test $(find others -type f | wc -l) = 1"), 0);
		assert_int_equal(system("rm -r others"), 0);
	}
}

static void test_unwritable(void **state)
{
	(void)state;
	static const char yaml[] = "harness: RV3\nconnectors:\n  - {id: X1, family: a}\n";
	write_plain("file", "a file");
	refuse_yaml("file", yaml, "file", "is not a folder");
	refuse_yaml("file/sub", yaml, "file/sub", "cannot make the folder");
	refuse_yaml("no/such", yaml, "no/such", "cannot make the folder");
	assert_holds("file", "a file");
	assert_int_equal(mkdir("shut", 0555), 0);
	/* Nothing is shut to root. */
	if (geteuid() != 0)
		refuse_yaml("shut", yaml, "shut/style.css", "cannot be written");
}

static void test_several(void **state)
{
	(void)state;
	assert_int_equal(write_yaml("many", two_joints), 5);
	write_yaml("many", "harness: RV3\nunit: \"7\"\nconnectors:\n  - {id: X1, family: a}\n");
	write_yaml("many", "harness: AB\nconnectors:\n  - {id: X1, family: a}\n");
	/* No harness: no page, and no code. */
	assert_int_equal(system("mkdir many/CD many/RV3U; touch many/RV3U/index.html"), 0);
	assert_says("many/index.html", "href=\"AB/index.html\"");
	assert_says("many/index.html", "href=\"RV3/index.html\"");
	assert_says("many/index.html", "href=\"RV3U7/index.html\"");
	assert_silent("many/index.html", "CD/");
	write_yaml("many", "harness: AB\nconnectors:\n  - {id: X1, family: a}\n");
	assert_says("many/index.html", "href=\"RV3/index.html\"");
	assert_silent("many/index.html", "CD/");
	/* Titles are passed on as they were escaped, if they are whole. */
	write_yaml("many", "harness: AB\ntitle: a <b> & c\nconnectors:\n  - {id: X1, family: a}\n");
	assert_says("many/index.html", ">AB</a> a &lt;b&gt; &amp; c</li>");
	write_plain("many/RV3/index.html",
		"<meta content=\"" LT_SITE_MARK "\"><title>RV3 – a<script></title>");
	write_yaml("many", "harness: AB\nconnectors:\n  - {id: X1, family: a}\n");
	assert_says("many/index.html", ">RV3</a> </li>");
	assert_silent("many/index.html", "script");
	/* Those of the others are as they were. */
	assert_says("many/1HRV3C/index.html", "vent motor");
}

/* Markup in a page: names of elements and attributes, with every quote closed. A small reader of
 * its own. Returns how many elements begin. */
static size_t count_elements(const char *page)
{
	size_t count = 0;
	for (const char *c = page; *c != '\0'; c++) {
		assert_true(*c != '>');
		if (*c == '&') {
			size_t length = 1 + strcspn(c + 1, "; <>&");
			assert_int_equal(c[length], ';');
		}
		if (*c != '<')
			continue;
		count += c[1] != '/' && c[1] != '!';
		assert_true(isalpha((unsigned char)c[1]) || c[1] == '/' || c[1] == '!');
		for (c++; *c != '>'; c++) {
			assert_true(*c != '\0' && *c != '<');
			if (*c == '"') {
				c = strchr(c + 1, '"');
				assert_non_null(c);
			}
		}
	}
	return count;
}

static void random_name(char name[40], uint64_t *state, bool plain)
{
	static const char bad[] = "<>&\"'/=-!;`\t\n\r\x01\x1b\x7f\xc2\xef\xbf\xbe\xff a1";
	size_t length = 1 + build_random(state, 30);
	for (size_t i = 0; i < length; i++)
		name[i] = plain                         ? 'n'
			  : build_random(state, 3) == 0 ? (char)(1 + build_random(state, 255))
							: bad[build_random(state, sizeof bad - 1)];
	name[length] = '\0';
}

/* Every text that a description has, of random bytes; with them the page has just the elements
 * that it has with plain words. */
static size_t odd_elements(uint64_t seed, bool plain)
{
	struct lt_harness harness;
	struct lt_diags diags = { 0 };
	struct lt_register reg = { 0 };
	struct lt_tags tags;
	static char names[16][40];
	build_init(&harness, "ODD", 3);
	harness.components[0] =
		(struct lt_component){ .id = names[0], .name = names[1], .where = names[2] };
	harness.component_count = 1;
	for (size_t i = 0; i < 16; i++)
		random_name(names[i], &seed, plain);
	/* No hazard's random text names this one. */
	struct lt_connector *of = build_connector(&harness, "CONNECTOR");
	of->component = 0;
	of->name = names[3];
	of->port = names[4];
	of->where = names[5];
	of->lock = names[6];
	of->orient = names[7];
	of->seat = names[8];
	of->note = names[9];
	of->key = names[10];
	/* With a letter in it, so that it is a family. */
	of->family = lt_arena_printf(&harness.arena, "f%s", names[11]);
	build_connector(&harness, NULL)->family = of->family;
	build_connector(&harness, NULL)->marking = LT_MARK_NONE;
	struct lt_hazard hazard = { .energy = names[12], .isolate = names[13], .prove = names[14] };
	harness.hazards = &hazard;
	harness.hazard_count = 1;
	harness.title = names[15];
	harness.revision = names[1];
	struct lt_lookalikes *lookalikes = lt_lookalikes_create(&harness);
	assert_true(lt_tags_assign(&tags, &harness, lookalikes, &reg, &diags));
	struct lt_site_photo photos[3] = { { .name = "" } };
	struct lt_arena arena = { 0 };
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_map_input input;
	lt_map_input_init(&input, &arena, &tags, lookalikes, &measure);
	const struct lt_site site = { .tags = &tags,
		.input = &input,
		.arena = &arena,
		.lookalikes = lookalikes,
		.date = "2026-11-25",
		.photos = photos,
		.fonts = fonts,
		.diags = &diags,
		.overview_pages = 1 };
	struct lt_text page = { 0 };
	lt_site_tag_page(&page, &site, 0, LT_SIDE_H, "");
	assert_int_equal(lt_utf8_check(lt_text_string(&page), page.length), page.length);
	size_t count = count_elements(lt_text_string(&page));
	lt_text_clear(&page);
	lt_site_harness_page(&page, &site);
	assert_int_equal(lt_utf8_check(lt_text_string(&page), page.length), page.length);
	count += count_elements(lt_text_string(&page));
	lt_text_finish(&page);
	lt_arena_finish(&arena);
	lt_tags_finish(&tags);
	lt_register_finish(&reg);
	lt_lookalikes_destroy(lookalikes);
	lt_diags_finish(&diags);
	build_finish(&harness);
	return count;
}

static void test_escaping(void **state)
{
	(void)state;
	size_t plain = odd_elements(1, true);
	assert_true(plain > 50);
	for (uint64_t seed = 1; seed <= 300; seed++)
		assert_int_equal(odd_elements(seed * 7919, false), plain);
}

static void test_text(void **state)
{
	(void)state;
	struct lt_text out = { 0 };
	lt_site_text(&out, "a<b>&\"c'\n\x01\xe2\x80\xae\xef\xbf\xbf\xffz");
	assert_string_equal(lt_text_string(&out),
		"a&lt;b&gt;&amp;&quot;c&#39; \xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbdz");
	lt_text_clear(&out);
	lt_site_text(&out, NULL);
	assert_int_equal(out.length, 0);
	lt_text_finish(&out);
}

/* Either question is answered: what is at a place, joints and what they go onto; numbers in places
 * count. */
static void test_places(void **state)
{
	(void)state;
	write_yaml("places", "harness: PLC\ncomponents:\n  - {id: M1, name: pump, place: lane 9}\n"
			     "connectors:\n  - {id: X1, place: lane 10}\n"
			     "  - {id: X2, place: Lane 2, mates: M1}\n  - {id: X3}\n"
			     "  - {id: X4, place: lane 10, tag: none}\n");
	char *page = read_page("places/PLC/index.html");
	const char *at = strstr(page, "id=\"places\"");
	assert_non_null(at);
	static const char *const order[] = { ">Lane 2<", "X2", ">lane 9<", "X2", "<b>is here</b>",
		">lane 10<", "X1", "by eye", "X4", "place not described", "X3" };
	for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
		const char *found = strstr(at, order[i]);
		if (found == NULL) {
			fail_msg("%s is not in its place", order[i]);
			return;
		}
		at = found + 1;
	}
	free(page);
}

/* Two hundred look-alikes: each page stays small. */
static void test_small(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: BIG\nconnectors:\n");
	for (unsigned i = 0; i < 200; i++)
		lt_text_printf(&yaml, "  - {id: X%u, family: a, ways: 3}\n", i);
	assert_int_equal(write_yaml("big", lt_text_string(&yaml)), 400);
	lt_text_finish(&yaml);
	char code[LT_SCAN_CODE_SIZE], path[64];
	lt_scan_code_write(code, 1, LT_SIDE_H, "BIG");
	snprintf(path, sizeof path, "big/%s/index.html", code);
	char *page = read_page(path);
	assert_true(strlen(page) < 24000);
	assert_non_null(strstr(page, "<li>175 more</li>"));
	free(page);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_text),
		cmocka_unit_test(test_escaping),
		cmocka_unit_test(test_pages),
		cmocka_unit_test(test_replaced),
		cmocka_unit_test(test_what_a_hazard_does),
		cmocka_unit_test(test_named_in_a_hazard),
		cmocka_unit_test(test_old_sticker),
		cmocka_unit_test(test_same_bytes),
		cmocka_unit_test(test_pages_of_removed_tags),
		cmocka_unit_test(test_by_eye),
		cmocka_unit_test(test_another_description),
		cmocka_unit_test(test_left_alone),
		cmocka_unit_test(test_links),
		cmocka_unit_test(test_files_of_other_programs_are_kept),
		cmocka_unit_test(test_unwritable),
		cmocka_unit_test(test_several),
		cmocka_unit_test(test_places),
		cmocka_unit_test(test_small),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
