/* The harness map as static pages: which there are, and in which order they are written. */
#include <string.h>
#include <unistd.h>

#include "loomtag/site.h"
#include "site/site.h"

/* True when the name is the scan code, written as on a sticker, of a tag of this harness that is no
 * more. */
static bool is_gone(struct lt_scan *scan, const struct lt_site *site, const char *name)
{
	const struct lt_tags *tags = site->tags;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_read(scan, name, strlen(name));
	if (scan->kind != LT_SCAN_CODE || strcmp(scan->code, tags->harness->code) != 0)
		return false;
	lt_scan_code_write(code, scan->number, scan->side, scan->code);
	if (strcmp(code, name) != 0)
		return false;
	if (scan->number > tags->number_max || tags->connector_of[scan->number] == LT_NONE)
		return true;
	return !lt_site_has_side(site, tags->connector_of[scan->number], scan->side);
}

/* Writes the page in the folder `name`, which is made where it is not there. */
static bool write_in(const struct lt_site *site, const char *name, const struct lt_text *page)
{
	return lt_site_make_folder(site, name) && lt_site_write(site, lt_site_index(site, name),
							  LT_SITE_PAGE, page->bytes, page->length);
}

static bool write_tags(const struct lt_site *site, size_t *pages)
{
	struct lt_text page = { 0 };
	struct lt_text front = { 0 };
	bool good = true;
	for (size_t i = 0; i < site->tags->harness->connector_count && good; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_tag_sides(sides, site->tags, i);
		lt_text_clear(&front);
		good = count == 0 || lt_site_front(&front, site, i);
		for (size_t j = 0; j < count && good; j++) {
			char code[LT_SCAN_CODE_SIZE];
			lt_scan_code_write(code, site->tags->number_of[i], sides[j],
				site->tags->harness->code);
			lt_text_clear(&page);
			lt_site_tag_page(&page, site, i, sides[j], lt_text_string(&front));
			good = write_in(site, code, &page);
			*pages += good;
		}
	}
	lt_text_finish(&front);
	lt_text_finish(&page);
	return good;
}

/* The tags that are no more and have something of their name in the folder. */
static bool find_gone(struct lt_site_gone **gone, size_t *count, const struct lt_site *site)
{
	const char **names;
	size_t all;
	bool listed = lt_site_list(site, "", &names, &all);
	*gone = lt_arena_array(site->arena, all + 1, sizeof **gone);
	*count = 0;
	for (size_t i = 0; i < all; i++) {
		(*gone)[*count].name = names[i];
		*count += is_gone(&(*gone)[*count].scan, site, names[i]);
	}
	return listed;
}

/* Says so on the pages of tags that are no more. A folder that has none is left alone: it leads
 * nobody astray. */
static bool write_gone(const struct lt_site *site, const struct lt_site_gone *gone, size_t count)
{
	struct lt_text page = { 0 };
	bool good = true;
	for (size_t i = 0; i < count && good; i++) {
		const char *name = gone[i].name;
		enum lt_site_there folder = lt_site_there(site, name);
		if (folder != LT_SITE_OTHER &&
			(folder != LT_SITE_FOLDER ||
				lt_site_there(site, lt_site_index(site, name)) == LT_SITE_AWAY))
			continue;
		lt_text_clear(&page);
		lt_site_gone_page(&page, site, gone[i].scan.number, gone[i].scan.side);
		good = write_in(site, name, &page);
	}
	lt_text_finish(&page);
	return good;
}

/* A harness code, with or without unit. */
static bool is_code(const char *name)
{
	char stem[LT_HARNESS_CODE_MAX + 1];
	size_t length = strlen(name);
	if (length == 0 || length > LT_HARNESS_CODE_MAX)
		return false;
	if (lt_harness_code_valid(name))
		return true;
	size_t digits = length;
	while (digits > 0 && name[digits - 1] >= '0' && name[digits - 1] <= '9')
		digits--;
	if (digits == length || digits < 2 || name[digits - 1] != 'U')
		return false;
	memcpy(stem, name, digits - 1);
	stem[digits - 1] = '\0';
	return lt_harness_code_valid(stem);
}

/* The harness behind a name in the folder, or false. */
static bool find_harness(struct lt_site_entry *entry, const struct lt_site *site, const char *name)
{
	const char *path = lt_site_index(site, name);
	*entry = (struct lt_site_entry){ .code = name };
	if (!is_code(name) || lt_site_there(site, name) != LT_SITE_FOLDER ||
		lt_site_there(site, path) != LT_SITE_PLAIN)
		return false;
	/* Its title begins with the code, which stands on the link. */
	size_t length = strlen(name);
	const char *title = lt_site_title(site, path);
	const char *between = LT_SITE_BETWEEN;
	if (title != NULL && strncmp(title, name, length) == 0 &&
		strncmp(title + length, between, strlen(between)) == 0)
		entry->title = title + length + strlen(between);
	return true;
}

static bool write_root(const struct lt_site *site)
{
	struct lt_text page = { 0 };
	const char **names;
	size_t count, harnesses = 0;
	if (!lt_site_list(site, "", &names, &count))
		return false;
	struct lt_site_entry *entries = lt_arena_array(site->arena, count + 1, sizeof *entries);
	for (size_t i = 0; i < count; i++)
		harnesses += find_harness(&entries[harnesses], site, names[i]);
	lt_site_root_page(&page, entries, harnesses, site->date);
	bool good = lt_site_write(site, "index.html", LT_SITE_PAGE, page.bytes, page.length);
	lt_text_finish(&page);
	return good;
}

static bool write_harness(const struct lt_site *site)
{
	struct lt_text page = { 0 };
	lt_site_harness_page(&page, site);
	bool good = write_in(site, site->tags->harness->code, &page);
	lt_text_finish(&page);
	return good;
}

bool lt_map_site_write(size_t *pages, const char *folder, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_map_site_options *options,
	struct lt_fonts *fonts, struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	size_t written = 0;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_map_input input;
	lt_map_input_init(&input, &arena, tags, lookalikes, &measure);
	struct lt_site site = { .folder = folder,
		.tags = tags,
		.lookalikes = lookalikes,
		.date = options->date,
		.fonts = fonts,
		.input = &input,
		.arena = &arena,
		.diags = diags };
	const char *code = tags->harness->code;
	struct lt_site_gone *gone = NULL;
	size_t gone_count = 0;
	bool good = lt_site_make_folder(&site, "");
	bool listed = good && find_gone(&gone, &gone_count, &site);
	/* What would lead astray goes first, so that it is gone even where the rest fails. Pictures
	 * are written before the page that shows them, and only into a folder whose page is this
	 * program's. */
	good = good && lt_site_check(&site, gone, gone_count) && listed &&
	       write_gone(&site, gone, gone_count) &&
	       lt_site_write(&site, "style.css", LT_SITE_PAGE, lt_site_style,
		       strlen(lt_site_style)) &&
	       lt_site_make_folder(&site, code) &&
	       lt_site_may_write(&site, lt_site_index(&site, code), LT_SITE_PAGE) &&
	       lt_site_photos(&site) && lt_site_overview(&site) && write_tags(&site, &written) &&
	       write_harness(&site) && write_root(&site);
	/* Once for all: a wait a file is half a minute for three thousand. */
	sync();
	if (pages != NULL)
		*pages = written;
	lt_arena_finish(&arena);
	return good;
}
