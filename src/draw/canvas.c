/* What the canvases share: inks, the squares of QR codes, numbers, errors reported later. */
#include "draw/canvas.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void lt_canvas_destroy(struct lt_canvas *canvas)
{
	if (canvas == NULL)
		return;
	if (canvas->destroy != NULL)
		canvas->destroy(canvas->data);
	*canvas = (struct lt_canvas){ 0 };
}

bool lt_canvas_report(const struct lt_diags *trouble, struct lt_diags *diags)
{
	if (trouble->count == 0)
		return true;
	lt_error(diags, lt_place_none(), "%s", trouble->items[0].message);
	if (trouble->items[0].hint != NULL)
		lt_hint(diags, "%s", trouble->items[0].hint);
	return false;
}

bool lt_ink_is_black(struct lt_ink ink)
{
	return 0.2126 * ink.red + 0.7152 * ink.green + 0.0722 * ink.blue < 0.5;
}

/* A share of the light as a byte. */
static unsigned to_byte(double share)
{
	if (!(share > 0))
		return 0;
	return share < 1 ? (unsigned)lround(share * 255) : 255;
}

unsigned lt_ink_rgb(struct lt_ink ink)
{
	return to_byte(ink.red) << 16 | to_byte(ink.green) << 8 | to_byte(ink.blue);
}

struct lt_grid_symbol lt_grid_symbol(double x, double y, double module, unsigned modules,
	double scale)
{
	/* A little is added before rounding down: 4 dots asked for in mm must not become 3. */
	double dots = floor(module * scale + 1e-6);
	if (!(dots >= 1))
		dots = 1;
	double spare = (module * scale - dots) * modules / 2;
	return (struct lt_grid_symbol){
		.left = round(x * scale + spare),
		.top = round(y * scale + spare),
		.module = dots,
	};
}

static void add_number(struct lt_text *out, long long value, unsigned decimals)
{
	long long one = 1;
	for (unsigned i = 0; i < decimals; i++)
		one *= 10;
	const lldiv_t parts = lldiv(llabs(value), one);
	long long fraction = parts.rem;
	int places = (int)decimals;
	for (; fraction > 0 && fraction % 10 == 0; places--)
		fraction /= 10;
	char digits[48];
	int length = snprintf(digits, sizeof(digits), "%s%lld", value < 0 ? "-" : "", parts.quot);
	if (fraction > 0)
		length += snprintf(digits + length, sizeof(digits) - (size_t)length, ".%0*lld",
			places, fraction);
	lt_text_add_bytes(out, digits, (size_t)length);
}

void lt_numbers_add(struct lt_text *out, const char *form, unsigned decimals,
	const long long *numbers)
{
	for (;; form++) {
		size_t length = strcspn(form, "@");
		lt_text_add_bytes(out, form, length);
		form += length;
		if (*form == '\0')
			break;
		add_number(out, *numbers++, decimals);
	}
}
