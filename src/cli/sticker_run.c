#include "sticker_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "explain.h"
#include "folders.h"
#include "loomtag/font.h"
#include "loomtag/stock.h"
#include "loomtag/text.h"
#include "loomtag/used.h"
#include "pages.h"
#include "sticker_options.h"
#include "terminal.h"

enum { DEFAULT_DPI = 300 };

/* The stickers of one layout, which go into a file of their own. */
struct part {
	size_t layout;    /* in the stock */
	const char *path; /* NULL: nothing is drawn; "-": on the terminal */
	struct lt_sheet_options options;
	struct lt_sheet sheet;
	struct pages pages;
	struct lt_canvas preview;
};

/* One run of stickers. */
struct run {
	struct session *session;
	struct lt_fonts *fonts;
	struct lt_measure measure;
	struct lt_stock stock; /* of --stock first, then those named for a side */
	size_t choosable;      /* how many of them --layout auto chooses among */
	struct lt_stock known; /* for hints */
	struct lt_sheet_options options;
	struct lt_calibration alignment;
	double dpi; /* 0: the layout's */
	unsigned char *choice;
	struct part *parts;
	size_t part_count;
	struct explain explain;
	const struct lt_layout *drawn; /* whose stickers are being drawn */
	bool progress_shown;
	long long seconds; /* the date of documents */
};

static void show_progress(void *data, size_t done, size_t all)
{
	struct run *run = data;
	if (run->session->options->quiet || all < 2000 || isatty(2) != 1)
		return;
	fprintf(stderr, "\r%zu of %zu stickers", done, all);
	fflush(stderr);
	run->progress_shown = true;
}

static void clear_progress(struct run *run)
{
	if (run->progress_shown)
		fprintf(stderr, "\r%40s\r", "");
	run->progress_shown = false;
}

static bool wants_explaining(const struct options *options)
{
	return options->explain || options->json;
}

