// A page of text as it grows line by line: what the cover sheet and the reports share. Private to text/.
#pragma once

#include "card/card.h"
#include "text/wrap.h"

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

namespace benchleaf::text {

class Sheet {
public:
    Sheet(std::size_t width, std::string_view language)
        : width_(std::max<std::size_t>(width, 40)), language_(language) {}

    std::size_t width() const { return width_; }
    std::string taken() { return std::move(out_); }

    void blank() { out_ += '\n'; }
    void line(std::string text) {
        while (text.ends_with(' ')) text.pop_back();
        out_ += text + "\n";
    }
    void rule(std::string_view with) { line(repeated(with, width_)); }

    // Broken where it is too long, with a first lead and another one from the second line on.
    void hung(std::string_view text, const std::string& first = {}, const std::string& then = {}) {
        bool begun = false;
        for (const std::string& each : wrap(text, width_ - std::max(cells(first), cells(then)), language_)) {
            line((begun ? then : first) + each);
            begun = true;
        }
    }
    void listed(std::string_view text, const std::string& first) { hung(text, first, std::string(cells(first), ' ')); }

    // One text at the left, one at the right; under each other where both do not fit.
    void across(const std::string& left, const std::string& right) {
        if (left.empty() && right.empty()) return;
        if (cells(left) + 2 + cells(right) <= width_) {
            line(padded(left, width_ - cells(right)) + right);
            return;
        }
        if (!left.empty()) hung(left);
        if (!right.empty()) hung(right);
    }

    void head(const card::Head& head, const std::string& job) {
        rule("━");
        across(head.shop, job);
        across(head.known_by.empty() ? head.vehicle : head.vehicle + " · " + head.known_by, head.date);
        std::string rest;
        for (const std::string& part : head.identity) rest += (rest.empty() ? "" : " · ") + part;
        if (!head.meter.empty()) rest += (rest.empty() ? "" : " · ") + head.meter;
        across(rest, head.digest);
        across(head.title, "");
        rule("━");
    }
    void foot(const card::Foot& foot) {
        blank();
        rule("─");
        hung(foot.text);
        if (!foot.own.empty()) hung(foot.own);
    }

private:
    std::size_t width_;
    std::string_view language_;
    std::string out_;
};

} // namespace benchleaf::text
