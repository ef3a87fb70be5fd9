// Would the program notice? The demo shop is spoiled in one place at a time, as a slip of the pen would spoil it: a step left out, two
// steps in the wrong order, a line left out of a contract or of a job, a torque ten times too high or in millimetres. Each spoiled shop
// has to be reported, by an error or a warning, or to stand in harmless.txt with the reason why nobody has to be told. The list is
// exact: what it names must exist and must be silent. Nothing rewrites it, for a reason is a person's to write.
#include "base/text.h"
#include "driver/mend.h"
#include "driver/pipeline.h"
#include "driver/rules.h"
#include "fixes/fixes.h"
#include "model/verbs.h"
#include "units/tightening.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <map>
#include <set>
#include <sstream>

using namespace benchleaf;

namespace {

enum class Kind : std::uint8_t { step_left_out, steps_swapped, contract_line, call_of_job, torque };
constexpr std::array<std::string_view, 5> kinds{"step left out", "steps swapped", "contract line left out",
                                                "call left out of a job", "torque changed"};

struct Mutant {
    Kind kind{};
    std::string name; // `delete brakes/front-disc-service.yaml: clean: carrier (section Close up)`
    source::FileId file;
    std::vector<messages::Edit> edits;
};

std::string read(const std::filesystem::path& path) {
    std::ifstream in(path);
    REQUIRE(in.good());
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
}

// -- What may be done to the shop -----------------------------------------------------------------------------------------------------

// Does the verb change anything that a later step, or the close-out, may rest on? As it is declared, whatever it is called.
bool changes(const model::Verb& verb) {
    const auto changing = [](const model::Deed& deed) {
        return deed.to != model::Leaves::same || !deed.effects.empty();
    };
    return !verb.leaves.empty() || std::any_of(verb.deeds.begin(), verb.deeds.end(), changing) ||
           verb.takes == model::Argument::procedure; // all that the other procedure does
}
bool changes(const model::Step& step) {
    return step.verb && changes(model::verb(step.verb->verb));
}

class Spoiler {
public:
    explicit Spoiler(const driver::Shopful& shop) : shop_(shop) {
        for (const model::Procedure& procedure : shop.model.procedures) {
            file_ = procedure.id.span.file;
            if (procedure.steps) spoil_steps(procedure.steps->value, "");
        }
        for (const syntax::Syntax& each : shop.syntaxes) {
            file_ = each.file;
            for (const std::string_view key : {"starts-with", "ends-with"}) spoil_contract(each, key);
            spoil_torques(each);
        }
        for (const model::Job& job : shop.model.jobs) {
            if (!job.procedures) continue;
            file_ = job.id.span.file;
            std::vector<source::Span> all;
            for (const auto& each : job.procedures->value) all.push_back(each.span);
            if (all.size() < 2) continue; // the list would be empty
            for (std::size_t i = 0; i < all.size(); ++i)
                add(Kind::call_of_job, fmt::format("job {}: without {}", path(), text(all[i])),
                    {{without(all, i), ""}});
        }
    }
    std::vector<Mutant> mutants;

private:
    std::string_view path() const { return shop_.sources.file(file_).path; }
    std::string_view text(source::Span span) const { return shop_.sources.text(span); }

    void add(Kind kind, std::string name, std::vector<messages::Edit> edits) {
        // The third step of three that nothing else tells apart.
        if (const int count = ++names_[name]; count > 1) name += fmt::format(" no. {}", count);
        mutants.push_back({kind, std::move(name), file_, std::move(edits)});
    }

    // What has to go if one of some entries is left out, with the comma or the line that parts it from its neighbour.
    static source::Span without(const std::vector<source::Span>& entries, std::size_t i) {
        const source::Span entry = entries[i];
        if (i + 1 < entries.size()) return {entry.file, entry.begin, entries[i + 1].begin};
        return {entry.file, i > 0 ? entries[i - 1].end : entry.begin, entry.end};
    }

    // `fit: lower-guide-bolt`
    std::string says(const model::VerbUse& use) const {
        std::string words;
        for (const model::Target& target : use.targets) {
            words += (words.empty() ? "" : ", ") + target.name;
            if (target.place) words += " " + target.place->value;
        }
        if (use.time) words = text(use.time->span);
        return fmt::format("{}: {}", model::verb(use.verb).word, words);
    }
    std::string says(const model::Step& step) const {
        std::string words = says(*step.verb);
        for (std::size_t i = 0; step.to && i < step.to->value.size(); ++i)
            words += (i == 0 ? " to " : ", ") + step.to->value[i].name;
        return words;
    }

