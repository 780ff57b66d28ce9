/* NAME.print: what is sent to a printer, and how much of it came out. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/print_run.h"
#include "loomtag/base.h"

unsigned lt_print_patience(unsigned usual)
{
	const char *given = getenv("LOOMTAG_PATIENCE_MS");
	unsigned most = 0;
	if (given == NULL || !lt_whole_read(&most, given, 1000000) || most == 0)
		return usual;
	return most < usual ? most : usual;
}

bool lt_print_record_keep(struct print *print, size_t counted, struct lt_diags *diags)
{
	if (print->session == NULL)
		return true;
	const struct lt_sheet *sheet = &print->sheet;
	struct lt_unfinished record = { .code = print->session->harness.code,
		.printer = print->options->to,
		.layout = print->options->layout != NULL ? print->options->layout
							 : print->layout->name,
		.counted = counted,
		.count = sheet->count };
	if (print->options->layout == NULL && print->left.layout != NULL)
		record.layout = print->left.layout;
	record.tags = lt_arena_array(&record.arena, sheet->count + 1, sizeof(*record.tags));
	for (size_t i = 0; i < sheet->count; i++)
		record.tags[i] = (struct lt_unfinished_tag){
			print->session->tags.number_of[sheet->slots[i].id.connector],
			sheet->slots[i].id.side
		};
	struct lt_text bytes = { 0 };
	lt_unfinished_write(&bytes, &record);
	bool good = lt_file_write(print->record_path, lt_text_string(&bytes), bytes.length,
		lt_session_keep(print->session), diags);
	lt_text_finish(&bytes);
	lt_unfinished_finish(&record);
	return good;
}

bool lt_print_record_begin(struct print_earlier *earlier, struct print *print)
{
	if (print->session == NULL)
		return true;
	return lt_file_read_if_there(&earlier->bytes, &earlier->length, print->record_path,
		       LT_UNFINISHED_MAX, print->diags) &&
	       lt_print_record_keep(print, 0, print->diags);
}

void lt_print_record_back(const struct print_earlier *earlier, struct print *print)
{
	if (print->session == NULL)
		return;
	if (earlier->bytes == NULL)
		unlink(print->record_path);
	else
		lt_file_write(print->record_path, earlier->bytes, earlier->length,
			lt_session_keep(print->session), print->diags);
}
