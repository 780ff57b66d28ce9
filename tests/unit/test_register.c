/* The register file: read, written, and every error in it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "loomtag/tags.h"
#include "tags/numbering.h"

static const char good[] = "loomtag register 1 RV3\n"
			   "1 X1 HM\n"
			   "2 X2 HXM\n"
			   "3 X0 - retired\n"
			   "17 Stecker-Ä MH retired\n";

static void test_reads_and_writes_the_same_bytes(void **state)
{
	(void)state;
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	assert_true(lt_register_read(&reg, "rv3.tags", good, strlen(good), "RV3", &diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(reg.count, 4);
	assert_string_equal(reg.harness, "RV3");
	assert_int_equal(reg.entries[1].number, 2);
	assert_string_equal(reg.entries[1].id, "X2");
	assert_string_equal(reg.entries[1].printed, "HXM");
	assert_false(reg.entries[1].retired);
	assert_int_equal(reg.entries[1].place.line, 3);
	assert_string_equal(reg.entries[2].printed, "");
	assert_true(reg.entries[2].retired);
	assert_string_equal(reg.entries[3].id, "Stecker-Ä");
	assert_true(reg.entries[3].retired);
	struct lt_text out = { 0 };
	lt_register_write(&out, &reg, "RV3");
	assert_string_equal(lt_text_string(&out), good);
	lt_text_finish(&out);
	lt_register_finish(&reg);
	lt_register_finish(&reg);
	lt_diags_finish(&diags);
}

static void test_line_ends_of_other_systems(void **state)
{
	(void)state;
	static const char bytes[] = "loomtag register 1 RV3\r\n1\tX1 HM\r\n2 X2\t-\tretired\r\n";
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	assert_true(lt_register_read(&reg, "rv3.tags", bytes, strlen(bytes), "RV3", &diags));
	struct lt_text out = { 0 };
	lt_register_write(&out, &reg, "RV3");
	assert_string_equal(lt_text_string(&out),
		"loomtag register 1 RV3\n1 X1 HM\n2 X2 - retired\n");
	lt_text_finish(&out);
	lt_register_finish(&reg);
	lt_diags_finish(&diags);
}

static void test_writes_ascending_and_copies_ids(void **state)
{
	(void)state;
	struct lt_register reg;
	lt_register_init(&reg);
	char id[8];
	for (unsigned number = 200; number > 0; number--) {
		snprintf(id, sizeof id, "X%u", number);
		struct lt_register_entry *entry = lt_register_add(&reg, number, id);
		assert_int_equal(entry->place.line, 0);
	}
	struct lt_text out = { 0 };
	lt_register_write(&out, &reg, "RV3");
	const char *at = lt_text_string(&out);
	at = strchr(at, '\n') + 1;
	for (unsigned number = 1; number <= 200; number++) {
		char line[24];
		snprintf(line, sizeof line, "%u X%u -\n", number, number);
		assert_memory_equal(at, line, strlen(line));
		at += strlen(line);
	}
	assert_string_equal(at, "");
	lt_text_finish(&out);
	lt_register_finish(&reg);
}

#define HEAD "loomtag register 1 RV3\n"

/* Each fault with its place and a word of the message; every error comes with a hint. */
static void test_every_fault_is_reported(void **state)
{
	(void)state;
	static const struct {
		const char *bytes;
		unsigned line, column;
		const char *says;
	} faults[] = {
		{ "", 0, 0, "empty" },
		{ "\n", 1, 1, "not a register" },
		{ "1 X1 HM\n", 1, 1, "not a register" },
		{ "loomtag  register 1 RV3\n", 1, 1, "not a register" },
		{ "loomtag register 3 RV3\n", 1, 18, "version" },
		{ "loomtag register 2 RV3\n", 1, 23, "unit" },
		{ "loomtag register 2 RV3 unit\n", 1, 23, "unit" },
		{ "loomtag register 2 RV3 unit \n", 1, 23, "unit" },
		{ "loomtag register 2 RV3 unit 4x\n", 1, 23, "unit" },
		{ "loomtag register 2 RV3 unit 4 \n", 1, 23, "unit" },
		{ "loomtag register 2 RV3 no unit 4\n", 1, 23, "unit" },
		{ "loomtag register 2 RV4 unit 4\n", 1, 20, "harness \"RV4\"" },
		{ "loomtag register 11 RV3\n", 1, 18, "version" },
		{ "loomtag register 1 RV4\n", 1, 20, "harness \"RV4\"" },
		{ "loomtag register 1 RV\n", 1, 20, "harness \"RV\"" },
		{ "loomtag register 1 RV3 \n", 1, 20, "harness" },
		{ "loomtag register 1 RV3", 1, 1, "not complete" },
		{ HEAD "1 X1 HM\n2 X2 H", 3, 1, "not complete" },
		{ HEAD "\n", 2, 1, "number" },
		{ HEAD "01 X1 HM\n", 2, 1, "number" },
		{ HEAD "0 X1 HM\n", 2, 1, "number" },
		{ HEAD "-1 X1 HM\n", 2, 1, "number" },
		{ HEAD "100000 X1 HM\n", 2, 1, "number" },
		{ HEAD "1e3 X1 HM\n", 2, 1, "number" },
		{ HEAD " 1 X1 HM\n", 2, 1, "number" },
		{ HEAD "1\n", 2, 2, "id" },
		{ HEAD "1 \n", 2, 3, "id" },
		{ HEAD "1  X1 HM\n", 2, 3, "id" },
		{ HEAD "1 X1\n", 2, 5, "printed sides" },
		{ HEAD "1 Ä1\n", 2, 5, "printed sides" },
		{ HEAD "1 X1 \n", 2, 6, "printed sides" },
		{ HEAD "1 X1 HH\n", 2, 6, "printed sides" },
		{ HEAD "1 X1 HMXH\n", 2, 6, "printed sides" },
		{ HEAD "1 X1 hm\n", 2, 6, "printed sides" },
		{ HEAD "1 X1 --\n", 2, 6, "printed sides" },
		{ HEAD "1 X1 retired\n", 2, 6, "printed sides" },
		{ HEAD "1 X1 HM \n", 2, 8, "retired" },
		{ HEAD "1 X1 HM retire\n", 2, 8, "retired" },
		{ HEAD "1 X1 HM retired \n", 2, 8, "retired" },
		{ HEAD "1 X1 HM  retired\n", 2, 8, "retired" },
		{ HEAD "1 (none) H\n", 2, 3, "retired" },
		{ HEAD "1 X1 HM\n1 X2 HM\n", 3, 1, "first in line 2" },
		{ HEAD "1 X1 HM\n2 X2 HM\n1 X3 HM\n", 4, 1, "first in line 2" },
		{ HEAD "1 X1 HM\n3 X1 HM\n", 3, 3, "first in line 2" },
		{ HEAD "2 X1 HM\n1 X2 HM\n", 3, 1, "ascend" },
		{ HEAD "1 X\xff HM\n", 2, 1, "UTF-8" },
		{ HEAD "1 X\x1b[2J HM\n", 2, 1, "UTF-8" },
		{ HEAD "1 X\u202E1 HM retired\n", 2, 1, "invisible" },
		{ HEAD "1 X\uFEFF1 HM\n", 2, 1, "invisible" },
		{ HEAD "1 X\xC2\x9B"
		       "2J HM\n",
			2, 1, "UTF-8" },
		{ HEAD "<<<<<<< ours\n", 2, 1, "merge" },
		{ HEAD "1 X1 HM\n=======\n2 X2 HM\n", 3, 1, "merge" },
	};
	for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
		struct lt_diags diags;
		struct lt_register reg;
		lt_diags_init(&diags);
		bool read = lt_register_read(&reg, "rv3.tags", faults[i].bytes,
			strlen(faults[i].bytes), "RV3", &diags);
		if (read || diags.errors != 1 || diags.count != 1)
			fail_msg("fault %zu: read %d, %zu errors", i, read, diags.errors);
		const struct lt_diag *diag = &diags.items[0];
		if (strstr(diag->message, faults[i].says) == NULL)
			fail_msg("fault %zu: %s", i, diag->message);
		if (diag->place.line != faults[i].line || diag->place.column != faults[i].column)
			fail_msg("fault %zu: at %u:%u", i, diag->place.line, diag->place.column);
		assert_string_equal(diag->place.file, "rv3.tags");
		assert_non_null(diag->hint);
		lt_register_finish(&reg);
		lt_diags_finish(&diags);
	}
}

