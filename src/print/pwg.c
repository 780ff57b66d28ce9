/* PWG Raster: pages of dots as printers accept them. */
#include <cups/raster.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "print/ipp.h"

#define SIDE_LEAST 1.0
#define SIDE_MOST 2000.0
#define POINTS_PER_MM (72 / 25.4)

struct lt_pwg {
	cups_raster_t *raster;
	FILE *stream;
	enum lt_pwg_type type;
	unsigned pages, written;
	bool turn;
	int error; /* errno of the stream; 0 while all is well */
};

const char *lt_pwg_type_name(enum lt_pwg_type type)
{
	return type == LT_PWG_BLACK_1 ? "black_1" : "sgray_8";
}

/* Called by libcups to write. It must write all bytes, or return -1. */
static ssize_t write_bytes(void *data, unsigned char *bytes, size_t length)
{
	struct lt_pwg *pwg = data;
	if (pwg->error != 0)
		return -1;
	errno = 0;
	if (fwrite(bytes, 1, length, pwg->stream) != length) {
		pwg->error = errno != 0 ? errno : EIO;
		return -1;
	}
	return (ssize_t)length;
}

static bool report_stream(const struct lt_pwg *pwg, struct lt_diags *diags)
{
	if (pwg->error != 0)
		lt_error(diags, lt_place_none(), "cannot write the PWG raster: %s",
			strerror(pwg->error));
	else
		lt_error(diags, lt_place_none(),
			"cannot write the PWG raster: the raster library reports an error");
	return false;
}

struct lt_pwg *lt_pwg_create(FILE *stream, enum lt_pwg_type type, unsigned pages, bool turn,
	struct lt_diags *diags)
{
	struct lt_pwg *pwg = lt_alloc(sizeof(*pwg));
	*pwg = (struct lt_pwg){ .stream = stream, .type = type, .pages = pages, .turn = turn };
	pwg->raster = cupsRasterOpenIO(write_bytes, pwg, CUPS_RASTER_WRITE_PWG);
	if (pwg->raster != NULL && pwg->error == 0)
		return pwg;
	report_stream(pwg, diags);
	lt_pwg_destroy(pwg);
	return NULL;
}

/* The page turned clockwise: its left column, read upwards, is the first row. The caller frees the
 * dots. */
static unsigned char *turn_page(struct lt_dot_page *out, const struct lt_dot_page *page)
{
	const struct lt_dots *dots = &page->dots;
	unsigned char *turned = lt_alloc_array(dots->width, dots->height);
	for (unsigned y = 0; y < dots->height; y++) {
		const unsigned char *row = dots->bytes + y * dots->stride;
		unsigned char *to = turned + (dots->height - 1 - y);
		for (unsigned x = 0; x < dots->width; x++)
			to[(size_t)x * dots->height] = row[x];
	}
	*out = (struct lt_dot_page){
		.dots = { turned, dots->height, dots->height, dots->width },
		.dpi = page->dpi,
		.width = page->height,
		.height = page->width,
	};
	return turned;
}

static bool check_page(const struct lt_dot_page *page, struct lt_diags *diags)
{
	if (page->dpi < 1 || page->dpi > 10000 || page->dpi != floor(page->dpi)) {
		lt_error(diags, lt_place_none(),
			"the resolution of a PWG raster must be a whole number of dots per inch, "
			"not %g",
			page->dpi);
		lt_hint(diags, "give the resolution of the print head with --dpi");
		return false;
	}
	double least = fmin(page->width, page->height);
	double most = fmax(page->width, page->height);
	if (!(least >= SIDE_LEAST && most <= SIDE_MOST)) {
		lt_error(diags, lt_place_none(),
			"cannot print a page of %g x %g mm: each side must be %g to %g mm long",
			page->width, page->height, SIDE_LEAST, SIDE_MOST);
		return false;
	}
	return true;
}

