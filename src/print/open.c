/* From the name or URI of a printer to a connection with it. */
#include <stdlib.h>
#include <string.h>

#include "print/find.h"
#include "print/link.h"

/* The path of IPP printers (PWG 5100.14, 4.2.1). */
#define USUAL_RESOURCE "/ipp/print"

struct uri {
	char scheme[16], user[HTTP_MAX_VALUE], host[HTTP_MAX_HOST], resource[HTTP_MAX_URI];
	int port;
	bool encrypted;
};

/* Takes a URI apart. False with an error when it is not one of a printer. */
static bool separate(struct uri *out, const char *text, struct lt_diags *diags)
{
	struct lt_place place = lt_place_file(text);
	*out = (struct uri){ 0 };
	http_uri_status_t status = httpSeparateURI(HTTP_URI_CODING_ALL, text, out->scheme,
		sizeof(out->scheme), out->user, sizeof(out->user), out->host, sizeof(out->host),
		&out->port, out->resource, sizeof(out->resource));
	if (status < HTTP_URI_STATUS_OK || out->host[0] == '\0' || out->port < 1 ||
		out->port > 65535) {
		lt_error(diags, place, "this is not the URI of a printer");
		lt_hint(diags, "write for example ipp://printer.local/ipp/print");
		return false;
	}
	out->encrypted = strcmp(out->scheme, "ipps") == 0 || strcmp(out->scheme, "https") == 0;
	if (!out->encrypted && strcmp(out->scheme, "ipp") != 0 &&
		strcmp(out->scheme, "http") != 0) {
		lt_error(diags, place,
			"a printer URI must begin with ipp, ipps, http or https, not %s",
			out->scheme);
		return false;
	}
	if (strchr(out->user, ':') != NULL) {
		/* The error has no place, because that would show the password again. */
		lt_error(diags, lt_place_none(),
			"the URI of the printer contains a password, and others can read it in the "
			"list of processes");
		lt_hint(diags, "leave the password out of the URI, and change the password");
		return false;
	}
	if (out->resource[0] == '\0' || strcmp(out->resource, "/") == 0)
		snprintf(out->resource, sizeof(out->resource), "%s", USUAL_RESOURCE);
	return true;
}

/* Stops libcups when it knows the machine and would connect: that is done here, with checks. */
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
			"the printer announces itself on the network, but does not say where it "
			"is");
		lt_hint(diags, "check that the printer is switched on, or give its URI, "
			       "ipp://…/ipp/print");
	}
	cupsFreeDests(dest != NULL ? 1 : 0, dest);
	return good;
}

/* Sets the target of the link by a URI, of a machine or of an announcement; or of a print queue:
 * its URI names this computer, which is asked over its own socket. */
static bool set_target(struct lt_link *link, const char *text, bool queue, struct lt_diags *diags)
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

static void add_comma(struct lt_text *list)
{
	if (list->length > 0)
		lt_text_add(list, ", ");
}

static void report_several(const char *name, const struct lt_found_list *list,
	struct lt_diags *diags)
{
	struct lt_text uris = { 0 };
	for (size_t i = 0; i < list->count; i++) {
		if (!lt_same_word(list->items[i].name, name))
			continue;
		add_comma(&uris);
		lt_text_add(&uris, list->items[i].uri);
	}
	lt_error(diags, lt_place_none(), "several printers have the name \"%s\"", name);
	lt_hint(diags, "give the URI of one of them: %s", lt_text_string(&uris));
	lt_text_finish(&uris);
}

static void report_none(const char *name, const struct lt_found_list *list, struct lt_diags *diags)
{
	enum { SHOWN = 8 };
	lt_error(diags, lt_place_none(),
		"no print queue of this computer and no printer on the network has the name \"%s\"",
		name);
	if (list->count == 0) {
		lt_hint(diags, "no printer was found. Give the URI of one, ipp://…/ipp/print");
		return;
	}
	struct lt_text names = { 0 };
	for (size_t i = 0; i < list->count && i < SHOWN; i++) {
		add_comma(&names);
		lt_text_printf(&names, "\"%s\"", list->items[i].name);
	}
	if (list->count > SHOWN)
		lt_hint(diags, "%zu printers were found, for example %s", list->count,
			lt_text_string(&names));
	else
		lt_hint(diags, "use one of these: %s", lt_text_string(&names));
	lt_text_finish(&names);
}

static bool set_target_by_name(struct lt_link *link, const char *name, struct lt_diags *diags)
{
	struct lt_found_list list;
	lt_printers_find(&list, name, link->options.find_ms);
	const struct lt_found *found;
	size_t count = lt_find_choose(&found, &list, name);
	bool good = false;
	if (count > 1)
		report_several(name, &list, diags);
	else if (count == 0)
		report_none(name, &list, diags);
	else
		good = set_target(link, found->uri, found->queue, diags);
	lt_found_list_finish(&list);
	return good;
}

/* Whether there is a printer at the other end. */
static bool is_printer(struct lt_link *link, struct lt_diags *diags)
{
	static const char *const names[] = { "printer-state" };
	ipp_t *answer = lt_link_attributes(link, 0, names, 1, diags);
	bool good = lt_link_status(link, answer, LT_PURPOSE_ASK, diags);
	if (ippGetStatusCode(answer) == IPP_STATUS_ERROR_NOT_FOUND)
		lt_hint(diags, "most printers use ipp://%s%s", link->host, USUAL_RESOURCE);
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
	bool good = uri ? set_target(link, printer, false, diags)
			: set_target_by_name(link, printer, diags);
	if (!good || !is_printer(link, diags)) {
		lt_link_close(link);
		return NULL;
	}
	if (link->unproven)
		lt_warning(diags, lt_link_place(link),
			"the connection is encrypted, but the certificate does not prove that this "
			"is the right printer");
	return link;
}

const char *lt_link_uri(const struct lt_link *link)
{
	return link->uri;
}
