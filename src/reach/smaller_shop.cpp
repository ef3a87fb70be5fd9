#include "reach/reach.h"

#include <algorithm>
#include <array>
#include <unordered_map>
#include <unordered_set>

namespace benchleaf::reach {

namespace {

using Index = std::uint32_t;
using Files = std::vector<Index>;

bool meets(const File& vehicle, const Conditions& conditions) {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
        return std::any_of(vehicle.has.begin(), vehicle.has.end(), [&](const auto& has) {
            return has.first == condition.feature &&
                   std::find(condition.values.begin(), condition.values.end(), has.second) != condition.values.end();
        });
    });
}

bool fits(const File& procedure, const File& vehicle) {
    return !procedure.fits || meets(vehicle, *procedure.fits);
}

// Calls `see` with each entry that the two do not do the same with, and what the one does and the other does not.
template <class See>
void differences(const std::vector<Entry>& a, const std::vector<Entry>& b, const See& see) {
    auto one = a.begin();
    auto other = b.begin();
    while (one != a.end() || other != b.end()) {
        if (other == b.end() || (one != a.end() && one->of < other->of)) {
            see(one->of, one->roles);
            ++one;
        } else if (one == a.end() || other->of < one->of) {
            see(other->of, other->roles);
            ++other;
        } else {
            if (one->roles != other->roles) see(one->of, one->roles ^ other->roles);
            ++one;
            ++other;
        }
    }
}

// All files of today by number, and of each who refers to it.
class Shop {
public:
    Shop(const Reach& before, const Reach& now) {
        for (const auto& [path, file] : now) add(path, file.get());
        for (const auto& [path, file] : before) {
            const auto at = by_path_.find(mark_of(path));
            if (at == by_path_.end()) add(path, nullptr);
            was_[at == by_path_.end() ? paths_.size() - 1 : at->second] = file.get();
        }
        referring_.resize(paths_.size());
        refs_.resize(paths_.size());
        for (Index i = 0; i < paths_.size(); ++i) {
            find_refs(i, is_[i], true);
            if (was_[i] != is_[i]) find_refs(i, was_[i], false);
        }
    }

    std::size_t size() const { return paths_.size(); }
    const std::string& path(Index i) const { return *paths_[i]; }
    const File* is(Index i) const { return is_[i]; }   // null: it is gone
    const File* was(Index i) const { return was_[i]; } // null: it is new
    const Files& refs(Index i) const { return refs_[i]; }
    const Files& referring(Index i) const { return referring_[i]; }
    bool is_a(Index i, Kind kind) const { return is_[i] != nullptr && is_[i]->kind == kind; }
    const Files& all(Kind kind) const { return by_kind_[static_cast<std::size_t>(kind)]; }

    // Of one that has not been linked since it was changed: whatever its words could stand for.
    void refer_by_words(Index i) {
        const bool sees_all = is_a(i, Kind::vehicle) || is_a(i, Kind::job);
        for (const Mark word : is_[i]->unlinked) {
            for (const Index of : named(word))
                if (of != i) refs_[i].push_back(of);
            if (sees_all)
                for (const Index of : declaring(word)) refs_[i].push_back(of);
        }
    }

    // The files of that name; of jobs and answers too.
    const Files& named(Mark id) const { return at(by_id_, id); }
    // The catalogues that have an entry of that name, alone or with theirs before it.
    const Files& declaring(Mark word) const { return at(declaring_, word); }

private:
    static const Files& at(const std::unordered_map<Mark, Files>& map, Mark mark) {
        static const Files none;
        const auto found = map.find(mark);
        return found == map.end() ? none : found->second;
    }

