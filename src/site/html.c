/* The building blocks of the static pages. */
#include <stdarg.h>
#include <string.h>

#include "site/site.h"

void lt_site_text(struct lt_text *page, const char *text)
{
	static const char signs[] = "&<>\"'";
	static const char *const escapes[] = { "&amp;", "&lt;", "&gt;", "&quot;", "&#39;" };
	uint32_t code;
	while (text != NULL && (code = lt_utf8_next(&text)) != 0) {
		char bytes[4];
		const char *sign = code < 0x80 ? strchr(signs, (int)code) : NULL;
		if (sign != NULL)
			lt_text_add(page, escapes[sign - signs]);
		else
			lt_text_add_bytes(page, bytes, lt_utf8_put(bytes, lt_text_shown(code)));
	}
}

void lt_site_move(struct lt_text *page, struct lt_text *words)
{
	lt_site_text(page, lt_text_string(words));
	lt_text_finish(words);
}

void lt_site_add(struct lt_text *page, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	for (const char *at = format; *at != '\0';) {
		size_t plain = strcspn(at, "%");
		lt_text_add_bytes(page, at, plain);
		at += plain;
		if (*at == '\0')
			break;
		switch (at[1]) {
		case 's':
			lt_site_text(page, va_arg(arguments, const char *));
			break;
		case 'c':
			lt_text_add_char(page, (char)va_arg(arguments, int));
			break;
		case 'u':
			lt_text_printf(page, "%u", va_arg(arguments, unsigned));
			break;
		case 'z':
			lt_text_printf(page, "%zu", va_arg(arguments, size_t));
			at++;
			break;
		default:
			break; /* nothing else is in a format */
		}
		at += 2;
	}
	va_end(arguments);
}

void lt_site_head(struct lt_text *page, const char *title, const char *up, const char *class,
	const char *source)
{
	lt_text_add(page, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
			  "<meta name=\"generator\" content=\"" LT_SITE_MARK "\">\n"
			  "<meta name=\"viewport\" content=\"width=device-width, "
			  "initial-scale=1\">\n");
	if (source != NULL)
		lt_site_add(page, LT_SITE_SOURCE "%s\">\n", source);
	lt_site_add(page,
		"<title>%s</title>\n<link rel=\"stylesheet\" href=\"%sstyle.css\">\n</head>\n"
		"<body class=\"%s\">\n",
		title, up, class);
}

void lt_site_foot_plain(struct lt_text *page, const char *date)
{
	struct lt_text written = { 0 };
	if (date != NULL) {
		lt_site_add_written(&written, date);
		lt_text_add(page, "<p>");
		lt_site_move(page, &written);
		lt_text_add(page, "</p>\n");
	}
	lt_site_add(page, "<p>%s</p>\n<p>%s</p>\n</footer>\n</body>\n</html>\n", lt_caution_work,
		lt_caution_scan);
}

void lt_site_foot(struct lt_text *page, const struct lt_site *site)
{
	const struct lt_harness *harness = site->tags->harness;
	struct lt_text map = { 0 };
	lt_site_add_map(&map, harness);
	lt_text_add(page, "<footer>\n<p><strong>");
	lt_site_move(page, &map);
	lt_text_add(page, "</strong></p>\n");
	if (lt_harness_unit_missing(harness))
		lt_site_add(page, "<p>%s</p>\n", lt_site_words.no_unit);
	lt_site_foot_plain(page, site->date);
}

void lt_site_section(struct lt_text *page, const char *id, const char *title)
{
	lt_site_add(page, "<section aria-labelledby=\"%s\">\n<h2 id=\"%s\">%s</h2>\n", id, id,
		title);
}

void lt_site_table(struct lt_text *page, const char *const *heads, size_t count)
{
	lt_text_add(page, "<table>\n<thead><tr>");
	for (size_t i = 0; i < count; i++)
		lt_site_add(page, "<th scope=\"col\">%s</th>", heads[i]);
	lt_text_add(page, "</tr></thead>\n<tbody>\n");
}

