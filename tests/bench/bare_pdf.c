/* What 20,000 codes cost with nothing around them: a bare loop over libqrencode and libharu, a
 * rectangle a run of modules, on A4 in 3 x 8. Usage: bare_pdf PAYLOADS OUT.pdf
 *
 * PAYLOADS has a line a code: version, level (L M Q H), mode (N numeric, A alphanumeric, B bytes),
 * each followed by a space, then the text. */
#include <hpdf.h>
#include <qrencode.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS 3u
#define ROWS 8u
#define POINTS_PER_MM (72 / 25.4)
#define ECI_UTF8 26u

static void fail(HPDF_STATUS code, HPDF_STATUS detail, void *data)
{
	(void)data;
	fprintf(stderr, "libharu: error %04lX, %lu\n", (unsigned long)code, (unsigned long)detail);
	exit(1);
}

static int has_wide_bytes(const char *text)
{
	for (; *text != '\0'; text++) {
		if ((unsigned char)*text > 0x7F)
			return 1;
	}
	return 0;
}

static QRcode *encode(int version, char level, char mode, const char *text)
{
	static const QRecLevel levels[] = { QR_ECLEVEL_L, QR_ECLEVEL_M, QR_ECLEVEL_Q,
		QR_ECLEVEL_H };
	static const QRencodeMode modes[] = { QR_MODE_NUM, QR_MODE_AN, QR_MODE_8 };
	QRinput *input =
		QRinput_new2(version, levels[strchr("LMQH", level) - (const char *)"LMQH"]);
	if (input == NULL)
		return NULL;
	if (has_wide_bytes(text))
		QRinput_appendECIheader(input, ECI_UTF8);
	QRinput_append(input, modes[strchr("NAB", mode) - (const char *)"NAB"], (int)strlen(text),
		(const unsigned char *)text);
	QRcode *code = QRcode_encodeInput(input);
	QRinput_free(input);
	return code;
}

static void draw(HPDF_Page page, const QRcode *code, double left, double top, double module)
{
	for (int y = 0; y < code->width; y++) {
		const unsigned char *row = code->data + (size_t)y * (size_t)code->width;
		for (int x = 0; x < code->width; x++) {
			int start = x;
			while (x < code->width && (row[x] & 1) != 0)
				x++;
			if (x > start)
				HPDF_Page_Rectangle(page, (HPDF_REAL)(left + start * module),
					(HPDF_REAL)(top - (y + 1) * module),
					(HPDF_REAL)((x - start) * module), (HPDF_REAL)module);
		}
	}
	HPDF_Page_Fill(page);
}

int main(int argc, char **argv)
{
	FILE *payloads = argc == 3 ? fopen(argv[1], "r") : NULL;
	if (payloads == NULL) {
		fprintf(stderr, "usage: bare_pdf PAYLOADS OUT.pdf\n");
		return 2;
	}
	HPDF_Doc pdf = HPDF_New(fail, NULL);
	HPDF_SetCompressionMode(pdf, HPDF_COMP_ALL);
	HPDF_Page page = NULL;
	char line[4096];
	unsigned count = 0;
	for (; fgets(line, sizeof(line), payloads) != NULL; count++) {
		int version, text;
		char level, mode;
		line[strcspn(line, "\n")] = '\0';
		if (sscanf(line, "%d %c %c %n", &version, &level, &mode, &text) != 3 ||
			strchr("LMQH", level) == NULL || strchr("NAB", mode) == NULL)
			return 1;
		QRcode *code = encode(version, level, mode, line + text);
		if (code == NULL || code->version != version)
			return 1;
		unsigned place = count % (COLUMNS * ROWS);
		if (place == 0) {
			page = HPDF_AddPage(pdf);
			HPDF_Page_SetSize(page, HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
		}
		unsigned row = place / COLUMNS;
		double module = 31.0 / (code->width + 8) * POINTS_PER_MM;
		double left = (70.0 * (place % COLUMNS) + 36) * POINTS_PER_MM;
		double top = (297 - 0.5 - 37.0 * row - 3) * POINTS_PER_MM;
		draw(page, code, left + 4 * module, top - 4 * module, module);
		QRcode_free(code);
	}
	fclose(payloads);
	HPDF_SaveToFile(pdf, argv[2]);
	HPDF_Free(pdf);
	printf("%u codes\n", count);
	return count == 0;
}
