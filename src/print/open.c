/* From what a printer is called to a connection with it. */
#include <stdlib.h>
#include <string.h>

#include "print/find.h"
#include "print/link.h"

/* Where IPP printers are, by PWG 5100.14, 4.2.1. */
#define USUAL_RESOURCE "/ipp/print"

struct uri {
	char scheme[16], user[HTTP_MAX_VALUE], host[HTTP_MAX_HOST], resource[HTTP_MAX_URI];
	int port;
	bool encrypted;
};

/* Takes a URI apart. False with an error when it is none of a printer. */
static bool separate(struct uri *out, const char *text, struct lt_diags *diags)
{
	struct lt_place place = lt_place_file(text);
	*out = (struct uri){ 0 };
	http_uri_status_t status = httpSeparateURI(HTTP_URI_CODING_ALL, text, out->scheme,
		sizeof(out->scheme), out->user, sizeof(out->user), out->host, sizeof(out->host),
		&out->port, out->resource, sizeof(out->resource));
	if (status < HTTP_URI_STATUS_OK || out->host[0] == '\0' || out->port < 1 ||
		out->port > 65535) {
		lt_error(diags, place, "this is no URI of a printer");
		lt_hint(diags, "one looks like ipp://printer.local/ipp/print");
		return false;
	}
	out->encrypted = strcmp(out->scheme, "ipps") == 0 || strcmp(out->scheme, "https") == 0;
	if (!out->encrypted && strcmp(out->scheme, "ipp") != 0 &&
		strcmp(out->scheme, "http") != 0) {
		lt_error(diags, place,
			"printers are reached by ipp, ipps, http or https, not by %s", out->scheme);
		return false;
	}
	if (strchr(out->user, ':') != NULL) {
		/* Not even told: what stands on a command line is seen by everybody. */
		lt_error(diags, lt_place_none(),
			"the printer's URI has a password in it, where all "
			"who list processes can read it");
		lt_hint(diags, "leave it out, and change it: it was seen");
		return false;
	}
	if (out->resource[0] == '\0' || strcmp(out->resource, "/") == 0)
		snprintf(out->resource, sizeof(out->resource), "%s", USUAL_RESOURCE);
	return true;
}

/* Stops libcups when the machine is known and it would connect: that is done here, and checked. */
static int stop_connecting(void *data, unsigned flags, cups_dest_t *dest)
{
	(void)dest;
	if ((flags & CUPS_DEST_FLAGS_CONNECTING) != 0)
		*(int *)data = 1;
	return 1;
}

/* Asks the network for the machine behind an announcement. False with an error. */
static bool resolve(struct uri *out, struct lt_link *link, const char *announced,
	struct lt_diags *diags)
{
	char resource[HTTP_MAX_URI];
	int cancel = 0;
	const char *found = NULL;
	cups_dest_t *dest = cupsGetDestWithURI(NULL, announced);
	if (dest != NULL) {
		httpClose(cupsConnectDest(dest, CUPS_DEST_FLAGS_DEVICE,
			(int)link->options.connect_ms, &cancel, resource, sizeof(resource),
			stop_connecting, &cancel));
		found = cupsGetOption("device-uri", dest->num_options, dest->options);
	}
	bool good = found != NULL && strcmp(found, announced) != 0;
	if (good) {
		good = separate(out, found, diags);
	} else {
		lt_error(diags, lt_link_place(link),
			"the printer announces itself on the network, but "
			"does not tell where it is");
		lt_hint(diags,
			"is it switched on? Its address as a URI, ipp://…/ipp/print, may do");
	}
	cupsFreeDests(dest != NULL ? 1 : 0, dest);
	return good;
}

/* Points the link at what a URI says, of a machine or of an announcement; or at a print queue: its
 * URI names the machine, which is asked over its own socket. */
