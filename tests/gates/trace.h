// The real program under watch: each of its calls to the file system is stopped before it is made (seccomp and ptrace), counted, and one of them can be made to
// fail, to write half, or to be the last thing that the program did. Calls on files below one folder count, and no others. For x86-64 Linux.
#pragma once

#include "gates/program.h"

#include <array>
#include <cstddef>
#include <cstring>
#include <functional>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <map>
#include <optional>
#include <string>
#include <sys/prctl.h>
#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <sys/user.h>
#include <vector>

namespace benchleaf::gates {

enum class Sort {
    open_to_read,
    open_to_write,
    read,
    write,
    fsync,
    rename,
    link,
    unlink,
    mkdir,
    rmdir,
    ftruncate,
    flock,
    close,
    fchmod
};
inline constexpr std::array<const char*, 14> sort_words = {"open to read", "open to write", "read",   "write", "fsync",
                                                           "rename",       "link",          "unlink", "mkdir", "rmdir",
                                                           "ftruncate",    "flock",         "close",  "fchmod"};
inline const char* word(Sort sort) {
    return sort_words[static_cast<std::size_t>(sort)];
}

struct Called {
    Sort sort;
    std::string path;      // of a rename or link the new name
    bool to_write = false; // the file was opened to be written
    bool folder = false;   // it is opened as a folder
};

struct Fault {
    enum class What { none, fails, writes_half, is_last }; // the last one: SIGKILL in its place
    What what = What::none;
    std::size_t at = 0; // which call, from 0
    int error = 0;
    bool from_then_on = false; // and so does each later one that writes
};

struct Watched {
    Ran ran;
    std::vector<Called> calls;
    bool struck = false; // the fault was reached
};

namespace watching {

inline constexpr std::array<long, 24> numbers = {
    SYS_open,     SYS_openat,    SYS_creat,   SYS_read,     SYS_pread64,   SYS_write, SYS_pwrite64, SYS_writev,
    SYS_fsync,    SYS_fdatasync, SYS_rename,  SYS_renameat, SYS_renameat2, SYS_link,  SYS_linkat,   SYS_unlink,
    SYS_unlinkat, SYS_mkdir,     SYS_mkdirat, SYS_rmdir,    SYS_ftruncate, SYS_flock, SYS_close,    SYS_fchmod};

// In the child: those calls stop it, all others run.
inline void ask_to_be_stopped() {
    std::vector<sock_filter> rules = {BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr))};
    for (std::size_t i = 0; i < numbers.size(); ++i)
        rules.push_back(BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, static_cast<unsigned>(numbers[i]),
                                 static_cast<unsigned char>(numbers.size() - i), 0));
    rules.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
    rules.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_TRACE));
    const sock_fprog filter{static_cast<unsigned short>(rules.size()), rules.data()};
    prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    if (prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) != 0) _exit(125);
}

inline std::string text_at(pid_t child, unsigned long long address) {
    std::string text(4096, '\0');
    iovec here{text.data(), text.size()};
    // A page at a time, for behind the text there may be none.
    std::size_t got = 0;
    while (got < text.size()) {
        const std::size_t piece = std::min<std::size_t>(4096 - (address + got) % 4096, text.size() - got);
        here = {text.data() + got, piece};
        iovec there{reinterpret_cast<void*>(address + got),
                    piece}; // NOLINT(performance-no-int-to-ptr): an address of the other one
        const ssize_t n = process_vm_readv(child, &here, 1, &there, 1, 0);
        if (n <= 0) break;
        got += static_cast<std::size_t>(n);
        if (text.find('\0') < got) break;
    }
    return text.c_str();
}

inline std::string link_of(pid_t child, const std::string& what) {
    std::error_code error;
    return std::filesystem::read_symlink("/proc/" + std::to_string(child) + "/" + what, error).string();
}

inline std::string of_folder(pid_t child, unsigned long long at, const std::string& path) {
    if (path.starts_with('/')) return std::filesystem::path(path).lexically_normal().string();
    const int folder = static_cast<int>(at);
    const std::string from =
        folder == AT_FDCWD ? link_of(child, "cwd") : link_of(child, "fd/" + std::to_string(folder));
    return (std::filesystem::path(from) / path).lexically_normal().string();
}

