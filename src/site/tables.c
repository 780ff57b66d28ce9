/* The tables of the harness page: index by number and by place, wire list. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "site/site.h"

static const struct lt_connector *connector_of(const struct lt_site *site, size_t connector)
{
	return &site->tags->harness->connectors[connector];
}

static const struct lt_component *component_of(const struct lt_site *site, size_t connector)
{
	size_t component = connector_of(site, connector)->component;
	return component == LT_NONE ? NULL : &site->tags->harness->components[component];
}

static void add_tags(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, site->tags, connector);
	for (size_t i = 0; i < count; i++) {
		lt_site_tag_link(page, site, site->tags->number_of[connector], sides[i]);
		lt_text_add_char(page, ' ');
	}
	if (count == 0)
		lt_text_add(page, "by eye");
}

static void add_said(struct lt_text *page, const char *text)
{
	if (text == NULL)
		return;
	lt_text_add(page, "<br><span class=\"said\">");
	lt_site_text(page, text);
	lt_text_add(page, "</span>");
}

/* What a row is listed by: the place is not said again. */
enum listing { BY_NUMBER, JOINT_HERE, MATE_HERE };

/* "motor power (X6)" and where it is, then the same of what it goes onto. */
static void add_joint(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum listing listing)
{
	const struct lt_connector *of = connector_of(site, connector);
	lt_text_add(page, "<td><b>");
	lt_site_text(page, lt_site_name(of));
	lt_text_add(page, "</b>");
	if (of->name != NULL) {
		lt_text_add(page, " (");
		lt_site_text(page, of->id);
		lt_text_add_char(page, ')');
	}
	if (listing != JOINT_HERE)
		add_said(page, of->where);
	lt_text_add(page, "</td><td>");
	const struct lt_component *component = component_of(site, connector);
	if (component != NULL) {
		lt_site_text(page, component->name != NULL ? component->name : component->id);
		if (component->name != NULL) {
			lt_text_add(page, " (");
			lt_site_text(page, component->id);
			lt_text_add_char(page, ')');
		}
		if (listing == MATE_HERE)
			lt_text_add(page, "<br><b>is here</b>");
		else
			add_said(page, component->where);
		if (component->replace)
			lt_text_add(page, "<br><b>is replaced</b>");
	} else {
		lt_text_add(page, "&ndash;");
	}
	lt_text_add(page, "</td></tr>\n");
}

static void begin_section(struct lt_text *page, const char *id, const char *title)
{
	lt_text_printf(page, "<section aria-labelledby=\"%s\">\n<h2 id=\"%s\">%s</h2>\n", id, id,
		title);
}

static void begin_table(struct lt_text *page, const char *const *heads, size_t count)
{
	lt_text_add(page, "<table>\n<thead><tr>");
	for (size_t i = 0; i < count; i++)
		lt_text_printf(page, "<th scope=\"col\">%s</th>", heads[i]);
	lt_text_add(page, "</tr></thead>\n<tbody>\n");
}

static void end_table(struct lt_text *page)
{
	lt_text_add(page, "</tbody>\n</table>\n");
}

static void add_by_number(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "number", "joint, where it is", "goes onto" };
	const struct lt_tags *tags = site->tags;
	begin_section(page, "numbers", "By number");
	begin_table(page, heads, 3);
	for (unsigned number = 1; number <= tags->number_max; number++) {
		size_t connector = tags->connector_of[number];
		if (connector == LT_NONE)
			continue;
		lt_text_add(page, "<tr><th scope=\"row\" class=\"tags\">");
		add_tags(page, site, connector);
		lt_text_add(page, "</th>");
		add_joint(page, site, connector, BY_NUMBER);
	}
	end_table(page);
	lt_text_add(page, "</section>\n");
}

/* A row of the index by place. */
struct spot {
	const char *place; /* NULL: none is given */
	unsigned number;   /* 0: none, behind all others */
	size_t connector;
	bool mate; /* it is the component that is here */
};

