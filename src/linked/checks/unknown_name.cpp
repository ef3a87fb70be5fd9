#include "linked/reports.h"

#include "base/text.h"
#include "linked/names.h"
#include "model/keys.h"

#include <algorithm>
#include <initializer_list>
#include <iterator>

namespace benchleaf::linked {

const Check checks::unknown_name = {{"unknown-name", messages::Level::error, "a name that nothing has"}};

namespace {

// One of the lists of a catalogue, with the entry that goes into it.
struct Form {
    std::string_view list;
    std::string entry;
};

Form form_of(std::string_view noun, const std::string& name, const MissingUses& uses);

bool ends_like_one_of(const std::string& name, std::initializer_list<std::string_view> words) {
    const std::string last = name.substr(name.rfind('-') == std::string::npos ? 0 : name.rfind('-') + 1);
    return std::find(words.begin(), words.end(), last) != words.end();
}

bool sounds_consumed(const std::string& name) {
    return ends_like_one_of(
        name, {"oil", "grease", "fluid", "cleaner", "degreaser", "solvent", "spirit", "spray", "soap", "locker"});
}

// One for another, in a word and not the first of it: `fl` and `fr` are no words but sides.
bool one_letter_wrong(std::string_view name, std::string_view near) {
    constexpr std::size_t least_name = 6;
    constexpr std::size_t least_word = 3;
    if (name.size() != near.size() || name.size() < least_name) return false;
    const auto at =
        static_cast<std::size_t>(std::mismatch(name.begin(), name.end(), near.begin()).first - name.begin());
    if (at == name.size() || name.substr(at + 1) != near.substr(at + 1)) return false;
    const std::size_t before = at == 0 ? std::string_view::npos : near.rfind('-', at - 1);
    const std::size_t begin = before == std::string_view::npos ? 0 : before + 1;
    const std::size_t end = std::min(near.find('-', at), near.size());
    const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
    return at > begin && end >= begin + least_word && is_letter(name[at]) && is_letter(near[at]);
}

std::string words_of(const std::string& name) {
    std::string words = name;
    std::replace(words.begin(), words.end(), '-', ' ');
    return words;
}

// What a consumable of that name says of itself.
std::string consumable_keys(const std::string& name, const MissingUses& uses) {
    const auto like = [&](std::string_view part) { return name.find(part) != std::string::npos; };
    const std::string unit = ", unit: " + (uses.unit.empty() ? std::string("…") : uses.unit);
    if (uses.locker || like("lock")) return "sort: thread-locker, sets-in: …, full-in: …" + unit;
    if (uses.fluid) return "sort: fluid, unsafe-on: […]" + unit;
    if (like("degrease") || like("solvent") || like("spirit") || like("clean"))
        return "sort: solvent, flammable: …, unsafe-on: […]" + unit;
    if (like("grease") || like("oil") || like("paste")) return "sort: lubricant, unsafe-on: […]" + unit;
    return "sort: …, unsafe-on: […]" + unit;
}

Form form_of(std::string_view noun, const std::string& name, const MissingUses& uses) {
    const std::string words = words_of(name);
    const auto entry = [&](const std::string& keys) { return name + ": { name: " + words + ", " + keys + " }"; };
    // Whoever has nothing in mind for it counts two nuts where there is one on each side.
    const std::string each = !uses.each.empty() ? ", each: " + uses.each : uses.sides ? ", each: …" : "";
    if (noun == "part") {
        if (!uses.worked.known()) return {"parts", name + ": " + words};
        return {"parts", name + ": { name: " + words + ", system: …, held-by: […], behind: [" +
                             (uses.behind.empty() ? "…" : uses.behind) + "]" +
                             (uses.lubricant.empty() ? "" : ", lubricant: " + uses.lubricant) + ", needs: {…}" +
                             (uses.renewed ? ", reuse: …" : "") + each + " }"};
    }
    if (noun == "tool") return {"tools", name + ": " + words};
    // It lets go of what it holds, and is never off itself.
    const bool pinches = uses.slackened && uses.torqued && !uses.taken_off && uses.holds_what_comes_off && !uses.sets;
    const std::string locker = uses.threadlock.empty() ? "" : ", threadlock: " + uses.threadlock;
    const std::string needs = ", needs: {" + (uses.needs.empty() ? "…" : " " + uses.needs + " ") + "}";
    const std::string critical = uses.critical ? ", critical: true" : ", critical: …";
    if (noun == "fastener")
        return {"fasteners", entry(std::string("thread: …, ") +
                                   (uses.sets ? "duty: adjust"
                                    : pinches ? "class: …, duty: pinch"
                                              : "class: …") +
                                   ", head: …, count: …" +
                                   (uses.behind_of_held.empty() ? "" : ", behind: [" + uses.behind_of_held + "]") +
                                   locker + critical + needs + each)};
    if (noun == "clip")
        return {"fasteners", entry("secured-by: fit, count: …" + (uses.locks.empty() ? "" : ", locks: " + uses.locks) +
                                   ", behind: [" +
                                   (!uses.behind.empty()           ? uses.behind
                                    : !uses.behind_of_held.empty() ? uses.behind_of_held
                                                                   : "…") +
                                   "], reuse: …" + critical + needs + each)};
    if (noun == "circuit") return {"circuits", entry("sort: …, fluid: …")};
    if (noun == "setting") {
        std::string states;
        for (const std::string& state : uses.states) states += (states.empty() ? "" : ", ") + state;
        return {"settings", entry("states: [" + (uses.states.size() < 2 ? "…, …" : states) + "]")};
    }
    if (noun == "adjustment")
        return {"adjustments", entry("disturbed-by: […], proved-by: […], behind: […], while: {…}" + each)};
    if (noun == "limit") return {"limits", entry("of: …, new: …, minimum: …, reads-to: …, uncertainty: …, source: …")};
    if (noun == "consumable") return {"consumables", entry(consumable_keys(name, uses))};
    if (noun == "caution") return {"cautions", name + ": { level: warning, hazard: …, avoid: … }"};
    return {};
}

// The keys that the form does not show: not those that go with none of its own, nor, of a pin, those of a thread.
template <class T>
std::string other_keys(const std::string& entry) {
    static constexpr std::string_view of_threads[] = {"thread",  "class",  "head",         "duty",
                                                      "hand",    "opens",  "vents",        "threadlock",
                                                      "pattern", "passes", "recheck-after"};
    static constexpr std::string_view against[] = {"secured-by", "not-critical", "minimum", "maximum", "within"};
    const auto among = [](const auto& list, std::string_view key) {
        return std::find(std::begin(list), std::end(list), key) != std::end(list);
    };
    const auto shows = [&](std::string_view key) {
        return entry.find(" " + std::string(key) + ":") != std::string::npos;
    };
    const bool pin = shows("secured-by");
    std::string all;
    model::for_each_key<T>([&](const auto& key) {
        if (shows(key.name) || among(against, key.name) || (pin && among(of_threads, key.name))) return;
        all += (all.empty() ? "`" : ", `") + std::string(key.name) + "`";
    });
    return all;
}

// What the form cannot show.
std::string besides(std::string_view noun, const MissingUses& uses, const std::string& entry) {
    if (noun == "tool")
        return " (or as `{ name: …, … }`, which may also have " + other_keys<model::Tool>(" name: ") + ")";
    if (entry.find('{') == std::string::npos || noun == "caution") return {};
    std::string note;
    if (noun == "setting" && uses.states.size() > 1) note = "a ladder that begins with the state in which it rests; ";
    if (noun == "limit") note = "or with `maximum` or `within` in place of `minimum`; ";
    return " (" + note + "leave out what it does not have; it may also have " +
           (noun == "part"                         ? other_keys<model::Part>(entry)
            : noun == "fastener" || noun == "clip" ? other_keys<model::Fastener>(entry)
            : noun == "circuit"                    ? other_keys<model::Circuit>(entry)
            : noun == "setting"                    ? other_keys<model::Setting>(entry)
            : noun == "adjustment"                 ? other_keys<model::Adjustment>(entry)
            : noun == "limit"                      ? other_keys<model::Limit>(entry)
                                                   : other_keys<model::Consumable>(entry)) +
           ")";
}

// Where it goes, and the entry.
std::string declare_it(std::string_view noun, const Missing& missing) {
    Form form = form_of(noun, missing.name, missing.uses);
    if (form.list.empty()) return "declare it in a catalogue";
    if (noun != "caution" && !missing.uses.caution.empty() && form.entry.ends_with(" }"))
        form.entry.insert(form.entry.size() - 2, ", cautions: [" + missing.uses.caution + "]");
    const std::string list = std::string(form.list);
    return "add `" + form.entry + "` " +
           (missing.new_list ? "under a new line `" + list + ":` " : "to the `" + list + "` ") +
           (missing.catalogue.empty() ? "of a catalogue" : "in " + missing.catalogue) +
           besides(noun, missing.uses, form.entry);
}

// Where several sorts would do, by what is done with it, or by the last word of the name.
std::string_view noun_of(const Missing& missing) {
    const auto takes = [&](Kind kind) { return (missing.kinds & bit(kind)) != 0; };
    const auto may_be = [&](Sort sort) { return takes(Kind::item) && (missing.sorts & bit(sort)) != 0; };
    if (takes(Kind::tool) && takes(Kind::consumable)) return sounds_consumed(missing.name) ? "consumable" : "tool";
    const MissingUses& uses = missing.uses;
    if (may_be(Sort::clip) && !uses.locks.empty()) return "clip";
    if (may_be(Sort::clip) && ends_like_one_of(missing.name, {"clip", "circlip", "pin", "ring"})) return "clip";
    const bool never_tight = uses.taken_off && !uses.torqued && !uses.slackened;
    if (may_be(Sort::clip) && !may_be(Sort::part) && never_tight) return "clip";
    const bool capped = !never_tight && ends_like_one_of(missing.name, {"cap"});
    if (may_be(Sort::fastener) && (!may_be(Sort::part) || capped || uses.torqued ||
                                   ends_like_one_of(missing.name, {"bolt", "nut", "screw", "stud", "plug"})))
        return "fastener";
    if (may_be(Sort::part)) return "part";
    if (may_be(Sort::clip)) return "clip";
    if (may_be(Sort::circuit)) return "circuit";
    if (may_be(Sort::setting)) return "setting";
    if (may_be(Sort::adjustment)) return "adjustment";
    return takes(Kind::limit)        ? "limit"
           : takes(Kind::consumable) ? "consumable"
           : takes(Kind::tool)       ? "tool"
                                     : "caution";
}

} // namespace

std::string_view list_for(const Missing& missing) {
    return form_of(noun_of(missing), missing.name, missing.uses).list;
}

void report_unknown_name(Messages& out, Span at, const std::string& name, std::string_view noun,
                         const std::string& where, const std::string& near, Span near_declared,
                         const std::string& replacement, const std::vector<std::string>& others,
                         const Missing* missing) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at,
                "no " + std::string(noun) + " is called `" + name + "`" + (where.empty() ? "" : " in the " + where));
    if (near.empty()) {
        message.labels.front().text = "nothing here has a name like this";
        const bool file = noun == "procedure" || noun == "vehicle" || noun == "catalogue" || noun == "job";
        const std::string is = "there is " + base::join_and(others) + "; write that, or ";
        // One entry mends all of them.
        if (!file && others.empty() && where.empty()) message.cause = std::string(noun) + " " + name;
        if (file)
            message.help = others.empty() ? "write the file `" + name + ".yaml` for it, or correct the name"
                                          : is + "write the file `" + name + ".yaml`";
        else
            message.help = missing == nullptr ? others.empty() ? "declare it in a catalogue, or correct the name"
                                                               : is + "declare this one in a catalogue"
                           : others.empty()   ? declare_it(noun_of(*missing), *missing) + ", or correct the name"
                                              : is + declare_it(noun_of(*missing), *missing);
        if (missing != nullptr && others.empty() && missing->empty_list.known())
            message.labels.push_back({missing->empty_list, "nothing stands here"});
        return;
    }
    message.labels.front().text = "did you mean `" + near + "`?";
    if (near_declared.known()) message.labels.push_back({near_declared, "`" + near + "` is declared here"});
    message.help = "write `" + replacement + "`";
    messages::correct_slip(message, at, name, near, replacement);
    if (message.fixes.empty() && same_words(name, {near}) == near)
        message.fixes.push_back({"write `" + replacement + "`", {{at, replacement}}});
    // The names of limits are short, and no two of them are that near by chance: a part's may be, as a pin's and a pan's.
    if (noun == "limit" && message.fixes.empty() && one_letter_wrong(name, near))
        message.fixes.push_back({"write `" + replacement + "`", {{at, replacement}}});
}

