#include "driver/touched.h"

#include "driver/job_cards.h"

#include <algorithm>
#include <map>
#include <set>

namespace benchleaf::driver {

namespace {

PrintOptions to_cards() {
    PrintOptions options;
    options.until = Stage::card;
    return options;
}

// By the procedure.
std::map<std::string, std::string> digests_of(const Work& work) {
    std::map<std::string, std::string> all;
    for (const PagedCard& each : work.cards) all[each.card.procedure] += each.card.head.digest;
    if (work.cover) all[std::string(cover_sheet)] = work.cover->cover.head.digest;
    return all;
}

template <class Things>
const auto* called(const Things& things, std::string_view name) {
    const auto found =
        std::find_if(things.begin(), things.end(), [&](const auto& each) { return each.source->id.value == name; });
    return found == things.end() ? nullptr : &*found;
}

std::map<std::string, std::string> blank(const Shopful& shop, const std::string& procedure,
                                         const std::string& vehicle) {
    const auto* const of = called(shop.linked.procedures, procedure);
    const auto* const on = called(shop.linked.vehicles, vehicle);
    if (of == nullptr || on == nullptr) return {};
    return digests_of(*make_blank(shop, of->id, on->id, to_cards()));
}

std::map<std::string, std::string> of_job(const Shopful& shop, const std::string& name) {
    const auto job = job_called(shop, name);
    if (!job) return {};
    return digests_of(*make_job(shop, *job, to_cards()));
}

template <class Things>
void add_names(const Things& things, std::set<std::string>& to) {
    for (const auto& each : things) to.insert(each.source->id.value);
}

} // namespace

std::vector<TouchedCard> touched_cards(const Shopful& before, const Shopful& after,
                                       const compared::Comparison& compared, bool both_whole) {
    if (before.linked.shop == nullptr || after.linked.shop == nullptr) return {};
    std::set<std::string> vehicles, jobs;
    std::set<std::string> procedures(compared.procedures.begin(), compared.procedures.end());
    bool every = false; // what the shop itself says stands on every card
    std::set<std::string> changed_vehicles(compared.vehicles.begin(), compared.vehicles.end());
    for (const compared::Changed& each : compared.things) {
        every = every || each.kind == meaning::Kind::shop;
        if (each.kind == meaning::Kind::vehicle) changed_vehicles.insert(each.name);
        if (each.kind == meaning::Kind::procedure) procedures.insert(each.name);
    }
    std::set<std::string> all_procedures;
    for (const Shopful* shop : {&before, &after}) {
        add_names(shop->linked.vehicles, vehicles);
        add_names(shop->linked.procedures, all_procedures);
        add_names(shop->linked.jobs, jobs);
    }
    // What lacks in a part of a shop did not go.
    const auto in_both = [&](const std::string& name, auto things) {
        return both_whole || (called(before.linked.*things, name) && called(after.linked.*things, name));
    };
    std::erase_if(vehicles, [&](const std::string& name) { return !in_both(name, &linked::Linked::vehicles); });
    std::erase_if(jobs, [&](const std::string& name) { return !in_both(name, &linked::Linked::jobs); });
    for (auto* names : {&procedures, &all_procedures})
        std::erase_if(*names, [&](const std::string& name) { return !in_both(name, &linked::Linked::procedures); });

    std::vector<TouchedCard> found;
    const auto put = [&found](const std::map<std::string, std::string>& was,
                              const std::map<std::string, std::string>& is, const std::string& vehicle,
                              const std::string& job) {
        std::set<std::string> names;
        for (const auto* side : {&was, &is})
            for (const auto& [name, digest] : *side) names.insert(name);
        const auto digest_in = [](const auto& side, const std::string& name) {
            const auto at = side.find(name);
            return at == side.end() ? std::string() : at->second;
        };
        for (const std::string& name : names)
            if (digest_in(was, name) != digest_in(is, name))
                found.push_back({name, vehicle, job, digest_in(was, name), digest_in(is, name)});
    };
    for (const std::string& vehicle : vehicles) {
        const bool all_of_it = every || changed_vehicles.contains(vehicle);
        for (const std::string& procedure : all_of_it ? all_procedures : procedures)
            put(blank(before, procedure, vehicle), blank(after, procedure, vehicle), vehicle, "");
    }
    for (const std::string& job : jobs) put(of_job(before, job), of_job(after, job), "", job);
    return found;
}

} // namespace benchleaf::driver
