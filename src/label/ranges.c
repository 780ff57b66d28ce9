#include "label/ranges.h"
#include "loomtag/base.h"

#define SHOWN_MAX 40u /* bytes */

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool read_number(unsigned *number, const char **at)
{
	if (!is_digit(**at) || (**at == '0' && is_digit((*at)[1])))
		return false;
	*number = 0;
	for (; is_digit(**at); ++*at) {
		*number = *number * 10 + (unsigned)(**at - '0');
		if (*number > LT_RANGE_MAX)
			*number = LT_RANGE_MAX;
	}
	return true;
}

static void skip_spaces(const char **at)
{
	while (**at == ' ')
		++*at;
}

bool lt_range_read(struct lt_number_range *out, const char **at)
{
	skip_spaces(at);
	if (!read_number(&out->from, at))
		return false;
	out->to = out->from;
	if (**at != '-')
		return true;
	++*at;
	return read_number(&out->to, at);
}

bool lt_range_ends(const char **at)
{
	skip_spaces(at);
	return **at == ',' || **at == '\0';
}

void lt_range_tell(const char *option, const char *start, const char *what, struct lt_diags *diags)
{
	const char *end = start;
	while (*end != '\0' && *end != ',' && (size_t)(end - start) < SHOWN_MAX)
		(void)lt_utf8_next(&end);
	lt_error(diags, lt_place_none(), "%s: \"%.*s\" %s", option, (int)(end - start), start,
		what);
}
