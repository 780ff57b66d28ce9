/* Reading and writing the register. It is read strictly: a register that has been damaged and is
 * half understood would give a number twice. */
#include <stdlib.h>
#include <string.h>

#include "tags/numbering.h"

#define HEADER "loomtag register "
#define VERSION "2 "
#define VERSION_WITHOUT_UNIT "1 "
#define UNIT " unit "
#define NO_UNIT " no unit"
#define RESTORE "restore the file from version control or from a copy"

/* One line, without its end, as it is being read. */
struct line {
	struct lt_place place; /* column: of `at` */
	const char *at;
	bool clean; /* it is UTF-8, and each character is shown as it is */
};

struct reader {
	struct lt_register *reg;
	struct lt_diags *diags;
	const char *harness;
	unsigned last;      /* number of the line before */
	unsigned *lines;    /* by number: the line that gave it, 0 for none */
	struct lt_hash ids; /* to the line that gave it */
};

void lt_register_init(struct lt_register *reg)
{
	*reg = (struct lt_register){ 0 };
}

void lt_register_finish(struct lt_register *reg)
{
	if (reg == NULL)
		return;
	lt_arena_finish(&reg->arena);
	*reg = (struct lt_register){ 0 };
}

struct lt_register_entry *lt_register_add(struct lt_register *reg, unsigned number, const char *id)
{
	if (reg->count == reg->room) {
		size_t room = reg->room > 0 ? reg->room * 2 : 64;
		struct lt_register_entry *entries =
			lt_arena_array(&reg->arena, room, sizeof *entries);
		for (size_t i = 0; i < reg->count; i++)
			entries[i] = reg->entries[i];
		reg->entries = entries;
		reg->room = room;
	}
	struct lt_register_entry *entry = &reg->entries[reg->count++];
	*entry = (struct lt_register_entry){
		.place = lt_place_file(reg->file),
		.number = number,
		.id = lt_arena_strdup(&reg->arena, id),
	};
	return entry;
}

/* Moves behind `count` bytes of the line. */
static void move_on(struct line *line, size_t count)
{
	for (; count > 0; count--, line->at++)
		if (((unsigned char)*line->at & 0xC0) != 0x80)
			line->place.column++;
}

/* The length of the word that the line goes on with. */
static size_t word_length(const struct line *line)
{
	return strcspn(line->at, " \t");
}

/* Passes over one space or tab. */
static bool read_separator(struct line *line)
{
	if (*line->at != ' ' && *line->at != '\t')
		return false;
	move_on(line, 1);
	return true;
}

static bool malformed(const struct reader *reader, const struct line *line, const char *what)
{
	lt_error(reader->diags, line->place, "%s", what);
	lt_hint(reader->diags, RESTORE
		", or correct the line: the number, the id of the connector, the printed "
		"sides (for example HM, or -), and \"retired\" for a removed connector. Put one "
		"space between them");
	return false;
}

static bool read_number(unsigned *number, const struct reader *reader, struct line *line)
{
	size_t length = word_length(line);
	const char *word = lt_arena_copy(&reader->reg->arena, line->at, length);
	if (!lt_whole_read(number, word, LT_NUMBER_MAX) || *number == 0)
		return malformed(reader, line,
			"a line must begin with a number from 1 to 99999, without leading zeros");
	move_on(line, length);
	return true;
}

static bool read_printed(char printed[5], const struct reader *reader, struct line *line)
{
	size_t length = word_length(line);
	if (length == 1 && *line->at == '-') {
		printed[0] = '\0';
		move_on(line, length);
		return true;
	}
	bool good = length > 0 && length <= 4 && strspn(line->at, "HMXN") == length;
	for (size_t i = 0; good && i < length; i++)
		good = memchr(line->at, line->at[i], i) == NULL;
	if (!good)
		return malformed(reader, line,
			"the printed sides must be -, or some of H, M, X and N, each only once");
	memcpy(printed, line->at, length);
	printed[length] = '\0';
	move_on(line, length);
	return true;
}

static bool read_retired(bool *retired, const struct reader *reader, const struct line *line)
{
	struct line rest = *line;
	*retired = read_separator(&rest) && strcmp(rest.at, "retired") == 0;
	return *retired || *line->at == '\0' ||
	       malformed(reader, line, "only \"retired\" can follow the printed sides");
}

