// `bundle`: procedures with all that they need, as one file for another shop.
#include "driver/commands.h"
#include "driver/meanings.h"
#include "driver/pipeline.h"
#include "driver/say.h"
#include "driver/shop_state.h"
#include "driver/write_files.h"

#include "adopted/adopted.h"
#include "bundle/bundle.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using meaning::Kind;
using meaning::ThingId;

struct ToBundle {
    const Shop& shop;
    const Shopful& read;
    const meaning::Meaning& meaning;
};

// Those of a kind that are named; on failure it has been said.
std::optional<std::vector<ThingId>> things_named(const ToBundle& from, Kind kind, const std::vector<std::string>& names,
                                                 Terminal& terminal, int& status) {
    std::vector<ThingId> found;
    for (const std::string& name : names) {
        const ThingId id = from.meaning.find(kind, name);
        if (!id.known()) {
            std::vector<std::string_view> known;
            for (const meaning::Thing& each : from.meaning.things)
                if (each.kind == kind) known.push_back(each.name);
            status = usage_error(terminal, no_such(meaning::word(kind), name, known));
            return std::nullopt;
        }
        if (std::find(found.begin(), found.end(), id) == found.end()) found.push_back(id);
    }
    return found;
}

// In the shop's own folder it would be read as a file of the shop.
std::optional<std::string> wrong_place(const std::string& root, const std::string& out, int& status) {
    status = wrong_usage;
    std::error_code error;
    const std::filesystem::path folder = std::filesystem::path(out).parent_path();
    const auto real = std::filesystem::weakly_canonical(folder.empty() ? "." : folder, error);
    const auto below = real.lexically_relative(std::filesystem::canonical(root, error));
    if (!error && !below.empty() && *below.begin() != "..")
        return fmt::format("{} lies in the shop {}, where it would be taken for a file of the shop; write it elsewhere",
                           out, root);
    if (!std::filesystem::exists(out, error)) return std::nullopt;
    const auto bytes = read_bytes(out, bundle::most_bytes);
    if (!bytes && std::filesystem::is_regular_file(out, error)) return status = machine_failed, bytes.failure().what;
    if (!bytes || !is_bundle(bytes.value()))
        return fmt::format("{} is there, and is no bundle; it stays as it is", out);
    return std::nullopt;
}

// The files by their paths, with the pictures on their shelf.
Files files_of(const ToBundle& from, const adopted::GoingAlong& along) {
    Files files;
    for (const source::FileId id : along.files) {
        const std::string& path = from.read.sources.file(id).path;
        files.emplace(path, from.shop.files.at(path));
    }
    files.shelf = from.read.shelf;
    return files;
}

// Whoever takes it has to be able to prove it with nothing but what is in it.
bool closes(const ToBundle& from, Files files, const Global& global, Terminal& terminal) {
    files.emplace("shop.yaml", from.shop.files.at("shop.yaml"));
    const auto alone = check_shop(files, {.unused = false});
    if (!alone->messages.any_error()) return true;
    say_messages(terminal, global, alone->messages, alone->sources);
    terminal.say("benchleaf: what would be handed over does not check clean by itself; nothing was written\n");
    return false;
}

struct Held {
    std::vector<ThingId> procedures, vehicles; // by name
};

Held held_in(const ToBundle& from, const adopted::GoingAlong& along) {
    Held held;
    for (std::size_t i = 0; i < from.meaning.things.size(); ++i) {
        const meaning::Thing& thing = from.meaning.things[i];
        if (!along.files.contains(thing.declared.file)) continue;
        if (thing.kind == Kind::procedure) held.procedures.emplace_back(i);
        if (thing.kind == Kind::vehicle) held.vehicles.emplace_back(i);
    }
    return held;
}

