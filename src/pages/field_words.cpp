#include "pages/field_words.h"

#include "base/text.h"
#include "card/card.h"
#include "card/cover.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <functional>
#include <vector>

namespace benchleaf::pages {

namespace {

// The parts of a box's name, one after the other. What is not there is empty, or 0.
class NameParts {
public:
    explicit NameParts(std::string_view name) : parts_(base::split(name, '/')) {}

    std::string_view word() { return at_ < parts_.size() ? parts_[at_++] : std::string_view(); }
    // The number of the next part, which may stand after a word: 2 of "reading-2".
    std::size_t number() { return number_of(word()); }
    // Likewise, but only where the part has that word.
    std::size_t number_after(std::string_view word) {
        if (at_ >= parts_.size() || !parts_[at_].starts_with(word)) return 0;
        return number();
    }
    bool more() const { return at_ < parts_.size(); }

    static std::size_t number_of(std::string_view part) {
        part.remove_prefix(std::min(part.find_first_of("0123456789"), part.size()));
        std::size_t number = 0;
        std::from_chars(part.data(), part.data() + part.size(), number);
        return number;
    }

private:
    std::vector<std::string_view> parts_;
    std::size_t at_ = 0;
};

template <class Thing>
const Thing* nth(const std::vector<Thing>& things, std::size_t number) {
    return number > 0 && number <= things.size() ? &things[number - 1] : nullptr;
}

class Saying {
public:
    void add(std::string_view words) {
        if (words.empty()) return;
        if (!all_.empty()) all_ += " · ";
        all_ += words;
    }
    void add_count(std::size_t number, std::size_t of) {
        if (number > 0) add(fmt::format("{} / {}", number, of));
    }
    std::string taken() { return std::move(all_); }

private:
    std::string all_;
};

// The box of a column, and of a round of a repeat.
void add_column(Saying& to, NameParts& name, const card::Section& section, const card::Again* again) {
    if (const std::string* head = nth(section.columns, name.number())) to.add(*head);
    if (again == nullptr) return;
    if (const std::size_t round = name.number_after("again-"))
        to.add("↻ " + card::rounds_of(*again, static_cast<std::uint32_t>(round)));
}

void add_torque(Saying& to, NameParts& name, const card::Card& card, const card::Section& section,
                const card::Step& step, const card::Torque& torque) {
    to.add(torque.name);
    const std::string_view what = name.word();
    if (what == "initials") to.add(card.words.initials);
    if (what.starts_with("stage-"))
        if (const std::string* stage = nth(torque.stages, NameParts::number_of(what))) to.add(*stage);
    if (what == "fastener" && torque.rounds > 1) {
        const std::size_t round = name.number_after("round-");
        to.add(fmt::format("{} ×", std::max<std::size_t>(round, 1)));
    }
    add_column(to, name, section, &step.again);
    if (what == "value") to.add(torque.unit);
    if (name.more()) to.add_count(name.number(), torque.fasteners);
}

void add_reading(Saying& to, NameParts& name, const card::Section& section, const card::Step& step,
                 const card::Reading& reading) {
    to.add(reading.name);
    to.add(reading.column_note);
    add_column(to, name, section, &step.again);
    if (name.more()) {
        const std::string_view which = name.word();
        if (which == "worst")
            to.add(reading.worst);
        else
            to.add_count(NameParts::number_of(which), reading.points);
    }
    to.add(reading.unit);
}

void add_step(Saying& to, NameParts& name, const card::Card& card, const card::Section& section,
              const card::Step& step) {
    const std::string_view what = name.word();
    const std::size_t number = NameParts::number_of(what);
    const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel);
    const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel);
    if (torques != nullptr && what.starts_with("torque-")) {
        if (const auto* torque = nth(*torques, number)) add_torque(to, name, card, section, step, *torque);
    } else if (readings != nullptr && what.starts_with("reading-")) {
        if (const auto* reading = nth(*readings, number)) add_reading(to, name, section, step, *reading);
    } else {
        if (what.starts_with("second-check")) to.add(card.words.second_check);
        if (what == "second-check-time") to.add(step.second_check_time);
        if (const auto* grades = std::get_if<card::Grades>(&step.panel)) {
            std::size_t word = what.starts_with("grade-") ? number : 0;
            if (what.starts_with("graded-")) {
                if (const std::string* of = nth(grades->of, number)) to.add(*of);
                word = NameParts::number_of(name.word());
            }
            if (const std::string* grade = nth(grades->words, word)) to.add(*grade);
        }
        if (const auto* note = std::get_if<card::Note>(&step.panel); note != nullptr && what == "note")
            to.add(note->text);
        add_column(to, name, section, &step.again);
    }
}

