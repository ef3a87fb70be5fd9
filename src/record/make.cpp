#include "record/make.h"

#include "base/text.h"
#include "mechanics/date.h"
#include "mechanics/outlook.h"
#include "model/service.h"
#include "record/judge.h"
#include "record/names.h"
#include "record/reports.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace benchleaf::record {

namespace {

template <class T>
void give(model::Given<T>& to, T value) {
    to = source::Spanned<T>{std::move(value), {}};
}
void give_text(model::Given<std::string>& to, const std::string& text) {
    if (!text.empty()) give(to, text);
}
template <model::Refers R>
void give_name(model::Given<model::Ref<R>>& to, const std::string& name) {
    if (!name.empty()) give(to, model::Ref<R>{name, {}});
}
template <units::Wanted W>
void give_figure(model::Given<model::Measure<W>>& to, const std::optional<units::Quantity>& figure) {
    if (figure) give(to, model::Measure<W>{*figure});
}
template <class T>
void give_list(model::Given<std::vector<T>>& to, std::vector<T> list) {
    if (!list.empty()) give(to, std::move(list));
}

class Maker {
public:
    Maker(const Sheet& sheet, const Look& look, const Answers& answers)
        : sheet_(sheet), look_(look), answers_(answers) {}

    model::Record make(const About& about) {
        const model::Job& job = *sheet_.job;
        made_.id.value = about.id;
        give_name(made_.job, job.id.value);
        if (job.vehicle) made_.vehicle = job.vehicle;
        give_text(made_.name, sheet_.vehicle);
        made_.identity = job.identity;
        made_.meter = job.meter;
        made_.date = job.date;
        give_figure(made_.next_service, model::next_service_at(job));
        made_.next_service_date = job.next_service_date;
        made_.customer = job.customer;
        made_.note = job.note;
        give_name(made_.corrects, about.corrects);
        give_name(made_.continues, about.continues);
        give_text(made_.reason, about.reason);
        give(made_.outcome, look_.stopped_for_good  ? model::Outcome::not_to_be_driven
                            : look_.stopped_on != 0 ? model::Outcome::stopped
                                                    : model::Outcome::finished);
        stops(about.stopped_before);
        std::vector<model::RecordedCard> cards;
        for (std::size_t number = 1; number <= sheet_.cards.size(); ++number) {
            const bool any =
                std::any_of(look_.asks.begin(), look_.asks.end(), [&](const Ask& each) { return each.card == number; });
            if (any)
                cards.push_back(
                    card(number, number <= about.since.size() ? about.since[number - 1] : std::vector<std::string>()));
        }
        give_list(made_.cards, std::move(cards));
        used();
        boxes();
        return std::move(made_);
    }

private:
    const std::string* in(const std::string& box) const {
        const auto found = answers_.find(box);
        return found == answers_.end() || found->second.empty() ? nullptr : &found->second;
    }

    void stops(std::vector<model::StoppedAt> all) {
        for (std::size_t number = 1; number <= sheet_.cards.size(); ++number) {
            model::StoppedAt stop;
            bool any = false;
            const auto field = [&](int i, model::Given<std::string>& to) {
                const std::string* text = in(fmt::format("{}stopped/{}", prefix_of(sheet_, number), i));
                if (text == nullptr) return;
                any = true;
                give_text(to, *text);
            };
            field(1, stop.date);
            field(2, stop.time);
            field(3, stop.step);
            field(4, stop.state);
            if (!any) continue;
            give_text(stop.card, std::to_string(number));
            if (const std::string* by = in(prefix_of(sheet_, number) + "sign-off/1")) give_text(stop.by, *by);
            all.push_back(std::move(stop));
        }
        give_list(made_.stopped, std::move(all));
    }

