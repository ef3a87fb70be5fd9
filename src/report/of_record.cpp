// The customer's page of a record.
#include "report/forecast.h"
#include "report/report.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace benchleaf::report {

namespace {

using model::Record;
using model::RecordedCard;

std::string text_of(const model::Given<std::string>& given) {
    return given ? given->value : std::string();
}

class CustomerPage {
public:
    CustomerPage(const Shop& shop, const Record& record) : shop_(shop), record_(record), words_(shop) {}

    Report make() {
        words_.frame(record_, made_);
        made_.head.title = words_.word(Key::service_report);
        made_.head.job = record_.id.value;
        // As a card's digest: 16 figures in four groups.
        if (record_.seal)
            for (std::size_t i = 0; i < std::min<std::size_t>(record_.seal->value.size(), 16); ++i) {
                if (i > 0 && i % 4 == 0) made_.head.digest += ' ';
                made_.head.digest += record_.seal->value[i];
            }
        if (record_.customer) made_.head.identity.push_back(words_.word(Key::customer) + " " + record_.customer->value);
        made_.file_stem = record_.id.value + ".customer";
        stop();
        done();
        findings();
        readings();
        advice();
        parts();
        signatures();
        return std::move(made_);
    }

private:
    const std::vector<RecordedCard>& cards() const {
        static const std::vector<RecordedCard> none;
        return record_.cards ? record_.cards->value : none;
    }

    void add(Block block) {
        if (!block.parts.empty()) made_.blocks.push_back(std::move(block));
    }

    void stop() {
        if (!record_.outcome || record_.outcome->value == model::Outcome::finished) return;
        const bool half_way = record_.outcome->value == model::Outcome::stopped;
        card::Stop stop{words_.word(half_way ? Key::do_not_drive : Key::stop_headline), {}};
        if (half_way) stop.why = words_.word(Key::stopped_here);
        if (record_.stopped)
            for (const model::StoppedAt& each : record_.stopped->value)
                if (each.state) stop.why += (stop.why.empty() ? "" : ": ") + each.state->value;
        made_.stop = std::move(stop);
    }

    void done() {
        Block block{words_.word(Key::work_done), {}};
        for (const RecordedCard& card : cards())
            block.parts.emplace_back(Paragraph{card.title ? card.title->value : name_of(card.card), false});
        add(std::move(block));
    }

    // Whether what was found there was renewed later in this job.
    bool renewed_since(std::size_t card, const model::Given<std::int64_t>& step, const std::string& item,
                       const std::string& at) const {
        for (std::size_t i = card; i < cards().size(); ++i) {
            if (!cards()[i].renewed) continue;
            for (const model::Renewed& each : cards()[i].renewed->value) {
                const std::string there = name_of(each.at);
                const bool same = history::same_name(name_of(each.of), item) && (there.empty() || there == at);
                const bool later = i > card || !step || !each.step || each.step->value > step->value;
                if (same && later) return true;
            }
        }
        return false;
    }

