/* What most commands begin and end with: opening a session, printing its diagnostics, closing it.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "cli/job_options.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/photo.h"

/* Options that are wrong in themselves are usage errors, whatever the description says. */
static int check_options(const struct options *options)
{
	const char *unit = options->unit;
	const char *base = options->base;
	if (unit != NULL && unit[strspn(unit, "0123456789")] != '\0')
		return lt_usage_error(NULL, "--unit must contain only digits, not \"%s\"", unit);
	struct lt_text fault = { 0 };
	int code = EXIT_YES;
	if (base != NULL && !lt_base_check(&fault, base))
		code = lt_usage_error(NULL, "--base \"%s\" cannot be used for links: %s", base,
			lt_text_string(&fault));
	lt_text_finish(&fault);
	return code;
}

static int begin(struct lt_session *session, const struct options *options)
{
	const struct lt_harness_options given = { .unit = options->unit, .base = options->base };
	lt_session_init(session, options->arguments[0], &given);
	session->options = options;
	session->new_stickers = options->new_stickers;
	return check_options(options);
}

static int exit_code(enum lt_session_fault fault)
{
	static const int codes[] = {
		[LT_SESSION_GOOD] = EXIT_YES,
		[LT_SESSION_UNREADABLE] = EXIT_INPUT,
		[LT_SESSION_WRONG] = EXIT_NO,
		[LT_SESSION_LOCKED] = EXIT_SYSTEM,
	};
	return codes[fault];
}

int lt_session_read_description(struct lt_session *session, const struct options *options)
{
	int code = begin(session, options);
	return code == EXIT_YES ? exit_code(lt_session_load_description(session)) : code;
}

int lt_session_open(struct lt_session *session, const struct options *options,
	enum session_mode mode)
{
	int code = begin(session, options);
	if (code == EXIT_YES)
		code = exit_code(lt_session_load(session, mode == SESSION_WRITES));
	lt_session_print_diags(session);
	return code == EXIT_NO ? EXIT_INPUT : code;
}

int lt_session_open_text(struct lt_session *session, const struct options *options,
	const struct lt_text *description)
{
	int code = begin(session, options);
	if (code == EXIT_YES)
		code = exit_code(lt_session_load_text(session, lt_text_string(description),
			description->length));
	lt_session_print_diags(session);
	return code == EXIT_NO ? EXIT_INPUT : code;
}

bool lt_session_read_again(struct lt_session *session)
{
	struct lt_session reloaded = { .options = session->options };
	bool good = lt_session_reload(session, &reloaded.diags);
	lt_session_print_diags(&reloaded);
	lt_diags_finish(&reloaded.diags);
	/* The diagnostics of this reading are printed already. */
	if (good)
		session->printed = session->diags.count;
	return good;
}

void lt_session_note_new_register(struct lt_session *session)
{
	lt_session_note_new(session);
	lt_session_print_diags(session);
}

void lt_session_warn_of_new_numbers(struct lt_session *session)
{
	if (!session->tags.changed)
		return;
	lt_warning(&session->diags, lt_place_file(session->register_path),
		"does not contain all numbers yet, so numbers can still change");
	lt_hint(&session->diags, "run loomtag tags or loomtag stickers to save the numbers");
}

void lt_session_print_diags(struct lt_session *session)
{
	struct lt_diags *diags = &session->diags;
	size_t shown = 0;
	if (session->options->quiet) {
		/* Notes are dropped from what is still to be shown. */
		for (size_t i = session->printed; i < diags->count; i++) {
			if (diags->items[i].severity != LT_NOTE)
				diags->items[session->printed + shown++] = diags->items[i];
		}
		diags->count = session->printed + shown;
	}
	lt_diags_print(diags, session->printed, stderr, session->options->colour_err);
	session->printed = diags->count;
}

int lt_session_fail(struct lt_session *session, int code)
{
	lt_session_print_diags(session);
	return code;
}

int lt_session_save(struct lt_session *session)
{
	return lt_session_store(session) ? EXIT_YES : lt_session_fail(session, EXIT_SYSTEM);
}

const char *const *lt_session_keep(struct lt_session *session)
{
	struct lt_arena *arena = &session->diags.arena;
	const struct lt_harness *harness = &session->harness;
	const char *const kept_by_database[] = { "", "-journal", "-wal", "-shm" };
	const char **keep = lt_arena_array(arena, harness->connector_count + 7, sizeof(*keep));
	const char *database = lt_job_database(session->options, session->path, arena);
	size_t count = 0;
	keep[count++] = session->path;
	keep[count++] = session->register_path;
	for (size_t i = 0; i < sizeof(kept_by_database) / sizeof(kept_by_database[0]); i++)
		keep[count++] = lt_arena_printf(arena, "%s%s", database, kept_by_database[i]);
	for (size_t i = 0; i < harness->connector_count; i++) {
		char *photo = lt_photo_path(harness, i);
		if (photo != NULL)
			keep[count++] = lt_arena_copy(arena, photo, strlen(photo));
		free(photo);
	}
	return keep;
}

/* One warning a place, of which there are so many texts: several names that print as the same signs
 * look alike on paper. */
static void warn_of(struct lt_session *session, struct lt_fonts *fonts, struct lt_place place,
	size_t count, const char *const *texts)
{
	uint32_t code = 0;
	for (size_t i = 0; i < count && code == 0; i++)
		code = texts[i] != NULL ? lt_font_missing(fonts, LT_TYPEFACE_BOLD, texts[i]) : 0;
	if (code != 0)
		lt_warning(&session->diags, place,
			"the font has no character U+%04X, so a replacement sign is printed",
			(unsigned)code);
}

void lt_session_warn_of_glyphs(struct lt_session *session, struct lt_fonts *fonts)
{
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		warn_of(session, fonts, hazard->place, 6,
			(const char *[]){ hazard->energy, hazard->harm, hazard->isolate,
				hazard->release, hazard->prove, hazard->restore });
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

static json_t *diagnostic_json(const struct lt_diag *diag)
{
	return json_pack("{s:s?, s:I, s:I, s:s, s:s, s:s?}", "file", diag->place.file, "line",
		(json_int_t)diag->place.line, "column", (json_int_t)diag->place.column, "severity",
		lt_severity_name(diag->severity), "message", diag->message, "hint", diag->hint);
}

json_t *lt_diags_json(const struct lt_diags *diags)
{
	json_t *list = json_array();
	for (size_t i = 0; i < diags->count; i++)
		json_array_append_new(list, diagnostic_json(&diags->items[i]));
	return list;
}

int lt_print_json(json_t *document)
{
	bool good = lt_print_json_value(document, JSON_INDENT(2) | JSON_REAL_PRECISION(9));
	putchar('\n');
	json_decref(document);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

bool lt_document_time(long long *seconds)
{
	const char *epoch = getenv("SOURCE_DATE_EPOCH");
	if (epoch == NULL || epoch[0] == '\0') {
		*seconds = (long long)time(NULL);
		return true;
	}
	char *end;
	*seconds = strtoll(epoch, &end, 10);
	/* Up to the year 9999, which is as far as a date of four digits goes. */
	if (*end != '\0' || *seconds < 0 || *seconds > 253402300799LL) {
		lt_usage_error(NULL,
			"SOURCE_DATE_EPOCH must be a number of seconds since 1970, not \"%s\"",
			epoch);
		return false;
	}
	return true;
}
