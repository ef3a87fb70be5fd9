// What is said to the user about what he wrote. A stage adds a Message for a mistake and goes on with a hole in its
// place, so that one mistake gives one message. The first label is the primary one and names the narrowest place at
// fault; a second shows the other half of the sentence (where the state arose, where the thing is declared).
#pragma once

#include "source/source.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::messages {

enum class Level : std::uint8_t { error, warning, note };
std::string_view name_of(Level level); // `error`, `warning`, `note`

// What a check is called and how grave its finding is. Each has one file under checks/ of the folder whose value it
// reads, one page in docs/checks and one case in tests/cases/checks, all with the same stem.
struct Rule {
    std::string_view name; // kebab-case; the name by which `explain` and `allow` know it
    Level level = Level::error;
    std::string_view summary; // one line, for the list that `explain` prints: "a fastener leaves the shop loose"
};

struct Label {
    source::Span span;
    std::string text; // printed under the span; may be empty on the primary label
};

// What an edit puts where: its text in place of the span, or list entries of their own, a line each, before or after the list entry at
// the span, indented like it; or lines below that in which the span ends, indented like the key in which the span's own line begins.
enum class Puts : std::uint8_t { text, entries_before, entries_after, lines_below };

struct Edit {
    source::Span span; // replaced; an empty span is an insertion
    std::string text;
    Puts puts = Puts::text;
};

// A change that a machine may make, because it is the only sensible one.
struct Fix {
    std::string title; // "write `guide-grease`"
    std::vector<Edit> edits;
    bool to_try = false; // most likely right: made where a check of the whole shop finds it better after than before
};

struct Message {
    const Rule* rule = nullptr;
    std::string text; // one sentence, no full stop: "the lower guide bolt is left loose, left and right"
    std::vector<Label> labels;
    std::string help; // one line; may be empty
    std::vector<Fix> fixes;
    // Messages of one rule and one cause, which is not empty, are one mistake: the first is told, with how many more places it is at.
    std::string cause{};
    std::vector<source::Span> also{};
    source::Span tells{}; // what another message has to say of this place is said with this one; unknown: of none
};

// The help with that number.
std::string help_of(const Message& message);

// Offers to write `meant` in place of the word at `at`, where that was surely a slip of the pen (base::is_slip); else nothing. `as`: how it is
// written here, if otherwise.
void correct_slip(Message& message, source::Span at, std::string_view word, std::string_view meant,
                  std::string_view as = {});

// Where stages put what they have to say, in the order in which they found it.
class Messages {
public:
    Message& add(const Rule& rule, source::Span at, std::string text, std::string label = {});
    void add(Message message) { all_.push_back(std::move(message)); }

    const std::vector<Message>& all() const { return all_; }
    std::size_t count(Level level) const;
    bool any_error() const { return count(Level::error) > 0; }

    // By file, then place, then name; the same message at the same place is kept once. Edits that put list entries become insertions; a fix
    // whose entries have no line of their own (a list in brackets) is left out.
    void sort_and_unite(const source::Sources& sources);

private:
    std::vector<Message> all_;
};

} // namespace benchleaf::messages
