/* Print: printers over IPP: finding them, the link to one, what it can do and what is loaded, which
 * layout fits that, a job that is sent once and followed until it is over, PWG Raster, and the file
 * of unfinished prints.
 * To use it: lt_link_open, lt_link_printer, lt_media_layout, a document by lt_pwg_create,
 * lt_print_job_send, lt_print_job_ask; lt_printers_find lists the printers. */
#ifndef LOOMTAG_PRINT_H
#define LOOMTAG_PRINT_H

#include <cups/cups.h>

#include "loomtag/draw.h"

/* What a printer reports over the Internet Printing Protocol (RFC 8011, PWG 5100.14): what it can
 * do, what is loaded, and its state. Lengths in mm. */

/* A medium. On a roll or tape the height is along the feed; for a loaded medium of no fixed length
 * it is the longest page that can be printed. */
struct lt_media {
	const char *name; /* self-describing (PWG 5101.1), or NULL */
	double width, height;
	double least_width, least_height; /* the lower end of a range of sizes; else the same as
					     width and height */
};

struct lt_media_list {
	struct lt_media *items;
	size_t count;
};

/* Resolutions that are equal in both directions, in dots per inch, ascending, each once. */
struct lt_dpi_list {
	unsigned *items;
	size_t count;
};

/* Where the printer can cut (finishings of PWG 5100.1: trim-after-pages, -documents, -job, and
 * trim, which does not say where). */
enum {
	LT_TRIM_PAGES = 1 << 0,
	LT_TRIM_DOCUMENTS = 1 << 1,
	LT_TRIM_JOB = 1 << 2,
	LT_TRIM_ANY = 1 << 3
};

#define LT_PRINTER_LIST_MAX 64u /* items of each list; more are ignored */

struct lt_printer {
	struct lt_arena arena;
	ipp_pstate_t state; /* 0: not reported */
	bool accepting;
	const char *message;  /* printer-state-message, or NULL */
	const char **reasons; /* printer-state-reasons without "none" */
	size_t reason_count;
	struct lt_media_list ready;  /* loaded */
	struct lt_media_list known;  /* of media-col-database or media-supported, fixed sizes */
	struct lt_media_list ranges; /* of sizes that a job may ask for */
	bool pwg, pdf;               /* document formats that it accepts */
	bool black_1;                /* accepts PWG Raster of type black_1; else sgray_8 */
	struct lt_dpi_list resolutions;
	struct lt_dpi_list pwg_resolutions; /* for PWG Raster if the printer reports them, else
					       `resolutions` */
	unsigned trims;                     /* LT_TRIM_ bits */
	bool create_job, cancel_job;        /* operations that it supports */
	bool media_col;                     /* a job may have media-col with a size */
	int quality;                        /* best print-quality; 0: not reported */
	bool unscaled;                      /* a job may ask that pages keep their size */
};

/* The resolutions for the format that is sent to it: pwg_resolutions if it accepts PWG Raster, else
 * `resolutions`. */
const struct lt_dpi_list *lt_printer_dpi(const struct lt_printer *printer);

/* Takes NULL or a zeroed struct. */
void lt_printer_finish(struct lt_printer *printer);

/* Adds the meaning of a keyword of printer-state-reasons or job-state-reasons, from
 * lt_printer_reason_words; an unknown keyword itself, with spaces for dashes. */
void lt_reason_add(struct lt_text *out, const char *reason);

/* True for a reason that stops printing until a person does something: media-empty, media-needed,
 * media-jam, cover-open, door-open, offline, paused, marker-supply-empty, … with any severity but
 * -report and -warning; media-needed with -warning too, since some printers report so that a job
 * waits for labels. */
bool lt_reason_stops(const char *reason);

/* True for a warning that would stop printing if it were an error: if the printer does not print,
 * this may be why. */
bool lt_reason_may_stop(const char *reason);

/* True for a reason that does not stop printing, but that a person should know, for example that
 * few labels are left. */
bool lt_reason_warns(const char *reason);

/* The link to one printer: finding it, asking it, and sending it jobs, with libcups over IPP. Every
 * wait has a limit, and nothing is sent a second time unless the caller asks for it. */

struct lt_link;

struct lt_link_options {
	unsigned connect_ms; /* limit for a connection */
	unsigned answer_ms;  /* limit for an answer, and for each block of a document */
	unsigned find_ms;    /* limit for finding a printer by name on the network */
	const char *user;    /* NULL: the user who runs the program */
	/* Called when the printer needs a password. The prompt also says when the password would go
	 * over the network unencrypted. If it is NULL or returns NULL, the request fails. What it
	 * returns is copied at once. */
	const char *(*password)(void *data, const char *prompt);
	/* Called before a document, between its blocks, and twice a second while the link waits for
	 * the printer. False ends the request with an error, and leaves a document incomplete.
	 * May be NULL. It is not called from a signal handler. */
	bool (*may_continue)(void *data);
	void *data;           /* argument of both functions */
	bool any_certificate; /* do not check the certificate of an ipps printer */
	/* Folder of certificates that were saved for machines, HOST.crt (PEM): where there is one,
	 * the machine must send the same, whoever signed it. NULL: there are none. */
	const char *certificates;
};
#define LT_LINK_OPTIONS_INIT \
	{ \
		10000, 30000, 5000, NULL, NULL, NULL, NULL, false, NULL \
	}

