/* How a printer prints: --nudge, --scale and --smallest, and what is remembered of them. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/alignment.h"
#include "cli/folders.h"
#include "loomtag/base.h"

enum { MOST_DPI = 2400 };

/* Reads "X,Y", each from `least` to `most`. */
static bool read_two_numbers(double *x, double *y, const char *text, double least, double most)
{
	char first[32];
	const char *comma = strchr(text, ',');
	if (comma == NULL || (size_t)(comma - text) >= sizeof(first))
		return false;
	memcpy(first, text, (size_t)(comma - text));
	first[comma - text] = '\0';
	return lt_decimal_read(x, first) && lt_decimal_read(y, comma + 1) && *x >= least &&
	       *x <= most && *y >= least && *y <= most;
}

int lt_read_dpi(double *dpi, const struct options *options, unsigned least, const char *command)
{
	unsigned value;
	if (options->dpi == NULL)
		return EXIT_YES;
	if (!lt_whole_read(&value, options->dpi, MOST_DPI) || value < least)
		return lt_usage_error(command,
			"--dpi must be a whole number from %u to %d, not \"%s\"", least, MOST_DPI,
			options->dpi);
	*dpi = value;
	return EXIT_YES;
}

static int read_moves(struct lt_calibration *out, const struct options *options,
	const char *command)
{
	if (options->nudge != NULL && !read_two_numbers(&out->nudge_x, &out->nudge_y,
					      options->nudge, -LT_NUDGE_MAX, LT_NUDGE_MAX))
		return lt_usage_error(command,
			"--nudge must be two numbers of mm from -%g to %g, for example 0.5,-1, not \"%s\"",
			LT_NUDGE_MAX, LT_NUDGE_MAX, options->nudge);
	if (options->scale != NULL && !read_two_numbers(&out->scale_x, &out->scale_y,
					      options->scale, LT_SCALE_LEAST, LT_SCALE_MOST))
		return lt_usage_error(command,
			"--scale must be two numbers from %g to %g, for example 1.004,0.998, not \"%s\"",
			LT_SCALE_LEAST, LT_SCALE_MOST, options->scale);
	if (options->smallest != NULL &&
		(!lt_whole_read(&out->smallest, options->smallest, LT_SMALLEST_MOST) ||
			out->smallest < LT_SMALLEST_LEAST))
		return lt_usage_error(command,
			"--smallest must be a whole number of dots a module from %u to %u, not \"%s\"",
			LT_SMALLEST_LEAST, LT_SMALLEST_MOST, options->smallest);
	return EXIT_YES;
}

/* Whether what stands before the machine of a URI has a password in it. */
static bool has_password(const char *text)
{
	const char *start = text != NULL ? strstr(text, "://") : NULL;
	if (start == NULL)
		return false;
	start += strlen("://");
	/* One with an @ or a slash in it makes no right URI, and is a password all the same. */
	const char *end = strrchr(start, '@');
	const char *host_end = start + strcspn(start, "/");
	for (const char *at = start; end != NULL && at < end && at < host_end; at++) {
		if (*at == ':' || strncmp(at, "%3A", 3) == 0 || strncmp(at, "%3a", 3) == 0)
			return true;
	}
	return false;
}

bool lt_refuse_password(const char *printer, const char *command)
{
	if (!has_password(printer))
		return false;
	/* Not even shown. */
	lt_usage_error(command,
		"do not give a password on the command line, where other users can read it: use "
		"--user and LOOMTAG_PASSWORD");
	return true;
}

/* The file of printers; NULL where there is no place for it. */
static const char *printers_path(struct lt_diags *diags)
{
	const char *folder = lt_config_folder(&diags->arena);
	return folder != NULL ? lt_arena_printf(&diags->arena, "%s/printers.yaml", folder) : NULL;
}

static bool given(const struct options *options)
{
	return options->nudge != NULL || options->scale != NULL || options->smallest != NULL;
}

/* The names of the printers that are known. */
static const char *names_known(const struct lt_calibrations *set, struct lt_diags *diags)
{
	const char *names = "";
	for (size_t i = 0; i < set->count; i++)
		names = lt_arena_printf(&diags->arena, "%s%s\"%s\"", names, i > 0 ? ", " : "",
			set->items[i].name);
	return names;
}

/* "--nudge 0.5,-1 --scale 1,0.998 --smallest 3"; from the arena. */
static const char *options_of(struct lt_arena *arena, const struct lt_calibration *calibration)
{
	const char *moves =
		lt_arena_printf(arena, "--nudge %g,%g --scale %g,%g", calibration->nudge_x,
			calibration->nudge_y, calibration->scale_x, calibration->scale_y);
	if (calibration->smallest == 0)
		return moves;
	return lt_arena_printf(arena, "%s --smallest %u", moves, calibration->smallest);
}

