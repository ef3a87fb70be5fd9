// Steps of the one state paired with those of the other: first the same ones in the same order, then the same ones elsewhere, then those that
// are the same step with something changed; what is left was removed or added.
#include "compared/differ.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace benchleaf::compared {

namespace {

using model::Branch;
using model::Tree;

constexpr std::size_t none = static_cast<std::size_t>(-1);

// Longest common subsequence: for each of `a` its partner in `b`, or none.
std::vector<std::size_t> in_order(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    std::vector<std::vector<std::size_t>> longest(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = a.size(); i-- > 0;)
        for (std::size_t j = b.size(); j-- > 0;)
            longest[i][j] = a[i] == b[j] ? longest[i + 1][j + 1] + 1 : std::max(longest[i + 1][j], longest[i][j + 1]);
    std::vector<std::size_t> partner(a.size(), none);
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
        if (a[i] == b[j])
            partner[i++] = j++;
        else if (longest[i + 1][j] >= longest[i][j + 1])
            ++i;
        else
            ++j;
    }
    return partner;
}

// What a step is, in words: its id, else what it does and to what.
std::string head_of(const Tree& step) {
    if (step.form == Tree::Form::text || step.branches.empty()) return {};
    if (const Tree* id = branch_of(step, "id")) return "id " + id->text;
    return step.branches.front().key + " " + model::lay_out(step.branches.front().tree);
}

// How much two steps have in common, of 1: the verb alone says little, things or words in common more.
double alike(const Tree& a_, const Tree& b_) {
    const Tree a = with_keys(a_);
    const Tree b = with_keys(b_);
    const auto words_of = [](const Tree& step) {
        std::set<std::string> words;
        const std::string text = step.form == Tree::Form::text ? step.text : model::lay_out(step);
        for (const std::string_view line : base::split(text, '\n'))
            for (const std::string_view word : base::split(line, ' '))
                if (word.size() > 1) words.emplace(word);
        return words;
    };
    if (a.form == Tree::Form::map &&
        (a.branches.empty() || b.branches.empty() || a.branches.front().key != b.branches.front().key))
        return 0;
    const std::set<std::string> of_a = words_of(a);
    const std::set<std::string> of_b = words_of(b);
    if (of_a.empty() || of_b.empty()) return 0;
    std::size_t common = 0;
    for (const std::string& word : of_a) common += of_b.contains(word) ? 1U : 0U;
    return static_cast<double>(2 * common) / static_cast<double>(of_a.size() + of_b.size());
}
constexpr double is_the_same = 0.5;

} // namespace

std::string Differ::number(const Tree& step, bool of_old) const {
    const auto& all = of_old ? old_steps_ : new_steps_;
    const auto at = std::find(all.begin(), all.end(), &step);
    if (at == all.end()) return "section";
    return fmt::format("step {}", at - all.begin() + 1);
}