    void findings() {
        Pairs lines;
        std::vector<std::pair<std::string, std::vector<std::string>>> good; // with their sides
        for (std::size_t i = 0; i < cards().size(); ++i) {
            if (!cards()[i].found) continue;
            for (const model::FoundThing& each : cards()[i].found->value) {
                if (!each.found) continue;
                const std::string item = name_of(each.of), at = name_of(each.at);
                if (each.found->value == model::Grade::good) {
                    auto same =
                        std::find_if(good.begin(), good.end(), [&](const auto& one) { return one.first == item; });
                    if (same == good.end()) same = good.insert(good.end(), {item, {}});
                    const std::string side = words_.side(at);
                    if (!at.empty() && std::find(same->second.begin(), same->second.end(), side) == same->second.end())
                        same->second.push_back(side);
                    continue;
                }
                const std::string name = words_.with_side(words_.item(item), at);
                std::string grade = words_.grade(each.found->value);
                const bool now = each.found->value == model::Grade::act_now;
                if (renewed_since(i, each.step, item, at))
                    grade += " · " + words_.word(Key::renewed);
                else
                    advise(name, words_.word(now ? Key::at_once : Key::keep_watch), now ? 0 : 3);
                lines.lines.emplace_back(name, std::move(grade));
            }
        }
        Block block{words_.word(Key::findings), {}};
        if (!lines.lines.empty()) block.parts.emplace_back(std::move(lines));
        std::string all;
        for (const auto& [item, sides] : good) {
            all += (all.empty() ? "" : " · ") + words_.item(item);
            if (!sides.empty()) all += words_.word(Key::list_comma) + words_.join(sides);
        }
        if (!all.empty()) block.parts.emplace_back(Paragraph{words_.word(Key::grade_good) + ": " + all, false});
        for (const std::string& each : each_once(&RecordedCard::also_found))
            block.parts.emplace_back(Paragraph{words_.word(Key::also_found) + ": " + each, false});
        add(std::move(block));
    }

    std::string said_of(const model::FromEarlier& open) const {
        if (open.also_found) return words_.word(Key::also_found) + ": " + open.also_found->value;
        if (open.declined) return words_.word(Key::declined) + ": " + open.declined->value;
        if (open.recheck) return open.recheck->value;
        const std::string item = open.of ? words_.item(open.of->value.name) : std::string();
        return open.at ? words_.with_side(item, open.at->value.name) : item;
    }

    // What was written on several cards in the same words is one thing.
    std::vector<std::string>
    each_once(model::Given<std::vector<source::Spanned<std::string>>> RecordedCard::*lines) const {
        std::vector<std::string> all;
        for (const RecordedCard& card : cards())
            if (card.*lines)
                for (const auto& each : (card.*lines)->value)
                    if (std::find(all.begin(), all.end(), each.value) == all.end()) all.push_back(each.value);
        return all;
    }

    // Sides of one thing stand beside each other, in whatever order they were read.
    void readings() {
        Readings list;
        std::vector<std::pair<std::string, std::string>> known; // limit and item
        for (std::size_t i = 0; i < cards().size(); ++i) {
            if (!cards()[i].readings) continue;
            const auto& all = cards()[i].readings->value;
            for (std::size_t r = 0; r < all.size(); ++r) {
                if (read_again(all, r) || put_right({i, r}) || same_again({i, r})) continue;
                const std::pair<std::string, std::string> thing{name_of(all[r].limit), name_of(all[r].of)};
                const auto same = std::find(known.begin(), known.end(), thing);
                const auto at = static_cast<std::size_t>(same - known.begin());
                std::string limit = words_.limit(all[r]);
                if (same == known.end()) {
                    known.push_back(thing);
                    list.list.push_back(
                        {printed_name(shop_, name_of(record_.vehicle), thing.first, thing.second), limit, {}});
                }
                Measured& to = list.list[at];
                to.sides.push_back(measured({i, r}, to.name));
                // Held by another figure than its neighbour.
                if (limit != to.limit && !limit.empty()) to.sides.back().verdict += " · " + limit;
            }
        }
        Block block{words_.word(Key::readings), {}};
        if (!list.list.empty()) block.parts.emplace_back(std::move(list));
        // What was read off and written down, but held against nothing.
        Pairs lines;
        for (const RecordedCard& card : cards())
            if (card.written)
                for (const model::Written& each : card.written->value)
                    lines.lines.emplace_back(words_.with_side(asked(text_of(each.asked)), name_of(each.at)),
                                             words_.say_written(text_of(each.written)));
        if (!lines.lines.empty()) block.parts.emplace_back(std::move(lines));
        add(std::move(block));
    }

    // "Write down: make of the pads": the words that the card itself puts before it are for who works.
    std::string asked(const std::string& text) const {
        const std::string before = words_.word(Key::do_record).substr(0, words_.word(Key::do_record).find("{}"));
        return text.starts_with(before) ? text.substr(before.size()) : text;
    }

