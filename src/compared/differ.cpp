#include "compared/differ.h"

#include "base/text.h"

#include <algorithm>
#include <array>
#include <set>

namespace benchleaf::compared {

namespace {

using meaning::Meaning;
using model::Branch;
using model::Tree;

const Tree empty_list = [] {
    Tree tree;
    tree.form = Tree::Form::list;
    return tree;
}();

std::string name_in_words(const Meaning& meaning, const std::string& name, source::Span refers) {
    if (refers.known())
        if (const meaning::ThingId thing = meaning.entry(name); thing.known()) return meaning.at(thing).called;
    return name;
}

bool is_prose(std::string_view text) {
    if (text.find(' ') == std::string_view::npos || text.empty()) return false;
    const auto first = static_cast<unsigned char>(text.front());
    return !base::is_digit(text.front()) && text.front() != '+' && text.front() != '-' && first != 0xC2; // ±
}

// A list of one is written as the thing itself.
std::vector<Tree> entries(const Tree& tree) {
    if (tree.form != Tree::Form::list) return {tree};
    std::vector<Tree> all;
    for (const Branch& branch : tree.branches) all.push_back(branch.tree);
    return all;
}

void count_steps(const Tree& list, std::vector<const Tree*>& to) {
    for (const Branch& branch : list.branches) {
        const Tree& step = branch.tree;
        if (branch_of(step, "section") == nullptr) to.push_back(&step);
        for (const Branch& key : step.branches) {
            if (holds_steps(key.key)) count_steps(key.tree, to);
            if (key.key == "again")
                if (const Tree* otherwise = branch_of(key.tree, "else")) count_steps(*otherwise, to);
        }
    }
}

} // namespace

bool holds_steps(std::string_view key) {
    static constexpr std::array<std::string_view, 4> keys = {"steps", "if-so", "if-not", "else"};
    return std::find(keys.begin(), keys.end(), key) != keys.end();
}

const Tree* branch_of(const Tree& tree, std::string_view key) {
    for (const Branch& branch : tree.branches)
        if (branch.key == key) return &branch.tree;
    return nullptr;
}

std::string in_words(const Meaning& meaning, const Tree& tree) {
    if (tree.form == Tree::Form::text) {
        const std::string said = in_one_line(name_in_words(meaning, tree.text, tree.refers));
        return !tree.refers.known() && is_prose(said) ? "“" + said + "”" : said;
    }
    std::string all;
    for (const Branch& branch : tree.branches) {
        if (!all.empty()) all += ", ";
        if (tree.form == Tree::Form::map) all += name_in_words(meaning, branch.key, branch.refers) + ": ";
        const bool within = branch.tree.form != Tree::Form::text && tree.branches.size() > 1;
        all += within ? "(" + in_words(meaning, branch.tree) + ")" : in_words(meaning, branch.tree);
    }
    return all.empty() ? "none" : all;
}

std::string step_in_words(const Meaning& meaning, const Tree& step) {
    static constexpr std::size_t longest = 70;
    std::string said;
    if (step.form == Tree::Form::text || step.branches.empty())
        said = in_words(meaning, step);
    else if (step.branches.front().key == "say" || step.branches.front().key == "section")
        said = in_words(meaning, step.branches.front().tree);
    else
        said = step.branches.front().key + " " + in_words(meaning, step.branches.front().tree);
    if (said.size() <= longest) return said;
    std::size_t end = said.rfind(' ', longest);
    if (end == std::string::npos || end < longest / 2)
        for (end = longest; (static_cast<unsigned char>(said[end]) & 0xC0U) == 0x80;) --end; // not within a letter
    return said.substr(0, end) + " …";
}

std::string in_one_line(std::string text) {
    for (char& c : text)
        if (c == '\n' || c == '\r' || c == '\t') c = ' ';
    return text;
}

std::string step_in_full(const Meaning& meaning, const Tree& step) {
    std::string said = step_in_words(meaning, step);
    for (const Branch& branch : step.branches) {
        if (&branch == &step.branches.front()) continue;
        if (!holds_steps(branch.key)) {
            said += ", " + branch.key + ": " + in_words(meaning, branch.tree);
            continue;
        }
        std::string below;
        for (const Branch& each : branch.tree.branches)
            below += (below.empty() ? "" : "; ") + step_in_full(meaning, each.tree);
        said += ", " + branch.key + ": [" + below + "]";
    }
    return said;
}

Tree with_keys(const Tree& step) {
    if (step.form != Tree::Form::text) return step;
    Tree made;
    made.form = Tree::Form::map;
    made.branches.emplace_back("say", step);
    return made;
}

std::vector<Difference> Differ::run(const Tree& before, const Tree& after) {
    const Tree* const old_work = branch_of(before, "steps");
    const Tree* const new_work = branch_of(after, "steps");
    if (old_work != nullptr) count_steps(*old_work, old_steps_);
    if (new_work != nullptr) count_steps(*new_work, new_steps_);
    if (before.form == Tree::Form::map && after.form == Tree::Form::map)
        map({}, before, after, "steps");
    else
        tree({}, before, after);
    if (old_work != nullptr || new_work != nullptr)
        steps(old_work == nullptr ? empty_list : *old_work, new_work == nullptr ? empty_list : *new_work, "");
    // Whatever it is, it is not the same.
    if (found_.empty() && model::lay_out(before) != model::lay_out(after))
        found_.push_back({Change::changed, {}, "", "", "something of it stands in another order"});
    return std::move(found_);
}

void Differ::put(Change change, const Path& at, std::string before, std::string after) {
    std::string where;
    for (const std::string& each : at) where += (where.empty() ? "" : ", ") + each;
    std::string says;
    if (change == Change::changed)
        says = (where.empty() ? "" : where + ": ") + before + " → " + after;
    else
        says = where + (where.empty() ? "" : " ") + std::string(word(change)) + ": " +
               (change == Change::added ? after : before);
    found_.push_back({change, at, std::move(before), std::move(after), std::move(says)});
}

void Differ::tree(const Path& at, const Tree& before, const Tree& after) {
    if (model::lay_out(before) == model::lay_out(after)) return;
    if (before.form == Tree::Form::map && after.form == Tree::Form::map)
        map(at, before, after);
    else if (before.form == Tree::Form::list || after.form == Tree::Form::list)
        list(at, before, after);
    else
        put(Change::changed, at, in_words(old_, before), in_words(now_, after));
}

void Differ::map(const Path& at, const Tree& before, const Tree& after, std::string_view but) {
    const std::size_t so_far = found_.size();
    const auto below = [&at](const Meaning& meaning, const Branch& branch) {
        Path path = at;
        path.push_back(name_in_words(meaning, branch.key, branch.refers));
        return path;
    };
    for (const Branch& branch : before.branches) {
        if (branch.key == but || (!but.empty() && holds_steps(branch.key))) continue;
        const Tree* const now = branch_of(after, branch.key);
        if (now == nullptr)
            put(Change::removed, below(old_, branch), in_words(old_, branch.tree), "");
        else
            tree(below(now_, branch), branch.tree, *now);
    }
    for (const Branch& branch : after.branches)
        if (branch.key != but && branch_of(before, branch.key) == nullptr && !(!but.empty() && holds_steps(branch.key)))
            put(Change::added, below(now_, branch), "", in_words(now_, branch.tree));
    // The same entries: then it is their order.
    if (found_.size() == so_far && but.empty() && model::lay_out(before) != model::lay_out(after))
        put(Change::changed, at, in_words(old_, before), in_words(now_, after));
}

void Differ::list(const Path& at, const Tree& before, const Tree& after) {
    std::multiset<std::string> old_words, new_words;
    for (const Tree& each : entries(before)) old_words.insert(in_words(old_, each));
    for (const Tree& each : entries(after)) new_words.insert(in_words(now_, each));
    if (old_words == new_words) {
        put(Change::changed, at, in_words(old_, before), in_words(now_, after));
        return;
    }
    const auto beyond = [](const Meaning& meaning, const Tree& all, std::multiset<std::string> others) {
        std::vector<std::string> found;
        for (const Tree& each : entries(all)) {
            const std::string said = in_words(meaning, each);
            if (const auto other = others.find(said); other != others.end())
                others.erase(other);
            else
                found.push_back(said);
        }
        return found;
    };
    const std::vector<std::string> gone = beyond(old_, before, new_words);
    const std::vector<std::string> come = beyond(now_, after, old_words);
    if (gone.size() == 1 && come.size() == 1 && old_words.size() == 1) {
        put(Change::changed, at, gone.front(), come.front());
        return;
    }
    for (const std::string& each : gone) put(Change::removed, at, each, "");
    for (const std::string& each : come) put(Change::added, at, "", each);
}

std::string_view word(Change change) {
    static constexpr std::array<std::string_view, 4> words = {"added", "removed", "changed", "moved"};
    return words[static_cast<std::size_t>(change)];
}

} // namespace benchleaf::compared
