// SPDX-License-Identifier: Apache-2.0
// Preloaded into the program under test (LD_PRELOAD): stands between it and the system, and fails what it is told to. What it does is
// told by environment variables, and without them it does nothing:
//   FAULT_ROOT   only calls on paths below this folder count
//   FAULT_CALL   which: write, fsync, close, rename, mkdir, read, or any
//   FAULT_AT     the number of the call that fails, from 1
//   FAULT_STAYS  set: the later ones fail as well, as on a full disk
//   FAULT_HOW    an errno value; or "short" (half of what was asked for), "kill" (SIGKILL before the call), "end" (SIGTERM before
//                it), "interrupt" (SIGINT), "grow", "shrink", "rewrite" (somebody else changes the file that is read)
//   FAULT_LOG    a file that every such call is written to, one a line
//   FAULT_CLOCK  the clock says this many seconds more, and runs backwards a second at every look
//   FAULT_ALARM  an alarm rings after this many seconds at the latest
//   FAULT_DECODER  what the JPEG 2000 decoder does: crash, wait, nonsense, flood
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <climits>
#include <csignal>
#include <cstdlib>
#include <string>
#include <string_view>

namespace {

std::string text_of(const char* variable) {
    const char* value = std::getenv(variable);
    return value != nullptr ? value : "";
}

struct Orders {
    std::string root = text_of("FAULT_ROOT"), call = text_of("FAULT_CALL"), how = text_of("FAULT_HOW"), decoder = text_of("FAULT_DECODER");
    long at = std::atol(text_of("FAULT_AT").c_str()), clock = std::atol(text_of("FAULT_CLOCK").c_str()), alarm = std::atol(text_of("FAULT_ALARM").c_str());
    bool stays = !text_of("FAULT_STAYS").empty();
    int log = -1;
    Orders() {
        const std::string file = text_of("FAULT_LOG");
        if (!file.empty()) log = static_cast<int>(::syscall(SYS_openat, AT_FDCWD, file.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600));
    }
};

const Orders& orders() {
    static const Orders* const all = new Orders;  // lives as long as the process, whatever is destroyed at its end
    return *all;
}

template <typename Function>
Function next(const char* name) {
    return reinterpret_cast<Function>(::dlsym(RTLD_NEXT, name));
}

std::string path_of(int descriptor) {
    char path[PATH_MAX];
    const long length = ::readlink(("/proc/self/fd/" + std::to_string(descriptor)).c_str(), path, sizeof path);
    return length > 0 ? std::string(path, static_cast<std::size_t>(length)) : "";
}

/// The file that is being read changes under the reader's hands, by somebody who sets the time of its content back.
void meddle(const std::string& path) {
    const std::string& how = orders().how;
    const int file = static_cast<int>(::syscall(SYS_openat, AT_FDCWD, path.c_str(), O_RDWR | O_CLOEXEC));
    struct stat status {};
    if (file < 0 || ::fstat(file, &status) != 0) return;
    const struct timespec while_a_clock_tick_passes {0, 20'000'000};
    ::nanosleep(&while_a_clock_tick_passes, nullptr);
    if (how == "shrink") {
        if (::ftruncate(file, status.st_size - 16) != 0) std::abort();
    } else {
        const char byte = 'x';
        if (::pwrite(file, &byte, 1, how == "grow" ? status.st_size : status.st_size - 1) != 1) std::abort();
    }
    const struct timespec times[2]{status.st_atim, status.st_mtim};
    if (::futimens(file, times) != 0) std::abort();
    ::syscall(SYS_close, file);
}

enum class Verdict { go_on, fail, half };

/// Whether this call is the one; errno is set where it is to fail.
Verdict judge(std::string_view call, const std::string& path, const std::string& other = {}) {
    const int before = errno;
    static std::atomic<long> count = 0;
    const Orders& told = orders();
    if (told.root.empty() || (!path.starts_with(told.root) && !other.starts_with(told.root))) return Verdict::go_on;
    if (told.log >= 0) {
        const std::string line = std::string(call) + " " + path + (other.empty() ? "" : " -> " + other) + "\n";
        ::syscall(SYS_write, told.log, line.data(), line.size());
    }
    errno = before;
    if (told.call != call && told.call != "any") return Verdict::go_on;
    const long number = ++count;
    if (told.at == 0 || number < told.at || (number > told.at && !told.stays)) return Verdict::go_on;
    if (told.how == "kill") ::kill(::getpid(), SIGKILL);
    if (told.how == "end" || told.how == "interrupt") {
        ::kill(::getpid(), told.how == "end" ? SIGTERM : SIGINT);
        return Verdict::go_on;
    }
    if (told.how == "grow" || told.how == "shrink" || told.how == "rewrite") {
        meddle(path);
        return Verdict::go_on;
    }
    if (told.how == "short") return Verdict::half;
    errno = std::atoi(told.how.c_str());
    return Verdict::fail;
}

std::size_t cut(Verdict verdict, std::size_t count) { return verdict == Verdict::half && count > 1 ? count / 2 : count; }

}  // namespace

