/* Print jobs over IPP (RFC 8011): sent once, asked after, cancelled. */
#include <math.h>
#include <string.h>

#include "loomtag/print.h"
#include "print/way.h"

/* Reasons of a job and its printer that are kept. */
#define REASONS_MOST 32

const char *lt_format_type(enum lt_format format)
{
	return format == LT_FORMAT_PWG ? "image/pwg-raster" : "application/pdf";
}

bool lt_print_job_is_over(enum lt_print_job_state state)
{
	return state >= LT_PRINT_JOB_CANCELED;
}

/* A request with what every one begins with. `id` 0: of the printer alone. */
static ipp_t *begin_request(ipp_op_t operation, const struct lt_link *link, int id)
{
	ipp_t *request = ippNewRequest(operation);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_URI, "printer-uri", NULL,
		lt_link_uri(link));
	if (id > 0)
		ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "job-id", id);
	return request;
}

/* The same in all: only the owner of a job may cancel it. */
static void add_user(ipp_t *request, const struct lt_link *link)
{
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "requesting-user-name", NULL,
		lt_way_user(link));
}

static int hundredths(double mm)
{
	return (int)lround(mm * 100);
}

/* What the printer itself calls a medium of just that size; or NULL. */
static const char *known_name(const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket)
{
	const struct lt_media *lists[] = { printer->ready, printer->known };
	const size_t counts[] = { printer->ready_count, printer->known_count };
	for (size_t k = 0; k < 2; k++) {
		for (size_t i = 0; i < counts[k]; i++) {
			const struct lt_media *media = &lists[k][i];
			if (media->name != NULL && fabs(media->width - ticket->width) < 0.005 &&
				fabs(media->height - ticket->height) < 0.005)
				return media->name;
		}
	}
	return NULL;
}

/* The medium by its size (PWG 5100.7, media-col), or by its self-describing name. */
static void add_medium(ipp_t *request, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket)
{
	int width = hundredths(ticket->width);
	int height = hundredths(ticket->height);
	if (width <= 0 || height <= 0)
		return;
	if (!printer->media_col) {
		const char *known = known_name(printer, ticket);
		struct lt_text own = { 0 };
		if (known == NULL)
			lt_media_name_write(&own, ticket->width, ticket->height);
		ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "media", NULL,
			known != NULL ? known : lt_text_string(&own));
		lt_text_finish(&own);
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
	int finishing = 0;
	if (trim == LT_TRIM_PAGES)
		finishing = IPP_FINISHINGS_TRIM_AFTER_PAGES;
	else if (trim == LT_TRIM_DOCUMENTS)
		finishing = IPP_FINISHINGS_TRIM_AFTER_DOCUMENTS;
	else if (trim == LT_TRIM_JOB)
		finishing = IPP_FINISHINGS_TRIM_AFTER_JOB;
	else if (trim == LT_TRIM_ANY)
		finishing = IPP_FINISHINGS_TRIM;
	if (finishing != 0)
		ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_ENUM, "finishings", finishing);
}

/* What the job is to be like. Copies are drawn as pages, so that their order is ours. */
static void add_template(ipp_t *request, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket)
{
	ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_INTEGER, "copies", 1);
	/* Labels are read by machines. */
	if (printer->quality > 0)
		ippAddInteger(request, IPP_TAG_JOB, IPP_TAG_ENUM, "print-quality",
			printer->quality);
	/* A sheet that is fitted into its margins (PWG 5100.13, print-scaling) is printed beside
	 * its labels. */
	if (printer->unscaled && ticket->format == LT_FORMAT_PDF)
		ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "print-scaling", NULL, "none");
	if (ticket->dpi > 0 && ticket->format == LT_FORMAT_PWG)
		ippAddResolution(request, IPP_TAG_JOB, "printer-resolution", IPP_RES_PER_INCH,
			(int)ticket->dpi, (int)ticket->dpi);
	add_medium(request, printer, ticket);
	add_trim(request, ticket->trim);
}

static void add_format(ipp_t *request, const struct lt_print_job_ticket *ticket)
{
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_MIMETYPE, "document-format", NULL,
		lt_format_type(ticket->format));
}

static int read_id(ipp_t *answer)
{
	ipp_attribute_t *id = ippFindAttribute(answer, "job-id", IPP_TAG_INTEGER);
	int value = id != NULL ? ippGetInteger(id, 0) : 0;
	return value > 0 ? value : 0;
}

