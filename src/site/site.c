/* The harness map as static pages: which there are, and in which order they are written. */
#include <string.h>

#include "loomtag/site.h"
#include "site/site.h"

/* Writes the page in the folder `name`, which is made where it is not there. */
static bool write_in(const struct lt_site *site, const char *name, const struct lt_text *page)
{
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/index.html", name);
	bool good = lt_site_make_folder(site, name) &&
		    lt_site_write_page(site, lt_text_string(&path), page);
	lt_text_finish(&path);
	return good;
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

/* Says so on the page of a tag that is no more. A folder that has none is left alone: it leads
 * nobody astray. */
static bool replace_gone(const struct lt_site *site, const struct lt_scan *scan, const char *name)
{
	struct lt_text path = { 0 };
	struct lt_text page = { 0 };
	bool good = true;
	lt_text_printf(&path, "%s/index.html", name);
	enum lt_site_there folder = lt_site_there(site, name);
	if (folder == LT_SITE_OTHER ||
		(folder == LT_SITE_FOLDER &&
			lt_site_there(site, lt_text_string(&path)) != LT_SITE_AWAY)) {
		lt_site_gone_page(&page, site, scan->number, scan->side);
		good = write_in(site, name, &page);
	}
	lt_text_finish(&page);
	lt_text_finish(&path);
	return good;
}

static bool write_gone(const struct lt_site *site)
{
	struct lt_arena arena = { 0 };
	const char **names;
	size_t count;
	bool good = lt_site_list(site, &arena, &names, &count);
	for (size_t i = 0; i < count && good; i++) {
		struct lt_scan scan;
		if (lt_site_is_gone(&scan, site, names[i]))
			good = replace_gone(site, &scan, names[i]);
	}
	lt_arena_finish(&arena);
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
static bool find_harness(struct lt_site_entry *entry, const struct lt_site *site,
	struct lt_arena *arena, const char *name)
{
	const char *path = lt_arena_printf(arena, "%s/index.html", name);
	*entry = (struct lt_site_entry){ .code = name };
	if (!is_code(name) || lt_site_there(site, name) != LT_SITE_FOLDER ||
		lt_site_there(site, path) != LT_SITE_PLAIN)
		return false;
	/* Its title begins with the code, which stands on the link. */
	size_t length = strlen(name);
	const char *title = lt_site_title(site, arena, path);
	const char *between = LT_SITE_BETWEEN;
	if (title != NULL && strncmp(title, name, length) == 0 &&
		strncmp(title + length, between, strlen(between)) == 0)
		entry->title = title + length + strlen(between);
	return true;
}

static bool write_root(const struct lt_site *site)
{
	struct lt_arena arena = { 0 };
	struct lt_text page = { 0 };
	const char **names;
	size_t count;
	size_t harnesses = 0;
	bool good = lt_site_list(site, &arena, &names, &count);
	struct lt_site_entry *entries = lt_arena_array(&arena, count + 1, sizeof *entries);
	for (size_t i = 0; i < count; i++)
		harnesses += find_harness(&entries[harnesses], site, &arena, names[i]);
	lt_site_root_page(&page, entries, harnesses, site->date);
	good = good && lt_site_write_page(site, "index.html", &page);
	lt_text_finish(&page);
	lt_arena_finish(&arena);
	return good;
}

static bool write_style(const struct lt_site *site)
{
	struct lt_text style = { 0 };
	lt_text_add(&style, lt_site_style);
	bool good = lt_site_write_page(site, "style.css", &style);
	lt_text_finish(&style);
	return good;
}

/* Pictures are written before the page that shows them, and only into a folder whose page is this
 * program's. */
static bool make_harness_folder(const struct lt_site *site)
{
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/index.html", site->tags->harness->code);
	bool good = lt_site_make_folder(site, site->tags->harness->code) &&
		    lt_site_allowed(site, lt_text_string(&path));
	lt_text_finish(&path);
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
		.diags = diags };
	/* What would lead astray goes first, so that it is gone even where the rest fails. */
	bool good = lt_site_make_folder(&site, "") && lt_site_look(&site) && write_gone(&site) &&
		    write_style(&site) && make_harness_folder(&site) &&
		    lt_site_photos(&site, &arena) && lt_site_overview(&site) &&
		    write_tags(&site, &written) && write_harness(&site) && write_root(&site);
	lt_site_settle();
	if (pages != NULL)
		*pages = written;
	lt_arena_finish(&arena);
	return good;
}
