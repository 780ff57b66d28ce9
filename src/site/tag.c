/* The page of one tag: what somebody wants to know who has just scanned it, in that order. */
#include "site/site.h"

/* The facts that stand above all others. */
#define CAUTION (1u << LT_FACT_CAUTION)
#define WHERE (1u << LT_FACT_PLACE | 1u << LT_FACT_PAPER)

static const char *half_name(const struct lt_site *site, size_t connector, enum lt_side side)
{
	if (side == LT_SIDE_X)
		return lt_site_words.old_half;
	if (side == LT_SIDE_M)
		return lt_site_has_side(site, connector, LT_SIDE_X) ? lt_site_words.new_half
								    : lt_site_words.machine_half;
	return lt_site_connector(site, connector)->sides == 1 ? lt_site_words.one_sticker
							      : lt_site_words.harness_half;
}

/* A number that reads as another one upside down is underlined, as on its stickers. */
static void add_heading(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	unsigned number = site->tags->number_of[connector];
	const char *mark = lt_upside_down(number) != 0 ? "u" : "span";
	lt_site_add(page,
		"<h1><span class=\"number%s\"><%s>%u</%s>%c</span> <span class=\"name\">%s</span>"
		"</h1>\n<p class=\"half\">",
		number > 999 ? " long" : "", mark, number, mark, lt_side_letter(side),
		lt_site_name(of));
	if (of->name != NULL)
		lt_site_add(page, "%s, ", of->id);
	lt_site_add(page, "%s, %s</p>\n", lt_kind_name(of->kind), half_name(site, connector, side));
}

/* What the fate of the part means for who holds this half. */
static void add_replaced(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	struct lt_text words = { 0 };
	if (!lt_joint_part_replaced(site->tags, connector))
		return;
	lt_text_add(page, side == LT_SIDE_X ? "<p class=\"warn strong\">" : "<p class=\"warn\">");
	lt_site_add(page, "<b>%s</b> ",
		side == LT_SIDE_X   ? lt_site_words.old_part
		: side == LT_SIDE_M ? lt_site_words.new_part
				    : lt_site_words.part_replaced);
	if (lt_site_has_side(site, connector, LT_SIDE_X))
		lt_site_add_replaced(&words, site->tags, connector, side);
	else
		lt_text_add(&words, lt_site_words.mates_with_new_part);
	lt_site_move(page, &words);
	lt_text_add(page, "</p>\n");
	if (site->tags->m_is_old != NULL && site->tags->m_is_old[connector]) {
		lt_site_add_old_m(&words, site->tags->number_of[connector]);
		lt_text_add(page, "<p class=\"warn strong\">");
		lt_site_move(page, &words);
		lt_text_add(page, "</p>\n");
	}
}

static void add_partner(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side, const char *name)
{
	if (!lt_site_has_side(site, connector, side))
		return;
	lt_text_add(page, "<li>");
	lt_site_tag_link(page, site, site->tags->number_of[connector], side);
	lt_site_add(page, " %s</li>\n", name);
}

/* The other stickers of the number. */
static void add_partners(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	bool replaced = lt_site_has_side(site, connector, LT_SIDE_X);
	lt_site_add(page, "<dt>%s</dt>\n<dd>", lt_site_words.partner);
	if (!lt_site_has_side(site, connector, LT_SIDE_M)) {
		lt_site_add(page, "%s</dd>\n", lt_site_words.no_partner);
		return;
	}
	lt_text_add(page, "<ul class=\"joints\">\n");
	if (side != LT_SIDE_H)
		add_partner(page, site, connector, LT_SIDE_H,
			side == LT_SIDE_X ? lt_site_words.mates_with_new
					  : lt_site_words.harness_half);
	if (side != LT_SIDE_M)
		add_partner(page, site, connector, LT_SIDE_M,
			replaced ? lt_site_words.new_half : lt_site_words.machine_half);
	if (side != LT_SIDE_X)
		add_partner(page, site, connector, LT_SIDE_X, lt_site_words.old_half);
	lt_text_add(page, "</ul></dd>\n");
}

static void add_mate(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	const char *label = side == LT_SIDE_H   ? lt_site_words.mates_with
			    : side == LT_SIDE_M ? lt_site_words.is_on
						: lt_site_words.was_on;
	if (of->component != LT_NONE || of->port != NULL) {
		lt_site_add(page, "<dt>%s</dt>\n<dd class=\"mate\">", label);
		lt_site_mate(page, site, connector);
		lt_text_add(page, "</dd>\n");
	} else if (of->sides > 1) {
		lt_site_fact(page, label, lt_site_words.mate_not_described);
	}
}

