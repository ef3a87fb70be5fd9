// SHA-256 (FIPS 180-4) of a text, by libsodium: what a card or a procedure is known by. `sha256_hex("abc")` gives 64 small
// hexadecimal digits. And Base64 (RFC 4648, 4), for bytes that have to stand in a text.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::digest {

std::string sha256_hex(std::string_view bytes);
std::string base64(std::string_view bytes);

// Only what `base64` gives: nothing between the letters, filled up with `=`, no bits left over. Nothing when it is anything else.
std::optional<std::string> from_base64(std::string_view text);

} // namespace benchleaf::digest