    model::RecordedCard card(std::size_t number, const std::vector<std::string>& since) {
        const card::Card& of = *sheet_.cards[number - 1];
        model::RecordedCard made;
        give_name(made.card, of.procedure);
        give_text(made.title, of.head.title);
        if (of.revision > 0) give(made.revision, std::int64_t{of.revision});
        give_text(made.digest, of.head.digest);
        std::vector<source::Spanned<std::string>> changed;
        for (const std::string& each : since) changed.push_back({each, {}});
        give_list(made.since, std::move(changed));

        std::vector<model::ReadFigure> readings;
        std::vector<model::FoundThing> found;
        std::vector<model::Answered> answers;
        std::vector<model::Tightened> tightened;
        std::vector<model::Checked> checked;
        std::vector<model::Written> written;
        std::vector<source::Spanned<std::string>> also, declined;
        std::vector<model::FromEarlier> earlier;
        std::vector<std::int64_t> open;
        for (const Ask& each : look_.asks) {
            if (each.card != number) continue;
            if (each.reading != nullptr && each.answered) readings.push_back(reading(each));
            if (each.grade) found.push_back(seen(each));
            if (each.yes && each.earlier == nullptr) answers.push_back(answered(each));
            if (each.yes && each.earlier != nullptr) earlier.push_back(from_earlier(each));
            if (each.torque != nullptr) tighten(each, tightened);
            if (each.closes == "second-check" && each.answered) {
                model::Checked check = at<model::Checked>(each);
                give_text(check.by, each.given);
                give_text(check.independent, each.verdict);
                checked.push_back(std::move(check));
            }
            if (each.closes == "second-check-time" && each.answered && !checked.empty())
                give_text(checked.back().time, time(each.given));
            if (each.sort == Ask::Sort::words && each.row != nullptr && each.answered) note(each, written);
            if (each.closes == "also" && each.answered) also.push_back({each.given, {}});
            if (each.closes == "declined" && each.answered) declined.push_back({each.given, {}});
            if (each.closes == "steps")
                for (std::size_t i = 0; i < each.boxes.size(); ++i)
                    if (in(each.boxes[i]) == nullptr) {
                        const std::int64_t step = number_in(each.names[i]);
                        if (open.empty() || open.back() != step) open.push_back(step);
                    }
            if (each.closes == "done-by") give_text(made.done_by, each.given);
            if (each.closes == "checked-by") give_text(made.checked_by, each.given);
            if (each.closes == "wrench") give_text(made.wrenches, each.given);
            if (each.closes == "gauge") give_text(made.gauges, each.given);
            if (each.closes == "date") give_text(made.date, each.given);
            if (each.closes == "time") give_text(made.time, each.given.empty() ? each.given : time(each.given));
        }
        give_list(made.readings, std::move(readings));
        give_list(made.found, std::move(found));
        give_list(made.answers, std::move(answers));
        give_list(made.tightened, std::move(tightened));
        give_list(made.checked, std::move(checked));
        give_list(made.renewed, renewed(number));
        give_list(made.written, std::move(written));
        std::sort(open.begin(), open.end());
        open.erase(std::unique(open.begin(), open.end()), open.end());
        give_list(made.not_ticked, std::move(open));
        std::vector<source::Spanned<std::string>> recheck, later;
        for (const Look::Later& each : look_.later)
            if (each.card == number)
                (each.what.recheck.empty() ? later : recheck).push_back({with_plain_blanks(each.what.text), {}});
        give_list(made.recheck, std::move(recheck));
        give_list(made.later, std::move(later));
        give_list(made.also_found, std::move(also));
        give_list(made.declined, std::move(declined));
        give_list(made.earlier, std::move(earlier));
        return made;
    }

    static std::string time(const std::string& text) {
        const auto of_day = time_of(text);
        return of_day ? *of_day : text;
    }

    template <class T>
    static T at(const Ask& each) {
        T made;
        give(made.step, std::int64_t{each.step});
        give_name(made.at, each.at);
        if constexpr (requires { made.round; })
            if (each.round > 1) give(made.round, each.round);
        return made;
    }

    model::ReadFigure reading(const Ask& each) const {
        auto made = at<model::ReadFigure>(each);
        const card::HeldAgainst& held = each.reading->held;
        give_name(made.limit, held.limit);
        give_name(made.of, held.item);
        std::vector<source::Spanned<model::Measure<units::Wanted::limit>>> read;
        for (const units::Quantity& size : each.sizes) read.push_back({{size}, {}});
        give_list(made.read, std::move(read));
        if (each.sizes.empty())
            give_text(made.not_read,
                      std::string(base::trimmed(base::trimmed(std::string_view(each.given).substr(8))
                                                    .substr(each.given.substr(8).starts_with(":") ? 1 : 0))));
        give_figure(made.minimum, held.minimum);
        give_figure(made.maximum, held.maximum);
        give_figure(made.uncertainty, held.uncertainty);
        give_figure(made.keep, each.keep);
        if (each.held) give(made.verdict, static_cast<model::Held>(*each.held));
        give_figure(made.limit_at, limit_at(each));
        return made;
    }

