// The entries of catalogues: declared first, so that every name is known, and linked to each other after that.
#include "linked/deeds.h"
#include "linked/linker.h"

#include "model/verbs.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

// Whether the verb is done to such an item: what `while` may speak of.
bool done_to(const model::Verb& verb, Sort sort) {
    return std::any_of(verb.deeds.begin(), verb.deeds.end(), [sort](const model::Deed& deed) {
        // What is done to anything is done to what can be touched; nobody cleans a setting.
        const bool touched = sort != Sort::setting && sort != Sort::adjustment;
        return takes(deed.on, sort) && (deed.on != model::SortSet::any || touched);
    });
}

std::vector<While> find_whiles(Linker& linker, const Scope& scope, const Item& item, const model::WhileOf& from) {
    std::vector<While> found;
    for (const auto& entry : from) {
        const auto verbs = model::all_verbs();
        const auto verb = std::find_if(verbs.begin(), verbs.end(),
                                       [&](const model::Verb& each) { return each.word == entry.key.name; });
        if (verb == verbs.end()) continue; // the reader has said so
        if (!done_to(*verb, item.sort)) {
            const bool bleeds = verb->name == model::VerbName::bleed && item.sort == Sort::circuit;
            report_wrong_sort(linker.out, entry.key.span,
                              "`" + entry.key.name + "` is never done to " + with_article(sort_word(item.sort)),
                              item.declared, "this is " + with_article(sort_word(item.sort)),
                              bleeds ? "say it of the fastener that `vents` it" : "");
            continue;
        }
        found.push_back({verb->name, entry.key.span, linker.needs(scope, entry.value)});
    }
    return found;
}

ConsumableId consumable_of_sort(Linker& linker, const Scope& scope, const model::Ref<model::Refers::consumable>& ref,
                                std::initializer_list<model::ConsumableSort> sorts, const char* is_none,
                                const char* help) {
    const Entry* entry = linker.find(scope, ref.name, ref.span, model::Refers::consumable);
    if (entry == nullptr) return {};
    const Consumable& found = linker.linked.consumables[entry->index];
    if (found.figures.sort && std::find(sorts.begin(), sorts.end(), found.figures.sort->value) == sorts.end())
        report_wrong_sort(linker.out, ref.span, "`" + ref.name + "` " + is_none, found.declared,
                          "its `sort` is another", help);
    return ConsumableId(std::size_t{entry->index});
}

template <class M>
void fill_common(Linker& linker, const Scope& scope, Item& item, const M& from) {
    if (from.name) item.name = from.name->value;
    if (from.each) item.axis = linker.axis(from.each->value.name, from.each->value.span);
    if (from.only_on) item.only_on = from.only_on->value;
    if (from.cautions) item.cautions = linker.ids<CautionId>(scope, from.cautions);
    if (from.needs) item.needs = linker.needs(scope, from.needs->value);
    if (from.whiles) item.whiles = find_whiles(linker, scope, item, from.whiles->value);
    if constexpr (requires { from.behind; }) {
        if (from.behind) item.behind = linker.ids<ItemId>(scope, from.behind);
    }
    if constexpr (requires { from.inside; }) {
        if (from.inside) item.inside = linker.item(scope, from.inside->value);
    }
    if constexpr (requires { from.renew_with; }) {
        if (from.renew_with) item.renew_with = linker.ids<ItemId>(scope, from.renew_with);
    }
    if constexpr (requires { from.lubricant; }) {
        if (from.lubricant)
            item.lubricant = consumable_of_sort(
                linker, scope, from.lubricant->value, {model::ConsumableSort::lubricant, model::ConsumableSort::fluid},
                "is no lubricant", "name a consumable with `sort: lubricant` or `sort: fluid`");
    }
    if constexpr (requires { from.count; }) {
        if (from.count) item.count = from.count->value;
    }
    if (item.name.empty()) item.name = item.id;
}

