#include "reach/reach.h"

#include "history/history.h"
#include "linked/look_over.h"
#include "linked/named_by.h"

#include <algorithm>
#include <type_traits>
#include <unordered_map>
#include <unordered_set>

namespace benchleaf::reach {

namespace {

constexpr Mark prime = 0x9E3779B97F4A7C15;

// A name has few bytes: eight of them at once, each time mixed through.
Mark mixed(Mark mark, std::uint64_t next) {
    mark = (mark ^ next) * prime;
    return mark ^ (mark >> 29);
}

bool of_a_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '/';
}

template <class T>
void sort_and_unite(std::vector<T>& all) {
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
}

} // namespace

Mark mark_of(Mark outer, std::string_view name) {
    Mark mark = mixed(outer + prime, name.size());
    while (!name.empty()) {
        std::uint64_t next = 0;
        const std::size_t count = std::min<std::size_t>(name.size(), 8);
        for (std::size_t i = 0; i < count; ++i)
            next |= static_cast<std::uint64_t>(static_cast<unsigned char>(name[i])) << (8 * i);
        mark = mixed(mark, next);
        name.remove_prefix(count);
    }
    return mixed(mark, mark >> 32);
}

Mark mark_of(std::string_view name) {
    return mark_of(0, name);
}

Mark mark_of(Mark outer, Mark inner) {
    return mixed(mixed(outer + prime, inner), 1);
}

std::vector<Mark> words_of(std::string_view text) {
    std::vector<Mark> words;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && of_a_name(text[end])) ++end;
        if (end == at) {
            ++at;
            continue;
        }
        const std::string_view word = text.substr(at, end - at);
        const std::size_t slash = word.find('/');
        words.push_back(slash == std::string_view::npos
                            ? mark_of(word)
                            : mark_of(mark_of(word.substr(0, slash)), word.substr(slash + 1)));
        at = end;
    }
    sort_and_unite(words);
    return words;
}

namespace {

std::uint32_t count(const model::Steps& steps) {
    std::uint32_t number = 0;
    for (const model::Step& step : steps) {
        if (!step.section) ++number;
        for (const auto* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) number += count((*below)->value);
        if (step.again && step.again->value.otherwise) number += count(step.again->value.otherwise->value);
    }
    return number;
}

} // namespace

std::uint32_t steps_of(const model::Procedure& procedure) {
    return procedure.steps ? count(procedure.steps->value) : 0;
}

namespace {

template <class Identity>
void tell(const Identity& identity, Told& to) {
    for (const auto& number : identity) to.push_back(mark_of_number(number.key.name, number.value.value));
}

} // namespace

Mark mark_of_number(std::string_view sort, std::string_view number) {
    return mark_of(mark_of(sort), history::bare_number(number));
}

Told told_by(const model::Record& record) {
    const auto named = [](std::string_view name) { return mark_of(mark_of("record"), name); };
    Told told{named(record.id.value)};
    if (record.corrects) told.push_back(named(record.corrects->value.name));
    if (record.continues) told.push_back(named(record.continues->value.name));
    if (record.job) told.push_back(mark_of(mark_of("job"), record.job->value.name));
    if (record.identity) tell(record.identity->value, told);
    return told;
}

std::vector<std::size_t> belonging(const std::vector<Tells>& records, const std::vector<Mark>& told) {
    std::vector<std::size_t> found;
    std::unordered_set<Mark> all(told.begin(), told.end());
    std::vector<char> taken(records.size(), 0);
    for (std::size_t before = 0; before != all.size();) { // until a walk over them adds nothing
        before = all.size();
        for (std::size_t i = 0; i < records.size(); ++i) {
            const Tells of = records[i];
            if (taken[i] != 0 || std::none_of(of.begin(), of.end(), [&](Mark each) { return all.contains(each); }))
                continue;
            taken[i] = 1;
            found.push_back(i);
            all.insert(of.begin(), of.end());
        }
    }
    std::sort(found.begin(), found.end());
    return found;
}

