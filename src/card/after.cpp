#include "card/after.h"

#include "card/done.h"
#include "mechanics/date.h"
#include "model/service.h"
#include "model/verbs.h"

#include <algorithm>
#include <set>
#include <utility>

namespace benchleaf::card {

namespace {

using model::Debt;

std::string next_service(const Speaker& s) {
    if (s.job == nullptr) return {};
    std::string text;
    if (s.job->next_service) {
        if (const auto at = model::next_service_at(*s.job)) {
            text = s.fill(Key::next_service_at, {s.say(*at)});
        } else {
            units::Quantity way = s.job->next_service->value.quantity;
            way.relative = false;
            text = s.fill(Key::next_service_after, {s.say(way)});
        }
    }
    if (s.job->next_service_date) {
        const std::string& date = s.job->next_service_date->value;
        text = text.empty() ? s.fill(Key::next_service_on, {date}) : s.fill(Key::next_service_or, {text, date});
    }
    return text;
}

// What a card says of what was done on it and of what it leaves.
class Closer {
public:
    Closer(const Speaker& speaker, const Unfolded& unfolded, const std::vector<proof::Left>& left,
           const std::map<linked::ItemId, std::string>& torques)
        : s_(speaker), unfolded_(unfolded), left_(left), torques_(torques),
          done_(what_is_done(speaker.fit, speaker.linked, unfolded)) {}

    CloseOut make() {
        made_.title = s_.word(Key::close_out);
        for (const ItemId item : items(What::torqued))
            if (s_.item(item).critical && s_.item(item).sort == linked::Sort::fastener) torque(item);
        // Pins and clips that hold what must not come away.
        for (const ItemId item : items(What::moved)) {
            if (s_.item(item).sort != linked::Sort::clip || !s_.item(item).critical) continue;
            for (const Alike& each : alike(all(What::moved, item)))
                line(s_.name(item) + ": " + s_.place(item, 0) + sides(item, each), each.when);
        }
        for (const ItemId item : items(What::paid)) proofs(item);
        // Settings back at rest: that is so whatever was answered.
        for (const ItemId item : items(What::moved)) {
            if (s_.item(item).sort != linked::Sort::setting || s_.item(item).rests_anywhere) continue;
            for (const Alike& each : united(all(What::moved, item)))
                line(s_.name(item) + ": " + s_.place(item, 0) + sides(item, each), {{}});
        }
        lockers();
        for (const ItemId item : items(What::torqued_new)) {
            const auto& after = s_.item(item).fastener.recheck_after;
            if (!after) continue;
            for (const Alike& each : alike(all(What::torqued_new, item)))
                later(s_.fill(Key::recheck_after, {s_.say(after->value.quantity), s_.name(item)}) + sides(item, each),
                      each.when, linked::name_among_all(s_.linked, item));
        }
        not_finished();
        made_.signatures = {s_.word(Key::done_by),    s_.word(Key::second_check), s_.word(Key::wrench_used),
                            s_.word(Key::gauge_used), s_.word(Key::date),         s_.word(Key::time)};
        made_.signers = 2;
        made_.check_rule = check_rule(s_);
        return std::move(made_);
    }

private:
    using What = Done::What;
    using ItemId = linked::ItemId;

    // -- What was done, as it is to be said -----------------------------------------------------------------------------------
    std::vector<ItemId> items(What what) const {
        std::set<ItemId> all;
        for (const Done& one : done_)
            if (one.what == what) all.insert(one.item);
        return {all.begin(), all.end()};
    }

    // Nothing of what is away from rest when the card is done: that is said at the end.
    std::vector<const Done*> all(What what, ItemId item) const {
        std::vector<const Done*> made;
        for (const Done& one : done_) {
            if (one.what != what || one.item != item) continue;
            const proof::Left* left = left_at(item, one.value);
            const bool away = left != nullptr && left->place != 0;
            if (what == What::locker || !away) made.push_back(&one);
        }
        return made;
    }

    // Whatever was answered.
    static std::vector<Alike> united(const std::vector<const Done*>& all) {
        Alike made{{}, {{}}};
        for (const Done* one : all)
            if (one->value != fitted::no_value) made.values.push_back(one->value);
        std::sort(made.values.begin(), made.values.end());
        made.values.erase(std::unique(made.values.begin(), made.values.end()), made.values.end());
        return all.empty() ? std::vector<Alike>() : std::vector<Alike>{made};
    }

