#include "linked/missing_uses.h"

#include <algorithm>
#include <functional>
#include <set>
#include <string>
#include <vector>

namespace benchleaf::linked {

namespace {

using SeeTarget = std::function<void(model::VerbName, const model::Target&)>;

void each_target(const model::Given<model::Steps>& steps, const SeeTarget& see) {
    if (!steps) return;
    for (const model::Step& step : steps->value) {
        if (step.verb)
            for (const model::Target& target : step.verb->targets) see(step.verb->verb, target);
        each_target(step.if_so, see);
        each_target(step.if_not, see);
        each_target(step.steps, see);
        if (step.again) each_target(step.again->value.otherwise, see);
    }
}

template <class Refs>
bool names(const Refs& refs, std::string_view name) {
    return std::any_of(refs.begin(), refs.end(), [name](const auto& ref) { return ref.name == name; });
}

template <class Named>
bool has_entry(const model::Given<std::vector<Named>>& list, std::string_view name) {
    return list && std::any_of(list->value.begin(), list->value.end(),
                               [name](const Named& each) { return each.id.value == name; });
}

// The fastener holds it, at rest or where it is moved to.
bool held_by(const model::Part& part, std::string_view name) {
    if (part.held_by && names(part.held_by->value, name)) return true;
    return part.also && std::any_of(part.also->value.begin(), part.also->value.end(),
                                    [name](const auto& place) { return names(place.value, name); });
}

bool let_go_for(const model::Adjustment& adjustment, std::string_view name) {
    if (adjustment.disturbed_by && names(adjustment.disturbed_by->value, name)) return true;
    if (!adjustment.whiles) return false;
    return std::any_of(adjustment.whiles->value.begin(), adjustment.whiles->value.end(), [name](const auto& during) {
        return std::any_of(during.value.begin(), during.value.end(),
                           [name](const auto& place) { return place.key.name == name; });
    });
}

} // namespace

MissingUses uses_of(const model::Model& model, std::string_view name) {
    MissingUses uses;
    std::set<std::string, std::less<>> come_off;
    for (const model::Procedure& procedure : model.procedures) {
        uses.torqued = uses.torqued || has_entry(procedure.torques, name);
        each_target(procedure.steps, [&](model::VerbName verb, const model::Target& target) {
            using V = model::VerbName;
            const bool off = verb == V::remove || (verb == V::move && target.place && target.place->value == "off");
            if (off) come_off.insert(target.name);
            if (target.name != name) return;
            if (!uses.worked.known()) uses.worked = target.span;
            uses.taken_off = uses.taken_off || off || verb == V::fit;
            uses.slackened = uses.slackened || verb == V::slacken;
            uses.torqued = uses.torqued || verb == V::torque || verb == V::snug || verb == V::recheck;
        });
    }
    for (const model::Vehicle& vehicle : model.vehicles)
        uses.torqued = uses.torqued || has_entry(vehicle.torques, name);
    std::set<std::string> axes;
    const auto along = [&](const auto& entry) { axes.insert(entry.each ? entry.each->value.name : std::string()); };
    for (const model::Catalogue& catalogue : model.catalogues) {
        uses.torqued = uses.torqued || has_entry(catalogue.torques, name);
        if (catalogue.parts)
            for (const auto& part : catalogue.parts->value) {
                if (!held_by(part.value, name)) continue;
                along(part.value);
                uses.holds_what_comes_off = uses.holds_what_comes_off || come_off.contains(part.id.value);
            }
        if (catalogue.adjustments)
            for (const auto& adjustment : catalogue.adjustments->value)
                if (let_go_for(adjustment.value, name)) along(adjustment.value);
    }
    if (axes.size() == 1) uses.each = *axes.begin();
    return uses;
}

} // namespace benchleaf::linked
