#include "record/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::may_not_sign = {{"may-not-sign", messages::Level::error, "initials of nobody who may sign"}};

Complaint found::may_not_sign(const std::string& initials, const std::vector<std::string>& may) {
    return {&checks::may_not_sign.rule,
            fmt::format("`{}` may not sign in this shop", initials),
            fmt::format("shop.yaml has {} under `signs`", base::join_and(may)),
            false,
            {}};
}

Complaint found::no_initials(const std::string& written) {
    return {&checks::may_not_sign.rule,
            fmt::format("`{}` are nobody's initials", written),
            "one to four letters; shop.yaml can say who signs: `signs: [AB, CD]`",
            false,
            {}};
}

} // namespace benchleaf::record
