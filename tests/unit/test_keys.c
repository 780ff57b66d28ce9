/* Lines from pipes, terminals, scanners and serial devices, and what is echoed. */
#include "unit.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include "cli/keys.h"
#include "folder.h"

static void rest(long milliseconds)
{
	const struct timespec time = { milliseconds / 1000, milliseconds % 1000 * 1000000 };
	nanosleep(&time, NULL);
}

static void send(int fd, const char *text)
{
	assert_int_equal(write(fd, text, strlen(text)), (ssize_t)strlen(text));
}

/* A scan here is anything that begins with 1. */
static bool is_scan(void *data, const char *bytes, size_t length)
{
	(void)data;
	return length > 0 && bytes[0] == '1';
}

/* A pseudo-terminal: what is written to `master` is typed. */
struct pty {
	int master, slave;
	char name[64];
};

static void open_pty(struct pty *pty)
{
	pty->master = posix_openpt(O_RDWR | O_NOCTTY);
	assert_true(pty->master >= 0);
	assert_int_equal(grantpt(pty->master), 0);
	assert_int_equal(unlockpt(pty->master), 0);
	snprintf(pty->name, sizeof(pty->name), "%s", ptsname(pty->master));
	pty->slave = open(pty->name, O_RDWR | O_NOCTTY);
	assert_true(pty->slave >= 0);
}

static void close_pty(struct pty *pty)
{
	close(pty->slave);
	close(pty->master);
}

static struct keys *start(int in, int shown, const char *device)
{
	struct lt_diags diags = { 0 };
	const struct keys_options options = {
		.in = in, .echo = shown, .device = device, .is_scan = is_scan
	};
	struct keys *keys = lt_keys_open(&options, &diags);
	assert_non_null(keys);
	lt_diags_finish(&diags);
	return keys;
}

static void want_line(struct keys *keys, const char *text, enum keys_source source, bool fast)
{
	struct keys_line line;
	assert_int_equal(lt_keys_read(keys, &line, 5000), KEYS_LINE);
	assert_string_equal(line.bytes, text);
	assert_int_equal(line.length, strlen(text));
	assert_int_equal(line.source, source);
	assert_false(line.cut);
	if (source != KEYS_PIPE)
		assert_int_equal(line.fast, fast);
}

static void want(struct keys *keys, enum keys_result result, int timeout)
{
	struct keys_line line;
	assert_int_equal(lt_keys_read(keys, &line, timeout), result);
}

static void test_pipe(void **state)
{
	(void)state;
	int ends[2];
	assert_int_equal(pipe(ends), 0);
	struct keys *keys = start(ends[0], -1, NULL);
	want(keys, KEYS_TIMEOUT, 0);
	want(keys, KEYS_TIMEOUT, 10);
	send(ends[1], "a\nb\rc\r\n\nd\r");
	want_line(keys, "a", KEYS_PIPE, false);
	want_line(keys, "b", KEYS_PIPE, false);
	want_line(keys, "c", KEYS_PIPE, false);
	want_line(keys, "", KEYS_PIPE, false);
	want_line(keys, "d", KEYS_PIPE, false);
	/* The LF behind a CR that came long before; half a line; no pause ends it, nor Tab. */
	send(ends[1], "\n12345\t");
	want(keys, KEYS_TIMEOUT, KEYS_PAUSE + 60);
	send(ends[1], "67\x04\x7f\n12");
	want_line(keys, "12345\t67\x04\x7f", KEYS_PIPE, false);
	close(ends[1]);
	want_line(keys, "12", KEYS_PIPE, false);
	want(keys, KEYS_END, -1);
	want(keys, KEYS_END, -1);
	lt_keys_close(keys);
	close(ends[0]);
}

