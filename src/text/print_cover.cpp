// The cover sheet as text: every list in one column, each line with a tick before it and behind it the cards that it is for.
#include "text/sheet.h"
#include "text/text.h"

#include <algorithm>
#include <string_view>

namespace benchleaf::text {

namespace {

constexpr std::string_view box = "[ ]";

class CoverPrinter {
public:
    CoverPrinter(const card::Cover& cover, std::size_t width) : cover_(cover), to_(width, cover.language) {}

    std::string print() {
        to_.head(cover_.head, cover_.words.job + " " + cover_.head.job);
        if (!cover_.head.not_approved.empty()) to_.hung(cover_.head.not_approved + ". " + cover_.head.not_approved_why);
        if (!cover_.customer.empty()) to_.hung(cover_.own.customer + ": " + cover_.customer);
        if (!cover_.says.empty()) {
            to_.hung(cover_.own.says + ":");
            to_.hung(cover_.says, "┃ ", "┃ ");
        }
        work();
        torques();
        fetch();
        who();
        to_.foot(cover_.foot);
        return to_.taken();
    }

private:
    void head(const std::string& title, const std::string& beside) {
        to_.blank();
        to_.rule("─");
        to_.hung(beside.empty() ? title : title + " – " + beside);
    }

    void work() {
        head(cover_.own.work, cover_.minutes.empty() ? "" : cover_.words.minutes + ": " + cover_.minutes);
        const std::size_t digits = std::to_string(cover_.cards.size()).size();
        for (const card::CoverCard& card : cover_.cards)
            to_.listed(card.minutes.empty() ? card.title : card.title + " · " + card.minutes,
                       padded_left(std::to_string(card.number), digits + 1) + " " + std::string(box) + " ");
        to_.hung(cover_.stopped);
    }

    void torques() {
        if (cover_.torques.empty()) return;
        head(cover_.words.torques, "");
        for (const card::TorqueLine& each : cover_.torques)
            to_.listed(each.value + " – " + each.name + " · " + each.about, "  ");
    }

    void fetch() {
        if (cover_.fetch.empty()) return;
        head(cover_.own.fetch, "");
        for (const card::CoverList& list : cover_.fetch) {
            to_.hung(list.title + ":");
            for (const card::CoverLine& each : list.lines) {
                std::string text = each.text;
                if (!each.amount.empty()) text += " – " + each.amount;
                if (!each.cards.empty()) text += "  (" + card::numbers(each.cards) + ")";
                to_.listed(text, "  " + std::string(box) + " ");
                if (!each.about.empty()) to_.listed(each.about, std::string(6, ' '));
            }
        }
    }

    void who() {
        head(cover_.own.who, "");
        to_.hung(cover_.check_rule);
        for (const std::string& initials : cover_.signs)
            to_.listed(std::string(box) + "\u00a0" + cover_.own.does_work + "  " + std::string(box) + "\u00a0" +
                           cover_.words.second_check,
                       "  " + initials + "  ");
        const auto blank = [&](const std::string& name) {
            const std::size_t has = std::min(cells(name) + 1, to_.width() - 12);
            to_.hung(name + " " + repeated("_", std::min<std::size_t>(to_.width() - has, 28)));
        };
        if (cover_.signs.empty()) {
            blank(cover_.own.name + " · " + cover_.own.does_work);
            blank(cover_.own.name + " · " + cover_.words.second_check);
        }
        blank(cover_.own.started);
        blank(cover_.own.finished);
        if (!cover_.next_service.empty()) to_.hung(cover_.next_service);
    }

    const card::Cover& cover_;
    Sheet to_;
};

} // namespace

std::string print(const card::Cover& cover, Columns columns) {
    return CoverPrinter(cover, columns.count).print();
}

} // namespace benchleaf::text
