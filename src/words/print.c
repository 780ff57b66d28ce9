/* What a person reads while stickers are printed: progress, results, questions, what a dry run
 * lists, and the list of printers. */
#include "loomtag/words.h"

const struct lt_print_words lt_print_words = {
	.printer = "printer",
	.layout = "layout",
	.medium = "medium",
	.format = "format",
	.resolution = "resolution",
	.pages = "pages",
	.cut = "cut",
	.cut_after_each_page = "after each page",
	.cut_at_the_end = "at the end",
	.stickers = "stickers",
	.stopped_without_reason = "The printer stopped the job and does not say why.",
	.printer_continues = "The printer continues.",
	.job_does_not_start =
		"The printer does not start the job. It may have received only a part of it.",
	.cancelling =
		"Cancelling the job at the printer. To stop waiting for this, press Ctrl-C again.",
	.not_counted = "The printer does not count labels. Check that all labels are there.",
	.ladder_done = "Done: the ladder is printed. Scan its codes from large to small.",
	.ladder_next = "Then give the dots of the smallest code that your scanner reads: loomtag "
		       "print --smallest N --to PRINTER",
	.nothing_left = "All stickers are printed. Nothing is left to print.",
	.was_not_sent = "This is not one of the stickers that were sent.",
	.unfinished_file =
		"These stickers were sent to a printer. Perhaps not all of them were printed. To "
		"print the rest: loomtag print --resume",
};

const struct lt_printers_words lt_printers_words = {
	.queue = "print queue of this computer",
	.on_network = "on the network",
	.state = "state",
	.state_unknown = "unknown",
	.ready = "ready",
	.printing = "printing",
	.stopped = "stopped",
	.no_answer = "no answer",
	.no_jobs = "does not accept jobs",
	.reasons = "reasons",
	.message = "message",
	.error = "error",
	.loaded = "loaded",
	.not_known = "the printer does not say",
	.resolutions = "resolution",
	.formats = "accepts",
	.pwg_raster = "PWG Raster",
	.pdf = "PDF",
	.none_found = "No printer found.",
	.none_found_why =
		"This computer has no print queue, and no printer announces itself on the "
		"network.",
	.none_found_next = "To use a printer that does not announce itself, give its URI, for "
			   "example --to ipp://printer.local/ipp/print",
};

void lt_words_stickers_printed(struct lt_text *out, size_t printed, size_t all, const char *last)
{
	lt_text_printf(out,
		lt_plural(all, "Printed %zu of %zu sticker.", "Printed %zu of %zu stickers."),
		printed, all);
	if (last != NULL)
		lt_text_printf(out, " The last one is %s.", last);
}

void lt_words_pages_printed(struct lt_text *out, size_t printed, size_t all)
{
	lt_text_printf(out, lt_plural(all, "Printed %zu of %zu page.", "Printed %zu of %zu pages."),
		printed, all);
}

void lt_words_printer_waits(struct lt_text *out, const char *reasons)
{
	lt_text_printf(out, "The printer is waiting: %s.", reasons);
}

void lt_words_printer_warns(struct lt_text *out, const char *reasons)
{
	lt_text_printf(out, "The printer warns: %s.", reasons);
}

void lt_words_asking_again(struct lt_text *out, const char *reason)
{
	lt_text_printf(out, "Asking the printer again: %s.", reason);
}

void lt_words_not_cancelled(struct lt_text *out, const char *reason)
{
	lt_text_printf(out, "Cannot cancel the job: %s. More labels may come out.", reason);
}

void lt_words_stickers_done(struct lt_text *out, size_t count, const char *layout)
{
	lt_text_printf(out,
		lt_plural(count, "Done: %zu sticker is printed, layout %s.",
			"Done: %zu stickers are printed, layout %s."),
		count, layout);
}

void lt_words_job_written(struct lt_text *out, const char *file, size_t pages, const char *layout)
{
	lt_text_printf(out,
		lt_plural(pages, "%s: print job of %zu page, layout %s",
			"%s: print job of %zu pages, layout %s"),
		file, pages, layout);
}

void lt_words_ask_last(struct lt_text *out, size_t counted, size_t all, const char *example)
{
	lt_text_printf(out,
		lt_plural(all, "The printer counted %zu of %zu sticker.",
			"The printer counted %zu of %zu stickers."),
		counted, all);
	lt_text_printf(out,
		" Which sticker is the last one that was printed completely?\n"
		"Type its tag, for example %s. If no sticker was printed completely, type -: ",
		example);
}

void lt_words_ask_password(struct lt_text *out, const char *user, const char *printer)
{
	lt_text_printf(out, "Password of user \"%s\" for %s:", user, printer);
}

void lt_words_password_unencrypted(struct lt_text *out, const char *host)
{
	lt_text_printf(out,
		"The password will go over the network unencrypted. Others can read it.\n"
		"If the printer supports encryption, use ipps://%s.\n",
		host);
}