namespace {

class Noting {
    using Span = source::Span;

public:
    Noting(const linked::Linked& linked, const source::Sources& sources)
        : linked_(linked), model_(*linked.model), sources_(sources), files_(sources.size()) {}

    Reach take() {
        number_entries();
        note_things();
        for (const linked::Use& use : linked_.uses) note_use(use);
        for (std::size_t i = 0; i < linked_.items.size(); ++i) {
            const linked::Item& item = linked_.items[i];
            linked::named_by(item, linked::ItemId(i), used_in(item.declared));
            linked::bound_to(item, role_in(item.declared, Role::binds));
            for (const linked::ConsumableId id : {item.fluid, item.threadlock, item.lubricant})
                linked::hand_on(id, role_in(item.declared, Role::applies));
            if (!item.only_on.empty()) file(item.declared).only_on.push_back(conditions(item.only_on));
            note_asked(item.only_on, file(item.declared));
        }
        note_nuts();
        for (const linked::Limit& each : linked_.limits) linked::named_by(each, used_in(each.declared));
        for (const linked::Consumable& each : linked_.consumables) linked::named_by(each, used_in(each.declared));
        for (const linked::Tool& each : linked_.tools) linked::named_by(each, used_in(each.declared));
        for (const linked::Catalogue& each : linked_.catalogues) {
            note_torques(each.torques, each.declared);
            count_torques(each.torques, file(each.declared));
        }
        for (const linked::Procedure& each : linked_.procedures) note(each);
        for (const linked::Vehicle& each : linked_.vehicles) note(each);
        for (const linked::Job& each : linked_.jobs) note_torques(each.torques, each.source->id.span);
        return gathered();
    }

private:
    File& file(Span at) { return files_[at.file.index()]; }

    // Notes that a file does that with what it is called with.
    class ToNote {
    public:
        ToNote(Noting& noting, std::vector<Entry>& to, std::uint16_t role) : noting_(&noting), to_(&to), role_(role) {}
        template <class Id>
        void operator()(Id id) const {
            to_->push_back({noting_->mark(id), role_});
        }

    private:
        Noting* noting_;
        std::vector<Entry>* to_;
        std::uint16_t role_;
    };
    ToNote role_in(Span in, std::uint16_t role) { return {*this, file(in).entries, role}; }
    ToNote used_in(Span in) { return role_in(in, Role::uses); }

    // The mark of each entry, by the kind of its number; and by where it is declared.
    template <class Things>
    std::vector<Mark> marks_of(const Things& things) {
        std::vector<Mark> marks;
        for (const auto& thing : things) {
            const Mark name = mark_of(thing.id);
            const Mark mark = mark_of(mark_of(linked_.catalogues[thing.catalogue.index()].id), thing.id);
            marks.push_back(mark);
            declared_.emplace(key(thing.declared), Declared{mark, name});
            file(thing.declared).declares.push_back(name);
            file(thing.declared).own.push_back(mark);
        }
        return marks;
    }
    struct Declared {
        Mark entry, name;
    };
    static std::uint64_t key(Span at) { return std::uint64_t{at.file.value} << 32 | at.begin; }

    void number_entries() {
        items_ = marks_of(linked_.items);
        limits_ = marks_of(linked_.limits);
        consumables_ = marks_of(linked_.consumables);
        tools_ = marks_of(linked_.tools);
        cautions_ = marks_of(linked_.cautions);
    }
    template <class Id>
    Mark mark(Id id) const {
        if constexpr (std::is_same_v<Id, linked::ItemId>) return items_[id.index()];
        if constexpr (std::is_same_v<Id, linked::LimitId>) return limits_[id.index()];
        if constexpr (std::is_same_v<Id, linked::ConsumableId>) return consumables_[id.index()];
        if constexpr (std::is_same_v<Id, linked::ToolId>) return tools_[id.index()];
        if constexpr (std::is_same_v<Id, linked::CautionId>) return cautions_[id.index()];
    }

