/* Requests and their answers. libcups' own functions for this send a document again when they are
 * refused or cut off; here each step is taken by hand, and no document goes out twice. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "print/deadline.h"
#include "print/ipp.h"
#include "print/link.h"

#define BLOCK 32768
/* An answer that drips in may take so many times what one wait may. */
#define DRIPS 4

/* What became of a request. */
struct reply {
	http_status_t status; /* HTTP_STATUS_ERROR: the connection broke */
	ipp_t *answer;
	bool began;    /* some of the document may have gone out */
	bool sent;     /* all of it did */
	bool unread;   /* the document could not be read here */
	bool cut;      /* the answer ended before its end */
	bool nonsense; /* what came back is no answer over IPP */
};

/* Seconds that an answer, or a block of a document, may take in all. */
static double patience(const struct lt_link *link)
{
	return DRIPS * link->options.answer_ms / 1000.0;
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
	/* By what its head promised, where that came whole. */
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

/* Takes what the printer says before it has everything. True when it says nothing, or to go on. */
static bool may_go_on(struct lt_link *link, struct reply *reply, int milliseconds)
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
	lt_deadline_again(deadline, patience(link));
	return httpWrite2(link->http, block, length) >= 0;
}

/* Sends the document, as far as the printer takes it. False when the connection breaks, or is to be
 * broken so that the printer cannot take a part for the whole. */
static bool write_document(struct lt_link *link, FILE *stream, struct deadline *deadline,
	struct reply *reply)
{
	enum { CONTINUE_MS = 1000 };
	if (httpFlushWrite(link->http) < 0)
		return false;
	if (!may_go_on(link, reply, CONTINUE_MS))
		return true;
	char block[BLOCK];
	size_t got;
	while ((got = fread(block, 1, sizeof(block), stream)) > 0) {
		if (!lt_link_goes_on(link) || !write_block(link, block, got, deadline, reply))
			return false;
		if (!may_go_on(link, reply, 0))
			return true;
	}
	reply->unread = ferror(stream) != 0;
	if (reply->unread || !lt_link_goes_on(link))
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
		/* Nothing more may go out of what is buffered, and nothing is waited for. */
		lt_link_break(link);
		return;
	}
	reply->nonsense = reply->status == HTTP_STATUS_OK && reply->answer == NULL &&
			  !link->timed_out && !reply->cut;
	if (reply->answer != NULL)
		link->asked = 0;
	/* Whatever else comes over this connection would be taken for the next answer. */
	link->connected = reply->answer != NULL && !deadline.rang &&
			  !lt_same_word(httpGetField(link->http, HTTP_FIELD_CONNECTION), "close");
}

static void tell_broken(struct lt_link *link, const struct reply *reply, const char *what,
	struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	if (link->halted)
		lt_error(diags, place, "%s: interrupted before %s", what,
			reply->sent    ? "an answer came"
			: reply->began ? "all of it was sent"
				       : "the printer took it");
	else if (reply->unread)
		lt_error(diags, place, "what is to be printed could not be read: %s",
			strerror(errno));
	else if (link->timed_out && reply->began && !reply->sent)
		lt_error(diags, place, "%s: the printer took nothing more for %g seconds", what,
			link->options.answer_ms / 1000.0);
	else if (link->timed_out)
		lt_error(diags, place, "%s: the printer does not answer within %g seconds", what,
			link->options.answer_ms / 1000.0);
	else if (reply->nonsense)
		lt_error(diags, place, "%s: what the printer answers is not IPP", what);
	else if (reply->began && !reply->sent)
		lt_error(diags, place, "%s: the connection broke while it was being sent", what);
	else
		lt_error(diags, place, "%s: the connection broke before an answer came", what);
}

/* An answer of HTTP that is no answer over IPP. */
static void tell_http(struct lt_link *link, http_status_t status, const char *what,
	struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	if (status == HTTP_STATUS_UNAUTHORIZED) {
		lt_error(diags, place, "%s: the printer wants the password again", what);
	} else if (status == HTTP_STATUS_FORBIDDEN) {
		lt_error(diags, place, "%s: the printer does not let user \"%s\" do this", what,
			lt_link_user(link));
	} else if (status == HTTP_STATUS_NOT_FOUND) {
		lt_error(diags, place, "%s: there is no printer at %s on %s", what, link->resource,
			link->host);
		lt_hint(diags, "most printers are at ipp://%s/ipp/print", link->host);
	} else if (status == HTTP_STATUS_REQUEST_TOO_LARGE) {
		lt_error(diags, place, "%s: it is too large for the printer", what);
	} else if (status == HTTP_STATUS_UPGRADE_REQUIRED) {
		lt_error(diags, place, "%s: the printer wants an encrypted connection", what);
		lt_hint(diags, "name it as ipps://…");
	} else {
		lt_error(diags, place, "%s: the printer refuses (HTTP status %d, %s)", what,
			(int)status, httpStatus(status));
	}
}

