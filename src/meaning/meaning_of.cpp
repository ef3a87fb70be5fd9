#include "linked/look_over.h"
#include "meaning/meaning.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <deque>
#include <unordered_map>

namespace benchleaf::meaning {

namespace {

using linked::Linked;
using model::Tree;

struct KindWords {
    std::string_view word;
    std::string_view key;
};
constexpr std::array<KindWords, 15> kind_words = {{{"shop", ""},
                                                   {"vehicle", ""},
                                                   {"procedure", ""},
                                                   {"job", ""},
                                                   {"part", "parts"},
                                                   {"fastener", "fasteners"},
                                                   {"circuit", "circuits"},
                                                   {"setting", "settings"},
                                                   {"adjustment", "adjustments"},
                                                   {"torque", "torques"},
                                                   {"limit", "limits"},
                                                   {"consumable", "consumables"},
                                                   {"tool", "tools"},
                                                   {"caution", "cautions"},
                                                   {"picture", ""}}};

std::uint64_t place_of(Span span) {
    return (std::uint64_t{span.file.value} << 32U) | span.begin;
}

template <class T>
std::string words_of(const model::Given<T>& given, const std::string& otherwise) {
    std::string said = given ? given->value : otherwise;
    std::replace_if(
        said.begin(), said.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
    return said; // in one line, so that nobody takes a part of it for the program's own words
}

} // namespace

struct Found {
    Thing thing;
    Span whole;
    std::function<Tree()> tree;
    const linked::Procedure* procedure = nullptr;
    std::vector<std::size_t> brings;
    std::vector<std::size_t> needs;
};

class Index {
public:
    explicit Index(const Linked& linked) : linked_(linked) { make(); }

    const Found& at(std::size_t index) const { return found_[index]; }
    std::size_t size() const { return found_.size(); }
    std::size_t procedure(linked::ProcedureId id) const {
        return at_.at(place_of(linked_.procedures[id.index()].source->id.span));
    }
    // What the catalogues say of how tight it becomes.
    const std::vector<std::size_t>* torques_of(linked::ItemId fastener) const {
        const auto found = torques_.find(fastener.value);
        return found == torques_.end() ? nullptr : &found->second;
    }
    // What the name stands for that is used there.
    const Found* stands_for(Span use) const {
        const auto found = use.known() ? stands_for_.find(place_of(use)) : stands_for_.end();
        return found == stands_for_.end() ? nullptr : &found_[found->second];
    }

private:
    void add(Found found) {
        at_.emplace(place_of(found.thing.declared), found_.size());
        found_.push_back(std::move(found));
    }

    template <class T>
    void entries(Kind kind, const std::string& catalogue, const model::Given<std::vector<model::Named<T>>>& list) {
        if (!list) return;
        for (const model::Named<T>& named : list->value) {
            Found found;
            found.thing.kind = kind;
            found.thing.name = catalogue + "/" + named.id.value;
            if constexpr (std::is_same_v<T, model::Caution>)
                found.thing.called = words_of(named.value.hazard, named.id.value);
            else if constexpr (!std::is_same_v<T, model::Torque>)
                found.thing.called = words_of(named.value.name, named.id.value);
            found.thing.declared = named.id.span;
            found.whole = named.whole;
            found.tree = [&named] { return model::tree_of(named.value); };
            add(std::move(found));
        }
    }

    template <class T>
    void file(Kind kind, const T& from, std::string called, const linked::Procedure* procedure = nullptr) {
        Found found;
        found.thing.kind = kind;
        found.thing.name = from.id.value;
        found.thing.called = std::move(called);
        found.thing.declared = from.id.span;
        found.tree = [&from] { return model::tree_of(from); };
        found.procedure = procedure;
        files_[from.id.span.file.value] = found_.size();
        add(std::move(found));
    }