static void add_ink(struct lt_text *page, const struct lt_colour *colour)
{
	unsigned inks[LT_COLOUR_PARTS];
	size_t count = lt_colour_inks(inks, colour);
	if (count == 0)
		return;
	lt_text_add(page, "<span class=\"ink\" style=\"background:");
	if (count == 1)
		lt_text_printf(page, "#%06x", inks[0]);
	else if (count == 2)
		lt_text_printf(page, "repeating-linear-gradient(135deg,#%06x 0 9px,#%06x 9px 16px)",
			inks[0], inks[1]);
	else
		lt_text_printf(page,
			"repeating-linear-gradient(135deg,#%06x 0 8px,#%06x 8px 13px,#%06x 13px "
			"18px)",
			inks[0], inks[1], inks[2]);
	lt_text_add(page, "\">&nbsp;</span> ");
}

void lt_site_colour(struct lt_text *page, const struct lt_colour *colour, const char *written)
{
	char code[LT_COLOUR_CODE_SIZE];
	lt_colour_code(code, colour);
	lt_text_add(page, "<span class=\"colour\">");
	add_ink(page, colour);
	lt_site_add(page, "<b>%s</b></span> <span class=\"said\">",
		written != NULL ? written : code);
	struct lt_text words = { 0 };
	lt_colour_add(&words, colour);
	lt_site_move(page, &words);
	lt_text_add(page, "</span>");
}

void lt_site_tag_link(struct lt_text *page, const struct lt_site *site, unsigned number,
	enum lt_side side)
{
	char tag[LT_TAG_SIZE];
	char code[LT_SCAN_CODE_SIZE];
	lt_tag_write(tag, number, side);
	lt_scan_code_write(code, number, side, site->tags->harness->code);
	lt_site_add(page, "<a class=\"go\" href=\"../%s/index.html\">%s</a>", code, tag);
}

const struct lt_connector *lt_site_connector(const struct lt_site *site, size_t connector)
{
	return &site->tags->harness->connectors[connector];
}

const struct lt_component *lt_site_component(const struct lt_site *site, size_t connector)
{
	size_t component = lt_site_connector(site, connector)->component;
	return component == LT_NONE ? NULL : &site->tags->harness->components[component];
}

const char *lt_site_name(const struct lt_connector *connector)
{
	return connector->name != NULL ? connector->name : connector->id;
}

bool lt_site_has_side(const struct lt_site *site, size_t connector, enum lt_side side)
{
	char tag[LT_TAG_SIZE];
	return lt_joint_tag(tag, site->tags, connector, side);
}

void lt_site_joints(struct lt_text *page, const struct lt_site *site,
	const struct lt_indices *joints)
{
	lt_text_add(page, "<ul class=\"joints\">\n");
	for (size_t i = 0; i < joints->count; i++) {
		size_t joint = joints->items[i];
		unsigned number = site->tags->number_of[joint];
		const char *name = lt_site_name(lt_site_connector(site, joint));
		struct lt_text unnumbered = { 0 };
		lt_text_add(page, "<li>");
		if (number != 0) {
			lt_site_tag_link(page, site, number, LT_SIDE_H);
			lt_site_add(page, " %s", name);
		} else {
			lt_site_add_unnumbered(&unnumbered, name);
			lt_site_move(page, &unnumbered);
		}
		lt_text_add(page, "</li>\n");
	}
	lt_text_add(page, "</ul>\n");
}

void lt_site_fact(struct lt_text *page, const char *label, const char *text)
{
	if (text != NULL)
		lt_site_add(page, "<dt>%s</dt>\n<dd>%s</dd>\n", label, text);
}

void lt_site_facts(struct lt_text *page, const struct lt_site *site, size_t connector,
	unsigned facts)
{
	struct lt_joint_facts said = {
		.tags = site->tags, .connector = connector, .medium = LT_JOINT_PAGE
	};
	while (lt_joint_facts_next(&said))
		if ((facts >> said.fact & 1) == 0)
			continue;
		else if (said.said == LT_SAID_LOUD)
			lt_site_add(page, "<dt>%s</dt>\n<dd><strong>%s</strong></dd>\n", said.label,
				lt_text_string(&said.text));
		else
			lt_site_fact(page, said.label, lt_text_string(&said.text));
}

