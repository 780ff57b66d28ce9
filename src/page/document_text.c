/* A document as plain text. */
#include <string.h>

#include "loomtag/page.h"
#include "loomtag/words.h"

#define BOX "[ ] "
#define INDENT "    "
#define BLANK "____________________________________"
#define SIGN_BLANK "______________________________"
#define COLUMNS_DEFAULT 78u

struct writer {
	struct lt_text *out;
	const struct lt_document *document;
	size_t columns;
};

/* Text behind a lead-in; the lines after the first are indented. Where columns are few, the lead-in
 * is part of the text. */
static void write_behind(const struct writer *writer, const char *lead, size_t indent,
	const char *text)
{
	struct lt_text whole = { 0 }, lines = { 0 };
	size_t room = lt_utf8_columns(lead) > indent ? lt_utf8_columns(lead) : indent;
	if (room > writer->columns / 2) {
		lt_text_printf(&whole, "%s%s", lead, text);
		text = lt_text_string(&whole);
		lead = "";
		indent = room = 0;
	}
	lt_text_wrap(&lines, text, writer->columns - room, 0);
	const char *line = lt_text_string(&lines);
	for (bool first = true; *line != '\0'; first = false) {
		size_t length = strcspn(line, "\n"), shown = length;
		while (writer->document->style->trims && shown > 0 && line[shown - 1] == ' ')
			shown--;
		lt_text_add(writer->out, first ? lead : "");
		lt_text_add_times(writer->out, ' ', first ? 0 : indent);
		lt_text_add_bytes(writer->out, line, shown);
		lt_text_add_char(writer->out, '\n');
		line += length + 1;
	}
	lt_text_finish(&whole);
	lt_text_finish(&lines);
}

/* The lines after the first begin where the text does. */
static void write_beside(const struct writer *writer, const char *lead, const char *text)
{
	write_behind(writer, lead, lt_utf8_columns(lead), text);
}

static void write_line(const struct writer *writer, const char *text)
{
	write_behind(writer, "", 0, text);
}

static void write_prose(const struct writer *writer, const struct lt_block *block)
{
	write_line(writer, block->text);
}

/* A part or a section. */
static void write_title(const struct writer *writer, const struct lt_block *block)
{
	const char *title = block->detail != NULL ? block->detail : block->text;
	const size_t columns = lt_utf8_columns(title);
	const bool part = block->kind == LT_BLOCK_PART;
	lt_text_add(writer->out, part ? "\n" : "");
	write_line(writer, title);
	lt_text_add_times(writer->out, part ? '=' : '-',
		columns < writer->columns ? columns : writer->columns);
	lt_text_add_char(writer->out, '\n');
}

static void write_item(const struct writer *writer, const char *before,
	const struct lt_block_item *item)
{
	const size_t room = writer->document->style->label_columns;
	struct lt_text lead = { 0 };
	lt_text_printf(&lead, "%s%s%s", before, item->kind == LT_ITEM_TICK ? BOX : "", item->label);
	const size_t columns = lt_utf8_columns(item->label);
	if (columns > 0)
		lt_text_add_times(&lead, ' ', columns < room ? room - columns : 1);
	lt_text_add(&lead, item->kind == LT_ITEM_LOUD ? "! " : "");
	write_beside(writer, lt_text_string(&lead), item->text != NULL ? item->text : BLANK);
	lt_text_finish(&lead);
}

static void write_initials(const struct writer *writer)
{
	write_item(writer, INDENT,
		&(struct lt_block_item){ .label = lt_page_words.initials, .text = "______" });
}

/* Of a joint or a hazard they are indented. */
static void write_items(const struct writer *writer, const struct lt_block *block)
{
	for (size_t i = 0; i < block->count; i++)
		write_item(writer, block->kind == LT_BLOCK_FACTS ? "" : INDENT,
			&writer->document->items[block->first + i]);
}

static void write_remark(const struct writer *writer, const struct lt_block *block)
{
	write_item(writer, "",
		&(struct lt_block_item){ .label = block->detail, .text = block->text });
}

static void write_finding(const struct writer *writer, const struct lt_block *block)
{
	write_beside(writer, block->fault ? "! " : "  ", block->text);
}

static void write_tick(const struct writer *writer, const struct lt_block *block)
{
	write_beside(writer, BOX, block->text != NULL ? block->text : BLANK);
}

static void add_tags(struct lt_text *out, const struct lt_tag_pair *tags)
{
	if (tags->tag != NULL)
		lt_text_add(out, tags->tag);
	if (tags->mate != NULL)
		lt_text_printf(out, " – %s", tags->mate);
}

