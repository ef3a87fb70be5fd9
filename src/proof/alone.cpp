#include "base/text.h"
#include "proof/machine.h"
#include "proof/tell.h"

#include <fmt/format.h>

namespace benchleaf::proof {

namespace {

bool lacks_entry(const model::Given<model::Contract>& written, const std::vector<linked::Entering>& found) {
    return written && found.size() < written->value.size();
}

bool holds_thing(const std::vector<Finding>& findings, const Finding& finding) {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& each) { return each.same_thing(finding); });
}

// Those of a trial are found without it, too, and so many of those of before are gone.
std::size_t mended(const std::vector<Finding>& before, const std::vector<Finding>& after) {
    for (const Finding& each : after)
        if (!holds_thing(before, each)) return 0;
    std::vector<Finding> gone;
    for (const Finding& each : before)
        if (is_error(each) && !holds_thing(after, each) && !holds_thing(gone, each)) gone.push_back(each);
    return gone.size();
}

// Puts the blame on a place in which the thing came.
bool blames_rest(const Finding& finding) {
    return finding.told_debts == 0 && finding.told_on == 0;
}

// Both blame what the same step left.
bool blames_same_step(const fitted::Fit& fit, const Finding& one, const Finding& other) {
    return std::any_of(one.blamed.begin(), one.blamed.end(), [&](const auto& a) {
        return a.second.placed != nullptr && std::any_of(other.blamed.begin(), other.blamed.end(), [&](const auto& b) {
                   return a.second.placed == b.second.placed &&
                          fit.instances[a.first.index()].item == fit.instances[b.first.index()].item;
               });
    });
}

bool as_it_began(const Standing& standing) {
    return standing.placed == nullptr && standing.place == 0;
}

// `calls`: with what a procedure that is called does not find as it asks for, which nobody is blamed for, and which one more call may bring about.
std::set<ItemId> blamed_at_rest(const fitted::Fit& fit, const std::vector<Finding>& findings, bool calls) {
    std::set<ItemId> items;
    for (const Finding& finding : findings) {
        if (!is_error(finding) || !blames_rest(finding)) continue;
        if (calls && finding.check->rule.name == "contract-broken" && finding.item.known()) items.insert(finding.item);
        for (const auto& [at, standing] : finding.blamed)
            if (at.index() < fit.instances.size() && as_it_began(standing))
                items.insert(fit.instances[at.index()].item);
    }
    return items;
}

bool has_only(const fitted::Rows& rows) {
    return std::any_of(rows.begin(), rows.end(), [](const Row& row) {
        return !row.only.empty() || has_only(row.if_so) || has_only(row.if_not) || has_only(row.body) ||
               has_only(row.otherwise);
    });
}

// Does the section begin before that place, and the next one after it?
bool stands_in(const fitted::Procedure& procedure, const fitted::Section& section, source::Span at) {
    const source::Span own = section.source->source->section->span;
    if (at.file != own.file || at.begin < own.begin) return false;
    return std::none_of(procedure.sections.begin(), procedure.sections.end(), [&](const fitted::Section& other) {
        if (other.source == nullptr || other.source->source == nullptr) return false;
        const std::uint32_t begins = other.source->source->section->span.begin;
        return begins > own.begin && begins <= at.begin;
    });
}

// The places other than that of rest, those first in which a thing is most likely found: a fastener loose, a part off.
std::vector<linked::Place> away_from_rest(const linked::Item& item) {
    std::vector<linked::Place> all;
    for (std::size_t i = item.places.size(); i > 1; --i) all.push_back(static_cast<linked::Place>(i - 1));
    if (item.sort == linked::Sort::fastener) std::swap(all[0], all[1]);
    return all;
}

// The thing without sides that a finding is about.
ItemId there_once(const fitted::Fit& fit, const Finding& finding) {
    if (finding.item.known() && !fit.items[finding.item.index()].is.axis.known()) return finding.item;
    for (const auto& [at, standing] : finding.blamed)
        if (at.index() < fit.instances.size() && fit.instances[at.index()].value == no_value)
            return fit.instances[at.index()].item;
    return {};
}

