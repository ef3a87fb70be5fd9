// Text into lines. A paragraph is one or more runs in one size, set in faces of one family; it is normalised (NFC),
// broken by the rules of UAX 14 with the trade's additions (a number stays with its unit, a part number in one piece),
// and a word that is longer than its line is broken anywhere rather than leave it.
//
// A character that the fonts lack is reported, once a place, under the name of the place that was last entered.
#pragma once

#include "messages/message.h"
#include "pages/piece.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::pages {

struct Run {
    std::string_view text;
    fonts::Face face = fonts::Face::regular;
};

enum class Align : std::uint8_t { left, right, centre };

struct Manner {
    Role role = Role::text;
    Length size = 0;
    Align align = Align::left;
    std::uint8_t grey = 0;
};

class Setter {
public:
    Setter(std::string language, messages::Messages& out);

    // What the next texts belong to, for messages: "step 7", "the head".
    void at(std::string place) { place_ = std::move(place); }
    const std::string& place() const { return place_; }

    // The paragraph in lines no wider than `width`: one box, with a box for every line inside it where there are several. Its
    // width is that of its longest line when it is set to the left, else the whole. Empty for an empty text.
    Piece paragraph(const std::vector<Run>& runs, Length width, const Manner& manner);
    Piece paragraph(std::string_view text, fonts::Face face, Length width, const Manner& manner) {
        return paragraph({{text, face}}, width, manner);
    }

    // How wide the text would be in one line.
    Length width(std::string_view text, fonts::Face face, Length size);

private:
    struct Part {
        std::size_t begin, end;
        fonts::Face face;
    };
    struct Line {
        std::size_t begin, end; // bytes of all_
    };
    void gather(const std::vector<Run>& runs);
    void break_into_lines(std::int64_t limit);
    std::int64_t units(std::size_t begin, std::size_t end) const;
    void report(char32_t character);

    std::string language_;
    messages::Messages& out_;
    std::string place_;
    std::vector<std::string> reported_;
    // Kept between calls only for their memory.
    std::string all_;
    std::vector<Part> parts_;
    std::vector<Line> lines_;
    std::vector<char> breaks_;
};

// The height of a line of text of that size, and how far under its top the baseline lies. Letters with two accents fit.
constexpr Length line_height(Length size) {
    return static_cast<Length>(static_cast<std::int64_t>(size) * 130 / 100);
}
constexpr Length ascent(Length size) {
    return static_cast<Length>(static_cast<std::int64_t>(size) * 102 / 100);
}
Length cap_height(Length size);

// Its words never part.
std::string in_one_piece(std::string_view text);

// What blanks divide.
std::vector<std::string> words_of(std::string_view text);

} // namespace benchleaf::pages