/* Makes ready for the same request again, after one that was refused before its document began.
 * False when there is no use in it; an error has been told. */
static bool make_good(struct lt_link *link, http_status_t status, const char *what,
	struct lt_diags *diags)
{
	if (status == HTTP_STATUS_UNAUTHORIZED)
		return lt_link_authenticate(link, diags) && lt_link_connect(link, diags);
	if (status == HTTP_STATUS_UPGRADE_REQUIRED && !httpIsEncrypted(link->http)) {
		lt_link_break(link);
		link->encryption = HTTP_ENCRYPTION_REQUIRED;
		return lt_link_connect(link, diags);
	}
	tell_http(link, status, what, diags);
	return false;
}

static bool is_broken(const struct lt_link *link, const struct reply *reply)
{
	return link->halted || link->timed_out || reply->nonsense ||
	       reply->status == HTTP_STATUS_ERROR || reply->status == HTTP_STATUS_OK;
}

/* Requests until there is an answer, or no use in going on. */
static ipp_t *request_all(struct lt_link *link, ipp_t *request, FILE *stream, const char *what,
	bool again, struct reply *reply, struct lt_diags *diags)
{
	enum { TIMES = 8 };
	*reply = (struct reply){ .status = HTTP_STATUS_ERROR };
	/* A request alone goes out in any case: it may be the one that cancels the job. */
	link->halted = false;
	if (stream != NULL && !lt_link_goes_on(link)) {
		tell_broken(link, reply, what, diags);
		return NULL;
	}
	/* An old connection may be closed at any time by the other end; what must not be asked
	 * twice gets one of its own. */
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
		} else if (!make_good(link, reply->status, what, diags)) {
			return NULL;
		}
	}
	if (broken || (reply->began && reply->status < HTTP_STATUS_BAD_REQUEST))
		tell_broken(link, reply, what, diags);
	else
		tell_http(link, reply->status, what, diags);
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

ipp_t *lt_link_request(struct lt_link *link, ipp_t *request, const char *what, bool again,
	struct lt_diags *diags)
{
	struct reply reply;
	ipp_t *answer = request_all(link, request, NULL, what, again, &reply, diags);
	if (answer != NULL && link->version > 11 &&
		ippGetStatusCode(answer) == IPP_STATUS_ERROR_VERSION_NOT_SUPPORTED) {
		ippDelete(answer);
		link->version = 11;
		answer = request_all(link, request, NULL, what, again, &reply, diags);
	}
	return answer;
}

ipp_t *lt_link_attributes(struct lt_link *link, int id, const char *const *names, size_t count,
	const char *what, struct lt_diags *diags)
{
	ipp_op_t operation = id > 0 ? IPP_OP_GET_JOB_ATTRIBUTES : IPP_OP_GET_PRINTER_ATTRIBUTES;
	ipp_t *request = lt_link_begin_request(link, operation, id);
	ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes",
		(int)count, NULL, names);
	ipp_t *answer = lt_link_request(link, request, what, true, diags);
	ippDelete(request);
	return answer;
}

/* Adds what the printer says in its own words, where it says anything. */
static void add_message(struct lt_text *text, ipp_t *answer)
{
	enum { SHOWN = 200 };
	ipp_attribute_t *found = ippFindAttribute(answer, "status-message", IPP_TAG_TEXT);
	const char *message = found != NULL ? ippGetString(found, 0, NULL) : NULL;
	if (message == NULL || message[0] == '\0')
		return;
	lt_text_add(text, ": ");
	lt_text_add_clean(text, message, strnlen(message, SHOWN));
}

