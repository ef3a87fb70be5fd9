#include "filled/warnings.h"

namespace benchleaf::filled {

namespace {

constexpr std::size_t most_warnings = 2000;
constexpr std::size_t most_of_first = 2000; // bytes

} // namespace

void Warnings::write(const unsigned char* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    if (first_.size() < most_of_first) first_ += text;
    if (text.ends_with('\n') && ++lines_ > most_warnings) throw Garbled{};
}

std::string_view Warnings::first() const {
    const std::string_view line = std::string_view(first_).substr(0, first_.find('\n'));
    const std::size_t end = line.rfind("): ");
    return end == std::string_view::npos ? line : line.substr(end + 3);
}

} // namespace benchleaf::filled
