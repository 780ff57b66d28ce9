/* What quick, new, checklist and map print when they are done. */
#include "loomtag/words.h"

/* Numbers that were not used, named in one line of a terminal; the rest is counted. */
#define NOT_USED_NAMED 6

const struct lt_quick_words lt_quick_words = {
	.actual_size = "Print the papers at actual size, not fitted to the page.",
	.start = "Make the machine safe first. Remove the stickers of earlier jobs. Put H on the "
		 "harness half and M on the machine half of every joint. Then unplug.",
	.nothing_written = "Nothing was written.",
	.several_printers = "Several printers have labels loaded:",
	.which_printer = "Number of the printer, or Enter to print later: ",
};

void lt_quick_add_not_used(struct lt_text *out, const struct lt_tags *tags)
{
	struct lt_passed_over passed[NOT_USED_NAMED];
	const size_t all = lt_tags_passed_over(tags, passed, NOT_USED_NAMED);
	struct lt_text numbers = { 0 };
	for (size_t i = 0; i < all && i < NOT_USED_NAMED; i++)
		lt_text_printf(&numbers, i > 0 ? ", %u" : "%u", passed[i].number);
	if (all > NOT_USED_NAMED)
		lt_text_printf(out,
			"numbers not used, because they are easily confused: %s and %zu more",
			lt_text_string(&numbers), all - NOT_USED_NAMED);
	else if (all > 0)
		lt_text_printf(out, "numbers not used, because they are easily confused: %s",
			lt_text_string(&numbers));
	lt_text_finish(&numbers);
}

void lt_quick_add_no_labels(struct lt_text *out, const char *description, const char *layout)
{
	lt_text_printf(out,
		"If you have no label sheets, print on plain paper and cut it: loomtag stickers %s "
		"--layout %s -o cut.pdf",
		description, layout);
}

void lt_quick_add_printer(struct lt_text *out, size_t index, const char *name, const char *layout)
{
	lt_text_printf(out, "%3zu  %s (%s)", index, name, layout);
}

void lt_quick_add_not_printed(struct lt_text *out, const char *pdf, const char *description)
{
	lt_text_printf(out,
		"Not all stickers are printed. The file %s has all of them. To print on labels "
		"later, run: loomtag print %s --to PRINTER",
		pdf, description);
}

void lt_quick_add_worksheet(struct lt_text *out, const char *file)
{
	lt_text_printf(out, "%s: write on it by hand what each number is", file);
}

void lt_quick_add_fill_in(struct lt_text *out, const char *file)
{
	lt_text_printf(out, "%s: fill it in later; the numbers do not change", file);
}

void lt_new_add_done(struct lt_text *out, const char *file)
{
	lt_text_printf(out, "%s: fill it in, then run: loomtag check %s", file, file);
}

void lt_checklist_add_done(struct lt_text *out, const char *file, size_t joints)
{
	lt_text_printf(out,
		lt_plural(joints, "%s: checklist for %zu joint", "%s: checklist for %zu joints"),
		file, joints);
}

void lt_map_add_done(struct lt_text *out, const char *files, size_t joints, size_t pages)
{
	lt_text_printf(out,
		lt_plural(pages, "%s: map with %zu joints on %zu page",
			"%s: map with %zu joints on %zu pages"),
		files, joints, pages);
}

void lt_site_add_done(struct lt_text *out, const char *folder, size_t tags, const char *code)
{
	lt_text_printf(out,
		lt_plural(tags, "%s: page of %zu tag; begin at %s/%s/index.html",
			"%s: pages of %zu tags; begin at %s/%s/index.html"),
		folder, tags, folder, code);
}
