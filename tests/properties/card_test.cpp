// Laws of the card over rows made at random: cautions dominate what they warn of and are not printed in vain, rows are numbered once and
// in order, a question leads where the work goes on, sums are sums.
#include "card/place_cautions.h"
#include "card/tally.h"
#include "card/unfold.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <map>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace benchleaf;
using namespace benchleaf::card;
using fitted::RowKind;
using linked::CautionId;

namespace {

// Rows made at random; which row touches which of four cautions is told by its id.
struct Made {
    fitted::Fit fit;
    linked::Linked linked;
    std::map<std::size_t, std::vector<CautionId>> touches;
};

class Maker {
public:
    explicit Maker(unsigned seed) : random_(seed) {}

    Made make() {
        Made made;
        fitted::Procedure procedure;
        const int sections = 1 + pick(3);
        for (int i = 0; i < sections; ++i) {
            fitted::Section section;
            section.rows = rows(made, 0, 1 + pick(4));
            procedure.sections.push_back(std::move(section));
        }
        made.fit.procedures.push_back(std::move(procedure));
        return made;
    }

private:
    int pick(int below) { return static_cast<int>(random_() % static_cast<unsigned>(below)); }

    fitted::Rows rows(Made& made, int depth, int count) {
        fitted::Rows all;
        for (int i = 0; i < count; ++i) {
            fitted::Row row;
            row.id = linked::StepId(next_++);
            for (std::size_t caution = 0; caution < 4; ++caution)
                if (pick(5) == 0) made.touches[row.id.index()].push_back(CautionId(caution));
            const int kind = depth < 3 ? pick(9) : 0;
            row.kind = RowKind::plain;
            if (kind == 5 || kind == 6) {
                row.kind = RowKind::question;
                row.if_so = rows(made, depth + 1, pick(3));
                row.if_not = rows(made, depth + 1, pick(3));
            } else if (kind == 7) {
                row.kind = RowKind::if_answered;
                made.touches[row.id.index()].clear();
                row.if_so = rows(made, depth + 1, 1 + pick(2));
            } else if (kind == 8) {
                row.kind = RowKind::repeat;
                row.body = rows(made, depth + 1, 1 + pick(2));
                row.otherwise = rows(made, depth + 1, pick(2));
                row.at_most = 3;
            } else if (depth > 0 && kind == 4 && i + 1 == count) {
                row.kind = RowKind::stop;
            }
            all.push_back(std::move(row));
        }
        return all;
    }

    std::mt19937 random_;
    std::size_t next_ = 0;
};

// Every way through the rows, as the rows that are come by; `taken[i]` says that row i was left by an empty way, or answered yes.
struct Trodden {
    const Node* node;
    bool straight_on; // a question answered by an empty way, a repeat that is done
};
struct Way {
    std::vector<Trodden> steps;
    bool stopped = false;
};

std::vector<Way> ways(const Nodes& rows, std::vector<Way> from) {
    for (const Node& node : rows) {
        std::vector<Way> next;
        for (Way& way : from) {
            if (way.stopped) {
                next.push_back(std::move(way));
                continue;
            }
            const auto follow = [&](const Nodes& inner, bool straight) {
                Way along = way;
                along.steps.push_back({&node, straight});
                for (Way& each : ways(inner, {along})) next.push_back(std::move(each));
            };
            switch (node.row->kind) {
            case RowKind::question:
                follow(node.if_so, node.if_so.empty());
                follow(node.if_not, node.if_not.empty());
                break;
            case RowKind::if_answered:
                for (Way& each : ways(node.if_so, {way})) next.push_back(std::move(each));
                next.push_back(way);
                break;
            case RowKind::repeat:
                for (Way& through : ways(node.body, {way})) {
                    if (through.stopped) {
                        next.push_back(std::move(through));
                        continue;
                    }
                    Way done = through;
                    done.steps.push_back({&node, true});
                    next.push_back(done);
                    if (node.otherwise.empty()) continue;
                    through.steps.push_back({&node, false});
                    for (Way& each : ways(node.otherwise, {through})) next.push_back(std::move(each));
                }
                break;
            default:
                way.steps.push_back({&node, false});
                way.stopped = node.row->kind == RowKind::stop;
                next.push_back(std::move(way));
            }
        }
        from = std::move(next);
        if (from.size() > 4000) return {}; // too many to look at one by one
    }
    return from;
}

void each_node(const Nodes& rows, const std::function<void(const Node&)>& see) {
    for (const Node& node : rows) {
        each_node(node.body, see);
        see(node);
        each_node(node.if_so, see);
        each_node(node.if_not, see);
        each_node(node.otherwise, see);
    }
}

bool holds_if_answered(const Nodes& rows) {
    bool found = false;
    each_node(rows, [&](const Node& node) { found = found || node.row->kind == RowKind::if_answered; });
    return found;
}

} // namespace

