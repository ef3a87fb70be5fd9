#include "proof/tell.h"

#include "base/text.h"
#include "proof/remedy.h"

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
    return head_span(row);
}

source::Span head_span(const fitted::Row& row) {
    if (row.step == nullptr || row.step->source == nullptr) return {};
    const model::Step& step = *row.step->source;
    if (step.verb) return step.verb->key;
    if (step.ask) return step.ask->span;
    if (step.decide) return step.decide->span;
    if (step.if_answered) return step.if_answered->span;
    if (step.again && step.again->value.from) return step.again->value.from->value.span;
    if (step.stop) return step.stop->span;
    if (step.plain) return step.plain->span;
    if (step.say) return step.say->span;
    return step.span;
}

namespace {

// The reference among those written that this thing was found by.
template <class Refs, class Thing>
source::Span named_at(const linked::Linked& linked, const Refs& refs, const Thing& thing) {
    if (!refs) return {};
    for (const auto& ref : refs->value)
        if (ref.name == thing.id ||
            (thing.catalogue.known() && ref.name == linked.catalogues[thing.catalogue.index()].id + "/" + thing.id))
            return ref.span;
    return {};
}

} // namespace

std::vector<Moment::Used> Moment::used() const {
    std::vector<Used> all;
    if (row == nullptr || row->step == nullptr) return all;
    const model::Step& step = *row->step->source;
    if (row->step->consumable.known())
        all.push_back({row->step->consumable,
                       step.verb && !step.verb->targets.empty() ? step.verb->targets.front().span : head_span(*row)});
    for (const linked::ConsumableId with : row->step->with_consumables) {
        const source::Span written = named_at(linked, step.with, of(with));
        all.push_back({with, written.known() ? written : head_span(*row)});
    }
    if (item.known() && it().is.sort == linked::Sort::circuit && all.empty() && it().is.fluid.known())
        all.push_back({it().is.fluid, it().is.circuit_of.fluid ? it().is.circuit_of.fluid->span : it().is.declared});
    return all;
}

std::vector<std::pair<linked::ToolId, source::Span>> Moment::tools(bool (*is)(const model::Tool&)) const {
    std::vector<std::pair<linked::ToolId, source::Span>> all;
    if (row == nullptr || row->step == nullptr) return all;
    const model::Step& step = *row->step->source;
    const auto add = [&](linked::ToolId tool, source::Span written) {
        if (is(linked.tools[tool.index()].figures)) all.emplace_back(tool, written.known() ? written : head_span(*row));
    };
    for (const linked::ToolId tool : row->step->tools)
        add(tool, named_at(linked, step.tool, linked.tools[tool.index()]));
    for (const linked::ToolId tool : row->step->with_tools)
        add(tool, named_at(linked, step.with, linked.tools[tool.index()]));
    return all;
}

std::vector<linked::ItemId> Moment::circuits() const {
    std::vector<linked::ItemId> all;
    const auto add = [&](linked::ItemId circuit) {
        if (circuit.known() && of(circuit).present && std::find(all.begin(), all.end(), circuit) == all.end())
            all.push_back(circuit);
    };
    if (it().is.sort == linked::Sort::circuit) add(item);
    add(it().is.opens);
    add(it().is.vents);
    linked::ItemId part = item;
    for (int depth = 0; part.known() && of(part).present && depth < 16; ++depth) {
        add(of(part).is.circuit);
        part = of(part).is.inside;
    }
    return all;
}

std::vector<fitted::InstanceId> Moment::on_circuit(linked::ItemId circuit, linked::ItemId other) const {
    return of(circuit).is.axis.known() && of(circuit).is.axis == it().is.axis ? beside(other) : every(other);
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
    finding.row = row;
    finding.at = span;
    finding.what = std::move(what);
    if (found) finding.answers = found->answers;
    findings_->push_back(std::move(finding));
    return findings_->back();
}

messages::Label Moment::cause(fitted::InstanceId of_, const Standing& standing) const {
    const linked::ItemId which = fit.instances[of_.index()].item;
    if (standing.placed != nullptr) {
        const fitted::Row& by = *standing.placed;
        return {target_span(by, which), fmt::format("{} here", model::verb(by.verb).done)};
    }
    const std::string text = fmt::format("{} when the work begins", place_name(which, standing.place));
    if (entered != nullptr) {
        const auto said = entered->find(of_);
        if (said != entered->end()) return {said->second, text};
    }
    return declared(which, text);
}