    void add(const std::string& path, const File* file) {
        const Index i = static_cast<Index>(paths_.size());
        paths_.push_back(&path);
        is_.push_back(file);
        was_.push_back(nullptr);
        by_path_.emplace(mark_of(path), i);
        if (file == nullptr) return;
        by_kind_[static_cast<std::size_t>(file->kind)].push_back(i);
        by_id_[file->id].push_back(i);
        for (const std::vector<Mark>* names : {&file->declares, &file->own})
            for (const Mark name : *names) declaring_[name].push_back(i);
    }

    void find_refs(Index i, const File* file, bool today) {
        if (file == nullptr) return;
        for (const Mark mark : file->refs) {
            const auto to = by_path_.find(mark);
            if (to == by_path_.end()) continue;
            referring_[to->second].push_back(i);
            if (today && is_[to->second] != nullptr) refs_[i].push_back(to->second);
        }
    }

    std::vector<const std::string*> paths_;
    std::vector<const File*> is_, was_;
    std::vector<Files> refs_, referring_;
    std::array<Files, 7> by_kind_;
    std::unordered_map<Mark, Index> by_path_;
    std::unordered_map<Mark, Files> by_id_, declaring_;
};

class Choosing {
public:
    Choosing(const Reach& before, const Reach& now, const Paths& changed) : shop_(before, now) {
        reached_.resize(shop_.size());
        taken_.resize(shop_.size());
        for (Index i = 0; i < shop_.size(); ++i)
            if (changed.contains(shop_.path(i))) changed_.push_back(i);
    }

    std::optional<Smaller> choose(Sight sight) {
        for (const Index i : changed_) {
            // The shop's own figures are everybody's.
            for (const File* each : {shop_.is(i), shop_.was(i)})
                if (each != nullptr && each->kind == Kind::shop) return std::nullopt;
            if (shop_.is(i) != nullptr) shop_.refer_by_words(i);
            reach(i);
        }
        note_differences();
        spread();
        for (const Index i : shop_.all(Kind::shop)) take(i);
        complete();
        if (sight != Sight::near) widen(sight);
        Smaller smaller;
        for (Index i = 0; i < shop_.size(); ++i) {
            if (taken_[i] != 0) smaller.all.insert(shop_.path(i));
            if (reached_[i] != 0) smaller.reached.insert(shop_.path(i));
        }
        return smaller;
    }

private:
    // Files that may be judged otherwise than before.
    void reach(Index i) {
        if (reached_[i]++ == 0) open_.push_back(i);
    }

    // What changed files do with an entry otherwise than before, others are told of that name it.
    void note_differences() {
        std::unordered_set<Mark> entries, limits, names;
        for (Index i = 0; i < shop_.size(); ++i) {
            const File* is = shop_.is(i);
            const File* was = shop_.was(i);
            if (is == was || (is != nullptr && was != nullptr && *is == *was)) continue;
            static const File nothing;
            const File& now = is == nullptr ? nothing : *is;
            const File& before = was == nullptr ? nothing : *was;
            differences(now.entries, before.entries, [&](Mark of, std::uint16_t roles) {
                constexpr std::uint16_t told = Role::measures | Role::decides | Role::has_torque | Role::backs_off;
                if ((roles & told) == 0) return;
                entries.insert(of);
                if ((roles & Role::measures) != 0) limits.insert(of);
            });
            std::set_symmetric_difference(now.declares.begin(), now.declares.end(), before.declares.begin(),
                                          before.declares.end(), std::inserter(names, names.end()));
        }
        for (const Index i : shop_.all(Kind::catalogue))
            for (const auto& [limit, nut] : shop_.is(i)->set_by)
                if (limits.contains(limit)) entries.insert(nut);
        if (!entries.empty())
            for (Index i = 0; i < shop_.size(); ++i)
                if (const File* is = shop_.is(i); is != nullptr)
                    if (std::any_of(is->entries.begin(), is->entries.end(),
                                    [&](const Entry& each) { return entries.contains(each.of); }))
                        reach(i);
        // Who sees all catalogues may mean another one by a name now, or two.
        if (!names.empty())
            for (const Kind kind : {Kind::vehicle, Kind::job})
                for (const Index i : shop_.all(kind))
                    if (std::any_of(shop_.is(i)->words.begin(), shop_.is(i)->words.end(),
                                    [&](Mark word) { return names.contains(word); }))
                        reach(i);
    }

