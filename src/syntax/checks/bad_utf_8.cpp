#include "syntax/reports.h"

#include "base/text.h"
#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::bad_utf_8 = {{"bad-utf-8", messages::Level::error, "a byte that is not text in UTF-8"}};

namespace found {

bool bad_utf_8(const Input& in) {
    const auto at = base::first_bad_utf8(in.text);
    if (!at) return false;
    const auto byte = static_cast<unsigned char>(in.text[*at]);
    auto& message = in.out->add(checks::bad_utf_8.rule, in.span(*at, *at + 1),
                                fmt::format("the byte {:02X} (hexadecimal) is not UTF-8 text", byte));
    message.help = *at == 0 && (byte == 0xFF || byte == 0xFE) ? "the file was saved as UTF-16; save it as UTF-8"
                                                              : "save the file as UTF-8 in the editor";
    return true;
}

} // namespace found
} // namespace benchleaf::syntax
