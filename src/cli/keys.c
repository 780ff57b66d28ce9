/* What is typed or scanned: lines, and how fast they came. */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include "cli/keys.h"
#include "cli/raw_terminal.h"
#include "loomtag/base.h"

enum { BACKSPACE = 0x08, DELETE = 0x7F, CONTROL_D = 0x04, CONTROL_U = 0x15 };

/* What came from one descriptor and is not handed on yet. */
struct source {
	int fd;
	bool open;
	bool edited; /* a terminal read key by key */
	char came[512];
	size_t taken, count; /* of `came` */
	bool after_cr;
	bool slow; /* a character of the line came later than a scanner's would */
	struct keys_line line;
	size_t echoed; /* bytes of the line that were shown */
};

enum { MAIN, DEVICE, SOURCES };
struct keys {
	struct keys_options options;
	struct source sources[SOURCES];
	bool raw, lost, restore_device;
	long long idle; /* when nothing was there to be read, last */
	/* When what was read last came: at the earliest, and at the latest. */
	long long arrived, seen;
	struct termios device_before;
};

long long lt_keys_now(void)
{
	struct timespec now;
	clock_gettime(CLOCK_MONOTONIC, &now);
	return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* Opening. */

/* 9600 baud, 8 data bits, no parity, 1 stop bit, and every byte as it comes. */
static void set_serial(struct keys *keys, int fd)
{
	struct termios serial;
	if (tcgetattr(fd, &serial) != 0)
		return;
	keys->device_before = serial;
	keys->restore_device = true;
	serial.c_iflag &= ~(tcflag_t)(BRKINT | ICRNL | IGNCR | INLCR | INPCK | ISTRIP | IXON |
				      IXOFF | PARMRK);
	serial.c_oflag &= ~(tcflag_t)OPOST;
	serial.c_lflag &= ~(tcflag_t)(ECHO | ECHONL | ICANON | IEXTEN | ISIG);
	serial.c_cflag &= ~(tcflag_t)(CSIZE | CSTOPB | PARENB);
	serial.c_cflag |= CS8 | CREAD | CLOCAL;
	serial.c_cc[VMIN] = 1;
	serial.c_cc[VTIME] = 0;
	cfsetispeed(&serial, B9600);
	cfsetospeed(&serial, B9600);
	tcsetattr(fd, TCSANOW, &serial);
}

static bool is_same_device(int a, int b)
{
	struct stat of_a;
	struct stat of_b;
	return fstat(a, &of_a) == 0 && fstat(b, &of_b) == 0 && S_ISCHR(of_a.st_mode) &&
	       S_ISCHR(of_b.st_mode) && of_a.st_rdev == of_b.st_rdev;
}

static bool open_device(struct keys *keys, struct lt_diags *diags)
{
	const char *path = keys->options.device;
	const struct lt_place place = lt_place_file(path);
	const int fd = open(path, O_RDONLY | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
	struct stat about;
	if (fd < 0) {
		const int reason = errno;
		lt_error(diags, place, "cannot be opened: %s", strerror(reason));
		lt_hint(diags,
			reason == EACCES
				? "add your account to the group of this device (ls -l shows it)"
				: "plug the scanner in, then find its name in /dev");
		return false;
	}
	keys->sources[DEVICE].fd = fd;
	keys->sources[DEVICE].open = true;
	if (fstat(fd, &about) != 0 || (!S_ISCHR(about.st_mode) && !S_ISFIFO(about.st_mode))) {
		lt_error(diags, place, "is not a device of a scanner");
		lt_hint(diags, "give a file of scans as the second argument of verify");
		return false;
	}
	if (is_same_device(fd, keys->options.in)) {
		lt_error(diags, place, "is this terminal, which is read already");
		lt_hint(diags, "leave out --device if the scanner types like a keyboard");
		return false;
	}
	if (isatty(fd) == 1)
		set_serial(keys, fd);
	return true;
}

struct keys *lt_keys_open(const struct keys_options *options, struct lt_diags *diags)
{
	struct keys *keys = lt_alloc_array(1, sizeof(*keys));
	struct source *in = &keys->sources[MAIN];
	keys->options = *options;
	keys->idle = lt_keys_now();
	if (options->device != NULL && !open_device(keys, diags)) {
		lt_keys_close(keys);
		return NULL;
	}
	in->fd = options->in;
	in->open = true;
	in->line.source = isatty(in->fd) == 1 ? KEYS_KEYBOARD : KEYS_PIPE;
	keys->sources[DEVICE].line.source = KEYS_DEVICE;
	keys->raw = in->line.source == KEYS_KEYBOARD && options->echo >= 0 &&
		    lt_raw_terminal_enter(in->fd);
	in->edited = keys->raw;
	return keys;
}

static void close_device(struct keys *keys)
{
	struct source *device = &keys->sources[DEVICE];
	if (!device->open)
		return;
	if (keys->restore_device)
		tcsetattr(device->fd, TCSANOW, &keys->device_before);
	close(device->fd);
	device->open = false;
}

void lt_keys_close(struct keys *keys)
{
	if (keys == NULL)
		return;
	if (keys->raw)
		lt_raw_terminal_leave();
	close_device(keys);
	free(keys);
}

/* Showing what is typed. */

static void echo(const struct keys *keys, const struct source *source, const char *bytes,
	size_t length)
{
	while (source->edited && length > 0) {
		const ssize_t written = write(keys->options.echo, bytes, length);
		if (written < 0 && errno == EINTR)
			continue;
		if (written <= 0)
			return; /* nobody sees it; the line is no worse for that */
		bytes += written;
		length -= (size_t)written;
	}
}

static bool is_control(char c)
{
	return (unsigned char)c < ' ' || c == DELETE;
}

/* Whether the bytes may be the beginning of a longer sequence of UTF-8 (RFC 3629, 4). */
static bool may_be_incomplete(const char *bytes, size_t length)
{
	const unsigned char first = (unsigned char)bytes[0];
	const size_t whole = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
	if (first < 0xC2 || first > 0xF4 || length >= whole)
		return false;
	for (size_t i = 1; i < length; i++)
		if (((unsigned char)bytes[i] & 0xC0) != 0x80)
			return false;
	return true;
}

/* The next character of the line as it is echoed; returns how many bytes of the line it takes. */
static size_t next_echo(struct lt_text *out, const char *bytes, size_t length)
{
	uint32_t code;
	const size_t taken = lt_utf8_take(&code, bytes, length);
	lt_text_clear(out);
	if (taken == 1 && is_control(bytes[0]))
		lt_text_add_char(out, '^');
	else
		lt_text_add_visible(out, bytes, taken);
	return taken;
}

/* Echoes what of the line was not: whole characters, since half of one would not be shown, and two
 * bytes may well be a control. */
static void echo_line(const struct keys *keys, struct source *source)
{
	const struct keys_line *line = &source->line;
	struct lt_text shown = { 0 };
	while (source->echoed < line->length) {
		const char *at = line->bytes + source->echoed;
		const size_t left = line->length - source->echoed;
		if (may_be_incomplete(at, left))
			break;
		source->echoed += next_echo(&shown, at, left);
		echo(keys, source, lt_text_string(&shown), shown.length);
	}
	lt_text_finish(&shown);
}

/* Columns that the echo of the line takes from `start` on. */
static size_t columns_echoed(const struct source *source, size_t start)
{
	struct lt_text shown = { 0 };
	size_t columns = 0;
	for (size_t at = start; at < source->echoed;) {
		at += next_echo(&shown, source->line.bytes + at, source->echoed - at);
		columns += lt_utf8_columns(lt_text_string(&shown));
	}
	lt_text_finish(&shown);
	return columns;
}

/* Takes the last character of the line back, from the screen too. */
static void take_back(const struct keys *keys, struct source *source)
{
	struct keys_line *line = &source->line;
	size_t start = line->length;
	if (start == 0)
		return;
	do
		start--;
	while (start > 0 && line->length - start < 4 &&
		((unsigned char)line->bytes[start] & 0xC0) == 0x80);
	for (size_t columns = columns_echoed(source, start); columns > 0; columns--)
		echo(keys, source, "\b \b", 3);
	line->length = start;
	source->echoed = source->echoed < start ? source->echoed : start;
	line->cut = false;
}

/* Lines. */

static bool is_fast(const struct source *source)
{
	return !source->slow && source->line.length >= KEYS_FEWEST;
}

/* Whether a scan is complete though no line end came. */
static bool is_scan(const struct keys *keys, const struct source *source)
{
	const struct keys_line *line = &source->line;
	return line->source != KEYS_PIPE && (source->edited || line->source == KEYS_DEVICE) &&
	       is_fast(source) && !line->cut && keys->options.is_scan != NULL &&
	       keys->options.is_scan(keys->options.data, line->bytes, line->length);
}

/* Hands the line on and begins a new one. */
static void end_line(const struct keys *keys, struct source *source, struct keys_line *out)
{
	struct keys_line *line = &source->line;
	echo(keys, source, "\n", 1);
	*out = *line;
	out->bytes[line->length] = '\0';
	out->fast = is_fast(source);
	line->length = 0;
	line->cut = false;
	source->slow = false;
	source->echoed = 0;
}

static void add(const struct keys *keys, struct source *source, char c)
{
	struct keys_line *line = &source->line;
	if (line->length == KEYS_LINE_MAX) {
		line->cut = true;
		return;
	}
	line->bytes[line->length++] = c;
	echo_line(keys, source);
}

/* Does what a key asks where a person types; false when it is a character like any other. */
static bool edit(struct keys *keys, struct source *source, char c)
{
	struct keys_line *line = &source->line;
	switch (c) {
	case BACKSPACE:
	case DELETE:
		take_back(keys, source);
		return true;
	case CONTROL_U:
		while (line->length > 0)
			take_back(keys, source);
		line->cut = false;
		return true;
	case CONTROL_D:
		if (line->length > 0)
			return true;
		source->open = false;
		close_device(keys);
		return true;
	default:
		return false;
	}
}

/* Takes one character; true when it ended a line, which is then in `out`. */
static bool take(struct keys *keys, struct source *source, char c, struct keys_line *out)
{
	struct keys_line *line = &source->line;
	const bool behind_cr = source->after_cr && c == '\n';
	source->after_cr = c == '\r';
	if (behind_cr)
		return false;
	if (line->length > 0 && keys->arrived - line->at > KEYS_FAST)
		source->slow = true;
	line->at = keys->seen;
	if (c == '\n' || c == '\r' || (c == '\t' && is_scan(keys, source))) {
		end_line(keys, source, out);
		return true;
	}
	if (!source->edited || !edit(keys, source, c))
		add(keys, source, c == '\t' && source->edited ? ' ' : c);
	if (line->length == 0)
		source->slow = false;
	return false;
}

static bool take_all(struct keys *keys, struct source *source, struct keys_line *out)
{
	while (source->taken < source->count)
		if (take(keys, source, source->came[source->taken++], out))
			return true;
	return false;
}

/* Reads what is there; notes when nothing will come any more. */
static void fill(struct keys *keys, struct source *source)
{
	const ssize_t count = read(source->fd, source->came, sizeof(source->came));
	source->taken = 0;
	source->count = count > 0 ? (size_t)count : 0;
	if (count > 0 || (count < 0 && (errno == EINTR || errno == EAGAIN)))
		return;
	if (source->line.source == KEYS_DEVICE) {
		close_device(keys);
		source->line.length = 0; /* half a scan is none */
		source->echoed = 0;
		source->line.cut = false;
		keys->lost = true;
	} else {
		source->open = false;
	}
}

/* Milliseconds until a scan without an end has ended; -1 where none is under way. */
static int until_pause(const struct keys *keys, const struct source *source, long long now)
{
	if (!source->open || !is_scan(keys, source))
		return -1;
	const long long left = source->line.at + KEYS_PAUSE - now;
	return left > 0 ? (int)left : 0;
}

static int sooner(int a, int b)
{
	if (a < 0 || b < 0)
		return a < 0 ? b : a;
	return a < b ? a : b;
}

/* Waits for any source to have something, or until `timeout` has passed. What is there at once came
 * while the caller was busy, at a time that is not known: its characters get the benefit. */
static void wait_for_any(struct keys *keys, int timeout)
{
	struct pollfd polls[SOURCES];
	for (size_t i = 0; i < SOURCES; i++)
		polls[i] = (struct pollfd){ .fd = keys->sources[i].open ? keys->sources[i].fd : -1,
			.events = POLLIN };
	keys->arrived = keys->idle;
	int ready = poll(polls, SOURCES, 0);
	if (ready == 0) {
		keys->idle = lt_keys_now();
		ready = poll(polls, SOURCES, timeout);
		keys->arrived = lt_keys_now();
		if (ready == 0)
			keys->idle = keys->arrived;
	}
	keys->seen = lt_keys_now();
	for (size_t i = 0; ready > 0 && i < SOURCES; i++)
		if (polls[i].revents != 0)
			fill(keys, &keys->sources[i]);
}

static bool take_any(struct keys *keys, struct keys_line *line)
{
	for (size_t i = 0; i < SOURCES; i++)
		if (take_all(keys, &keys->sources[i], line))
			return true;
	return false;
}

static struct source *paused(struct keys *keys)
{
	for (size_t i = 0; i < SOURCES; i++)
		if (until_pause(keys, &keys->sources[i], lt_keys_now()) == 0)
			return &keys->sources[i];
	return NULL;
}

/* What is ready without waiting: true with *result set. */
static bool is_ready(struct keys *keys, struct keys_line *line, enum keys_result *result)
{
	*result = KEYS_LINE;
	if (take_any(keys, line))
		return true;
	if (paused(keys) != NULL) {
		/* Unless more came while the caller was busy. */
		wait_for_any(keys, 0);
		if (take_any(keys, line))
			return true;
	}
	if (paused(keys) != NULL) {
		end_line(keys, paused(keys), line);
		return true;
	}
	struct source *in = &keys->sources[MAIN];
	if (!in->open && (in->line.length > 0 || in->line.cut)) {
		end_line(keys, in, line);
		return true;
	}
	*result = keys->lost ? KEYS_LOST : KEYS_END;
	if (keys->lost) {
		keys->lost = false;
		return true;
	}
	return !in->open && !keys->sources[DEVICE].open;
}

enum keys_result lt_keys_read(struct keys *keys, struct keys_line *line, int timeout)
{
	const long long start = lt_keys_now();
	enum keys_result result;
	while (!is_ready(keys, line, &result)) {
		const long long now = lt_keys_now();
		int left = -1;
		if (timeout >= 0) {
			left = now - start < timeout ? (int)(timeout - (now - start)) : 0;
			if (left == 0 && timeout > 0)
				return KEYS_TIMEOUT;
		}
		for (size_t i = 0; i < SOURCES; i++)
			left = sooner(left, until_pause(keys, &keys->sources[i], now));
		wait_for_any(keys, left);
		if (timeout == 0)
			return is_ready(keys, line, &result) ? result : KEYS_TIMEOUT;
	}
	return result;
}
