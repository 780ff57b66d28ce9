/* loomtag printers: lists print queues and network printers with their states. */
#include <stdio.h>

#include "cli/asked_printer.h"
#include "cli/command.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/print.h"
#include "loomtag/words.h"

/* The state in JSON. */
static const char *state_name(const struct asked_printer *asked)
{
	static const char *const names[] = {
		[0] = "unknown",
		[IPP_PSTATE_IDLE] = "ready",
		[IPP_PSTATE_PROCESSING] = "printing",
		[IPP_PSTATE_STOPPED] = "stopped",
	};
	return asked->answers ? names[asked->printer.state] : "no answer";
}

static const char *state_words(const struct asked_printer *asked)
{
	const struct lt_printers_words *words = &lt_printers_words;
	const char *const states[] = {
		[0] = words->state_unknown,
		[IPP_PSTATE_IDLE] = words->ready,
		[IPP_PSTATE_PROCESSING] = words->printing,
		[IPP_PSTATE_STOPPED] = words->stopped,
	};
	return asked->answers ? states[asked->printer.state] : words->no_answer;
}

/* Prints one line about a printer, with the values of a list, and empties the list. */
static void print_row(const char *label, struct lt_text *values)
{
	if (values->length > 0)
		lt_print_clean("  %s: %s\n", label, lt_text_string(values));
	lt_text_clear(values);
}

static void add_comma(struct lt_text *values)
{
	if (values->length > 0)
		lt_text_add(values, ", ");
}

static void add_value(struct lt_text *values, const char *value)
{
	add_comma(values);
	lt_text_add(values, value);
}

static void print_state(const struct asked_printer *asked)
{
	const struct lt_printers_words *words = &lt_printers_words;
	const struct lt_printer *printer = &asked->printer;
	const struct lt_diag *error = lt_asked_printer_error(asked);
	struct lt_text values = { 0 };
	add_value(&values, state_words(asked));
	if (asked->answers && !printer->accepting)
		add_value(&values, words->no_jobs);
	print_row(words->state, &values);
	for (size_t i = 0; i < printer->reason_count; i++) {
		lt_text_add(&values, i > 0 ? "; " : "");
		lt_reason_add(&values, printer->reasons[i]);
	}
	print_row(words->reasons, &values);
	/* An idle printer has nothing to say that anybody needs. */
	if (printer->message != NULL && printer->state != IPP_PSTATE_IDLE)
		add_value(&values, printer->message);
	print_row(words->message, &values);
	if (error != NULL)
		add_value(&values, error->message);
	print_row(words->error, &values);
	lt_text_finish(&values);
}

/* What is loaded, and what the printer can do. */
static void print_abilities(const struct lt_printer *printer)
{
	const struct lt_printers_words *words = &lt_printers_words;
	const struct lt_dpi_list *dots = lt_printer_dpi(printer);
	const struct lt_media_list *ready = &printer->ready;
	struct lt_text values = { 0 };
	for (size_t i = 0; i < ready->count; i++) {
		add_comma(&values);
		lt_text_printf(&values, "%g x %g mm", ready->items[i].width,
			ready->items[i].height);
	}
	if (ready->count == 0)
		add_value(&values, words->not_known);
	print_row(words->loaded, &values);
	for (size_t i = 0; i < dots->count; i++) {
		add_comma(&values);
		lt_text_printf(&values, "%u dpi", dots->items[i]);
	}
	print_row(words->resolutions, &values);
	if (printer->pwg)
		add_value(&values, words->pwg_raster);
	if (printer->pdf)
		add_value(&values, words->pdf);
	print_row(words->formats, &values);
	lt_text_finish(&values);
}

static void print_asked(const struct asked_printer *asked)
{
	const struct lt_printers_words *words = &lt_printers_words;
	lt_print_clean("%s (%s)\n", asked->found->name,
		asked->found->queue ? words->queue : words->on_network);
	lt_print_clean("  %s\n", asked->found->uri);
	print_state(asked);
	if (asked->usable)
		print_abilities(&asked->printer);
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
static void add_reasons(json_t *keywords, json_t *meanings, const struct lt_printer *printer)
{
	for (size_t i = 0; i < printer->reason_count; i++) {
		struct lt_text text = { 0 };
		lt_reason_add(&text, printer->reasons[i]);
		json_array_append_new(keywords, json_string(printer->reasons[i]));
		json_array_append_new(meanings, json_string(lt_text_string(&text)));
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

static json_t *asked_json(const struct asked_printer *asked)
{
	const struct lt_printer *printer = &asked->printer;
	const struct lt_diag *error = lt_asked_printer_error(asked);
	json_t *reasons = json_array();
	json_t *why = json_array();
	add_reasons(reasons, why, printer);
	return json_pack(
		"{s:s, s:s, s:b, s:b, s:s, s:b, s:o, s:o, s:s?, s:o, s:o, s:[s*, s*], s:s?}",
		"name", asked->found->name, "uri", asked->found->uri, "queue", asked->found->queue,
		"answers", asked->answers, "state", state_name(asked), "accepting",
		asked->answers && printer->accepting, "reasons", reasons, "why", why, "message",
		printer->message, "loaded", loaded_json(printer), "resolutions",
		resolutions_json(printer), "formats",
		printer->pwg ? lt_format_type(LT_FORMAT_PWG) : NULL,
		printer->pdf ? lt_format_type(LT_FORMAT_PDF) : NULL, "error",
		error != NULL ? error->message : NULL);
}

static void print_none_found(void)
{
	puts(lt_printers_words.none_found);
	puts(lt_printers_words.none_found_why);
	puts(lt_printers_words.none_found_next);
}

/* Asks one printer after the other, and prints each when it has answered. */
static int print_all(const struct lt_found_list *list, const struct lt_link_options *link_options,
	const struct options *options)
{
	json_t *printers = options->json ? json_array() : NULL;
	for (size_t i = 0; i < list->count; i++) {
		struct asked_printer asked;
		lt_ask_printer(&asked, &list->items[i], link_options);
		if (options->json)
			json_array_append_new(printers, asked_json(&asked));
		else
			print_asked(&asked);
		fflush(stdout);
		lt_asked_printer_finish(&asked);
	}
	if (options->json)
		return lt_print_json(json_pack("{s:o}", "printers", printers));
	if (list->count == 0)
		print_none_found();
	return EXIT_YES;
}

int lt_run_printers(const struct options *options)
{
	struct lt_arena arena = { 0 };
	const struct lt_link_options link_options = lt_asked_printer_options(&arena);
	struct lt_found_list list;
	lt_printers_find(&list, NULL, link_options.find_ms);
	int code = print_all(&list, &link_options, options);
	lt_found_list_finish(&list);
	lt_arena_finish(&arena);
	return code;
}