    void note_use(const linked::Use& use) {
        File& in = file(use.at);
        if (use.declared.file != use.at.file) in.refs.push_back(path_mark(use.declared.file));
        const auto entry = declared_.find(key(use.declared));
        if (entry == declared_.end()) return;
        in.entries.push_back({entry->second.entry, Role::names});
        if (in.kind != Kind::vehicle && in.kind != Kind::job) return;
        const bool whole = sources_.text(use.at).find('/') != std::string_view::npos;
        in.words.push_back(whole ? entry->second.entry : entry->second.name);
    }

    Mark path_mark(source::FileId of) {
        auto [at, fresh] = paths_.try_emplace(of.value, 0);
        if (fresh) at->second = mark_of(sources_.file(of).path);
        return at->second;
    }

    static Conditions conditions(const model::Conditions& from) {
        Conditions to;
        for (const auto& each : from) {
            Condition condition{mark_of(each.key.name), {}};
            for (const auto& value : each.value) condition.values.push_back(mark_of(value.name));
            to.push_back(std::move(condition));
        }
        return to;
    }
    static void note_asked(const model::Conditions& from, File& to) {
        for (const auto& each : from) {
            const Mark feature = mark_of(each.key.name);
            to.asked.push_back(feature);
            for (const auto& value : each.value) to.asked.push_back(mark_of(feature, mark_of(value.name)));
        }
    }

    File& begin(const source::Spanned<std::string>& id, Kind kind) {
        File& in = file(id.span);
        in.kind = kind;
        in.id = mark_of(id.value);
        read_.push_back(id.span.file);
        return in;
    }

    void note_things() {
        for (const model::Shop& each : model_.shops) (void)begin(each.id, Kind::shop);
        for (const model::Catalogue& each : model_.catalogues) (void)begin(each.id, Kind::catalogue);
        for (const model::Procedure& each : model_.procedures) (void)begin(each.id, Kind::procedure);
        for (const model::Vehicle& each : model_.vehicles) (void)begin(each.id, Kind::vehicle);
        for (const model::Job& each : model_.jobs) (void)begin(each.id, Kind::job);
        for (const model::Answers& each : model_.answers) (void)begin(each.id, Kind::answers);
        for (const model::Approval& each : model_.approvals) (void)begin(each.id, Kind::approval);
    }

    template <class Torques>
    void note_torques(const Torques& torques, Span in) {
        for (const linked::Torque& torque : torques) {
            std::uint16_t roles = Role::has_torque;
            if (torque.figures.value)
                for (const units::Stage& stage : torque.figures.value->value.stages)
                    if (std::holds_alternative<units::BackOff>(stage)) roles |= Role::backs_off;
            linked::hand_on(torque.fastener, role_in(in, roles));
        }
    }

    static void count_torques(const std::vector<linked::Torque>& torques, File& in) {
        for (const linked::Torque& torque : torques)
            if (const auto value = linked::last_torque(torque))
                ++in.torques.at(static_cast<std::size_t>(linked::written_in(value->unit)));
    }

    void note(const linked::Procedure& procedure) {
        const Span at = procedure.source->id.span;
        File& in = file(at);
        linked::named_by(procedure, used_in(at));
        for (const auto* contract : {&procedure.starts_with, &procedure.ends_with})
            for (const linked::Entering& entering : *contract)
                linked::hand_on(entering.item, role_in(at, Role::enters));
        note_torques(procedure.torques, at);
        if (procedure.source->fits) {
            in.fits = conditions(procedure.source->fits->value);
            note_asked(procedure.source->fits->value, in);
        }
        in.steps = steps_of(*procedure.source);
        for (const linked::Section& section : procedure.sections)
            linked::each_step(section.steps, [&](const linked::Step& step) { note(step, at); });
    }