    // Whoever refers to what is reached is reached.
    void spread() {
        while (!open_.empty()) {
            const Index i = open_.back();
            open_.pop_back();
            for (const Index by : shop_.referring(i)) reach(by);
            for (const File* each : {shop_.is(i), shop_.was(i)}) {
                if (each == nullptr) continue;
                if (each->kind == Kind::catalogue) reach_bound(*each);
                if (each->kind == Kind::job || each->kind == Kind::answers)
                    for (const Index same : shop_.named(each->id)) // the answers of a job, and the job
                        if (shop_.is_a(same, Kind::job) || shop_.is_a(same, Kind::answers)) reach(same);
            }
        }
    }

    // The catalogues whose items it holds, hides, moves or locks.
    void reach_bound(const File& catalogue) {
        for (const Index other : bound_by(catalogue)) reach(other);
    }
    Files bound_by(const File& catalogue) {
        Files found;
        for (const Entry& each : catalogue.entries)
            if ((each.roles & Role::binds) != 0)
                if (const auto at = declared_in(each.of)) found.push_back(*at);
        return found;
    }
    // By the mark of an entry with its catalogue's name before it.
    std::optional<Index> declared_in(Mark entry) {
        if (declared_in_.empty())
            for (const Index i : shop_.all(Kind::catalogue))
                for (const Mark own : shop_.is(i)->own) declared_in_.emplace(own, i);
        const auto found = declared_in_.find(entry);
        return found == declared_in_.end() ? std::nullopt : std::optional(found->second);
    }

    void take(Index i) {
        if (shop_.is(i) == nullptr || taken_[i]++ != 0) return;
        open_.push_back(i);
    }

    // What belongs to all that is reached, so that a shop of them is looked at as it would be among all others.
    void complete() {
        find_binding();
        for (Index i = 0; i < shop_.size(); ++i) {
            if (reached_[i] == 0) continue;
            take(i);
            if (!shop_.is_a(i, Kind::vehicle)) continue;
            for (const Index procedure : shop_.all(Kind::procedure))
                if (fits(*shop_.is(procedure), *shop_.is(i))) take(procedure);
        }
        complete_what_is_taken();
    }

    void complete_what_is_taken() {
        for (;;) {
            take_what_is_named();
            if (!take_vehicles()) break;
        }
    }

    // Where a mistake is told, what the others do decides of the words: which procedure brings a thing to where it has to be, and whether anybody else
    // names what is nearest to a name that nothing has.
    void widen(Sight sight) {
        std::unordered_map<Mark, bool>
            named; // the entries of the catalogues that are there; by somebody who has not changed
        for (const Index i : shop_.all(Kind::catalogue))
            if (taken_[i] != 0)
                for (const Mark own : shop_.is(i)->own) named.emplace(own, false);
        const std::unordered_set<Index> changed(changed_.begin(), changed_.end());
        const auto see = [&](Index i) {
            if (changed.contains(i)) return;
            for (const Entry& each : shop_.is(i)->entries)
                if (const auto at = named.find(each.of); at != named.end()) at->second = true;
        };
        Files vehicles; // of what has changed
        for (const Index vehicle : shop_.all(Kind::vehicle))
            if (std::any_of(changed_.begin(), changed_.end(), [&](Index each) {
                    return shop_.is_a(each, Kind::procedure) && fits(*shop_.is(each), *shop_.is(vehicle));
                }))
                vehicles.push_back(vehicle);
        for (const Index i : shop_.all(Kind::procedure)) {
            const File& is = *shop_.is(i);
            const bool enters = std::any_of(is.entries.begin(), is.entries.end(), [&](const Entry& each) {
                return (each.roles & Role::enters) != 0 && named.contains(each.of);
            });
            if (enters && (sight == Sight::widest || vehicles.empty() ||
                           std::any_of(vehicles.begin(), vehicles.end(),
                                       [&](Index vehicle) { return fits(is, *shop_.is(vehicle)); })))
                take(i);
        }
        for (Index i = 0; i < shop_.size(); ++i)
            if (taken_[i] != 0 && shop_.is(i) != nullptr) see(i);
        for (const Kind kind : {Kind::catalogue, Kind::procedure, Kind::vehicle, Kind::job})
            for (const Index i : shop_.all(kind)) {
                if (taken_[i] != 0 || changed.contains(i)) continue;
                const auto& entries = shop_.is(i)->entries;
                if (std::none_of(entries.begin(), entries.end(), [&](const Entry& each) {
                        const auto at = named.find(each.of);
                        return at != named.end() && !at->second;
                    }))
                    continue;
                take(i);
                see(i);
            }
        complete_what_is_taken();
    }

