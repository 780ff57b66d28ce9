/* The way to one printer: finding it, asking it, and giving it jobs, with libcups over IPP. Nothing
 * here waits for ever, and nothing is sent a second time by itself. */
#ifndef LOOMTAG_LINK_H
#define LOOMTAG_LINK_H

#include <cups/cups.h>
#include <stdbool.h>

#include "loomtag/diag.h"
#include "loomtag/printer.h"

struct lt_link;

struct lt_link_options {
	unsigned connect_ms; /* for a connection */
	unsigned answer_ms;  /* for an answer, and for every block of a document */
	unsigned find_ms;    /* for finding a printer by name on the network */
	const char *user;    /* NULL: who runs the program */
	/* Asked for the password when the printer wants one, with words that say so if it would go
	 * over the network for all to read; NULL, or an answer of NULL, gives up. The answer is
	 * copied at once. */
	const char *(*password)(void *data, const char *prompt);
	void *data;
	bool any_certificate; /* of an ipps printer: do not check it */
	/* Folder of certificates that are kept for machines, HOST.crt (PEM): where there is one,
	 * the machine's has to be the same, and need not be signed by anybody. NULL: there are
	 * none. */
	const char *certificates;
};
#define LT_LINK_OPTIONS_INIT \
	{ \
		10000, 30000, 5000, NULL, NULL, NULL, false, NULL \
	}

/* Opens the way to a printer: a URI (ipp, ipps, http, https), the name of a print queue here, or
 * the name under which a printer announces itself on the network (DNS-SD). NULL, with an error that
 * says which step failed and what to do, when there is none, it does not answer, its certificate is
 * not right, or it refuses. */
struct lt_link *lt_link_open(const char *printer, const struct lt_link_options *options,
	struct lt_diags *diags);
void lt_link_close(struct lt_link *link);

/* Has `go_on` asked before a document, between its blocks, and twice a second while the printer is
 * waited for. False ends the request with an error, and leaves a document unended; NULL: nothing is
 * asked. It is no signal handler. */
void lt_link_go_on(struct lt_link *link, bool (*go_on)(void *data), void *data);

/* The URI that requests carry; owned by the link. */
const char *lt_link_uri(const struct lt_link *link);

/* Get-Printer-Attributes. Finish `out` either way. */
bool lt_link_printer(struct lt_printer *out, struct lt_link *link, struct lt_diags *diags);

/* One request, of which the caller loses ownership; the answer, or NULL with an error that names
 * what was asked for in `what` ("the job"). An answer with an IPP error status is told as an error,
 * and NULL. A broken connection is mended only for requests that change nothing (`again`). */
ipp_t *lt_link_ask(struct lt_link *link, ipp_t *request, const char *what, bool again,
	struct lt_diags *diags);

/* What became of a document. */
struct lt_sent {
	bool began;   /* some of it may have gone out */
	bool whole;   /* all of it did, also where no answer came */
	bool refused; /* the printer answered that it does not take it: what it had begun with by
		       * then may be printed all the same */
	bool unfit;   /* it answered that it cannot take such a document at all */
};

/* As above, with a document behind it, read from `stream` to its end: sent once, never again. */
ipp_t *lt_link_send(struct lt_link *link, ipp_t *request, FILE *stream, struct lt_sent *sent,
	struct lt_diags *diags);

/* Printers that were found. */
struct lt_found {
	const char *name; /* what --to takes */
	const char *uri;
	bool queue; /* a queue here; else one on the network */
};
struct lt_found_list {
	struct lt_arena arena;
	struct lt_found *items;
	size_t count;
};

/* Print queues, and IPP printers on the network (DNS-SD), for `find_ms`; sorted by name, queues
 * before others of the same, each once. None is no error. Finish `out`. */
bool lt_printers_find(struct lt_found_list *out, const struct lt_link_options *options,
	struct lt_diags *diags);
void lt_found_list_finish(struct lt_found_list *list);

#endif
