/* A printer that was found and asked what it can do. */
#ifndef LOOMTAG_CLI_ASKED_PRINTER_H
#define LOOMTAG_CLI_ASKED_PRINTER_H

#include "loomtag/print.h"

struct asked_printer {
	const struct lt_found *found;
	struct lt_printer printer;
	struct lt_diags diags;
	bool answers;
	bool usable; /* it accepts what loomtag can send */
};

/* Nobody waits long for a list. Keeps `arena`'s texts. */
struct lt_link_options lt_asked_printer_options(struct lt_arena *arena);

/* Asks a printer; `found` must outlive the answer. Finish it. */
void lt_ask_printer(struct asked_printer *out, const struct lt_found *found,
	const struct lt_link_options *options);
void lt_asked_printer_finish(struct asked_printer *asked);

/* The first error; NULL where there is none. */
const struct lt_diag *lt_asked_printer_error(const struct asked_printer *asked);

#endif
