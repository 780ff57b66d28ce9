/* Printers, as they describe themselves over the Internet Printing Protocol (RFC 8011, PWG
 * 5100.14): what one can do, what is loaded, and how it is. Lengths in mm. */
#ifndef LOOMTAG_PRINTER_H
#define LOOMTAG_PRINTER_H

#include <cups/cups.h>
#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"
#include "loomtag/text.h"

enum lt_printer_state {
	LT_PRINTER_UNKNOWN, /* it did not say */
	LT_PRINTER_IDLE,
	LT_PRINTER_BUSY,
	LT_PRINTER_STOPPED
};

/* A medium. On a roll or tape the height is along the feed; of one with no fixed length that is
 * loaded, it is the longest that can be printed. */
struct lt_media {
	const char *name; /* self-describing (PWG 5101.1), or NULL */
	double width, height;
	double left, right, top, bottom; /* unprintable edges; 0 where it does not say */
};

/* Sizes that it can be told. */
struct lt_media_range {
	double least_width, most_width, least_height, most_height;
};

/* Where it can cut (finishings of PWG 5100.1: trim-after-pages, -documents, -job, and trim, which
 * does not say where). */
enum {
	LT_TRIM_PAGES = 1 << 0,
	LT_TRIM_DOCUMENTS = 1 << 1,
	LT_TRIM_JOB = 1 << 2,
	LT_TRIM_ANY = 1 << 3
};

#define LT_PRINTER_LIST_MAX 64u /* of each kind; more are passed over */

struct lt_printer {
	struct lt_arena arena;
	const char *name, *info; /* printer-name, printer-info; or NULL */
	enum lt_printer_state state;
	bool accepting;
	const char *message;  /* printer-state-message, or NULL */
	const char **reasons; /* printer-state-reasons without "none" */
	size_t reason_count;
	unsigned *resolutions; /* square ones, dots an inch, ascending, each once */
	size_t resolution_count;
	struct lt_media *ready; /* loaded */
	size_t ready_count;
	struct lt_media *known; /* of media-col-database or media-supported, fixed sizes */
	size_t known_count;
	struct lt_media_range *ranges; /* custom sizes */
	size_t range_count;
	bool pwg, pdf;             /* document formats that it takes */
	bool black_1, sgray_8;     /* of PWG Raster */
	unsigned *pwg_resolutions; /* as resolutions; of PWG Raster alone, else the same */
	size_t pwg_resolution_count;
	unsigned copies_most;        /* 1 and more */
	unsigned trims;              /* LT_TRIM_ bits */
	bool create_job, cancel_job; /* operations */
	bool multiple_documents;     /* in one job */
	bool media_col;              /* media-col may be sent, with a size */
	int quality;                 /* best print-quality; 0 where it does not say */
	bool unscaled;               /* it can be told to leave pages at their size */
};

/* Reads an answer to Get-Printer-Attributes. Nothing in it is believed: sizes outside 1 to 2000 mm,
 * resolutions outside 50 to 4800, values of another type than they should be are passed over, each
 * kind with one warning; lists are cut at LT_PRINTER_LIST_MAX. False, with an error, when what
 * printing needs is not there: a document format that loomtag can send, with, for PWG Raster, a
 * resolution and a type. Texts are copied, with no control characters. Finish `out` either way. */
bool lt_printer_read(struct lt_printer *out, ipp_t *answer, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_printer_finish(struct lt_printer *printer);

/* Writes in plain words what a keyword of printer-state-reasons or job-state-reasons means ("out of
 * labels", "a cover is open"); one that is not known in its own words with spaces for dashes. */
void lt_reason_write(struct lt_text *out, const char *reason);

/* True for a reason for which printing waits until somebody does something: media-empty,
 * media-needed, media-jam, cover-open, door-open, offline, paused, marker-supply-empty, … with
 * whatever severity but -report and -warning; media-needed with -warning too, since that is how
 * some say that a job stands still for labels. */
bool lt_reason_stops(const char *reason);

/* True when it does not stop, and somebody should hear of it all the same: labels run low. */
bool lt_reason_warns(const char *reason);

#endif