bool lt_link_status(struct lt_link *link, ipp_t *answer, const char *what, struct lt_diags *diags)
{
	ipp_status_t status = ippGetStatusCode(answer);
	if (answer == NULL)
		return false;
	if (status >= IPP_STATUS_OK && status < IPP_STATUS_REDIRECTION_OTHER_SITE)
		return true;
	static const struct {
		ipp_status_t status;
		const char *words;
	} known[] = {
		{ IPP_STATUS_ERROR_FORBIDDEN, "the printer does not allow it" },
		{ IPP_STATUS_ERROR_NOT_AUTHENTICATED, "the printer wants a password" },
		{ IPP_STATUS_ERROR_NOT_AUTHORIZED, "this user may not" },
		{ IPP_STATUS_ERROR_NOT_POSSIBLE, "this is not possible now" },
		{ IPP_STATUS_ERROR_NOT_FOUND, "the printer knows of no such thing" },
		{ IPP_STATUS_ERROR_REQUEST_ENTITY, "it is too large for the printer" },
		{ IPP_STATUS_ERROR_DOCUMENT_FORMAT_NOT_SUPPORTED,
			"the printer does not take this format" },
		{ IPP_STATUS_ERROR_DOCUMENT_FORMAT_ERROR,
			"the printer cannot read what it was sent" },
		{ IPP_STATUS_ERROR_ATTRIBUTES_OR_VALUES,
			"the printer does not take what was asked of it" },
		{ IPP_STATUS_ERROR_OPERATION_NOT_SUPPORTED, "the printer cannot do this" },
		{ IPP_STATUS_ERROR_SERVICE_UNAVAILABLE, "the printer does not serve now" },
		{ IPP_STATUS_ERROR_DEVICE, "the printer has a fault" },
		{ IPP_STATUS_ERROR_TEMPORARY, "the printer has a fault that may pass" },
		{ IPP_STATUS_ERROR_NOT_ACCEPTING_JOBS, "the printer takes no jobs" },
		{ IPP_STATUS_ERROR_BUSY, "the printer is busy" },
		{ IPP_STATUS_ERROR_JOB_CANCELED, "the job was canceled" },
		{ IPP_STATUS_ERROR_VERSION_NOT_SUPPORTED, "the printer speaks no IPP that loomtag "
							  "speaks" },
	};
	struct lt_text text = { 0 };
	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++) {
		if (known[i].status == status)
			lt_text_add(&text, known[i].words);
	}
	if (text.length == 0)
		lt_text_printf(&text, "the printer refuses (IPP status 0x%04x)", (unsigned)status);
	add_message(&text, answer);
	lt_error(diags, lt_link_place(link), "%s: %s", what, lt_text_string(&text));
	lt_text_finish(&text);
	return false;
}

/* Asks whether the job would be taken: by that the printer gets its password, and says what it will
 * not do, before the document goes out. */
static bool validate(struct lt_link *link, ipp_t *request, const char *what, struct lt_diags *diags)
{
	ipp_t *question = ippNew();
	ippSetOperation(question, IPP_OP_VALIDATE_JOB);
	ippSetRequestId(question, ippGetRequestId(request) + 1);
	ippCopyAttributes(question, request, 0, NULL, NULL);
	ipp_t *answer = lt_link_request(link, question, what, true, diags);
	bool good = ippGetStatusCode(answer) == IPP_STATUS_ERROR_OPERATION_NOT_SUPPORTED ||
		    (lt_link_status(link, answer, what, diags) &&
			    lt_answer_takes_all(link, question, answer, true, diags));
	ippDelete(question);
	ippDelete(answer);
	return good;
}

/* An answer by which the job should not be printed. Other errors tell of a fault that may have come
 * in the middle of it, and pass. */
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
	const char *what = "the document";
	*sent = (struct lt_sent){ 0 };
	ipp_t *answer = NULL;
	struct reply reply = { 0 };
	bool makes_job = ippGetOperation(request) == IPP_OP_PRINT_JOB;
	if (!makes_job || validate(link, request, what, diags)) {
		answer = request_all(link, request, stream, what, false, &reply, diags);
		sent->began = reply.began;
		sent->whole = reply.sent;
		sent->refused = answer != NULL ? is_refusal(ippGetStatusCode(answer))
					       : reply.status >= HTTP_STATUS_BAD_REQUEST &&
							 reply.status < HTTP_STATUS_SERVER_ERROR;
		sent->unfit = is_unfit(&reply);
	}
	if (!lt_link_status(link, answer, what, diags)) {
		ippDelete(answer);
		answer = NULL;
	}
	/* It was asked before, and warnings were told; but it may say only now what matters. */
	if (makes_job && answer != NULL)
		sent->refused = !lt_answer_takes_all(link, request, answer, false, diags);
	ippDelete(request);
	return answer;
}
