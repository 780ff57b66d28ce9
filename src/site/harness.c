/* The page of a harness, and the one that leads to all harnesses. */
#include <string.h>

#include "site/site.h"

/* Drawings of the overview that stand in the page; of more than these, the first. */
#define OVERVIEWS_SHOWN 8

void lt_site_harness_title(struct lt_text *out, const struct lt_harness *harness)
{
	if (harness->title != NULL)
		lt_text_printf(out, "%s" LT_SITE_BETWEEN "%s", harness->code, harness->title);
	else
		lt_text_printf(out, "Harness %s", harness->code);
}

const char *lt_site_source(const struct lt_harness *harness)
{
	const char *slash = harness->file != NULL ? strrchr(harness->file, '/') : NULL;
	return slash != NULL ? slash + 1 : harness->file;
}

static void add_title(struct lt_text *page, const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	struct lt_text title = { 0 };
	lt_site_harness_title(&title, harness);
	lt_site_head(page, lt_text_string(&title), "../", "map", lt_site_source(harness));
	lt_text_finish(&title);
	lt_text_add(page, "<main>\n<h1>");
	if (harness->title != NULL)
		lt_site_text(page, harness->title);
	else
		lt_text_printf(page, "Harness %s", harness->code);
	lt_text_add(page, "</h1>\n<dl class=\"block\">\n");
	lt_site_fact(page, "Harness", harness->harness);
	lt_site_fact(page, "Unit", harness->unit);
	lt_site_fact(page, "Revision", harness->revision);
	lt_site_fact(page, "Written", site->date);
	lt_text_add(page, "</dl>\n");
}

static bool any_by_eye(const struct lt_site *site)
{
	for (size_t i = 0; i < site->tags->harness->connector_count; i++)
		if (site->tags->number_of[i] == 0)
			return true;
	return false;
}

static void add_contents(struct lt_text *page, const struct lt_site *site)
{
	lt_text_add(page, "<nav aria-label=\"On this page\">\n<ul class=\"chips\">\n"
			  "<li><a class=\"go\" href=\"#overview\">Overview</a></li>\n"
			  "<li><a class=\"go\" href=\"#numbers\">By number</a></li>\n"
			  "<li><a class=\"go\" href=\"#places\">By place</a></li>\n");
	if (any_by_eye(site))
		lt_text_add(page, "<li><a class=\"go\" href=\"#eye\">By eye</a></li>\n");
	lt_text_add(page, "<li><a class=\"go\" href=\"#wires\">Wire list</a></li>\n");
	if (site->tags->harness->finish_count > 0)
		lt_text_add(page, "<li><a class=\"go\" href=\"#last\">Last checks</a></li>\n");
	lt_text_add(page, "<li><a class=\"go\" href=\"../index.html\">All harnesses</a></li>\n"
			  "</ul>\n</nav>\n");
}

static void add_overview(struct lt_text *page, const struct lt_site *site)
{
	/* A phone need not fetch a hundred drawings to see the lists behind them. */
	size_t shown = site->overview_pages <= OVERVIEWS_SHOWN ? site->overview_pages : 1;
	lt_text_add(page,
		"<section aria-labelledby=\"overview\">\n<h2 id=\"overview\">Overview"
		"</h2>\n<p>The harness as it lies on a board. The same in words is in the "
		"lists below.</p>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" "
		"aria-labelledby=\"overview\">\n");
	for (size_t i = 1; i <= shown; i++)
		lt_text_printf(page,
			"<img src=\"overview-%zu.svg\" width=\"1188\" height=\"840\" alt=\"overview "
			"of the harness, part %zu of %zu\">\n",
			i, i, site->overview_pages);
	lt_text_add(page, "</div>\n");
	if (shown < site->overview_pages)
		lt_text_add(page, "<p>The parts that follow along the harness:</p>\n<ul "
				  "class=\"chips\">\n");
	for (size_t i = shown + 1; i <= site->overview_pages; i++)
		lt_text_printf(page, "<li><a class=\"go\" href=\"overview-%zu.svg\">%zu</a></li>\n",
			i, i);
	lt_text_add(page, shown < site->overview_pages ? "</ul>\n</section>\n" : "</section>\n");
}