static void write_joint(const struct writer *writer, const struct lt_block *block)
{
	const bool unplug = block->kind == LT_BLOCK_UNPLUG;
	struct lt_text line = { 0 };
	add_tags(&line, &block->tags);
	if (block->tags.tag == NULL)
		lt_text_add(&line, lt_page_words.number_missing);
	lt_text_printf(&line, "  %s", block->text);
	if (block->detail != NULL)
		lt_text_printf(&line, " (%s)", block->detail);
	for (size_t i = 0; i < LT_BLOCK_BADGES && block->badges[i] != NULL; i++)
		lt_text_printf(&line, "  ** %s **", block->badges[i]);
	write_beside(writer, unplug ? "" : BOX, lt_text_string(&line));
	lt_text_finish(&line);
	if (unplug && block->sticker)
		write_beside(writer, INDENT BOX, lt_page_words.stickers_checked);
	write_items(writer, block);
	if (unplug)
		write_beside(writer, INDENT BOX, lt_page_words.unplugged);
	else
		write_initials(writer);
}

static void write_hazard(const struct writer *writer, const struct lt_block *block)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "%s " BLANK, lt_page_words.hazard_to_write);
	write_line(writer, block->text != NULL ? block->text : lt_text_string(&line));
	lt_text_finish(&line);
	write_items(writer, block);
	write_initials(writer);
}

static void write_caution(const struct writer *writer, const struct lt_block *block)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "! %s", block->text);
	write_line(writer, lt_text_string(&line));
	lt_text_finish(&line);
	for (size_t i = 0; i < block->count; i++)
		write_beside(writer, "! ", writer->document->items[block->first + i].text);
}

/* Small rows are a line; of others the first two cells stand above what the rest say. */
static void write_row(const struct writer *writer, const struct lt_block *row)
{
	const struct lt_block_item *cells = &writer->document->items[row->first];
	const size_t first = row->table->look == LT_ROW_SMALL ? row->count : 2;
	struct lt_text line = { 0 };
	add_tags(&line, &row->tags);
	for (size_t i = 0; i < first; i++)
		if (cells[i].text[0] != '\0')
			lt_text_printf(&line, "%s%s", line.length > 0 ? "  " : "", cells[i].text);
	if (row->detail != NULL)
		lt_text_printf(&line, ", %s", row->detail);
	write_behind(writer, row->fault ? "! " : "  ", 4, lt_text_string(&line));
	lt_text_clear(&line);
	for (size_t i = first; i < row->count; i++)
		if (cells[i].text[0] != '\0' && strcmp(cells[i].text, "–") != 0)
			lt_text_printf(&line, "%s%s: %s", line.length > 0 ? ", " : "",
				row->table->headings[i], cells[i].text);
	if (line.length > 0)
		write_beside(writer, "      ", lt_text_string(&line));
	lt_text_finish(&line);
}

static void write_sign(const struct writer *writer, const struct lt_block *block)
{
	const struct lt_document_style *style = writer->document->style;
	struct lt_text line = { 0 };
	if (style->sign_title == 0)
		lt_page_add_sign(&line, block->text);
	else
		lt_text_add(&line, block->text);
	write_line(writer, lt_text_string(&line));
	lt_text_finish(&line);
	for (size_t i = 0; i < LT_SIGN_FIELDS && style->sign_title > 0; i++) {
		lt_text_add_char(writer->out, '\n');
		write_item(writer, "",
			&(struct lt_block_item){
				.label = style->sign[i].label, .text = SIGN_BLANK });
	}
}

static void (*const writers[LT_BLOCK_KINDS])(const struct writer *writer,
	const struct lt_block *block) = {
	[LT_BLOCK_PART] = write_title,
	[LT_BLOCK_SECTION] = write_title,
	[LT_BLOCK_PARAGRAPH] = write_prose,
	[LT_BLOCK_NOTE] = write_prose,
	[LT_BLOCK_REMARK] = write_remark,
	[LT_BLOCK_CAUTION] = write_caution,
	[LT_BLOCK_FACTS] = write_items,
	[LT_BLOCK_FINDING] = write_finding,
	[LT_BLOCK_HAZARD] = write_hazard,
	[LT_BLOCK_UNPLUG] = write_joint,
	[LT_BLOCK_MATE] = write_joint,
	[LT_BLOCK_TICK] = write_tick,
	[LT_BLOCK_ROW] = write_row,
	[LT_BLOCK_SIGN] = write_sign,
};

static void write_head(const struct writer *writer, const struct lt_document_head *head)
{
	struct lt_text line = { 0 };
	write_line(writer, head->title);
	if (writer->document->style->compact)
		return;
	lt_page_add_head(&line, head->code, head->unit != NULL ? head->unit : "______",
		head->revision, head->date != NULL ? head->date : "____________");
	write_line(writer, lt_text_string(&line));
	lt_text_finish(&line);
}

void lt_document_write(struct lt_text *out, const struct lt_document *document, size_t columns)
{
	const struct writer writer = { out, document, columns > 0 ? columns : COLUMNS_DEFAULT };
	write_head(&writer, &document->head);
	for (size_t i = 0; i < document->count; i++) {
		const struct lt_block *block = &document->blocks[i];
		lt_text_add_times(out, '\n', document->style->spaced >> block->kind & 1);
		writers[block->kind](&writer, block);
	}
	if (!document->style->compact)
		return;
	lt_text_add_char(out, '\n');
	write_line(&writer, document->head.foot[0]);
	write_line(&writer, document->head.foot[1]);
}
