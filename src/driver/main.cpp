#include "driver/run.h"

#include <csignal>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <fcntl.h>
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

namespace {

// A large shop is some hundred megabytes in small pieces, and a seventh of the time of `check` went to the system's handing them out four kilobytes at a time.
// The heap is asked for in one stretch, of which nothing is taken before it is used, in large pages where the system has them. Where it is not to be had,
// nothing is lost but that time.
void ask_for_large_pages() {
    constexpr std::size_t stretch = std::size_t{192} << 20;
    constexpr std::uintptr_t page = std::uintptr_t{2} << 20;
    mallopt(M_TOP_PAD, static_cast<int>(stretch));
    mallopt(M_TRIM_THRESHOLD, static_cast<int>(2 * stretch));
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    void* volatile piece =
        std::malloc(std::size_t{4} << 20); // more than is left of the first one: the stretch is taken now
    std::free(piece);
    // Whoever may not have so much (ulimit -v) gets on with little.
    constexpr int little = 128 << 10;
    if (piece == nullptr) mallopt(M_TOP_PAD, little);
    auto* const end = static_cast<char*>(sbrk(0));
    const std::size_t beyond = reinterpret_cast<std::uintptr_t>(end) % page; // of the last whole page
    if (mallinfo2().arena >= stretch) madvise(end - beyond - (stretch - page), stretch - page + beyond, MADV_HUGEPAGE);
}

// Where one of the three standard streams is closed, the next file that is opened would take its place, and what is said would go into it. What takes the
// place now gives nothing, and takes nothing without an error.
void keep_standard_streams_apart() {
    constexpr int streams = 3;
    for (int each = 0; each < streams; ++each)
        if (fcntl(each, F_GETFD) < 0) (void)open("/dev/null", O_RDONLY);
}

} // namespace

int main(int argc, char** argv) {
    ask_for_large_pages();
    keep_standard_streams_apart();
    // A file that may not grow is then a failed write like any other: it is told, and nothing half written is left.
    std::signal(SIGXFSZ, SIG_IGN);
    // So is a pipe that nobody reads any more: what was begun is brought to its end (driver/terminal.h).
    std::signal(SIGPIPE, SIG_IGN);
    return benchleaf::driver::run(argc, argv);
}
