// The cover sheet: what the cards of a job take, each thing once.
#include "card/cover.h"

#include "card/after.h"
#include "card/before.h"
#include "card/build.h"
#include "card/frame.h"
#include "mechanics/date.h"

#include "base/require.h"

#include <algorithm>
#include <charconv>

namespace benchleaf::card {

namespace {

void note(std::vector<std::uint32_t>& cards, std::uint32_t card) {
    if (cards.empty() || cards.back() != card) cards.push_back(card);
}

// The number that a size begins with, so that 8 mm stands before 12 mm.
int leading(std::string_view size) {
    int number = 0;
    std::from_chars(size.data(), size.data() + size.size(), number);
    return number;
}

class Merger {
public:
    Merger(const Speaker& speaker, const std::vector<Needs>& cards) : s_(speaker), cards_(cards) {}

    CoverList wrenches() const {
        struct Used {
            std::size_t index;
            std::vector<std::uint32_t> cards;
        };
        std::vector<Used> all;
        each_card([&](std::uint32_t number, const Needs& needs) {
            for (const std::size_t wrench : needs.wrenches)
                note(found(
                         all, [&](const Used& each) { return each.index == wrench; }, Used{wrench, {}})
                         .cards,
                     number);
        });
        // As they hang on the wall: in the shop's order.
        std::sort(all.begin(), all.end(), [](const Used& a, const Used& b) { return a.index < b.index; });
        CoverList list{s_.word(Key::torque_wrenches), "wrench", {}};
        for (Used& used : all) {
            const model::Wrench& wrench = s_.shop.wrenches->value[used.index].value;
            CoverLine line;
            line.text = wrench_name(s_, used.index);
            if (wrench.range)
                line.text = s_.fill(Key::wrench_line_plain, {line.text, s_.say(wrench.range->value.range)});
            std::vector<std::string> about;
            if (wrench.serial) about.push_back(s_.fill(Key::serial, {wrench.serial->value}));
            if (wrench.calibrated_until)
                about.push_back(s_.fill(Key::calibrated, {mechanics::print(wrench.calibrated_until->value)}));
            line.about = s_.listed(about);
            line.cards = std::move(used.cards);
            list.lines.push_back(std::move(line));
        }
        for (CoverLine& line : texts(&Needs::wrenches_wanted)) list.lines.push_back(std::move(line));
        return list;
    }

    std::vector<TorqueLine> torques() const {
        std::vector<TorqueLine> all;
        each_card([&](std::uint32_t number, const Needs& needs) {
            for (const Needs::Torque& each : needs.torques)
                all.push_back(torque_line(
                    each, number, s_.fill(Key::torque_place, {std::to_string(number), std::to_string(each.step)})));
        });
        return all;
    }

    CoverList sockets() const {
        CoverList list{s_.word(Key::sockets), "socket", texts(&Needs::sockets)};
        std::stable_sort(list.lines.begin(), list.lines.end(), [](const CoverLine& a, const CoverLine& b) {
            return leading(a.text) != leading(b.text) ? leading(a.text) < leading(b.text) : a.text < b.text;
        });
        return list;
    }
    CoverList tools() const { return {s_.word(Key::tools), "tool", texts(&Needs::tools)}; }
    CoverList protection() const { return {s_.word(Key::protection), "protection", texts(&Needs::protection)}; }

    // The sum of what each card says, so that whoever adds them up finds the same.
    CoverList consumables() const {
        struct Used {
            Needs::Consumable is;
            bool open = false; // some card does not say how much it takes
            std::vector<std::uint32_t> cards;
        };
        std::vector<Used> all;
        each_card([&](std::uint32_t number, const Needs& needs) {
            for (const Needs::Consumable& takes : needs.consumables) {
                Used& used = found(
                    all, [&](const Used& each) { return each.is.id == takes.id; }, Used{{takes.id, {}}, false, {}});
                used.open = used.open || takes.amounts.empty();
                for (const Needs::Amount& amount : takes.amounts) add(used.is.amounts, amount);
                note(used.cards, number);
            }
        });
        CoverList list{s_.word(Key::consumables), "consumable", {}};
        for (Used& used : all) {
            std::vector<std::string> amounts;
            for (const Needs::Amount& amount : used.is.amounts) amounts.push_back(between(s_, amount));
            std::string amount = s_.join(amounts);
            if (used.open && !amount.empty()) amount = s_.fill(Key::at_least, {amount});
            list.lines.push_back(
                {s_.linked.consumables[used.is.id.index()].name, std::move(amount), {}, std::move(used.cards)});
        }
        return list;
    }

    CoverList pieces(bool always) const {
        struct Used {
            linked::ItemId id;
            std::int64_t count = 0;
            std::vector<std::uint32_t> cards;
        };
        std::vector<Used> all;
        each_card([&](std::uint32_t number, const Needs& needs) {
            for (const Needs::Pieces& takes : needs.pieces) {
                const std::int64_t count = always ? takes.always : takes.perhaps;
                if (count <= 0) continue;
                Used& used = found(
                    all, [&](const Used& each) { return each.id == takes.id; }, Used{takes.id, 0, {}});
                used.count += count;
                note(used.cards, number);
            }
        });
        CoverList list{s_.word(always ? Key::renew : Key::may_need), always ? "renew" : "may-need", {}};
        for (Used& used : all)
            list.lines.push_back({s_.name(used.id), times(s_, used.count), {}, std::move(used.cards)});
        return list;
    }

