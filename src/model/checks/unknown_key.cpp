#include "model/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::unknown_key = {{"unknown-key", messages::Level::error, "a key that nothing declares"}};

namespace {

std::string_view article(std::string_view noun) {
    return noun.starts_with('a') || noun.starts_with('i') ? "an" : "a";
}

} // namespace

namespace found {

std::string_view unknown_key(Messages& out, Span at, std::string_view key, const Thing& thing,
                             std::span<const std::string_view> known) {
    auto& message = out.add(checks::unknown_key.rule, at, fmt::format("{} has no key `{}`", thing.says(), key));
    if (thing.span.known() && !thing.name.empty() && !(thing.span == at))
        message.labels.push_back({thing.span, fmt::format("this {}", thing.called)});
    // `held_by` and `Held-By` are `held-by` without a doubt.
    const std::string_view near = base::nearest(base::kebab_case(key), known);
    if (!near.empty()) {
        message.help = fmt::format("did you mean `{}`?", near);
        messages::correct_slip(message, at, key, near);
        return near;
    }
    std::vector<std::string> elsewhere;
    for (const Table* table : all_tables())
        if (table->find(key) != nullptr)
            elsewhere.push_back(fmt::format("{} {}", article(table->called), table->called));
    if (!elsewhere.empty()) {
        message.help = fmt::format("`{}` is a key of {}", key, base::join_and(elsewhere));
        return {};
    }
    if (known.size() > 30) {
        message.help = fmt::format("docs/language.md lists the keys of {} {}", article(thing.called), thing.called);
        return {};
    }
    std::vector<std::string> names;
    for (const std::string_view name : known) names.push_back(fmt::format("`{}`", name));
    message.help = fmt::format("{} {} has {}", article(thing.called), thing.called, base::join_and(names));
    return {};
}

} // namespace found
} // namespace benchleaf::model
