/* Layouts in words, and as JSON. */
#ifndef LOOMTAG_CLI_LAYOUT_WORDS_H
#define LOOMTAG_CLI_LAYOUT_WORDS_H

#include <jansson.h>

#include "loomtag/label.h"

/* "sheet", "roll", "tape"; "plate", "flag", "wrap". Live for ever. */
const char *lt_layout_kind(const struct lt_layout *layout);
const char *lt_layout_style(const struct lt_layout *layout);

/* What counts for what is printed: a label's size, a tape's width, one face of a flag, the printed
 * zone of a wrap. */
void lt_layout_size(struct lt_text *out, const struct lt_layout *layout);

/* All its sizes, a line for each thing. */
void lt_layout_words(struct lt_text *out, const struct lt_layout *layout);

/* The same as an object; what a layout does not have is null. */
json_t *lt_layout_json(const struct lt_layout *layout);

#endif