    static std::string bracketed(const std::string& where) { return where.empty() ? "" : " (" + where + ")"; }

    void spoil_steps(const model::Steps& steps, const std::string& way) {
        std::vector<source::Span> spans;
        for (const model::Step& step : steps) spans.push_back(step.span);
        std::string where = way;
        const model::Step* before =
            nullptr; // the neighbour that changes something, if only what changes nothing is in between
        std::string where_before;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const model::Step& step = steps[i];
            if (step.section) where = "section " + step.section->value;
            if (changes(step)) {
                leave_out(steps, spans, i, where);
                if (before != nullptr && text(before->span) != text(step.span))
                    add(Kind::steps_swapped,
                        where == where_before
                            ? fmt::format("swap {}: {} <-> {}{}", path(), says(*before), says(step), bracketed(where))
                            : fmt::format("swap {}: {}{} <-> {}{}", path(), says(*before), bracketed(where_before),
                                          says(step), bracketed(where)),
                        {{before->span, std::string(text(step.span))}, {step.span, std::string(text(before->span))}});
                before = &step;
                where_before = where;
            }
            const std::string below = where.empty() ? "" : where + ", ";
            const auto go_in = [&](const model::Given<model::Steps>& list, std::string_view name) {
                if (list) spoil_steps(list->value, below + std::string(name));
            };
            go_in(step.if_so, "if-so");
            go_in(step.if_not, "if-not");
            go_in(step.steps, "if-answered");
            if (step.again) go_in(step.again->value.otherwise, "else");
            if (step.ask || step.decide || step.if_answered || step.again || step.stop) before = nullptr;
        }
    }

    void leave_out(const model::Steps& steps, const std::vector<source::Span>& spans, std::size_t i,
                   const std::string& where) {
        const model::Step& step = steps[i];
        messages::Edit edit{without(spans, i), ""};
        // A list or section may not be empty, nor the step gone that a repeat goes back to: that would be told, and not what is missing.
        const bool first = i == 0 || steps[i - 1].section;
        const bool last = i + 1 == steps.size() || steps[i + 1].section;
        if (step.id)
            edit = {step.span, fmt::format("{{ say: Go on., id: {} }}", step.id->value)};
        else if (first && last)
            edit = {step.span, "Go on."};
        add(Kind::step_left_out, fmt::format("delete {}: {}{}", path(), says(step), bracketed(where)), {edit});
    }

    void spoil_contract(const syntax::Syntax& syntax, std::string_view key) {
        const syntax::NodeId map = syntax.value_of(syntax.root, key);
        if (!map.known()) return;
        std::vector<source::Span> lines;
        std::vector<std::string_view> names;
        for (const auto& [name, value] : pairs(syntax, map)) {
            names.push_back(syntax.at(name).text);
            lines.push_back({file_, syntax.at(name).span.begin, syntax.at(value).span.end});
        }
        for (std::size_t i = 0; i < lines.size(); ++i) {
            source::Span gone = without(lines, i);
            if (lines.size() == 1) { // the key goes with its only line
                std::vector<source::Span> keys;
                std::size_t at = 0;
                for (const auto& [name, value] : pairs(syntax, syntax.root)) {
                    if (syntax.at(name).text == key) at = keys.size();
                    keys.push_back({file_, syntax.at(name).span.begin, syntax.at(value).span.end});
                }
                gone = without(keys, at);
            }
            add(Kind::contract_line, fmt::format("contract {}: {} without {}", path(), key, names[i]), {{gone, ""}});
        }
    }

    static std::vector<std::pair<syntax::NodeId, syntax::NodeId>> pairs(const syntax::Syntax& syntax,
                                                                        syntax::NodeId map) {
        std::vector<std::pair<syntax::NodeId, syntax::NodeId>> all;
        REQUIRE(syntax.at(map).kind == syntax::Kind::map);
        for (auto at = syntax.at(map).first_child; at.known(); at = syntax.at(syntax.at(at).next).next)
            all.emplace_back(at, syntax.at(at).next);
        return all;
    }

    void spoil_torques(const syntax::Syntax& syntax) {
        const syntax::NodeId torques = syntax.value_of(syntax.root, "torques");
        if (!torques.known()) return;
        for (const auto& [name, torque] : pairs(syntax, torques)) {
            const syntax::NodeId value = syntax.value_of(torque, "value");
            if (!value.known()) continue; // elsewhere's
            if (syntax.at(value).kind == syntax::Kind::list)
                for (const syntax::NodeId stage : syntax.children(value)) spoil_stage(syntax, name, stage);
            else
                spoil_stage(syntax, name, value);
        }
    }