static void test_long_line(void **state)
{
	(void)state;
	int ends[2];
	char text[KEYS_LINE_MAX + 3];
	struct keys_line line;
	assert_int_equal(pipe(ends), 0);
	struct keys *keys = start(ends[0], -1, NULL);
	for (size_t more = 0; more < 2; more++) {
		memset(text, 'x', sizeof(text));
		text[KEYS_LINE_MAX + more] = '\n';
		text[KEYS_LINE_MAX + more + 1] = '\0';
		send(ends[1], text);
		assert_int_equal(lt_keys_read(keys, &line, 5000), KEYS_LINE);
		assert_int_equal(line.length, KEYS_LINE_MAX);
		assert_int_equal(line.cut, more == 1);
		assert_int_equal(line.bytes[KEYS_LINE_MAX], '\0');
	}
	send(ends[1], "a\n");
	want_line(keys, "a", KEYS_PIPE, false);
	close(ends[1]);
	lt_keys_close(keys);
	close(ends[0]);
	lt_keys_close(NULL);
}

/* Types slowly, with the reader waiting meanwhile. */
static void type(const struct pty *pty, struct keys *keys, const char *text)
{
	for (; *text != '\0'; text++) {
		assert_int_equal(write(pty->master, text, 1), 1);
		if (text[1] != '\0')
			want(keys, KEYS_TIMEOUT, KEYS_FAST + 40);
	}
}

static void test_scans_on_a_terminal(void **state)
{
	(void)state;
	struct pty pty;
	open_pty(&pty);
	struct keys *keys = start(pty.slave, pty.slave, NULL);
	static const char *const ends[] = { "\r", "\n", "\r\n", "\t" };
	for (size_t i = 0; i < 4; i++) {
		send(pty.master, "12HRV3J");
		send(pty.master, ends[i]);
		want_line(keys, "12HRV3J", KEYS_KEYBOARD, true);
	}
	/* No end: a pause is one, and no sooner. */
	send(pty.master, "12HRV3J");
	const long long before = lt_keys_now();
	want_line(keys, "12HRV3J", KEYS_KEYBOARD, true);
	assert_true(lt_keys_now() - before >= KEYS_PAUSE - 1);
	/* The caller's own waits do not matter. */
	send(pty.master, "13HRV3J");
	struct keys_line line;
	enum keys_result result = KEYS_TIMEOUT;
	for (unsigned waits = 0; waits < 100 && result == KEYS_TIMEOUT; waits++)
		result = lt_keys_read(keys, &line, 20);
	assert_int_equal(result, KEYS_LINE);
	assert_string_equal(line.bytes, "13HRV3J");
	/* What came while the caller was busy is one scan still. */
	send(pty.master, "14H");
	want(keys, KEYS_TIMEOUT, 10);
	send(pty.master, "RV3J");
	rest(KEYS_PAUSE + 50);
	want_line(keys, "14HRV3J", KEYS_KEYBOARD, true);
	/* What is no scan, or too short for one, waits for its end. */
	send(pty.master, "status");
	want(keys, KEYS_TIMEOUT, KEYS_PAUSE + 60);
	send(pty.master, "\r1234");
	want_line(keys, "status", KEYS_KEYBOARD, false); /* its end came late */
	want(keys, KEYS_TIMEOUT, KEYS_PAUSE + 60);
	send(pty.master, "\r");
	want_line(keys, "1234", KEYS_KEYBOARD, false);
	lt_keys_close(keys);
	close_pty(&pty);
}

static void test_typing(void **state)
{
	(void)state;
	struct pty pty;
	open_pty(&pty);
	alarm(60); /* rather than wait for ever for what is shown */
	struct keys *keys = start(pty.slave, pty.slave, NULL);
	type(&pty, keys, "123456");
	want(keys, KEYS_TIMEOUT, KEYS_PAUSE + 60);
	send(pty.master, "\x7f\x08"
			 "9\r");
	want_line(keys, "12349", KEYS_KEYBOARD, false);
	/* A character of two bytes goes as one; more than there is does no harm. */
	send(pty.master, "a\xc3\xa9\x7f\x7f\x7f\x7f"
			 "b\r");
	want_line(keys, "b", KEYS_KEYBOARD, false);
	send(pty.master, "abc\x15"
			 "de\x04\r");
	want_line(keys, "de", KEYS_KEYBOARD, false);
	send(pty.master, "a\tb\r");
	want_line(keys, "a b", KEYS_KEYBOARD, false);
	/* What was typed is seen; nothing is seen twice. */
	char shown[512] = "";
	size_t length = 0;
	while (strstr(shown, "a b") == NULL) {
		const ssize_t more = read(pty.master, shown + length, sizeof(shown) - 1 - length);
		assert_true(more > 0);
		length += (size_t)more;
	}
	assert_memory_equal(shown, "123456\b \b\b \b9", 13);
	send(pty.master, "\x04");
	want(keys, KEYS_END, 5000);
	alarm(0);
	lt_keys_close(keys);
	close_pty(&pty);
}

