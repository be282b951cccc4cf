/*
 * A disk that remembers or fails, put between a program and its C library by LD_PRELOAD.
 *
 * DISK_FILE    path of the database; it and its -wal are watched, the -shm is not
 * DISK_SAID    a file whose writes are remembered in their place between the others: what was acknowledged when
 * DISK_RECORD  where to remember every write, cut and sync, in order (see record below)
 *
 * DISK_ARMED   faults happen while this file exists
 * DISK_FAIL    w: writes fail, s: syncs fail
 * DISK_AT      the first one that fails, counted from 1
 * DISK_STICKY  set: every one after it fails too
 * DISK_FULL    set: they fail with ENOSPC, else with EIO
 * DISK_COUNTED where to write, at the end, how many could have failed
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

enum { OTHER, DATABASE, LOG, SAID, MOST_FILES = 4096 };

static signed char kind[MOST_FILES];
static int record_fd = -1;
static int counted;
static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;

/* The function of the C library behind ours. */
#define REAL(name)                                      \
	({                                                  \
		static __typeof__(&name) found;                 \
		if (!found) found = dlsym(RTLD_NEXT, #name);    \
		found;                                          \
	})

__attribute__((constructor)) static void begin(void) {
	const char *path = getenv("DISK_RECORD");
	if (path) record_fd = REAL(open)(path, O_WRONLY | O_CREAT | O_APPEND, 0600);
}

__attribute__((destructor)) static void end(void) {
	const char *path = getenv("DISK_COUNTED");
	int fd = path ? REAL(open)(path, O_WRONLY | O_CREAT | O_TRUNC, 0600) : -1;
	if (fd >= 0) dprintf(fd, "%d", counted);
}

static int kind_of(const char *path) {
	const char *file = getenv("DISK_FILE");
	const char *said = getenv("DISK_SAID");
	if (said && strcmp(path, said) == 0) return SAID;
	if (!file) return OTHER;
	size_t length = strlen(file);
	if (strncmp(path, file, length) != 0) return OTHER;
	if (path[length] == '\0') return DATABASE;
	return strcmp(path + length, "-wal") == 0 ? LOG : OTHER;
}

static int opened(int fd, const char *path) {
	if (fd >= 0 && fd < MOST_FILES) kind[fd] = kind_of(path);
	return fd;
}

static int watched(int fd) {
	return fd >= 0 && fd < MOST_FILES ? kind[fd] : OTHER;
}

/* What happened: W write, T cut, S sync, A acknowledged; then file, offset, length and the bytes. */
static void record(char what, int file, int64_t offset, const void *bytes, uint32_t length) {
	if (record_fd < 0) return;
	unsigned char head[14];
	head[0] = what;
	head[1] = file;
	memcpy(head + 2, &offset, 8);
	memcpy(head + 10, &length, 4);
	pthread_mutex_lock(&one_at_a_time);
	if (REAL(write)(record_fd, head, sizeof head) != sizeof head) abort();
	if (bytes && REAL(write)(record_fd, bytes, length) != (ssize_t)length) abort();
	pthread_mutex_unlock(&one_at_a_time);
}

static int fails(int fd, char what) {
	const char *at = getenv("DISK_AT"), *kinds = getenv("DISK_FAIL"), *armed = getenv("DISK_ARMED");
	int file = watched(fd);
	if (!at || !kinds || kinds[0] != what || (file != DATABASE && file != LOG)) return 0;
	if (armed && access(armed, F_OK) != 0) return 0;
	counted += 1;
	if (counted != atoi(at) && !(getenv("DISK_STICKY") && counted > atoi(at))) return 0;
	errno = getenv("DISK_FULL") ? ENOSPC : EIO;
	return 1;
}

#define OPEN(name)                                         \
	int name(const char *path, int flags, ...) {           \
		va_list rest;                                      \
		va_start(rest, flags);                             \
		mode_t mode = va_arg(rest, mode_t);                \
		va_end(rest);                                      \
		return opened(REAL(name)(path, flags, mode), path); \
	}
OPEN(open)
OPEN(open64)

int close(int fd) {
	if (fd >= 0 && fd < MOST_FILES && fd != record_fd) kind[fd] = OTHER;
	return REAL(close)(fd);
}

#define PWRITE(name, offset_type)                                                        \
	ssize_t name(int fd, const void *bytes, size_t length, offset_type offset) {         \
		if (fails(fd, 'w')) return -1;                                                   \
		ssize_t done = REAL(name)(fd, bytes, length, offset);                            \
		int file = watched(fd);                                                          \
		if (done > 0 && (file == DATABASE || file == LOG)) record('W', file, offset, bytes, done); \
		return done;                                                                     \
	}
PWRITE(pwrite, off_t)
PWRITE(pwrite64, off64_t)

ssize_t write(int fd, const void *bytes, size_t length) {
	if (fails(fd, 'w')) return -1;
	ssize_t done = REAL(write)(fd, bytes, length);
	int file = watched(fd);
	if (done > 0 && file == SAID) record('A', file, 0, bytes, done);
	else if (done > 0 && file != OTHER) record('W', file, lseek(fd, 0, SEEK_CUR) - done, bytes, done);
	return done;
}

#define CUT(name, offset_type)                                                              \
	int name(int fd, offset_type size) {                                                    \
		int done = REAL(name)(fd, size);                                                    \
		if (done == 0 && watched(fd) != OTHER) record('T', watched(fd), size, NULL, 0);      \
		return done;                                                                        \
	}
CUT(ftruncate, off_t)
CUT(ftruncate64, off64_t)

#define SYNC(name)                                                                      \
	int name(int fd) {                                                                  \
		if (fails(fd, 's')) return -1;                                                  \
		int done = REAL(name)(fd);                                                      \
		if (done == 0 && watched(fd) != OTHER) record('S', watched(fd), 0, NULL, 0);     \
		return done;                                                                    \
	}
SYNC(fsync)
SYNC(fdatasync)
