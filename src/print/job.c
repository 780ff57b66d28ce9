/* Print jobs over IPP (RFC 8011): sent once, followed, cancelled. */
#include <math.h>
#include <string.h>

#include "print/ipp.h"
#include "print/link.h"

/* How many reasons of a job and its printer are kept. */
#define REASONS_MOST 32

const char *lt_format_type(enum lt_format format)
{
	return format == LT_FORMAT_PWG ? "image/pwg-raster" : "application/pdf";
}

bool lt_print_job_is_over(const struct lt_print_job_status *status)
{
	return status->forgotten || status->state >= IPP_JSTATE_CANCELED;
}

static void add_format(ipp_t *request, const struct lt_print_job_ticket *ticket)
{
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_MIMETYPE, "document-format", NULL,
		lt_format_type(ticket->format));
}

/* What the printer itself calls a medium of just that size; or NULL. */
static const char *name_in(const struct lt_media_list *list,
	const struct lt_print_job_ticket *ticket)
{
	for (size_t i = 0; i < list->count; i++) {
		const struct lt_media *media = &list->items[i];
		if (media->name != NULL && fabs(media->width - ticket->width) < 0.005 &&
			fabs(media->height - ticket->height) < 0.005)
			return media->name;
	}
	return NULL;
}

static void add_medium_name(ipp_t *request, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket)
{
	struct lt_text name = { 0 };
	const char *known = name_in(&printer->ready, ticket);
	if (known == NULL)
		known = name_in(&printer->known, ticket);
	if (known != NULL)
		lt_text_add(&name, known);
	else
		lt_media_name_write(&name, ticket->width, ticket->height);
	ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "media", NULL, lt_text_string(&name));
	lt_text_finish(&name);
}

/* The medium by its size (PWG 5100.7, media-col), or by its self-describing name. */
static void add_medium(ipp_t *request, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket)
{
	int width = lt_hundredths(ticket->width);
	int height = lt_hundredths(ticket->height);
	if (width <= 0 || height <= 0)
		return;
	if (!printer->media_col) {
		add_medium_name(request, printer, ticket);
		return;
	}
	ipp_t *size = ippNew();
	ippAddInteger(size, IPP_TAG_JOB, IPP_TAG_INTEGER, "x-dimension", width);
	ippAddInteger(size, IPP_TAG_JOB, IPP_TAG_INTEGER, "y-dimension", height);
	ipp_t *column = ippNew();
	ippAddCollection(column, IPP_TAG_JOB, "media-size", size);
	ippAddCollection(request, IPP_TAG_JOB, "media-col", column);
	ippDelete(size);
	ippDelete(column);
}

static void add_trim(ipp_t *request, unsigned trim)
{
	for (size_t i = 0; i < LT_TRIMS; i++) {
		if (lt_trims[i].bit == trim)
			ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_ENUM, "finishings",
				lt_trims[i].finishing);
	}
}

/* A request for a job: its name and its settings. Copies are drawn as pages, so that their order is
 * known. */
static ipp_t *request_job(ipp_op_t operation, const struct lt_link *link,
	const struct lt_printer *printer, const struct lt_print_job_ticket *ticket)
{
	ipp_t *request = lt_link_begin_request(link, operation, 0);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "job-name", NULL, ticket->name);
	if (operation == IPP_OP_PRINT_JOB)
		add_format(request, ticket);
	ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_INTEGER, "copies", 1);
	/* Labels are read by machines. */
	if (printer->quality > 0)
		ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_ENUM, "print-quality",
			printer->quality);
	/* A sheet that is scaled to fit its margins (PWG 5100.13, print-scaling) is printed beside
	 * its labels. */
	if (printer->unscaled && ticket->format == LT_FORMAT_PDF)
		ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "print-scaling", NULL, "none");
	if (ticket->dpi > 0 && ticket->format == LT_FORMAT_PWG)
		ippAddResolution(request, IPP_TAG_JOB, "printer-resolution", IPP_RES_PER_INCH,
			(int)ticket->dpi, (int)ticket->dpi);
	add_medium(request, printer, ticket);
	add_trim(request, ticket->trim);
	return request;
}