bool works_on_sides(const fitted::Fit& fit, const fitted::Rows& rows, linked::AxisId axis) {
    return std::any_of(rows.begin(), rows.end(), [&](const Row& row) {
        return std::any_of(row.targets.begin(), row.targets.end(),
                           [&](const fitted::Target& target) {
                               return target.item.known() && fit.items[target.item.index()].is.axis == axis;
                           }) ||
               works_on_sides(fit, row.if_so, axis) || works_on_sides(fit, row.if_not, axis) ||
               works_on_sides(fit, row.body, axis) || works_on_sides(fit, row.otherwise, axis);
    });
}

} // namespace

// An item's place, and debts, as `starts-with` says it: "front-end: raised", "play: { owes: [adjust, prove] }".
std::string entry_of(const fitted::Fit& fit, const linked::Entering& entering) {
    const linked::Item& item = fit.items[entering.item.index()].is;
    std::string owes;
    for (std::size_t i = 0; i < model::debt_count; ++i) {
        const auto debt = static_cast<Debt>(i);
        if ((entering.owes & model::bit(debt)) != 0)
            owes += fmt::format("{}{}", owes.empty() ? "" : ", ", model::word(debt));
    }
    const std::string place = entering.has_place ? item.places[entering.place].name : std::string();
    if (owes.empty()) return fmt::format("{}: {}", item.id, place);
    return fmt::format("{}: {{ {}owes: [{}] }}", item.id, place.empty() ? "" : fmt::format("place: {}, ", place), owes);
}

// What a procedure touches: found by proving it alone, between its own contracts.
const Machine::Touched& Machine::touched_by(fitted::ProcedureIndex index, const Binding& binding) {
    const auto key = std::pair(index, binding);
    const auto known = touched_by_.find(key);
    if (known != touched_by_.end()) return known->second;
    touched_by_[key]; // a cycle was reported by linked/; here it ends
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    Walked walked = walk_alone(procedure, procedure.starts_with, binding);
    if (binding.value == no_value) left_alone_[index] = std::move(walked.left);
    if (!procedure.source->source->starts_with)
        for (const Finding& each : walked.findings)
            if (each.wants_entry) wants_entry_[index].insert(each.item);
    if (walked.unsure) unsure_.insert(index);
    if (tells_ == Tells::mistakes && !walked.unsure &&
        std::any_of(walked.findings.begin(), walked.findings.end(), is_error)) {
        if (binding.value != no_value)
            touched_by(index, Binding{});
        else if (begins_elsewhere(index, walked.findings) || worked_once(procedure, walked.findings) ||
                 set_in_passing(procedure, walked.findings))
            mistaken_.insert(index);
        // What comes of the mistake where it is called is not told once more.
        if (mistaken_.contains(index)) {
            unsure_.insert(index);
            if (binding.value != no_value) walked.findings.clear();
        }
    }
    if (tells_ == Tells::mistakes) {
        tell_step_once(walked.findings);
        tell_question_once(walked.findings);
    }
    if (tells_ == Tells::mistakes && !walked.unsure && !mistaken_.contains(index))
        tell_leaving_once(procedure, walked.findings);
    if (tells_ == Tells::mistakes) tell_alike_once(fit_, walked.findings);
    told_.insert(told_.end(), walked.findings.begin(), walked.findings.end());
    return touched_by_[key] = std::move(walked.touched);
}

