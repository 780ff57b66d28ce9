#include "cli/diags_json.h"

static json_t *diagnostic_json(const struct lt_diag *diag)
{
	return json_pack("{s:s?, s:I, s:I, s:s, s:s, s:s?}", "file", diag->place.file, "line",
		(json_int_t)diag->place.line, "column", (json_int_t)diag->place.column, "severity",
		lt_severity_name(diag->severity), "message", diag->message, "hint", diag->hint);
}

json_t *lt_diags_json(const struct lt_diags *diags)
{
	json_t *list = json_array();
	for (size_t i = 0; i < diags->count; i++)
		json_array_append_new(list, diagnostic_json(&diags->items[i]));
	return list;
}
