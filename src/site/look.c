/* What is in the way of the pages: looked at before the first of them is written, so that a folder
 * of somebody else's is not left half one and half the other. */
#include <string.h>

#include "site/site.h"

bool lt_site_is_gone(struct lt_scan *scan, const struct lt_site *site, const char *name)
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

static bool look_at_page(const struct lt_site *site, const char *name)
{
	struct lt_text path = { 0 };
	lt_text_printf(&path, "%s/index.html", name);
	bool good = lt_site_folder_allowed(site, name) &&
		    (lt_site_there(site, name) == LT_SITE_AWAY ||
			    lt_site_allowed(site, lt_text_string(&path)));
	lt_text_finish(&path);
	return good;
}

static bool look_at_tags(const struct lt_site *site)
{
	bool good = true;
	for (size_t i = 0; i < site->tags->harness->connector_count; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_tag_sides(sides, site->tags, i);
		for (size_t j = 0; j < count; j++) {
			char code[LT_SCAN_CODE_SIZE];
			lt_scan_code_write(code, site->tags->number_of[i], sides[j],
				site->tags->harness->code);
			good = look_at_page(site, code) && good;
		}
	}
	return good;
}

/* Tags that are no more; a folder without a page is left alone. */
static bool look_at_gone(const struct lt_site *site)
{
	struct lt_arena arena = { 0 };
	const char **names;
	size_t count;
	bool good = lt_site_list(site, &arena, &names, &count);
	for (size_t i = 0; good && i < count; i++) {
		struct lt_scan scan;
		if (lt_site_is_gone(&scan, site, names[i]))
			good = look_at_page(site, names[i]);
	}
	lt_arena_finish(&arena);
	return good;
}

static bool is_picture(const char *name)
{
	static const char *const begins[] = { "overview-", "photo-", "front-" };
	for (size_t i = 0; i < sizeof begins / sizeof *begins; i++)
		if (strncmp(name, begins[i], strlen(begins[i])) == 0)
			return true;
	return false;
}

/* All that has the name of a picture, since how many there will be is not known yet. */
static bool look_at_pictures(const struct lt_site *site)
{
	struct lt_arena arena = { 0 };
	const char *code = site->tags->harness->code;
	bool good = true;
	if (lt_site_there(site, code) == LT_SITE_FOLDER) {
		struct lt_site inside = *site;
		const char **names;
		size_t count;
		inside.folder = lt_arena_printf(&arena, "%s/%s", site->folder, code);
		good = lt_site_list(&inside, &arena, &names, &count);
		for (size_t i = 0; good && i < count; i++)
			good = !is_picture(names[i]) || lt_site_picture_allowed(&inside, names[i]);
	}
	lt_arena_finish(&arena);
	return good;
}

static const char *escaped(struct lt_arena *arena, const char *text)
{
	struct lt_text out = { 0 };
	lt_site_text(&out, text);
	const char *kept = lt_arena_strdup(arena, lt_text_string(&out));
	lt_text_finish(&out);
	return kept;
}

/* Two descriptions with one code and unit: the second takes the place of the first, whose stickers
 * then lead to the wrong joints. */
static void tell_another(const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	struct lt_arena arena = { 0 };
	struct lt_text title = { 0 };
	const char *path = lt_arena_printf(&arena, "%s/index.html", harness->code);
	const char *there = lt_site_title(site, &arena, path);
	const char *source = lt_site_source_of(site, &arena, path);
	lt_site_harness_title(&title, harness);
	const char *own = lt_site_source(harness);
	bool other_title =
		there != NULL && strcmp(there, escaped(&arena, lt_text_string(&title))) != 0;
	bool other_source =
		source != NULL && own != NULL && strcmp(source, escaped(&arena, own)) != 0;
	if (other_title || other_source) {
		lt_warning(site->diags,
			lt_place_file(lt_arena_printf(&arena, "%s/%s", site->folder, path)),
			"the page was made from %s%s%s%s, and is replaced",
			other_source ? source : "a description",
			other_title ? " with the title \"" : "", other_title ? there : "",
			other_title ? "\"" : "");
		lt_hint(site->diags, "if that is another module, give it another harness code or "
				     "unit, or another folder with --pages");
	}
	lt_text_finish(&title);
	lt_arena_finish(&arena);
}

bool lt_site_look(const struct lt_site *site)
{
	const char *code = site->tags->harness->code;
	bool good = look_at_gone(site);
	good = lt_site_allowed(site, "style.css") && good;
	good = look_at_page(site, code) && good;
	good = good && look_at_pictures(site);
	good = look_at_tags(site) && good;
	good = lt_site_allowed(site, "index.html") && good;
	if (good && lt_site_there(site, code) == LT_SITE_FOLDER)
		tell_another(site);
	return good;
}