// One thing that stands wrong in one step is told once, however many checks it fails.
void Machine::tell_step_once(std::vector<Finding>& findings) const {
    const auto same = [](const Finding& a, const Finding& b) {
        if (a.at != b.at || a.check == b.check || !blames_rest(a) || !blames_rest(b) || b.blamed.empty()) return false;
        return std::all_of(b.blamed.begin(), b.blamed.end(), [&](const auto& what) {
            return std::find(a.blamed.begin(), a.blamed.end(), what) != a.blamed.end();
        });
    };
    // What drifts in a repeat is not where the work behind it wants it.
    const auto drifts = [&](const Finding& a, const Finding& b) {
        return a.check->rule.name == "repeat-drifts" && blames_rest(b) && b.blamed.size() == 1 &&
               fit_.instances[b.blamed.front().first.index()].item == a.item &&
               fit_.instances[b.blamed.front().first.index()].value == a.value;
    };
    // What is left so anyhow, and told, is left so where the work stops, too.
    const auto told_besides = [&](const Finding& stopped) {
        return stopped.check->rule.name == "stop-unsafe" &&
               std::any_of(findings.begin(), findings.end(), [&](const Finding& each) {
                   return is_error(each) && each.check != stopped.check && blames_rest(each) &&
                          blames_same_step(fit_, each, stopped);
               });
    };
    // What a question's way finds loose is so before it: that the other way leaves it so follows from that.
    const auto told_in_way = [&](const Finding& differs) {
        return differs.check->rule.name == "ways-differ" &&
               std::any_of(findings.begin(), findings.end(), [&](const Finding& each) {
                   if (each.item != differs.item || each.value != differs.value || each.at.file != differs.at.file ||
                       each.at.begin < differs.at.begin)
                       return false;
                   // Nor that a repeat in it drifts.
                   if (each.check->rule.name == "repeat-drifts" && each.answers.empty())
                       return std::any_of(differs.more.begin(), differs.more.end(), [&](const messages::Label& label) {
                           return label.span.begin > differs.at.begin &&
                                  std::any_of(each.more.begin(), each.more.end(),
                                              [&](const auto& other) { return other.span == label.span; });
                       });
                   if (each.check->rule.name != "wrong-place" || each.blamed.empty()) return false;
                   const Row* placed = each.blamed.front().second.placed;
                   return placed == nullptr ? differs.more.size() < 2
                                            : std::any_of(differs.more.begin(), differs.more.end(),
                                                          [&](const messages::Label& label) {
                                                              return label.span == target_span(*placed, each.item);
                                                          });
               });
    };
    std::erase_if(findings, told_besides);
    std::erase_if(findings, told_in_way);
    for (std::size_t i = 0; i < findings.size(); ++i)
        for (std::size_t j = findings.size(); j > i + 1; --j)
            if (is_error(findings[i]) && (same(findings[i], findings[j - 1]) || drifts(findings[i], findings[j - 1])))
                findings.erase(findings.begin() + static_cast<std::ptrdiff_t>(j - 1));
}

// What one answer takes apart and does not put together again is told at once, in the order in which it goes back.
void Machine::tell_question_once(std::vector<Finding>& findings) const {
    for (std::size_t i = 0; i < findings.size(); ++i) {
        const auto beside = [&](const Finding& each) {
            return !each.brings_back.empty() && each.at == findings[i].at && each.on_answer == findings[i].on_answer;
        };
        if (!beside(findings[i])) continue;
        std::vector<const Finding*> all; // by the thing, on whatever side
        for (const Finding& each : findings)
            if (beside(each) &&
                std::none_of(all.begin(), all.end(), [&](const Finding* known) { return known->item == each.item; }))
                all.push_back(&each);
        if (all.size() < 2) continue;
        const auto taken_away = [](const Finding* each) {
            return each->more.empty() ? 0 : each->more.back().span.begin;
        };
        std::stable_sort(all.begin(), all.end(),
                         [&](const Finding* a, const Finding* b) { return taken_away(a) > taken_away(b); });
        std::vector<std::string> steps;
        for (const Finding* each : all) steps.push_back(each->brings_back);
        Finding told = *all.front();
        told.help = fmt::format("add {}, {}", fmt::join(steps, ", then "), told.on_answer);
        told.brings_back.clear();
        told.mends.clear();
        for (const Finding* each : all) told.mends.insert(told.mends.end(), each->mends.begin(), each->mends.end());
        for (const Finding* each : all) told.more.insert(told.more.end(), each->more.begin(), each->more.end());
        std::vector<Finding> kept;
        for (const Finding& each : findings) {
            if (!beside(each)) {
                kept.push_back(each);
            } else if (each.item == told.item) {
                kept.push_back(told);
                kept.back().value = each.value;
            }
        }
        findings = std::move(kept);
    }
}

