/* What is put on sheets, for tests. */
#ifndef LOOMTAG_TESTS_SHEET_FIXTURE_H
#define LOOMTAG_TESTS_SHEET_FIXTURE_H

#include "fixture.h"
#include "loomtag/sheet.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Three stickers for X1 (replaced), two for X2, one for the clip, none for X3 and X4. */
static const char sample[] = "harness: RV3\nnumbers: order\n"
			     "components:\n"
			     "  - {id: M1, fate: replace}\n"
			     "connectors:\n"
			     "  - {id: X1, mates: M1, family: a}\n"
			     "  - {id: X2, family: b}\n"
			     "  - {id: X3, family: c, tag: paper}\n"
			     "  - {id: X4, family: d, tag: none}\n"
			     "  - {id: C1, kind: clip, sides: 1}\n"
			     "  - {id: X5, family: e}\n";

/* A sheet of columns x rows labels of 60 x 30 mm. */
static inline void init_layout(struct lt_layout *layout, unsigned columns, unsigned rows)
{
	*layout = (struct lt_layout){ .name = "own", .medium = LT_MEDIUM_SHEET };
	layout->label_width = 60;
	layout->label_height = 30;
	layout->columns = columns;
	layout->rows = rows;
	layout->page_width = 20 + columns * 61;
	layout->page_height = 20 + rows * 31;
	layout->first_x = layout->first_y = 10;
	layout->pitch_x = 61;
	layout->pitch_y = 31;
	layout->inset = 2;
}

#endif
