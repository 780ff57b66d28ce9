/* Sends a job, and stays until its labels are out. */
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "loomtag/text.h"
#include "print_run.h"
#include "printed.h"

/* Milliseconds between two questions, and how often in a row one may get no answer. */
#define PAUSE_MS 500
#define SILENCE_MOST 20

/* How long a cancelled job may take to end. */
#define CANCEL_QUESTIONS 60

static volatile sig_atomic_t interrupted;

static void note_interrupt(int number)
{
	(void)number;
	interrupted = 1;
}

static void pause_a_little(void)
{
	const struct timespec pause = { .tv_nsec = PAUSE_MS * 1000000L };
	nanosleep(&pause, NULL);
}

/* A job that is watched. */
struct watch {
	struct print *print;
	int id;
	long told;              /* impressions that were shown */
	struct lt_text waiting; /* what the printer was said to wait for */
	bool line_open;         /* a line of progress stands on the terminal */
};

/* How many stickers are out when so many pages are. */
static size_t stickers_on(const struct lt_sheet *sheet, long pages)
{
	size_t count = 0;
	while (count < sheet->count && (long)sheet->slots[count].page <= pages)
		count++;
	return count;
}

static void write_tag(char out[LT_TAG_SIZE], const struct print *print, size_t slot)
{
	lt_tag_write(out, print->session->tags.number_of[print->sheet.slots[slot].connector],
		print->sheet.slots[slot].side);
}

static void end_line(struct watch *watch)
{
	if (watch->line_open)
		putchar('\n');
	watch->line_open = false;
}

/* "7 of 24 stickers, last 4M": on a terminal over the same line. */
static void show_progress(struct watch *watch, long pages)
{
	struct print *print = watch->print;
	if (print->options->quiet || pages < 0 || pages == watch->told)
		return;
	watch->told = pages;
	struct lt_text line = { 0 };
	if (print->session == NULL) {
		lt_text_printf(&line, "printed %ld of %u pages", pages, print->pages);
	} else {
		size_t out = stickers_on(&print->sheet, pages);
		lt_text_printf(&line, "printed %zu of %zu stickers", out, print->sheet.count);
		if (out > 0) {
			char tag[LT_TAG_SIZE];
			write_tag(tag, print, out - 1);
			lt_text_printf(&line, ", the last %s", tag);
		}
	}
	bool terminal = isatty(STDOUT_FILENO) == 1;
	printf(terminal ? "\r%s\033[K" : "%s\n", lt_text_string(&line));
	fflush(stdout);
	watch->line_open = terminal;
	lt_text_finish(&line);
}

/* What somebody has to do before it goes on, once each time it changes. */
static void show_waiting(struct watch *watch, const struct lt_job_status *status)
{
	struct lt_text words = { 0 };
	for (size_t i = 0; i < status->reason_count; i++) {
		if (!lt_reason_stops(status->reasons[i]))
			continue;
		lt_text_add(&words, words.length > 0 ? ", " : "");
		lt_reason_write(&words, status->reasons[i]);
	}
	if (strcmp(lt_text_string(&words), lt_text_string(&watch->waiting)) != 0) {
		end_line(watch);
		if (words.length > 0)
			printf("the printer waits: %s\n", lt_text_string(&words));
		else
			puts("the printer goes on");
		fflush(stdout);
		lt_text_clear(&watch->waiting);
		lt_text_add(&watch->waiting, lt_text_string(&words));
	}
	lt_text_finish(&words);
}

/* Asks until the job is over, or there is no answer any more. A job that is cancelled is given some
 * time to end. False when its end is not known; what it had printed by then is in `status`. */
static bool watch_job(struct watch *watch, struct lt_job_status *status)
{
	struct print *print = watch->print;
	unsigned silence = 0;
	unsigned since_cancel = 0;
	bool cancelled = false;
	long impressions = -1;
	*status = (struct lt_job_status){ .impressions = -1 };
	for (;;) {
		struct lt_diags unheard;
		lt_diags_init(&unheard);
		if (interrupted && !cancelled) {
			end_line(watch);
			puts("cancelling the job at the printer");
			fflush(stdout);
			cancelled = lt_job_cancel(print->link, watch->id, &unheard);
		}
		struct lt_job_status now;
		bool answered = lt_job_ask(&now, print->link, watch->id, &unheard);
		lt_diags_finish(&unheard);
		if (answered) {
			silence = 0;
			impressions = now.impressions > impressions ? now.impressions : impressions;
			now.impressions = impressions;
			lt_job_status_finish(status);
			*status = now;
			show_progress(watch, impressions);
			if (lt_job_is_over(now.state))
				return true;
			show_waiting(watch, &now);
		} else {
			lt_job_status_finish(&now);
			status->impressions = impressions;
			if (silence++ == 0) {
				end_line(watch);
				puts("the printer does not answer; asking again");
				fflush(stdout);
			}
		}
		if (silence >= SILENCE_MOST || (interrupted && since_cancel++ >= CANCEL_QUESTIONS))
			return false;
		pause_a_little();
	}
}

