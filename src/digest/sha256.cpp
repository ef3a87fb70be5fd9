#include "digest/digest.h"

#include "base/require.h"

#include <array>
#include <sodium.h>

namespace benchleaf::digest {

std::string sha256_hex(std::string_view bytes) {
    // The hash alone needs no sodium_init(): it takes no random numbers and has no choice of implementation.
    std::array<unsigned char, crypto_hash_sha256_BYTES> sum;
    const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
    base::require(crypto_hash_sha256(sum.data(), data, bytes.size()) == 0, "SHA-256 of a text in memory cannot fail");
    std::string hex(2 * sum.size() + 1, '\0');
    sodium_bin2hex(hex.data(), hex.size(), sum.data(), sum.size());
    hex.pop_back();
    return hex;
}

std::string base64(std::string_view bytes) {
    std::string text(sodium_base64_ENCODED_LEN(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
    sodium_bin2base64(text.data(), text.size(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                      sodium_base64_VARIANT_ORIGINAL);
    text.pop_back(); // its closing zero
    return text;
}

std::optional<std::string> from_base64(std::string_view text) {
    std::string bytes(text.size() / 4 * 3, '\0');
    std::size_t length = 0;
    if (sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(), text.size(),
                          nullptr, &length, nullptr, sodium_base64_VARIANT_ORIGINAL) != 0)
        return std::nullopt;
    bytes.resize(length);
    // libsodium 1.0.18 takes some bytes beyond ASCII for letters.
    if (base64(bytes) != text) return std::nullopt;
    return bytes;
}

} // namespace benchleaf::digest
