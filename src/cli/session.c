#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/job_options.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/photo.h"

/* What is wrong with the options in themselves is no fault of the description. */
static int check_options(const struct options *options)
{
	const char *unit = options->unit;
	const char *base = options->base;
	if (unit != NULL && unit[strspn(unit, "0123456789")] != '\0')
		return lt_usage_error(NULL, "--unit is digits only, not \"%s\"", unit);
	struct lt_text fault = { 0 };
	int code = EXIT_YES;
	if (base != NULL && !lt_base_check(&fault, base))
		code = lt_usage_error(NULL, "--base \"%s\" %s", base, lt_text_string(&fault));
	lt_text_finish(&fault);
	return code;
}

static int begin(struct lt_session *session, const struct options *options)
{
	*session = (struct lt_session){ .options = options, .path = options->arguments[0] };
	lt_diags_init(&session->diags);
	lt_register_init(&session->reg);
	session->register_path = lt_path_with_extension(session->path, "tags");
	return check_options(options);
}

static int parse_description(struct lt_session *session, const char *bytes, size_t length)
{
	const struct options *options = session->options;
	const struct lt_harness_options given = { .unit = options->unit, .base = options->base };
	if (!lt_harness_read(&session->harness, session->path, bytes, length, &given,
		    &session->diags))
		return EXIT_NO;
	session->lookalikes = lt_lookalikes_create(&session->harness);
	return EXIT_YES;
}

static int read_description(struct lt_session *session)
{
	char *bytes;
	size_t length;
	if (!lt_file_read(&bytes, &length, session->path, LT_DESCRIPTION_MAX, &session->diags))
		return EXIT_INPUT;
	const int code = parse_description(session, bytes, length);
	free(bytes);
	return code;
}

int lt_session_read_description(struct lt_session *session, const struct options *options)
{
	int code = begin(session, options);
	return code == EXIT_YES ? read_description(session) : code;
}

int lt_session_read_register(struct lt_session *session)
{
	if (!lt_register_read_file(&session->reg, session->register_path, session->harness.harness,
		    &session->diags))
		return EXIT_INPUT;
	if (!lt_tags_assign(&session->tags, &session->harness, session->lookalikes, &session->reg,
		    &session->diags))
		return EXIT_INPUT;
	return EXIT_YES;
}

/* Beside a description that is not there, no lock may be left, and a folder that is not there is
 * told of by the description's name. */
static int lock_register(struct lt_session *session)
{
	enum { WAIT = 5000 }; /* milliseconds */
	if (access(session->path, F_OK) != 0) {
		lt_error(&session->diags, lt_place_file(session->path), "cannot be opened: %s",
			strerror(errno));
		lt_hint(&session->diags, "is the name right, and may it be read?");
		return EXIT_INPUT;
	}
	if (!lt_lock_take(&session->lock, session->register_path, WAIT, &session->diags))
		return EXIT_SYSTEM;
	return EXIT_YES;
}

int lt_session_open(struct lt_session *session, const struct options *options,
	enum session_mode mode)
{
	int code = begin(session, options);
	/* Who waits for the register may find the description changed, and numbered, by whoever had
	 * it: both are read under the lock. */
	if (code == EXIT_YES && mode == SESSION_WRITES)
		code = lock_register(session);
	if (code == EXIT_YES)
		code = read_description(session);
	if (code == EXIT_YES)
		code = lt_session_read_register(session);
	else if (code == EXIT_NO)
		code = EXIT_INPUT;
	lt_session_tell(session);
	return code;
}

void lt_session_note_new_register(struct lt_session *session)
{
	if (session->reg.harness != NULL)
		return;
	lt_note(&session->diags, lt_place_file(session->register_path),
		"is new: the numbers begin afresh");
	lt_hint(&session->diags, "stickers of an earlier register would not match; if there was "
				 "one, bring it back first");
	lt_session_tell(session);
}

void lt_session_warn_of_new_numbers(struct lt_session *session)
{
	if (!session->tags.changed)
		return;
	lt_warning(&session->diags, lt_place_file(session->register_path),
		"does not hold these numbers yet, and they may still change");
	lt_hint(&session->diags, "loomtag tags or loomtag stickers keeps them");
}

void lt_session_tell(struct lt_session *session)
{
	struct lt_diags *diags = &session->diags;
	size_t shown = 0;
	if (session->options->quiet) {
		/* Notes are dropped from what is still to be shown. */
		for (size_t i = session->told; i < diags->count; i++) {
			if (diags->items[i].severity != LT_NOTE)
				diags->items[session->told + shown++] = diags->items[i];
		}
		diags->count = session->told + shown;
	}
	lt_diags_print(diags, session->told, stderr, session->options->colour_err);
	session->told = diags->count;
}

int lt_session_fail(struct lt_session *session, int code)
{
	lt_session_tell(session);
	return code;
}

