/* loomtag printers: print queues and network printers, and how they are. */
#include <stdio.h>

#include "cli/command.h"
#include "cli/folders.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/print.h"

/* Nobody waits long for a list. */
#define CONNECT_MS 3000u
#define ANSWER_MS 5000u

/* One printer that was found and asked. */
struct asked {
	const struct lt_found *found;
	struct lt_printer printer;
	struct lt_diags diags;
	bool answers;
	bool usable;
};

static void ask(struct asked *out, const struct lt_found *found,
	const struct lt_link_options *options)
{
	*out = (struct asked){ .found = found };
	struct lt_link *link =
		lt_link_open(found->queue ? found->name : found->uri, options, &out->diags);
	if (link == NULL)
		return;
	out->usable = lt_link_printer(&out->printer, link, &out->diags);
	/* One that answers, and takes nothing that loomtag can send, is listed with its state. */
	out->answers = out->usable || out->printer.state != 0;
	lt_link_close(link);
}

/* The first error; NULL where there is none. */
static const struct lt_diag *first_error(const struct asked *asked)
{
	for (size_t i = 0; i < asked->diags.count; i++) {
		if (asked->diags.items[i].severity == LT_ERROR)
			return &asked->diags.items[i];
	}
	return NULL;
}

static const char *state_word(const struct asked *asked)
{
	static const char *const words[] = {
		[0] = "unknown",
		[IPP_PSTATE_IDLE] = "ready",
		[IPP_PSTATE_PROCESSING] = "printing",
		[IPP_PSTATE_STOPPED] = "stopped",
	};
	return asked->answers ? words[asked->printer.state] : "no answer";
}

static void add_state(struct lt_text *out, const struct asked *asked)
{
	const struct lt_printer *printer = &asked->printer;
	lt_text_printf(out, "  %s", state_word(asked));
	if (asked->answers && !printer->accepting)
		lt_text_add(out, ", takes no jobs");
	const char *before = ": ";
	for (size_t i = 0; i < printer->reason_count; i++) {
		lt_text_add(out, before);
		lt_reason_add(out, printer->reasons[i]);
		before = "; ";
	}
	/* In its own words only where something is the matter. */
	if (printer->message != NULL && printer->state != IPP_PSTATE_IDLE)
		lt_text_printf(out, "%s\"%s\"", before, printer->message);
	const struct lt_diag *error = first_error(asked);
	if (error != NULL)
		lt_text_printf(out, "%s%s", before, error->message);
	lt_text_add_char(out, '\n');
}

/* What is loaded, and what it can do. */
static void add_abilities(struct lt_text *out, const struct lt_printer *printer)
{
	const struct lt_dpi_list *dots = lt_printer_dpi(printer);
	const struct lt_media_list *ready = &printer->ready;
	lt_text_add(out, ready->count > 0 ? "  loaded: " : "  does not say what is loaded");
	for (size_t i = 0; i < ready->count; i++)
		lt_text_printf(out, "%s%g x %g mm", i > 0 ? ", " : "", ready->items[i].width,
			ready->items[i].height);
	lt_text_add(out, "\n  ");
	for (size_t i = 0; i < dots->count; i++)
		lt_text_printf(out, "%s%u", i > 0 ? ", " : "", dots->items[i]);
	lt_text_printf(out, "%stakes %s%s%s\n", dots->count > 0 ? " dpi; " : "",
		printer->pwg ? "PWG Raster" : "", printer->pwg && printer->pdf ? " and " : "",
		printer->pdf ? "PDF" : "");
}

static void print_asked(const struct asked *asked)
{
	struct lt_text out = { 0 };
	lt_print_clean("%s (%s)\n", asked->found->name,
		asked->found->queue ? "a print queue here" : "on the network");
	lt_print_clean("  %s\n", asked->found->uri);
	add_state(&out, asked);
	if (asked->usable)
		add_abilities(&out, &asked->printer);
	fputs(lt_text_string(&out), stdout);
	lt_text_finish(&out);
}

static json_t *loaded_json(const struct lt_printer *printer)
{
	json_t *list = json_array();
	for (size_t i = 0; i < printer->ready.count; i++) {
		const struct lt_media *media = &printer->ready.items[i];
		json_array_append_new(list,
			json_pack("{s:s?, s:f, s:f}", "name", media->name, "width", media->width,
				"height", media->height));
	}
	return list;
}

/* The reasons by their keywords, and in words. */
static void add_reasons(json_t *keywords, json_t *words, const struct lt_printer *printer)
{
	for (size_t i = 0; i < printer->reason_count; i++) {
		struct lt_text text = { 0 };
		lt_reason_add(&text, printer->reasons[i]);
		json_array_append_new(keywords, json_string(printer->reasons[i]));
		json_array_append_new(words, json_string(lt_text_string(&text)));
		lt_text_finish(&text);
	}
}

static json_t *resolutions_json(const struct lt_printer *printer)
{
	json_t *list = json_array();
	const struct lt_dpi_list *dots = lt_printer_dpi(printer);
	for (size_t i = 0; i < dots->count; i++)
		json_array_append_new(list, json_integer(dots->items[i]));
	return list;
}

static json_t *asked_json(const struct asked *asked)
{
	const struct lt_printer *printer = &asked->printer;
	const struct lt_diag *error = first_error(asked);
	json_t *reasons = json_array();
	json_t *why = json_array();
	add_reasons(reasons, why, printer);
	return json_pack(
		"{s:s, s:s, s:b, s:b, s:s, s:b, s:o, s:o, s:s?, s:o, s:o, s:[s*, s*], s:s?}",
		"name", asked->found->name, "uri", asked->found->uri, "queue", asked->found->queue,
		"answers", asked->answers, "state", state_word(asked), "accepting",
		asked->answers && printer->accepting, "reasons", reasons, "why", why, "message",
		printer->message, "loaded", loaded_json(printer), "resolutions",
		resolutions_json(printer), "formats",
		printer->pwg ? lt_format_type(LT_FORMAT_PWG) : NULL,
		printer->pdf ? lt_format_type(LT_FORMAT_PDF) : NULL, "error",
		error != NULL ? error->message : NULL);
}

/* Asks one after the other, and prints each when it has answered. */
static int tell(const struct lt_found_list *list, const struct lt_link_options *how,
	const struct options *options)
{
	json_t *printers = options->json ? json_array() : NULL;
	for (size_t i = 0; i < list->count; i++) {
		struct asked asked;
		ask(&asked, &list->items[i], how);
		if (options->json)
			json_array_append_new(printers, asked_json(&asked));
		else
			print_asked(&asked);
		fflush(stdout);
		lt_printer_finish(&asked.printer);
		lt_diags_finish(&asked.diags);
	}
	if (options->json)
		return lt_print_json(json_pack("{s:o}", "printers", printers));
	if (list->count == 0)
		puts("no printer was found: no print queue here, and none that announces itself on "
		     "the network\n"
		     "one that does not can be named by its URI, such as "
		     "ipp://printer.local/ipp/print");
	return EXIT_YES;
}

int lt_run_printers(const struct options *options)
{
	struct lt_arena arena = { 0 };
	struct lt_link_options how = LT_LINK_OPTIONS_INIT;
	how.connect_ms = CONNECT_MS;
	how.answer_ms = ANSWER_MS;
	how.certificates = lt_certificate_folder(&arena);
	struct lt_found_list list;
	lt_printers_find(&list, NULL, how.find_ms);
	int code = tell(&list, &how, options);
	lt_found_list_finish(&list);
	lt_arena_finish(&arena);
	return code;
}