    void find_binding() {
        binding_.resize(shop_.size());
        for (const Index i : shop_.all(Kind::catalogue))
            for (const Index of : bound_by(*shop_.is(i))) binding_[of].push_back(i);
    }

    void take_what_is_named() {
        while (!open_.empty()) {
            const Index i = open_.back();
            open_.pop_back();
            for (const Index to : shop_.refs(i)) take(to);
            for (const Index by : binding_[i]) take(by);
            if (shop_.is_a(i, Kind::vehicle) || shop_.is_a(i, Kind::job))
                for (const Mark word : shop_.is(i)->words)
                    for (const Index catalogue : shop_.declaring(word)) take(catalogue);
        }
    }

    // Each vehicle that a procedure that is reached fits; one of each sort, where a catalogue is; and those without which what is asked for could not be
    // told from a slip of the pen. True: there are more now.
    bool take_vehicles() {
        const Files& vehicles = shop_.all(Kind::vehicle);
        Files reached_procedures;
        bool catalogue = false;
        for (Index i = 0; i < shop_.size(); ++i) {
            if (reached_[i] == 0) continue;
            if (shop_.is_a(i, Kind::procedure)) reached_procedures.push_back(i);
            catalogue = catalogue || shop_.is_a(i, Kind::catalogue);
        }
        std::set<std::pair<std::vector<std::pair<Mark, Mark>>, std::vector<std::pair<Mark, Mark>>>> sorts;
        for (const Index vehicle : vehicles) {
            const File& is = *shop_.is(vehicle);
            const bool fitted = std::any_of(reached_procedures.begin(), reached_procedures.end(),
                                            [&](Index each) { return fits(*shop_.is(each), is); });
            if (fitted) take(vehicle);
            if (taken_[vehicle] != 0) sorts.emplace(is.has, is.axes);
        }
        if (catalogue)
            for (const Index vehicle : vehicles)
                if (sorts.emplace(shop_.is(vehicle)->has, shop_.is(vehicle)->axes).second) take(vehicle);
        take_for_what_is_asked(vehicles);
        return !open_.empty();
    }

