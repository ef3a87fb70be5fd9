// The cover sheet as text: every list in one column, each line with a tick before it and behind it the cards that it is for.
#include "text/text.h"
#include "text/wrap.h"

#include <algorithm>
#include <string_view>

namespace benchleaf::text {

namespace {

constexpr std::string_view box = "[ ]";

class CoverPrinter {
public:
    CoverPrinter(const card::Cover& cover, std::size_t width)
        : cover_(cover), width_(std::max<std::size_t>(width, 40)) {}

    std::string print() {
        const card::Head& h = cover_.head;
        rule("━");
        across(h.shop, cover_.words.job + " " + h.job);
        std::string vehicle = h.vehicle;
        if (!h.known_by.empty()) vehicle += " · " + h.known_by;
        across(vehicle, h.date);
        std::string rest;
        for (const std::string& part : h.identity) rest += (rest.empty() ? "" : " · ") + part;
        if (!h.meter.empty()) rest += (rest.empty() ? "" : " · ") + h.meter;
        across(rest, h.digest);
        across(h.title, "");
        rule("━");
        if (!cover_.customer.empty()) hung(cover_.own.customer + ": " + cover_.customer, "", "");
        if (!cover_.says.empty()) {
            hung(cover_.own.says + ":", "", "");
            hung(cover_.says, "┃ ", "┃ ");
        }
        work();
        torques();
        fetch();
        who();
        out_ += '\n';
        rule("─");
        hung(cover_.foot.text, "", "");
        if (!cover_.foot.own.empty()) hung(cover_.foot.own, "", "");
        return std::move(out_);
    }

private:
    void line(std::string text) {
        while (text.ends_with(' ')) text.pop_back();
        out_ += text + "\n";
    }
    void rule(std::string_view with) { line(repeated(with, width_)); }

    void hung(std::string_view text, const std::string& first, const std::string& then) {
        const std::size_t indent = cells(first);
        bool begun = false;
        for (const std::string& each : wrap(text, width_ - indent, cover_.language)) {
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
        if (!left.empty()) hung(left, "", "");
        if (!right.empty()) hung(right, "", "");
    }

    void head(const std::string& title, const std::string& beside) {
        out_ += '\n';
        rule("─");
        hung(beside.empty() ? title : title + " – " + beside, "", "");
    }

    void work() {
        head(cover_.own.work, cover_.minutes.empty() ? "" : cover_.words.minutes + ": " + cover_.minutes);
        const std::size_t digits = std::to_string(cover_.cards.size()).size();
        for (const card::CoverCard& card : cover_.cards)
            listed(card.minutes.empty() ? card.title : card.title + " · " + card.minutes,
                   padded_left(std::to_string(card.number), digits + 1) + " " + std::string(box) + " ");
        hung(cover_.stopped, "", "");
    }

    void torques() {
        if (cover_.torques.empty()) return;
        head(cover_.words.torques, "");
        for (const card::TorqueLine& each : cover_.torques)
            listed(each.value + " – " + each.name + " · " + each.about, "  ");
    }

    void fetch() {
        if (cover_.fetch.empty()) return;
        head(cover_.own.fetch, "");
        for (const card::CoverList& list : cover_.fetch) {
            hung(list.title + ":", "", "");
            for (const card::CoverLine& each : list.lines) {
                std::string text = each.text;
                if (!each.amount.empty()) text += " – " + each.amount;
                if (!each.cards.empty()) text += "  (" + card::numbers(each.cards) + ")";
                listed(text, "  " + std::string(box) + " ");
                if (!each.about.empty()) listed(each.about, std::string(6, ' '));
            }
        }
    }

    void who() {
        head(cover_.own.who, "");
        hung(cover_.check_rule, "", "");
        for (const std::string& initials : cover_.signs)
            listed(std::string(box) + "\u00a0" + cover_.own.does_work + "  " + std::string(box) + "\u00a0" +
                       cover_.words.second_check,
                   "  " + initials + "  ");
        const auto blank = [&](const std::string& name) {
            const std::size_t has = std::min(cells(name) + 1, width_ - 12);
            hung(name + " " + repeated("_", std::min<std::size_t>(width_ - has, 28)), "", "");
        };
        if (cover_.signs.empty()) {
            blank(cover_.own.name + " · " + cover_.own.does_work);
            blank(cover_.own.name + " · " + cover_.words.second_check);
        }
        blank(cover_.own.started);
        blank(cover_.own.finished);
        if (!cover_.next_service.empty()) hung(cover_.next_service, "", "");
    }

    const card::Cover& cover_;
    std::size_t width_;
    std::string out_;
};

} // namespace

std::string print(const card::Cover& cover, Columns columns) {
    return CoverPrinter(cover, columns.count).print();
}

} // namespace benchleaf::text
