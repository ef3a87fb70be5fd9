// What stands on every page: whose card it is, which vehicle, which job, which page; the code square; and the foot.
#include "base/require.h"
#include "pages/figures.h"

#include <qrencode.h>

#include <algorithm>
#include <array>
#include <memory>
#include <optional>

namespace benchleaf::pages {

namespace {

using fonts::Face;

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) {
        if (part.empty()) continue;
        if (!text.empty()) text += " · ";
        text += part;
    }
    return text;
}

// What is written in by hand on a card that is printed for no job.
Piece blanks(Making& in, Length room) {
    const Style& s = in.style;
    std::vector<Piece> fields;
    const Length tall = mm(7.5);
    const Length line = s.paper == Paper::a5 ? mm(18) : mm(26);
    for (std::size_t i = 0; i < in.card.head.blanks.size(); ++i) {
        Piece field = in.setter.paragraph(in.card.head.blanks[i], Face::regular, room - line, {Role::label, s.small});
        const Length x = field.width + pt(4);
        for (Box& box : field.boxes) move_by(box, 0, tall - ascent(s.small) - pt(2));
        put(field,
            drawn(Role::write_line, {x, tall - pt(0.8), line, pt(0.8)}, filled(0), "head/" + std::to_string(i + 1)));
        fields.push_back(std::move(field));
    }
    return flow(std::move(fields), room, pt(12), 0);
}

// In a heavy frame where a job's card has its number, so that nobody takes it for one.
Piece blank_mark(Making& in, Length most) {
    const Style& s = in.style;
    const Length pad = pt(6);
    Piece inside;
    Piece word = in.setter.paragraph(in.card.head.blank, Face::bold, most - 2 * pad, {Role::signal_word, s.keep});
    const Length wide = word.width + 2 * pad;
    put(inside, std::move(word), pad, pt(1));
    const Length tall = inside.height + pt(1);
    Box box = boxed(Role::signal_word, std::move(inside), "head/blank", wide, tall);
    box.paint = framed(pt(2.2));
    Piece placed;
    put(placed, piece_of(std::move(box)), most - wide, 0);
    return placed;
}

} // namespace

namespace {

Qr symbol(const std::string& text) {
    const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M),
                                                               &QRcode_free);
    base::require(code != nullptr, "the text of the code square is longer than a QR code can hold");
    Qr qr;
    qr.side = code->width;
    const auto count = static_cast<std::size_t>(qr.side) * static_cast<std::size_t>(qr.side);
    qr.modules.reserve(count);
    for (std::size_t i = 0; i < count; ++i) qr.modules += (code->data[i] & 1U) != 0 ? '1' : '0';
    return qr;
}

// The side of the least symbol that holds so many bytes at error correction level M, where it is one of the first versions (ISO/IEC
// 18004, table 7); to draw it takes longer than to break all lines of the card.
std::optional<int> side_for(std::size_t bytes) {
    constexpr std::array<std::size_t, 10> holds{14, 26, 42, 62, 84, 106, 122, 152, 180, 213};
    const auto version = std::lower_bound(holds.begin(), holds.end(), bytes);
    if (version == holds.end()) return std::nullopt;
    return 21 + 4 * static_cast<int>(version - holds.begin());
}

} // namespace

Box code_square(const Style& style, const std::string& text, bool draw) {
    if (text.empty()) return {};
    const std::optional<int> known = draw ? std::nullopt : side_for(text.size());
    Qr qr = known ? Qr{*known, {}} : symbol(text);
    const Length largest = style.paper == Paper::a5 ? pt(50) : pt(58);
    const Length module = std::clamp<Length>(largest / qr.side, pt(1.2), style.module);
    const Length side = module * qr.side;
    return drawn(Role::qr, {0, 0, side, side}, std::move(qr), "code");
}

