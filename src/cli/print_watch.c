/* Follows a job until it is over, and keeps in NAME.print how much of it is printed. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/printing.h"
#include "cli/terminal.h"
#include "loomtag/words.h"

/* Milliseconds between two questions. */
#define PAUSE_MS 500
/* Milliseconds without an answer before the program gives up. */
#define SILENCE_MS 60000
/* Milliseconds that a cancelled job may need to end. */
#define CANCEL_MS 30000
/* Milliseconds that a job may wait at an idle printer that may have only a part of it. */
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

bool lt_print_may_continue(void *data)
{
	const struct print *print = data;
	return interrupted <= print->interrupts_answered;
}

void lt_print_answer_interrupts(struct print *print)
{
	print->interrupts_answered = interrupted;
}

/* A job that is followed. */
struct watch {
	struct print *print;
	int id;
	bool cancelling, cancelled;
	long shown;          /* impressions that were shown */
	const char *refusal; /* why the printer does not cancel the job; or "" */
	const char *waiting; /* the last line shown about waiting; or "" */
	const char *warning; /* the last line shown about warnings; or "" */
	bool line_open;      /* the terminal shows a line of progress without its end */
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

/* Prints a line of its own. */
static void print_line(struct watch *watch, const char *line)
{
	end_line(watch);
	lt_print_clean("%s\n", line);
	fflush(stdout);
}

/* On a terminal each line of progress replaces the one before. */
static void show_progress(struct watch *watch, long pages)
{
	struct print *print = watch->print;
	if (print->options->quiet)
		return;
	struct lt_text line = { 0 };
	if (print->session == NULL) {
		lt_words_pages_printed(&line, (size_t)pages, print->pages);
	} else {
		size_t printed = lt_print_stickers_on(&print->sheet, pages);
		char last[LT_TAG_SIZE];
		if (printed > 0)
			lt_print_write_tag(last, print, printed - 1);
		lt_words_stickers_printed(&line, printed, print->sheet.count,
			printed > 0 ? last : NULL);
	}
	bool terminal = isatty(STDOUT_FILENO) == 1;
	printf(terminal ? "\r%s\033[K" : "%s\n", lt_text_string(&line));
	fflush(stdout);
	watch->line_open = terminal;
	lt_text_finish(&line);
}

/* Progress is kept at once, because the program may be killed. */
static void note_progress(struct watch *watch, long pages)
{
	if (pages < 0 || pages == watch->shown)
		return;
	watch->shown = pages;
	struct lt_diags ignored = { 0 };
	lt_print_record_keep(watch->print, lt_print_stickers_on(&watch->print->sheet, pages),
		&ignored);
	lt_diags_finish(&ignored);
	show_progress(watch, pages);
}

static void add_reason(struct lt_text *list, const char *reason)
{
	if (list->length > 0)
		lt_text_add(list, "; ");
	lt_reason_add(list, reason);
}

/* True when the line is another than before; keeps it. */
static bool is_new(struct watch *watch, const char **before, const char *line)
{
	if (strcmp(line, *before) == 0)
		return false;
	*before = lt_arena_strdup(&watch->print->diags->arena, line);
	return true;
}

/* Prints the lines about waiting and warnings when they change. */
static void show_reasons(struct watch *watch, const char *waits, const char *warns, bool stopped)
{
	struct lt_text waiting = { 0 };
	struct lt_text warning = { 0 };
	if (waits[0] != '\0')
		lt_words_printer_waits(&waiting, waits);
	else if (stopped)
		lt_text_add(&waiting, lt_print_words.stopped_without_reason);
	if (warns[0] != '\0')
		lt_words_printer_warns(&warning, warns);
	if (is_new(watch, &watch->warning, lt_text_string(&warning)) && warning.length > 0)
		print_line(watch, watch->warning);
	if (is_new(watch, &watch->waiting, lt_text_string(&waiting)))
		print_line(watch,
			waiting.length > 0 ? watch->waiting : lt_print_words.printer_continues);
	lt_text_finish(&waiting);
	lt_text_finish(&warning);
}

/* Shows what somebody has to do before printing continues, and what somebody should know. */
static void note_reasons(struct watch *watch, const struct lt_print_job_status *status)
{
	struct lt_text waits = { 0 };
	struct lt_text warns = { 0 };
	bool waiting = false;
	for (size_t i = 0; i < status->reason_count; i++)
		waiting = waiting || lt_reason_stops(status->reasons[i]);
	for (size_t i = 0; i < status->reason_count; i++) {
		/* Where the printer waits, its warnings may be the reason. */
		if (lt_reason_stops(status->reasons[i]) ||
			(waiting && lt_reason_may_stop(status->reasons[i])))
			add_reason(&waits, status->reasons[i]);
		else if (i >= status->job_reason_count && lt_reason_warns(status->reasons[i]))
			add_reason(&warns, status->reasons[i]);
	}
	show_reasons(watch, lt_text_string(&waits), lt_text_string(&warns),
		status->state == IPP_JSTATE_STOPPED);
	lt_text_finish(&waits);
	lt_text_finish(&warns);
}

const char *lt_print_cancel(struct print *print, int id)
{
	return print->printer.cancel_job ? lt_print_job_cancel(print->link, id)
					 : "the printer cannot cancel jobs";
}

static void print_not_cancelled(struct watch *watch)
{
	struct lt_text line = { 0 };
	lt_words_not_cancelled(&line, watch->refusal);
	print_line(watch, lt_text_string(&line));
	lt_text_finish(&line);
}

/* Cancels the job; called again until the printer accepts it. */
static void cancel_job(struct watch *watch)
{
	if (!watch->cancelling)
		print_line(watch, lt_print_words.cancelling);
	watch->cancelling = true;
	const char *why = watch->cancelled ? NULL : lt_print_cancel(watch->print, watch->id);
	watch->cancelled = why == NULL;
	if (is_new(watch, &watch->refusal, why != NULL ? why : "") && why != NULL)
		print_not_cancelled(watch);
}

static void print_asking_again(struct watch *watch, const struct lt_diags *diags)
{
	struct lt_text line = { 0 };
	lt_words_asking_again(&line, diags->items[0].message);
	print_line(watch, lt_text_string(&line));
	lt_text_finish(&line);
}

/* Asks once how far the job is. False when there is no answer; `first`: that is new, and is shown.
 */
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
		/* Not where Ctrl-C interrupted the question itself. */
		if (first && diags.count > 0 && lt_print_may_continue(watch->print))
			print_asking_again(watch, &diags);
	}
	lt_diags_finish(&diags);
	return answered;
}