/* The record of what is sent, with what came out of it so far. */
static bool keep_record(struct print *print, size_t counted)
{
	if (print->session == NULL)
		return true;
	const struct lt_sheet *sheet = &print->sheet;
	struct lt_unfinished record = { .code = print->session->harness.code,
		.printer = print->options->to,
		.layout = print->options->layout != NULL ? print->options->layout
							 : print->layout->name,
		.counted = counted,
		.count = sheet->count };
	if (print->options->layout == NULL && print->left.layout != NULL)
		record.layout = print->left.layout;
	record.tags = lt_arena_array(&record.arena, sheet->count + 1, sizeof(*record.tags));
	for (size_t i = 0; i < sheet->count; i++)
		record.tags[i] = (struct lt_unfinished_tag){
			print->session->tags.number_of[sheet->slots[i].connector],
			sheet->slots[i].side
		};
	struct lt_text bytes = { 0 };
	lt_unfinished_write(&bytes, &record);
	bool good = lt_file_write(print->record_path, lt_text_string(&bytes), bytes.length,
		session_keep(print->session), print->diags);
	lt_text_finish(&bytes);
	lt_unfinished_finish(&record);
	return good;
}

/* "1H to 4M" of the slots from `first` to before `end`. */
static void add_span(struct lt_text *out, const struct print *print, size_t first, size_t end)
{
	char tag[LT_TAG_SIZE];
	write_tag(tag, print, first);
	lt_text_add(out, tag);
	if (end - first > 1) {
		write_tag(tag, print, end - 1);
		lt_text_printf(out, " to %s", tag);
	}
}

/* Says, and keeps, what came out and what did not. */
static int tell_unfinished(struct print *print, long impressions, const char *why)
{
	struct lt_text words = { 0 };
	if (print->session == NULL) {
		lt_error(print->diags, lt_place_none(), "%s: not all of the ladder came out", why);
		lt_hint(print->diags, "print it again");
		return EXIT_SYSTEM;
	}
	size_t all = print->sheet.count;
	size_t out = impressions > 0 ? stickers_on(&print->sheet, impressions) : 0;
	keep_record(print, out);
	if (impressions < 0) {
		lt_text_add(&words, "what came out is not known");
	} else {
		lt_text_printf(&words, "by the printer's count %zu of %zu stickers came out", out,
			all);
		if (out > 0) {
			lt_text_add(&words, ", ");
			add_span(&words, print, 0, out);
		}
		if (out < all) {
			lt_text_add(&words, "; not ");
			add_span(&words, print, out, all);
		}
	}
	lt_error(print->diags, lt_place_none(), "%s; %s", why, lt_text_string(&words));
	lt_hint(print->diags,
		"look at what is in hand; loomtag print --resume prints what is left, and nothing "
		"twice");
	lt_text_finish(&words);
	return EXIT_SYSTEM;
}

static int tell_end(struct print *print, const struct lt_job_status *status)
{
	switch (status->state) {
	case LT_JOB_DONE:
		break;
	case LT_JOB_CANCELED:
		return tell_unfinished(print, status->impressions, "the job was cancelled");
	default:
		return tell_unfinished(print, status->impressions,
			status->message != NULL ? status->message : "the printer gave the job up");
	}
	/* One that counts, and counted less, has not printed all of it. One that never counts is
	 * believed. */
	if (status->impressions > 0 && status->impressions < (long)print->pages)
		return tell_unfinished(print, status->impressions,
			"the printer says that the job is done, and has not counted all of it");
	if (print->session != NULL)
		unlink(print->record_path);
	if (print->options->quiet)
		return EXIT_YES;
	if (print->session != NULL)
		printf("done: %zu sticker%s of %s\n", print->sheet.count,
			print->sheet.count == 1 ? "" : "s", print->layout->name);
	else
		puts("done: the ladder is printed; scan its codes, and tell the fewest dots that "
		     "read with --smallest N --to the same printer");
	return EXIT_YES;
}