    void make() {
        const model::Model& model = *linked_.model;
        for (const model::Shop& each : model.shops) file(Kind::shop, each, words_of(each.name, each.id.value));
        for (const model::Vehicle& each : model.vehicles) file(Kind::vehicle, each, words_of(each.name, each.id.value));
        for (const linked::Procedure& each : linked_.procedures)
            file(Kind::procedure, *each.source, words_of(each.source->title, each.source->id.value), &each);
        for (const model::Job& each : model.jobs) file(Kind::job, each, each.id.value);
        for (const model::Catalogue& each : model.catalogues) {
            const std::size_t first = found_.size();
            const std::string& name = each.id.value;
            entries(Kind::part, name, each.parts);
            entries(Kind::fastener, name, each.fasteners);
            entries(Kind::circuit, name, each.circuits);
            entries(Kind::setting, name, each.settings);
            entries(Kind::adjustment, name, each.adjustments);
            entries(Kind::torque, name, each.torques);
            entries(Kind::limit, name, each.limits);
            entries(Kind::consumable, name, each.consumables);
            entries(Kind::tool, name, each.tools);
            entries(Kind::caution, name, each.cautions);
            std::vector<std::size_t>& in = catalogues_[each.id.span.file.value];
            for (std::size_t i = first; i < found_.size(); ++i) in.push_back(i);
            std::sort(in.begin(), in.end(),
                      [this](std::size_t a, std::size_t b) { return found_[a].whole.begin < found_[b].whole.begin; });
        }
        for (const linked::Use& use : linked_.uses) {
            const auto to = at_.find(place_of(use.declared));
            if (to == at_.end()) continue; // a catalogue
            stands_for_[place_of(use.at)] = to->second;
            if (const std::size_t from = owner_of(use.at); from < found_.size() && from != to->second)
                found_[from].needs.push_back(to->second);
        }
        for (const linked::Item& item : linked_.items) add_item(item);
        for (const linked::Limit& limit : linked_.limits) {
            bring(limit.declared, limit.of, linked_.items);
            bring(limit.declared, limit.cautions, linked_.cautions);
        }
        for (const linked::Consumable& each : linked_.consumables)
            bring(each.declared, each.cautions, linked_.cautions);
        for (const linked::Tool& each : linked_.tools) bring(each.declared, each.cautions, linked_.cautions);
        for (const linked::Catalogue& catalogue : linked_.catalogues)
            for (const linked::Torque& torque : catalogue.torques)
                if (torque.fastener.known()) add_torque(torque);
    }

    // In whose part of a file a place lies; `found_.size()` where it is nobody's.
    std::size_t owner_of(Span at) const {
        if (const auto file = files_.find(at.file.value); file != files_.end()) return file->second;
        const auto catalogue = catalogues_.find(at.file.value);
        if (catalogue == catalogues_.end()) return found_.size();
        const auto& in = catalogue->second;
        auto behind = std::upper_bound(in.begin(), in.end(), at.begin, [this](std::uint32_t begin, std::size_t each) {
            return begin < found_[each].whole.begin;
        });
        if (behind == in.begin()) return found_.size();
        --behind;
        return at.begin < found_[*behind].whole.end ? *behind : found_.size();
    }

    template <class Id, class Table>
    void bring(Span by, const std::vector<Id>& ids, const Table& table) {
        for (const Id id : ids) bring(by, id, table);
    }
    template <class Tag, class Table>
    void bring(Span by, base::Id<Tag> id, const Table& table) {
        if (!id.known()) return;
        const auto from = at_.find(place_of(by));
        const auto to = at_.find(place_of(table[id.index()].declared));
        if (from != at_.end() && to != at_.end() && from != to) found_[from->second].brings.push_back(to->second);
    }
    void needs(Span by, const std::vector<linked::ItemId>& ids) {
        for (const linked::ItemId id : ids) {
            if (!id.known()) continue;
            const auto from = at_.find(place_of(by));
            const auto to = at_.find(place_of(linked_.items[id.index()].declared));
            if (from != at_.end() && to != at_.end() && from != to) found_[from->second].needs.push_back(to->second);
        }
    }

    void add_item(const linked::Item& item) {
        bring(item.declared, item.cautions, linked_.cautions);
        for (const linked::ConsumableId each : {item.threadlock, item.lubricant, item.fluid})
            bring(item.declared, each, linked_.consumables);
        for (const linked::ItemId each : {item.circuit, item.opens, item.vents})
            bring(item.declared, each, linked_.items);
        bring(item.declared, item.renew_together, linked_.items);
        bring(item.declared, item.renew_with, linked_.items);
        bring(item.declared, item.vented_by, linked_.items); // a circuit is bled at each
        // What is to be known of a part is to be known before the first of its holders is slackened.
        for (const linked::ItemId held : item.holds)
            bring(item.declared, linked_.items[held.index()].cautions, linked_.cautions);
        // Who takes it without these has another thing: one that nothing locks, disturbs and holds.
        for (const auto* others : {&item.holds, &item.locked_by, &item.disturbs}) needs(item.declared, *others);
    }

    void add_torque(const linked::Torque& torque) {
        const auto figure = at_.find(place_of(torque.declared));
        const auto fastener = at_.find(place_of(linked_.items[torque.fastener.index()].declared));
        if (figure == at_.end() || fastener == at_.end()) return;
        found_[figure->second].thing.called = found_[fastener->second].thing.called;
        torques_[torque.fastener.index()].push_back(figure->second);
        found_[fastener->second].needs.push_back(figure->second);
    }

