// `torque`: the calculator of src/mechanics/ for one torque: other units, preload, wrench and adapter, tightening order.
#include "driver/argument.h"
#include "driver/commands.h"
#include "driver/say.h"

#include "base/text.h"
#include "mechanics/pattern.h"
#include "mechanics/preload.h"
#include "mechanics/wrench.h"
#include "model/words.h"
#include "units/tightening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using Json = nlohmann::ordered_json;
using units::Figure;
using units::Quantity;
using units::Unit;

constexpr std::array other_units{Unit::newton_metre, Unit::pound_force_foot, Unit::pound_force_inch,
                                 Unit::kilogram_force_metre};
constexpr units::PrintOptions plain{.plain_spaces = true};

// Several stages may stand in one argument, as they are said and printed: `30 N·m, +90°`, `25 N·m + 90°`. A comma with a figure behind it is a
// decimal one, for the reader to refuse; and what is turned on by after `contact` belongs to it.
std::vector<std::string> stages_of(const std::vector<std::string>& arguments) {
    std::vector<std::string> stages;
    for (const std::string& argument : arguments) {
        std::string stage;
        const auto end_stage = [&] {
            stages.emplace_back(base::trimmed(stage));
            stage.clear();
        };
        for (std::size_t i = 0; i < argument.size(); ++i) {
            const std::size_t next = argument.find_first_not_of(' ', i + 1);
            const bool digit_next = next != std::string::npos && base::is_digit(argument[next]);
            const std::string_view before = base::trimmed(stage);
            if (argument[i] == ',' && !(digit_next && next == i + 1)) {
                end_stage();
            } else if (argument[i] == '+' && digit_next) {
                if (!before.empty() && before != "contact") end_stage();
                stage += '+';
                i = next - 1;
            } else {
                stage += argument[i];
            }
        }
        if (!base::trimmed(stage).empty() || !argument.ends_with(',')) end_stage();
    }
    return stages;
}

// By which it is turned on from the last torque.
std::vector<units::Stage> beyond_torque(const units::Tightening& tightening) {
    std::vector<units::Stage> beyond;
    for (const units::Stage& each : tightening.stages) {
        if (std::holds_alternative<units::ToTorque>(each))
            beyond.clear();
        else
            beyond.push_back(each);
    }
    return beyond;
}

struct Loaded { // a thread with what its class bears
    units::Thread thread;
    mechanics::ThreadCondition condition{};
    std::string_view condition_word;
    double area = 0;             // mm²
    std::optional<double> proof; // N
    std::optional<mechanics::Preload> preload;
};

struct OnWrench {
    std::string name; // of the shop's wrench; empty: the length alone was given
    std::string serial;
    std::optional<units::Range> range;
    Quantity torque;
    std::optional<Quantity> set_to;   // with an adapter
    std::optional<Quantity> accuracy; // where it is coarser than the torque's tolerance
};

struct Sheet {
    units::Tightening tightening;
    std::vector<Figure> torques;
    std::vector<units::Stage> beyond; // by which it is turned on from the last torque
    std::optional<Loaded> loaded;
    std::optional<mechanics::Adapter> adapter;
    std::optional<Quantity> wrench_length;
    std::vector<OnWrench> wrenches; // for each torque, if any
    std::string no_wrench;          // why there is none
    std::vector<int> order;
    std::vector<Quantity> rounds; // of the last torque
};

Read<Loaded> load(const TorqueArguments& given, const std::vector<Figure>& torques) {
    auto thread = accept(units::parse_thread(given.thread), "--thread", given.thread);
    if (auto* wrong = std::get_if<Wrong>(&thread)) return *wrong;
    Loaded loaded;
    loaded.thread = std::get<units::Thread>(thread);
    const auto& words = model::Words<model::ThreadState>::all;
    const auto word = std::find(words.begin(), words.end(), given.condition);
    loaded.condition = static_cast<mechanics::ThreadCondition>(word - words.begin());
    loaded.condition_word = *word;
    loaded.area = mechanics::stress_area(loaded.thread);
    if (!given.strength_class.empty()) {
        loaded.proof = mechanics::proof_load(loaded.thread, given.strength_class);
        if (!loaded.proof)
            return Wrong{fmt::format("--class `{}`: no strength class of this size is called so; the known ones are "
                                     "4.6 to 12.9, 5 to 12 of nuts, `grade 2`, `grade 5`, `grade 8`, A2-50 to A4-80",
                                     given.strength_class)};
    }
    if (!torques.empty()) loaded.preload = mechanics::preload(torques.back(), loaded.thread, loaded.condition);
    return loaded;
}

