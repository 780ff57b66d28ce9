/* The page of a harness, and the one that leads to all harnesses. */
#include <stdlib.h>
#include <string.h>

#include "site/site.h"

/* Drawings of the overview that stand in the page; of more than these, the first. */
#define OVERVIEWS_SHOWN 8

const char *lt_site_harness_title(const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	if (harness->title != NULL)
		return lt_arena_printf(site->arena, "%s" LT_SITE_BETWEEN "%s", harness->code,
			harness->title);
	return lt_arena_printf(site->arena, "Harness %s", harness->code);
}

const char *lt_site_source(const struct lt_harness *harness)
{
	const char *slash = harness->file != NULL ? strrchr(harness->file, '/') : NULL;
	return slash != NULL ? slash + 1 : harness->file;
}

static void add_title(struct lt_text *page, const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	lt_site_head(page, lt_site_harness_title(site), "../", "map", lt_site_source(harness));
	if (harness->title != NULL)
		lt_site_add(page, "<main>\n<h1>%s</h1>\n", harness->title);
	else
		lt_site_add(page, "<main>\n<h1>Harness %s</h1>\n", harness->code);
	lt_text_add(page, "<dl class=\"block\">\n");
	lt_site_fact(page, "Harness", harness->harness);
	lt_site_fact(page, "Unit", harness->unit);
	lt_site_fact(page, "Revision", harness->revision);
	lt_site_fact(page, "Written", site->date);
	lt_text_add(page, "</dl>\n");
}

/* A link within the page. */
static void add_way(struct lt_text *page, const char *to, const char *words)
{
	lt_site_add(page, "<li><a class=\"go\" href=\"%s\">%s</a></li>\n", to, words);
}

static void add_contents(struct lt_text *page, const struct lt_site *site, bool any_by_eye)
{
	lt_text_add(page, "<nav aria-label=\"On this page\">\n<ul class=\"chips\">\n");
	add_way(page, "#overview", "Overview");
	add_way(page, "#numbers", "By number");
	add_way(page, "#places", "By place");
	if (any_by_eye)
		add_way(page, "#eye", "By eye");
	add_way(page, "#wires", "Wire list");
	if (site->tags->harness->finish_count > 0)
		add_way(page, "#last", "Last checks");
	add_way(page, "../index.html", "All harnesses");
	lt_text_add(page, "</ul>\n</nav>\n");
}

static void add_overview(struct lt_text *page, const struct lt_site *site)
{
	/* A phone need not fetch a hundred drawings to see the lists behind them. */
	size_t shown = site->overview_pages <= OVERVIEWS_SHOWN ? site->overview_pages : 1;
	lt_site_section(page, "overview", "Overview");
	lt_text_add(page,
		"<p>The harness as it lies on a board. The same in words is in the lists below.</p>\n"
		"<div class=\"wide\" tabindex=\"0\" role=\"region\" "
		"aria-labelledby=\"overview\">\n");
	for (size_t i = 1; i <= shown; i++)
		lt_site_add(page,
			"<img src=\"overview-%zu.svg\" width=\"1188\" height=\"840\" alt=\"overview "
			"of the harness, part %zu of %zu\">\n",
			i, i, site->overview_pages);
	lt_text_add(page, "</div>\n");
	if (shown < site->overview_pages)
		lt_text_add(page, "<p>The parts that follow along the harness:</p>\n<ul "
				  "class=\"chips\">\n");
	for (size_t i = shown + 1; i <= site->overview_pages; i++)
		lt_site_add(page, "<li><a class=\"go\" href=\"overview-%zu.svg\">%zu</a></li>\n", i,
			i);
	lt_text_add(page, shown < site->overview_pages ? "</ul>\n</section>\n" : "</section>\n");
}

