/* The chain of digests, computed by other means. */
#include "unit.h"

#include <stdio.h>
#include <string.h>

#include "job_db_fixture.h"

/* SHA-256 by the system's sha256sum (FIPS 180-4). */
static void sha256sum(char out[65], const char *text)
{
	write_plain("hashed", text);
	FILE *pipe = popen("sha256sum hashed", "r");
	assert_non_null(pipe);
	assert_int_equal(fscanf(pipe, "%64s", out), 1);
	assert_int_equal(pclose(pipe), 0);
}

static void test_digest_is_as_promised(void **state)
{
	(void)state;
	struct lt_job job = lamp;
	/* The id that it had where it was opened, wherever it is now. */
	job.id = 3;
	job.origin = 7;
	job.opened = 1700000000123;
	char own[65], first[65], expected[65];
	assert_true(lt_job_digest_first(own, &job));
	sha256sum(expected, "3:job,1:7,8:GH7U0042,3:GH7,4:0042,20:Glasshouse lamp rail,1:B,"
			    "13:1700000000123,");
	assert_string_equal(own, expected);
	job.unit = job.title = job.revision = NULL;
	assert_true(lt_job_digest_first(own, &job));
	sha256sum(expected, "3:job,1:7,8:GH7U0042,3:GH7,-,-,-,13:1700000000123,");
	assert_string_equal(own, expected);
	struct lt_job_event event = scan_of(1700000001000, 2);
	event.id = 31;
	event.who = "Zoë";
	assert_true(lt_job_digest_event(first, own, &event));
	char text[512];
	snprintf(text, sizeof(text),
		"64:%s,2:31,13:1700000001000,4:Zoë,1:2,4:scan,9:reconnect,12:12HGH7U0042K,3:12H,"
		"4:half,1:0,1:1,",
		own);
	sha256sum(expected, text);
	assert_string_equal(first, expected);
	event = (struct lt_job_event){ .id = 32, .at = 5, .who = "?", .station = 1 };
	event.kind = LT_JOB_SKIP;
	event.stage = LT_STAGE_SWAP;
	event.number = 12;
	event.text = "";
	assert_true(lt_job_digest_event(own, first, &event));
	snprintf(text, sizeof(text), "64:%s,2:32,1:5,1:?,1:1,4:skip,4:swap,0:,-,-,2:12,1:0,",
		first);
	sha256sum(expected, text);
	assert_string_equal(own, expected);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_digest_is_as_promised),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
