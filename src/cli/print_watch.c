/* Staying with a job until it is over, and keeping in NAME.print how much of it came out. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/printing.h"
#include "cli/terminal.h"

/* Milliseconds between two questions; without an answer before it is given up; and that a job which
 * is cancelled may take to end. */
#define PAUSE_MS 500
#define SILENCE_MS 60000
#define CANCEL_MS 30000
/* That a job of which the printer may lack a part may wait for nothing. */
#define IDLE_MS 10000

static volatile sig_atomic_t interrupted;

static void note_interrupt(int number)
{
	(void)number;
	if (interrupted < SIG_ATOMIC_MAX)
		interrupted = interrupted + 1;
}

void lt_print_catch_interrupts(struct sigaction *before)
{
	struct sigaction action = { 0 };
	action.sa_handler = note_interrupt;
	sigemptyset(&action.sa_mask);
	sigaction(SIGINT, &action, before);
}

bool lt_print_goes_on(void *data)
{
	const struct print *print = data;
	return interrupted <= print->interrupts_answered;
}

void lt_print_answer_interrupts(struct print *print)
{
	print->interrupts_answered = interrupted;
}

/* A job that is watched. */
struct watch {
	struct print *print;
	int id;
	bool cancelling, cancelled;
	long told;           /* impressions that were shown */
	const char *refusal; /* why the printer does not cancel the job; or "" */
	const char *waiting; /* what the printer was said to wait for; or "" */
	const char *warning; /* what it was said to warn of; or "" */
	bool line_open;      /* a line of progress stands on the terminal */
};

static long now_ms(void)
{
	struct timespec now;
	clock_gettime(CLOCK_MONOTONIC, &now);
	return now.tv_sec * 1000L + now.tv_nsec / 1000000L;
}

size_t lt_print_stickers_on(const struct lt_sheet *sheet, long pages)
{
	size_t count = 0;
	while (count < sheet->count && (long)sheet->slots[count].page <= pages)
		count++;
	return count;
}

void lt_print_write_tag(char out[LT_TAG_SIZE], const struct print *print, size_t slot)
{
	lt_tag_write(out, print->session->tags.number_of[print->sheet.slots[slot].id.connector],
		print->sheet.slots[slot].id.side);
}

unsigned lt_print_patience(unsigned usual)
{
	const char *given = getenv("LOOMTAG_PATIENCE_MS");
	unsigned most = 0;
	if (given == NULL || !lt_whole_read(&most, given, 1000000) || most == 0)
		return usual;
	return most < usual ? most : usual;
}

bool lt_print_record_keep(struct print *print, size_t counted, struct lt_diags *diags)
{
	if (print->session == NULL)
		return true;
	const struct lt_sheet *sheet = &print->sheet;
	struct lt_unfinished record = { .code = print->session->harness.code,
		.printer = print->options->to,
		.layout = print->options->layout,
		.counted = counted,
		.count = sheet->count };
	if (record.layout == NULL)
		record.layout = print->layout->name;
	record.tags = lt_arena_array(&record.arena, sheet->count + 1, sizeof(*record.tags));
	for (size_t i = 0; i < sheet->count; i++)
		record.tags[i] = (struct lt_unfinished_tag){
			print->session->tags.number_of[sheet->slots[i].id.connector],
			sheet->slots[i].id.side
		};
	struct lt_text bytes = { 0 };
	lt_unfinished_write(&bytes, &record);
	bool good = lt_file_write(print->record_path, lt_text_string(&bytes), bytes.length,
		lt_session_keep(print->session), diags);
	lt_text_finish(&bytes);
	lt_unfinished_finish(&record);
	return good;
}

static void end_line(struct watch *watch)
{
	if (watch->line_open)
		putchar('\n');
	watch->line_open = false;
}

static void say(struct watch *watch, const char *what, const char *words)
{
	end_line(watch);
	lt_print_clean("%s%s\n", what, words);
	fflush(stdout);
}

/* "printed 7 of 24 stickers, the last 4M": on a terminal over the same line. */
static void show_progress(struct watch *watch, long pages)
{
	struct print *print = watch->print;
	if (print->options->quiet)
		return;
	struct lt_text line = { 0 };
	if (print->session == NULL) {
		lt_text_printf(&line, "printed %ld of %u pages", pages, print->pages);
	} else {
		size_t out = lt_print_stickers_on(&print->sheet, pages);
		lt_text_printf(&line, "printed %zu of %zu stickers", out, print->sheet.count);
		if (out > 0) {
			char tag[LT_TAG_SIZE];
			lt_print_write_tag(tag, print, out - 1);
			lt_text_printf(&line, ", the last %s", tag);
		}
	}
	bool terminal = isatty(STDOUT_FILENO) == 1;
	printf(terminal ? "\r%s\033[K" : "%s\n", lt_text_string(&line));
	fflush(stdout);
	watch->line_open = terminal;
	lt_text_finish(&line);
}

/* What came out is kept at once: who knows how this program ends. */
static void note_progress(struct watch *watch, long pages)
{
	if (pages < 0 || pages == watch->told)
		return;
	watch->told = pages;
	struct lt_diags unheard = { 0 };
	lt_print_record_keep(watch->print, lt_print_stickers_on(&watch->print->sheet, pages),
		&unheard);
	lt_diags_finish(&unheard);
	show_progress(watch, pages);
}

static void add_words(struct lt_text *out, const char *reason)
{
	lt_text_add(out, out->length > 0 ? ", " : "");
	lt_reason_add(out, reason);
}

/* True when the words are other than before; keeps them. */
static bool is_news(struct watch *watch, const char **before, const char *words)
{
	if (strcmp(words, *before) == 0)
		return false;
	*before = lt_arena_strdup(&watch->print->diags->arena, words);
	return true;
}