static void add_joint_by_eye(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	lt_site_add(page, "<h3>%s</h3>\n<dl>\n<dt>Id, kind</dt>\n<dd>%s, %s</dd>\n",
		lt_site_name(of), of->id, lt_kind_name(of->kind));
	if (of->component != LT_NONE || of->port != NULL) {
		lt_text_add(page, "<dt>Goes onto</dt>\n<dd>");
		lt_site_mate(page, site, connector);
		lt_text_add(page, "</dd>\n");
	}
	lt_site_facts(page, site, connector, ~(1u << LT_FACT_CODING | 1u << LT_FACT_SHELL));
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
	lt_site_section(page, "eye", "By eye");
	lt_text_add(page, "<p>These joints have no number and no sticker.</p>\n");
	for (size_t i = 0; i < site->tags->harness->connector_count; i++)
		if (site->tags->number_of[i] == 0)
			add_joint_by_eye(page, site, i);
	lt_text_add(page, "</section>\n");
}

static void add_last_checks(struct lt_text *page, const struct lt_harness *harness)
{
	if (harness->finish_count == 0)
		return;
	lt_site_section(page, "last", "Last checks");
	lt_text_add(page, "<ul>\n");
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_site_add(page, "<li>%s</li>\n", harness->finish[i].text);
	lt_text_add(page, "</ul>\n</section>\n");
}

/* The cell at a row's head: links to the stickers of a joint. */
static void add_tags(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, site->tags, connector);
	lt_text_add(page, "<tr><th scope=\"row\" class=\"tags\">");
	for (size_t i = 0; i < count; i++) {
		lt_site_tag_link(page, site, site->tags->number_of[connector], sides[i]);
		lt_text_add_char(page, ' ');
	}
	lt_text_add(page, count == 0 ? "by eye</th>" : "</th>");
}

/* What a row is listed by: the place is not said again. */
enum listing { BY_NUMBER, JOINT_HERE, MATE_HERE };

/* "motor power (X6)" and where it is, then the same of what it goes onto. */
static void add_joint(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum listing listing)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	const struct lt_component *component = lt_site_component(site, connector);
	add_tags(page, site, connector);
	lt_site_add(page, "<td><b>%s</b>", lt_site_name(of));
	if (of->name != NULL)
		lt_site_add(page, " (%s)", of->id);
	if (listing != JOINT_HERE)
		lt_site_said(page, of->where);
	lt_text_add(page, "</td><td>");
	if (component == NULL) {
		lt_text_add(page, "&ndash;</td></tr>\n");
		return;
	}
	if (component->name != NULL)
		lt_site_add(page, "%s (%s)", component->name, component->id);
	else
		lt_site_text(page, component->id);
	if (listing == MATE_HERE)
		lt_text_add(page, "<br><b>is here</b>");
	else
		lt_site_said(page, component->where);
	if (component->replace)
		lt_text_add(page, "<br><b>is replaced</b>");
	lt_text_add(page, "</td></tr>\n");
}

static void end_table(struct lt_text *page)
{
	lt_text_add(page, "</tbody>\n</table>\n");
}

static void add_by_number(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "number", "joint, where it is", "goes onto" };
	const struct lt_tags *tags = site->tags;
	lt_site_section(page, "numbers", "By number");
	lt_site_table(page, heads, 3);
	for (unsigned number = 1; number <= tags->number_max; number++)
		if (tags->connector_of[number] != LT_NONE)
			add_joint(page, site, tags->connector_of[number], BY_NUMBER);
	end_table(page);
	lt_text_add(page, "</section>\n");
}

