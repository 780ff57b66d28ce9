/* Site: the map as web pages, one a tag, that need no server: lt_map_site_write. */
#ifndef LOOMTAG_SITE_H
#define LOOMTAG_SITE_H

#include "loomtag/draw.h"

/* The harness map as static pages, for any web server that can serve files, and for a phone at the
 * bench.
 *
 * In a folder, for scan code 12HRV3J: 12HRV3J/index.html, so that the link BASE/12HRV3J leads to
 * it; for harness RV3: RV3/index.html with the overview, the hazards, the index and the wire list;
 * index.html, which leads to every harness in the folder; style.css; and pictures. The pages need
 * no script and nothing from other sites, and also work when opened as files. */

struct lt_map_site_options {
	const char *date; /* "2026-11-25" */
};

/* Writes the pages, each file whole, into `folder`, which is made when it is not there. Several
 * harnesses may share a folder. Pages of an earlier run for tags of this harness that no longer
 * exist (retired, or without that side now) are replaced by a page that says so; nothing else in
 * the folder is touched. *pages (may be NULL) is how many tag pages were written. False with an
 * error when something cannot be written. */
bool lt_map_site_write(size_t *pages, const char *folder, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_map_site_options *options,
	struct lt_fonts *fonts, struct lt_diags *diags);

#endif
