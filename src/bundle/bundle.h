// The files that a card was made of, as one YAML text that a person can read and a program can take apart again, byte for byte:
//
//     bundle: 1
//     files:
//       - path: shop.yaml
//         sha256: 0f2c…
//         text: |2
//           name: Fernhollow Works
//
// A picture stands there as `base64:` in place of `text:` (RFC 4648, 4), in lines.
// A text stands there as it is, set in, as YAML's literal text; one that this would change (a carriage return, a byte order mark,
// nothing but empty lines) stands in double quotes instead. There is no date in it: the same files make the same text.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace benchleaf::bundle {

struct File {
    std::string_view path;  // below the shop's root, with `/`
    std::string_view bytes; // valid UTF-8, but for a picture's
    bool picture = false;
};

std::string write(std::span<const File> files);

} // namespace benchleaf::bundle
