/* Pictures on a raster. */
#include "draw/dither.h"
#include "draw/raster.h"

void lt_raster_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL || image->width == 0 || image->height == 0)
		return;
	cairo_surface_flush(raster->surface);
	int left = lt_raster_dot(x * raster->scale);
	int top = lt_raster_dot(y * raster->scale);
	const struct lt_dither_place place = {
		.bytes = cairo_image_surface_get_data(raster->surface),
		.stride = (size_t)cairo_image_surface_get_stride(raster->surface),
		.page_width = raster->width,
		.page_height = raster->height,
		.left = left,
		.top = top,
		.width = lt_raster_dot((x + width) * raster->scale) - left,
		.height = lt_raster_dot((y + height) * raster->scale) - top,
	};
	if (raster->colour)
		lt_dither_colours(&place, image);
	else
		lt_dither(&place, image);
	cairo_surface_mark_dirty(raster->surface);
}