static void add_wires(struct lt_text *page, const struct lt_connector *connector)
{
	const char *const heads[] = { lt_site_words.way, lt_site_words.colour };
	struct lt_text title = { 0 };
	char size[24];
	if (connector->wire_count == 0)
		return;
	lt_wire_size_write(size, &connector->size);
	lt_site_add_wires(&title, size);
	lt_site_section(page, "wires", lt_text_string(&title));
	lt_text_finish(&title);
	lt_site_table(page, heads, 2);
	for (size_t i = 0; i < connector->wire_count; i++) {
		const struct lt_way *way = &connector->wires[i];
		lt_site_add(page, "<tr><th scope=\"row\">%s</th><td>", way->name);
		for (size_t j = 0; j < way->count; j++) {
			lt_text_add(page, j > 0 ? "<br>" : "");
			lt_site_colour(page, &way->colours[j],
				way->written != NULL ? way->written[j] : NULL);
		}
		lt_text_add(page, "</td></tr>\n");
	}
	lt_text_add(page, "</tbody>\n</table>\n</section>\n");
}

/* Links to the same half of those that it would be taken for. */
static void add_lookalikes(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	unsigned numbers[LT_SITE_ALIKE];
	size_t numbered =
		lt_tag_lookalikes(site->tags, site->lookalikes, connector, numbers, LT_SITE_ALIKE);
	size_t all = lt_lookalikes_of(site->lookalikes, connector, NULL, 0);
	size_t named = numbered < LT_SITE_ALIKE ? numbered : LT_SITE_ALIKE;
	if (all > 0) {
		lt_site_add(page, "<div class=\"warn\">\n<p><b>%s</b></p>\n<ul class=\"chips\">\n",
			lt_site_words.would_also_fit);
		for (size_t i = 0; i < named; i++) {
			size_t other = site->tags->connector_of[numbers[i]];
			enum lt_side same = lt_site_has_side(site, other, side) ? side : LT_SIDE_H;
			lt_text_add(page, "<li>");
			lt_site_tag_link(page, site, numbers[i], same);
			lt_text_add(page, "</li>\n");
		}
		if (all > named) {
			struct lt_text more = { 0 };
			lt_site_add_more(&more, all - named, named == numbered);
			lt_text_add(page, "<li>");
			lt_site_move(page, &more);
			lt_text_add(page, "</li>\n");
		}
		lt_text_add(page, "</ul>\n</div>\n");
	}
	if (lt_fit_unknown(site->tags->harness, connector))
		lt_site_add(page, "<p class=\"warn\"><b>%s</b> %s</p>\n", lt_site_words.fit_unknown,
			lt_site_words.check_number);
}

static void add_after(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_indices *after = &lt_site_connector(site, connector)->after;
	if (after->count == 0)
		return;
	lt_site_add(page, "<div class=\"warn\">\n<p><b>%s</b></p>\n", lt_site_words.make_after);
	lt_site_joints(page, site, after);
	lt_text_add(page, "</div>\n");
}

static void add_handling(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	enum { JOINING = 1 << LT_FACT_FACING | 1 << LT_FACT_FASTENING | 1 << LT_FACT_SEAT };
	struct lt_text facts = { 0 };
	lt_site_facts(&facts, site, connector,
		~(CAUTION | WHERE | (side == LT_SIDE_X ? JOINING : 0u)));
	if (facts.length > 0) {
		lt_site_section(page, "handling", lt_site_words.handling);
		lt_text_printf(page, "<dl>\n%s</dl>\n</section>\n", lt_text_string(&facts));
	}
	lt_text_finish(&facts);
}

/* The nearest number in use below or above, or 0. */
static unsigned neighbour(const struct lt_tags *tags, unsigned number, bool above)
{
	while (above ? number < tags->number_max : number > 1) {
		number += above ? 1u : -1u;
		if (tags->connector_of[number] != LT_NONE)
			return number;
	}
	return 0;
}

static void add_step(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side, const char *name)
{
	if (number == 0)
		return;
	bool has = lt_site_has_side(site, site->tags->connector_of[number], side);
	lt_site_add(page, "<li>%s ", name);
	lt_site_tag_link(page, site, number, has ? side : LT_SIDE_H);
	lt_text_add(page, "</li>\n");
}

