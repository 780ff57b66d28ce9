/* IPP for the files of this room: answers, which may hold anything, and names and numbers. */
#ifndef LOOMTAG_PRINT_IPP_H
#define LOOMTAG_PRINT_IPP_H

#include "loomtag/print.h"

/* A longer answer is refused. */
#define LT_ANSWER_MAX ((size_t)4 << 20)

/* Finishings that cut, as IPP names them and as bits. */
#define LT_TRIMS 4
extern const struct lt_trim {
	int finishing;
	unsigned bit;
} lt_trims[LT_TRIMS];

/* The answer, which the caller deletes with ippDelete; NULL when the bytes are not an answer (RFC
 * 8010), end in the middle, or have collections nested too deeply. */
ipp_t *lt_answer_parse(const char *bytes, size_t length);

/* A copy of a text from the printer, without control characters, no longer than RFC 8011, 5.1.3
 * allows. */
const char *lt_answer_text(struct lt_arena *arena, const char *text);

/* IPP and libcups count lengths in hundredths of a millimetre. */
int lt_hundredths(double mm);

/* The self-describing name of a size in mm (PWG 5101.1): the registered one where there is one
 * ("iso_a4_210x297mm"), else a new metric one ("om_25x54mm_25x54mm"); the shorter side comes
 * first. */
void lt_media_name_write(struct lt_text *out, double width, double height);

/* Reads an answer to Get-Printer-Attributes. Sizes outside 1 to 2000 mm, resolutions outside 50 to
 * 4800 and values of the wrong type are ignored, each kind with one warning;
 * lists are cut at LT_PRINTER_LIST_MAX. False, with an error, when what printing needs is
 * missing: a document format that loomtag can send, with, for PWG Raster, a resolution and a type.
 * Texts are copied. Finish `out` either way. */
bool lt_printer_read(struct lt_printer *out, ipp_t *answer, struct lt_diags *diags);

#endif