static void note_placed(void *data, const struct lt_sticker *sticker)
{
	struct run *run = data;
	if (wants_explaining(run->session->options))
		explain_sticker(&run->explain, sticker, run->drawn);
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
	/* What keeps a plug off a wrong mate is missed more than the rest. */
	const unsigned warnings = 1u << LT_BOX_LOOKALIKES | 1u << LT_BOX_BANNER;
	if ((sheet->left_out & warnings) != 0) {
		lt_warning(&session->diags, lt_place_none(),
			"layout %s has no room on some labels for what else a plug would fit, or for "
			"which part is new",
			sheet->layout->name);
		lt_hint(&session->diags, "take a larger label, or go by the checklist");
	}
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

static const struct lt_layout *layout_of(const struct run *run, const struct part *part)
{
	return &run->stock.layouts[part->layout];
}

/* True where stickers go into a file, and not onto the terminal or nowhere. */
static bool is_file(const char *path)
{
	return path != NULL && strcmp(path, "-") != 0;
}

static void print_summary(const struct run *run, const struct part *part)
{
	const struct lt_sheet *sheet = &part->sheet;
	const struct lt_layout *layout = layout_of(run, part);
	if (is_file(part->path)) {
		char *names = pages_names(&part->pages);
		printf("%s: ", names);
		free(names);
	} else if (part->path != NULL) {
		printf("not printed yet: ");
	}
	printf("%zu sticker%s on ", sheet->count, sheet->count == 1 ? "" : "s");
	if (layout->medium == LT_MEDIUM_TAPE)
		printf("%.0f mm of %s; QR codes:", ceil(sheet->length), layout->name);
	else
		printf("%u %s%s of %s; QR codes:", sheet->pages,
			layout->medium == LT_MEDIUM_SHEET ? "page" : "label",
			sheet->pages == 1 ? "" : "s", layout->name);
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
}

/* Which layout the stickers of a side go on. */
static const char *layout_wanted(const struct options *options, enum lt_side side)
{
	const char *own = side == LT_SIDE_H ? options->layout_h : options->layout_m;
	if (own != NULL)
		return own;
	return options->layout != NULL ? options->layout : DEFAULT_LAYOUT;
}

static bool is_auto(const struct options *options, enum lt_side side)
{
	return strcmp(layout_wanted(options, side), "auto") == 0;
}

static bool any_auto(const struct options *options)
{
	return is_auto(options, LT_SIDE_H) || is_auto(options, LT_SIDE_M);
}

/* Loads what the options name: --stock, and a layout for each side. */
static int load_stock(struct run *run, size_t of_side[LT_SIDE_COUNT])
{
	const struct options *options = run->session->options;
	struct lt_diags *diags = &run->session->diags;
	const char *const *folders = layout_folders(&diags->arena);
	if (any_auto(options) != (options->stock != NULL))
		return usage_error("stickers",
			options->stock == NULL
				? "--layout auto chooses among what is at hand: say it with "
				  "--stock a4-3x8,tape-12,..."
				: "--stock is what --layout auto chooses among; give both");
	if (options->stock != NULL &&
		!lt_stock_add_list(&run->stock, options->stock, folders, diags))
		return EXIT_INPUT;
	run->choosable = run->stock.count;
	bool round = any_auto(options);
	for (enum lt_side side = 0; side < LT_SIDE_COUNT; side++) {
		if (is_auto(options, side))
			continue;
		if (!lt_stock_add(&run->stock, &of_side[side], layout_wanted(options, side),
			    folders, diags))
			return EXIT_INPUT;
		round = round || run->stock.layouts[of_side[side]].style != LT_STYLE_PLATE;
	}
	if (round)
		lt_stock_add_all(&run->known, folders);
	return EXIT_YES;
}

/* Says for every sticker which layout it goes on. */
static bool choose_layouts(struct run *run, const size_t of_side[LT_SIDE_COUNT])
{
	struct session *session = run->session;
	size_t connectors = session->harness.connector_count;
	run->choice = lt_alloc_array(connectors + 1, LT_SIDE_COUNT);
	unsigned sides = 0;
	for (enum lt_side side = 0; side < LT_SIDE_COUNT; side++) {
		if (is_auto(session->options, side))
			sides |= 1u << side;
		for (size_t i = 0; i < connectors; i++)
			run->choice[i * LT_SIDE_COUNT + side] =
				(sides & 1u << side) != 0 ? LT_STOCK_NONE
							  : (unsigned char)of_side[side];
	}
	const struct lt_stock_wish wish = { sides, run->choosable, run->options.only, &run->known };
	return sides == 0 ||
	       lt_stock_choose(run->choice, &run->stock, &wish, &session->tags, session->lookalikes,
		       &run->options.sticker, &run->measure, &session->diags);
}

/* OUT-WHAT.pdf for OUT.pdf. */
static const char *path_with(struct run *run, const char *path, const char *what)
{
	const char *ending = lt_path_extension(path);
	return lt_arena_printf(&run->session->diags.arena, "%.*s-%s.%s",
		(int)(strlen(path) - strlen(ending) - 1), path, what, ending);
}

/* The file of a part: with one part alone the one that was asked for; else called by the side, or
 * by the layout where sides are mixed. */
static const char *path_of_part(struct run *run, const char *path, size_t layout,
	const size_t of_side[LT_SIDE_COUNT])
{
	if (!is_file(path) || run->stock.count == 1)
		return path;
	if (any_auto(run->session->options))
		return path_with(run, path, run->stock.layouts[layout].name);
	return path_with(run, path, layout == of_side[LT_SIDE_H] ? "h" : "m");
}

/* A used sheet is one; which it is must be plain. */
static int read_used(struct run *run)
{
	const struct options *options = run->session->options;
	/* A preview shows labels one by one, whichever of a sheet they are. */
	if ((options->start == NULL && options->used == NULL) || run->options.apart)
		return EXIT_YES;
	if (options->start != NULL && options->used != NULL)
		return usage_error("stickers", "--start and --used both say which labels are gone");
	const char *name = options->start != NULL ? "--start" : "--used";
	struct part *sheet = NULL;
	for (size_t i = 0; i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		if (run->part_count > 1 && layout_of(run, part)->medium != LT_MEDIUM_SHEET)
			continue;
		if (sheet != NULL)
			return usage_error("stickers",
				"%s is of one sheet, and there are two: %s and %s", name,
				layout_of(run, sheet)->name, layout_of(run, part)->name);
		sheet = part;
	}
	if (sheet == NULL)
		return usage_error("stickers", "%s is of a sheet, and there is none", name);
	if (options->start != NULL) {
		sheet->options.start = run->options.start;
		return EXIT_YES;
	}
	unsigned labels = lt_layout_labels(layout_of(run, sheet));
	bool *used = lt_arena_array(&run->session->diags.arena, labels, sizeof(*used));
	if (!lt_used_read(used, labels, options->used, &run->session->diags))
		return EXIT_USAGE;
	sheet->options.used = used;
	return EXIT_YES;
}

static void warn_of_nudge(struct run *run, const struct lt_layout *layout)
{
	const struct lt_sheet_options *options = &run->options;
	if (fabs(options->nudge_x) > layout->inset || fabs(options->nudge_y) > layout->inset)
		lt_warning(&run->session->diags, lt_place_none(),
			"--nudge moves ink by more than the %g mm edge that layout %s leaves: some may "
			"miss its label",
			layout->inset, layout->name);
}

/* Makes a part of every layout that is wanted by some sticker, and gives its stickers places. */
static int plan_parts(struct run *run, const char *path, const size_t of_side[LT_SIDE_COUNT])
{
	struct session *session = run->session;
	run->parts = lt_alloc_array(run->stock.count, sizeof(*run->parts));
	bool wanted[LT_STOCK_MAX] = { false };
	for (size_t i = 0; i < session->harness.connector_count * LT_SIDE_COUNT; i++) {
		if (run->choice[i] != LT_STOCK_NONE)
			wanted[run->choice[i]] = true;
	}
	for (size_t i = 0; i < run->stock.count; i++) {
		if (!wanted[i])
			continue;
		struct part *part = &run->parts[run->part_count++];
		*part = (struct part){ .layout = i, .options = run->options };
		part->path = path_of_part(run, path, i, of_side);
		part->options.start = 1;
		part->options.medium = (unsigned)i;
		part->options.choice = run->stock.count > 1 ? run->choice : NULL;
	}
	int code = read_used(run);
	bool good = true;
	size_t stickers = 0;
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		good = lt_sheet_plan(&part->sheet, layout_of(run, part), &session->tags,
			       &session->reg, &part->options, &session->diags) &&
		       good;
		stickers += part->sheet.count;
		if (part->sheet.count > 0)
			warn_of_nudge(run, layout_of(run, part));
	}
	if (code != EXIT_YES || !good)
		return code != EXIT_YES ? code : EXIT_INPUT;
	if (stickers > 0)
		return EXIT_YES;
	lt_error(&session->diags, lt_place_file(session->path), "there is no sticker to print");
	lt_hint(&session->diags, "every connector is marked tag: paper or tag: none");
	return EXIT_INPUT;
}

