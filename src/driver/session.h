// Asking for what was filled in on the cards, in their order, one line each: the figure that it is held against stands beside the question, the verdict comes
// at once, and each answer is on the disk before the next one is asked for.
//
// Besides answers it takes: `back` for the one before, `skip` for one that may stay open, `clear` to take an answer back, `list` for all
// so far, `stopped` where the work ended half-way, `stop` to leave the program and go on later, `?` for this. An empty line takes what
// stands in brackets.
#pragma once

#include "driver/records.h"
#include "driver/terminal.h"
#include "record/asks.h"

#include <iosfwd>
#include <string>

namespace benchleaf::driver {

class Session {
public:
    enum class End : std::uint8_t { done, left, cut_off, failed };

    // `review`: every answer is shown once more, for a correction. `settled`: up to that card nothing is asked for that may stay open.
    Session(const record::Sheet& sheet, Draft& draft, bool review, std::size_t settled, std::istream& in,
            Terminal& terminal)
        : sheet_(sheet), draft_(draft), review_(review), settled_(settled), in_(in), terminal_(terminal) {}

    End run();

    // The draft notes beside the answers which card's foot was compared with the paper, and what was passed by.
    static record::Answers without_notes(record::Answers answers);

private:
    bool ask(const record::Look& look, std::size_t at);
    void show(const record::Ask& ask) const;
    bool line(std::string& into);
    bool compare_feet();
    bool put(const record::Answers& changes);
    void list(const record::Look& look) const;
    void help() const;
    record::Answers all_good(const record::Look& look, std::size_t at) const;
    bool to_be_said(const record::Ask& ask) const;
    bool stopped_here(const record::Ask& ask);
    bool clear(const record::Look& look);
    bool set_aside();
    bool passed(const std::string& key) const;
    bool pass(const std::string& key, record::Answers with = {});

    const record::Sheet& sheet_;
    Draft& draft_;
    bool review_;
    std::size_t settled_;
    std::istream& in_;
    Terminal& terminal_;
    End end_ = End::done;
    std::string again_;    // the box of the one to be asked next, where he went back
    std::size_t card_ = 0; // that was last headed
    std::string section_;
};

} // namespace benchleaf::driver
