// `history`: one vehicle's readings over time. `due`: what is to be expected at its limit, over all vehicles.
#include "driver/commands.h"
#include "driver/damaged.h"
#include "driver/pipeline.h"
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
    const history::History history = history::look_back(shop->model);
    const FoundVehicle found = find_vehicle(history, *shop, arguments.identity);
    // What is damaged of it would be left out in silence. What else is wrong in the shop does not matter here.
    std::vector<source::FileId> of_it, of_others;
    for (const source::FileId file : damaged_records(*shop)) {
        const bool may_be = found.vehicle == nullptr || may_be_of(*shop, file, found.vehicle->numbers);
        (may_be ? of_it : of_others).push_back(file);
    }
    say_messages(terminal, global, messages_in(*shop, of_it), shop->sources);
    if (!of_it.empty()) {
        terminal.say(
            fmt::format("benchleaf: nothing is told of `{}`: what is damaged may be of it\n", arguments.identity));
        return input_has_errors;
    }
    if (found.vehicle == nullptr) return usage_error(terminal, found.wrong);
    if (!is_for_programs(global.messages)) terminal.say(notice_of_damage(*shop, of_others));

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
    history::History history = history::look_back(shop->model);
    std::vector<report::LeftOut> left_out = take_out_damaged(*shop, history);
    say_messages(terminal, global, messages_in(*shop, damaged_records(*shop)), shop->sources);
    report::Dues dues = report::due(history, report_shop(*shop, {}), at);
    dues.left_out = std::move(left_out);
    terminal.result(arguments.json ? json::print(dues) : text::print(dues));
    return dues.left_out.empty() ? clean : input_has_errors;
}

} // namespace benchleaf::driver
