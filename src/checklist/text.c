/* The checklist as plain text. */
#include <string.h>

#include "checklist/model.h"
#include "loomtag/base.h"

#define BOX "[ ] "
#define BLANK "____________________________________"
#define LABEL_COLUMNS 12u
#define COLUMNS_DEFAULT 78u

struct writer {
	struct lt_text *out;
	size_t columns;
};

/* Text behind a lead-in; the lines after the first are indented by the lead-in's width, or less
 * where columns are few. */
static void write_behind(const struct writer *writer, const char *lead, const char *text)
{
	struct lt_text lines = { 0 };
	size_t indent = lt_utf8_columns(lead);
	if (indent > writer->columns / 2) {
		/* No room beside it: the lead-in is part of the text. */
		lt_text_printf(&lines, "%s%s", lead, text);
		lt_text_wrap(writer->out, lt_text_string(&lines), writer->columns, 0);
		lt_text_finish(&lines);
		return;
	}
	lt_text_wrap(&lines, text, writer->columns - indent, 0);
	bool first = true;
	for (const char *line = lt_text_string(&lines); *line != '\0';) {
		size_t length = strcspn(line, "\n");
		if (first)
			lt_text_add(writer->out, lead);
		else
			lt_text_add_times(writer->out, ' ', indent);
		lt_text_add_bytes(writer->out, line, length);
		lt_text_add_char(writer->out, '\n');
		line += length + (line[length] == '\n');
		first = false;
	}
	lt_text_finish(&lines);
}

static void write_plain(const struct writer *writer, const char *text)
{
	write_behind(writer, "", text);
}

static void write_blank_line(const struct writer *writer)
{
	lt_text_add_char(writer->out, '\n');
}

static void write_underlined(const struct writer *writer, const char *title, char line)
{
	size_t columns = lt_utf8_columns(title);
	write_plain(writer, title);
	lt_text_add_times(writer->out, line, columns < writer->columns ? columns : writer->columns);
	write_blank_line(writer);
}

static void write_head(const struct writer *writer, const struct lt_checklist *list)
{
	struct lt_text line = { 0 };
	write_plain(writer, list->title);
	lt_text_printf(&line, "%s, unit %s", list->code,
		list->unit != NULL ? list->unit : "______");
	if (list->revision != NULL)
		lt_text_printf(&line, ", revision %s", list->revision);
	lt_text_printf(&line, ", date %s", list->date != NULL ? list->date : "____________");
	write_plain(writer, lt_text_string(&line));
	lt_text_finish(&line);
}

static void write_fact(const struct writer *writer, const struct lt_fact *fact)
{
	struct lt_text lead = { 0 };
	lt_text_add(&lead, fact->kind == LT_FACT_TICK ? "    " BOX : "    ");
	if (fact->label[0] != '\0') {
		lt_text_add(&lead, fact->label);
		size_t columns = lt_utf8_columns(fact->label);
		lt_text_add_times(&lead, ' ',
			columns < LABEL_COLUMNS ? LABEL_COLUMNS - columns : 1);
	}
	if (fact->kind == LT_FACT_WARNING)
		lt_text_add(&lead, "! ");
	write_behind(writer, lt_text_string(&lead), fact->text != NULL ? fact->text : BLANK);
	lt_text_finish(&lead);
}

static void write_facts(const struct writer *writer, const struct lt_checklist *list,
	const struct lt_entry *entry)
{
	for (size_t i = 0; i < entry->count; i++)
		write_fact(writer, &list->facts[entry->first + i]);
}

static void write_joint(const struct writer *writer, const struct lt_entry *entry, const char *lead)
{
	struct lt_text line = { 0 };
	if (entry->tags[0] != NULL)
		lt_text_add(&line, entry->tags[0]);
	if (entry->tags[1] != NULL)
		lt_text_printf(&line, " – %s", entry->tags[1]);
	if (entry->tags[0] == NULL)
		lt_text_add(&line, "no number, by eye:");
	lt_text_printf(&line, "  %s", entry->title);
	if (entry->detail != NULL)
		lt_text_printf(&line, " (%s)", entry->detail);
	for (size_t i = 0; i < LT_ENTRY_BADGES && entry->badges[i] != NULL; i++)
		lt_text_printf(&line, "  ** %s **", entry->badges[i]);
	write_behind(writer, lead, lt_text_string(&line));
	lt_text_finish(&line);
}

static void write_caution(const struct writer *writer, const struct lt_checklist *list,
	const struct lt_entry *entry)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "! %s", entry->title);
	write_plain(writer, lt_text_string(&line));
	lt_text_finish(&line);
	for (size_t i = 0; i < entry->count; i++)
		write_behind(writer, "! ", list->facts[entry->first + i].text);
}

static void write_sign(const struct writer *writer, const char *title)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "%s: ______________________  Date: ____________", title);
	write_plain(writer, lt_text_string(&line));
	lt_text_finish(&line);
}

static void write_entry(const struct writer *writer, const struct lt_checklist *list,
	const struct lt_entry *entry)
{
	static const struct lt_fact checked = { LT_FACT_TICK, "", "stickers checked" };
	static const struct lt_fact unplugged = { LT_FACT_TICK, "", "unplugged" };
	static const struct lt_fact initials = { LT_FACT_PLAIN, "initials", "______" };
	switch (entry->kind) {
	case LT_ENTRY_PART:
		write_underlined(writer, entry->title, '=');
		break;
	case LT_ENTRY_SECTION:
		write_underlined(writer, entry->title, '-');
		break;
	case LT_ENTRY_PARAGRAPH:
		write_plain(writer, entry->title);
		break;
	case LT_ENTRY_CAUTION:
		write_caution(writer, list, entry);
		break;
	case LT_ENTRY_HAZARD:
		write_plain(writer, entry->title != NULL ? entry->title : "Energy: " BLANK);
		write_facts(writer, list, entry);
		write_fact(writer, &initials);
		break;
	case LT_ENTRY_UNPLUG:
		write_joint(writer, entry, "");
		if (entry->sticker)
			write_fact(writer, &checked);
		write_facts(writer, list, entry);
		write_fact(writer, &unplugged);
		break;
	case LT_ENTRY_MATE:
		write_joint(writer, entry, BOX);
		write_facts(writer, list, entry);
		write_fact(writer, &initials);
		break;
	case LT_ENTRY_TICK:
		write_behind(writer, BOX, entry->title != NULL ? entry->title : BLANK);
		break;
	case LT_ENTRY_SIGN:
		write_sign(writer, entry->title);
		break;
	}
}

void lt_checklist_write(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options)
{
	struct lt_checklist list;
	struct writer writer = { out, options->columns > 0 ? options->columns : COLUMNS_DEFAULT };
	lt_checklist_build(&list, tags, lookalikes, options);
	write_head(&writer, &list);
	for (size_t i = 0; i < list.count; i++) {
		write_blank_line(&writer);
		if (list.entries[i].kind == LT_ENTRY_PART)
			write_blank_line(&writer);
		write_entry(&writer, &list, &list.entries[i]);
	}
	lt_checklist_finish(&list);
}