    // In a later round of the same step: that one stands.
    static bool read_again(const std::vector<model::ReadFigure>& all, std::size_t at) {
        const auto round = [](const model::ReadFigure& of) { return of.round ? of.round->value : 1; };
        const model::ReadFigure& first = all[at];
        return std::any_of(all.begin() + static_cast<std::ptrdiff_t>(at) + 1, all.end(), [&](const auto& later) {
            return first.step && later.step && first.step->value == later.step->value &&
                   name_of(first.limit) == name_of(later.limit) && name_of(first.of) == name_of(later.of) &&
                   name_of(first.at) == name_of(later.at) && round(later) > round(first) && later.read;
        });
    }

    // Where a reading stands.
    struct Place {
        std::size_t card = 0, reading = 0;
    };
    const model::ReadFigure& reading_at(Place place) const {
        return cards()[place.card].readings->value[place.reading];
    }

    template <class F>
    void each_reading(F f) const {
        for (std::size_t i = 0; i < cards().size(); ++i)
            for (std::size_t r = 0; cards()[i].readings && r < cards()[i].readings->value.size(); ++r) f(Place{i, r});
    }

    static bool is(const model::ReadFigure& figure, bool good) {
        return figure.read && !figure.read->value.empty() && figure.verdict &&
               (figure.verdict->value == model::Held::within) == good;
    }

    // Of the same thing on the same side, held against the same figures.
    static bool same_thing(const model::ReadFigure& a, const model::ReadFigure& b) {
        const auto same = [](const auto& one, const auto& other) {
            return one.has_value() == other.has_value() && (!one || one->value.quantity == other->value.quantity);
        };
        const auto same_range = [](const auto& one, const auto& other) {
            return one.has_value() == other.has_value() &&
                   (!one || (one->value.range.lower == other->value.range.lower &&
                             one->value.range.upper == other->value.range.upper));
        };
        return name_of(a.limit) == name_of(b.limit) && name_of(a.of) == name_of(b.of) &&
               name_of(a.at) == name_of(b.at) && same(a.minimum, b.minimum) && same(a.maximum, b.maximum) &&
               same_range(a.within, b.within);
    }

    // By card and step, and of one step by its round.
    bool later(Place a, Place b) const {
        if (a.card != b.card) return a.card < b.card;
        const model::ReadFigure &first = reading_at(a), &second = reading_at(b);
        if (!first.step || !second.step) return false;
        const std::int64_t one = first.round ? first.round->value : 1, other = second.round ? second.round->value : 1;
        return first.step->value != second.step->value ? first.step->value < second.step->value : one < other;
    }

    // What was not good when it was found, and is by the last reading of it in this job, without a new part.
    bool put_right(Place found) const {
        const model::ReadFigure& figure = reading_at(found);
        if (!is(figure, false) || renewed_since(found.card, figure.step, name_of(figure.of), name_of(figure.at)))
            return false;
        std::optional<Place> last;
        each_reading([&](Place each) {
            if (same_thing(figure, reading_at(each)) && later(last.value_or(found), each)) last = each;
        });
        return last && is(reading_at(*last), true);
    }

    // Read once more, and the same: one line says both.
    bool same_again(Place first) const {
        const model::ReadFigure& figure = reading_at(first);
        if (!is(figure, true) || renewed_since(first.card, figure.step, name_of(figure.of), name_of(figure.at)))
            return false;
        bool again = false;
        each_reading([&](Place each) {
            again = again || (later(first, each) && same_thing(figure, reading_at(each)) &&
                              is(reading_at(each), true) && sizes_of(figure) == sizes_of(reading_at(each)));
        });
        return again;
    }