std::string as_text(const ToBundle& from, const Held& held, const std::string& out, std::size_t files) {
    std::size_t wide = 0;
    for (const ThingId each : held.procedures) wide = std::max(wide, from.meaning.at(each).name.size());
    std::string to = fmt::format("{}\n", out);
    for (const ThingId each : held.procedures)
        to += fmt::format("  procedure {:<{}}  {}\n", from.meaning.at(each).name, wide,
                          in_groups(procedure_digest(from.meaning, each)));
    for (const ThingId each : held.vehicles) to += fmt::format("  vehicle {}\n", from.meaning.at(each).name);
    return to + fmt::format("  {}\n", counted(files, "file", "files"));
}

std::string as_json(const ToBundle& from, const Held& held, const std::string& out,
                    const std::vector<bundle::File>& files) {
    using Json = nlohmann::ordered_json;
    Json procedures = Json::array();
    for (const ThingId each : held.procedures)
        procedures.push_back({{"name", from.meaning.at(each).name},
                              {"title", from.meaning.at(each).called},
                              {"digest", procedure_digest(from.meaning, each)}});
    Json vehicles = Json::array();
    for (const ThingId each : held.vehicles) vehicles.push_back(from.meaning.at(each).name);
    Json paths = Json::array();
    for (const bundle::File& each : files) paths.push_back(each.path);
    const Json all = {{"bundle", out}, {"procedures", procedures}, {"vehicles", vehicles}, {"files", paths}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

int refuse_faulty(const messages::Messages& wrong, const source::Sources& sources, const Global& global,
                  Terminal& terminal) {
    say_messages(terminal, global, wrong, sources);
    terminal.say("benchleaf: only what checks clean is handed over; nothing was written\n");
    return input_has_errors;
}

int write_bundle(const ToBundle& from, const adopted::GoingAlong& along, const BundleArguments& arguments,
                 const Global& global, Terminal& terminal) {
    const Files files = files_of(from, along);
    if (!closes(from, files, global, terminal)) return input_has_errors;
    std::vector<bundle::File> held;
    for (const auto& [path, bytes] : files) held.push_back({path, bytes});
    for (const std::string& path : along.pictures)
        held.push_back({path, from.read.shelf->at(path).picture->bytes, true});
    const std::string text = bundle::write(held, bundle::Heading::handed_over);
    // What its reader would refuse is not handed over.
    if (const auto back = bundle::read(text); !back) {
        terminal.say(fmt::format("benchleaf: {}: {}\n", arguments.out, back.failure().what));
        return input_has_errors;
    }
    if (auto written = write_files({{arguments.out, text}}); !written)
        return machine_error(terminal, written.failure());
    const Held things = held_in(from, along);
    terminal.result(arguments.json ? as_json(from, things, arguments.out, held)
                                   : as_text(from, things, arguments.out, held.size()));
    return clean;
}

} // namespace

int bundle_up(const BundleArguments& arguments, const Global& global, Terminal& terminal) {
    int status = clean;
    const auto shop = open_shop(global, "", terminal, status);
    if (!shop) return status;
    if (const auto wrong = wrong_place(shop->root, arguments.out, status)) return usage_error(terminal, *wrong), status;
    const auto read = check_shop(shop->files, {.unused = false});
    if (read->model.unread_shared) return refuse_faulty(read->messages, read->sources, global, terminal);
    const meaning::Meaning all = meaning_of(*read);
    const ToBundle from{*shop, *read, all};
    const auto procedures = things_named(from, Kind::procedure, arguments.procedures, terminal, status);
    if (!procedures) return status;
    const auto vehicles = things_named(from, Kind::vehicle, arguments.vehicles, terminal, status);
    if (!vehicles) return status;
    const adopted::GoingAlong along =
        adopted::going_along({&read->sources, &read->linked, &all, nullptr}, *procedures, *vehicles,
                             vehicles->empty() ? adopted::Vehicles::that_fit : adopted::Vehicles::named);
    const Concerns concerns = concerns_of(*read, {along.files.begin(), along.files.end()});
    if (const messages::Messages wrong = messages_about(read->messages, concerns); wrong.any_error())
        return refuse_faulty(wrong, read->sources, global, terminal);
    return write_bundle(from, along, arguments, global, terminal);
}

} // namespace benchleaf::driver
