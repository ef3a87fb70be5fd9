// `history`: one vehicle's readings over time. `due`: what is to be expected at its limit, over all vehicles.
#include "driver/commands.h"
#include "driver/pipeline.h"
#include "driver/records.h"
#include "driver/say.h"
#include "driver/write_files.h"

#include "base/text.h"
#include "history/history.h"
#include "labels/labels.h"
#include "mechanics/date.h"
#include "report/due.h"
#include "text/text.h"
#include "json/json.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace benchleaf::driver {

namespace {

// A record that cannot be read, or that somebody changed, would be left out in silence: then nothing is told. What else is wrong in the shop does not
// matter here.
bool records_are_sound(const Shopful& shop, const Global& global, Terminal& terminal) {
    messages::Messages wrong;
    for (const messages::Message& each : shop.messages.all()) {
        const bool about_record = !each.labels.empty() && each.labels.front().span.known() &&
                                  shop.sources.file(each.labels.front().span.file).path.starts_with("records/");
        if (about_record && each.rule->level == messages::Level::error) wrong.add(each);
    }
    bool sound = !wrong.any_error();
    wrong.sort_and_unite(shop.sources);
    say_messages(terminal, global, wrong, shop.sources);
    for (const model::Record& each : shop.model.records) {
        const auto& file = shop.sources.file(each.id.span.file);
        if (seal_holds(file.text)) continue;
        terminal.say(fmt::format("benchleaf: {} is not as it was written; `benchleaf check` says more\n", file.path));
        sound = false;
    }
    return sound;
}

// Every name that a vehicle goes by, as it was written: what stands in its records, and the jobs that they are of.
std::vector<std::string> names_of_vehicle(const history::Vehicle& vehicle) {
    std::vector<std::string> names;
    for (const model::Record* each : vehicle.visits) {
        if (each->identity)
            for (const auto& value : each->identity->value) names.push_back(value.value.value);
        if (each->job) names.push_back(each->job->value.name);
    }
    return names;
}

// The nearest is looked for without blanks and hyphens, as the vehicle was.
std::string no_such_vehicle(const std::string& given, std::vector<std::string> known) {
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    std::vector<std::string> bare;
    for (const std::string& each : known) bare.push_back(history::bare_number(each));
    const std::string name = history::bare_number(given);
    const std::string_view near = base::nearest(name, std::vector<std::string_view>(bare.begin(), bare.end()));
    for (std::size_t i = 0; i < known.size(); ++i)
        if (!near.empty() && bare[i] == near)
            return fmt::format("there is no record of a vehicle `{}`; did you mean `{}`?", given, known[i]);
    return fmt::format("there is no record of a vehicle `{}`", given);
}

struct FoundVehicle {
    const history::Vehicle* vehicle = nullptr;
    std::string wrong;
};

FoundVehicle find_vehicle(const history::History& history, const Shopful& shop, const std::string& given) {
    const std::string name = history::bare_number(given);
    std::vector<const history::Vehicle*> found;
    std::vector<std::string> known;
    for (const history::Vehicle& each : history.vehicles) {
        const std::vector<std::string> names = names_of_vehicle(each);
        known.insert(known.end(), names.begin(), names.end());
        if (std::any_of(names.begin(), names.end(), [&](const auto& one) { return history::bare_number(one) == name; }))
            found.push_back(&each);
    }
    // A job that has no record yet is of a vehicle, too.
    if (found.empty())
        for (const model::Job& job : shop.model.jobs) {
            const bool named = history::bare_number(job.id.value) == name ||
                               (job.identity && std::any_of(job.identity->value.begin(), job.identity->value.end(),
                                                            [&](const auto& each) {
                                                                return history::bare_number(each.value.value) == name;
                                                            }));
            if (!named) continue;
            const history::Vehicle* of = job.identity ? history.find(job.identity->value) : nullptr;
            if (of == nullptr) return {nullptr, fmt::format("there is no record of `{}` yet", given)};
            if (std::find(found.begin(), found.end(), of) == found.end()) found.push_back(of);
        }
    if (found.size() == 1) return {found.front(), {}};
    if (found.size() > 1) {
        std::vector<std::string> all;
        for (const history::Vehicle* each : found) {
            std::string words;
            for (const auto& value : each->identity) words += (words.empty() ? "" : ", ") + value.value.value;
            all.push_back(words);
        }
        return {nullptr,
                fmt::format("`{}` stands for {}; say which by another number of it", given, base::join_and(all))};
    }
    return {nullptr, no_such_vehicle(given, known)};
}

} // namespace

int show_history(const HistoryArguments& arguments, const Global& global, Terminal& terminal) {
    if (!arguments.language.empty() && !labels::find(arguments.language)) {
        std::vector<std::string_view> spoken;
        for (const labels::Labels& each : labels::languages()) spoken.push_back(each.language);
        return usage_error(terminal, no_such("language", arguments.language, spoken));
    }
    int status = clean;
    const auto read = open_shop(global, "", terminal, status);
    if (!read) return status;
    const auto shop = link_shop(read->files);
    if (!records_are_sound(*shop, global, terminal)) return input_has_errors;
    const history::History history = history::look_back(shop->model);
    const FoundVehicle found = find_vehicle(history, *shop, arguments.identity);
    if (found.vehicle == nullptr) return usage_error(terminal, found.wrong);

    PrintOptions options;
    options.paper = arguments.paper;
    options.language = arguments.language;
    const report::Shop facts = report_shop(*shop, options);
    const report::Report report = report::of_history(facts, *found.vehicle);
    std::string bytes;
    std::string_view end = "txt";
    if (arguments.as == Form::text) {
        bytes = text::print(report);
    } else if (arguments.as == Form::json) {
        bytes = json::print(*found.vehicle, facts);
        end = "json";
    } else {
        auto painted = pdf_of(*shop, report, options);
        if (!painted) return machine_error(terminal, painted.failure());
        bytes = std::move(painted.value());
        end = "pdf";
    }
    std::string folder = arguments.out;
    if (folder.empty() && arguments.as == Form::pdf) folder = "out";
    if (folder.empty()) {
        terminal.result(bytes);
        return clean;
    }
    const Output output{(std::filesystem::path(folder) / fmt::format("{}.{}", report.file_stem, end)).string(),
                        std::move(bytes)};
    if (auto written = write_files({output}); !written) return machine_error(terminal, written.failure());
    terminal.result(output.path + "\n");
    return clean;
}

int show_due(const DueArguments& arguments, const Global& global, Terminal& terminal) {
    mechanics::Date at = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
    if (!arguments.at.empty()) {
        const auto day = mechanics::parse_date(arguments.at);
        if (!day) return usage_error(terminal, fmt::format("`{}` is no day; write it as 2026-11-25", arguments.at));
        at = *day;
    }
    int status = clean;
    const auto read = open_shop(global, "", terminal, status);
    if (!read) return status;
    const auto shop = link_shop(read->files);
    if (!records_are_sound(*shop, global, terminal)) return input_has_errors;
    const report::Dues dues = report::due(history::look_back(shop->model), report_shop(*shop, {}), at);
    terminal.result(arguments.json ? json::print(dues) : text::print(dues));
    return clean;
}

} // namespace benchleaf::driver
