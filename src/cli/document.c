#include "cli/document.h"
#include "loomtag/draw.h"

bool lt_read_paper(enum lt_paper *paper, const struct options *options, const char *command)
{
	*paper = LT_PAPER_A4;
	if (options->paper == NULL || (lt_paper_read(paper, options->paper) &&
					      (*paper == LT_PAPER_A4 || *paper == LT_PAPER_LETTER)))
		return true;
	lt_usage_error(command, "--paper is a4 or letter, not \"%s\"", options->paper);
	return false;
}

const char *lt_document_title(struct session *session, const char *what)
{
	const struct lt_harness *harness = &session->harness;
	return lt_arena_printf(&session->diags.arena, "%s %s%s%s", what, harness->code,
		harness->title != NULL ? ": " : "", harness->title != NULL ? harness->title : "");
}

static int write_with(struct lt_fonts *fonts, const char **names, const char *path,
	const struct document *document, struct lt_diags *diags)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct pages_options kind = document->kind;
	kind.pdf = &document->pdf;
	const char *const *keep = document->keep;
	if (keep == NULL)
		keep = lt_session_keep(document->session);
	struct pages pages;
	int code = EXIT_SYSTEM;
	if (lt_pages_open(&pages, path, keep, fonts, &kind, diags) &&
		document->draw(&pages.canvas, document, &measure, diags) &&
		lt_pages_commit(&pages, diags))
		code = EXIT_YES;
	if (document->session != NULL)
		lt_session_warn_of_glyphs(document->session, fonts);
	if (names != NULL)
		*names = lt_pages_names(&diags->arena, &pages);
	lt_pages_finish(&pages);
	return code;
}

int lt_document_write(const char **names, const char *path, struct document *document,
	struct lt_diags *diags)
{
	if (!lt_document_time(&document->pdf.date))
		return EXIT_USAGE;
	struct lt_fonts *fonts = lt_fonts_create(diags);
	int code = fonts != NULL ? write_with(fonts, names, path, document, diags) : EXIT_SYSTEM;
	lt_fonts_destroy(fonts);
	if (document->session != NULL)
		lt_session_tell(document->session);
	return code;
}
