/* What SQLite reports, in words that say what to do. */
#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "job/store.h"
#include "loomtag/base.h"

bool lt_job_db_damaged(const char *path, struct lt_diags *diags, const char *what)
{
	lt_error(diags, lt_place_file(path), "is damaged, and is left as it is: %s", what);
	lt_hint(diags, "move it away and bring back a copy from before; keep the damaged one, most "
		       "of it may still be read");
	return false;
}

static void say_no_writing(const char *path, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(path),
		"may only be read: the file or its folder cannot be "
		"written");
	lt_hint(diags, "allow writing to both, since a second file stands beside it while it is "
		       "written; or name another with --db");
}

static void say_moved(const char *path, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(path), "was moved or removed while it was in use");
	lt_hint(diags,
		"the last step was not recorded. Put the file back under this name, then start again");
}

/* The operating system's own words for the last failure, where there are any. */
static const char *reason_of(sqlite3 *db)
{
	int number = sqlite3_system_errno(db);
	return number != 0 ? strerror(number) : sqlite3_errmsg(db);
}

/* Where the file cannot be made it is the folder that tells why: SQLite, having failed, tries to
 * read the file, and only says that it is not there. */
static const char *reason_not_open(struct lt_job_db *db)
{
	struct lt_text folder = { 0 };
	const size_t length = (size_t)(lt_path_base(db->path) - db->path);
	lt_text_add_bytes(&folder, db->path, length);
	lt_text_add_char(&folder, '.');
	errno = 0;
	const bool open =
		access(db->path, F_OK) == 0 || access(lt_text_string(&folder), W_OK | X_OK) == 0;
	const int number = errno;
	lt_text_finish(&folder);
	return open || number == 0 ? reason_of(db->db) : strerror(number);
}

bool lt_job_db_fail(struct lt_job_db *db, int result, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(db->path);
	switch (result & 0xff) {
	case SQLITE_BUSY:
	case SQLITE_LOCKED:
		lt_error(diags, place,
			"is in use: another program kept it locked for five seconds");
		lt_hint(diags, "let the other loomtag, or what copies the file, finish; then try "
			       "again");
		break;
	case SQLITE_FULL:
		lt_error(diags, place, "could not be written: the disk is full");
		lt_hint(diags, "make room, then do the last step again: it was not kept");
		break;
	case SQLITE_READONLY:
		if (result == SQLITE_READONLY_DBMOVED)
			say_moved(db->path, diags);
		else
			say_no_writing(db->path, diags);
		break;
	case SQLITE_CANTOPEN:
		lt_error(diags, place, "cannot be opened: %s", reason_not_open(db));
		lt_hint(diags, "are the folder and the file there, and may both be written?");
		break;
	case SQLITE_IOERR:
		lt_error(diags, place, "could not be read or written: %s", reason_of(db->db));
		lt_hint(diags, "look after the disk, then do the last step again: it was not "
			       "kept");
		break;
	case SQLITE_NOTADB:
	case SQLITE_CORRUPT:
		return lt_job_db_damaged(db->path, diags, sqlite3_errmsg(db->db));
	default:
		lt_error(diags, place, "does not take this: %s", sqlite3_errmsg(db->db));
		lt_hint(diags, "nothing of the last step was kept");
		break;
	}
	return false;
}
