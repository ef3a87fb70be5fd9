// The JSON Schemas as somebody else's validator reads them (Debian's python3-jsonschema, draft-07): they are schemas, the
// demo shop and the shop of all keys satisfy them, and what the reader refuses about a key they refuse as well.
#include "model/kind.h"
#include "model/schema.h"
#include "outside/tools.h"
#include "units/quantity.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <map>
#include <vector>

using namespace benchleaf;

namespace {

std::string folder() {
    return outside::scratch("schema");
}

std::string schema_file(model::Kind kind) {
    const std::string path = fmt::format("{}/{}.json", folder(), model::word(kind));
    outside::write(path, model::schema(kind));
    return path;
}

outside::Ran check(model::Kind kind, const std::string& files) {
    return outside::run("/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/check_schema.py " + schema_file(kind) +
                        " " + files);
}

outside::Ran check_text(model::Kind kind, const std::string& text) {
    const std::string path = folder() + "/text.yaml";
    outside::write(path, text);
    return check(kind, path);
}

} // namespace

TEST_CASE("the demo shop satisfies the schemas") {
    std::map<model::Kind, std::string> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(BENCHLEAF_SOURCE_DIR "/procedures")) {
        if (entry.path().extension() != ".yaml") continue;
        const std::string in = entry.path().parent_path().filename().string();
        const model::Kind kind = entry.path().filename() == "shop.yaml" ? model::Kind::shop
                                 : in == "catalogue"                    ? model::Kind::catalogue
                                 : in == "vehicles"                     ? model::Kind::vehicle
                                 : in == "approvals"                    ? model::Kind::approval
                                 : in == "jobs"                         ? model::Kind::job
                                                                        : model::Kind::procedure;
        files[kind] += " '" + entry.path().string() + "'";
    }
    // It has no records: those of a check's page.
    const auto example = [](const std::string& page, const std::string& path) {
        std::ifstream file(fmt::format(BENCHLEAF_SOURCE_DIR "/docs/checks/{}.md", page));
        const std::string text{std::istreambuf_iterator<char>(file), {}};
        const std::string head = "--- file: " + path + "\n";
        const std::size_t at = text.rfind(head);
        REQUIRE(at != std::string::npos);
        const std::string to = std::string(BENCHLEAF_BINARY_DIR) + "/scratch/schema-" + page + ".yaml";
        std::filesystem::create_directories(std::filesystem::path(to).parent_path());
        std::ofstream(to) << text.substr(at + head.size(), text.find("```", at) - at - head.size());
        return " '" + to + "'";
    };
    files[model::Kind::record] = example("record-changed", "records/ct-0417/cart-1.yaml");
    files[model::Kind::answers] = example("answer-contradicts", "answers/cart-1.yaml");
    CHECK(files.size() == model::kind_words.size());
    for (const auto& each : files) {
        const auto ran = check(each.first, each.second);
        CHECK_MESSAGE(ran.status == 0, ran.out);
    }
}

TEST_CASE("a mistake in a key is a mistake to the schema") {
    using model::Kind;
    const std::string head = "procedure: work\ntitle: Work\nrevision: 1\nsteps:\n";
    CHECK(check_text(Kind::procedure, head + "  - remove: bolt\n  - Park it.\n").status == 0);
    const auto typo = check_text(Kind::procedure, head + "  - removee: bolt\n");
    CHECK(typo.status == 1);
    // One message that names the key, not one for each way in which a step might have been meant.
    CHECK(typo.out.find("steps/0: Additional properties are not allowed ('removee' was unexpected)") != typo.out.npos);
    CHECK(std::count(typo.out.begin(), typo.out.end(), '\n') == 1);
    const std::map<std::string, Kind> bad = {
        {head + "  - ask: Is it?\n    if-so: [ { fitt: bolt } ]\n", Kind::procedure},
        {head + "  - remove: { bolt: off }\n", Kind::procedure},
        {head + "  - set: engine\n", Kind::procedure},
        {head + "  - again: { from: one, until: done }\n", Kind::procedure},
        {head + "  - inspect: pan\n    caution: { level: grave, hazard: A., avoid: B. }\n", Kind::procedure},
        {"procedure: work\ntitle: Work\nrevision: one\nsteps: [ Park it. ]\n", Kind::procedure},
        {"procedure: Work\ntitle: Work\nrevision: 1\nsteps: [ Park it. ]\n", Kind::procedure},
        {"procedure: work\nrevision: 1\nsteps: [ Park it. ]\n", Kind::procedure},
        {"catalogue: a\nfasteners: { bolt: { thread: M8 } }\n", Kind::catalogue},
        {"catalogue: a\nfasteners: { bolt: { name: bolt, critical: yes } }\n", Kind::catalogue},
        {"catalogue: a\ncircuits: { oil: engine oil }\n", Kind::catalogue},
        {"catalogue: a\ntorques: { bolt: { value: 25 } }\n", Kind::catalogue},
        {"catalogue: a\nparts: { pan: { name: pan, while: { torgue: { lift: up } } } }\n", Kind::catalogue},
        {"vehicle: v\nname: V\nitems: { bolt: { cont: 4 } }\n", Kind::vehicle},
        {"job: j\nvehicle: v\ndate: 25.11.2026\ndo: work\n", Kind::job},
        {"shop: s\nname: S\nmargin: 0.5\n", Kind::shop},
        {"shop: s\nname: S\npaper: A4\n", Kind::shop}};
    for (const auto& each : bad) {
        CAPTURE(each.first);
        CHECK(check_text(each.second, each.first).status == 1);
    }
}

TEST_CASE("a unit that cannot stand in a figure is a mistake, and each that can is none") {
    using units::Wanted;
    // Of each a file with a figure in every unit, by number.
    struct Figures {
        model::Kind kind;
        std::string head, entry; // the entry with its name and its figure
        Wanted wanted;
        bool stages = false; // a torque has angles, too
    };
    const std::vector<Figures> all = {
        {model::Kind::catalogue, "torques:\n", "  {}: {{ value: {}, threads: dry, source: m }}\n", Wanted::torque,
         true},
        {model::Kind::catalogue, "limits:\n", "  {}: {{ of: a, minimum: {}, source: m }}\n", Wanted::limit},
        {model::Kind::shop, "name: S\nwrenches:\n",
         "  {}: {{ name: w, length: {}, range: 5..60 N·m, accuracy: 4 % }}\n", Wanted::length},
    };
    for (const Figures& each : all) {
        CAPTURE(each.entry);
        std::string text = fmt::format("{}: a\n{}", model::word(each.kind), each.head);
        for (std::size_t i = 0; i < units::all_units().size(); ++i)
            text += fmt::format(fmt::runtime(each.entry), fmt::format("u{}", i),
                                fmt::format("5 {}", units::symbol(units::all_units()[i])));
        const auto ran = check_text(each.kind, text);
        std::size_t refused = 0;
        for (std::size_t i = 0; i < units::all_units().size(); ++i) {
            const units::Unit unit = units::all_units()[i];
            CAPTURE(units::symbol(unit));
            const bool said = ran.out.find(fmt::format("/u{}/", i)) != std::string::npos;
            // A percentage may be that of a tolerance, which a pattern does not tell from one alone.
            const bool may = units::fits(unit, each.wanted) || unit == units::Unit::percent ||
                             (each.stages && units::fits(unit, Wanted::angle));
            CHECK(said != may);
            refused += said ? 1U : 0U;
        }
        CHECK(refused > 0);
        CHECK(static_cast<std::size_t>(std::count(ran.out.begin(), ran.out.end(), '\n')) ==
              refused); // and nothing else
    }
}
