/* loomtag printers: lists print queues and network printers with their states. */
#include <stdio.h>

#include "cli/command.h"
#include "cli/folders.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/print.h"
#include "loomtag/words.h"

/* Nobody waits long for a list: milliseconds. */
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
	/* A printer that answers but accepts nothing that loomtag can send is listed with its
	 * state. */
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

/* The state in JSON. */
static const char *state_name(const struct asked *asked)
{
	static const char *const names[] = {
		[0] = "unknown",
		[IPP_PSTATE_IDLE] = "ready",
		[IPP_PSTATE_PROCESSING] = "printing",
		[IPP_PSTATE_STOPPED] = "stopped",
	};
	return asked->answers ? names[asked->printer.state] : "no answer";
}

static const char *state_words(const struct asked *asked)
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

static void print_state(const struct asked *asked)
{
	const struct lt_printers_words *words = &lt_printers_words;
	const struct lt_printer *printer = &asked->printer;
	const struct lt_diag *error = first_error(asked);
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

static void print_asked(const struct asked *asked)
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
		struct asked asked;
		ask(&asked, &list->items[i], link_options);
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
		print_none_found();
	return EXIT_YES;
}

int lt_run_printers(const struct options *options)
{
	struct lt_arena arena = { 0 };
	struct lt_link_options link_options = LT_LINK_OPTIONS_INIT;
	link_options.connect_ms = CONNECT_MS;
	link_options.answer_ms = ANSWER_MS;
	link_options.certificates = lt_certificate_folder(&arena);
	struct lt_found_list list;
	lt_printers_find(&list, NULL, link_options.find_ms);
	int code = print_all(&list, &link_options, options);
	lt_found_list_finish(&list);
	lt_arena_finish(&arena);
	return code;
}