/* Opens the link to a printer; texts and data of the options must outlive it. `printer` is a URI
 * (ipp, ipps, http, https), the name of a print queue here, or the name under which a printer
 * announces itself on the network (DNS-SD). NULL, with an error that says which step failed and
 * what to do, if there is no such printer, it does not answer, its certificate is not valid, or it
 * refuses the request. */
struct lt_link *lt_link_open(const char *printer, const struct lt_link_options *options,
	struct lt_diags *diags);
void lt_link_close(struct lt_link *link);

/* The printer's URI, as requests have it; owned by the link. */
const char *lt_link_uri(const struct lt_link *link);

/* Asks the printer what it can do (Get-Printer-Attributes). The answer is checked: impossible
 * values are ignored, with a warning. False, with an error, if something is missing that printing
 * needs. Finish `out` either way. */
bool lt_link_printer(struct lt_printer *out, struct lt_link *link, struct lt_diags *diags);

/* What became of a document. */
struct lt_sent {
	bool began;   /* a part of it may have been sent */
	bool whole;   /* all of it was sent, perhaps without an answer */
	bool refused; /* the printer answered that it does not accept it: what it had received by
		       * then may be printed all the same */
	bool unfit;   /* the printer answered that it does not support such documents */
};

/* Printers that were found. */
struct lt_found {
	const char *name; /* for --to */
	const char *uri;
	bool queue; /* a print queue of this machine; else a printer on the network */
};
struct lt_found_list {
	struct lt_arena arena;
	struct lt_found *items;
	size_t count;
};

/* Searches for `milliseconds` for print queues and for IPP printers on the network (DNS-SD). Sorted
 * by name, a queue before a printer of the same name, each once. If `name` is not NULL, ends
 * earlier when a queue of exactly that name is found. Finish `out`. */
void lt_printers_find(struct lt_found_list *out, const char *name, unsigned milliseconds);
void lt_found_list_finish(struct lt_found_list *list);

/* Which layout fits what is loaded in a printer. */

/* Sizes that differ by less than this, in mm, are equal: some printers round the sizes in names of
 * media to whole mm. */
#define LT_MEDIA_SLACK 0.6

/* True when pages of the layout are printed on the medium turned by a quarter: on a tape, whose
 * pages are as wide as they are long along the feed, and on a medium that the printer reports with
 * width and height exchanged. Call it only for a medium that fits the layout. */
bool lt_media_turned(const struct lt_media *media, const struct lt_layout *layout);

/* The loaded medium that fits the layout, preferably one that is not turned. If the printer does
 * not report what is loaded, one of the sizes that it supports. NULL if there is none. */
const struct lt_media *lt_media_fitting(const struct lt_printer *printer,
	const struct lt_layout *layout);

/* Whether what is loaded fits the layout. False, with an error that names both sizes, when it does
 * not. If the printer does not report what is loaded: false, with an error that names its sizes,
 * for a size that it does not support, else true with a warning. */
bool lt_media_check(const struct lt_printer *printer, const struct lt_layout *layout,
	struct lt_diags *diags);

/* The layout of `stock` that fits what is loaded, preferably at a resolution of the printer. NULL,
 * with an error that names what is loaded and the nearest layouts, when there is none, or the
 * printer does not say what is loaded; and with an error that names them and --layout, when several
 * fit that are not the same labels (a plate and a wrap of the same size, or one with width and
 * height exchanged). */
const struct lt_layout *lt_media_layout(const struct lt_printer *printer,
	const struct lt_stock *stock, struct lt_diags *diags);

/* The resolution to draw at: the layout's own where the printer has it, else the printer's nearest.
 * 0, with an error, if loomtag cannot draw at any of them. Warns if it differs from the layout's.
 * For a PDF, if the printer reports none: the layout's own, or 600. */
unsigned lt_media_dpi(const struct lt_printer *printer, const struct lt_layout *layout, bool pdf,
	struct lt_diags *diags);

/* A print job: its settings, its progress and its end. */

enum lt_format { LT_FORMAT_PWG, LT_FORMAT_PDF };

/* "image/pwg-raster", "application/pdf": a static string. */
const char *lt_format_type(enum lt_format format);

/* The settings of a job. */
struct lt_print_job_ticket {
	const char *name;
	enum lt_format format;
	double width, height; /* of the medium, mm, as the printer reports it; 0: not set */
	unsigned dpi;         /* 0: not asked for */
	unsigned trim;        /* one LT_TRIM_ bit, or 0 */
};