    std::optional<units::Quantity> limit_at(const Ask& each) const {
        const card::HeldAgainst& held = each.reading->held;
        if (!held.wears || each.sizes.empty() || !sheet_.job->meter || held.past.empty() || !held.reads_to)
            return std::nullopt;
        const auto limit = held.minimum ? limit_of(held, mechanics::WearLimit::Sort::minimum, *held.minimum)
                                        : limit_of(held, mechanics::WearLimit::Sort::maximum, *held.maximum);
        const mechanics::WearReading read{sheet_.job->meter->value.quantity, nearest_to_limit(each.sizes, limit.sort)};
        const auto reached = mechanics::limit_reached(limit, held.past[each.column], read, held.interval, held.margin);
        return reached.expected;
    }

    static units::Quantity nearest_to_limit(const std::vector<units::Quantity>& sizes,
                                            mechanics::WearLimit::Sort sort) {
        return *std::min_element(sizes.begin(), sizes.end(), [&](const units::Quantity& a, const units::Quantity& b) {
            const auto order = units::compare(a, b);
            return order == (sort == mechanics::WearLimit::Sort::minimum ? std::partial_ordering::less
                                                                         : std::partial_ordering::greater);
        });
    }

    static model::FoundThing seen(const Ask& each) {
        auto made = at<model::FoundThing>(each);
        give_name(made.of, each.item);
        give(made.found, *each.grade);
        return made;
    }

    static model::Answered answered(const Ask& each) {
        auto made = at<model::Answered>(each);
        give_text(made.asked, each.row == nullptr ? each.what : question(*each.row));
        give(made.answer, source::Spanned<bool>{*each.yes, {}});
        return made;
    }
    static model::FromEarlier from_earlier(const Ask& each) {
        model::FromEarlier made;
        give_name(made.job, each.earlier->job);
        give_name(made.of, each.earlier->item);
        give_name(made.at, each.earlier->at);
        give_text(made.also_found, each.earlier->also_found);
        give_text(made.declined, each.earlier->declined);
        give_text(made.recheck, each.earlier->recheck);
        give(made.done, source::Spanned<bool>{*each.yes, {}});
        return made;
    }
    static std::string question(const card::Row& row) {
        if (const auto* asked = std::get_if<card::Question>(&row.what)) return asked->text;
        const auto* repeat = std::get_if<card::Repeat>(&row.what);
        return repeat != nullptr ? repeat->text : std::string();
    }

    // Its ticks, what was read and who did it are one line.
    static void tighten(const Ask& each, std::vector<model::Tightened>& to) {
        if (!each.answered) return;
        auto same = std::find_if(to.begin(), to.end(), [&](const model::Tightened& made) {
            const std::int64_t round = made.round ? made.round->value : 1;
            return made.step->value == each.step && made.of->value.name == each.item && round == each.round &&
                   (made.at ? made.at->value.name : std::string()) == each.at;
        });
        if (same == to.end()) {
            auto made = at<model::Tightened>(each);
            give_name(made.of, each.item);
            give_text(made.to, each.shows);
            same = to.insert(to.end(), std::move(made));
        }
        if (each.sort == Ask::Sort::value) give_text(same->read, each.given);
        if (each.sort == Ask::Sort::initials) give_text(same->by, each.given);
    }

    static void note(const Ask& each, std::vector<model::Written>& to) {
        const auto* step = std::get_if<card::Step>(&each.row->what);
        if (step != nullptr && !step->renews.empty()) return; // stands with what was renewed
        auto made = at<model::Written>(each);
        give_text(made.asked, step != nullptr ? step->text : each.what);
        give_text(made.written, each.given);
        to.push_back(std::move(made));
    }

