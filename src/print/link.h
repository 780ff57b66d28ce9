/* The link to a printer, for the files that open it, reconnect it and use it. */
#ifndef LOOMTAG_PRINT_LINK_H
#define LOOMTAG_PRINT_LINK_H

#include "loomtag/print.h"

struct lt_link {
	struct lt_arena arena;
	struct lt_link_options options;
	const char *shown;    /* how the user named the printer */
	const char *uri;      /* what requests carry */
	const char *host;     /* or the path of a socket */
	const char *resource; /* what is posted to */
	int port;
	http_encryption_t encryption;
	http_t *http;
	bool queue;          /* of this machine's print service */
	bool announced;      /* found by name on the network, where any machine can use any name */
	bool unproven;       /* its certificate proves nothing */
	bool timed_out;      /* since it was last cleared */
	bool halted;         /* may_continue said no */
	unsigned quiet_ms;   /* since the printer last accepted or sent data */
	bool connected;      /* and nothing has gone wrong since */
	int version;         /* of IPP, 20 or 11 */
	char *password;      /* that was given last; the link's */
	char *authorization; /* made of it; the link's */
	unsigned asked;      /* how often for the password since the last answer to a request */
	bool given_up;       /* no password, or the same wrong one again */
};

/* The place of diagnostics: the printer. */
struct lt_place lt_link_place(const struct lt_link *link);

/* The user name that requests carry. */
const char *lt_link_user(const struct lt_link *link);

/* Whether options.may_continue allows to continue; if not, link->halted is set. */
bool lt_link_may_continue(struct lt_link *link);

/* Connects, or connects again, and checks the certificate. False with an error. */
bool lt_link_connect(struct lt_link *link, struct lt_diags *diags);

/* Closes the connection; the next request makes a new one. */
void lt_link_break(struct lt_link *link);

/* Makes the Authorization for a request that was just refused. False with an error. */
bool lt_link_authenticate(struct lt_link *link, struct lt_diags *diags);

/* True when a WWW-Authenticate field offers a scheme that sends the password as it is (RFC 7617).
 * Takes NULL. */
bool lt_link_asks_plainly(const char *challenge);

enum lt_certificate {
	LT_CERTIFICATE_GOOD, /* it proves that the machine is the right one */
	LT_CERTIFICATE_NOT_SENT,
	LT_CERTIFICATE_UNREADABLE,
	LT_CERTIFICATE_UNCHECKED, /* the check itself failed */
	LT_CERTIFICATE_CHANGED,   /* it is not the one that was saved for the machine */
	LT_CERTIFICATE_REVOKED,
	LT_CERTIFICATE_EXPIRED,
	LT_CERTIFICATE_NOT_YET_VALID,
	LT_CERTIFICATE_NOT_TRUSTED,
	LT_CERTIFICATE_OF_ANOTHER, /* machine */
	LT_CERTIFICATE_INVALID
};

/* Checks the certificate of an encrypted connection to `host`. `folder`: see lt_link_options. */
enum lt_certificate lt_certificate_check(http_t *http, const char *host, const char *folder);

/* What a request is for, which its errors say. */
enum lt_purpose {
	LT_PURPOSE_ASK, /* about printer or job, or to cancel the job: the reason is enough */
	LT_PURPOSE_CREATE_JOB,
	LT_PURPOSE_SEND_DOCUMENT
};

/* A request with what every one begins with, the user among it: only the owner of a job may cancel
 * it. `id` 0: of the printer, not of a job. */
ipp_t *lt_link_begin_request(const struct lt_link *link, ipp_op_t operation, int id);

/* One request to its end. `again`: the request changes nothing and may be sent a second time. The
 * answer may have any IPP status; NULL with an error. */
ipp_t *lt_link_request(struct lt_link *link, ipp_t *request, enum lt_purpose purpose, bool again,
	struct lt_diags *diags);

/* Asks for the named attributes of a job, or with an `id` of 0 of the printer. Answers as
 * lt_link_request does. */
ipp_t *lt_link_attributes(struct lt_link *link, int id, const char *const *names, size_t count,
	struct lt_diags *diags);

/* True when the answer has a status of success. False, with an error, for another status, and
 * without one where there is no answer. */
bool lt_link_status(struct lt_link *link, ipp_t *answer, enum lt_purpose purpose,
	struct lt_diags *diags);

/* A request, of which the caller loses ownership, with a document behind it, read from `stream` to
 * its end: sent once, never again. NULL with an error also for an IPP status of an error. Where the
 * request creates the job, too, and the printer says that it would print it differently, there is
 * an answer, an error, and sent->refused. */
ipp_t *lt_link_send(struct lt_link *link, ipp_t *request, FILE *stream, struct lt_sent *sent,
	struct lt_diags *diags);

/* Whether the printer, which accepts a job, will print it as asked in all that matters. False, with
 * an error for each, where it would print on another medium or in another size. With `warns` there
 * is a warning for every other difference. */
bool lt_answer_accepts_all(struct lt_link *link, ipp_t *request, ipp_t *answer, bool warns,
	struct lt_diags *diags);

#endif
