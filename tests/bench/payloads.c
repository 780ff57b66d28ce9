/* Lists the codes that `loomtag stickers` draws for a description, in its order, as bare_pdf reads
 * them. Usage: payloads DESCRIPTION LAYOUT-FILE, the payload being auto. */
#include <stdio.h>

#include "loomtag/font.h"
#include "loomtag/sheet.h"

static bool print_slot(const struct lt_sheet *sheet, size_t slot, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_sticker_options *options,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	struct lt_sticker sticker;
	bool good = lt_sticker_place(&sticker, &arena, sheet->layout, tags, lookalikes,
		sheet->slots[slot].connector, sheet->slots[slot].side, options, measure, diags);
	if (good)
		printf("%u %c %c %s\n", sticker.plan.version,
			lt_qr_level_letter(sticker.plan.level), "NAB"[sticker.plan.mode],
			sticker.payload_text);
	lt_arena_finish(&arena);
	return good;
}

static bool print_all(const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_register *reg, const struct lt_lookalikes *lookalikes,
	struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_fonts_create(diags);
	if (fonts == NULL)
		return false;
	struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct lt_sheet sheet = { 0 };
	bool good = lt_sheet_plan(&sheet, layout, tags, reg, &options, diags);
	for (size_t i = 0; good && i < sheet.count; i++)
		good = print_slot(&sheet, i, tags, lookalikes, &options.sticker, &measure, diags);
	lt_sheet_finish(&sheet);
	lt_fonts_destroy(fonts);
	return good;
}

int main(int argc, char **argv)
{
	if (argc != 3) {
		fprintf(stderr, "usage: payloads DESCRIPTION LAYOUT-FILE\n");
		return 2;
	}
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_register reg;
	lt_register_init(&reg);
	struct lt_harness harness = { 0 };
	struct lt_layout layout = { 0 };
	struct lt_tags tags = { 0 };
	struct lt_lookalikes *lookalikes = NULL;
	const struct lt_harness_options given = { 0 };
	bool good = lt_harness_read_file(&harness, argv[1], &given, &diags) &&
		    lt_layout_read_file(&layout, argv[2], &diags);
	if (good) {
		lookalikes = lt_lookalikes_create(&harness);
		good = lt_tags_assign(&tags, &harness, lookalikes, &reg, &diags) &&
		       print_all(&layout, &tags, &reg, lookalikes, &diags);
	}
	lt_diags_print(&diags, 0, stderr, false);
	lt_tags_finish(&tags);
	lt_lookalikes_destroy(lookalikes);
	lt_layout_finish(&layout);
	lt_register_finish(&reg);
	lt_harness_finish(&harness);
	lt_diags_finish(&diags);
	return good ? 0 : 1;
}
