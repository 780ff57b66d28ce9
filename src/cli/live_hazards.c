/* Hazards, before anything else. */
#include <string.h>

#include "cli/live_session.h"

static void add_hazard(struct lt_text *out, const struct lt_live *live, size_t index)
{
	const struct lt_harness *harness = live->tags->harness;
	const struct lt_hazard *hazard = &harness->hazards[index];
	const struct {
		const char *label, *text;
	} lines[] = { { "  isolate  ", hazard->isolate }, { "  release  ", hazard->release },
		{ "  prove    ", hazard->prove } };
	lt_live_addf(out, live, LIVE_STRONG, "", "Hazard %zu of %zu: %s", index + 1,
		harness->hazard_count, hazard->energy);
	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++)
		lt_live_add(out, live, LIVE_PLAIN, lines[i].label,
			lines[i].text != NULL ? lines[i].text
					      : "not described: find out before you go on",
			0);
}

static void ask_hazard(struct live_session *session, size_t index, const char *waiting)
{
	const struct lt_live *live = session->live;
	lt_live_clear(&session->text, live);
	lt_live_add_head(&session->text, live);
	lt_live_add(&session->text, live, LIVE_WAIT, "",
		"Before anything is touched. This list helps the memory; it does not stand in for the "
		"machine's own instructions, local codes or licensed practice. If you may not isolate "
		"this yourself, stop and get someone who may.",
		0);
	lt_text_add_char(&session->text, '\n');
	add_hazard(&session->text, live, index);
	lt_text_add_char(&session->text, '\n');
	lt_live_add(&session->text, live, LIVE_WRONG, "", waiting, 0);
	lt_text_add(&session->text, "Type yes when this is done and proved: ");
	if (!live->options.terminal)
		lt_text_add_char(&session->text, '\n');
	lt_live_show(live, &session->text);
}

/* True when the person has confirmed it, and it is kept; false on quit and at the end of input. */
static bool confirm_hazard(struct live_session *session, size_t index)
{
	const struct lt_live *live = session->live;
	const struct lt_hazard *hazard = &live->tags->harness->hazards[index];
	struct keys_line line = { .length = 0 };
	const char *waiting = "";
	for (;;) {
		ask_hazard(session, index, waiting);
		if (!lt_live_read(session, &line, "") || lt_live_is_word(&line, "quit"))
			return false;
		if (lt_live_is_word(&line, "yes")) {
			session->failed = !lt_work_confirm(live->work, hazard->energy, live->diags);
			return !session->failed;
		}
		waiting = "Waiting: only yes goes on (quit stops). Nothing can be scanned before.";
	}
}

static void add_part(struct lt_text *out, const char *text)
{
	lt_text_printf(out, "%s\n", text != NULL ? text : "");
}

/* All that is described of hazards. */
static void list_hazards(struct lt_text *out, const struct lt_harness *harness)
{
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		add_part(out, hazard->energy);
		add_part(out, hazard->isolate);
		add_part(out, hazard->release);
		add_part(out, hazard->prove);
	}
}

bool lt_live_confirm_new_hazards(struct live_session *session)
{
	struct lt_text now = { 0 };
	list_hazards(&now, session->live->tags->harness);
	const bool same = strcmp(lt_text_string(&now), lt_text_string(&session->safe)) == 0;
	lt_text_finish(&now);
	return same || lt_live_confirm_hazards(session);
}

bool lt_live_confirm_hazards(struct live_session *session)
{
	const struct lt_harness *harness = session->live->tags->harness;
	for (size_t i = 0; i < harness->hazard_count; i++) {
		if (confirm_hazard(session, i))
			continue;
		if (session->failed)
			return false;
		lt_text_add_char(&session->text, '\n');
		lt_live_addf(&session->text, session->live, LIVE_WRONG, "",
			session->scans > 0
				? "Stopped: \"%s\" was not confirmed."
				: "Stopped: \"%s\" was not confirmed. Nothing was scanned.",
			harness->hazards[i].energy);
		lt_live_show(session->live, &session->text);
		return false;
	}
	lt_text_clear(&session->safe);
	list_hazards(&session->safe, harness);
	if (harness->hazard_count == 0)
		lt_live_say(session, LT_TONE_WAIT,
			"No hazards are described. That does not mean that there are none: look before "
			"you touch.");
	else
		lt_live_say(session, LT_TONE_WAIT, "Hazards confirmed.");
	return true;
}
