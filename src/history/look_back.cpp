#include "history/history.h"

#include "base/text.h"
#include "history/order.h"
#include "history/owners.h"

#include <algorithm>
#include <map>

namespace benchleaf::history {

namespace {

using model::Record;

const std::string* frame_of(const Identity& identity) {
    for (const auto& each : identity)
        if (each.key.name == "frame") return &each.value.value;
    return nullptr;
}

// Of several points the one that decides.
std::optional<units::Quantity> decisive(const model::ReadFigure& figure) {
    if (!figure.read) return std::nullopt;
    std::optional<units::Quantity> found;
    for (const auto& point : figure.read->value) {
        const units::Quantity& size = point.value.quantity;
        const auto order = found ? units::compare(size, *found) : std::partial_ordering::unordered;
        const bool worse = figure.maximum && !figure.minimum ? order == std::partial_ordering::greater
                                                             : order == std::partial_ordering::less;
        if (!found || worse) found = size;
    }
    return found;
}

std::string name_or_empty(const auto& given) {
    return given ? given->value.name : std::string();
}

class Gatherer {
public:
    explicit Gatherer(Vehicle& vehicle) : vehicle_(vehicle) {}

    void add(const Record& record) {
        vehicle_.identity = over(record.identity->value, vehicle_.identity);
        const auto shows_less = [&](const Record* before) {
            return before->meter && record.meter &&
                   units::compare(record.meter->value.quantity, before->meter->value.quantity) ==
                       std::partial_ordering::less;
        };
        if (!vehicle_.visits.empty() && shows_less(vehicle_.visits.back())) {
            vehicle_.new_meter = &record;
            for (Series& each : vehicle_.series) each.counts_from = each.readings.size();
        }
        vehicle_.visits.push_back(&record);
        if (!record.cards) return;
        // What was said of earlier visits comes first: what the same visit found is open anew.
        for (const model::RecordedCard& card : record.cards->value)
            if (card.earlier)
                for (const model::FromEarlier& each : card.earlier->value) answered(each);
        for (const model::RecordedCard& card : record.cards->value) {
            add(record, card);
            if (card.also_found)
                for (const auto& each : card.also_found->value) add_open({&record, nullptr, each.value, {}, {}});
            if (card.declined)
                for (const auto& each : card.declined->value) add_open({&record, nullptr, {}, each.value, {}});
            if (card.recheck)
                for (const auto& each : card.recheck->value) to_recheck(record, each.value);
        }
    }

private:
    // What the last record says comes first; what it does not say is as before.
    static Identity over(Identity latest, const Identity& before) {
        for (const auto& each : before)
            if (std::none_of(latest.begin(), latest.end(),
                             [&](const auto& known) { return known.key.name == each.key.name; }))
                latest.push_back(each);
        return latest;
    }

    // What was read before a part was renewed on the same card is of the old one.
    void add(const Record& record, const model::RecordedCard& card) {
        struct Event {
            std::int64_t step = 0;
            const model::ReadFigure* read = nullptr;
            const model::Renewed* renewed = nullptr;
            const model::FoundThing* found = nullptr;
        };
        std::vector<Event> events;
        if (card.readings)
            for (const auto& each : card.readings->value)
                if (each.limit && each.read)
                    events.push_back({each.step ? each.step->value : 0, &each, nullptr, nullptr});
        if (card.renewed)
            for (const auto& each : card.renewed->value)
                if (each.of) events.push_back({each.step ? each.step->value : 0, nullptr, &each, nullptr});
        if (card.found)
            for (const auto& each : card.found->value)
                if (each.of && each.found)
                    events.push_back({each.step ? each.step->value : 0, nullptr, nullptr, &each});
        std::stable_sort(events.begin(), events.end(), [](const Event& a, const Event& b) { return a.step < b.step; });
        for (const Event& event : events) {
            if (event.read != nullptr) read(record, *event.read);
            if (event.renewed != nullptr) renewed(record, *event.renewed);
            if (event.found != nullptr) found(record, *event.found);
        }
    }

    void read(const Record& record, const model::ReadFigure& figure) {
        const auto size = decisive(figure);
        if (!size) return;
        Series& series = series_of(figure.limit->value.name, name_or_empty(figure.of), name_or_empty(figure.at));
        // Measured once more in a round: the last one stands.
        if (!series.readings.empty() && series.readings.back().record == &record &&
            (series.renewals.empty() || series.renewals.back().before < series.readings.size()))
            series.readings.pop_back();
        series.readings.push_back({&record, &figure, *size});
    }

