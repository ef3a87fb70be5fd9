#include "record/asks.h"

#include "base/text.h"
#include "mechanics/date.h"
#include "record/judge.h"
#include "record/names.h"
#include "record/reports.h"

#include <algorithm>
#include <fmt/format.h>
#include <limits>
#include <set>
#include <utility>

namespace benchleaf::record {

namespace {

using card::Answered;

std::string without_stop(std::string text) {
    if (text.ends_with('.')) text.pop_back();
    return text;
}

// "1–3 5 9": of which steps the ticks are.
std::string steps_of(const std::vector<std::string>& ticks) {
    std::set<std::uint32_t> steps;
    for (const std::string& each : ticks) steps.insert(number_in(each));
    std::string all;
    for (auto at = steps.begin(); at != steps.end();) {
        const std::uint32_t first = *at;
        std::uint32_t last = first;
        while (++at != steps.end() && *at == last + 1) ++last;
        all += fmt::format("{}{}", all.empty() ? "" : " ", first);
        if (last != first) all += fmt::format("{}{}", last == first + 1 ? " " : "–", last);
    }
    return all;
}

// One card on its way.
class Walk {
public:
    // `everything`: as if every way were gone, for the names of all boxes. `halts_on`: the card on which what was written under “work stopped
    // here” ends the work; 0: none.
    Walk(const Sheet& sheet, const Answers& answers, std::size_t number, bool everything, std::size_t halts_on,
         Look& look, std::set<std::string>& known)
        : sheet_(sheet), answers_(answers), card_(*sheet.cards[number - 1]), number_(number), everything_(everything),
          halts_(halts_on == number), prefix_(prefix_of(sheet, number)), look_(look), known_(known) {}

    // False where the work ends with this card.
    bool walk() {
        find_stop();
        before();
        for (const card::Section& section : card_.sections) {
            if (section.bound && section.columns.size() > 1) {
                for (std::size_t column = 0; column < section.columns.size() && !stopped_; ++column)
                    rows(section, {column});
            } else {
                std::vector<std::size_t> all(section.columns.size());
                for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
                if (!stopped_) rows(section, all);
            }
        }
        steps_.shows = steps_of(steps_.names);
        put_ticks(std::move(steps_));
        findings();
        stop_strip();
        const bool closed = !stopped_ && !halted();
        if (closed) close_out();
        for (const card::ToTell& each : card_.close_out.to_tell)
            if (closed ? so(each.when) : was_set(each.recheck)) look_.later.push_back({number_, each});
        sign();
        if (stopped_) look_.stopped_for_good = true;
        return !stopped_ && !halted();
    }

private:
    using Columns = std::vector<std::size_t>;

    // On this card, before the work ended.
    bool was_set(const std::string& fastener) const {
        return std::any_of(look_.asks.begin(), look_.asks.end(), [&](const Ask& each) {
            return each.card == number_ && each.torque != nullptr && each.answered && each.item == fastener;
        });
    }

    // -- Boxes ------------------------------------------------------------------------------------------------------------------
    const std::string* in(std::string_view box) const {
        const auto found = answers_.find(box);
        return found == answers_.end() || found->second.empty() ? nullptr : &found->second;
    }
    bool ticked(std::string_view box) const { // "x", and nothing else: a `no` that somebody wrote there is none
        const std::string* text = in(box);
        return text != nullptr && (*text == "x" || *text == "X");
    }
    std::string box(const card::Row& row, std::string_view rest) const {
        return fmt::format("{}{}/{}", prefix_, row.name, rest);
    }

    Ask ask(Ask::Sort sort, std::string what) const {
        Ask made;
        made.sort = sort;
        made.card = number_;
        made.what = std::move(what);
        return made;
    }
    Ask ask(Ask::Sort sort, const card::Section& section, const card::Row& row, std::size_t column,
            std::string what) const {
        Ask made = ask(sort, std::move(what));
        made.step = row.number;
        made.row = &row;
        made.column = column;
        made.at = column < section.at.size() ? section.at[column] : std::string();
        made.section = section.title;
        if (const std::string& head = section.columns[column]; !head.empty()) {
            const bool sentence = made.what.ends_with('?') || made.what.ends_with('.');
            made.what = sentence ? side(made.at, head) + ": " + made.what : made.what + ", " + side(made.at, head);
        }
        return made;
    }
    static std::string side(const std::string& at, const std::string& head) { return at.empty() ? head : at; }

    void put(Ask made) {
        for (const std::string& each : made.boxes) known_.insert(each);
        if (waived(made) && !made.answered && (!made.complaint || made.complaint->lacking)) return;
        look_.asks.push_back(std::move(made));
    }
    // What is signed only at the end is not when the work was stopped half-way.
    bool waived(const Ask& made) const {
        static const std::set<std::string_view> all{"checked-by", "wrench", "gauge", "time", "line", "line-time"};
        return halted() && all.contains(made.closes);
    }
    bool halted() const { return look_.stopped_on == number_; }

    // The columns of a row that were worked before the work was stopped. From the step on that was to come next it is none; but in a section that is worked
    // down one column and then down the next, or in a repeat that was gone round, that may be behind it on the paper: there it is what is filled in.
    Columns before_stop(const card::Section& section, const card::Row& row, Columns columns) {
        if (!halted() || row.number < stopped_at_) return columns;
        const bool down = section.bound && section.columns.size() > 1 &&
                          std::any_of(section.rows.begin(), section.rows.end(),
                                      [&](const card::Row& each) { return each.number == stopped_at_; });
        const bool round = std::any_of(section.rows.begin(), section.rows.end(), [&](const card::Row& each) {
            const auto* repeat = std::get_if<card::Repeat>(&each.what);
            return repeat != nullptr && repeat->from <= stopped_at_ && row.number <= each.number &&
                   !filled_in(each, "round-").empty();
        });
        if (!down && !round) {
            look_.behind_stop.push_back(prefix_ + row.name + "/");
            return {};
        }
        std::erase_if(columns, [&](std::size_t column) {
            const auto boxes = filled_in(row, {});
            const std::string in_column = fmt::format("/{}", column + 1);
            return std::none_of(boxes.begin(), boxes.end(), [&](const std::string& each) {
                return each.ends_with(in_column) || each.find(in_column + "/") != std::string::npos;
            });
        });
        return columns;
    }
    // The boxes of a row that something stands in, by what follows the row's name.
    std::vector<std::string> filled_in(const card::Row& row, std::string_view with) const {
        const std::string name = prefix_ + row.name + "/";
        std::vector<std::string> all;
        for (auto at = answers_.lower_bound(name); at != answers_.end() && at->first.starts_with(name); ++at)
            if (!at->second.empty() && std::string_view(at->first).substr(name.size()).starts_with(with))
                all.push_back(at->first.substr(name.size() - 1));
        return all;
    }