std::string why_not(mechanics::WhyNot why) {
    using mechanics::WhyNot;
    switch (why) {
    case WhyNot::below_range:
        return "begins above it";
    case WhyNot::below_fifth:
        return "is not sure under 20 % of its greatest";
    case WhyNot::above_range:
        return "ends below it";
    case WhyNot::out_of_calibration:
        return "is out of calibration";
    case WhyNot::no_calibration:
        return "has no date of calibration";
    case WhyNot::no_length:
        return "has no `length`, which the adapter is reckoned with";
    }
    return {};
}

// The wrench of the shop, or the one whose length was given.
void choose(const TorqueArguments& given, const model::Shop* shop, Sheet& sheet) {
    if (sheet.wrench_length && sheet.adapter) {
        for (const Figure& torque : sheet.torques)
            sheet.wrenches.push_back({"", "", std::nullopt, torque.nominal,
                                      mechanics::set_value(torque.nominal, *sheet.wrench_length, *sheet.adapter),
                                      std::nullopt});
        return;
    }
    if (shop == nullptr || !shop->wrenches || sheet.torques.empty()) return;
    std::vector<mechanics::Wrench> all;
    std::vector<const model::Named<model::Wrench>*> named;
    for (const auto& each : shop->wrenches->value) {
        if (!each.value.range) continue;
        mechanics::Wrench wrench;
        wrench.range = each.value.range->value.range;
        if (each.value.accuracy) wrench.accuracy = each.value.accuracy->value.quantity;
        if (each.value.length) wrench.length = each.value.length->value.quantity;
        if (each.value.calibrated_until) wrench.calibrated_until = each.value.calibrated_until->value;
        all.push_back(wrench);
        named.push_back(&each);
    }
    const auto name = [&](std::size_t i) {
        return named[i]->value.name ? named[i]->value.name->value : named[i]->id.value;
    };
    const std::optional<mechanics::Date> day =
        given.date.empty() ? std::nullopt : mechanics::parse_date(given.date); // read before
    const auto chosen = mechanics::choose_wrench(all, sheet.torques, day, sheet.adapter);
    if (const auto* none = std::get_if<mechanics::NoWrench>(&chosen)) {
        std::string reasons;
        for (std::size_t i = 0; i < none->why_not.size(); ++i)
            reasons += (i == 0 ? ": " : ", ") + name(i) + " " + why_not(none->why_not[i]);
        sheet.no_wrench =
            fmt::format("none of the shop holds {}{}", plainly(sheet.torques[none->torque].nominal), reasons);
        return;
    }
    const auto& by = std::get<mechanics::ChosenWrench>(chosen);
    for (std::size_t i = 0; i < by.wrench.size(); ++i) {
        const model::Wrench& wrench = named[by.wrench[i]]->value;
        sheet.wrenches.push_back({name(by.wrench[i]), wrench.serial ? wrench.serial->value : "",
                                  wrench.range->value.range, sheet.torques[i].nominal,
                                  sheet.adapter ? std::optional(by.set_to[i]) : std::nullopt, std::nullopt});
    }
    for (const std::size_t i : by.finer_than_wrench) sheet.wrenches[i].accuracy = all[by.wrench[i]].accuracy;
}

Read<Sheet> reckon(const TorqueArguments& given, const model::Shop* shop) {
    Sheet sheet;
    const std::vector<std::string> stages = stages_of(given.stages);
    const std::vector<std::string_view> texts(stages.begin(), stages.end());
    auto read = units::parse_tightening(texts);
    if (const auto* error = std::get_if<units::TighteningError>(&read))
        return wrong_argument("", texts[error->stage], error->error);
    sheet.tightening = std::get<units::Tightening>(read);
    sheet.torques = units::torques(sheet.tightening);
    sheet.beyond = beyond_torque(sheet.tightening);
    if (!given.thread.empty()) {
        auto loaded = load(given, sheet.torques);
        if (auto* wrong = std::get_if<Wrong>(&loaded)) return *wrong;
        sheet.loaded = std::get<Loaded>(loaded);
    }
    if (!given.wrench_length.empty()) {
        auto length = accept(units::parse_quantity(given.wrench_length, units::Wanted::length), "--wrench-length",
                             given.wrench_length);
        if (auto* wrong = std::get_if<Wrong>(&length)) return *wrong;
        sheet.wrench_length = std::get<Quantity>(length);
    }
    if (!given.adapter.empty()) {
        auto length = accept(units::parse_quantity(given.adapter, units::Wanted::length), "--adapter", given.adapter);
        if (auto* wrong = std::get_if<Wrong>(&length)) return *wrong;
        auto angle = accept(units::parse_quantity(given.angle, units::Wanted::angle), "--angle", given.angle);
        if (auto* wrong = std::get_if<Wrong>(&angle)) return *wrong;
        sheet.adapter = mechanics::Adapter{std::get<Quantity>(length), std::get<Quantity>(angle)};
    }
    if (given.count > 0) sheet.order = mechanics::tightening_order(given.count);
    if ((given.rounds > 1 || sheet.adapter) && sheet.torques.empty())
        return Wrong{fmt::format("--{}: there is no torque in `{}`", sheet.adapter ? "adapter" : "rounds",
                                 units::print(sheet.tightening, plain))};
    if (given.rounds > 1) sheet.rounds = mechanics::round_torques(sheet.torques.back().nominal, given.rounds);
    choose(given, shop, sheet);
    if (!sheet.adapter) return sheet;
    if (sheet.wrenches.empty() && sheet.no_wrench.empty())
        return Wrong{"--adapter: there is no shop with wrenches here; say --wrench-length"};
    for (const OnWrench& each : sheet.wrenches)
        if (!each.set_to) return Wrong{"--adapter: with this adapter the wrench has no lever left"};
    return sheet;
}