void lt_site_below(struct lt_text *page, const char *text)
{
	if (text != NULL)
		lt_site_add(page, "<br><span class=\"said\">%s</span>", text);
}

void lt_site_mate(struct lt_text *page, const struct lt_site *site, size_t connector)
{
	const struct lt_component *component = lt_site_component(site, connector);
	struct lt_text mate = { 0 };
	lt_joint_add_mate(&mate, site->tags, connector);
	lt_text_add(page, "<b>");
	lt_site_move(page, &mate);
	lt_text_add(page, "</b>");
	if (component != NULL)
		lt_site_below(page, component->where);
}

void lt_site_picture(struct lt_text *page, const struct lt_site *site, size_t connector,
	const char *up)
{
	const struct lt_site_photo *photo = &site->photos[connector];
	if (photo->name[0] == '\0')
		return;
	struct lt_text alt = { 0 };
	lt_site_add_photo_alt(&alt, lt_site_name(lt_site_connector(site, connector)));
	lt_text_add(page, "<p class=\"photo\"><img src=\"");
	if (up[0] != '\0')
		lt_site_add(page, "%s%s/", up, site->tags->harness->code);
	lt_site_add(page, "%s\" width=\"%u\" height=\"%u\" alt=\"%s\"></p>\n", photo->name,
		photo->width, photo->height, lt_text_string(&alt));
	lt_text_finish(&alt);
}

/* Isolate, release, prove: the order of 29 CFR 1910.147 (d). */
static void add_hazard(struct lt_text *page, const struct lt_hazard *hazard)
{
	struct lt_text title = { 0 };
	lt_hazard_add_title(&title, hazard);
	lt_text_add(page, "<p class=\"energy\">");
	lt_site_move(page, &title);
	lt_text_add(page, "</p>\n<dl>\n");
	lt_site_fact(page, lt_hazard_words.harm, hazard->harm);
	lt_site_fact(page, lt_hazard_step_name(0), hazard->isolate);
	lt_site_fact(page, lt_hazard_words.lock, lt_hazard_words.lock_on);
	lt_site_fact(page, lt_hazard_step_name(1), hazard->release);
	lt_site_fact(page, lt_hazard_step_name(2), hazard->prove);
	lt_site_fact(page, lt_hazard_step_name(3), hazard->restore);
	lt_text_add(page, "</dl>\n");
}

static void add_summary(struct lt_text *page, const struct lt_harness *harness)
{
	lt_site_add(page, "<details>\n<summary>%s", lt_site_words.make_safe);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		struct lt_text name = { 0 };
		lt_hazard_add(&name, &harness->hazards[i]);
		lt_text_add(page, i == 0 ? " <b>" : " \xC2\xB7 <b>");
		lt_site_move(page, &name);
		lt_text_add(page, "</b>");
	}
	lt_text_add(page, "</summary>\n");
}

void lt_site_hazards(struct lt_text *page, const struct lt_harness *harness, bool folded)
{
	lt_site_add(page, "<section class=\"hazard\" aria-label=\"%s\">\n", lt_site_words.hazards);
	if (harness->hazard_count == 0) {
		lt_site_add(page, "<p>%s</p>\n</section>\n", lt_site_words.no_hazards);
		return;
	}
	if (folded)
		add_summary(page, harness);
	else
		lt_site_add(page, "<h2 id=\"hazards\">%s</h2>\n", lt_site_words.before_unplugging);
	for (size_t i = 0; i < harness->hazard_count; i++)
		add_hazard(page, &harness->hazards[i]);
	lt_site_add(page, "<p>%s</p>\n", lt_site_words.who_isolates);
	lt_text_add(page, folded ? "</details>\n</section>\n" : "</section>\n");
}
