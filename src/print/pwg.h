/* Names of media. */
#ifndef LOOMTAG_PRINT_PWG_H
#define LOOMTAG_PRINT_PWG_H

#include "loomtag/print.h"

/* The self-describing name of a size in mm (PWG 5101.1): the registered one where there is one
 * ("iso_a4_210x297mm"), else a metric one of its own ("om_25x54mm_25x54mm"); the shorter side comes
 * first. */
void lt_media_name_write(struct lt_text *out, double width, double height);

#endif
