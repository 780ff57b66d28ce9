/* Preloaded into the program: logs, in order, what it does to the files below one folder, what it
 * reads from standard input and what it says on standard output.
 *
 * A filter of the kernel (seccomp) sends each of the system calls below back into the process as a
 * SIGSYS; the handler makes the call itself and logs it. So nothing is missed, whoever makes the
 * call: also SQLite, and the C library's own streams, whose calls go past every function that a
 * preloaded library could replace. What could change a file and is not understood is logged as
 * "unknown".
 *
 * POWER_LOG names the log, POWER_FOLDER the folder (both absolute, with no links in them);
 * POWER_STOP kills the process with SIGKILL right after that many records.
 *
 * A record: NAME, inode, number, LENGTH, path and other path with tabs between them, a line end;
 * then LENGTH bytes and a line end. The number is the offset of a write, the new size of a
 * truncation, the flags of an open, the code of an exit. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <signal.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <ucontext.h>
#include <unistd.h>

/* Where the machine keeps the arguments of a system call, and its result. */
#ifdef __x86_64__
#define ARCHITECTURE AUDIT_ARCH_X86_64
#define ARGUMENT(c, n) \
	((c)->uc_mcontext.gregs[((const int[]){ REG_RDI, REG_RSI, REG_RDX, REG_R10, REG_R8 })[n]])
#define RESULT(c) ((c)->uc_mcontext.gregs[REG_RAX])
#else /* ARM, 64 bits */
#define ARCHITECTURE AUDIT_ARCH_AARCH64
#define ARGUMENT(c, n) ((c)->uc_mcontext.regs[n])
#define RESULT(c) ((c)->uc_mcontext.regs[0])
#endif

/* A sixth argument that lets a call pass the filter: none of those logged has one. */
enum { PASS = 0x4C54504C };

enum { LOG_AT_LEAST = 700 };

static struct {
	int log;
	const char *folder;
	size_t folder_length;
	long left; /* records until the process is killed; below 0: it is not */
} state = { -1, NULL, 0, -1 };

static const void *pointer(long argument)
{
	const void *at;
	memcpy(&at, &argument, sizeof(at));
	return at;
}

static long call(long number, const long *arguments)
{
	const long result = syscall(number, arguments[0], arguments[1], arguments[2], arguments[3],
		arguments[4], (long)PASS);
	return result == -1 ? -errno : result;
}

struct record {
	const char *name;
	unsigned long inode;
	long number;
	const struct iovec *bytes;
	int byte_count;
	size_t length; /* of all bytes */
	const char *path, *other;
};

static void log_record(const struct record *record)
{
	enum { PIECES = 66 };
	char head[2 * 4096 + 200];
	struct iovec pieces[PIECES];
	int count = 0;
	size_t left = record->length;
	const int length = snprintf(head, sizeof(head), "%s\t%lu\t%ld\t%zu\t%s\t%s\n", record->name,
		record->inode, record->number, record->length,
		record->path != NULL ? record->path : "",
		record->other != NULL ? record->other : "");
	pieces[count++] = (struct iovec){ head, (size_t)length };
	for (int i = 0; i < record->byte_count && left > 0; i++) {
		if (count == PIECES - 1)
			abort();
		pieces[count] = record->bytes[i];
		if (pieces[count].iov_len > left)
			pieces[count].iov_len = left;
		left -= pieces[count++].iov_len;
	}
	pieces[count++] = (struct iovec){ (char[]){ '\n' }, 1 };
	const long done = call(SYS_writev, (const long[5]){ state.log, (long)pieces, count });
	if (done != length + (long)record->length + 1)
		abort();
	if (state.left > 0 && --state.left == 0)
		call(SYS_kill, (const long[5]){ getpid(), SIGKILL });
}

/* Where a descriptor leads to; "" where that is not below the folder. */
static void path_of(char path[4096], int fd)
{
	char link[64];
	snprintf(link, sizeof(link), "/proc/self/fd/%d", fd);
	const ssize_t length = readlink(link, path, 4095);
	path[length > 0 ? length : 0] = '\0';
	if (strncmp(path, state.folder, state.folder_length) != 0 ||
		(path[state.folder_length] != '\0' && path[state.folder_length] != '/'))
		path[0] = '\0';
}

/* A name as the program gave it, made absolute; not cleaned of "." and "..". */
static void absolute(char path[4096], int folder, const char *name)
{
	char link[64] = "/proc/self/cwd", base[4096];
	if (name[0] == '/') {
		snprintf(path, 4096, "%s", name);
		return;
	}
	if (folder != AT_FDCWD)
		snprintf(link, sizeof(link), "/proc/self/fd/%d", folder);
	const ssize_t length = readlink(link, base, sizeof(base) - 1);
	base[length > 0 ? length : 0] = '\0';
	if (snprintf(path, 4096, "%s/%s", base, name) >= 4096)
		abort();
}

