/* Files read with a limit, written whole, and locked. */
#include "unit.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "folder.h"

static bool read_if_there(char **bytes, const char *path, const char *complaint)
{
	struct lt_diags diags = { 0 };
	size_t length;
	bool good = lt_file_read_if_there(bytes, &length, path, 1000, &diags);
	assert_int_equal(diags.count, good ? 0 : 1);
	assert_true(good || strstr(diags.items[0].message, complaint));
	lt_diags_finish(&diags);
	return good;
}

/* A file that is not there is none; what is there and cannot be read is a fault. */
static void reads_if_there(void **state)
{
	(void)state;
	char *bytes;
	assert_true(read_if_there(&bytes, "none", ""));
	assert_null(bytes);
	assert_true(read_if_there(&bytes, "none/none", ""));
	assert_null(bytes);
	write_plain("some", "text");
	assert_true(read_if_there(&bytes, "some", ""));
	assert_string_equal(bytes, "text");
	free(bytes);
	assert_int_equal(symlink("away", "link"), 0);
	assert_false(read_if_there(&bytes, "link", "is a link to"));
	assert_null(bytes);
	assert_false(read_if_there(&bytes, ".", "is a folder"));
	assert_int_equal(mkfifo("pipe", 0600), 0);
	assert_false(read_if_there(&bytes, "pipe", "is a named pipe"));
	remove("some");
	remove("link");
	remove("pipe");
}

/* What is not below the folder is not opened, whatever leads to it. */
static void opens_within_a_folder(void **state)
{
	(void)state;
	static const struct {
		const char *folder, *name;
		enum lt_within within;
		const char *says; /* NULL where it is read */
	} cases[] = {
		{ "in", "some", LT_WITHIN, NULL },
		{ "in/", "sub/deep", LT_WITHIN, NULL },
		{ "in", "sub/../some", LT_WITHIN, NULL },
		{ "in", "down", LT_WITHIN, NULL },
		{ "in/sub", "back/some", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "again", "some", LT_WITHIN, NULL },
		{ "", "in/some", LT_WITHIN, NULL },
		{ "/", "etc/passwd", LT_WITHIN, NULL },
		{ "in", "../out", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", "/etc/passwd", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", "link", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", "up/out", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", "next/other", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", ".", LT_WITHIN_OUTSIDE, "outside the folder" },
		{ "in", "none", LT_WITHIN_MISSING, "No such file" },
		{ "none", "some", LT_WITHIN_MISSING, "No such file" },
		{ "in", "sub", LT_WITHIN, "is a folder" },
		{ "in", "pipe", LT_WITHIN, "is a named pipe" },
	};
	assert_int_equal(system("mkdir -p in/sub in-b; echo x >in/some; echo x >in/sub/deep;"
				"echo x >out; echo x >in-b/other; ln -s ../out in/link;"
				"ln -s .. in/up; ln -s ../in-b in/next; ln -s sub/deep in/down;"
				"ln -s .. in/sub/back; ln -s in again; mkfifo in/pipe"),
		0);
	alarm(20);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_diags diags = { 0 };
		char *bytes;
		size_t length;
		assert_int_equal(lt_file_within(cases[i].folder, cases[i].name), cases[i].within);
		const bool good = lt_file_read_within(&bytes, &length, cases[i].folder,
			cases[i].name, 1 << 20, &diags);
		assert_int_equal(good, cases[i].says == NULL);
		assert_int_equal(diags.count, good ? 0 : 1);
		assert_true(good ? length > 0 : bytes == NULL);
		if (cases[i].says != NULL && !good) {
			assert_non_null(strstr(diags.items[0].message, cases[i].says));
			assert_non_null(diags.items[0].hint);
		}
		free(bytes);
		lt_diags_finish(&diags);
	}
	alarm(0);
	assert_int_equal(system("rm -r in in-b out again"), 0);
}

/* Nothing in the folder but the names given. */
static void assert_only(const char *names)
{
	FILE *list = popen("ls -A | tr '\\n' ' '", "r");
	char found[256] = "";
	assert_non_null(fgets(found, sizeof(found), list));
	pclose(list);
	assert_string_equal(found, names);
}