std::vector<Quantity> others(const Quantity& torque) {
    std::vector<Quantity> all;
    for (const Unit unit : other_units)
        if (unit != torque.unit)
            if (const auto same = units::convert(torque, unit, units::Significant{3})) all.push_back(*same);
    return all;
}

// To three figures, with the unit.
std::string newtons(double value) {
    if (value <= 0) return "0 N";
    double step = 1;
    while (value / step >= 1000) step *= 10;
    return fmt::format("{:.0f} N", std::round(value / step) * step);
}

std::string percent_of(double part, double whole) {
    return fmt::format("{:.0f} %", part / whole * 100);
}

std::string as_text(const Sheet& sheet) {
    std::string to;
    const auto line = [&to](std::string_view head, const std::string& text) {
        to += fmt::format("{:<10}{}\n", head, text);
    };
    const auto joined = [](const auto& all) {
        std::string text;
        for (const auto& each : all) text += (text.empty() ? "" : ", ") + units::print(each, plain);
        return text;
    };
    line("torque", units::print(sheet.tightening, plain));
    for (const Figure& torque : sheet.torques) {
        std::string same;
        for (const Quantity& each : others(torque.nominal)) same += (same.empty() ? "" : "  ·  ") + plainly(each);
        if (sheet.torques.size() > 1) same = plainly(torque.nominal) + " = " + same;
        line("", same);
        if (units::compare(torque.lower, torque.upper) < 0)
            line("", fmt::format("from {} to {}", plainly(torque.lower), plainly(torque.upper)));
    }
    if (sheet.loaded) {
        const Loaded& on = *sheet.loaded;
        const mechanics::Friction friction = mechanics::friction(on.condition);
        line("thread", fmt::format("{}, stress area {:.1f} mm²", on.thread.designation, on.area));
        line("", fmt::format("{}: K {:.2f}, scatter ±{:.0f} %", on.condition_word, friction.k, friction.scatter * 100));
        if (on.preload)
            line("preload", fmt::format("{}, with tolerance and scatter {} to {}", newtons(on.preload->nominal),
                                        newtons(on.preload->least), newtons(on.preload->greatest)));
        if (on.proof)
            line("proof", newtons(*on.proof) + (on.preload ? fmt::format(", of which the preload is {}, from {} to {}",
                                                                         percent_of(on.preload->nominal, *on.proof),
                                                                         percent_of(on.preload->least, *on.proof),
                                                                         percent_of(on.preload->greatest, *on.proof))
                                                           : ""));
        if (on.preload && !sheet.beyond.empty())
            line("", fmt::format("at {}; what {} adds depends on the joint and is not reckoned",
                                 plainly(sheet.torques.back().nominal), joined(sheet.beyond)));
    }
    for (const OnWrench& each : sheet.wrenches) {
        std::string text = each.name.empty() ? fmt::format("{} long", plainly(*sheet.wrench_length))
                                             : each.name + (each.serial.empty() ? "" : ", no. " + each.serial) + ", " +
                                                   units::print(*each.range, plain);
        if (each.set_to)
            text += fmt::format("; for {} with {} at {} set it to {}", plainly(each.torque),
                                plainly(sheet.adapter->length), plainly(sheet.adapter->angle), plainly(*each.set_to));
        if (each.accuracy)
            text += fmt::format("; its ±{} is coarser than the tolerance of {}", plainly(*each.accuracy),
                                plainly(each.torque));
        line("wrench", text);
    }
    if (!sheet.no_wrench.empty()) line("wrench", sheet.no_wrench);
    if (!sheet.order.empty()) line("order", fmt::format("{}", fmt::join(sheet.order, " ")));
    if (!sheet.rounds.empty())
        line("rounds", joined(sheet.rounds) + (sheet.beyond.empty() ? "" : ", and then " + joined(sheet.beyond)));
    return to;
}

