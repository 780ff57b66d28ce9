/* Sends a job, waits until its labels are printed, and reports what is not. */
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/printing.h"
#include "cli/terminal.h"
#include "loomtag/words.h"

/* Adds a note that names the stickers of the slots from `first` to before `end`, if any. */
static void note_stickers(const struct print *print, size_t first, size_t end, bool printed)
{
	struct lt_diags *diags = print->diags;
	const struct lt_place place = lt_place_none();
	char from[LT_TAG_SIZE];
	char to[LT_TAG_SIZE];
	if (first == end)
		return;
	lt_print_write_tag(from, print, first);
	lt_print_write_tag(to, print, end - 1);
	if (end - first == 1 && printed)
		lt_note(diags, place, "counted as printed: %s", from);
	else if (end - first == 1)
		lt_note(diags, place, "not counted as printed: %s", from);
	else if (printed)
		lt_note(diags, place, "counted as printed: %s to %s", from, to);
	else
		lt_note(diags, place, "not counted as printed: %s to %s", from, to);
}

/* Adds to an error, which says why, what the printer counted, and what to do. */
static void note_count(const struct print *print, bool known, size_t printed)
{
	struct lt_diags *diags = print->diags;
	const size_t all = print->sheet.count;
	if (known) {
		lt_note(diags, lt_place_none(),
			lt_plural(all, "the printer counted %zu of %zu sticker",
				"the printer counted %zu of %zu stickers"),
			printed, all);
		note_stickers(print, 0, printed, true);
		note_stickers(print, printed, all, false);
	} else {
		lt_note(diags, lt_place_none(), "it is not known which stickers are printed");
	}
	if (known && printed == all)
		lt_hint(diags, "check the stickers in your hand. If all are there, delete %s",
			print->record_path);
	else
		lt_hint(diags,
			"check the stickers in your hand. Then print the rest with loomtag print "
			"--resume");
}

/* Keeps and reports what is printed and what is not, after an error that says why. `impressions`:
 * -1 when that is not known. */
static int end_unfinished(struct print *print, long impressions)
{
	struct lt_session *session = print->session;
	if (session == NULL) {
		lt_note(print->diags, lt_place_none(), "the ladder is not printed completely");
		lt_hint(print->diags, "print the ladder again");
		return EXIT_SYSTEM;
	}
	size_t printed = lt_print_stickers_on(&print->sheet, impressions);
	note_count(print, impressions >= 0, printed);
	lt_print_record_keep(print, printed, print->diags);
	lt_printed_after(&session->tags, &session->reg, &print->sheet, printed);
	(void)lt_session_save(session);
	return EXIT_SYSTEM;
}

static void print_done(const struct print *print)
{
	struct lt_text text = { 0 };
	if (print->session == NULL) {
		puts(lt_print_words.ladder_done);
		puts(lt_print_words.ladder_next);
		return;
	}
	lt_words_stickers_done(&text, print->sheet.count, print->layout->name);
	lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
}

/* All is printed. */
static int end_done(struct print *print, long counted)
{
	if (print->session != NULL) {
		lt_printed_after(&print->session->tags, &print->session->reg, &print->sheet,
			print->sheet.count);
		/* NAME.print stays until the register says what is printed. */
		if (lt_session_save(print->session) != EXIT_YES)
			return EXIT_SYSTEM;
		unlink(print->record_path);
	}
	if (print->options->quiet)
		return EXIT_YES;
	if (counted <= 0)
		puts(lt_print_words.not_counted);
	print_done(print);
	return EXIT_YES;
}

/* Reports why a job that is over is not finished; false when it is. `accepted`: the printer
 * answered that it has the whole document. Otherwise it may have mistaken a part for the whole, and
 * only its own count can show that it has not. */
static bool report_not_finished(const struct print *print, const struct lt_print_job_status *status,
	bool accepted)
{
	struct lt_diags *diags = print->diags;
	const struct lt_place place = lt_place_none();
	const bool all_counted = status->impressions >= (long)print->pages;
	if (status->state == IPP_JSTATE_CANCELED)
		lt_error(diags, place, "the job was cancelled");
	else if (status->forgotten && !all_counted)
		/* A forgotten job with all pages counted was finished. */
		lt_error(diags, place, "the printer no longer knows the job");
	else if (status->state == IPP_JSTATE_ABORTED && status->message != NULL)
		lt_error(diags, place, "the printer aborted the job: \"%s\"", status->message);
	else if (status->state == IPP_JSTATE_ABORTED)
		lt_error(diags, place, "the printer aborted the job");
	else if (lt_print_job_has(status, "job-completed-with-errors"))
		lt_error(diags, place, "the printer ended the job with errors");
	else if (status->impressions > 0 && !all_counted)
		lt_error(diags, place,
			"the printer says that the job is finished, but it did not count all pages");
	else if (!accepted && !all_counted)
		lt_error(diags, place,
			"the printer says that the job is finished, but it may have received only "
			"a part");
	else
		return false;
	return true;
}

