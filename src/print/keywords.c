/* What printers say of themselves in keywords, in plain words. */
#include <string.h>

#include "loomtag/print.h"

/* A keyword of RFC 8011 5.4.12 and 5.3.8, or PWG 5100.9 and 5100.11, without its severity. */
struct reason {
	const char *keyword, *words;
	bool stops; /* nothing is printed until somebody does something */
};

static const struct reason reasons[] = {
	{ "bander-empty", "the bander is empty", true },
	{ "connecting-to-device", "the printer is being connected to", false },
	{ "cover-open", "a cover is open", true },
	{ "cutter-at-eol", "the cutter is worn out", true },
	{ "cutter-jam", "the cutter is jammed", true },
	{ "cutter-near-eol", "the cutter is nearly worn out", false },
	{ "cutter-opened", "the cutter is open", true },
	{ "cutter-unrecoverable-failure", "the cutter is broken", true },
	{ "developer-empty", "out of developer", true },
	{ "developer-low", "low on developer", false },
	{ "door-open", "a door is open", true },
	{ "fuser-over-temp", "the fuser is too hot", true },
	{ "fuser-under-temp", "the fuser is still cold", false },
	{ "hibernate", "the printer sleeps", false },
	{ "hold-new-jobs", "new jobs are held", true },
	{ "input-manual-input-request", "labels or paper are to be fed in by hand", true },
	{ "input-media-size-change", "labels or paper of another size were put in", false },
	{ "input-tray-missing", "a tray is missing", true },
	{ "interlock-open", "an interlock is open", true },
	{ "interpreter-resource-unavailable", "the printer has not enough memory", true },
	{ "job-canceled-at-device", "canceled at the printer", false },
	{ "job-canceled-by-operator", "canceled by an operator", false },
	{ "job-canceled-by-user", "canceled", false },
	{ "job-completed-successfully", "done", false },
	{ "job-completed-with-errors", "done, with errors", false },
	{ "job-completed-with-warnings", "done, with warnings", false },
	{ "job-data-insufficient", "the printer waits for more of the job", false },
	{ "job-hold-until-specified", "the job is held", true },
	{ "job-held-for-authentication", "the job waits for a password at the printer", true },
	{ "job-incoming", "the printer is taking the job", false },
	{ "job-outgoing", "the job is passed on to the printer", false },
	{ "job-password-wait", "the job waits for a password at the printer", true },
	{ "job-printing", "printing", false },
	{ "job-queued", "the job is waiting its turn", false },
	{ "job-release-wait", "the job is to be released at the printer", true },
	{ "job-spooling", "the printer is taking the job", false },
	{ "job-stopped", "the job is stopped", true },
	{ "job-transforming", "the job is being drawn", false },
	{ "marker-failure", "the print head or its ink has failed", true },
	{ "marker-supply-empty", "out of ink, toner or ribbon", true },
	{ "marker-supply-low", "low on ink, toner or ribbon", false },
	{ "marker-supply-missing", "the ink, toner or ribbon is missing", true },
	{ "marker-waste-almost-full", "the waste box is almost full", false },
	{ "marker-waste-full", "the waste box is full", true },
	{ "media-empty", "out of labels or paper", true },
	{ "media-jam", "labels or paper are jammed", true },
	{ "media-low", "low on labels or paper", false },
	{ "media-needed", "labels or paper have to be put in", true },
	{ "media-path-cannot-duplex-media-selected", "it cannot print both sides of these", true },
	{ "media-path-media-tray-empty", "the tray is empty", true },
	{ "moving-to-paused", "the printer is about to pause", true },
	{ "offline", "the printer is offline", true },
	{ "opc-life-over", "the drum is worn out", true },
	{ "opc-near-eol", "the drum is nearly worn out", false },
	{ "other", "the printer reports something that it does not name", false },
	{ "output-area-almost-full", "the output is almost full", false },
	{ "output-area-full", "the output is full: take out what is printed", true },
	{ "output-tray-missing", "the output tray is missing", true },
	{ "paused", "the printer is paused", true },
	{ "power-down", "the printer is switched off", true },
	{ "power-up", "the printer is starting", false },
	{ "printer-stopped", "the printer is stopped", true },
	{ "printer-stopped-partly", "some of the printers are stopped", false },
	{ "processing-to-stop-point", "the job is being stopped", false },
	{ "resources-are-not-ready", "something that the job needs is not there", true },
	{ "shutdown", "the printer is switched off", true },
	{ "spool-area-full", "the printer has no room for more jobs", true },
	{ "stopped-partly", "some of the printers are stopped", false },
	{ "stopping", "the printer is stopping", false },
	{ "subunit-missing", "a part of the printer is missing", true },
	{ "timed-out", "the printer does not answer", true },
	{ "toner-empty", "out of toner", true },
	{ "toner-low", "low on toner", false },
	{ "trimmer-jam", "the cutter is jammed", true },
	{ "unsupported-compression", "the printer cannot unpack the job", false },
	{ "unsupported-document-format", "the printer cannot read the job's format", false },
};

/* Severities that may stand behind a keyword (RFC 8011 5.4.12). */
static const char *const severities[] = { "-error", "-warning", "-report", NULL };
enum { SEVERITY_ERROR, SEVERITY_WARNING, SEVERITY_REPORT, NO_SEVERITY };

/* Which of some endings, up to a NULL, stands behind something else in the first `*length` bytes of
 * a reason, and cuts it off; the place of the NULL where none does. */
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

void lt_reason_write(struct lt_text *out, const char *reason)
{
	size_t length = strlen(reason);
	cut_ending(reason, &length, severities);
	const struct reason *known = find(reason, length);
	if (known != NULL) {
		lt_text_add(out, known->words);
		return;
	}
	for (size_t i = 0; i < length; i++)
		lt_text_add_char(out, (char)(reason[i] == '-' ? ' ' : reason[i]));
}

/* Whether a reason that is given no severity stops a printer. */
static bool stops(const char *reason, size_t length)
{
	/* What is not known by name but ends so does all the same. */
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
	/* Some give a severity of -warning to a lack of labels that a job is standing still for. */
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
