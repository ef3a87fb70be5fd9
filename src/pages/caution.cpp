// A caution in the frame of its level. The levels are told apart by black, frame and word, so that a photocopy keeps them:
// danger is all black, a warning has a black block in a heavy frame, a caution a framed word, a notice a thin frame. The signal
// words are those of ANSI Z535; the frames are this card's own.
#include "pages/parts.h"

#include <algorithm>

namespace benchleaf::pages {

namespace {

constexpr std::uint8_t black = 0;
constexpr std::uint8_t white = 255;

struct Look {
    Length frame;
    std::uint8_t word; // grey of the signal word
    std::uint8_t text;
    bool black_word; // the word stands on black
    bool framed_word;
};

Look look_of(card::Level level) {
    switch (level) {
    case card::Level::danger:
        return {pt(2.5), white, white, false, false};
    case card::Level::warning:
        return {pt(2), white, black, true, false};
    case card::Level::caution:
        return {pt(1.2), black, black, false, true};
    case card::Level::notice:
        break;
    }
    return {pt(0.6), black, black, false, false};
}

} // namespace

Piece caution(Making& in, const card::Caution& caution, Length width) {
    const Style& s = in.style;
    const Look look = look_of(caution.level);
    const Length pad = pt(5);
    const Length inset = look.frame;
    const Length word_size = s.figure;
    const Length signal = std::max(s.paper == Paper::a5 ? pt(74) : pt(88),
                                   in.setter.width(caution.signal, fonts::Face::bold, word_size) + pt(16));
    const Length room = width - signal - 2 * pad - 2 * inset - pt(4);
    std::string hazard = caution.hazard;
    if (!hazard.empty() && !caution.avoid.empty()) hazard += ' ';
    Piece words = in.setter.paragraph({{hazard, fonts::Face::bold}, {caution.avoid, fonts::Face::regular}}, room,
                                      {Role::text, s.step, Align::left, look.text});
    const Length height = words.height + 2 * pad + 2 * inset;

    Piece word = in.setter.paragraph(caution.signal, fonts::Face::bold, signal,
                                     {Role::signal_word, word_size, Align::centre, look.word});
    Piece block;
    const Length above = (height - 2 * inset - word.height) / 2;
    put(block, std::move(word), 0, above);
    Box signal_box = boxed(Role::signal_word, std::move(block), {}, signal, height - 2 * inset);
    if (look.black_word) signal_box.paint = filled(black);
    if (look.framed_word) {
        // the frame's own line closes the other three sides
        signal_box.children.push_back(
            drawn(Role::rule, {signal - look.frame, 0, look.frame, height - 2 * inset}, filled(black)));
    }
    Piece inner;
    put(inner, piece_of(std::move(signal_box)), 0, 0);
    put(inner, std::move(words), signal + pad + pt(4), pad);

    Piece whole;
    put(whole, std::move(inner), inset, inset);
    Box frame = boxed(Role::caution, std::move(whole), {}, width, height);
    frame.paint = framed(look.frame);
    if (caution.level == card::Level::danger) {
        // A white line inside the black: it stays a frame on a copy.
        Box line = drawn(Role::caution, {inset, inset, width - 2 * inset, height - 2 * inset},
                         Area{std::nullopt, pt(1), white, 0});
        line.children = std::move(frame.children);
        frame.children.clear();
        frame.children.push_back(std::move(line));
        frame.paint = filled(black);
    }
    return piece_of(std::move(frame));
}

} // namespace benchleaf::pages