std::optional<messages::Label> Moment::debt_cause(fitted::InstanceId of_, const Standing& standing) const {
    if (standing.indebted != nullptr)
        return messages::Label{target_span(*standing.indebted, fit.instances[of_.index()].item), "owed since here"};
    if (entered == nullptr) return std::nullopt;
    const auto said = entered->find(of_);
    if (said == entered->end()) return std::nullopt;
    return messages::Label{said->second, "owed when the work begins"};
}

void Moment::blame(Finding& finding, fitted::InstanceId of_, const Standing& standing) const {
    finding.more.push_back(cause(of_, standing));
    finding.blamed.emplace_back(of_, standing);
    // On the other ways, too, where it stands no better and no answer is to blame.
    if (finding.answers.empty())
        ways_->each(standing_of(of_), [&](const Standing& s, const Answers&) {
            if (s.place == standing.place && !s.same_state(standing)) finding.blamed.emplace_back(of_, s);
            return true;
        });
    // Where this is judged once for all of that item, its other instances that stand alike are told with it.
    const linked::ItemId which = fit.instances[of_.index()].item;
    if (value != fitted::no_value && of(which).is.axis == it().is.axis) return;
    for (const fitted::InstanceId each : every(which)) {
        if (each == of_) continue;
        const auto alike = some(each, [&](const Standing& s) { return s.place == standing.place; });
        if (alike) finding.blamed.emplace_back(each, alike->standing);
    }
}

std::vector<linked::Need> Moment::whiles(model::VerbName verb) const {
    std::vector<linked::Need> wanted;
    for (const linked::While& condition : it().is.whiles)
        if (condition.verb == verb) wanted.insert(wanted.end(), condition.needs.begin(), condition.needs.end());
    return wanted;
}

std::optional<Moment::Found> Moment::anyhow(fitted::InstanceId of_, Way on) const {
    if (!of(fit.instances[of_.index()].item).is.rests_anywhere) return std::nullopt;
    return some(
        of_, [](const Standing& s) { return s.is_anywhere(); }, on);
}

void Moment::ask(const Check& check, std::span<const linked::Need> wanted, const Words& words, Way on) {
    for (const linked::Need& need : wanted) {
        if (!need.item.known() || !of(need.item).present) continue;
        for (const fitted::InstanceId each : beside(need.item)) {
            const auto unsaid = anyhow(each, on);
            // What has no places is `ready` or owes something.
            const bool owing =
                of(need.item).is.sort == linked::Sort::circuit || of(need.item).is.sort == linked::Sort::adjustment;
            const auto wrong = [&](const Standing& s) { return owing ? s.unfinished() != 0 : !s.in(need.place); };
            const auto bad = unsaid ? unsaid : some(each, wrong, on);
            if (!bad) continue;
            const std::string stands =
                owing    ? fmt::format("the {} still owes {}", name(need.item), debts_of(bad->standing.unfinished()))
                : unsaid ? fmt::format("nobody says how the {} stands", name(need.item))
                         : fmt::format("the {} is {}", name(need.item), place_name(need.item, bad->standing.place));
            Finding& finding = report(
                check,
                fmt::format("{} while {}; {} {}", words.what, stands, words.demand, place_name(need.item, need.place)),
                bad);
            finding.more.push_back({need.span, std::string(words.label)});
            if (owing) {
                blame_debt(finding, each, bad->standing, bad->standing.unfinished());
                finding.help = words.help.empty() ? "add before this step what it owes" : std::string(words.help);
            } else if (unsaid) {
                blame_anywhere(finding, each, *bad, need.place);
            } else {
                blame(finding, each, bad->standing);
                finding.help = words.help;
                if (remedies->worked_side_by_side(*this, finding, need.item, bad->standing)) break;
                if (words.slackens) {
                    remedies->slacken_earlier(*this, finding, need, bad->standing);
                    break;
                }
                if (words.help.empty() && remedies->work_elsewhere(*this, finding, need)) break;
                if (words.help.empty() && remedies->swap_with(*this, finding, need)) break;
                const std::size_t labels = finding.more.size();
                if (words.help.empty()) remedies->before(*this, finding, need.item, bad->standing.place, need.place);
                // A setting that nobody set, and the contract does not speak of, may come in so.
                const bool untold = bad->standing.placed == nullptr && (entered == nullptr || !entered->contains(each));
                if (untold && of(need.item).is.sort == linked::Sort::setting && !finding.help.starts_with("move") &&
                    !remedies->touched_before(*this, need.item)) {
                    finding.wants_entry = it().is.sort == linked::Sort::setting;
                    const std::string say = fmt::format("say `starts-with: {{ {}: {} }}`", of(need.item).is.id,
                                                        place_name(need.item, need.place));
                    const std::string before = remedies->left_so_before(*this, need);
                    if (before.empty()) {
                        finding.help += ", or " + say;
                    } else {
                        finding.help = fmt::format(
                            "{} above `steps`: `{}`, which the job does before this, leaves it so", say, before);
                        finding.mends.clear();
                        finding.more.resize(labels);
                    }
                }
            }
            break;
        }
    }
}

