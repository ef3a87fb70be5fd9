#include "driver/watch.h"

#include "base/text.h"
#include "driver/shop_files.h"
#include "driver/stamps.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
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
constexpr int looks_apart = 50;        // times as long as a look takes
constexpr int clock_step = 20'000'000; // nanoseconds

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
    const int watch = ::inotify_add_watch(tells_, folder.c_str(), what);
    if (watch >= 0) {
        listens_to_[watch] = folder.size() > root_.size() ? folder.substr(root_.size() + 1) + "/" : std::string();
        return;
    }
    if (errno == ENOSPC || errno == ENOMEM) only_look("the system listens to no more folders");
}

// Listens to each folder before it looks into it: what changes from then on is told.
void Watch::look_into(const std::string& below, std::size_t depth, Folders& seen, Look& into) {
    const std::string folder = below.empty() ? root_ : root_ + "/" + below;
    struct stat about {};
    if (depth > most_folders_deep || ::stat(folder.c_str(), &about) != 0 || !S_ISDIR(about.st_mode)) return;
    if (!seen.emplace(about.st_dev, about.st_ino).second) return;
    listen_to(folder);
    timespec now{};
    clock_gettime(CLOCK_REALTIME, &now);
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (name.starts_with('.') || into.size() >= most_files + most_records) continue;
        const std::string path = below.empty() ? name : below + "/" + name;
        if (::stat((root_ + "/" + path).c_str(), &about) != 0) continue;
        if (S_ISDIR(about.st_mode)) {
            look_into(path, depth + 1, seen, into);
        } else if (is_of_a_shop(name)) {
            Stamp stamp{about.st_dev, about.st_ino, about.st_size, in_nanoseconds(about.st_mtim),
                        in_nanoseconds(about.st_ctim)};
            // The clock of a file system goes in steps: what was written a moment ago can be written once more in the same step. So
            // it is taken for changed when it is looked at again.
            if (in_nanoseconds(now) - stamp.changed < clock_step) stamp.changed = --unsure_;
            into.emplace(path, stamp);
        }
    }
}

Watch::Look Watch::look() {
    const auto begin = std::chrono::steady_clock::now();
    Look made;
    Folders seen;
    look_into("", 0, seen, made);
    const auto took = std::chrono::steady_clock::now() - begin;
    look_took_ms_ = static_cast<int>(std::chrono::duration_cast<std::chrono::milliseconds>(took).count());
    return made;
}

void Watch::Heard::add(Heard more) {
    any = any || more.any;
    by_name = by_name && more.by_name;
    paths.merge(more.paths);
}

Watch::Heard Watch::hear() {
    Heard heard;
    alignas(inotify_event) std::array<char, 16384> events;
    for (;;) {
        const ssize_t got = tells_ < 0 ? 0 : ::read(tells_, events.data(), events.size());
        if (got <= 0) return heard;
        heard.any = true;
        for (ssize_t at = 0; at < got;) {
            inotify_event event{};
            std::memcpy(&event, events.data() + at, sizeof event);
            const std::string name = event.len == 0 ? std::string() : std::string(events.data() + at + sizeof event);
            at += static_cast<ssize_t>(sizeof event + event.len);
            const auto folder = listens_to_.find(event.wd);
            // A folder that comes or goes takes files with it, and a queue that ran over lost some of them.
            if (name.empty() || (event.mask & IN_ISDIR) != 0 || folder == listens_to_.end())
                heard.by_name = false;
            else if (!name.starts_with('.') && is_of_a_shop(name))
                heard.paths.insert(folder->second + name);
        }
    }
}

bool Watch::pause(int milliseconds, bool until_told) {
    std::array<pollfd, 2> from = {{{ends_, POLLIN, 0}, {until_told ? tells_ : -1, POLLIN, 0}}};
    // Another signal, a stop with Ctrl-Z for one, only makes it look early.
    (void)::poll(from.data(), from.size(), milliseconds);
    signalfd_siginfo asked{};
    return (from[0].revents & POLLIN) == 0 || ::read(ends_, &asked, sizeof asked) <= 0;
}

std::vector<Change> Watch::changes_of(const std::set<std::string>& paths) {
    std::vector<Change> changes;
    for (const std::string& path : paths) {
        struct stat about {};
        const bool was = last_.contains(path);
        const bool is = ::stat((root_ + "/" + path).c_str(), &about) == 0 && !S_ISDIR(about.st_mode);
        if (is)
            last_[path] = {about.st_dev, about.st_ino, about.st_size, in_nanoseconds(about.st_mtim),
                           in_nanoseconds(about.st_ctim)};
        else
            last_.erase(path);
        // It was told that it moves; that its stamp is as it was says nothing.
        if (is || was)
            changes.push_back({was ? is ? Change::What::changed : Change::What::gone : Change::What::made, path});
    }
    return changes;
}

std::vector<Change> Watch::changes_since_last(Look now) {
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
    std::sort(changes.begin(), changes.end(), [](const Change& a, const Change& b) { return a.path < b.path; });
    return changes;
}

std::optional<Watch::Heard> Watch::until_at_rest(Heard heard) {
    for (int pauses = 0; pauses < most_pauses; ++pauses) {
        if (!pause(quiet_ms, false)) return std::nullopt;
        Heard more = hear();
        if (!more.any) break;
        heard.add(std::move(more));
    }
    return heard;
}

std::optional<std::vector<Change>> Watch::wait() {
    for (;;) {
        const int look_anyway = std::max(look_anyway_ms, look_took_ms_ * looks_apart);
        if (!pause(tells_ < 0 ? look_often_ms : look_anyway, true)) return std::nullopt;
        Heard heard = hear();
        Look now;
        if (!heard.any) {
            now = look();
            if (now == last_) continue;
        }
        // Something moves: until it is at rest.
        auto all = until_at_rest(std::move(heard));
        if (!all) return std::nullopt;
        told_all_ = all->any && all->by_name && tells_ >= 0;
        if (told_all_) {
            auto changes = changes_of(all->paths);
            if (!changes.empty()) return changes;
            continue;
        }
        // Not each thing that moves is told, behind a link for one.
        for (int pauses = 0; pauses < most_pauses; ++pauses) {
            Look next = look();
            const bool still = tells_ >= 0 || next == now;
            now = std::move(next);
            if (still) break;
            if (!pause(quiet_ms, false)) return std::nullopt;
        }
        if (auto changes = changes_since_last(std::move(now)); !changes.empty()) return changes;
    }
}

} // namespace benchleaf::driver