    std::string minutes() const {
        std::optional<Needs::Amount> all;
        bool timed = true;
        for (const Needs& needs : cards_) {
            if (!needs.minutes) return {}; // what some of the cards take says little of all of them
            timed = timed && needs.all_timed;
            if (!all) {
                all = needs.minutes;
                continue;
            }
            const auto least = units::add(all->least, needs.minutes->least);
            const auto most = units::add(all->most, needs.minutes->most);
            if (!least || !most) return {};
            all = {*least, *most};
        }
        return minutes_text(s_, all, timed);
    }

private:
    template <class What>
    void each_card(const What& what) const {
        for (std::size_t i = 0; i < cards_.size(); ++i) what(static_cast<std::uint32_t>(i + 1), cards_[i]);
    }

    template <class Thing, class Is>
    static Thing& found(std::vector<Thing>& all, const Is& is, Thing otherwise) {
        const auto known = std::find_if(all.begin(), all.end(), is);
        if (known != all.end()) return *known;
        return all.emplace_back(std::move(otherwise));
    }

    std::vector<CoverLine> texts(std::vector<std::string> Needs::*of) const {
        std::vector<CoverLine> lines;
        each_card([&](std::uint32_t number, const Needs& needs) {
            for (const std::string& text : needs.*of)
                note(found(
                         lines, [&](const CoverLine& each) { return each.text == text; }, CoverLine{text, {}, {}, {}})
                         .cards,
                     number);
        });
        return lines;
    }

    // What has no exact sum, as drops and millilitres, stays apart.
    static void add(std::vector<Needs::Amount>& to, const Needs::Amount& more) {
        for (Needs::Amount& each : to) {
            const auto least = added(each.least, more.least);
            const auto most = added(each.most, more.most);
            if (!least || !most) continue;
            each = {*least, *most};
            return;
        }
        to.push_back(more);
    }

    const Speaker& s_;
    const std::vector<Needs>& cards_;
};

CoverWords cover_words(const Speaker& s) {
    CoverWords words;
    words.customer = s.word(Key::customer);
    words.says = s.word(Key::customer_says);
    words.work = s.word(Key::work);
    words.sheets = s.word(Key::sheets);
    words.pages = s.word(Key::pages);
    words.fetch = s.word(Key::fetch);
    words.fetch_cards = s.word(Key::fetch_cards);
    words.who = s.word(Key::who);
    words.does_work = s.word(Key::does_work);
    words.name = s.word(Key::name);
    words.started = s.word(Key::started);
    words.finished = s.word(Key::finished);
    return words;
}

} // namespace

std::string numbers(const std::vector<std::uint32_t>& cards) {
    std::string text;
    for (std::size_t i = 0; i < cards.size();) {
        std::size_t last = i;
        while (last + 1 < cards.size() && cards[last + 1] == cards[last] + 1) ++last;
        if (!text.empty()) text += ", ";
        text += std::to_string(cards[i]);
        // Two that follow each other are no range.
        if (last > i) text += (last > i + 1 ? "–" : ", ") + std::to_string(cards[last]);
        i = last + 1;
    }
    return text;
}

bool has_cover(const fitted::Fit& fit, const linked::Linked& linked) {
    if (!fit.job.known()) return false;
    const model::Job& job = *linked.jobs[fit.job.index()].source;
    return fit.sequence.size() > 1 || job.customer || job.note;
}

std::optional<Cover> build_cover(const proof::Proved& proved, const std::vector<Needs>& needs,
                                 const labels::Labels& labels, messages::Messages& messages) {
    const fitted::Fit& fit = proved.fit();
    const linked::Linked& linked = *proved.fitted().linked;
    if (!has_cover(fit, linked)) return std::nullopt;
    const model::Job& job = *linked.jobs[fit.job.index()].source;
    base::require(needs.size() == fit.sequence.size(), "every card of a job says what it takes");
    const Speaker s{fit, linked, *linked.shop, &job, labels, messages};

    Cover made;
    made.language = labels.language;
    made.head = head_of_visit(s);
    made.head.title = s.word(Key::cover);
    made.head.code = "BENCHLEAF " + made.head.job;
    if (job.customer) made.customer = job.customer->value;
    if (job.note) made.says = job.note->value;
    for (std::size_t i = 0; i < needs.size(); ++i)
        made.cards.push_back({static_cast<std::uint32_t>(i + 1), title_of(fit.procedures[fit.sequence[i].index()]),
                              minutes_text(s, needs[i].minutes, needs[i].all_timed)});
    const Merger merger(s, needs);
    made.minutes = merger.minutes();
    made.stopped = s.fill(Key::stopped_cover, {s.word(Key::stopped_here)});
    made.torques = merger.torques();
    for (CoverList& list :
         std::vector<CoverList>{merger.wrenches(), merger.sockets(), merger.tools(), merger.consumables(),
                                merger.pieces(true), merger.pieces(false), merger.protection()})
        if (!list.lines.empty()) made.fetch.push_back(std::move(list));
    if (linked.shop->signs)
        for (const auto& initials : linked.shop->signs->value) add_once(made.signs, initials.value);
    made.check_rule = check_rule(s);
    made.next_service = make_findings(s).next_service;
    made.foot = make_foot(s);
    made.words = make_words(s);
    made.own = cover_words(s);
    made.file_stem = numbered_stem(s, 0, "cover");
    return made;
}

void seal(Cover& cover, std::string_view sha256_hex) {
    seal(cover.head, sha256_hex);
}

} // namespace benchleaf::card