void Moment::blame_anywhere(Finding& finding, fitted::InstanceId of_, const Found& found, linked::Place wanted) const {
    const linked::ItemId which = fit.instances[of_.index()].item;
    finding.more.push_back(declared(which, "may come in in any of its states"));
    finding.blamed.emplace_back(of_, found.standing);
    finding.told_on = anywhere;
    const std::string so = fmt::format("{{ {}: {} }}", of(which).is.id, place_name(which, wanted));
    finding.help =
        fmt::format("add `- set: {}` before this, or say `starts-with: {}`, which the card then asks for", so, so);
}

void Moment::blame_debt(Finding& finding, fitted::InstanceId of_, const Standing& standing, std::uint64_t debts) const {
    if (auto since = debt_cause(of_, standing)) finding.more.push_back(std::move(*since));
    finding.blamed.emplace_back(of_, standing);
    finding.told_debts = debts;
}

messages::Label Moment::declared(linked::ItemId which, std::string text) const {
    return {of(which).is.declared, std::move(text)};
}

std::string Moment::place_name(linked::ItemId which, linked::Place where) const {
    const std::vector<linked::PlaceName>& places = of(which).is.places;
    return where < places.size() ? places[where].name : "somewhere";
}

void Moment::put_at(Finding& finding, messages::Label where) const {
    if (of_job) {
        finding.label = "when this job ends";
        finding.more.push_back(std::move(where));
        return;
    }
    // A step of a procedure that is called: which one ends there has to be said.
    if (where.span.file != span.file) finding.more.push_back({span, "when this ends"});
    finding.at = where.span;
    finding.label = std::move(where.text);
}

std::string_view Moment::done() const {
    return row != nullptr ? model::verb(row->verb).done : std::string_view();
}

std::vector<linked::ItemId> renewed_as_one(const fitted::Fit& fit, linked::ItemId item) {
    const auto names = [&](linked::ItemId one, linked::ItemId other) {
        const std::vector<linked::ItemId>& together = fit.items[one.index()].is.renew_together;
        return std::find(together.begin(), together.end(), other) != together.end();
    };
    std::vector<linked::ItemId> set{item};
    for (std::size_t next = 0; next < set.size(); ++next)
        for (std::size_t i = 0; i < fit.items.size(); ++i) {
            const linked::ItemId other(i);
            if (!fit.items[i].present || fit.items[i].is.sort != linked::Sort::part) continue;
            if (!names(set[next], other) && !names(other, set[next])) continue;
            if (std::find(set.begin(), set.end(), other) == set.end()) set.push_back(other);
        }
    if (set.size() == 1 && !names(item, item)) return {};
    std::sort(set.begin(), set.end());
    return set;
}

std::string debts_of(std::uint64_t bits) {
    std::string words;
    for (std::size_t i = 0; i < model::debt_count; ++i) {
        const auto debt = static_cast<model::Debt>(i);
        const bool owed = debt == model::Debt::bleed
                              ? (bits & vent_bits) != 0 && (bits & model::bit(model::Debt::prove)) == 0 // of a circuit
                              : (bits & model::bit(debt)) != 0;
        if (owed) words += fmt::format("{}`{}`", words.empty() ? "" : ", ", model::word(debt));
    }
    return words;
}