/* The links below a page: to the map, and those that are added before it is ended. */
static void begin_links(struct lt_text *page, const struct lt_site *site)
{
	const char *code = site->tags->harness->code;
	struct lt_text map = { 0 };
	lt_site_add_map_of(&map, code);
	lt_site_add(page,
		"</main>\n<nav aria-label=\"%s\">\n<ul class=\"chips\">\n"
		"<li><a class=\"go\" href=\"../%s/index.html\">%s</a></li>\n",
		lt_site_words.other_pages, code, lt_text_string(&map));
	lt_text_finish(&map);
}

static void end_page(struct lt_text *page, const struct lt_site *site)
{
	lt_text_add(page, "</ul>\n</nav>\n");
	lt_site_foot(page, site);
}

static void add_title(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side, const char *name)
{
	lt_site_head(page,
		lt_arena_printf(site->arena, "%u%c %s – %s", number, lt_side_letter(side), name,
			site->tags->harness->code),
		"../", "tag", NULL);
}

void lt_site_tag_page(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side, const char *front)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	unsigned number = site->tags->number_of[connector];
	add_title(page, site, number, side, lt_site_name(of));
	lt_site_hazards(page, site->tags->harness, true);
	lt_text_add(page, "<main>\n");
	add_heading(page, site, connector, side);
	if (site->input->dangers[connector])
		lt_site_add(page, "<p class=\"warn strong\"><b>%s</b></p>\n",
			lt_site_words.hazard_names_it);
	add_replaced(page, site, connector, side);
	lt_text_add(page, "<dl class=\"big\">\n");
	lt_site_facts(page, site, connector, CAUTION);
	add_mate(page, site, connector, side);
	add_partners(page, site, connector, side);
	lt_site_facts(page, site, connector, WHERE);
	lt_text_add(page, "</dl>\n");
	/* Nothing is joined to the outgoing part any more. */
	if (side != LT_SIDE_X) {
		add_lookalikes(page, site, connector, side);
		add_after(page, site, connector);
	}
	add_wires(page, of);
	lt_text_add(page, front);
	if (front[0] != '\0')
		lt_site_add(page, "<p>%s</p>\n",
			side == LT_SIDE_H ? lt_site_words.mirror_of_front
					  : lt_site_words.mirror_of_picture);
	add_handling(page, site, connector, side);
	lt_site_picture(page, site, connector, "../");
	begin_links(page, site);
	add_step(page, site, neighbour(site->tags, number, false), side, lt_site_words.previous);
	add_step(page, site, neighbour(site->tags, number, true), side, lt_site_words.next);
	end_page(page, site);
}

/* `eye` is the joint that had the number and is checked by eye now, or LT_NONE. */
static enum lt_gone why_gone(size_t *eye, const struct lt_tags *tags, unsigned number)
{
	const bool known = number <= tags->number_max;
	*eye = known && tags->retired[number] && tags->by_eye != NULL ? tags->by_eye[number]
								      : LT_NONE;
	if (*eye != LT_NONE)
		return LT_GONE_UNNUMBERED;
	if (known && tags->retired[number])
		return LT_GONE_RETIRED;
	return known && tags->connector_of[number] != LT_NONE ? LT_GONE_SIDE : LT_GONE_NEVER;
}

void lt_site_gone_page(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side)
{
	size_t eye;
	const enum lt_gone why = why_gone(&eye, site->tags, number);
	struct lt_text words = { 0 };
	add_title(page, site, number, side, lt_site_words.do_not_use);
	lt_site_add(page,
		"<main>\n<h1><span class=\"number gone\">%u%c</span> <span class=\"name\">%s</span>"
		"</h1>\n<p class=\"warn strong\"><b>",
		number, lt_side_letter(side), lt_site_words.do_not_use);
	lt_site_add_gone(&words, why, number, side);
	lt_site_move(page, &words);
	lt_text_add(page, "</b> ");
	lt_site_add_gone_why(&words, why,
		eye != LT_NONE ? lt_site_name(lt_site_connector(site, eye)) : "",
		site->tags->harness->code);
	lt_site_move(page, &words);
	lt_site_add(page, " %s</p>\n", lt_site_words.earlier_map);
	if (why == LT_GONE_SIDE) {
		lt_site_add(page, "<p>%s ", lt_site_words.now);
		lt_site_tag_link(page, site, number, LT_SIDE_H);
		lt_text_add(page, "</p>\n");
	}
	begin_links(page, site);
	end_page(page, site);
}