    // A box with a text of its own.
    Ask words(std::string name, std::string what, bool required) const {
        Ask made = ask(Ask::Sort::words, std::move(what));
        made.boxes = {std::move(name)};
        made.required = required;
        if (const std::string* text = in(made.boxes.front())) {
            made.answered = true;
            made.given = *text;
        }
        return made;
    }
    Ask tick(std::string name, std::string what) const {
        Ask made = ask(Ask::Sort::tick, std::move(what));
        made.boxes = {std::move(name)};
        made.answered = ticked(made.boxes.front());
        if (made.answered) made.given = "yes";
        return made;
    }

    // -- Work stopped here --------------------------------------------------------------------------------------------------------
    void find_stop() {
        bool any = false;
        for (std::size_t i = 1; i <= card_.stop_strip.fields.size(); ++i)
            any = any || in(fmt::format("{}stopped/{}", prefix_, i)) != nullptr;
        if (!any || !halts_ || everything_) return;
        look_.stopped_on = number_;
        // "14", "step 14": from there on nothing is asked for.
        if (const std::string* at = in(fmt::format("{}stopped/3", prefix_))) stopped_at_ = only_number_in(*at);
        if (!has_step(stopped_at_)) stopped_at_ = std::numeric_limits<std::uint32_t>::max(); // which is told
    }
    bool has_step(std::uint32_t number) const {
        return number != 0 && std::any_of(card_.sections.begin(), card_.sections.end(), [number](const auto& section) {
                   return std::any_of(section.rows.begin(), section.rows.end(),
                                      [number](const card::Row& row) { return row.number == number; });
               });
    }

    // Asked for once one of it is filled in.
    void stop_strip() {
        bool any = false;
        for (std::size_t i = 1; i <= card_.stop_strip.fields.size(); ++i) {
            known_.insert(fmt::format("{}stopped/{}", prefix_, i));
            any = any || in(fmt::format("{}stopped/{}", prefix_, i)) != nullptr;
        }
        if (!any && !everything_) return;
        for (std::size_t i = 1; i <= card_.stop_strip.fields.size(); ++i) {
            Ask made = words(fmt::format("{}stopped/{}", prefix_, i),
                             card_.stop_strip.title + ": " + card_.stop_strip.fields[i - 1], halted());
            made.closes = "stopped";
            if (i == 1) made.sort = Ask::Sort::date;
            if (i == 2) made.sort = Ask::Sort::time;
            judge_text(sheet_, made);
            if (i == 3 && made.answered && !has_step(only_number_in(made.given)))
                made.complaint = found::no_step(made.given);
            put(std::move(made));
        }
    }

    // -- Before you start -----------------------------------------------------------------------------------------------------------
    void before() {
        Ask made = ask(Ask::Sort::ticks, "before you start");
        const auto add = [&](const std::vector<std::string>& texts, std::string_view name) {
            for (std::size_t i = 0; i < texts.size(); ++i) {
                made.boxes.push_back(fmt::format("{}before/{}-{}", prefix_, name, i + 1));
                made.names.push_back(std::to_string(made.names.size() + 1));
                made.step_texts.push_back("before you start: " + texts[i]);
                made.shows += fmt::format("{}{} {}", made.shows.empty() ? "" : " · ", made.names.back(), texts[i]);
            }
        };
        add(card_.before.states, "state");
        add(card_.before.protection, "protection");
        put_ticks(std::move(made));
        open();
    }

    // What is not answered stays open.
    void open() {
        const card::OpenList& all = card_.before.open;
        for (std::size_t i = 0; i < all.lines.size(); ++i) {
            Ask made = ask(Ask::Sort::done, with_plain_blanks(all.lines[i].what + " · " + all.lines[i].visit));
            made.earlier = &all.lines[i];
            made.required = false;
            made.boxes = {fmt::format("{}open/{}/done", prefix_, i + 1),
                          fmt::format("{}open/{}/still", prefix_, i + 1)};
            made.names = {"done", "still open"};
            const bool done = ticked(made.boxes[0]);
            const bool still = ticked(made.boxes[1]);
            made.answered = done != still;
            if (made.answered) made.yes = done;
            if (made.answered) made.given = made.names[done ? 0 : 1];
            if (done && still) made.complaint = found::two_answers(made.what);
            put(std::move(made));
        }
    }

    void put_ticks(Ask made) {
        if (made.boxes.empty()) return;
        made.required = false;
        std::string open;
        for (std::size_t i = 0; i < made.boxes.size(); ++i) {
            if (ticked(made.boxes[i]))
                made.answered = true;
            else
                open += (open.empty() ? "" : " ") + made.names[i];
        }
        if (made.answered) made.given = open.empty() ? "yes" : open;
        if (made.answered && !open.empty()) made.verdict = "not ticked: " + open;
        put(std::move(made));
    }

    // -- Which way was gone -------------------------------------------------------------------------------------------------------
    // The answer to a question for a value of the axis: its own there, or the one for all.
    struct Way {
        std::optional<bool> yes;
        bool over = false;
    };
    const Way* way(std::uint32_t step, const std::string& at) const {
        auto found = ways_.find({step, at});
        if (found == ways_.end()) found = ways_.find({step, {}});
        return found == ways_.end() ? nullptr : &found->second;
    }
    bool holds(const Answered& each, const std::string& at) const {
        const Way* gone = way(each.step, at);
        if (gone == nullptr) return false;
        switch (each.how) {
        case Answered::How::yes:
            return gone->yes == true;
        case Answered::How::no:
            return gone->yes == false;
        case Answered::How::over:
            return gone->over;
        }
        return false;
    }
    bool reached(const card::Row& row, const std::string& at) const {
        return everything_ || std::all_of(row.reached.begin(), row.reached.end(),
                                          [&](const Answered& each) { return holds(each, at); });
    }

