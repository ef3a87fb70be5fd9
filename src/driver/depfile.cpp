#include "driver/depfile.h"

#include "driver/approvals.h"
#include "driver/shop_files.h"
#include "history/history.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace benchleaf::driver {

namespace {

// The folder, or the nearest one above it in which it would have to be made.
std::string nearest_folder(const std::string& root, std::string below) {
    std::error_code error;
    while (!below.empty() && !std::filesystem::is_directory(fmt::format("{}/{}", root, below), error))
        below = std::filesystem::path(below).parent_path().string();
    return below;
}

void add_records(const std::string& root, const Shopful& shop, const Work& work, std::set<std::string>& to) {
    const fitted::Fit& fit = work.fitted.fits.front();
    if (!fit.job.known()) return;
    const model::Job& job = *shop.linked.jobs[fit.job.index()].source;
    if (!job.identity) return;
    const history::Identity numbers = history::all_numbers(shop.owners, job.identity->value);
    for (const auto& number : numbers)
        if (const std::string folder = history::folder_of({number}); !folder.empty())
            to.insert(nearest_folder(root, "records/" + folder));
    // Whose a record without a frame is, any other one may change.
    const bool unclear =
        std::any_of(shop.model.records.begin(), shop.model.records.end(), [&](const model::Record& each) {
            return each.identity && !history::tells_frame(each.identity->value) &&
                   history::same_vehicle(each.identity->value, numbers);
        });
    if (!unclear) return;
    to.insert(nearest_folder(root, "records"));
    for (const source::FileId record : shop.records)
        to.insert(std::filesystem::path(shop.sources.file(record).path).parent_path().string());
}

void add_approvals(const std::string& root, const Shopful& shop, const Work& work, std::set<std::string>& to) {
    to.insert(nearest_folder(root, "approvals"));
    if (shop.allowed_signers) to.emplace(allowed_signers_file);
    std::set<std::string_view> procedures;
    for (const model::Procedure& each : shop.model.procedures)
        if (each.id.span.known() && work.concerns[each.id.span.file.index()] == Concern::own)
            procedures.insert(each.id.value);
    for (const model::Approval& each : shop.model.approvals) {
        const std::string& path = shop.sources.file(each.id.span.file).path;
        if (path == fmt::format("approvals/{}.yaml", each.id.value) &&
            procedures.contains(procedure_approved_by(each.id.value)))
            to.insert(path);
    }
}

// Both take a backslash before a space or a `#` and a second `$` for what follows, and a `:` as it is where no blank comes behind it.
base::Result<std::string> as_word(const std::string& path) {
    constexpr std::string_view not_to_be_told = "*?[]%=;|&~\\\"'`<>()!";
    std::string word;
    for (const char c : path) {
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F || not_to_be_told.find(c) != std::string_view::npos)
            return base::Failure{fmt::format("make and ninja have no common way to write the path {} in a depfile, "
                                             "because of the character {}",
                                             path,
                                             static_cast<unsigned char>(c) < 0x20 || c == 0x7F
                                                 ? fmt::format("with number {}", static_cast<int>(c))
                                                 : fmt::format("`{}`", c))};
        if (c == ' ' || c == '#' || c == ':') word += '\\';
        if (c == '$') word += '$';
        word += c;
    }
    return word;
}

} // namespace

std::vector<std::string> dependencies_of(const std::string& root, const Shopful& shop, const Work& work) {
    std::set<std::string> below;
    for (std::size_t i = 0; i < work.concerns.size(); ++i)
        if (work.concerns[i] != Concern::none) below.insert(shop.sources.file(source::FileId(i)).path);
    for (const std::string& path : catalogues_beside(shop, work)) below.insert(path);
    for (const auto& [path, picture] : work.pictures) below.insert(path);
    add_records(root, shop, work, below);
    add_approvals(root, shop, work, below);
    std::vector<std::string> all;
    for (const std::string& each : below)
        all.push_back(each.empty() ? root : root == "." ? each : fmt::format("{}/{}", root, each));
    return all;
}

base::Result<std::string> rule_of(const std::vector<std::string>& targets,
                                  const std::vector<std::string>& dependencies) {
    std::string rule;
    for (const std::string& target : targets) {
        auto word = as_word(target);
        if (!word) return word.failure();
        rule += (rule.empty() ? "" : " ") + word.value();
    }
    rule += ':';
    for (const std::string& each : dependencies) {
        auto word = as_word(each);
        if (!word) return word.failure();
        rule += " \\\n  " + word.value();
    }
    return rule + "\n";
}

} // namespace benchleaf::driver
