/* The bytes of an answer over IPP, made into one. */
#ifndef LOOMTAG_PRINT_ANSWER_H
#define LOOMTAG_PRINT_ANSWER_H

#include "loomtag/print.h"

#include <cups/cups.h>
#include <stddef.h>

/* An answer that is longer is none. */
#define LT_ANSWER_MAX ((size_t)4 << 20)

/* The answer, which the caller deletes with ippDelete; NULL when the bytes are none (RFC 8010), end
 * in the middle, or have collections in one another beyond all use. */
ipp_t *lt_answer_parse(const char *bytes, size_t length);

#endif
