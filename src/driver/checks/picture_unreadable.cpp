#include "driver/check.h"
#include "driver/reports.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace checks {
// Found when the pictures are looked at (pipeline.cpp).
extern const Check picture_unreadable;
const Check picture_unreadable = {
    {"picture-unreadable", messages::Level::error, "a picture that is damaged, or that a card cannot print"}, nullptr};
} // namespace checks

void report_picture_unreadable(messages::Messages& out, const source::Spanned<std::string>& file,
                               const pictures::Refused& why) {
    out.add(checks::picture_unreadable.rule, file.span, fmt::format("`{}` cannot be printed: {}", file.value, why.why))
        .help = why.help;
}

} // namespace benchleaf::driver
