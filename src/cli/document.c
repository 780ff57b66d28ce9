#include "cli/document.h"
#include "cli/pages.h"
#include "loomtag/draw.h"

bool lt_read_paper(enum lt_paper *paper, const struct options *options, const char *command)
{
	struct lt_text list = { 0 };
	*paper = LT_PAPER_A4;
	if (options->paper == NULL || lt_paper_read(paper, options->paper, true))
		return true;
	lt_paper_list(&list, true);
	lt_usage_error(command, "--paper is %s, not \"%s\"", lt_text_string(&list), options->paper);
	lt_text_finish(&list);
	return false;
}

int lt_write_document(struct lt_session *session, const char *path, const char *what,
	document_drawer *draw, const struct lt_checklist_options *options)
{
	long long seconds;
	if (!lt_document_time(&seconds))
		return EXIT_USAGE;
	struct lt_fonts *fonts = lt_fonts_create(&session->diags);
	if (fonts == NULL)
		return lt_session_fail(session, EXIT_SYSTEM);
	const struct lt_harness *harness = &session->harness;
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&session->diags.arena, "%s %s%s%s", what, harness->code,
			harness->title != NULL ? ": " : "",
			harness->title != NULL ? harness->title : ""),
		.date = seconds,
	};
	const struct lt_measure measure = lt_fonts_measure(fonts);
	const struct pages_options kind = { .pdf = &pdf };
	struct pages pages;
	int code = EXIT_SYSTEM;
	if (lt_pages_open(&pages, path, lt_session_keep(session), fonts, &kind, &session->diags) &&
		draw(&pages.canvas, session, options, &measure) &&
		lt_pages_commit(&pages, &session->diags))
		code = EXIT_YES;
	lt_session_warn_of_glyphs(session, fonts);
	lt_pages_finish(&pages);
	lt_fonts_destroy(fonts);
	return lt_session_fail(session, code);
}
