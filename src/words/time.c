/* Times for papers, screens and JSON. */
#include <stdio.h>
#include <time.h>

#include "loomtag/words.h"

enum { TIME_SIZE = 64 };

static bool add(struct lt_text *out, long long at, const char *format,
	struct tm *(*parts)(const time_t *, struct tm *))
{
	const time_t seconds = (time_t)(at / 1000);
	struct tm tm;
	char text[TIME_SIZE];
	if (parts(&seconds, &tm) == NULL || strftime(text, sizeof(text), format, &tm) == 0)
		return false;
	lt_text_add(out, text);
	return true;
}

bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format)
{
	return add(out, at + offset * 1000LL, format, gmtime_r);
}

void lt_time_add_local(struct lt_text *out, long long at, const char *format)
{
	/* Earlier than 1970 there was no job. */
	if (at < 0 || !add(out, at, format, localtime_r))
		lt_text_printf(out, "%lld ms", at);
}

json_t *lt_time_json(long long at)
{
	struct lt_text text = { 0 };
	if (at < 0 || !lt_time_add(&text, at, 0, "%Y-%m-%dT%H:%M:%S"))
		return json_null();
	lt_text_printf(&text, ".%03lldZ", at % 1000);
	json_t *json = json_string(lt_text_string(&text));
	lt_text_finish(&text);
	return json;
}