/* True where the printer's name is that of --to, which is found whatever its capitals. */
static bool is_name_of_to(const struct options *options)
{
	return options->to != NULL && strcmp(options->to, options->printer) == 0;
}

/* What is remembered of the printer; of --to also under a name that differs in nothing but
 * capitals, where there is but one. In URIs they may matter. */
static const struct lt_calibration *find_remembered(const struct lt_calibrations *set,
	const struct options *options)
{
	const struct lt_calibration *found = lt_calibration_find(set, options->printer);
	size_t alike = 0;
	if (found != NULL || !is_name_of_to(options) || strstr(options->to, "://") != NULL)
		return found;
	for (size_t i = 0; i < set->count; i++) {
		if (lt_same_word(set->items[i].name, options->to)) {
			found = &set->items[i];
			alike++;
		}
	}
	return alike == 1 ? found : NULL;
}

/* Reports that nothing is remembered of the printer. False, with an error, where something must be.
 */
static bool report_unknown(const struct lt_calibrations *set, const struct options *options,
	bool must_know, struct lt_diags *diags)
{
	if (must_know) {
		lt_error(diags, lt_place_none(), "nothing is remembered for printer \"%s\"",
			options->printer);
		if (set->count > 0)
			lt_hint(diags,
				"use one of these printers: %s. To add another, give --nudge, --scale "
				"or --smallest with --printer",
				names_known(set, diags));
		else
			lt_hint(diags,
				"give --nudge, --scale or --smallest with --printer, and they are "
				"remembered");
		return false;
	}
	/* A printer with several names, one of which is known, is used as if it were not known. */
	if (set->count > 0 && is_name_of_to(options)) {
		lt_note(diags, lt_place_none(),
			"no --nudge, --scale or --smallest is remembered for \"%s\", only for %s",
			options->to, names_known(set, diags));
		lt_hint(diags, "if it is one of these printers, give its name with --printer");
	}
	return true;
}

/* Begins with what is remembered, and reports what it applies. */
static bool recall(struct lt_calibration *out, const struct options *options, bool must_know,
	struct lt_diags *diags)
{
	const char *path = printers_path(diags);
	if (path == NULL)
		return true;
	struct lt_calibrations set = { 0 };
	bool good = lt_calibrations_read_file(&set, path, diags);
	const struct lt_calibration *found = good ? find_remembered(&set, options) : NULL;
	if (found != NULL) {
		*out = *found;
		out->name = lt_arena_strdup(&diags->arena, found->name);
		out->others = NULL;
		out->other_count = 0;
		lt_note(diags, lt_place_none(), "using what is remembered for printer \"%s\": %s",
			found->name, options_of(&diags->arena, found));
	} else if (good && !given(options)) {
		good = report_unknown(&set, options, must_know, diags);
	}
	lt_calibrations_finish(&set);
	return good;
}

/* Checks, before anything is printed, whether the printer can be remembered. */
static int may_keep(const struct lt_calibration *alignment, const struct options *options,
	struct lt_diags *diags)
{
	if (!given(options))
		return EXIT_YES;
	struct lt_calibrations trial = { 0 };
	bool good = lt_calibration_set(&trial, alignment, diags);
	lt_calibrations_finish(&trial);
	if (!good)
		return EXIT_USAGE;
	if (options->dry_run)
		return EXIT_YES;
	if (printers_path(diags) == NULL) {
		lt_error(diags, lt_place_none(), "cannot remember --printer: HOME is not set");
		lt_hint(diags, "set HOME or XDG_CONFIG_HOME");
		return EXIT_SYSTEM;
	}
	return lt_folder_make(lt_config_folder(&diags->arena), diags) ? EXIT_YES : EXIT_SYSTEM;
}

int lt_alignment_read(struct lt_calibration *out, const struct options *options, bool must_know,
	const char *command, struct lt_diags *diags)
{
	*out = (struct lt_calibration)LT_CALIBRATION_INIT;
	/* Faults of the options themselves are reported before any file is read. */
	if (lt_refuse_password(options->printer, command) ||
		read_moves(out, options, command) != EXIT_YES)
		return EXIT_USAGE;
	if (options->printer == NULL)
		return EXIT_YES;
	if (!recall(out, options, must_know, diags))
		return EXIT_INPUT;
	if (out->name == NULL)
		out->name = options->printer;
	read_moves(out, options, command);
	return may_keep(out, options, diags);
}

bool lt_alignment_keep(const struct lt_calibration *alignment, const struct options *options,
	struct lt_diags *diags)
{
	if (options->printer == NULL || !given(options) || options->dry_run)
		return true;
	const char *path = printers_path(diags);
	if (path == NULL || !lt_calibration_store(path, alignment, diags))
		return false;
	lt_note(diags, lt_place_none(), "remembered for printer \"%s\": %s", alignment->name,
		options_of(&diags->arena, alignment));
	return true;
}
