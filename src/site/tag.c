/* The page of one tag: what somebody wants to know who has just scanned it, in that order. */
#include "site/site.h"

/* The facts that stand above all others. */
#define WHERE (1u << LT_FACT_PLACE | 1u << LT_FACT_PAPER)

static const char *half_name(const struct lt_site *site, size_t connector, enum lt_side side)
{
	if (side == LT_SIDE_X)
		return "outgoing part’s half";
	if (side == LT_SIDE_M)
		return lt_site_has_side(site, connector, LT_SIDE_X) ? "new part’s half"
								    : "machine half";
	return lt_site_connector(site, connector)->sides == 1 ? "one sticker, no second half"
							      : "harness half";
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
	char h[LT_TAG_SIZE], m[LT_TAG_SIZE], x[LT_TAG_SIZE];
	unsigned number = site->tags->number_of[connector];
	if (!lt_joint_part_replaced(site->tags, connector))
		return;
	lt_tag_write(h, number, LT_SIDE_H);
	lt_tag_write(m, number, LT_SIDE_M);
	lt_tag_write(x, number, LT_SIDE_X);
	lt_text_add(page, side == LT_SIDE_X ? "<p class=\"warn strong\">" : "<p class=\"warn\">");
	if (!lt_site_has_side(site, connector, LT_SIDE_X))
		lt_text_add(page, "The part here is replaced: this goes on the new part.");
	else if (side == LT_SIDE_X)
		lt_site_add(page,
			"<b>Outgoing part.</b> What bears this sticker leaves the machine. Do not "
			"plug <b>%s</b> back onto it: the mate is <b>%s</b> on the new part.",
			h, m);
	else if (side == LT_SIDE_M)
		lt_site_add(page,
			"<b>New part.</b> <b>%s</b> goes on the new part before the old one leaves "
			"the bench. The outgoing part bears <b>%s</b>, over any <b>%s</b> that is on "
			"it.",
			m, x, m);
	else
		lt_site_add(page,
			"<b>The part is replaced.</b> Plug onto the new part, <b>%s</b>; the "
			"outgoing part is <b>%s</b>.",
			m, x);
	lt_text_add(page, "</p>\n");
	if (site->tags->m_is_old != NULL && site->tags->m_is_old[connector])
		lt_site_add(page,
			"<p class=\"warn strong\">An <b>%s</b> was printed before the part was to be "
			"replaced: it is on the outgoing part until <b>%s</b> is stuck over it. Look "
			"which part it is.</p>\n",
			m, x);
}

static void add_partner(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side, const char *words)
{
	if (!lt_site_has_side(site, connector, side))
		return;
	lt_text_add(page, "<li>");
	lt_site_tag_link(page, site, site->tags->number_of[connector], side);
	lt_site_add(page, " %s</li>\n", words);
}

/* The other stickers of the number. */
static void add_partners(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	bool replaced = lt_site_has_side(site, connector, LT_SIDE_X);
	lt_text_add(page, "<dt>Partner sticker</dt>\n<dd>");
	if (!lt_site_has_side(site, connector, LT_SIDE_M)) {
		lt_text_add(page, "none: this joint has one sticker</dd>\n");
		return;
	}
	lt_text_add(page, "<ul class=\"joints\">\n");
	if (side != LT_SIDE_H)
		add_partner(page, site, connector, LT_SIDE_H,
			side == LT_SIDE_X ? "harness half: goes onto the new part"
					  : "harness half");
	if (side != LT_SIDE_M)
		add_partner(page, site, connector, LT_SIDE_M,
			replaced ? "new part’s half" : "machine half");
	if (side != LT_SIDE_X)
		add_partner(page, site, connector, LT_SIDE_X, "outgoing part’s half");
	lt_text_add(page, "</ul></dd>\n");
}

static void add_mate(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	const struct lt_connector *of = lt_site_connector(site, connector);
	const char *label = side == LT_SIDE_H   ? "Goes onto"
			    : side == LT_SIDE_M ? "This half is on"
						: "This half was on";
	if (of->component != LT_NONE || of->port != NULL) {
		lt_site_add(page, "<dt>%s</dt>\n<dd class=\"mate\">", label);
		lt_site_mate(page, site, connector);
		lt_text_add(page, "</dd>\n");
	} else if (of->sides > 1) {
		lt_site_fact(page, label, "not described: go by the number");
	}
}

static void add_wires(struct lt_text *page, const struct lt_site *site,
	const struct lt_connector *connector)
{
	static const char *const heads[] = { "way", "colour" };
	char size[24];
	if (connector->wire_count == 0)
		return;
	lt_wire_size_write(size, &connector->size);
	bool sized = size[0] != '\0';
	lt_site_section(page, "wires",
		lt_arena_printf(site->arena, "Wires%s%s%s", sized ? ", " : "", size,
			sized ? " each" : ""));
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
		lt_text_add(page, "<div class=\"warn\">\n<p><b>Would also fit:</b> check the "
				  "number.</p>\n<ul class=\"chips\">\n");
		for (size_t i = 0; i < named; i++) {
			size_t other = site->tags->connector_of[numbers[i]];
			enum lt_side same = lt_site_has_side(site, other, side) ? side : LT_SIDE_H;
			lt_text_add(page, "<li>");
			lt_site_tag_link(page, site, numbers[i], same);
			lt_text_add(page, "</li>\n");
		}
		if (all > named)
			lt_site_add(page, "<li>%s%zu more%s</li>\n", named > 0 ? "and " : "",
				all - named, named == numbered ? ", without a number" : "");
		lt_text_add(page, "</ul>\n</div>\n");
	}
	if (lt_fit_unknown(site->tags->harness, connector))
		lt_text_add(page, "<p class=\"warn\"><b>Fit unknown:</b> it might go on others. "
				  "Check the number.</p>\n");
}

