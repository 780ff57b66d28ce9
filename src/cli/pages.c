#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/pages.h"
#include "loomtag/base.h"

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

static bool open_pdf(struct pages *pages, struct lt_fonts *fonts, const struct lt_pdf_options *pdf,
	struct lt_diags *diags)
{
	return lt_output_open(&pages->pdf, pages->path, pages->keep, diags) &&
	       lt_pdf_create(&pages->canvas, pages->pdf.stream, fonts, pdf, diags);
}

bool lt_pages_open(struct pages *out, const char *path, const char *const *keep,
	struct lt_fonts *fonts, const struct pages_options *options, struct lt_diags *diags)
{
	*out = (struct pages){ .path = path, .keep = keep };
	const struct lt_page_sink sink = { keep_page, out };
	const char *ending = lt_path_extension(path);
	bool png = options->dpi > 0;
	if (lt_same_word(ending, "pdf"))
		return open_pdf(out, fonts, options->pdf, diags);
	if (lt_same_word(ending, "png") && png && options->colour)
		return lt_raster_create_colour(&out->canvas, options->dpi, fonts, &sink, diags);
	if (lt_same_word(ending, "png") && png)
		return lt_raster_create(&out->canvas, options->dpi, fonts, &sink, diags);
	if (lt_same_word(ending, "svg") && options->svg) {
		lt_svg_create(&out->canvas, &sink, fonts, options->pdf->title);
		return true;
	}
	lt_error(diags, lt_place_file(path), "what to write is told by the ending: .pdf%s%s%s",
		png && options->svg ? ", .png" : "", png && !options->svg ? " or .png" : "",
		options->svg ? " or .svg" : "");
	return false;
}

/* The name of page `number` of `count`; the caller frees. */
static char *page_name(const char *path, size_t number, size_t count, bool numbered)
{
	struct lt_text name = { 0 };
	if (count == 1 && !numbered) {
		lt_text_add(&name, path);
	} else {
		int digits = 2;
		for (size_t most = 100; count >= most; most *= 10)
			digits++;
		size_t stem = strlen(path) - strlen(lt_path_extension(path)) - 1;
		lt_text_add_bytes(&name, path, stem);
		lt_text_printf(&name, "-%0*zu%s", digits, number, path + stem);
	}
	return name.bytes;
}

/* Files of an earlier run with more pages would be printed along with these. */
static void warn_of_leftovers(const struct pages *pages, struct lt_diags *diags)
{
	bool single = pages->count == 1 && !pages->numbered;
	char *next = page_name(pages->path, single ? 1 : pages->count + 1,
		single ? 2 : pages->count, pages->numbered);
	struct stat status;
	if (stat(next, &status) == 0) {
		lt_warning(diags, lt_place_file(next),
			"is left from an earlier run, not from this one");
		lt_hint(diags, "remove it, or it is printed along with these");
	}
	free(next);
}

/* One page that cannot be written stops the others, so that no set is half new and half old. */
bool lt_pages_allowed(const struct pages *pages, struct lt_diags *diags)
{
	bool allowed = true;
	if (pages->pdf.stream != NULL)
		return lt_output_allowed(pages->path, pages->keep, diags);
	for (size_t i = 0; i < pages->count; i++) {
		char *name = page_name(pages->path, i + 1, pages->count, pages->numbered);
		allowed = lt_output_allowed(name, pages->keep, diags) && allowed;
		free(name);
	}
	return allowed;
}

static bool prepare_files(struct pages *pages, struct lt_diags *diags)
{
	bool good = lt_pages_allowed(pages, diags);
	for (size_t i = 0; good && i < pages->count; i++) {
		struct page_bytes *file = &pages->files[i];
		char *name = page_name(pages->path, i + 1, pages->count, pages->numbered);
		good = lt_output_open(&file->output, name, pages->keep, diags);
		free(name);
		if (!good)
			break;
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

char *lt_pages_names(const struct pages *pages)
{
	size_t count = pages->count > 0 ? pages->count : 1;
	char *first = page_name(pages->path, 1, count, pages->numbered);
	if (pages->count <= 1)
		return first;
	char *last = page_name(pages->path, count, count, pages->numbered);
	struct lt_text names = { 0 };
	lt_text_printf(&names, "%s to %s", first, last);
	free(first);
	free(last);
	return names.bytes;
}
