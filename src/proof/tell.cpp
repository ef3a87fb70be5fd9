#include "proof/tell.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>
#include <tuple>

namespace benchleaf::proof {

source::Span target_span(const fitted::Row& row, linked::ItemId item) {
    for (const fitted::Target& target : row.targets)
        if (target.item == item) return target.span;
    if (!row.targets.empty()) return row.targets.front().span;
    return row.step != nullptr ? row.step->source->span : source::Span{};
}

std::vector<fitted::InstanceId> Moment::every(linked::ItemId other) const {
    std::vector<fitted::InstanceId> all;
    const fitted::Item& is = of(other);
    if (!is.present) return all;
    for (std::uint32_t i = 0; i < is.instances; ++i) all.emplace_back(is.first_instance + i);
    return all;
}

std::vector<fitted::InstanceId> Moment::beside(linked::ItemId other) const {
    std::vector<fitted::InstanceId> all = every(other);
    if (value == fitted::no_value || of(other).is.axis != it().is.axis) return all;
    std::erase_if(all, [&](fitted::InstanceId instance) { return fit.instances[instance.index()].value != value; });
    return all;
}

Finding& Moment::report(const Check& check, std::string what, const std::optional<Found>& found) {
    Finding finding;
    finding.check = &check;
    finding.item = item;
    finding.value = value;
    finding.at = span;
    finding.what = std::move(what);
    if (found) finding.answers = found->answers;
    findings_->push_back(std::move(finding));
    return findings_->back();
}

messages::Label Moment::cause(linked::ItemId which, const Standing& standing) const {
    if (standing.placed == nullptr)
        return declared(which, fmt::format("{} when the work begins", place_name(which, standing.place)));
    const fitted::Row& by = *standing.placed;
    return {target_span(by, which), fmt::format("{} here", model::verb(by.verb).done)};
}

messages::Label Moment::declared(linked::ItemId which, std::string text) const {
    return {of(which).is.declared, std::move(text)};
}

std::string Moment::place_name(linked::ItemId which, linked::Place where) const {
    const std::vector<linked::PlaceName>& places = of(which).is.places;
    return where < places.size() ? places[where].name : "somewhere";
}

std::string_view Moment::done() const {
    return row != nullptr ? model::verb(row->verb).done : std::string_view();
}

namespace {

// ", left and right" – or nothing where the item has no axis.
std::string sides(const fitted::Fit& fit, linked::ItemId item, const std::set<fitted::AxisValue>& values) {
    if (!item.known() || !fit.items[item.index()].is.axis.known()) return {};
    const fitted::Axis& axis = fit.axes[fit.items[item.index()].is.axis.index()];
    std::vector<std::string> names;
    for (const fitted::AxisValue value : values)
        if (value < axis.values.size()) names.push_back(axis.values[value]);
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? ", " : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

std::string filled(std::string text, std::string_view what, std::string_view with) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
        text.replace(at, what.size(), with);
    return text;
}

} // namespace

void tell(const fitted::Fit& fit, const linked::Linked& linked, const std::vector<Finding>& findings,
          const std::vector<const fitted::Row*>& asked, messages::Messages& messages) {
    static_cast<void>(linked);
    using Key = std::tuple<const Check*, linked::ItemId, source::FileId, std::uint32_t, std::uint32_t, std::string>;
    std::map<Key, std::size_t> index;
    struct Group {
        const Finding* first;
        std::set<fitted::AxisValue> values;
    };
    std::vector<Group> groups;
    for (const Finding& finding : findings) {
        const Key key{finding.check, finding.item, finding.at.file, finding.at.begin, finding.at.end, finding.what};
        const auto [at, fresh] = index.try_emplace(key, groups.size());
        if (fresh) groups.push_back({&finding, {}});
        groups[at->second].values.insert(finding.value);
    }
    for (const Group& group : groups) {
        const Finding& finding = *group.first;
        messages::Message message;
        message.rule = &finding.check->rule;
        message.text = filled(finding.what, "{sides}", sides(fit, finding.item, group.values));
        if (finding.item.known())
            message.text = filled(message.text, "{item}", "the " + fit.items[finding.item.index()].is.name);
        message.labels.push_back({finding.at, finding.label});
        for (const messages::Label& more : finding.more) {
            const bool again = std::any_of(message.labels.begin(), message.labels.end(),
                                           [&](const auto& l) { return l.span == more.span; });
            if (more.span.known() && !again) message.labels.push_back(more);
        }
        for (const auto& [question, yes] : finding.answers)
            if (question < asked.size() && asked[question]->step != nullptr)
                message.labels.push_back({asked[question]->step->source->span,
                                          yes ? "when this is answered yes" : "when this is answered no"});
        message.help = finding.help;
        messages.add(std::move(message));
    }
}

} // namespace benchleaf::proof
