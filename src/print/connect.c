/* Connecting to a printer, and the password that it may want. */
#include <errno.h>
#include <gnutls/gnutls.h>
#include <netdb.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include "print/link.h"

/* A handshake is given no less by libcups. */
#define HANDSHAKE_SECONDS 10.0
#define ASKED_MOST 3u
/* For finding out why a machine that did not answer does not. */
#define PROBE_US 500000
/* Between two looks whether to go on. */
#define TICK_MS 500u

struct lt_place lt_link_place(const struct lt_link *link)
{
	return lt_place_file(link->shown);
}

const char *lt_link_user(const struct lt_link *link)
{
	return link->options.user != NULL ? link->options.user : cupsUser();
}

/* Nothing came, or could be sent, for as long as was allowed. A connection that is shut makes
 * everything above it end at once. */
static int give_up(http_t *http, void *data)
{
	struct lt_link *link = data;
	link->timed_out = true;
	if (httpGetFd(http) >= 0)
		shutdown(httpGetFd(http), SHUT_RDWR);
	return 0;
}

bool lt_link_goes_on(struct lt_link *link)
{
	const struct lt_link_options *options = &link->options;
	link->halted = options->go_on != NULL && !options->go_on(options->data);
	return !link->halted;
}

/* One of the short waits that a long one is made of. */
static unsigned tick_ms(const struct lt_link *link)
{
	unsigned count = link->options.answer_ms / TICK_MS + 1;
	return link->options.answer_ms / count + 1;
}

/* Called at the end of each of them: 1 waits on. */
static int end_tick(http_t *http, void *data)
{
	struct lt_link *link = data;
	link->quiet_ms += tick_ms(link);
	if (link->quiet_ms < link->options.answer_ms && lt_link_goes_on(link))
		return 1;
	bool halted = link->halted;
	give_up(http, data);
	link->timed_out = !halted;
	return 0;
}

/* What is wrong with a machine that libcups could not connect to: it says EHOSTDOWN, whatever it
 * was. 0 when it can be connected to by now. */
static int find_fault(struct lt_link *link)
{
	char port[16];
	snprintf(port, sizeof(port), "%d", link->port);
	const struct addrinfo hints = { .ai_socktype = SOCK_STREAM };
	const struct timeval most = { .tv_usec = PROBE_US };
	struct addrinfo *list = NULL;
	int error = EHOSTUNREACH;
	if (getaddrinfo(link->host, port, &hints, &list) != 0)
		return error;
	for (struct addrinfo *at = list; at != NULL; at = at->ai_next) {
		int fd = socket(at->ai_family, at->ai_socktype, at->ai_protocol);
		if (fd < 0)
			continue;
		/* Connecting ends with EINPROGRESS after that. */
		setsockopt(fd, SOL_SOCKET, SO_SNDTIMEO, &most, sizeof(most));
		int found = connect(fd, at->ai_addr, at->ai_addrlen) != 0 ? errno : 0;
		close(fd);
		/* A refusal says more than an address of a family that is not used here. */
		if (found == 0 || found == ECONNREFUSED || error == EHOSTUNREACH)
			error = found;
		if (found == 0)
			break;
	}
	freeaddrinfo(list);
	return error;
}

/* Why there is no connection, by errno. */
static void tell_no_connection(struct lt_link *link, int error, struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	if (link->queue) {
		lt_error(diags, place, "the print service of this machine does not answer: %s",
			strerror(error));
		lt_hint(diags, "is it running?");
		return;
	}
	if (error == EHOSTDOWN && !link->timed_out)
		error = find_fault(link);
	if (link->timed_out || error == ETIMEDOUT || error == EINPROGRESS || error == EAGAIN ||
		error == EALREADY) {
		lt_error(diags, place, "%s does not answer on port %d within %g seconds",
			link->host, link->port, link->options.connect_ms / 1000.0);
		lt_hint(diags, "is the printer switched on, and on the same network?");
	} else if (error == ECONNREFUSED) {
		lt_error(diags, place, "%s refuses the connection on port %d", link->host,
			link->port);
		lt_hint(diags,
			"is the printer switched on, does it print over IPP, and is the port "
			"right?");
	} else if (error == EHOSTUNREACH || error == ENETUNREACH || error == ENETDOWN) {
		lt_error(diags, place, "there is no way to %s from here", link->host);
		lt_hint(diags, "is this machine on the same network as the printer?");
	} else if (link->encryption != HTTP_ENCRYPTION_IF_REQUESTED) {
		lt_error(diags, place,
			"%s was reached on port %d, but no encrypted connection came "
			"about",
			link->host, link->port);
		lt_hint(diags, "does it speak ipps there? ipp is without encryption");
	} else {
		lt_error(diags, place, "%s cannot be connected to on port %d: %s", link->host,
			link->port, strerror(error));
	}
}

