// `compare`: what two states of a shop say otherwise, and which cards that touches.
#include "driver/asked.h"
#include "driver/commands.h"
#include "driver/meanings.h"
#include "driver/pipeline.h"
#include "driver/say.h"
#include "driver/shop_state.h"
#include "driver/touched.h"

#include "base/text.h"
#include "compared/compared.h"
#include "model/kind.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <utility>

namespace benchleaf::driver {

namespace {

using compared::Changed;
using compared::Comparison;
using meaning::Kind;
using meaning::Meaning;
using Json = nlohmann::ordered_json;

struct ComparedSide {
    ShopState state;
    std::unique_ptr<Shopful> shop;
    Meaning meaning;
    std::set<std::pair<Kind, std::string>> meant; // where only a part is looked at
};

// What a file declares: "procedure: front-disc-service", its first line that is no comment; empty where it is no file of a shop.
std::string declares(std::string_view text) {
    for (const std::string_view line : base::split(syntax::without_byte_order_mark(text), '\n')) {
        const std::string_view said = base::trimmed(line.substr(0, line.find('#')));
        if (said.empty()) continue;
        return model::kind_of(said.substr(0, said.find(':'))) ? std::string(said) : std::string();
    }
    return {};
}

// A file that lies in no shop stands in place of the one that declares the same.
void put_loose(ShopState& loose, const ShopState& other) {
    if (loose.loose.empty()) return;
    const std::string declared = declares(loose.loose);
    std::string path = loose.named.substr(loose.named.rfind('/') + 1);
    if (!path.ends_with(".yaml")) path += ".yaml";
    loose.files = other.files;
    if (!other.loose.empty()) loose.files.clear();
    for (const auto& [each, text] : other.files)
        if (declares(text) == declared) path = each;
    loose.files[path] = loose.loose;
    loose.only = path;
}

// Of a part of a shop: whatever stands round it is as it was, so that what is told comes of that part alone.
void leave_the_rest(const ShopState& before, ShopState& after) {
    if (before.only.empty() && after.only.empty()) return;
    const auto meant = [&](const auto& file) {
        return (!before.only.empty() && lies_below(file.first, before.only)) ||
               (!after.only.empty() && lies_below(file.first, after.only));
    };
    Files mixed = before.files;
    std::erase_if(mixed, meant);
    for (const auto& file : after.files)
        if (meant(file)) mixed.insert(file);
    after.files = std::move(mixed);
}

// Why there is nothing in it to compare.
std::optional<std::string> nothing_in(const ShopState& state) {
    if (!state.loose.empty() && declares(state.loose).empty())
        return fmt::format("{} is no file of a shop, no bundle and no printed card", state.named);
    const bool any = std::any_of(state.files.begin(), state.files.end(),
                                 [&](const auto& file) { return lies_below(file.first, state.only); });
    if (!any && state.loose.empty()) return fmt::format("{} holds no files of a shop", state.named);
    return std::nullopt;
}

std::string declared_by(const ShopState& state) {
    if (!state.loose.empty()) return declares(state.loose);
    const auto file = state.files.find(state.only);
    return file == state.files.end() ? std::string() : declares(file->second);
}

// As far as the two can be compared; else why they cannot.
std::optional<std::string> make_comparable(ShopState& before, ShopState& after) {
    for (const ShopState* state : {&before, &after})
        if (auto why = nothing_in(*state)) return why;
    const std::string old = declared_by(before), now = declared_by(after);
    if (!old.empty() && !now.empty() && old != now)
        return fmt::format("{} holds `{}`, and {} `{}`: a file is compared with another state of the same thing",
                           before.named, old, after.named, now);
    put_loose(before, after);
    put_loose(after, before);
    leave_the_rest(before, after);
    // A bundle has no shop.yaml: it is looked at as if it lay in the other one's shop, so that its cards can be made.
    constexpr std::string_view own = "shop.yaml";
    for (auto [one, other] : {std::pair(&before, &after), std::pair(&after, &before)})
        if (const auto its = other->files.find(std::string(own)); its != other->files.end() && !one->whole)
            one->files.insert(*its);
    return std::nullopt;
}

void look_at(ComparedSide& side) {
    side.shop = link_shop(side.state.files, Stage::linked, false);
    side.meaning = meaning_of(*side.shop);
    const std::string& only = side.state.only;
    if (only.empty()) return;
    for (const meaning::Thing& thing : side.meaning.things) {
        const std::string& path = side.shop->sources.file(thing.declared.file).path;
        if (path == only || path.starts_with(only + "/")) side.meant.emplace(thing.kind, thing.name);
    }
}

std::string title(const Changed& each) {
    const std::string called = each.called.empty() || each.called == each.name ? "" : ", “" + each.called + "”";
    return fmt::format("{} {}{}", word(each.kind), each.name, called);
}

std::string foot_of(const std::string& digest) {
    return digest.empty() ? "no card" : digest;
}

std::string as_text(const Comparison& comparison, const std::vector<TouchedCard>& cards) {
    if (comparison.things.empty()) return "nothing differs\n";
    std::string to;
    for (const Changed& each : comparison.things) {
        to += title(each);
        if (each.change != compared::Change::changed)
            to += fmt::format(": {}\n", word(each.change));
        else
            to += "\n";
        for (const compared::Difference& difference : each.differences) to += "  " + difference.says + "\n";
    }
    if (!comparison.procedures.empty())
        to += fmt::format("\nprocedures touched: {}\n", fmt::join(comparison.procedures, ", "));
    if (cards.empty()) return to + "\nno card is touched\n";
    const auto list = [&](std::string_view head, std::string TouchedCard::*const of) {
        std::set<std::string> names;
        for (const TouchedCard& each : cards)
            if (!(each.*of).empty()) names.insert(each.*of);
        for (const std::string& name : names) {
            to += fmt::format("\n{} {}\n", head, name);
            std::size_t wide = 0;
            for (const TouchedCard& each : cards)
                if (each.*of == name) wide = std::max(wide, each.procedure.size());
            for (const TouchedCard& each : cards)
                if (each.*of == name)
                    to += fmt::format("  {:<{}}  {} → {}\n", each.procedure, wide, foot_of(each.before),
                                      foot_of(each.after));
        }
    };
    list("cards of job", &TouchedCard::job);
    list("blank cards for", &TouchedCard::vehicle);
    return to;
}

std::string as_json(const Comparison& comparison, const std::vector<TouchedCard>& cards, const ComparedSide& before,
                    const ComparedSide& after) {
    Json things = Json::array();
    for (const Changed& each : comparison.things) {
        Json one = {
            {"kind", word(each.kind)}, {"name", each.name}, {"called", each.called}, {"change", word(each.change)}};
        Json differences = Json::array();
        for (const compared::Difference& difference : each.differences)
            differences.push_back({{"change", word(difference.change)},
                                   {"at", difference.at},
                                   {"before", difference.before},
                                   {"after", difference.after},
                                   {"says", difference.says}});
        if (each.change == compared::Change::changed) one["differences"] = std::move(differences);
        things.push_back(std::move(one));
    }
    Json procedures = Json::array();
    for (const std::string& name : comparison.procedures)
        procedures.push_back({{"name", name},
                              {"before", procedure_digest(before.meaning, before.meaning.find(Kind::procedure, name))},
                              {"after", procedure_digest(after.meaning, after.meaning.find(Kind::procedure, name))}});
    Json touched = Json::array();
    for (const TouchedCard& each : cards) {
        Json one = Json::object();
        if (each.procedure == cover_sheet)
            one["cover"] = true;
        else
            one["procedure"] = each.procedure;
        if (!each.job.empty()) one["job"] = each.job;
        if (!each.vehicle.empty()) one["vehicle"] = each.vehicle;
        one["before"] = each.before.empty() ? Json() : Json(each.before);
        one["after"] = each.after.empty() ? Json() : Json(each.after);
        touched.push_back(std::move(one));
    }
    const Json all = {
        {"things", std::move(things)}, {"procedures", std::move(procedures)}, {"cards", std::move(touched)}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace

int compare(const CompareArguments& arguments, Terminal& terminal) {
    int status = clean;
    ComparedSide before, after;
    for (const auto& [side, named] : {std::pair(&before, &arguments.before), std::pair(&after, &arguments.after)}) {
        auto state = read_state(*named, terminal, status);
        if (!state) return status;
        side->state = std::move(*state);
    }
    if (const auto why = make_comparable(before.state, after.state)) {
        terminal.say(fmt::format("benchleaf: {}\n", *why));
        return input_has_errors;
    }
    for (ComparedSide* side : {&before, &after}) {
        look_at(*side);
        if (side->shop->messages.any_error()) {
            terminal.say(fmt::format("benchleaf: {}: {}; what stands there may be told in part\n", side->state.named,
                                     verdict(side->shop->messages)));
            status = input_has_errors;
        }
    }
    const auto only = [](const ComparedSide& side) {
        std::function<bool(const meaning::Thing&)> made;
        if (!side.state.only.empty())
            made = [&side](const meaning::Thing& thing) { return side.meant.contains({thing.kind, thing.name}); };
        return made;
    };
    const Comparison comparison = compared::compare({&before.meaning, before.state.whole, only(before)},
                                                    {&after.meaning, after.state.whole, only(after)});
    const std::vector<TouchedCard> cards =
        touched_cards(*before.shop, *after.shop, comparison, before.state.whole && after.state.whole);
    terminal.result(arguments.json ? as_json(comparison, cards, before, after) : as_text(comparison, cards));
    return status;
}

} // namespace benchleaf::driver