    // The first of those that the reading at `left` ends.
    std::optional<Place> found_before(Place left) const {
        std::optional<Place> first;
        bool last = true;
        each_reading([&](Place each) {
            if (same_thing(reading_at(each), reading_at(left)) && later(each, left) && put_right(each) &&
                (!first || later(each, *first)))
                first = each;
            last = last && !(same_thing(reading_at(each), reading_at(left)) && later(left, each));
        });
        return last ? first : std::nullopt;
    }

    Measured::Side measured(Place place, const std::string& thing) {
        const std::size_t card = place.card;
        const model::ReadFigure& figure = reading_at(place);
        const std::string limit = name_of(figure.limit), item = name_of(figure.of), at = name_of(figure.at);
        Measured::Side made;
        if (!at.empty()) made.name = words_.side(at);
        if (!figure.read || figure.read->value.empty()) {
            made.read = "–";
            made.verdict = words_.fill(Key::not_read, {text_of(figure.not_read)});
            made.bad = true;
            return made;
        }
        const std::vector<units::Quantity> sizes = sizes_of(figure);
        read(figure, sizes, made);
        if (figure.verdict) made.verdict = words_.verdict(figure.verdict->value);
        made.bad = figure.verdict && figure.verdict->value != model::Held::within;
        if (renewed_since(card, figure.step, item, at)) {
            made.verdict += (made.verdict.empty() ? "" : " · ") + words_.word(Key::renewed_then);
            made.bad = false; // it is mended
            return made;
        }
        if (const auto found = is(figure, true) ? found_before(place) : std::nullopt) {
            Measured::Side then;
            read(reading_at(*found), sizes_of(reading_at(*found)), then);
            made.verdict += " · " + words_.fill(Key::put_right, {then.read, made.read});
        }
        const bool past = figure.verdict && figure.verdict->value == model::Held::past; // it has come
        if (figure.limit_at && !beyond_service(figure) && !past)
            made.verdict += " · " + words_.fill(Key::limit_at, {words_.say(figure.limit_at->value.quantity)});
        made.bar = bar(figure, limit, sizes);
        if (made.bad) advise_by(words_.with_side(thing, at), figure);
        return made;
    }

    static std::vector<units::Quantity> sizes_of(const model::ReadFigure& figure) {
        std::vector<units::Quantity> sizes;
        for (const auto& each : figure.read->value) sizes.push_back(each.value.quantity);
        return sizes;
    }

    // Of several points the one that decides; between two limits the least and the greatest.
    void read(const model::ReadFigure& figure, const std::vector<units::Quantity>& sizes, Measured::Side& to) const {
        const auto [least, greatest] =
            std::minmax_element(sizes.begin(), sizes.end(), [](const auto& a, const auto& b) {
                return units::compare(a, b) == std::partial_ordering::less;
            });
        const bool most = figure.maximum && !figure.minimum;
        const bool between = figure.within || figure.minimum.has_value() == figure.maximum.has_value();
        to.read = words_.say(most || between ? *greatest : *least);
        if (sizes.size() == 1) return;
        if (between)
            to.read = words_.number(*least) + "–" + to.read;
        else
            to.name += (to.name.empty() ? "" : words_.word(Key::list_comma)) +
                       words_.word(most ? Key::greatest : Key::smallest);
    }

    // Of what wears down, and of which it is known what it was when new.
    std::optional<card::WearBar> bar(const model::ReadFigure& figure, const std::string& limit,
                                     const std::vector<units::Quantity>& sizes) const {
        if (!figure.minimum || figure.maximum || figure.within || !shop_.limit) return std::nullopt;
        const auto facts = shop_.limit(name_of(record_.vehicle), limit);
        if (!facts || !facts->as_new) return std::nullopt;
        const units::Quantity& as_new = *facts->as_new;
        const units::Quantity& least = figure.minimum->value.quantity;
        const double whole = units::value_in(as_new, as_new.unit) - units::value_in(least, as_new.unit);
        if (!(whole > 0)) return std::nullopt;
        const auto mark = [&](const units::Quantity& of) {
            const double over = (units::value_in(of, as_new.unit) - units::value_in(least, as_new.unit)) / whole;
            const double at = card::WearBar::limit_at + (1000.0 - card::WearBar::limit_at) * over;
            return card::WearBar::Mark{static_cast<std::uint32_t>(std::lround(std::clamp(at, 0.0, 1000.0))),
                                       words_.number(of)};
        };
        const auto worst = std::min_element(sizes.begin(), sizes.end(), [](const auto& a, const auto& b) {
            return units::compare(a, b) == std::partial_ordering::less;
        });
        card::WearBar made{mark(least), mark(figure.keep ? figure.keep->value.quantity : least), mark(as_new),
                           mark(*worst)};
        if (!figure.keep) made.keep.text.clear();
        return made;
    }

