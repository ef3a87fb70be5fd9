#include "linked/link.h"
#include "linked/reports.h"

#include "linked/named_by.h"
#include "linked/names.h"

#include <set>
#include <utility>

namespace benchleaf::linked {

const Check checks::unused_entry = {
    {"unused-entry", messages::Level::warning, "an entry of a catalogue that nothing in the shop names"}};

namespace {

// By list: whether an entry is named.
class Used {
public:
    explicit Used(const Linked& linked)
        : items(linked.items.size()), limits(linked.limits.size()), consumables(linked.consumables.size()),
          tools(linked.tools.size()), cautions(linked.cautions.size()) {}

    std::vector<char> items, limits, consumables, tools, cautions;

    void operator()(ItemId id) { items[id.index()] = 1; }
    void operator()(LimitId id) { limits[id.index()] = 1; }
    void operator()(ConsumableId id) { consumables[id.index()] = 1; }
    void operator()(ToolId id) { tools[id.index()] = 1; }
    void operator()(CautionId id) { cautions[id.index()] = 1; }
};

// Of each file, whether it lies in a folder below the shop's that has a shop.yaml of its own.
std::vector<char> shared_files(const source::Sources& sources) {
    constexpr std::string_view own_shop = "/shop.yaml";
    std::vector<char> shared(sources.size(), 0);
    for (std::size_t i = 0; i < sources.size(); ++i) {
        std::string_view folder = sources.file(source::FileId(i)).path;
        if (!folder.ends_with(own_shop)) continue;
        folder.remove_suffix(own_shop.size() - 1); // up to its `/`
        for (std::size_t j = 0; j < sources.size(); ++j)
            if (sources.file(source::FileId(j)).path.starts_with(folder)) shared[j] = 1;
    }
    return shared;
}

} // namespace

void find_unused(const Linked& linked, const source::Sources& sources, Messages& out) {
    Used used(linked);
    for (std::size_t i = 0; i < linked.items.size(); ++i) named_by(linked.items[i], ItemId(i), used);
    for (const Limit& limit : linked.limits) named_by(limit, used);
    for (const Consumable& each : linked.consumables) named_by(each, used);
    for (const Tool& each : linked.tools) named_by(each, used);
    for (const Procedure& procedure : linked.procedures) named_by(procedure, used);
    for (const Vehicle& vehicle : linked.vehicles) named_by(vehicle, used);
    // What a message points at already, as that which is missing somewhere.
    std::set<std::pair<std::uint32_t, std::uint32_t>> told;
    for (const messages::Message& message : out.all())
        for (const messages::Label& label : message.labels)
            if (label.span.known()) told.insert({label.span.file.value, label.span.begin});
    const std::vector<char> shared = shared_files(sources);
    const auto report = [&](const std::vector<char>& marks, const auto& entries, const auto& noun) {
        for (std::size_t i = 0; i < entries.size(); ++i) {
            const Span at = entries[i].declared;
            if (marks[i] != 0 || shared[at.file.index()] != 0 || told.contains({at.file.value, at.begin})) continue;
            out.add(checks::unused_entry.rule, at,
                    "nothing in the shop names the " + std::string(noun(entries[i])) + " `" + entries[i].id + "`",
                    "never used")
                .help = noun(entries[i]) == "caution"
                            ? "name it under the `cautions` of what it warns of; take it out only "
                              "where there is no such thing any more"
                            : "take it out, or use it";
        }
    };
    report(used.items, linked.items, [](const Item& item) { return sort_word(item.sort); });
    report(used.limits, linked.limits, [](const Limit&) { return std::string_view("limit"); });
    report(used.consumables, linked.consumables, [](const Consumable&) { return std::string_view("consumable"); });
    report(used.tools, linked.tools, [](const Tool&) { return std::string_view("tool"); });
    report(used.cautions, linked.cautions, [](const Caution&) { return std::string_view("caution"); });
}

} // namespace benchleaf::linked
