#include "driver/damaged.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

const std::string& place_of(const Shopful& shop, source::FileId file) {
    return shop.sources.file(file).path;
}

// "oh3-00417" of "records/oh3-00417/2026-0412.yaml"; empty of a file that lies in none, and of one whose `records` is not the shop's:
// that may be anybody's.
std::string_view vehicle_folder(std::string_view path) {
    constexpr std::string_view records = "records/";
    if (!path.starts_with(records)) return {};
    const std::size_t begin = records.size();
    const std::size_t end = path.find('/', begin);
    return end == std::string_view::npos ? std::string_view() : path.substr(begin, end - begin);
}

// A vehicle's folder is named after one of its numbers: which one, depends on what was known of it then.
bool names_folder(const history::Identity& identity, std::string_view folder) {
    return std::any_of(identity.begin(), identity.end(),
                       [&](const auto& number) { return history::folder_of({number}) == folder; });
}

const history::Identity* identity_of(const auto& thing) {
    return thing.identity ? &thing.identity->value : nullptr;
}

} // namespace

std::vector<source::FileId> damaged_records(const Shopful& shop) {
    std::vector<source::FileId> found;
    for (const messages::Message& each : shop.messages.all()) {
        if (each.rule->level != messages::Level::error || each.labels.empty()) continue;
        if (each.rule->name == "record-in-another-folder") continue; // it is whole, and says whose it is
        const source::Span at = each.labels.front().span;
        if (at.known() && lies_in(place_of(shop, at.file), "records") &&
            std::find(found.begin(), found.end(), at.file) == found.end())
            found.push_back(at.file);
    }
    std::sort(found.begin(), found.end(),
              [&](source::FileId a, source::FileId b) { return place_of(shop, a) < place_of(shop, b); });
    return found;
}

bool may_be_of(const Shopful& shop, source::FileId damaged, const history::Identity& told) {
    const history::Identity vehicle = history::all_numbers(shop.owners, told);
    const std::string_view folder = vehicle_folder(place_of(shop, damaged));
    if (folder.empty() || names_folder(vehicle, folder)) return true;
    bool another = false;
    for (const model::Record& each : shop.model.records) {
        const history::Identity* its = identity_of(each);
        if (its == nullptr || !each.id.span.known()) continue;
        const bool lies_there =
            vehicle_folder(place_of(shop, each.id.span.file)) == folder; // the damaged one itself, too
        if (!history::same_vehicle(*its, vehicle))
            another = another || (lies_there && names_folder(*its, folder));
        else if (lies_there || names_folder(*its, folder))
            return true;
    }
    for (const model::Job& each : shop.model.jobs)
        if (const history::Identity* its = identity_of(each))
            another = another || (!history::same_vehicle(*its, vehicle) && history::folder_of(*its) == folder);
    return !another;
}

messages::Messages messages_in(const Shopful& shop, const std::vector<source::FileId>& files) {
    messages::Messages found;
    for (const messages::Message& each : shop.messages.all())
        if (!each.labels.empty() && each.labels.front().span.known() &&
            std::find(files.begin(), files.end(), each.labels.front().span.file) != files.end())
            found.add(each);
    found.sort_and_unite(shop.sources);
    return found;
}

std::string notice_of_damage(const Shopful& shop, const std::vector<source::FileId>& files) {
    std::string lines;
    for (const source::FileId file : files)
        lines += fmt::format("benchleaf: {} is damaged, and of another vehicle; `benchleaf check` says more\n",
                             place_of(shop, file));
    return lines;
}

std::vector<report::LeftOut> take_out_damaged(const Shopful& shop, history::History& history) {
    std::vector<report::LeftOut> all;
    std::vector<history::Vehicle> whole;
    const std::vector<source::FileId> damaged = damaged_records(shop);
    for (const source::FileId file : damaged) all.push_back({place_of(shop, file), {}});
    for (history::Vehicle& each : history.vehicles) {
        bool out = false;
        for (std::size_t i = 0; i < damaged.size(); ++i) {
            if (!may_be_of(shop, damaged[i], each.numbers)) continue;
            out = true;
            if (!each.identity.empty()) all[i].vehicles.push_back(each.identity.front().value.value);
        }
        if (!out) whole.push_back(std::move(each));
    }
    history.vehicles = std::move(whole);
    return all;
}

} // namespace benchleaf::driver