static bool open_part(struct run *run, struct part *part, struct lt_canvas **canvas)
{
	struct session *session = run->session;
	const struct lt_harness *harness = &session->harness;
	const struct lt_layout *layout = layout_of(run, part);
	if (!is_file(part->path)) {
		const struct lt_blocks_options options = { .columns = terminal_columns(),
			.colour = session->options->colour_out };
		*canvas = &part->preview;
		return lt_blocks_create(&part->preview, stdout, run->fonts, &options,
			&session->diags);
	}
	double dpi = run->dpi > 0 ? run->dpi : layout->dpi;
	const struct lt_pdf_options pdf = {
		.title = lt_arena_printf(&session->diags.arena, "Stickers %s%s%s", harness->code,
			harness->title != NULL ? ": " : "",
			harness->title != NULL ? harness->title : ""),
		.date = run->seconds,
		.dpi = dpi,
	};
	*canvas = &part->pages.canvas;
	return pages_open(&part->pages, part->path, session_keep(session), run->fonts, &pdf,
		dpi > 0 ? dpi : DEFAULT_DPI, &session->diags);
}

static int draw_part(struct run *run, struct part *part)
{
	struct session *session = run->session;
	const struct lt_sheet_watcher watcher = { show_progress, note_placed, run };
	struct lt_canvas *canvas = NULL;
	if (part->path != NULL && !open_part(run, part, &canvas))
		return EXIT_SYSTEM;
	run->drawn = layout_of(run, part);
	bool good = lt_sheet_draw(&part->sheet, canvas, &session->tags, session->lookalikes,
		&part->options, &run->measure, &watcher, &session->diags);
	clear_progress(run);
	if (!good)
		return EXIT_INPUT;
	if (canvas == &part->preview && !canvas->finish(canvas->data, &session->diags))
		return EXIT_SYSTEM;
	return EXIT_YES;
}

/* Numbers go first: a sticker whose number the register does not know would be worse than a number
 * that has no sticker. */
