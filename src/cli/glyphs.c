/* Telling of text that cannot be printed as it is written. */
#include "cli/session.h"

/* One warning a place: several names that print as the same signs look alike on paper. */
static void warn_of(struct lt_session *session, struct lt_fonts *fonts, struct lt_place place,
	const char *const *texts, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		uint32_t code =
			texts[i] != NULL ? lt_font_missing(fonts, LT_FACE_BOLD, texts[i]) : 0;
		if (code == 0)
			continue;
		lt_warning(&session->diags, place,
			"the font has no character U+%04X: a replacement sign is printed",
			(unsigned)code);
		return;
	}
}

void lt_session_warn_of_glyphs(struct lt_session *session, struct lt_fonts *fonts)
{
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		const char *texts[] = { hazard->energy, hazard->isolate, hazard->release,
			hazard->prove, hazard->restore };
		warn_of(session, fonts, hazard->place, texts, 5);
	}
	for (size_t i = 0; i < harness->component_count; i++) {
		const struct lt_component *component = &harness->components[i];
		const char *texts[] = { component->id, component->name, component->where };
		warn_of(session, fonts, component->place, texts, 3);
	}
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		const char *texts[] = { connector->id, connector->name, connector->port,
			connector->where, connector->lock, connector->orient, connector->seat,
			connector->note };
		warn_of(session, fonts, connector->place, texts, 8);
	}
	for (size_t i = 0; i < harness->finish_count; i++)
		warn_of(session, fonts, harness->finish[i].place, &harness->finish[i].text, 1);
}
