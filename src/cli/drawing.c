/* Drawing a document to a file: what the commands that draw share. */
#include "cli/drawing.h"

#include <string.h>

#include "loomtag/draw.h"
#include "loomtag/words.h"

bool lt_read_paper(enum lt_paper *paper, const struct options *options, const char *command)
{
	struct lt_text list = { 0 };
	/* All but maps are held in the hand. */
	const bool small = strcmp(command, "map") != 0;
	*paper = LT_PAPER_A4;
	if (options->paper == NULL || lt_paper_read(paper, options->paper, small))
		return true;
	lt_paper_list(&list, small);
	lt_usage_error(command, "--paper must be %s, not \"%s\"", lt_text_string(&list),
		options->paper);
	lt_text_finish(&list);
	return false;
}

const char *lt_drawing_title(struct lt_session *session, const char *document)
{
	struct lt_text title = { 0 };
	lt_words_document_title(&title, document, &session->harness);
	const char *kept = lt_arena_strdup(&session->diags.arena, lt_text_string(&title));
	lt_text_finish(&title);
	return kept;
}

static int write_with(struct lt_fonts *fonts, const char **names, const char *path,
	const struct drawing *drawing, struct lt_diags *diags)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct pages_options kind = drawing->kind;
	kind.pdf = &drawing->pdf;
	const char *const *keep = drawing->keep;
	if (keep == NULL)
		keep = lt_session_keep(drawing->session);
	struct pages pages;
	int code = EXIT_SYSTEM;
	if (lt_pages_open(&pages, path, keep, fonts, &kind, diags) &&
		drawing->draw(&pages.canvas, drawing, &measure, diags) &&
		lt_pages_commit(&pages, diags))
		code = EXIT_YES;
	if (drawing->session != NULL)
		lt_session_warn_of_glyphs(drawing->session, fonts);
	if (names != NULL)
		*names = lt_pages_names(&diags->arena, &pages);
	lt_pages_finish(&pages);
	return code;
}

int lt_drawing_write(const char **names, const char *path, struct drawing *drawing,
	struct lt_diags *diags)
{
	if (drawing->pdf.date == 0 && !lt_document_time(&drawing->pdf.date))
		return EXIT_USAGE;
	struct lt_fonts *fonts = lt_fonts_create(diags);
	int code = fonts != NULL ? write_with(fonts, names, path, drawing, diags) : EXIT_SYSTEM;
	lt_fonts_destroy(fonts);
	if (drawing->session != NULL)
		lt_session_print_diags(drawing->session);
	return code;
}
