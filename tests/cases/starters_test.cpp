// The starting files: what stands in them as a remark is right, too, once the `#` is taken away.
#include "cases/pipeline.h"
#include "driver/embedded.h"
#include "driver/pipeline.h"
#include "messages/render.h"

#include <doctest/doctest.h>

using namespace benchleaf;

namespace {

// The starting file of a kind, with each line that begins `#` and a key or a list's entry made one of the file.
std::string whole(std::string_view kind, const std::string& name, bool uncommented) {
    std::string made;
    for (const driver::Embedded& each : driver::starters()) {
        if (each.name != kind) continue;
        for (std::string_view rest = each.text; !rest.empty();) {
            const std::size_t end = std::min(rest.find('\n'), rest.size() - 1);
            std::string line(rest.substr(0, end + 1));
            rest.remove_prefix(end + 1);
            const bool remark = line.starts_with("# ") && !line.starts_with("#  ");
            if (uncommented && line.starts_with("#") && !remark) line.erase(0, 1);
            for (std::size_t at = line.find("@name@"); at != std::string::npos; at = line.find("@name@"))
                line.replace(at, 6, name);
            made += line;
        }
    }
    return made;
}

void fill_in(std::string& text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    text.replace(at, from.size(), to);
}

} // namespace

TEST_CASE("the commented parts of the starting files make a shop that is right") {
    std::string shop = whole("shop", "yard", true);
    fill_in(shop, "foot: …", "foot: None");
    std::string procedure = whole("procedure", "cover", true);
    fill_in(procedure, "title: ", "title: Cover # ");
    // What these speak of stands in other catalogues.
    fill_in(procedure, "uses: [disc-brake, wheels]", "uses: [parts]");
    fill_in(procedure, "fits: { front-brake: sliding-caliper }", "fits: { gearbox: cover }");
    fill_in(procedure, "each: side", "#each: side");
    fill_in(procedure, "starts-with: { road-wheel: off }", "#");
    fill_in(procedure, "ends-with:   { road-wheel: off }", "#");
    const std::map<std::string, std::string> files{
        {"shop.yaml", shop},
        {"catalogue/parts.yaml", whole("catalogue", "parts", true)},
        {"work/cover.yaml", procedure},
        {"vehicles/trike.yaml", "vehicle: trike\nname: Trike\nhas: { gearbox: cover }\n"}};
    const auto ran = cases::run(files, "pages");
    INFO(procedure);
    CHECK_MESSAGE(ran->messages.all().empty(), messages::render_human(ran->messages, ran->sources, {}));
}