void add_places(Item& item, std::initializer_list<const char*> names) {
    for (const char* name : names) item.places.push_back({name, {}, {}});
}

bool has_place(const Item& item, std::string_view name) {
    return std::any_of(item.places.begin(), item.places.end(), [&](const PlaceName& p) { return p.name == name; });
}

} // namespace

void fill_places(Linker& linker, Item& item) {
    item.places.clear();
    switch (item.sort) {
    case Sort::fastener:
        add_places(item, {"tight", "snug", "loose", "off"});
        return;
    case Sort::clip:
        add_places(item, {"in", "off"});
        return;
    case Sort::circuit:
    case Sort::adjustment:
        add_places(item, {"ready"});
        return;
    case Sort::part:
        add_places(item, {"on"});
        if (item.part.also) {
            for (const auto& entry : item.part.also->value) {
                if (entry.key.name.empty()) continue;
                if (entry.key.name == "off" || has_place(item, entry.key.name)) {
                    report_duplicate_name(linker.out, entry.key.span, entry.key.name, "place of the " + item.name,
                                          item.declared);
                } else if (item.places.size() >= most_values) {
                    report_too_many_values(linker.out, item.declared, "the part `" + item.id + "` has", most_values);
                    break;
                } else {
                    item.places.push_back({entry.key.name, entry.key.span, {}});
                }
            }
        }
        add_places(item, {"off"});
        return;
    case Sort::setting:
        if (item.setting.states) {
            for (const auto& state : item.setting.states->value) {
                if (state.name.empty()) continue;
                if (has_place(item, state.name)) {
                    report_duplicate_name(linker.out, state.span, state.name, "state of the setting " + item.id,
                                          item.declared);
                } else if (item.places.size() >= most_values) {
                    report_too_many_values(linker.out, item.declared, "the setting `" + item.id + "` has", most_values);
                    break;
                } else {
                    item.places.push_back({state.name, state.span, {}});
                }
            }
        }
        // One state is no setting: nothing could be set. What was not given at all the reader has reported.
        if (item.places.size() < 2 && item.setting.states) {
            report_setting_without_states(linker.out, item.declared, item.id);
        }
        item.rests_anywhere = item.setting.rest && item.setting.rest->value == model::Rest::any;
        return;
    }
}

void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Part& from) {
    fill_common(linker, scope, item, from);
    if (from.held_by) item.held_by = linker.ids<ItemId>(scope, from.held_by);
    if (from.circuit) item.circuit = linker.item(scope, from.circuit->value);
    if (from.renew_together) item.renew_together = linker.ids<ItemId>(scope, from.renew_together);
    // A holder that could not be found is not missed once more.
    const bool all_holders = !item.part.held_by || item.part.held_by->value.size() == item.held_by.size();
    if (from.also) {
        for (const auto& entry : from.also->value) {
            for (PlaceName& place : item.places) {
                if (place.name != entry.key.name || !place.span.known()) continue;
                place.frees.clear();
                for (const auto& ref : entry.value) {
                    const ItemId id = linker.item(scope, ref);
                    if (!id.known()) continue;
                    // Of a vehicle that gives other holders, the whole list is known by now.
                    if (all_holders && std::find(item.held_by.begin(), item.held_by.end(), id) == item.held_by.end()) {
                        report_wrong_sort(linker.out, ref.span,
                                          "`" + ref.name + "` does not hold the " + item.name +
                                              ", so it cannot free it for `" + place.name + "`",
                                          item.declared, "`held-by` of this part does not name it",
                                          "add it to `held-by`, or name a fastener that holds the part");
                    }
                    place.frees.push_back(id);
                }
            }
        }
    }
}

