/* Connecting to a printer, and the password that it may need. */
#include <errno.h>
#include <gnutls/gnutls.h>
#include <netdb.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include "loomtag/words.h"
#include "print/link.h"

/* libcups allows no less for a handshake. */
#define HANDSHAKE_SECONDS 10.0
#define ASKED_MOST 3u
/* For finding out why a machine did not answer. */
#define PROBE_US 500000
/* Between two questions whether to continue. */
#define TICK_MS 500u

struct lt_place lt_link_place(const struct lt_link *link)
{
	return lt_place_file(link->shown);
}

const char *lt_link_user(const struct lt_link *link)
{
	return link->options.user != NULL ? link->options.user : cupsUser();
}

/* Nothing came, or could be sent, for as long as was allowed. Shutting the connection ends every
 * wait for it at once. */
static int give_up(http_t *http, void *data)
{
	struct lt_link *link = data;
	link->timed_out = true;
	if (httpGetFd(http) >= 0)
		shutdown(httpGetFd(http), SHUT_RDWR);
	return 0;
}

bool lt_link_may_continue(struct lt_link *link)
{
	const struct lt_link_options *options = &link->options;
	link->halted = options->may_continue != NULL && !options->may_continue(options->data);
	return !link->halted;
}

/* The length of one of the short waits that a long one is made of. */
static unsigned tick_ms(const struct lt_link *link)
{
	unsigned count = link->options.answer_ms / TICK_MS + 1;
	return link->options.answer_ms / count + 1;
}

/* Called at the end of each of them. Returns 1 to continue waiting. */
static int end_tick(http_t *http, void *data)
{
	struct lt_link *link = data;
	link->quiet_ms += tick_ms(link);
	if (link->quiet_ms < link->options.answer_ms && lt_link_may_continue(link))
		return 1;
	bool halted = link->halted;
	give_up(http, data);
	link->timed_out = !halted;
	return 0;
}

/* Why libcups could not connect to a machine: libcups says EHOSTDOWN for every fault. 0 when the
 * machine can be connected to by now. */
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
static void report_no_connection(struct lt_link *link, int error, struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	if (link->queue) {
		lt_error(diags, place, "the print service of this computer does not answer: %s",
			strerror(error));
		lt_hint(diags, "check that the print service runs");
		return;
	}
	if (error == EHOSTDOWN && !link->timed_out)
		error = find_fault(link);
	if (link->timed_out || error == ETIMEDOUT || error == EINPROGRESS || error == EAGAIN ||
		error == EALREADY) {
		lt_error(diags, place, "%s does not answer on port %d within %g seconds",
			link->host, link->port, link->options.connect_ms / 1000.0);
		lt_hint(diags,
			"check that the printer is switched on and on the same network as this computer");
	} else if (error == ECONNREFUSED) {
		lt_error(diags, place, "%s refuses the connection on port %d", link->host,
			link->port);
		lt_hint(diags,
			"check that the printer is switched on, prints over IPP and uses this "
			"port");
	} else if (error == EHOSTUNREACH || error == ENETUNREACH || error == ENETDOWN) {
		lt_error(diags, place, "cannot reach %s", link->host);
		lt_hint(diags, "check that this computer is on the same network as the printer");
	} else if (link->encryption != HTTP_ENCRYPTION_IF_REQUESTED) {
		lt_error(diags, place, "cannot make an encrypted connection to %s on port %d",
			link->host, link->port);
		lt_hint(diags, "check that the printer uses ipps on this port. To print without "
			       "encryption, use ipp");
	} else {
		lt_error(diags, place, "cannot connect to %s on port %d: %s", link->host,
			link->port, strerror(error));
	}
}

void lt_link_break(struct lt_link *link)
{
	link->connected = false;
	httpClose(link->http);
	link->http = NULL;
}

