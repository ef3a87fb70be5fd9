#include "driver/check.h"
#include "driver/reports.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace checks {
// Found when the pictures are looked at (pipeline.cpp).
extern const Check picture_not_found;
const Check picture_not_found = {
    {"picture-not-found", messages::Level::error, "a picture that is not in the shop's folder"}, nullptr};
} // namespace checks

void report_picture_not_found(messages::Messages& out, const source::Spanned<std::string>& file,
                              const pictures::Refused& why) {
    out.add(checks::picture_not_found.rule, file.span, fmt::format("`{}` cannot be printed: {}", file.value, why.why))
        .help = why.help;
}

} // namespace benchleaf::driver
