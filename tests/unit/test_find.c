/* Printers that are found: each is listed once, and none hides another. */
#include "unit.h"

#include <string.h>

#include "print/find.h"

/* A printer as libcups tells of it. */
static int offer(struct find_search *search, const char *name, const char *uri, bool queue,
	bool removed)
{
	cups_dest_t dest = { 0 };
	char copy[64];
	snprintf(copy, sizeof(copy), "%s", name);
	dest.name = copy;
	dest.num_options = cupsAddOption(queue ? "printer-uri-supported" : "device-uri", uri,
		dest.num_options, &dest.options);
	if (!queue)
		dest.num_options =
			cupsAddOption("printer-info", name, dest.num_options, &dest.options);
	int more = lt_find_take(search, removed ? CUPS_DEST_FLAGS_REMOVED : CUPS_DEST_FLAGS_NONE,
		&dest);
	cupsFreeOptions(dest.num_options, dest.options);
	return more;
}

static void assert_listed(const struct lt_found_list *list, size_t at, const char *uri, bool queue)
{
	assert_true(at < list->count);
	assert_string_equal(list->items[at].uri, uri);
	assert_int_equal(list->items[at].queue, queue);
}

#define QUEUE "ipp://localhost:631/printers/Roll"
#define NEAR "ipp://Roll._ipp._tcp.local/"
#define NEAR_S "ipps://Roll._ipps._tcp.local/"
#define FAR_S "ipps://Roll._ipps._tcp.store.example/"

static void a_printer_of_its_name_does_not_hide_a_queue(void **state)
{
	(void)state;
	struct lt_found_list list = { 0 };
	struct find_search search = { .out = &list };
	assert_int_equal(offer(&search, "Roll", QUEUE, true, false), 1);
	assert_int_equal(offer(&search, "Roll", NEAR, false, false), 1);
	assert_int_equal(list.count, 2);
	assert_listed(&list, 0, QUEUE, true);
	assert_listed(&list, 1, NEAR, false);
	/* The same one again, encrypted, and a queue that is told of twice. */
	offer(&search, "Roll", NEAR_S, false, false);
	offer(&search, "Roll", QUEUE, true, false);
	assert_int_equal(list.count, 2);
	/* Another. */
	offer(&search, "Roll", FAR_S, false, false);
	assert_int_equal(list.count, 3);
	/* One goes. */
	offer(&search, "Roll", NEAR, false, true);
	assert_int_equal(list.count, 2);
	lt_found_list_finish(&list);
}

static void only_a_queue_ends_the_search_for_a_name(void **state)
{
	(void)state;
	struct lt_found_list list = { 0 };
	struct find_search search = { .out = &list, .name = "Roll" };
	assert_int_equal(offer(&search, "Tape", QUEUE, true, false), 1);
	assert_int_equal(offer(&search, "Roll", NEAR, false, false), 1);
	assert_int_equal(offer(&search, "Roll", QUEUE, true, false), 0);
	lt_found_list_finish(&list);
}

static void a_name_finds_its_printer_or_all_that_share_it(void **state)
{
	(void)state;
	struct lt_found items[] = {
		{ "ROLL", NEAR, false },
		{ "Roll", QUEUE, true },
		{ "Roll", NEAR_S, false },
		{ "Sheet", NEAR, false },
		{ "Tape", NEAR, false },
		{ "Tape", FAR_S, false },
	};
	const struct lt_found_list list = { .items = items,
		.count = sizeof(items) / sizeof(*items) };
	static const struct {
		const char *name;
		size_t count, first;
	} rows[] = {
		{ "ROLL", 1, 0 },
		{ "Roll", 1, 1 }, /* the queue */
		{ "roll", 2, 0 },
		{ "Sheet", 1, 3 },
		{ "SHEET", 1, 3 },
		{ "Tape", 2, 4 },
	};
	const struct lt_found *found;
	for (size_t i = 0; i < sizeof(rows) / sizeof(*rows); i++) {
		assert_int_equal(lt_find_choose(&found, &list, rows[i].name), rows[i].count);
		assert_ptr_equal(found, &items[rows[i].first]);
	}
	assert_int_equal(lt_find_choose(&found, &list, "Plate"), 0);
	assert_null(found);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_printer_of_its_name_does_not_hide_a_queue),
		cmocka_unit_test(only_a_queue_ends_the_search_for_a_name),
		cmocka_unit_test(a_name_finds_its_printer_or_all_that_share_it),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