/* A number in an answer, or `otherwise` where it has none of that type. */
static int number_in(ipp_t *answer, const char *name, ipp_tag_t type, int otherwise)
{
	ipp_attribute_t *found = ippFindAttribute(answer, name, type);
	return found != NULL ? ippGetInteger(found, 0) : otherwise;
}

static int read_id(ipp_t *answer)
{
	int id = number_in(answer, "job-id", IPP_TAG_INTEGER, 0);
	return id > 0 ? id : 0;
}

/* The job first, so that its number is known whatever becomes of the document. */
static bool create_job(int *id, struct lt_link *link, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket, struct lt_diags *diags)
{
	ipp_t *request = request_job(IPP_OP_CREATE_JOB, link, printer, ticket);
	const enum lt_purpose purpose = LT_PURPOSE_CREATE_JOB;
	ipp_t *answer = lt_link_request(link, request, purpose, false, diags);
	bool good = lt_link_status(link, answer, purpose, diags);
	if (answer == NULL && link->halted)
		lt_hint(diags, "check whether an empty job waits at the printer");
	*id = good ? read_id(answer) : 0;
	/* A job that would be printed differently gets no document. */
	bool accepts_all =
		good && *id > 0 && lt_answer_accepts_all(link, request, answer, true, diags);
	ippDelete(answer);
	ippDelete(request);
	if (!good || *id > 0)
		return accepts_all;
	lt_error(diags, lt_place_none(),
		"the printer accepted the job but did not give its number");
	lt_hint(diags, "nothing was printed. Check whether an empty job waits at the printer");
	return false;
}

bool lt_print_job_send(int *id, struct lt_sent *sent, struct lt_link *link,
	const struct lt_printer *printer, const struct lt_print_job_ticket *ticket, FILE *stream,
	struct lt_diags *diags)
{
	*id = 0;
	*sent = (struct lt_sent){ 0 };
	ipp_t *request;
	if (printer->create_job) {
		if (!create_job(id, link, printer, ticket, diags))
			return false;
		request = lt_link_begin_request(link, IPP_OP_SEND_DOCUMENT, *id);
		add_format(request, ticket);
		ippAddBoolean(request, IPP_TAG_OPERATION, "last-document", 1);
	} else {
		request = request_job(IPP_OP_PRINT_JOB, link, printer, ticket);
	}
	ipp_t *answer = lt_link_send(link, request, stream, sent, diags);
	if (!printer->create_job && answer != NULL)
		*id = read_id(answer);
	bool good = answer != NULL && !sent->refused;
	ippDelete(answer);
	return good;
}

bool lt_print_job_has(const struct lt_print_job_status *status, const char *reason)
{
	for (size_t i = 0; i < status->reason_count; i++) {
		if (strcmp(status->reasons[i], reason) == 0)
			return true;
	}
	return false;
}

/* Adds the reasons of an attribute that are not there yet. */
static void add_reasons(struct lt_print_job_status *out, ipp_t *answer, const char *name)
{
	ipp_attribute_t *reasons = ippFindAttribute(answer, name, IPP_TAG_KEYWORD);
	int count = reasons != NULL ? ippGetCount(reasons) : 0;
	for (int i = 0; i < count && out->reason_count < REASONS_MOST; i++) {
		const char *reason = ippGetString(reasons, i, NULL);
		if (reason != NULL && strcmp(reason, "none") != 0 && !lt_print_job_has(out, reason))
			out->reasons[out->reason_count++] = lt_answer_text(&out->arena, reason);
	}
}

static void read_message(struct lt_print_job_status *out, ipp_t *answer, const char *name)
{
	ipp_attribute_t *message = ippFindAttribute(answer, name, IPP_TAG_TEXT);
	const char *text = message != NULL ? ippGetString(message, 0, NULL) : NULL;
	if (out->message == NULL && text != NULL && text[0] != '\0')
		out->message = lt_answer_text(&out->arena, text);
}

