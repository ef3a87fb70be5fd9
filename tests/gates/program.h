// For tests that run the real program: start it in a folder, with or without input, and get all that came of it: the exit status,
// both streams, how long it took and how much memory. A program that does not end is killed.
#pragma once

#include <atomic>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

namespace benchleaf::gates {

struct Ran {
    int status = -1; // 128 + the signal when it was killed
    std::string out;
    std::string err;
    double seconds = 0;     // on the clock
    double cpu_seconds = 0; // user and system
    long peak_kib = 0;      // resident set
};

struct How {
    std::string folder = "."; // where it runs
    std::string out = "";     // a path to which standard output goes, in place of `Ran::out`
    unsigned most_seconds = 60;
    std::vector<std::string> environment = {};       // "NO_COLOR=1", besides PATH
    std::optional<double> kill_after = std::nullopt; // seconds, then SIGKILL
    void (*in_child)() = nullptr;                    // right before it starts: limits, a mask, closed streams
};

inline std::string program() {
    return std::string(BENCHLEAF_BINARY_DIR) + "/benchleaf";
}

inline std::string read(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

inline void write(const std::filesystem::path& path, std::string_view bytes) {
    std::filesystem::create_directories(path.parent_path());
    std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

// An empty folder for one test's files, under the build folder.
inline std::string scratch(const std::string& name) {
    const std::string folder = std::string(BENCHLEAF_BINARY_DIR) + "/scratch/" + name;
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    return folder;
}

inline Ran run(const std::string& path, const std::vector<std::string>& arguments, const How& how = {}) {
    char out_name[] = "/tmp/benchleaf-test-XXXXXX";
    char err_name[] = "/tmp/benchleaf-test-XXXXXX";
    const int out = mkstemp(out_name);
    const int err = mkstemp(err_name);
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), path);
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    std::vector<std::string> environment = how.environment;
    environment.emplace_back("PATH=/usr/bin:/bin");
    // What a sanitizer finds must not be taken for the program's own status 1. Where memory was asked for is noted briefly: it takes a fifth of the time.
    // Whether anything is left at its end takes two fifths of a start, and is asked of each fifth one.
    static std::atomic<unsigned> starts{0};
    constexpr unsigned asked = 5;
    environment.emplace_back(std::string("ASAN_OPTIONS=exitcode=99:malloc_context_size=2:detect_leaks=") +
                             (starts++ % asked == 0 ? "1" : "0"));
    environment.emplace_back("UBSAN_OPTIONS=exitcode=99");
    environment.emplace_back("TSAN_OPTIONS=exitcode=99");
    std::vector<char*> envp;
    for (std::string& each : environment) envp.push_back(each.data());
    envp.push_back(nullptr);

    Ran ran;
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = fork();
    if (child == 0) {
        const int where = how.out.empty() ? out : open(how.out.c_str(), O_WRONLY);
        const int nothing = open("/dev/null", O_RDONLY);
        if (chdir(how.folder.c_str()) != 0 || where < 0) _exit(126);
        dup2(nothing, 0);
        dup2(where, 1);
        dup2(err, 2);
        alarm(how.most_seconds); // kept over exec: a program that hangs is ended
        if (how.in_child != nullptr) how.in_child();
        execve(path.c_str(), argv.data(), envp.data());
        _exit(127);
    }
    if (how.kill_after) {
        usleep(static_cast<useconds_t>(*how.kill_after * 1e6));
        kill(child, SIGKILL);
    }
    int status = 0;
    rusage used{};
    while (wait4(child, &status, 0, &used) < 0 && errno == EINTR) {
    }
    ran.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6;
    };
    ran.cpu_seconds = seconds(used.ru_utime) + seconds(used.ru_stime);
    ran.peak_kib = used.ru_maxrss;
    ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    ran.out = read(out_name);
    ran.err = read(err_name);
    close(out);
    close(err);
    std::filesystem::remove(out_name);
    std::filesystem::remove(err_name);
    return ran;
}

inline Ran run(const std::vector<std::string>& arguments, const How& how = {}) {
    return run(program(), arguments, how);
}

} // namespace benchleaf::gates