    // -- What is advised: the more urgent first ---------------------------------------------------------------------------------------
    struct Advice {
        std::string what, when;
        int rank = 0;
    };

    void advise(const std::string& what, std::string when, int rank) {
        // What is past its limit and also looked bad is one thing to be done.
        for (const Advice& each : advice_)
            if (each.what == what && each.rank <= rank) return;
        advice_.push_back({what, std::move(when), rank});
    }

    // The limit is told at the mean rate. Without the margin that the verdict has on it, it may lie beyond a service that the part does not last to: that
    // would read as if it did.
    bool beyond_service(const model::ReadFigure& figure) const {
        if (!figure.verdict || figure.verdict->value != model::Held::not_to_next_service) return false;
        return !record_.next_service ||
               !(units::compare(figure.limit_at->value.quantity, record_.next_service->value.quantity) ==
                 std::partial_ordering::less);
    }

    void advise_by(const std::string& what, const model::ReadFigure& figure) {
        if (figure.verdict->value != model::Held::not_to_next_service) {
            advise(what, words_.word(Key::at_once), 0);
            return;
        }
        if (figure.limit_at && !beyond_service(figure))
            advise(what, words_.fill(Key::before_meter, {words_.say(figure.limit_at->value.quantity)}), 1);
        else
            advise(what, words_.word(Key::before_service), 2);
    }

    void advice() {
        Block block{words_.word(Key::advised), {}};
        std::stable_sort(advice_.begin(), advice_.end(),
                         [](const Advice& a, const Advice& b) { return a.rank < b.rank; });
        Pairs lines;
        for (const Advice& each : advice_) lines.lines.emplace_back(each.what, each.when);
        const bool nothing = lines.lines.empty() && !made_.stop && !unread();
        for (const std::string& each : each_once(&RecordedCard::declined))
            lines.lines.emplace_back(words_.word(Key::declined), each);
        for (const RecordedCard& card : cards())
            if (card.earlier)
                for (const model::FromEarlier& each : card.earlier->value)
                    if (each.done && !each.done->value.value)
                        lines.lines.emplace_back(said_of(each), words_.word(Key::open_still));
        if (nothing && lines.lines.empty())
            block.parts.emplace_back(Paragraph{words_.word(Key::advised_nothing), false});
        if (!lines.lines.empty()) block.parts.emplace_back(std::move(lines));
        for (const RecordedCard& card : cards())
            for (const auto* told : {&card.recheck, &card.later})
                if (*told)
                    for (const auto& each : (*told)->value) block.parts.emplace_back(Paragraph{each.value, true});
        if (const std::string next = words_.next_service(record_); !next.empty())
            block.parts.emplace_back(Paragraph{next, true});
        add(std::move(block));
    }

    // Was anything left that nobody knows?
    bool unread() const {
        return std::any_of(cards().begin(), cards().end(), [](const RecordedCard& card) {
            return card.not_ticked || card.also_found || card.declined ||
                   (card.readings && std::any_of(card.readings->value.begin(), card.readings->value.end(),
                                                 [](const auto& each) { return !each.read || !each.verdict; }));
        });
    }