    const Linked& linked_;
    std::vector<Found> found_;
    std::unordered_map<std::uint64_t, std::size_t> at_;                      // by where it is declared
    std::unordered_map<std::uint64_t, std::size_t> stands_for_;              // by where a name is used
    std::unordered_map<std::uint32_t, std::size_t> files_;                   // whose file it is
    std::unordered_map<std::uint32_t, std::vector<std::size_t>> catalogues_; // the entries of a file, in their order
    std::unordered_map<std::size_t, std::vector<std::size_t>> torques_;      // of the catalogues, by the fastener
};

namespace {

// Those things that are wanted, with all that they bring and need. What is in the index has its number there; pictures come behind.
class Maker {
public:
    Maker(const Index& index, const DigestOfPicture& digest_of_picture)
        : index_(index), digest_of_picture_(digest_of_picture) {}

    Meaning all() {
        for (std::size_t i = 0; i < index_.size(); ++i) want(i);
        return done();
    }

    Meaning of(const std::vector<linked::ProcedureId>& procedures) {
        for (const linked::ProcedureId id : procedures) want(index_.procedure(id));
        return done();
    }

private:
    struct Wanted {
        std::vector<std::size_t> brings;
        std::size_t number = 0; // among those that are wanted, in their order
    };

    const Found& at(std::size_t index) const {
        return index < index_.size() ? index_.at(index) : pictures_[index - index_.size()];
    }

    void want(std::size_t index) {
        std::vector<std::size_t> next{index};
        while (!next.empty()) {
            const std::size_t now = next.back();
            next.pop_back();
            const auto [wanted, fresh] = wanted_.try_emplace(now);
            if (!fresh) continue;
            std::vector<std::size_t> brings = brought_by(now);
            const Found& found = at(now);
            next.insert(next.end(), brings.begin(), brings.end());
            next.insert(next.end(), found.needs.begin(), found.needs.end());
            wanted->second.brings = std::move(brings);
        }
    }

    // What a procedure brings: what it names, the figures of what it tightens, its pictures.
    std::vector<std::size_t> brought_by(std::size_t index) {
        const Found& found = at(index);
        if (found.thing.kind == Kind::vehicle) return found.needs;
        if (found.procedure == nullptr) return found.brings;
        std::vector<std::size_t> brings = found.needs;
        linked::each_step(*found.procedure, [&](const linked::Step& step) {
            const bool tightens = step.verb == model::VerbName::torque || step.verb == model::VerbName::recheck;
            if (step.kind == linked::StepKind::verb && tightens)
                for (const linked::Target& target : step.targets)
                    if (const auto* figures = index_.torques_of(target.item))
                        brings.insert(brings.end(), figures->begin(), figures->end());
            if (const auto* file = model::picture_file(*step.source)) brings.push_back(picture(*file));
        });
        return brings;
    }

    std::size_t picture(const source::Spanned<std::string>& file) {
        const auto [known, fresh] = by_path_.try_emplace(file.value, index_.size() + pictures_.size());
        if (fresh) {
            Found& found = pictures_.emplace_back();
            found.thing.kind = Kind::picture;
            found.thing.name = found.thing.called = file.value;
            found.thing.declared = file.span;
            found.tree = [this, path = file.value] {
                Tree tree;
                tree.text = digest_of_picture_(path);
                return tree;
            };
        }
        return known->second;
    }

    // Names as whole ones; what has no order in its own.
    void settle(Tree& tree) const {
        const auto whole = [this](std::string& name, Span at) {
            if (const Found* found = index_.stands_for(at)) name = found->thing.name;
        };
        whole(tree.text, tree.refers);
        for (model::Branch& branch : tree.branches) {
            whole(branch.key, branch.refers);
            settle(branch.tree);
        }
        if (tree.any_order)
            std::stable_sort(tree.branches.begin(), tree.branches.end(),
                             [](const model::Branch& a, const model::Branch& b) { return a.key < b.key; });
    }

