#include <uchar.h>

#include "verify/wedge_keys.h"

/* The keys that type, row by row from the one left of 1 to the one beside the right shift, without
 * shift and with it; a space where a key makes nothing. From memory of the layouts that common
 * operating systems ship. Dead keys stand as the accent that they are. */
enum { KEYS = 13 + 12 + 12 + 10 };
typedef char32_t layout[2][KEYS + 1];

static const layout american = {
	U"`1234567890-="
	U"qwertyuiop[]"
	U"asdfghjkl;'\\"
	U"zxcvbnm,./",
	U"~!@#$%^&*()_+"
	U"QWERTYUIOP{}"
	U"ASDFGHJKL:\"|"
	U"ZXCVBNM<>?",
};
static const layout french = {
	U"²&é\"'(-è_çà)="
	U"azertyuiop^$"
	U"qsdfghjklmù*"
	U"wxcvbn,;:!",
	U" 1234567890°+"
	U"AZERTYUIOP¨£"
	U"QSDFGHJKLM%µ"
	U"WXCVBN?./§",
};
static const layout german = {
	U"^1234567890ß´"
	U"qwertzuiopü+"
	U"asdfghjklöä#"
	U"yxcvbnm,.-",
	U"°!\"§$%&/()=?`"
	U"QWERTZUIOPÜ*"
	U"ASDFGHJKLÖÄ'"
	U"YXCVBNM;:_",
};

/* `locked`: each key pressed with shift counts without, and the reverse. So it is with French
 * digits where caps lock is on and locks the digit row too, or where the scanner trusts that it
 * does. On the letters it makes no difference, for capitals and small ones read alike. */
static const struct mixup {
	enum lt_wedge_trouble trouble;
	const layout *scanner, *host;
	bool locked;
} mixups[] = {
	{ LT_WEDGE_FRENCH, &american, &french, false },
	{ LT_WEDGE_FRENCH, &american, &french, true },
	{ LT_WEDGE_TO_FRENCH, &french, &american, false },
	{ LT_WEDGE_TO_FRENCH, &french, &american, true },
	{ LT_WEDGE_GERMAN, &american, &german, false },
	{ LT_WEDGE_GERMAN, &german, &american, false },
};

size_t lt_wedge_mixups(void)
{
	return sizeof(mixups) / sizeof(mixups[0]);
}

enum lt_wedge_trouble lt_wedge_mixup_trouble(size_t mixup)
{
	return mixups[mixup].trouble;
}

static char as_capital(char32_t c)
{
	if (c > '~')
		return LT_WEDGE_OTHER;
	return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : (char)c;
}

static char meant(const struct mixup *mixup, uint32_t came)
{
	for (size_t level = 0; level < 2; level++)
		for (size_t key = 0; key < KEYS; key++)
			if ((*mixup->host)[level][key] == came)
				return as_capital(
					(*mixup->scanner)[mixup->locked ? 1 - level : level][key]);
	return 0;
}

char lt_wedge_meant(size_t mixup, uint32_t came)
{
	char c = meant(&mixups[mixup], came);
	/* Where caps lock leaves the digit row alone, it still makes capitals of accented letters,
	 * which Latin-1 (and so Unicode) has 0x20 below the small ones. */
	if (c == 0 && came >= 0xC0 && came <= 0xDE)
		c = meant(&mixups[mixup], came + 0x20);
	return c == ' ' ? 0 : c;
}