    const proof::Left* left_at(ItemId item, fitted::AxisValue value) const {
        for (const proof::Left& left : left_)
            if (left.item == item && (left.value == value || value == fitted::no_value)) return &left;
        return nullptr;
    }

    // ", left and right"; nothing where the vehicle has but one.
    std::string sides(ItemId item, const Alike& each) const {
        if (each.values.empty()) return {};
        return s_.word(Key::list_comma) + s_.sides(s_.item(item).axis, each.values);
    }

    // "if step 4 was answered no: …"
    std::string where_done(std::string text, const When& when) const {
        if (when.empty() || when.front().empty()) return text;
        std::vector<std::string> any;
        for (const auto& answers : when) {
            std::vector<std::string> each;
            for (const Answered& answer : told(answers, unfolded_)) {
                static constexpr Key words[] = {Key::if_step_yes, Key::if_step_no, Key::if_step_over};
                each.push_back(s_.fill(words[static_cast<std::size_t>(answer.how)], {std::to_string(answer.step)}));
            }
            add_once(any, s_.join(each));
        }
        std::string answered = any.front();
        for (std::size_t i = 1; i < any.size(); ++i) answered = s_.fill(Key::list_or, {answered, any[i]});
        return s_.fill(Key::where_so, {s_.fill(Key::if_steps, {answered}), text});
    }

    void line(std::string text, const When& when, std::string field = {}) {
        made_.lines.push_back({where_done(std::move(text), when), std::move(field), when});
    }
    void later(std::string text, const When& when, const std::string& recheck = {}) {
        made_.to_tell.push_back({text, when, recheck});
        made_.later.push_back(where_done(std::move(text), when));
    }

    // -- Each sort --------------------------------------------------------------------------------------------------------------
    void torque(ItemId item) {
        const auto value = torques_.find(item);
        const std::string text = value == torques_.end() ? s_.name(item) + ": " + s_.word(Key::place_tight)
                                                         : s_.fill(Key::torqued_to, {s_.name(item), value->second});
        for (const Alike& each : alike(all(What::torqued, item))) line(text + sides(item, each), each.when);
    }

    // Circuits and adjustments: what is paid on the same sides and answers stands in one line, in the order of work.
    void proofs(ItemId item) {
        static constexpr std::pair<Debt, Key> words[] = {
            {Debt::fill, Key::paid_fill},     {Debt::bleed, Key::paid_bleed},
            {Debt::prime, Key::paid_prime},   {Debt::circulate, Key::paid_circulate},
            {Debt::level, Key::paid_level},   {Debt::leak_check, Key::paid_leak_check},
            {Debt::adjust, Key::paid_adjust}, {Debt::prove, Key::paid_prove},
        };
        std::vector<std::pair<Alike, std::vector<std::string>>> lines;
        const auto add = [&](const Alike& to, std::string word) {
            auto same = std::find_if(lines.begin(), lines.end(), [&](const auto& each) {
                return each.first.values == to.values && each.first.when == to.when;
            });
            if (same == lines.end()) same = lines.insert(lines.end(), {to, {}});
            same->second.push_back(std::move(word));
        };
        for (const auto& [debt, key] : words) {
            std::vector<const Done*> paid;
            for (const Done* one : all(What::paid, item)) {
                if (one->debt != debt) continue;
                const auto value = debt == Debt::bleed ? fitted::no_value : one->value;
                const proof::Left* left = left_at(item, value);
                if (left == nullptr || (left->owes & model::bit(debt)) == 0) paid.push_back(one);
            }
            if (debt != Debt::bleed) {
                for (const Alike& each : alike(paid)) add(each, s_.word(key));
                continue;
            }
            // Bled at every vent of the circuit, or at those that are named.
            std::vector<std::pair<ItemId, std::vector<Alike>>> at;
            for (const ItemId vent : s_.item(item).vented_by) {
                if (!s_.present(vent)) continue;
                std::vector<const Done*> here;
                for (const Done* one : paid)
                    if (one->vent == vent) here.push_back(one);
                at.emplace_back(vent, alike(here));
            }
            const bool everywhere = std::all_of(at.begin(), at.end(), [&](const auto& each) {
                return each.second.size() == 1 && each.second.front().values == s_.values(each.first) &&
                       each.second.front().when == at.front().second.front().when;
            });
            if (at.empty()) continue;
            if (everywhere) {
                add({{}, at.front().second.front().when}, s_.word(key));
                continue;
            }
            for (const auto& [vent, done] : at)
                for (const Alike& each : done)
                    line(s_.name(item) + ": " + s_.word(key) + " – " + s_.name(vent) + sides(vent, each), each.when);
        }
        for (const auto& [each, paid] : lines)
            line(s_.name(item) + ": " + s_.listed(paid) + sides(item, each), each.when);
    }