static void reading_is_limited(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	write_plain("ten", "0123456789");
	char *bytes;
	size_t length;
	assert_true(lt_file_read(&bytes, &length, "ten", 10, &diags));
	assert_int_equal(length, 10);
	free(bytes);
	assert_false(lt_file_read(&bytes, &length, "ten", 9, &diags));
	assert_null(bytes);
	assert_non_null(strstr(diags.items[0].message, "too large"));
	assert_false(lt_file_read(&bytes, &length, "missing", 9, &diags));
	assert_non_null(strstr(diags.items[1].message, "No such file"));
	assert_false(lt_file_read(&bytes, &length, ".", 9, &diags));
	assert_non_null(strstr(diags.items[2].message, "folder"));
	/* Nobody writes into the pipe: this must not wait for one who does. */
	alarm(20);
	assert_int_equal(mkfifo("pipe", 0600), 0);
	assert_false(lt_file_read(&bytes, &length, "pipe", 9, &diags));
	assert_non_null(strstr(diags.items[3].message, "is a named pipe"));
	assert_non_null(diags.items[3].hint);
	assert_false(lt_file_read(&bytes, &length, "/dev/zero", 9, &diags));
	assert_non_null(strstr(diags.items[4].message, "is a device"));
	assert_int_equal(symlink("pipe", "link"), 0);
	assert_false(lt_file_read(&bytes, &length, "link", 9, &diags));
	assert_non_null(strstr(diags.items[5].message, "named pipe"));
	alarm(0);
	unlink("pipe");
	unlink("link");
	lt_diags_finish(&diags);
	unlink("ten");
}

static void output_is_renamed_when_whole(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	write_plain("out", "old");
	chmod("out", 0640);
	struct lt_output output;
	assert_true(lt_output_open(&output, "out", NULL, &diags));
	fputs("new and longer", output.stream);
	fflush(output.stream);
	assert_holds("out", "old");
	assert_true(lt_output_commit(&output, &diags));
	assert_holds("out", "new and longer");
	struct stat status;
	assert_int_equal(stat("out", &status), 0);
	assert_int_equal(status.st_mode & 0777, 0640);

	assert_true(lt_output_open(&output, "out", NULL, &diags));
	fputs("never seen", output.stream);
	lt_output_abandon(&output);
	assert_holds("out", "new and longer");
	assert_only("out ");
	lt_output_abandon(NULL);
	lt_diags_finish(&diags);
	unlink("out");
}

/* What is prepared is closed and whole, and not yet in its place. */
static void output_is_prepared_before_it_is_renamed(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	write_plain("out", "old");
	struct lt_output output;
	assert_true(lt_output_open(&output, "out", NULL, &diags));
	fputs("new", output.stream);
	assert_true(lt_output_prepare(&output, &diags));
	assert_null(output.stream);
	assert_holds("out", "old");
	assert_holds(output.temporary, "new");
	assert_true(lt_output_prepare(&output, &diags));
	assert_true(lt_output_commit(&output, &diags));
	assert_holds("out", "new");
	assert_true(lt_folder_sync("out", &diags));

	assert_true(lt_output_open(&output, "out", NULL, &diags));
	assert_true(lt_output_prepare(&output, &diags));
	lt_output_abandon(&output);
	assert_holds("out", "new");
	assert_only("out ");

	/* It cannot be renamed: nothing is left of it. */
	assert_true(lt_output_open(&output, "away", NULL, &diags));
	assert_true(lt_output_prepare(&output, &diags));
	assert_int_equal(mkdir("away", 0700), 0);
	assert_int_equal(diags.errors, 0);
	assert_false(lt_output_commit(&output, &diags));
	assert_int_equal(diags.errors, 1);
	assert_only("away out ");

	/* A disk that is full is known before that. */
	assert_true(lt_output_open(&output, "full", NULL, &diags));
	fclose(output.stream);
	output.stream = fopen("/dev/full", "wb");
	assert_non_null(output.stream);
	fputs("new", output.stream);
	assert_false(lt_output_prepare(&output, &diags));
	assert_int_equal(diags.errors, 2);
	assert_false(lt_output_prepare(&output, &diags));
	assert_only("away out ");
	lt_diags_finish(&diags);
	assert_int_equal(system("rm -rf *"), 0);
}

