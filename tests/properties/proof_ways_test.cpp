// The machine joins ways; a slow and obvious one walks each of them by itself. A procedure in which the machine finds nothing must have
// no way on which a plain list of the same steps is at fault; and one in which it finds a step at fault must have one.
#include "proof/proved.h"
#include "properties/proof_shop.h"

#include <doctest/doctest.h>
#include <map>
#include <random>
#include <set>

using namespace benchleaf;
using namespace benchleaf::proof_tests;

namespace {

constexpr std::size_t parts = 3;
constexpr std::size_t most_ways = 100;

// -- Procedures at random: work that closes, cut apart by questions and repeats, and now and then with a step left out. --------
class Generator {
public:
    Generator(std::mt19937& random, const Shop& shop, bool faulty) : random_(random), shop_(shop), faulty_(faulty) {}

    Rows section() { return rows(3, {}); }

private:
    using Asked = std::vector<std::size_t>;

    std::size_t below(std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_); }
    bool once_in(std::size_t n) { return below(n) == 0; }

    Rows work() {
        const std::size_t i = below(parts);
        switch (below(6)) {
        case 0:
            return {verb(VerbName::slacken, shop_.bolt(i)), verb(VerbName::torque, shop_.bolt(i))};
        case 1:
            return {verb(VerbName::press_back, shop_.part(i)), verb(VerbName::prime, shop_.brake()),
                    verb(VerbName::level, shop_.brake())};
        case 2:
            return {verb(VerbName::remove, shop_.bolt(i)), verb(VerbName::remove, shop_.part(i)),
                    verb(VerbName::fit, shop_.part(i)),    verb(VerbName::fit, shop_.bolt(i)),
                    verb(VerbName::torque, shop_.bolt(i)), verb(VerbName::prime, shop_.brake()),
                    verb(VerbName::level, shop_.brake())};
        case 3: // right unless a round before owes a primed lever
            return {verb(VerbName::level, shop_.brake())};
        case 4:
            return {verb(VerbName::recheck, shop_.bolt(i)), verb(VerbName::mark, shop_.bolt(i))};
        default:
            return {verb(VerbName::inspect, shop_.part(i)), verb(VerbName::press_back, shop_.part(i))};
        }
    }

    Rows rows(std::size_t depth, Asked known) {
        Rows made;
        const auto put = [&](Rows more) {
            for (Row& row : more)
                if (row.kind != RowKind::verb || !faulty_ || !once_in(12)) made.push_back(std::move(row));
        };
        for (std::size_t count = 1 + below(3); count > 0; --count) {
            if (depth == 0) {
                put(work());
                continue;
            }
            switch (below(7)) {
            case 0: // two ways that agree, or that do not
                made.push_back(question(next_++, rows(depth - 1, known), once_in(2) ? rows(depth - 1, known) : Rows()));
                break;
            case 1: { // ways that agree again later
                const std::size_t id = next_++;
                Rows whole = work();
                const std::size_t cut = below(whole.size());
                Rows first(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(cut));
                Rows rest(whole.begin() + static_cast<std::ptrdiff_t>(cut), whole.end());
                const bool yes = once_in(2);
                made.push_back(question(id, yes ? first : Rows(), yes ? Rows() : first, true));
                known.push_back(id);
                if (once_in(2)) put(rows(depth - 1, known));
                made.push_back(if_answered(id, faulty_ && once_in(8) ? !yes : yes, rest));
                break;
            }
            case 2: { // a question that is named later, perhaps in another branch
                const std::size_t id = next_++;
                made.push_back(question(id, work(), work(), true));
                known.push_back(id);
                break;
            }
            case 3:
                if (!known.empty()) {
                    made.push_back(if_answered(known[below(known.size())], once_in(2), rows(depth - 1, known)));
                    break;
                }
                put(work());
                break;
            case 4: { // what a repeat asks is known after it
                Rows body = rows(depth - 1, known);
                if (once_in(3)) { // what one round is asked for early, and the one before may owe late
                    body.insert(body.begin(), verb(VerbName::level, shop_.brake()));
                    if (once_in(2)) body.push_back(verb(VerbName::press_back, shop_.part(below(parts))));
                }
                const std::size_t id = next_++;
                body.push_back(question(id, work(), {}, true));
                made.push_back(repeat(std::move(body), once_in(2) ? work() : Rows()));
                known.push_back(id);
                break;
            }
            case 5: {
                Rows ends = work();
                ends.push_back(stop());
                made.push_back(question(next_++, std::move(ends), {}));
                break;
            }
            default:
                put(work());
            }
        }
        if (depth == 3) { // whatever was left owing
            put({verb(VerbName::prime, shop_.brake()), verb(VerbName::level, shop_.brake())});
        }
        return made;
    }