    void renewed(const Record& record, const model::Renewed& what) {
        const std::string at = name_or_empty(what.at);
        for (Series& each : vehicle_.series)
            if (same_name(each.item, what.of->value.name) && (at.empty() || each.at == at))
                each.renewals.push_back(
                    {&record, each.readings.size(), what.batch ? what.batch->value : std::string()});
        vehicle_.renewed.emplace_back(&record, &what);
        std::erase_if(vehicle_.open, [&](const Open& each) {
            return each.graded != nullptr && same_name(each.graded->of->value.name, what.of->value.name) &&
                   (at.empty() || name_or_empty(each.graded->at) == at);
        });
    }

    // Looked at once more: the last one stands.
    void found(const Record& record, const model::FoundThing& what) {
        std::erase_if(vehicle_.open, [&](const Open& each) { return same_thing(each, what); });
        if (what.found->value != model::Grade::good) vehicle_.open.push_back({&record, &what, {}, {}, {}});
    }

    template <class Thing>
    static bool same_thing(const Open& open, const Thing& what) {
        return open.graded != nullptr && what.of && same_name(open.graded->of->value.name, what.of->value.name) &&
               name_or_empty(open.graded->at) == name_or_empty(what.at);
    }

    // It counts from the last work that asked for it.
    void to_recheck(const Record& record, const std::string& what) {
        std::erase_if(vehicle_.open, [&](const Open& each) { return each.recheck == what; });
        vehicle_.open.push_back({&record, nullptr, {}, {}, what});
    }

    // What was written at two visits in the same words is open since the first.
    void add_open(Open open) {
        const bool known = std::any_of(vehicle_.open.begin(), vehicle_.open.end(), [&](const Open& each) {
            return each.graded == nullptr && each.recheck.empty() && each.also_found == open.also_found &&
                   each.declined == open.declined;
        });
        if (!known) vehicle_.open.push_back(std::move(open));
    }

    void answered(const model::FromEarlier& what) {
        if (!what.done || !what.done->value.value || !what.job) return;
        const auto text = [](const model::Given<std::string>& given) { return given ? given->value : std::string(); };
        std::erase_if(vehicle_.open, [&](const Open& each) {
            if (name_or_empty(each.record->job) != what.job->value.name) return false;
            if (each.graded != nullptr) return same_thing(each, what);
            return !what.of && each.also_found == text(what.also_found) && each.declined == text(what.declined) &&
                   each.recheck == text(what.recheck);
        });
    }

    Series& series_of(const std::string& limit, const std::string& item, const std::string& at) {
        for (Series& each : vehicle_.series)
            if (same_name(each.limit, limit) && same_name(each.item, item) && each.at == at) return each;
        Series made{limit, item, at, {}, {}};
        // It may have been renewed before it was ever read.
        for (const auto& [record, what] : vehicle_.renewed) {
            const std::string there = name_or_empty(what->at);
            if (same_name(item, what->of->value.name) && (there.empty() || there == at))
                made.renewals.push_back({record, 0, what->batch ? what->batch->value : std::string()});
        }
        vehicle_.series.push_back(std::move(made));
        return vehicle_.series.back();
    }

