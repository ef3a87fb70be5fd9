#include "linked/missing_uses.h"
#include "linked/look_over.h"

#include <algorithm>
#include <functional>
#include <set>
#include <string>
#include <vector>

namespace benchleaf::linked {

namespace {

using SeeTarget = std::function<void(model::VerbName, const model::Target&)>;

void each_target(const model::Step& step, const SeeTarget& see) {
    if (step.verb)
        for (const model::Target& target : step.verb->targets) see(step.verb->verb, target);
    for (const model::Given<model::Steps>* below : {&step.if_so, &step.if_not, &step.steps})
        if (*below)
            for (const model::Step& each : (*below)->value) each_target(each, see);
    if (step.again && step.again->value.otherwise)
        for (const model::Step& each : step.again->value.otherwise->value) each_target(each, see);
}

void each_target(const model::Given<model::Steps>& steps, const SeeTarget& see) {
    if (!steps) return;
    for (const model::Step& step : steps->value) each_target(step, see);
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

template <class Refs>
std::string listed(const Refs& refs) {
    std::string all;
    for (const auto& each : refs) all += (all.empty() ? "" : ", ") + each.name;
    return all;
}

std::string needs_of(const model::Part& part) {
    std::string all;
    if (part.needs)
        for (const auto& each : part.needs->value)
            all += (all.empty() ? "" : ", ") + each.key.name + ": " + each.value.name;
    return all;
}

// The caution that nothing names: it most likely belongs to what is missing. Empty where there is none, or are several.
class Cautions {
public:
    explicit Cautions(const model::Model& model) {
        for (const model::Catalogue& catalogue : model.catalogues)
            if (catalogue.cautions)
                for (const auto& each : catalogue.cautions->value) unnamed_.insert(each.id.value);
        for (const model::Catalogue& catalogue : model.catalogues) {
            name_each(catalogue.parts);
            name_each(catalogue.fasteners);
            name_each(catalogue.circuits);
            name_each(catalogue.settings);
            name_each(catalogue.adjustments);
            name_each(catalogue.limits);
            name_each(catalogue.consumables);
            name_each(catalogue.tools);
        }
        for (const model::Vehicle& vehicle : model.vehicles) {
            name(vehicle.cautions);
            if (vehicle.items)
                for (const auto& each : vehicle.items->value) {
                    name(each.value.part.cautions);
                    name(each.value.fastener.cautions);
                    name(each.value.circuit.cautions);
                    name(each.value.setting.cautions);
                    name(each.value.adjustment.cautions);
                }
        }
        for (const model::Procedure& procedure : model.procedures) {
            name(procedure.cautions);
            if (procedure.steps)
                for (const model::Step& step : procedure.steps->value) look(step);
        }
    }
    std::string alone() const { return unnamed_.size() == 1 ? *unnamed_.begin() : std::string(); }

private:
    template <class Refs>
    void name(const Refs& refs) {
        if (refs)
            for (const auto& each : refs->value) unnamed_.erase(each.name.substr(each.name.find('/') + 1));
    }
    template <class List>
    void name_each(const List& list) {
        if (list)
            for (const auto& each : list->value) name(each.value.cautions);
    }
    void look(const model::Step& step) {
        name(step.cautions);
        for (const model::Given<model::Steps>* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below)
                for (const model::Step& each : (*below)->value) look(each);
        if (step.again && step.again->value.otherwise)
            for (const model::Step& each : step.again->value.otherwise->value) look(each);
    }

    std::set<std::string> unnamed_;
};

bool let_go_for(const model::Adjustment& adjustment, std::string_view name) {
    if (adjustment.disturbed_by && names(adjustment.disturbed_by->value, name)) return true;
    if (!adjustment.whiles) return false;
    return std::any_of(adjustment.whiles->value.begin(), adjustment.whiles->value.end(), [name](const auto& during) {
        return std::any_of(during.value.begin(), during.value.end(),
                           [name](const auto& place) { return place.key.name == name; });
    });
}

} // namespace

namespace {

// The state in which a place of the shop's files wants the setting.
void add_state(MissingUses& uses, const std::string& state) {
    if (!state.empty() && std::find(uses.states.begin(), uses.states.end(), state) == uses.states.end())
        uses.states.push_back(state);
}

void add_states(MissingUses& uses, const model::Given<model::Places>& places, std::string_view name) {
    if (!places) return;
    for (const auto& each : places->value)
        if (each.key.name == name) add_state(uses, each.value.name);
}

void add_states(MissingUses& uses, const model::Given<model::Contract>& contract, std::string_view name) {
    if (!contract) return;
    for (const auto& each : contract->value)
        if (each.key.name == name && each.value.place) add_state(uses, each.value.place->value);
}

template <class List>
void add_wanted_states(MissingUses& uses, const List& list, std::string_view name) {
    if (!list) return;
    for (const auto& item : list->value) {
        add_states(uses, item.value.needs, name);
        if (item.value.whiles)
            for (const auto& during : item.value.whiles->value)
                for (const auto& each : during.value)
                    if (each.key.name == name) add_state(uses, each.value.name);
    }
}

void add_all_states(const model::Model& model, MissingUses& uses, std::string_view name) {
    for (const model::Procedure& procedure : model.procedures)
        each_target(procedure.steps, [&](model::VerbName verb, const model::Target& target) {
            if (verb == model::VerbName::set && target.name == name && target.place)
                add_state(uses, target.place->value);
        });
    // At rest it is where a procedure leaves it that does not say how it ends.
    for (const model::Procedure& procedure : model.procedures) {
        if (procedure.ends_with && std::any_of(procedure.ends_with->value.begin(), procedure.ends_with->value.end(),
                                               [&](const auto& each) { return each.key.name == name; }))
            continue;
        std::string last;
        each_target(procedure.steps, [&](model::VerbName verb, const model::Target& target) {
            if (verb == model::VerbName::set && target.name == name && target.place) last = target.place->value;
        });
        const auto rest = std::find(uses.states.begin(), uses.states.end(), last);
        if (rest != uses.states.end()) std::rotate(uses.states.begin(), rest, rest + 1);
        if (rest != uses.states.end()) break;
    }
    for (const model::Procedure& procedure : model.procedures) {
        add_states(uses, procedure.starts_with, name);
        add_states(uses, procedure.ends_with, name);
    }
    for (const model::Catalogue& catalogue : model.catalogues) {
        add_wanted_states(uses, catalogue.parts, name);
        add_wanted_states(uses, catalogue.fasteners, name);
        add_wanted_states(uses, catalogue.circuits, name);
        add_wanted_states(uses, catalogue.settings, name);
        add_wanted_states(uses, catalogue.adjustments, name);
    }
}

bool is_done_to(const model::Step& step, model::VerbName verb, std::string_view name) {
    return step.verb && step.verb->verb == verb &&
           std::any_of(step.verb->targets.begin(), step.verb->targets.end(),
                       [&](const model::Target& target) { return target.name == name; });
}

// Nuts that are turned to their next slot.
std::set<std::string, std::less<>> slotted(const model::Model& model) {
    std::set<std::string, std::less<>> all;
    const auto add = [&](const model::Given<std::vector<model::Named<model::Torque>>>& torques) {
        if (!torques) return;
        for (const auto& torque : torques->value)
            if (torque.value.value)
                for (const units::Stage& stage : torque.value.value->value.stages)
                    if (std::holds_alternative<units::NextSlot>(stage)) all.insert(torque.id.value);
    };
    for (const model::Catalogue& catalogue : model.catalogues) add(catalogue.torques);
    for (const model::Vehicle& vehicle : model.vehicles) add(vehicle.torques);
    return all;
}

class Lists {
public:
    Lists(const model::Model& model, std::string_view name, MissingUses& uses)
        : model_(model), name_(name), uses_(uses), slotted_(slotted(model)) {}