inline Called opened(pid_t child, unsigned long long at, unsigned long long path, unsigned long long flags) {
    const bool writes = (flags & O_ACCMODE) != O_RDONLY;
    return {writes ? Sort::open_to_write : Sort::open_to_read, of_folder(child, at, text_at(child, path)), writes,
            (flags & O_DIRECTORY) != 0};
}

inline Called called(pid_t child, const user_regs_struct& registers) {
    const auto here = static_cast<unsigned long long>(AT_FDCWD);
    const auto a = registers.rdi, b = registers.rsi, c = registers.rdx, d = registers.r10;
    const auto named = [&](Sort sort, unsigned long long folder, unsigned long long path) {
        return Called{sort, of_folder(child, folder, text_at(child, path)), true};
    };
    const auto on_file = [&](Sort sort) {
        Called made{sort, link_of(child, "fd/" + std::to_string(static_cast<int>(a)))};
        if (made.path.ends_with(" (deleted)")) made.path.resize(made.path.size() - std::strlen(" (deleted)"));
        std::error_code error;
        made.folder = std::filesystem::is_directory(made.path, error);
        const std::string info =
            read("/proc/" + std::to_string(child) + "/fdinfo/" + std::to_string(static_cast<int>(a)));
        const std::size_t flags = info.find("flags:");
        made.to_write =
            flags != std::string::npos && (std::strtoul(info.c_str() + flags + 6, nullptr, 8) & O_ACCMODE) != O_RDONLY;
        return made;
    };
    switch (static_cast<long>(registers.orig_rax)) {
    case SYS_open:
        return opened(child, here, a, b);
    case SYS_openat:
        return opened(child, a, b, c);
    case SYS_creat:
        return opened(child, here, a, O_WRONLY | O_CREAT);
    case SYS_read:
    case SYS_pread64:
        return on_file(Sort::read);
    case SYS_write:
    case SYS_pwrite64:
    case SYS_writev:
        return on_file(Sort::write);
    case SYS_fsync:
    case SYS_fdatasync:
        return on_file(Sort::fsync);
    case SYS_rename:
        return named(Sort::rename, here, b);
    case SYS_renameat:
    case SYS_renameat2:
        return named(Sort::rename, c, d);
    case SYS_link:
        return named(Sort::link, here, b);
    case SYS_linkat:
        return named(Sort::link, c, d);
    case SYS_unlink:
        return named(Sort::unlink, here, a);
    case SYS_unlinkat:
        return named((c & AT_REMOVEDIR) != 0 ? Sort::rmdir : Sort::unlink, a, b);
    case SYS_mkdir:
        return named(Sort::mkdir, here, a);
    case SYS_mkdirat:
        return named(Sort::mkdir, a, b);
    case SYS_rmdir:
        return named(Sort::rmdir, here, a);
    case SYS_ftruncate:
        return on_file(Sort::ftruncate);
    case SYS_flock:
        return on_file(Sort::flock);
    case SYS_fchmod:
        return on_file(Sort::fchmod);
    default:
        return on_file(Sort::close);
    }
}

// What writes, or makes room to write.
inline bool is_for_writing(const Called& call) {
    switch (call.sort) {
    case Sort::open_to_write:
    case Sort::write:
    case Sort::rename:
    case Sort::link:
    case Sort::mkdir:
        return true;
    case Sort::fsync:
        return true;
    default:
        return false;
    }
}

inline void set(pid_t child, user_regs_struct& registers) {
    if (ptrace(PTRACE_SETREGS, child, nullptr, &registers) != 0) std::abort();
}

} // namespace watching

struct WatchedHow {
    std::string folder; // where it runs; calls below it count
    std::string in = "/dev/null";
    std::string out = ""; // a file below the folder; else it is kept in `Ran::out`
    std::vector<std::string> environment = {};
};

