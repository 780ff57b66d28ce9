/* A description read and numbered, and a layout: what bench programs begin with. */
#ifndef LOOMTAG_TESTS_BENCH_JOB_H
#define LOOMTAG_TESTS_BENCH_JOB_H

#include "loomtag/sheet.h"

struct job {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_register reg;
	struct lt_layout layout;
	struct lt_lookalikes *lookalikes;
	struct lt_tags tags;
	struct lt_fonts *fonts;
	struct lt_measure measure;
	struct lt_sheet_options options;
	struct lt_sheet sheet;
};

/* With an empty register. Close `out` either way. */
static inline bool job_open(struct job *out, const char *description, const char *layout)
{
	static const struct lt_sheet_options defaults = LT_SHEET_OPTIONS_INIT;
	*out = (struct job){ .options = defaults };
	lt_diags_init(&out->diags);
	lt_register_init(&out->reg);
	char *bytes;
	size_t length;
	if (!lt_file_read(&bytes, &length, description, LT_DESCRIPTION_MAX, &out->diags))
		return false;
	bool good = lt_harness_read(&out->harness, description, bytes, length, NULL, &out->diags);
	free(bytes);
	if (!good ||
		!lt_layout_find(&out->layout, layout, (const char *const[]){ NULL }, &out->diags))
		return false;
	out->lookalikes = lt_lookalikes_create(&out->harness);
	out->fonts = lt_fonts_create(&out->diags);
	if (out->fonts == NULL ||
		!lt_tags_assign(&out->tags, &out->harness, out->lookalikes, &out->reg, &out->diags))
		return false;
	out->measure = lt_fonts_measure(out->fonts);
	return lt_sheet_plan(&out->sheet, &out->layout, &out->tags, &out->reg, &out->options,
		&out->diags);
}

/* Says on stderr what there is to say. */
static inline void job_close(struct job *job)
{
	lt_diags_print(&job->diags, 0, stderr, false);
	lt_sheet_finish(&job->sheet);
	lt_fonts_destroy(job->fonts);
	lt_tags_finish(&job->tags);
	lt_lookalikes_destroy(job->lookalikes);
	lt_layout_finish(&job->layout);
	lt_register_finish(&job->reg);
	lt_harness_finish(&job->harness);
	lt_diags_finish(&job->diags);
}

#endif
