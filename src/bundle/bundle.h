// The files that a card was made of, or that one shop hands to another, as one YAML text that a person can read and a program can take apart again, byte for byte:
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

#include "base/result.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::bundle {

struct File {
    std::string_view path;  // below the shop's root, with `/`
    std::string_view bytes; // valid UTF-8, but for a picture's
    bool picture = false;
};

// What stands in the first line.
enum class Heading : std::uint8_t { of_a_card, handed_over };

std::string write(std::span<const File> files, Heading heading = Heading::of_a_card);

// A file that came out of a bundle. Its path is safe to make below a folder of one's own: it leads nowhere else, is neither hidden nor there
// twice, and on no usual disk do two paths name one file, or one path a file and a folder. A text's path ends in `.yaml`; a picture's does not,
// and its bytes are for `pictures` to judge.
struct Unpacked {
    std::string path;  // below the shop's root, with `/`
    std::string bytes; // valid UTF-8, but for a picture's
    bool picture = false;
};

// The largest bundle that is read, and the longest path and part of a path in it.
inline constexpr std::size_t most_bytes = 256'000'000;
inline constexpr std::size_t most_files = 20'000;
inline constexpr std::size_t longest_path = 1'000;
inline constexpr std::size_t longest_part = 255;

// Takes apart what `write` made, and nothing else: whatever it accepts, `write` gives back byte for byte under the same heading. A bundle comes from somebody else, so the
// rest is refused, in one line that says where and why: "line 4: the path `../x.yaml` …". What it says can be shown on a terminal.
// A bundle that was cut off between two files cannot be told from one of fewer files.
base::Result<std::vector<Unpacked>> read(std::string_view bundle);

// What is wrong with paths that are to be made in a folder beside those that are `there`, files and folders: "the path `Brakes/x.yaml` …". One that
// is there itself is not wrong.
std::optional<std::string> wrong_beside(std::span<const std::string> there, std::span<const std::string> coming);

} // namespace benchleaf::bundle
