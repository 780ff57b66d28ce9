#include "sticker_run.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "loomtag/font.h"
#include "loomtag/length.h"
#include "loomtag/text.h"
#include "pages.h"

enum { DEFAULT_DPI = 300, LEAST_DPI = 100, MOST_DPI = 2400 };

/* ../share/loomtag/layouts from where the program is; NULL when that cannot be told. */
static const char *installed_folder(struct lt_arena *arena)
{
	char path[PATH_MAX];
	ssize_t length = readlink("/proc/self/exe", path, sizeof(path) - 1);
	if (length <= 0)
		return NULL;
	path[length] = '\0';
	char *slash = strrchr(path, '/');
	if (slash == NULL)
		return NULL;
	*slash = '\0';
	return lt_arena_printf(arena, "%s/../share/loomtag/layouts", path);
}

const char *const *layout_folders(struct lt_arena *arena)
{
	const char **folders = lt_arena_array(arena, 4, sizeof(*folders));
	size_t count = 0;
	const char *config = getenv("XDG_CONFIG_HOME");
	const char *home = getenv("HOME");
	if (config != NULL && config[0] == '/')
		folders[count++] = lt_arena_printf(arena, "%s/loomtag/layouts", config);
	else if (home != NULL && home[0] != '\0')
		folders[count++] = lt_arena_printf(arena, "%s/.config/loomtag/layouts", home);
	const char *installed = installed_folder(arena);
	if (installed != NULL && access(installed, F_OK) == 0)
		folders[count++] = installed;
	folders[count++] = LT_SOURCE_LAYOUTS;
	return folders;
}

static bool read_payload(enum lt_payload *out, const char *text)
{
	if (text == NULL)
		return true;
	for (enum lt_payload payload = LT_PAYLOAD_AUTO; payload <= LT_PAYLOAD_CODE; payload++) {
		if (strcmp(text, lt_payload_name(payload)) == 0) {
			*out = payload;
			return true;
		}
	}
	usage_error("stickers", "--payload is auto, link, facts or code, not \"%s\"", text);
	return false;
}

static bool read_nudge(struct lt_sheet_options *sheet, const char *text)
{
	char x[32];
	const char *comma = text != NULL ? strchr(text, ',') : NULL;
	if (text == NULL)
		return true;
	size_t length = comma != NULL ? (size_t)(comma - text) : sizeof(x);
	if (length < sizeof(x)) {
		memcpy(x, text, length);
		x[length] = '\0';
		if (lt_decimal_read(&sheet->nudge_x, x) &&
			lt_decimal_read(&sheet->nudge_y, comma + 1) && sheet->nudge_x >= -50 &&
			sheet->nudge_x <= 50 && sheet->nudge_y >= -50 && sheet->nudge_y <= 50)
			return true;
	}
	usage_error("stickers", "--nudge is two numbers of mm, such as 0.5,-1, not \"%s\"", text);
	return false;
}

/* The options that are wrong in themselves, whatever the layout. */
static bool read_sheet_options(struct lt_sheet_options *sheet, double *dpi,
	const struct options *options)
{
	unsigned value;
	if (!read_payload(&sheet->sticker.payload, options->payload) ||
		!read_nudge(sheet, options->nudge))
		return false;
	if (options->start != NULL &&
		(!lt_whole_read(&sheet->start, options->start, 1000000) || sheet->start == 0)) {
		usage_error("stickers", "--start is a label's number, from 1, not \"%s\"",
			options->start);
		return false;
	}
	if (options->dpi != NULL) {
		if (!lt_whole_read(&value, options->dpi, MOST_DPI) || value < LEAST_DPI) {
			usage_error("stickers", "--dpi is a whole number from %d to %d, not \"%s\"",
				LEAST_DPI, MOST_DPI, options->dpi);
			return false;
		}
		*dpi = value;
	}
	return true;
}

struct progress {
	bool shown;
	bool wanted;
};

static void show_progress(void *data, size_t done, size_t all)
{
	struct progress *progress = data;
	if (!progress->wanted || all < 2000)
		return;
	fprintf(stderr, "\r%zu of %zu stickers", done, all);
	fflush(stderr);
	progress->shown = true;
}

static void clear_progress(const struct progress *progress)
{
	if (progress->shown)
		fprintf(stderr, "\r%40s\r", "");
}

/* Remembers in the register which sides went out. */
static void mark_printed(struct session *session, const struct lt_sheet *sheet)
{
	struct lt_register *reg = &session->reg;
	const struct lt_tags *tags = &session->tags;
	struct lt_register_entry **by_number =
		lt_alloc_array((size_t)tags->number_max + 1, sizeof(struct lt_register_entry *));
	for (size_t i = 0; i < reg->count; i++) {
		if (reg->entries[i].number <= tags->number_max)
			by_number[reg->entries[i].number] = &reg->entries[i];
	}
	for (size_t i = 0; i < sheet->count; i++) {
		struct lt_register_entry *entry =
			by_number[tags->number_of[sheet->slots[i].connector]];
		char letter = lt_side_letter(sheet->slots[i].side);
		size_t printed = strlen(entry->printed);
		if (strchr(entry->printed, letter) == NULL &&
			printed + 1 < sizeof(entry->printed)) {
			entry->printed[printed] = letter;
			session->tags.changed = true;
		}
	}
	free(by_number);
}

static void add_roles(struct lt_text *out, unsigned roles)
{
	const char *between = " ";
	for (enum lt_box_role role = 0; role < LT_BOX_ROLE_COUNT; role++) {
		if ((roles & 1u << role) != 0) {
			lt_text_printf(out, "%s%s", between, lt_box_role_name(role));
			between = ", ";
		}
	}
}

