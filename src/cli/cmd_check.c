/* loomtag check: every error and warning, and every group of look-alikes. */
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/photo.h"
#include "loomtag/words.h"

enum { NAMED = 8 }; /* members of a group that a sentence names */

static void name_connector(struct lt_text *out, size_t connector, const void *harness)
{
	lt_text_add(out, ((const struct lt_harness *)harness)->connectors[connector].id);
}

static void warn_of_group(struct lt_session *session, struct lt_indices group)
{
	const struct lt_harness *harness = &session->harness;
	const struct lt_place place = harness->connectors[group.items[0]].place;
	struct lt_text list = { 0 };
	struct lt_text members = { 0 };
	if (lt_lookalikes_complete(session->lookalikes, group)) {
		const size_t named = group.count > NAMED ? NAMED : group.count;
		for (size_t i = 0; i < named; i++) {
			lt_text_add(&list, i > 0 ? ", " : "");
			name_connector(&list, group.items[i], harness);
		}
		lt_words_and_more(&members, lt_text_string(&list), group.count - named);
		lt_warning(&session->diags, place,
			"look-alikes %s: each would also fit the mates of the others",
			lt_text_string(&members));
	} else {
		lt_lookalikes_say(&members, session->lookalikes, group, NAMED, name_connector,
			harness);
		lt_warning(&session->diags, place,
			"look-alikes: some would also fit other mates: %s",
			lt_text_string(&members));
	}
	lt_text_finish(&members);
	lt_text_finish(&list);
}

static void warn_of_groups(struct lt_session *session)
{
	size_t count;
	const struct lt_indices *groups = lt_lookalike_groups(session->lookalikes, &count);
	for (size_t i = 0; i < count; i++) {
		warn_of_group(session, groups[i]);
		if (i == 0)
			lt_hint(&session->diags,
				"put stickers on both halves before you unplug them. If two of them cannot "
				"be confused, describe family, ways, key or unlike");
	}
}

/* Families that may be the same, misspelt. */
static void warn_of_near_families(struct lt_session *session)
{
	const struct lt_connector *connectors = session->harness.connectors;
	size_t count;
	const struct lt_indices *near =
		lt_lookalike_near(&count, session->lookalikes, &session->diags.arena);
	for (size_t i = 0; i < count; i++) {
		struct lt_text list = { 0 };
		struct lt_text families = { 0 };
		for (size_t j = 0; j < near[i].count && j < NAMED; j++) {
			const struct lt_connector *connector = &connectors[near[i].items[j]];
			lt_text_add(&list, j > 0 ? ", " : "");
			lt_text_printf(&list, "\"%s\" at %s", connector->family, connector->id);
		}
		lt_words_and_more(&families, lt_text_string(&list),
			near[i].count > NAMED ? near[i].count - NAMED : 0);
		lt_warning(&session->diags, connectors[near[i].items[1]].place,
			"families are nearly the same: %s. The same moulding?",
			lt_text_string(&families));
		lt_hint(&session->diags,
			"if it is the same, spell it alike. If not, write unlike: at one of the "
			"connectors. Until then they count as look-alikes");
		lt_text_finish(&families);
		lt_text_finish(&list);
	}
}

static void note_narrower(struct lt_session *session)
{
	const struct lt_connector *connectors = session->harness.connectors;
	size_t count;
	const struct lt_narrower *narrower =
		lt_lookalike_narrower(&count, session->lookalikes, &session->diags.arena);
	for (size_t i = 0; i < count; i++) {
		const struct lt_connector *narrow = &connectors[narrower[i].narrow];
		const struct lt_connector *wide = &connectors[narrower[i].wide];
		lt_note(&session->diags, narrow->place,
			"connectors %s (ways: %u) and %s (ways: %u) have the same family, but do "
			"not count as look-alikes",
			narrow->id, narrow->ways, wide->id, wide->ways);
		lt_hint(&session->diags,
			"if %s would also fit the mate of %s, write fits: [%s] at %s. If not, "
			"write unlike: [%s]",
			narrow->id, wide->id, wide->id, narrow->id, wide->id);
	}
}

static void note_unknown_fit(struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	size_t unknown = 0;
	size_t first = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (lt_fit_unknown(harness, i) && unknown++ == 0)
			first = i;
	}
	if (unknown == 0)
		return;
	lt_note(&session->diags, harness->connectors[first].place,
		lt_plural(unknown,
			"fit unknown: %zu connector has no family, and could fit elsewhere",
			"fit unknown: %zu connectors have no family, and could fit elsewhere"),
		unknown);
	lt_hint(&session->diags, "describe the shell and the coupling with family:");
}

/* The first connector that the given one could be confused with and that is marked with its number.
 */
static const char *marked_alike(const struct lt_session *session, size_t connector)
{
	const struct lt_harness *harness = &session->harness;
	const unsigned number = session->tags.number_of[connector];
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *other = &harness->connectors[i];
		if (lt_lookalike_for_numbering(session->lookalikes, connector, i) &&
			(lt_marking_number(other->id) == number ||
				lt_marking_number(other->port) == number))
			return other->id;
	}
	return "";
}

