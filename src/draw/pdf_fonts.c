/* Fonts of a PDF: single-byte encodings made for the characters that are used. */
#include "draw/pdf_fonts.h"
#include "loomtag/base.h"

#include <hpdf_encoder.h>
#include <hpdf_font.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CODES 0x10000u
#define FIRST_FREE 128u
#define BYTES 256u

struct lt_pdf_encoding {
	HPDF_Encoder encoder;
	HPDF_Dict to_unicode;
	unsigned next; /* byte to be given out */
	struct {
		HPDF_Font font;
		bool used[BYTES];
	} faces[LT_TYPEFACE_COUNT];
};

void lt_pdf_fonts_init(struct lt_pdf_fonts *out, HPDF_Doc document, struct lt_fonts *fonts)
{
	*out = (struct lt_pdf_fonts){ .document = document, .fonts = fonts };
	out->places = lt_alloc_array(CODES, sizeof(*out->places));
}

void lt_pdf_fonts_finish(struct lt_pdf_fonts *fonts)
{
	free(fonts->encodings);
	free(fonts->places);
	*fonts = (struct lt_pdf_fonts){ 0 };
}

/* Called by libharu when it writes a font: the names of the bytes given out. `uniXXXX` is the one
 * form of the glyph naming convention that is never ambiguous; "Omega" means the ohm sign to some
 * readers and the Greek letter to others. ASCII is as in the base encoding. */
static HPDF_STATUS write_encoding(HPDF_Encoder encoder, HPDF_Stream stream)
{
	const HPDF_BasicEncoderAttr_Rec *attr = encoder->attr;
	HPDF_STATUS status = HPDF_Stream_WriteStr(stream,
		"/Encoding <<\n/Type /Encoding\n/BaseEncoding /WinAnsiEncoding\n/Differences [128");
	for (unsigned byte = FIRST_FREE; status == HPDF_OK && byte < BYTES; byte++) {
		if (!attr->differences[byte])
			break;
		char name[16];
		snprintf(name, sizeof(name), " /uni%04X", (unsigned)attr->unicode_map[byte]);
		status = HPDF_Stream_WriteStr(stream, name);
	}
	return status == HPDF_OK ? HPDF_Stream_WriteStr(stream, "]\n>>\n") : status;
}

/* An encoding for libharu to own: its own kind, whose table we fill in later. */
static HPDF_Encoder make_encoder(HPDF_Doc document, size_t number)
{
	HPDF_Encoder encoder = HPDF_BasicEncoder_New(document->mmgr, HPDF_ENCODING_WIN_ANSI);
	if (encoder == NULL)
		return NULL;
	snprintf(encoder->name, sizeof(encoder->name), "Loomtag%zu", number);
	encoder->write_fn = write_encoding;
	HPDF_BasicEncoderAttr attr = encoder->attr;
	attr->first_char = ' ';
	attr->last_char = BYTES - 1;
	for (unsigned byte = FIRST_FREE; byte < BYTES; byte++)
		attr->unicode_map[byte] = LT_REPLACEMENT;
	return HPDF_Doc_RegisterEncoder(document, encoder) == HPDF_OK ? encoder : NULL;
}

/* An encoding that libharu refuses to make is kept all the same, with no encoder: its text is
 * not drawn, and the document will not be written. */
static struct lt_pdf_encoding *add_encoding(struct lt_pdf_fonts *fonts)
{
	fonts->encodings = lt_grow(fonts->encodings, &fonts->room, fonts->count + 1,
		sizeof(*fonts->encodings));
	struct lt_pdf_encoding *encoding = &fonts->encodings[fonts->count];
	*encoding = (struct lt_pdf_encoding){ .next = FIRST_FREE };
	encoding->encoder = make_encoder(fonts->document, fonts->count);
	if (encoding->encoder != NULL)
		encoding->to_unicode =
			HPDF_DictStream_New(fonts->document->mmgr, fonts->document->xref);
	if (encoding->to_unicode != NULL)
		encoding->to_unicode->filter = HPDF_STREAM_FILTER_FLATE_DECODE;
	fonts->count++;
	return encoding;
}