/* Says once what a label of this size has no room for. */
static void tell_of_room(struct session *session, const struct lt_sheet *sheet)
{
	if (sheet->left_out == 0 && sheet->shortened == 0)
		return;
	struct lt_text words = { 0 };
	if (sheet->left_out != 0) {
		lt_text_add(&words, "left out on some labels:");
		add_roles(&words, sheet->left_out);
	}
	if (sheet->shortened != 0) {
		lt_text_add(&words,
			words.length > 0 ? "; shortened:" : "shortened on some labels:");
		add_roles(&words, sheet->shortened);
	}
	lt_note(&session->diags, lt_place_none(), "layout %s has no room for everything; %s",
		sheet->layout->name, lt_text_string(&words));
	lt_text_finish(&words);
}

static void print_summary(const struct lt_sheet *sheet, const struct pages *pages)
{
	char *names = pages_names(pages);
	printf("%s: %zu sticker%s on %u %s%s of %s; QR codes:", names, sheet->count,
		sheet->count == 1 ? "" : "s", sheet->pages,
		sheet->layout->medium == LT_MEDIUM_SHEET ? "page" : "label",
		sheet->pages == 1 ? "" : "s", sheet->layout->name);
	const char *between = " ";
	for (enum lt_payload payload = LT_PAYLOAD_LINK; payload <= LT_PAYLOAD_CODE; payload++) {
		if (sheet->payloads[payload] == 0)
			continue;
		printf("%s%s", between, lt_payload_name(payload));
		if (sheet->payloads[payload] != sheet->count)
			printf(" on %zu", sheet->payloads[payload]);
		between = ", ";
	}
	printf("\n");
	free(names);
}

static int draw(struct session *session, const char *path, struct lt_sheet *sheet,
	const struct lt_sheet_options *options, double dpi, struct lt_fonts *fonts)
{
	long long seconds;
	if (!document_time(&seconds))
		return EXIT_USAGE;
	const struct lt_harness *harness = &session->harness;
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&session->diags.arena, "Stickers %s%s%s", harness->code,
			harness->title != NULL ? ": " : "",
			harness->title != NULL ? harness->title : ""),
		.date = seconds,
	};
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct progress progress = { .wanted = !session->options->quiet && isatty(2) == 1 };
	struct pages pages;
	bool good =
		pages_open(&pages, path, session_keep(session), fonts, &pdf, dpi, &session->diags);
	int code = good ? EXIT_YES : EXIT_SYSTEM;
	if (good && !lt_sheet_draw(sheet, &pages.canvas, &session->tags, session->lookalikes,
			    options, &measure, show_progress, &progress, &session->diags))
		code = EXIT_INPUT;
	clear_progress(&progress);
	if (code == EXIT_YES) {
		/* Numbers go first: a sticker whose number the register does not know would be
		 * worse than a number that has no sticker. */
		code = session_save(session);
	}
	if (code == EXIT_YES && !pages_commit(&pages, &session->diags))
		code = EXIT_SYSTEM;
	if (code == EXIT_YES) {
		mark_printed(session, sheet);
		code = session_save(session);
	}
	if (code == EXIT_YES) {
		tell_of_room(session, sheet);
		session_warn_of_glyphs(session, fonts);
		if (!session->options->quiet)
			print_summary(sheet, &pages);
	}
	pages_finish(&pages);
	return code;
}

static int with_layout(struct session *session, const char *path, struct lt_layout *layout,
	struct lt_sheet_options *options, double dpi)
{
	const char *name =
		session->options->layout != NULL ? session->options->layout : DEFAULT_LAYOUT;
	if (!lt_layout_find(layout, name, layout_folders(&session->diags.arena), &session->diags))
		return EXIT_INPUT;
	if (dpi == 0)
		dpi = layout->dpi > 0 ? layout->dpi : DEFAULT_DPI;
	if (fabs(options->nudge_x) > layout->inset || fabs(options->nudge_y) > layout->inset)
		lt_warning(&session->diags, lt_place_none(),
			"--nudge moves ink by more than the %g mm edge that layout %s leaves: some may "
			"miss its label",
			layout->inset, layout->name);
	struct lt_sheet sheet;
	int code = EXIT_INPUT;
	if (lt_sheet_plan(&sheet, layout, &session->tags, &session->reg, options,
		    &session->diags)) {
		struct lt_fonts *fonts = lt_fonts_create(&session->diags);
		code = fonts != NULL ? draw(session, path, &sheet, options, dpi, fonts)
				     : EXIT_SYSTEM;
		lt_fonts_destroy(fonts);
	}
	lt_sheet_finish(&sheet);
	return code;
}

int write_stickers(struct session *session, const char *path)
{
	const char *ending = lt_path_extension(path);
	if (!lt_output_allowed(path, session_keep(session), &session->diags))
		return session_fail(session, EXIT_SYSTEM);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return usage_error("stickers", "-o is a .pdf or a .png, not \"%s\"", path);
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	double dpi = 0;
	if (!read_sheet_options(&options, &dpi, session->options))
		return EXIT_USAGE;
	struct lt_selection *only = NULL;
	if (session->options->only != NULL) {
		only = lt_selection_read(session->options->only, &session->diags);
		if (only == NULL)
			return session_fail(session, EXIT_USAGE);
		options.only = only;
	}
	struct lt_layout layout = { 0 };
	int code = with_layout(session, path, &layout, &options, dpi);
	lt_layout_finish(&layout);
	lt_selection_destroy(only);
	return session_fail(session, code);
}