// `before_each`: what somebody else does before the call is made.
inline Watched watch(const std::vector<std::string>& arguments, const WatchedHow& how, const Fault& fault = {},
                     const std::function<void(const Called&)>& before_each = nullptr) {
    using namespace watching;
    char out_name[] = "/tmp/benchleaf-test-XXXXXX";
    char err_name[] = "/tmp/benchleaf-test-XXXXXX";
    const int out = mkstemp(out_name);
    const int err = mkstemp(err_name);
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), program());
    std::vector<char*> argv;
    for (std::string& each : words) argv.push_back(each.data());
    argv.push_back(nullptr);
    std::vector<std::string> environment = how.environment;
    // Who is traced cannot look for leaks.
    environment.insert(environment.end(),
                       {"PATH=/usr/bin:/bin", "ASAN_OPTIONS=exitcode=99:malloc_context_size=2:detect_leaks=0",
                        "UBSAN_OPTIONS=exitcode=99"});
    std::vector<char*> envp;
    for (std::string& each : environment) envp.push_back(each.data());
    envp.push_back(nullptr);
    const std::string real = std::filesystem::canonical(how.folder).string();

    const pid_t child = fork();
    if (child == 0) {
        if (chdir(how.folder.c_str()) != 0) _exit(126);
        const int in = open(how.in.c_str(), O_RDONLY);
        const int where = how.out.empty() ? out : open(how.out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0666);
        dup2(in, 0);
        dup2(where, 1);
        dup2(err, 2);
        for (int each = 3; each < 20; ++each) close(each);
        alarm(60);
        if (ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) _exit(125);
        raise(SIGSTOP);
        ask_to_be_stopped();
        execve(argv[0], argv.data(), envp.data());
        _exit(127);
    }
    Watched made;
    int status = 0;
    waitpid(child, &status, 0);
    ptrace(PTRACE_SETOPTIONS, child, nullptr,
           PTRACE_O_TRACESECCOMP | PTRACE_O_EXITKILL | PTRACE_O_TRACEFORK | PTRACE_O_TRACEVFORK | PTRACE_O_TRACECLONE);
    pid_t stopped = child;
    int signal = 0;
    for (;;) {
        ptrace(PTRACE_CONT, stopped, nullptr, signal);
        stopped = waitpid(-1, &status, __WALL);
        if (stopped < 0) break;
        signal = 0;
        if (!WIFSTOPPED(status)) {
            if (stopped == child) break;
            continue;
        }
        const int event = status >> 16;
        if (event == 0 && WSTOPSIG(status) != SIGTRAP && WSTOPSIG(status) != SIGSTOP) signal = WSTOPSIG(status);
        if (event != PTRACE_EVENT_SECCOMP || stopped != child) continue;
        user_regs_struct registers{};
        ptrace(PTRACE_GETREGS, stopped, nullptr, &registers);
        const Called call = called(stopped, registers);
        if (!call.path.starts_with(real + "/")) continue;
        const std::size_t number = made.calls.size();
        made.calls.push_back(call);
        if (before_each) before_each(call);
        if (fault.what == Fault::What::none || number < fault.at) continue;
        if (number > fault.at && !(fault.from_then_on && is_for_writing(call))) continue;
        made.struck = true;
        if (fault.what == Fault::What::is_last) {
            kill(child, SIGKILL);
        } else if (fault.what == Fault::What::writes_half) {
            if (registers.rdx > 1) registers.rdx /= 2;
            set(stopped, registers);
        } else if (call.sort == Sort::close) { // what fails to close is closed all the same
            ptrace(PTRACE_SYSCALL, stopped, nullptr, nullptr);
            waitpid(stopped, &status, __WALL);
            ptrace(PTRACE_GETREGS, stopped, nullptr, &registers);
            registers.rax = static_cast<unsigned long long>(-static_cast<long long>(fault.error));
            set(stopped, registers);
        } else {
            registers.orig_rax = static_cast<unsigned long long>(-1);
            registers.rax = static_cast<unsigned long long>(-static_cast<long long>(fault.error));
            set(stopped, registers);
        }
    }
    made.ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    made.ran.out = read(out_name);
    made.ran.err = read(err_name);
    close(out);
    close(err);
    std::filesystem::remove(out_name);
    std::filesystem::remove(err_name);
    return made;
}

} // namespace benchleaf::gates
