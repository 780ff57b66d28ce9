/* Sends a job, and stays until its labels are out. */
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/printing.h"
#include "cli/terminal.h"

/* "1H to 4M" of the slots from `first` to before `end`, at least one. */
static const char *say_span(const struct print *print, size_t first, size_t end)
{
	char from[LT_TAG_SIZE];
	char to[LT_TAG_SIZE];
	lt_print_write_tag(from, print, first);
	lt_print_write_tag(to, print, end - 1);
	bool one = end - first == 1;
	return lt_arena_printf(&print->diags->arena, "%s%s%s", from, one ? "" : " to ",
		one ? "" : to);
}

/* Says, and keeps, what came out and what did not. */
static int tell_unfinished(struct print *print, long impressions, const char *why)
{
	struct lt_diags *diags = print->diags;
	struct lt_session *session = print->session;
	if (session == NULL) {
		lt_error(diags, lt_place_none(), "%s: not all of the ladder came out", why);
		lt_hint(diags, "print it again");
		return EXIT_SYSTEM;
	}
	size_t all = print->sheet.count;
	size_t out = lt_print_stickers_on(&print->sheet, impressions);
	lt_print_record_keep(print, out, diags);
	lt_printed_after(&session->tags, &session->reg, &print->sheet, out);
	(void)lt_session_save(session);
	if (impressions < 0)
		lt_error(diags, lt_place_none(), "%s; what came out is not known", why);
	else
		lt_error(diags, lt_place_none(),
			"%s; by the printer's count %zu of %zu stickers came out%s%s%s%s", why, out,
			all, out > 0 ? ", " : "", out > 0 ? say_span(print, 0, out) : "",
			out < all ? "; not " : "", out < all ? say_span(print, out, all) : "");
	if (impressions >= 0 && out == all)
		lt_hint(diags, "look at what is in hand; if it is all there, remove %s",
			print->record_path);
	else
		lt_hint(diags,
			"look at what is in hand; loomtag print --resume prints what is left, and "
			"nothing twice");
	return EXIT_SYSTEM;
}

static int tell_done(struct print *print, long counted)
{
	if (print->session != NULL) {
		lt_printed_after(&print->session->tags, &print->session->reg, &print->sheet,
			print->sheet.count);
		/* What is to be printed stays known until the register knows that it was. */
		if (lt_session_save(print->session) != EXIT_YES)
			return EXIT_SYSTEM;
		unlink(print->record_path);
	}
	if (print->options->quiet)
		return EXIT_YES;
	if (counted <= 0)
		printf("by the printer's word, which does not count labels; see that all are there\n");
	if (print->session != NULL)
		printf("done: %zu sticker%s of %s\n", print->sheet.count,
			print->sheet.count == 1 ? "" : "s", print->layout->name);
	else
		puts("done: the ladder is printed; scan its codes, and tell the fewest dots that "
		     "read with --smallest N --to the same printer");
	return EXIT_YES;
}

/* `taken`: the printer answered that it has the whole drawing. Else it may have taken a part of it
 * for the whole, and only its own count shows that it had not. */
static int tell_end(struct print *print, const struct lt_print_job_status *status, bool taken)
{
	const char *why = NULL;
	long counted = status->impressions;
	if (status->state == IPP_JSTATE_CANCELED)
		why = "the job was cancelled";
	else if (status->forgotten && counted < (long)print->pages)
		/* One that had counted all of it was done. */
		why = "the printer knows nothing of the job any more";
	else if (status->state == IPP_JSTATE_ABORTED)
		why = status->message == NULL
			      ? "the printer gave the job up"
			      : lt_arena_printf(&print->diags->arena,
					"the printer gave the job up, and says \"%s\"",
					status->message);
	else if (lt_print_job_has(status, "job-completed-with-errors"))
		why = "the printer ended the job with errors";
	else if (counted > 0 && counted < (long)print->pages)
		why = "the printer says that the job is done, and has not counted all of it";
	else if (!taken && counted < (long)print->pages)
		why = "the printer says that the job is done, but it may have had only a part";
	return why != NULL ? tell_unfinished(print, counted, why) : tell_done(print, counted);
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

void lt_print_describe_job(const struct print *print)
{
	const struct lt_print_job_ticket ticket = make_ticket(print);
	if (print->link != NULL)
		lt_print_clean("printer   %s\n", lt_link_uri(print->link));
	lt_print_clean("layout    %s\n", print->layout->name);
	printf("medium    %.4g x %.4g mm\n", ticket.width, ticket.height);
	printf("document  %s, %u page%s at %u dots an inch%s%s\n", lt_format_type(print->format),
		print->pages, print->pages == 1 ? "" : "s", print->dpi,
		print->format == LT_FORMAT_PWG ? ", " : "",
		print->format == LT_FORMAT_PWG ? lt_pwg_type_name(print->type) : "");
	if (ticket.trim != 0)
		printf("cut       %s\n",
			ticket.trim == LT_TRIM_PAGES ? "after each page" : "at the end");
	if (print->session == NULL)
		return;
	printf("stickers ");
	for (size_t i = 0; i < print->sheet.count; i++) {
		char tag[LT_TAG_SIZE];
		lt_print_write_tag(tag, print, i);
		printf(" %s", tag);
	}
	putchar('\n');
}

/* What stood in NAME.print and in the register before. */
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

/* Nothing can be out: it is as if it had not been tried. */
static int tell_nothing_sent(struct print *print, const struct earlier *earlier)
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
		lt_hint(print->diags, "what was left is still left: --resume prints it");
	else
		lt_hint(print->diags, "when that is mended, print again");
	return EXIT_SYSTEM;
}

