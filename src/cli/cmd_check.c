/* loomtag check: every fault and every look-alike group. */
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/photo.h"

enum { NAMED = 8 }; /* members of a group that a sentence names */

static void name_connector(struct lt_text *out, size_t connector, const void *harness)
{
	lt_text_add(out, ((const struct lt_harness *)harness)->connectors[connector].id);
}

/* "X1, X4 and 3 more would go on each other's mates", where that is so of every two. */
static void say_group(struct lt_text *out, const struct lt_session *session,
	struct lt_indices group)
{
	const struct lt_harness *harness = &session->harness;
	if (!lt_lookalikes_complete(session->lookalikes, group)) {
		lt_text_add(out, "not all would go on each other's mates, but ");
		lt_lookalikes_say(out, session->lookalikes, group, NAMED, name_connector, harness);
		return;
	}
	size_t named = group.count > NAMED ? NAMED : group.count;
	for (size_t i = 0; i < named; i++) {
		bool last = i + 1 == group.count;
		lt_text_add(out, i == 0 ? "" : last ? " and " : ", ");
		name_connector(out, group.items[i], harness);
	}
	if (group.count > named)
		lt_text_printf(out, " and %zu more", group.count - named);
	lt_text_add(out, " would go on each other's mates");
}

static void warn_of_groups(struct lt_session *session)
{
	size_t count;
	const struct lt_indices *groups = lt_lookalike_groups(session->lookalikes, &count);
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < count; i++) {
		const struct lt_connector *first = &harness->connectors[groups[i].items[0]];
		struct lt_text members = { 0 };
		say_group(&members, session, groups[i]);
		lt_warning(&session->diags, first->place, "look-alikes: %s",
			lt_text_string(&members));
		if (i == 0)
			lt_hint(&session->diags,
				"tag both halves before unplugging; where they can be told apart, say so "
				"with family, ways, key or unlike");
		lt_text_finish(&members);
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
		"fit unknown: %zu connector%s no family and might go on any other", unknown,
		unknown == 1 ? " has" : "s have");
	lt_hint(&session->diags, "give the shell and coupling as family");
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

static void print_summary(const struct lt_session *session)
{
	size_t groups = 0;
	if (session->lookalikes != NULL)
		lt_lookalike_groups(session->lookalikes, &groups);
	lt_print_clean("%s: %zu error%s, %zu warning%s; %zu connector%s, %zu look-alike group%s\n",
		session->path, session->diags.errors, session->diags.errors == 1 ? "" : "s",
		session->diags.warnings, session->diags.warnings == 1 ? "" : "s",
		session->harness.connector_count, session->harness.connector_count == 1 ? "" : "s",
		groups, groups == 1 ? "" : "s");
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
		(void)lt_session_load_register(&session);
		warn_of_groups(&session);
		note_unknown_fit(&session);
		lt_payload_warn(&session.harness, &session.diags);
	}
	lt_diags_sort(&session.diags);
	if (!options->json)
		lt_session_tell(&session);
	if (readable)
		code = session.diags.errors > 0 ? EXIT_NO : EXIT_YES;
	if (options->json) {
		int printed = lt_print_json(json_pack("{s:b, s:o, s:o}", "ok",
			session.diags.errors == 0, "diagnostics", lt_diags_json(&session.diags),
			"look_alikes", groups_json(&session)));
		code = printed != EXIT_YES ? printed : code;
		lt_session_tell(&session); /* drops notes where --quiet, which the document keeps */
	} else if (readable && !options->quiet) {
		print_summary(&session);
	}
	lt_session_finish(&session);
	return code;
}
