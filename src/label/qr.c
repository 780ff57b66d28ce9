/* QR codes: the version and the highest level of error correction it has room for. */
#include <errno.h>
#include <qrencode.h>
#include <string.h>

#include "loomtag/label.h"

#define LEVELS 4
#define MODE_BITS 4u
#define ECI_UTF8 26u       /* the assignment number of UTF-8 */
#define LONGEST_TEXT 7089u /* digits that the largest symbol holds */
#define SHOWN_TEXT 40      /* bytes of a text in a message */

/* The standard asks for 12 bits to name a character set; the encoder sets 28 aside before it
 * settles on a version, so a plan that counted 12 would be overruled now and then. */
#define ECI_BITS 28u

static const char alphanumeric[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/* Codewords of a symbol that are spent on error correction, by level and version:
 * ISO/IEC 18004, table of error correction characteristics. */
static const unsigned short correction[LEVELS][LT_QR_VERSION_MAX] = {
	[LT_QR_L] = { 7, 10, 15, 20, 26, 36, 40, 48, 60, 72, 80, 96, 104, 120, 132, 144, 168, 180,
		196, 224, 224, 252, 270, 300, 312, 336, 360, 390, 420, 450, 480, 510, 540, 570, 570,
		600, 630, 660, 720, 750 },
	[LT_QR_M] = { 10, 16, 26, 36, 48, 64, 72, 88, 110, 130, 150, 176, 198, 216, 240, 280, 308,
		338, 364, 416, 442, 476, 504, 560, 588, 644, 700, 728, 784, 812, 868, 924, 980,
		1036, 1064, 1120, 1204, 1260, 1316, 1372 },
	[LT_QR_Q] = { 13, 22, 36, 52, 72, 96, 108, 132, 160, 192, 224, 260, 288, 320, 360, 408, 448,
		504, 546, 600, 644, 690, 750, 810, 870, 952, 1020, 1050, 1140, 1200, 1290, 1350,
		1440, 1530, 1590, 1680, 1770, 1860, 1950, 2040 },
	[LT_QR_H] = { 17, 28, 44, 64, 88, 112, 130, 156, 192, 224, 264, 308, 352, 384, 432, 480,
		532, 588, 650, 700, 750, 816, 900, 960, 1050, 1110, 1200, 1260, 1350, 1440, 1530,
		1620, 1710, 1800, 1890, 1980, 2100, 2220, 2310, 2430 },
};

/* Modules a side. */
static unsigned side_of(unsigned version)
{
	return 17 + 4 * version;
}

/* Codewords of all kinds: the modules that are left over by the function patterns (finders with
 * their separators, timing, alignment, format and version information), eight to a codeword. */
static unsigned codewords(unsigned version)
{
	unsigned side = side_of(version);
	unsigned finders = 3 * 8 * 8;
	unsigned timing = 2 * (side - 16);
	unsigned format = 31;
	unsigned left = side * side - finders - timing - format;
	if (version >= 2) {
		/* A grid of patterns of 5 x 5 without the three that finders take; those on a
		 * timing line share five modules with it. */
		unsigned rows = version / 7 + 2;
		unsigned on_timing = 2 * (rows - 2);
		left -= (rows * rows - 3) * 25 - on_timing * 5;
	}
	if (version >= 7)
		left -= 2 * 18;
	return left / 8;
}

static unsigned data_bits(unsigned version, enum lt_qr_level level)
{
	return 8 * (codewords(version) - correction[level][version - 1]);
}

/* Bits of the character count: ISO/IEC 18004, table of character count indicators. */
static unsigned count_bits(unsigned version, enum lt_qr_mode mode)
{
	static const unsigned char bits[3][3] = { { 10, 12, 14 }, { 9, 11, 13 }, { 8, 16, 16 } };
	return bits[mode][version <= 9 ? 0 : version <= 26 ? 1 : 2];
}

/* Three digits take ten bits, two alphanumeric characters eleven, a byte eight. */
static unsigned text_bits(unsigned length, enum lt_qr_mode mode)
{
	static const unsigned char odd_digits[3] = { 0, 4, 7 };
	switch (mode) {
	case LT_QR_NUMERIC:
		return length / 3 * 10 + odd_digits[length % 3];
	case LT_QR_ALPHANUMERIC:
		return length / 2 * 11 + length % 2 * 6;
	case LT_QR_BYTES:
		break;
	}
	return length * 8;
}

/* The densest mode that can carry the whole text. */
static enum lt_qr_mode mode_of(const char *text)
{
	size_t length = strlen(text);
	if (strspn(text, "0123456789") == length)
		return LT_QR_NUMERIC;
	return strspn(text, alphanumeric) == length ? LT_QR_ALPHANUMERIC : LT_QR_BYTES;
}

static bool is_ascii(const char *text)
{
	for (; *text; text++)
		if ((unsigned char)*text > 0x7f)
			return false;
	return true;
}

bool lt_qr_plan(struct lt_qr_plan *out, const char *text, enum lt_qr_level floor)
{
	size_t length = strlen(text);
	*out = (struct lt_qr_plan){ .version = 0 };
	if (length == 0 || length > LONGEST_TEXT)
		return false;
	enum lt_qr_mode mode = mode_of(text);
	unsigned need = MODE_BITS + text_bits((unsigned)length, mode);
	if (!is_ascii(text))
		need += ECI_BITS;
	for (unsigned version = 1; version <= LT_QR_VERSION_MAX; version++) {
		unsigned bits = need + count_bits(version, mode);
		enum lt_qr_level level = floor;
		if (bits > data_bits(version, level))
			continue;
		while (level < LT_QR_H && bits <= data_bits(version, level + 1))
			level++;
		*out = (struct lt_qr_plan){ .version = version,
			.level = level,
			.mode = mode,
			.modules = side_of(version) };
		return true;
	}
	return false;
}

/* The encoder's symbol, or NULL with errno set. */
static QRcode *symbol_of(const char *text, const struct lt_qr_plan *plan)
{
	static const QRecLevel levels[LEVELS] = { QR_ECLEVEL_L, QR_ECLEVEL_M, QR_ECLEVEL_Q,
		QR_ECLEVEL_H };
	static const QRencodeMode modes[] = { QR_MODE_NUM, QR_MODE_AN, QR_MODE_8 };
	size_t length = strlen(text);
	if (length == 0 || length > LONGEST_TEXT) {
		errno = ERANGE;
		return NULL;
	}
	QRinput *input = QRinput_new2((int)plan->version, levels[plan->level]);
	if (!input)
		return NULL;
	QRcode *symbol = NULL;
	if ((is_ascii(text) || QRinput_appendECIheader(input, ECI_UTF8) == 0) &&
		QRinput_append(input, modes[plan->mode], (int)length,
			(const unsigned char *)text) == 0)
		symbol = QRcode_encodeInput(input);
	QRinput_free(input);
	return symbol;
}

/* How many bytes of the text to show: whole characters. */
static int shown_bytes(const char *text)
{
	size_t length = strlen(text);
	if (length <= SHOWN_TEXT)
		return (int)length;
	length = SHOWN_TEXT;
	while (length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80)
		length--;
	return (int)length;
}

/* The start of a text, as messages show it; from the arena. */
static const char *text_shown(struct lt_arena *arena, const char *text)
{
	int shown = shown_bytes(text);
	return lt_arena_printf(arena, "%.*s%s", shown, text, text[shown] != '\0' ? "…" : "");
}

/* A text that was planned can always be encoded, so these errors are rare. */
static bool report(struct lt_diags *diags, const char *text, const struct lt_qr_plan *plan,
	bool no_memory)
{
	const char *shown = text_shown(&diags->arena, text);
	char level = lt_qr_level_letter(plan->level);
	if (no_memory)
		lt_error(diags, lt_place_none(),
			"cannot make a QR code of version %u, level %c from \"%s\": not enough memory",
			plan->version, level, shown);
	else
		lt_error(diags, lt_place_none(),
			"cannot make a QR code of version %u, level %c from \"%s\": the text does not "
			"fit",
			plan->version, level, shown);
	lt_hint(diags, "shorten the text, or use --payload code");
	return false;
}

bool lt_qr_encode(struct lt_qr *out, struct lt_arena *arena, const char *text,
	const struct lt_qr_plan *plan, struct lt_diags *diags)
{
	*out = (struct lt_qr){ .modules = 0 };
	QRcode *symbol = symbol_of(text, plan);
	if (!symbol)
		return report(diags, text, plan, errno == ENOMEM);
	if (symbol->version != (int)plan->version || symbol->width != (int)plan->modules) {
		QRcode_free(symbol);
		return report(diags, text, plan, false);
	}
	size_t cells = (size_t)plan->modules * plan->modules;
	out->modules = plan->modules;
	out->cells = lt_arena_alloc(arena, cells);
	/* The lowest bit is the colour; the others are the module's purpose. */
	for (size_t i = 0; i < cells; i++)
		out->cells[i] = symbol->data[i] & 1;
	QRcode_free(symbol);
	return true;
}

char lt_qr_level_letter(enum lt_qr_level level)
{
	return "LMQH"[level];
}