static void add_after(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_indices *after = &lt_site_connector(site, connector)->after;
	if (after->count == 0)
		return;
	lt_text_add(page, "<div class=\"warn\">\n<p><b>Make first,</b> before this one:</p>\n");
	lt_site_joints(page, site, after);
	lt_text_add(page, "</div>\n");
}

static void add_handling(struct lt_text *page, const struct lt_site *site, size_t connector,
	enum lt_side side)
{
	enum { JOINING = 1 << LT_FACT_FACING | 1 << LT_FACT_SEAT };
	struct lt_text facts = { 0 };
	lt_site_facts(&facts, site, connector, ~(WHERE | (side == LT_SIDE_X ? JOINING : 0u)));
	if (facts.length > 0) {
		lt_site_section(page, "handling", "Unlock, turn, seat");
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
	enum lt_side side, const char *words)
{
	if (number == 0)
		return;
	bool has = lt_site_has_side(site, site->tags->connector_of[number], side);
	lt_site_add(page, "<li>%s ", words);
	lt_site_tag_link(page, site, number, has ? side : LT_SIDE_H);
	lt_text_add(page, "</li>\n");
}

/* The links below a page: to the map, and those that are added before it is ended. */
static void begin_links(struct lt_text *page, const struct lt_site *site)
{
	const char *code = site->tags->harness->code;
	lt_site_add(page,
		"</main>\n<nav aria-label=\"Other pages\">\n<ul class=\"chips\">\n"
		"<li><a class=\"go\" href=\"../%s/index.html\">Map of %s</a></li>\n",
		code, code);
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
		lt_text_add(page, "<p class=\"warn strong\"><b>! Named in a hazard: read it "
				  "first.</b></p>\n");
	add_replaced(page, site, connector, side);
	lt_text_add(page, "<dl class=\"big\">\n");
	add_mate(page, site, connector, side);
	add_partners(page, site, connector, side);
	lt_site_facts(page, site, connector, WHERE);
	lt_text_add(page, "</dl>\n");
	/* Nothing is joined to the outgoing part any more. */
	if (side != LT_SIDE_X) {
		add_lookalikes(page, site, connector, side);
		add_after(page, site, connector);
	}
	add_wires(page, site, of);
	lt_text_add(page, front);
	if (front[0] != '\0')
		lt_text_add(page,
			side == LT_SIDE_H
				? "<p>The other half and the wire side are its mirror image.</p>\n"
				: "<p>This half is the mirror image of the picture.</p>\n");
	add_handling(page, site, connector, side);
	lt_site_picture(page, site, connector, "../");
	begin_links(page, site);
	add_step(page, site, neighbour(site->tags, number, false), side, "previous");
	add_step(page, site, neighbour(site->tags, number, true), side, "next");
	end_page(page, site);
}

void lt_site_gone_page(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side)
{
	const struct lt_tags *tags = site->tags;
	bool retired = number <= tags->number_max && tags->retired[number];
	bool used = number <= tags->number_max && tags->connector_of[number] != LT_NONE;
	add_title(page, site, number, side, "do not use");
	lt_site_add(page,
		"<main>\n<h1><span class=\"number gone\">%u%c</span> <span class=\"name\">Do not "
		"use</span></h1>\n<p class=\"warn strong\"><b>",
		number, lt_side_letter(side));
	if (retired && tags->by_eye != NULL && tags->by_eye[number] != LT_NONE)
		lt_site_add(page,
			"Number %u is no longer used.</b> Its joint, %s, has no number any more and "
			"is ticked by eye in harness ",
			number, lt_site_name(lt_site_connector(site, tags->by_eye[number])));
	else if (retired)
		lt_site_add(page, "Number %u is retired.</b> Its joint is no longer in harness ",
			number);
	else if (used)
		lt_site_add(page,
			"Number %u no longer has a side %c.</b> There is no such sticker in harness ",
			number, lt_side_letter(side));
	else
		lt_site_add(page, "There is no number %u.</b> No joint bears it in harness ",
			number);
	lt_site_add(page,
		"%s. This sticker is from an earlier map. Do not go by it: ask for the "
		"present map.</p>\n",
		tags->harness->code);
	if (used) {
		lt_text_add(page, "<p>The joint is now ");
		lt_site_tag_link(page, site, number, LT_SIDE_H);
		lt_text_add(page, "</p>\n");
	}
	begin_links(page, site);
	end_page(page, site);
}