Json number(const Quantity& quantity) {
    return {{"value", std::stod(units::print_number(quantity, {.plain_spaces = true}))},
            {"unit", units::symbol(quantity.unit)}};
}

std::string as_json(const Sheet& sheet) {
    Json to;
    to["torque"] = units::print(sheet.tightening, plain);
    to["torques"] = Json::array();
    for (const Figure& torque : sheet.torques) {
        Json each = {
            {"nominal", number(torque.nominal)}, {"lower", number(torque.lower)}, {"upper", number(torque.upper)}};
        each["same"] = Json::array();
        for (const Quantity& same : others(torque.nominal)) each["same"].push_back(number(same));
        to["torques"].push_back(each);
    }
    for (const units::Stage& each : sheet.beyond) to["turnedOn"].push_back(units::print(each, plain));
    if (sheet.loaded) {
        const Loaded& on = *sheet.loaded;
        const mechanics::Friction friction = mechanics::friction(on.condition);
        Json thread = {{"thread", on.thread.designation},
                       {"stressAreaMm2", on.area},
                       {"condition", on.condition_word},
                       {"k", friction.k},
                       {"scatter", friction.scatter}};
        if (on.preload)
            thread["preloadN"] = {
                {"nominal", on.preload->nominal}, {"least", on.preload->least}, {"greatest", on.preload->greatest}};
        if (on.preload && !sheet.beyond.empty()) thread["preloadAt"] = number(sheet.torques.back().nominal);
        if (on.proof) thread["proofLoadN"] = *on.proof;
        if (on.proof && on.preload) {
            thread["shareOfProof"] = on.preload->nominal / *on.proof;
            thread["leastShareOfProof"] = on.preload->least / *on.proof;
            thread["greatestShareOfProof"] = on.preload->greatest / *on.proof;
        }
        to["thread"] = thread;
    }
    for (const OnWrench& each : sheet.wrenches) {
        Json wrench = {{"torque", number(each.torque)}};
        if (!each.name.empty()) wrench["wrench"] = each.name;
        if (!each.serial.empty()) wrench["serial"] = each.serial;
        if (each.set_to) wrench["setTo"] = number(*each.set_to);
        if (each.accuracy) wrench["coarserThanTolerance"] = number(*each.accuracy);
        to["wrenches"].push_back(wrench);
    }
    if (!sheet.no_wrench.empty()) to["noWrench"] = sheet.no_wrench;
    if (!sheet.order.empty()) to["order"] = sheet.order;
    for (const Quantity& each : sheet.rounds) to["rounds"].push_back(number(each));
    return to.dump(2) + "\n";
}

} // namespace

int torque(const TorqueArguments& arguments, const Global& global, Terminal& terminal) {
    if (arguments.count > mechanics::most_in_a_ring)
        return usage_error(
            terminal, fmt::format("--count {}: a ring has at most {}", arguments.count, mechanics::most_in_a_ring));
    if (!arguments.date.empty() && !mechanics::parse_date(arguments.date))
        return usage_error(terminal, fmt::format("--date `{}`: write it as 2026-11-25", arguments.date));
    if (!arguments.angle.empty() && arguments.adapter.empty() && arguments.angle != "0°")
        return usage_error(terminal, "--angle is that of an --adapter");
    // The shop's wrenches, where there is a shop; nothing is said where there is none.
    std::unique_ptr<Shopful> shop;
    if (!global.shop.empty() || find_shop(".")) {
        int status = clean;
        const auto opened = open_shop(global, "", terminal, status);
        if (!opened) return status;
        shop = link_shop(opened->files, Stage::model);
    }
    const model::Shop* owner = shop != nullptr && !shop->model.shops.empty() ? &shop->model.shops.front() : nullptr;
    const auto sheet = reckon(arguments, owner);
    if (const auto* wrong = std::get_if<Wrong>(&sheet)) return usage_error(terminal, wrong->what);
    terminal.result(arguments.json ? as_json(std::get<Sheet>(sheet)) : as_text(std::get<Sheet>(sheet)));
    return clean;
}

} // namespace benchleaf::driver
