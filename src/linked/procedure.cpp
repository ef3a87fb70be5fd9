// A procedure's steps with their names turned into ids. Steps are numbered first, in the order of the file, so that a
// step can name any other; then they are walked once more with what was surely worked before each of them.
#include "linked/linker.h"

#include "base/text.h"
#include "model/verbs.h"
#include "model/words.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <optional>
#include <set>
#include <unordered_set>

namespace benchleaf::linked {

namespace {

// The lists of steps below a step, in the order of the file.
std::vector<const model::Steps*> lists_below(const model::Step& step) {
    std::vector<std::pair<Span, const model::Steps*>> lists;
    const auto add = [&lists](const model::Given<model::Steps>& list) {
        if (list) lists.emplace_back(list->span, &list->value);
    };
    add(step.if_so);
    add(step.if_not);
    add(step.steps);
    if (step.again) add(step.again->value.otherwise);
    std::stable_sort(lists.begin(), lists.end(),
                     [](const auto& a, const auto& b) { return a.first.begin < b.first.begin; });
    std::vector<const model::Steps*> found;
    for (const auto& [span, list] : lists) found.push_back(list);
    return found;
}

struct Identified {
    StepId id;
    const model::Step* step = nullptr;
    const model::Steps* list = nullptr; // in which it stands
    std::size_t section = 0;
};

class ProcedureLinker {
public:
    ProcedureLinker(Linker& linker, const Scope& scope, Procedure& procedure)
        : linker_(linker), scope_(scope), procedure_(procedure) {}

    void run();

private:
    void number(const model::Steps& list, std::size_t depth);
    Steps link_list(const model::Steps& list, std::size_t first, std::size_t end, std::size_t depth);
    Step link_step(const model::Step& from, std::size_t depth);
    void link_verb(Step& step, const model::VerbUse& use);
    bool verb_without_colon(const source::Spanned<std::string>& text, Step& step);
    bool word_without_colon(const source::Spanned<std::string>& text, std::string_view word, std::string_view rest);
    void link_target(Step& step, const model::Verb& verb, const model::Target& from);
    bool suits(const model::Verb& verb, const Item& item, const Target& target, std::string_view name);
    LimitId limit_of(const model::Step& measures);
    const model::Step* unnamed_look(std::string_view name) const;
    void link_basis(Step& step, const model::Refs<model::Refers::limit_or_step>& refs);
    void link_answers(Step& step, const model::Step& from);
    void link_again(Step& step, const model::Step& from, const model::Steps& list, std::size_t position);
    void link_mentions(Step& step, const model::Step& from);
    void link_marks(Step& step, const model::Step& from);
    void link_contract(std::vector<Entering>& into, const model::Given<model::Contract>& from);
    const Identified* identified(std::string_view id, Span at, const model::Steps* in = nullptr,
                                 std::size_t position = 0);
    Steps below(const model::Given<model::Steps>& list, std::size_t depth) {
        return list ? link_list(list->value, 0, list->value.size(), depth + 1) : Steps();
    }

