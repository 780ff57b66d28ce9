/* Requests and their answers. libcups' own functions for this send a document again when they are
 * refused or cut off; here each step is done separately, and no document is sent twice. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "print/deadline.h"
#include "print/ipp.h"
#include "print/link.h"

#define BLOCK 32768
/* An answer that arrives little by little may take this many times as long as one wait. */
#define WAITS_MOST 4

/* What became of a request. */
struct reply {
	http_status_t status; /* HTTP_STATUS_ERROR: the connection broke */
	ipp_t *answer;
	bool began;    /* some of the document may have been sent */
	bool sent;     /* all of it was sent */
	bool unread;   /* the document could not be read here */
	bool cut;      /* the answer ended before its end */
	bool nonsense; /* what came back is not an answer over IPP */
};

/* Seconds that an answer, or a block of a document, may take in all. */
static double patience(const struct lt_link *link)
{
	return WAITS_MOST * link->options.answer_ms / 1000.0;
}

/* Reads the body of an answer. */
static ipp_t *read_answer(struct lt_link *link, bool *cut)
{
	char *bytes = NULL;
	size_t room = 0;
	size_t length = 0;
	ssize_t got = 0;
	do {
		bytes = lt_grow(bytes, &room, length + BLOCK, 1);
		got = httpRead2(link->http, bytes + length, BLOCK);
		length += got > 0 ? (size_t)got : 0;
		link->quiet_ms = 0;
	} while (got > 0 && length <= LT_ANSWER_MAX);
	ipp_t *answer = got == 0 ? lt_answer_parse(bytes, length) : NULL;
	/* By the length that its head promised, where the head came whole. */
	const char *promised = httpGetField(link->http, HTTP_FIELD_CONTENT_LENGTH);
	*cut = answer == NULL && (length == 0 || got < 0 || length < strtoul(promised, NULL, 10));
	free(bytes);
	return answer;
}

/* Writes the request itself. */
static bool write_request(struct lt_link *link, ipp_t *request, bool document)
{
	http_t *http = link->http;
	httpClearFields(http);
	httpSetField(http, HTTP_FIELD_CONTENT_TYPE, "application/ipp");
	httpSetField(http, HTTP_FIELD_AUTHORIZATION, httpGetAuthString(http));
	/* A printer that would refuse says so before it is sent a document. */
	httpSetExpect(http, document ? HTTP_STATUS_CONTINUE : HTTP_STATUS_NONE);
	httpSetLength(http, document ? 0 : ippLength(request));
	if (httpPost(http, link->resource) != 0)
		return false;
	ippSetVersion(request, link->version / 10, link->version % 10);
	ippSetState(request, IPP_STATE_IDLE);
	ipp_state_t state;
	do
		state = ippWrite(http, request);
	while (state != IPP_STATE_DATA && state != IPP_STATE_ERROR);
	return state == IPP_STATE_DATA;
}

/* Reads what the printer says before it has everything. True when it says nothing, or that the
 * document may continue. */
static bool document_may_continue(struct lt_link *link, struct reply *reply, int milliseconds)
{
	while (httpWait(link->http, milliseconds)) {
		reply->status = httpUpdate(link->http);
		if (reply->status != HTTP_STATUS_CONTINUE)
			return false;
		milliseconds = 0;
	}
	return true;
}

/* Sends a block of the document, the last one with a length of 0. */
static bool write_block(struct lt_link *link, const char *block, size_t length,
	struct deadline *deadline, struct reply *reply)
{
	reply->began = true;
	link->quiet_ms = 0;
	lt_deadline_restart(deadline, patience(link));
	return httpWrite2(link->http, block, length) >= 0;
}

/* Sends the document, as far as the printer accepts it. False when the connection breaks, or must
 * be broken so that the printer cannot mistake a part for the whole. */
static bool write_document(struct lt_link *link, FILE *stream, struct deadline *deadline,
	struct reply *reply)
{
	enum { CONTINUE_MS = 1000 };
	if (httpFlushWrite(link->http) < 0)
		return false;
	if (!document_may_continue(link, reply, CONTINUE_MS))
		return true;
	char block[BLOCK];
	size_t got;
	while ((got = fread(block, 1, sizeof(block), stream)) > 0) {
		if (!lt_link_may_continue(link) || !write_block(link, block, got, deadline, reply))
			return false;
		if (!document_may_continue(link, reply, 0))
			return true;
	}
	reply->unread = ferror(stream) != 0;
	if (reply->unread || !lt_link_may_continue(link))
		return false;
	reply->sent = write_block(link, "", 0, deadline, reply) && httpFlushWrite(link->http) >= 0;
	return reply->sent;
}