static unsigned long inode_of(int fd)
{
	struct stat status;
	return fstat(fd, &status) == 0 ? status.st_ino : 0;
}

/* What happened to an open file below the folder. */
static void log_file(const char *name, int fd, long number, const struct iovec *bytes,
	int byte_count, size_t length)
{
	char path[4096];
	path_of(path, fd);
	if (path[0] == '\0')
		return;
	log_record(&(struct record){
		name, inode_of(fd), number, bytes, byte_count, length, path, NULL });
}

static void log_simple(const char *name, long number)
{
	log_record(&(struct record){ .name = name, .number = number });
}

static void log_names(const char *name, int folder, const char *path, int other_folder,
	const char *other)
{
	char first[4096], second[4096] = "";
	absolute(first, folder, path);
	if (other != NULL)
		absolute(second, other_folder, other);
	log_record(&(struct record){ .name = name, .path = first, .other = second });
}

static void log_written(int fd, long offset, const struct iovec *bytes, int byte_count, long length)
{
	if (fd == STDOUT_FILENO)
		log_record(&(struct record){
			"answer", 0, 0, bytes, byte_count, (size_t)length, NULL, NULL });
	else
		log_file("write", fd, offset >= 0 ? offset : lseek(fd, 0, SEEK_CUR) - length, bytes,
			byte_count, (size_t)length);
}

/* Before the call: what would be too late behind it. */
static void log_before(long number, const long *a)
{
	switch (number) {
#ifdef SYS_poll
	case SYS_poll:
#endif
	case SYS_ppoll:
		log_simple("ask", 0);
		break;
	case SYS_read:
		if (a[0] == STDIN_FILENO)
			log_simple("ask", 0);
		break;
	case SYS_close:
		log_file("close", (int)a[0], 0, NULL, 0, 0);
		break;
	case SYS_exit_group:
		log_simple("exit", a[0]);
		break;
	default:
		break;
	}
}

static void log_data(long number, const long *a, long result)
{
	const struct iovec one = { (void *)pointer(a[1]), (size_t)result };
	switch (number) {
	case SYS_read:
		if (a[0] == STDIN_FILENO)
			log_record(&(struct record){
				"given", 0, 0, &one, 1, (size_t)result, NULL, NULL });
		break;
	case SYS_write:
		log_written((int)a[0], -1, &one, 1, result);
		break;
	case SYS_pwrite64:
		log_written((int)a[0], a[3], &one, 1, result);
		break;
	case SYS_writev:
		log_written((int)a[0], -1, pointer(a[1]), (int)a[2], result);
		break;
	case SYS_ftruncate:
		log_file("truncate", (int)a[0], a[1], NULL, 0, 0);
		break;
	case SYS_fsync:
		log_file("fsync", (int)a[0], 0, NULL, 0, 0);
		break;
	case SYS_fdatasync:
		log_file("fdatasync", (int)a[0], 0, NULL, 0, 0);
		break;
	default:
		break;
	}
}

static void log_after(long number, const long *a, long result)
{
	switch (number) {
#ifdef SYS_open
	case SYS_open:
		log_file("open", (int)result, a[1], NULL, 0, 0);
		break;
	case SYS_rename:
		log_names("rename", AT_FDCWD, pointer(a[0]), AT_FDCWD, pointer(a[1]));
		break;
	case SYS_unlink:
		log_names("unlink", AT_FDCWD, pointer(a[0]), 0, NULL);
		break;
#endif
	case SYS_openat:
		log_file("open", (int)result, a[2], NULL, 0, 0);
		break;
#ifdef SYS_renameat
	case SYS_renameat:
#endif
	case SYS_renameat2:
		log_names("rename", (int)a[0], pointer(a[1]), (int)a[2], pointer(a[3]));
		break;
	case SYS_unlinkat:
		log_names("unlink", (int)a[0], pointer(a[1]), 0, NULL);
		break;
	default:
		log_data(number, a, result);
		break;
	}
}

/* What the handler makes and logs. */
static const int known[] = {
#ifdef SYS_open
	SYS_open,
	SYS_rename,
	SYS_unlink,
	SYS_poll,
#endif
#ifdef SYS_renameat
	SYS_renameat,
#endif
	SYS_openat,
	SYS_renameat2,
	SYS_unlinkat,
	SYS_read,
	SYS_write,
	SYS_pwrite64,
	SYS_writev,
	SYS_ftruncate,
	SYS_fsync,
	SYS_fdatasync,
	SYS_ppoll,
	SYS_close,
	SYS_exit_group,
};

