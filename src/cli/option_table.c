/* The table of options: which commands have which, what each is for, and what its value can be. A
 * new option is a row here and a member of struct options. */
#include "cli/options.h"

#define FIELD(name) offsetof(struct options, name)

/* Values that several options have. */
#define LAYOUTS "LAYOUT|.yaml|.yml"
#define DOCUMENTS "a4|letter"

const struct lt_option lt_options[] = {
	{ "output", 'o', "OUT", FIELD(output),
		{ { FOR_QUICK, "new folder for the files (default: the new code)", "DIR" },
			{ FOR_STICKERS,
				"file for the stickers: .pdf, or .png with a file for each page or "
				"label; - shows them on the terminal",
				".pdf|.png|-" },
			{ FOR_MAP, "file for the map: .pdf; .png or .svg with a file for each page",
				".pdf|.png|.svg" },
			{ FOR_CHECKLIST,
				"file for the checklist: .pdf or .txt; - shows it on the terminal",
				".pdf|.txt|-" },
			{ FOR_RECORD,
				"file for the record: .pdf, .txt or .json; - shows it on the "
				"terminal",
				".pdf|.txt|.json|-" },
			{ FOR_PRINT,
				"write the print job to this file and send nothing: .pwg or .pdf",
				".pwg|.pdf" },
			{ FOR_LAYOUTS,
				"file for drawings at print size: .pdf or .png; - shows one "
				"layout on "
				"the terminal",
				".pdf|.png|-" },
			{ FOR_RULER, "file for the page: .pdf or .png", ".pdf|.png" } } },
	{ "layout", 0, "NAME", FIELD(layout),
		{ { FOR_QUICK, "label layout, or the path of a layout file (default: a4-3x8)",
			  "auto|" LAYOUTS },
			{ FOR_STICKERS,
				"label layout, or the path of a layout file (default: a4-3x8); "
				"auto "
				"chooses from --stock",
				"auto|" LAYOUTS },
			{ FOR_PRINT,
				"label layout, or the path of a layout file (default: the one "
				"that fits "
				"the loaded labels)",
				LAYOUTS } } },
	{ "layout-h", 0, "NAME", FIELD(layout_h),
		{ { FOR_QUICK | FOR_STICKERS,
			"layout of the stickers for the harness half, in a file of their own",
			"auto|" LAYOUTS } } },
	{ "layout-m", 0, "NAME", FIELD(layout_m),
		{ { FOR_QUICK | FOR_STICKERS,
			"layout of the stickers for the machine half, in a file of their own",
			"auto|" LAYOUTS } } },
	{ "stock", 0, "A,B,...", FIELD(stock),
		{ { FOR_QUICK | FOR_STICKERS,
			"layouts at hand; loomtag chooses one of them for each sticker",
			"LAYOUT," } } },
	{ "payload", 0, "KIND", FIELD(payload),
		{ { FOR_LABELS,
			"content of the QR codes: auto (default), link (address of the "
			"page), facts (the joint in words) or code (scan code only)",
			"auto|link|facts|code" } } },
	{ "base", 0, "URL", FIELD(base),
		{ { FOR_QUICK, "address with which the links in the QR codes begin", NULL },
			{ FOR_STICKERS | FOR_PRINT | FOR_MAP,
				"address with which the links in the QR codes begin (default: "
				"base in "
				"the description)",
				NULL },
			{ FOR_CHECK,
				"check with this base address (default: base in the description)",
				NULL } } },
	{ "unit", 0, "DIGITS", FIELD(unit),
		{ { FOR_CHECK | FOR_TAGS | FOR_STICKERS | FOR_MAP | FOR_CHECKLIST | FOR_PRINT,
			  "number of the unit (default: unit in the description)", NULL },
			{ FOR_VERIFY,
				"number of the unit that you work on (default: unit in the "
				"description)",
				NULL },
			{ FOR_JOBS,
				"with FILE: number of the unit (default: unit in the description)",
				NULL },
			{ FOR_RECORD,
				"number of the unit of the job (default: unit in the description)",
				NULL } } },
	{ "dpi", 0, "N", FIELD(dpi),
		{ { FOR_STICKERS,
			  "dots per inch of the printer, 100 to 2400 (default: dpi of the layout, "
			  "or "
			  "300 in .png files)",
			  NULL },
			{ FOR_MAP, "dots per inch of .png files, 100 to 2400 (default: 200)",
				NULL },
			{ FOR_LAYOUTS,
				"dots per inch of .png files, 72 to 2400 (default: dpi of the "
				"layout, "
				"or 300)",
				NULL },
			{ FOR_RULER,
				"dots per inch of the printer, 100 to 2400 (default: dpi of the "
				"layout, or 300 in .png files)",
				NULL } } },
	{ "only", 0, "LIST", FIELD(only),
		{ { FOR_STICKERS | FOR_PRINT, "only these stickers, for example 3,7-9,12M",
			NULL } } },
	{ "start", 0, "N", FIELD(start),
		{ { FOR_LABELS, "first free label of a used sheet, counted from 1, row by row",
			NULL } } },
	{ "used", 0, "LIST", FIELD(used),
		{ { FOR_LABELS, "labels that are missing on a used sheet, for example 1-5,9",
			NULL } } },
	{ "nudge", 0, "X,Y", FIELD(nudge),
		{ { FOR_LABELS | FOR_RULER,
			"move everything X mm to the right and Y mm down, for example -0.7,0",
			NULL } } },
	{ "scale", 0, "X,Y", FIELD(scale),
		{ { FOR_LABELS | FOR_RULER,
			"factors for the positions of the labels on a sheet, for example "
			"1.004,0.998",
			NULL } } },
	{ "printer", 0, "NAME", FIELD(printer),
		{ { FOR_QUICK | FOR_RULER,
			  "remember --nudge and --scale for this printer; without them, use what "
			  "is "
			  "remembered",
			  NULL },
			{ FOR_STICKERS,
				"remember --nudge, --scale and --smallest for this printer; "
				"without "
				"them, use what is remembered",
				NULL },
			{ FOR_PRINT,
				"name under which --nudge, --scale and --smallest are remembered "
				"(default: the name in --to)",
				NULL } } },
	{ "smallest", 0, "N", FIELD(smallest),
		{ { FOR_STICKERS | FOR_PRINT,
			"fewest dots for each module of a code that your scanner can read, 2 to 8 "
			"(see "
			"loomtag "
			"print --ladder)",
			"2|3|4|5|6|7|8" } } },
	{ "to", 0, "PRINTER", FIELD(to),
		{ { FOR_PRINT,
			"a print queue, the name of a printer on the network, or an ipp or ipps "
			"URI",
			NULL } } },
	{ "user", 0, "NAME", FIELD(user),
		{ { FOR_PRINT,
			"user name for the printer; the password is in LOOMTAG_PASSWORD, or "
			"loomtag "
			"asks for it",
			NULL } } },
	{ "any-certificate", 0, NULL, FIELD(any_certificate),
		{ { FOR_PRINT, "do not check the certificate of an ipps printer", NULL } } },
	{ "copies", 0, "N", FIELD(copies),
		{ { FOR_STICKERS | FOR_PRINT,
			"copies of each joint's stickers, 1 to 100 (default: 1)", NULL } } },
	{ "dry-run", 0, NULL, FIELD(dry_run),
		{ { FOR_PRINT, "show what would be sent, and send nothing", NULL } } },
	{ "resume", 0, NULL, FIELD(resume),
		{ { FOR_PRINT, "print the rest of an unfinished print job", NULL } } },
	{ "from", 0, "TAG", FIELD(from),
		{ { FOR_PRINT, "with --resume: first sticker to print, for example 12M", NULL } } },
	{ "anew", 0, NULL, FIELD(anew),
		{ { FOR_PRINT, "forget an unfinished print job, and start a new one", NULL } } },
	{ "ladder", 0, NULL, FIELD(ladder),
		{ { FOR_PRINT,
			"print codes and texts from large to small, to find the smallest that you "
			"can read",
			NULL } } },
	{ "distance", 0, "MM", FIELD(distance),
		{ { FOR_LABELS,
			"distance from which people read the numbers, 100 to 10000 mm (default: "
			"500)",
			NULL } } },
	{ "explain", 0, NULL, FIELD(explain),
		{ { FOR_STICKERS, "show the figures of each sticker; -o is not needed then",
			NULL } } },
	{ "stage", 0, "STAGE", FIELD(stage),
		{ { FOR_VERIFY,
			"tag, unplug, swap, reconnect or finish (default at the terminal: where "
			"the job stopped, or tag in a new job; for a file or pictures: reconnect)",
			"tag|unplug|swap|reconnect|finish" } } },
	{ "typed", 0, NULL, FIELD(typed),
		{ { FOR_VERIFY,
			"accept typed tags for every joint, not only for joints with tag: paper, "
			"which have no stickers",
			NULL } } },
	{ "photos", 0, NULL, FIELD(photos),
		{ { FOR_VERIFY, "read pictures instead of scans, JPEG or PNG, one joint in each",
			NULL } } },
	{ "new", 0, NULL, FIELD(new_job),
		{ { FOR_VERIFY, "start a new job; close an open job of this unit as not finished",
			NULL } } },
	{ "changed", 0, NULL, FIELD(changed),
		{ { FOR_VERIFY,
			"accept that the description has changed, and continue the job; what no "
			"longer counts must be scanned again",
			NULL } } },
	{ "no-job", 0, NULL, FIELD(no_job), { { FOR_VERIFY, "record nothing", NULL } } },
	{ "device", 0, "PATH", FIELD(device),
		{ { FOR_VERIFY, "also read a scanner on this serial line, for example /dev/ttyUSB0",
			"FILE" } } },
	{ "paper", 0, "SIZE", FIELD(paper),
		{ { FOR_QUICK, "paper of the worksheet: a4 (default) or letter", DOCUMENTS },
			{ FOR_CHECKLIST | FOR_RECORD, "paper: a4 (default) or letter", DOCUMENTS },
			{ FOR_MAP, "paper: a4 (default), a3, letter or ledger",
				"a4|a3|letter|ledger" } } },
	{ "landscape", 0, NULL, FIELD(landscape),
		{ { FOR_MAP, "landscape pages (default)", NULL } } },
	{ "portrait", 0, NULL, FIELD(portrait), { { FOR_MAP, "portrait pages", NULL } } },
	{ "pages", 0, "DIR", FIELD(pages),
		{ { FOR_MAP, "folder for web pages, one for each tag", "DIR" } } },
	{ "db", 0, "PATH", FIELD(db),
		{ { FOR_VERIFY,
			  "database of jobs (default: bench.db beside FILE); scans from files and "
			  "pictures are recorded only with --db",
			  ".db" },
			{ FOR_JOBS,
				"database of jobs (default: bench.db beside FILE, or in the "
				"current "
				"folder)",
				".db" },
			{ FOR_RECORD, "database of jobs (default: bench.db beside FILE)",
				".db" } } },
	{ "who", 0, "NAME", FIELD(who),
		{ { FOR_VERIFY,
			  "who does the work, for the record (default: at a terminal loomtag asks; "
			  "otherwise your user name)",
			  NULL },
			{ FOR_JOBS, "who closes the job, for the record (default: your user name)",
				NULL } } },
	{ "job", 0, "N", FIELD(job),
		{ { FOR_VERIFY, "number of the job to continue (default: the open job)", NULL },
			{ FOR_RECORD,
				"number of the job (default: the newest job with scans, or else "
				"the newest job)",
				NULL } } },
	{ "json", 0, NULL, FIELD(json),
		{ { FOR_CHECK | FOR_TAGS | FOR_VERIFY | FOR_JOBS | FOR_LAYOUTS | FOR_PRINTERS,
			  "print one JSON document on standard output", NULL },
			{ FOR_STICKERS,
				"print the figures of each sticker as one JSON document; -o is not "
				"needed then",
				NULL },
			{ FOR_RECORD, "with -o -: print the record as one JSON document",
				NULL } } },
	{ "check", 0, NULL, FIELD(check),
		{ { FOR_LAYOUTS, "check layout files of your own", NULL } } },
	{ "quiet", 'q', NULL, FIELD(quiet),
		{ { FOR_WORK & ~(FOR_VERIFY | FOR_JOBS | FOR_LAYOUTS | FOR_PRINTERS),
			  "print only warnings and errors", NULL },
			{ FOR_VERIFY, "print only warnings and errors; the exit code is the answer",
				NULL },
			{ FOR_JOBS, "do not report that the job is closed", NULL },
			{ FOR_LAYOUTS,
				"do not print a summary, and do not draw the layout on the "
				"terminal",
				NULL },
			{ FOR_PRINTERS, "has no effect", NULL } } },
	{ "color", 0, "WHEN", FIELD(color),
		{ { FOR_WORK, "use colour: auto (default), always or never; auto obeys NO_COLOR",
			"auto|always|never" } } },
	{ "help", 'h', NULL, FIELD(help), { { FOR_ALL, "show this help", NULL } } },
	{ "version", 0, NULL, FIELD(version), { { FOR_ALL, "show the version", NULL } } },
	{ .name = NULL },
};

const struct lt_option_use *lt_option_use(const struct lt_option *option, int command)
{
	for (const struct lt_option_use *use = option->uses; use->commands != 0; use++) {
		if ((use->commands & command) != 0)
			return use;
	}
	return NULL;
}