static void test_all_faults_in_one_run(void **state)
{
	(void)state;
	static const char bytes[] = HEAD "x X1 HM\n2 X2 Q\n3 X3 HM\n3 X3 HM\n";
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	assert_false(lt_register_read(&reg, "rv3.tags", bytes, strlen(bytes), "RV3", &diags));
	assert_int_equal(diags.errors, 4);
	lt_register_finish(&reg);
	lt_diags_finish(&diags);
}

static void test_nul_and_size(void **state)
{
	(void)state;
	static const char nul[] = HEAD "1 X1\0 HM\n";
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	assert_false(lt_register_read(&reg, "rv3.tags", nul, sizeof nul - 1, "RV3", &diags));
	assert_int_equal(diags.errors, 1);
	lt_register_finish(&reg);

	size_t length = (size_t)LT_REGISTER_MAX + 1;
	char *large = malloc(length);
	assert_non_null(large);
	memset(large, '\n', length);
	assert_false(lt_register_read(&reg, "rv3.tags", large, length, "RV3", &diags));
	assert_non_null(strstr(diags.items[1].message, "4 MiB"));
	lt_register_finish(&reg);
	/* Just within the limit, and a fault in every line: told, and not for ever. */
	static const char head[] = HEAD;
	for (size_t i = 0; head[i] != '\0'; i++)
		large[i] = head[i];
	assert_false(lt_register_read(&reg, "rv3.tags", large, length - 1, "RV3", &diags));
	assert_true(diags.errors > 4000000);
	lt_register_finish(&reg);
	free(large);
	lt_diags_finish(&diags);
}

