/* loomtag map: the harness on paper, or as web pages. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "cli/alignment.h"
#include "cli/command.h"
#include "cli/map_pages.h"
#include "cli/pages.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/map.h"
#include "loomtag/page.h"

#define PNG_DPI 200.0

/* What the command line asks for. */
struct request {
	struct lt_map_options map;
	double dpi;
	long long seconds;
	char date[16];
};

static bool read_size(struct lt_map_options *map, const struct options *options)
{
	enum lt_paper paper = LT_PAPER_A4;
	double width, height;
	if (options->paper != NULL && !lt_paper_read(&paper, options->paper, false)) {
		struct lt_text list = { 0 };
		lt_paper_list(&list, false);
		lt_usage_error("map", "--paper is %s, not \"%s\"", lt_text_string(&list),
			options->paper);
		lt_text_finish(&list);
		return false;
	}
	if (options->landscape && options->portrait) {
		lt_usage_error("map", "--landscape and --portrait exclude each other");
		return false;
	}
	lt_paper_size(&width, &height, paper);
	map->width = options->portrait ? width : height;
	map->height = options->portrait ? height : width;
	return true;
}

static bool read_request(struct request *request, const struct options *options)
{
	request->map = (struct lt_map_options)LT_MAP_OPTIONS_INIT;
	if (options->output == NULL && options->pages == NULL) {
		lt_usage_error("map",
			"where to write is not said (-o OUT.pdf, .png or .svg, or --pages DIR)");
		return false;
	}
	const char *ending = options->output != NULL ? lt_path_extension(options->output) : "pdf";
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png") &&
		!lt_same_word(ending, "svg")) {
		lt_usage_error("map", "-o is a .pdf, .png or .svg, not \"%s\"", options->output);
		return false;
	}
	if (!read_size(&request->map, options) || !lt_read_dpi(&request->dpi, options, "map") ||
		!lt_document_time(&request->seconds))
		return false;
	if (request->dpi == 0)
		request->dpi = PNG_DPI;
	time_t seconds = (time_t)request->seconds;
	struct tm parts;
	if (gmtime_r(&seconds, &parts) != NULL &&
		strftime(request->date, sizeof(request->date), "%Y-%m-%d", &parts) > 0)
		request->map.date = request->date;
	return true;
}

static bool draw(struct lt_session *session, const struct request *request, struct lt_fonts *fonts,
	struct pages *pages, size_t *count)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_map *map = lt_map_create(&session->tags, session->lookalikes, &request->map,
		&measure, &session->diags);
	bool good = map != NULL && lt_map_draw(map, &pages->canvas, &session->diags);
	if (good)
		*count = lt_map_pages(map);
	lt_map_destroy(map);
	return good && lt_pages_commit(pages, &session->diags);
}

static int write_paper(struct lt_session *session, const struct request *request)
{
	struct lt_fonts *fonts = lt_fonts_create(&session->diags);
	if (fonts == NULL)
		return lt_session_fail(session, EXIT_SYSTEM);
	const struct lt_harness *harness = &session->harness;
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&session->diags.arena, "Harness map %s%s%s", harness->code,
			harness->title != NULL ? ": " : "",
			harness->title != NULL ? harness->title : ""),
		.date = request->seconds,
	};
	const struct pages_options options = {
		.pdf = &pdf,
		.svg = true,
		.colour = true,
		.dpi = request->dpi,
	};
	struct pages pages;
	size_t count = 0;
	int code = EXIT_SYSTEM;
	if (lt_pages_open(&pages, session->options->output, lt_session_keep(session), fonts,
		    &options, &session->diags) &&
		draw(session, request, fonts, &pages, &count))
		code = EXIT_YES;
	lt_session_warn_of_glyphs(session, fonts);
	if (code == EXIT_YES && !session->options->quiet) {
		char *names = lt_pages_names(&pages);
		lt_print_clean("%s: map of %zu joints, %zu page%s\n", names,
			harness->connector_count, count, count == 1 ? "" : "s");
		free(names);
	}
	lt_pages_finish(&pages);
	lt_fonts_destroy(fonts);
	return lt_session_fail(session, code);
}

int lt_run_map(const struct options *options)
{
	struct request request;
	if (!read_request(&request, options))
		return EXIT_USAGE;
	struct lt_session session;
	int code = lt_session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		lt_session_warn_of_new_numbers(&session);
		if (!lt_photo_check(&session.harness, &session.diags))
			code = lt_session_fail(&session, EXIT_INPUT);
		if (code == EXIT_YES && options->output != NULL)
			code = write_paper(&session, &request);
		if (code == EXIT_YES && options->pages != NULL)
			code = lt_map_write_pages(&session, options->pages);
	}
	lt_session_finish(&session);
	return code;
}
