#include <stdio.h>
#include <time.h>

#include "cli/map_pages.h"
#include "cli/terminal.h"
#include "loomtag/site.h"

int lt_map_write_pages(struct lt_session *session, const char *folder)
{
	long long seconds;
	if (!lt_document_time(&seconds))
		return EXIT_USAGE;
	char date[16] = "";
	time_t now = (time_t)seconds;
	struct tm parts;
	if (gmtime_r(&now, &parts) != NULL)
		strftime(date, sizeof date, "%Y-%m-%d", &parts);
	struct lt_fonts *fonts = lt_fonts_create(&session->diags);
	if (fonts == NULL)
		return lt_session_fail(session, EXIT_SYSTEM);
	const struct lt_map_site_options options = { .date = date[0] != '\0' ? date : NULL };
	size_t pages;
	bool good = lt_map_site_write(&pages, folder, &session->tags, session->lookalikes, &options,
		fonts, &session->diags);
	lt_fonts_destroy(fonts);
	if (good && !session->options->quiet)
		lt_print_clean("%s: pages of %zu tags; begin at %s/%s/index.html\n", folder, pages,
			folder, session->harness.code);
	return lt_session_fail(session, good ? EXIT_YES : EXIT_SYSTEM);
}