static bool write_register(struct lt_session *session)
{
	struct lt_text bytes = { 0 };
	lt_register_write(&bytes, &session->reg, session->harness.harness);
	const char *keep[] = { session->path, NULL };
	bool good = lt_file_write(session->register_path, lt_text_string(&bytes), bytes.length,
		keep, &session->diags);
	lt_text_finish(&bytes);
	return good;
}

int lt_session_save(struct lt_session *session)
{
	if (session->on_disk && !session->tags.changed)
		return EXIT_YES;
	/* A number may be on a sticker for years: its register has to outlast a power cut. One that
	 * an earlier run has written may still not be on disk. */
	if ((session->tags.changed && !write_register(session)) ||
		!lt_folder_sync(session->register_path, &session->diags))
		return lt_session_fail(session, EXIT_SYSTEM);
	session->tags.changed = false;
	session->on_disk = true;
	return EXIT_YES;
}

const char *const *lt_session_keep(struct lt_session *session)
{
	struct lt_arena *arena = &session->diags.arena;
	const struct lt_harness *harness = &session->harness;
	const char **keep = lt_arena_array(arena, harness->connector_count + 4, sizeof(*keep));
	size_t count = 0;
	keep[count++] = session->path;
	keep[count++] = session->register_path;
	keep[count++] = lt_job_database(session->options, session->path, arena);
	for (size_t i = 0; i < harness->connector_count; i++) {
		char *photo = lt_photo_path(harness, i);
		if (photo != NULL)
			keep[count++] = lt_arena_copy(arena, photo, strlen(photo));
		free(photo);
	}
	return keep;
}

/* What was read. */
static void forget(struct lt_session *session)
{
	lt_tags_finish(&session->tags);
	lt_register_finish(&session->reg);
	lt_lookalikes_destroy(session->lookalikes);
	lt_harness_finish(&session->harness);
	session->tags = (struct lt_tags){ 0 };
	session->harness = (struct lt_harness){ 0 };
	session->lookalikes = NULL;
	lt_register_init(&session->reg);
}

/* Description and register as they were read together. */
struct texts {
	char *description, *reg; /* reg: NULL where there is none */
	size_t description_length, reg_length;
};

static bool parse(struct lt_session *session, const struct texts *texts)
{
	return parse_description(session, texts->description, texts->description_length) ==
		       EXIT_YES &&
	       (texts->reg == NULL ||
		       lt_register_read(&session->reg, session->register_path, texts->reg,
			       texts->reg_length, session->harness.harness, &session->diags)) &&
	       lt_tags_assign(&session->tags, &session->harness, session->lookalikes, &session->reg,
		       &session->diags);
}

bool lt_session_read_again(struct lt_session *session)
{
	struct lt_session trial;
	struct texts texts = { 0 };
	begin(&trial, session->options);
	bool good = lt_file_read(&texts.description, &texts.description_length, trial.path,
		LT_DESCRIPTION_MAX, &trial.diags);
	good = good && lt_file_read_if_there(&texts.reg, &texts.reg_length, trial.register_path,
			       LT_REGISTER_MAX, &trial.diags);
	good = good && parse(&trial, &texts);
	if (good && strcmp(trial.harness.code, session->harness.code) != 0) {
		lt_error(&trial.diags, lt_place_file(trial.path), "is of %s now: this job is of %s",
			trial.harness.code, session->harness.code);
		lt_hint(&trial.diags, "another harness or unit is another job");
		good = false;
	}
	lt_session_tell(&trial);
	lt_session_finish(&trial);
	if (good) {
		forget(session);
		/* What could be read once can be read again from the same bytes. */
		parse(session, &texts);
		session->told = session->diags.count;
	}
	free(texts.description);
	free(texts.reg);
	return good;
}

void lt_session_finish(struct lt_session *session)
{
	lt_lock_drop(&session->lock);
	forget(session);
	lt_diags_finish(&session->diags);
	free(session->register_path);
}

int lt_print_json(json_t *document)
{
	bool good = lt_print_json_value(document, JSON_INDENT(2) | JSON_REAL_PRECISION(9));
	putchar('\n');
	json_decref(document);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

bool lt_document_time(long long *seconds)
{
	const char *epoch = getenv("SOURCE_DATE_EPOCH");
	if (epoch == NULL || epoch[0] == '\0') {
		*seconds = (long long)time(NULL);
		return true;
	}
	char *end;
	*seconds = strtoll(epoch, &end, 10);
	/* Up to the year 9999, which is as far as a date of four digits goes. */
	if (*end != '\0' || *seconds < 0 || *seconds > 253402300799LL) {
		lt_usage_error(NULL,
			"SOURCE_DATE_EPOCH is not a number of seconds since 1970: \"%s\"", epoch);
		return false;
	}
	return true;
}