/* What somebody has to do before it goes on, and what he should know, once each time it changes. */
static void show_reasons(struct watch *watch, const struct lt_print_job_status *status)
{
	struct lt_text waits = { 0 };
	struct lt_text warns = { 0 };
	bool waiting = false;
	for (size_t i = 0; i < status->reason_count; i++)
		waiting = waiting || lt_reason_stops(status->reasons[i]);
	for (size_t i = 0; i < status->reason_count; i++) {
		/* Where it waits, the warnings may well be why. */
		if (lt_reason_stops(status->reasons[i]) ||
			(waiting && lt_reason_may_stop(status->reasons[i])))
			add_words(&waits, status->reasons[i]);
		else if (i >= status->job_reason_count && lt_reason_warns(status->reasons[i]))
			add_words(&warns, status->reasons[i]);
	}
	if (waits.length == 0 && status->state == IPP_JSTATE_STOPPED)
		lt_text_add(&waits, "it has stopped the job, and does not say why");
	if (is_news(watch, &watch->warning, lt_text_string(&warns)) && warns.length > 0)
		say(watch, "the printer warns: ", watch->warning);
	if (is_news(watch, &watch->waiting, lt_text_string(&waits)))
		say(watch, waits.length > 0 ? "the printer waits: " : "the printer goes on",
			watch->waiting);
	lt_text_finish(&waits);
	lt_text_finish(&warns);
}

const char *lt_print_cancel(struct print *print, int id)
{
	return print->printer.cancel_job ? lt_print_job_cancel(print->link, id)
					 : "the printer cannot cancel jobs";
}

/* Keeps asking for the end of a job that is to end. */
static void cancel_job(struct watch *watch)
{
	if (!watch->cancelling)
		say(watch, "cancelling the job at the printer; Ctrl-C again waits no longer", "");
	watch->cancelling = true;
	const char *why = watch->cancelled ? NULL : lt_print_cancel(watch->print, watch->id);
	watch->cancelled = why == NULL;
	if (is_news(watch, &watch->refusal, why != NULL ? why : "") && why != NULL)
		say(watch, "the job is not cancelled, and labels may go on coming: ", why);
}

/* One question. False, after saying why for the first time, when it is not answered. */
static bool ask(struct watch *watch, struct lt_print_job_status *status, bool first)
{
	struct lt_diags diags = { 0 };
	struct lt_print_job_status now;
	bool answered = lt_print_job_ask(&now, watch->print->link, watch->id, &diags);
	if (answered) {
		if (now.impressions < status->impressions)
			now.impressions = status->impressions;
		lt_print_job_status_finish(status);
		*status = now;
	} else {
		lt_print_job_status_finish(&now);
		/* Not where the question itself was interrupted. */
		if (first && lt_print_goes_on(watch->print))
			say(watch, diags.count > 0 ? diags.items[0].message : "no answer",
				"; asking again");
	}
	lt_diags_finish(&diags);
	return answered;
}

/* A job that the printer could be printing, and is not. */
static bool lies_idle(const struct lt_print_job_status *status)
{
	return status->state < IPP_JSTATE_PROCESSING && (status->idle || status->incomplete);
}

static enum watch_end watch_until_end(struct watch *watch, struct lt_print_job_status *status,
	enum watch_how how)
{
	const struct timespec pause = { .tv_nsec = PAUSE_MS * 1000000L };
	bool cancel = how == WATCH_CANCEL;
	long begun = now_ms();
	long heard = now_ms();
	long since = 0;
	bool answered = true;
	for (;;) {
		if (interrupted || cancel) {
			if (!watch->cancelling) {
				since = now_ms();
				lt_print_answer_interrupts(watch->print);
			}
			cancel_job(watch);
		}
		answered = ask(watch, status, answered);
		if (answered) {
			heard = now_ms();
			/* While labels come of it, it is not stuck. */
			if (status->impressions > watch->told)
				since = now_ms();
			note_progress(watch, status->impressions);
			if (lt_print_job_is_over(status))
				return WATCH_OVER;
			show_reasons(watch, status);
			if (!lies_idle(status))
				begun = now_ms();
		}
		if (how == WATCH_DOUBTFUL && !cancel &&
			now_ms() - begun >= (long)lt_print_patience(IDLE_MS)) {
			say(watch, "the printer does not begin: it may have only a part of the job",
				"");
			cancel = true;
		}
		if (now_ms() - heard >= (long)lt_print_patience(SILENCE_MS))
			return WATCH_SILENT;
		bool late = now_ms() - since >= (long)lt_print_patience(CANCEL_MS);
		if (watch->cancelling &&
			(late || interrupted > 1 || !lt_print_goes_on(watch->print)))
			return answered ? WATCH_STUCK : WATCH_SILENT;
		nanosleep(&pause, NULL);
	}
}

enum watch_end lt_print_watch(struct lt_print_job_status *status, struct print *print, int id,
	enum watch_how how)
{
	struct watch watch = {
		.print = print, .id = id, .told = -1, .refusal = "", .waiting = "", .warning = ""
	};
	*status = (struct lt_print_job_status){ .impressions = -1 };
	enum watch_end end = watch_until_end(&watch, status, how);
	end_line(&watch);
	if (end != WATCH_OVER && watch.cancelling) {
		const char *why = watch.refusal[0] != '\0' ? watch.refusal
							   : "the printer has not ended it yet";
		lt_warning(print->diags, lt_place_none(),
			"job %d may go on, and labels may go on coming: %s", id, why);
		lt_hint(print->diags, "stop it at the printer");
	}
	return end;
}