std::string with_numbers(std::string_view pattern, std::size_t first, std::size_t second) {
    std::string text;
    std::size_t from = 0;
    for (const std::size_t number : {first, second}) {
        const std::size_t at = pattern.find("{}", from);
        if (at == std::string_view::npos) break;
        text += pattern.substr(from, at - from);
        text += std::to_string(number);
        from = at + 2;
    }
    return text += pattern.substr(from);
}

Corner put_code(Making& in, Piece& to) {
    Corner corner{in.style.right(), 0};
    if (const auto* qr = std::get_if<Qr>(&in.code.paint)) {
        // Four modules on all sides are left free (ISO/IEC 18004); at the right they may lie in the margin.
        const Length side = in.code.at.width;
        const Length quiet = 4 * (side / qr->side);
        put(to, piece_of(in.code), corner.right - side, 0);
        corner = {corner.right - side - quiet - pt(4), side + quiet};
    }
    return corner;
}

namespace {

// The head without its rule, and from where on that may stand; the job and the page take no more than `most` of its width.
struct Heading {
    Piece piece;
    Length bottom = 0;
    bool broken = false; // a line of the job's
};

Heading heading(Making& in, std::size_t page, std::size_t pages, Length most) {
    const Style& s = in.style;
    const card::Head& h = in.card.head;
    Piece all;
    auto [right, tall] = put_code(in, all);

    // The map of the wheels.
    Piece map = wheel_map(in, h.axles, s.paper == Paper::a5 ? pt(46) : pt(54));
    if (!map.empty()) {
        right -= map.width;
        put(all, std::move(map), right, 0);
        right -= pt(10);
    }

    // The job and the page, right against the code square.
    const std::string card_of = h.card == 0 ? std::string() : with_numbers(in.card.words.card_of, h.card, h.cards);
    const std::string page_of = with_numbers(in.card.words.page_of, page, pages);
    Piece job;
    bool broken = false;
    const auto add_line = [&](Piece piece, Length one_line) {
        broken = broken || piece.height > one_line;
        put_under(job, std::move(piece), 0);
    };
    const auto line = [&](std::string_view text, Face face, Length size) {
        add_line(in.setter.paragraph(text, face, most, {Role::text, size, Align::right}), line_height(size));
    };
    if (!h.job.empty()) line(in.card.words.job + " " + h.job, Face::bold, s.keep);
    if (!h.blank.empty()) add_line(blank_mark(in, most), line_height(s.keep) + pt(2));
    line(joined({h.date, h.revision}), Face::regular, s.small);
    line(card_of, Face::bold, s.small);
    line(page_of, Face::bold, s.step);
    Length job_left = right; // where its longest line starts
    for (const Box& box : job.boxes) job_left = std::min(job_left, right - most + box.at.x);
    put(all, std::move(job), right - most, 0);

    // First of all which vehicle it is; last the title, set smaller before it is broken. Beside all that, or from some line on under it and across the
    // whole width, where that takes less height.
    std::vector<std::string> rest = h.identity;
    rest.push_back(h.meter);
    rest.push_back(h.shop);
    const auto lines = [&](std::size_t from, std::size_t to, Length room) {
        Piece piece;
        const auto add = [&](std::size_t number, std::string_view text, Face face, Length size) {
            if (number >= from && number < to)
                put_under(piece, in.setter.paragraph(text, face, room, {Role::text, size}), 0);
        };
        const bool fits = to > 2 && in.setter.width(h.title, Face::bold, s.title) <= room;
        add(0, joined({h.vehicle, in_one_piece(h.known_by)}), Face::bold, s.keep);
        add(1, joined(rest), Face::regular, s.small);
        add(2, h.title, Face::bold, fits ? s.title : s.head);
        return piece;
    };
    constexpr std::size_t all_lines = 3;
    const Length room = job_left - pt(14) - s.sheet.x;
    const Length beside_height = std::max(all.height, tall);
    Piece beside = lines(0, all_lines, room);
    Piece under;
    for (std::size_t from = all_lines; beside.height > beside_height && from-- > 0;) {
        Piece upper = lines(0, from, room);
        Piece lower = lines(from, all_lines, s.sheet.width);
        const Length now = std::max(beside.height, beside_height) + under.height;
        if (std::max(upper.height, beside_height) + lower.height >= now) continue;
        beside = std::move(upper);
        under = std::move(lower);
    }
    put(all, std::move(beside), s.sheet.x, 0);
    if (!under.empty()) put(all, std::move(under), s.sheet.x, std::max(all.height, tall));
    // Under all of that, as the whole width holds them in one line.
    if (!h.blanks.empty()) put(all, blanks(in, s.sheet.width), s.sheet.x, std::max(all.height, tall));

    const Length bottom = std::max(all.height + pt(3), tall);
    return {std::move(all), bottom, broken};
}

} // namespace