    void take_for_what_is_asked(const Files& vehicles) {
        std::unordered_set<Mark> asked, had;
        std::vector<const Conditions*> to_meet;
        Files present;
        for (Index i = 0; i < shop_.size(); ++i) {
            if (taken_[i] == 0) continue;
            const File& is = *shop_.is(i);
            asked.insert(is.asked.begin(), is.asked.end());
            asked.insert(is.only.begin(), is.only.end());
            if (is.fits) to_meet.push_back(&*is.fits);
            for (const Conditions& each : is.only_on) to_meet.push_back(&each);
            if (is.kind == Kind::vehicle) present.push_back(i);
        }
        const auto is_met = [&](const Conditions& conditions) {
            return std::any_of(present.begin(), present.end(),
                               [&](Index each) { return meets(*shop_.is(each), conditions); });
        };
        const auto put = [&](Index vehicle) {
            if (taken_[vehicle] == 0) present.push_back(vehicle);
            take(vehicle);
        };
        for (const Conditions* each : to_meet) {
            if (is_met(*each)) continue;
            const auto one = std::find_if(vehicles.begin(), vehicles.end(),
                                          [&](Index vehicle) { return meets(*shop_.is(vehicle), *each); });
            if (one != vehicles.end()) put(*one);
        }
        const auto each_of = [&](Index vehicle, const auto& see) {
            for (const auto& [feature, value] : shop_.is(vehicle)->has) {
                see(feature);
                see(mark_of(feature, value));
            }
            for (const auto& [axis, value] : shop_.is(vehicle)->axes) see(mark_of(axis, value));
        };
        const auto note_had = [&](Index vehicle) { each_of(vehicle, [&](Mark mark) { had.insert(mark); }); };
        for (const Index each : present) note_had(each);
        for (const Index vehicle : vehicles) {
            bool wanted = false;
            each_of(vehicle, [&](Mark mark) { wanted = wanted || (asked.contains(mark) && !had.contains(mark)); });
            if (wanted || present.empty()) put(vehicle);
            if (wanted) note_had(vehicle);
        }
    }

    Shop shop_;
    Files changed_, open_;
    std::vector<std::uint32_t> reached_, taken_;
    std::vector<Files> binding_; // by catalogue: those whose items hold, hide, move or lock its own
    std::unordered_map<Mark, Index> declared_in_;
};

} // namespace

std::optional<Smaller> smaller_shop(const Reach& before, const Reach& now, const Paths& changed, Sight sight) {
    return Choosing(before, now, changed).choose(sight);
}

bool is_declared_elsewhere(const Reach& now, const Paths& inside, std::string_view name) {
    const Mark mark = mark_of(name);
    return std::any_of(now.begin(), now.end(), [&](const auto& each) {
        const std::vector<Mark>& declares = each.second->declares;
        return std::binary_search(declares.begin(), declares.end(), mark) && !inside.contains(each.first);
    });
}

