#include "record/make.h"

#include "model/words.h"
#include "record/judge.h"
#include "record/names.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <iterator>
#include <vector>

namespace benchleaf::record {

namespace {

// "inner-pad, left".
template <class T>
std::string thing(const T& of) {
    std::string text;
    if constexpr (requires { of.limit; })
        if (of.limit) text = of.limit->value.name;
    if (of.of) text += (text.empty() ? "" : " of ") + of.of->value.name;
    if (of.at) text += ", " + of.at->value.name;
    return text;
}

} // namespace

std::string summary(const model::Record& record) {
    std::string to;
    const auto out = [&to] { return std::back_inserter(to); };
    std::size_t within = 0;
    if (record.cards)
        for (const model::RecordedCard& card : record.cards->value) {
            if (card.readings)
                for (const model::ReadFigure& each : card.readings->value) {
                    if (!each.verdict) continue;
                    if (each.verdict->value == model::Held::within) {
                        ++within;
                        continue;
                    }
                    fmt::format_to(out(), "{}: {}, {}\n", thing(each),
                                   each.read ? units::print(each.read->value.front().value.quantity, plain) : "",
                                   verdict_words(static_cast<mechanics::Verdict>(each.verdict->value)));
                }
            if (card.found)
                for (const model::FoundThing& each : card.found->value)
                    if (each.found->value != model::Grade::good)
                        fmt::format_to(out(), "{}: {}\n", thing(each),
                                       grade_words[static_cast<std::size_t>(each.found->value)]);
            if (card.not_ticked) {
                fmt::format_to(out(),
                               "{}: steps without a tick:", card.title ? card.title->value : card.card->value.name);
                for (const std::int64_t step : card.not_ticked->value) fmt::format_to(out(), " {}", step);
                to += '\n';
            }
            if (card.since)
                for (const auto& each : card.since->value)
                    fmt::format_to(out(), "{}: since it was printed: {}\n",
                                   card.title ? card.title->value : card.card->value.name, each.value);
        }
    if (within > 0) fmt::format_to(out(), "{} {} within\n", within, within == 1 ? "reading" : "readings");
    if (record.outcome && record.outcome->value != model::Outcome::finished)
        to += record.outcome->value == model::Outcome::stopped ? "stopped half-way: not to be driven\n"
                                                               : "NOT TO BE DRIVEN\n";
    return to;
}

namespace {

// A box in the sheet, with the number of its step.
struct SheetLine {
    std::uint32_t step = 0;
    std::string text;
};

std::uint32_t step_of(std::string_view box) {
    constexpr std::string_view mark = "step-";
    const std::size_t at = box.find(mark);
    std::uint32_t number = 0;
    if (at != std::string_view::npos) std::from_chars(box.data() + at + mark.size(), box.data() + box.size(), number);
    return number;
}

std::string about_box(const Ask& ask, std::size_t i) {
    std::string about = ask.what;
    if (i < ask.step_texts.size())
        about = ask.step_texts[i];
    else if (i < ask.names.size())
        about += " " + ask.names[i];
    else if (ask.sort == Ask::Sort::yes_no)
        about += i == 0 ? " – yes" : " – no";
    if (ask.sort == Ask::Sort::grade) about += " – " + std::string(grade_words[i % grade_words.size()]);
    if (ask.sort == Ask::Sort::round) about += i == 0 ? " – yes" : fmt::format(" – no, the {}. time", i);
    if (ask.sort == Ask::Sort::time && ask.boxes.size() == 2) about += i == 0 ? " – hours" : " – minutes";
    if (ask.round > 1 && ask.sort != Ask::Sort::round) about += fmt::format(", the {}. time", ask.round);
    if (ask.step != 0) about = fmt::format("{}. {}", ask.step, about);
    if (!ask.shows.empty() && i == 0 && ask.names.empty()) about += " (" + ask.shows + ")";
    std::replace(about.begin(), about.end(), '\n', ' ');
    return about;
}

} // namespace

std::string blank_sheet(const Sheet& sheet) {
    std::string to = fmt::format("# The boxes of the cards of {}, to be filled in and taken with `benchleaf record {} "
                                 "--from FILE`. A tick is x; what is not worked stays\n"
                                 "# empty. A figure has its unit.\n"
                                 "answers: {}\nboxes:\n",
                                 sheet.job->id.value, sheet.job->id.value, sheet.job->id.value);
    std::size_t card = 0;
    std::string section;
    // The ticks of a column are one question, behind all that is read in it; on the card, and here, each stands with its step.
    std::vector<SheetLine> column;
    const auto end_column = [&] {
        std::stable_sort(column.begin(), column.end(),
                         [](const SheetLine& a, const SheetLine& b) { return a.step < b.step; });
        for (const SheetLine& each : column) to += each.text;
        column.clear();
    };
    for (const Ask& each : every_ask(sheet)) {
        if (each.card != card || each.section != section) end_column();
        if (each.card != card) {
            card = each.card;
            section.clear();
            fmt::format_to(std::back_inserter(to), "\n  # Card {}: {}\n", card, sheet.cards[card - 1]->head.title);
        }
        if (each.section != section && !each.section.empty())
            fmt::format_to(std::back_inserter(to), "  # {}\n", each.section);
        section = each.section;
        for (std::size_t i = 0; i < each.boxes.size(); ++i)
            if (each.boxes[i].find("/over/") == std::string::npos)
                column.push_back(
                    {step_of(each.boxes[i]), fmt::format("  {}:  # {}\n", each.boxes[i], about_box(each, i))});
        if (each.sort == Ask::Sort::ticks) end_column();
    }
    end_column();
    return to;
}

} // namespace benchleaf::record