/* Checks that the number is new, and in its place. */
static bool check_number(struct reader *reader, const struct line *line, unsigned number)
{
	if (reader->lines[number] != 0) {
		lt_error(reader->diags, line->place, "number %u is given twice, first in line %u",
			number, reader->lines[number]);
		lt_hint(reader->diags,
			"keep the line whose stickers are on the machine, and delete the other. Its "
			"connector then gets a new number");
		return false;
	}
	reader->lines[number] = line->place.line;
	if (number < reader->last) {
		lt_error(reader->diags, line->place,
			"number %u comes after number %u, but the numbers must ascend", number,
			reader->last);
		lt_hint(reader->diags, "move the line up to its correct place");
		return false;
	}
	reader->last = number;
	return true;
}

static bool check_id(struct reader *reader, const struct line *line, const char *id)
{
	size_t first = lt_hash_put(&reader->ids, id, line->place.line);
	if (first == LT_HASH_NONE)
		return true;
	lt_error(reader->diags, line->place, "connector \"%s\" is given twice, first in line %zu",
		id, first);
	lt_hint(reader->diags,
		"keep the line whose stickers are on the machine, and delete the other");
	return false;
}

/* A merge that was not finished is a common way for this file to break. */
static bool is_merge_mark(const struct line *line)
{
	static const char *const marks[] = { "<", "=", ">", "|" };
	for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
		if (strspn(line->at, marks[i]) == 7)
			return true;
	return false;
}

static bool is_clean(const char *bytes, size_t length)
{
	if (lt_utf8_check(bytes, length) != length)
		return false;
	for (const char *at = bytes; at < bytes + length;) {
		uint32_t code;
		at += lt_utf8_take(&code, at, (size_t)(bytes + length - at));
		if (code != '\t' && lt_text_shown(code) != code)
			return false;
	}
	return true;
}

static bool read_entry(struct reader *reader, struct line *line)
{
	if (is_merge_mark(line)) {
		lt_error(reader->diags, line->place, "this is the mark of an unfinished merge");
		lt_hint(reader->diags,
			"delete the marks, and keep the lines of both sides. If a number has two "
			"connectors, keep only the line whose stickers are printed");
		return false;
	}
	if (!line->clean)
		return malformed(reader, line,
			"the line contains an invisible character, or a byte that is not UTF-8");
	struct line start = *line;
	struct lt_register_entry entry = { .place = line->place };
	if (!read_number(&entry.number, reader, line))
		return false;
	if (!read_separator(line) || word_length(line) == 0)
		return malformed(reader, line,
			"one space and the id of the connector must come here");
	size_t length = word_length(line);
	const char *id = lt_arena_copy(&reader->reg->arena, line->at, length);
	struct line id_start = *line;
	move_on(line, length);
	if (!read_separator(line))
		return malformed(reader, line, "one space and the printed sides must come here");
	if (!read_printed(entry.printed, reader, line) ||
		!read_retired(&entry.retired, reader, line))
		return false;
	bool number_good = check_number(reader, &start, entry.number);
	bool nobody = strcmp(id, LT_REGISTER_NOBODY) == 0;
	if (nobody && !entry.retired)
		return malformed(reader, &id_start,
			"a number without a connector must be marked retired");
	if (!nobody && !check_id(reader, &id_start, id))
		return false;
	if (!number_good)
		return false;
	entry.id = id;
	*lt_register_add(reader->reg, entry.number, "") = entry;
	return true;
}

static bool starts_with(const struct line *line, const char *text)
{
	return strncmp(line->at, text, strlen(text)) == 0;
}

/* What follows the harness code: the unit, or that there is none. */
static bool read_unit(struct reader *reader, struct line *line)
{
	struct lt_register *reg = reader->reg;
	reg->unit_known = true;
	if (strcmp(line->at, NO_UNIT) == 0)
		return true;
	if (starts_with(line, UNIT)) {
		const char *unit = line->at + strlen(UNIT);
		if (strcmp(unit, "own") == 0 ||
			(*unit != '\0' && unit[strspn(unit, "0123456789")] == '\0')) {
			reg->unit = unit;
			return true;
		}
	}
	lt_error(reader->diags, line->place,
		"the first line must end in \"unit\" and its digits, in \"unit own\" or in "
		"\"no unit\"");
	lt_hint(reader->diags, RESTORE ", or correct the line");
	return false;
}

