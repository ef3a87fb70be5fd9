// Small numbers written out, as people do in a sentence. Files want digits, so this is for what is said to the user.
#pragma once

#include <optional>
#include <string_view>

namespace benchleaf::base {

// `two` → 2, up to twelve, capitals or not.
std::optional<int> number_word(std::string_view word);

} // namespace benchleaf::base
