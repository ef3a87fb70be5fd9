#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::lone_carriage_return = {
    {"lone-carriage-return", messages::Level::error, "a line ends with a carriage return alone"}};

namespace found {

bool lone_carriage_return(const Input& in) {
    for (std::size_t at = in.text.find('\r'); at != std::string_view::npos; at = in.text.find('\r', at + 1)) {
        if (at + 1 < in.text.size() && in.text[at + 1] == '\n') continue;
        auto& message = in.out->add(checks::lone_carriage_return.rule, in.span(at, at + 1),
                                    "a carriage return stands here without a line feed");
        message.help = "save the file with Unix or Windows line ends";
        messages::Fix fix{"end the lines with a line feed", {}};
        for (std::size_t i = at; i != std::string_view::npos; i = in.text.find('\r', i + 1)) {
            if (i + 1 < in.text.size() && in.text[i + 1] == '\n') continue;
            fix.edits.push_back({in.span(i, i + 1), "\n"});
        }
        message.fixes.push_back(std::move(fix));
        return true;
    }
    return false;
}

} // namespace found
} // namespace benchleaf::syntax