/* Watches a job to its end. One of which the printer has not all the document, or which it has
 * refused, is cancelled first: it would wait for the rest for ever, or print what it has. */
static int follow(struct print *print, int id, const struct lt_sent *sent, bool good)
{
	struct lt_print_job_status status;
	bool cancel = !good && (!sent->whole || sent->refused);
	enum watch_end end = lt_print_watch(&status, print, id,
		cancel ? WATCH_CANCEL
		: good ? WATCH_TAKEN
		       : WATCH_DOUBTFUL);
	int code;
	if (end == WATCH_STUCK)
		code = tell_unfinished(print, status.impressions,
			"the job does not end at the printer");
	else if (end == WATCH_SILENT)
		code = tell_unfinished(print, status.impressions,
			"the printer does not answer any more");
	else if (!cancel)
		code = tell_end(print, &status, good);
	else if (status.state == IPP_JSTATE_COMPLETED && status.impressions >= (long)print->pages)
		/* It was out before it could be cancelled. */
		code = tell_done(print, status.impressions);
	else
		code = tell_unfinished(print, status.impressions,
			sent->whole ? "the printer refused the job, and it was cancelled"
				    : "the job could not be sent whole");
	lt_print_job_status_finish(&status);
	return code;
}

/* Takes an empty job, or one that was refused, away from the printer, as far as that goes. */
static void drop_job(struct print *print, int id)
{
	const char *why = id > 0 ? lt_print_cancel(print, id) : NULL;
	if (why != NULL)
		lt_warning(print->diags, lt_place_none(),
			"job %d, of which nothing was sent, may still wait at the printer: %s", id,
			why);
}

/* Whether nothing can be out of a job that failed. An answer alone does not show that, once any of
 * the document went out: the job is cancelled, and has to be over with nothing counted. */
static bool is_nothing_out(struct print *print, int id, const struct lt_sent *sent)
{
	enum { QUESTIONS = 20 };
	const struct timespec pause = { .tv_nsec = 250 * 1000000L };
	if (!sent->began || (id == 0 && sent->unfit)) {
		drop_job(print, id);
		return true;
	}
	if (!sent->unfit)
		return false;
	struct lt_diags unheard = { 0 };
	bool over = false;
	bool nothing = false;
	(void)lt_print_cancel(print, id);
	for (int i = 0; i < QUESTIONS && !over; i++) {
		struct lt_print_job_status status;
		if (i > 0)
			nanosleep(&pause, NULL);
		over = !lt_print_job_ask(&status, print->link, id, &unheard) ||
		       lt_print_job_is_over(&status);
		nothing = over && status.impressions == 0;
		lt_print_job_status_finish(&status);
	}
	lt_diags_finish(&unheard);
	return nothing;
}

static int send_document(struct print *print, const struct earlier *earlier)
{
	const struct lt_print_job_ticket ticket = make_ticket(print);
	int id = 0;
	struct lt_sent sent;
	bool good = lt_print_job_send(&id, &sent, print->link, &print->printer, &ticket,
		print->document, print->diags);
	/* What comes next is done also after Ctrl-C; another ends that. */
	lt_print_answer_interrupts(print);
	if (!good && is_nothing_out(print, id, &sent))
		return tell_nothing_sent(print, earlier);
	if (id > 0)
		return follow(print, id, &sent, good);
	return tell_unfinished(print, -1,
		good ? "the printer does not say the job's number, by which to ask after it"
		     : "whether the printer has the job is not known");
}

/* The numbers, and what is to be sent, are on disk before any label can come out; and H and M sides
 * that may come out are remembered as out: an M sticker that nobody knows of is worse than one too
 * many in the register. */
static bool remember(struct earlier *earlier, struct print *print)
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
			"nothing was printed: what is to be printed must be on disk first");
	return good;
}

int lt_print_send(struct print *print)
{
	struct earlier earlier = { 0 };
	struct sigaction before;
	int code = EXIT_SYSTEM;
	if (remember(&earlier, print)) {
		lt_print_catch_interrupts(&before);
		code = send_document(print, &earlier);
		sigaction(SIGINT, &before, NULL);
	}
	free(earlier.bytes);
	free(earlier.printed.entries);
	return code;
}