/* A job that the printer could be printing, and is not. */
static bool is_idle(const struct lt_print_job_status *status)
{
	return status->state < IPP_JSTATE_PROCESSING && (status->idle || status->incomplete);
}

static enum watch_end watch_until_end(struct watch *watch, struct lt_print_job_status *status,
	enum watch_mode mode)
{
	const struct timespec pause = { .tv_nsec = PAUSE_MS * 1000000L };
	bool cancel = mode == WATCH_CANCEL;
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
			/* While labels come out, the job is not stuck. */
			if (status->impressions > watch->shown)
				since = now_ms();
			note_progress(watch, status->impressions);
			if (lt_print_job_is_over(status))
				return WATCH_OVER;
			note_reasons(watch, status);
			if (!is_idle(status))
				begun = now_ms();
		}
		if (mode == WATCH_DOUBTFUL && !cancel &&
			now_ms() - begun >= (long)lt_print_patience(IDLE_MS)) {
			print_line(watch, lt_print_words.job_does_not_start);
			cancel = true;
		}
		if (now_ms() - heard >= (long)lt_print_patience(SILENCE_MS))
			return WATCH_SILENT;
		bool late = now_ms() - since >= (long)lt_print_patience(CANCEL_MS);
		if (watch->cancelling &&
			(late || interrupted > 1 || !lt_print_may_continue(watch->print)))
			return answered ? WATCH_STUCK : WATCH_SILENT;
		nanosleep(&pause, NULL);
	}
}

enum watch_end lt_print_watch(struct lt_print_job_status *status, struct print *print, int id,
	enum watch_mode mode)
{
	struct watch watch = {
		.print = print, .id = id, .shown = -1, .refusal = "", .waiting = "", .warning = ""
	};
	*status = (struct lt_print_job_status){ .impressions = -1 };
	enum watch_end end = watch_until_end(&watch, status, mode);
	end_line(&watch);
	if (end != WATCH_OVER && watch.cancelling) {
		if (watch.refusal[0] != '\0')
			lt_warning(print->diags, lt_place_none(),
				"cannot cancel job %d, and more labels may come out: %s", id,
				watch.refusal);
		else
			lt_warning(print->diags, lt_place_none(),
				"job %d has not ended yet, and more labels may come out", id);
		lt_hint(print->diags, "stop the job at the printer");
	}
	return end;
}
