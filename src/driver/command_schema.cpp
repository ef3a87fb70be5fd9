// `schema`: the JSON Schema of a kind of file, for editors; or those of all kinds into the shop's folder.
#include "driver/commands.h"
#include "driver/say.h"
#include "driver/schema_files.h"

#include "model/kind.h"
#include "model/schema.h"

#include <array>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

int write_all_schemas(const Global& global, Terminal& terminal) {
    const auto root = shop_folder(global, "", terminal);
    if (!root) return wrong_usage;
    std::array<model::Kind, model::kind_words.size()> all{};
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = static_cast<model::Kind>(i);
    const auto written = write_schemas(*root, all);
    if (!written) return machine_error(terminal, written.failure());
    for (const std::string& path : written.value()) terminal.result(path + "\n");
    if (written.value().empty()) terminal.say("the schemas are there, and as they should be\n");
    return clean;
}

} // namespace

int schema(const SchemaArguments& arguments, const Global& global, Terminal& terminal) {
    if (arguments.write) return write_all_schemas(global, terminal);
    if (arguments.kind.empty())
        return usage_error(terminal, "which kind of file? Or `--write` writes the schemas of all kinds into the shop");
    const auto known = model::kind_of(arguments.kind);
    if (!known) return usage_error(terminal, no_such("kind", arguments.kind, model::kind_words));
    std::string text = model::schema(*known);
    if (!text.ends_with('\n')) text += '\n';
    terminal.result(text);
    return clean;
}

} // namespace benchleaf::driver
