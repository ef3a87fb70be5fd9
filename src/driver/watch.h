// Waiting for a change in a shop's folder, for `check --watch`. inotify(7) says at once that something has moved; what has changed is
// then found by looking at the files themselves, so that it is no matter how an editor saves: in place, or as a new file that is renamed
// over the old one. Where all that moves is told by name, only that is looked at. Every two seconds, or of a very large shop less often, it looks at all
// anyway: what changes behind a link or on a share of the network nobody is told of. Where inotify cannot be had (its limits are those of the machine) it
// looks four times a second.
//
//     Watch watch(root);
//     while (auto changes = watch.wait()) check(*changes);
//
// From its making on SIGINT and SIGTERM do not end the program: `wait` gives nothing then.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::driver {

struct Change {
    enum class What : std::uint8_t { changed, made, gone };
    What what = What::changed;
    std::string path; // below the shop's root
};

class Watch {
public:
    enum class How : std::uint8_t { told, by_looking };

    explicit Watch(std::string root, How how = How::told);
    Watch(const Watch&) = delete;
    Watch& operator=(const Watch&) = delete;
    ~Watch();

    // The files of the shop, pictures too, that are not as they were when this was asked last, in the order of their paths. It answers when
    // nothing more has changed for a moment. Nothing: the program was asked to end.
    std::optional<std::vector<Change>> wait();

    // Was each change told by name, so that nothing else can have changed since the answer before?
    bool told_all() const { return told_all_; }

    // Why it is not told, where it should be; else empty.
    const std::string& why_looking() const { return why_looking_; }

private:
    struct Stamp {
        std::uint64_t device = 0, node = 0;
        std::int64_t size = 0, written = 0, changed = 0; // nanoseconds
        bool operator==(const Stamp&) const = default;
    };
    using Look = std::map<std::string, Stamp>;
    using Folders = std::set<std::pair<std::uint64_t, std::uint64_t>>; // by device and node

    Look look();
    void look_into(const std::string& below, std::size_t depth, Folders& seen, Look& into);
    void listen_to(const std::string& folder);
    struct Heard {
        bool any = false;            // something has moved since this was asked last
        bool by_name = true;         // all of it was files, of these names
        std::set<std::string> paths; // below the root
        void add(Heard more);
    };
    Heard hear();
    std::optional<Heard> until_at_rest(Heard heard); // nothing: the program is to end
    std::vector<Change> changes_of(const std::set<std::string>& paths);
    std::vector<Change> changes_since_last(Look now);
    bool pause(int milliseconds, bool until_told); // false: the program is to end
    void only_look(std::string why);

    std::string root_;
    int ends_ = -1;  // signalfd(2)
    int tells_ = -1; // inotify(7); -1 where it only looks
    std::string why_looking_;
    std::int64_t unsure_ = 0;               // counts down: a stamp that is like no other
    std::map<int, std::string> listens_to_; // folders below the root, by their watch
    bool told_all_ = false;
    int look_took_ms_ = 0; // the last one
    Look last_;
};

} // namespace benchleaf::driver
