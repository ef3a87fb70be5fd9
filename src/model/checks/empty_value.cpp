#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::empty_value = {{"empty-value", messages::Level::error, "a key with nothing after it"}};

namespace found {

void empty_value(Messages& out, const Expected& expected) {
    const bool takes_steps =
        expected.key == "if-so" || expected.key == "if-not" || expected.key == "steps" || expected.key == "else";
    out.add(checks::empty_value.rule, expected.key_span, fmt::format("nothing stands after `{}`", expected.key),
            fmt::format("takes {}", expected.what))
        .help =
        takes_steps
            ? fmt::format("set the steps that belong to it in, further than `{}`; or write them behind it, as in `{}`",
                          expected.key, expected.example)
            : fmt::format("for instance `{}`", expected.example);
}

void not_set_in(Messages& out, Span key, Span first, std::string_view word) {
    messages::Message& message = out.add(checks::empty_value.rule, key, fmt::format("nothing stands after `{}`", word),
                                         "its keys line up with it");
    message.labels.push_back({first, "belongs further in"});
    message.help = fmt::format("set this line and those of `{}` after it further in than `{}`, all alike", word, word);
}

} // namespace found
} // namespace benchleaf::model