    std::mt19937& random_;
    const Shop& shop_;
    bool faulty_;
    std::size_t next_ = 0;
};

// -- Every way through it, as a plain list -------------------------------------------------------------------------------------
struct Way {
    Rows rows;
    std::map<linked::StepId, bool> answers;
    bool stopped = false;
};
using Ways = std::vector<Way>;

Ways through(const Rows& rows, Ways ways);

Ways through(const Row& row, Ways before) {
    Ways after;
    for (Way& way : before) {
        if (after.size() > most_ways) return after; // the caller gives up on it
        if (way.stopped) {
            after.push_back(std::move(way));
            continue;
        }
        const auto add = [&after](const Ways& more) { after.insert(after.end(), more.begin(), more.end()); };
        switch (row.kind) {
        case RowKind::question:
            for (const bool yes : {true, false}) {
                Ways inner = through(yes ? row.if_so : row.if_not, {way});
                for (Way& each : inner) each.answers[row.id] = yes;
                add(inner);
            }
            break;
        case RowKind::if_answered: {
            const auto answer = way.answers.find(row.answers.front().question);
            REQUIRE(answer != way.answers.end());
            add(answer->second == row.answers.front().yes ? through(row.if_so, {way}) : Ways{way});
            break;
        }
        case RowKind::repeat: {
            Ways round{way};
            for (int i = 0; i < 3; ++i) {
                round = through(row.body, round);
                add(round);
                if (after.size() > most_ways) break;
            }
            if (!row.otherwise.empty()) add(through(row.otherwise, round));
            break;
        }
        default: {
            way.rows.push_back(row);
            way.stopped = row.kind == RowKind::stop;
            after.push_back(std::move(way));
        }
        }
    }
    return after;
}

Ways through(const Rows& rows, Ways ways) {
    for (const Row& row : rows) {
        ways = through(row, std::move(ways));
        if (ways.size() > most_ways) break;
    }
    return ways;
}

// Which of the questions some row names: fitted/ says so on each question.
void named(const Rows& rows, std::set<linked::StepId>& names) {
    for (const Row& row : rows) {
        for (const linked::Answer& answer : row.answers) names.insert(answer.question);
        for (const Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) named(*inner, names);
    }
}
void mark_used(Rows& rows, const std::set<linked::StepId>& names) {
    for (Row& row : rows) {
        row.answer_used = row.kind == RowKind::question && names.contains(row.id);
        for (Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) mark_used(*inner, names);
    }
}

std::set<std::string> rules_of(const messages::Messages& messages) {
    std::set<std::string> names;
    for (const messages::Message& message : messages.all()) names.emplace(message.rule->name);
    return names;
}

} // namespace

TEST_CASE("the machine finds fault just where some way is at fault") {
    std::mt19937 random(20261125);
    std::size_t clean = 0;
    std::size_t faulty = 0;
    std::size_t joined = 0; // only the ways themselves disagree
    std::size_t walked = 0;
    constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 200 : 1000; // the release build looks at all
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        Shop shop(parts);
        shop.held();
        Rows rows = Generator(random, shop, round % 4 != 0).section();
        std::set<linked::StepId> names;
        named(rows, names);
        mark_used(rows, names);
        const Ways ways = through(rows, {Way{}});
        if (ways.size() > most_ways) continue;
        walked += ways.size();
        shop.procedure(rows);
        std::set<std::string> found = rules_of(shop.proved());
        const bool anything = !found.empty();
        for (const char* of_ways : {"ways-differ", "repeat-drifts", "unreachable"}) found.erase(of_ways);

        shop.no_procedures();
        for (const Way& way : ways) shop.procedure(way.rows);
        const std::set<std::string> one_by_one = rules_of(shop.proved());
        if (!anything) {
            CHECK_MESSAGE(one_by_one.empty(), "the machine missed " << *one_by_one.begin());
            ++clean;
        } else if (!found.empty()) {
            CHECK_MESSAGE(!one_by_one.empty(), "no way is at fault, and the machine says " << *found.begin());
            ++faulty;
        } else {
            ++joined;
        }
    }
    MESSAGE(clean << " clean, " << faulty << " at fault, " << joined << " that only do not join; " << walked
                  << " ways");
    CHECK(clean > rounds / 20);
    CHECK(faulty > rounds / 20);
}
