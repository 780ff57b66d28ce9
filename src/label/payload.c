/* What QR codes hold: links, facts or scan codes. */
#include <stdlib.h>
#include <string.h>

#include "label/sticker.h"
#include "loomtag/words.h"

/* Bytes of a map's facts: more would make its QR codes large and their modules small. */
#define MAP_FACTS_MOST 300

const char *lt_payload_name(enum lt_payload payload)
{
	static const char *const names[] = { "auto", "link", "facts", "code" };
	return names[payload];
}

bool lt_payload_check(const struct lt_harness *harness, enum lt_payload payload,
	struct lt_diags *diags)
{
	if (payload != LT_PAYLOAD_LINK || harness->base != NULL)
		return true;
	lt_error(diags, lt_place_file(harness->file), "--payload link needs a base address");
	lt_hint(diags, "add \"base:\" to the description, or give --base");
	return false;
}

static void add_code(struct lt_text *out, const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, tags->number_of[connector], side, tags->harness->code);
	lt_text_add(out, code);
}

/* Scheme and host mean the same in capitals, and then cost less in a QR code; the path does not. */
static void add_base(struct lt_text *out, const char *base)
{
	const char *scheme_end = strstr(base, "://");
	const char *host = scheme_end != NULL ? scheme_end + 3 : base;
	const char *end = host + strcspn(host, "/");
	for (const char *at = base; at < end; at++) {
		bool small = *at >= 'a' && *at <= 'z';
		lt_text_add_char(out, small ? (char)(*at - 'a' + 'A') : *at);
	}
	lt_text_add(out, end);
	if (out->length == 0 || out->bytes[out->length - 1] != '/')
		lt_text_add_char(out, '/');
}

/* Facts that are read back: with a second scan code among the words the whole would be refused. */
static void add_broken_facts(struct lt_text *out, const struct lt_tags *tags, size_t connector)
{
	struct lt_text facts = { 0 };
	lt_words_code_joint(&facts, tags->harness, &tags->harness->connectors[connector]);
	const char *at = lt_text_string(&facts);
	for (size_t length; *(at += strspn(at, " ")) != '\0'; at += length) {
		length = strcspn(at, " ");
		size_t broken = lt_scan_break(at, length);
		lt_text_add_char(out, ' ');
		lt_text_add_bytes(out, at, broken);
		if (broken > 0)
			lt_text_add_char(out, ' ');
		lt_text_add_bytes(out, at + broken, length - broken);
	}
	lt_text_finish(&facts);
}

static bool reads_back(const struct lt_text *text, const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	struct lt_scan scan;
	lt_scan_read(&scan, text->bytes, text->length);
	return scan.kind == LT_SCAN_CODE && scan.number == tags->number_of[connector] &&
	       scan.side == side && strcmp(scan.code, tags->harness->code) == 0;
}

bool lt_payload_write(struct lt_text *out, enum lt_payload payload, const struct lt_tags *tags,
	size_t connector, enum lt_side side)
{
	struct lt_text text = { 0 };
	if (payload == LT_PAYLOAD_LINK) {
		if (tags->harness->base == NULL)
			return false;
		add_base(&text, tags->harness->base);
	}
	add_code(&text, tags, connector, side);
	if (payload == LT_PAYLOAD_FACTS)
		add_broken_facts(&text, tags, connector);
	bool good = reads_back(&text, tags, connector, side);
	if (good)
		lt_text_add_bytes(out, text.bytes, text.length);
	lt_text_finish(&text);
	return good;
}

/* A text that goes into facts, and whose it is. */
struct fact {
	const char *what, *id; /* such as connector X1 */
	const char *key, *text;
	struct lt_place place;
};