void report_undeclared(Messages& out, const Missing& missing) {
    messages::Message& message = out.add(checks::unknown_name.rule, missing.first,
                                         "nothing declares `" + missing.name + "`, which is named at " +
                                             std::to_string(missing.places) + " places",
                                         "named here first");
    if (missing.like_declared.known())
        message.labels.push_back({missing.like_declared, "`" + missing.like + "`, which is near, is declared here"});
    else if (missing.second.known())
        message.labels.push_back({missing.second, missing.places == 2 ? "and here" : "and here, among others"});
    if (missing.empty_list.known()) message.labels.push_back({missing.empty_list, "nothing stands here"});
    message.help = declare_it(noun_of(missing), missing) + ", or correct the name in all those places";
}

void report_misspelt_entry(Messages& out, Span at, const std::string& name, std::string_view noun,
                           const std::string& wanted, const std::vector<Span>& asked) {
    messages::Message& message = out.add(checks::unknown_name.rule, at,
                                         "nothing names the " + std::string(noun) + " `" + name + "`, and `" + wanted +
                                             "` is named in " + std::to_string(asked.size()) + " places",
                                         "declared so");
    message.labels.push_back({asked.front(), "`" + wanted + "` for the first time"});
    message.help = "write `" + wanted + "` here, or `" + name + "` in all those places; which is right, you alone know";
}

