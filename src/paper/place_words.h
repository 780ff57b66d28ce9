/* How places are looked up: by the thing that they name. */
#ifndef LOOMTAG_PAPER_PLACE_WORDS_H
#define LOOMTAG_PAPER_PLACE_WORDS_H

/* The part of a place behind words such as "behind the" and "top of": "left cover" of "behind the
 * left cover"; all of it where nothing is behind them. Points into the place. */
const char *lt_place_thing(const char *place);

/* The order of places, as strcmp: by the thing, then by the whole; letters without case, and
 * numbers by their length first, so that lane 2 comes before lane 10. NULL, for none given, is
 * last. 0 for equal bytes alone. */
int lt_place_compare(const char *a, const char *b);

#endif
