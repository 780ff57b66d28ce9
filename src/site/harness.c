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
	struct lt_text title = { 0 };
	lt_site_add_harness(&title, harness->code);
	const char *kept = lt_arena_strdup(site->arena, lt_text_string(&title));
	lt_text_finish(&title);
	return kept;
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
	lt_site_add(page, "<main>\n<h1>%s</h1>\n",
		harness->title != NULL ? harness->title : lt_site_harness_title(site));
	lt_text_add(page, "<dl class=\"block\">\n");
	lt_site_fact(page, lt_site_words.harness, harness->harness);
	lt_site_fact(page, lt_site_words.unit, harness->unit);
	lt_site_fact(page, lt_site_words.revision, harness->revision);
	lt_site_fact(page, lt_site_words.written, site->date);
	lt_text_add(page, "</dl>\n");
}

/* A link within the page. */
static void add_link(struct lt_text *page, const char *to, const char *text)
{
	lt_site_add(page, "<li><a class=\"go\" href=\"%s\">%s</a></li>\n", to, text);
}

static void add_contents(struct lt_text *page, const struct lt_site *site, bool any_by_eye)
{
	lt_site_add(page, "<nav aria-label=\"%s\">\n<ul class=\"chips\">\n",
		lt_site_words.on_this_page);
	add_link(page, "#overview", lt_site_words.overview);
	add_link(page, "#numbers", lt_site_words.by_number);
	add_link(page, "#places", lt_site_words.by_place);
	if (any_by_eye)
		add_link(page, "#eye", lt_site_words.by_eye);
	add_link(page, "#wires", lt_site_words.wire_list);
	if (site->tags->harness->finish_count > 0)
		add_link(page, "#last", lt_site_words.last_checks);
	add_link(page, "../index.html", lt_site_words.all_harnesses);
	lt_text_add(page, "</ul>\n</nav>\n");
}

static void add_overview(struct lt_text *page, const struct lt_site *site)
{
	/* A phone need not fetch a hundred drawings to see the lists behind them. */
	size_t shown = site->overview_pages <= OVERVIEWS_SHOWN ? site->overview_pages : 1;
	lt_site_section(page, "overview", lt_site_words.overview);
	lt_site_add(page,
		"<p>%s</p>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" "
		"aria-labelledby=\"overview\">\n",
		lt_site_words.overview_how);
	for (size_t i = 1; i <= shown; i++) {
		struct lt_text alt = { 0 };
		lt_site_add_overview_alt(&alt, i, site->overview_pages);
		lt_site_add(page,
			"<img src=\"overview-%zu.svg\" width=\"1188\" height=\"840\" alt=\"%s\">\n",
			i, lt_text_string(&alt));
		lt_text_finish(&alt);
	}
	lt_text_add(page, "</div>\n");
	if (shown < site->overview_pages)
		lt_site_add(page, "<p>%s</p>\n<ul class=\"chips\">\n",
			lt_site_words.overview_parts);
	for (size_t i = shown + 1; i <= site->overview_pages; i++)
		lt_site_add(page, "<li><a class=\"go\" href=\"overview-%zu.svg\">%zu</a></li>\n", i,
			i);
	lt_text_add(page, shown < site->overview_pages ? "</ul>\n</section>\n" : "</section>\n");
}

static void add_joint_by_eye(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	lt_site_add(page, "<h3>%s</h3>\n<dl>\n<dt>%s</dt>\n<dd>%s, %s</dd>\n", lt_site_name(of),
		lt_site_words.id_and_kind, of->id, lt_kind_name(of->kind));
	if (of->component != LT_NONE || of->port != NULL) {
		lt_site_add(page, "<dt>%s</dt>\n<dd>", lt_site_words.mates_with);
		lt_site_mate(page, site, connector);
		lt_text_add(page, "</dd>\n");
	}
	lt_site_facts(page, site, connector, ~(1u << LT_FACT_CODING | 1u << LT_FACT_SHELL));
	if (of->after.count > 0) {
		lt_site_add(page, "<dt>%s</dt>\n<dd>", lt_site_words.after);
		lt_site_joints(page, site, &of->after);
		lt_text_add(page, "</dd>\n");
	}
	lt_text_add(page, "</dl>\n");
	lt_site_picture(page, site, connector, "");
}

