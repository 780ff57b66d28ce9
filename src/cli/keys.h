/* Lines from the keyboard and from scanners, as they come: for the live screen. */
#ifndef LOOMTAG_CLI_KEYS_H
#define LOOMTAG_CLI_KEYS_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/base.h"

/* A scanner types each character within KEYS_FAST ms of the one before, and at least KEYS_FEWEST of
 * them; a scan with nothing behind it has ended when KEYS_PAUSE ms went by. */
enum { KEYS_FAST = 40, KEYS_FEWEST = 5, KEYS_PAUSE = 120 };

/* One byte more than a scan may have (LT_SCAN_MAX): a line that is cut is none. */
enum { KEYS_LINE_MAX = 4097 };

enum keys_source {
	KEYS_KEYBOARD, /* a terminal: a person, or a scanner that types */
	KEYS_DEVICE,   /* the serial scanner */
	KEYS_PIPE      /* standard input that is no terminal */
};

struct keys_line {
	char bytes[KEYS_LINE_MAX + 1]; /* without its end; NUL-terminated */
	size_t length;
	bool cut; /* there was more, which was dropped */
	enum keys_source source;
	bool fast;    /* at scanner speed, its end too; on a pipe it means nothing */
	long long at; /* of its last character: milliseconds of a clock that does not jump */
};

struct keys_options {
	int in;             /* descriptor of the keyboard or pipe; stays the caller's */
	int echo;           /* descriptor to show on what is typed; -1: none, then a terminal
			     * edits its lines itself */
	const char *device; /* path of a serial scanner, or NULL */
	/* True for what reads as a scan code, when no line end comes; NULL: none is. */
	bool (*is_scan)(void *data, const char *bytes, size_t length);
	void *data;
};

enum keys_result {
	KEYS_LINE,
	KEYS_TIMEOUT, /* nothing so far; what was typed is kept */
	KEYS_LOST,    /* the device is disconnected, reported once; the keyboard still works */
	KEYS_END      /* no line will come any more */
};

struct keys;

/* Opens the device, and has a terminal deliver each key at once until lt_keys_close, exit or a
 * signal. NULL after an error in `diags`: the device cannot be opened, or is none. */
struct keys *lt_keys_open(const struct keys_options *options, struct lt_diags *diags);

/* Puts terminal and device back as they were. Takes NULL. */
void lt_keys_close(struct keys *keys);

/* Waits at most `timeout` ms (-1: for ever) for a line. A line ends with CR, LF, or both (the LF is
 * dropped when it comes, for waiting for it could take for ever). On a terminal and on the device,
 * for characters at scanner speed that are a scan, also with Tab, or with nothing and a pause. On a
 * terminal Backspace takes back a character, Ctrl-U all, Ctrl-D in an empty line is the end. A last
 * line of a pipe needs no end. */
enum keys_result lt_keys_read(struct keys *keys, struct keys_line *line, int timeout);

/* Milliseconds of the clock that `at` is of. */
long long lt_keys_now(void);

#endif
