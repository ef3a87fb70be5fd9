#include "driver/session.h"

#include "base/text.h"
#include "mechanics/date.h"
#include "record/make.h"

#include <algorithm>
#include <fmt/format.h>
#include <istream>

namespace benchleaf::driver {

namespace {

constexpr std::string_view foot_note = "foot/";
constexpr std::string_view passed_note = "passed/";

std::string key_of(const record::Ask& ask) {
    if (ask.boxes.empty()) return {};
    return ask.sort == record::Ask::Sort::round ? ask.boxes.back()
                                                : ask.boxes.front(); // a round shares its yes with the others
}

// "x1b2 c3d4" and "X1B2C3D4" are the same.
std::string bare(std::string_view text) {
    std::string made;
    for (const char c : base::small_letters(text))
        if (c != ' ' && c != '-') made += c;
    return made;
}

// What an empty line takes: what stands there, unless that cannot be so.
std::string offered(const record::Ask& ask) {
    const bool wrong = ask.complaint && !ask.complaint->lacking;
    return ask.given.empty() || (wrong && !ask.expects.empty()) ? ask.expects : ask.given;
}

std::string_view how(const record::Ask& ask) {
    using Sort = record::Ask::Sort;
    switch (ask.sort) {
    case Sort::ticks:
        return "yes, or the numbers that were not done";
    case Sort::tick:
        return ask.signs.empty() ? "yes" : "set; by whom: initials";
    case Sort::yes_no:
    case Sort::round:
        return "yes or no";
    case Sort::done:
        return "done or still open";
    case Sort::grade:
        return "good, advise, act now or all good";
    case Sort::initials:
        return "initials";
    case Sort::time:
        return "time";
    case Sort::date:
        return "date";
    case Sort::points:
        return "each point, with the unit behind the last";
    case Sort::reading:
    case Sort::value:
    case Sort::words:
        break;
    }
    return {};
}

bool is_command(std::string_view word) {
    return word == "stop" || word == "stopped" || word == "list" || word == "back" || word == "skip" || word == "clear";
}

} // namespace

record::Answers Session::without_notes(record::Answers answers) {
    std::erase_if(answers, [](const auto& each) {
        return each.first.starts_with(foot_note) || each.first.starts_with(passed_note);
    });
    return answers;
}

bool Session::line(std::string& into) {
    if (!std::getline(in_, into)) {
        terminal_.say("\n");
        end_ = End::cut_off;
        return false;
    }
    if (into.ends_with('\r')) into.pop_back();
    return true;
}

bool Session::put(const record::Answers& changes) {
    if (auto put = draft_.put(changes); !put) {
        terminal_.say(fmt::format("benchleaf: {}\n", put.failure().what));
        end_ = End::failed;
        return false;
    }
    return true;
}

void Session::help() const {
    terminal_.say(
        "  an answer; or `back`, `skip` (where it may stay open), `clear`, `list`, `stopped` (the work ended "
        "half-way: asks where),\n"
        "  `stop` (leaves; what is answered is kept). An empty line takes what stands in brackets. `all good` "
        "is for all\n"
        "  that is still to be looked at in this section, on this side.\n");
}

bool Session::passed(const std::string& key) const {
    const auto found = draft_.answers().find(std::string(passed_note) + key);
    return found != draft_.answers().end() && !found->second.empty();
}

// Noted with what was answered, so that whoever goes on later is not asked once more.
bool Session::pass(const std::string& key, record::Answers with) {
    if (!passed(key)) with.emplace(std::string(passed_note) + key, "x");
    return with.empty() || put(with);
}

// The paper has to be of the state of the files that is asked from.
bool Session::compare_feet() {
    record::Answers notes;
    std::string digests;
    for (std::size_t card = 1; card <= sheet_.cards.size(); ++card) {
        const std::string note = fmt::format("{}{}", foot_note, card);
        const std::string& digest = sheet_.cards[card - 1]->head.digest;
        if (const auto noted = draft_.answers().find(note); noted != draft_.answers().end() && noted->second == digest)
            continue;
        notes[note] = digest;
        digests += fmt::format("  card {}  {}\n", card, digest);
    }
    if (notes.empty()) return true;
    terminal_.say("at the foot of each card stands which state of the files it was printed from:\n" + digests);
    for (;;) {
        terminal_.say("  the same on the paper? yes or no, or the first four figures of one that differs > ");
        std::string typed;
        if (!line(typed)) return false;
        const std::string word = base::small_letters(base::trimmed(typed));
        const std::string digits = bare(word);
        const bool is_digest = digits.size() >= 4 && digits.find_first_not_of("0123456789abcdef") == std::string::npos;
        if (word == "stop") {
            end_ = End::left;
            return false;
        }
        if (word == "?") {
            help();
            continue;
        }
        if (word == "y" || word == "yes") return put(notes);
        const bool one_of_them = is_digest && std::any_of(notes.begin(), notes.end(), [&](const auto& each) {
                                     return bare(each.second).starts_with(digits);
                                 });
        if (one_of_them)
            terminal_.say("  that one is right; `yes` if the others are, too\n");
        else if (is_digest || word == "n" || word == "no")
            terminal_.say("  then that paper was printed from other files than these; `benchleaf record JOB --card "
                          "FILE.pdf` takes the\n"
                          "  PDF that it was printed from. `stop` leaves.\n");
        else
            terminal_.say("  `yes` if the same stands there, else the first four figures that do; `stop` leaves\n");
    }
}

// Where the work ended half-way: the strip of the card.
bool Session::stopped_here(const record::Ask& ask) {
    const std::vector<std::string> boxes = record::stop_boxes(sheet_, ask.card);
    const auto& fields = sheet_.cards[ask.card - 1]->stop_strip.fields;
    terminal_.say("  work stopped here: what comes after it is not asked for, and the vehicle is not to be driven\n");
    record::Answers all;
    for (std::size_t i = 0; i < boxes.size();) {
        record::Ask field;
        field.sort = i == 0 ? record::Ask::Sort::date : i == 1 ? record::Ask::Sort::time : record::Ask::Sort::words;
        field.boxes = {boxes[i]};
        if (i == 0 && sheet_.job->date) field.expects = mechanics::print(sheet_.job->date->value);
        if (i == 2 && ask.step != 0) field.expects = std::to_string(ask.step);
        terminal_.say(
            fmt::format("       {}{} > ", fields[i], field.expects.empty() ? "" : " [" + field.expects + "]"));
        std::string typed;
        if (!line(typed)) return false;
        std::string word(base::trimmed(typed));
        if (word == "back") return true; // nothing is taken
        if (word.empty()) word = field.expects;
        const auto taken = record::take(field, word, sheet_);
        const auto* wrong = std::get_if<record::Complaint>(&taken);
        std::optional<record::Complaint> judged;
        if (wrong == nullptr) { // as it would be looked at in the end
            record::Answers tried = without_notes(draft_.answers());
            for (const auto& [box, text] : std::get<record::Answers>(taken)) tried[box] = text;
            for (const record::Ask& each : record::look_over(sheet_, tried, record::Stops::end_it).asks)
                if (key_of(each) == boxes[i] && each.complaint && !each.complaint->lacking) judged = each.complaint;
            if (judged) wrong = &*judged;
        }
        if (word.empty() || wrong != nullptr || (i == 0 && !mechanics::parse_date(word))) {
            terminal_.say(wrong != nullptr ? fmt::format("  no: {}\n", wrong->text)
                                           : std::string("  this has to be said; `back` leaves it\n"));
            continue;
        }
        all.merge(record::Answers(std::get<record::Answers>(taken)));
        ++i;
    }
    return put(all);
}

// What does not belong to the way that was answered in the end.
bool Session::clear(const record::Look& look) {
    terminal_.say("  no longer asked for by the other answers:\n");
    record::Answers gone;
    for (const auto& [box, wrong] : look.strangers) {
        gone[box] = {};
        const auto found = draft_.answers().find(box);
        terminal_.say(fmt::format("    {}: {}\n", box, found == draft_.answers().end() ? "" : found->second));
    }
    for (;;) {
        terminal_.say("  clear them? yes or no > ");
        std::string typed;
        if (!line(typed)) return false;
        const std::string word = base::small_letters(base::trimmed(typed));
        if (word == "y" || word == "yes") return put(gone);
        if (word == "n" || word == "no" || word == "back") {
            again_ = key_of(look.asks.back());
            return true;
        }
        if (word == "stop") {
            end_ = End::left;
            return false;
        }
    }
}

// Ticks of which some are open from the last time: work that goes on was done since, or was not; neither is taken for granted.
bool Session::to_be_said(const record::Ask& ask) const {
    return !review_ && ask.sort == record::Ask::Sort::ticks && ask.answered && ask.given != "yes" &&
           !passed(key_of(ask));
}

void Session::show(const record::Ask& ask) const {
    std::string text = "  ";
    if (ask.step != 0) text += fmt::format("{:>3}  ", ask.step);
    text += ask.what;
    if (ask.round > 1 && ask.sort != record::Ask::Sort::round) text += fmt::format(", round {}", ask.round);
    if (!ask.shows.empty()) text += fmt::format("  ({})", ask.shows);
    if (const auto of = how(ask); !of.empty() && of != ask.what) text += fmt::format("  {}", of);
    std::string taken = to_be_said(ask) ? std::string() : offered(ask);
    if (taken.empty() && ask.sort == record::Ask::Sort::ticks && !to_be_said(ask)) taken = "yes";
    if (!taken.empty()) text += fmt::format(" [{}]", taken);
    text += " > ";
    terminal_.say(text);
}

void Session::list(const record::Look& look) const {
    for (const record::Ask& each : look.asks)
        if (each.answered)
            terminal_.say(fmt::format("  card {}{}  {}: {}{}\n", each.card,
                                      each.step != 0 ? fmt::format(", {}", each.step) : "", each.what, each.given,
                                      each.verdict.empty() ? "" : "  " + each.verdict));
}

// Of the section and the side that the ask is of: whatever is still to be looked at.
record::Answers Session::all_good(const record::Look& look, std::size_t at) const {
    record::Answers all;
    for (std::size_t i = at; i < look.asks.size(); ++i) {
        const record::Ask& each = look.asks[i];
        const bool its = each.card == look.asks[at].card && each.section == look.asks[at].section &&
                         each.column == look.asks[at].column && each.sort == record::Ask::Sort::grade;
        if (!its || (each.answered && i != at)) continue;
        const auto good = record::take(each, "good", sheet_);
        if (const auto* boxes = std::get_if<record::Answers>(&good)) all.insert(boxes->begin(), boxes->end());
    }
    return all;
}

// False where it ends.
bool Session::ask(const record::Look& look, std::size_t at) {
    const record::Ask& ask = look.asks[at];
    if (ask.card != card_) {
        const card::Card& card = *sheet_.cards[ask.card - 1];
        terminal_.say(fmt::format("\ncard {} of {}  {}\n", ask.card, sheet_.cards.size(), card.head.title));
        card_ = ask.card;
        section_.clear();
    }
    if (ask.section != section_ && !ask.section.empty()) terminal_.say(fmt::format(" {}\n", ask.section));
    section_ = ask.section;
    show(ask);
    std::string typed;
    if (!line(typed)) return false;
    std::string word(base::trimmed(typed));
    if (const std::string small = base::small_letters(word); is_command(small)) word = small;
    if (word == "stop") {
        end_ = End::left;
        return false;
    }
    if (word == "?") {
        help();
        return true;
    }
    if (word == "stopped") return stopped_here(ask);
    if (word == "list") {
        list(look);
        return true;
    }
    if (word == "back") {
        for (std::size_t i = at; i > 0; --i) {
            const record::Ask& before = look.asks[i - 1];
            if (!before.answered && !passed(key_of(before))) continue;
            again_ = key_of(before);
            return true;
        }
        terminal_.say("  this is the first one\n");
        return true;
    }
    again_.clear();
    if (word.empty() && to_be_said(ask)) {
        terminal_.say("  some of them are open from the last time: `yes` once all are done, else the numbers that are "
                      "not\n");
        return true;
    }
    if (word.empty()) {
        if (ask.answered && !ask.complaint) return pass(key_of(ask)); // it stands
        word = offered(ask);
        if (word.empty() && ask.sort == record::Ask::Sort::ticks) word = "yes";
    }
    if (word.empty() || word == "skip") {
        if (!ask.required) return pass(key_of(ask));
        terminal_.say(
            "  this one has to be answered; `stopped` where the work ended here, `stop` to leave and go on later\n");
        return true;
    }
    const auto taken = ask.sort == record::Ask::Sort::grade && base::small_letters(word) == "all good"
                           ? all_good(look, at)
                           : record::take(ask, word, sheet_);
    const record::Complaint* wrong = std::get_if<record::Complaint>(&taken);
    std::optional<record::Ask> then;
    std::optional<record::Complaint> signed_wrong;
    if (wrong == nullptr) {
        // Tried first: what is wrong is not taken.
        record::Answers tried = without_notes(draft_.answers());
        for (const auto& [box, text] : std::get<record::Answers>(taken)) tried[box] = text;
        for (const record::Ask& each : record::look_over(sheet_, tried, record::Stops::end_it).asks) {
            if (key_of(each) == key_of(ask) && each.round == ask.round) then = each;
            if (!ask.signs.empty() && key_of(each) == ask.signs && each.complaint && !each.complaint->lacking)
                signed_wrong = each.complaint;
        }
        if (then && then->complaint && !then->complaint->lacking) wrong = &*then->complaint;
        if (signed_wrong) wrong = &*signed_wrong;
    }
    if (wrong != nullptr) {
        terminal_.say(fmt::format("  no: {}{}\n", wrong->text, wrong->help.empty() ? "" : "; " + wrong->help));
        again_ = key_of(ask);
        return true;
    }
    if (!pass(key_of(ask), std::get<record::Answers>(taken))) return false;
    if (then && !then->verdict.empty()) terminal_.say(fmt::format("       {}\n", then->verdict));
    if (then && !then->doubt.empty()) terminal_.say(fmt::format("       look once more: {}\n", then->doubt));
    return true;
}

// Boxes are called by their steps' numbers: what was typed for another state of the files would stand at other steps.
bool Session::set_aside() {
    for (std::size_t card = 1; card <= sheet_.cards.size(); ++card) {
        const std::string note = fmt::format("{}{}", foot_note, card);
        const auto noted = draft_.answers().find(note);
        if (noted == draft_.answers().end() || noted->second.empty() ||
            noted->second == sheet_.cards[card - 1]->head.digest)
            continue;
        const std::string prefix = record::prefix_of(sheet_, card);
        record::Answers gone{{note, {}}};
        for (const auto& [box, text] : draft_.answers()) {
            const std::string_view name =
                std::string_view(box).substr(box.starts_with(passed_note) ? passed_note.size() : 0);
            if (!text.empty() && !box.starts_with(foot_note) && name.starts_with(prefix)) gone[box] = {};
        }
        terminal_.say(fmt::format(
            "card {} is another one by now than when its answers were typed: they are set aside, and asked for anew\n"
            "(`benchleaf record JOB --card FILE.pdf` takes the card that was printed)\n",
            card));
        if (!put(gone)) return false;
    }
    return true;
}

Session::End Session::run() {
    if (!set_aside()) return end_;
    terminal_.say("`?` says what can be typed besides an answer.\n");
    if (!compare_feet()) return end_;
    for (;;) {
        const record::Look look = record::look_over(sheet_, without_notes(draft_.answers()), record::Stops::end_it);
        const auto first = [&look](const auto& is) {
            return static_cast<std::size_t>(std::find_if(look.asks.begin(), look.asks.end(), is) - look.asks.begin());
        };
        std::size_t next = look.asks.size();
        if (!again_.empty()) {
            next = first([&](const record::Ask& each) { return key_of(each) == again_; });
            if (next == look.asks.size()) again_.clear();
        }
        if (next == look.asks.size())
            next = first([&](const record::Ask& each) {
                const bool settled = each.card <= settled_ && !each.required;
                const bool open = !settled && (review_ || !each.answered || to_be_said(each)) && !passed(key_of(each));
                return open || (each.complaint && !each.complaint->lacking);
            });
        // Something that has to be answered was passed by on another way.
        if (next == look.asks.size()) next = first([](const record::Ask& each) { return record::lacks(each); });
        if (next < look.asks.size()) {
            if (!ask(look, next)) return end_;
            continue;
        }
        if (!look.strangers.empty()) {
            if (!clear(look)) return end_;
            continue;
        }
        terminal_.say("\nwrite the record? [yes] > ");
        std::string typed;
        if (!line(typed)) return end_;
        const std::string word = base::small_letters(base::trimmed(typed));
        if (word.empty() || word == "y" || word == "yes") return End::done;
        if (word == "back" && !look.asks.empty()) again_ = key_of(look.asks.back());
        if (word == "list") list(look);
        if (word == "no" || word == "n" || word == "stop") return End::left;
    }
}

} // namespace benchleaf::driver