    void parts() {
        struct New {
            std::string item, batch;
            std::int64_t count = 1;
            std::vector<std::string> sides;
        };
        std::vector<New> all; // sides with the same part number in one line
        for (const RecordedCard& card : cards())
            if (card.renewed)
                for (const model::Renewed& each : card.renewed->value) {
                    const New made{
                        words_.item(name_of(each.of)), text_of(each.batch), each.count ? each.count->value : 1, {}};
                    auto same = std::find_if(all.begin(), all.end(), [&](const New& one) {
                        return one.item == made.item && one.batch == made.batch && one.count == made.count && each.at &&
                               !one.sides.empty();
                    });
                    if (same == all.end()) same = all.insert(all.end(), made);
                    if (each.at) same->sides.push_back(words_.side(each.at->value.name));
                }
        Pairs lines;
        for (const New& each : all) {
            std::string name = each.item;
            if (each.count > 1) name = words_.fill(Key::times, {std::to_string(each.count)}) + " " + name;
            if (!each.sides.empty()) name += words_.word(Key::list_comma) + words_.join(each.sides);
            lines.lines.emplace_back(std::move(name),
                                     words_.word(Key::renewed) + (each.batch.empty() ? "" : " · " + each.batch));
        }
        const auto told = [&](const std::string& what) {
            return std::any_of(all.begin(), all.end(), [&](const New& each) { return each.item == what; });
        };
        Block block{words_.word(Key::parts_used), {}};
        if (!lines.lines.empty()) block.parts.emplace_back(std::move(lines));
        std::string used; // run on: there are many, and nobody looks for one
        if (record_.used)
            for (const model::Used& each : record_.used->value) {
                if (told(text_of(each.what))) continue;
                used += (used.empty() ? "" : " · ") + text_of(each.what);
                if (each.amount) used += " " + words_.say_written(each.amount->value);
            }
        if (!used.empty()) block.parts.emplace_back(Paragraph{used, false});
        add(std::move(block));
    }

    void signatures() {
        Block block{words_.word(Key::signed_by), {}};
        Signatures all;
        std::set<std::string> known;
        const auto sign = [&](Key role, const std::string& who) {
            if (who.empty() || !known.insert(std::to_string(static_cast<int>(role)) + who).second) return;
            all.list.push_back({words_.word(role), who});
        };
        bool alone = false;
        for (const RecordedCard& card : cards()) {
            std::string when = text_of(card.date);
            if (card.time) when += (when.empty() ? "" : " ") + card.time->value;
            const auto at = [&](const std::string& who) {
                return who.empty() || when.empty() ? who : who + " · " + when;
            };
            sign(Key::done_by, at(text_of(card.done_by)));
            sign(Key::second_check, text_of(card.checked_by));
            if (card.checked)
                for (const model::Checked& each : card.checked->value) {
                    alone = alone || each.independent;
                    if (!card.checked_by) sign(Key::second_check, text_of(each.by));
                }
        }
        for (const RecordedCard& card : cards()) {
            sign(Key::wrench_used, text_of(card.wrenches));
            sign(Key::gauge_used, text_of(card.gauges));
        }
        if (!all.list.empty()) block.parts.emplace_back(std::move(all));
        if (alone) block.parts.emplace_back(Paragraph{words_.word(Key::not_independent), true});
        if (record_.corrects) {
            std::string text = words_.fill(Key::takes_place_of, {record_.corrects->value.name});
            if (record_.reason) text += " " + record_.reason->value;
            block.parts.emplace_back(Paragraph{text, false});
        }
        if (record_.continues)
            block.parts.emplace_back(Paragraph{words_.fill(Key::goes_on_from, {record_.continues->value.name}), false});
        add(std::move(block));
    }

    const Shop& shop_;
    const Record& record_;
    Words words_;
    std::vector<Advice> advice_;
    Report made_;
};

} // namespace

Report customer_page(const Shop& shop, const model::Record& record) {
    return CustomerPage(shop, record).make();
}

} // namespace benchleaf::report
