// Two machines prove the same procedures: the program's own (src/proof), which joins ways and remembers what it walked, and a slow and
// obvious one (slow_machine.h), which shares nothing with it and walks each way by itself. Shops and procedures are made at random, some
// of them clean, the rest with a mistake or two. The machines have to agree which procedures are clean, and on what is wrong with the
// others: which check, at which step, on which thing, on which side.
//
// **What is compared.** Each finding that is `sure` to the slow machine has to be found by the fast one, and each that the fast one finds
// has to be `possible` to the slow one. The two sets differ only by findings that have the same fault as an earlier one: one mistake gives
// one message, and what the fast machine has told it steps over later (slow_machine.h says how that is kept apart). The first finding on
// any way is always sure. A thing that is left off, loose or owing on two ways, through two steps, is told at one of them. Of a thing whose step was
// told to stand at the wrong place, the fast machine may say no more; nor of what is wrong with that step where it stands; nor, where it told of
// such a thing that a setting was set by the other side, that this setting is set twice.
// Whether there is anything to tell of a procedure (with those that it calls, or that call it) is compared without any such allowance.
//
// Checks that the slow machine does not make (`not_compared`) are left out.
//
// BENCHLEAF_SEED=<number> makes the same shops again. How many are made is for a release build; a slower build makes fewer.
#include "fitted/fit.h"
#include "linked/link.h"
#include "messages/message.h"
#include "model/read.h"
#include "proof/proved.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include "properties/random_shops.h"
#include "properties/read_shop.h"
#include "properties/slow_machine.h"

#include <cstdlib>
#include <doctest/doctest.h>
#include <functional>
#include <sstream>

using namespace benchleaf;
using random_shops::Shop;
using random_shops::Steps;

namespace {

// About a thousand procedures a second in a release build. The others are slower by about BENCHLEAF_TIME_SLACK, and make fewer.
constexpr std::size_t most_procedures = 20400;
constexpr std::size_t procedures_wanted = std::max<std::size_t>(most_procedures / BENCHLEAF_TIME_SLACK, 300);
constexpr std::size_t procedures_a_shop = 6;

// What only the fast machine looks for. None of it is taken for a hole later, so that the rest is compared as if it were not there.
const std::set<std::string> not_compared{
    "decided-before-work", "needs-given-up",   "opened-running", "opened-unsaid",    "renewed-empty",
    "promises-unowed",     "read-before-work", "read-undecided", "recheck-by-angle", "reused-once-slackened",
    "stopped-drained",     "stopped-open",     "waits-add-up"};

// A shop through the stages up to its one vehicle.
struct Read : ReadShop {
    fitted::Fitted fitted;

