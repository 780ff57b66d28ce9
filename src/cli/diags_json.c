#include "diags_json.h"

#include <string.h>

#include "loomtag/text.h"

/* Text that may be a file's name and so may be no UTF-8. */
static json_t *json_or_null(const char *text)
{
	if (text == NULL)
		return json_null();
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, text, strlen(text));
	json_t *string = json_string(lt_text_string(&clean));
	lt_text_finish(&clean);
	return string;
}

static json_t *diagnostic_json(const struct lt_diag *diag)
{
	return json_pack("{s:o, s:I, s:I, s:s, s:s, s:o}", "file", json_or_null(diag->place.file),
		"line", (json_int_t)diag->place.line, "column", (json_int_t)diag->place.column,
		"severity", lt_severity_name(diag->severity), "message", diag->message, "hint",
		json_or_null(diag->hint));
}

json_t *diags_json(const struct lt_diags *diags)
{
	json_t *list = json_array();
	for (size_t i = 0; i < diags->count; i++)
		json_array_append_new(list, diagnostic_json(&diags->items[i]));
	return list;
}