    // -- Sections -----------------------------------------------------------------------------------------------------------------
    void rows(const card::Section& section, const Columns& columns) {
        if (everything_) steps_ = ask(Ask::Sort::ticks, section.title.empty() ? "steps" : section.title);
        if (everything_) steps_.section = section.title;
        for (const card::Row& row : section.rows) {
            if (stopped_) break;
            if (row.number == 0) continue;
            Columns on; // that it was worked in
            for (const std::size_t column : columns)
                if (std::holds_alternative<card::Stop>(row.what) || (column < row.marks.size() && row.marks[column]))
                    if (reached(row, section.at[column])) on.push_back(column);
            on = before_stop(section, row, std::move(on));
            if (on.empty()) continue;
            for (const std::size_t column : on) look_.worked.push_back({number_, &row, column});
            std::visit([&](const auto& what) { work(section, row, on, what); }, row.what);
        }
        if (everything_) put_ticks(std::exchange(steps_, {}));
    }

    // "5", "5-left", "35.2-left": of the ticks of a step's fasteners the second one, which `which` says in words.
    void add_tick(const card::Section& section, const card::Row& row, std::size_t column, std::string box,
                  std::size_t fastener = 0, const std::string& which = {}) {
        std::string name = std::to_string(row.number);
        if (fastener != 0) name += "." + std::to_string(fastener);
        std::string of = side(section.at[column], section.columns[column]);
        std::replace(of.begin(), of.end(), ' ', '-');
        if (!of.empty()) name += "-" + of;
        if (steps_.boxes.empty() && !everything_) steps_ = ask(Ask::Sort::ticks, "the other steps");
        steps_.closes = "steps";
        steps_.boxes.push_back(std::move(box));
        const auto* step = std::get_if<card::Step>(&row.what);
        const std::string head = side(section.at[column], section.columns[column]);
        steps_.step_texts.push_back(fmt::format("{}. {}{}{}", row.number,
                                                step == nullptr ? "" : without_stop(step->text), which,
                                                head.empty() ? "" : ", " + head));
        steps_.names.push_back(std::move(name));
    }

