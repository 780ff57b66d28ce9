/* What a link is made of, for the files that make, mend and use it. */
#ifndef LOOMTAG_PRINT_WAY_H
#define LOOMTAG_PRINT_WAY_H

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
	bool (*go_on)(void *data); /* see lt_link_go_on */
	void *go_on_data;
	unsigned quiet_ms;   /* since the printer last took or said something */
	bool connected;      /* and nothing has gone wrong since */
	int version;         /* of IPP, 20 or 11 */
	char *password;      /* that was given last; the link's */
	char *authorization; /* made of it; the link's */
	unsigned asked;      /* how often for the password, since a request was last answered */
	bool given_up;       /* no password, or the same wrong one again */
};

/* The place of diagnostics: the printer. */
struct lt_place lt_way_place(const struct lt_link *link);

/* Who the printer is told is asking. */
const char *lt_way_user(const struct lt_link *link);

/* Seconds, for messages. */
double lt_way_seconds(unsigned milliseconds);

/* Whether to go on; where not, link->halted. */
bool lt_way_goes_on(struct lt_link *link);

/* Connects, or connects anew, and checks the certificate. False with an error. */
bool lt_way_connect(struct lt_link *link, struct lt_diags *diags);

/* Closes the connection; the next request makes a new one. */
void lt_way_break(struct lt_link *link);

/* Whether the certificate of an encrypted connection proves that the printer is who it should be.
 * False with an error; where no proof is asked for, true, and link->unproven. */
bool lt_way_trusts(struct lt_link *link, struct lt_diags *diags);

/* Makes the Authorization for a request that was just refused. False with an error. */
bool lt_way_authenticate(struct lt_link *link, struct lt_diags *diags);

/* True when one of the ways in which a WWW-Authenticate field asks for a password sends it as it is
 * (RFC 7617). Takes NULL. */
bool lt_way_asks_plainly(const char *challenge);

/* A request was answered: the password is right. */
void lt_way_admitted(struct lt_link *link);

/* One request to its end; sends anew only what changes nothing. The answer may have any IPP status;
 * NULL with an error. */
ipp_t *lt_way_request(struct lt_link *link, ipp_t *request, const char *what, bool again,
	struct lt_diags *diags);

/* Tells, as an error, an IPP status that is one. True for any other. */
bool lt_way_status(struct lt_link *link, ipp_t *answer, const char *what, struct lt_diags *diags);

/* Whether the printer, which takes a job, does all with it that matters. False, with an error for
 * each, where it would print on another medium or in another size; other differences are warned
 * of. */
bool lt_way_heeded(struct lt_link *link, ipp_t *request, ipp_t *answer, struct lt_diags *diags);

#endif
