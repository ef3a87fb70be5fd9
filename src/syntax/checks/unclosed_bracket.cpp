#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::unclosed_bracket = {{"unclosed-bracket", messages::Level::error, "a bracket is not closed"}};

namespace found {

void unclosed_bracket(const Input& in, std::size_t bracket) {
    in.out->add(checks::unclosed_bracket.rule, in.span(bracket, bracket + 1), "this bracket is not closed").help =
        in.text[bracket] == '[' ? "close it with `]`; its lines are further in than the key before it"
                                : "close it with `}`; its lines are further in than the key before it";
}

} // namespace found
} // namespace benchleaf::syntax