namespace {

// "left and right" – or nothing where the item has no axis.
std::string values_of(const fitted::Fit& fit, linked::ItemId item, const std::set<fitted::AxisValue>& values) {
    if (!item.known() || !fit.items[item.index()].is.axis.known()) return {};
    const fitted::Axis& axis = fit.axes[fit.items[item.index()].is.axis.index()];
    std::vector<std::string> names;
    for (const fitted::AxisValue value : values)
        if (value < axis.values.size()) names.push_back(axis.values[value]);
    return base::join_and(names);
}

// How a step says that it is for these values alone; nothing where it is for all of them.
std::string only_for(const fitted::Fit& fit, linked::ItemId item, const std::set<fitted::AxisValue>& values) {
    if (!item.known() || !fit.items[item.index()].is.axis.known()) return {};
    const fitted::Axis& axis = fit.axes[fit.items[item.index()].is.axis.index()];
    std::string names;
    std::size_t count = 0;
    for (const fitted::AxisValue value : values) {
        if (value >= axis.values.size()) continue;
        names += (count++ == 0 ? "" : ", ") + axis.values[value];
    }
    if (count == 0 || count == axis.values.size()) return {};
    return fmt::format(" with `only: {{ {}: {} }}`", axis.name, count == 1 ? names : "[" + names + "]");
}

std::string answers_of(const Answers& answers, const std::vector<const fitted::Row*>& asked) {
    std::string all;
    for (const auto& [question, yes] : answers) {
        if (question >= asked.size() || asked[question]->step == nullptr) continue;
        const auto& id = asked[question]->step->source->id;
        if (!id) return {};
        all += fmt::format("{}{}: {}", all.empty() ? "" : ", ", id->value, yes ? "yes" : "no");
    }
    return all;
}

// Where a step goes that is missing before this one, or on that way before this one.
std::string before_this(const Answers& answers, const std::vector<const fitted::Row*>& asked) {
    if (answers.size() == 1 && answers.front().first < asked.size()) {
        const auto& [question, yes] = answers.front();
        const fitted::Row& row = *asked[question];
        return fmt::format("where the answer is {}, {} `{}`", yes ? "yes" : "no",
                           (yes ? row.if_so : row.if_not).empty() ? "below the question in an" : "under the question's",
                           yes ? "if-so" : "if-not");
    }
    const std::string all = answers_of(answers, asked);
    return all.empty() ? "before this step" : fmt::format("under `- if-answered: {{ {} }}` before this step", all);
}

// "add `- fit: lid` and `- torque: lid-bolt`"
std::string title_of(const std::vector<messages::Edit>& mends) {
    std::vector<std::string> steps;
    for (const messages::Edit& mend : mends)
        for (const std::string_view step : base::split(mend.text, '\n')) steps.push_back(fmt::format("`{}`", step));
    return "add " + base::join_and(steps);
}

std::string filled(std::string text, std::string_view what, std::string_view with) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
        text.replace(at, what.size(), with);
    return text;
}

// By its ending alone: "guide pins", "brake shoes", "nuts of the axle"; not "glass", "chassis", "bus", "pair of shoes".
bool is_plural(std::string_view name) {
    for (const std::string_view link : {" of ", " on ", " in ", " for ", " at "})
        name = name.substr(0, name.find(link));
    constexpr std::size_t shortest = 4;
    return name.size() >= shortest && name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("us") &&
           !name.ends_with("is");
}

// "the guide pins is left off" → "the guide pins are left off": the verb behind each name that is of several.
std::string agreed(std::string text, const fitted::Fit& fit, const std::string& several = {}) {
    using std::string_view_literals::operator""sv;
    static constexpr std::pair<std::string_view, std::string_view> verbs[] = {{" is "sv, " are "sv},
                                                                              {" behind it is "sv, " behind it are "sv},
                                                                              {" inside it is "sv, " inside it are "sv},
                                                                              {" was "sv, " were "sv},
                                                                              {" has "sv, " have "sv},
                                                                              {" holds "sv, " hold "sv},
                                                                              {" locks "sv, " lock "sv},
                                                                              {" leaves "sv, " leave "sv},
                                                                              {" goes "sv, " go "sv},
                                                                              {" comes "sv, " come "sv},
                                                                              {" stands "sv, " stand "sv},
                                                                              {" hangs "sv, " hang "sv},
                                                                              {" reaches "sv, " reach "sv},
                                                                              {" meets "sv, " meet "sv},
                                                                              {" makes "sv, " make "sv},
                                                                              {" sets "sv, " set "sv},
                                                                              {" needs "sv, " need "sv},
                                                                              {" owes "sv, " owe "sv},
                                                                              {" still owes "sv, " still owe "sv},
                                                                              {" still holds"sv, " still hold"sv},
                                                                              {" still locks"sv, " still lock"sv}};
    std::vector<std::string> subjects;
    if (!several.empty()) subjects.push_back(several);
    for (const fitted::Item& item : fit.items)
        if (is_plural(item.is.name)) subjects.push_back("the " + item.is.name);
    for (const std::string& subject : subjects) {
        for (std::size_t at = text.find(subject); at != std::string::npos; at = text.find(subject, at + 1)) {
            const std::size_t behind = at + subject.size();
            for (const auto& [one, many] : verbs)
                if (std::string_view(text).substr(behind).starts_with(one)) {
                    text.replace(behind, one.size(), many);
                    break;
                }
            constexpr std::string_view held = " that it holds is ";
            if (std::string_view(text).substr(behind).starts_with(held))
                text.replace(behind, held.size(), " that it holds are ");
            if (at != 0) continue;
            text = filled(std::move(text), " here: it is ", " here: they are ");
            text = filled(std::move(text), " too early: it still owes ", " too early: they still owe ");
        }
    }
    return text;
}