/* One request with the document behind it, where the printer knows no other way. */
static bool print_at_once(int *id, struct lt_sent *sent, struct lt_link *link,
	const struct lt_printer *printer, const struct lt_print_job_ticket *ticket, FILE *stream,
	struct lt_diags *diags)
{
	ipp_t *request = begin_request(IPP_OP_PRINT_JOB, link, 0);
	add_user(request, link);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "job-name", NULL, ticket->name);
	add_format(request, ticket);
	add_template(request, printer, ticket);
	ipp_t *asked = ippNew();
	ippCopyAttributes(asked, request, 0, NULL, NULL);
	ipp_t *answer = lt_link_send(link, request, stream, sent, diags);
	*id = answer != NULL ? read_id(answer) : 0;
	bool good = answer != NULL;
	/* It was asked before, and warnings were told; but it may say only now what matters. */
	struct lt_diags heard;
	lt_diags_init(&heard);
	if (good && !lt_way_heeded(link, asked, answer, &heard)) {
		sent->refused = true;
		good = lt_way_heeded(link, asked, answer, diags);
	}
	lt_diags_finish(&heard);
	ippDelete(asked);
	ippDelete(answer);
	return good;
}

/* The job first, so that its number is known whatever becomes of the document. */
static bool create_job(int *id, struct lt_link *link, const struct lt_printer *printer,
	const struct lt_print_job_ticket *ticket, struct lt_diags *diags)
{
	ipp_t *request = begin_request(IPP_OP_CREATE_JOB, link, 0);
	add_user(request, link);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "job-name", NULL, ticket->name);
	add_template(request, printer, ticket);
	const char *what = "a new job";
	ipp_t *answer = lt_way_request(link, request, what, false, diags);
	bool good = answer != NULL && lt_way_status(link, answer, what, diags);
	if (answer == NULL && link->halted)
		lt_hint(diags, "an empty job may wait at the printer");
	*id = good ? read_id(answer) : 0;
	/* A job that would be printed otherwise gets no document. */
	bool heeded = good && *id > 0 && lt_way_heeded(link, request, answer, diags);
	ippDelete(answer);
	ippDelete(request);
	if (!good || *id > 0)
		return heeded;
	lt_error(diags, lt_place_none(), "the printer took a job and did not say its number");
	lt_hint(diags, "nothing was printed; see whether an empty job waits at the printer");
	return false;
}

bool lt_print_job_send(int *id, struct lt_sent *sent, struct lt_link *link,
	const struct lt_printer *printer, const struct lt_print_job_ticket *ticket, FILE *stream,
	struct lt_diags *diags)
{
	*id = 0;
	*sent = (struct lt_sent){ 0 };
	if (!printer->create_job)
		return print_at_once(id, sent, link, printer, ticket, stream, diags);
	if (!create_job(id, link, printer, ticket, diags))
		return false;
	ipp_t *request = begin_request(IPP_OP_SEND_DOCUMENT, link, *id);
	add_user(request, link);
	add_format(request, ticket);
	ippAddBoolean(request, IPP_TAG_OPERATION, "last-document", 1);
	ipp_t *answer = lt_link_send(link, request, stream, sent, diags);
	bool good = answer != NULL;
	ippDelete(answer);
	return good;
}

static enum lt_print_job_state read_state(ipp_t *answer)
{
	ipp_attribute_t *state = ippFindAttribute(answer, "job-state", IPP_TAG_ENUM);
	switch (state != NULL ? ippGetInteger(state, 0) : 0) {
	case IPP_JSTATE_PROCESSING:
		return LT_PRINT_JOB_PRINTING;
	case IPP_JSTATE_STOPPED:
		return LT_PRINT_JOB_STOPPED;
	case IPP_JSTATE_CANCELED:
		return LT_PRINT_JOB_CANCELED;
	case IPP_JSTATE_ABORTED:
		return LT_PRINT_JOB_ABORTED;
	case IPP_JSTATE_COMPLETED:
		return LT_PRINT_JOB_DONE;
	default:
		return LT_PRINT_JOB_WAITING;
	}
}

/* Copies a text of the printer's, with no control characters. */
static const char *copy_clean(struct lt_print_job_status *out, const char *text)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, text, strnlen(text, 1023));
	const char *copy = lt_arena_strdup(&out->arena, lt_text_string(&clean));
	lt_text_finish(&clean);
	return copy;
}

/* Adds the reasons of an attribute that are not there yet. */
static void add_reasons(struct lt_print_job_status *out, ipp_t *answer, const char *name)
{
	ipp_attribute_t *reasons = ippFindAttribute(answer, name, IPP_TAG_KEYWORD);
	int count = reasons != NULL ? ippGetCount(reasons) : 0;
	for (int i = 0; i < count && out->reason_count < REASONS_MOST; i++) {
		const char *reason = ippGetString(reasons, i, NULL);
		bool known = reason == NULL || strcmp(reason, "none") == 0;
		for (size_t k = 0; !known && k < out->reason_count; k++)
			known = strcmp(out->reasons[k], reason) == 0;
		if (!known)
			out->reasons[out->reason_count++] = copy_clean(out, reason);
	}
}