    void note(const linked::Step& step, Span at) {
        if (step.source != nullptr && step.source->when) note_asked(step.source->when->value, file(at));
        if (step.source != nullptr)
            if (const auto* picture = model::picture_file(*step.source)) file(at).pictures.push_back(picture->value);
        for (const linked::Only& only : step.only)
            for (const std::string& value : only.values)
                if (only.axis.known())
                    file(at).only.push_back(mark_of(mark_of(linked_.axes[only.axis.index()].name), mark_of(value)));
        for (const linked::Basis& basis : step.basis) linked::hand_on(basis.limit, role_in(at, Role::decides));
        for (const linked::Target& target : step.targets) linked::hand_on(target.limit, role_in(at, Role::measures));
        linked::hand_on(step.consumable, role_in(at, Role::applies));
        linked::hand_on(step.with_consumables, role_in(at, Role::applies));
    }

    // Of each limit the nuts that have to be tight while what it is of is measured.
    void note_nuts() {
        for (std::size_t i = 0; i < linked_.limits.size(); ++i)
            for (const linked::ItemId of : linked_.limits[i].of) {
                if (!of.known()) continue;
                for (const linked::While& each : linked_.items[of.index()].whiles)
                    for (const linked::Need& need : each.needs)
                        if (need.item.known())
                            file(linked_.limits[i].declared).set_by.emplace_back(limits_[i], mark(need.item));
            }
    }

    void note(const linked::Vehicle& vehicle) {
        const Span at = vehicle.source->id.span;
        File& in = file(at);
        linked::named_by(vehicle, used_in(at));
        for (const auto& [id, item] : vehicle.items) linked::bound_to(item, role_in(at, Role::binds));
        note_torques(vehicle.torques, at);
        count_torques(vehicle.torques, in);
        if (vehicle.source->has)
            for (const auto& entry : vehicle.source->has->value)
                in.has.emplace_back(mark_of(entry.key.name), mark_of(entry.value.name));
        if (vehicle.source->axes)
            for (const auto& entry : vehicle.source->axes->value)
                for (const auto& value : entry.value)
                    in.axes.emplace_back(mark_of(entry.key.name), mark_of(value.name));
    }

    // Each entry once, with all that is done with it.
    static void unite(std::vector<Entry>& entries) {
        std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.of < b.of; });
        std::vector<Entry> united;
        for (const Entry& each : entries)
            if (united.empty() || united.back().of != each.of)
                united.push_back(each);
            else
                united.back().roles |= each.roles;
        entries = std::move(united);
    }

    Reach gathered() {
        for (const model::Job& each : model_.jobs) {
            std::vector<Mark>& words = file(each.id.span).words;
            if (each.identity) tell(each.identity->value, words);
            words.push_back(mark_of(mark_of("job"), each.id.value));
        }
        Reach reach;
        for (const source::FileId id : read_) {
            File& in = files_[id.index()];
            unite(in.entries);
            std::sort(in.asked.begin(), in.asked.end());
            for (std::vector<Mark>* each : {&in.refs, &in.words, &in.declares, &in.own, &in.only})
                sort_and_unite(*each);
            for (std::vector<Mark>* each : {&in.refs, &in.words, &in.declares, &in.own, &in.asked})
                each->shrink_to_fit();
            reach.insert_or_assign(sources_.file(id).path, std::make_shared<const File>(std::move(in)));
        }
        return reach;
    }

    const linked::Linked& linked_;
    const model::Model& model_;
    const source::Sources& sources_;
    std::vector<File> files_;          // by FileId
    std::vector<source::FileId> read_; // those that were read as something
    std::vector<Mark> items_, limits_, consumables_, tools_, cautions_;
    std::unordered_map<std::uint64_t, Declared> declared_; // by where
    std::unordered_map<std::uint32_t, Mark> paths_;
};

} // namespace

Reach reach_of(const linked::Linked& linked, const source::Sources& sources) {
    return Noting(linked, sources).take();
}

} // namespace benchleaf::reach