/* Reads what an answer says about the job. False where it does not give the state of the job. */
static bool read_job(struct lt_print_job_status *out, ipp_t *answer)
{
	int state = number_in(answer, "job-state", IPP_TAG_ENUM, -1);
	if (state == -1)
		return false;
	if (state >= IPP_JSTATE_PENDING && state <= IPP_JSTATE_COMPLETED)
		out->state = (ipp_jstate_t)state;
	int done = number_in(answer, "job-impressions-completed", IPP_TAG_INTEGER, -1);
	out->impressions = done >= 0 ? done : -1;
	add_reasons(out, answer, "job-state-reasons");
	out->job_reason_count = out->reason_count;
	out->incomplete = lt_print_job_has(out, "job-incoming") ||
			  lt_print_job_has(out, "job-data-insufficient");
	read_message(out, answer, "job-state-message");
	return true;
}

static bool ask_job(struct lt_print_job_status *out, struct lt_link *link, int id,
	struct lt_diags *diags)
{
	static const char *const names[] = { "job-state", "job-state-reasons",
		"job-impressions-completed", "job-state-message" };
	ipp_t *answer =
		lt_link_attributes(link, id, names, sizeof(names) / sizeof(names[0]), diags);
	ipp_status_t status = ippGetStatusCode(answer);
	bool good = true;
	if (status == IPP_STATUS_ERROR_NOT_FOUND || status == IPP_STATUS_ERROR_GONE) {
		out->forgotten = true;
	} else if (!lt_link_status(link, answer, LT_PURPOSE_ASK, diags)) {
		good = false;
	} else if (!read_job(out, answer)) {
		lt_error(diags, lt_link_place(link),
			"the printer does not report the state of the job");
		good = false;
	}
	ippDelete(answer);
	return good;
}

bool lt_print_job_ask(struct lt_print_job_status *out, struct lt_link *link, int id,
	struct lt_diags *diags)
{
	static const char *const names[] = { "printer-state", "printer-state-reasons",
		"printer-state-message" };
	*out = (struct lt_print_job_status){ .impressions = -1 };
	out->reasons = lt_arena_array(&out->arena, REASONS_MOST, sizeof(*out->reasons));
	if (!ask_job(out, link, id, diags))
		return false;
	if (lt_print_job_is_over(out))
		return true;
	/* The state of the job is known now, also where the printer does not report its own. */
	struct lt_diags ignored = { 0 };
	ipp_t *answer =
		lt_link_attributes(link, 0, names, sizeof(names) / sizeof(names[0]), &ignored);
	bool good = lt_link_status(link, answer, LT_PURPOSE_ASK, &ignored);
	lt_diags_finish(&ignored);
	if (good) {
		out->idle = number_in(answer, "printer-state", IPP_TAG_ENUM, 0) == IPP_PSTATE_IDLE;
		add_reasons(out, answer, "printer-state-reasons");
		read_message(out, answer, "printer-state-message");
	}
	ippDelete(answer);
	return true;
}

void lt_print_job_status_finish(struct lt_print_job_status *status)
{
	if (status == NULL)
		return;
	lt_arena_finish(&status->arena);
	*status = (struct lt_print_job_status){ 0 };
}

const char *lt_print_job_cancel(struct lt_link *link, int id)
{
	ipp_t *request = lt_link_begin_request(link, IPP_OP_CANCEL_JOB, id);
	const char *why = NULL;
	struct lt_diags diags = { 0 };
	ipp_t *answer = lt_link_request(link, request, LT_PURPOSE_ASK, false, &diags);
	if (!lt_link_status(link, answer, LT_PURPOSE_ASK, &diags)) {
		struct lt_print_job_status status;
		why = lt_arena_strdup(&link->arena, diags.items[diags.count - 1].message);
		/* A job that is over need not be cancelled. */
		if (lt_print_job_ask(&status, link, id, &diags) && lt_print_job_is_over(&status))
			why = NULL;
		lt_print_job_status_finish(&status);
	}
	ippDelete(request);
	ippDelete(answer);
	lt_diags_finish(&diags);
	return why;
}
