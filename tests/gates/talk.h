// A conversation with the real program: what it asks on standard error up to "> " is handed to a function, whose answer is typed. The program can be ended in the
// middle of it, as a closed terminal or a lost light would.
#pragma once

#include "gates/program.h"

#include <functional>
#include <optional>
#include <poll.h>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::gates {

struct Talk {
    Ran ran;                        // `err` is all that it said, with the answers in it
    std::vector<std::string> taken; // answers after which it asked on: they were heard
};

// `answer` gets the line that asks; nothing closes the input. `kill_after`: seconds, then SIGKILL.
inline Talk talk(const std::vector<std::string>& arguments,
                 const std::function<std::optional<std::string>(const std::string&)>& answer, const How& how = {},
                 std::optional<double> kill_after = std::nullopt) {
    int in[2], err[2], out[2];
    if (pipe(in) != 0 || pipe(err) != 0 || pipe(out) != 0) std::abort();
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), program());
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    std::vector<std::string> environment = how.environment;
    environment.insert(environment.end(), {"PATH=/usr/bin:/bin", "ASAN_OPTIONS=exitcode=99:malloc_context_size=2",
                                           "UBSAN_OPTIONS=exitcode=99"});
    std::vector<char*> envp;
    for (std::string& each : environment) envp.push_back(each.data());
    envp.push_back(nullptr);

    Talk made;
    const auto start = std::chrono::steady_clock::now();
    const auto passed = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };
    const pid_t child = fork();
    if (child == 0) {
        if (chdir(how.folder.c_str()) != 0) _exit(126);
        dup2(in[0], 0);
        dup2(out[1], 1);
        dup2(err[1], 2);
        for (const int end : {in[0], in[1], out[0], out[1], err[0], err[1]}) close(end);
        alarm(how.most_seconds);
        execve(argv[0], argv.data(), envp.data());
        _exit(127);
    }
    close(in[0]);
    close(out[1]);
    close(err[1]);
    std::signal(SIGPIPE, SIG_IGN);
    std::string line;
    std::optional<std::string> typed; // not yet known to be heard
    constexpr int most_questions = 1000;
    int asked = 0;
    bool open = true;
    bool killed = false;
    for (bool said = true; said;) {
        pollfd ready[2] = {{err[0], POLLIN, 0}, {out[0], POLLIN, 0}};
        const int wait = kill_after && !killed ? static_cast<int>(std::max(0.0, (*kill_after - passed()) * 1000)) : 100;
        poll(ready, 2, std::min(wait, 100));
        if (kill_after && !killed && passed() >= *kill_after) {
            kill(child, SIGKILL);
            killed = true;
        }
        char piece[4096];
        if ((ready[1].revents & (POLLIN | POLLHUP)) != 0) {
            const ssize_t n = ::read(out[0], piece, sizeof piece);
            if (n > 0) made.ran.out.append(piece, static_cast<std::size_t>(n));
        }
        if ((ready[0].revents & (POLLIN | POLLHUP)) == 0) continue;
        const ssize_t n = ::read(err[0], piece, sizeof piece);
        if (n <= 0) break;
        made.ran.err.append(piece, static_cast<std::size_t>(n));
        line.append(piece, static_cast<std::size_t>(n));
        if (!line.ends_with(" > ") || !open) continue;
        if (typed) made.taken.push_back(*std::exchange(typed, std::nullopt));
        const std::size_t last = line.rfind('\n');
        if (++asked > most_questions) { // it goes round in a ring
            kill(child, SIGKILL);
            break;
        }
        typed = answer(last == std::string::npos ? line : line.substr(last + 1));
        line.clear();
        if (!typed) {
            close(in[1]);
            open = false;
            continue;
        }
        made.ran.err += *typed + "\n";
        const std::string bytes = *typed + "\n";
        if (::write(in[1], bytes.data(), bytes.size()) < 0) open = false;
    }
    if (open) close(in[1]);
    for (char piece[4096];;) {
        const ssize_t n = ::read(out[0], piece, sizeof piece);
        if (n <= 0) break;
        made.ran.out.append(piece, static_cast<std::size_t>(n));
    }
    int status = 0;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    close(out[0]);
    close(err[0]);
    made.ran.seconds = passed();
    made.ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return made;
}

} // namespace benchleaf::gates