static bool read_file(struct lt_register *reg, const char *path, struct lt_diags *diags)
{
	char *bytes;
	size_t length;
	lt_register_init(reg);
	if (!lt_file_read_if_there(&bytes, &length, path, LT_REGISTER_MAX, diags))
		return false;
	bool read = lt_register_read(reg, path, bytes, length, "RV3", diags);
	free(bytes);
	return read;
}

static void test_files(void **state)
{
	(void)state;
	char path[] = "/tmp/loomtag-register-XXXXXX";
	int fd = mkstemp(path);
	assert_true(fd >= 0);
	assert_int_equal(write(fd, good, strlen(good)), (ssize_t)strlen(good));
	close(fd);
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	assert_true(read_file(&reg, path, &diags));
	assert_int_equal(reg.count, 4);
	lt_register_finish(&reg);
	unlink(path);

	assert_true(read_file(&reg, path, &diags));
	assert_int_equal(reg.count, 0);
	assert_null(reg.harness);
	assert_string_equal(reg.file, path);
	assert_int_equal(diags.count, 0);
	lt_register_finish(&reg);

	assert_false(read_file(&reg, "/tmp", &diags));
	assert_int_equal(diags.errors, 1);
	lt_register_finish(&reg);
	lt_diags_finish(&diags);
}

/* The unit of the first line, held against that of a description. */
static void settle(struct lt_register *reg, bool *changed, const char *bytes, const char *key,
	const char *given, bool new_stickers, bool expected)
{
	struct lt_diags diags = { 0 };
	const struct lt_harness harness = { .harness = "RV3", .described_unit = key };
	assert_true(lt_register_read(reg, "rv3.tags", bytes, strlen(bytes), "RV3", &diags));
	if (lt_register_settle_unit(changed, reg, &harness, given, new_stickers, &diags) !=
		expected)
		fail_msg("%s: %s", bytes, key != NULL ? key : "none");
	assert_int_equal(diags.errors, !expected);
	lt_diags_finish(&diags);
}