static void add_by_eye(struct lt_text *page, const struct lt_site *site)
{
	lt_site_section(page, "eye", lt_site_words.by_eye);
	lt_site_add(page, "<p>%s</p>\n", lt_site_words.by_eye_how);
	for (size_t i = 0; i < site->tags->harness->connector_count; i++)
		if (site->tags->number_of[i] == 0)
			add_joint_by_eye(page, site, i);
	lt_text_add(page, "</section>\n");
}

static void add_last_checks(struct lt_text *page, const struct lt_harness *harness)
{
	if (harness->finish_count == 0)
		return;
	lt_site_section(page, "last", lt_site_words.last_checks);
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
	lt_site_add(page, "%s</th>", count == 0 ? lt_site_words.row_by_eye : "");
}

/* What a row is listed by: the place is not said again. */
enum listing { BY_NUMBER, JOINT_HERE, MATE_HERE };

/* "motor power (X6)" and where it is, then the same of its mate. */
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
		lt_site_below(page, of->where);
	lt_text_add(page, "</td><td>");
	if (component == NULL) {
		lt_site_add(page, "%s</td></tr>\n", lt_site_words.not_described);
		return;
	}
	struct lt_text mate = { 0 };
	lt_component_add(&mate, component);
	lt_site_move(page, &mate);
	if (listing == MATE_HERE)
		lt_site_add(page, "<br><b>%s</b>", lt_site_words.is_here);
	else
		lt_site_below(page, component->where);
	if (component->replace)
		lt_site_add(page, "<br><b>%s</b>", lt_site_words.is_replaced);
	lt_text_add(page, "</td></tr>\n");
}

static void end_table(struct lt_text *page)
{
	lt_text_add(page, "</tbody>\n</table>\n");
}

static void add_by_number(struct lt_text *page, const struct lt_site *site)
{
	const char *const heads[] = { lt_site_words.number, lt_site_words.joint_and_place,
		lt_site_words.mate };
	const struct lt_tags *tags = site->tags;
	lt_site_section(page, "numbers", lt_site_words.by_number);
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
	const char *const heads[] = { lt_site_words.number, lt_site_words.joint,
		lt_site_words.mate };
	struct lt_map_spot last = { NULL, LT_NONE, LT_NONE, LT_NONE };
	size_t count;
	struct lt_map_spot *spots = lt_map_spots(&count, site->tags->harness, site->input->rank);
	lt_site_section(page, "places", lt_site_words.by_place);
	lt_site_add(page, "<p>%s</p>\n", lt_site_words.by_place_how);
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
				spots[i].place != NULL ? spots[i].place
						       : lt_site_words.place_not_described);
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
	const char *const heads[] = { lt_site_words.wire, lt_site_words.from, lt_site_words.to,
		lt_site_words.colour, lt_site_words.size };
	const struct lt_harness *harness = site->tags->harness;
	lt_site_section(page, "wires", lt_site_words.wire_list);
	if (harness->wire_count == 0) {
		lt_site_add(page, "<p>%s</p>\n</section>\n", lt_site_words.no_wire_list);
		return;
	}
	struct run *runs = lt_alloc_array(harness->wire_count, sizeof *runs);
	for (size_t i = 0; i < harness->wire_count; i++)
		runs[i] = (struct run){ site->tags->number_of[harness->wires[i].from], i };
	qsort(runs, harness->wire_count, sizeof *runs, compare_runs);
	lt_site_add(page,
		"<p>%s</p>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" "
		"aria-labelledby=\"wires\">\n",
		lt_site_words.wire_ends_how);
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
	lt_site_head(page, lt_site_words.all_maps, "", "map", NULL);
	lt_site_add(page, "<main>\n<h1>%s</h1>\n<p>%s</p>\n<ul class=\"joints\">\n",
		lt_site_words.all_maps, lt_site_words.scan_or_choose);
	for (size_t i = 0; i < count; i++) {
		const struct lt_site_entry *entry = &entries[i];
		lt_text_printf(page, "<li><a class=\"go\" href=\"%s/index.html\">%s</a> %s</li>\n",
			entry->code, entry->code, entry->title != NULL ? entry->title : "");
	}
	lt_text_add(page, "</ul>\n</main>\n<footer>\n");
	lt_site_foot_plain(page, date);
}