void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Fastener& from) {
    fill_common(linker, scope, item, from);
    if (from.threadlock)
        item.threadlock =
            consumable_of_sort(linker, scope, from.threadlock->value, {model::ConsumableSort::thread_locker},
                               "is no thread-locker", "name a consumable with `sort: thread-locker`");
    if (from.opens) item.opens = linker.item(scope, from.opens->value);
    if (from.vents) item.vents = linker.item(scope, from.vents->value);
    if (from.locks) item.locks = linker.item(scope, from.locks->value);
    if (from.critical) item.critical = from.critical->value;
    if (from.not_critical) item.critical = false;
}

void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Circuit& from) {
    fill_common(linker, scope, item, from);
    if (from.fluid) {
        if (const Entry* entry =
                linker.find(scope, from.fluid->value.name, from.fluid->value.span, model::Refers::consumable)) {
            item.fluid = ConsumableId(std::size_t{entry->index});
        }
    }
}

void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Setting& from) {
    fill_common(linker, scope, item, from);
}

void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Adjustment& from) {
    fill_common(linker, scope, item, from);
    if (from.disturbed_by) item.disturbed_by = linker.ids<ItemId>(scope, from.disturbed_by);
    // What has to be loose so that it can be set, clamps it: its lock nut, whether the catalogue says so once more or not.
    for (const While& each : item.whiles) {
        if (each.verb != model::VerbName::adjust) continue;
        for (const Need& need : each.needs) {
            if (!need.item.known()) continue;
            const Item& other = linker.linked.items[need.item.index()];
            const bool loose = other.sort == Sort::fastener && need.place != 0 && need.place + 1U < other.places.size();
            if (loose &&
                std::find(item.disturbed_by.begin(), item.disturbed_by.end(), need.item) == item.disturbed_by.end())
                item.disturbed_by.push_back(need.item);
        }
    }
    if (from.after) item.after = linker.ids<ItemId>(scope, from.after);
    if (from.proved_by) item.proved_by = linker.ids<LimitId>(scope, from.proved_by);
}

void Linker::declare_entries() {
    const auto declare = [&](const source::Spanned<std::string>& id, Kind kind, std::size_t index, CatalogueId in) {
        if (id.value.empty()) return false;
        const Entry* first = names->declare(id.value, {kind, static_cast<std::uint32_t>(index), in, id.span});
        if (first == nullptr) return true;
        report_duplicate_name(out, id.span, id.value, "name in the catalogue " + linked.catalogues[in.index()].id,
                              first->declared);
        return false;
    };
    std::size_t items = 0; // they are large: none is moved
    for (const model::Catalogue& from : model.catalogues) {
        const auto count = [&](const auto& list) { items += list ? list->value.size() : 0; };
        count(from.parts);
        count(from.fasteners);
        count(from.circuits);
        count(from.settings);
        count(from.adjustments);
    }
    linked.items.reserve(items);
    for (std::size_t i = 0; i < model.catalogues.size(); ++i) {
        const model::Catalogue& from = model.catalogues[i];
        const CatalogueId in(i);
        const auto add_item = [&](const source::Spanned<std::string>& id, Sort sort) -> Item* {
            if (!declare(id, Kind::item, linked.items.size(), in)) return nullptr;
            Item& item = linked.items.emplace_back();
            item.sort = sort;
            item.id = id.value;
            item.catalogue = in;
            item.declared = id.span;
            return &item;
        };
        const auto each = [](const auto& list, const auto& f) {
            if (list) {
                for (const auto& named : list->value) f(named);
            }
        };
        each(from.parts, [&](const model::Named<model::Part>& named) {
            if (Item* item = add_item(named.id, Sort::part)) item->part = named.value;
        });
        each(from.fasteners, [&](const model::Named<model::Fastener>& named) {
            const bool clip = named.value.secured_by && named.value.secured_by->value == model::SecuredBy::fit;
            if (Item* item = add_item(named.id, clip ? Sort::clip : Sort::fastener)) item->fastener = named.value;
        });
        each(from.circuits, [&](const model::Named<model::Circuit>& named) {
            if (Item* item = add_item(named.id, Sort::circuit)) item->circuit_of = named.value;
        });
        each(from.settings, [&](const model::Named<model::Setting>& named) {
            if (Item* item = add_item(named.id, Sort::setting)) item->setting = named.value;
        });
        each(from.adjustments, [&](const model::Named<model::Adjustment>& named) {
            if (Item* item = add_item(named.id, Sort::adjustment)) item->adjustment = named.value;
        });
        each(from.limits, [&](const model::Named<model::Limit>& named) {
            if (!declare(named.id, Kind::limit, linked.limits.size(), in)) return;
            linked.limits.push_back({named.id.value, in, named.id.span, named.value, {}, {}, {}, {}});
        });
        const auto name_of = [](const auto& named) {
            return named.value.name ? named.value.name->value : named.id.value;
        };
        each(from.consumables, [&](const model::Named<model::Consumable>& named) {
            if (!declare(named.id, Kind::consumable, linked.consumables.size(), in)) return;
            linked.consumables.push_back(
                {named.id.value, in, named.id.span, name_of(named), named.value, {}, {}, false});
        });
        each(from.tools, [&](const model::Named<model::Tool>& named) {
            if (!declare(named.id, Kind::tool, linked.tools.size(), in)) return;
            linked.tools.push_back({named.id.value, in, named.id.span, name_of(named), named.value, {}});
        });
        each(from.cautions, [&](const model::Named<model::Caution>& named) {
            if (!declare(named.id, Kind::caution, linked.cautions.size(), in)) return;
            Caution caution{named.id.value, in, named.id.span, {}, {}, {}};
            if (named.value.level) caution.level = named.value.level->value;
            if (named.value.hazard) caution.hazard = named.value.hazard->value;
            if (named.value.avoid) caution.avoid = named.value.avoid->value;
            linked.cautions.push_back(std::move(caution));
        });
    }
    for (Item& item : linked.items) fill_places(*this, item);
}