// An `ends-with` was forgotten: many things are left away from where they rest, and nothing else is wrong.
namespace {

bool asks_for(const linked::Procedure& next, const Finding& each) {
    return each.leaves.empty() || std::any_of(next.starts_with.begin(), next.starts_with.end(),
                                              [&](const linked::Entering& begins) { return begins.item == each.item; });
}

} // namespace

// In a job, the procedure behind it begins with all that it leaves.
bool Machine::next_asks_for(const fitted::Procedure& procedure, const std::vector<Finding>& findings) const {
    return std::any_of(linked_.jobs.begin(), linked_.jobs.end(), [&](const linked::Job& job) {
        const auto here = std::find_if(job.procedures.begin(), job.procedures.end(),
                                       [&](const auto& each) { return each.first == procedure.id; });
        if (here == job.procedures.end() || here + 1 == job.procedures.end() || !(here + 1)->first.known())
            return false;
        const linked::Procedure& next = linked_.procedures[(here + 1)->first.index()];
        return std::all_of(findings.begin(), findings.end(), [&](const Finding& each) { return asks_for(next, each); });
    });
}

void Machine::tell_leaving_once(const fitted::Procedure& procedure, std::vector<Finding>& findings) const {
    constexpr std::size_t many = 3;
    if (procedure.source->source->ends_with) return;
    std::vector<std::string> entries;
    const Finding* first = nullptr;
    for (const Finding& each : findings) {
        if (is_error(each) && each.leaves.empty()) return;
        if (each.leaves.empty()) continue;
        if (first == nullptr) first = &each;
        if (std::find(entries.begin(), entries.end(), each.leaves) == entries.end()) entries.push_back(each.leaves);
    }
    if (entries.size() < many && !(entries.size() > 1 && next_asks_for(procedure, findings))) return;
    Finding told = *first;
    told.help = fmt::format("where another procedure goes on from here, add `ends-with: {{ {} }}` above `steps`; else "
                            "bring each of them back",
                            fmt::join(entries, ", "));
    told.mends.clear();
    std::vector<Finding> kept;
    for (const Finding& each : findings) {
        if (each.leaves.empty()) kept.push_back(each);
        if (each.leaves.empty() || each.same_thing(*first)) continue;
        // Where it came to stand so, or what it is.
        const source::Span at = each.at.known() && each.at != procedure.source->source->id.span ? each.at
                                : each.more.empty()                                             ? source::Span()
                                                    : each.more.front().span;
        if (at.known()) told.more.push_back({at, "left so, too"});
    }
    for (const Finding& each : findings)
        if (each.same_thing(*first)) {
            kept.push_back(each);
            kept.back().help = told.help;
            kept.back().mends.clear();
            if (&each == first) kept.back().more = told.more;
        }
    findings = std::move(kept);
}

Machine::Walked Machine::walk_alone(const fitted::Procedure& procedure, const Contract& begins,
                                    const Binding& binding) {
    auto state = std::exchange(state_, resting_);
    auto path = std::exchange(path_, {});
    auto log = std::exchange(log_, {});
    auto recorders = std::exchange(recorders_, {});
    auto touched = std::exchange(touched_, {});
    auto live = std::exchange(live_, {});
    auto keys = std::exchange(asked_keys_, {});
    auto entered = std::exchange(entered_, {});
    auto repaired = std::exchange(repaired_, {});
    auto findings = std::exchange(findings_, {});
    const auto sight = std::exchange(sight_, std::nullopt);
    if (lacks_entry(procedure.source->source->starts_with, procedure.source->starts_with)) lose_sight();
    enter(begins, binding, false);
    walk(procedure, binding);
    if (lacks_entry(procedure.source->source->ends_with, procedure.source->ends_with)) lose_sight();
    Walked walked;
    walked.touched = touched_;
    for (const auto& [at, said] : entered_) walked.touched.insert(at);
    const auto* ended = std::exchange(ended_, &procedure);
    const std::size_t found_before = findings_.size();
    ends(procedure.ends_with, binding, walked.touched, procedure.source->source->id.span);
    if (alive() != Ways::ended) judge_last_readings();
    forget_old_readings(found_before);
    walked.left = unfinished();
    ended_ = ended;
    walked.unsure = sight_.has_value();
    drop_unsure();
    walked.findings = std::exchange(findings_, std::move(findings));
    sight_ = sight;
    state_ = std::move(state);
    path_ = std::move(path);
    log_ = std::move(log);
    recorders_ = std::move(recorders);
    touched_ = std::move(touched);
    live_ = std::move(live);
    asked_keys_ = std::move(keys);
    entered_ = std::move(entered);
    repaired_ = std::move(repaired);
    return walked;
}

