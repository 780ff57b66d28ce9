/* Prints the stickers of a new job at once: chooses the printer, and falls back to the PDF. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/asked_printer.h"
#include "cli/command.h"
#include "cli/folders.h"
#include "cli/password.h"
#include "cli/quick_print.h"
#include "cli/terminal.h"
#include "loomtag/label.h"
#include "loomtag/words.h"

/* A printer that could print at once. */
struct choice {
	const char *name;
	const char *labels; /* the name of the layout that fits */
};

struct choosing {
	struct lt_diags *diags;
	struct lt_stock stock;
	struct choice *choices;
	size_t count;
};

/* Some printers only report that they are out of labels, until a job waits for them. */
static bool is_empty(const char *reason)
{
	static const char empty[] = "media-empty";
	return strncmp(reason, empty, sizeof(empty) - 1) == 0;
}

/* Why a printer does not print until a person does something; NULL where nothing stops it. */
static const char *stopped_by(const struct lt_printer *printer)
{
	for (size_t i = 0; i < printer->reason_count; i++)
		if (lt_reason_stops(printer->reasons[i]) || is_empty(printer->reasons[i]))
			return printer->reasons[i];
	return NULL;
}

/* Adds the reasons why a printer cannot print now, as warnings; true where there is none. */
static bool is_ready(struct choosing *choosing, const struct asked_printer *asked)
{
	struct lt_diags *diags = choosing->diags;
	const char *name = asked->found->name;
	const struct lt_diag *error = lt_asked_printer_error(asked);
	const char *stop = asked->usable ? stopped_by(&asked->printer) : NULL;
	struct lt_text reason = { 0 };
	if (!asked->answers) {
		lt_warning(diags, lt_place_none(), "printer %s does not answer: %s", name,
			error != NULL ? error->message : "no reason given");
	} else if (!asked->usable) {
		lt_warning(diags, lt_place_none(), "printer %s cannot be used: %s", name,
			error != NULL ? error->message : "no reason given");
	} else if (!asked->printer.accepting) {
		lt_warning(diags, lt_place_none(), "printer %s does not accept jobs", name);
	} else if (stop != NULL) {
		lt_reason_add(&reason, stop);
		lt_warning(diags, lt_place_none(), "printer %s cannot print now: %s", name,
			lt_text_string(&reason));
	} else {
		return true;
	}
	lt_text_finish(&reason);
	return false;
}

/* Takes a printer into the choice if it can print at once. */
static void consider(struct choosing *choosing, const struct lt_found *found,
	const struct lt_link_options *options)
{
	struct asked_printer asked;
	struct lt_diags unfit = { 0 };
	lt_ask_printer(&asked, found, options);
	if (is_ready(choosing, &asked)) {
		const struct lt_layout *layout =
			lt_media_layout(&asked.printer, &choosing->stock, &unfit);
		if (layout != NULL)
			choosing->choices[choosing->count++] = (struct choice){ found->name,
				lt_arena_strdup(&choosing->diags->arena, layout->name) };
		else
			lt_warning(choosing->diags, lt_place_none(),
				"printer %s has no labels loaded that fit a layout", found->name);
	}
	lt_diags_finish(&unfit);
	lt_asked_printer_finish(&asked);
}

/* Asks which one; NULL for none of them. */
static const char *ask(const struct choosing *choosing)
{
	char line[32];
	unsigned number;
	struct lt_text text = { 0 };
	const char *name = NULL;
	puts(lt_quick_words.several_printers);
	for (size_t i = 0; i < choosing->count; i++) {
		lt_text_clear(&text);
		lt_quick_add_printer(&text, i + 1, choosing->choices[i].name,
			choosing->choices[i].labels);
		lt_print_clean("%s\n", lt_text_string(&text));
	}
	lt_text_finish(&text);
	fputs(lt_quick_words.which_printer, stdout);
	fflush(stdout);
	if (fgets(line, sizeof(line), stdin) != NULL) {
		line[strcspn(line, "\r\n")] = '\0';
		if (lt_whole_read(&number, line, (unsigned)choosing->count) && number > 0)
			name = choosing->choices[number - 1].name;
	}
	return name;
}

static void report_several(const struct choosing *choosing)
{
	struct lt_text names = { 0 };
	for (size_t i = 0; i < choosing->count; i++) {
		lt_text_add(&names, i > 0 ? ", " : "");
		lt_text_add(&names, choosing->choices[i].name);
	}
	lt_error(choosing->diags, lt_place_none(), "several printers have labels loaded: %s",
		lt_text_string(&names));
	lt_hint(choosing->diags, "write the name of one behind --print");
	lt_text_finish(&names);
}

/* The printer's name; NULL after an error, or where the person chose none. */
static const char *choose(struct choosing *choosing, const struct lt_found_list *list)
{
	struct lt_diags *diags = choosing->diags;
	const struct lt_link_options options = lt_asked_printer_options(&diags->arena);
	choosing->choices = lt_arena_array(&diags->arena, list->count, sizeof(*choosing->choices));
	lt_stock_add_all(&choosing->stock, lt_layout_folders(&diags->arena));
	for (size_t i = 0; i < list->count; i++)
		consider(choosing, &list->items[i], &options);
	lt_stock_finish(&choosing->stock);
	if (choosing->count == 1)
		return choosing->choices[0].name;
	if (choosing->count > 1 && isatty(STDIN_FILENO) == 1 && isatty(STDOUT_FILENO) == 1)
		return ask(choosing);
	if (choosing->count > 1) {
		report_several(choosing);
	} else if (list->count == 0) {
		lt_error(diags, lt_place_none(), "no printer found");
		lt_hint(diags, "check that the printer is switched on and connected");
	} else {
		lt_error(diags, lt_place_none(), "no printer can print the stickers now");
		lt_hint(diags, "loomtag printers shows what is loaded");
	}
	return NULL;
}

/* What was asked for is done by loomtag print, on whatever labels are loaded. */
static int print_on(const struct options *options, char *description, const char *printer)
{
	char *arguments[] = { description, NULL };
	struct options own = *options;
	own.command = "print";
	own.arguments = arguments;
	own.argument_count = 1;
	own.to = printer;
	own.output = own.layout = own.layout_h = own.layout_m = own.stock = NULL;
	own.start = own.used = own.paper = NULL;
	return lt_run_print(&own);
}

int lt_quick_print(const struct options *options, char *description, const char *pdf,
	const char *printer)
{
	struct lt_diags diags = { 0 };
	struct choosing choosing = { .diags = &diags };
	struct lt_found_list list = { 0 };
	struct lt_found named = { printer, printer, true };
	const struct lt_link_options usual = LT_LINK_OPTIONS_INIT;
	if (printer == NULL)
		lt_printers_find(&list, NULL, usual.find_ms);
	const struct lt_found_list one = { .items = &named, .count = 1 };
	const char *chosen = choose(&choosing, printer != NULL ? &one : &list);
	/* What the others lack is only of use where none was chosen. */
	if (chosen == NULL)
		lt_diags_print(&diags, 0, stderr, options->colour_err);
	int code = chosen != NULL ? print_on(options, description, chosen) : EXIT_SYSTEM;
	if (code != EXIT_YES) {
		struct lt_text text = { 0 };
		lt_quick_add_not_printed(&text, pdf, description);
		lt_print_clean("%s\n", lt_text_string(&text));
		lt_text_finish(&text);
		code = EXIT_SYSTEM;
	}
	lt_found_list_finish(&list);
	lt_diags_finish(&diags);
	return code;
}