    explicit Read(const random_shops::Files& files) : ReadShop(files), fitted(fitted::fit_shop(linked, messages)) {}
    bool good() const { return !messages.any_error() && fitted.fits.size() == 1; }
};

// -- A message of the fast machine, taken apart --------------------------------------------------------------------------------

// The names of things in a sentence, in their order.
std::vector<std::string> names_in(const std::string& text, const std::set<std::string>& names) {
    std::vector<std::string> found;
    std::string word;
    for (const char c : text + " ") {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
        if (letter) {
            word += c;
            continue;
        }
        if (names.contains(word)) found.push_back(word);
        word.clear();
    }
    return found;
}

std::vector<slow::Finding> findings_of(const messages::Message& message, const std::set<std::string>& names) {
    const std::string check(message.rule->name);
    const std::vector<std::string> said = names_in(message.text, names);
    const std::string subject = said.empty() ? "" : said.front();
    std::vector<std::string> others;
    for (std::size_t i = 1; i < said.size(); ++i)
        if ((i == 1 && check != "renewed-apart") || check == "shut-in") others.push_back(said[i]);
    if (others.empty()) others.emplace_back();
    std::vector<std::string> sides;
    const auto tells = [&](const char* words) { return message.text.find(words) != std::string::npos; };
    if (tells(", left") || tells(", left and right")) sides.emplace_back("left");
    if (tells(", right") || tells(", left and right")) sides.emplace_back("right");
    if (sides.empty()) sides.emplace_back();
    std::vector<slow::Finding> found;
    for (const std::string& other : others)
        for (const std::string& side : sides) found.push_back({check, subject, other, side});
    return found;
}

// -- Both, side by side --------------------------------------------------------------------------------------------------------
struct Compared {
    bool unclear = false;
    bool good = false; // could be read, and did not have too many ways
    std::vector<std::string> differences;
    std::string fast; // what each found, for people
    std::string slow;
    std::map<std::string, std::size_t> checks; // found by both
    std::set<std::string> faulty;              // files with a finding
    std::size_t found = 0;
    std::size_t only_possible = 0;
    std::size_t slow_found = 0;
    std::size_t slow_only_possible = 0;
    std::size_t verdicts = 0; // procedures, or several that call each other, that both judged
    std::size_t ways = 0;
};

std::string shown(const slow::Finding& finding, const slow::At& at, const source::Sources& sources) {
    std::ostringstream text;
    text << finding.check << "  " << finding.subject;
    if (!finding.other.empty()) text << " / " << finding.other;
    if (!finding.side.empty()) text << " (" << finding.side << ")";
    if (at.span.known()) {
        const source::Position position = sources.position(at.span.file, at.span.begin);
        text << "  " << sources.file(at.span.file).path << ":" << position.line << ":" << position.column;
    }
    return text.str();
}

// The files whose procedures call each other: what is told in one of them may have its fault in another.
std::vector<std::set<source::FileId>> families_of(const fitted::Fit& fit) {
    std::vector<std::set<source::FileId>> families;
    const auto file_of = [&](std::size_t i) { return fit.procedures[i].source->source->id.span.file; };
    const auto join = [&](source::FileId one, source::FileId other) {
        std::set<source::FileId> both{one, other};
        std::erase_if(families, [&](const std::set<source::FileId>& each) {
            if (!each.contains(one) && !each.contains(other)) return false;
            both.insert(each.begin(), each.end());
            return true;
        });
        families.push_back(std::move(both));
    };
    for (std::size_t i = 0; i < fit.procedures.size(); ++i) {
        join(file_of(i), file_of(i));
        const std::function<void(const fitted::Rows&)> look = [&](const fitted::Rows& rows) {
            for (const fitted::Row& row : rows) {
                if (row.calls.known()) join(file_of(i), file_of(row.calls.index()));
                for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) look(*inner);
            }
        };
        for (const fitted::Section& section : fit.procedures[i].sections) look(section.rows);
    }
    return families;
}