    void look(const model::Steps& steps) {
        using V = model::VerbName;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const model::Step& step = steps[i];
            look_beside(steps, i);
            // What comes off right before such a nut, or in the section before it, and goes in again, is its pin.
            if (is_done_to(step, V::remove, name_)) {
                std::size_t next = i + 1;
                while (next < steps.size() && steps[next].section) ++next;
                for (const std::string& nut : slotted_)
                    if (next < steps.size() &&
                        (is_done_to(steps[next], V::remove, nut) || is_done_to(steps[next], V::slacken, nut)))
                        lock(nut);
            }
            // A linch pin comes out right before the pin that it holds, and goes in right behind it.
            if (i + 1 < steps.size() && is_done_to(step, V::remove, name_))
                off_before_ = the_pin(steps[i + 1], V::remove);
            if (i > 0 && is_done_to(step, V::fit, name_) && !off_before_.empty() &&
                the_pin(steps[i - 1], V::fit) == off_before_ && !covers_by_name())
                lock(off_before_);
            if (step.again && step.again->value.from) look_round(steps, i);
            if (step.verb && step.verb->verb == V::apply) look_apply(step);
            for (const model::Given<model::Steps>* below : {&step.if_so, &step.if_not, &step.steps})
                if (*below) look((*below)->value);
            if (step.again && step.again->value.otherwise) look(step.again->value.otherwise->value);
        }
    }

private:
    // The pin of a nut that people rely on is relied on with it.
    void lock(const std::string& nut) {
        if (uses_.locks == nut) return;
        uses_.locks = nut;
        for (const model::Catalogue& catalogue : model_.catalogues)
            if (catalogue.fasteners)
                for (const auto& each : catalogue.fasteners->value)
                    if (each.id.value == nut) {
                        uses_.critical = uses_.critical || (each.value.critical && each.value.critical->value);
                        if (each.value.behind)
                            for (const auto& before : each.value.behind->value)
                                uses_.behind += (uses_.behind.empty() ? "" : ", ") + before.name;
                    }
    }
    // Its gasket comes off behind the pump, and goes on before it.
    void look_beside(const model::Steps& steps, std::size_t i) {
        using V = model::VerbName;
        if (i > 0 && is_done_to(steps[i], V::remove, name_)) uncovered_by_ = the_part(steps[i - 1], V::remove);
        if (i + 1 < steps.size() && is_done_to(steps[i], V::fit, name_) && !uncovered_by_.empty() &&
            the_part(steps[i + 1], V::fit) == uncovered_by_)
            uses_.behind = uncovered_by_;
        if (is_done_to(steps[i], V::renew, name_)) uses_.renewed = true;
    }
    // The one part that the step does that to.
    std::string the_part(const model::Step& step, model::VerbName verb) const {
        if (!step.verb || step.verb->verb != verb || step.verb->targets.size() != 1) return {};
        const std::string& what = step.verb->targets.front().name;
        for (const model::Catalogue& catalogue : model_.catalogues)
            if (has_entry(catalogue.parts, what)) return what;
        return {};
    }
    bool covers_by_name() const {
        static constexpr std::string_view covers[] = {"cap", "cover", "lid", "boot", "guard"};
        return std::any_of(std::begin(covers), std::end(covers),
                           [this](std::string_view word) { return name_.ends_with(word); });
    }
    std::string the_pin(const model::Step& step, model::VerbName verb) const {
        if (!step.verb || step.verb->verb != verb || step.verb->targets.size() != 1) return {};
        const std::string& what = step.verb->targets.front().name;
        for (const model::Catalogue& catalogue : model_.catalogues)
            if (catalogue.fasteners)
                for (const auto& each : catalogue.fasteners->value)
                    if (each.id.value == what && each.value.secured_by) return what;
        return {};
    }
    void look_round(const model::Steps& steps, std::size_t again) {
        const std::string& from = steps[again].again->value.from->value.name;
        bool within = false;
        for (std::size_t i = 0; i < again; ++i) {
            within = within || (steps[i].id && steps[i].id->value == from);
            if (within && is_done_to(steps[i], model::VerbName::slacken, name_)) uses_.sets = true;
        }
    }
    void look_apply(const model::Step& step) {
        if (is_done_to(step, model::VerbName::apply, name_) && step.amount && uses_.unit.empty())
            uses_.unit = std::string(units::symbol(step.amount->value.quantity.unit));
        if (!step.to || !names(step.to->value, name_)) return;
        for (const model::Target& target : step.verb->targets) {
            const std::optional<model::ConsumableSort> sort = sort_of(target.name);
            if (sort == model::ConsumableSort::thread_locker) uses_.threadlock = target.name;
            if (sort == model::ConsumableSort::lubricant) uses_.lubricant = target.name;
        }
    }
    std::optional<model::ConsumableSort> sort_of(const std::string& consumable) const {
        for (const model::Catalogue& catalogue : model_.catalogues)
            if (catalogue.consumables)
                for (const auto& each : catalogue.consumables->value)
                    if (each.id.value == consumable && each.value.sort) return each.value.sort->value;
        return std::nullopt;
    }

