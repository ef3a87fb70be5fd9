#include "driver/session.h"

#include "base/text.h"
#include "record/make.h"

#include <algorithm>
#include <fmt/format.h>
#include <istream>

namespace benchleaf::driver {

namespace {

constexpr std::string_view foot_note = "foot/";

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

std::string_view how(record::Ask::Sort sort) {
    using Sort = record::Ask::Sort;
    switch (sort) {
    case Sort::ticks:
        return "yes, or the numbers that were not done";
    case Sort::tick:
        return "yes";
    case Sort::yes_no:
    case Sort::round:
        return "yes or no";
    case Sort::grade:
        return "good, advise or act now";
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

} // namespace

record::Answers Session::without_notes(record::Answers answers) {
    std::erase_if(answers, [](const auto& each) { return each.first.starts_with(foot_note); });
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

// The paper has to be of the state of the files that is asked from.
bool Session::compare_foot(std::size_t card) {
    const std::string note = fmt::format("{}{}", foot_note, card);
    const std::string& digest = sheet_.cards[card - 1]->head.digest;
    if (const auto noted = draft_.answers().find(note); noted != draft_.answers().end() && noted->second == digest)
        return true;
    for (;;) {
        terminal_.say(fmt::format("  the foot of the card says {} [yes] > ", digest));
        std::string typed;
        if (!line(typed)) return false;
        const std::string word = base::small_letters(base::trimmed(typed));
        if (word == "stop") {
            end_ = End::left;
            return false;
        }
        if (word.empty() || word == "y" || word == "yes" ||
            (bare(word).size() >= 4 && bare(digest).starts_with(bare(word))))
            return put({{note, digest}});
        terminal_.say("  then that paper was printed from other files than these; `benchleaf record JOB --card "
                      "FILE.pdf` takes the PDF\n"
                      "  that it was printed from. `stop` leaves.\n");
    }
}

void Session::show(const record::Ask& ask) const {
    std::string text = "  ";
    if (ask.step != 0) text += fmt::format("{:>3}  ", ask.step);
    text += ask.what;
    if (ask.round > 1 && ask.sort != record::Ask::Sort::round) text += fmt::format(", round {}", ask.round);
    if (!ask.shows.empty()) text += fmt::format("  ({})", ask.shows);
    if (const auto of = how(ask.sort); !of.empty()) text += fmt::format("  {}", of);
    std::string taken = ask.given.empty() ? ask.expects : ask.given;
    if (taken.empty() && ask.sort == record::Ask::Sort::ticks) taken = "yes";
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

// False where it ends.
bool Session::ask(const record::Look& look, std::size_t at) {
    const record::Ask& ask = look.asks[at];
    if (ask.card != card_) {
        const card::Card& card = *sheet_.cards[ask.card - 1];
        terminal_.say(fmt::format("\ncard {} of {}  {}\n", ask.card, sheet_.cards.size(), card.head.title));
        card_ = ask.card;
        section_.clear();
        if (!compare_foot(ask.card)) return false;
    }
    if (ask.section != section_ && !ask.section.empty()) terminal_.say(fmt::format(" {}\n", ask.section));
    section_ = ask.section;
    show(ask);
    std::string typed;
    if (!line(typed)) return false;
    std::string word(base::trimmed(typed));
    if (word == "stop") {
        end_ = End::left;
        return false;
    }
    if (word == "?") {
        terminal_.say("  an answer; or `back`, `skip` (where it may stay open), `clear`, `list`, `stop` (what is "
                      "answered is kept); an empty line takes what "
                      "stands in brackets\n");
        return true;
    }
    if (word == "list") {
        list(look);
        return true;
    }
    if (word == "back") {
        for (std::size_t i = at; i > 0; --i) {
            const record::Ask& before = look.asks[i - 1];
            if (!before.answered && !passed_.contains(key_of(before))) continue;
            passed_.erase(key_of(before));
            again_ = key_of(before);
            return true;
        }
        terminal_.say("  this is the first one\n");
        return true;
    }
    again_.clear();
    if (word.empty()) {
        word = ask.given.empty() ? ask.expects : ask.given;
        if (word.empty() && ask.sort == record::Ask::Sort::ticks) word = "yes";
        if (ask.answered && !ask.complaint) { // it stands
            passed_.insert(key_of(ask));
            return true;
        }
    }
    if (word.empty() || word == "skip") {
        if (ask.required)
            terminal_.say("  this one has to be answered\n");
        else
            passed_.insert(key_of(ask));
        return true;
    }
    const auto taken = record::take(ask, word, sheet_);
    const record::Complaint* wrong = std::get_if<record::Complaint>(&taken);
    std::optional<record::Ask> then;
    if (wrong == nullptr) {
        // Tried first: what is wrong is not taken.
        record::Answers tried = without_notes(draft_.answers());
        for (const auto& [box, text] : std::get<record::Answers>(taken)) tried[box] = text;
        for (const record::Ask& each : record::look_over(sheet_, tried).asks)
            if (key_of(each) == key_of(ask) && each.round == ask.round) then = each;
        if (then && then->complaint && !then->complaint->lacking) wrong = &*then->complaint;
    }
    if (wrong != nullptr) {
        terminal_.say(fmt::format("  no: {}{}\n", wrong->text, wrong->help.empty() ? "" : "; " + wrong->help));
        again_ = key_of(ask);
        return true;
    }
    if (!put(std::get<record::Answers>(taken))) return false;
    passed_.insert(key_of(ask));
    if (then && !then->verdict.empty()) terminal_.say(fmt::format("       {}\n", then->verdict));
    return true;
}

Session::End Session::run() {
    terminal_.say("`?` says what can be typed besides an answer.\n");
    for (;;) {
        const record::Look look = record::look_over(sheet_, without_notes(draft_.answers()));
        std::size_t next = look.asks.size();
        for (std::size_t i = 0; i < look.asks.size() && next == look.asks.size(); ++i) {
            const record::Ask& each = look.asks[i];
            if (!again_.empty()) {
                if (key_of(each) == again_) next = i;
            } else if ((!each.answered && !passed_.contains(key_of(each))) ||
                       (each.complaint && !each.complaint->lacking)) {
                next = i;
            }
        }
        if (next == look.asks.size() && !again_.empty()) {
            again_.clear();
            continue;
        }
        if (next < look.asks.size()) {
            if (!ask(look, next)) return end_;
            continue;
        }
        // What does not belong to the way that was answered in the end goes.
        record::Answers gone;
        for (const auto& [box, wrong] : look.strangers) gone[box] = {};
        if (!gone.empty()) {
            terminal_.say(fmt::format("  {} that the answers no longer lead to were cleared\n",
                                      gone.size() == 1 ? "an answer" : fmt::format("{} answers", gone.size())));
            if (!put(gone)) return end_;
            continue;
        }
        if (!record::complaints(look).empty()) {
            passed_.clear(); // something that has to be answered was passed by on another way
            continue;
        }
        terminal_.say("\nwrite the record? [yes] > ");
        std::string typed;
        if (!line(typed)) return end_;
        const std::string word = base::small_letters(base::trimmed(typed));
        if (word.empty() || word == "y" || word == "yes") return End::done;
        if (word == "back" && !look.asks.empty()) {
            again_ = key_of(look.asks.back());
            continue;
        }
        if (word == "list") {
            list(look);
            continue;
        }
        if (word == "no" || word == "n" || word == "stop") return End::left;
    }
}

} // namespace benchleaf::driver
