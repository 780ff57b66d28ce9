/* What the colours of wires look like. */
#include "loomtag/trade.h"

/* IEC 60757 has no shades. These keep apart in hue and in lightness, so far as their names allow:
 * any two differ by 25 and more in CIE 1976 L*u*v*. */
static const unsigned shades[LT_HUE_COUNT] = {
	[LT_HUE_BK] = 0x000000,
	[LT_HUE_BN] = 0x7B4A21,
	[LT_HUE_RD] = 0xD0161E,
	[LT_HUE_OG] = 0xF57C00,
	[LT_HUE_YE] = 0xFFDD00,
	[LT_HUE_GN] = 0x1E8C3A,
	[LT_HUE_BU] = 0x1B4FBF,
	[LT_HUE_VT] = 0x7A2BA8,
	[LT_HUE_GY] = 0x6E7478,
	[LT_HUE_WH] = 0xFFFFFF,
	[LT_HUE_PK] = 0xF79AC0,
	[LT_HUE_GD] = 0xC39A1E,
	[LT_HUE_TQ] = 0x1FB9B5,
	[LT_HUE_SR] = 0xB4BCC2,
};

size_t lt_colour_inks(unsigned out[LT_COLOUR_PARTS], const struct lt_colour *colour)
{
	size_t count = 0;
	for (size_t i = 0; i < colour->count && count < LT_COLOUR_PARTS; i++) {
		if (colour->hues[i] != LT_HUE_GNYE) {
			out[count++] = shades[colour->hues[i]];
			continue;
		}
		out[count++] = shades[LT_HUE_GN];
		if (count < LT_COLOUR_PARTS)
			out[count++] = shades[LT_HUE_YE];
	}
	return count;
}
