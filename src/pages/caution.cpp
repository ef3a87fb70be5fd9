// Cautions in the frame of their level; those of one level that stand together share one. The levels are told apart by black, frame and word, so that a
// photocopy keeps them: the word stands black on a white plate, in more black the higher the level. The signal words are those of ANSI Z535; the frames are this
// card's own.
#include "pages/parts.h"

#include <algorithm>

namespace benchleaf::pages {

namespace {

struct Look {
    Length frame; // round the whole
    Length plate; // black round the signal word
};

Look look_of(card::Level level) {
    switch (level) {
    case card::Level::danger:
        return {pt(6), pt(6)};
    case card::Level::warning:
        return {pt(2.4), pt(6)};
    case card::Level::caution:
        return {pt(1.6), 0};
    case card::Level::notice:
        break;
    }
    return {pt(0.85), 0};
}

} // namespace

std::vector<std::span<const card::Caution>> by_level(const std::vector<card::Caution>& cautions) {
    std::vector<std::span<const card::Caution>> groups;
    for (std::size_t i = 0; i < cautions.size();) {
        std::size_t end = i + 1;
        while (end < cautions.size() && cautions[end].level == cautions[i].level) ++end;
        groups.emplace_back(&cautions[i], end - i);
        i = end;
    }
    return groups;
}

Piece caution(Making& in, std::span<const card::Caution> of_one_level, Length width, bool across) {
    const Style& s = in.style;
    const card::Caution& first = of_one_level.front();
    const Look look = look_of(first.level);
    const Length pad = pt(4.5);
    const Length inset = look.frame;
    const Length word_size = s.figure;
    const Length signal =
        std::max(s.paper == Paper::a5 ? pt(74) : pt(88),
                 in.setter.width(first.signal, fonts::Face::bold, word_size) + pt(12) + 2 * look.plate);
    const Length words_x = across ? pad : signal + pad + pt(4);
    const Length room = width - words_x - pad - 2 * inset;
    Piece words;
    for (const card::Caution& one : of_one_level) {
        std::string hazard = one.hazard;
        if (!hazard.empty() && !one.avoid.empty()) hazard += ' ';
        put_under(words,
                  in.setter.paragraph({{hazard, fonts::Face::bold}, {one.avoid, fonts::Face::regular}}, room,
                                      {Role::text, s.step}),
                  pt(3));
    }
    const Length least = line_height(word_size) + 2 * look.plate + pt(2);
    const Length inside = across ? least : std::max(words.height + 2 * pad, least); // of the signal word's block
    const Length height = 2 * inset + (across ? least + words.height + pad + pt(2) : inside);

    Piece block;
    Piece word = in.setter.paragraph(first.signal, fonts::Face::bold, signal - 2 * look.plate,
                                     {Role::signal_word, word_size, Align::centre});
    const Length above = (inside - word.height) / 2;
    Piece plate;
    put(plate, std::move(word), 0, above - look.plate);
    Box white = boxed(Role::signal_word, std::move(plate), {}, signal - 2 * look.plate, inside - 2 * look.plate);
    white.at = {0, 0, signal - 2 * look.plate, inside - 2 * look.plate};
    if (look.plate != 0) white.paint = filled(255);
    put(block, piece_of(std::move(white)), look.plate, look.plate);
    const Length black = across && look.plate != 0 ? width - 2 * inset : signal;
    Box signal_box = boxed(Role::signal_word, std::move(block), {}, black, inside);
    if (look.plate != 0) signal_box.paint = filled(0);
    Piece inner;
    put(inner, piece_of(std::move(signal_box)), 0, 0);
    const Length words_y = across ? least + pt(2) : (inside - words.height) / 2;
    put(inner, std::move(words), words_x, words_y);

    Piece whole;
    put(whole, std::move(inner), inset, inset);
    Box frame = boxed(Role::caution, std::move(whole), {}, width, height);
    frame.paint = framed(inset);
    return piece_of(std::move(frame));
}

} // namespace benchleaf::pages
