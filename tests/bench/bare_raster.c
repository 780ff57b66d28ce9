/* What 1-bit pictures of stickers cost with nothing around them: a bare loop over cairo, which
 * draws what drawings has listed on a surface of a bit a dot, and libpng, which writes it as 1-bit
 * PNG, thrown away (cairo's own call would write eight bits). The texts are in the same fonts, the
 * codes a rectangle a dark module. Prints pages and bytes. Usage: bare_raster DRAWINGS DPI */
#include <cairo.h>
#include <math.h>
#include <png.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void count_bytes(png_structp png, png_bytep bytes, size_t length)
{
	(void)bytes;
	*(size_t *)png_get_io_ptr(png) += length;
}

/* libpng ends the program where it fails. */
static void encode(cairo_surface_t *surface, size_t *bytes)
{
	cairo_surface_flush(surface);
	png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
	png_infop info = png_create_info_struct(png);
	unsigned height = (unsigned)cairo_image_surface_get_height(surface);
	png_set_write_fn(png, bytes, count_bytes, NULL);
	png_set_IHDR(png, info, (png_uint_32)cairo_image_surface_get_width(surface), height, 1,
		PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_BASE,
		PNG_FILTER_TYPE_BASE);
	png_write_info(png, info);
	/* cairo's leftmost dot is the lowest bit, on machines whose lowest byte comes first; its 1
	 * is ink. */
	png_set_packswap(png);
	png_set_invert_mono(png);
	unsigned char *row = cairo_image_surface_get_data(surface);
	for (unsigned y = 0; y < height; y++, row += cairo_image_surface_get_stride(surface))
		png_write_row(png, row);
	png_write_end(png, info);
	png_destroy_write_struct(&png, &info);
}

static cairo_font_face_t *faces[4];

static void make_faces(void)
{
	for (int i = 0; i < 4; i++)
		faces[i] =
			cairo_toy_font_face_create(i < 2 ? "DejaVu Sans" : "DejaVu Sans Condensed",
				CAIRO_FONT_SLANT_NORMAL,
				i % 2 == 0 ? CAIRO_FONT_WEIGHT_NORMAL : CAIRO_FONT_WEIGHT_BOLD);
}

static void drop_faces(void)
{
	for (int i = 0; i < 4; i++)
		cairo_font_face_destroy(faces[i]);
}

static void set_ink(cairo_t *cairo, int ink)
{
	cairo_set_operator(cairo, ink == 0 ? CAIRO_OPERATOR_OVER : CAIRO_OPERATOR_DEST_OUT);
}

static void draw_code(cairo_t *cairo, const char *line, double scale)
{
	double x, y, module;
	int modules, cells;
	if (sscanf(line, "code %lf %lf %lf %d %n", &x, &y, &module, &modules, &cells) != 4)
		return;
	double dots = floor(module * scale + 1e-6);
	set_ink(cairo, 0);
	for (int row = 0; row < modules; row++) {
		for (int column = 0; column < modules; column++) {
			if (line[cells + row * modules + column] == '1')
				cairo_rectangle(cairo, round(x * scale) + column * dots,
					round(y * scale) + row * dots, dots, dots);
		}
	}
	cairo_fill(cairo);
}

static void draw(cairo_t *cairo, const char *line, double scale)
{
	double x, y, width, height, size;
	int ink, face, text;
	if (sscanf(line, "rectangle %lf %lf %lf %lf %d", &x, &y, &width, &height, &ink) == 5) {
		set_ink(cairo, ink);
		cairo_rectangle(cairo, round(x * scale), round(y * scale), round(width * scale),
			round(height * scale));
		cairo_fill(cairo);
	} else if (sscanf(line, "text %lf %lf %d %lf %d %n", &x, &y, &face, &size, &ink, &text) ==
		   5) {
		set_ink(cairo, ink);
		cairo_set_font_face(cairo, faces[face % 4]);
		cairo_set_font_size(cairo, size * scale);
		cairo_move_to(cairo, round(x * scale), round(y * scale));
		cairo_show_text(cairo, line + text);
	} else {
		draw_code(cairo, line, scale);
	}
}

static int end_page(cairo_t *cairo, cairo_surface_t *surface, size_t *bytes)
{
	int good = cairo_status(cairo) == CAIRO_STATUS_SUCCESS;
	if (good)
		encode(surface, bytes);
	cairo_destroy(cairo);
	cairo_surface_destroy(surface);
	return good;
}

int main(int argc, char **argv)
{
	FILE *drawings = argc == 3 ? fopen(argv[1], "r") : NULL;
	if (drawings == NULL) {
		fprintf(stderr, "usage: bare_raster DRAWINGS DPI\n");
		return 2;
	}
	double scale = strtod(argv[2], NULL) / 25.4;
	static char line[65536];
	cairo_surface_t *surface = NULL;
	cairo_t *cairo = NULL;
	size_t bytes = 0;
	unsigned pages = 0;
	int good = 1;
	make_faces();
	while (fgets(line, sizeof(line), drawings) != NULL) {
		double width, height;
		line[strcspn(line, "\n")] = '\0';
		if (sscanf(line, "page %lf %lf", &width, &height) == 2) {
			if (pages++ > 0)
				good = end_page(cairo, surface, &bytes) && good;
			surface = cairo_image_surface_create(CAIRO_FORMAT_A1,
				(int)lround(width * scale), (int)lround(height * scale));
			cairo = cairo_create(surface);
			cairo_set_antialias(cairo, CAIRO_ANTIALIAS_NONE);
		} else if (pages > 0) {
			draw(cairo, line, scale);
		}
	}
	if (pages > 0)
		good = end_page(cairo, surface, &bytes) && good;
	drop_faces();
	fclose(drawings);
	printf("%u pages, %zu bytes\n", pages, bytes);
	return good && pages > 0 ? 0 : 1;
}