void add_row(Saying& to, NameParts& name, const card::Card& card, const card::Section& section, const card::Row& row) {
    const auto headed = [&](std::string_view text) { to.add(fmt::format("{}. {}", row.number, text)); };
    if (const auto* step = std::get_if<card::Step>(&row.what)) {
        headed(step->text);
        add_step(to, name, card, section, *step);
    } else if (const auto* question = std::get_if<card::Question>(&row.what)) {
        headed(question->text);
        to.add(name.word() == "yes" ? question->yes : question->no);
        add_column(to, name, section, nullptr);
    } else if (const auto* repeat = std::get_if<card::Repeat>(&row.what)) {
        headed(repeat->text);
        const std::size_t round = name.number_after("round-");
        to.add(round == 0 ? repeat->yes : fmt::format("{} {}", repeat->no, round));
        if (round == 0) name.word();
        add_column(to, name, section, nullptr);
    } else if (const auto* stop = std::get_if<card::Stop>(&row.what)) {
        headed(stop->headline);
        name.word();
        add_column(to, name, section, nullptr);
    }
}

void add_finding(Saying& to, NameParts& name, const card::Findings& findings) {
    const std::string_view what = name.word();
    if (what == "also") {
        to.add(findings.also_found);
        to.add(name.word());
    } else if (what == "declined") {
        to.add(findings.declined);
    }
}

std::string said(const card::Card& card, std::string_view box) {
    NameParts name(box);
    Saying to;
    const std::string_view place = name.word();
    if (place == "head") {
        to.add(card.head.blank); // a date is signed for, too
        if (const std::string* blank = nth(card.head.blanks, name.number())) to.add(*blank);
    } else if (place == "before") {
        const bool state = name.word().starts_with("state-");
        const std::size_t number = NameParts::number_of(base::split(box, '/').back());
        to.add(state ? card.words.states : card.words.protection);
        if (const std::string* text = nth(state ? card.before.states : card.before.protection, number)) to.add(*text);
    } else if (place == "open") {
        if (const card::OpenLine* line = nth(card.before.open.lines, name.number())) to.add(line->what);
        to.add(name.word() == "done" ? card.before.open.done : card.before.open.still);
    } else if (place == "findings") {
        add_finding(to, name, card.findings);
    } else if (place == "stopped") {
        to.add(card.stop_strip.title);
        if (const std::string* field = nth(card.stop_strip.fields, name.number())) to.add(*field);
    } else if (place == "close-out") {
        if (const card::CloseOutLine* line = nth(card.close_out.lines, name.number())) {
            to.add(line->text);
            if (name.more()) {
                to.add(line->field);
                to.add(name.word());
            }
        }
    } else if (place == "sign-off") {
        if (const std::string* label = nth(card.close_out.signatures, name.number())) to.add(*label);
    } else {
        for (const card::Section& section : card.sections)
            for (const card::Row& row : section.rows)
                if (row.name == place) add_row(to, name, card, section, row);
    }
    return to.taken();
}

std::string said(const card::Cover& cover, std::string_view box) {
    NameParts name(box);
    Saying to;
    name.word(); // cover
    const std::string_view place = name.word();
    const std::size_t number = NameParts::number_of(place);
    const std::string_view which = place.substr(0, place.rfind('-'));
    if (which == "card") {
        if (const card::CoverCard* card = nth(cover.cards, number)) to.add(fmt::format("{}. {}", number, card->title));
    } else if (which == "sign" || which == "name") {
        if (const std::string* initials = nth(cover.signs, number)) to.add(*initials);
        if (which == "name") to.add(cover.own.name);
        const bool does = which == "name" ? number == 1 : name.word() == "does";
        to.add(does ? cover.own.does_work : cover.words.second_check);
    } else if (place == "started" || place == "finished") {
        to.add(place == "started" ? cover.own.started : cover.own.finished);
    } else {
        for (const card::CoverList& list : cover.fetch) {
            const card::CoverLine* line = list.name == which ? nth(list.lines, number) : nullptr;
            if (line == nullptr) continue;
            to.add(list.title);
            to.add(line->text);
            to.add(line->amount);
            to.add(card::numbers(line->cards)); // two parts of one name are for different cards
        }
    }
    return to.taken();
}

template <class Leaf>
FieldWords words_on_all(const Leaf& leaf, const Pages& pages) {
    FieldWords words;
    const std::function<void(const Box&)> walk = [&](const Box& box) {
        if (is_written_in(box.role)) words.emplace(box.name, said(leaf, box.name));
        for (const Box& child : box.children) walk(child);
    };
    for (const Page& page : pages.pages)
        for (const Box& box : page.boxes) walk(box);
    return words;
}

} // namespace

FieldWords field_words(const card::Card& card, const Pages& pages) {
    return words_on_all(card, pages);
}

FieldWords field_words(const card::Cover& cover, const Pages& pages) {
    return words_on_all(cover, pages);
}

} // namespace benchleaf::pages
