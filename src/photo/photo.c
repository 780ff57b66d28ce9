/* The photos that a description names. */
#include <stdlib.h>

#include "photo/picture.h"

/* The path of `name` from the description's folder on, for the caller to free. */
static char *beside(const struct lt_harness *harness, const char *name)
{
	struct lt_text path = { 0 };
	if (name[0] != '/' && harness->file != NULL)
		lt_text_add_bytes(&path, harness->file,
			(size_t)(lt_path_base(harness->file) - harness->file));
	lt_text_add(&path, name);
	return path.bytes;
}

char *lt_photo_path(const struct lt_harness *harness, size_t connector)
{
	const char *photo = harness->connectors[connector].photo;
	return photo != NULL ? beside(harness, photo) : NULL;
}

/* Adds as warnings what was found as errors. `file` is NULL where the errors name it themselves. */
static void warn(struct lt_diags *diags, const struct lt_connector *connector, const char *file,
	const struct lt_diags *found)
{
	for (size_t i = 0; i < found->count; i++) {
		const struct lt_diag *item = &found->items[i];
		if (file != NULL)
			lt_warning(diags, connector->place,
				"connector %s is shown without its photo \"%s\": %s", connector->id,
				file, item->message);
		else
			lt_warning(diags, connector->place,
				"connector %s is shown without its photo: %s", connector->id,
				item->message);
		if (item->hint != NULL)
			lt_hint(diags, "%s", item->hint);
	}
}

bool lt_photo_check(const struct lt_harness *harness, struct lt_diags *diags)
{
	bool good = true;
	char *folder = beside(harness, "");
	for (size_t i = 0; i < harness->connector_count; i++) {
		char shown[LT_QUOTE_SIZE];
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->photo == NULL ||
			lt_file_within(folder, connector->photo) != LT_WITHIN_OUTSIDE)
			continue;
		good = false;
		lt_error(diags, connector->photo_place,
			"connector %s: photo: %s is outside the folder of the description",
			connector->id, lt_quote(shown, connector->photo));
		lt_hint(diags,
			"copy the photo itself into the folder of the description, not a link to it");
	}
	free(folder);
	return good;
}

bool lt_photo_read(struct lt_image *out, const struct lt_harness *harness, size_t connector,
	unsigned long pixels_most, struct lt_diags *diags)
{
	const struct lt_connector *about = &harness->connectors[connector];
	*out = (struct lt_image){ 0 };
	if (about->photo == NULL)
		return false;
	struct lt_diags found = { 0 };
	char *bytes = NULL;
	size_t length;
	bool good = false;
	char *path = beside(harness, about->photo);
	char *folder = beside(harness, "");
	if (lt_file_within(folder, about->photo) == LT_WITHIN_MISSING) {
		lt_error(&found, lt_place_none(), "the file does not exist");
		lt_hint(&found, "write the name as seen from the folder of the description");
	} else if (lt_file_read_within(&bytes, &length, folder, about->photo, LT_IMAGE_BYTES_MOST,
			   &found)) {
		good = lt_image_read(out, about->place, path, (const unsigned char *)bytes, length,
			pixels_most, &found);
	}
	/* Errors in the bytes name the picture themselves. */
	warn(diags, about, bytes == NULL ? path : NULL, &found);
	lt_diags_finish(&found);
	free(folder);
	free(bytes);
	free(path);
	return good;
}
