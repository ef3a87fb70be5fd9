#include "driver/bindings.h"

#include "driver/archive.h"
#include "driver/list_names.h"
#include "driver/needed.h"
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "driver/shop_lock.h"
#include "driver/write_files.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>

namespace benchleaf::driver {

namespace {

// The texts of all catalogues, by their paths; of a shop whose names are not as they mostly are, by way of reading all of it.
base::Result<Files> catalogues_in(const std::string& root) {
    Files found;
    {
        const auto lock = ShopLock::take(root, ShopLock::For::reading);
        if (!lock) return lock.failure();
        if (const auto names = NamesListed::of(root)) {
            const std::vector<std::string> paths = names->paths_of(model::Kind::catalogue);
            const Archive files(root, paths);
            for (const std::string& path : paths) {
                auto bytes = files.read(path);
                if (!bytes) return bytes.failure();
                found.emplace(path, std::move(bytes.value()));
            }
            return found;
        }
    }
    auto shop = read_shop(root, Records::in_the_archive);
    if (!shop) return shop.failure();
    for (auto& [path, bytes] : shop.value().files)
        if (is_catalogue(path)) found.emplace(path, std::move(bytes));
    return found;
}

// None of a file that cannot be read: no card is made of it.
std::vector<std::string> things_of(const std::string& path, const std::string& bytes) {
    Shopful alone;
    take_in(path, bytes, Stage::model, false, alone);
    std::vector<std::string> things;
    for (const model::Catalogue& each : alone.model.catalogues) add_things(each, things);
    return things;
}

std::string path_of_list(const std::string& folder, const std::string& catalogue) {
    return (std::filesystem::path(folder) / (catalogue + ".txt")).string();
}

} // namespace

base::Result<std::map<std::string, std::string>> bindings_of(const std::string& root) {
    const auto files = catalogues_in(root);
    if (!files) return files.failure();
    std::vector<std::string> names;
    for (const auto& [path, bytes] : files.value()) names.emplace_back(stem_of(path));
    CatalogueTexts::Named named;
    for (const auto& [path, bytes] : files.value())
        named.emplace_back(names[named.size()], syntax::without_byte_order_mark(bytes));
    const CatalogueTexts texts(named);
    std::map<std::string, std::string> lists;
    std::size_t number = 0;
    for (const auto& [path, bytes] : files.value()) {
        const std::string& name = names[number];
        std::string& list = lists[name];
        if (list.empty()) list = fmt::format("# What others have to do with {}. Made by `benchleaf bindings`.\n", name);
        for (const CatalogueTexts::Speaker& each : texts.speakers_of(number, things_of(path, bytes)))
            list += fmt::format("{}: {}\n", names[each.number],
                                each.of_anything ? "anything" : fmt::format("{}", fmt::join(each.things, ", ")));
        ++number;
    }
    return lists;
}

base::Result<std::vector<std::string>> write_bindings(const std::string& root, const std::string& folder) {
    const auto lists = bindings_of(root);
    if (!lists) return lists.failure();
    std::vector<Output> outputs;
    for (const auto& [name, list] : lists.value()) outputs.push_back({path_of_list(folder, name), list});
    return write_what_differs(std::move(outputs));
}

base::Result<std::vector<std::string>> lists_for(const std::string& root, const std::string& folder,
                                                 const std::vector<std::string>& files) {
    const auto lists = bindings_of(root);
    if (!lists) return lists.failure();
    std::set<std::string> paths;
    for (const std::string& file : files) {
        const std::string below = root == "." ? file : file.substr(std::min(file.size(), root.size() + 1));
        const auto list = is_catalogue(below) ? lists.value().find(std::string(stem_of(below))) : lists.value().end();
        if (list == lists.value().end()) continue;
        const std::string path = path_of_list(folder, list->first);
        if (!holds_already(path, list->second))
            return base::Failure{
                fmt::format("{} is not what the catalogues say now: run `benchleaf bindings --shop {} --out {}` first",
                            path, root, folder)};
        paths.insert(path);
    }
    return std::vector<std::string>(paths.begin(), paths.end());
}

} // namespace benchleaf::driver
