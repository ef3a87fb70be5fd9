#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::unclosed_quote = {{"unclosed-quote", messages::Level::error, "a quote is not closed on its line"}};

namespace found {

void unclosed_quote(const Input& in, std::size_t quote) {
    in.out->add(checks::unclosed_quote.rule, in.span(quote, quote + 1), "this quote is not closed on its line").help =
        "close it, or use | or > for a long text";
}

} // namespace found
} // namespace benchleaf::syntax
