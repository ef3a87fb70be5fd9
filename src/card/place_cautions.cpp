#include "card/place_cautions.h"

#include <algorithm>
#include <iterator>

namespace benchleaf::card {

namespace {

using Set = std::set<linked::CautionId>;
using fitted::RowKind;

Set both(const Set& a, const Set& b) {
    Set common;
    std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::inserter(common, common.end()));
    return common;
}

bool holds(const std::vector<linked::CautionId>& cautions, linked::CautionId caution) {
    return std::find(cautions.begin(), cautions.end(), caution) != cautions.end();
}

// By the step itself: whoever names it there wants to have it there, whatever was printed before.
bool asked_for(const Node& node, linked::CautionId caution) {
    return node.row->step != nullptr && holds(node.row->step->cautions, caution);
}

class Placer {
public:
    explicit Placer(const Touches& touches) : touches_(touches) {}

    // Gives what has been printed on every way that leads out of `rows`.
    Set place(Nodes& rows, Set printed) {
        for (Node& node : rows) {
            if (node.row->kind == RowKind::if_answered) {
                place(node.if_so, printed); // only who answered so comes here
                continue;
            }
            if (node.row->kind == RowKind::repeat) printed = place(node.body, std::move(printed));
            std::vector<linked::CautionId> wanted = own(node);
            if (node.row->kind == RowKind::question) {
                for (const auto caution : both(on_every_way(node.if_so), on_every_way(node.if_not)))
                    wanted.push_back(caution);
            }
            for (const auto caution : wanted) {
                const bool again = asked_for(node, caution) && !holds(node.cautions, caution);
                if (printed.insert(caution).second || again) node.cautions.push_back(caution);
            }
            if (node.row->kind == RowKind::question) {
                const Set so = place(node.if_so, printed);
                const Set not_so = place(node.if_not, printed);
                // A way that stops does not come back.
                if (always_stops(node.if_so))
                    printed = not_so;
                else if (always_stops(node.if_not))
                    printed = so;
                else
                    printed = both(so, not_so);
            }
            if (node.row->kind == RowKind::repeat) place(node.otherwise, printed);
        }
        return printed;
    }

private:
    std::vector<linked::CautionId> own(const Node& node) {
        std::vector<linked::CautionId> all = node.brings;
        for (const auto caution : touches_(node)) all.push_back(caution);
        return all;
    }

    Set on_every_way(const Nodes& rows) {
        Set all;
        for (const Node& node : rows) {
            if (node.row->kind == RowKind::if_answered) continue;
            for (const auto caution : own(node)) all.insert(caution);
            all.merge(on_every_way(node.body));
            if (node.row->kind == RowKind::question)
                all.merge(both(on_every_way(node.if_so), on_every_way(node.if_not)));
            if (node.row->kind == RowKind::stop) break;
        }
        return all;
    }

    const Touches& touches_;
};

} // namespace

void place_cautions(Nodes& rows, const Touches& touches, std::set<linked::CautionId> printed) {
    Placer(touches).place(rows, std::move(printed));
}

} // namespace benchleaf::card