void lt_link_break(struct lt_link *link)
{
	link->connected = false;
	httpClose(link->http);
	link->http = NULL;
}

/* Whether the certificate of an encrypted connection proves that the printer is who it should be:
 * libcups encrypts without checking any. False with an error; where no proof is asked for, true,
 * and link->unproven. */
static bool trusts(struct lt_link *link, struct lt_diags *diags)
{
	if (!httpIsEncrypted(link->http) || link->options.any_certificate)
		return true;
	bool changed;
	const char *folder = link->options.certificates;
	const char *wrong = lt_certificate_fault(&changed, link->http, link->host, folder);
	link->unproven = wrong != NULL;
	/* Where the network was asked for a name, there is nobody in particular to be proven; but
	 * one that was known before has to be the same. */
	if (wrong == NULL || (link->announced && !changed))
		return true;
	lt_error(diags, lt_link_place(link), "the certificate of %s %s", link->host, wrong);
	if (folder != NULL)
		lt_hint(diags,
			"if this is the right printer, print with --any-certificate, or keep its "
			"certificate, and it is known from then on: mkdir -p %s; openssl s_client "
			"-connect %s:%d </dev/null | openssl x509 >%s/%s.crt",
			folder, link->host, link->port, folder, link->host);
	else
		lt_hint(diags, "if this is the right printer, its certificate need not be checked: "
			       "--any-certificate");
	return false;
}

bool lt_link_connect(struct lt_link *link, struct lt_diags *diags)
{
	link->timed_out = false;
	link->connected = false;
	if (link->http == NULL) {
		link->http = httpConnect2(link->host, link->port, NULL, AF_UNSPEC, link->encryption,
			1, 0, NULL);
		if (link->http == NULL) {
			lt_error(diags, lt_link_place(link),
				"no machine is known by the name of %s", link->host);
			lt_hint(diags,
				"is it spelled right, and is this machine on the same network? "
				"loomtag printers lists the printers that are found");
			return false;
		}
		httpSetAuthString(link->http, link->authorization, NULL);
	}
	double seconds = link->options.answer_ms / 1000.0;
	httpSetTimeout(link->http, seconds > HANDSHAKE_SECONDS ? seconds : HANDSHAKE_SECONDS,
		give_up, link);
	errno = 0;
	if (httpReconnect2(link->http, (int)link->options.connect_ms, NULL) != 0) {
		int error = errno != 0 ? errno : httpError(link->http);
		tell_no_connection(link, error, diags);
		lt_link_break(link);
		return false;
	}
	link->quiet_ms = 0;
	httpSetTimeout(link->http, tick_ms(link) / 1000.0, end_tick, link);
	if (!trusts(link, diags)) {
		lt_link_break(link);
		return false;
	}
	link->connected = true;
	return true;
}

/* Frees a secret, with nothing of it left in memory. */
static void forget(char **secret)
{
	if (*secret != NULL)
		gnutls_memset(*secret, 0, strlen(*secret));
	free(*secret);
	*secret = NULL;
}

static void keep(char **secret, const char *text)
{
	size_t size = strlen(text) + 1;
	char *copy = memcpy(lt_alloc(size), text, size);
	forget(secret);
	*secret = copy;
}