/* Where the printer cuts, if it can: a tape after each number, all else at the end. */
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

static struct lt_print_job_ticket make_ticket(const struct print *print)
{
	const struct lt_layout *layout = print->layout;
	struct lt_print_job_ticket ticket = {
		.format = print->format, .dpi = print->dpi, .trim = choose_trim(print)
	};
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	ticket.name = print->session != NULL ? print->session->harness.code : "ladder";
	ticket.width = sheet  ? layout->page_width
		       : tape ? layout->label_height
			      : layout->label_width;
	ticket.height = sheet ? layout->page_height : layout->label_height;
	if (print->media != NULL) {
		ticket.width = print->media->width;
		ticket.height = print->media->height;
	}
	if (tape)
		ticket.height = print->longest;
	return ticket;
}

static void print_row(const char *label, const char *value)
{
	lt_print_clean("%-10s  %s\n", label, value);
}

/* The format; of PWG Raster with its type. */
static void print_format(const struct print *print)
{
	struct lt_text text = { 0 };
	lt_text_add(&text, lt_format_type(print->format));
	if (print->format == LT_FORMAT_PWG)
		lt_text_printf(&text, ", %s", lt_pwg_type_name(print->type));
	print_row(lt_print_words.format, lt_text_string(&text));
	lt_text_finish(&text);
}

static void print_stickers(const struct print *print)
{
	struct lt_text list = { 0 };
	for (size_t i = 0; i < print->sheet.count; i++) {
		char tag[LT_TAG_SIZE];
		lt_print_write_tag(tag, print, i);
		lt_text_add(&list, i > 0 ? " " : "");
		lt_text_add(&list, tag);
	}
	print_row(lt_print_words.stickers, lt_text_string(&list));
	lt_text_finish(&list);
}

void lt_print_describe_job(const struct print *print)
{
	enum { NUMBER_SIZE = 64 };
	const struct lt_print_words *words = &lt_print_words;
	const struct lt_print_job_ticket ticket = make_ticket(print);
	char number[NUMBER_SIZE];
	if (print->link != NULL)
		print_row(words->printer, lt_link_uri(print->link));
	print_row(words->layout, print->layout->name);
	snprintf(number, sizeof(number), "%.4g x %.4g mm", ticket.width, ticket.height);
	print_row(words->medium, number);
	print_format(print);
	snprintf(number, sizeof(number), "%u dpi", print->dpi);
	print_row(words->resolution, number);
	snprintf(number, sizeof(number), "%u", print->pages);
	print_row(words->pages, number);
	if (ticket.trim == LT_TRIM_PAGES)
		print_row(words->cut, words->cut_after_each_page);
	else if (ticket.trim != 0)
		print_row(words->cut, words->cut_at_the_end);
	if (print->session != NULL)
		print_stickers(print);
}

/* The contents of NAME.print and of the register before. */
struct earlier {
	char *bytes; /* NULL: it was not there */
	size_t length;
	struct lt_printed printed;
};

static void take_marks_back(struct print *print, const struct earlier *earlier)
{
	struct lt_session *session = print->session;
	lt_printed_restore(&session->tags, &session->reg, &earlier->printed);
	lt_session_save(session);
}

/* Nothing can be printed: restores everything as it was before. */
static int end_nothing_sent(struct print *print, const struct earlier *earlier)
{
	struct lt_session *session = print->session;
	if (session != NULL) {
		if (earlier->bytes == NULL)
			unlink(print->record_path);
		else
			lt_file_write(print->record_path, earlier->bytes, earlier->length,
				lt_session_keep(session), print->diags);
		take_marks_back(print, earlier);
	}
	lt_error(print->diags, lt_place_none(), "nothing was printed");
	if (print->options->resume)
		lt_hint(print->diags, "correct the fault, then use --resume again");
	else
		lt_hint(print->diags, "correct the fault, then print again");
	return EXIT_SYSTEM;
}

/* Follows a job to its end. A job that the printer did not receive completely, or refused, is
 * cancelled first: it would wait for the rest for ever, or print what it has. */