    void work(const card::Section& section, const card::Row& row, const Columns& on, const card::Step& step) {
        const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel);
        const bool critical = torques != nullptr && std::any_of(torques->begin(), torques->end(),
                                                                [](const card::Torque& each) { return each.initials; });
        for (const std::size_t column : on) {
            if (critical) continue; // with its torque
            if (step.renews.empty()) {
                add_tick(section, row, column, box(row, fmt::format("tick/{}", column + 1)));
                continue;
            }
            // Whether it is a new part decides from where its wear counts.
            Ask made = ask(Ask::Sort::tick, section, row, column, step.text);
            made.boxes = {box(row, fmt::format("tick/{}", column + 1))};
            made.answered = ticked(made.boxes.front());
            if (made.answered) made.given = "yes";
            put(std::move(made));
        }
        if (torques != nullptr)
            for (const std::size_t column : on)
                for (std::size_t i = 0; i < torques->size(); ++i) torque(section, row, column, step, (*torques)[i], i);
        if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel))
            for (const std::size_t column : on)
                for (std::size_t i = 0; i < readings->size(); ++i)
                    reading(section, row, column, step, (*readings)[i], i);
        if (const auto* grades = std::get_if<card::Grades>(&step.panel))
            for (const std::size_t column : on) grade(section, row, column, *grades);
        if (const auto* note = std::get_if<card::Note>(&step.panel))
            for (const std::size_t column : on) {
                Ask made = ask(Ask::Sort::words, section, row, column,
                               note->text.empty()    ? step.text
                               : step.renews.empty() ? note->text
                                                     : without_stop(step.text) + ": " + note->text);
                made.boxes = {box(row, fmt::format("note/{}", column + 1))};
                made.required = step.renews.empty();
                // Of one set both sides are mostly of one batch.
                if (!step.renews.empty() && column != on.front())
                    if (const std::string* first = in(box(row, fmt::format("note/{}", on.front() + 1))))
                        made.expects = *first;
                if (const std::string* text = in(made.boxes.front())) {
                    made.answered = true;
                    made.given = *text;
                }
                put(std::move(made));
            }
        if (step.second_check)
            for (const std::size_t column : on) second_check(section, row, column, step);
    }

    // The rounds of a repeat have further boxes: `/again-2` is for the second time once more. Where there is one for the last of many, it is
    // `/again-1`.
    static std::string again(const card::Step& step, std::uint32_t round) {
        if (round == 0) return {};
        return fmt::format("/again-{}", step.again.boxes == 1 ? 1 : round);
    }

    // -- Torques ------------------------------------------------------------------------------------------------------------------
    struct TorqueTick {
        std::string box;
        std::string which; // ", the 2. of round 2"
    };
    static std::vector<TorqueTick> ticks_of(const card::Torque& torque, const std::string& name, std::size_t column) {
        std::vector<TorqueTick> all;
        const auto fasteners = [&](const std::string& of, std::uint32_t rounds, const std::string& stage) {
            for (std::uint32_t round = 1; round <= rounds; ++round)
                for (std::uint32_t i = 1; i <= torque.fasteners; ++i)
                    all.push_back(
                        {round == 1 ? fmt::format("{}/{}/{}", of, column + 1, i)
                                    : fmt::format("{}/round-{}/{}/{}", of, round, column + 1, i),
                         fmt::format(", the {}.", i) + (rounds == 1 ? stage : fmt::format(" of round {}", round))});
        };
        if (!torque.stages.empty()) {
            for (std::size_t i = 1; i <= torque.stages.size(); ++i) {
                const std::string stage = fmt::format("{}/stage-{}", name, i);
                if (torque.fasteners > 1)
                    fasteners(stage, 1, fmt::format(" of stage {}", i));
                else
                    all.push_back({fmt::format("{}/{}", stage, column + 1), fmt::format(", stage {}", i)});
            }
        } else if (torque.fasteners > 1) {
            fasteners(name + "/fastener", torque.rounds, "");
        }
        return all;
    }

    void torque(const card::Section& section, const card::Row& row, std::size_t column, const card::Step& step,
                const card::Torque& torque, std::size_t index) {
        const std::string name = box(row, fmt::format("torque-{}", index + 1));
        std::vector<TorqueTick> ticks = ticks_of(torque, name, column);
        std::string shows = torque.value + " " + torque.unit;
        if (!torque.tolerance.empty()) shows += " " + torque.tolerance;
        shows = with_plain_blanks(std::move(shows));
        const auto its = [&](Ask made) {
            made.torque = &torque;
            made.item = torque.item;
            made.shows = shows;
            return made;
        };
        if (torque.initials) {
            Ask made = its(ask(Ask::Sort::tick, section, row, column, torque.name));
            made.boxes.push_back(box(row, fmt::format("tick/{}", column + 1)));
            made.step_texts.push_back(made.what);
            for (const TorqueTick& each : ticks) {
                made.boxes.push_back(each.box);
                made.step_texts.push_back(made.what + each.which);
            }
            made.signs = fmt::format("{}/initials/{}", name, column + 1);
            const auto set = static_cast<std::size_t>(std::count_if(
                made.boxes.begin(), made.boxes.end(), [&](const std::string& each) { return ticked(each); }));
            made.answered = set == made.boxes.size();
            if (made.answered) made.given = "yes";
            if (!made.answered) made.complaint = found::critical_not_ticked(torque.name, set, made.boxes.size());
            put(std::move(made));
        } else {
            for (const TorqueTick& each : ticks) known_.insert(each.box);
            for (std::size_t i = 0; i < ticks.size(); ++i)
                add_tick(section, row, column, ticks[i].box, i + 1, ticks[i].which);
        }
        times(step, [&](std::uint32_t round) {
            if (torque.value_box) {
                Ask made = its(ask(Ask::Sort::value, section, row, column, torque.name));
                made.boxes = {fmt::format("{}/value/{}{}", name, column + 1, again(step, round))};
                made.unit = torque.unit;
                made.round = round + 1;
                judge_value(in(made.boxes.front()), made);
                put_round(std::move(made), row, round);
            }
            if (torque.initials) {
                Ask made = its(ask(Ask::Sort::initials, section, row, column, torque.name + ": done by"));
                made.boxes = {fmt::format("{}/initials/{}{}", name, column + 1, again(step, round))};
                made.round = round + 1;
                initials(made);
                if (made.answered && !made.complaint)
                    did_[{row.number, column, round}].insert(bare_initials(made.given));
                put_round(std::move(made), row, round);
            }
        });
    }

    // The first time, and the rounds that were gone.
    template <class F>
    void times(const card::Step& step, F f) {
        f(0);
        for (std::uint32_t round = 1; round <= step.again.boxes; ++round) f(round);
    }

    // Of a further round: asked for when the repeat was answered no.
    void put_round(Ask made, const card::Row& row, std::uint32_t round) {
        if (round == 0 || everything_) {
            put(std::move(made));
            return;
        }
        later_[row.number].push_back({round, std::move(made)}); // no box of a round that was not gone is asked for
    }

    void initials(Ask& made) const {
        if (const std::string* text = in(made.boxes.front())) {
            made.answered = true;
            made.given = *text;
        }
        judge_initials(sheet_, made);
    }

    void second_check(const card::Section& section, const card::Row& row, std::size_t column, const card::Step& step) {
        times(step, [&](std::uint32_t round) {
            Ask made = ask(Ask::Sort::initials, section, row, column, fmt::format("step {}: second check", row.number));
            made.boxes = {box(row, fmt::format("second-check/{}{}", column + 1, again(step, round)))};
            made.round = round + 1;
            made.closes = "second-check";
            initials(made);
            const auto did = did_.find({row.number, column, round});
            if (did == did_.end() && made.answered)
                checked_.emplace(made.boxes.front(), Checked{row.number, !step.second_check_time.empty()});
            const bool own = did != did_.end() && did->second.contains(bare_initials(made.given));
            // What the shop says counts, not what the paper was printed by.
            if (made.answered && !made.complaint && own && (step.second_check_time.empty() || !works_alone()))
                made.complaint = found::checked_own_work(sheet_.shop, made.given, row.number);
            if (own && !step.second_check_time.empty()) made.verdict = "not independent";
            const bool answered = made.answered;
            put_round(std::move(made), row, round);
            if (step.second_check_time.empty()) return;
            Ask time = ask(Ask::Sort::time, section, row, column, fmt::format("step {}: second check at", row.number));
            time.boxes = {box(row, fmt::format("second-check-time/{}{}", column + 1, again(step, round)))};
            time.round = round + 1;
            time.closes = "second-check-time";
            time.required = !answered || own;
            if (const std::string* text = in(time.boxes.front())) {
                time.answered = true;
                time.given = *text;
            }
            judge_text(sheet_, time);
            put_round(std::move(time), row, round);
        });
    }

    // -- Readings -----------------------------------------------------------------------------------------------------------------
    void reading(const card::Section& section, const card::Row& row, std::size_t column, const card::Step& step,
                 const card::Reading& reading, std::size_t index) {
        if (!reading.marks.empty() && !reading.marks[column]) return;
        const std::string name = box(row, fmt::format("reading-{}/{}", index + 1, column + 1));
        times(step, [&](std::uint32_t round) {
            std::string what = reading.name;
            if (!reading.column_note.empty()) what += ", " + reading.column_note;
            Ask made = ask(Ask::Sort::reading, section, row, column, std::move(what));
            made.reading = &reading;
            made.item = reading.held.item;
            made.at = column < reading.held.at.size() ? reading.held.at[column] : std::string();
            made.unit = reading.unit;
            made.round = round + 1;
            if (column < reading.held.keep.size()) made.keep = reading.held.keep[column];
            made.shows = shown(reading, made.keep);
            if (reading.points > 1 && round == 0) {
                made.sort = Ask::Sort::points;
                for (std::uint32_t i = 1; i <= reading.points; ++i) made.boxes.push_back(fmt::format("{}/{}", name, i));
                if (!reading.worst.empty()) made.boxes.push_back(name + "/worst");
            } else {
                made.boxes = {name + again(step, round)};
            }
            std::vector<const std::string*> given;
            for (const std::string& each : made.boxes) given.push_back(in(each));
            judge_reading(given, made);
            if (round == 0 && made.answered && !made.complaint)
                note(made);
            else if (round == 0)
                unread_.emplace(made.reading->held.limit, made.item, made.at);
            put_round(std::move(made), row, round);
        });
    }

    static std::string shown(const card::Reading& reading, const std::optional<units::Quantity>& keep) {
        std::string all = reading.limit;
        const auto add = [&all](const std::string& part) {
            if (part.empty()) return;
            all += (all.empty() ? "" : " · ") + part;
        };
        if (keep)
            add((reading.held.minimum ? "keep ≥ " : "keep ≤ ") + units::print(*keep, plain));
        else
            add(reading.keep);
        add(reading.last);
        add(reading.expected);
        return with_plain_blanks(std::move(all));
    }

    // For what decides later on: the last round of each.
    void note(const Ask& made) {
        read_[{made.reading->held.limit, made.item, made.at}] = {made.reading, made.sizes, made.held,
                                                                 made.sizes.empty()};
    }

    void grade(const card::Section& section, const card::Row& row, std::size_t column, const card::Grades& grades) {
        const std::size_t things = std::max<std::size_t>(1, grades.of.size());
        for (std::size_t i = 0; i < things; ++i) {
            const auto* step = std::get_if<card::Step>(&row.what);
            Ask made = ask(Ask::Sort::grade, section, row, column, grades.of.empty() ? step->text : grades.of[i]);
            made.item = i < grades.items.size() ? grades.items[i] : std::string();
            for (std::size_t word = 1; word <= grades.words.size(); ++word)
                made.boxes.push_back(grades.of.empty()
                                         ? box(row, fmt::format("grade-{}/{}", word, column + 1))
                                         : box(row, fmt::format("graded-{}/grade-{}/{}", i + 1, word, column + 1)));
            std::size_t count = 0;
            for (std::size_t word = 0; word < made.boxes.size(); ++word) {
                if (!ticked(made.boxes[word])) continue;
                ++count;
                made.grade = static_cast<model::Grade>(word);
                made.given = grade_words[word];
            }
            made.answered = count == 1;
            if (count > 1) {
                made.complaint = found::two_answers(made.what);
                made.grade.reset();
            }
            if (made.grade) {
                auto& worst = looked_at_[{row.number, made.at}];
                worst = std::max(worst, *made.grade);
            }
            put(std::move(made));
        }
    }

    // -- Questions ----------------------------------------------------------------------------------------------------------------
    void work(const card::Section& section, const card::Row& row, const Columns& on, const card::Question& question) {
        for (const std::size_t column : on) {
            Ask made = ask(Ask::Sort::yes_no, section, row, column, question.text);
            made.boxes = {box(row, fmt::format("yes/{}", column + 1)), box(row, fmt::format("no/{}", column + 1))};
            const bool yes = ticked(made.boxes[0]);
            const bool no = ticked(made.boxes[1]);
            made.answered = yes != no;
            if (yes && no) made.complaint = found::two_answers(question.text);
            if (made.answered) {
                made.yes = yes;
                made.given = yes ? "yes" : "no";
                made.verdict = yes ? question.yes_goes : question.no_goes;
            }
            decide(question.decided_by, section.bound ? made.at : std::string(), made);
            if (made.answered && !made.complaint)
                ways_[{row.number, section.bound || on.size() > 1 ? made.at : std::string()}].yes = yes;
            put(std::move(made));
        }
    }

    void decide(const std::vector<card::DecidedBy>& by, const std::string& at, Ask& made) const {
        if (by.empty()) return;
        // What was not read, or not well, was said there, and nothing follows from the rest.
        const bool unread = std::any_of(unread_.begin(), unread_.end(), [&](const auto& reading) {
            const std::string& its = std::get<2>(reading);
            if (!at.empty() && !its.empty() && at != its) return false;
            return std::any_of(by.begin(), by.end(),
                               [&](const auto& each) { return each.limit == std::get<0>(reading); });
        });
        if (unread) return;
        std::string why;
        const std::optional<bool> right = right_answer(by, at, why);
        if (!right) {
            if (made.answered && *made.yes) made.complaint = found::nothing_says_so(why);
            return;
        }
        made.expects = *right ? "yes" : "no";
        made.shows = why;
        if (made.answered && *made.yes != *right) made.complaint = found::answer_contradicts(*right, why);
    }

    // From the readings and inspections; nothing where one of them is missing. `why`: the worst of them, or what is missing.
    std::optional<bool> right_answer(const std::vector<card::DecidedBy>& by, const std::string& at,
                                     std::string& why) const {
        bool good = true;
        bool reads = false;
        std::string looks; // "step 6 advises"
        const auto bad = [&](std::string reason) {
            if (good) why = std::move(reason);
            good = false;
        };
        for (const card::DecidedBy& each : by) {
            bool any = false;
            if (each.inspection != 0) {
                for (const auto& [key, grade] : looked_at_) {
                    if (key.first != each.inspection || (!at.empty() && !key.second.empty() && key.second != at))
                        continue;
                    any = true;
                    if (looks.empty()) looks = "all that was looked at is good";
                    if (grade == model::Grade::advise)
                        looks = fmt::format("step {} advises, and does not say act now", each.inspection);
                    if (grade == model::Grade::act_now) bad(fmt::format("step {} says act now", each.inspection));
                }
                if (!any) why = fmt::format("step {} was not looked at", each.inspection);
            } else {
                std::vector<units::Quantity> sizes;
                const card::Reading* reading = nullptr;
                for (const auto& [key, read] : read_) {
                    if (std::get<0>(key) != each.limit) continue;
                    reading = read.reading;
                    any = reads = true;
                    sizes.insert(sizes.end(), read.sizes.begin(), read.sizes.end());
                    if (!at.empty() && !std::get<2>(key).empty() && std::get<2>(key) != at) continue;
                    if (read.missing) bad(said_of(*read.reading, std::get<2>(key)) + ": not read");
                    if (read.held && *read.held != mechanics::Verdict::within)
                        bad(fmt::format("{}: {}", said_of(*read.reading, std::get<2>(key)), verdict_words(*read.held)));
                }
                if (any && reading->held.difference && !differ_by_at_most(sizes, *reading->held.difference))
                    bad(fmt::format("{}: they differ by more than {}", reading->name,
                                    units::print(*reading->held.difference, plain)));
                if (!any) why = fmt::format("`{}` was not read", each.limit);
            }
            if (!any) return std::nullopt;
        }
        if (good) why = !reads ? looks : looks.empty() ? "all readings are good" : "all readings are good; " + looks;
        return good;
    }

    static std::string said_of(const card::Reading& reading, const std::string& at) {
        std::string text = reading.name;
        if (!reading.column_note.empty()) text += ", " + reading.column_note;
        if (!at.empty()) text += ", " + at;
        return text;
    }

    void work(const card::Section& section, const card::Row& row, const Columns& on, const card::Repeat& repeat) {
        for (const std::size_t column : on) {
            const std::string at = section.at[column];
            Way& gone = ways_[{row.number, section.bound || on.size() > 1 ? at : std::string()}];
            // Each no leads round once more; the boxes of that round come before the next answer.
            const std::string yes_box = box(row, fmt::format("yes/{}", column + 1));
            std::uint32_t rounds = 0;
            while (rounds < repeat.rounds && !everything_ &&
                   ticked(box(row, fmt::format("round-{}/{}", rounds + 1, column + 1))))
                ++rounds;
            for (std::uint32_t round = 0; round <= rounds; ++round) {
                if (round > 0 && (section.bound || column == on.front()))
                    put_later(repeat.from, row.number, section.bound ? std::optional(column) : std::nullopt, round,
                              rounds);
                Ask made = ask(Ask::Sort::round, section, row, column, repeat.text);
                const bool last = round == repeat.rounds;
                made.round = round + 1; // of those that were gone: out of their turn they are astray
                made.boxes = {yes_box, last ? box(row, fmt::format("over/{}", column + 1))
                                            : box(row, fmt::format("round-{}/{}", round + 1, column + 1))};
                if (everything_)
                    for (std::uint32_t i = 2; i <= repeat.rounds; ++i)
                        made.boxes.push_back(box(row, fmt::format("round-{}/{}", i, column + 1)));
                const bool no = round < rounds || (last && ticked(made.boxes[1]));
                const bool yes = !no && ticked(yes_box);
                made.answered = yes || no;
                if (made.answered) {
                    made.yes = yes;
                    made.given = yes ? "yes" : "no";
                    made.verdict = yes    ? repeat.yes_goes
                                   : last ? repeat.otherwise
                                          : fmt::format("again from step {}", repeat.from);
                }
                if (round == rounds && no && ticked(yes_box)) made.complaint = found::two_answers(repeat.text);
                // What was read in a round counts from the next answer on.
                if (round == rounds) decide(repeat.decided_by, section.bound ? at : std::string(), made);
                if (made.answered && !made.complaint) {
                    gone.yes = yes;
                    gone.over = last && no;
                }
                put(std::move(made));
            }
            if (everything_ || rounds == repeat.rounds) known_.insert(box(row, fmt::format("over/{}", column + 1)));
        }
    }

    void put_later(std::uint32_t from, std::uint32_t to, std::optional<std::size_t> column, std::uint32_t round,
                   std::uint32_t rounds) {
        for (std::uint32_t step = from; step < to; ++step) {
            const auto found = later_.find(step);
            if (found == later_.end()) continue;
            for (auto& [of, made] : found->second) {
                const auto* what = std::get_if<card::Step>(&made.row->what);
                const bool only_last = what->again.boxes == 1 && what->again.rounds > 1;
                const bool its = only_last ? round == rounds : of == round;
                if (!its || (column && made.column != *column)) continue;
                if (made.reading != nullptr && made.answered && !made.complaint) note(made);
                put(made);
            }
        }
    }

    void work(const card::Section&, const card::Row&, const Columns&, const card::Stop&) { stopped_ = !everything_; }
    static void work(const card::Section&, const card::Row&, const Columns&, const card::Branch&) {}

    // -- After the work -----------------------------------------------------------------------------------------------------------
    void findings() {
        const auto lines = [&](std::string_view name, const std::string& what, const std::string& closes) {
            if (what.empty()) return;
            for (int i = 1; i <= 12; ++i) {
                Ask made = words(fmt::format("{}findings/{}/{}", prefix_, name, i), what, false);
                made.closes = closes;
                known_.insert(made.boxes.front());
                if (i > 1 && !made.answered) continue;
                put(std::move(made));
            }
        };
        lines("also", card_.findings.also_found, "also");
        lines("declined", card_.findings.declined, "declined");
    }

    bool so(const std::vector<std::vector<Answered>>& when) const {
        if (when.empty() || everything_) return true;
        return std::any_of(when.begin(), when.end(), [&](const auto& all) {
            return std::all_of(all.begin(), all.end(), [&](const Answered& each) {
                return std::any_of(ways_.begin(), ways_.end(), [&](const auto& gone) {
                    return gone.first.first == each.step && holds(each, gone.first.second);
                });
            });
        });
    }

    void close_out() {
        const auto& lines = card_.close_out.lines;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const std::string name = fmt::format("{}close-out/{}", prefix_, i + 1);
            const bool is_so = so(lines[i].when);
            const std::size_t blanks = count_blanks(lines[i].field);
            known_.insert(name);
            for (std::size_t k = 1; k <= blanks; ++k) known_.insert(fmt::format("{}/{}", name, k));
            if (!is_so) continue;
            Ask made = tick(name, lines[i].text);
            made.closes = "line";
            if (!made.answered) made.complaint = found::not_closed_out(lines[i].text);
            put(std::move(made));
            if (blanks == 0) continue;
            Ask field = ask(Ask::Sort::time, lines[i].field);
            field.closes = "line-time";
            field.required = false;
            bool all = true;
            for (std::size_t k = 1; k <= blanks; ++k) {
                field.boxes.push_back(fmt::format("{}/{}", name, k));
                const std::string* text = in(field.boxes.back());
                all = all && text != nullptr;
                if (text != nullptr) field.given += (field.given.empty() ? "" : ":") + *text;
            }
            field.answered = all;
            if (all) judge_text(sheet_, field);
            put(std::move(field));
        }
    }

    static std::size_t count_blanks(std::string_view field) {
        std::size_t count = 0;
        for (std::size_t i = 0; i < field.size(); ++i)
            if (field[i] == '_' && (i == 0 || field[i - 1] != '_')) ++count;
        return count;
    }

    void sign() {
        static constexpr std::string_view closes[] = {"done-by", "checked-by", "wrench", "gauge", "date", "time"};
        bool checks = false, sets = false, reads = false;
        for (const Ask& each : look_.asks) {
            if (each.card != number_) continue;
            checks = checks || each.closes == "second-check";
            sets = sets || each.torque != nullptr;
            reads = reads || each.reading != nullptr;
        }
        for (std::size_t i = 0; i < card_.close_out.signatures.size() && i < std::size(closes); ++i) {
            Ask made = words(fmt::format("{}sign-off/{}", prefix_, i + 1), card_.close_out.signatures[i], false);
            made.closes = closes[i];
            const bool ended = stopped_ || halted();
            if (i == 0 || i == 4) made.required = true;
            if (i == 1) made.required = checks && !ended;
            if (i == 2) made.required = sets && !ended && has_wrenches();
            if (i == 0 || i == 1) made.sort = Ask::Sort::initials;
            if (i == 2) made.expects = serials();
            if (i == 4) made.sort = Ask::Sort::date;
            if (i == 4 && sheet_.job->date) made.expects = mechanics::print(sheet_.job->date->value);
            if (i == 5) made.sort = Ask::Sort::time;
            known_.insert(made.boxes.front());
            const bool asked_for = i == 1 ? checks : i == 2 ? sets : i == 3 ? reads : true;
            if (!asked_for && !made.answered && !everything_) continue;
            if (made.sort == Ask::Sort::initials) {
                if (made.answered || made.required) judge_signature(sheet_, made);
                if (i == 0) {
                    done_by_ = made.given;
                    judge_checks_of_own();
                }
                if (i == 1 && made.answered && !made.complaint &&
                    bare_initials(made.given) == bare_initials(done_by_) && !works_alone())
                    made.complaint = found::checked_own_work(sheet_.shop, made.given, 0);
            } else {
                judge_text(sheet_, made);
                if (i == 4 && made.answered && !made.complaint) judge_signed_before_stop(made);
                if (i == 2 && !made.complaint) judge_wrenches(sheet_, set_here(), signed_on(), made);
                if (i == 5 && !made.complaint) doubt_what_came_later(made);
            }
            put(std::move(made));
        }
    }

    // Over midnight that may be.
    void doubt_what_came_later(Ask& signed_at) const {
        const auto at = time_of(signed_at.given);
        for (const Ask& each : look_.asks) {
            const auto later =
                each.sort == Ask::Sort::time && each.card == number_ ? time_of(each.given) : std::nullopt;
            if (!at || !later || *later <= *at) continue;
            signed_at.doubt = fmt::format("{} was later, {}", each.what, *later);
            return;
        }
    }

    // On this sheet, or on the one that is gone on with.
    void judge_signed_before_stop(Ask& made) const {
        const std::string* stopped = in(fmt::format("{}stopped/1", prefix_));
        auto day = stopped != nullptr ? mechanics::parse_date(*stopped) : std::nullopt;
        if (stopped == nullptr && sheet_.stopped && number_ >= sheet_.stopped->second) day = sheet_.stopped->first;
        const auto signed_day = mechanics::parse_date(made.given);
        if (day && signed_day && *signed_day < *day)
            made.complaint = found::signed_before_stop(made.given, mechanics::print(*day));
    }

    // Where a step has no box for who did it, it is who signs for the work.
    void judge_checks_of_own() {
        const std::string own = bare_initials(done_by_);
        if (own.empty()) return;
        for (Ask& each : look_.asks) {
            const auto checked = each.boxes.empty() ? checked_.end() : checked_.find(each.boxes.front());
            if (checked == checked_.end() || each.card != number_ || bare_initials(each.given) != own) continue;
            if (checked->second.later) each.verdict = "not independent";
            if (!each.complaint && (!checked->second.later || !works_alone()))
                each.complaint = found::checked_own_work(sheet_.shop, each.given, checked->second.step);
        }
    }

    bool works_alone() const {
        return sheet_.shop->second_check && sheet_.shop->second_check->value == model::SecondCheck::same_person_later;
    }
    bool has_wrenches() const { return sheet_.shop->wrenches && !sheet_.shop->wrenches->value.empty(); }
    // Torques of the card that were set.
    std::vector<const card::Torque*> set_here() const {
        std::vector<const card::Torque*> all;
        for (const Worked& each : look_.worked) {
            const auto* step = std::get_if<card::Step>(&each.row->what);
            if (step == nullptr || each.card != number_) continue;
            if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step->panel))
                for (const card::Torque& torque : *torques) all.push_back(&torque);
        }
        return all;
    }
    std::optional<mechanics::Date> signed_on() const {
        const std::string* date = in(fmt::format("{}sign-off/5", prefix_));
        return date == nullptr ? std::nullopt : mechanics::parse_date(*date);
    }
    // Of the wrenches that the card says.
    std::string serials() const {
        std::string all;
        if (!has_wrenches()) return all;
        for (const auto& wrench : sheet_.shop->wrenches->value) {
            if (!wrench.value.serial) continue;
            const std::string& name = wrench.value.name ? wrench.value.name->value : wrench.id.value;
            const bool used = std::any_of(look_.asks.begin(), look_.asks.end(), [&](const Ask& each) {
                if (each.card != number_ || each.torque == nullptr) return false;
                const auto& stages = each.torque->stage_wrenches;
                return each.torque->wrench == name || std::find(stages.begin(), stages.end(), name) != stages.end();
            });
            if (used) all += (all.empty() ? "" : ", ") + wrench.value.serial->value;
        }
        return all;
    }

    struct Read {
        const card::Reading* reading = nullptr;
        std::vector<units::Quantity> sizes;
        std::optional<mechanics::Verdict> held;
        bool missing = false; // it says why
    };

    const Sheet& sheet_;
    const Answers& answers_;
    const card::Card& card_;
    std::size_t number_;
    bool everything_;
    bool halts_;
    std::string prefix_;
    Look& look_;
    std::set<std::string>& known_;
    bool stopped_ = false;
    std::uint32_t stopped_at_ = 0;
    std::string done_by_;
    struct Checked {
        std::uint32_t step;
        bool later; // by the same person
    };
    std::map<std::string, Checked> checked_; // by box: second checks of what nobody put his initials to
    Ask steps_;                              // ticks that nothing rests on: asked for once a card
    std::map<std::pair<std::uint32_t, std::string>, Way> ways_;              // by step and value of the axis
    std::map<std::tuple<std::string, std::string, std::string>, Read> read_; // by limit, item and value
    std::set<std::tuple<std::string, std::string, std::string>> unread_; // of which the reading is missing, or no good
    std::map<std::pair<std::uint32_t, std::string>, model::Grade> looked_at_; // by step and value: the worst
    std::map<std::tuple<std::uint32_t, std::size_t, std::uint32_t>, std::set<std::string>>
        did_;                                                                   // by step, column and round
    std::map<std::uint32_t, std::vector<std::pair<std::uint32_t, Ask>>> later_; // by step: of further rounds
};

} // namespace