static int commit(struct run *run)
{
	struct session *session = run->session;
	int code = session_save(session);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		if (part->sheet.count == 0)
			continue;
		if (!pages_commit(&part->pages, &session->diags))
			return EXIT_SYSTEM;
		mark_printed(session, &part->sheet);
		code = session_save(session);
	}
	return code;
}

static int explain(struct run *run)
{
	return wants_explaining(run->session->options) ? explain_end(&run->explain) : EXIT_YES;
}

static int draw(struct run *run)
{
	struct session *session = run->session;
	const struct options *options = session->options;
	if (!document_time(&run->seconds))
		return EXIT_USAGE;
	if (wants_explaining(options))
		explain_begin(&run->explain, options->json, run->options.sticker.distance);
	int code = EXIT_YES;
	bool paper = is_file(run->parts[0].path);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		if (run->parts[i].sheet.count > 0)
			code = draw_part(run, &run->parts[i]);
	}
	if (code == EXIT_YES && paper)
		code = commit(run);
	if (code == EXIT_YES)
		code = explain(run);
	for (size_t i = 0; code == EXIT_YES && i < run->part_count; i++) {
		struct part *part = &run->parts[i];
		if (part->sheet.count == 0)
			continue;
		lt_doubts_tell(&part->sheet.doubts, layout_of(run, part),
			run->options.sticker.distance, &session->diags);
		tell_of_room(session, &part->sheet);
		if (!options->quiet && !options->json)
			print_summary(run, part);
	}
	if (code == EXIT_YES)
		session_warn_of_glyphs(session, run->fonts);
	return code;
}

static int with_fonts(struct run *run, const char *path)
{
	struct session *session = run->session;
	size_t of_side[LT_SIDE_COUNT] = { 0 };
	int code = load_stock(run, of_side);
	if (code != EXIT_YES)
		return code;
	run->fonts = lt_fonts_create(&session->diags);
	if (run->fonts == NULL)
		return EXIT_SYSTEM;
	run->measure = lt_fonts_measure(run->fonts);
	run->options.sticker.bundles = lt_harness_bundles(&session->diags.arena, &session->harness);
	run->options.sticker.known = &run->known;
	if (!lt_selection_check(run->options.only, &session->tags, &session->diags) ||
		!choose_layouts(run, of_side))
		return EXIT_INPUT;
	code = plan_parts(run, path, of_side);
	return code == EXIT_YES ? draw(run) : code;
}

static void run_finish(struct run *run)
{
	for (size_t i = 0; i < run->part_count; i++) {
		pages_finish(&run->parts[i].pages);
		lt_canvas_destroy(&run->parts[i].preview);
		lt_sheet_finish(&run->parts[i].sheet);
	}
	free(run->parts);
	free(run->choice);
	lt_fonts_destroy(run->fonts);
	lt_stock_finish(&run->stock);
	lt_stock_finish(&run->known);
	free(run);
}

static int check_path(struct session *session, const char *path)
{
	const char *ending = lt_path_extension(path);
	if (!lt_output_allowed(path, session_keep(session), &session->diags))
		return session_fail(session, EXIT_SYSTEM);
	if (!lt_same_word(ending, "pdf") && !lt_same_word(ending, "png"))
		return usage_error("stickers",
			"-o is a .pdf or a .png, or - for the terminal, not \"%s\"", path);
	return EXIT_YES;
}

int write_stickers(struct session *session, const char *path)
{
	int code = is_file(path) ? check_path(session, path) : EXIT_YES;
	if (code != EXIT_YES)
		return code;
	if (path != NULL && !is_file(path) && session->options->json)
		return usage_error("stickers", "--json is one document on standard output, and "
					       "-o - shows stickers there: leave out one of them");
	struct run *run = lt_alloc(sizeof(*run));
	run->session = session;
	struct lt_selection *only = NULL;
	const struct options *options = session->options;
	code = sticker_options_read(&run->options, &run->alignment, &run->dpi, options,
		&session->diags);
	if (code == EXIT_YES && options->only != NULL) {
		only = lt_selection_read(options->only, &session->diags);
		code = only != NULL ? EXIT_YES : EXIT_USAGE;
	}
	if (code == EXIT_YES) {
		run->options.only = only;
		run->options.apart = path != NULL && !is_file(path);
		code = with_fonts(run, path);
	}
	if (code == EXIT_YES && is_file(path) &&
		!alignment_keep(&run->alignment, options, &session->diags))
		code = EXIT_SYSTEM;
	run_finish(run);
	lt_selection_destroy(only);
	return session_fail(session, code);
}