    void spoil_stage(const syntax::Syntax& syntax, syntax::NodeId name, syntax::NodeId at) {
        const auto parsed = units::parse_stage(syntax.at(at).text);
        REQUIRE(std::holds_alternative<units::Stage>(parsed));
        using Change = std::function<void(units::Quantity&)>;
        const Change tenfold = [](units::Quantity& quantity) {
            if (quantity.decimals > 0)
                --quantity.decimals;
            else
                quantity.digits *= 10;
        };
        const Change tenth = [](units::Quantity& quantity) {
            if (quantity.digits % 10 == 0)
                quantity.digits /= 10;
            else
                ++quantity.decimals;
        };
        const Change length = [](units::Quantity& quantity) { quantity.unit = units::Unit::millimetre; };
        for (const Change& change : {length, tenfold, tenth}) {
            units::Stage stage = std::get<units::Stage>(parsed);
            const auto all_of = [&](units::Figure& figure) {
                for (units::Quantity* each : {&figure.nominal, &figure.lower, &figure.upper}) change(*each);
                if (figure.form == units::Figure::Form::plus_minus) change(figure.tolerance);
            };
            if (auto* torque = std::get_if<units::ToTorque>(&stage)) all_of(torque->torque);
            if (auto* angle = std::get_if<units::ByAngle>(&stage)) all_of(angle->angle);
            if (auto* contact = std::get_if<units::ToContact>(&stage); contact != nullptr && contact->angle)
                all_of(*contact->angle);
            if (auto* back = std::get_if<units::BackOff>(&stage)) all_of(back->angle);
            if (stage == std::get<units::Stage>(parsed)) continue; // one without a figure
            units::PrintOptions as_written;
            as_written.plain_spaces = true;
            as_written.two_dots = true;
            const std::string changed = units::print(stage, as_written);
            add(Kind::torque,
                fmt::format("torque {}: {}: {} -> {}", path(), syntax.at(name).text, syntax.at(at).text, changed),
                {{syntax.at(at).span, changed}});
        }
    }

    const driver::Shopful& shop_;
    source::FileId file_;
    std::map<std::string, int> names_;
};

// -- What is known to be harmless -----------------------------------------------------------------------------------------------------

constexpr std::string_view known_gap = "KNOWN GAP"; // begins the reason of what had better be told, and is not yet

// Mutants by name, each with the reason above it. A line without a blank before it is a reason, one with blanks a name, one with # neither.
std::map<std::string, std::string> read_harmless() {
    std::map<std::string, std::string> harmless;
    std::string reason;
    std::istringstream lines(read(std::filesystem::path(BENCHLEAF_SOURCE_DIR) / "tests/mutations/harmless.txt"));
    for (std::string line; std::getline(lines, line);) {
        if (base::trimmed(line).empty() || line[0] == '#') continue;
        if (line[0] != ' ') {
            reason = line;
            continue;
        }
        REQUIRE(!reason.empty());
        const bool is_new = harmless.emplace(base::trimmed(line), reason).second;
        INFO("stands in harmless.txt twice: ", line);
        CHECK(is_new);
    }
    return harmless;
}

// -- What the program says ------------------------------------------------------------------------------------------------------------

std::unique_ptr<driver::Shopful> checked(const driver::Files& files, driver::Stage until) {
    driver::CheckOptions options;
    options.until = until;
    options.unused = false;
    return driver::check_shop(files, options);
}

bool reported(const driver::Shopful& shop) {
    return shop.messages.any_error() || shop.messages.count(messages::Level::warning) > 0;
}

bool any_fix(const driver::Shopful& shop) {
    return std::any_of(shop.messages.all().begin(), shop.messages.all().end(),
                       [](const messages::Message& each) { return !each.fixes.empty(); });
}

struct Score {
    std::size_t mutants = 0;
    std::size_t errors = 0;
    std::size_t warnings = 0;
    std::size_t alone = 0; // told by one message
    std::size_t listed = 0;
    std::size_t gaps = 0;    // of those listed
    std::size_t offered = 0; // those with a fix
    std::size_t mended = 0;  // of those, clean once it is made
    Score& operator+=(const Score& more) {
        mutants += more.mutants;
        errors += more.errors;
        warnings += more.warnings;
        alone += more.alone;
        listed += more.listed;
        gaps += more.gaps;
        offered += more.offered;
        mended += more.mended;
        return *this;
    }
};

} // namespace