static void warn_of_words(const struct fact *fact, struct lt_diags *diags)
{
	static const char white[] = " \t\n\v\f\r";
	const char *text = fact->text;
	for (size_t length; text != NULL && *text != '\0'; text += length) {
		text += strspn(text, white);
		length = strcspn(text, white);
		size_t broken = lt_scan_break(text, length);
		if (broken == 0)
			continue;
		lt_warning(diags, fact->place,
			"%s %s: its %s contains \"%.*s\", which reads as a scan code", fact->what,
			fact->id, fact->key, (int)length, text);
		lt_hint(diags,
			"QR codes show it as \"%.*s %.*s\". To avoid this, write it in another way "
			"or use --payload link or code",
			(int)broken, text, (int)(length - broken), text + broken);
	}
}

static void warn_of_connector(const struct lt_connector *c, struct lt_diags *diags)
{
	struct lt_text wires = { 0 };
	lt_connector_wires(&wires, c);
	const struct fact facts[] = {
		{ "connector", c->id, "id", c->id, c->place },
		{ "connector", c->id, "name", c->name, c->name_place },
		{ "connector", c->id, "port", c->port, c->port_place },
		{ "connector", c->id, "place", c->where, c->where_place },
		{ "connector", c->id, "wires", lt_text_string(&wires), c->place },
	};
	for (size_t i = 0; i < sizeof facts / sizeof facts[0]; i++)
		warn_of_words(&facts[i], diags);
	lt_text_finish(&wires);
}

void lt_payload_warn(const struct lt_harness *harness, struct lt_diags *diags)
{
	bool *on_sticker = lt_alloc_array(harness->component_count, sizeof *on_sticker);
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->marking != LT_MARK_STICKER)
			continue;
		warn_of_connector(connector, diags);
		if (connector->component != LT_NONE)
			on_sticker[connector->component] = true;
	}
	for (size_t i = 0; i < harness->component_count; i++) {
		const struct lt_component *component = &harness->components[i];
		if (!on_sticker[i])
			continue;
		const struct fact id = { "component", component->id, "id", component->id,
			component->place };
		const struct fact name = { "component", component->id, "name", component->name,
			component->name_place };
		warn_of_words(&id, diags);
		warn_of_words(&name, diags);
	}
	free(on_sticker);
}

/* Cuts what is longer than a map's facts may be, between two characters. */
static void shorten(struct lt_text *facts)
{
	static const char ellipsis[] = "\xE2\x80\xA6";
	if (facts->length <= MAP_FACTS_MOST)
		return;
	size_t end = MAP_FACTS_MOST - strlen(ellipsis);
	while (end > 0 && ((unsigned char)facts->bytes[end] & 0xC0) == 0x80)
		end--;
	facts->bytes[end] = '\0';
	facts->length = end;
	lt_text_add(facts, ellipsis);
}

/* What stands behind the scan code keeps the link from being read as a scan, and a server from
 * being asked for anything else than the scan code's page. */
static void add_map_link(struct lt_text *out, const struct lt_tags *tags, bool numbered,
	size_t connector)
{
	add_base(out, tags->harness->base);
	if (numbered) {
		add_code(out, tags, connector, LT_SIDE_H);
		lt_text_add(out, "/#map");
	} else {
		lt_text_add(out, tags->harness->code);
		lt_text_add_char(out, '/');
	}
}

void lt_payload_map_write(struct lt_text *out, const struct lt_tags *tags, size_t connector)
{
	bool numbered = connector != LT_NONE && tags->number_of[connector] != 0;
	if (tags->harness->base != NULL) {
		add_map_link(out, tags, numbered, connector);
		return;
	}
	/* A harness code begins with a letter, a tag and a scan code with a digit. */
	struct lt_text facts = { 0 };
	const struct lt_connector *of =
		connector != LT_NONE ? &tags->harness->connectors[connector] : NULL;
	lt_words_map_code(&facts, tags->harness, of, numbered ? tags->number_of[connector] : 0);
	shorten(&facts);
	lt_text_add_bytes(out, facts.bytes, facts.length);
	lt_text_finish(&facts);
}
