/* The check character of scan codes. */
#include <string.h>

#include "loomtag/trade.h"

#define MODULUS 36

static const char alphabet[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

char lt_iso7064_check(const char *characters, size_t length)
{
	if (length == 0)
		return 0;
	int product = MODULUS;
	for (size_t i = 0; i < length; i++) {
		/* Letters are not assumed to lie together in the character set. */
		const char *at = strchr(alphabet, characters[i]);
		if (at == NULL || *at == '\0')
			return 0;
		int sum = (product + (int)(at - alphabet)) % MODULUS;
		if (sum == 0)
			sum = MODULUS;
		product = sum * 2 % (MODULUS + 1);
	}
	/* The last sum, with the check character in it, is 1 modulo 36. */
	return alphabet[(MODULUS + 1 - product) % MODULUS];
}

bool lt_iso7064_valid(const char *characters, size_t length)
{
	if (length < 2)
		return false;
	char check = lt_iso7064_check(characters, length - 1);
	return check != 0 && check == characters[length - 1];
}