    // What was ticked, or had its part number written.
    std::vector<model::Renewed> renewed(std::size_t number) const {
        std::vector<model::Renewed> all;
        std::set<std::pair<std::string, std::string>> known;
        for (const Worked& worked : look_.worked) {
            const auto* step = worked.card == number ? std::get_if<card::Step>(&worked.row->what) : nullptr;
            if (step == nullptr) continue;
            const std::string name = prefix_of(sheet_, number) + worked.row->name;
            const std::string* batch = in(fmt::format("{}/note/{}", name, worked.column + 1));
            if (in(fmt::format("{}/tick/{}", name, worked.column + 1)) == nullptr && batch == nullptr) continue;
            for (const card::Renews& each : step->renews) {
                if (each.column && *each.column != worked.column) continue;
                if (!known.emplace(each.item, each.at).second) continue;
                model::Renewed made;
                give(made.step, std::int64_t{worked.row->number});
                give_name(made.of, each.item);
                give_name(made.at, each.at);
                if (each.count > 1) give(made.count, each.count);
                if (batch != nullptr) give_text(made.batch, *batch);
                all.push_back(std::move(made));
            }
        }
        return all;
    }

    // As much of what a row takes as columns of it were worked.
    void used() {
        struct Sum {
            std::string what;
            std::optional<units::Quantity> amount;
        };
        std::vector<Sum> all;
        std::map<const card::Row*, std::pair<std::int64_t, std::int64_t>> rows; // columns worked, of all
        std::vector<const card::Row*> order;
        for (const Worked& worked : look_.worked) {
            const std::string tick =
                fmt::format("{}{}/tick/{}", prefix_of(sheet_, worked.card), worked.row->name, worked.column + 1);
            if (worked.row->takes.empty() || in(tick) == nullptr) continue;
            auto [at, fresh] =
                rows.try_emplace(worked.row, 0, std::count(worked.row->marks.begin(), worked.row->marks.end(), true));
            ++at->second.first;
            if (fresh) order.push_back(worked.row);
        }
        for (const card::Row* row : order) {
            const auto [done, of] = rows[row];
            for (const card::Takes& takes : row->takes) {
                auto sum = std::find_if(all.begin(), all.end(), [&](const Sum& each) {
                    return each.what == takes.what &&
                           (!each.amount || !takes.amount || units::convertible(each.amount->unit, takes.amount->unit));
                });
                std::optional<units::Quantity> amount = takes.amount;
                if (amount && of > 0 && done < of && (amount->digits * done) % of == 0)
                    amount->digits = amount->digits * done / of;
                if (sum == all.end()) {
                    all.push_back({takes.what, amount});
                } else if (amount) {
                    const auto more = sum->amount ? units::add(*sum->amount, *amount) : amount;
                    if (more) sum->amount = *more;
                }
            }
        }
        std::vector<model::Used> list;
        for (const Sum& each : all) {
            model::Used one;
            give_text(one.what, each.what);
            if (each.amount)
                give_text(one.amount, each.amount->unit == units::Unit::piece
                                          ? fmt::format("{} ×", units::print_number(*each.amount, plain))
                                          : units::print(*each.amount, plain));
            list.push_back(std::move(one));
        }
        give_list(made_.used, std::move(list));
    }

    // As they were filled in; a repeat's last no has no box.
    void boxes() {
        model::Entries<source::Spanned<std::string>, source::Spanned<std::string>> all;
        for (const auto& [box, text] : answers_)
            if (!text.empty() && box.find("/over/") == std::string::npos) all.push_back({{box, {}}, {text, {}}});
        if (!all.empty()) give(made_.boxes, std::move(all));
    }

    const Sheet& sheet_;
    const Look& look_;
    const Answers& answers_;
    model::Record made_;
};

} // namespace

std::vector<std::pair<std::string, Complaint>> complaints(const Look& look) {
    std::vector<std::pair<std::string, Complaint>> all;
    for (const Ask& each : look.asks) {
        const std::string box = each.boxes.empty() ? std::string() : each.boxes.front();
        std::optional<Complaint> wrong;
        if (each.complaint && (each.required || !each.complaint->lacking))
            wrong = each.complaint;
        else if (lacks(each))
            wrong = found::not_answered(each.what);
        if (!wrong) continue;
        wrong->where = each.step != 0 ? fmt::format("card {}, step {}: {}", each.card, each.step, each.what)
                                      : fmt::format("card {}: {}", each.card, each.what);
        all.emplace_back(box, std::move(*wrong));
    }
    for (const auto& each : look.strangers) all.push_back(each);
    return all;
}

model::Record make(const Sheet& sheet, const Look& look, const Answers& answers, const About& about) {
    return Maker(sheet, look, answers).make(about);
}

} // namespace benchleaf::record
