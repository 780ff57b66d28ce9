/* The link to a printer, for the files that make, mend and use it. */
#ifndef LOOMTAG_PRINT_LINK_H
#define LOOMTAG_PRINT_LINK_H

#include "loomtag/print.h"

struct lt_link {
	struct lt_arena arena;
	struct lt_link_options options;
	const char *shown;    /* as it was asked for */
	const char *uri;      /* what requests carry */
	const char *host;     /* or the path of a socket */
	const char *resource; /* what is posted to */
	int port;
	http_encryption_t encryption;
	http_t *http;
	bool queue;     /* of this machine's print service */
	bool announced; /* found by name on the network, where anybody can call himself anything */
	bool unproven;  /* its certificate proves nothing */
	bool timed_out; /* since it was last cleared */
	bool halted;    /* go_on said no */
	unsigned quiet_ms;   /* since the printer last took or said something */
	bool connected;      /* and nothing has gone wrong since */
	int version;         /* of IPP, 20 or 11 */
	char *password;      /* that was given last; the link's */
	char *authorization; /* made of it; the link's */
	unsigned asked;      /* how often for the password, since a request was last answered */
	bool given_up;       /* no password, or the same wrong one again */
};

/* The place of diagnostics: the printer. */
struct lt_place lt_link_place(const struct lt_link *link);

/* Who the printer is told is asking. */
const char *lt_link_user(const struct lt_link *link);

/* Whether to go on; where not, link->halted. */
bool lt_link_goes_on(struct lt_link *link);

/* Connects, or connects anew, and checks the certificate. False with an error. */
bool lt_link_connect(struct lt_link *link, struct lt_diags *diags);

/* Closes the connection; the next request makes a new one. */
void lt_link_break(struct lt_link *link);

/* Makes the Authorization for a request that was just refused. False with an error. */
bool lt_link_authenticate(struct lt_link *link, struct lt_diags *diags);

/* True when one of the ways in which a WWW-Authenticate field asks for a password sends it as it is
 * (RFC 7617). Takes NULL. */
bool lt_link_asks_plainly(const char *challenge);

/* What is wrong with the certificate of an encrypted connection to `host`, in words that follow
 * "the certificate"; NULL when it proves that the machine is the right one. `folder`: see
 * lt_link_options. `*changed` when the machine's certificate is not the one that was kept. */
const char *lt_certificate_fault(bool *changed, http_t *http, const char *host, const char *folder);

/* A request with what every one begins with, the user among it: only the owner of a job may cancel
 * it. `id` 0: of the printer, not of a job. */
ipp_t *lt_link_begin_request(const struct lt_link *link, ipp_op_t operation, int id);

/* One request to its end; sends anew only what changes nothing (`again`). The answer may have any
 * IPP status; NULL with an error that names what was asked for in `what` ("the job"). */
ipp_t *lt_link_request(struct lt_link *link, ipp_t *request, const char *what, bool again,
	struct lt_diags *diags);

/* Those attributes that are named, of a job, or with an `id` of 0 of the printer. The answer as of
 * lt_link_request. */
ipp_t *lt_link_attributes(struct lt_link *link, int id, const char *const *names, size_t count,
	const char *what, struct lt_diags *diags);

/* Tells, as an error, an IPP status that is one, and gives false then, and where there is no
 * answer.
 */
bool lt_link_status(struct lt_link *link, ipp_t *answer, const char *what, struct lt_diags *diags);

/* A request, of which the caller loses ownership, with a document behind it, read from `stream` to
 * its end: sent once, never again. NULL with an error also for an IPP status that is one. Where the
 * request makes the job, too, and the printer says that it would print it otherwise, there is
 * an answer, an error, and sent->refused. */
ipp_t *lt_link_send(struct lt_link *link, ipp_t *request, FILE *stream, struct lt_sent *sent,
	struct lt_diags *diags);

/* Whether the printer, which takes a job, does all with it that matters. False, with an error for
 * each, where it would print on another medium or in another size; other differences are warned
 * of, where `warns`. */
bool lt_answer_takes_all(struct lt_link *link, ipp_t *request, ipp_t *answer, bool warns,
	struct lt_diags *diags);

#endif
