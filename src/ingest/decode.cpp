// SPDX-License-Identifier: Apache-2.0
#include "decode.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <new>

#include "decode_in_process.h"
#include "dicom_library.h"
#include "perisclera/core/limits.h"

namespace perisclera {

namespace {

#if defined(__SANITIZE_ADDRESS__)
constexpr bool memory_can_be_limited = false;  // the sanitizer reserves terabytes of address space
#else
constexpr bool memory_can_be_limited = true;
#endif

// Slices whose pixels are in memory shared with the children at a time: keeps the peak small and forks few.
constexpr std::size_t batch_size = 64;

enum class Outcome : int { not_reached, being_decoded, decoded, refused, unreadable, changed, died };

/// Memory that children write and the parent reads.
class SharedMemory {
public:
    explicit SharedMemory(std::size_t bytes)
        : bytes_(bytes), start_(::mmap(nullptr, bytes, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0)) {}
    SharedMemory(const SharedMemory&) = delete;
    SharedMemory& operator=(const SharedMemory&) = delete;
    ~SharedMemory() {
        if (valid()) ::munmap(start_, bytes_);
    }
    [[nodiscard]] bool valid() const { return start_ != MAP_FAILED; }
    [[nodiscard]] unsigned char* start() const { return static_cast<unsigned char*>(start_); }

private:
    std::size_t bytes_;
    void* start_;
};

std::size_t native_bytes(const SliceHeader& slice) {
    return static_cast<std::size_t>(slice.geometry.rows) * static_cast<std::size_t>(slice.geometry.columns) *
           static_cast<std::size_t>(slice.pixels.bits_allocated / 8);
}

/// One batch: the outcomes, then the pixels of each slice, in shared memory.
struct Batch {
    std::span<const SliceHeader* const> slices;
    std::vector<std::size_t> offsets;
    std::atomic<Outcome>* outcomes;
    unsigned char* pixels;
    static_assert(std::atomic<Outcome>::is_always_lock_free, "shared between processes");
    [[nodiscard]] std::span<unsigned char> pixels_of(std::size_t i) const { return {pixels + offsets[i], native_bytes(*slices[i])}; }
};

rlim_t address_space_in_use() {
    std::FILE* file = std::fopen("/proc/self/statm", "re");
    unsigned long pages = 0;
    const bool known = file != nullptr && std::fscanf(file, "%lu", &pages) == 1;
    if (file != nullptr) std::fclose(file);
    return known ? static_cast<rlim_t>(pages) * static_cast<rlim_t>(::sysconf(_SC_PAGESIZE)) : 0;
}

void limit(__rlimit_resource resource, rlim_t soft) {
    rlimit current{};
    if (::getrlimit(resource, &current) != 0) return;
    current.rlim_cur = std::min(soft, current.rlim_max);
    ::setrlimit(resource, &current);
}

void limit_processor_time() {
    rusage used{};
    ::getrusage(RUSAGE_SELF, &used);
    limit(RLIMIT_CPU, static_cast<rlim_t>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + 1 + limits::decode_seconds);
}

Outcome outcome_of(bool good, std::optional<ErrorCode> trouble) {
    if (good) return Outcome::decoded;
    if (trouble == ErrorCode::cannot_read) return Outcome::unreadable;
    return trouble == ErrorCode::changed_while_reading ? Outcome::changed : Outcome::refused;
}

/// Decodes every `stride`-th slice from `first` on, then ends the child.
[[noreturn]] void run_child(const Batch& batch, std::size_t first, std::size_t stride) {
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    for (const int signal : {SIGINT, SIGTERM, SIGXCPU, SIGALRM}) std::signal(signal, SIG_DFL);
    limit(RLIMIT_CORE, 0);
    if (memory_can_be_limited) limit(RLIMIT_AS, address_space_in_use() + limits::decode_bytes);
    // A dying decoder's last words may quote the file, and nothing of a decoder's belongs among the results.
    if (const int nowhere = ::open("/dev/null", O_WRONLY); nowhere >= 0)
        for (const int descriptor : {STDOUT_FILENO, STDERR_FILENO}) ::dup2(nowhere, descriptor);
    ImageFiles files;
    for (std::size_t i = first; i < batch.slices.size(); i += stride) {
        batch.outcomes[i] = Outcome::being_decoded;
        limit_processor_time();
        ::alarm(static_cast<unsigned>(limits::decode_seconds));  // for a decoder that waits instead of working
        bool good = false;
        try {
            good = decode_in_process(files, *batch.slices[i], batch.pixels_of(i));
        } catch (...) {  // out of memory, or a decoder's own exception: the slice counts as refused
            good = false;
        }
        batch.outcomes[i] = outcome_of(good, files.trouble());
    }
    ::_exit(0);
}

struct Child {
    pid_t process = -1;
    std::size_t first;  ///< first slice of its share that is not settled
};

/// Runs until every slice is settled; a child that dies costs the slice it was at. False when no process can be started.
bool decode_batch(const Batch& batch, std::size_t children) {
    const std::size_t count = batch.slices.size(), stride = std::min(children, count);
    std::vector<Child> running(stride);
    for (std::size_t c = 0; c < stride; ++c) running[c].first = c;
    bool can_start = true;
    while (can_start && std::any_of(running.begin(), running.end(), [&](const Child& child) { return child.first < count; })) {
        for (Child& child : running) {
            if (child.first >= count) continue;
            child.process = ::fork();
            if (child.process == 0) run_child(batch, child.first, stride);
            can_start = can_start && child.process > 0;
        }
        for (Child& child : running) {
            if (child.process <= 0) continue;
            int status = 0;
            while (::waitpid(child.process, &status, 0) < 0 && errno == EINTR) {
            }
            child.process = -1;
            while (child.first < count && batch.outcomes[child.first] >= Outcome::decoded) child.first += stride;
            if (child.first < count) {
                batch.outcomes[child.first] = Outcome::died;
                child.first += stride;
            }
        }
    }
    return can_start;
}

}  // namespace

std::vector<std::optional<Error>> decode_slices(std::span<const SliceHeader* const> slices, int children,
                                                const std::function<void(std::size_t, std::span<const unsigned char>)>& take) {
    prepare_dicom_library();
    std::vector<std::optional<Error>> errors(slices.size());
    for (std::size_t start = 0; start < slices.size(); start += batch_size) {
        Batch batch{slices.subspan(start, std::min(batch_size, slices.size() - start)), {}, nullptr, nullptr};
        std::size_t bytes = 0;
        for (const SliceHeader* slice : batch.slices) {
            batch.offsets.push_back(bytes);
            bytes += native_bytes(*slice);
        }
        const SharedMemory memory(batch_size * sizeof(std::atomic<Outcome>) + bytes);
        const auto refuse = [&](std::size_t i, ErrorCode code, const char* what) {
            errors[start + i] = Error{code, what, batch.slices[i]->where, "export the series again, uncompressed if possible"};
        };
        bool worked = memory.valid();
        if (worked) {
            batch.outcomes = new (memory.start()) std::atomic<Outcome>[batch_size]();
            batch.pixels = memory.start() + batch_size * sizeof(std::atomic<Outcome>);
            worked = decode_batch(batch, static_cast<std::size_t>(std::max(children, 1)));
        }
        for (std::size_t i = 0; i < batch.slices.size(); ++i) {
            const Outcome outcome = memory.valid() ? batch.outcomes[i].load() : Outcome::not_reached;
            if (outcome == Outcome::decoded)
                take(start + i, batch.pixels_of(i));
            else if (outcome == Outcome::not_reached && !worked)
                refuse(i, ErrorCode::limit_reached, "no memory or process for decoding");
            else if (outcome == Outcome::unreadable)
                errors[start + i] = Error{ErrorCode::cannot_read, "cannot be read", batch.slices[i]->where, "copy the file again from its source"};
            else if (outcome == Outcome::changed)
                errors[start + i] = changed_while_reading(batch.slices[i]->where);
            else if (outcome == Outcome::died)
                refuse(i, ErrorCode::decode_failed, "compressed pixels are damaged: decoding failed or passed its limits");
            else
                refuse(i, ErrorCode::decode_failed, "compressed pixels are damaged");
        }
    }
    return errors;
}

}  // namespace perisclera