static void read_message(struct lt_print_job_status *out, ipp_t *answer, const char *name)
{
	ipp_attribute_t *message = ippFindAttribute(answer, name, IPP_TAG_TEXT);
	const char *text = message != NULL ? ippGetString(message, 0, NULL) : NULL;
	if (out->message == NULL && text != NULL && text[0] != '\0')
		out->message = copy_clean(out, text);
}

static void ask_for(ipp_t *request, const char *const *names, int count)
{
	ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", count,
		NULL, names);
}

static bool ask_job(struct lt_print_job_status *out, struct lt_link *link, int id,
	struct lt_diags *diags)
{
	static const char *const names[] = { "job-state", "job-state-reasons",
		"job-impressions-completed", "job-state-message" };
	ipp_t *request = begin_request(IPP_OP_GET_JOB_ATTRIBUTES, link, id);
	add_user(request, link);
	ask_for(request, names, sizeof(names) / sizeof(names[0]));
	ipp_t *answer = lt_way_request(link, request, "the job", true, diags);
	ippDelete(request);
	if (answer == NULL)
		return false;
	ipp_status_t status = ippGetStatusCode(answer);
	bool forgotten = status == IPP_STATUS_ERROR_NOT_FOUND || status == IPP_STATUS_ERROR_GONE;
	out->state = forgotten ? LT_PRINT_JOB_FORGOTTEN : read_state(answer);
	if (forgotten || !lt_way_status(link, answer, "the job", diags)) {
		ippDelete(answer);
		return forgotten;
	}
	if (ippFindAttribute(answer, "job-state", IPP_TAG_ENUM) == NULL) {
		ippDelete(answer);
		lt_error(diags, lt_way_place(link), "the printer does not say how far the job is");
		return false;
	}
	ipp_attribute_t *done =
		ippFindAttribute(answer, "job-impressions-completed", IPP_TAG_INTEGER);
	out->impressions =
		done != NULL && ippGetInteger(done, 0) >= 0 ? ippGetInteger(done, 0) : -1;
	add_reasons(out, answer, "job-state-reasons");
	out->job_reason_count = out->reason_count;
	for (size_t i = 0; i < out->reason_count; i++)
		out->incomplete = out->incomplete || strcmp(out->reasons[i], "job-incoming") == 0 ||
				  strcmp(out->reasons[i], "job-data-insufficient") == 0;
	read_message(out, answer, "job-state-message");
	ippDelete(answer);
	return true;
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
	if (lt_print_job_is_over(out->state))
		return true;
	ipp_t *request = begin_request(IPP_OP_GET_PRINTER_ATTRIBUTES, link, 0);
	ask_for(request, names, sizeof(names) / sizeof(names[0]));
	/* How far the job is counts also where the printer does not tell of itself. */
	struct lt_diags unheard;
	lt_diags_init(&unheard);
	ipp_t *answer = lt_link_ask(link, request, "the printer's state", true, &unheard);
	lt_diags_finish(&unheard);
	if (answer == NULL)
		return true;
	ipp_attribute_t *state = ippFindAttribute(answer, "printer-state", IPP_TAG_ENUM);
	out->idle = state != NULL && ippGetInteger(state, 0) == IPP_PSTATE_IDLE;
	add_reasons(out, answer, "printer-state-reasons");
	read_message(out, answer, "printer-state-message");
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

bool lt_print_job_cancel(struct lt_link *link, int id, struct lt_diags *diags)
{
	ipp_t *request = begin_request(IPP_OP_CANCEL_JOB, link, id);
	add_user(request, link);
	struct lt_diags told;
	lt_diags_init(&told);
	ipp_t *answer = lt_link_ask(link, request, "the end of the job", false, &told);
	bool good = answer != NULL;
	ippDelete(answer);
	if (!good) {
		/* What cannot be cancelled because it is over needs no cancelling. */
		struct lt_print_job_status status;
		struct lt_diags unheard;
		lt_diags_init(&unheard);
		good = lt_print_job_ask(&status, link, id, &unheard) &&
		       lt_print_job_is_over(status.state);
		lt_print_job_status_finish(&status);
		lt_diags_finish(&unheard);
	}
	if (!good && told.count > 0)
		lt_error(diags, lt_place_none(), "%s", told.items[told.count - 1].message);
	lt_diags_finish(&told);
	return good;
}