struct lt_print_job_status {
	struct lt_arena arena;
	ipp_jstate_t state;   /* RFC 8011 5.3.7; 0 when it is not known */
	bool forgotten;       /* the printer does not know the job (any more) */
	long impressions;     /* completed; -1: not reported */
	const char **reasons; /* of the job and of its printer, each once, without "none" */
	size_t reason_count;
	size_t job_reason_count; /* how many of them, from the first, are the job's */
	const char *message;     /* or NULL */
	bool idle;               /* the printer has nothing to do */
	bool incomplete;         /* a part of the job is missing at the printer */
};

/* Sends a job with the document of `stream`, once; `printer` is what lt_link_printer found. Sets
 * *id to the job's number, 0 if there is no job or its number is not known. Sets *sent, also after
 * an error: the printer may print the part that it received. If the printer answers that it would
 * use another medium, resolution or scale than the ticket's, no document is sent. False, with an
 * error; then cancel the job if *id is not 0. */
bool lt_print_job_send(int *id, struct lt_sent *sent, struct lt_link *link,
	const struct lt_printer *printer, const struct lt_print_job_ticket *ticket, FILE *stream,
	struct lt_diags *diags);

/* Asks for the state of the job. False, with an error, if the printer does not report it. Finish
 * `out` either way. */
bool lt_print_job_ask(struct lt_print_job_status *out, struct lt_link *link, int id,
	struct lt_diags *diags);
void lt_print_job_status_finish(struct lt_print_job_status *status);

/* Whether this is one of the reasons of the job or of its printer. */
bool lt_print_job_has(const struct lt_print_job_status *status, const char *reason);

/* True when the job is cancelled, aborted, completed or forgotten: nothing more will happen. */
bool lt_print_job_is_over(const struct lt_print_job_status *status);

/* Cancels the job at the printer. NULL if it is cancelled or over, else why not: a text that is
 * valid as long as the link. */
const char *lt_print_job_cancel(struct lt_link *link, int id);

/* PWG Raster (PWG 5102.4): pages of dots as printers accept them, "image/pwg-raster". */

enum lt_pwg_type {
	LT_PWG_BLACK_1, /* a bit a dot, 1 black */
	LT_PWG_SGRAY_8  /* a byte a dot, 255 white */
};

/* "black_1", "sgray_8": a static string. */
const char *lt_pwg_type_name(enum lt_pwg_type type);

struct lt_pwg;

/* Begins a document on `stream`, which is not owned. `pages` is the number of pages, which is in
 * the header of each page; 0: not known. With `turn` pages are turned by a quarter clockwise, so
 * that their left edge is printed first: for a tape, or for labels across the feed. NULL, with an
 * error, when the stream cannot be written. */
struct lt_pwg *lt_pwg_create(FILE *stream, enum lt_pwg_type type, unsigned pages, bool turn,
	struct lt_diags *diags);

/* The sink that writes the pages of a raster (lt_raster_create_dots); they may differ in size.
 * The header has the page's size in points and by name, from its mm, and its dots as given. The
 * number of copies belongs to the job, not to the document. False, with an error, when the
 * resolution is not a whole number, a side of the page is not 1 to 2000 mm long, or the stream
 * cannot be written. */
struct lt_dot_sink lt_pwg_sink(struct lt_pwg *pwg);

/* Finishes the document. False, with an error, if the stream could not be written or the number of
 * pages is not `pages`. */
bool lt_pwg_finish(struct lt_pwg *pwg, struct lt_diags *diags);

/* Takes NULL. */
void lt_pwg_destroy(struct lt_pwg *pwg);

/* A print that was not completed, or perhaps not: NAME.print beside the description keeps it, so
 * that the remaining stickers can be printed, and none twice. */

#define LT_UNFINISHED_MAX (16u * 1024 * 1024) /* bytes */

struct lt_unfinished_tag {
	unsigned number;
	enum lt_side side;
};

struct lt_unfinished {
	struct lt_arena arena;
	const char *code; /* the harness code, with unit */
	const char *printer, *layout;
	size_t counted;                 /* stickers that were printed, by the printer's count */
	struct lt_unfinished_tag *tags; /* in the order they were sent */
	size_t count;
};

/* Reads a file; a zeroed struct, and true, when there is none. False, with an error, when it is
 * damaged. Finish `out` either way. */
bool lt_unfinished_read_file(struct lt_unfinished *out, const char *path, struct lt_diags *diags);

/* Writes it in the format that lt_unfinished_read_file reads. */
void lt_unfinished_write(struct lt_text *out, const struct lt_unfinished *unfinished);

/* Takes NULL or a zeroed struct. */
void lt_unfinished_finish(struct lt_unfinished *unfinished);

/* The index of a tag; `count` if it was not sent. Of several copies the one nearest to the
 * printer's count: with `printed` nearest to the last printed sticker (counted - 1), else to the
 * next one. */
size_t lt_unfinished_find(const struct lt_unfinished *unfinished,
	const struct lt_unfinished_tag *tag, bool printed);

/* Reads a tag such as "12M", in upper or lower case. False for any other text. */
bool lt_unfinished_tag_read(struct lt_unfinished_tag *out, const char *text);

#endif