extern "C" {

ssize_t write(int descriptor, const void* bytes, size_t count) {
    static const auto real = next<ssize_t (*)(int, const void*, size_t)>("write");
    const Verdict verdict = judge("write", path_of(descriptor));
    return verdict == Verdict::fail ? -1 : real(descriptor, bytes, cut(verdict, count));
}

ssize_t read(int descriptor, void* bytes, size_t count) {
    static const auto real = next<ssize_t (*)(int, void*, size_t)>("read");
    const Verdict verdict = judge("read", path_of(descriptor));
    return verdict == Verdict::fail ? -1 : real(descriptor, bytes, cut(verdict, count));
}

ssize_t pread(int descriptor, void* bytes, size_t count, off_t offset) {
    static const auto real = next<ssize_t (*)(int, void*, size_t, off_t)>("pread");
    const Verdict verdict = judge("read", path_of(descriptor));
    return verdict == Verdict::fail ? -1 : real(descriptor, bytes, cut(verdict, count), offset);
}

int fsync(int descriptor) {
    static const auto real = next<int (*)(int)>("fsync");
    return judge("fsync", path_of(descriptor)) == Verdict::fail ? -1 : real(descriptor);
}

/// As the system does it: the descriptor is gone whether or not an error is told.
int close(int descriptor) {
    static const auto real = next<int (*)(int)>("close");
    const Verdict verdict = judge("close", path_of(descriptor));
    const int reason = errno, result = real(descriptor);
    if (verdict != Verdict::fail) return result;
    errno = reason;
    return -1;
}

int rename(const char* from, const char* to) noexcept {
    static const auto real = next<int (*)(const char*, const char*)>("rename");
    return judge("rename", from, to) == Verdict::fail ? -1 : real(from, to);
}

int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) noexcept {
    static const auto real = next<int (*)(int, const char*, int, const char*, unsigned)>("renameat2");
    return judge("rename", from, to) == Verdict::fail ? -1 : real(from_folder, from, to_folder, to, flags);
}

int mkdir(const char* path, mode_t mode) noexcept {
    static const auto real = next<int (*)(const char*, mode_t)>("mkdir");
    return judge("mkdir", path) == Verdict::fail ? -1 : real(path, mode);
}

int clock_gettime(clockid_t clock, struct timespec* now) noexcept {
    static std::atomic<long> looks = 0;
    const long result = ::syscall(SYS_clock_gettime, clock, now);
    // Asked first: sanitizers look at another clock while they hold the lock that making the orders needs.
    if (clock == CLOCK_REALTIME && orders().clock != 0) now->tv_sec += orders().clock - ++looks;
    return static_cast<int>(result);
}

time_t time(time_t* out) noexcept {
    struct timespec now {};
    clock_gettime(CLOCK_REALTIME, &now);
    if (out != nullptr) *out = now.tv_sec;
    return now.tv_sec;
}

int gettimeofday(struct timeval* out, void*) noexcept {
    struct timespec now {};
    clock_gettime(CLOCK_REALTIME, &now);
    *out = {now.tv_sec, now.tv_nsec / 1000};
    return 0;
}

unsigned alarm(unsigned seconds) noexcept {
    static const auto real = next<unsigned (*)(unsigned)>("alarm");
    const auto most = static_cast<unsigned>(orders().alarm);
    return real(most != 0 && seconds > most ? most : seconds);
}

int opj_decode(void* codec, void* stream, void* image) {
    static const auto real = next<int (*)(void*, void*, void*)>("opj_decode");
    const std::string& how = orders().decoder;
    if (how.empty()) return real(codec, stream, image);
    if (how == "crash") ::raise(SIGSEGV);
    while (how == "wait") ::pause();
    if (how == "flood") {
        const std::string words(1 << 16, '!');
        for (const int descriptor : {STDOUT_FILENO, STDERR_FILENO})
            for (int i = 0; i < 64; ++i)
                if (::syscall(SYS_write, descriptor, words.data(), words.size()) < 0) return 0;
        return 0;
    }
    return 1;  // nonsense: all went well, and nothing was done
}

}  // extern "C"
