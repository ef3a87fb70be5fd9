#include "record/make.h"

#include "model/words.h"
#include "record/judge.h"
#include "record/names.h"

#include <fmt/format.h>

#include <iterator>

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

std::string blank_sheet(const Sheet& sheet) {
    std::string to = fmt::format("# The boxes of the cards of {}, to be filled in and taken with `benchleaf record {} "
                                 "--from FILE`. A tick is x; what is not worked stays\n"
                                 "# empty. A figure has its unit.\n"
                                 "answers: {}\nboxes:\n",
                                 sheet.job->id.value, sheet.job->id.value, sheet.job->id.value);
    std::size_t card = 0;
    std::string section;
    for (const Ask& each : every_ask(sheet)) {
        if (each.card != card) {
            card = each.card;
            section.clear();
            fmt::format_to(std::back_inserter(to), "\n  # Card {}: {}\n", card, sheet.cards[card - 1]->head.title);
        }
        if (each.section != section && !each.section.empty())
            fmt::format_to(std::back_inserter(to), "  # {}\n", each.section);
        section = each.section;
        for (std::size_t i = 0; i < each.boxes.size(); ++i) {
            if (each.boxes[i].find("/over/") != std::string::npos) continue;
            std::string about = each.what;
            if (i < each.step_texts.size())
                about = each.step_texts[i];
            else if (i < each.names.size())
                about += " " + each.names[i];
            else if (each.sort == Ask::Sort::yes_no)
                about += i == 0 ? " – yes" : " – no";
            if (each.sort == Ask::Sort::grade) about += " – " + std::string(grade_words[i % grade_words.size()]);
            if (each.sort == Ask::Sort::round) about += i == 0 ? " – yes" : fmt::format(" – no, the {}. time", i);
            if (each.sort == Ask::Sort::time && each.boxes.size() == 2) about += i == 0 ? " – hours" : " – minutes";
            if (each.round > 1 && each.sort != Ask::Sort::round) about += fmt::format(", the {}. time", each.round);
            if (each.step != 0) about = fmt::format("{}. {}", each.step, about);
            if (!each.shows.empty() && i == 0 && each.names.empty()) about += " (" + each.shows + ")";
            for (char& c : about)
                if (c == '\n') c = ' ';
            fmt::format_to(std::back_inserter(to), "  {}:  # {}\n", each.boxes[i], about);
        }
    }
    return to;
}

} // namespace benchleaf::record