void Linker::link_entries() {
    for (Item& item : linked.items) {
        const Scope& scope = scopes[item.catalogue.index()];
        switch (item.sort) {
        case Sort::part:
            fill_item(*this, scope, item, item.part);
            break;
        case Sort::fastener:
        case Sort::clip:
            fill_item(*this, scope, item, item.fastener);
            break;
        case Sort::circuit:
            fill_item(*this, scope, item, item.circuit_of);
            break;
        case Sort::setting:
            fill_item(*this, scope, item, item.setting);
            break;
        case Sort::adjustment:
            fill_item(*this, scope, item, item.adjustment);
            break;
        }
    }
    for (Limit& limit : linked.limits) {
        const Scope& scope = scopes[limit.catalogue.index()];
        limit.of = ids<ItemId>(scope, limit.figures.of);
        limit.cautions = ids<CautionId>(scope, limit.figures.cautions);
        if (limit.figures.difference && limit.figures.difference->value.over) {
            const auto& over = limit.figures.difference->value.over->value;
            limit.difference_over = axis(over.name, over.span);
        }
    }
    for (Consumable& each : linked.consumables) {
        const Scope& scope = scopes[each.catalogue.index()];
        each.cautions = ids<CautionId>(scope, each.figures.cautions);
        if (!each.figures.never_mix_with) continue;
        for (const auto& ref : each.figures.never_mix_with->value)
            if (const Entry* entry = find(scope, ref.name, ref.span, model::Refers::consumable);
                entry != nullptr && entry->declared != each.declared)
                each.never_mix_with.push_back({ConsumableId(std::size_t{entry->index}), ref.span});
    }
    for (Tool& each : linked.tools)
        each.cautions = ids<CautionId>(scopes[each.catalogue.index()], each.figures.cautions);
    for (std::size_t i = 0; i < model.catalogues.size(); ++i) {
        linked.catalogues[i].torques = torques(scopes[i], model.catalogues[i].torques);
    }
}

} // namespace benchleaf::linked