/* What a code or a paste holds does not drive the terminal that shows it, and the line keeps its
 * bytes. */
static void test_echo_is_harmless(void **state)
{
	(void)state;
	static const char sent[] = "\xC2\x9B"
				   "2J\xE2\x80\xAE"
				   "x\x1B[\xC3\xA9\xE2\x82.\xFF"
				   "!";
	static const char want[] = "\xEF\xBF\xBD"
				   "2J\xEF\xBF\xBD"
				   "x^[\xC3\xA9\xEF\xBF\xBD\xEF\xBF\xBD.\xEF\xBF\xBD"
				   "!\b \b\b \b\b \b\b \b\b \bend";
	struct pty pty;
	char shown[512] = "";
	size_t length = 0;
	open_pty(&pty);
	alarm(60);
	struct keys *keys = start(pty.slave, pty.slave, NULL);
	send(pty.master, sent);
	/* Back to before the half character, which took two columns. */
	send(pty.master, "\x7F\x7F\x7F\x7F"
			 "end\r");
	want_line(keys,
		"\xC2\x9B"
		"2J\xE2\x80\xAE"
		"x\x1B[\xC3\xA9"
		"end",
		KEYS_KEYBOARD, true);
	while (strstr(shown, "end") == NULL) {
		const ssize_t more = read(pty.master, shown + length, sizeof(shown) - 1 - length);
		assert_true(more > 0);
		length += (size_t)more;
	}
	assert_memory_equal(shown, want, sizeof(want) - 1);
	alarm(0);
	lt_keys_close(keys);
	close_pty(&pty);
}

static bool is_raw(int fd)
{
	struct termios now;
	assert_int_equal(tcgetattr(fd, &now), 0);
	return (now.c_lflag & (ICANON | ECHO)) == 0;
}

static bool waits_for_raw(int fd)
{
	for (unsigned i = 0; i < 500 && !is_raw(fd); i++)
		rest(10);
	return is_raw(fd);
}

/* Whatever ends the program, the terminal is as it was. */
static void test_terminal_is_put_back(void **state)
{
	(void)state;
	static const int signals[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT, 0 };
	struct pty pty;
	open_pty(&pty);
	for (size_t i = 0; i < sizeof(signals) / sizeof(signals[0]); i++) {
		assert_false(is_raw(pty.slave));
		const pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0) {
			/* A group of its own, for SIGTSTP does not stop an orphaned one. */
			struct keys_line line;
			setpgid(0, 0);
			alarm(20);
			/* Ignored where a shell runs the tests in the background. */
			if (signals[i] != 0)
				signal(signals[i], SIG_DFL);
			static struct keys *keys; /* not closed: exit and signals do it */
			keys = start(pty.slave, pty.slave, NULL);
			if (signals[i] == 0)
				exit(lt_keys_read(keys, &line, 2000) == KEYS_LINE ? 7 : 8);
			for (;;)
				lt_keys_read(keys, &line, -1);
		}
		assert_true(waits_for_raw(pty.slave));
		int status;
		if (signals[i] == 0) {
			send(pty.master, "x\r");
			assert_int_equal(waitpid(child, &status, 0), child);
			assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 7);
		} else {
			/* Stopped and taken up again before, which keeps keys raw. */
			kill(child, SIGTSTP);
			assert_int_equal(waitpid(child, &status, WUNTRACED), child);
			assert_true(WIFSTOPPED(status));
			assert_false(is_raw(pty.slave));
			kill(child, SIGCONT);
			assert_true(waits_for_raw(pty.slave));
			kill(child, signals[i]);
			assert_int_equal(waitpid(child, &status, 0), child);
			assert_true(WIFSIGNALED(status) && WTERMSIG(status) == signals[i]);
		}
	}
	assert_false(is_raw(pty.slave));
	struct keys *keys = start(pty.slave, pty.slave, NULL);
	assert_true(is_raw(pty.slave));
	lt_keys_close(keys);
	assert_false(is_raw(pty.slave));
	/* Nowhere to show what is typed: the terminal edits its lines. */
	keys = start(pty.slave, -1, NULL);
	assert_false(is_raw(pty.slave));
	send(pty.master, "abx\x7f\n");
	want_line(keys, "ab", KEYS_KEYBOARD, false);
	lt_keys_close(keys);
	close_pty(&pty);
}