/* Gives a character the next free byte. */
static uint16_t give_place(struct lt_pdf_fonts *fonts, uint32_t code)
{
	struct lt_pdf_encoding *encoding =
		fonts->count > 0 ? &fonts->encodings[fonts->count - 1] : NULL;
	if (encoding == NULL || encoding->next == BYTES)
		encoding = add_encoding(fonts);
	unsigned byte = encoding->next++;
	if (encoding->encoder != NULL) {
		HPDF_BasicEncoderAttr attr = encoding->encoder->attr;
		attr->unicode_map[byte] = (HPDF_UNICODE)code;
		attr->differences[byte] = 1;
	}
	return (uint16_t)((fonts->count - 1) << 8 | byte);
}

unsigned char lt_pdf_fonts_place(unsigned *encoding, struct lt_pdf_fonts *fonts,
	enum lt_typeface face, uint32_t code)
{
	code = lt_font_shown(fonts->fonts, face, code);
	if (code < FIRST_FREE)
		return (unsigned char)code;
	if (fonts->places[code] == 0)
		fonts->places[code] = give_place(fonts, code);
	*encoding = fonts->places[code] >> 8;
	return (unsigned char)(fonts->places[code] & 0xFF);
}

HPDF_Font lt_pdf_fonts_get(struct lt_pdf_fonts *fonts, enum lt_typeface face, unsigned encoding)
{
	if (fonts->count == 0)
		add_encoding(fonts);
	struct lt_pdf_encoding *in = &fonts->encodings[encoding];
	if (in->faces[face].font != NULL || in->to_unicode == NULL)
		return in->faces[face].font;
	if (fonts->names[face] == NULL)
		fonts->names[face] = HPDF_LoadTTFontFromFile(fonts->document,
			lt_font_path(fonts->fonts, face), HPDF_TRUE);
	if (fonts->names[face] == NULL)
		return NULL;
	HPDF_Font font = HPDF_GetFont(fonts->document, fonts->names[face], in->encoder->name);
	if (font != NULL && HPDF_Dict_Add(font, "ToUnicode", in->to_unicode) == HPDF_OK)
		in->faces[face].font = font;
	return in->faces[face].font;
}

void lt_pdf_fonts_use(struct lt_pdf_fonts *fonts, enum lt_typeface face, unsigned encoding,
	unsigned char byte)
{
	struct lt_pdf_encoding *in = &fonts->encodings[encoding];
	if (in->faces[face].used[byte] || in->faces[face].font == NULL)
		return;
	/* libharu keeps the glyphs whose width it was asked for. */
	HPDF_Font_TextWidth(in->faces[face].font, &byte, 1);
	in->faces[face].used[byte] = true;
}

/* A ToUnicode map (ISO 32000-1, 9.10.3), at most 100 entries a block. */
static void write_to_unicode(struct lt_text *out, const struct lt_pdf_encoding *encoding)
{
	const HPDF_BasicEncoderAttr_Rec *attr = encoding->encoder->attr;
	lt_text_add(out,
		"/CIDInit /ProcSet findresource begin\n"
		"12 dict begin\n"
		"begincmap\n"
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
		"/CMapName /Adobe-Identity-UCS def\n"
		"/CMapType 2 def\n"
		"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n"
		"1 beginbfrange\n<20> <7E> <0020>\nendbfrange\n");
	for (unsigned byte = FIRST_FREE; byte < encoding->next;) {
		unsigned end = encoding->next - byte > 100 ? byte + 100 : encoding->next;
		lt_text_printf(out, "%u beginbfchar\n", end - byte);
		for (; byte < end; byte++)
			lt_text_printf(out, "<%02X> <%04X>\n", byte,
				(unsigned)attr->unicode_map[byte]);
		lt_text_add(out, "endbfchar\n");
	}
	lt_text_add(out, "endcmap\n"
			 "CMapName currentdict /CMap defineresource pop\n"
			 "end\nend\n");
}

void lt_pdf_fonts_close(struct lt_pdf_fonts *fonts)
{
	struct lt_text text = { 0 };
	for (size_t i = 0; i < fonts->count; i++) {
		struct lt_pdf_encoding *encoding = &fonts->encodings[i];
		if (encoding->to_unicode == NULL)
			continue;
		lt_text_clear(&text);
		write_to_unicode(&text, encoding);
		HPDF_Stream_Write(encoding->to_unicode->stream, (const HPDF_BYTE *)text.bytes,
			(HPDF_UINT)text.length);
	}
	lt_text_finish(&text);
}
