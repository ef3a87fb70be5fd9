#include "bench/recording.h"

#include <charconv>
#include <cstddef>
#include <iomanip>
#include <set>
#include <sstream>

namespace benchleaf::bench {

std::optional<std::vector<Call>> calls_of(std::string_view content) {
    static const std::set<std::string, std::less<>> known = {"q", "Q", "cm", "re", "m", "l",  "c",  "h",  "f",  "S",
                                                             "g", "G", "w",  "d",  "J", "BT", "ET", "Tf", "Td", "Tj"};
    std::vector<Call> calls;
    Call next;
    std::size_t count = 0;
    for (std::size_t at = 0; at < content.size();) {
        const char c = content[at];
        if (c == ' ' || c == '\n' || c == '[' ||
            c == ']') { // of the arrays that a card has, a dash alone, the numbers do
            ++at;
        } else if (c == '(') {
            for (++at; content.at(at) != ')'; ++at) {
                if (content[at] == '\\') ++at;
                next.text += content[at] == 'r' && content[at - 1] == '\\' ? '\r' : content[at];
            }
            ++at;
        } else if (c == '/') {
            const std::size_t end = content.find(' ', at);
            next.text = content.substr(at + 1, end - at - 1);
            at = end;
        } else if (c == '-' || c == '.' || (c >= '0' && c <= '9')) {
            float number = 0;
            const auto [end, error] = std::from_chars(content.data() + at, content.data() + content.size(), number);
            if (error != std::errc() || count == next.numbers.size()) return std::nullopt;
            next.numbers[count++] = number;
            at = static_cast<std::size_t>(end - content.data());
        } else {
            const std::size_t end = content.find_first_of(" \n", at);
            next.name = content.substr(at, end - at);
            if (!known.contains(next.name)) return std::nullopt;
            // A dash: how many numbers it has, before the place where it begins, which is 0.
            if (next.name == "d") next.numbers[5] = static_cast<float>(count - 1);
            calls.push_back(std::move(next));
            next = {};
            count = 0;
            at = end == std::string_view::npos ? content.size() : end;
        }
    }
    return calls;
}

std::string write(const Recording& recording) {
    std::ostringstream to;
    for (const auto& kinds : recording.faces) to << (kinds ? static_cast<int>(*kinds) : -1) << ' ';
    to << recording.pages.size() << '\n' << std::setprecision(9);
    for (const RecordedPage& page : recording.pages) {
        to << page.width << ' ' << page.height << ' ' << page.calls.size() << '\n';
        for (const Call& call : page.calls) {
            to << call.name;
            for (const float number : call.numbers) to << ' ' << number;
            to << ' ' << call.text.size() << ' ' << call.text << '\n';
        }
    }
    return to.str();
}

Recording read(const std::string& text) {
    std::istringstream from(text);
    Recording recording;
    for (auto& kinds : recording.faces) {
        int number = -1;
        from >> number;
        if (number >= 0) kinds = static_cast<fonts::Kinds>(number);
    }
    std::size_t pages = 0;
    from >> pages;
    recording.pages.resize(pages);
    for (RecordedPage& page : recording.pages) {
        std::size_t calls = 0;
        from >> page.width >> page.height >> calls;
        page.calls.resize(calls);
        for (Call& call : page.calls) {
            std::size_t size = 0;
            from >> call.name;
            for (float& number : call.numbers) from >> number;
            from >> size;
            from.get();
            call.text.resize(size);
            from.read(call.text.data(), static_cast<std::streamsize>(size));
        }
    }
    return recording;
}

} // namespace benchleaf::bench
