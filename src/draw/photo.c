#include "loomtag/photo.h"

#include <stdlib.h>

#include "loomtag/file.h"
#include "loomtag/text.h"

char *lt_photo_path(const struct lt_harness *harness, size_t connector)
{
	const char *photo = harness->connectors[connector].photo;
	if (photo == NULL)
		return NULL;
	struct lt_text path = { 0 };
	if (photo[0] != '/' && harness->file != NULL)
		lt_text_add_bytes(&path, harness->file,
			(size_t)(lt_path_base(harness->file) - harness->file));
	lt_text_add(&path, photo);
	return path.bytes;
}

/* Says as a warning what was found as errors. `what` stands before each. */
static void warn(struct lt_diags *diags, const struct lt_connector *connector, const char *what,
	const struct lt_diags *found)
{
	for (size_t i = 0; i < found->count; i++) {
		const struct lt_diag *item = &found->items[i];
		lt_warning(diags, connector->place,
			"connector %s is shown with no photograph: %s%s", connector->id, what,
			item->message);
		if (item->hint != NULL)
			lt_hint(diags, "%s", item->hint);
	}
}

/* The bytes of the file, for the caller to free; NULL after telling. */
static char *read_bytes(size_t *length, const char *path, const struct lt_connector *connector,
	struct lt_diags *diags)
{
	struct lt_diags found;
	char *bytes = NULL;
	lt_diags_init(&found);
	if (!lt_file_read_if_there(&bytes, length, path, LT_IMAGE_BYTES_MOST, &found)) {
		bytes = NULL;
	} else if (bytes == NULL) {
		lt_error(&found, lt_place_none(), "is not there");
		lt_hint(&found, "the name is taken from the description's folder on");
	}
	struct lt_text what = { 0 };
	lt_text_printf(&what, "\"%s\" ", path);
	warn(diags, connector, lt_text_string(&what), &found);
	lt_text_finish(&what);
	lt_diags_finish(&found);
	return bytes;
}

bool lt_photo_read(struct lt_image *out, const struct lt_harness *harness, size_t connector,
	unsigned long pixels_most, struct lt_diags *diags)
{
	*out = (struct lt_image){ 0 };
	const struct lt_connector *about = &harness->connectors[connector];
	char *path = lt_photo_path(harness, connector);
	if (path == NULL)
		return false;
	size_t length;
	char *bytes = read_bytes(&length, path, about, diags);
	bool good = false;
	if (bytes != NULL) {
		struct lt_diags found;
		lt_diags_init(&found);
		good = lt_image_read(out, about->place, path, (const unsigned char *)bytes, length,
			pixels_most, &found);
		warn(diags, about, "", &found);
		lt_diags_finish(&found);
	}
	free(bytes);
	free(path);
	return good;
}
