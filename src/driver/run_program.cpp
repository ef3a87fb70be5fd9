#include "driver/run_program.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

// A file without a name: so that neither side ever waits for the other.
class Scratch {
public:
    Scratch() : file_(::memfd_create("benchleaf", MFD_CLOEXEC)) {}
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    ~Scratch() {
        if (file_ >= 0) ::close(file_);
    }
    int file() const { return file_; }

    bool put(std::string_view text) const {
        while (!text.empty()) {
            const ssize_t n = ::write(file_, text.data(), text.size());
            if (n < 0 && errno == EINTR) continue;
            if (n < 0) return false;
            text.remove_prefix(static_cast<std::size_t>(n));
        }
        return ::lseek(file_, 0, SEEK_SET) == 0;
    }
    std::string all() const {
        const off_t size = ::lseek(file_, 0, SEEK_END);
        std::string text(size > 0 ? static_cast<std::size_t>(size) : 0, '\0');
        std::size_t got = 0;
        while (got < text.size()) {
            const ssize_t n = ::pread(file_, text.data() + got, text.size() - got, static_cast<off_t>(got));
            if (n < 0 && errno == EINTR) continue;
            if (n <= 0) break;
            got += static_cast<std::size_t>(n);
        }
        text.resize(got);
        return text;
    }

private:
    int file_;
};

} // namespace

base::Result<Ran> run_program(const std::vector<std::string>& arguments, std::string_view in) {
    const Scratch input, output, errors;
    if (input.file() < 0 || output.file() < 0 || errors.file() < 0 || !input.put(in))
        return base::Failure{fmt::format("cannot run {}: {}", arguments[0], std::strerror(errno))};

    std::vector<std::string> texts = arguments;
    std::vector<char*> words;
    for (std::string& each : texts) words.push_back(each.data());
    words.push_back(nullptr);
    std::vector<std::string> settings = {"LC_ALL=C", "GIT_TERMINAL_PROMPT=0", "GIT_OPTIONAL_LOCKS=0"};
    for (char** each = environ; *each != nullptr; ++each) {
        const std::string_view one = *each;
        if (!one.starts_with("LC_ALL=") && !one.starts_with("LANGUAGE=")) settings.emplace_back(one);
    }
    std::vector<char*> environment;
    for (std::string& each : settings) environment.push_back(each.data());
    environment.push_back(nullptr);

    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, input.file(), STDIN_FILENO);
    posix_spawn_file_actions_adddup2(&actions, output.file(), STDOUT_FILENO);
    posix_spawn_file_actions_adddup2(&actions, errors.file(), STDERR_FILENO);
    pid_t child = 0;
    const int failed = ::posix_spawnp(&child, words[0], &actions, nullptr, words.data(), environment.data());
    posix_spawn_file_actions_destroy(&actions);
    if (failed != 0)
        return base::Failure{failed == ENOENT
                                 ? fmt::format("{} is not on this machine, and this needs it", arguments[0])
                                 : fmt::format("cannot run {}: {}", arguments[0], std::strerror(failed))};
    int state = 0;
    while (::waitpid(child, &state, 0) < 0 && errno == EINTR) {
    }
    Ran ran;
    ran.status = WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
    ran.out = output.all();
    ran.err = errors.all();
    return ran;
}

} // namespace benchleaf::driver