/* Reads what comes back, as far as it is an answer to the request. */
static void read_reply(struct lt_link *link, ipp_t *request, struct reply *reply)
{
	link->quiet_ms = 0;
	while (reply->status == HTTP_STATUS_CONTINUE)
		reply->status = httpUpdate(link->http);
	if (reply->status != HTTP_STATUS_OK)
		return;
	reply->answer = read_answer(link, &reply->cut);
	if (reply->answer != NULL && ippGetRequestId(reply->answer) != ippGetRequestId(request)) {
		ippDelete(reply->answer);
		reply->answer = NULL;
	}
}

/* One request over the connection that there is. */
static void exchange(struct lt_link *link, ipp_t *request, FILE *stream, struct reply *reply)
{
	*reply = (struct reply){ .status = HTTP_STATUS_CONTINUE };
	link->timed_out = false;
	link->quiet_ms = 0;
	struct deadline deadline;
	lt_deadline_begin(&deadline, httpGetFd(link->http), patience(link));
	if (!write_request(link, request, stream != NULL) ||
		(stream != NULL && !write_document(link, stream, &deadline, reply)))
		reply->status = HTTP_STATUS_ERROR;
	read_reply(link, request, reply);
	if (lt_deadline_end(&deadline) && reply->answer == NULL)
		link->timed_out = true;
	if (link->halted && reply->answer == NULL) {
		/* What is buffered must not be sent, and nobody waits for an answer. */
		lt_link_break(link);
		return;
	}
	reply->nonsense = reply->status == HTTP_STATUS_OK && reply->answer == NULL &&
			  !link->timed_out && !reply->cut;
	if (reply->answer != NULL)
		link->asked = 0;
	/* Anything else that comes over this connection would be read as the next answer. */
	link->connected = reply->answer != NULL && !deadline.expired &&
			  !lt_same_word(httpGetField(link->http, HTTP_FIELD_CONNECTION), "close");
}

/* Adds an error that says what failed and why. `reason` is a clause that can stand alone. */
static void report(struct lt_link *link, enum lt_purpose purpose, const char *reason,
	struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	switch (purpose) {
	case LT_PURPOSE_ASK:
		lt_error(diags, place, "%s", reason);
		break;
	case LT_PURPOSE_CREATE_JOB:
		lt_error(diags, place, "cannot create a job: %s", reason);
		break;
	case LT_PURPOSE_SEND_DOCUMENT:
		lt_error(diags, place, "cannot send the document: %s", reason);
		break;
	}
}

/* A request that got no answer. */
static void report_broken(struct lt_link *link, const struct reply *reply, enum lt_purpose purpose,
	struct lt_diags *diags)
{
	const char *reason = "the connection broke before an answer came";
	const double seconds = link->options.answer_ms / 1000.0;
	if (link->halted && reply->sent)
		reason = "interrupted before an answer came";
	else if (link->halted && reply->began)
		reason = "interrupted before the document was sent completely";
	else if (link->halted)
		reason = "interrupted before the printer accepted the request";
	else if (reply->unread)
		reason = lt_arena_printf(&diags->arena, "the document cannot be read: %s",
			strerror(errno));
	else if (link->timed_out && reply->began && !reply->sent)
		reason = lt_arena_printf(&diags->arena,
			"the printer accepted no more data for %g seconds", seconds);
	else if (link->timed_out)
		reason = lt_arena_printf(&diags->arena,
			"the printer does not answer within %g seconds", seconds);
	else if (reply->nonsense)
		reason = "the answer of the printer is not IPP";
	else if (reply->began && !reply->sent)
		reason = "the connection broke before the document was sent completely";
	report(link, purpose, reason, diags);
}