TEST_CASE("a caution is printed before what it warns of on every way, and nowhere where every way has passed it") {
    std::size_t looked_at = 0;
    std::size_t printed = 0;
    for (unsigned seed = 1; seed <= 1500; ++seed) {
        const Made made = Maker(seed).make();
        messages::Messages messages;
        auto unfolded = unfold(made.fit, made.linked, made.fit.procedures.front(), messages);
        REQUIRE(unfolded);
        const auto touches = [&](const Node& node) {
            const auto found = made.touches.find(node.row->id.index());
            return found == made.touches.end() ? std::vector<CautionId>() : found->second;
        };
        const std::set<CautionId> at_head{CautionId(3)};
        place_cautions(unfolded->rows, touches, at_head);
        const std::vector<Way> all = ways(unfolded->rows, {Way{}});
        if (all.empty()) continue;
        ++looked_at;
        std::set<std::pair<const Node*, CautionId>> vain;
        std::set<std::pair<const Node*, CautionId>> needed;
        each_node(unfolded->rows, [&](const Node& node) {
            for (const CautionId caution : node.cautions) vain.insert({&node, caution});
        });
        printed += vain.size();
        for (const Way& way : all) {
            std::set<CautionId> seen = at_head;
            for (const Trodden& step : way.steps) {
                for (const CautionId caution : step.node->cautions)
                    if (seen.insert(caution).second) needed.insert({step.node, caution});
                for (const CautionId caution : touches(*step.node)) {
                    INFO("seed ", seed, " row ", step.node->number);
                    REQUIRE(seen.contains(caution));
                }
            }
        }
        for (const auto& each : vain) {
            INFO("seed ", seed, " row ", each.first->number);
            // A row that no way reaches (after a stop on all of them) is reported elsewhere.
            const bool reached = std::any_of(all.begin(), all.end(), [&](const Way& way) {
                return std::any_of(way.steps.begin(), way.steps.end(),
                                   [&](const Trodden& step) { return step.node == each.first; });
            });
            if (reached) REQUIRE(needed.contains(each));
        }
    }
    CHECK(looked_at > 1000);
    CHECK(printed > 3000);
}