Box head(Making& in, std::size_t page, std::size_t pages) {
    const Style& s = in.style;
    in.setter.at("the head of the card");
    Heading made = heading(in, page, pages, s.sheet.width * 3 / 10);
    if (made.broken) { // more width for the job, where that takes less height
        Heading wider = heading(in, page, pages, s.sheet.width * 4 / 10);
        if (wider.bottom < made.bottom) made = std::move(wider);
    }
    put(made.piece, drawn(Role::rule, {s.sheet.x, made.bottom, s.sheet.width, pt(2.5)}, filled(0)));
    Box box = boxed(Role::head, std::move(made.piece));
    box.at = {s.sheet.x, 0, s.sheet.width, box.at.height};
    move_by(box, 0, s.sheet.y);
    return box;
}

Box foot(Making& in, std::size_t page, std::size_t pages, Sheet sheet) {
    const Style& s = in.style;
    in.setter.at("the foot of the card");
    Piece all;
    put(all, drawn(Role::rule, {s.sheet.x, 0, s.sheet.width, pt(0.8)}, filled(0)));
    const Length most = s.sheet.width * (s.paper == Paper::a5 ? 4 : 3) / 10;
    Piece stamp;
    const auto line = [&](std::string_view text, Face face) {
        put_under(stamp, in.setter.paragraph(text, face, most, {Role::text, s.fine, Align::right}), 0);
    };
    const std::string whose = joined({in.card.head.job, in.card.head.digest});
    if (in.setter.width(whose, Face::bold, s.fine) <= most) {
        line(whose, Face::bold);
    } else { // rather than break the digest
        line(in.card.head.job, Face::bold);
        line(in.card.head.digest, Face::bold);
    }
    line(joined({in.card.head.revision, sheet.of == 0 ? with_numbers(in.card.words.page_of, page, pages)
                                                      : with_numbers(in.card.words.sheet_of, sheet.number, sheet.of)}),
         Face::regular);
    Length left = s.right();
    for (const Box& box : stamp.boxes) left = std::min(left, s.right() - most + box.at.x);
    put(all, std::move(stamp), s.right() - most, pt(4));
    const Length room = left - pt(16) - s.sheet.x;
    Piece text;
    put_under(text, in.setter.paragraph(in.card.foot.text, Face::regular, room, {Role::text, s.fine}), 0);
    put_under(text, in.setter.paragraph(in.card.foot.own, Face::regular, room, {Role::text, s.fine}), 0);
    put(all, std::move(text), s.sheet.x, pt(4));
    Box box = boxed(Role::foot, std::move(all));
    box.at = {s.sheet.x, 0, s.sheet.width, box.at.height};
    move_by(box, 0, s.sheet.bottom() - box.at.height);
    return box;
}

Length body_bottom(Making& in, std::size_t pages) {
    Length bottom = foot(in, 1, pages, {widest_number, widest_number}).at.y;
    for (std::size_t page = 1; page <= pages; page *= 10) bottom = std::min(bottom, foot(in, page, pages).at.y);
    return bottom - pt(8);
}

} // namespace benchleaf::pages
