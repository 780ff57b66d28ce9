/* The order of places. */
#include "unit.h"

#include <stdio.h>
#include <string.h>

#include "loomtag/words.h"

static void the_thing_is_found(void **state)
{
	(void)state;
	static const struct {
		const char *place, *thing;
	} things[] = {
		{ "behind the left cover", "left cover" },
		{ "left cover", "left cover" },
		{ "Left of the drum", "drum" },
		{ "top of the leaf rail", "leaf rail" },
		{ "in front of the hub", "hub" },
		{ "on the inside of the door", "door" },
		{ "next to an  end plate", "end plate" },
		{ "under", "under" },
		{ "over ", "over " },
		{ "overhead", "overhead" },
		{ "left, behind the hub", "left, behind the hub" },
		{ "end of", "end of" },
		{ "", "" },
	};
	/* It comes between what is just before the thing and just behind it. */
	for (size_t i = 0; i < sizeof things / sizeof *things; i++) {
		char before[64], after[64];
		snprintf(before, sizeof before, "%s", things[i].thing);
		snprintf(after, sizeof after, "%s~", things[i].thing);
		const size_t length = strlen(before);
		assert_true(lt_place_compare(things[i].place, after) < 0);
		if (length == 0)
			continue;
		before[length - 1]--;
		assert_true(lt_place_compare(things[i].place, before) > 0);
	}
}

static void places_come_in_order(void **state)
{
	(void)state;
	static const char *const places[] = { "under the drum", "Lane 2", "lane 2, back",
		"on lane 10", "behind the left cover", "Left cover", "left cover",
		"inside the terminal box", NULL };
	const size_t count = sizeof places / sizeof *places;
	for (size_t i = 0; i < count; i++) {
		assert_int_equal(lt_place_compare(places[i], places[i]), 0);
		for (size_t j = i + 1; j < count; j++) {
			assert_true(lt_place_compare(places[i], places[j]) < 0);
			assert_true(lt_place_compare(places[j], places[i]) > 0);
		}
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_thing_is_found),
		cmocka_unit_test(places_come_in_order),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
