/* What quick, new, checklist and map print when they are done. */
#include "loomtag/words.h"

const struct lt_quick_words lt_quick_words = {
	.not_used = "numbers not used, because they are easily confused:",
	.start = "Make the machine safe first. Remove the stickers of earlier jobs. Put H on the "
		 "harness half and M on the machine half of every joint. Then unplug.",
};

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