/* New numbers are never the marking of a look-alike, but those that the register holds may be. */
static void note_markings_of_lookalikes(struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	struct lt_markings *markings = lt_markings_create(session->lookalikes);
	struct lt_text joints = { 0 };
	size_t count = 0, first = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const unsigned number = session->tags.number_of[i];
		if (number == 0 || !lt_marking_of_lookalike(markings, i, number))
			continue;
		if (count == 0)
			first = i;
		if (count < NAMED) {
			lt_text_add(&joints, count > 0 ? ", " : "");
			lt_text_printf(&joints, "%s has %u (marked on %s)",
				harness->connectors[i].id, number, marked_alike(session, i));
		}
		count++;
	}
	if (count > 0) {
		struct lt_text list = { 0 };
		lt_words_and_more(&list, lt_text_string(&joints),
			count > NAMED ? count - NAMED : 0);
		lt_note(&session->diags, harness->connectors[first].place,
			lt_plural(count,
				"%zu joint has the number that a look-alike is marked with: %s",
				"%zu joints have the number that a look-alike is marked with: %s"),
			count, lt_text_string(&list));
		lt_hint(&session->diags,
			"go by the sticker, not by the marking. A register keeps its numbers");
		lt_text_finish(&list);
	}
	lt_text_finish(&joints);
	lt_markings_destroy(markings);
}

static json_t *groups_json(const struct lt_session *session)
{
	json_t *list = json_array();
	size_t count = 0;
	const struct lt_indices *groups = session->lookalikes != NULL
						  ? lt_lookalike_groups(session->lookalikes, &count)
						  : NULL;
	for (size_t i = 0; i < count; i++) {
		json_t *group = json_array();
		for (size_t k = 0; k < groups[i].count; k++) {
			const char *id = session->harness.connectors[groups[i].items[k]].id;
			json_array_append_new(group, json_string(id));
		}
		json_array_append_new(list, group);
	}
	return list;
}

/* Only a plug has a facing, and a ring, a spade and a strap are not unlocked. */
static struct lt_check_lacking find_lacking(const struct lt_harness *harness)
{
	struct lt_check_lacking lacking = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		const bool locks = connector->kind == LT_PLUG || connector->kind == LT_HOSE ||
				   connector->kind == LT_CLIP;
		lacking.family += lt_fit_unknown(harness, i);
		lacking.place += connector->where == NULL;
		lacking.facing += connector->kind == LT_PLUG && connector->orient == NULL;
		lacking.lock += locks && connector->lock == NULL;
	}
	return lacking;
}

static json_t *lacking_json(const struct lt_session *session)
{
	const struct lt_check_lacking lacking = find_lacking(&session->harness);
	return json_pack("{s:I, s:I, s:I, s:I}", "family", (json_int_t)lacking.family, "place",
		(json_int_t)lacking.place, "orient", (json_int_t)lacking.facing, "lock",
		(json_int_t)lacking.lock);
}

static void print_summary(const struct lt_session *session)
{
	struct lt_check_counts counts = {
		.errors = session->diags.errors,
		.warnings = session->diags.warnings,
		.connectors = session->harness.connector_count,
	};
	struct lt_text text = { 0 };
	if (session->lookalikes != NULL)
		lt_lookalike_groups(session->lookalikes, &counts.groups);
	lt_words_check_counts(&text, &counts);
	lt_print_clean("%s: %s\n", session->path, lt_text_string(&text));
	lt_text_clear(&text);
	const struct lt_check_lacking lacking = find_lacking(&session->harness);
	if (counts.errors == 0)
		lt_words_check_lacking(&text, &lacking);
	if (text.length > 0)
		lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
}

int lt_run_check(const struct options *options)
{
	struct lt_session session;
	int code = lt_session_read_description(&session, options);
	if (code == EXIT_USAGE) {
		lt_session_finish(&session);
		return code;
	}
	bool readable = code != EXIT_INPUT;
	if (readable)
		(void)lt_photo_check(&session.harness, &session.diags);
	if (code == EXIT_YES) {
		if (lt_session_load_register(&session))
			note_markings_of_lookalikes(&session);
		warn_of_groups(&session);
		warn_of_near_families(&session);
		note_narrower(&session);
		note_unknown_fit(&session);
		lt_payload_warn(&session.harness, &session.diags);
	}
	lt_diags_sort(&session.diags);
	if (!options->json)
		lt_session_print_diags(&session);
	if (readable)
		code = session.diags.errors > 0 ? EXIT_NO : EXIT_YES;
	if (options->json) {
		int printed = lt_print_json(json_pack("{s:b, s:o, s:o, s:o}", "ok",
			session.diags.errors == 0, "diagnostics", lt_diags_json(&session.diags),
			"look_alikes", groups_json(&session), "lacking", lacking_json(&session)));
		code = printed != EXIT_YES ? printed : code;
		/* Not before: with --quiet it drops the notes, which the document keeps. */
		lt_session_print_diags(&session);
	} else if (readable && !options->quiet) {
		print_summary(&session);
	}
	lt_session_finish(&session);
	return code;
}