    const model::Model& model_;
    std::string_view name_;
    MissingUses& uses_;
    std::set<std::string, std::less<>> slotted_;
    std::string off_before_;   // the pin that came out right behind it
    std::string uncovered_by_; // the part that came off right before it
};

// The axis along which each step that works on it is worked; empty where one is worked once.
std::string axis_of_work(const model::Model& model, std::string_view name) {
    std::set<std::string> axes;
    for (const model::Procedure& procedure : model.procedures) {
        if (!procedure.steps) continue;
        bool once = false;
        for (const model::Step& step : procedure.steps->value) {
            if (step.section) once = step.once && step.once->value;
            bool works = false;
            const auto see = [&](model::VerbName, const model::Target& target) {
                works = works || target.name == name;
            };
            each_target(step, see);
            works = works || (step.to && names(step.to->value, name));
            if (works) axes.insert(once || !procedure.each ? std::string() : procedure.each->value.name);
        }
    }
    axes.erase("");
    return axes.size() == 1 ? *axes.begin() : std::string();
}

} // namespace

MissingUses uses_of(const model::Model& model, std::string_view name) {
    MissingUses uses;
    std::set<std::string, std::less<>> come_off;
    for (const model::Procedure& procedure : model.procedures) {
        uses.sides = uses.sides || procedure.each.has_value();
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
                uses.needs = needs_of(part.value);
                if (part.value.behind)
                    uses.behind_of_held = listed(part.value.behind->value);
                else if (part.value.inside)
                    uses.behind_of_held = part.value.inside->value.name;
                uses.critical = uses.critical || (part.value.system && hurts_if_lost(part.value.system->value));
                uses.holds_what_comes_off = uses.holds_what_comes_off || come_off.contains(part.id.value);
            }
        if (catalogue.adjustments)
            for (const auto& adjustment : catalogue.adjustments->value)
                if (let_go_for(adjustment.value, name)) {
                    along(adjustment.value);
                    uses.sets = true;
                }
        if (catalogue.fasteners)
            for (const auto& fastener : catalogue.fasteners->value)
                uses.locker =
                    uses.locker || (fastener.value.threadlock && fastener.value.threadlock->value.name == name);
        if (catalogue.circuits)
            for (const auto& circuit : catalogue.circuits->value)
                uses.fluid = uses.fluid || (circuit.value.fluid && circuit.value.fluid->value.name == name);
    }
    uses.caution = Cautions(model).alone();
    if (axes.size() == 1) uses.each = *axes.begin();
    if (axes.empty()) uses.each = axis_of_work(model, name);
    Lists lists(model, name, uses);
    for (const model::Procedure& procedure : model.procedures)
        if (procedure.steps) lists.look(procedure.steps->value);
    add_all_states(model, uses, name);
    return uses;
}

} // namespace benchleaf::linked