    Meaning done() {
        std::vector<std::size_t> order;
        for (const auto& [index, wanted] : wanted_) order.push_back(index);
        std::sort(order.begin(), order.end(), [this](std::size_t a, std::size_t b) {
            return std::pair(at(a).thing.kind, std::string_view(at(a).thing.name)) <
                   std::pair(at(b).thing.kind, std::string_view(at(b).thing.name));
        });
        for (std::size_t i = 0; i < order.size(); ++i) wanted_[order[i]].number = i;
        const auto ids = [this](const std::vector<std::size_t>& from) {
            std::vector<ThingId> to;
            for (const std::size_t each : from) to.emplace_back(wanted_.at(each).number);
            std::sort(to.begin(), to.end());
            to.erase(std::unique(to.begin(), to.end()), to.end());
            return to;
        };
        Meaning made;
        for (const std::size_t each : order) {
            const Found& found = at(each);
            Thing& thing = made.things.emplace_back(found.thing);
            thing.tree = found.tree();
            // By which names a file calls things is no more than spelling.
            std::erase_if(thing.tree.branches, [&found](const model::Branch& branch) {
                return found.thing.kind == Kind::procedure && branch.key == "uses";
            });
            settle(thing.tree);
            thing.brings = ids(wanted_.at(each).brings);
            thing.needs = ids(found.needs);
            made.ids.try_emplace({thing.kind, thing.name}, made.things.size() - 1);
        }
        return made;
    }

    const Index& index_;
    const DigestOfPicture& digest_of_picture_;
    std::map<std::size_t, Wanted> wanted_;
    std::deque<Found> pictures_; // of the procedures that are wanted
    std::map<std::string, std::size_t> by_path_;
};

std::vector<ThingId> all_by(const Meaning& meaning, std::vector<ThingId> found,
                            std::vector<ThingId> Thing::*const first, std::vector<ThingId> Thing::*const second) {
    std::vector<bool> seen(meaning.things.size());
    for (const ThingId each : found) seen[each.index()] = true;
    for (std::size_t i = 0; i < found.size(); ++i)
        for (const auto list : {first, second})
            for (const ThingId other : meaning.at(found[i]).*list) {
                if (seen[other.index()]) continue;
                seen[other.index()] = true;
                found.push_back(other);
            }
    return found;
}

} // namespace

std::string_view word(Kind kind) {
    return kind_words[static_cast<std::size_t>(kind)].word;
}

std::string_view key_above(Kind kind) {
    return kind_words[static_cast<std::size_t>(kind)].key;
}

bool is_file(Kind kind) {
    return kind <= Kind::job;
}

ThingId Meaning::find(Kind kind, std::string_view name) const {
    const auto found = ids.find(std::pair(kind, std::string(name)));
    return found == ids.end() ? ThingId() : found->second;
}

ThingId Meaning::entry(std::string_view name) const {
    for (std::size_t i = 0; i < kind_words.size(); ++i) {
        const auto kind = static_cast<Kind>(i);
        if (kind == Kind::torque) continue;
        if (const ThingId found = find(kind, name); found.known()) return found;
    }
    return {};
}

std::shared_ptr<const Index> index_of(const Linked& linked) {
    return std::make_shared<const Index>(linked);
}

Meaning meaning_of(const Linked& linked, const DigestOfPicture& digest_of_picture) {
    return Maker(Index(linked), digest_of_picture).all();
}

Meaning meaning_of(const Index& index, const DigestOfPicture& digest_of_picture,
                   const std::vector<linked::ProcedureId>& procedures) {
    return Maker(index, digest_of_picture).of(procedures);
}

std::vector<ThingId> all_brought_by(const Meaning& meaning, ThingId thing) {
    return all_by(meaning, {thing}, &Thing::brings, &Thing::brings);
}

std::vector<ThingId> all_needed_by(const Meaning& meaning, const std::vector<ThingId>& things) {
    return all_by(meaning, things, &Thing::brings, &Thing::needs);
}

std::string canonical(const Meaning& meaning, ThingId procedure) {
    std::vector<ThingId> all = all_brought_by(meaning, procedure);
    std::sort(all.begin() + 1, all.end()); // by kind and name
    std::string text;
    for (const ThingId each : all) {
        const Thing& thing = meaning.at(each);
        text += fmt::format("{} {}\n{}\n", word(thing.kind), thing.name, model::lay_out(thing.tree));
    }
    return text;
}

std::string dump(const Meaning& meaning) {
    std::string text;
    for (const Thing& thing : meaning.things) {
        text += fmt::format("{} {}: {}\n", word(thing.kind), thing.name, thing.called);
        for (const auto& [says, others] : {std::pair("brings", &thing.brings), std::pair("needs", &thing.needs)})
            for (const ThingId other : *others)
                text += fmt::format("  {} {} {}\n", says, word(meaning.at(other).kind), meaning.at(other).name);
        text += model::lay_out(thing.tree) + "\n";
    }
    return text;
}

} // namespace benchleaf::meaning