static void test_serial(void **state)
{
	(void)state;
	struct pty pty;
	struct pty serial;
	open_pty(&pty);
	open_pty(&serial);
	struct keys *keys = start(pty.slave, pty.slave, serial.name);
	struct termios now;
	assert_int_equal(tcgetattr(serial.slave, &now), 0);
	assert_int_equal(cfgetispeed(&now), B9600);
	assert_int_equal(now.c_cflag & (CSIZE | PARENB | CSTOPB), CS8);
	assert_int_equal(now.c_lflag & (ICANON | ECHO | ISIG), 0);
	send(serial.master, "12HRV3J\r\n\x03\x04");
	want_line(keys, "12HRV3J", KEYS_DEVICE, true);
	/* Each source has its own line. */
	type(&pty, keys, "sta");
	send(serial.master, "\r");
	want_line(keys, "\x03\x04", KEYS_DEVICE, false);
	send(serial.master, "12MRV3D");
	want_line(keys, "12MRV3D", KEYS_DEVICE, true);
	/* Gone: said once, half a scan is dropped, the keyboard goes on. */
	send(serial.master, "1");
	want(keys, KEYS_TIMEOUT, 20);
	close_pty(&serial);
	want(keys, KEYS_LOST, 5000);
	want(keys, KEYS_TIMEOUT, 20);
	send(pty.master, "tus\r");
	want_line(keys, "status", KEYS_KEYBOARD, false);
	lt_keys_close(keys);
	close_pty(&pty);
}

static void test_fifo(void **state)
{
	(void)state;
	const char *path = "scanner";
	assert_int_equal(mkfifo(path, 0600), 0);
	const int nothing = open("/dev/null", O_RDONLY);
	struct keys *keys = start(nothing, -1, path);
	/* No keyboard, and nobody has opened the other end: it waits. */
	want(keys, KEYS_TIMEOUT, 20);
	const int scanner = open(path, O_WRONLY);
	send(scanner, "12HRV3J\n");
	want_line(keys, "12HRV3J", KEYS_DEVICE, true);
	close(scanner);
	want(keys, KEYS_LOST, 5000);
	want(keys, KEYS_END, 5000);
	lt_keys_close(keys);
	close(nothing);
}

static void test_no_device(void **state)
{
	(void)state;
	struct pty pty;
	open_pty(&pty);
	const char *const paths[] = { "/nowhere/scanner", "/tmp", pty.name };
	static const char *const words[] = { "cannot be opened", "not a device", "this terminal" };
	for (size_t i = 0; i < 3; i++) {
		struct lt_diags diags = { 0 };
		const struct keys_options options = {
			.in = pty.slave, .echo = pty.slave, .device = paths[i]
		};
		assert_null(lt_keys_open(&options, &diags));
		assert_int_equal(diags.count, 1);
		assert_non_null(strstr(diags.items[0].message, words[i]));
		assert_non_null(diags.items[0].hint);
		lt_diags_finish(&diags);
		assert_false(is_raw(pty.slave));
	}
	close_pty(&pty);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_pipe),
		cmocka_unit_test(test_long_line),
		cmocka_unit_test(test_scans_on_a_terminal),
		cmocka_unit_test(test_typing),
		cmocka_unit_test(test_echo_is_harmless),
		cmocka_unit_test(test_terminal_is_put_back),
		cmocka_unit_test(test_serial),
		cmocka_unit_test(test_fifo),
		cmocka_unit_test(test_no_device),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
