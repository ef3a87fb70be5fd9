#include "adopted/adopted.h"
#include "adopted/index.h"

#include <algorithm>

namespace benchleaf::adopted {

namespace {

using model::Tree;
using Words = std::set<std::pair<std::string, std::string>>; // a feature and what of it; an axis and nothing

const Tree* under(const Tree& tree, std::string_view key) {
    for (const model::Branch& branch : tree.branches)
        if (branch.key == key) return &branch.tree;
    return nullptr;
}

// A text, or the texts of a list.
std::vector<std::string_view> texts_of(const Tree& tree) {
    if (tree.form == Tree::Form::text) return {tree.text};
    std::vector<std::string_view> texts;
    for (const model::Branch& branch : tree.branches) texts.push_back(branch.tree.text);
    return texts;
}

void add_pairs(const Tree& pairs, Words& to) {
    for (const model::Branch& pair : pairs.branches)
        for (const std::string_view value : texts_of(pair.tree)) to.emplace(pair.key, value);
}

// What a thing asks of vehicles, wherever in it.
void add_asked(const Tree& tree, Words& to) {
    for (const model::Branch& branch : tree.branches) {
        if (branch.key == "fits" || branch.key == "when" || branch.key == "only-on")
            add_pairs(branch.tree, to);
        else if (branch.key == "each" && branch.tree.text != "side") // which every vehicle has
            to.emplace(branch.tree.text, "");
        else
            add_asked(branch.tree, to);
    }
}

Words words_had(const Tree& vehicle) {
    Words had;
    if (const Tree* has = under(vehicle, "has")) add_pairs(*has, had);
    if (const Tree* axes = under(vehicle, "axes"))
        for (const model::Branch& axis : axes->branches) had.emplace(axis.key, "");
    return had;
}

bool fits(const Tree& procedure, const Words& had) {
    const Tree* conditions = under(procedure, "fits");
    if (conditions == nullptr) return true;
    return std::all_of(conditions->branches.begin(), conditions->branches.end(), [&](const model::Branch& condition) {
        const auto values = texts_of(condition.tree);
        return std::any_of(values.begin(), values.end(), [&](std::string_view value) {
            return had.contains({condition.key, std::string(value)});
        });
    });
}

class Gatherer {
public:
    explicit Gatherer(const Side& side) : side_(side), index_(side), seen_(side.meaning->things.size()) {}

    GoingAlong run(const std::vector<ThingId>& procedures, const std::vector<ThingId>& vehicles, Vehicles which) {
        made_.roots = procedures;
        for (const ThingId each : procedures) want(each);
        for (const ThingId each : vehicles) add_root(each);
        if (which == Vehicles::that_fit)
            for (const ThingId vehicle : all_vehicles())
                if (std::any_of(procedures.begin(), procedures.end(),
                                [&](ThingId each) { return fits(at(each).tree, words_had(at(vehicle).tree)); }))
                    add_root(vehicle);
        follow();
        if (which != Vehicles::none) add_vehicles_for_words();
        return std::move(made_);
    }

private:
    const meaning::Thing& at(ThingId id) const { return side_.meaning->at(id); }

    std::vector<ThingId> all_vehicles() const {
        std::vector<ThingId> all;
        for (std::size_t i = 0; i < side_.meaning->things.size(); ++i)
            if (side_.meaning->things[i].kind == Kind::vehicle) all.emplace_back(i);
        return all;
    }

    void want(ThingId id) {
        if (seen_[id.index()]) return;
        seen_[id.index()] = true;
        open_.push_back(id);
    }

    void add_root(ThingId vehicle) {
        if (seen_[vehicle.index()]) return;
        made_.roots.push_back(vehicle);
        want(vehicle);
    }

    void add_file(FileId file) {
        if (!made_.files.insert(file).second) return;
        if (const CatalogueId catalogue = index_.catalogue_in(file); catalogue.known()) {
            for (const ThingId each : index_.things_in(file)) want(each);
            add_used(side_.linked->catalogues[catalogue.index()].uses);
        }
    }

    void add_used(const std::vector<CatalogueId>& used) {
        for (const CatalogueId each : used) add_file(side_.linked->catalogues[each.index()].declared.file);
    }

    void follow() {
        while (!open_.empty()) {
            const ThingId id = open_.back();
            open_.pop_back();
            const meaning::Thing& thing = at(id);
            add_asked(thing.tree, asked_);
            if (thing.kind == Kind::picture)
                made_.pictures.insert(thing.name);
            else
                add_file(thing.declared.file);
            for (const auto* others : {&thing.brings, &thing.needs})
                for (const ThingId other : *others) want(other);
            if (thing.kind == Kind::procedure)
                for (const linked::Procedure& each : side_.linked->procedures)
                    if (each.source->id.span == thing.declared) add_used(each.uses);
        }
    }

    // What a vehicle brings may ask for more.
    void add_vehicles_for_words() {
        Words had;
        const auto knows = [&](ThingId vehicle) {
            const Words words = words_had(at(vehicle).tree);
            had.insert(words.begin(), words.end());
        };
        const std::vector<ThingId> all = all_vehicles();
        for (const ThingId vehicle : all)
            if (seen_[vehicle.index()]) knows(vehicle);
        for (bool more = true; std::exchange(more, false);)
            for (const ThingId vehicle : all) {
                const Words words = words_had(at(vehicle).tree);
                if (seen_[vehicle.index()] || std::none_of(words.begin(), words.end(), [&](const auto& word) {
                        return asked_.contains(word) && !had.contains(word);
                    }))
                    continue;
                add_root(vehicle);
                knows(vehicle);
                follow();
                more = true;
            }
    }

    const Side& side_;
    const Index index_;
    std::vector<bool> seen_;
    std::vector<ThingId> open_;
    Words asked_;
    GoingAlong made_;
};

} // namespace

GoingAlong going_along(const Side& side, const std::vector<ThingId>& procedures, const std::vector<ThingId>& vehicles,
                       Vehicles which) {
    return Gatherer(side).run(procedures, vehicles, which);
}

} // namespace benchleaf::adopted