// What would be found if it began, or a section were worked, otherwise. Nothing is remembered of it.
std::vector<Finding> Machine::try_alone(const fitted::Procedure& procedure, const Contract& begins,
                                        const fitted::Section* once, std::set<const Row*> without) {
    auto memory = std::exchange(memory_, {});
    auto memory_log = std::exchange(memory_log_, {});
    auto faulty = std::exchange(faulty_, {});
    auto drifted = std::exchange(drifted_, {});
    auto late = std::exchange(late_, {});
    const auto reached = reached_;
    const auto not_reached = not_reached_;
    const auto* before = std::exchange(once_, once);
    auto there = std::exchange(without_, std::move(without));
    Walked walked = walk_alone(procedure, begins, Binding{});
    without_ = std::move(there);
    once_ = before;
    reached_ = reached;
    not_reached_ = not_reached;
    late_ = std::move(late);
    drifted_ = std::move(drifted);
    faulty_ = std::move(faulty);
    memory_log_ = std::move(memory_log);
    memory_ = std::move(memory);
    return std::move(walked.findings);
}

// A `starts-with` was forgotten: several things stand at rest when the work begins, and it goes on as if they did not; and all of that is right
// where the work begins as another procedure ends, or as its own steps take it to begin.
bool Machine::begins_elsewhere(fitted::ProcedureIndex index, std::vector<Finding>& findings) {
    constexpr std::size_t several = 2;
    constexpr std::size_t many = 3; // with nothing else to show for it
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    if (procedure.source->source->starts_with) return lacks_a_line(index, findings);
    // What its own `ends-with` promises, and nothing brings about, counts as well.
    std::set<ItemId> at_rest = blamed_at_rest(fit_, findings, false);
    for (const linked::Entering& each : procedure.ends_with)
        if (std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
                return is_error(finding) && finding.item == each.item && finding.at == each.span;
            }))
            at_rest.insert(each.item);
    if (at_rest.size() < several) return false;
    // Those before it in a job first, the nearest of them first.
    std::vector<const linked::Procedure*> before;
    const auto add = [&](linked::ProcedureId id) {
        if (!id.known() || id == procedure.id) return;
        const linked::Procedure& other = linked_.procedures[id.index()];
        if (!other.ends_with.empty() && std::find(before.begin(), before.end(), &other) == before.end())
            before.push_back(&other);
    };
    for (const linked::Job& job : linked_.jobs) {
        const auto here = std::find_if(job.procedures.begin(), job.procedures.end(),
                                       [&](const auto& each) { return each.first == procedure.id; });
        if (here == job.procedures.end()) continue;
        for (auto each = here; each != job.procedures.begin();) add((--each)->first);
    }
    for (const linked::Procedure& other : linked_.procedures) add(other.id);
    for (const linked::Procedure* other : before) {
        std::vector<Finding> rest = try_alone(procedure, other->ends_with);
        if (mended(findings, rest) < several || !blamed_at_rest(fit_, rest, true).empty()) continue;
        tell_entry(index, other->ends_with, other, findings, std::move(rest));
        return true;
    }
    if (blamed_at_rest(fit_, findings, true).size() < many) return false;
    const std::optional<Contract> begins = as_found(procedure, findings);
    if (!begins) return false;
    tell_entry(index, *begins, nullptr, findings, try_alone(procedure, *begins));
    return true;
}