/* An answer of HTTP that is not an answer over IPP. */
static void report_http(struct lt_link *link, http_status_t status, enum lt_purpose purpose,
	struct lt_diags *diags)
{
	struct lt_arena *arena = &diags->arena;
	if (status == HTTP_STATUS_UNAUTHORIZED) {
		report(link, purpose, "the printer asks for the password again", diags);
	} else if (status == HTTP_STATUS_FORBIDDEN) {
		report(link, purpose,
			lt_arena_printf(arena, "the printer does not allow user \"%s\" to do this",
				lt_link_user(link)),
			diags);
	} else if (status == HTTP_STATUS_NOT_FOUND) {
		report(link, purpose,
			lt_arena_printf(arena, "there is no printer at %s on %s", link->resource,
				link->host),
			diags);
		lt_hint(diags, "most printers use ipp://%s/ipp/print", link->host);
	} else if (status == HTTP_STATUS_REQUEST_TOO_LARGE) {
		report(link, purpose, "the job is too large for the printer", diags);
	} else if (status == HTTP_STATUS_UPGRADE_REQUIRED) {
		report(link, purpose, "the printer needs an encrypted connection", diags);
		lt_hint(diags, "use ipps://%s", link->host);
	} else {
		report(link, purpose,
			lt_arena_printf(arena, "the printer refuses (HTTP status %d, %s)",
				(int)status, httpStatus(status)),
			diags);
	}
}

/* Prepares to send a request again that was refused before its document began. False, with an
 * error, when that would be of no use. */
static bool prepare_again(struct lt_link *link, http_status_t status, enum lt_purpose purpose,
	struct lt_diags *diags)
{
	if (status == HTTP_STATUS_UNAUTHORIZED)
		return lt_link_authenticate(link, diags) && lt_link_connect(link, diags);
	if (status == HTTP_STATUS_UPGRADE_REQUIRED && !httpIsEncrypted(link->http)) {
		lt_link_break(link);
		link->encryption = HTTP_ENCRYPTION_REQUIRED;
		return lt_link_connect(link, diags);
	}
	report_http(link, status, purpose, diags);
	return false;
}

static bool is_broken(const struct lt_link *link, const struct reply *reply)
{
	return link->halted || link->timed_out || reply->nonsense ||
	       reply->status == HTTP_STATUS_ERROR || reply->status == HTTP_STATUS_OK;
}

/* Requests until there is an answer, or another request is of no use. */
static ipp_t *request_all(struct lt_link *link, ipp_t *request, FILE *stream,
	enum lt_purpose purpose, bool again, struct reply *reply, struct lt_diags *diags)
{
	enum { TIMES = 8 };
	*reply = (struct reply){ .status = HTTP_STATUS_ERROR };
	/* A request without a document is sent in any case: it may be the one that cancels the job.
	 */
	link->halted = false;
	if (stream != NULL && !lt_link_may_continue(link)) {
		report_broken(link, reply, purpose, diags);
		return NULL;
	}
	/* The other end may close an old connection at any time. What must not be sent twice gets
	 * a new one. */
	if ((!link->connected || !again) && !lt_link_connect(link, diags))
		return NULL;
	bool broken = false;
	for (int i = 0; i < TIMES; i++) {
		exchange(link, request, stream, reply);
		if (reply->answer != NULL)
			return reply->answer;
		broken = is_broken(link, reply);
		if (broken && again && !link->halted && !link->timed_out && !reply->nonsense) {
			again = false;
			if (!lt_link_connect(link, diags))
				return NULL;
		} else if (broken || reply->began) {
			break;
		} else if (!prepare_again(link, reply->status, purpose, diags)) {
			return NULL;
		}
	}
	if (broken || (reply->began && reply->status < HTTP_STATUS_BAD_REQUEST))
		report_broken(link, reply, purpose, diags);
	else
		report_http(link, reply->status, purpose, diags);
	return NULL;
}

ipp_t *lt_link_begin_request(const struct lt_link *link, ipp_op_t operation, int id)
{
	ipp_t *request = ippNewRequest(operation);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_URI, "printer-uri", NULL, link->uri);
	if (id > 0)
		ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "job-id", id);
	ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "requesting-user-name", NULL,
		lt_link_user(link));
	return request;
}

