/* Asks printers what they can do, for a list of them or to choose one. */
#include "cli/asked_printer.h"
#include "cli/folders.h"
#include "cli/printing.h"

/* Milliseconds. */
#define CONNECT_MS 3000u
#define ANSWER_MS 5000u

struct lt_link_options lt_asked_printer_options(struct lt_arena *arena)
{
	struct lt_link_options options = LT_LINK_OPTIONS_INIT;
	options.connect_ms = lt_print_patience(CONNECT_MS);
	options.answer_ms = lt_print_patience(ANSWER_MS);
	options.certificates = lt_certificate_folder(arena);
	return options;
}

void lt_ask_printer(struct asked_printer *out, const struct lt_found *found,
	const struct lt_link_options *options)
{
	*out = (struct asked_printer){ .found = found };
	struct lt_link *link =
		lt_link_open(found->queue ? found->name : found->uri, options, &out->diags);
	if (link == NULL)
		return;
	out->usable = lt_link_printer(&out->printer, link, &out->diags);
	/* A printer that answers but accepts nothing that loomtag can send is listed with its
	 * state. */
	out->answers = out->usable || out->printer.state != 0;
	lt_link_close(link);
}

void lt_asked_printer_finish(struct asked_printer *asked)
{
	lt_printer_finish(&asked->printer);
	lt_diags_finish(&asked->diags);
}

const struct lt_diag *lt_asked_printer_error(const struct asked_printer *asked)
{
	for (size_t i = 0; i < asked->diags.count; i++) {
		if (asked->diags.items[i].severity == LT_ERROR)
			return &asked->diags.items[i];
	}
	return NULL;
}