// Does a step go in right behind a step or a question in words? Those may rest on it ("Pull the stands out", "Bend the leg of the pin"): where it belongs
// only who reads them knows.
// `before`: what stands before the first of them, at the end of the section before.
bool behind_words(const fitted::Rows& rows, const std::vector<messages::Edit>& mends,
                  const fitted::Row* before = nullptr) {
    const auto words = [](const fitted::Row& row) {
        return row.kind == fitted::RowKind::plain || (row.kind == fitted::RowKind::question && row.step != nullptr &&
                                                      row.step->kind == linked::StepKind::ask);
    };
    for (std::size_t i = 0; i < rows.size(); ++i) {
        for (const messages::Edit& mend : mends) {
            if (rows[i].step == nullptr || rows[i].step->source->span != mend.span) continue;
            if (mend.puts == messages::Puts::entries_after && words(rows[i])) return true;
            const fitted::Row* last = i > 0 ? &rows[i - 1] : before;
            if (mend.puts == messages::Puts::entries_before && last != nullptr && words(*last)) return true;
        }
        for (const fitted::Rows* inner : {&rows[i].if_so, &rows[i].if_not, &rows[i].body, &rows[i].otherwise})
            if (behind_words(*inner, mends)) return true;
    }
    return false;
}

bool behind_words(const fitted::Fit& fit, const std::vector<messages::Edit>& mends) {
    for (const fitted::Procedure& procedure : fit.procedures) {
        const fitted::Row* before = nullptr;
        for (const fitted::Section& section : procedure.sections) {
            if (behind_words(section.rows, mends, before)) return true;
            if (!section.rows.empty()) before = &section.rows.back();
        }
    }
    return false;
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
        const std::string values = values_of(fit, finding.item, group.values);
        const std::string where = values.empty() ? values : ", " + values;
        message.text = filled(finding.what, "{sides} ", where.empty() ? " " : where + ", ");
        message.text = filled(message.text, "{sides}", where);
        std::vector<std::string> names;
        if (finding.item.known()) names.push_back("the " + fit.items[finding.item.index()].is.name);
        for (const linked::ItemId other : finding.with) names.push_back("the " + fit.items[other.index()].is.name);
        if (!names.empty()) message.text = filled(message.text, "{item}", base::join_and(names));
        message.labels.push_back({finding.at, finding.label});
        for (const messages::Label& more : finding.more) {
            const bool again = std::any_of(message.labels.begin(), message.labels.end(),
                                           [&](const auto& l) { return l.span == more.span; });
            if (!more.span.known() || again) continue;
            message.labels.push_back(more);
            message.labels.back().text = filled(more.text, "{values}", values);
        }
        for (const auto& [question, yes] : finding.answers)
            if (question < asked.size() && asked[question]->step != nullptr)
                message.labels.push_back(
                    {head_span(*asked[question]), yes ? "when this is answered yes" : "when this is answered no"});
        const std::string only = only_for(fit, finding.item, group.values);
        const std::string on_way = answers_of(finding.answers, asked);
        message.help =
            filled(finding.help, "{only}",
                   only + (on_way.empty() ? std::string() : fmt::format(" under `- if-answered: {{ {} }}`", on_way)));
        message.help = filled(message.help, "{before}", before_this(finding.answers, asked));
        message.help = filled(message.help, "{values}", values.empty() ? "this" : values);
        // What is missing on some side, or on some way, is more than a step.
        if (!finding.mends.empty() && (only.empty() || finding.once) && finding.answers.empty() &&
            !behind_words(fit, finding.mends))
            message.fixes.push_back(
                {finding.mends_title.empty() ? title_of(finding.mends) : finding.mends_title, finding.mends, true});
        // What one step mends is one mistake, whatever the vehicle calls the thing and however many sides it has.
        if (!finding.help.empty() && finding.item.known())
            message.cause = fmt::format("{} {} {} {} {}", finding.at.file.index(), finding.at.begin, finding.at.end,
                                        fit.items[finding.item.index()].is.id, finding.help);
        message.tells = finding.tells;
        message.text = agreed(std::move(message.text), fit, names.size() > 1 ? base::join_and(names) : std::string());
        message.help = agreed(std::move(message.help), fit);
        messages.add(std::move(message));
    }
}

} // namespace benchleaf::proof