/* Each connector where it is, and again where its component is, if that is somewhere else. */
static void add_by_place(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "number", "joint", "goes onto" };
	struct lt_map_spot last = { NULL, LT_NONE, LT_NONE, LT_NONE };
	size_t count;
	struct lt_map_spot *spots = lt_map_spots(&count, site->tags->harness, site->input->rank);
	lt_site_section(page, "places", "By place");
	lt_text_add(page, "<p>Words such as “behind the” are passed over.</p>\n");
	lt_site_table(page, heads, 3);
	for (size_t i = 0; i < count; i++) {
		bool first = last.connector == LT_NONE;
		bool same = !first && lt_place_compare(last.place, spots[i].place) == 0;
		if (spots[i].connector == LT_NONE || (same && last.connector == spots[i].connector))
			continue;
		if (!same) {
			lt_text_add(page, first ? "" : "</tbody>\n<tbody>\n");
			lt_site_add(page,
				"<tr><th scope=\"rowgroup\" colspan=\"3\" class=\"place\">%s</th>"
				"</tr>\n",
				spots[i].place != NULL ? spots[i].place : "no place is described");
		}
		last = spots[i];
		add_joint(page, site, last.connector,
			last.component != LT_NONE ? MATE_HERE : JOINT_HERE);
	}
	end_table(page);
	lt_text_add(page, "</section>\n");
	free(spots);
}

/* A wire of the list, in the order of the number at its one end. */
struct run {
	unsigned number;
	size_t wire;
};

static int compare_runs(const void *a, const void *b)
{
	const struct run *first = a;
	const struct run *second = b;
	if (first->number != second->number)
		return first->number - 1 < second->number - 1 ? -1 : 1;
	return first->wire < second->wire ? -1 : first->wire > second->wire;
}

/* "12 X6.1" */
static void add_end(struct lt_text *page, const struct lt_site *site, size_t connector,
	const char *way)
{
	unsigned number = site->tags->number_of[connector];
	lt_text_add(page, "<td>");
	if (number != 0)
		lt_site_add(page, "<b>%u</b> ", number);
	lt_site_add(page, "%s.%s</td>", lt_site_connector(site, connector)->id, way);
}

static void add_wire(struct lt_text *page, const struct lt_site *site, const struct lt_wire *wire)
{
	char size[24];
	lt_wire_size_write(size, &wire->size);
	if (wire->name != NULL)
		lt_site_add(page, "<tr><th scope=\"row\">%s</th>", wire->name);
	else
		lt_text_add(page, "<tr><th scope=\"row\">&ndash;</th>");
	add_end(page, site, wire->from, wire->from_way);
	add_end(page, site, wire->to, wire->to_way);
	lt_text_add(page, "<td>");
	lt_site_colour(page, &wire->colour, wire->colour_code);
	lt_site_add(page, "</td><td>%s</td></tr>\n", size);
}

static void add_wires(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "wire", "from", "to", "colour", "size" };
	const struct lt_harness *harness = site->tags->harness;
	lt_site_section(page, "wires", "Wire list");
	if (harness->wire_count == 0) {
		lt_text_add(page, "<p>The description does not say where wires go; each tag’s "
				  "page has its colours.</p>\n</section>\n");
		return;
	}
	struct run *runs = lt_alloc_array(harness->wire_count, sizeof *runs);
	for (size_t i = 0; i < harness->wire_count; i++)
		runs[i] = (struct run){ site->tags->number_of[harness->wires[i].from], i };
	qsort(runs, harness->wire_count, sizeof *runs, compare_runs);
	lt_text_add(page, "<p>Ends are number, connector and way.</p>\n"
			  "<div class=\"wide\" tabindex=\"0\" role=\"region\" "
			  "aria-labelledby=\"wires\">\n");
	lt_site_table(page, heads, 5);
	for (size_t i = 0; i < harness->wire_count; i++)
		add_wire(page, site, &harness->wires[runs[i].wire]);
	end_table(page);
	lt_text_add(page, "</div>\n</section>\n");
	free(runs);
}

void lt_site_harness_page(struct lt_text *page, const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	bool any_by_eye = false;
	for (size_t i = 0; i < harness->connector_count; i++)
		any_by_eye |= site->tags->number_of[i] == 0;
	add_title(page, site);
	lt_site_hazards(page, harness, false);
	add_contents(page, site, any_by_eye);
	add_overview(page, site);
	add_by_number(page, site);
	add_by_place(page, site);
	add_wires(page, site);
	if (any_by_eye)
		add_by_eye(page, site);
	add_last_checks(page, harness);
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
