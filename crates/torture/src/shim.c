/* Preloaded into the child. It notes every call that changes a file below a folder, in the order in which the calls
 * were made, together with what the process says to its standard output; and it fails some of the calls. One lock
 * around each call and its note keeps the order. */
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
#include <sys/stat.h>
#include <sys/types.h>
#include <time.h>
#include <unistd.h>

#define FDS 1024

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static int journal = -1;
static char root[4096];
static size_t root_length;
/* Class of an open file: 0 not watched, r records, l write-ahead log, n witness, d folder, o other. */
static char class_of[FDS];

static char fault_call, fault_class;
static long fault_skip, fault_count;
static int fault_errno;
static long quota = -1, quota_failures = -1;
static long clock_offset;

static int (*real_open)(const char *, int, ...);
static ssize_t (*real_write)(int, const void *, size_t);
static ssize_t (*real_pwrite)(int, const void *, size_t, off_t);
static ssize_t (*real_read)(int, void *, size_t);
static ssize_t (*real_pread)(int, void *, size_t, off_t);
static int (*real_ftruncate)(int, off_t);
static int (*real_fsync)(int);
static int (*real_fdatasync)(int);
static int (*real_rename)(const char *, const char *);
static int (*real_unlink)(const char *);
static int (*real_mkdir)(const char *, mode_t);
static int (*real_close)(int);
static int (*real_clock_gettime)(clockid_t, struct timespec *);

static void *find(const char *name) { return dlsym(RTLD_NEXT, name); }

__attribute__((constructor)) static void begin(void) {
    real_open = find("open64");
    real_write = find("write");
    real_pwrite = find("pwrite64");
    real_read = find("read");
    real_pread = find("pread64");
    real_ftruncate = find("ftruncate64");
    real_fsync = find("fsync");
    real_fdatasync = find("fdatasync");
    real_rename = find("rename");
    real_unlink = find("unlink");
    real_mkdir = find("mkdir");
    real_close = find("close");
    real_clock_gettime = find("clock_gettime");
    const char *text = getenv("TORTURE_ROOT");
    if (text != NULL) {
        snprintf(root, sizeof root, "%s", text);
        root_length = strlen(root);
    }
    text = getenv("TORTURE_JOURNAL");
    if (text != NULL) journal = real_open(text, O_WRONLY | O_CREAT | O_TRUNC | O_APPEND | O_CLOEXEC, 0600);
    text = getenv("TORTURE_FAULT");
    if (text != NULL) sscanf(text, "%c %c %ld %ld %d", &fault_call, &fault_class, &fault_skip, &fault_count, &fault_errno);
    text = getenv("TORTURE_QUOTA");
    if (text != NULL) sscanf(text, "%ld %ld", &quota, &quota_failures);
    text = getenv("TORTURE_CLOCK");
    if (text != NULL) clock_offset = atol(text);
    /* What this process starts runs without it. */
    unsetenv("LD_PRELOAD");
}

static void note(char kind, int fd, int64_t a, const void *data, uint32_t length) {
    if (journal < 0) return;
    char head[17];
    int32_t number = fd;
    head[0] = kind;
    memcpy(head + 1, &number, 4);
    memcpy(head + 5, &a, 8);
    memcpy(head + 13, &length, 4);
    real_write(journal, head, sizeof head);
    if (length > 0) real_write(journal, data, length);
}

static int below(const char *path) {
    return root_length > 0 && strncmp(path, root, root_length) == 0;
}

static char class_by_name(const char *path) {
    const char *name = strrchr(path, '/');
    name = name == NULL ? path : name + 1;
    size_t length = strlen(name);
    if (strcmp(name, "records.sqlite") == 0) return 'r';
    if (length > 4 && strcmp(name + length - 4, "-wal") == 0) return 'l';
    if (strncmp(name, "witness", 7) == 0) return 'n';
    return 'o';
}

static char watched(int fd) { return fd >= 0 && fd < FDS ? class_of[fd] : 0; }

/* Whether this call is to fail; called with the lock. */
static int fails(char call, char class) {
    if (fault_call != call || fault_count == 0) return 0;
    if (fault_class != '*' && fault_class != class) return 0;
    if (fault_skip > 0) {
        fault_skip--;
        return 0;
    }
    fault_count--;
    note('f', 0, call, &class, 1);
    return 1;
}

static int full(int fd, off_t end) {
    if (quota < 0) return 0;
    struct stat found;
    if (fstat(fd, &found) != 0 || end <= found.st_size) return 0;
    off_t growth = end - found.st_size;
    if (growth <= quota) {
        quota -= growth;
        return 0;
    }
    note('f', fd, 'q', NULL, 0);
    if (quota_failures > 0 && --quota_failures == 0) quota = -1;
    return 1;
}

static int opened(const char *path, int flags, mode_t mode) {
    if (!below(path)) return real_open(path, flags, mode);
    pthread_mutex_lock(&lock);
    int there = access(path, F_OK) == 0;
    int fd = -1;
    if (fails('o', class_by_name(path))) {
        errno = fault_errno;
    } else {
        fd = real_open(path, flags, mode);
    }
    if (fd >= 0 && fd < FDS) {
        struct stat found;
        int folder = fstat(fd, &found) == 0 && S_ISDIR(found.st_mode);
        class_of[fd] = folder ? 'd' : class_by_name(path);
        int64_t how = (there ? 0 : 1) | ((flags & O_TRUNC) ? 2 : 0);
        note(folder ? 'd' : 'o', fd, how, path, (uint32_t)strlen(path));
    }
    int kept = errno;
    pthread_mutex_unlock(&lock);
    errno = kept;
    return fd;
}

