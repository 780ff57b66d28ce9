/* What a PDF holds besides its pages: title and date, how it is to be printed, and pictures. */
#include "draw/pdf_objects.h"

#include <hpdf_info.h>
#include <hpdf_objects.h>
#include <stdlib.h>
#include <time.h>

static bool pack_pixels(struct lt_packed *out, const struct lt_image *image)
{
	return lt_pack_bytes(out, image->rgb, (size_t)image->width * image->height * 3);
}

/* Called by libharu when it writes a picture's dictionary. */
static HPDF_STATUS write_deflated(HPDF_Dict object, HPDF_Stream stream)
{
	(void)object;
	return HPDF_Stream_WriteStr(stream, "/Filter /FlateDecode\n");
}

static HPDF_STATUS write_jpeg(HPDF_Dict object, HPDF_Stream stream)
{
	(void)object;
	return HPDF_Stream_WriteStr(stream, "/Filter /DCTDecode\n");
}

/* An image (ISO 32000-1, 8.9.5) whose bytes libharu does not look into. */
static HPDF_Dict make_object(HPDF_Doc document, const struct lt_picture_kept *image)
{
	HPDF_Dict object = HPDF_DictStream_New(document->mmgr, document->xref);
	if (object == NULL)
		return NULL;
	object->write_fn = image->packed.jpeg ? write_jpeg : write_deflated;
	bool good = HPDF_Dict_AddName(object, "Type", "XObject") == HPDF_OK &&
		    HPDF_Dict_AddName(object, "Subtype", "Image") == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "Width", (HPDF_INT32)image->width) == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "Height", (HPDF_INT32)image->height) == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "BitsPerComponent", 8) == HPDF_OK &&
		    HPDF_Dict_AddName(object, "ColorSpace", "DeviceRGB") == HPDF_OK &&
		    HPDF_Stream_Write(object->stream, image->packed.bytes,
			    (HPDF_UINT)image->packed.length) == HPDF_OK;
	return good ? object : NULL;
}

HPDF_Dict lt_pdf_image_object(HPDF_Doc document, struct lt_pictures *pictures,
	const struct lt_image *image)
{
	struct lt_picture_kept *kept;
	if (!lt_pictures_keep(&kept, pictures, image, pack_pixels))
		return NULL;
	if (kept->object == NULL)
		kept->object = make_object(document, kept);
	return kept->object;
}

/* Libharu keeps text of at most this many bytes, two a UTF-16 unit. */
#define UNITS_MOST 2000

static void add_unit(struct lt_text *out, uint32_t unit)
{
	lt_text_add_char(out, (char)(unit >> 8 & 0xFF));
	lt_text_add_char(out, (char)(unit & 0xFF));
}

void lt_pdf_add_information(HPDF_Doc document, const char *key, const char *value)
{
	struct lt_text units = { 0 };
	add_unit(&units, 0xFEFF);
	for (uint32_t code; units.length < 2 * UNITS_MOST && (code = lt_utf8_next(&value)) != 0;) {
		code = lt_text_shown(code);
		if (code < 0x10000) {
			add_unit(&units, code);
			continue;
		}
		add_unit(&units, 0xD800 + ((code - 0x10000) >> 10));
		add_unit(&units, 0xDC00 + ((code - 0x10000) & 0x3FF));
	}
	HPDF_Binary binary =
		HPDF_Binary_New(document->mmgr, (HPDF_BYTE *)units.bytes, (HPDF_UINT)units.length);
	lt_text_finish(&units);
	if (binary != NULL)
		HPDF_Dict_Add(document->info, key, binary);
}

void lt_pdf_ask_actual_size(HPDF_Doc document)
{
	HPDF_Dict preferences = HPDF_Dict_New(document->mmgr);
	if (preferences != NULL &&
		HPDF_Dict_Add(document->catalog, "ViewerPreferences", preferences) == HPDF_OK)
		HPDF_Dict_AddName(preferences, "PrintScaling", "None");
}

bool lt_pdf_add_dates(HPDF_Doc document, long long date, struct lt_diags *diags)
{
	time_t seconds = (time_t)date;
	struct tm utc;
	if (gmtime_r(&seconds, &utc) == NULL || utc.tm_year < -1900 || utc.tm_year > 9999 - 1900) {
		lt_error(diags, lt_place_none(),
			"%lld seconds after 1970 is not a date in the years 0 to 9999", date);
		return false;
	}
	char text[48];
	snprintf(text, sizeof(text), "D:%04d%02d%02d%02d%02d%02dZ", utc.tm_year + 1900,
		utc.tm_mon + 1, utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec);
	static const char *const keys[] = { "CreationDate", "ModDate" };
	for (size_t i = 0; i < sizeof(keys) / sizeof(keys[0]); i++) {
		HPDF_String string = HPDF_String_New(document->mmgr, text, NULL);
		if (string != NULL)
			HPDF_Dict_Add(document->info, keys[i], string);
	}
	return true;
}
