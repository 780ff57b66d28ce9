/* Faults of a file system, for programs that are run with this library before all others
 * (LD_PRELOAD). What makes changes last, and renames, are counted as steps from 1 and listed in
 * the file FAULTS_LOG: "sync NAME", "sync-folder", "rename NAME".
 *
 *     FAULTS_RENAME=.tags:.pdf   renaming to a name that ends so fails with EIO
 *     FAULTS_SYNC_FOLDER=5       syncing a folder fails with this errno
 *     FAULTS_KILL=3              the process is killed before its third step */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int steps;

static void take_step(const char *what, const char *name)
{
	const char *kill_at = getenv("FAULTS_KILL");
	const char *log = getenv("FAULTS_LOG");
	steps++;
	if (kill_at != NULL && atoi(kill_at) == steps)
		raise(SIGKILL);
	if (log == NULL)
		return;
	int fd = open(log, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
	if (fd < 0)
		return;
	dprintf(fd, "%s%s%s\n", what, *name != '\0' ? " " : "", name);
	close(fd);
}

static const char *base_of(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash != NULL ? slash + 1 : path;
}

/* Whether the name has one of the endings, which colons separate. */
static bool ends_so(const char *name, const char *endings)
{
	while (endings != NULL && *endings != '\0') {
		size_t length = strcspn(endings, ":");
		size_t all = strlen(name);
		if (length > 0 && length <= all &&
			memcmp(name + all - length, endings, length) == 0)
			return true;
		endings += length + (endings[length] == ':');
	}
	return false;
}

int rename(const char *from, const char *to)
{
	int (*real)(const char *, const char *);
	*(void **)&real = dlsym(RTLD_NEXT, "rename");
	take_step("rename", base_of(to));
	if (ends_so(to, getenv("FAULTS_RENAME"))) {
		errno = EIO;
		return -1;
	}
	return real(from, to);
}

int fsync(int fd)
{
	int (*real)(int);
	*(void **)&real = dlsym(RTLD_NEXT, "fsync");
	struct stat status;
	bool is_folder = fstat(fd, &status) == 0 && S_ISDIR(status.st_mode);
	char link[64];
	char name[4096] = "";
	snprintf(link, sizeof(link), "/proc/self/fd/%d", fd);
	ssize_t length = readlink(link, name, sizeof(name) - 1);
	name[length > 0 ? length : 0] = '\0';
	take_step(is_folder ? "sync-folder" : "sync", is_folder ? "" : base_of(name));
	const char *fails = getenv("FAULTS_SYNC_FOLDER");
	if (is_folder && fails != NULL) {
		errno = atoi(fails);
		return -1;
	}
	return real(fd);
}
