/* loomtag map: the harness on paper, or as web pages. */
#include <time.h>

#include "cli/alignment.h"
#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/terminal.h"
#include "loomtag/map.h"
#include "loomtag/photo.h"
#include "loomtag/site.h"
#include "loomtag/words.h"

#define PNG_DPI 200.0

/* What the command line asks for. */
struct request {
	struct lt_map_options map;
	double dpi;
	char date[16];
	size_t pages; /* of the map on paper, when it is drawn */
};

static int read_size(struct lt_map_options *map, const struct options *options)
{
	enum lt_paper paper;
	double width, height;
	if (!lt_read_paper(&paper, options, "map"))
		return EXIT_USAGE;
	if (options->landscape && options->portrait)
		return lt_usage_error("map", "cannot be used together: --landscape and --portrait");
	lt_paper_size(&width, &height, paper);
	map->width = options->portrait ? width : height;
	map->height = options->portrait ? height : width;
	return EXIT_YES;
}

static int read_request(struct request *request, const struct options *options)
{
	long long now;
	if (options->output == NULL && options->pages == NULL)
		return lt_usage_error("map",
			"no output file given (-o OUT.pdf, -o OUT.png, -o OUT.svg or --pages DIR)");
	const char *ending = options->output != NULL ? lt_path_extension(options->output) : "pdf";
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png") &&
		!lt_same_word(ending, "svg"))
		return lt_usage_error("map", "-o must be a .pdf, .png or .svg file, not \"%s\"",
			options->output);
	if (read_size(&request->map, options) != EXIT_YES ||
		lt_read_dpi(&request->dpi, options, LEAST_DPI, "map") != EXIT_YES ||
		!lt_document_time(&now))
		return EXIT_USAGE;
	time_t seconds = (time_t)now;
	struct tm parts;
	if (gmtime_r(&seconds, &parts) != NULL &&
		strftime(request->date, sizeof(request->date), "%Y-%m-%d", &parts) > 0)
		request->map.date = request->date;
	return EXIT_YES;
}

static bool draw(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct request *request = drawing->data;
	struct lt_session *session = drawing->session;
	struct lt_map *map =
		lt_map_create(&session->tags, session->lookalikes, &request->map, measure, diags);
	bool good = map != NULL && lt_map_draw(map, canvas, diags);
	if (good)
		request->pages = lt_map_pages(map);
	lt_map_destroy(map);
	return good;
}

static int write_paper(struct lt_session *session, struct request *request)
{
	struct drawing drawing = {
		.pdf.title = lt_drawing_title(session, lt_map_words.title),
		.kind = { .svg = true, .colour = true, .dpi = request->dpi },
		.session = session,
		.data = request,
		.draw = draw,
	};
	const char *names;
	int code = lt_drawing_write(&names, session->options->output, &drawing, &session->diags);
	struct lt_text text = { 0 };
	if (code == EXIT_YES && !session->options->quiet) {
		lt_map_add_done(&text, names, session->harness.connector_count, request->pages);
		lt_print_clean("%s\n", lt_text_string(&text));
	}
	lt_text_finish(&text);
	return code;
}

/* The map as static pages in a folder. */
static int write_site(struct lt_session *session, const struct request *request)
{
	const char *folder = session->options->pages;
	const struct lt_map_site_options options = { .date = request->map.date };
	size_t pages;
	struct lt_fonts *fonts = lt_fonts_create(&session->diags);
	bool good = fonts != NULL && lt_map_site_write(&pages, folder, &session->tags,
					     session->lookalikes, &options, fonts, &session->diags);
	lt_fonts_destroy(fonts);
	struct lt_text text = { 0 };
	if (good && !session->options->quiet) {
		lt_site_add_done(&text, folder, pages, session->harness.code);
		lt_print_clean("%s\n", lt_text_string(&text));
	}
	lt_text_finish(&text);
	return lt_session_fail(session, good ? EXIT_YES : EXIT_SYSTEM);
}

int lt_run_map(const struct options *options)
{
	struct request request = { .map = LT_MAP_OPTIONS_INIT, .dpi = PNG_DPI };
	int code = read_request(&request, options);
	if (code != EXIT_YES)
		return code;
	struct lt_session session;
	code = lt_session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		lt_session_warn_of_new_numbers(&session);
		if (!lt_photo_check(&session.harness, &session.diags))
			code = lt_session_fail(&session, EXIT_INPUT);
		if (code == EXIT_YES && options->output != NULL)
			code = write_paper(&session, &request);
		if (code == EXIT_YES && options->pages != NULL)
			code = write_site(&session, &request);
	}
	lt_session_finish(&session);
	return code;
}
