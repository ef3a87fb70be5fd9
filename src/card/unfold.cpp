#include "card/unfold.h"

#include "card/found.h"

#include <algorithm>

namespace benchleaf::card {

namespace {

using fitted::Row;
using fitted::RowKind;

class Unfolder {
public:
    Unfolder(const fitted::Fit& fit, const linked::Linked& linked, messages::Messages& messages)
        : fit_(fit), linked_(linked), messages_(messages) {}

    std::optional<Unfolded> unfold(const fitted::Procedure& procedure) {
        root_ = &procedure;
        made_.procedures.push_back(&procedure);
        run(procedure, std::nullopt, false, made_.rows);
        if (failed_) return std::nullopt;
        lead_on(made_.rows, GoesOn{});
        return std::move(made_);
    }

private:
    // Rows of `procedure` go to the end of `to`; `within` is the bound place that it is called from.
    void run(const fitted::Procedure& procedure, std::optional<std::size_t> within, bool called, Nodes& to) {
        // A cycle of `do` was reported before; the bound on rows does not hold one that has none.
        if (depth_ > 200) return too_long();
        ++depth_;
        if (std::find(made_.procedures.begin(), made_.procedures.end(), &procedure) == made_.procedures.end())
            made_.procedures.push_back(&procedure);
        const std::size_t frame = made_.numbers.size();
        made_.numbers.emplace_back();
        const std::size_t start = to.size();
        for (const fitted::Section& section : procedure.sections) {
            std::size_t place = 0;
            if (within) {
                place = *within;
                const Place& outer = made_.places[place];
                if (section.bound && procedure.axis != outer.procedure->axis && procedure.values.size() > 1 &&
                    !failed_) {
                    failed_ = true;
                    found::two_axes_at_once(linked_, *outer.procedure, procedure, messages_);
                }
            } else {
                place = made_.places.size();
                made_.places.push_back({&procedure, &section, called, section.bound});
            }
            rows(section.rows, place, frame, to);
        }
        if (called && procedure.source != nullptr && to.size() > start) {
            auto& brings = to[start].brings;
            brings.insert(brings.begin(), procedure.source->cautions.begin(), procedure.source->cautions.end());
        }
        --depth_;
    }

    void rows(const fitted::Rows& all, std::size_t place, std::size_t frame, Nodes& to) {
        for (const Row& row : all) {
            if (failed_) return;
            if (row.kind == RowKind::hole) continue;
            if (row.kind == RowKind::verb && row.verb == model::VerbName::do_procedure) {
                if (++steps_ > 10 * most_rows) return too_long(); // calls of what is empty
                if (row.calls.known())
                    run(fit_.procedures[row.calls.index()],
                        made_.places[place].bound ? std::optional(place) : std::nullopt, true, to);
                continue;
            }
            Node node;
            node.row = &row;
            node.place = place;
            node.frame = frame;
            if (row.kind == RowKind::repeat) rows(row.body, place, frame, node.body);
            if (row.kind != RowKind::if_answered) {
                if (number_ >= most_rows) return too_long();
                node.number = ++number_;
                made_.numbers[frame][row.id] = node.number;
            }
            rows(row.if_so, place, frame, node.if_so);
            rows(row.if_not, place, frame, node.if_not);
            rows(row.otherwise, place, frame, node.otherwise);
            if (row.kind == RowKind::if_answered && node.if_so.empty()) continue;
            to.push_back(std::move(node));
        }
    }

    void too_long() {
        if (!failed_) found::card_too_long(*root_, most_rows, messages_);
        failed_ = true;
    }

    // Fills `after` of every node: what comes next once the node and its ways are done.
    void lead_on(Nodes& all, GoesOn after) {
        for (std::size_t i = 0; i < all.size(); ++i) {
            Node& node = all[i];
            GoesOn next = after;
            if (i + 1 < all.size()) next = {GoesOn::To::step, first_number(all[i + 1]), all[i + 1].place};
            const Place& place = made_.places[node.place];
            const bool leaves = next.to != GoesOn::To::step || next.place != node.place;
            if (place.bound && place.procedure->values.size() > 1 && leaves && next.to != GoesOn::To::section_end)
                next = {GoesOn::To::section_end, 0, node.place};
            node.after = next;
            lead_on(node.if_so, next);
            lead_on(node.if_not, next);
            lead_on(node.otherwise, next);
            lead_on(node.body, {GoesOn::To::step, node.number, node.place});
        }
    }

    const fitted::Fit& fit_;
    const linked::Linked& linked_;
    messages::Messages& messages_;
    const fitted::Procedure* root_ = nullptr;
    Unfolded made_;
    std::uint32_t number_ = 0;
    std::uint32_t steps_ = 0;
    int depth_ = 0;
    bool failed_ = false;
};

} // namespace

std::optional<Unfolded> unfold(const fitted::Fit& fit, const linked::Linked& linked, const fitted::Procedure& procedure,
                               messages::Messages& messages) {
    return Unfolder(fit, linked, messages).unfold(procedure);
}

bool always_stops(const Nodes& rows) {
    return std::any_of(rows.begin(), rows.end(), [](const Node& node) {
        switch (node.row->kind) {
        case RowKind::stop:
            return true;
        case RowKind::question:
            return always_stops(node.if_so) && always_stops(node.if_not);
        case RowKind::repeat:
            return always_stops(node.body);
        default:
            return false;
        }
    });
}

std::uint32_t first_number(const Node& first) {
    if (first.row->kind == RowKind::if_answered) return first_number(first.if_so);
    if (!first.body.empty()) return first_number(first.body);
    return first.number;
}

std::uint32_t first_number(const Nodes& rows) {
    return rows.empty() ? 0 : first_number(rows.front());
}

std::uint32_t last_number(const Nodes& rows) {
    if (rows.empty()) return 0;
    const Node& last = rows.back();
    for (const Nodes* inner : {&last.otherwise, &last.if_not, &last.if_so})
        if (!inner->empty()) return last_number(*inner);
    return last.number;
}

} // namespace benchleaf::card
