/* loomtag verify --photos: a picture a joint. */
#ifndef LOOMTAG_CLI_VERIFY_PHOTOS_H
#define LOOMTAG_CLI_VERIFY_PHOTOS_H

#include "cli/verification.h"

/* Reads the pictures named behind FILE, feeds what each shows, and says it in a line (not with
 * --json or --quiet). Sets verification->photos. EXIT_YES, or EXIT_INPUT when a picture could not
 * be read, after saying which; the others are read all the same. EXIT_SYSTEM when one could not be
 * kept in its job: then no more are read. */
int lt_verify_photos(struct verification *verification);

/* The picture of this line, for the JSON: the name as it was given, made UTF-8. */
json_t *lt_verify_photo_of(const struct verification *verification, unsigned line);

#endif