static void report_certificate(const struct lt_link *link, enum lt_certificate fault,
	struct lt_diags *diags)
{
	struct lt_place place = lt_link_place(link);
	const char *folder = link->options.certificates;
	const char *host = link->host;
	switch (fault) {
	case LT_CERTIFICATE_GOOD:
		return;
	case LT_CERTIFICATE_NOT_SENT:
		lt_error(diags, place, "%s did not send a certificate", host);
		break;
	case LT_CERTIFICATE_UNREADABLE:
		lt_error(diags, place, "cannot read the certificate of %s", host);
		break;
	case LT_CERTIFICATE_UNCHECKED:
		lt_error(diags, place, "cannot check the certificate of %s", host);
		break;
	case LT_CERTIFICATE_CHANGED:
		lt_error(diags, place, "the certificate of %s is not the saved one", host);
		break;
	case LT_CERTIFICATE_REVOKED:
		lt_error(diags, place, "the certificate of %s is revoked", host);
		break;
	case LT_CERTIFICATE_EXPIRED:
		lt_error(diags, place, "the certificate of %s has expired", host);
		break;
	case LT_CERTIFICATE_NOT_YET_VALID:
		lt_error(diags, place, "the certificate of %s is not valid yet", host);
		break;
	case LT_CERTIFICATE_NOT_TRUSTED:
		lt_error(diags, place, "this computer does not trust the certificate of %s", host);
		break;
	case LT_CERTIFICATE_OF_ANOTHER:
		lt_error(diags, place, "the certificate of %s is for another name", host);
		break;
	case LT_CERTIFICATE_INVALID:
		lt_error(diags, place, "the certificate of %s is not valid", host);
		break;
	}
	if (folder != NULL)
		lt_hint(diags,
			"if this is the right printer, use --any-certificate, or save its "
			"certificate once: mkdir -p %s; openssl s_client -connect %s:%d "
			"</dev/null | openssl x509 >%s/%s.crt",
			folder, host, link->port, folder, host);
	else
		lt_hint(diags, "if this is the right printer, use --any-certificate");
}

/* Whether the certificate of an encrypted connection proves that the printer is the right one:
 * libcups encrypts without checking any. False with an error; where no proof is asked for, true,
 * and link->unproven. */
static bool trusts(struct lt_link *link, struct lt_diags *diags)
{
	if (!httpIsEncrypted(link->http) || link->options.any_certificate)
		return true;
	enum lt_certificate found =
		lt_certificate_check(link->http, link->host, link->options.certificates);
	link->unproven = found != LT_CERTIFICATE_GOOD;
	/* A name on the network stands for no machine in particular, so there is nothing to prove;
	 * but a machine whose certificate was saved must send the same one. */
	if (!link->unproven || (link->announced && found != LT_CERTIFICATE_CHANGED))
		return true;
	report_certificate(link, found, diags);
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
			lt_error(diags, lt_link_place(link), "cannot find a host named %s",
				link->host);
			lt_hint(diags,
				"check the spelling, and that this computer is on the same network. "
				"loomtag printers lists the printers that it finds");
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
		report_no_connection(link, error, diags);
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

/* Asks for the password. Of several schemes that the printer offers, libcups may use any. */
static const char *ask_for_password(struct lt_link *link, http_t *http)
{
	struct lt_text prompt = { 0 };
	if (is_readable(http) &&
		lt_link_asks_plainly(httpGetField(http, HTTP_FIELD_WWW_AUTHENTICATE)))
		lt_words_password_unencrypted(&prompt, link->host);
	lt_words_ask_password(&prompt, lt_link_user(link), link->shown);
	const char *given = link->options.password(link->options.data, lt_text_string(&prompt));
	lt_text_finish(&prompt);
	return given;
}

/* Called by libcups when it needs a password. Its prompt is not used: it depends on the locale. */
static const char *give_password(const char *prompt, http_t *http, const char *method,
	const char *resource, void *data)
{
	(void)prompt;
	(void)method;
	(void)resource;
	struct lt_link *link = data;
	/* One that was right before is not asked for again. */
	if (link->asked++ == 0 && link->password != NULL)
		return link->password;
	const char *given = NULL;
	if (link->options.password != NULL && link->asked <= ASKED_MOST && !link->unproven)
		given = ask_for_password(link, http);
	/* The environment would give the same wrong one again and again. */
	if (given == NULL || (link->password != NULL && strcmp(given, link->password) == 0)) {
		link->given_up = true;
		return NULL;
	}
	keep(&link->password, given);
	return link->password;
}

static void report_password(struct lt_link *link, struct lt_diags *diags)
{
	const char *user = lt_link_user(link);
	if (link->unproven) {
		lt_error(diags, lt_link_place(link),
			"the printer needs a password, but its certificate does not prove that it "
			"is the right printer");
		lt_hint(diags, "give the ipps URI of the printer. loomtag then reports what is "
			       "wrong with the certificate");
	} else if (link->password != NULL) {
		lt_error(diags, lt_link_place(link),
			"the printer does not accept the password of user \"%s\"", user);
	} else {
		lt_error(diags, lt_link_place(link),
			"the printer needs the password of user \"%s\"", user);
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
	/* libcups tries every password twice. One that was just refused is of no use. */
	if (made != NULL && link->authorization != NULL && strcmp(made, link->authorization) == 0)
		made = answer_challenge(link);
	cupsSetPasswordCB2(NULL, NULL);
	if (made == NULL) {
		report_password(link, diags);
		return false;
	}
	keep(&link->authorization, made);
	if (strncmp(made, "Basic", 5) == 0 && is_readable(link->http)) {
		lt_warning(diags, lt_link_place(link),
			"the password goes over the network unencrypted");
		lt_hint(diags, "if the printer supports encryption, use ipps://%s", link->host);
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
