// What the program says and where: results to standard output, everything else to standard error, with colour only where it is
// wanted. A text that could not be written (a full disk behind `>`) is not passed over: `finish` says so.
#pragma once

#include "base/result.h"

#include <string>
#include <string_view>

namespace benchleaf::driver {

enum class Colour { automatic, always, never };

class Terminal {
public:
    void set_colour(Colour colour) { colour_ = colour; }

    void result(std::string_view text) { results_ += text; } // kept until `finish`
    void say(std::string_view text);                         // to standard error at once

    bool colour_of_errors() const; // NO_COLOR in the environment, or no terminal: none, unless `always`
    bool colour_of_results() const;
    bool results_on_screen() const; // standard output is a terminal
    bool somebody_types() const;    // standard input is one
    std::size_t columns() const;    // of the terminal behind standard error; 100 when there is none

    // Writes the results. A Failure when they did not arrive whole; some file systems say so only when nothing more comes.
    base::Result<base::Done> finish(bool ends = false);

private:
    Colour colour_ = Colour::automatic;
    std::string results_;
};

} // namespace benchleaf::driver
