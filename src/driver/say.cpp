#include "driver/say.h"

#include "driver/embedded.h"

#include "base/text.h"
#include "messages/render.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

constexpr std::size_t most_shown = 50; // who has more to mend begins with these

} // namespace

int usage_error(Terminal& terminal, std::string_view what) {
    terminal.say(fmt::format("benchleaf: {}\n", what));
    return wrong_usage;
}

int machine_error(Terminal& terminal, const base::Failure& failure) {
    terminal.say(fmt::format("benchleaf: {}\n", failure.what));
    return machine_failed;
}

std::string no_such(std::string_view kind, std::string_view name, std::span<const std::string_view> known) {
    const std::string_view near = base::nearest(name, known);
    if (!near.empty()) return fmt::format("there is no {} `{}`; did you mean `{}`?", kind, name, near);
    if (known.empty()) return fmt::format("there is no {} `{}`: this shop has none", kind, name);
    std::vector<std::string> listed;
    constexpr std::size_t most_listed = 8;
    for (std::size_t i = 0; i < known.size() && i < most_listed; ++i) listed.push_back(fmt::format("`{}`", known[i]));
    if (known.size() > most_listed) listed.push_back(fmt::format("{} more", known.size() - most_listed));
    return fmt::format("there is no {} `{}`; there {} {}", kind, name, known.size() == 1 ? "is" : "are",
                       base::join_and(listed));
}

std::optional<std::string> shop_folder(const Global& global, const std::string& near, Terminal& terminal) {
    std::string root = global.shop;
    if (root.empty()) {
        auto found = find_shop(near.empty() ? "." : near);
        if (!found && !near.empty()) found = find_shop(".");
        if (!found) {
            usage_error(terminal, "there is no shop here: no shop.yaml in this folder or one above it, nor in "
                                  "procedures/. Name its folder with --shop, or start one with `benchleaf new "
                                  "shop NAME`");
            return std::nullopt;
        }
        root = *found;
    }
    while (root.size() > 1 && root.ends_with('/')) root.pop_back();
    return root;
}

std::optional<Shop> open_shop(const Global& global, const std::string& near, Terminal& terminal, int& status,
                              Records records) {
    const auto folder = shop_folder(global, near, terminal);
    if (!folder) {
        status = wrong_usage;
        return std::nullopt;
    }
    const std::string& root = *folder;
    auto shop = read_shop(root, records);
    if (!shop) {
        status = machine_error(terminal, shop.failure());
        return std::nullopt;
    }
    if (!shop.value().files.contains("shop.yaml")) {
        status = usage_error(
            terminal, fmt::format("{} is no shop: it has no shop.yaml. `benchleaf new shop NAME` starts one", root));
        return std::nullopt;
    }
    return std::move(shop.value());
}

void say_messages(Terminal& terminal, const Global& global, const messages::Messages& messages,
                  const source::Sources& sources) {
    if (global.messages == MessageForm::json) {
        std::string text = messages::render_json(messages, sources);
        if (!text.ends_with('\n')) text += '\n';
        terminal.say(text);
        return;
    }
    if (global.messages == MessageForm::gnu || global.messages == MessageForm::sarif) {
        terminal.say(global.messages == MessageForm::gnu ? messages::render_gnu(messages, sources)
                                                         : messages::render_sarif(messages, sources, version()));
        return;
    }
    const messages::HumanOptions options{terminal.colour_of_errors(), terminal.columns()};
    if (global.messages == MessageForm::all || messages.all().size() <= most_shown) {
        terminal.say(messages::render_human(messages, sources, options));
        return;
    }
    // The first errors, and if they are few the first of what is less grave, each in its place.
    std::array<std::size_t, 3> room{};
    std::size_t left = most_shown;
    for (std::size_t level = 0; level < room.size(); ++level) {
        room[level] = std::min(left, messages.count(static_cast<messages::Level>(level)));
        left -= room[level];
    }
    messages::Messages first;
    for (const messages::Message& message : messages.all())
        if (std::size_t& more = room[static_cast<std::size_t>(message.rule->level)]; more > 0) {
            --more;
            first.add(message);
        }
    std::vector<std::string> more;
    constexpr std::array<std::pair<std::string_view, std::string_view>, 3> called{
        {{"error", "errors"}, {"warning", "warnings"}, {"note", "notes"}}};
    for (std::size_t level = 0; level < called.size(); ++level) {
        const auto is = static_cast<messages::Level>(level);
        if (const std::size_t rest = messages.count(is) - first.count(is); rest > 0)
            more.push_back(fmt::format("{} more {}", rest, rest == 1 ? called[level].first : called[level].second));
    }
    terminal.say(messages::render_human(first, sources, options));
    terminal.say(fmt::format("\n… and {}; mend these first, or see all with `--messages all`\n", base::join_and(more)));
}

std::string counted(std::size_t number, std::string_view one, std::string_view many) {
    if (number == 0) return fmt::format("no {}", many);
    return fmt::format("{} {}", number, number == 1 ? one : many);
}

std::string verdict(const messages::Messages& messages) {
    const std::size_t errors = messages.count(messages::Level::error);
    const std::size_t warnings = messages.count(messages::Level::warning);
    std::string all = counted(errors, "error", "errors");
    // Some are looked for once there is no error: till then nobody knows that there are none.
    if (errors == 0 || warnings != 0) all += ", " + counted(warnings, "warning", "warnings");
    return all;
}

} // namespace benchleaf::driver
