/* What printers report in keywords: what it means, and whether printing waits for somebody. The
 * keywords are those of RFC 8011, 5.4.12 and 5.3.8, and of PWG 5100.9 and 5100.11. */
#include <string.h>

#include "loomtag/print.h"
#include "loomtag/words.h"

/* A keyword without its severity, and what it means in words. */
struct reason {
	const char *keyword;
	const char *const *words;
	bool stops; /* nothing is printed until somebody does something */
};

#define WORDS(field) &lt_printer_reason_words.field
static const struct reason reasons[] = {
	{ "bander-empty", WORDS(bander_empty), true },
	{ "connecting-to-device", WORDS(connecting_to_device), false },
	{ "cover-open", WORDS(cover_open), true },
	{ "cutter-at-eol", WORDS(cutter_at_eol), true },
	{ "cutter-jam", WORDS(cutter_jam), true },
	{ "cutter-near-eol", WORDS(cutter_near_eol), false },
	{ "cutter-opened", WORDS(cutter_opened), true },
	{ "cutter-unrecoverable-failure", WORDS(cutter_unrecoverable_failure), true },
	{ "developer-empty", WORDS(developer_empty), true },
	{ "developer-low", WORDS(developer_low), false },
	{ "door-open", WORDS(door_open), true },
	{ "fuser-over-temp", WORDS(fuser_over_temp), true },
	{ "fuser-under-temp", WORDS(fuser_under_temp), false },
	{ "hibernate", WORDS(hibernate), false },
	{ "hold-new-jobs", WORDS(hold_new_jobs), true },
	{ "input-manual-input-request", WORDS(input_manual_input_request), true },
	{ "input-media-size-change", WORDS(input_media_size_change), false },
	{ "input-tray-missing", WORDS(input_tray_missing), true },
	{ "interlock-open", WORDS(interlock_open), true },
	{ "interpreter-resource-unavailable", WORDS(interpreter_resource_unavailable), true },
	{ "job-canceled-at-device", WORDS(job_canceled_at_device), false },
	{ "job-canceled-by-operator", WORDS(job_canceled_by_operator), false },
	{ "job-canceled-by-user", WORDS(job_canceled_by_user), false },
	{ "job-completed-successfully", WORDS(job_completed_successfully), false },
	{ "job-completed-with-errors", WORDS(job_completed_with_errors), false },
	{ "job-completed-with-warnings", WORDS(job_completed_with_warnings), false },
	{ "job-data-insufficient", WORDS(job_data_insufficient), false },
	{ "job-hold-until-specified", WORDS(job_hold_until_specified), true },
	{ "job-held-for-authentication", WORDS(job_held_for_authentication), true },
	{ "job-incoming", WORDS(job_incoming), false },
	{ "job-outgoing", WORDS(job_outgoing), false },
	{ "job-password-wait", WORDS(job_held_for_authentication), true },
	{ "job-printing", WORDS(job_printing), false },
	{ "job-queued", WORDS(job_queued), false },
	{ "job-release-wait", WORDS(job_release_wait), true },
	{ "job-spooling", WORDS(job_incoming), false },
	{ "job-stopped", WORDS(job_stopped), true },
	{ "job-transforming", WORDS(job_transforming), false },
	{ "marker-failure", WORDS(marker_failure), true },
	{ "marker-supply-empty", WORDS(marker_supply_empty), true },
	{ "marker-supply-low", WORDS(marker_supply_low), false },
	{ "marker-supply-missing", WORDS(marker_supply_missing), true },
	{ "marker-waste-almost-full", WORDS(marker_waste_almost_full), false },
	{ "marker-waste-full", WORDS(marker_waste_full), true },
	{ "media-empty", WORDS(media_empty), true },
	{ "media-jam", WORDS(media_jam), true },
	{ "media-low", WORDS(media_low), false },
	{ "media-needed", WORDS(media_needed), true },
	{ "media-path-cannot-duplex-media-selected", WORDS(media_path_cannot_duplex_media_selected),
		true },
	{ "media-path-media-tray-empty", WORDS(media_path_media_tray_empty), true },
	{ "moving-to-paused", WORDS(moving_to_paused), true },
	{ "offline", WORDS(offline), true },
	{ "opc-life-over", WORDS(opc_life_over), true },
	{ "opc-near-eol", WORDS(opc_near_eol), false },
	{ "other", WORDS(other), false },
	{ "output-area-almost-full", WORDS(output_area_almost_full), false },
	{ "output-area-full", WORDS(output_area_full), true },
	{ "output-tray-missing", WORDS(output_tray_missing), true },
	{ "paused", WORDS(paused), true },
	{ "power-down", WORDS(shutdown), true },
	{ "power-up", WORDS(power_up), false },
	{ "printer-stopped", WORDS(printer_stopped), true },
	{ "printer-stopped-partly", WORDS(stopped_partly), false },
	{ "processing-to-stop-point", WORDS(processing_to_stop_point), false },
	{ "resources-are-not-ready", WORDS(resources_are_not_ready), true },
	{ "shutdown", WORDS(shutdown), true },
	{ "spool-area-full", WORDS(spool_area_full), true },
	{ "stopped-partly", WORDS(stopped_partly), false },
	{ "stopping", WORDS(stopping), false },
	{ "subunit-missing", WORDS(subunit_missing), true },
	{ "timed-out", WORDS(timed_out), true },
	{ "toner-empty", WORDS(toner_empty), true },
	{ "toner-low", WORDS(toner_low), false },
	{ "trimmer-jam", WORDS(cutter_jam), true },
	{ "unsupported-compression", WORDS(unsupported_compression), false },
	{ "unsupported-document-format", WORDS(unsupported_document_format), false },
};

