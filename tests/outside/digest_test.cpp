// The worked examples of FIPS 180-2 for SHA-256 (from memory; `sha256sum` of coreutils gives the same), and those of RFC 4648 for Base64
// (section 10, from memory; `base64` of coreutils gives the same).
#include "digest/digest.h"

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <utility>

using benchleaf::digest::base64;
using benchleaf::digest::from_base64;
using benchleaf::digest::sha256_hex;

TEST_CASE("the published examples") {
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256_hex(std::string(1000000, 'a')) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("Base64, there and back") {
    const std::pair<const char*, const char*> examples[] = {{"", ""},
                                                            {"f", "Zg=="},
                                                            {"fo", "Zm8="},
                                                            {"foo", "Zm9v"},
                                                            {"foob", "Zm9vYg=="},
                                                            {"fooba", "Zm9vYmE="},
                                                            {"foobar", "Zm9vYmFy"}};
    for (const auto& [bytes, text] : examples) {
        CHECK(base64(bytes) == text);
        CHECK(from_base64(text) == bytes);
    }
    CHECK(from_base64("+/+/") == "\xFB\xFF\xBF");
}

TEST_CASE("Base64 that is not as RFC 4648 has it is none") {
    // No filling, too much of it or in the midst; bits left over (section 3.5); other letters (section 5), blanks, line ends.
    for (const std::string_view text :
         {"Zg", "Zg=", "Zg===", "Z", "Z===", "=", "====", "Zg==Zg==", "Zm9vYg", "Zh==", "Zm9=", "Zm9v=", "-_-_",
          "Zm9v ", " Zm9v", "Zm9v\n", "Zm 9v", "Zm9*", "Zm9\xC3"}) {
        CAPTURE(std::string(text));
        CHECK_FALSE(from_base64(text));
    }
    CHECK_FALSE(from_base64(std::string_view("Zm9\0", 4)));
}