static mode_t mode_of(int flags, va_list arguments) {
    return (flags & (O_CREAT | O_TMPFILE)) != 0 ? va_arg(arguments, mode_t) : 0;
}

int open(const char *path, int flags, ...) {
    va_list arguments;
    va_start(arguments, flags);
    mode_t mode = mode_of(flags, arguments);
    va_end(arguments);
    return opened(path, flags, mode);
}

int open64(const char *path, int flags, ...) {
    va_list arguments;
    va_start(arguments, flags);
    mode_t mode = mode_of(flags, arguments);
    va_end(arguments);
    return opened(path, flags, mode);
}

static ssize_t written(int fd, const void *data, size_t length, off_t at, int placed) {
    char class = watched(fd);
    if (class == 0 && fd != 1) return placed ? real_pwrite(fd, data, length, at) : real_write(fd, data, length);
    pthread_mutex_lock(&lock);
    ssize_t done = -1;
    if (fd == 1 && class == 0) {
        done = real_write(fd, data, length);
        if (done > 0) note('p', fd, 0, data, (uint32_t)done);
    } else {
        if (!placed) at = lseek(fd, 0, SEEK_CUR);
        int kept = 0;
        if (full(fd, at + (off_t)length)) {
            kept = ENOSPC;
        } else if (fails('w', class)) {
            kept = fault_errno;
        } else {
            if (length > 1 && fails('h', class)) length /= 2;
            done = placed ? real_pwrite(fd, data, length, at) : real_write(fd, data, length);
            kept = errno;
        }
        if (done > 0) note('w', fd, at, data, (uint32_t)done);
        errno = kept;
    }
    int kept = errno;
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

ssize_t write(int fd, const void *data, size_t length) { return written(fd, data, length, 0, 0); }
ssize_t pwrite(int fd, const void *data, size_t length, off_t at) { return written(fd, data, length, at, 1); }
ssize_t pwrite64(int fd, const void *data, size_t length, off_t at) { return written(fd, data, length, at, 1); }

static int read_fails(int fd) {
    char class = watched(fd);
    if (class == 0 || fault_call != 'e') return 0;
    pthread_mutex_lock(&lock);
    int failing = fails('e', class);
    pthread_mutex_unlock(&lock);
    return failing;
}

ssize_t read(int fd, void *data, size_t length) {
    if (read_fails(fd)) return errno = fault_errno, -1;
    return real_read(fd, data, length);
}

static ssize_t read_at(int fd, void *data, size_t length, off_t at) {
    if (read_fails(fd)) return errno = fault_errno, -1;
    return real_pread(fd, data, length, at);
}

ssize_t pread(int fd, void *data, size_t length, off_t at) { return read_at(fd, data, length, at); }
ssize_t pread64(int fd, void *data, size_t length, off_t at) { return read_at(fd, data, length, at); }

static int cut(int fd, off_t length) {
    char class = watched(fd);
    if (class == 0) return real_ftruncate(fd, length);
    pthread_mutex_lock(&lock);
    int done = -1, kept = fault_errno;
    if (!fails('t', class)) {
        done = real_ftruncate(fd, length);
        kept = errno;
    }
    if (done == 0) note('t', fd, length, NULL, 0);
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int ftruncate(int fd, off_t length) { return cut(fd, length); }
int ftruncate64(int fd, off_t length) { return cut(fd, length); }

static int flushed(int fd, int (*real)(int)) {
    char class = watched(fd);
    if (class == 0) return real(fd);
    pthread_mutex_lock(&lock);
    int done = -1, kept = fault_errno;
    if (!fails('s', class)) {
        done = real(fd);
        kept = errno;
    }
    note(done == 0 ? 's' : 'S', fd, 0, NULL, 0);
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int fsync(int fd) { return flushed(fd, real_fsync); }
int fdatasync(int fd) { return flushed(fd, real_fdatasync); }

int rename(const char *from, const char *to) {
    if (!below(from)) return real_rename(from, to);
    pthread_mutex_lock(&lock);
    int done = -1, kept = fault_errno;
    if (!fails('m', class_by_name(to))) {
        done = real_rename(from, to);
        kept = errno;
    }
    if (done == 0) {
        char both[8192];
        int length = snprintf(both, sizeof both, "%s%c%s", from, '\n', to);
        note('r', 0, 0, both, (uint32_t)length);
    }
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int unlink(const char *path) {
    if (!below(path)) return real_unlink(path);
    pthread_mutex_lock(&lock);
    int done = real_unlink(path), kept = errno;
    if (done == 0) note('u', 0, 0, path, (uint32_t)strlen(path));
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int mkdir(const char *path, mode_t mode) {
    if (!below(path)) return real_mkdir(path, mode);
    pthread_mutex_lock(&lock);
    int done = real_mkdir(path, mode), kept = errno;
    if (done == 0) note('m', 0, 0, path, (uint32_t)strlen(path));
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int close(int fd) {
    if (watched(fd) == 0) return real_close(fd);
    pthread_mutex_lock(&lock);
    class_of[fd] = 0;
    note('c', fd, 0, NULL, 0);
    int done = real_close(fd), kept = errno;
    pthread_mutex_unlock(&lock);
    errno = kept;
    return done;
}

int clock_gettime(clockid_t which, struct timespec *now) {
    /* It may be asked for the time before this library has begun. */
    if (real_clock_gettime == NULL) real_clock_gettime = find("clock_gettime");
    int done = real_clock_gettime(which, now);
    if (done == 0 && which == CLOCK_REALTIME) now->tv_sec += clock_offset;
    return done;
}
