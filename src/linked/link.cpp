#include "linked/link.h"

#include "base/text.h"
#include "linked/linker.h"
#include "linked/rings.h"

#include <algorithm>
#include <map>

namespace benchleaf::linked {

void FileNames::declare_all(const source::Sources& sources, const std::vector<const source::Spanned<std::string>*>& all,
                            Messages& out) {
    for (const auto* id : all) declared.push_back(id->span);
    for (const bool by_file : {true, false})
        for (std::size_t i = 0; i < all.size(); ++i) {
            const source::Spanned<std::string>& id = *all[i];
            if (id.value.empty() || named_as_its_file(sources, id.value, id.span) != by_file) continue;
            const auto [at, fresh] = ids.try_emplace(id.value, static_cast<std::uint32_t>(i));
            if (fresh)
                listed.push_back(id.value);
            else if (by_file == named_as_its_file(sources, id.value, declared[at->second]))
                report_duplicate_name(out, id.span, id.value, std::string(noun), declared[at->second]);
        }
}

std::uint32_t FileNames::find(std::string_view name, Span at, Messages& out) const {
    if (name.empty()) return base::Id<void>::nothing;
    const auto found = ids.find(name);
    if (found != ids.end()) {
        uses->push_back({at, declared[found->second]});
        return found->second;
    }
    if (std::find(unread->begin(), unread->end(), name) != unread->end()) return base::Id<void>::nothing;
    std::string near(base::nearest(name, listed));
    if (near.empty()) near = same_words(name, {listed.begin(), listed.end()});
    const std::uint32_t meant = near.empty() ? base::Id<void>::nothing : ids.at(near);
    report_unknown_name(out, at, std::string(name), noun, {}, near, near.empty() ? Span{} : declared[meant], near,
                        those_with(name, listed));
    return meant;
}

AxisId Linker::axis(std::string_view name, Span at) {
    if (name.empty()) return {};
    const auto found = axes.find(std::string(name));
    if (found != axes.end()) return found->second;
    if (linked.vehicles.empty()) {
        // A shop without a vehicle cannot say which values an axis has. Two nameless ones let the proof see sides.
        const AxisId id(linked.axes.size());
        linked.axes.push_back({std::string(name), {"1", "2"}});
        axes.emplace(name, id);
        return id;
    }
    std::vector<std::string_view> candidates;
    for (const Axis& each : linked.axes) candidates.push_back(each.name);
    const std::string near(base::nearest(name, candidates));
    if (model.unread_shared) return {}; // a vehicle that could not be read may have it
    report_unknown_axis(out, at, std::string(name), near);
    return near.empty() ? AxisId() : axes.at(near);
}

bool Linker::place(ItemId id, std::string_view name, Span at, Place& place) {
    if (!id.known() || name.empty()) return false;
    const Item& item = linked.items[id.index()];
    std::vector<std::string_view> candidates;
    for (std::size_t i = 0; i < item.places.size(); ++i) {
        if (item.places[i].name == name) {
            place = static_cast<Place>(i);
            asked_places.emplace(id, place);
            return true;
        }
        candidates.push_back(item.places[i].name);
    }
    if (candidates.empty()) return false; // a setting without states, which was reported
    unknown_places.push_back({id, std::string(name), at});
    const std::string_view near = base::nearest(name, candidates);
    if (near.empty()) return false;
    place = static_cast<Place>(std::find(candidates.begin(), candidates.end(), near) - candidates.begin());
    return true;
}

// A name that is asked for again and again, while nobody asks for the one that is nearest to it, is misspelt where that one is declared.
void Linker::tell_places() {
    std::map<std::pair<ItemId, std::string_view>, std::vector<Span>> by_name;
    for (const UnknownPlace& each : unknown_places) by_name[{each.item, each.place}].push_back(each.at);
    for (const auto& [key, spans] : by_name) {
        const Item& item = linked.items[key.first.index()];
        const std::string name(key.second);
        std::vector<std::string_view> candidates;
        std::vector<std::string> all;
        for (const PlaceName& place : item.places) {
            candidates.push_back(place.name);
            all.push_back(place.name);
        }
        const std::string near(base::nearest(name, candidates));
        const auto at =
            static_cast<std::size_t>(std::find(candidates.begin(), candidates.end(), near) - candidates.begin());
        if (spans.size() > 1 && !near.empty() && item.places[at].span.known() &&
            !asked_places.contains({key.first, static_cast<Place>(at)})) {
            report_misspelt_place(out, item.places[at].span, near, item.name, name, spans);
            continue;
        }
        for (const Span span : spans) report_unknown_place(out, span, name, item.name, all, near, item.declared);
    }
}

std::vector<Need> Linker::needs(const Scope& scope, const model::Places& places) {
    std::vector<Need> found;
    for (const auto& entry : places) {
        names->hinted = sorts_with(entry.value.name);
        Need need{item(scope, entry.key), 0, entry.key.span};
        names->hinted = every_sort;
        if (place(need.item, entry.value.name, entry.value.span, need.place)) found.push_back(need);
    }
    return found;
}

std::vector<Torque> Linker::torques(const Scope& scope,
                                    const model::Given<std::vector<model::Named<model::Torque>>>& from) {
    std::vector<Torque> found;
    if (!from) return found;
    for (const auto& named : from->value) {
        if (const Entry* entry = find(scope, named.id.value, named.id.span, model::Refers::torque)) {
            found.push_back({ItemId(std::size_t{entry->index}), named.id.span, named.value});
        }
    }
    return found;
}

std::vector<LimitDifference> Linker::limits(const Scope& scope,
                                            const model::Given<std::vector<model::Named<model::Limit>>>& from) {
    std::vector<LimitDifference> found;
    if (!from) return found;
    for (const auto& named : from->value) {
        if (const Entry* entry = find(scope, named.id.value, named.id.span, model::Refers::limit)) {
            found.push_back({LimitId(std::size_t{entry->index}), named.id.span, named.value});
        }
    }
    return found;
}

void Linker::declare_files() {
    for (FileNames* names_of : {&catalogues, &procedures, &vehicles, &jobs}) {
        names_of->unread = &model.unread;
        names_of->uses = &linked.uses;
    }
    using Ids = std::vector<const source::Spanned<std::string>*>;
    const auto ids_of = [](const auto& files) {
        Ids ids;
        for (const auto& each : files) ids.push_back(&each.id);
        return ids;
    };
    for (const model::Catalogue& each : model.catalogues)
        linked.catalogues.push_back({each.id.value, each.id.span, {}, {}});
    const auto take_over = [](const auto& files, auto& things) {
        for (std::size_t i = 0; i < files.size(); ++i) {
            auto& thing = things.emplace_back();
            thing.id = decltype(thing.id)(i);
            thing.source = &files[i];
        }
    };
    take_over(model.procedures, linked.procedures);
    take_over(model.vehicles, linked.vehicles);
    take_over(model.jobs, linked.jobs);
    catalogues.declare_all(sources, ids_of(model.catalogues), out);
    procedures.declare_all(sources, ids_of(model.procedures), out);
    vehicles.declare_all(sources, ids_of(model.vehicles), out);
    jobs.declare_all(sources, ids_of(model.jobs), out);
    const auto by_file = [this](FileNames& names_of) {
        for (std::size_t i = 0; i < names_of.declared.size(); ++i) {
            std::string_view stem = sources.file(names_of.declared[i].file).path;
            stem.remove_prefix(stem.rfind('/') + 1);
            names_of.declare_file(stem.substr(0, stem.rfind('.')), static_cast<std::uint32_t>(i));
        }
    };
    for (FileNames* names_of : {&catalogues, &procedures, &vehicles, &jobs}) by_file(*names_of);
}

// `side` is there always; the others are those that vehicles declare, with the values that most of them have.
void Linker::declare_axes() {
    struct Seen {
        std::vector<std::string> values;
        std::size_t times;
    };
    std::vector<std::vector<Seen>> seen;
    const auto axis_of = [&](const std::string& name) {
        const auto [at, fresh] = axes.try_emplace(name, AxisId(linked.axes.size()));
        if (fresh) {
            linked.axes.push_back({name, {}});
            seen.emplace_back();
        }
        return at->second;
    };
    const AxisId side = axis_of("side");
    for (Vehicle& vehicle : linked.vehicles) {
        if (!vehicle.source->axes) continue;
        for (const auto& entry : vehicle.source->axes->value) {
            if (entry.key.name.empty()) continue;
            std::vector<std::string> values;
            for (const auto& value : entry.value) {
                if (value.name.empty()) continue;
                if (std::find(values.begin(), values.end(), value.name) != values.end()) {
                    const auto first = std::find_if(entry.value.begin(), entry.value.end(),
                                                    [&](const auto& other) { return other.name == value.name; });
                    report_duplicate_name(out, value.span, value.name, "value of the axis " + entry.key.name,
                                          first->span);
                } else if (values.size() == most_values) {
                    report_too_many_values(out, entry.key.span, "the axis `" + entry.key.name + "` has", most_values);
                    break;
                } else {
                    values.push_back(value.name);
                }
            }
            const AxisId id = axis_of(entry.key.name);
            vehicle.axes.emplace_back(id, values);
            auto& lists = seen[id.index()];
            const auto same =
                std::find_if(lists.begin(), lists.end(), [&](const Seen& s) { return s.values == values; });
            if (same == lists.end()) {
                lists.push_back({values, 1});
            } else {
                ++same->times;
            }
        }
    }
    for (std::size_t i = 0; i < linked.axes.size(); ++i) {
        std::size_t most = 0;
        for (const Seen& each : seen[i]) {
            if (each.times > most) {
                most = each.times;
                linked.axes[i].values = each.values;
            }
        }
    }
    linked.axes[side.index()].values = {"left", "right"};
}

namespace {

// Does it use one that is not known?
bool blind(const model::Given<model::Refs<model::Refers::catalogue>>& uses, const std::vector<CatalogueId>& found) {
    return uses && found.size() < uses->value.size();
}

// What each catalogue sees: itself and what it uses, and what those use. Rings are harmless.
void find_scopes(Linker& linker) {
    const std::size_t count = linker.linked.catalogues.size();
    linker.scopes.resize(count);
    std::vector<std::size_t> seen_by(count, count);
    for (std::size_t i = 0; i < count; ++i) {
        const model::Catalogue& from = linker.model.catalogues[i];
        Scope& scope = linker.scopes[i];
        scope.own = CatalogueId(i);
        scope.uses = &from.uses;
        scope.after = from.id.span;
        std::vector<CatalogueId> stack{CatalogueId(i)};
        seen_by[i] = i;
        while (!stack.empty()) {
            const CatalogueId next = stack.back();
            stack.pop_back();
            scope.used.push_back(next);
            scope.blind = scope.blind || blind(linker.model.catalogues[next.index()].uses,
                                               linker.linked.catalogues[next.index()].uses);
            for (const CatalogueId used : linker.linked.catalogues[next.index()].uses) {
                if (seen_by[used.index()] == i) continue;
                seen_by[used.index()] = i;
                stack.push_back(used);
            }
        }
        std::sort(scope.used.begin(), scope.used.end());
    }
    linker.everything.everything = true;
    linker.everything.blind = linker.model.unread_shared;
}

std::vector<CatalogueId> find_uses(Linker& linker, const model::Given<model::Refs<model::Refers::catalogue>>& uses) {
    std::vector<CatalogueId> found;
    if (!uses) return found;
    for (const auto& ref : uses->value) {
        const CatalogueId id{std::size_t{linker.catalogues.find(ref.name, ref.span, linker.out)}};
        if (id.known()) found.push_back(id);
    }
    return found;
}

} // namespace

Scope Linker::procedure_scope(const model::Procedure& procedure) {
    Scope scope;
    scope.uses = &procedure.uses;
    scope.after = procedure.id.span;
    return scope;
}

void Linker::link_procedures() {
    for (Procedure& procedure : linked.procedures) {
        Scope scope = procedure_scope(*procedure.source);
        procedure.uses = find_uses(*this, procedure.source->uses);
        scope.blind = blind(procedure.source->uses, procedure.uses);
        for (const CatalogueId used : procedure.uses) {
            scope.blind = scope.blind || scopes[used.index()].blind;
            const std::vector<CatalogueId>& more = scopes[used.index()].used;
            scope.used.insert(scope.used.end(), more.begin(), more.end());
        }
        std::sort(scope.used.begin(), scope.used.end());
        scope.used.erase(std::unique(scope.used.begin(), scope.used.end()), scope.used.end());
        names->lent.clear();
        link_procedure(*this, scope, procedure);
        procedure.sees = scope.used;
        for (const CatalogueId each : names->lent)
            procedure.sees.insert(procedure.sees.end(), scopes[each.index()].used.begin(),
                                  scopes[each.index()].used.end());
        std::sort(procedure.sees.begin(), procedure.sees.end());
        procedure.sees.erase(std::unique(procedure.sees.begin(), procedure.sees.end()), procedure.sees.end());
    }
}

void Linker::link_jobs() {
    for (Job& job : linked.jobs) {
        const model::Job& from = *job.source;
        if (from.vehicle) {
            job.vehicle =
                VehicleId{std::size_t{vehicles.find(from.vehicle->value.name, from.vehicle->value.span, out)}};
        }
        if (from.procedures) {
            for (const auto& ref : from.procedures->value) {
                job.procedures.emplace_back(ProcedureId{std::size_t{procedures.find(ref.name, ref.span, out)}},
                                            ref.span);
            }
        }
        job.torques = torques(everything, from.torques);
        job.limits = limits(everything, from.limits);
    }
}

namespace {

// `undeclared`: names that are holes; gives those that should be, if there are others.
Linked link_by_names(const model::Model& model, const source::Sources& sources, messages::Messages& messages,
                     const std::vector<Names::EmptyList>& empty_lists, std::set<std::string>& undeclared) {
    Linker linker(model, sources, messages);
    linker.linked.model = &model;
    linker.linked.shop = model.shops.empty() ? nullptr : &model.shops.front();

    linker.declare_files();
    linker.declare_axes();
    for (std::size_t i = 0; i < model.catalogues.size(); ++i) {
        linker.linked.catalogues[i].uses = find_uses(linker, model.catalogues[i].uses);
    }
    find_scopes(linker);

    Names names(linker.linked, sources, messages);
    names.holes = undeclared;
    names.empty_lists = empty_lists;
    linker.names = &names;
    linker.declare_entries();
    linker.link_entries();
    linker.relate();
    linker.link_procedures();
    linker.cut_cycles_of_do();
    linker.link_vehicles();
    linker.link_jobs();
    linker.tell_places();
    linker.tell_sides();
    names.tell_misspelt(linker.out);
    names.tell_undeclared(linker.out);
    undeclared = names.undeclared();
    linker.linked.uses.insert(linker.linked.uses.end(), names.uses.begin(), names.uses.end());
    return std::move(linker.linked);
}

} // namespace

namespace {

std::vector<Names::EmptyList> lists_of_nothing(const model::Model& model, const source::Sources& sources,
                                               const messages::Messages& told) {
    std::vector<Names::EmptyList> all;
    for (const messages::Message& message : told.all()) {
        if (message.rule->name != "empty-value" || message.labels.empty()) continue;
        const Span span = message.labels.front().span;
        for (std::size_t i = 0; i < model.catalogues.size(); ++i)
            if (model.catalogues[i].id.span.file == span.file)
                all.push_back({CatalogueId(i), sources.text(span), span});
    }
    return all;
}

// What is missing in a list that holds nothing is told as that.
void drop_told_besides(const std::vector<Names::EmptyList>& lists, const messages::Messages& said,
                       messages::Messages& told) {
    const auto besides = [&](const messages::Message& empty) {
        return empty.rule->name == "empty-value" && !empty.labels.empty() &&
               std::any_of(said.all().begin(), said.all().end(), [&](const messages::Message& missing) {
                   return missing.rule == &checks::unknown_name.rule &&
                          std::any_of(missing.labels.begin(), missing.labels.end(), [&](const messages::Label& label) {
                              return label.span == empty.labels.front().span;
                          });
               });
    };
    if (lists.empty()) return;
    messages::Messages kept;
    for (const messages::Message& message : told.all())
        if (!besides(message)) kept.add(message);
    told = std::move(kept);
}

} // namespace

namespace {

void note_use(Linked& linked, const Steps& steps) {
    const auto note = [&linked](ConsumableId id) {
        if (id.known()) linked.consumables[id.index()].used = true;
    };
    for (const Step& step : steps) {
        note(step.consumable);
        for (const ConsumableId with : step.with_consumables) note(with);
        for (const Steps* inner : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) note_use(linked, *inner);
    }
}

void note_use_of_consumables(Linked& linked) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) note_use(linked, section.steps);
    for (const Item& item : linked.items)
        for (const ConsumableId id : {item.fluid, item.threadlock, item.lubricant})
            if (id.known()) linked.consumables[id.index()].used = true;
}

} // namespace

Linked link(const model::Model& model, const source::Sources& sources, messages::Messages& messages) {
    messages::Messages said;
    std::set<std::string> undeclared;
    const std::vector<Names::EmptyList> empty_lists = lists_of_nothing(model, sources, messages);
    Linked linked = link_by_names(model, sources, said, empty_lists, undeclared);
    // Whether a name is misspelt or its entry is missing shows only once all were looked up. Where one is missing, nothing was meant by it
    // that the shop has.
    if (!undeclared.empty()) {
        said = {};
        linked = link_by_names(model, sources, said, empty_lists, undeclared);
    }
    note_use_of_consumables(linked);
    drop_told_besides(empty_lists, said, messages);
    for (const messages::Message& message : said.all()) messages.add(message);
    for (const Check* check : all_checks()) {
        if (check->find != nullptr && check->rule.name != "unused-entry") check->find(linked, *check, messages);
    }
    cut_rings_of_parts(linked); // told just now
    bind_openers(linked);
    return linked;
}

} // namespace benchleaf::linked