namespace {

struct Pair {
    const File* was;
    const File* is;
};

// What is not as it was; of what is new or gone, an empty file takes its part.
std::vector<Pair> differing(const Reach& before, const Reach& now) {
    static const File nothing;
    std::vector<Pair> found;
    auto was = before.begin();
    auto is = now.begin();
    while (was != before.end() || is != now.end()) {
        if (is == now.end() || (was != before.end() && was->first < is->first)) {
            found.push_back({(was++)->second.get(), &nothing});
        } else if (was == before.end() || is->first < was->first) {
            found.push_back({&nothing, (is++)->second.get()});
        } else {
            if (was->second != is->second && !(*was->second == *is->second))
                found.push_back({was->second.get(), is->second.get()});
            ++was;
            ++is;
        }
    }
    return found;
}

// How often each is there, as far as it decides of anything: once, or again and again.
using Times = std::unordered_map<Mark, std::uint8_t>;
void add(Times& times, Mark mark) {
    std::uint8_t& at = times[mark];
    if (at < 2) ++at;
}

struct Spelling {
    Times asked, had;
    bool operator==(const Spelling&) const = default;
};

Spelling spelling_of(const Reach& shop) {
    Spelling spelling;
    for (const auto& [path, file] : shop) {
        for (const Mark each : file->asked) add(spelling.asked, each);
        for (const auto& [feature, value] : file->has) {
            add(spelling.had, feature);
            add(spelling.had, mark_of(feature, value));
        }
    }
    return spelling;
}

// Each value that an axis has on any vehicle.
std::set<std::pair<Mark, Mark>> axes_of(const Reach& shop) {
    std::set<std::pair<Mark, Mark>> axes;
    for (const auto& [path, file] : shop) axes.insert(file->axes.begin(), file->axes.end());
    return axes;
}

// Does a file of the shop do any of that with the entry?
bool any_does(const Reach& shop, Mark entry, std::uint16_t role) {
    return std::any_of(shop.begin(), shop.end(), [&](const auto& each) {
        const std::vector<Entry>& all = each.second->entries;
        const auto at =
            std::lower_bound(all.begin(), all.end(), entry, [](const Entry& one, Mark mark) { return one.of < mark; });
        return at != all.end() && at->of == entry && (at->roles & role) != 0;
    });
}

// Each entry is used, and those that somebody applied still are, and no others. (In a shared folder there may be some that nobody uses.)
bool used_as_before(const Reach& before, const Reach& now, const std::vector<Pair>& changes) {
    std::unordered_map<Mark, std::uint16_t> touched;
    for (const Pair& each : changes) {
        differences(each.is->entries, each.was->entries,
                    [&](Mark of, std::uint16_t roles) { touched[of] |= roles & (Role::uses | Role::applies); });
        for (const Mark own : each.is->own)
            if (!std::binary_search(each.was->own.begin(), each.was->own.end(), own)) touched[own] |= Role::uses;
    }
    std::unordered_set<Mark> gone;
    for (const Pair& each : changes)
        std::set_difference(each.was->own.begin(), each.was->own.end(), each.is->own.begin(), each.is->own.end(),
                            std::inserter(gone, gone.end()));
    return std::all_of(touched.begin(), touched.end(), [&](const auto& each) {
        const Mark mark = each.first;
        const std::uint16_t roles = each.second;
        if (gone.contains(mark)) return true; // who still names it is told so
        const auto same = [&](std::uint16_t role) {
            return (roles & role) == 0 || any_does(now, mark, role) == any_does(before, mark, role);
        };
        return ((roles & Role::uses) == 0 || any_does(now, mark, Role::uses)) && same(Role::applies);
    });
}

bool named_once(const Reach& shop) {
    std::set<std::pair<Kind, Mark>> seen;
    return std::all_of(shop.begin(), shop.end(), [&](const auto& each) {
        return each.second->kind == Kind::shop || seen.emplace(each.second->kind, each.second->id).second;
    });
}

// Where files changed whose torques are in more than one sort of unit, or in another one than before: is none the only one of its sort now?
bool no_torque_alone(const Reach& now, const std::vector<Pair>& changes) {
    std::array<std::uint32_t, linked::sorts_written> all{};
    for (const auto& [path, file] : now)
        for (std::size_t sort = 0; sort < all.size(); ++sort) all.at(sort) += file->torques.at(sort);
    if (*std::max_element(all.begin(), all.end()) < linked::fewest_others) return true;
    for (std::size_t sort = 0; sort < all.size(); ++sort)
        if (all.at(sort) == 1 && std::any_of(changes.begin(), changes.end(), [sort](const Pair& each) {
                return each.is->torques != each.was->torques || each.is->torques.at(sort) == 1;
            }))
            return false;
    return true;
}

bool all_the_same(const std::vector<Pair>& changes, auto File::*what) {
    return std::all_of(changes.begin(), changes.end(),
                       [what](const Pair& each) { return each.was->*what == each.is->*what; });
}

} // namespace

bool stands_as_before(const Reach& before, const Reach& now, Judged judged) {
    const std::vector<Pair> changes = differing(before, now);
    if (!(all_the_same(changes, &File::id) && all_the_same(changes, &File::kind)) && !named_once(now)) return false;
    if (judged.spelling && !(all_the_same(changes, &File::asked) && all_the_same(changes, &File::has)) &&
        spelling_of(before) != spelling_of(now))
        return false;
    if (!all_the_same(changes, &File::axes) && axes_of(now) != axes_of(before)) return false;
    if (!no_torque_alone(now, changes)) return false;
    return !judged.use || used_as_before(before, now, changes);
}

} // namespace benchleaf::reach
