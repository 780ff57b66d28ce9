/* Throws bytes at the reader of printers' answers. */
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include "loomtag/print.h"
#include "print/ipp.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static void check_media(const struct lt_media_list *list)
{
	for (size_t i = 0; i < list->count; i++) {
		const struct lt_media *media = &list->items[i];
		if (!(media->width >= 1 && media->width <= 2000 && media->height >= 1 &&
			    media->height <= 2000))
			abort();
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	ipp_t *answer = lt_answer_parse((const char *)bytes, length);
	if (answer == NULL)
		return 0;
	struct lt_printer printer;
	struct lt_diags diags = { 0 };
	bool good = lt_printer_read(&printer, answer, &diags);
	check_media(&printer.ready);
	check_media(&printer.known);
	for (size_t i = 0; i < printer.reason_count; i++) {
		struct lt_text words = { 0 };
		lt_reason_add(&words, printer.reasons[i]);
		lt_text_finish(&words);
		lt_reason_stops(printer.reasons[i]);
	}
	if (good != (diags.errors == 0) || (good && !printer.pwg && !printer.pdf))
		abort();
	lt_printer_finish(&printer);
	lt_diags_finish(&diags);
	ippDelete(answer);
	return 0;
}
