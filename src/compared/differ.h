// Walks two trees side by side. Internal to compared/.
#pragma once

#include "compared/compared.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::compared {

// A tree in words: names as they are printed, lists with commas, prose in quotes.
std::string in_words(const meaning::Meaning& meaning, const model::Tree& tree);
// A step in a few words: "torque lower guide bolt", "“Push the pads home.”"
std::string step_in_words(const meaning::Meaning& meaning, const model::Tree& step);

// Keys that hold lists of steps.
bool holds_steps(std::string_view key);
// With all that hangs on it: "torque lower guide bolt, caution: …"
std::string step_in_full(const meaning::Meaning& meaning, const model::Tree& step);
// A step that is only a text says the same as one with `say`.
model::Tree with_keys(const model::Tree& step);

const model::Tree* branch_of(const model::Tree& tree, std::string_view key); // null: it has none

class Differ {
public:
    Differ(const meaning::Meaning& old, const meaning::Meaning& now) : old_(old), now_(now) {}

    // Of a procedure or any other thing.
    std::vector<Difference> run(const model::Tree& before, const model::Tree& after);

private:
    using Path = std::vector<std::string>;

    void tree(const Path& at, const model::Tree& before, const model::Tree& after);
    void map(const Path& at, const model::Tree& before, const model::Tree& after, std::string_view but = {});
    void list(const Path& at, const model::Tree& before, const model::Tree& after);
    // steps.cpp; `where`: " under `if-so` of step 3"
    void steps(const model::Tree& before, const model::Tree& after, const std::string& where);
    void same_step(const model::Tree& before, const model::Tree& after);
    void put(Change change, const Path& at, std::string before, std::string after);

    std::string number(const model::Tree& step, bool of_old) const;

    const meaning::Meaning& old_;
    const meaning::Meaning& now_;
    std::vector<Difference> found_;
    std::vector<const model::Tree*> old_steps_; // in the order of the file; sections are not counted
    std::vector<const model::Tree*> new_steps_;
};

} // namespace benchleaf::compared