    Linker& linker_;
    const Scope& scope_;
    Procedure& procedure_;
    std::unordered_map<const model::Step*, StepId> numbers_;
    std::unordered_map<std::string_view, Identified> ids_;
    std::vector<std::string_view> listed_ids_;
    std::unordered_set<std::string_view> measured_; // the limits that its steps read
    std::vector<const model::Step*> unnamed_looks_; // steps that inspect and have no `id`
    std::unordered_set<std::string_view> before_;   // the ids of what was surely worked before
    struct Repeat {
        std::size_t from;
        std::size_t to;
        Span again;
        Span from_span;
    };
    std::vector<Repeat>* repeats_ = nullptr; // of the list that is walked
    std::size_t section_ = 0;
};

constexpr std::size_t deepest = 64;

void ProcedureLinker::number(const model::Steps& list, std::size_t depth) {
    if (depth > deepest) return;
    for (const model::Step& step : list) {
        if (step.section) {
            ++section_;
            continue;
        }
        const StepId id(procedure_.step_count++);
        numbers_.emplace(&step, id);
        if (step.id && !step.id->value.empty()) {
            const auto [at, fresh] = ids_.try_emplace(step.id->value, Identified{id, &step, &list, section_});
            if (fresh) {
                listed_ids_.push_back(step.id->value);
            } else {
                report_duplicate_id(linker_.out, step.id->span, step.id->value, at->second.step->id->span);
            }
        }
        if (!step.id && step.verb && step.verb->verb == model::VerbName::inspect) unnamed_looks_.push_back(&step);
        if (step.verb && step.verb->verb == model::VerbName::measure)
            for (const model::Target& target : step.verb->targets) measured_.insert(target.name);
        for (const model::Steps* below : lists_below(step)) number(*below, depth + 1);
    }
}

namespace {

// With which step the rounds of an `again` begin that tightens something: the one that lets it go, which may be missing.
std::string begins_rounds(const model::Steps& list, std::size_t again) {
    const auto does = [](const model::Step& step, model::VerbName verb, const std::string& name) {
        return step.verb && step.verb->verb == verb &&
               std::any_of(step.verb->targets.begin(), step.verb->targets.end(),
                           [&](const model::Target& target) { return target.name == name; });
    };
    using V = model::VerbName;
    for (std::size_t i = again; i > 0 && !list[i - 1].section && !list[i - 1].again; --i) {
        const model::Step& tightens = list[i - 1];
        if (!tightens.verb || tightens.verb->verb != V::torque || tightens.verb->targets.size() != 1) continue;
        const std::string& name = tightens.verb->targets.front().name;
        for (std::size_t j = i - 1; j > 0 && !list[j - 1].section; --j) {
            if (does(list[j - 1], V::slacken, name)) return "give `- slacken: " + name + "` the";
            if (does(list[j - 1], V::fit, name) || does(list[j - 1], V::snug, name) ||
                does(list[j - 1], V::torque, name))
                break;
        }
        return "add `- slacken: " + name + "` before `- torque: " + name + "`, with";
    }
    return {};
}

} // namespace

// `in`: the one list that the step may stand in, before that position.
const Identified* ProcedureLinker::identified(std::string_view id, Span at, const model::Steps* in,
                                              std::size_t position) {
    if (id.empty()) return nullptr;
    const auto found = ids_.find(id);
    if (found != ids_.end()) return &found->second;
    std::string near(base::nearest(id, listed_ids_));
    if (!near.empty() && in != nullptr && ids_.at(near).list != in) near.clear();
    report_unknown_step(linker_.out, at, std::string(id), near, near.empty() ? Span{} : ids_.at(near).step->id->span,
                        in != nullptr ? begins_rounds(*in, position) : std::string());
    return near.empty() ? nullptr : &ids_.at(near);
}

void ProcedureLinker::run() {
    const model::Procedure& from = *procedure_.source;
    if (from.each) procedure_.each = linker_.axis(from.each->value.name, from.each->value.span);
    procedure_.cautions = linker_.ids<CautionId>(scope_, from.cautions);
    procedure_.torques = linker_.torques(scope_, from.torques);
    procedure_.limits = linker_.limits(scope_, from.limits);
    link_contract(procedure_.starts_with, from.starts_with);
    link_contract(procedure_.ends_with, from.ends_with);
    if (!from.steps) return;

    number(from.steps->value, 0);
    section_ = 0;
    const model::Steps& steps = from.steps->value;
    for (std::size_t at = 0; at < steps.size();) {
        Section section;
        if (steps[at].section) {
            section.source = &steps[at];
            section.once = steps[at].once && steps[at].once->value;
            ++section_;
            ++at;
        }
        std::size_t end = at;
        while (end < steps.size() && !steps[end].section) ++end;
        section.steps = link_list(steps, at, end, 0);
        procedure_.sections.push_back(std::move(section));
        at = end;
    }
}

Steps ProcedureLinker::link_list(const model::Steps& list, std::size_t first, std::size_t end, std::size_t depth) {
    Steps linked;
    if (depth > deepest) return linked;
    std::vector<Repeat> repeats;
    std::vector<std::string_view> added;
    linked.reserve(end - first);
    for (std::size_t i = first; i < end; ++i) {
        const model::Step& from = list[i];
        // A question has been asked once its own branches are walked; what else has an id, once it is done.
        const bool visible = from.id && !from.id->value.empty() && before_.insert(from.id->value).second;
        if (visible) added.push_back(from.id->value);
        Step step = link_step(from, depth);
        if (from.again) {
            repeats_ = &repeats;
            link_again(step, from, list, i);
        }
        linked.push_back(std::move(step));
    }
    // What a whole section holds stays known in those after it; what a branch holds was perhaps not worked.
    if (depth > 0) {
        for (const std::string_view id : added) before_.erase(id);
    }
    return linked;
}

Step ProcedureLinker::link_step(const model::Step& from, std::size_t depth) {
    Step step;
    step.source = &from;
    const auto number = numbers_.find(&from);
    if (number != numbers_.end()) step.id = number->second;
    if (from.hole) return step;

    step.tools = linker_.ids<ToolId>(scope_, from.tool);
    step.cautions = linker_.ids<CautionId>(scope_, from.cautions);
    if (from.only) {
        for (const auto& entry : from.only->value) {
            Only only{linker_.axis(entry.key.name, entry.key.span), {}, entry.key.span, {}};
            for (const auto& value : entry.value) {
                if (value.name.empty()) continue;
                only.values.push_back(value.name);
                only.value_spans.push_back(value.span);
            }
            if (only.axis.known()) step.only.push_back(std::move(only));
        }
    }
    link_mentions(step, from);
    link_marks(step, from);

    if (from.verb) {
        step.kind = StepKind::verb;
        link_verb(step, *from.verb);
        if (from.to) {
            for (const auto& ref : from.to->value) step.to.push_back(linker_.item(scope_, ref));
        }
        if (from.with) {
            for (const auto& ref : from.with->value) {
                const Entry* entry = linker_.find(scope_, ref.name, ref.span, model::Refers::tool_or_consumable);
                if (entry == nullptr) continue;
                if (entry->kind == Kind::tool)
                    step.with_tools.push_back(ToolId(std::size_t{entry->index}));
                else
                    step.with_consumables.push_back(ConsumableId(std::size_t{entry->index}));
            }
        }
        if (from.wait_for) {
            const auto& ref = from.wait_for->value;
            if (const Entry* entry = linker_.find(scope_, ref.name, ref.span, model::Refers::consumable)) {
                step.wait_for = ConsumableId(std::size_t{entry->index});
            }
        }
    } else if (from.ask) {
        step.kind = StepKind::ask;
    } else if (from.decide) {
        step.kind = StepKind::decide;
        link_basis(step, from.decide->value);
    } else if (from.if_answered) {
        step.kind = StepKind::if_answered;
        link_answers(step, from);
    } else if (from.again) {
        step.kind = StepKind::again;
        if (from.again->value.until_decided) link_basis(step, from.again->value.until_decided->value);
        step.otherwise = below(from.again->value.otherwise, depth);
    } else if (from.stop) {
        step.kind = StepKind::stop;
    } else if (from.plain && verb_without_colon(*from.plain, step)) {
        return step;
    } else if (from.plain || from.say) {
        step.kind = StepKind::plain;
    }
    step.if_so = below(from.if_so, depth);
    step.if_not = below(from.if_not, depth);
    step.steps = below(from.steps, depth);
    return step;
}

// `- section Close up`: a word that is followed by a text of any kind. `stop` and `ask` may begin an order to somebody, too: they are taken for
// the word where the text behind them begins as one does, and are told without a fix otherwise.
bool ProcedureLinker::word_without_colon(const source::Spanned<std::string>& text, std::string_view word,
                                         std::string_view rest) {
    const bool begins = rest.front() < 'a' || rest.front() > 'z';
    const bool asks = rest.ends_with('?');
    const std::string_view first = rest.substr(0, rest.find(' '));
    const auto is_known = [&](std::string_view name) {
        return linker_.names->knows(std::string(name)) || ids_.contains(name);
    };
    const std::string meant = fmt::format("{}: {}", word, rest);
    if (word == "section" || word == "record" || word == "say" || (word == "ask" && (asks || begins)) ||
        (word == "stop" && begins) || (word == "wait" && base::is_digit(rest.front())) ||
        (word == "do" && linker_.procedures.ids.contains(rest)) || (word == "decide" && is_known(rest))) {
        report_verb_without_colon(linker_.out, text.span, word, meant, true);
        return true;
    }
    if (word == "again" && ids_.contains(first)) {
        report_verb_without_colon(linker_.out, text.span, word,
                                  fmt::format("again: {{ from: {}, until: …, at-most: …, else: […] }}", first), false);
        return true;
    }
    if (word == "if-answered") {
        report_verb_without_colon(linker_.out, text.span, word, fmt::format("if-answered: {{ {}: yes }}", first),
                                  false);
        return true;
    }
    if (word == "stop") {
        report_verb_without_colon(linker_.out, text.span, word, meant, false);
        return true;
    }
    // `set rear-end jacked`
    if ((word == "set" || word == "move") && is_known(first) && first.size() < rest.size()) {
        const std::string_view place = base::trimmed(rest.substr(first.size()));
        if (!base::is_kebab_case(place)) return false;
        report_verb_without_colon(linker_.out, text.span, word, fmt::format("{}: {{ {}: {} }}", word, first, place),
                                  true);
        return true;
    }
    return false;
}

// `- torque axle-nut` is a text to YAML, and was meant as a verb. Nobody writes to a reader like that.
bool ProcedureLinker::verb_without_colon(const source::Spanned<std::string>& text, Step& step) {
    if (linker_.sources.text(text.span) != text.value) return false; // in quotes: a text that was meant as one
    const std::size_t blank = text.value.find(' ');
    if (blank == std::string::npos) return false;
    std::string_view word = std::string_view(text.value).substr(0, blank);
    std::string_view rest = base::trimmed(std::string_view(text.value).substr(blank));
    // `torque; axle-nut`, `torque = axle-nut`
    constexpr std::string_view marks = ";=.,";
    if (marks.find(word.back()) != std::string_view::npos) word.remove_suffix(1);
    if (rest.starts_with("= ")) rest = base::trimmed(rest.substr(1));
    if (word_without_colon(text, word, rest)) {
        // What it was to decide by is not measured for nothing.
        Messages silent;
        const Entry* entry = word == "decide"
                                 ? linker_.names->find(scope_, rest, text.span, wanted(model::Refers::limit), silent)
                                 : nullptr;
        if (entry != nullptr) step.basis.push_back({LimitId(std::size_t{entry->index}), {}, text.span});
        return true;
    }
    const auto verbs = model::all_verbs();
    const auto verb =
        std::find_if(verbs.begin(), verbs.end(), [&](const model::Verb& each) { return each.word == word; });
    if (verb == verbs.end()) return false;
    std::vector<std::string> names;
    std::string name;
    for (const char c : std::string(rest) + " ") {
        const bool parts = c == ' ' || c == ',' || c == '[' || c == ']';
        if (!parts) {
            name += c;
        } else if (!name.empty()) {
            if (!linker_.names->knows(name)) return false;
            names.push_back(std::move(name));
            name.clear();
        }
    }
    if (names.empty()) return false;
    std::string meant = fmt::format("{}: {}", word, names.front());
    if (names.size() > 1) meant = fmt::format("{}: [{}]", word, fmt::join(names, ", "));
    report_verb_without_colon(linker_.out, text.span, word, meant, true);
    return true;
}

void ProcedureLinker::link_verb(Step& step, const model::VerbUse& use) {
    step.verb = use.verb;
    const model::Verb& verb = model::verb(use.verb);
    using A = model::Argument;
    if (verb.takes == A::text || verb.takes == A::time) return;
    for (const model::Target& target : use.targets) linker_.names->beside.push_back(target.name);
    for (const model::Target& target : use.targets) link_target(step, verb, target);
    linker_.names->beside.clear();
    const bool named = step.consumable.known() || step.procedure.known() ||
                       std::any_of(step.targets.begin(), step.targets.end(),
                                   [](const Target& t) { return t.item.known() || t.limit.known(); });
    // Nothing of it stands: what it would have done is not known, and what it was to be was reported.
    if (!named) step.kind = StepKind::hole;
}

bool fits(model::SortSet on, Sort sort) {
    using S = model::SortSet;
    switch (on) {
    case S::fastener:
        return sort == Sort::fastener;
    case S::clip:
        return sort == Sort::clip;
    case S::part:
        return sort == Sort::part;
    case S::circuit:
        return sort == Sort::circuit;
    case S::setting:
        return sort == Sort::setting;
    case S::adjustment:
        return sort == Sort::adjustment;
    case S::any:
        return sort == Sort::fastener || sort == Sort::clip || sort == Sort::part;
    }
    return false;
}

constexpr std::array all_sorts{Sort::fastener, Sort::clip, Sort::part, Sort::circuit, Sort::setting, Sort::adjustment};

// Those that the verb is done to.
std::uint8_t sorts_of(const model::Verb& verb) {
    std::uint8_t taken = 0;
    for (const model::Deed& deed : verb.deeds)
        for (const Sort sort : all_sorts)
            if (fits(deed.on, sort)) taken = static_cast<std::uint8_t>(taken | bit(sort));
    return taken;
}

void ProcedureLinker::link_target(Step& step, const model::Verb& verb, const model::Target& from) {
    using A = model::Argument;
    using R = model::Refers;
    Target target;
    target.span = from.span;
    if (from.place) target.place_span = from.place->span;

    const auto item_of = [&](R refers) {
        const Entry* entry = linker_.find(scope_, from.name, from.span, refers);
        if (entry != nullptr) target.item = ItemId(std::size_t{entry->index});
    };
    linker_.names->hinted = sorts_of(verb);
    switch (verb.takes) {
    case A::limits: {
        const Entry* entry = linker_.find(scope_, from.name, from.span, R::limit);
        if (entry != nullptr) target.limit = LimitId(std::size_t{entry->index});
        break;
    }
    case A::consumable: {
        const Entry* entry = linker_.find(scope_, from.name, from.span, R::consumable);
        if (entry != nullptr) step.consumable = ConsumableId(std::size_t{entry->index});
        break;
    }
    case A::procedure:
        step.procedure = ProcedureId(std::size_t{linker_.procedures.find(from.name, from.span, linker_.out)});
        // A name that is nearest to this procedure's own was not meant to make a ring.
        if (step.procedure == procedure_.id && from.name != procedure_.source->id.value) step.procedure = ProcedureId();
        break;
    case A::circuits:
        item_of(R::circuit);
        break;
    case A::adjustments:
        item_of(R::adjustment);
        break;
    case A::setting_to_state:
        item_of(R::setting);
        break;
    // What is done to items is judged by the verb's own declaration, which makes the better message.
    case A::items:
    case A::fasteners:
    case A::parts:
    case A::item_to_place:
        item_of(R::item);
        break;
    case A::text:
    case A::time:
        break;
    }
    linker_.names->hinted = every_sort;
    if (target.item.known() && !suits(verb, linker_.linked.items[target.item.index()], target, from.name)) {
        target.item = ItemId();
    }
    if (target.item.known() && from.place) {
        const Item& item = linker_.linked.items[target.item.index()];
        const bool off = verb.takes == A::item_to_place && from.place->value == "off";
        if (off) {
            std::vector<std::string> places;
            for (std::size_t i = 0; i + 1 < item.places.size(); ++i) places.push_back(item.places[i].name);
            report_unknown_place(linker_.out, from.place->span, "off", item.name, places, {}, item.declared,
                                 "to take it off, write `remove: " + from.name + "`");
            target.item = ItemId();
        } else if (!linker_.place(target.item, from.place->value, from.place->span, target.place)) {
            target.item = ItemId();
        }
    }
    step.targets.push_back(target);
}

bool ProcedureLinker::suits(const model::Verb& verb, const Item& item, const Target& target, std::string_view name) {
    const std::string word(verb.word);
    const std::string written(name);
    const std::uint8_t taken = sorts_of(verb);
    // What is only looked at or wiped may be a circuit, too.
    const bool sorts =
        (taken & bit(item.sort)) != 0 ||
        (item.sort == Sort::circuit && std::any_of(verb.deeds.begin(), verb.deeds.end(), [](const model::Deed& deed) {
             return deed.on == model::SortSet::any && deed.from == model::Starts::anywhere;
         }));
    if (!sorts) {
        std::vector<std::string> takes;
        for (const Sort sort : all_sorts) {
            if ((taken & bit(sort)) != 0)
                takes.push_back(std::string(sort_word(sort)) + (sort == Sort::clip ? "" : "s"));
        }
        std::string help;
        if (item.sort == Sort::clip && (taken & bit(Sort::fastener)) != 0) {
            help = "it is `secured-by: fit`: `remove` takes it out and `fit` puts it back for good";
        } else if (item.sort == Sort::part && verb.takes == model::Argument::fasteners) {
            std::vector<std::string> holders;
            for (const ItemId id : item.held_by) holders.push_back('`' + linker_.linked.items[id.index()].id + '`');
            if (!holders.empty()) help = "it is held by " + base::join_and(holders);
        }
        if (help.empty()) help = "`" + word + "` is done to " + base::join_and(takes);
        report_wrong_sort(linker_.out, target.span,
                          "`" + word + "` is not done to " + with_article(sort_word(item.sort)), item.declared,
                          "`" + item.id + "` is " + with_article(sort_word(item.sort)), help);
        return false;
    }
    if (verb.name == model::VerbName::bleed && !item.vents.known() && !item.fastener.vents) {
        report_wrong_sort(linker_.out, target.span, "`" + written + "` vents no circuit, so nothing can be bled at it",
                          item.declared, "declared without `vents`",
                          "name the bleed screw, or declare `vents: <circuit>` on this fastener");
        return false;
    }
    if (verb.name == model::VerbName::press_back && !item.circuit.known() && !item.part.circuit) {
        report_wrong_sort(linker_.out, target.span,
                          "`" + written + "` is moved by no circuit, so it is not pressed back", item.declared,
                          "declared without `circuit`",
                          "name the part with the piston, or declare `circuit: <circuit>` on this part");
        return false;
    }
    return true;
}

// A limit, or the id of an inspection. Limits are known by the catalogues, ids by this procedure; an id that is also
// the name of a limit would be read as either, so it is refused where it is declared to be one.
bool reads(model::VerbName verb) {
    return verb == model::VerbName::inspect || verb == model::VerbName::measure;
}

// The limit that a step measures, where it is one.
LimitId ProcedureLinker::limit_of(const model::Step& measures) {
    if (!measures.verb || measures.verb->verb != model::VerbName::measure || measures.verb->targets.size() != 1)
        return {};
    Messages silent;
    const model::Target& target = measures.verb->targets.front();
    const Entry* entry = linker_.names->find(scope_, target.name, target.span, wanted(model::Refers::limit), silent);
    return entry == nullptr ? LimitId() : LimitId(std::size_t{entry->index});
}

// The one inspection without an `id` that shares a word with the name; null: none, or several.
const model::Step* ProcedureLinker::unnamed_look(std::string_view name) const {
    const auto words = [](std::string_view text) {
        std::set<std::string> all;
        std::string word;
        for (const char c : text) {
            if (c == '-') {
                all.insert(std::exchange(word, {}));
                continue;
            }
            word += c;
        }
        all.insert(word);
        return all;
    };
    const std::set<std::string> wanted = words(name);
    const model::Step* found = nullptr;
    for (const model::Step* each : unnamed_looks_) {
        const auto shares = [&](const model::Target& target) {
            const std::set<std::string> own = words(target.name);
            return std::any_of(own.begin(), own.end(), [&](const std::string& word) { return wanted.contains(word); });
        };
        if (std::none_of(each->verb->targets.begin(), each->verb->targets.end(), shares)) continue;
        if (found != nullptr) return nullptr;
        found = each;
    }
    return found;
}

void ProcedureLinker::link_basis(Step& step, const model::Refs<model::Refers::limit_or_step>& refs) {
    for (const auto& ref : refs) {
        if (ref.name.empty()) continue;
        Basis basis;
        basis.span = ref.span;
        const auto id = ids_.find(ref.name);
        if (id == ids_.end() && linker_.names->holes.contains(ref.name)) {
            linker_.names->asked_besides(ref.name, ref.span);
        } else if (id == ids_.end()) {
            // Nearest among the ids of what was read and the limits alike.
            std::vector<std::string_view> readings;
            for (const std::string_view each : listed_ids_)
                if (const model::Step* read = ids_.at(each).step;
                    read->verb && reads(read->verb->verb) &&
                    std::none_of(refs.begin(), refs.end(), [&](const auto& other) { return other.name == each; }))
                    readings.push_back(each);
            std::string near(base::nearest(ref.name, readings));
            Messages silent;
            const Entry* entry = linker_.names->find(scope_, ref.name, ref.span, wanted(model::Refers::limit), silent);
            // A look that no name was given to is the likelier, where the name has a word of what it looks at.
            if (const model::Step* look = near.empty() && !silent.all().empty() ? unnamed_look(ref.name) : nullptr;
                look != nullptr) {
                report_unnamed_look(linker_.out, ref.span, ref.name, *look);
                basis.inspection = numbers_.at(look);
                step.basis.push_back(basis);
                continue;
            }
            // A limit that is only like it is not what was meant, where the name may be that of a look that is missing.
            if (entry != nullptr && !silent.all().empty() && silent.all().front().fixes.empty() &&
                !measured_.contains(linker_.linked.limits[entry->index].id))
                entry = nullptr;
            const bool no_limit = entry == nullptr && !silent.all().empty();
            if (entry != nullptr && !silent.all().empty() && !near.empty()) {
                const std::string& limit = linker_.linked.limits[entry->index].id;
                if (base::nearest(ref.name, std::array<std::string_view, 2>{near, limit}) != near) near.clear();
            }
            if (!near.empty() && !(entry != nullptr && silent.all().empty())) {
                const Identified& read = ids_.at(near);
                report_unknown_basis(linker_.out, ref.span, ref.name, near, read.step->id->span);
                if (read.step->verb->verb == model::VerbName::inspect)
                    basis.inspection = read.id;
                else
                    basis.limit = limit_of(*read.step);
            } else {
                if (no_limit) linker_.names->asked_besides(ref.name, ref.span);
                if (no_limit)
                    report_unknown_basis(linker_.out, ref.span, ref.name, {}, {});
                else
                    for (const messages::Message& message : silent.all()) linker_.out.add(message);
                if (entry != nullptr) basis.limit = LimitId(std::size_t{entry->index});
                if (entry != nullptr && silent.all().empty())
                    linker_.names->uses.push_back({ref.span, entry->declared});
            }
        } else {
            const Identified& found = id->second;
            if (found.step->hole) continue; // what it is could not be read
            const bool inspects = found.step->verb && found.step->verb->verb == model::VerbName::inspect;
            if (!inspects) {
                const bool one_limit = found.step->verb && found.step->verb->verb == model::VerbName::measure &&
                                       found.step->verb->targets.size() == 1;
                const std::string measured = one_limit ? found.step->verb->targets.front().name : std::string();
                report_wrong_sort(linker_.out, ref.span,
                                  "`" + ref.name + "` is no inspection, so nothing can be decided by it",
                                  found.step->id->span, "the id of another sort of step",
                                  measured.empty() ? "a decision rests on limits and on steps that `inspect`"
                                                   : "write `" + measured + "`, the limit that it measures");
                basis.limit = limit_of(*found.step);
                if (basis.limit.known()) step.basis.push_back(basis);
                continue;
            }
            basis.inspection = found.id;
            if (!before_.contains(ref.name)) {
                report_not_asked_before(linker_.out, ref.span, ref.name, found.step->id->span,
                                        found.id.index() > step.id.index(), "inspected");
            }
        }
        if (basis.limit.known() || basis.inspection.known()) step.basis.push_back(basis);
    }
}

void ProcedureLinker::link_answers(Step& step, const model::Step& from) {
    for (const auto& entry : from.if_answered->value) {
        const Identified* found = identified(entry.key.name, entry.key.span);
        if (found == nullptr || found->step->hole) continue;
        if (!found->step->ask && !found->step->decide) {
            report_wrong_sort(linker_.out, entry.key.span,
                              "`" + entry.key.name + "` is no question, so it has no answer", found->step->id->span,
                              "the id of another sort of step",
                              "`if-answered` names a step that says `ask` or `decide`");
            continue;
        }
        // Whether it is asked on the same side and vehicle, the proof says.
        if (found->step->id->value == entry.key.name && !before_.contains(entry.key.name)) {
            report_not_asked_before(linker_.out, entry.key.span, entry.key.name, found->step->id->span,
                                    found->id.index() > step.id.index(), "asked");
            continue;
        }
        step.answers.push_back({found->id, entry.value.value, entry.key.span});
    }
    if (step.answers.empty()) step.kind = StepKind::hole;
}

void ProcedureLinker::link_again(Step& step, const model::Step& from, const model::Steps& list, std::size_t position) {
    if (!from.again->value.from) return;
    const auto& ref = from.again->value.from->value;
    const Identified* found = identified(ref.name, ref.span, &list, position);
    if (found == nullptr) {
        step.kind = StepKind::hole; // where its rounds begin is not known
        return;
    }
    const bool same = found->list == &list && found->section == section_;
    if (!same || found->id.index() >= step.id.index()) {
        report_repeat_from(linker_.out, ref.span, ref.name, found->step->id->span, same);
        return;
    }
    const std::size_t first = static_cast<std::size_t>(found->step - list.data());
    for (const Repeat& other : *repeats_) {
        if (first > other.from && first <= other.to) {
            report_crossing_repeats(linker_.out, ref.span, other.again, other.from_span);
            return;
        }
    }
    repeats_->push_back({first, position, ref.span, found->step->id->span});
    step.from = found->id;
}

// `{lower-guide-bolt}` in a text: the narrowest span is looked for in the file's own spelling.
void ProcedureLinker::link_mentions(Step& step, const model::Step& from) {
    const auto look = [&](const model::Given<std::string>& text) {
        if (!text || text->value.find('{') == std::string::npos) return;
        const std::string_view value = text->value;
        std::size_t seen = 0; // in the file's spelling
        for (std::size_t open = value.find('{'); open != std::string_view::npos; open = value.find('{', open + 1)) {
            const std::size_t close = value.find('}', open);
            if (close == std::string_view::npos) return;
            const std::string_view name = value.substr(open + 1, close - open - 1);
            const std::size_t slash = name.find('/');
            const bool named = slash == std::string_view::npos ? base::is_kebab_case(name)
                                                               : base::is_kebab_case(name.substr(0, slash)) &&
                                                                     base::is_kebab_case(name.substr(slash + 1));
            if (!named) continue;
            Span at = text->span;
            const std::string_view written = linker_.sources.text(text->span);
            const std::size_t found = written.find("{" + std::string(name) + "}", seen);
            if (found != std::string_view::npos) {
                seen = found + name.size() + 2;
                at.begin = text->span.begin + static_cast<std::uint32_t>(found) + 1;
                at.end = at.begin + static_cast<std::uint32_t>(name.size());
            }
            const auto known = std::find_if(step.mentions.begin(), step.mentions.end(),
                                            [&](const Mention& m) { return m.written == name; });
            if (known !=
                step.mentions.end()) { // it is used here, too; what is wrong with it was said where it stood first
                if (known->item.known()) linker_.find(scope_, name, at, model::Refers::item);
                continue;
            }
            const Entry* entry = linker_.find(scope_, name, at, model::Refers::item);
            step.mentions.push_back(
                {std::string(name), entry == nullptr ? ItemId() : ItemId(std::size_t{entry->index})});
        }
    };
    look(from.plain);
    look(from.say);
    look(from.why);
    look(from.look_for);
    look(from.ask);
    look(from.stop);
    if (from.verb) look(from.verb->text);
    if (from.again) look(from.again->value.until);
    if (from.own_cautions) {
        for (const model::Caution& caution : from.own_cautions->value) {
            look(caution.hazard);
            look(caution.avoid);
        }
    }
}

// What is written like a name is one: a slip of the pen must not be printed as words.
void ProcedureLinker::link_marks(Step& step, const model::Step& from) {
    if (!from.picture_marked || !from.picture_marked->value.marks) return;
    for (const auto& [name, spots] : from.picture_marked->value.marks->value) {
        PictureMark mark{{}, name.value, &spots};
        const std::size_t slash = name.value.find('/');
        const std::string_view last = std::string_view(name.value).substr(slash == std::string::npos ? 0 : slash + 1);
        if (base::is_kebab_case(last)) {
            if (const Entry* entry = linker_.find(scope_, name.value, name.span, model::Refers::item))
                mark.item = ItemId(std::size_t{entry->index});
        }
        step.marks.push_back(std::move(mark));
    }
}

std::optional<model::Debt> debt(std::string_view word) {
    for (std::size_t i = 0; i < model::debt_words.size(); ++i) {
        if (model::debt_words[i] == word) return static_cast<model::Debt>(i);
    }
    return std::nullopt;
}

// One of a set that is renewed as one: it names others, or another names it.
bool in_a_set(const Linked& linked, const Item& item) {
    const ItemId id(static_cast<std::size_t>(&item - linked.items.data()));
    return item.part.renew_together.has_value() ||
           std::any_of(linked.items.begin(), linked.items.end(), [id](const Item& other) {
               return std::find(other.renew_together.begin(), other.renew_together.end(), id) !=
                      other.renew_together.end();
           });
}

bool owes_such(const Linked& linked, const Item& item, model::Debt debt) {
    using D = model::Debt;
    switch (debt) {
    case D::locker:
    case D::degrease:
        return item.sort == Sort::fastener;
    case D::lubricant:
        return item.sort == Sort::part || item.sort == Sort::fastener || item.sort == Sort::clip;
    case D::adjust:
    case D::prove:
        return item.sort == Sort::adjustment;
    case D::renew:
        return item.sort == Sort::part && in_a_set(linked, item);
    default:
        break;
    }
    if (item.sort != Sort::circuit) return false;
    if (!item.circuit_of.sort) return true; // reported
    const auto proofs = model::proofs(item.circuit_of.sort->value);
    return std::any_of(proofs.begin(), proofs.end(), [debt](const model::Proof& proof) { return proof.debt == debt; });
}

void ProcedureLinker::link_contract(std::vector<Entering>& into, const model::Given<model::Contract>& from) {
    if (!from) return;
    for (const auto& entry : from->value) {
        Entering entering;
        if (entry.value.place) linker_.names->hinted = sorts_with(entry.value.place->value);
        entering.item = linker_.item(scope_, entry.key);
        linker_.names->hinted = every_sort;
        entering.span = entry.key.span;
        entering.value = entry.key.span;
        bool unread = false;
        if (!entering.item.known()) continue;
        const Item& item = linker_.linked.items[entering.item.index()];
        if (entry.value.place) {
            entering.value = entry.value.place->span;
            if (!linker_.place(entering.item, entry.value.place->value, entry.value.place->span, entering.place))
                continue;
            entering.has_place = true;
        }
        if (entry.value.owes) {
            entering.value = entry.value.owes->span;
            for (const auto& word : entry.value.owes->value) {
                const std::optional<model::Debt> found = debt(word.value);
                unread = unread || !found; // and told
                if (!found) continue;
                if (!owes_such(linker_.linked, item, *found)) {
                    const bool alone = *found == model::Debt::renew && item.sort == Sort::part;
                    report_wrong_sort(linker_.out, word.span,
                                      "the " + item.name + " can never owe `" + word.value + "`", item.declared,
                                      alone ? std::string("no `renew-together` here")
                                            : "this is " + with_article(sort_word(item.sort)),
                                      {});
                    continue;
                }
                entering.owes |= model::bit(*found);
            }
        }
        if (!unread) into.push_back(entering);
    }
}

} // namespace

void link_procedure(Linker& linker, const Scope& scope, Procedure& procedure) {
    ProcedureLinker(linker, scope, procedure).run();
}

} // namespace benchleaf::linked
