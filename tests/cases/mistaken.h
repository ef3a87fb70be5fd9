// A valid shop with a mistake in it, and what the program then says to do.
#pragma once

#include "cases/pipeline.h"
#include "driver/shop_files.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace benchleaf::cases {

class MistakenShop {
public:
    struct Change {
        std::string file;
        std::string from;
        std::string to;
    };

    explicit MistakenShop(std::string name) : name_(std::move(name)) {}

    // `expected`: each message as "check-name: help".
    void check(const std::vector<Change>& mistake, const std::vector<std::string>& expected) const {
        std::map<std::string, std::string> files = read();
        for (const Change& each : mistake) {
            std::string& text = files.at(each.file);
            const std::size_t at = text.find(each.from);
            REQUIRE_MESSAGE(at != std::string::npos, each.from);
            text.replace(at, each.from.size(), each.to);
        }
        const std::vector<std::string> given = helps(files);
        CHECK_MESSAGE(given == expected, fmt::format("given:\n  {}", fmt::join(given, "\n  ")));
    }

    // The lines from the first of a step, or of an entry, up to the next, are left out.
    void without(const std::string& file, const std::string& first, const std::vector<std::string>& expected) const {
        const std::string text = read().at(file);
        const std::size_t at = text.find(first);
        REQUIRE_MESSAGE(at != std::string::npos, first);
        const std::string margin(first.find_first_not_of(' ') + 1, ' ');
        std::size_t end = text.find('\n', at) + 1;
        while (text.compare(end, margin.size(), margin) == 0) end = text.find('\n', end) + 1;
        INFO(first);
        check({{file, text.substr(at, end - at), ""}}, expected);
    }

private:
    std::map<std::string, std::string> read() const {
        const auto shop = driver::read_shop(BENCHLEAF_SOURCE_DIR "/tests/valid/" + name_);
        REQUIRE(shop.ok());
        return {shop.value().files.begin(), shop.value().files.end()};
    }

    std::string name_;
};

} // namespace benchleaf::cases