/* What would change files, or put them on disk, in ways that the replay does not know. */
static const int unknown[] = {
#ifdef SYS_open
	SYS_creat, SYS_link, SYS_symlink, SYS_mkdir, SYS_rmdir,
#endif
	SYS_openat2, SYS_linkat, SYS_symlinkat, SYS_mkdirat, SYS_truncate, SYS_fallocate,
	SYS_pwritev, SYS_pwritev2, SYS_sendfile, SYS_copy_file_range, SYS_splice, SYS_sync,
	SYS_syncfs, SYS_sync_file_range, SYS_io_uring_setup,
	SYS_mmap, /* only of a file that is shared and written */
};

enum { KNOWN = sizeof(known) / sizeof(known[0]), UNKNOWN = sizeof(unknown) / sizeof(unknown[0]) };

static void on_call(int signal_number, siginfo_t *info, void *data)
{
	(void)signal_number;
	ucontext_t *context = data;
	const int error = errno;
	const long number = info->si_syscall;
	const long a[5] = { (long)ARGUMENT(context, 0), (long)ARGUMENT(context, 1),
		(long)ARGUMENT(context, 2), (long)ARGUMENT(context, 3),
		(long)ARGUMENT(context, 4) };
	long result = -ENOSYS;
	for (int i = 0; i < UNKNOWN; i++) {
		if (unknown[i] == number)
			log_simple("unknown", number);
	}
	for (int i = 0; i < KNOWN; i++) {
		if (known[i] != number)
			continue;
		log_before(number, a);
		result = call(number, a);
		if (result >= 0)
			log_after(number, a, result);
	}
	RESULT(context) = result;
	errno = error;
}

/* The lower half of an argument; the machines above have it first. */
#define ARGUMENT_AT(n) (offsetof(struct seccomp_data, args) + (n) * sizeof(__u64))
#define LOAD(at) ((struct sock_filter)BPF_STMT(BPF_LD | BPF_W | BPF_ABS, (__u32)(at)))
#define END(how) ((struct sock_filter)BPF_STMT(BPF_RET | BPF_K, (how)))
/* How many instructions to leave out where the test holds, and where not. */
#define TEST(test, value, yes, no) \
	((struct sock_filter)BPF_JUMP(BPF_JMP | (test) | BPF_K, (__u32)(value), (yes), (no)))

static void install_filter(void)
{
	struct sock_filter filter[2 * (KNOWN + UNKNOWN) + 20];
	unsigned short used = 0;
	filter[used++] = LOAD(offsetof(struct seccomp_data, arch));
	filter[used++] = TEST(BPF_JEQ, ARCHITECTURE, 1, 0);
	filter[used++] = END(SECCOMP_RET_ALLOW);
	filter[used++] = LOAD(ARGUMENT_AT(5));
	filter[used++] = TEST(BPF_JEQ, PASS, 0, 1);
	filter[used++] = END(SECCOMP_RET_ALLOW);
	filter[used++] = LOAD(offsetof(struct seccomp_data, nr));
	/* Memory is mapped all the time: only a file that is shared and written is of interest. */
	filter[used++] = TEST(BPF_JEQ, SYS_mmap, 0, 7);
	filter[used++] = LOAD(ARGUMENT_AT(3));
	filter[used++] = TEST(BPF_JSET, MAP_ANONYMOUS, 4, 0);
	filter[used++] = TEST(BPF_JSET, MAP_SHARED, 0, 3);
	filter[used++] = LOAD(ARGUMENT_AT(2));
	filter[used++] = TEST(BPF_JSET, PROT_WRITE, 0, 1);
	filter[used++] = END(SECCOMP_RET_TRAP);
	filter[used++] = END(SECCOMP_RET_ALLOW);
	for (int i = 0; i < KNOWN + UNKNOWN; i++) {
		filter[used++] = TEST(BPF_JEQ, i < KNOWN ? known[i] : unknown[i - KNOWN], 0, 1);
		filter[used++] = END(SECCOMP_RET_TRAP);
	}
	filter[used++] = END(SECCOMP_RET_ALLOW);
	struct sock_fprog program = { used, filter };
	if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0 ||
		prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) != 0)
		abort();
}

__attribute__((constructor)) static void begin(void)
{
	const char *log = getenv("POWER_LOG"), *stop = getenv("POWER_STOP");
	struct sigaction action = { .sa_sigaction = on_call, .sa_flags = SA_SIGINFO };
	state.folder = getenv("POWER_FOLDER");
	if (log == NULL || state.folder == NULL)
		abort();
	state.folder_length = strlen(state.folder);
	state.left = stop != NULL ? strtol(stop, NULL, 10) : -1;
	/* Where the program's own descriptors do not come. */
	const int fd = open(log, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
	state.log = fcntl(fd, F_DUPFD_CLOEXEC, LOG_AT_LEAST);
	close(fd);
	sigemptyset(&action.sa_mask);
	if (state.log < 0 || sigaction(SIGSYS, &action, NULL) != 0)
		abort();
	install_filter();
}