static int compare_spots(const void *a, const void *b)
{
	const struct spot *first = a;
	const struct spot *second = b;
	int order = lt_place_compare(first->place, second->place);
	if (order != 0)
		return order;
	if (first->number != second->number)
		return first->number - 1 < second->number - 1 ? -1 : 1;
	return first->connector < second->connector ? -1 : first->connector > second->connector;
}

/* Each connector where it is, and again where its component is, if that is somewhere else. */
static struct spot *list_spots(size_t *count, const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	struct spot *spots = lt_alloc_array(2 * harness->connector_count + 1, sizeof *spots);
	*count = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_component *component = component_of(site, i);
		const char *here = harness->connectors[i].where;
		const char *there = component != NULL ? component->where : NULL;
		unsigned number = site->tags->number_of[i];
		if (here != NULL || there == NULL)
			spots[(*count)++] = (struct spot){ here, number, i, false };
		if (there != NULL && (here == NULL || strcmp(here, there) != 0))
			spots[(*count)++] = (struct spot){ there, number, i, true };
	}
	qsort(spots, *count, sizeof *spots, compare_spots);
	return spots;
}

static void add_by_place(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "number", "joint", "goes onto" };
	size_t count;
	struct spot *spots = list_spots(&count, site);
	begin_section(page, "places", "By place");
	lt_text_add(page, "<p>Words such as “behind the” are passed over.</p>\n");
	begin_table(page, heads, 3);
	for (size_t i = 0; i < count; i++) {
		if (i == 0 || lt_place_compare(spots[i - 1].place, spots[i].place) != 0) {
			lt_text_add(page, i == 0 ? "" : "</tbody>\n<tbody>\n");
			lt_text_add(page,
				"<tr><th scope=\"rowgroup\" colspan=\"3\" class=\"place\">");
			if (spots[i].place != NULL)
				lt_site_text(page, spots[i].place);
			else
				lt_text_add(page, "no place is described");
			lt_text_add(page, "</th></tr>\n");
		}
		lt_text_add(page, "<tr><th scope=\"row\" class=\"tags\">");
		add_tags(page, site, spots[i].connector);
		lt_text_add(page, "</th>");
		add_joint(page, site, spots[i].connector, spots[i].mate ? MATE_HERE : JOINT_HERE);
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
	if (number != 0) {
		lt_text_printf(page, "<b>%u</b> ", number);
	}
	lt_site_text(page, connector_of(site, connector)->id);
	lt_text_add_char(page, '.');
	lt_site_text(page, way);
	lt_text_add(page, "</td>");
}

static void add_wire(struct lt_text *page, const struct lt_site *site, const struct lt_wire *wire)
{
	char size[24];
	lt_wire_size_write(size, &wire->size);
	lt_text_add(page, "<tr><th scope=\"row\">");
	if (wire->name != NULL)
		lt_site_text(page, wire->name);
	else
		lt_text_add(page, "&ndash;");
	lt_text_add(page, "</th>");
	add_end(page, site, wire->from, wire->from_way);
	add_end(page, site, wire->to, wire->to_way);
	lt_text_add(page, "<td>");
	lt_site_colour(page, &wire->colour, wire->colour_code);
	lt_text_printf(page, "</td><td>%s</td></tr>\n", size);
}

static void add_wires(struct lt_text *page, const struct lt_site *site)
{
	static const char *const heads[] = { "wire", "from", "to", "colour", "size" };
	const struct lt_harness *harness = site->tags->harness;
	begin_section(page, "wires", "Wire list");
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
	begin_table(page, heads, 5);
	for (size_t i = 0; i < harness->wire_count; i++)
		add_wire(page, site, &harness->wires[runs[i].wire]);
	end_table(page);
	lt_text_add(page, "</div>\n</section>\n");
	free(runs);
}

void lt_site_tables(struct lt_text *page, const struct lt_site *site)
{
	add_by_number(page, site);
	add_by_place(page, site);
	add_wires(page, site);
}