/* Where it can cut: a tape after each number, all else at the end. */
static unsigned choose_trim(const struct print *print)
{
	unsigned trims = print->printer.trims;
	bool tape = print->layout->medium == LT_MEDIUM_TAPE;
	if (tape && (trims & LT_TRIM_PAGES) != 0)
		return LT_TRIM_PAGES;
	if (print->layout->medium == LT_MEDIUM_SHEET)
		return 0;
	if ((trims & LT_TRIM_JOB) != 0)
		return LT_TRIM_JOB;
	if ((trims & LT_TRIM_DOCUMENTS) != 0)
		return LT_TRIM_DOCUMENTS;
	return trims & LT_TRIM_ANY;
}

static struct lt_job_ticket make_ticket(const struct print *print)
{
	const struct lt_layout *layout = print->layout;
	struct lt_job_ticket ticket = { .user = print->options->user,
		.format = print->format,
		.dpi = print->dpi,
		.trim = choose_trim(print) };
	ticket.name = print->session != NULL ? print->session->harness.code : "ladder";
	if (layout->medium == LT_MEDIUM_TAPE) {
		ticket.width = print->media != NULL ? print->media->width : layout->label_height;
		ticket.height = print->longest;
	} else if (print->media != NULL) {
		ticket.width = print->media->width;
		ticket.height = print->media->height;
	} else {
		bool sheet = layout->medium == LT_MEDIUM_SHEET;
		ticket.width = sheet ? layout->page_width : layout->label_width;
		ticket.height = sheet ? layout->page_height : layout->label_height;
	}
	return ticket;
}

void print_tell_plan(const struct print *print)
{
	const struct lt_job_ticket ticket = make_ticket(print);
	static const char *const cuts[] = { [LT_TRIM_PAGES] = "after each page",
		[LT_TRIM_DOCUMENTS] = "at the end",
		[LT_TRIM_JOB] = "at the end" };
	if (print->link != NULL)
		printf("printer   %s\n", lt_link_uri(print->link));
	printf("layout    %s\n", print->layout->name);
	printf("medium    %.4g x %.4g mm\n", ticket.width, ticket.height);
	printf("document  %s, %u page%s at %u dots an inch%s%s\n", lt_format_type(print->format),
		print->pages, print->pages == 1 ? "" : "s", print->dpi,
		print->format == LT_FORMAT_PWG ? ", " : "",
		print->format == LT_FORMAT_PWG ? lt_pwg_type_name(print->type) : "");
	if (ticket.trim != 0)
		printf("cut       %s\n", cuts[ticket.trim]);
	if (print->session == NULL)
		return;
	printf("stickers ");
	for (size_t i = 0; i < print->sheet.count; i++) {
		char tag[LT_TAG_SIZE];
		write_tag(tag, print, i);
		printf(" %s", tag);
	}
	putchar('\n');
}

/* Watches a job to its end. One of which the printer has not all the document is cancelled first:
 * it would wait for the rest for ever, or print what it has. */
static int follow(struct print *print, int id, bool cancel)
{
	struct watch watch = { .print = print, .id = id, .told = -1 };
	struct lt_job_status status;
	if (cancel)
		interrupted = 1;
	bool known = watch_job(&watch, &status);
	end_line(&watch);
	lt_text_finish(&watch.waiting);
	int code;
	if (known && cancel && status.impressions <= 0)
		code = tell_unfinished(print, 0, "the job could not be sent whole");
	else if (known)
		code = tell_end(print, &status);
	else
		code = tell_unfinished(print, status.impressions,
			interrupted ? "the job does not end at the printer"
				    : "the printer does not answer any more");
	lt_job_status_finish(&status);
	return code;
}

static void catch_interrupts(struct sigaction *before)
{
	struct sigaction action = { 0 };
	action.sa_handler = note_interrupt;
	sigemptyset(&action.sa_mask);
	sigaction(SIGINT, &action, before);
}

int print_send(struct print *print)
{
	const struct lt_job_ticket ticket = make_ticket(print);
	struct session *session = print->session;
	int id = 0;
	bool sent = false;
	struct sigaction before;
	/* The numbers, and what is to be sent, are on disk before any label can come out. */
	if ((session != NULL && session_save(session) != EXIT_YES) || !keep_record(print, 0))
		return EXIT_SYSTEM;
	catch_interrupts(&before);
	bool good = lt_job_send(&id, &sent, print->link, &print->printer, &ticket, print->document,
		print->diags);
	/* What may be out is remembered as out: an M sticker that nobody knows of is worse than one
	 * too many in the register. */
	if (session != NULL && (good || sent || id == 0)) {
		mark_printed(session, &print->sheet);
		session_save(session);
	}
	int code;
	if (id > 0)
		code = follow(print, id, !good && !sent);
	else
		code = tell_unfinished(print, -1, "the job could not be sent whole");
	sigaction(SIGINT, &before, NULL);
	return code;
}