bool lt_link_asks_plainly(const char *challenge)
{
	bool begins = true;
	for (const char *at = challenge; at != NULL && *at != '\0'; at++) {
		if (begins && strncasecmp(at, "Basic", 5) == 0)
			return true;
		begins = *at == ' ' || *at == ',';
	}
	return false;
}

/* Whether what goes to the printer can be read on the way. */
static bool is_readable(http_t *http)
{
	return !httpIsEncrypted(http) && !httpAddrLocalhost(httpGetAddress(http));
}

/* Has whoever knows the password asked for it. Of several ways in which the printer asks libcups
 * may take any. */
static const char *ask_for_password(struct lt_link *link, http_t *http, const char *prompt)
{
	struct lt_text words = { 0 };
	if (is_readable(http) &&
		lt_link_asks_plainly(httpGetField(http, HTTP_FIELD_WWW_AUTHENTICATE)))
		lt_text_printf(&words,
			"The password would go over the network unencrypted, for others to read; "
			"ipps://%s may do better.\n",
			link->host);
	lt_text_add(&words, prompt);
	const char *given = link->options.password(link->options.data, lt_text_string(&words));
	lt_text_finish(&words);
	return given;
}

/* Called by libcups when it wants a password. */
static const char *give_password(const char *prompt, http_t *http, const char *method,
	const char *resource, void *data)
{
	(void)method;
	(void)resource;
	struct lt_link *link = data;
	/* One that was right before is not asked for again. */
	if (link->asked++ == 0 && link->password != NULL)
		return link->password;
	const char *given = NULL;
	if (link->options.password != NULL && link->asked <= ASKED_MOST && !link->unproven)
		given = ask_for_password(link, http, prompt);
	/* The environment would give the same wrong one for ever. */
	if (given == NULL || (link->password != NULL && strcmp(given, link->password) == 0)) {
		link->given_up = true;
		return NULL;
	}
	keep(&link->password, given);
	return link->password;
}

static void tell_refused(struct lt_link *link, struct lt_diags *diags)
{
	const char *user = lt_link_user(link);
	if (link->unproven) {
		lt_error(diags, lt_link_place(link),
			"the printer wants a password, and its certificate does not prove that it "
			"is the right printer");
		lt_hint(diags, "name it by its ipps URI, which tells what is wrong with the "
			       "certificate");
	} else if (link->password != NULL) {
		lt_error(diags, lt_link_place(link),
			"the printer does not take the password of user \"%s\"", user);
	} else {
		lt_error(diags, lt_link_place(link),
			"the printer wants a password of user \"%s\", and none was given", user);
	}
}

/* What libcups answers to the printer's challenge; NULL when it has nothing to answer. */
static const char *answer_challenge(struct lt_link *link)
{
	link->given_up = false;
	bool good = cupsDoAuthentication(link->http, "POST", link->resource) == 0;
	return good && !link->given_up ? httpGetAuthString(link->http) : NULL;
}

bool lt_link_authenticate(struct lt_link *link, struct lt_diags *diags)
{
	/* These two are libcups' own, and of this thread. */
	if (link->options.user != NULL)
		cupsSetUser(link->options.user);
	cupsSetPasswordCB2(give_password, link);
	const char *made = answer_challenge(link);
	/* It tries every password twice. One that was just refused is of no use. */
	if (made != NULL && link->authorization != NULL && strcmp(made, link->authorization) == 0)
		made = answer_challenge(link);
	cupsSetPasswordCB2(NULL, NULL);
	if (made == NULL) {
		tell_refused(link, diags);
		return false;
	}
	keep(&link->authorization, made);
	if (strncmp(made, "Basic", 5) == 0 && is_readable(link->http)) {
		lt_warning(diags, lt_link_place(link),
			"the password goes over the network unencrypted");
		lt_hint(diags, "name the printer as ipps://%s, if it speaks that", link->host);
	}
	return true;
}

void lt_link_close(struct lt_link *link)
{
	if (link == NULL)
		return;
	lt_link_break(link);
	forget(&link->password);
	forget(&link->authorization);
	lt_arena_finish(&link->arena);
	free(link);
}
