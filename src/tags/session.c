/* A description, its register and its tags: read together, read again, and saved. */
#include <stdlib.h>
#include <string.h>

#include "tags/numbering.h"

#define LOCK_WAIT 5000 /* milliseconds */

void lt_session_init(struct lt_session *session, const char *path,
	const struct lt_harness_options *given)
{
	*session = (struct lt_session){
		.path = path,
		.register_path = lt_path_with_extension(path, "tags"),
		.given = *given,
	};
}

/* What was read. */
static void forget(struct lt_session *session)
{
	lt_tags_finish(&session->tags);
	lt_register_finish(&session->reg);
	lt_lookalikes_destroy(session->lookalikes);
	session->lookalikes = NULL;
	lt_harness_finish(&session->harness);
}

void lt_session_finish(struct lt_session *session)
{
	if (session == NULL)
		return;
	lt_lock_drop(&session->lock);
	forget(session);
	lt_diags_finish(&session->diags);
	free(session->register_path);
}

/* A file as it was read. */
struct file {
	char *bytes; /* NULL where there is none */
	size_t length;
};

static bool parse_description(struct lt_session *session, const struct file *file)
{
	if (!lt_harness_read(&session->harness, session->path, file->bytes, file->length,
		    &session->given, &session->diags))
		return false;
	session->lookalikes = lt_lookalikes_create(&session->harness);
	return true;
}

static bool parse_register(struct lt_session *session, const struct file *file)
{
	return lt_register_read(&session->reg, session->register_path, file->bytes, file->length,
		       session->harness.harness, &session->diags) &&
	       lt_register_settle_unit(&session->unit_changed, &session->reg, &session->harness,
		       session->given.unit, session->new_stickers, &session->diags) &&
	       lt_tags_assign(&session->tags, &session->harness, session->lookalikes, &session->reg,
		       &session->diags);
}

static bool read_description(struct file *out, struct lt_session *session)
{
	return lt_file_read(&out->bytes, &out->length, session->path, LT_DESCRIPTION_MAX,
		&session->diags);
}

/* A link to what is away must not pass for no register: the numbers would begin afresh. */
static bool read_register(struct file *out, struct lt_session *session)
{
	return lt_file_read_if_there(&out->bytes, &out->length, session->register_path,
		LT_REGISTER_MAX, &session->diags);
}

enum lt_session_fault lt_session_load_description(struct lt_session *session)
{
	struct file file = { 0 };
	if (!read_description(&file, session))
		return LT_SESSION_UNREADABLE;
	bool good = parse_description(session, &file);
	free(file.bytes);
	return good ? LT_SESSION_GOOD : LT_SESSION_WRONG;
}

enum lt_session_fault lt_session_load_text(struct lt_session *session, const char *bytes,
	size_t length)
{
	const struct file none = { 0 };
	const struct file file = { (char *)bytes, length };
	if (!parse_description(session, &file))
		return LT_SESSION_WRONG;
	return parse_register(session, &none) ? LT_SESSION_GOOD : LT_SESSION_UNREADABLE;
}

bool lt_session_load_register(struct lt_session *session)
{
	struct file file = { 0 };
	bool good = read_register(&file, session) && parse_register(session, &file);
	free(file.bytes);
	return good;
}

/* Beside a description that is not there, no lock may be left, and a folder that is not there is
 * reported by the name of the description. */
static enum lt_session_fault lock_register(struct lt_session *session)
{
	FILE *there = lt_file_open(session->path, &session->diags);
	if (there == NULL)
		return LT_SESSION_UNREADABLE;
	fclose(there);
	return lt_lock_take(&session->lock, session->register_path, LOCK_WAIT, &session->diags)
		       ? LT_SESSION_GOOD
		       : LT_SESSION_LOCKED;
}

enum lt_session_fault lt_session_load(struct lt_session *session, bool to_write)
{
	/* Who waits for the register may find the description changed, and numbered, by whoever had
	 * it: both are read under the lock. */
	enum lt_session_fault fault = to_write ? lock_register(session) : LT_SESSION_GOOD;
	if (fault == LT_SESSION_GOOD)
		fault = lt_session_load_description(session);
	if (fault == LT_SESSION_GOOD && !lt_session_load_register(session))
		fault = LT_SESSION_UNREADABLE;
	return fault;
}

bool lt_session_reload(struct lt_session *session, struct lt_diags *found)
{
	struct lt_session trial;
	struct file description = { 0 };
	struct file reg = { 0 };
	lt_session_init(&trial, session->path, &session->given);
	trial.new_stickers = session->new_stickers;
	bool good = read_description(&description, &trial) && read_register(&reg, &trial) &&
		    parse_description(&trial, &description) && parse_register(&trial, &reg);
	if (good && strcmp(trial.harness.code, session->harness.code) != 0) {
		lt_error(&trial.diags, lt_place_file(trial.path),
			"is now the description of %s, but this job is for %s", trial.harness.code,
			session->harness.code);
		lt_hint(&trial.diags, "start a new job for another harness or unit");
		good = false;
	}
	*found = trial.diags;
	trial.diags = (struct lt_diags){ 0 };
	lt_session_finish(&trial);
	if (good) {
		forget(session);
		/* What could be read once can be read again from the same bytes. */
		(void)(parse_description(session, &description) && parse_register(session, &reg));
	}
	free(description.bytes);
	free(reg.bytes);
	return good;
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

bool lt_session_store(struct lt_session *session)
{
	const bool changed = session->tags.changed || session->unit_changed;
	if (session->on_disk && !changed)
		return true;
	/* A number may be on a sticker for years: its register has to outlast a power cut. One that
	 * an earlier run has written may still not be on disk. */
	if ((changed && !write_register(session)) ||
		!lt_folder_sync(session->register_path, &session->diags))
		return false;
	session->tags.changed = false;
	session->unit_changed = false;
	session->on_disk = true;
	return true;
}

void lt_session_note_new(struct lt_session *session)
{
	if (session->reg.harness != NULL)
		return;
	lt_note(&session->diags, lt_place_file(session->register_path),
		"is a new register, so numbering starts from the beginning");
	lt_hint(&session->diags,
		"if there was a register before, restore it first. Stickers printed "
		"from it do not match these numbers");
}
