/* Telling of text that cannot be printed as it is written. */
#include "cli/session.h"

/* One warning a place, of which there are so many texts: several names that print as the same signs
 * look alike on paper. */
static void warn_of(struct lt_session *session, struct lt_fonts *fonts, struct lt_place place,
	size_t count, const char *const *texts)
{
	uint32_t code = 0;
	for (size_t i = 0; i < count && code == 0; i++)
		code = texts[i] != NULL ? lt_font_missing(fonts, LT_FACE_BOLD, texts[i]) : 0;
	if (code != 0)
		lt_warning(&session->diags, place,
			"the font has no character U+%04X: a replacement sign is printed",
			(unsigned)code);
}

void lt_session_warn_of_glyphs(struct lt_session *session, struct lt_fonts *fonts)
{
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		warn_of(session, fonts, hazard->place, 5,
			(const char *[]){ hazard->energy, hazard->isolate, hazard->release,
				hazard->prove, hazard->restore });
	}
	for (size_t i = 0; i < harness->component_count; i++) {
		const struct lt_component *component = &harness->components[i];
		warn_of(session, fonts, component->place, 3,
			(const char *[]){ component->id, component->name, component->where });
	}
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		warn_of(session, fonts, connector->place, 8,
			(const char *[]){ connector->id, connector->name, connector->port,
				connector->where, connector->lock, connector->orient,
				connector->seat, connector->note });
	}
	for (size_t i = 0; i < harness->finish_count; i++)
		warn_of(session, fonts, harness->finish[i].place, 1,
			(const char *[]){ harness->finish[i].text });
}