TEST_CASE("what both ways of a question touch is printed above it, what one touches inside") {
    fitted::Fit fit;
    fitted::Row question;
    question.kind = RowKind::question;
    question.id = linked::StepId(0);
    fitted::Row yes;
    yes.kind = RowKind::plain;
    yes.id = linked::StepId(1);
    fitted::Row no = yes;
    no.id = linked::StepId(2);
    question.if_so = {yes};
    question.if_not = {no};
    fitted::Row later = yes;
    later.id = linked::StepId(3);
    fitted::Procedure procedure;
    procedure.sections.push_back({});
    procedure.sections.back().rows = {question, later};
    linked::Step asking; // by which step 3 names the caution
    asking.cautions.push_back(CautionId(0));
    const auto placed = [&](std::map<std::size_t, std::vector<CautionId>> touches, bool asks = false) {
        procedure.sections.back().rows.back().step = asks ? &asking : nullptr;
        messages::Messages messages;
        auto unfolded = unfold(fit, {}, procedure, messages);
        place_cautions(unfolded->rows, [&](const Node& node) { return touches[node.row->id.index()]; }, {});
        std::string text;
        each_node(unfolded->rows, [&](const Node& node) {
            for (std::size_t i = 0; i < node.cautions.size(); ++i) text += std::to_string(node.number) + " ";
        });
        return text;
    };
    const CautionId c(0);
    CHECK(placed({{1, {c}}, {2, {c}}}) == "1 ");
    CHECK(placed({{1, {c}}}) == "2 ");
    CHECK(placed({{1, {c}}, {3, {c}}}) == "2 4 ");
    CHECK(placed({{0, {c}}, {1, {c}}, {3, {c}}}) == "1 ");
    // Where a step names it, it stands there once more.
    CHECK(placed({{0, {c}}, {1, {c}}, {3, {c}}}, true) == "1 4 ");
    CHECK(placed({{3, {c}}}) == "4 ");
    // The way that stops does not come back, so what the other has printed holds.
    procedure.sections.back().rows[0].if_not[0].kind = RowKind::stop;
    CHECK(placed({{1, {c}}, {3, {c}}}) == "2 ");
}

TEST_CASE(
    "rows are numbered once and in the order in which they are read, and a straight answer leads to the next row") {
    std::size_t answers = 0;
    for (unsigned seed = 1; seed <= 1500; ++seed) {
        const Made made = Maker(seed).make();
        messages::Messages messages;
        const auto unfolded = unfold(made.fit, made.linked, made.fit.procedures.front(), messages);
        REQUIRE(unfolded);
        std::uint32_t last = 0;
        each_node(unfolded->rows, [&](const Node& node) {
            if (node.row->kind == RowKind::if_answered) return;
            INFO("seed ", seed);
            REQUIRE(node.number == last + 1);
            last = node.number;
        });
        // What comes after an `if-answered` is told by its answer, which these ways know nothing of.
        if (holds_if_answered(unfolded->rows)) continue;
        for (const Way& way : ways(unfolded->rows, {Way{}})) {
            for (std::size_t i = 0; i < way.steps.size(); ++i) {
                if (!way.steps[i].straight_on) continue;
                ++answers;
                const GoesOn& after = way.steps[i].node->after;
                INFO("seed ", seed, " row ", way.steps[i].node->number);
                if (i + 1 < way.steps.size()) {
                    REQUIRE(after.to == GoesOn::To::step);
                    REQUIRE(after.step == way.steps[i + 1].node->number);
                } else {
                    REQUIRE(after.to == GoesOn::To::close_out);
                }
            }
        }
    }
    CHECK(answers > 1000);
}

TEST_CASE("a chain of do that unfolds to more than a card holds is a message, not a hang") {
    fitted::Fit fit;
    model::Procedure source;
    source.id.value = "doubled";
    linked::Procedure linked_procedure;
    linked_procedure.source = &source;
    for (std::size_t i = 0; i < 60; ++i) {
        fitted::Procedure procedure;
        procedure.source = &linked_procedure;
        procedure.sections.push_back({});
        fitted::Row row;
        row.kind = i == 0 ? RowKind::plain : RowKind::verb;
        row.verb = model::VerbName::do_procedure;
        if (i > 0) row.calls = fitted::ProcedureIndex(i - 1);
        procedure.sections.back().rows = {row, row};
        fit.procedures.push_back(std::move(procedure));
    }
    messages::Messages messages;
    CHECK(!unfold(fit, {}, fit.procedures.back(), messages)); // 2^60 rows
    REQUIRE(messages.all().size() == 1);
    CHECK(messages.all()[0].rule->name == "card-too-long");
    CHECK(messages.all()[0].text == "the card of `doubled` would have more than 2000 rows");
    messages::Messages none;
    const auto small = unfold(fit, {}, fit.procedures[9], none);
    REQUIRE(small);
    CHECK(last_number(small->rows) == 1024);
    // Empty procedures must not hang either.
    for (fitted::Procedure& each : fit.procedures)
        if (&each == &fit.procedures.front()) each.sections.back().rows.clear();
    messages::Messages again;
    CHECK(!unfold(fit, {}, fit.procedures.back(), again));
}

