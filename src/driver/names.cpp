#include "driver/names.h"

#include "driver/pipeline.h"
#include "driver/rules.h"
#include "driver/shop_files.h"
#include "labels/labels.h"
#include "model/kind.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

// The files that names of a sort stand in; the others need not be read into a model.
bool may_hold(Takes takes, std::string_view path) {
    const auto in = [&](model::Kind kind) { return path.starts_with(fmt::format("{}/", model::folder(kind))); };
    switch (takes) {
    case Takes::job:
        return in(model::Kind::job);
    case Takes::vehicle:
        return in(model::Kind::vehicle);
    case Takes::number:
        return in(model::Kind::job) || in(model::Kind::record);
    case Takes::procedure:
        return !in(model::Kind::job) && !in(model::Kind::vehicle) && !in(model::Kind::record) &&
               !in(model::Kind::answers) && !in(model::Kind::approval) && !in(model::Kind::catalogue);
    default:
        return true;
    }
}

// Of a procedure the part before its steps, which tells its name: Tab has to answer at once, and most of a shop is steps.
void leave_out_steps(std::string& bytes) {
    const std::size_t at = bytes.find("\nsteps:");
    if (at != std::string::npos) bytes.resize(at + 1);
}

// By its vehicle and the number that stands first.
std::vector<Name> jobs_of(const model::Model& model) {
    std::vector<Name> names;
    for (const model::Job& each : model.jobs) {
        std::string about = each.vehicle ? each.vehicle->value.name : "";
        if (each.identity && !each.identity->value.empty()) about += ", " + each.identity->value.front().value.value;
        names.push_back({each.id.value, about});
    }
    return names;
}

// A number is offered without its blanks, which do not count: the shell need not quote it.
std::string without_blanks(std::string text) {
    for (const std::string_view blank : {" ", "\u00A0"})
        for (std::size_t at = text.find(blank); at != std::string::npos; at = text.find(blank))
            text.erase(at, blank.size());
    return text;
}

template <class File>
void add_numbers_of(const File& file, std::vector<Name>& names) {
    if (!file.identity) return;
    for (const auto& each : file.identity->value)
        names.push_back(
            {without_blanks(each.value.value),
             file.vehicle ? fmt::format("{}, {}", each.key.name, file.vehicle->value.name) : each.key.name});
}

std::vector<Name> names_in(Takes takes, const Shopful& shop) {
    const model::Model& model = shop.model;
    std::vector<Name> names;
    switch (takes) {
    case Takes::job:
        return jobs_of(model);
    case Takes::procedure:
        for (const model::Procedure& each : model.procedures)
            names.push_back({each.id.value, each.title ? each.title->value : ""});
        return names;
    case Takes::vehicle:
        for (const model::Vehicle& each : model.vehicles)
            names.push_back({each.id.value, each.name ? each.name->value : ""});
        return names;
    case Takes::number:
        names = jobs_of(model);
        for (const model::Job& each : model.jobs) add_numbers_of(each, names);
        for (const model::Record& each : model.records) add_numbers_of(each, names);
        return names;
    default:
        return declared_names(shop.linked);
    }
}

} // namespace

std::vector<Name> names_of(Takes takes, const std::string& shop) {
    std::vector<Name> names;
    if (takes == Takes::check)
        for (const StageRule& each : all_rules())
            names.push_back({std::string(each.rule->name), std::string(each.rule->summary)});
    if (takes == Takes::language)
        for (const labels::Labels& each : labels::languages()) names.push_back({std::string(each.language), ""});
    const bool of_shop = takes == Takes::job || takes == Takes::procedure || takes == Takes::vehicle ||
                         takes == Takes::number || takes == Takes::name;
    if (!of_shop) return names;

    const std::string root = shop.empty() ? find_shop(".").value_or("") : shop;
    if (root.empty()) return names;
    auto read = read_shop(root);
    if (!read || !read.value().files.contains("shop.yaml")) return names;
    Files& files = read.value().files;
    std::erase_if(files, [&](const auto& file) { return !may_hold(takes, file.first); });
    if (takes == Takes::procedure || takes == Takes::name)
        for (auto& file : files) leave_out_steps(file.second);
    return names_in(takes, *link_shop(files, takes == Takes::name ? Stage::linked : Stage::model, false));
}

} // namespace benchleaf::driver