#define STICKERS "\n1 X1 HMN\n2 X2 -\n3 X3 H retired\n"

static void test_unit_of_printed_stickers(void **state)
{
	(void)state;
	static const struct {
		const char *before, *key, *given;
		bool good, changed;
		const char *after;
	} rows[] = {
		{ "1 RV3" STICKERS, "42", NULL, true, true, "2 RV3 unit 42" STICKERS },
		{ "1 RV3" STICKERS, NULL, "7", true, true, "2 RV3 no unit" STICKERS },
		{ "2 RV3 no unit" STICKERS, NULL, NULL, true, false, "2 RV3 no unit" STICKERS },
		{ "2 RV3 unit 42" STICKERS, "42", NULL, true, false, "2 RV3 unit 42" STICKERS },
		{ "2 RV3 unit own" STICKERS, "own", NULL, true, false, "2 RV3 unit own" STICKERS },
		{ "2 RV3 unit 42" STICKERS, "042", NULL, false, false, NULL },
		{ "2 RV3 unit 42" STICKERS, NULL, NULL, false, false, NULL },
		{ "2 RV3 no unit" STICKERS, "42", NULL, false, false, NULL },
		{ "2 RV3 unit 42" STICKERS, "own", NULL, false, false, NULL },
		{ "2 RV3 unit own" STICKERS, "42", NULL, false, false, NULL },
		/* The code on the stickers is the same. */
		{ "2 RV3 no unit" STICKERS, "own", NULL, true, true, "2 RV3 unit own" STICKERS },
		{ "2 RV3 unit own" STICKERS, NULL, NULL, true, true, "2 RV3 no unit" STICKERS },
		{ "2 RV3 unit 42" STICKERS, NULL, "7", true, false, "2 RV3 unit 42" STICKERS },
		{ "2 RV3 unit 42\n1 X1 -\n", NULL, NULL, true, true, "2 RV3 no unit\n1 X1 -\n" },
		{ "2 RV3 no unit\n1 X1 -\n", "5", NULL, true, true, "2 RV3 unit 5\n1 X1 -\n" },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct lt_register reg;
		struct lt_text bytes = { 0 }, after = { 0 };
		bool changed;
		lt_text_printf(&bytes, "loomtag register %s", rows[i].before);
		settle(&reg, &changed, lt_text_string(&bytes), rows[i].key, rows[i].given, false,
			rows[i].good);
		assert_int_equal(changed, rows[i].changed);
		lt_register_write(&after, &reg, "RV3");
		if (rows[i].good)
			assert_string_equal(lt_text_string(&after) + strlen("loomtag register "),
				rows[i].after);
		lt_register_finish(&reg);
		lt_text_finish(&after);
		if (!rows[i].good) {
			settle(&reg, &changed, lt_text_string(&bytes), rows[i].key, NULL, true,
				true);
			assert_true(changed);
			/* They are still on the machine. */
			assert_string_equal(reg.entries[0].printed, "HMN");
			assert_string_equal(reg.entries[1].printed, "");
			assert_true(reg.entries[2].retired);
			lt_register_finish(&reg);
		}
		lt_text_finish(&bytes);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_unit_of_printed_stickers),
		cmocka_unit_test(test_reads_and_writes_the_same_bytes),
		cmocka_unit_test(test_line_ends_of_other_systems),
		cmocka_unit_test(test_writes_ascending_and_copies_ids),
		cmocka_unit_test(test_every_fault_is_reported),
		cmocka_unit_test(test_all_faults_in_one_run),
		cmocka_unit_test(test_nul_and_size),
		cmocka_unit_test(test_files),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