Compared compare(const Shop& shop) {
    Compared result;
    const Read read(random_shops::files_of(shop));
    if (!read.good()) {
        for (const messages::Message& message : read.messages.all())
            if (message.rule->level == messages::Level::error) result.fast += message.text + "\n";
        return result;
    }
    const slow::Verdict verdict = slow::Machine(read.fitted.fits[0], read.linked).verdict();
    result.unclear = verdict.unclear;
    if (verdict.too_many_ways || verdict.unclear) return result;
    result.good = true;
    result.ways = verdict.ways;
    messages::Messages told;
    proof::prove_procedures(read.fitted, 0, told, proof::Tells::findings);

    std::set<std::string> names;
    for (const linked::Item& item : read.linked.items) names.insert(item.name);
    std::set<std::pair<slow::Finding, slow::At>> fast;
    // Things that a step is done to which was told to stand at the wrong place: what follows from that is told with it.
    std::set<std::string, std::less<>> misplaced;
    std::set<slow::At> misplaced_at;                           // where they stand
    std::set<std::pair<slow::Finding, slow::At>> side_by_side; // told for steps that the other side did once for both
    for (const messages::Message& message : told.all()) {
        for (const messages::Label& label : message.labels)
            if (label.text == "stands too late" || label.text == "belongs before it" ||
                label.text == "move it behind this" || label.text == "goes on here") {
                misplaced.emplace(read.sources.text(label.span));
                misplaced_at.insert({label.span});
            }
        if (not_compared.contains(std::string(message.rule->name))) continue;
        const slow::At at{message.labels.front().span};
        for (const slow::Finding& finding : findings_of(message, names)) {
            fast.insert({finding, at});
            if (message.help.find("worked side by side") != std::string::npos) side_by_side.insert({finding, at});
        }
        ++result.checks[std::string(message.rule->name)];
        result.faulty.insert(read.sources.file(at.span.file).path);
    }
    result.found = fast.size();
    const auto follows = [&](const std::string& name) { return misplaced.contains(name); };
    // Of what follows from a misplaced step, the fast machine may have told that a setting was set by the other side, and the slow one
    // something else in its place. Then the slow one alone finds the same setting set twice; it is told with that, of that setting in that file.
    std::set<std::pair<std::string, source::FileId>> set_by_the_other_side;
    for (const auto& [finding, at] : fast) {
        result.fast += "  " + shown(finding, at, read.sources) + "\n";
        const bool excused = follows(finding.subject) || follows(finding.other);
        if (excused && side_by_side.contains({finding, at}))
            set_by_the_other_side.insert({finding.other.empty() ? finding.subject : finding.other, at.span.file});
        if (!excused && !verdict.possible.contains({finding, at}))
            result.differences.push_back("only the fast machine: " + shown(finding, at, read.sources));
    }
    std::set<std::pair<slow::Finding, slow::At>> sure;
    for (const auto& [what, yes] : verdict.sure) {
        const auto& finding = what.first;
        const auto& places = what.second;
        bool found = false;
        for (const slow::At& at : places) {
            sure.insert({finding, at});
            found = found || fast.contains({finding, at});
        }
        // What a round leaves away, and is away in the end, does not drift as well.
        const bool left =
            finding.check == "repeat-drifts" && std::any_of(fast.begin(), fast.end(), [&](const auto& each) {
                return each.first.check.starts_with("left-") && each.first.check != "left-owing" &&
                       each.first.subject == finding.subject && each.second.span.file == places.front().span.file;
            });
        const bool set_twice = finding.check == "skipped-rung" &&
                               set_by_the_other_side.contains({finding.subject, places.front().span.file});
        // What is wrong with a misplaced step where it stands, whatever it is told of: of a vent's circuit that is bled too late.
        const bool too_late =
            std::all_of(places.begin(), places.end(), [&](const slow::At& at) { return misplaced_at.contains(at); });
        if (!found && !left && !set_twice && !too_late && !follows(finding.subject) && !follows(finding.other))
            result.differences.push_back("only the slow machine: " + shown(finding, places.front(), read.sources));
    }
    for (const auto& [finding, at] : verdict.possible)
        result.slow += (sure.contains({finding, at}) ? "  " : "  perhaps ") + shown(finding, at, read.sources) + "\n";
    for (const auto& each : fast) result.only_possible += sure.contains(each) ? 0 : 1;
    result.slow_found = verdict.possible.size();
    for (const auto& each : verdict.possible) result.slow_only_possible += sure.contains(each) ? 0 : 1;
    // Whether there is anything to tell at all is never a matter of what was told before: of no procedure may one machine be silent alone.
    if (fast.empty() != verdict.possible.empty()) result.differences.emplace_back("only one of them finds it clean");
    for (const std::set<source::FileId>& family : families_of(read.fitted.fits[0])) {
        const auto in_it = [&](const auto& each) { return family.contains(each.second.span.file); };
        const bool fast_tells = std::any_of(fast.begin(), fast.end(), in_it);
        ++result.verdicts;
        if (fast_tells != std::any_of(verdict.possible.begin(), verdict.possible.end(), in_it))
            result.differences.push_back(std::string("only the ") + (fast_tells ? "slow" : "fast") +
                                         " machine finds this clean: " + read.sources.file(*family.begin()).path);
    }
    return result;
}

// -- On a difference: as little of the shop as shows it --------------------------------------------------------------------------
bool differs(const Shop& shop) {
    const Compared compared = compare(shop);
    return compared.good && !compared.differences.empty();
}