/* libcups would cut sizes to whole points and dots, so they are set here. */
static bool make_header(cups_page_header2_t *header, const struct lt_pwg *pwg,
	const struct lt_dot_page *page)
{
	const struct lt_dots *dots = &page->dots;
	struct lt_text name = { 0 };
	lt_media_name_write(&name, page->width, page->height);
	pwg_media_t media = {
		.pwg = lt_text_string(&name),
		.width = lt_hundredths(page->width),
		.length = lt_hundredths(page->height),
	};
	int dpi = (int)page->dpi;
	bool good = cupsRasterInitPWGHeader(header, &media, lt_pwg_type_name(pwg->type), dpi, dpi,
			    "one-sided", NULL) != 0;
	lt_text_finish(&name);
	header->PageSize[0] = (unsigned)lround(page->width * POINTS_PER_MM);
	header->PageSize[1] = (unsigned)lround(page->height * POINTS_PER_MM);
	/* This field is for other rasters. In PWG Raster it is reserved. */
	memset(header->ImagingBoundingBox, 0, sizeof(header->ImagingBoundingBox));
	header->cupsWidth = dots->width;
	header->cupsHeight = dots->height;
	header->cupsBytesPerLine =
		pwg->type == LT_PWG_BLACK_1 ? (dots->width + 7) / 8 : dots->width;
	header->NumCopies = 0;
	header->cupsInteger[CUPS_RASTER_PWG_TotalPageCount] = pwg->pages;
	return good;
}

/* A row of dots as the type has it. Bits beyond the last dot are white. */
static void make_row(unsigned char *out, const unsigned char *dots, unsigned width,
	enum lt_pwg_type type)
{
	if (type == LT_PWG_SGRAY_8) {
		for (unsigned x = 0; x < width; x++)
			out[x] = dots[x] >= 128 ? 0 : 255;
		return;
	}
	memset(out, 0, (width + 7) / 8);
	for (unsigned x = 0; x < width; x++) {
		if (dots[x] >= 128)
			out[x / 8] = (unsigned char)(out[x / 8] | 0x80u >> x % 8);
	}
}

static bool write_page(struct lt_pwg *pwg, const struct lt_dot_page *page, struct lt_diags *diags)
{
	const struct lt_dots *dots = &page->dots;
	cups_page_header2_t header;
	bool good = make_header(&header, pwg, page) &&
		    cupsRasterWriteHeader2(pwg->raster, &header) != 0;
	unsigned bytes = header.cupsBytesPerLine;
	unsigned char *row = lt_alloc(bytes);
	for (unsigned y = 0; y < dots->height && good; y++) {
		make_row(row, dots->bytes + y * dots->stride, dots->width, pwg->type);
		good = cupsRasterWritePixels(pwg->raster, row, bytes) == bytes && pwg->error == 0;
	}
	free(row);
	if (!good)
		return report_stream(pwg, diags);
	pwg->written++;
	return true;
}

static bool take_page(void *data, unsigned number, const struct lt_dot_page *page,
	struct lt_diags *diags)
{
	(void)number;
	struct lt_pwg *pwg = data;
	if (!check_page(page, diags))
		return false;
	struct lt_dot_page turned = *page;
	unsigned char *dots = pwg->turn ? turn_page(&turned, page) : NULL;
	bool good = write_page(pwg, &turned, diags);
	free(dots);
	return good;
}

struct lt_dot_sink lt_pwg_sink(struct lt_pwg *pwg)
{
	return (struct lt_dot_sink){ take_page, pwg };
}

bool lt_pwg_finish(struct lt_pwg *pwg, struct lt_diags *diags)
{
	errno = 0;
	if (pwg->error == 0 && (fflush(pwg->stream) != 0 || ferror(pwg->stream)))
		pwg->error = errno != 0 ? errno : EIO;
	if (pwg->error != 0)
		return report_stream(pwg, diags);
	if (pwg->pages != 0 && pwg->pages != pwg->written) {
		lt_error(diags, lt_place_none(), "the PWG raster has %u of %u pages", pwg->written,
			pwg->pages);
		return false;
	}
	return true;
}

void lt_pwg_destroy(struct lt_pwg *pwg)
{
	if (pwg == NULL)
		return;
	cupsRasterClose(pwg->raster);
	free(pwg);
}