namespace {

Look walk(const Sheet& sheet, const Answers& answers, bool everything, std::size_t halts_on,
          std::set<std::string>& known) {
    Look look;
    for (std::size_t number = 1; number <= sheet.cards.size(); ++number)
        if (!Walk(sheet, answers, number, everything, halts_on, look, known).walk() && !everything) break;
    return look;
}

bool says_stopped(const Sheet& sheet, const Answers& answers, std::size_t card) {
    const std::vector<std::string> boxes = stop_boxes(sheet, card);
    return std::any_of(boxes.begin(), boxes.end(), [&](const std::string& box) {
        const auto found = answers.find(box);
        return found != answers.end() && !found->second.empty();
    });
}

// The card on which the work ended half-way, 0: on none. Where it was stopped and then gone on with, all that comes after that is there, ticks and signatures
// as well, up to where it was stopped the next time.
std::size_t halts_on(const Sheet& sheet, const Answers& answers, Stops stops) {
    std::vector<std::size_t> cards;
    for (std::size_t card = 1; card <= sheet.cards.size(); ++card)
        if (says_stopped(sheet, answers, card)) cards.push_back(card);
    if (cards.empty()) return 0;
    if (stops == Stops::end_it) return cards.back();
    std::set<std::string> reached;
    const Look look = walk(sheet, answers, false, 0, reached);
    for (std::size_t i = 0; i < cards.size(); ++i) {
        const std::size_t next = i + 1 < cards.size() ? cards[i + 1] : sheet.cards.size() + 1;
        if (std::any_of(look.asks.begin(), look.asks.end(), [&](const Ask& each) {
                const bool open = lacks(each) || (each.complaint && each.complaint->lacking) ||
                                  (each.closes == "steps" && each.given != "yes");
                return each.card >= cards[i] && each.card < next && open;
            }))
            return cards[i];
    }
    return 0;
}

// Boxes that are ticked.
bool takes_ticks(Ask::Sort sort) {
    using Sort = Ask::Sort;
    return sort == Sort::ticks || sort == Sort::tick || sort == Sort::grade || sort == Sort::yes_no ||
           sort == Sort::round;
}

} // namespace