TEST_CASE("a do brings its sections along, and stands in the columns of a bound section") {
    fitted::Fit fit;
    fit.axes.push_back({"side", {"left", "right"}});
    linked::Procedure outer_source, inner_source;
    model::Procedure outer_model, inner_model;
    outer_source.source = &outer_model;
    inner_source.source = &inner_model;
    fitted::Row plain;
    plain.kind = RowKind::plain;
    plain.id = linked::StepId(0);
    fitted::Procedure inner;
    inner.source = &inner_source;
    inner.axis = linked::AxisId(0);
    inner.values = {0, 1};
    inner.sections.resize(2);
    inner.sections[0].bound = true;
    inner.sections[0].rows = {plain};
    inner.sections[1].rows = {plain};
    fitted::Procedure outer = inner;
    outer.source = &outer_source;
    fitted::Row call;
    call.kind = RowKind::verb;
    call.verb = model::VerbName::do_procedure;
    call.calls = fitted::ProcedureIndex(0);
    outer.sections.resize(1);
    outer.sections[0].rows = {plain, call, plain};
    fit.procedures = {inner, outer};
    const auto places = [&](bool bound) {
        fit.procedures[1].sections[0].bound = bound;
        messages::Messages messages;
        const auto unfolded = unfold(fit, {}, fit.procedures[1], messages);
        std::vector<std::size_t> found;
        each_node(unfolded->rows, [&](const Node& node) { found.push_back(node.place); });
        return found;
    };
    CHECK(places(true) == std::vector<std::size_t>{0, 0, 0, 0});
    CHECK(places(false) == std::vector<std::size_t>{0, 1, 2, 0});
}

TEST_CASE("sums are sums") {
    const auto of = [](std::int64_t digits, units::Unit unit) {
        units::Quantity quantity;
        quantity.digits = digits;
        quantity.unit = unit;
        return quantity;
    };
    Tally a;
    a.add(Tally::Of::consumable, 0, of(10, units::Unit::millilitre));
    a.add(Tally::Of::consumable, 0, of(2, units::Unit::litre));
    a.add(Tally::Of::item, 0, of(2, units::Unit::piece));
    REQUIRE(a.entries.size() == 2);
    CHECK(units::compare(a.find(Tally::Of::consumable, 0)->most, of(2010, units::Unit::millilitre)) == 0);
    // What cannot be added stands on a line of its own.
    a.add(Tally::Of::consumable, 0, of(3, units::Unit::gram));
    CHECK(a.entries.size() == 3);

    Tally b;
    b.add(Tally::Of::item, 0, of(4, units::Unit::piece));
    b.add(Tally::Of::item, 1, of(1, units::Unit::piece));
    const Tally both = either(a, b);
    CHECK(both.find(Tally::Of::item, 0)->least.digits == 2);
    CHECK(both.find(Tally::Of::item, 0)->most.digits == 4);
    CHECK(either(b, a).find(Tally::Of::item, 0)->least.digits == 2);
    CHECK(either(b, a).find(Tally::Of::item, 0)->most.digits == 4);
    CHECK(both.find(Tally::Of::item, 1)->least.digits == 0);
    CHECK(both.find(Tally::Of::item, 1)->most.digits == 1);
    CHECK(both.find(Tally::Of::consumable, 0)->least.digits == 0);
    Tally thrice = b;
    thrice.up_to_times(3);
    CHECK(thrice.find(Tally::Of::item, 0)->least.digits == 4);
    CHECK(thrice.find(Tally::Of::item, 0)->most.digits == 12);
    b.perhaps();
    CHECK(b.find(Tally::Of::item, 0)->least.digits == 0);
}
