// `new`: a commented starting file, where its kind belongs, and its schema. No file of the shop that is there already is touched.
#include "driver/commands.h"
#include "driver/embedded.h"
#include "driver/say.h"
#include "driver/schema_files.h"
#include "driver/write_files.h"

#include "base/require.h"
#include "base/text.h"
#include "model/kind.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

std::string starter(std::string_view kind, std::string_view name) {
    for (const Embedded& each : starters()) {
        if (each.name != kind) continue;
        constexpr std::string_view mark = "@name@";
        std::string text(each.text);
        for (std::size_t at = text.find(mark); at != std::string::npos; at = text.find(mark, at + name.size()))
            text.replace(at, mark.size(), name);
        return text;
    }
    base::broken("a kind without a starting file");
}

} // namespace

int start_new(const NewArguments& arguments, const Global& global, Terminal& terminal) {
    std::vector<std::string_view> kinds; // records and answers are written by the program
    for (const Embedded& each : starters()) kinds.push_back(each.name);
    const auto kind = model::kind_of(arguments.kind);
    if (kind == model::Kind::record)
        return usage_error(terminal, "a record is taken: `benchleaf record JOB` writes it");
    if (kind == model::Kind::answers)
        return usage_error(terminal,
                           "answers are those of a job: `benchleaf record JOB --sheet` prints a file of them");
    if (kind == model::Kind::approval)
        return usage_error(terminal, "a procedure is approved by `benchleaf approve PROCEDURE --by WHO`");
    if (!kind || std::find(kinds.begin(), kinds.end(), arguments.kind) == kinds.end())
        return usage_error(terminal, no_such("kind", arguments.kind, kinds));

    // A procedure may be given with its folder; of all others the folder is set.
    std::string name = arguments.name;
    std::string folder(model::folder(*kind));
    if (const std::size_t slash = name.rfind('/'); *kind == model::Kind::procedure && slash != std::string::npos) {
        folder = name.substr(0, slash);
        name = name.substr(slash + 1);
    } else if (*kind == model::Kind::procedure) {
        folder = "general";
    }
    // A shop starts where one says, in a folder that has its name.
    std::string above;
    if (*kind == model::Kind::shop) {
        while (name.size() > 1 && name.ends_with('/')) name.pop_back();
        if (const std::size_t slash = name.rfind('/'); slash != std::string::npos) {
            above = name.substr(0, slash + 1);
            name = name.substr(slash + 1);
        }
    }
    if (name.ends_with(".yaml")) name.resize(name.size() - 5);
    for (const std::string_view part : base::split(folder, '/'))
        if (!folder.empty() && !base::is_kebab_case(part))
            return usage_error(terminal,
                               fmt::format("`{}` is no folder of a shop: small letters, digits and hyphens", folder));
    if (!base::is_kebab_case(name))
        return usage_error(
            terminal, fmt::format("`{}` is no name: small letters, digits, and single hyphens between them", name));
    if (*kind == model::Kind::procedure && (folder == "catalogue" || folder == "vehicles" || folder == "jobs"))
        return usage_error(terminal, fmt::format("a procedure does not belong in {}/", folder));

    std::string root;
    std::string below;
    if (*kind == model::Kind::shop) {
        if (!above.empty() && !global.shop.empty())
            return usage_error(terminal, fmt::format("`--shop` says where it goes: give the name `{}` alone", name));
        root = global.shop.empty() ? above + name : global.shop;
        below = "shop.yaml";
    } else {
        root = global.shop;
        if (root.empty()) {
            const auto found = find_shop(".");
            if (!found)
                return usage_error(terminal, "there is no shop here for it; `benchleaf new shop NAME` starts one");
            root = *found;
        }
        below = fmt::format("{}{}{}.yaml", folder, folder.empty() ? "" : "/", name);
    }
    const std::string path = (std::filesystem::path(root) / below).lexically_normal().string();
    const std::string stays = fmt::format("{} is there already, and stays as it is", path);
    std::error_code error;
    if (std::filesystem::exists(std::filesystem::symlink_status(path, error))) {
        remove_leftovers(std::filesystem::path(path).parent_path().string());
        return usage_error(terminal, stays);
    }
    // The file comes last: what failed before it can be begun anew.
    const auto schemas = write_schemas(root, {&*kind, 1});
    if (!schemas) return machine_error(terminal, schemas.failure());
    const auto written = write_new_file({path, schema_line(below, *kind) + starter(arguments.kind, name)});
    if (!written) return machine_error(terminal, written.failure());
    if (!written.value()) return usage_error(terminal, stays);
    terminal.result(path + "\n");
    for (const std::string& each : schemas.value()) terminal.result(each + "\n");
    return clean;
}

} // namespace benchleaf::driver
