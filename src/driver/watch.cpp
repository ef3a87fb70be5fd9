#include "driver/watch.h"

#include "base/text.h"
#include "driver/shop_files.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <poll.h>
#include <sys/inotify.h>
#include <sys/signalfd.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

constexpr int quiet_ms = 50;    // for so long nothing more is written
constexpr int most_pauses = 20; // who writes all the time is not waited for
constexpr int look_anyway_ms = 2000;
constexpr int look_often_ms = 250;
constexpr int clock_step = 20'000'000; // nanoseconds
constexpr std::size_t deepest = 16;    // as read_shop

std::int64_t nanoseconds(const timespec& at) {
    return static_cast<std::int64_t>(at.tv_sec) * 1'000'000'000 + at.tv_nsec;
}

bool is_of_a_shop(const std::string& name) {
    constexpr std::array<std::string_view, 5> ends = {".yaml", ".yml", ".png", ".jpg", ".jpeg"};
    const std::string small = base::small_letters(name);
    return std::any_of(ends.begin(), ends.end(), [&](std::string_view end) { return small.ends_with(end); });
}

} // namespace

Watch::Watch(std::string root, How how) : root_(std::move(root)) {
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigprocmask(SIG_BLOCK, &ends, nullptr);
    ends_ = ::signalfd(-1, &ends, SFD_CLOEXEC | SFD_NONBLOCK);
    if (ends_ < 0) sigprocmask(SIG_UNBLOCK, &ends, nullptr); // then they end it as they end any program
    if (how == How::told) {
        tells_ = ::inotify_init1(IN_CLOEXEC | IN_NONBLOCK);
        if (tells_ < 0) only_look(std::strerror(errno));
    }
    // A start that is sure of what it saw: whoever starts it right after he saved waits a moment.
    for (int tries = 0; tries < 5; ++tries) {
        const std::int64_t unsure = unsure_;
        last_ = look();
        if (unsure_ == unsure) break;
        ::usleep(clock_step / 1000);
    }
}

Watch::~Watch() {
    if (ends_ >= 0) ::close(ends_);
    if (tells_ >= 0) ::close(tells_);
}

void Watch::only_look(std::string why) {
    if (tells_ >= 0) ::close(tells_);
    tells_ = -1;
    why_looking_ = std::move(why);
}

void Watch::listen_to(const std::string& folder) {
    if (tells_ < 0) return;
    constexpr std::uint32_t what = IN_CLOSE_WRITE | IN_MODIFY | IN_CREATE | IN_DELETE | IN_MOVED_FROM | IN_MOVED_TO |
                                   IN_DELETE_SELF | IN_MOVE_SELF | IN_ATTRIB | IN_ONLYDIR;
    if (::inotify_add_watch(tells_, folder.c_str(), what) >= 0) return;
    if (errno == ENOSPC || errno == ENOMEM) only_look("the system listens to no more folders");
}

// Listens to each folder before it looks into it: what changes from then on is told.
void Watch::look_into(const std::string& below, std::size_t depth, Folders& seen, Look& into) {
    const std::string folder = below.empty() ? root_ : root_ + "/" + below;
    struct stat about {};
    if (depth > deepest || ::stat(folder.c_str(), &about) != 0 || !S_ISDIR(about.st_mode)) return;
    if (!seen.emplace(about.st_dev, about.st_ino).second) return;
    listen_to(folder);
    timespec now{};
    clock_gettime(CLOCK_REALTIME, &now);
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (name.starts_with('.') || into.size() >= most_files) continue;
        const std::string path = below.empty() ? name : below + "/" + name;
        if (::stat((root_ + "/" + path).c_str(), &about) != 0) continue;
        if (S_ISDIR(about.st_mode)) {
            look_into(path, depth + 1, seen, into);
        } else if (is_of_a_shop(name)) {
            Stamp stamp{about.st_dev, about.st_ino, about.st_size, nanoseconds(about.st_mtim),
                        nanoseconds(about.st_ctim)};
            // The clock of a file system goes in steps: what was written a moment ago can be written once more in the same step. So
            // it is taken for changed when it is looked at again.
            if (nanoseconds(now) - stamp.changed < clock_step) stamp.changed = --unsure_;
            into.emplace(path, stamp);
        }
    }
}

Watch::Look Watch::look() {
    Look made;
    Folders seen;
    look_into("", 0, seen, made);
    return made;
}

bool Watch::heard() {
    bool any = false;
    alignas(inotify_event) std::array<char, 4096> events;
    while (tells_ >= 0 && ::read(tells_, events.data(), events.size()) > 0) any = true;
    return any;
}

bool Watch::pause(int milliseconds, bool until_told) {
    std::array<pollfd, 2> from = {{{ends_, POLLIN, 0}, {until_told ? tells_ : -1, POLLIN, 0}}};
    // Another signal, a stop with Ctrl-Z for one, only makes it look early.
    (void)::poll(from.data(), from.size(), milliseconds);
    signalfd_siginfo asked{};
    return (from[0].revents & POLLIN) == 0 || ::read(ends_, &asked, sizeof asked) <= 0;
}

std::optional<std::vector<Change>> Watch::wait() {
    for (;;) {
        if (!pause(tells_ < 0 ? look_often_ms : look_anyway_ms, true)) return std::nullopt;
        Look now;
        if (const bool told = heard(); !told) {
            now = look();
            if (now == last_) continue;
        }
        // Something moves: until it is at rest. Not each thing that moves is told, behind a link for one.
        for (int pauses = 0; pauses < most_pauses; ++pauses) {
            if (!pause(quiet_ms, false)) return std::nullopt;
            const bool more = heard();
            Look next = look();
            const bool still = !more && (tells_ >= 0 || next == now);
            now = std::move(next);
            if (still) break;
        }
        std::vector<Change> changes;
        for (const auto& [path, stamp] : now) {
            const auto before = last_.find(path);
            if (before == last_.end())
                changes.push_back({Change::What::made, path});
            else if (!(before->second == stamp))
                changes.push_back({Change::What::changed, path});
        }
        for (const auto& [path, stamp] : last_)
            if (!now.contains(path)) changes.push_back({Change::What::gone, path});
        last_ = std::move(now);
        if (changes.empty()) continue;
        std::sort(changes.begin(), changes.end(), [](const Change& a, const Change& b) { return a.path < b.path; });
        return changes;
    }
}

} // namespace benchleaf::driver