ipp_t *lt_link_request(struct lt_link *link, ipp_t *request, enum lt_purpose purpose, bool again,
	struct lt_diags *diags)
{
	struct reply reply;
	ipp_t *answer = request_all(link, request, NULL, purpose, again, &reply, diags);
	if (answer != NULL && link->version > 11 &&
		ippGetStatusCode(answer) == IPP_STATUS_ERROR_VERSION_NOT_SUPPORTED) {
		ippDelete(answer);
		link->version = 11;
		answer = request_all(link, request, NULL, purpose, again, &reply, diags);
	}
	return answer;
}

ipp_t *lt_link_attributes(struct lt_link *link, int id, const char *const *names, size_t count,
	struct lt_diags *diags)
{
	ipp_op_t operation = id > 0 ? IPP_OP_GET_JOB_ATTRIBUTES : IPP_OP_GET_PRINTER_ATTRIBUTES;
	ipp_t *request = lt_link_begin_request(link, operation, id);
	ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes",
		(int)count, NULL, names);
	ipp_t *answer = lt_link_request(link, request, LT_PURPOSE_ASK, true, diags);
	ippDelete(request);
	return answer;
}

/* What an IPP status of an error means (RFC 8011, appendix B). NULL for one that is not listed. */
static const char *meaning_of(ipp_status_t status)
{
	static const struct {
		ipp_status_t status;
		const char *meaning;
	} known[] = {
		{ IPP_STATUS_ERROR_FORBIDDEN, "the printer does not allow this" },
		{ IPP_STATUS_ERROR_NOT_AUTHENTICATED, "the printer needs a password" },
		{ IPP_STATUS_ERROR_NOT_AUTHORIZED, "this user is not allowed to do this" },
		{ IPP_STATUS_ERROR_NOT_POSSIBLE, "the printer cannot do this now" },
		{ IPP_STATUS_ERROR_NOT_FOUND, "the printer or job was not found" },
		{ IPP_STATUS_ERROR_REQUEST_ENTITY, "the job is too large for the printer" },
		{ IPP_STATUS_ERROR_DOCUMENT_FORMAT_NOT_SUPPORTED,
			"the printer does not accept this format" },
		{ IPP_STATUS_ERROR_DOCUMENT_FORMAT_ERROR, "the printer cannot read the document" },
		{ IPP_STATUS_ERROR_ATTRIBUTES_OR_VALUES,
			"the printer does not accept a setting of the job" },
		{ IPP_STATUS_ERROR_OPERATION_NOT_SUPPORTED, "the printer cannot do this" },
		{ IPP_STATUS_ERROR_SERVICE_UNAVAILABLE, "the printer is not available now" },
		{ IPP_STATUS_ERROR_DEVICE, "the printer has a fault" },
		{ IPP_STATUS_ERROR_TEMPORARY, "the printer has a temporary fault" },
		{ IPP_STATUS_ERROR_NOT_ACCEPTING_JOBS, "the printer does not accept jobs" },
		{ IPP_STATUS_ERROR_BUSY, "the printer is busy" },
		{ IPP_STATUS_ERROR_JOB_CANCELED, "the job was cancelled" },
		{ IPP_STATUS_ERROR_VERSION_NOT_SUPPORTED,
			"the printer supports neither IPP 2.0 nor IPP 1.1" },
	};
	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++) {
		if (known[i].status == status)
			return known[i].meaning;
	}
	return NULL;
}

/* The printer's own message, cleaned and cut; NULL where there is none. */
static const char *message_of(ipp_t *answer, struct lt_arena *arena)
{
	enum { SHOWN = 200 };
	ipp_attribute_t *found = ippFindAttribute(answer, "status-message", IPP_TAG_TEXT);
	const char *message = found != NULL ? ippGetString(found, 0, NULL) : NULL;
	if (message == NULL || message[0] == '\0')
		return NULL;
	struct lt_text text = { 0 };
	lt_text_add_clean(&text, message, strnlen(message, SHOWN));
	const char *clean = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return clean;
}

