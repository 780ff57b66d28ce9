/* Opening a database of jobs: what the file is gets checked before anything is written. */
#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "job/db_sqlite.h"
#include "loomtag/base.h"

/* The header of a database file, as SQLite's own description of its format has it. */
enum { HEADER = 100, VERSION_AT = 60, APPLICATION_AT = 68, WAIT_MS = 5000 };
static const char magic[16] = "SQLite format 3";

static int open_database(sqlite3 **db, const char *path, int flags)
{
	/* With a folder before it no name means anything to SQLite (":memory:", "file:"). */
	struct lt_text name = { 0 };
	lt_text_printf(&name, "%s%s", path[0] == '/' ? "" : "./", path);
	const int result = sqlite3_open_v2(name.bytes, db, flags, NULL);
	lt_text_finish(&name);
	if (*db == NULL)
		lt_alloc(SIZE_MAX); /* out of memory, which ends the program */
	return result;
}

static bool exists(const char *path)
{
	struct stat status;
	return lstat(path, &status) == 0 || errno != ENOENT;
}

/* A plain file, or one that is yet to be made. */
static bool check_path(const char *path, bool make, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(path);
	const bool there = exists(path);
	struct stat status = { 0 };
	if (there && stat(path, &status) != 0) {
		lt_error(diags, place, "cannot be opened: %s", strerror(errno));
		lt_hint(diags, "if it is a link, check that its target exists");
		return false;
	}
	if (there && !S_ISREG(status.st_mode)) {
		lt_error(diags, place, "is not a plain file");
		lt_hint(diags, "name a database of jobs with --db");
		return false;
	}
	if (make || status.st_size > 0)
		return true;
	if (there)
		lt_error(diags, place, "is empty: no job was started yet");
	else
		lt_error(diags, place, "does not exist: no job was started yet");
	lt_hint(diags, "start a job with loomtag verify FILE, or name another database with --db");
	return false;
}