/* Severities that may stand behind a keyword (RFC 8011 5.4.12). */
static const char *const severities[] = { "-error", "-warning", "-report", NULL };
enum { SEVERITY_ERROR, SEVERITY_WARNING, SEVERITY_REPORT, NO_SEVERITY };

/* Cuts one of the endings, a list up to a NULL, off the first `*length` bytes of a reason, unless
 * nothing would be left. Returns its index, or that of the NULL where none was found. */
static int cut_ending(const char *reason, size_t *length, const char *const *endings)
{
	int i = 0;
	for (; endings[i] != NULL; i++) {
		size_t end = strlen(endings[i]);
		if (*length > end && memcmp(reason + *length - end, endings[i], end) == 0) {
			*length -= end;
			break;
		}
	}
	return i;
}

static bool ends_with(const char *reason, size_t length, const char *const *endings)
{
	return endings[cut_ending(reason, &length, endings)] != NULL;
}

static const struct reason *find(const char *reason, size_t length)
{
	for (size_t i = 0; i < sizeof(reasons) / sizeof(reasons[0]); i++) {
		if (strlen(reasons[i].keyword) == length &&
			memcmp(reasons[i].keyword, reason, length) == 0)
			return &reasons[i];
	}
	return NULL;
}

void lt_reason_add(struct lt_text *out, const char *reason)
{
	size_t length = strlen(reason);
	cut_ending(reason, &length, severities);
	const struct reason *known = find(reason, length);
	if (known != NULL) {
		lt_text_add(out, *known->words);
		return;
	}
	for (size_t i = 0; i < length; i++)
		lt_text_add_char(out, (char)(reason[i] == '-' ? ' ' : reason[i]));
}

/* Whether a reason without a severity stops a printer. */
static bool stops(const char *reason, size_t length)
{
	/* Endings of keywords that are not in the table and stop printing. */
	static const char *const endings[] = { "-empty", "-jam", "-open", "-opened", "-missing",
		"-full", "-failure", "-stopped", "-paused", NULL };
	const struct reason *known = find(reason, length);
	return known != NULL ? known->stops : ends_with(reason, length, endings);
}

bool lt_reason_stops(const char *reason)
{
	size_t length = strlen(reason);
	int severity = cut_ending(reason, &length, severities);
	if (severity == SEVERITY_REPORT)
		return false;
	/* Some printers say -warning although the job waits for labels. */
	if (severity == SEVERITY_WARNING)
		return strcmp(reason, "media-needed-warning") == 0 ||
		       strcmp(reason, "input-manual-input-request-warning") == 0;
	bool unknown_error = severity == SEVERITY_ERROR && find(reason, length) == NULL;
	return unknown_error || stops(reason, length);
}

bool lt_reason_may_stop(const char *reason)
{
	size_t length = strlen(reason);
	int severity = cut_ending(reason, &length, severities);
	return severity == SEVERITY_WARNING && stops(reason, length);
}

bool lt_reason_warns(const char *reason)
{
	static const char *const warns[] = { "-low", "-near-eol", "-almost-full", NULL };
	size_t length = strlen(reason);
	int severity = cut_ending(reason, &length, severities);
	if (lt_reason_stops(reason) || severity == SEVERITY_REPORT)
		return false;
	return severity == SEVERITY_WARNING || ends_with(reason, length, warns);
}
