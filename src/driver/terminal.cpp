#include "driver/terminal.h"

#include "driver/disk.h"

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <fmt/format.h>
#include <poll.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

// 0, or the error. Who reads at the other end of a pipe that must not wait is waited for here.
int write_all(int fd, std::string_view text) {
    while (!text.empty()) {
        const ssize_t n = uninterrupted([&] { return ::write(fd, text.data(), text.size()); });
        if (n < 0 && errno == EAGAIN) {
            pollfd ready{fd, POLLOUT, 0};
            (void)::poll(&ready, 1, -1);
        } else if (n <= 0) {
            return n < 0 ? errno : ENOSPC;
        } else {
            text.remove_prefix(static_cast<std::size_t>(n));
        }
    }
    return 0;
}

bool wants_colour(Colour colour, int fd) {
    if (colour != Colour::automatic) return colour == Colour::always;
    const char* no = std::getenv("NO_COLOR"); // set to anything but nothing: no colour
    if (no && *no != '\0') return false;
    const char* kind = std::getenv("TERM");
    if (kind && std::string_view(kind) == "dumb") return false;
    return ::isatty(fd) == 1;
}

} // namespace

void Terminal::say(std::string_view text) {
    (void)write_all(STDERR_FILENO, text); // there is nowhere left to complain
}

bool Terminal::colour_of_errors() const {
    return wants_colour(colour_, STDERR_FILENO);
}

bool Terminal::colour_of_results() const {
    return wants_colour(colour_, STDOUT_FILENO);
}

bool Terminal::results_on_screen() const {
    return isatty(STDOUT_FILENO) == 1;
}

bool Terminal::somebody_types() const {
    return isatty(STDIN_FILENO) == 1;
}

std::size_t Terminal::columns() const {
    constexpr std::size_t without = 100;
    winsize size{};
    if (::isatty(STDERR_FILENO) != 1 || ::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
        return without;
    return size.ws_col;
}

base::Result<base::Done> Terminal::finish(bool ends) {
    int error = write_all(STDOUT_FILENO, results_);
    if (error == EPIPE) {
        // Nobody wants to know any more. What was to be done is done; so it ends as any program does in a pipe.
        std::signal(SIGPIPE, SIG_DFL);
        std::raise(SIGPIPE);
    }
    results_.clear();
    if (error == 0 && ends) error = close_file(STDOUT_FILENO);
    if (error != 0) return base::Failure{fmt::format("cannot write to standard output: {}", std::strerror(error))};
    return base::Done{};
}

} // namespace benchleaf::driver