    Vehicle& vehicle_;
};

Vehicle gathered(std::vector<const Record*> records, const Identity& numbers) {
    put_in_order(records);
    Vehicle vehicle;
    vehicle.numbers = numbers;
    Gatherer gatherer(vehicle);
    for (const Record* each : records) gatherer.add(*each);
    return vehicle;
}

bool before(const Record& record, const model::Job& job) {
    if (record.job && record.job->value.name == job.id.value) return false;
    if (!job.date) return false;
    if (record.date->value != job.date->value) return record.date->value < job.date->value;
    return record.meter && job.meter &&
           units::compare(record.meter->value.quantity, job.meter->value.quantity) == std::partial_ordering::less;
}

} // namespace

std::string bare_number(std::string_view text) {
    // Beyond ASCII: the blanks that do not break, the soft hyphen, the dashes and the minus.
    static constexpr std::string_view signs[] = {"\xC2\xA0", "\xC2\xAD", "\xE2\x80", "\xE2\x88\x92"};
    const std::string letters = base::small_letters(text);
    std::string made;
    for (std::size_t i = 0; i < letters.size(); ++i) {
        const auto c = static_cast<unsigned char>(letters[i]);
        const auto sign =
            c < 0x80 ? std::end(signs) : std::find_if(std::begin(signs), std::end(signs), [&](std::string_view each) {
                return std::string_view(letters).substr(i).starts_with(each);
            });
        if (sign != std::end(signs))
            i += (c == 0xC2 ? 2U : 3U) - 1;
        else if (c >= 0x80 || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
            made += letters[i];
    }
    return made.empty() ? letters : made;
}

bool same_name(std::string_view a, std::string_view b) {
    if (a == b) return true;
    const bool in_a = a.find('/') != std::string_view::npos;
    const bool in_b = b.find('/') != std::string_view::npos;
    if (in_a == in_b) return false;
    const auto last = [](std::string_view name) { return name.substr(name.find('/') + 1); };
    return last(a) == last(b);
}

namespace {

// Of the sorts of number that both tell: does each agree, and is there one?
struct Compared {
    bool agree = true;
    bool any = false;
};

Compared compare(const Identity& a, const Identity& b) {
    const bool frames = frame_of(a) != nullptr && frame_of(b) != nullptr;
    std::map<std::string_view, bool> shared; // by the sort of number
    for (const auto& one : a)
        for (const auto& other : b) {
            if (one.key.name != other.key.name || (frames && one.key.name != "frame")) continue;
            const bool same = bare_number(one.value.value) == bare_number(other.value.value);
            const auto each = shared.try_emplace(one.key.name, false).first;
            each->second = each->second || same;
        }
    Compared made;
    made.any = !shared.empty();
    for (const auto& each : shared) made.agree = made.agree && each.second;
    return made;
}

} // namespace

bool same_vehicle(const Identity& a, const Identity& b) {
    const Compared both = compare(a, b);
    return both.any && both.agree;
}

bool may_be_one(const Identity& a, const Identity& b) {
    return compare(a, b).agree;
}

std::string folder_of(const Identity& identity) {
    if (identity.empty()) return {};
    const std::string* frame = frame_of(identity);
    std::string made;
    for (const char c : base::small_letters(frame != nullptr ? *frame : identity.front().value.value)) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        if (plain)
            made += c;
        else if (!made.empty() && made.back() != '-')
            made += '-';
    }
    while (made.ends_with('-')) made.pop_back();
    return made;
}

const Series* Vehicle::find(std::string_view limit, std::string_view item, std::string_view at) const {
    const auto found = std::find_if(series.begin(), series.end(), [&](const Series& each) {
        return each.at == at && same_name(each.limit, limit) && same_name(each.item, item);
    });
    return found == series.end() ? nullptr : &*found;
}

const model::Record* Vehicle::last_renewal(std::string_view item, std::string_view at) const {
    const auto found = std::find_if(renewed.rbegin(), renewed.rend(), [&](const auto& each) {
        const std::string there = name_or_empty(each.second->at);
        return same_name(each.second->of->value.name, item) && (there.empty() || there == at);
    });
    return found == renewed.rend() ? nullptr : found->first;
}

const Vehicle* History::find(const Identity& identity) const {
    const auto found = std::find_if(vehicles.begin(), vehicles.end(),
                                    [&](const Vehicle& each) { return same_vehicle(each.numbers, identity); });
    return found == vehicles.end() ? nullptr : &*found;
}

History look_back(const model::Model& model) {
    History history;
    for (const Owned& each : whose(model).vehicles)
        if (!each.records.empty()) history.vehicles.push_back(gathered(each.records, each.numbers));
    return history;
}

std::optional<Vehicle> look_back(const Owners& owners, const model::Job& job) {
    const Fitting fitting = fits(owners, job);
    if (!fitting.clear) return std::nullopt;
    std::vector<const Record*> records;
    Identity numbers;
    for (const std::size_t each : fitting.vehicles) {
        const Owned& owned = owners.vehicles[each];
        numbers.insert(numbers.end(), owned.numbers.begin(), owned.numbers.end());
        for (const Record* record : owned.records)
            if (before(*record, job)) records.push_back(record);
    }
    if (records.empty()) return std::nullopt;
    return gathered(std::move(records), numbers);
}

} // namespace benchleaf::history