static int follow(struct print *print, int id, const struct lt_sent *sent, bool good)
{
	struct lt_print_job_status status;
	bool cancel = !good && (!sent->whole || sent->refused);
	enum watch_end end = lt_print_watch(&status, print, id,
		cancel ? WATCH_CANCEL
		: good ? WATCH_ACCEPTED
		       : WATCH_DOUBTFUL);
	const bool all_counted = status.impressions >= (long)print->pages;
	bool failed = true;
	if (end == WATCH_STUCK)
		lt_error(print->diags, lt_place_none(), "the printer does not finish the job");
	else if (end == WATCH_SILENT)
		lt_error(print->diags, lt_place_none(), "the printer does not answer any more");
	else if (!cancel)
		failed = report_not_finished(print, &status, good);
	else if (status.state == IPP_JSTATE_COMPLETED && all_counted)
		/* It was printed before it could be cancelled. */
		failed = false;
	else if (sent->whole)
		lt_error(print->diags, lt_place_none(),
			"the printer refused the job, and the job was cancelled");
	else
		lt_error(print->diags, lt_place_none(), "the job was not sent completely");
	int code = failed ? end_unfinished(print, status.impressions)
			  : end_done(print, status.impressions);
	lt_print_job_status_finish(&status);
	return code;
}

/* Cancels a job that is empty or was refused, if the printer allows it. */
static void drop_job(struct print *print, int id)
{
	const char *why = id > 0 ? lt_print_cancel(print, id) : NULL;
	if (why != NULL)
		lt_warning(print->diags, lt_place_none(),
			"cannot cancel the empty job %d, and it may wait at the printer: %s", id,
			why);
}

/* Whether nothing can be printed of a job that failed. An answer alone does not show that once a
 * part of the document was sent: the job is cancelled, and must end with nothing counted. */
static bool is_nothing_printed(struct print *print, int id, const struct lt_sent *sent)
{
	enum { QUESTIONS = 20 };
	const struct timespec pause = { .tv_nsec = 250 * 1000000L };
	if (!sent->began || (id == 0 && sent->unfit)) {
		drop_job(print, id);
		return true;
	}
	if (!sent->unfit)
		return false;
	struct lt_diags ignored = { 0 };
	bool over = false;
	bool nothing = false;
	(void)lt_print_cancel(print, id);
	for (int i = 0; i < QUESTIONS && !over; i++) {
		struct lt_print_job_status status;
		if (i > 0)
			nanosleep(&pause, NULL);
		over = !lt_print_job_ask(&status, print->link, id, &ignored) ||
		       lt_print_job_is_over(&status);
		nothing = over && status.impressions == 0;
		lt_print_job_status_finish(&status);
	}
	lt_diags_finish(&ignored);
	return nothing;
}

static int send_document(struct print *print, const struct earlier *earlier)
{
	const struct lt_print_job_ticket ticket = make_ticket(print);
	int id = 0;
	struct lt_sent sent;
	bool good = lt_print_job_send(&id, &sent, print->link, &print->printer, &ticket,
		print->document, print->diags);
	/* The next steps are done also after Ctrl-C; another Ctrl-C ends them. */
	lt_print_answer_interrupts(print);
	if (!good && is_nothing_printed(print, id, &sent))
		return end_nothing_sent(print, earlier);
	if (id > 0)
		return follow(print, id, &sent, good);
	if (good)
		lt_error(print->diags, lt_place_none(),
			"the printer did not give the number of the job, so loomtag cannot follow "
			"it");
	else
		lt_error(print->diags, lt_place_none(),
			"it is not known whether the printer has the job");
	return end_unfinished(print, -1);
}

/* Saves the numbers and the list of stickers before any label can come out. The register has the H
 * and M stickers as printed from here on: an M sticker that it does not know is worse than one too
 * many in it. */
static bool save_before(struct earlier *earlier, struct print *print)
{
	struct lt_session *session = print->session;
	if (session == NULL)
		return true;
	lt_printed_remember(&earlier->printed, &session->reg);
	lt_printed_before(&session->tags, &session->reg, &print->sheet);
	bool good = lt_session_save(session) == EXIT_YES;
	if (good && !(lt_file_read_if_there(&earlier->bytes, &earlier->length, print->record_path,
			      LT_UNFINISHED_MAX, print->diags) &&
			    lt_print_record_keep(print, 0, print->diags))) {
		take_marks_back(print, earlier);
		good = false;
	}
	if (!good)
		lt_error(print->diags, lt_place_none(),
			"nothing was printed, because the list of stickers could not be saved");
	return good;
}

int lt_print_send(struct print *print)
{
	struct earlier earlier = { 0 };
	struct sigaction before;
	int code = EXIT_SYSTEM;
	if (save_before(&earlier, print)) {
		lt_print_catch_interrupts(&before);
		code = send_document(print, &earlier);
		sigaction(SIGINT, &before, NULL);
	}
	free(earlier.bytes);
	free(earlier.printed.entries);
	return code;
}