TEST_CASE("one mistake in the demo shop is reported, or known to be harmless") {
    namespace fs = std::filesystem;
    const std::clock_t begin = std::clock();
    driver::Files files;
    const fs::path root = fs::path(BENCHLEAF_SOURCE_DIR) / "procedures";
    for (const auto& entry : fs::recursive_directory_iterator(root))
        if (entry.path().extension() == ".yaml")
            files.emplace(fs::relative(entry.path(), root).string(), read(entry.path()));
    files.shelf = std::make_shared<driver::Shelf>(root.string());
    REQUIRE(!reported(*checked(files, driver::Stage::pages)));
    const auto shop = driver::link_shop(files, driver::Stage::wording, true, true);
    const std::vector<Mutant> mutants = Spoiler(*shop).mutants;
    const std::map<std::string, std::string> harmless = read_harmless();

    std::set<std::string> exist;
    std::set<Kind> made;
    for (const Mutant& each : mutants) {
        exist.insert(each.name);
        made.insert(each.kind);
    }
    CHECK(exist.size() == mutants.size());
    CHECK(made.size() == kinds.size());
    for (const auto& listed : harmless) {
        INFO("no such mutant: ", listed.first);
        CHECK(exist.count(listed.first) == 1);
    }

    std::map<std::string_view, driver::Stage> stages;
    for (const driver::StageRule& each : driver::all_rules()) stages.emplace(each.rule->name, each.stage);

    // A build that is so many times as slow looks at one of so many, evenly.
    constexpr std::size_t stride = BENCHLEAF_TIME_SLACK;
    std::array<Score, kinds.size()> scores;
    for (std::size_t i = 0; i < mutants.size(); i += stride) {
        const Mutant& mutant = mutants[i];
        INFO(mutant.name);
        const source::File& file = shop->sources.file(mutant.file);
        const fixes::Applied spoiled =
            fixes::apply(std::vector{messages::Fix{"", mutant.edits}}, mutant.file, file.text);
        REQUIRE(spoiled.applied == 1);
        std::string& text = files[file.path];
        text = spoiled.text;
        // What the proof lets pass may still be found on the way to the paper: a torque that no wrench of the shop holds.
        auto found = checked(files, driver::Stage::proof);
        if (!reported(*found)) found = checked(files, driver::Stage::pages);
        Score& score = scores[static_cast<std::size_t>(mutant.kind)];
        ++score.mutants;
        if (mutant.kind == Kind::step_left_out && any_fix(*found)) {
            ++score.offered;
            if (!reported(*checked(driver::mend(files, {}).files, driver::Stage::pages))) ++score.mended;
        }
        std::size_t gone = 0;
        const std::size_t told = driver::told_by_cause(files, *found, found->messages, gone).all().size();
        text = file.text;

        const auto known = harmless.find(mutant.name);
        const bool listed = known != harmless.end();
        if (found->messages.any_error())
            ++score.errors;
        else if (reported(*found))
            ++score.warnings;
        else if (listed)
            ++score.listed;
        if (told == 1) ++score.alone;
        if (listed && known->second.starts_with(known_gap)) ++score.gaps;
        if (reported(*found)) {
            INFO("reported now, so it does not belong into harmless.txt: ", found->messages.all().front().text);
            CHECK_FALSE(listed);
        } else {
            INFO("nothing is said of it; see why, and mend check or shop, or write the reason into harmless.txt");
            CHECK(listed);
        }
        // A cut that spoils the YAML itself would prove nothing.
        if (mutant.kind == Kind::torque) continue;
        for (const messages::Message& message : found->messages.all()) {
            INFO(message.rule->name, ": ", message.text);
            CHECK(stages.at(message.rule->name) > driver::Stage::model);
        }
    }

    // What `check --fix` puts back of the steps that were left out.
    const Score& left_out = scores[static_cast<std::size_t>(Kind::step_left_out)];
    CHECK(left_out.offered > 0);
    CHECK(left_out.mended * 10 >= left_out.offered * 7);

    Score all;
    constexpr const char* row = "{:<24}{:>8}{:>8}{:>10}{:>18}{:>8}{:>12}{:>12}{:>8}\n";
    const auto print = [&](std::string_view what, const Score& score) {
        std::cout << fmt::format(row, what, score.mutants, score.errors, score.warnings, score.alone, score.listed,
                                 score.gaps, score.offered, score.mended);
    };
    std::cout << fmt::format(row, "", "mutants", "errors", "warnings", "by one message", "listed", "known gaps",
                             "with a fix", "mended");
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        print(kinds[i], scores[i]);
        all += scores[i];
    }
    print("in all", all);
    if (stride > 1) std::cout << fmt::format("only every {}th of {}, for this build is slow\n", stride, mutants.size());
    std::cout << fmt::format("{:.1f} s\n", static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
}
