#include <stdlib.h>

#include "loomtag/photo.h"

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

/* The description's folder, for the caller to free. */
static char *folder_of(const struct lt_harness *harness)
{
	const char *file = harness->file != NULL ? harness->file : "";
	struct lt_text folder = { 0 };
	lt_text_add_bytes(&folder, file, (size_t)(lt_path_base(file) - file));
	return folder.bytes;
}

bool lt_photo_check(const struct lt_harness *harness, struct lt_diags *diags)
{
	bool good = true;
	char *folder = folder_of(harness);
	for (size_t i = 0; i < harness->connector_count; i++) {
		char shown[LT_QUOTE_SIZE];
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->photo == NULL ||
			lt_file_within(folder, connector->photo) != LT_WITHIN_OUTSIDE)
			continue;
		good = false;
		lt_error(diags, connector->photo_place,
			"connector %s: photo %s leads out of the description's folder",
			connector->id, lt_quote(shown, connector->photo));
		lt_hint(diags, "put the photograph itself beside the description, not a link");
	}
	free(folder);
	return good;
}

/* The bytes of the file, for the caller to free; NULL after telling. */
static char *read_bytes(size_t *length, const struct lt_harness *harness, const char *path,
	const struct lt_connector *connector, struct lt_diags *diags)
{
	struct lt_diags found;
	char *bytes = NULL;
	char *folder = folder_of(harness);
	lt_diags_init(&found);
	if (lt_file_within(folder, connector->photo) == LT_WITHIN_AWAY) {
		lt_error(&found, lt_place_none(), "is not there");
		lt_hint(&found, "the name is taken from the description's folder on");
	} else if (!lt_file_read_within(&bytes, length, folder, connector->photo,
			   LT_IMAGE_BYTES_MOST, &found)) {
		bytes = NULL;
	}
	struct lt_text what = { 0 };
	lt_text_printf(&what, "\"%s\" ", path);
	warn(diags, connector, lt_text_string(&what), &found);
	lt_text_finish(&what);
	lt_diags_finish(&found);
	free(folder);
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
	char *bytes = read_bytes(&length, harness, path, about, diags);
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
