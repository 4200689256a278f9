/* Stands between a program and the file operations it makes under one folder: counts them, writes them down, and at a given
   one kills the process or lets it fail. Built by tests/faults/harness.py, loaded with LD_PRELOAD.

   FAULT_UNDER  the folder
   FAULT_AT     the number of the operation, from 1 (0: never)
   FAULT_KIND   kill | torn (half of a write, then kill) | or an errno: the operation fails with it
   FAULT_LASTS  1: every later operation of the kind that writes fails too
   FAULT_LOG    a file that gets one line an operation, standard output's lines included */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

static int count = 0;

static const char *setting(const char *name) { const char *v = getenv(name); return v ? v : ""; }

static int under(const char *path) {
    const char *folder = setting("FAULT_UNDER");
    return *folder && path && strncmp(path, folder, strlen(folder)) == 0;
}

static void whole(int dir, const char *path, char *out) {
    if (path[0] == '/') { snprintf(out, PATH_MAX, "%s", path); return; }
    char base[PATH_MAX / 2] = "", link[64];
    if (dir == AT_FDCWD) { if (!getcwd(base, sizeof base)) base[0] = 0; }
    else {
        snprintf(link, sizeof link, "/proc/self/fd/%d", dir);
        ssize_t n = syscall(SYS_readlink, link, base, sizeof base - 1);
        base[n > 0 ? n : 0] = 0;
    }
    snprintf(out, PATH_MAX, "%s/%.2000s", base, path);
}

static void of_handle(int fd, char *out) {
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = syscall(SYS_readlink, link, out, PATH_MAX - 1);
    out[n > 0 ? n : 0] = 0;
}

static void tell(const char *what, const char *path, const char *other) {
    const char *log = setting("FAULT_LOG");
    if (!*log) return;
    char line[3 * PATH_MAX];
    int n = snprintf(line, sizeof line, "%s\t%s\t%s\n", what, path, other ? other : "");
    int fd = syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_APPEND | O_CREAT, 0600);
    syscall(SYS_write, fd, line, n);
    syscall(SYS_close, fd);
}

/* 0: go on; -1: fail, errno is set; 1: a write is to be torn */
static int meets(const char *what, const char *path, const char *other) {
    int at = atoi(setting("FAULT_AT")), now = ++count;
    const char *kind = setting("FAULT_KIND");
    int hit = at && (now == at || (now > at && *setting("FAULT_LASTS") == '1'));
    if (!hit) { tell(what, path, other); return 0; }
    if (!strcmp(kind, "torn") && strcmp(what, "write") == 0) return 1;
    if (!strcmp(kind, "kill") || !strcmp(kind, "torn")) { syscall(SYS_kill, getpid(), SIGKILL); pause(); }
    tell("fault", path, what);
    errno = atoi(kind);
    return -1;
}

#define REAL(name) static __typeof__(&name) real; if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

static ssize_t torn(int fd, const void *bytes, size_t size) {
    syscall(SYS_write, fd, bytes, size / 2);
    syscall(SYS_kill, getpid(), SIGKILL);
    pause();
    return -1;
}

ssize_t write(int fd, const void *bytes, size_t size) {
    char path[PATH_MAX];
    of_handle(fd, path);
    if (fd == 1) tell("told", path, "");
    if (under(path)) switch (meets("write", path, NULL)) { case -1: return -1; case 1: return torn(fd, bytes, size); }
    return syscall(SYS_write, fd, bytes, size);
}

static ssize_t at_offset(int fd, const void *bytes, size_t size, off_t offset) {
    char path[PATH_MAX];
    of_handle(fd, path);
    if (under(path)) switch (meets("write", path, NULL)) {
        case -1: return -1;
        case 1: syscall(SYS_pwrite64, fd, bytes, size / 2, offset); syscall(SYS_kill, getpid(), SIGKILL); pause();
    }
    return syscall(SYS_pwrite64, fd, bytes, size, offset);
}
ssize_t pwrite(int fd, const void *bytes, size_t size, off_t offset) { return at_offset(fd, bytes, size, offset); }
ssize_t pwrite64(int fd, const void *bytes, size_t size, off_t offset) { return at_offset(fd, bytes, size, offset); }

static int synced(int fd, long call) {
    char path[PATH_MAX];
    of_handle(fd, path);
    if (under(path) && meets("sync", path, NULL)) return -1;
    return syscall(call, fd);
}
int fsync(int fd) { return synced(fd, SYS_fsync); }
int fdatasync(int fd) { return synced(fd, SYS_fdatasync); }

static int cut(int fd, off_t size) {
    char path[PATH_MAX];
    of_handle(fd, path);
    if (under(path) && meets("cut", path, NULL)) return -1;
    return syscall(SYS_ftruncate, fd, size);
}
int ftruncate(int fd, off_t size) { return cut(fd, size); }
int ftruncate64(int fd, off_t size) { return cut(fd, size); }

static int opened(int dir, const char *name, int flags, int mode) {
    char path[PATH_MAX];
    whole(dir, name, path);
    if ((flags & O_CREAT) && under(path) && syscall(SYS_faccessat, dir, name, F_OK) != 0 && meets("make", path, NULL)) return -1;
    return syscall(SYS_openat, dir, name, flags, mode);
}
#define MODE int mode = 0; if (flags & O_CREAT) { va_list more; va_start(more, flags); mode = va_arg(more, int); va_end(more); }
int open(const char *name, int flags, ...) { MODE return opened(AT_FDCWD, name, flags, mode); }
int open64(const char *name, int flags, ...) { MODE return opened(AT_FDCWD, name, flags | O_LARGEFILE, mode); }
int openat(int dir, const char *name, int flags, ...) { MODE return opened(dir, name, flags, mode); }
int openat64(int dir, const char *name, int flags, ...) { MODE return opened(dir, name, flags | O_LARGEFILE, mode); }

static int renamed(int from, const char *old, int to, const char *new) {
    char a[PATH_MAX], b[PATH_MAX];
    whole(from, old, a);
    whole(to, new, b);
    if (under(b) && meets("rename", a, b)) return -1;
    return syscall(SYS_renameat2, from, old, to, new, 0);
}
int rename(const char *old, const char *new) { return renamed(AT_FDCWD, old, AT_FDCWD, new); }
int renameat(int from, const char *old, int to, const char *new) { return renamed(from, old, to, new); }

static int removed(int dir, const char *name, int flags) {
    char path[PATH_MAX];
    whole(dir, name, path);
    if (under(path) && meets("remove", path, NULL)) return -1;
    return syscall(SYS_unlinkat, dir, name, flags);
}
int unlink(const char *name) { return removed(AT_FDCWD, name, 0); }
int unlinkat(int dir, const char *name, int flags) { return removed(dir, name, flags); }
int rmdir(const char *name) { return removed(AT_FDCWD, name, AT_REMOVEDIR); }

int mkdir(const char *name, mode_t mode) {
    char path[PATH_MAX];
    whole(AT_FDCWD, name, path);
    if (under(path) && meets("folder", path, NULL)) return -1;
    return syscall(SYS_mkdirat, AT_FDCWD, name, mode);
}