Look look_over(const Sheet& sheet, const Answers& answers, Stops stops) {
    std::set<std::string> reached, known;
    Look look = walk(sheet, answers, false, halts_on(sheet, answers, stops), reached);
    std::set<std::string> for_ticks;
    for (const Ask& each : walk(sheet, answers, true, 0, known).asks)
        if (takes_ticks(each.sort)) for_ticks.insert(each.boxes.begin(), each.boxes.end());
    for (const auto& [name, text] : answers) {
        const std::string& box = name;
        if (!in_letters(text) || !in_letters(box))
            look.strangers.emplace_back(in_letters(box) ? box : std::string(), found::no_letters());
        if (!in_letters(box)) continue;
        if (text.empty() || box.starts_with("cover/")) continue;
        const bool behind = std::any_of(look.behind_stop.begin(), look.behind_stop.end(),
                                        [&box](const std::string& row) { return box.starts_with(row); });
        if (for_ticks.contains(box) && text != "x" && text != "X")
            look.strangers.emplace_back(box, found::no_tick(text));
        else if (behind)
            look.strangers.emplace_back(box, found::behind_stop(box));
        else if (!reached.contains(box))
            look.strangers.emplace_back(box, known.contains(box)
                                                 ? found::box_astray(box)
                                                 : found::unknown_box(box, {known.begin(), known.end()}));
    }
    return look;
}

bool lacks(const Ask& ask) {
    return ask.required && !ask.answered;
}

std::map<std::string, std::string> units_of_boxes(const Sheet& sheet) {
    std::set<std::string> known;
    std::map<std::string, std::string> units;
    for (const Ask& each : walk(sheet, {}, true, 0, known).asks)
        if (each.reading != nullptr || each.sort == Ask::Sort::value)
            for (const std::string& box : each.boxes) units.emplace(box, each.unit);
    return units;
}

std::vector<std::string> stop_boxes(const Sheet& sheet, std::size_t card) {
    std::vector<std::string> all;
    for (std::size_t i = 1; i <= sheet.cards[card - 1]->stop_strip.fields.size(); ++i)
        all.push_back(fmt::format("{}stopped/{}", prefix_of(sheet, card), i));
    return all;
}

std::vector<Ask> every_ask(const Sheet& sheet) {
    std::set<std::string> known;
    return walk(sheet, {}, true, 0, known).asks;
}

std::vector<std::string> all_boxes(const Sheet& sheet) {
    std::set<std::string> known;
    (void)walk(sheet, {}, true, 0, known);
    return {known.begin(), known.end()};
}

} // namespace benchleaf::record