bool lt_link_status(struct lt_link *link, ipp_t *answer, enum lt_purpose purpose,
	struct lt_diags *diags)
{
	ipp_status_t status = ippGetStatusCode(answer);
	if (answer == NULL)
		return false;
	if (status >= IPP_STATUS_OK && status < IPP_STATUS_REDIRECTION_OTHER_SITE)
		return true;
	const char *reason = meaning_of(status);
	if (reason == NULL)
		reason = lt_arena_printf(&diags->arena, "the printer refuses (IPP status 0x%04x)",
			(unsigned)status);
	const char *message = message_of(answer, &diags->arena);
	if (message != NULL)
		reason = lt_arena_printf(&diags->arena, "%s (\"%s\")", reason, message);
	report(link, purpose, reason, diags);
	return false;
}

/* Asks whether the printer would accept the job. So it gets its password, and says what it will not
 * do, before the document is sent. */
static bool validate(struct lt_link *link, ipp_t *request, enum lt_purpose purpose,
	struct lt_diags *diags)
{
	ipp_t *question = ippNew();
	ippSetOperation(question, IPP_OP_VALIDATE_JOB);
	ippSetRequestId(question, ippGetRequestId(request) + 1);
	ippCopyAttributes(question, request, 0, NULL, NULL);
	ipp_t *answer = lt_link_request(link, question, purpose, true, diags);
	bool good = ippGetStatusCode(answer) == IPP_STATUS_ERROR_OPERATION_NOT_SUPPORTED ||
		    (lt_link_status(link, answer, purpose, diags) &&
			    lt_answer_accepts_all(link, question, answer, true, diags));
	ippDelete(question);
	ippDelete(answer);
	return good;
}

/* An answer after which the job should not be printed. Other errors report a fault that may have
 * come in the middle of the job, and that may pass. */
static bool is_refusal(ipp_status_t status)
{
	switch (status) {
	case IPP_STATUS_ERROR_OPERATION_NOT_SUPPORTED:
	case IPP_STATUS_ERROR_SERVICE_UNAVAILABLE:
	case IPP_STATUS_ERROR_VERSION_NOT_SUPPORTED:
	case IPP_STATUS_ERROR_NOT_ACCEPTING_JOBS:
	case IPP_STATUS_ERROR_BUSY:
		return true;
	case IPP_STATUS_ERROR_DOCUMENT_FORMAT_ERROR:
	case IPP_STATUS_ERROR_DOCUMENT_UNPRINTABLE:
	case IPP_STATUS_ERROR_COMPRESSION_ERROR:
		return false;
	default:
		return status >= IPP_STATUS_ERROR_BAD_REQUEST && status < IPP_STATUS_ERROR_INTERNAL;
	}
}

/* An answer that holds for a whole document, not for some place in it. */
static bool is_unfit(const struct reply *reply)
{
	if (reply->answer == NULL)
		return reply->status == HTTP_STATUS_REQUEST_TOO_LARGE;
	ipp_status_t status = ippGetStatusCode(reply->answer);
	return status == IPP_STATUS_ERROR_DOCUMENT_FORMAT_NOT_SUPPORTED ||
	       status == IPP_STATUS_ERROR_REQUEST_ENTITY;
}

ipp_t *lt_link_send(struct lt_link *link, ipp_t *request, FILE *stream, struct lt_sent *sent,
	struct lt_diags *diags)
{
	const enum lt_purpose purpose = LT_PURPOSE_SEND_DOCUMENT;
	*sent = (struct lt_sent){ 0 };
	ipp_t *answer = NULL;
	struct reply reply = { 0 };
	bool makes_job = ippGetOperation(request) == IPP_OP_PRINT_JOB;
	if (!makes_job || validate(link, request, purpose, diags)) {
		answer = request_all(link, request, stream, purpose, false, &reply, diags);
		sent->began = reply.began;
		sent->whole = reply.sent;
		sent->refused = answer != NULL ? is_refusal(ippGetStatusCode(answer))
					       : reply.status >= HTTP_STATUS_BAD_REQUEST &&
							 reply.status < HTTP_STATUS_SERVER_ERROR;
		sent->unfit = is_unfit(&reply);
	}
	if (!lt_link_status(link, answer, purpose, diags)) {
		ippDelete(answer);
		answer = NULL;
	}
	/* The warnings were given when it was asked before; but it may say only now what matters.
	 */
	if (makes_job && answer != NULL)
		sent->refused = !lt_answer_accepts_all(link, request, answer, false, diags);
	ippDelete(request);
	return answer;
}