static void add_joint_by_eye(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_connector *of = &site->tags->harness->connectors[connector];
	lt_text_add(page, "<h3>");
	lt_site_text(page, lt_site_name(of));
	lt_text_add(page, "</h3>\n<dl>\n<dt>Id, kind</dt>\n<dd>");
	lt_site_text(page, of->id);
	lt_text_printf(page, ", %s</dd>\n", lt_kind_name(of->kind));
	if (of->component != LT_NONE || of->port != NULL) {
		lt_text_add(page, "<dt>Goes onto</dt>\n<dd>");
		lt_site_mate(page, site, connector);
		lt_text_add(page, "</dd>\n");
	}
	lt_site_fact(page, "Where it is", of->where);
	lt_site_fact(page, "Unlock", of->lock);
	lt_site_fact(page, "Which way round", of->orient);
	lt_site_fact(page, "Seat", of->seat);
	lt_site_fact(page, "Note", of->note);
	if (of->after.count > 0) {
		lt_text_add(page, "<dt>Make first</dt>\n<dd>");
		lt_site_joints(page, site, &of->after);
		lt_text_add(page, "</dd>\n");
	}
	lt_text_add(page, "</dl>\n");
	lt_site_picture(page, site, connector, "");
}

static void add_by_eye(struct lt_text *page, const struct lt_site *site)
{
	if (!any_by_eye(site))
		return;
	lt_text_add(page, "<section aria-labelledby=\"eye\">\n<h2 id=\"eye\">By eye</h2>\n<p>These "
			  "joints have no number and no sticker.</p>\n");
	for (size_t i = 0; i < site->tags->harness->connector_count; i++)
		if (site->tags->number_of[i] == 0)
			add_joint_by_eye(page, site, i);
	lt_text_add(page, "</section>\n");
}

static void add_last_checks(struct lt_text *page, const struct lt_harness *harness)
{
	if (harness->finish_count == 0)
		return;
	lt_text_add(page,
		"<section aria-labelledby=\"last\">\n<h2 id=\"last\">Last checks</h2>\n<ul>\n");
	for (size_t i = 0; i < harness->finish_count; i++) {
		lt_text_add(page, "<li>");
		lt_site_text(page, harness->finish[i].text);
		lt_text_add(page, "</li>\n");
	}
	lt_text_add(page, "</ul>\n</section>\n");
}

void lt_site_harness_page(struct lt_text *page, const struct lt_site *site)
{
	add_title(page, site);
	lt_site_hazards(page, site->tags->harness, false);
	add_contents(page, site);
	add_overview(page, site);
	lt_site_tables(page, site);
	add_by_eye(page, site);
	add_last_checks(page, site->tags->harness);
	lt_text_add(page, "</main>\n");
	lt_site_foot(page, site);
}

void lt_site_root_page(struct lt_text *page, const struct lt_site_entry *entries, size_t count,
	const char *date)
{
	lt_site_head(page, "Harness maps", "", "map", NULL);
	lt_text_add(page, "<main>\n<h1>Harness maps</h1>\n<p>Scan a sticker, or choose the harness "
			  "whose code stands on it.</p>\n<ul class=\"joints\">\n");
	for (size_t i = 0; i < count; i++) {
		const struct lt_site_entry *entry = &entries[i];
		lt_text_printf(page, "<li><a class=\"go\" href=\"%s/index.html\">%s</a> %s</li>\n",
			entry->code, entry->code, entry->title != NULL ? entry->title : "");
	}
	lt_text_add(page, "</ul>\n</main>\n<footer>\n");
	lt_site_foot_plain(page, date);
}
