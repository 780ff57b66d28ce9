/* The values of an answer, none of them believed: what both readers of it share. */
#ifndef LOOMTAG_PRINT_FACTS_H
#define LOOMTAG_PRINT_FACTS_H

#include "loomtag/print.h"

/* What can be wrong with a value; each is told once. */
enum facts_kind {
	FACTS_TYPE,
	FACTS_SIZE,
	FACTS_MARGIN,
	FACTS_RESOLUTION,
	FACTS_COUNT,
	FACTS_TOO_MANY,
	FACTS_KINDS
};

struct facts {
	struct lt_printer *out;
	ipp_t *answer;
	struct lt_diags *diags;
	bool told[FACTS_KINDS];
};

/* Tells that a value of the attribute is passed over, once for each kind. */
void lt_facts_pass_over(struct facts *facts, enum facts_kind kind, const char *attribute);

/* The printer's attribute of that name, or NULL where it is not there, or has no value. */
ipp_attribute_t *lt_facts_find(struct facts *facts, const char *name);

/* The value of a keyword, a name, a text or the like; NULL, after telling, for another type. Owned
 * by the answer and not clean. */
const char *lt_facts_string(struct facts *facts, ipp_attribute_t *attribute, int index);

/* A copy with no control characters, in the printer's arena. */
const char *lt_facts_copy(struct facts *facts, const char *text);

/* Reads what is loaded, the sizes that it knows, and those that it can be told. */
void lt_facts_media(struct facts *facts);

#endif
