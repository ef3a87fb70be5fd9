#include "linked/reports.h"
#include "linked/rings.h"

#include "base/text.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

void find_cycles(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::cycle_of_parts = {
    {"cycle-of-parts", messages::Level::error, "items that can only be reached once each other is away"}, find_cycles};

void report_cycle_of_parts(Messages& out, const std::vector<PartLink>& ring) {
    std::vector<std::string> links;
    for (const PartLink& link : ring) {
        links.push_back("the " + link.name + " is " + std::string(link.how) + " " +
                        (link.name == link.next ? "itself" : "the " + link.next));
    }
    messages::Message message{&checks::cycle_of_parts.rule, {}, {}, {}, {}};
    message.text = ring.size() == 1 ? links.front() + ", so it can never be reached"
                                    : base::join_and(links) + ", so none of them can be the first to come away";
    for (std::size_t i = 0; i < ring.size(); ++i) message.labels.push_back({ring[i].span, links[i]});
    message.help =
        ring.size() == 1 ? "" : "take one of these away, or give a part a place of its own that frees it (`also`)";
    out.add(std::move(message));
}

namespace {

// Where `item` names `target` in that key.
template <model::Refers R>
Span named_at(const model::Given<model::Refs<R>>& refs, const std::string& target, Span otherwise) {
    if (!refs) return otherwise;
    for (const auto& ref : refs->value) {
        const std::size_t slash = ref.name.find('/');
        if (ref.name.substr(slash == std::string::npos ? 0 : slash + 1) == target) return ref.span;
    }
    return otherwise;
}

template <class M>
Span behind_span(const Item& item, const M& from, const std::string& target) {
    if constexpr (requires { from.behind; }) return named_at(from.behind, target, item.declared);
    return item.declared;
}

Span span_of(const Item& item, std::string_view how, const std::string& target) {
    if (how == "held by") return named_at(item.part.held_by, target, item.declared);
    if (how == "inside") {
        if (item.part.inside) return item.part.inside->value.span;
        if (item.fastener.inside) return item.fastener.inside->value.span;
        return item.declared;
    }
    switch (item.sort) {
    case Sort::part:
        return behind_span(item, item.part, target);
    case Sort::circuit:
        return behind_span(item, item.circuit_of, target);
    case Sort::adjustment:
        return behind_span(item, item.adjustment, target);
    default:
        return behind_span(item, item.fastener, target);
    }
}

// What never comes away waits for itself.
void find_cycles(const Linked& linked, const Check&, Messages& out) {
    const std::size_t count = linked.items.size();
    const std::vector<char> free = come_away(linked);

    // Each that is left waits for another that is left; following that, one comes round.
    std::vector<std::size_t> seen(count, 0);
    const auto waits_on = [&](std::size_t i) -> std::pair<ItemId, std::string_view> {
        const Item& item = linked.items[i];
        const auto stuck = [&free](ItemId id) { return id.known() && free[id.index()] == 0; };
        if (stuck(item.inside)) return {item.inside, "inside"};
        for (const ItemId id : item.behind) {
            if (stuck(id)) return {id, "behind"};
        }
        for (const ItemId id : item.held_by) {
            if (stuck(id)) return {id, "held by"};
        }
        return {ItemId(), {}};
    };
    for (std::size_t start = 0; start < count; ++start) {
        if (free[start] != 0 || seen[start] != 0) continue;
        std::size_t i = start;
        while (seen[i] == 0) {
            seen[i] = start + 1;
            const ItemId next = waits_on(i).first;
            if (!next.known()) break;
            i = next.index();
        }
        if (seen[i] != start + 1 || !waits_on(i).first.known()) continue; // leads into a ring that was found already
        std::vector<PartLink> ring;
        const std::size_t first = i;
        do {
            const auto [next, how] = waits_on(i);
            const Item& item = linked.items[i];
            ring.push_back(
                {item.name, how, linked.items[next.index()].name, span_of(item, how, linked.items[next.index()].id)});
            i = next.index();
        } while (i != first);
        report_cycle_of_parts(out, ring);
    }
}

} // namespace
} // namespace benchleaf::linked