static uint32_t big_endian(const unsigned char *at)
{
	return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

/* What a journal says of the database beside it. */
enum { HEAD = 28, PAGES_AT = 8, BEFORE_AT = 16, SECTOR_AT = 20, PAGE_AT = 24 };
static const unsigned char journal_magic[8] = { 0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7 };

/* Finds the first page among those that were put into the journal. */
static bool find_first_page(unsigned char *out, size_t size, FILE *stream,
	const unsigned char head[HEAD])
{
	const uint32_t pages = big_endian(head + PAGES_AT), page = big_endian(head + PAGE_AT);
	const uint32_t sector = big_endian(head + SECTOR_AT);
	unsigned char number[4];
	/* The largest that SQLite has; what is larger is rubbish. */
	if (page > 65536 || page < size || sector > 65536)
		return false;
	for (uint32_t i = 0; i < pages; i++) {
		/* Each has its number before it, and a checksum behind it. */
		const long at = (long)sector + (long)i * ((long)page + 8);
		if (fseek(stream, at, SEEK_SET) != 0 ||
			fread(number, 1, sizeof(number), stream) != sizeof(number))
			return false;
		if (big_endian(number) == 1)
			return fread(out, 1, size, stream) == size;
	}
	return false;
}

/* The first `size` bytes that the database will have when SQLite has played back the journal at
 * `path`: zeros where it was empty. False where that is no journal, or the first page is not in it;
 * *out may be changed then. */
static bool journal_begins(unsigned char *out, size_t size, const char *path)
{
	unsigned char head[HEAD];
	FILE *stream = fopen(path, "rb");
	if (stream == NULL)
		return false;
	bool good = fread(head, 1, HEAD, stream) == HEAD &&
		    memcmp(head, journal_magic, sizeof(journal_magic)) == 0;
	if (good && big_endian(head + BEFORE_AT) == 0)
		memset(out, 0, size);
	else
		good = good && find_first_page(out, size, stream, head);
	fclose(stream);
	return good;
}

/* The file's first bytes, 0 where there are none, read through SQLite: a descriptor of our own
 * would take away, when closed, the locks that another connection of this process has on the file
 * (POSIX). What is read past SQLite's pages takes no lock, and leaves a journal beside the file
 * alone. */
static bool read_header(unsigned char header[HEADER], bool *empty, const char *path,
	struct lt_diags *diags)
{
	static const unsigned char nothing[HEADER];
	struct lt_sqlite look = { .path = (char *)path };
	struct stat status;
	memset(header, 0, HEADER);
	int result = open_database(&look.db, path, SQLITE_OPEN_READONLY);
	if (result == SQLITE_OK) {
		sqlite3_file *file = NULL;
		sqlite3_file_control(look.db, "main", SQLITE_FCNTL_FILE_POINTER, &file);
		/* A file that is shorter is filled up with zeros. */
		result = file->pMethods->xRead(file, header, HEADER, 0);
	}
	*empty = stat(path, &status) == 0 && status.st_size == 0;
	/* A power cut may have spoilt the first bytes as they were written: what they were before
	 * is in the journal then, which SQLite will play back. */
	unsigned char before[HEADER];
	if (result == SQLITE_OK && memcmp(header, magic, sizeof(magic)) != 0 &&
		journal_begins(before, HEADER,
			sqlite3_filename_journal(sqlite3_db_filename(look.db, "main")))) {
		memcpy(header, before, HEADER);
		*empty = memcmp(header, nothing, HEADER) == 0;
	}
	bool good = result == SQLITE_OK || result == SQLITE_IOERR_SHORT_READ ||
		    lt_sqlite_fail(&look, result, diags);
	sqlite3_close(look.db);
	return good;
}

static bool refuse_foreign(const char *path, struct lt_diags *diags, const char *what)
{
	lt_error(diags, lt_place_file(path), "%s", what);
	lt_hint(diags, "name a database of jobs with --db");
	return false;
}

/* Whether the file is one that this version may open; nothing is written. */
static bool check_header(const char *path, struct lt_diags *diags)
{
	unsigned char header[HEADER];
	bool empty;
	if (!read_header(header, &empty, path, diags))
		return false;
	if (empty)
		return true;
	if (memcmp(header, magic, sizeof(magic)) != 0)
		return refuse_foreign(path, diags, "is not a database");
	if (big_endian(header + APPLICATION_AT) != LT_SQLITE_APPLICATION)
		return refuse_foreign(path, diags, "is a database of another program");
	const uint32_t version = big_endian(header + VERSION_AT);
	if (version >= 1 && version <= LT_SQLITE_VERSION)
		return true;
	if (version == 0 || version > INT32_MAX)
		return lt_sqlite_damaged(path, diags, "it has no version");
	lt_error(diags, lt_place_file(path),
		"was written by a newer loomtag: its tables have version %u, and this loomtag can "
		"use versions up to %d",
		(unsigned)version, LT_SQLITE_VERSION);
	lt_hint(diags, "use the newer loomtag, or name another database with --db");
	return false;
}

/* What holds for a connection, not for the file.
 *
 * Synchronous: with a rollback journal, FULL puts the journal on disk before the database is
 * written, and the database before the journal is removed, so that a power cut leaves the state
 * before or after a commit. EXTRA also puts the removal on disk before the commit returns; without
 * that, a journal that comes back after the power cut would take back what was answered.
 *
 * Journal mode DELETE: between transactions there is one file, which can be copied. */
static const char settings[] = "PRAGMA trusted_schema = OFF;"
			       "PRAGMA cell_size_check = ON;"
			       "PRAGMA foreign_keys = ON;"
			       "PRAGMA synchronous = EXTRA;";
static const char journal[] = "PRAGMA journal_mode = DELETE;";

static bool quick_check(const struct lt_sqlite *sqlite, struct lt_diags *diags)
{
	sqlite3_stmt *row = NULL;
	bool good = lt_sqlite_ask(&row, sqlite, "PRAGMA quick_check(1)", diags);
	if (good) {
		const char *found = (const char *)sqlite3_column_text(row, 0);
		good = found != NULL && strcmp(found, "ok") == 0;
		if (!good)
			lt_sqlite_damaged(sqlite->path, diags,
				found != NULL ? found : "unreadable");
	}
	sqlite3_finalize(row);
	return good;
}

/* Opened, and looked through before anything is written. A journal that a killed program left is
 * played back by SQLite here: that brings back what was committed. */
static bool set_up(struct lt_sqlite *sqlite, bool make, struct lt_diags *diags)
{
	int flags = SQLITE_OPEN_READWRITE | (make ? SQLITE_OPEN_CREATE : 0);
	int result = open_database(&sqlite->db, sqlite->path, flags);
	if (result != SQLITE_OK)
		return lt_sqlite_fail(sqlite, result, diags);
	sqlite3_extended_result_codes(sqlite->db, 1);
	sqlite3_busy_timeout(sqlite->db, WAIT_MS);
	if (!lt_sqlite_execute(sqlite, settings, diags) || !quick_check(sqlite, diags))
		return false;
	const bool read_only = sqlite3_db_readonly(sqlite->db, "main") == 1;
	if (read_only && make)
		return lt_sqlite_fail(sqlite, SQLITE_READONLY, diags);
	return lt_sqlite_migrate(sqlite, lt_sqlite_steps, LT_SQLITE_VERSION, diags) &&
	       (read_only || lt_sqlite_execute(sqlite, journal, diags));
}

bool lt_sqlite_open(struct lt_job_db *out, const char *path, bool make, struct lt_diags *diags)
{
	if (!check_path(path, make, diags) || (exists(path) && !check_header(path, diags)))
		return false;
	struct lt_sqlite *sqlite = lt_alloc_array(1, sizeof(*sqlite));
	struct lt_text copy = { 0 };
	lt_text_add(&copy, path);
	*sqlite = (struct lt_sqlite){ .path = copy.bytes };
	if (set_up(sqlite, make, diags) && lt_sqlite_prepare(out, sqlite, diags))
		return true;
	lt_sqlite_close(sqlite);
	return false;
}
