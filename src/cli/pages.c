/* The files of a document: the canvas by the ending of the name, and names of pages. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/pages.h"
#include "loomtag/base.h"
#include "loomtag/words.h"

struct page_bytes {
	unsigned char *bytes;
	size_t length;
	struct lt_output output;
};

static bool keep_page(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)page;
	(void)diags;
	struct pages *pages = data;
	pages->files = lt_grow(pages->files, &pages->room, pages->count + 1, sizeof(*pages->files));
	struct page_bytes *kept = &pages->files[pages->count++];
	*kept = (struct page_bytes){ .bytes = lt_alloc(length), .length = length };
	memcpy(kept->bytes, bytes, length);
	return true;
}

bool lt_pages_open(struct pages *out, const char *path, const char *const *keep,
	struct lt_fonts *fonts, const struct pages_options *options, struct lt_diags *diags)
{
	*out = (struct pages){ .path = path, .keep = keep };
	const struct lt_page_sink sink = { keep_page, out };
	const char *ending = lt_path_extension(path);
	bool png = options->dpi > 0;
	if (lt_same_word(ending, "pdf"))
		return lt_output_open(&out->pdf, path, keep, diags) &&
		       lt_pdf_create(&out->canvas, out->pdf.stream, fonts, options->pdf, diags);
	if (lt_same_word(ending, "png") && png && options->colour)
		return lt_raster_create_colour(&out->canvas, options->dpi, fonts, &sink, diags);
	if (lt_same_word(ending, "png") && png)
		return lt_raster_create(&out->canvas, options->dpi, fonts, &sink, diags);
	if (lt_same_word(ending, "svg") && options->svg) {
		lt_svg_create(&out->canvas, &sink, fonts, options->pdf->title);
		return true;
	}
	if (png && options->svg)
		lt_error(diags, lt_place_file(path),
			"the file name must end in .pdf, .png or .svg");
	else if (png)
		lt_error(diags, lt_place_file(path), "the file name must end in .pdf or .png");
	else if (options->svg)
		lt_error(diags, lt_place_file(path), "the file name must end in .pdf or .svg");
	else
		lt_error(diags, lt_place_file(path), "the file name must end in .pdf");
	return false;
}

/* The name of page `number` of `count`. */
static const char *page_name(struct lt_arena *arena, const struct pages *pages, size_t number,
	size_t count)
{
	if (count == 1 && !pages->numbered)
		return pages->path;
	int digits = count < 100 ? 2 : snprintf(NULL, 0, "%zu", count);
	size_t stem = strlen(pages->path) - strlen(lt_path_extension(pages->path)) - 1;
	return lt_arena_printf(arena, "%.*s-%0*zu%s", (int)stem, pages->path, digits, number,
		pages->path + stem);
}

/* Files of an earlier run with more pages would be printed along with these. */
static void warn_of_leftovers(const struct pages *pages, struct lt_diags *diags)
{
	bool single = pages->count == 1 && !pages->numbered;
	const char *next = page_name(&diags->arena, pages, single ? 1 : pages->count + 1,
		single ? 2 : pages->count);
	struct stat status;
	if (stat(next, &status) == 0) {
		lt_warning(diags, lt_place_file(next), "is a page from an earlier run");
		lt_hint(diags, "delete it, so that it is not printed with the new pages");
	}
}

/* One page that cannot be written stops the others, so that no set is half new and half old. */
bool lt_pages_allowed(const struct pages *pages, struct lt_diags *diags)
{
	bool allowed = true;
	if (pages->pdf.stream != NULL)
		return lt_output_allowed(pages->path, pages->keep, diags);
	for (size_t i = 0; i < pages->count; i++) {
		const char *name = page_name(&diags->arena, pages, i + 1, pages->count);
		allowed = lt_output_allowed(name, pages->keep, diags) && allowed;
	}
	return allowed;
}

static bool prepare_files(struct pages *pages, struct lt_diags *diags)
{
	bool good = lt_pages_allowed(pages, diags);
	for (size_t i = 0; good && i < pages->count; i++) {
		struct page_bytes *file = &pages->files[i];
		const char *name = page_name(&diags->arena, pages, i + 1, pages->count);
		if (!lt_output_open(&file->output, name, pages->keep, diags))
			return false;
		fwrite(file->bytes, 1, file->length, file->output.stream);
		good = lt_output_prepare(&file->output, diags);
	}
	return good;
}

bool lt_pages_prepare(struct pages *pages, struct lt_diags *diags)
{
	if (pages->prepared)
		return true;
	if (!pages->canvas.finish(pages->canvas.data, diags))
		return false;
	pages->prepared = pages->pdf.stream != NULL ? lt_output_prepare(&pages->pdf, diags)
						    : prepare_files(pages, diags);
	return pages->prepared;
}

bool lt_pages_commit(struct pages *pages, struct lt_diags *diags)
{
	if (!lt_pages_prepare(pages, diags))
		return false;
	if (pages->pdf.temporary != NULL) {
		pages->placed = lt_output_commit(&pages->pdf, diags);
		return pages->placed;
	}
	for (size_t i = 0; i < pages->count; i++) {
		if (!lt_output_commit(&pages->files[i].output, diags))
			return false;
		pages->placed = true;
	}
	warn_of_leftovers(pages, diags);
	return true;
}

void lt_pages_finish(struct pages *pages)
{
	lt_canvas_destroy(&pages->canvas);
	lt_output_abandon(&pages->pdf);
	for (size_t i = 0; i < pages->count; i++) {
		lt_output_abandon(&pages->files[i].output);
		free(pages->files[i].bytes);
	}
	free(pages->files);
	pages->files = NULL;
	pages->count = 0;
}

const char *lt_pages_names(struct lt_arena *arena, const struct pages *pages)
{
	const char *first = page_name(arena, pages, 1, pages->count > 0 ? pages->count : 1);
	if (pages->count <= 1)
		return first;
	struct lt_text range = { 0 };
	lt_words_file_range(&range, first, page_name(arena, pages, pages->count, pages->count));
	const char *kept = lt_arena_strdup(arena, lt_text_string(&range));
	lt_text_finish(&range);
	return kept;
}