// A line of `starts-with` was forgotten: all is right where the work begins with what the procedure before it in a job leaves besides.
bool Machine::lacks_a_line(fitted::ProcedureIndex index, std::vector<Finding>& findings) {
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    for (const linked::Job& job : linked_.jobs) {
        const auto here = std::find_if(job.procedures.begin(), job.procedures.end(),
                                       [&](const auto& each) { return each.first == procedure.id; });
        if (here == job.procedures.end() || here == job.procedures.begin() || !(here - 1)->first.known()) continue;
        const linked::Procedure& other = linked_.procedures[(here - 1)->first.index()];
        Contract more;
        for (const linked::Entering& each : other.ends_with)
            if (each.item.known() && std::none_of(procedure.starts_with.begin(), procedure.starts_with.end(),
                                                  [&](const auto& own) { return own.item == each.item; }))
                more.push_back(each);
        if (more.empty()) continue;
        Contract begins = procedure.starts_with;
        begins.insert(begins.end(), more.begin(), more.end());
        std::vector<Finding> rest = try_alone(procedure, begins);
        if (std::any_of(rest.begin(), rest.end(), is_error) || mended(findings, rest) == 0) continue;
        tell_entry(index, more, &other, findings, std::move(rest));
        findings.back().label = "its `starts-with` does not say so";
        findings.back().help.replace(0, findings.back().help.find('{') + 2, "add `");
        const std::string& told = findings.back().help;
        findings.back().help = told.substr(0, told.find(" }` above")) + "` to `starts-with`";
        findings.back().mends.clear();
        return true;
    }
    return false;
}

// How the steps take things to stand when the work begins: where each that is told stands so that least is left to tell.
std::optional<Machine::Contract> Machine::as_found(const fitted::Procedure& procedure,
                                                   const std::vector<Finding>& findings) {
    constexpr std::size_t most = 16;
    Contract begins;
    std::vector<Finding> left = findings;
    const auto has = [&](ItemId item) {
        return std::any_of(begins.begin(), begins.end(),
                           [&](const linked::Entering& each) { return each.item == item; });
    };
    while (std::any_of(left.begin(), left.end(), is_error)) {
        if (begins.size() == most) return std::nullopt;
        std::optional<linked::Entering> best;
        std::vector<Finding> of_best;
        std::set<ItemId> tried = blamed_at_rest(fit_, left, true);
        for (const Finding& each : left)
            if (is_error(each) && each.item.known() && blames_rest(each)) tried.insert(each.item);
        for (const ItemId item : tried) {
            if (has(item)) continue;
            for (const linked::Place place : away_from_rest(fit_.items[item.index()].is)) {
                linked::Entering entering;
                entering.item = item;
                entering.has_place = true;
                entering.place = place;
                Contract with = begins;
                with.push_back(entering);
                std::vector<Finding> found = try_alone(procedure, with);
                // Another thing may only then be told, that stands with this one: the cap that turns while the clamp is tight.
                const bool still = std::any_of(found.begin(), found.end(), [&](const Finding& each) {
                    return is_error(each) && each.item == item;
                });
                if (found.size() > left.size() || (still && found.size() == left.size())) continue;
                if (best && found.size() >= of_best.size()) continue;
                best = entering;
                of_best = std::move(found);
            }
        }
        if (!best) return std::nullopt;
        begins.push_back(*best);
        left = std::move(of_best);
    }
    constexpr std::size_t many = 3;
    if (begins.size() < many || mended(findings, left) < many) return std::nullopt;
    return begins;
}

