#include "record/since.h"

#include "record/names.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::record {

namespace {

constexpr std::size_t most = 20; // of one card; who wants more compares the files

// A row as one line, and the figures in it by what they are of.
struct Said {
    std::uint32_t number = 0;
    std::string text;
    std::vector<std::pair<std::string, std::string>> figures;
};

std::string text_of(const card::Row& row) {
    if (const auto* step = std::get_if<card::Step>(&row.what)) return step->text;
    if (const auto* question = std::get_if<card::Question>(&row.what)) return question->text;
    if (const auto* repeat = std::get_if<card::Repeat>(&row.what)) return repeat->text;
    if (const auto* stop = std::get_if<card::Stop>(&row.what)) return stop->why;
    return {};
}

std::vector<Said> said(const card::Card& card) {
    std::vector<Said> all;
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows) {
            if (row.number == 0) continue;
            Said one{row.number, text_of(row), {}};
            const auto* step = std::get_if<card::Step>(&row.what);
            if (step != nullptr) {
                if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step->panel))
                    for (const card::Torque& each : *torques) {
                        std::string value =
                            each.value + " " + each.unit + (each.tolerance.empty() ? "" : " " + each.tolerance);
                        for (const std::string& stage : each.stages) value += ", " + stage;
                        one.figures.emplace_back(each.name, value);
                    }
                if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step->panel))
                    for (const card::Reading& each : *readings) {
                        const std::string name =
                            each.column_note.empty() ? each.name : each.name + ", " + each.column_note;
                        one.figures.emplace_back(name, each.limit);
                        if (!each.keep.empty()) one.figures.emplace_back(name + ",", each.keep);
                    }
                for (const std::string& note : step->notes) one.text += " (" + note + ")";
            }
            for (const card::Caution& caution : row.cautions) one.text += " [" + caution.hazard + "]";
            all.push_back(std::move(one));
        }
    return all;
}

std::string short_of(const std::string& text) {
    constexpr std::size_t longest = 60;
    if (text.size() <= longest) return text;
    std::size_t end = longest;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end; // not within a letter
    return text.substr(0, end) + "…";
}

// Rows that both have, in the longest common order.
std::vector<std::pair<std::size_t, std::size_t>> in_both(const std::vector<Said>& a, const std::vector<Said>& b) {
    std::vector<std::vector<std::uint32_t>> longest(a.size() + 1, std::vector<std::uint32_t>(b.size() + 1, 0));
    for (std::size_t i = a.size(); i-- > 0;)
        for (std::size_t k = b.size(); k-- > 0;)
            longest[i][k] =
                a[i].text == b[k].text ? longest[i + 1][k + 1] + 1 : std::max(longest[i + 1][k], longest[i][k + 1]);
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    for (std::size_t i = 0, k = 0; i < a.size() && k < b.size();) {
        if (a[i].text == b[k].text)
            pairs.emplace_back(i++, k++);
        else if (longest[i + 1][k] >= longest[i][k + 1])
            ++i;
        else
            ++k;
    }
    return pairs;
}

std::vector<std::string> changed(const card::Card& then, const card::Card& now) {
    std::vector<std::string> all;
    const auto figure = [&all](std::string_view what, const std::string& before, const std::string& after) {
        if (before != after)
            all.push_back(fmt::format("{} {} → {}", what, before.empty() ? "not said" : before,
                                      after.empty() ? "not said" : after));
    };
    figure("revision:", std::to_string(then.revision), std::to_string(now.revision));
    figure("meter", then.head.meter, now.head.meter);
    figure("date", then.head.date, now.head.date);
    figure("vehicle", then.head.known_by, now.head.known_by);
    figure("title", then.head.title, now.head.title);
    figure("", then.findings.next_service, now.findings.next_service);
    const std::vector<Said> a = said(then);
    const std::vector<Said> b = said(now);
    std::vector<bool> kept_a(a.size()), kept_b(b.size());
    for (const auto& [i, k] : in_both(a, b)) {
        kept_a[i] = kept_b[k] = true;
        for (const auto& [name, value] : a[i].figures) {
            const auto same = std::find_if(b[k].figures.begin(), b[k].figures.end(),
                                           [&, &of = name](const auto& each) { return each.first == of; });
            figure(fmt::format("step {}: {}", a[i].number, name), value,
                   same == b[k].figures.end() ? "" : same->second);
        }
    }
    for (std::size_t i = 0; i < a.size(); ++i)
        if (!kept_a[i])
            all.push_back(fmt::format("step {} is gone or worded otherwise: {}", a[i].number, short_of(a[i].text)));
    for (std::size_t k = 0; k < b.size(); ++k)
        if (!kept_b[k]) all.push_back(fmt::format("new or worded otherwise: {}", short_of(b[k].text)));
    for (std::string& each : all) each = with_plain_blanks(std::move(each));
    if (all.empty()) all.emplace_back("its lists, its cautions or its close-out");
    if (all.size() > most) {
        const std::size_t more = all.size() - most;
        all.resize(most);
        all.push_back(fmt::format("and {} more", more));
    }
    return all;
}

} // namespace

std::vector<std::vector<std::string>> changed_since(const Sheet& printed, const Sheet& now) {
    std::vector<std::vector<std::string>> all;
    std::vector<bool> taken(now.cards.size());
    for (const card::Card* then : printed.cards) {
        const card::Card* same = nullptr;
        for (std::size_t i = 0; i < now.cards.size() && same == nullptr; ++i) {
            if (taken[i] || now.cards[i]->procedure != then->procedure) continue;
            taken[i] = true;
            same = now.cards[i];
        }
        if (same == nullptr)
            all.push_back({"the job does not have this card any more"});
        else if (same->head.digest == then->head.digest)
            all.emplace_back();
        else
            all.push_back(changed(*then, *same));
    }
    return all;
}

} // namespace benchleaf::record