Shop shrunk(Shop shop) {
    for (std::size_t i = 0; i < shop.procedures.size();) {
        Shop less = shop;
        less.procedures.erase(less.procedures.begin() + static_cast<std::ptrdiff_t>(i));
        if (differs(less))
            shop = std::move(less);
        else
            ++i;
    }
    for (bool smaller = true; smaller;) {
        smaller = false;
        for (std::size_t p = 0; p < shop.procedures.size(); ++p)
            for (std::size_t s = 0; s < shop.procedures[p].sections.size(); ++s) {
                for (std::size_t at = 0; at < random_shops::count(shop.procedures[p].sections[s].steps);) {
                    // Without the step; else with what is inside it in its place; else without its `only`.
                    bool gone = false;
                    for (int how = 0; how < 3 && !gone; ++how) {
                        Shop less = shop;
                        std::size_t which = at;
                        random_shops::each_step(less.procedures[p].sections[s].steps, [&](Steps& list, std::size_t i) {
                            if (which-- != 0) return false;
                            if (how == 2) {
                                gone = list[i].only.empty(); // nothing to take away
                                list[i].only.clear();
                                return true;
                            }
                            Steps inside = list[i].so;
                            inside.insert(inside.end(), list[i].otherwise.begin(), list[i].otherwise.end());
                            gone = how == 1 && inside.empty();
                            const auto here = list.erase(list.begin() + static_cast<std::ptrdiff_t>(i));
                            if (how == 1) list.insert(here, inside.begin(), inside.end());
                            return true;
                        });
                        if (gone) {
                            gone = false;
                            continue;
                        }
                        if (!differs(less)) continue;
                        shop = std::move(less);
                        smaller = true;
                        gone = how < 2;
                    }
                    if (!gone) ++at;
                }
                Shop less = shop;
                less.procedures[p].sections.erase(less.procedures[p].sections.begin() + static_cast<std::ptrdiff_t>(s));
                if (less.procedures[p].sections.empty() || !differs(less)) continue;
                shop = std::move(less);
                smaller = true;
                break;
            }
    }
    return shop;
}

std::string told(const Shop& shop) {
    const Compared compared = compare(shop);
    std::string text;
    for (const std::string& each : compared.differences) text += each + "\n";
    text += "the fast machine finds:\n" + compared.fast + "the slow machine finds:\n" + compared.slow;
    for (const auto& [path, file] : random_shops::files_of(shop))
        if (path != "shop.yaml") text += "#== file: " + path + "\n" + file;
    return text;
}

// How a way leaves things, as a contract says it: what stands on all sides alike and not at rest, or owes something.
std::string contract(const fitted::Fit& fit, const slow::Way& way) {
    std::string text;
    for (std::size_t i = 0; i < fit.items.size(); ++i) {
        const fitted::Item& item = fit.items[i];
        if (!item.present || item.instances == 0) continue;
        const slow::Thing& first = way.things[item.first_instance];
        std::string owes;
        bool bleed = false;
        for (std::uint32_t each = 0; each < item.instances; ++each) {
            const slow::Thing& thing = way.things[item.first_instance + each];
            if (!thing.known || thing.place != first.place) return {};
            bleed = bleed || (item.is.sort == linked::Sort::circuit && (thing.owes & slow::all_vents_bits) != 0);
        }
        const auto owed = [&](std::uint64_t debt, const char* word) {
            if ((first.owes & debt) != 0) owes += std::string(owes.empty() ? "" : ", ") + word;
        };
        owed(slow::locker, "locker");
        owed(slow::degrease, "degrease");
        owed(slow::fill, "fill");
        owed(slow::prime, "prime");
        owed(slow::circulate, "circulate");
        owed(slow::level, "level");
        owed(slow::leak_check, "leak-check");
        owed(slow::adjust, "adjust");
        owed(slow::prove, "prove");
        owed(slow::renewal, "renew");
        if (bleed) owes += std::string(owes.empty() ? "" : ", ") + "bleed";
        if (first.place == 0 && owes.empty()) continue;
        const std::string place = item.is.places[first.place].name;
        text += (text.empty() ? "" : ", ") + item.is.id + ": ";
        if (owes.empty())
            text += place;
        else if (first.place == 0)
            text += "{ owes: [" + owes + "] }";
        else
            text += "{ place: " + place + ", owes: [" + owes + "] }";
    }
    return text;
}