static bool aim(struct lt_link *link, const char *text, bool queue, struct lt_diags *diags)
{
	struct uri uri;
	if (!separate(&uri, text, diags))
		return false;
	link->announced = strstr(uri.host, "._tcp") != NULL;
	if (link->announced && !resolve(&uri, link, text, diags))
		return false;
	char clean[HTTP_MAX_URI];
	httpAssembleURI(HTTP_URI_CODING_ALL, clean, sizeof(clean), uri.encrypted ? "ipps" : "ipp",
		NULL, uri.host, uri.port, uri.resource);
	link->uri = lt_arena_strdup(&link->arena, clean);
	link->resource = lt_arena_strdup(&link->arena, uri.resource);
	if (uri.user[0] != '\0' && link->options.user == NULL)
		link->options.user = lt_arena_strdup(&link->arena, uri.user);
	link->queue = queue;
	link->host = lt_arena_strdup(&link->arena, queue ? cupsServer() : uri.host);
	link->port = queue ? ippPort() : uri.port;
	link->encryption = uri.encrypted ? HTTP_ENCRYPTION_ALWAYS : HTTP_ENCRYPTION_IF_REQUESTED;
	if (queue)
		link->encryption =
			link->host[0] == '/' ? HTTP_ENCRYPTION_IF_REQUESTED : cupsEncryption();
	return true;
}

/* None or several are called that. */
static void tell_choice(const char *name, const struct lt_found_list *list, bool several,
	struct lt_diags *diags)
{
	enum { SHOWN = 8 };
	struct lt_text found = { 0 };
	if (several)
		lt_error(diags, lt_place_none(), "several printers are called \"%s\"", name);
	else
		lt_error(diags, lt_place_none(),
			"no print queue here, and no printer on the network, is called \"%s\"",
			name);
	for (size_t i = 0; i < list->count; i++) {
		const struct lt_found *one = &list->items[i];
		const char *comma = found.length > 0 ? ", " : "";
		if (several && lt_same_word(one->name, name))
			lt_text_printf(&found, "%s%s", comma, one->uri);
		else if (!several && i < SHOWN)
			lt_text_printf(&found, "%s\"%s\"", comma, one->name);
	}
	if (!several && list->count > SHOWN)
		lt_text_printf(&found, " and %zu more", list->count - SHOWN);
	if (several)
		lt_hint(diags, "say which by its URI: %s", lt_text_string(&found));
	else if (list->count > 0)
		lt_hint(diags, "found were %s", lt_text_string(&found));
	else
		lt_hint(diags, "none was found at all; a printer's URI, ipp://…/ipp/print, may do");
	lt_text_finish(&found);
}

static bool aim_by_name(struct lt_link *link, const char *name, struct lt_diags *diags)
{
	struct lt_found_list list;
	lt_printers_find(&list, name, link->options.find_ms);
	const struct lt_found *found;
	size_t count = lt_find_choose(&found, &list, name);
	bool good = false;
	if (count != 1)
		tell_choice(name, &list, count > 1, diags);
	else
		good = aim(link, found->uri, found->queue, diags);
	lt_found_list_finish(&list);
	return good;
}

/* Whether there is a printer at the other end. */
static bool knock(struct lt_link *link, struct lt_diags *diags)
{
	static const char *const names[] = { "printer-state" };
	const char *what = "asking the printer";
	ipp_t *answer = lt_link_attributes(link, 0, names, 1, what, diags);
	bool good = lt_link_status(link, answer, what, diags);
	if (ippGetStatusCode(answer) == IPP_STATUS_ERROR_NOT_FOUND)
		lt_hint(diags, "most printers are at ipp://%s%s", link->host, USUAL_RESOURCE);
	ippDelete(answer);
	return good;
}

struct lt_link *lt_link_open(const char *printer, const struct lt_link_options *options,
	struct lt_diags *diags)
{
	struct lt_link *link = lt_alloc(sizeof(*link));
	*link = (struct lt_link){ .options = *options, .version = 20 };
	link->shown = lt_arena_strdup(&link->arena, printer);
	bool uri = strstr(printer, "://") != NULL;
	bool good = uri ? aim(link, printer, false, diags) : aim_by_name(link, printer, diags);
	if (!good || !knock(link, diags)) {
		lt_link_close(link);
		return NULL;
	}
	if (link->unproven)
		lt_warning(diags, lt_link_place(link),
			"the connection is encrypted, but the printer's certificate does not prove "
			"that it is the right one");
	return link;
}

const char *lt_link_uri(const struct lt_link *link)
{
	return link->uri;
}
