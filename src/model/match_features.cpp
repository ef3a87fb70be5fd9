#include "model/match_features.h"

#include "base/text.h"
#include "model/reports.h"

#include <fmt/format.h>

#include <map>
#include <vector>

namespace benchleaf::model {

namespace {

struct Times {
    std::size_t times = 0;
    Span first;
    void add(Span at) {
        if (times++ == 0) first = at;
    }
};

struct Feature {
    Times all;
    std::map<std::string, Times> values;
};
using found::Meant;
using Features = std::map<std::string, Feature>;

void gather(Steps& steps, std::vector<Conditions*>& to) {
    for (Step& step : steps) {
        if (step.when) to.push_back(&step.when->value);
        for (auto* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) gather((*below)->value, to);
        if (step.again && step.again->value.otherwise) gather(step.again->value.otherwise->value, to);
    }
}

template <class T>
void gather(Given<std::vector<Named<T>>>& items, std::vector<Conditions*>& to) {
    if (!items) return;
    for (Named<T>& item : items->value)
        if (item.value.only_on) to.push_back(&item.value.only_on->value);
}

std::vector<Conditions*> all_conditions(Model& model) {
    std::vector<Conditions*> all;
    for (Catalogue& each : model.catalogues) {
        gather(each.parts, all);
        gather(each.fasteners, all);
        gather(each.circuits, all);
        gather(each.settings, all);
        gather(each.adjustments, all);
    }
    for (Procedure& each : model.procedures) {
        if (each.fits) all.push_back(&each.fits->value);
        if (each.steps) gather(each.steps->value, all);
    }
    return all;
}

Features asked_in(const std::vector<Conditions*>& conditions) {
    Features asked;
    for (const Conditions* each : conditions)
        for (const auto& condition : *each) {
            Feature& feature = asked[condition.key.name];
            feature.all.add(condition.key.span);
            for (const auto& value : condition.value) feature.values[value.name].add(value.span);
        }
    return asked;
}

Features had_by(const Model& model) {
    Features had;
    for (const Vehicle& vehicle : model.vehicles)
        if (vehicle.has)
            for (const auto& entry : vehicle.has->value) {
                Feature& feature = had[entry.key.name];
                feature.all.add(entry.key.span);
                feature.values[entry.value.name].add(entry.value.span);
            }
    return had;
}

const Times& times_of(const Feature& feature) {
    return feature.all;
}
const Times& times_of(const Times& times) {
    return times;
}

// The one that the word is a slip for; null where there is none, or more than one.
template <class T>
const std::pair<const std::string, T>* meant_by(const std::string& word, const std::map<std::string, T>& all) {
    const std::pair<const std::string, T>* meant = nullptr;
    for (const auto& each : all) {
        if (!base::is_slip(word, each.first)) continue;
        if (meant != nullptr) return nullptr;
        meant = &each;
    }
    return meant;
}

template <class T>
bool has(const std::map<std::string, T>& all, const std::string& word) {
    return word.empty() || all.contains(word); // an empty one was reported
}

// What one vehicle has, no other has, and nothing asks for, is misspelt where what it is a slip for is asked for again and again.
template <class T>
void match_had(Ref<Refers::free>& word, std::string_view before, const std::map<std::string, T>& asked,
               std::size_t vehicles, messages::Messages& out) {
    if (has(asked, word.name) || vehicles > 1) return;
    const auto* const meant = meant_by(word.name, asked);
    if (meant == nullptr || times_of(meant->second).times < 2) return;
    const Times& times = times_of(meant->second);
    found::misspelt_feature(out, word.span,
                            fmt::format("nothing asks for `{0}{1}`, and `{0}{2}` is asked for in {3} places", before,
                                        word.name, meant->first, times.times),
                            word.name, meant->first, times.first, "asked for here for the first time", Meant::surely);
    word.name = meant->first;
}

// What is asked for and no vehicle has is misspelt where vehicles have what it is a slip for.
template <Refers to, class T, class U>
void match_asked(Ref<to>& word, std::string_view before, const std::map<std::string, T>& had,
                 const std::map<std::string, U>& asked, messages::Messages& out) {
    if (has(had, word.name)) return;
    const auto* const meant = meant_by(word.name, had);
    if (meant == nullptr) return;
    found::misspelt_feature(
        out, word.span, fmt::format("no vehicle of this shop has `{}{}`", before, word.name), word.name, meant->first,
        times_of(meant->second).first, "a vehicle has this",
        times_of(meant->second).times > 1 || asked.contains(meant->first) ? Meant::surely : Meant::one_or_the_other);
    word.name = meant->first;
}

} // namespace

void match_features(Model& model, messages::Messages& messages) {
    if (!model.unread.empty()) return; // it may have or ask for the other
    const std::vector<Conditions*> conditions = all_conditions(model);
    const Features asked = asked_in(conditions);
    const Features first_had = had_by(model);
    for (Vehicle& vehicle : model.vehicles) {
        if (!vehicle.has) continue;
        for (auto& [key, value] : vehicle.has->value) {
            const Feature& same = first_had.at(key.name);
            match_had(key, "", asked, same.all.times, messages);
            const auto feature = asked.find(key.name);
            if (feature != asked.end())
                match_had(value, key.name + ": ", feature->second.values, same.values.at(value.name).times, messages);
        }
    }
    const Features had = had_by(model);
    for (Conditions* each : conditions)
        for (auto& [key, values] : *each) {
            match_asked(key, "", had, asked, messages);
            const auto feature = had.find(key.name);
            const auto asked_of_it = asked.find(key.name);
            if (feature == had.end() || asked_of_it == asked.end()) continue;
            for (auto& value : values)
                match_asked(value, key.name + ": ", feature->second.values, asked_of_it->second.values, messages);
        }
}

} // namespace benchleaf::model