void Machine::tell_entry(fitted::ProcedureIndex index, const Contract& begins, const linked::Procedure* behind,
                         std::vector<Finding>& findings, std::vector<Finding> rest) {
    const model::Procedure& source = *fit_.procedures[index.index()].source->source;
    std::vector<std::string> entries;
    std::string lines = "starts-with:";
    std::set<ItemId>& wants = wants_entry_[index];
    std::vector<std::string> names;
    std::size_t away = 0;
    constexpr std::size_t most_named = 3;
    for (const linked::Entering& each : begins) {
        if (!each.item.known() || !fit_.items[each.item.index()].present) continue;
        const linked::Item& item = fit_.items[each.item.index()].is;
        wants.insert(each.item);
        entries.push_back(entry_of(fit_, each));
        lines += "\n  " + entries.back();
        if (!each.has_place || each.place == 0) continue;
        if (++away <= most_named) names.push_back(fmt::format("the {} {}", item.name, item.places[each.place].name));
    }
    if (away > most_named) names.push_back(fmt::format("{} more", away - most_named));
    const auto first = std::find_if(findings.begin(), findings.end(), [&](const Finding& each) {
        return is_error(each) && !holds_thing(rest, each) && blames_rest(each) && !each.blamed.empty();
    });
    Finding finding;
    finding.check = &machine_check("starts-unsaid");
    finding.at = source.id.span;
    finding.label = "no `starts-with` says so";
    finding.what = fmt::format("`{}` works as if it found {}", source.id.value, base::join_and(names));
    if (first != findings.end()) finding.more.push_back({first->at, "here first"});
    if (behind != nullptr)
        finding.more.push_back({begins.front().span, fmt::format("`{}` ends so", behind->source->id.value)});
    finding.help = fmt::format("add `starts-with: {{ {} }}` above `steps`", fmt::join(entries, ", "));
    if (behind == nullptr) finding.help += ", or, before the first of them, the steps that bring it there";
    // Below a key of the head that takes one line.
    source::Span last = source.id.span;
    const auto later = [&](const auto& given) {
        if (given && given->span.known() && given->span.begin > last.begin &&
            (!source.steps || given->span.begin < source.steps->span.begin))
            last = given->span;
    };
    later(source.title);
    later(source.revision);
    later(source.each);
    finding.mends.push_back({last, lines, messages::Puts::lines_below});
    finding.mends_title = "add that `starts-with`";
    rest.push_back(std::move(finding));
    findings = std::move(rest);
}

// A section is worked side by side, and does to a thing that is there once what can be done to it once: all of that is right where it is worked
// once.
bool Machine::worked_once(const fitted::Procedure& procedure, std::vector<Finding>& findings) {
    if (!procedure.axis.known()) return false;
    for (const fitted::Section& section : procedure.sections) {
        const bool named = section.source != nullptr && section.source->source != nullptr;
        if (!section.bound || !named || has_only(section.rows)) continue;
        // What the side before left, on a thing that has no sides.
        const auto left_by_other = [&](const Finding& each) {
            if (!is_error(each) || !stands_in(procedure, section, each.at)) return false;
            return (each.item.known() && !fit_.items[each.item.index()].is.axis.known()) ||
                   std::any_of(each.blamed.begin(), each.blamed.end(), [&](const auto& blamed) {
                       const std::size_t at = blamed.first.index();
                       return at < fit_.instances.size() && fit_.instances[at].value == no_value &&
                              blamed.second.placed != nullptr;
                   });
        };
        if (std::none_of(findings.begin(), findings.end(), left_by_other)) continue;
        std::vector<Finding> rest = try_alone(procedure, procedure.starts_with, &section);
        if (mended(findings, rest) == 0 || std::any_of(rest.begin(), rest.end(), left_by_other)) continue;
        const auto gone = [&](const Finding& each) { return left_by_other(each) && !holds_thing(rest, each); };
        const auto first = std::find_if(findings.begin(), findings.end(), gone);
        if (first == findings.end()) continue;
        constexpr std::string_view told = "this section is worked side by side";
        const auto already = std::find_if(findings.begin(), findings.end(), [&](const Finding& each) {
            return gone(each) && each.help.starts_with(told);
        });
        Finding finding = already != findings.end() ? *already : *first;
        if (already == findings.end())
            finding.more.push_back({section.source->source->section->span, "worked side by side"});
        finding.help = fmt::format("{}, and does what is done once: add `once: true` to it", told);
        finding.mends = {{section.source->source->section->span, "once: true", messages::Puts::lines_below}};
        finding.mends_title = "add `once: true`";
        // Among things that are there on each side, a bolt or a part may be, too.
        const ItemId thing = there_once(fit_, finding);
        if (thing.known() && fit_.items[thing.index()].is.sort != linked::Sort::setting &&
            works_on_sides(fit_, section.rows, procedure.axis)) {
            finding.mends.clear();
            finding.help +=
                fmt::format("; or, where there is one {}, say `each: {}` of the {} in the catalogue",
                            fit_.axes[procedure.axis.index()].name == "side" ? "left and right" : "on each of them",
                            fit_.axes[procedure.axis.index()].name, fit_.items[thing.index()].is.name);
        }
        finding.once = true;
        rest.push_back(std::move(finding));
        findings = std::move(rest);
        return true;
    }
    return false;
}