void Differ::steps(const Tree& before, const Tree& after, const std::string& where) {
    std::vector<const Tree*> a, b;
    std::vector<std::string> a_says, b_says;
    for (const Branch& branch : before.branches) {
        a.push_back(&branch.tree);
        a_says.push_back(model::lay_out(branch.tree));
    }
    for (const Branch& branch : after.branches) {
        b.push_back(&branch.tree);
        b_says.push_back(model::lay_out(branch.tree));
    }
    std::vector<std::size_t> partner = in_order(a_says, b_says);
    std::vector<std::size_t> back(b.size(), none);
    std::vector<bool> in_place(b.size());
    for (std::size_t i = 0; i < a.size(); ++i)
        if (partner[i] != none) {
            back[partner[i]] = i;
            in_place[partner[i]] = true;
        }
    const auto pair = [&](const auto& fits) {
        for (std::size_t i = 0; i < a.size(); ++i)
            for (std::size_t j = 0; partner[i] == none && j < b.size(); ++j)
                if (back[j] == none && fits(i, j)) {
                    partner[i] = j;
                    back[j] = i;
                }
    };
    pair([&](std::size_t i, std::size_t j) { return a_says[i] == b_says[j]; });
    pair([&](std::size_t i, std::size_t j) {
        const std::string head = head_of(*a[i]);
        return !head.empty() && head == head_of(*b[j]);
    });
    // The most alike first.
    for (;;) {
        double most = 0;
        std::size_t first = none, second = none;
        for (std::size_t i = 0; i < a.size(); ++i)
            for (std::size_t j = 0; partner[i] == none && j < b.size(); ++j) {
                if (back[j] != none) continue;
                if (const double share = alike(*a[i], *b[j]); share >= is_the_same && share > most) {
                    most = share;
                    first = i;
                    second = j;
                }
            }
        if (first == none) break;
        partner[first] = second;
        back[second] = first;
    }
    // Of the changed ones those that stand between the same neighbours as before did not move.
    for (std::size_t j = 0; j < b.size(); ++j) {
        if (back[j] == none || in_place[j]) continue;
        bool between = true;
        for (std::size_t other = 0; other < b.size(); ++other)
            if (in_place[other]) between = between && (other < j) == (back[other] < back[j]);
        in_place[j] = between;
    }

    for (std::size_t i = 0; i < a.size(); ++i)
        if (partner[i] == none) {
            const std::string said = step_in_full(old_, *a[i]);
            found_.push_back({Change::removed,
                              {number(*a[i], true)},
                              said,
                              "",
                              fmt::format("{} removed{}: {}", number(*a[i], true), where, said)});
        }
    for (std::size_t j = 0; j < b.size(); ++j) {
        if (back[j] == none) {
            const std::string said = step_in_full(now_, *b[j]);
            found_.push_back({Change::added,
                              {number(*b[j], false)},
                              "",
                              said,
                              fmt::format("{} added{}: {}", number(*b[j], false), where, said)});
            continue;
        }
        const Tree& was = *a[back[j]];
        if (!in_place[j]) {
            std::size_t next = j + 1; // the next one that stayed
            while (next < b.size() && !in_place[next]) ++next;
            const std::string to = next < b.size() ? fmt::format("before {}{}", number(*a[back[next]], true),
                                                                 number(*a[back[next]], true) == "section"
                                                                     ? " " + step_in_words(old_, *a[back[next]])
                                                                     : std::string())
                                                   : std::string("to the end");
            found_.push_back(
                {Change::moved,
                 {number(was, true)},
                 number(was, true),
                 number(*b[j], false),
                 fmt::format("{} moved {}{}: {}", number(was, true), to, where, step_in_words(now_, *b[j]))});
        }
        if (a_says[back[j]] != b_says[j]) same_step(was, *b[j]);
    }
}

void Differ::same_step(const Tree& before, const Tree& after) {
    const std::string was = number(before, true);
    const std::string is = number(after, false);
    const std::string at =
        fmt::format("{}{} ({})", was, was == is ? std::string() : ", now " + is.substr(is.find(' ') + 1),
                    step_in_words(old_, before));
    if (before.form == Tree::Form::text && after.form == Tree::Form::text) {
        put(Change::changed, {was == is ? was : was + ", now " + is.substr(is.find(' ') + 1)}, in_words(old_, before),
            in_words(now_, after));
        return;
    }
    map({at}, with_keys(before), with_keys(after), "steps"); // the lists of steps below come next
    static const Tree nothing = [] {
        Tree tree;
        tree.form = Tree::Form::list;
        return tree;
    }();
    std::set<std::string> keys;
    for (const Tree* step : {&before, &after})
        for (const Branch& branch : step->branches)
            if (holds_steps(branch.key)) keys.insert(branch.key);
    for (const std::string& key : keys) {
        const Tree* const old_list = branch_of(before, key);
        const Tree* const new_list = branch_of(after, key);
        steps(old_list == nullptr ? nothing : *old_list, new_list == nullptr ? nothing : *new_list,
              fmt::format(" under `{}` of {}", key, was == is ? was : was + ", now " + is.substr(is.find(' ') + 1)));
    }
}

} // namespace benchleaf::compared