    // Thread-locker that sets: a line with its time for all that is wetted on the same sides and answers.
    void lockers() {
        std::vector<linked::ConsumableId> lockers;
        for (const Done& one : done_)
            if (one.what == What::locker && std::find(lockers.begin(), lockers.end(), one.locker) == lockers.end())
                lockers.push_back(one.locker);
        for (const auto id : lockers) {
            const linked::Consumable& locker = s_.linked.consumables[id.index()];
            struct On {
                Alike alike;
                linked::AxisId axis;
                std::vector<std::string> names;
            };
            std::vector<On> lines;
            When any;
            for (const ItemId item : items(What::locker)) {
                if (s_.item(item).threadlock != id) continue;
                for (const Alike& each : alike(all(What::locker, item))) {
                    any.insert(any.end(), each.when.begin(), each.when.end());
                    auto same = std::find_if(lines.begin(), lines.end(), [&](const On& on) {
                        return on.alike.values == each.values && on.alike.when == each.when &&
                               (each.values.empty() || on.axis == s_.item(item).axis);
                    });
                    if (same == lines.end()) same = lines.insert(lines.end(), {each, s_.item(item).axis, {}});
                    same->names.push_back(s_.name(item));
                }
            }
            for (const On& on : lines) {
                std::string text = s_.fill(Key::locker_on, {locker.name, s_.listed(on.names)});
                if (!on.alike.values.empty()) text += s_.word(Key::list_comma) + s_.sides(on.axis, on.alike.values);
                const auto& sets = locker.figures.sets_in;
                line(std::move(text), on.alike.when,
                     sets ? s_.fill(Key::applied, {s_.say(sets->value.quantity)}) : std::string());
            }
            if (locker.figures.full_in)
                later(s_.fill(Key::full_after, {locker.name, s_.say(locker.figures.full_in->value.quantity)}),
                      simplified(any));
        }
    }

    // Whatever is away from rest, whichever card left it so: should the work end here, this is what the next one has to know.
    void not_finished() {
        std::string all;
        for (std::size_t i = 0; i < left_.size(); ++i) {
            const proof::Left& left = left_[i];
            const auto alike = [&](const proof::Left& other) {
                return other.item == left.item && other.place == left.place && other.owes == left.owes;
            };
            if (std::any_of(left_.begin(), left_.begin() + static_cast<std::ptrdiff_t>(i), alike)) continue;
            Alike on;
            if (!s_.values(left.item).empty())
                for (const proof::Left& other : left_)
                    if (alike(other)) on.values.push_back(other.value);
            std::vector<std::string> says;
            if (left.place != 0) says.push_back(s_.place(left.item, left.place));
            if (const std::string debts = owed(s_, left.owes); !debts.empty())
                says.push_back(s_.fill(Key::still_owed, {debts}));
            all += (all.empty() ? "" : " · ") + s_.name(left.item) + ": " + s_.listed(says) + sides(left.item, on);
        }
        if (!all.empty()) made_.later.push_back(s_.fill(Key::left_open, {all}));
    }

    const Speaker& s_;
    const Unfolded& unfolded_;
    const std::vector<proof::Left>& left_;
    const std::map<linked::ItemId, std::string>& torques_;
    std::vector<Done> done_;
    CloseOut made_;
};

} // namespace

Findings make_findings(const Speaker& s) {
    Findings made;
    made.title = s.word(Key::findings);
    made.also_found = s.word(Key::also_found);
    made.declined = s.word(Key::declined);
    made.next_service = next_service(s);
    return made;
}

StopStrip make_stop_strip(const Speaker& s) {
    return {s.word(Key::stopped_here),
            {s.word(Key::date), s.word(Key::time), s.word(Key::at_step), s.word(Key::vehicle_state)},
            s.word(Key::do_not_drive),
            s.word(Key::stopped_do)};
}

CloseOut make_close_out(const Speaker& speaker, const Unfolded& unfolded, const std::vector<proof::Left>& left,
                        const std::map<linked::ItemId, std::string>& torques) {
    return Closer(speaker, unfolded, left, torques).make();
}

} // namespace benchleaf::card
