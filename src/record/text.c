/* The record as plain text. */
#include <string.h>

#include "loomtag/base.h"
#include "record/model.h"

#define LABEL_COLUMNS 15u
#define BLANK "______________________________"

struct writer {
	struct lt_text *out;
	size_t columns;
};

/* Text behind a lead-in; the lines after the first are indented. No line ends in blanks. */
static void write_behind(const struct writer *writer, const char *lead, const char *text,
	size_t indent)
{
	struct lt_text lines = { 0 };
	if (indent > writer->columns / 2)
		indent = writer->columns / 2;
	size_t room = lt_utf8_columns(lead) > indent ? lt_utf8_columns(lead) : indent;
	lt_text_wrap(&lines, text, writer->columns > room ? writer->columns - room : 1, 0);
	bool first = true;
	for (const char *line = lt_text_string(&lines); *line != '\0'; first = false) {
		size_t length = strcspn(line, "\n");
		size_t shown = length;
		while (shown > 0 && line[shown - 1] == ' ')
			shown--;
		if (first)
			lt_text_add(writer->out, lead);
		else if (shown > 0)
			lt_text_add_times(writer->out, ' ', indent);
		lt_text_add_bytes(writer->out, line, shown);
		lt_text_add_char(writer->out, '\n');
		line += length + (line[length] == '\n');
	}
	lt_text_finish(&lines);
}

static void write_line(const struct writer *writer, const char *text)
{
	write_behind(writer, "", text, 0);
}

static void write_blank_line(const struct writer *writer)
{
	lt_text_add_char(writer->out, '\n');
}

static void write_section(const struct writer *writer, const char *title)
{
	size_t columns = lt_utf8_columns(title);
	write_blank_line(writer);
	write_line(writer, title);
	lt_text_add_times(writer->out, '-', columns < writer->columns ? columns : writer->columns);
	write_blank_line(writer);
}

static void write_fact(const struct writer *writer, const struct lt_record_entry *entry)
{
	struct lt_text lead = { 0 };
	lt_text_add(&lead, entry->label);
	size_t columns = lt_utf8_columns(entry->label);
	lt_text_add_times(&lead, ' ', columns < LABEL_COLUMNS ? LABEL_COLUMNS - columns : 1);
	write_behind(writer, lt_text_string(&lead), entry->text, LABEL_COLUMNS);
	lt_text_finish(&lead);
}

/* Small rows are a line; of others the first two cells stand above what the rest say. */
static void write_row(const struct writer *writer, const struct lt_record_entry *row)
{
	struct lt_text line = { 0 };
	const struct lt_record_table *table = row->table;
	size_t first = table->small ? table->count : 2;
	for (size_t i = 0; i < first; i++)
		if (row->cells[i][0] != '\0')
			lt_text_printf(&line, "%s%s", line.length > 0 ? "  " : "", row->cells[i]);
	if (row->under != NULL)
		lt_text_printf(&line, ", %s", row->under);
	write_behind(writer, row->fault ? "! " : "  ", lt_text_string(&line), 4);
	lt_text_clear(&line);
	for (size_t i = first; i < table->count; i++)
		if (row->cells[i][0] != '\0' && strcmp(row->cells[i], "–") != 0)
			lt_text_printf(&line, "%s%s: %s", line.length > 0 ? ", " : "",
				table->headings[i], row->cells[i]);
	if (line.length > 0)
		write_behind(writer, "      ", lt_text_string(&line), 6);
	lt_text_finish(&line);
}

static void write_sign(const struct writer *writer, const char *who)
{
	static const char *const labels[] = { "name", "date", "signature" };
	write_blank_line(writer);
	write_line(writer, who);
	for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
		write_blank_line(writer);
		struct lt_record_entry fact = { .label = labels[i], .text = BLANK };
		write_fact(writer, &fact);
	}
}

static void write_entry(const struct writer *writer, const struct lt_record_entry *entry,
	enum lt_record_kind before)
{
	bool begins = entry->kind != before;
	switch (entry->kind) {
	case LT_RECORD_FACT:
		write_fact(writer, entry);
		break;
	case LT_RECORD_SUMMARY:
		if (begins)
			write_section(writer, "SUMMARY");
		write_behind(writer, entry->fault ? "! " : "  ", entry->text, 2);
		break;
	case LT_RECORD_CAUTION:
		write_blank_line(writer);
		write_line(writer, entry->text);
		break;
	case LT_RECORD_SECTION:
		write_section(writer, entry->text);
		break;
	case LT_RECORD_PARAGRAPH:
		write_line(writer, entry->text);
		break;
	case LT_RECORD_ROW:
		write_row(writer, entry);
		break;
	case LT_RECORD_SIGN:
		write_sign(writer, entry->text);
		break;
	}
}

void lt_record_write(struct lt_text *out, const struct lt_record *record)
{
	struct lt_record_paper paper;
	lt_record_build(&paper, record);
	size_t columns = record->options.columns > 0 ? record->options.columns : 78;
	struct writer writer = { out, columns };
	write_line(&writer, paper.title);
	write_blank_line(&writer);
	enum lt_record_kind before = LT_RECORD_SIGN;
	for (size_t i = 0; i < paper.count; i++) {
		write_entry(&writer, &paper.entries[i], before);
		before = paper.entries[i].kind;
	}
	write_blank_line(&writer);
	write_line(&writer, paper.foot[0]);
	write_line(&writer, paper.foot[1]);
	lt_record_paper_finish(&paper);
}