static bool read_header(struct reader *reader, struct line *line)
{
	if (!line->clean || !starts_with(line, HEADER)) {
		lt_error(reader->diags, line->place,
			"this is not a register: its first line must be \"" HEADER VERSION
			"\" and a harness code");
		lt_hint(reader->diags, RESTORE ", or move it to another folder");
		return false;
	}
	move_on(line, strlen(HEADER));
	const bool without_unit = starts_with(line, VERSION_WITHOUT_UNIT);
	if (!without_unit && !starts_with(line, VERSION)) {
		lt_error(reader->diags, line->place,
			"this register has a version that this program does not know");
		lt_hint(reader->diags, "use the newer program that wrote it");
		return false;
	}
	move_on(line, strlen(VERSION));
	const size_t length = without_unit ? strlen(line->at) : word_length(line);
	const char *harness = lt_arena_copy(&reader->reg->arena, line->at, length);
	if (strcmp(harness, reader->harness) != 0) {
		lt_error(reader->diags, line->place,
			"this is the register of harness \"%s\", but the description is of harness \"%s\"",
			harness, reader->harness);
		lt_hint(reader->diags,
			"write harness: %s in the description if the stickers carry %s. Else move this "
			"file to another folder, to number %s from the start",
			harness, harness, reader->harness);
		return false;
	}
	reader->reg->harness = harness;
	move_on(line, length);
	return without_unit || read_unit(reader, line);
}

/* Reads line by line; goes on after a faulty one, so that all faults are reported in one run. */
static bool read_lines(struct reader *reader, const char *bytes, size_t size)
{
	const char *end = bytes + size;
	bool good = true;
	unsigned number = 0;
	while (bytes < end) {
		struct line line = { .place = { reader->reg->file, ++number, 1 } };
		const char *stop = memchr(bytes, '\n', (size_t)(end - bytes));
		if (stop == NULL) {
			lt_error(reader->diags, line.place,
				"the register is not complete: its last line has no end");
			lt_hint(reader->diags,
				RESTORE ". If the last line is complete, add a line end to it");
			return false;
		}
		size_t length = (size_t)(stop - bytes);
		if (length > 0 && stop[-1] == '\r')
			length--;
		line.at = lt_arena_copy(&reader->reg->arena, bytes, length);
		line.clean = is_clean(bytes, length);
		bytes = stop + 1;
		if (number == 1) {
			if (!read_header(reader, &line))
				return false;
		} else if (!read_entry(reader, &line)) {
			good = false;
		}
	}
	return good;
}

bool lt_register_read(struct lt_register *out, const char *file, const char *bytes, size_t length,
	const char *harness, struct lt_diags *diags)
{
	lt_register_init(out);
	out->file = lt_arena_strdup(&out->arena, file);
	if (bytes == NULL)
		return true;
	if (length > LT_REGISTER_MAX) {
		lt_error(diags, lt_place_file(file),
			"the register is too large: at most 4 MiB can be read");
		lt_hint(diags, RESTORE);
		return false;
	}
	lt_diags_source(diags, file, bytes, length);
	if (length == 0) {
		lt_error(diags, lt_place_file(file), "the register is empty");
		lt_hint(diags, RESTORE ". If nothing was ever printed from it, delete it");
		return false;
	}
	struct reader reader = {
		.reg = out,
		.diags = diags,
		.harness = harness,
		.lines = lt_alloc_array((size_t)LT_NUMBER_MAX + 1, sizeof *reader.lines),
	};
	bool good = read_lines(&reader, bytes, length);
	lt_hash_finish(&reader.ids);
	free(reader.lines);
	return good;
}

static int compare_entries(const void *a, const void *b)
{
	unsigned x = ((const struct lt_register_entry *)a)->number;
	unsigned y = ((const struct lt_register_entry *)b)->number;
	return (x > y) - (x < y);
}

void lt_register_write(struct lt_text *out, const struct lt_register *reg, const char *harness)
{
	struct lt_register_entry *sorted = lt_alloc_array(reg->count, sizeof *sorted);
	for (size_t i = 0; i < reg->count; i++)
		sorted[i] = reg->entries[i];
	qsort(sorted, reg->count, sizeof *sorted, compare_entries);
	if (!reg->unit_known)
		lt_text_printf(out, HEADER VERSION_WITHOUT_UNIT "%s\n", harness);
	else if (reg->unit == NULL)
		lt_text_printf(out, HEADER VERSION "%s" NO_UNIT "\n", harness);
	else
		lt_text_printf(out, HEADER VERSION "%s" UNIT "%s\n", harness, reg->unit);
	for (size_t i = 0; i < reg->count; i++)
		lt_text_printf(out, "%u %s %s%s\n", sorted[i].number, sorted[i].id,
			sorted[i].printed[0] != '\0' ? sorted[i].printed : "-",
			sorted[i].retired ? " retired" : "");
	free(sorted);
}