void report_unknown_basis(Messages& out, Span at, const std::string& name, const std::string& near,
                          Span near_declared) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at, "no limit and no inspection of this procedure is called `" + name + "`",
                near.empty() ? "nothing here has a name like this" : "did you mean the reading `" + near + "`?");
    if (near.empty()) {
        message.help = "add the step that inspects before this one, with `id: " + name +
                       "`; or name a limit, or the `id` of another look";
        return;
    }
    message.labels.push_back({near_declared, "this step is `" + near + "`"});
    message.help = "write `" + near + "`";
    messages::correct_slip(message, at, name, near);
}

void report_unnamed_look(Messages& out, Span at, const std::string& name, const model::Step& look) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at, "no limit and no inspection of this procedure is called `" + name + "`");
    message.labels.push_back({look.verb->key, "this look has no `id`"});
    message.help = "add `id: " + name + "` to the step that inspects, or name a limit";
}

void report_not_used(Messages& out, Span at, const std::string& name, std::string_view noun,
                     const std::string& catalogue, Span declared, std::vector<messages::Edit> edits) {
    messages::Message& message = out.add(checks::unknown_name.rule, at,
                                         "the " + std::string(noun) + " `" + name + "` is in the catalogue " +
                                             catalogue + ", which is not used here");
    message.labels.push_back({declared, "declared here"});
    message.help = "add `" + catalogue + "` to `uses`";
    message.cause = std::to_string(at.file.index()) + " " + catalogue; // one entry in `uses` mends all of them
    if (!edits.empty()) message.fixes.push_back({"add `" + catalogue + "` to `uses`", std::move(edits)});
}

} // namespace benchleaf::linked
