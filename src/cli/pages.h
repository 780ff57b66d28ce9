/* Where drawn pages go: one PDF, or a PNG or SVG a page. Nothing is written under its final name
 * before everything was drawn. */
#ifndef LOOMTAG_CLI_PAGES_H
#define LOOMTAG_CLI_PAGES_H

#include <stdbool.h>

#include "loomtag/draw.h"

struct page_bytes;

struct pages {
	struct lt_canvas canvas; /* to draw on */
	struct lt_output pdf;
	const char *path;
	const char *const *keep;
	struct page_bytes *files;
	size_t count;
	size_t room;
	bool prepared;
	bool placed;   /* a file has its name already */
	bool numbered; /* also a single page, so that no two of several sets get the same name */
};

/* What there can be: a PDF always. */
struct pages_options {
	const struct lt_pdf_options *pdf; /* an SVG has its title */
	double dpi;                       /* of PNGs; 0: none of them */
	bool colour;                      /* PNGs are in colour, not black and white */
	bool svg;
};

/* Opens what the ending of `path` asks for, in either case: .pdf, or what else the options allow.
 * False after telling in `diags`. */
bool lt_pages_open(struct pages *out, const char *path, const char *const *keep,
	struct lt_fonts *fonts, const struct pages_options *options, struct lt_diags *diags);

/* True when every file may be written; else tells which may not. Before the first of several sets
 * is committed. */
bool lt_pages_allowed(const struct pages *pages, struct lt_diags *diags);

/* Ends the drawing and writes all of it to disk under temporary names, so that only the renaming is
 * left. False after telling why not. */
bool lt_pages_prepare(struct pages *pages, struct lt_diags *diags);

/* Prepares, where that is not done, and gives the files their names. A single page that is a file
 * is called by `path`, more are PATH-01.png and so on. */
bool lt_pages_commit(struct pages *pages, struct lt_diags *diags);

/* Takes a zeroed struct. What was not committed is thrown away. */
void lt_pages_finish(struct pages *pages);

/* "stickers.pdf", or "stickers-01.png to stickers-07.png"; from the arena. */
const char *lt_pages_names(struct lt_arena *arena, const struct pages *pages);

#endif