// Steps of one list that set the same thing, one after the other.
using SetRun = std::vector<const Row*>;

void add_runs(const fitted::Rows& rows, std::vector<SetRun>& to) {
    const Row* last = nullptr;
    for (const Row& row : rows) {
        const bool sets =
            row.kind == fitted::RowKind::verb && row.verb == model::VerbName::set && row.targets.size() == 1;
        const bool goes_on = sets && last != nullptr && last->targets.front().item == row.targets.front().item;
        if (sets && !goes_on) to.emplace_back();
        if (sets) to.back().push_back(&row);
        last = sets ? &row : nullptr;
        for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) add_runs(*inner, to);
    }
}

// A setting is changed in the midst of the work, and the work goes on as if it were not: all of that is right without that step.
bool Machine::set_in_passing(const fitted::Procedure& procedure, std::vector<Finding>& findings) {
    constexpr std::size_t several = 2;
    std::vector<SetRun> runs;
    for (const fitted::Section& section : procedure.sections) add_runs(section.rows, runs);
    for (const SetRun& run : runs) {
        const ItemId setting = run.front()->targets.front().item;
        const auto of_run = [&](const Finding& each) {
            return is_error(each) && std::any_of(run.begin(), run.end(),
                                                 [&](const Row* row) { return each.at == target_span(*row, setting); });
        };
        if (std::none_of(findings.begin(), findings.end(), of_run)) continue;
        const linked::Place before = remedies_.place_before(procedure, *run.front(), setting);
        if (run.back()->targets.front().place == before) continue; // changed and changed back: that was meant
        std::vector<Finding> rest = try_alone(procedure, procedure.starts_with, nullptr, {run.begin(), run.end()});
        if (mended(findings, rest) < several) continue;
        Finding finding = *std::find_if(findings.begin(), findings.end(), of_run);
        const linked::Item& item = fit_.items[setting.index()].is;
        std::vector<std::string> steps;
        for (const Row* row : run) steps.push_back(remedies_.says(*row));
        const Row* question = nullptr;
        for (const fitted::Section& section : procedure.sections)
            for (const Row& row : section.rows)
                if (row.kind == fitted::RowKind::question &&
                    (holds(row.if_so, *run.front()) || holds(row.if_not, *run.front())))
                    question = &row;
        finding.help = fmt::format("{} {}{}: the rest is done with the {} {}", question != nullptr ? "take" : "leave",
                                   base::join_and(steps), question != nullptr ? " out of the question" : " out",
                                   item.name, item.places[before].name);
        finding.mends.clear();
        finding.late.clear();
        // Where the steps would go that it was told to wait for is nothing to go by.
        std::erase_if(finding.more, [](const messages::Label& label) {
            return label.text == "stands too late" || label.text.starts_with("add it ");
        });
        rest.push_back(std::move(finding));
        findings = std::move(rest);
        return true;
    }
    return false;
}

} // namespace benchleaf::proof