static void what_must_be_kept_is_kept(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	write_plain("description", "harness");
	assert_int_equal(link("description", "other-name"), 0);
	assert_int_equal(symlink("description", "soft"), 0);
	const char *keep[] = { "description", NULL };
	static const char *const refused[] = { "description", "other-name", "soft", "./soft", ".",
		"/dev/null", "no-such-folder/out" };
	for (size_t i = 0; i < sizeof(refused) / sizeof(refused[0]); i++) {
		assert_false(lt_file_write(refused[i], "x", 1, keep, &diags));
		assert_false(lt_file_write_unsynced(refused[i], "x", 1, keep, &diags));
		assert_int_equal(diags.errors, 2 * i + 2);
	}
	assert_holds("description", "harness");
	assert_only("description other-name soft ");
	/* A link to a file that may be replaced stays a link. */
	write_plain("target", "old");
	assert_int_equal(symlink("target", "soft-target"), 0);
	assert_true(lt_file_write("soft-target", "new", 3, keep, &diags));
	assert_holds("target", "new");
	assert_true(lt_file_write_unsynced("soft-target", "newer", 5, keep, &diags));
	assert_holds("target", "newer");
	struct stat status;
	assert_int_equal(lstat("soft-target", &status), 0);
	assert_true(S_ISLNK(status.st_mode));
	lt_diags_finish(&diags);
	assert_int_equal(system("rm -f *"), 0);
}

static void a_lock_is_respected(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_lock lock;
	assert_true(lt_lock_take(&lock, "tags", 0, &diags));
	pid_t child = fork();
	if (child == 0) {
		struct lt_lock other;
		bool taken = lt_lock_take(&other, "tags", 50, &diags);
		_exit(!taken && diags.errors == 1 ? 0 : 1);
	}
	int status = 0;
	waitpid(child, &status, 0);
	assert_true(WIFEXITED(status));
	assert_int_equal(WEXITSTATUS(status), 0);
	lt_lock_drop(&lock);
	assert_true(lt_lock_take(&lock, "tags", 0, &diags));
	lt_lock_drop(&lock);
	lt_lock_drop(NULL);
	lt_diags_finish(&diags);
}

static void parts_of_paths(void **state)
{
	(void)state;
	static const struct {
		const char *path, *with, *extension;
	} cases[] = {
		{ "roof.yaml", "roof.tags", "yaml" },
		{ "a.b/roof", "a.b/roof.tags", "" },
		{ "x/.hidden", "x/.hidden.tags", "" },
		{ "two.dots.yml", "two.dots.tags", "yml" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *with = lt_path_with_extension(cases[i].path, "tags");
		assert_string_equal(with, cases[i].with);
		free(with);
		assert_string_equal(lt_path_extension(cases[i].path), cases[i].extension);
	}
}

static void test_databases_are_not_replaced(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	FILE *stream = fopen("jobs.pdf", "wb");
	assert_non_null(stream);
	/* The header string of its file format, with its NUL (sqlite.org, "Database File Format").
	 */
	assert_int_equal(fwrite("SQLite format 3", 1, 16, stream), 16);
	fclose(stream);
	assert_false(lt_file_write("jobs.pdf", "x", 1, NULL, &diags));
	assert_int_equal(diags.errors, 1);
	struct stat status;
	assert_int_equal(stat("jobs.pdf", &status), 0);
	assert_int_equal(status.st_size, 16);
	write_plain("near.pdf", "SQLite format 4");
	assert_true(lt_file_write("near.pdf", "x", 1, NULL, &diags));
	assert_int_equal(unlink("jobs.pdf"), 0);
	assert_int_equal(unlink("near.pdf"), 0);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_databases_are_not_replaced),
		cmocka_unit_test(reads_if_there),
		cmocka_unit_test(opens_within_a_folder),
		cmocka_unit_test(reading_is_limited),
		cmocka_unit_test(output_is_renamed_when_whole),
		cmocka_unit_test(output_is_prepared_before_it_is_renamed),
		cmocka_unit_test(what_must_be_kept_is_kept),
		cmocka_unit_test(a_lock_is_respected),
		cmocka_unit_test(parts_of_paths),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