Shop a_shop(std::mt19937& random) {
    random_shops::Maker maker(random);
    Shop shop = maker.shop(procedures_a_shop);
    if (!maker.once_in(3)) return shop;
    // One piece of work in two procedures, with a contract between them that the slow machine tells from the first.
    random_shops::Maker::Cut cut = maker.cut_in_two();
    Shop alone = shop;
    alone.procedures = {cut.first};
    const Read read(random_shops::files_of(alone));
    if (!read.good()) return shop;
    slow::Machine machine(read.fitted.fits[0], read.linked);
    const std::optional<slow::Way> left = machine.left_by(0);
    if (!left) return shop;
    const std::string between = contract(read.fitted.fits[0], *left);
    if (!maker.once_in(6)) cut.first.ends_with = between;
    if (!maker.once_in(6)) cut.second.starts_with = between;
    shop.procedures.push_back(std::move(cut.first));
    shop.procedures.push_back(std::move(cut.second));
    shop.procedures.push_back(std::move(cut.both));
    return shop;
}

std::size_t per_mille(std::size_t part, std::size_t whole) {
    return whole == 0 ? 0 : (part * 1000 + whole / 2) / whole;
}

unsigned seed() {
    const char* const given = std::getenv("BENCHLEAF_SEED");
    return given != nullptr ? static_cast<unsigned>(std::strtoul(given, nullptr, 10)) : 20261125U;
}

} // namespace

TEST_CASE("two machines find the same faults in the same procedures") {
    const unsigned first_seed = seed();
    const char* const more = std::getenv("BENCHLEAF_PROCEDURES");
    const std::size_t wanted = more != nullptr ? std::strtoul(more, nullptr, 10) : procedures_wanted;
    std::mt19937 random(first_seed);
    std::size_t procedures = 0;
    std::size_t clean = 0;
    std::size_t shops = 0;
    std::size_t clean_shops = 0;
    std::size_t not_read = 0;
    std::size_t too_many_ways = 0;
    std::size_t unclear = 0; // see slow::Verdict
    std::size_t found = 0;
    std::size_t only_possible = 0;
    std::size_t slow_found = 0;
    std::size_t slow_only_possible = 0;
    std::size_t verdicts = 0;
    std::size_t most_ways = 0;
    std::size_t differences = 0;
    std::map<std::string, std::size_t> checks;
    while (procedures < wanted && differences < 3) {
        const Shop shop = a_shop(random);
        const Compared compared = compare(shop);
        if (!compared.good) {
            ++(compared.unclear ? unclear : compared.fast.empty() ? too_many_ways : not_read);
            REQUIRE(not_read + too_many_ways + unclear < 20 + shops / 5);
            continue;
        }
        ++shops;
        procedures += shop.procedures.size();
        clean_shops += compared.faulty.empty() ? 1 : 0;
        for (const random_shops::Procedure& each : shop.procedures)
            clean += compared.faulty.contains("work/" + each.name + ".yaml") ? 0 : 1;
        found += compared.found;
        only_possible += compared.only_possible;
        slow_found += compared.slow_found;
        slow_only_possible += compared.slow_only_possible;
        verdicts += compared.verdicts;
        most_ways = std::max(most_ways, compared.ways);
        for (const auto& [check, times] : compared.checks) checks[check] += times;
        if (compared.differences.empty()) continue;
        ++differences;
        FAIL_CHECK("seed " << first_seed << ", shop " << shops << ":\n" << told(shrunk(shop)));
    }
    std::ostringstream table;
    for (const auto& [check, times] : checks) table << "\n  " << times << "  " << check;
    MESSAGE("seed " << first_seed << ": " << procedures << " procedures in " << shops << " shops, " << clean
                    << " clean; " << clean_shops << " shops clean; " << found << " findings, of them " << only_possible
                    << " that have their fault from an earlier one; the slow machine found " << slow_found
                    << ", of them " << slow_only_possible << " for possible only; " << verdicts
                    << " verdicts held against each other; at most " << most_ways
                    << " ways at once; left out: " << not_read << " shops not read, " << too_many_ways
                    << " with too many ways, " << unclear << " (" << per_mille(unclear, shops + unclear)
                    << " of a thousand) with a repeat that begins otherwise after a fault; messages by check:"
                    << table.str());
    CHECK(clean * 100 > procedures * 20);
    CHECK(clean * 100 < procedures * 80);
}
