/* A session's files: read together, again, and saved. */
#include "unit.h"

#include "folder.h"
#include "loomtag/tags.h"

static const struct lt_harness_options nothing;

static const char two[] = "harness: RV3\nconnectors: [{id: X1}, {id: X2}]\n";
static const char three[] = "harness: RV3\nconnectors: [{id: X3}, {id: X1}, {id: X2}]\n";
static const char other[] = "harness: RV4\nconnectors: [{id: X1}]\n";

static void test_numbers_are_kept(void **state)
{
	(void)state;
	struct lt_session session;
	write_plain("kept.yaml", two);
	lt_session_init(&session, "kept.yaml", &nothing);
	assert_int_equal(lt_session_load(&session, true), LT_SESSION_GOOD);
	lt_session_note_new(&session);
	assert_int_equal(session.diags.count, 1);
	assert_true(access("kept.tags", F_OK) != 0);
	assert_true(lt_session_store(&session));
	assert_holds("kept.tags", "loomtag register 2 RV3 no unit\n1 X1 -\n2 X2 -\n");
	lt_session_finish(&session);

	write_plain("kept.yaml", three);
	lt_session_init(&session, "kept.yaml", &nothing);
	assert_int_equal(lt_session_load(&session, false), LT_SESSION_GOOD);
	lt_session_note_new(&session);
	assert_int_equal(session.diags.count, 0);
	assert_true(session.tags.changed);
	assert_int_equal(session.tags.number_of[1], 1);
	assert_int_equal(session.tags.number_of[2], 2);
	assert_true(lt_session_store(&session));
	assert_false(session.tags.changed);
	lt_session_finish(&session);
}

/* What cannot be read now leaves what was read before. */
static void test_reading_again(void **state)
{
	(void)state;
	static const char *const wrong[] = { "harness: RV3\nconnectors: []\n", other };
	struct lt_session session;
	struct lt_diags found;
	write_plain("again.yaml", two);
	lt_session_init(&session, "again.yaml", &nothing);
	assert_int_equal(lt_session_load(&session, false), LT_SESSION_GOOD);
	for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
		write_plain("again.yaml", wrong[i]);
		assert_false(lt_session_reload(&session, &found));
		assert_int_equal(found.errors, 1);
		assert_int_equal(session.harness.connector_count, 2);
		lt_diags_finish(&found);
	}
	write_plain("again.yaml", three);
	write_plain("again.tags", "loomtag register 1 RV3\n7 X1 -\n");
	assert_true(lt_session_reload(&session, &found));
	assert_int_equal(found.count, 0);
	assert_int_equal(session.harness.connector_count, 3);
	assert_int_equal(session.tags.number_of[1], 7);
	lt_diags_finish(&found);

	assert_int_equal(unlink("again.yaml"), 0);
	assert_false(lt_session_reload(&session, &found));
	assert_int_equal(found.errors, 1);
	assert_int_equal(session.harness.connector_count, 3);
	lt_diags_finish(&found);
	lt_session_finish(&session);
}

static void expect_fault(const char *path, bool to_write, enum lt_session_fault fault)
{
	struct lt_session session;
	lt_session_init(&session, path, &nothing);
	assert_int_equal(lt_session_load(&session, to_write), fault);
	assert_int_equal(session.diags.errors, 1);
	lt_session_finish(&session);
}

static void test_what_cannot_be_read(void **state)
{
	(void)state;
	expect_fault("away.yaml", false, LT_SESSION_UNREADABLE);
	expect_fault("away.yaml", true, LT_SESSION_UNREADABLE);
	assert_true(access("away.tags.lock", F_OK) != 0);
	expect_fault("/tmp", false, LT_SESSION_UNREADABLE);
	write_plain("wrong.yaml", "harness: RV3\nconnectors: []\n");
	expect_fault("wrong.yaml", false, LT_SESSION_WRONG);
	write_plain("register.yaml", two);
	write_plain("register.tags", "");
	expect_fault("register.yaml", false, LT_SESSION_UNREADABLE);
	write_plain("link.yaml", two);
	assert_int_equal(symlink("nowhere.tags", "link.tags"), 0);
	expect_fault("link.yaml", false, LT_SESSION_UNREADABLE);
	lt_session_finish(NULL);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_numbers_are_kept),
		cmocka_unit_test(test_reading_again),
		cmocka_unit_test(test_what_cannot_be_read),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
