#include "pdf/form.h"

#include "fonts/fonts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <map>
#include <set>
#include <string_view>
#include <utility>

namespace benchleaf::pdf {

namespace {

using pages::Box;
using pages::Length;
using pages::pt;
using pages::Rect;
using pages::Role;

constexpr Length writing_height = pages::mm(6); // over a line to write on
constexpr Length edge = pt(1);                  // between a box's frame, or a word in it, and what is typed
constexpr Length indent = pt(2);                // that readers leave at either side of what is typed
constexpr Length typing_size = pt(12);
constexpr Length least_size = pt(7);

constexpr Length line_height(Length size) {
    return size * 14 / 10;
}

// The part of the space on one side of what is printed in it: the widest that a few letters go into, else the largest.
Rect beside(const Rect& space, const Rect& printed) {
    if (!space.meets(printed)) return space;
    Rect best;
    const auto worth = [](const Rect& of) {
        const bool good = of.height >= line_height(typing_size) && of.width >= 2 * typing_size;
        return std::pair{good, good ? of.width : std::int64_t{of.width} * of.height};
    };
    const auto take = [&](const Rect& part) {
        if (part.width > 0 && part.height > 0 && worth(part) > worth(best)) best = part;
    };
    take({space.x, space.y, printed.x - edge - space.x, space.height});
    take({printed.right() + edge, space.y, space.right() - printed.right() - edge, space.height});
    take({space.x, space.y, space.width, printed.y - edge - space.y});
    take({space.x, printed.bottom(), space.width, space.bottom() - printed.bottom()});
    return best.width > 0 ? best : space;
}

void keep_free(Rect& space, const Box& printed) {
    if (std::holds_alternative<pages::Text>(printed.paint)) space = beside(space, printed.at);
    for (const Box& child : printed.children) keep_free(space, child);
}

Rect place_of(const Box& box) {
    if (box.role == Role::tick) return box.at;
    if (box.role == Role::write_line) return {box.at.x, box.at.y - writing_height, box.at.width, writing_height};
    const auto* frame = std::get_if<pages::Area>(&box.paint);
    const Length in = edge + (frame != nullptr ? frame->line : 0);
    Rect space{box.at.x + in, box.at.y + in, box.at.width - 2 * in, box.at.height - 2 * in};
    for (const Box& child : box.children) keep_free(space, child);
    return space;
}

struct Gathering {
    std::vector<Field> fields;
    std::set<std::string> names;
    std::size_t page = 0;
    std::string wrong;

    void box(const Box& box, bool in_head) {
        if (box.role == Role::head) in_head = true;
        if (pages::is_written_in(box.role)) {
            if (box.name.empty() || box.name.find('.') != std::string::npos)
                say(box, "has no name that a form field can bear");
            const std::string key =
                in_head ? fmt::format("{} {}", page, box.name) : box.name; // each page has the head's
            if (!names.insert(key).second) say(box, "has the name of another");
            fields.push_back({page, in_head, box.role, place_of(box), box.name});
        }
        for (const Box& child : box.children) this->box(child, in_head);
    }

    void say(const Box& box, std::string_view what) {
        if (wrong.empty())
            wrong = fmt::format("page {}: box {} {}: it {}", page + 1, pages::name(box.role), box.name, what);
    }
};

std::string points(std::int64_t thousandths) {
    return fmt::format("{}", static_cast<double>(thousandths) / 1000.0);
}

// The size of what is typed, and how many characters may be: so many that they are seen whole, as a reading whose last figure is
// cut off would be another reading. (In a size that a reader's program may choose for itself, some cut off what hangs below the
// line.) Figures take 0.57 of the size, words hardly more than that, words in capitals 0.66.
struct Typed {
    Length size;
    std::int64_t characters;
};
Typed typed_in(const Field& field) {
    const std::int64_t hundredths = field.role == Role::reading_box ? 60 : 66;
    // A reading has six characters at the least, a date, a time or a mileage 12, a name 22; initials never more than four.
    const std::int64_t wanted = field.on_every_page                 ? 12
                                : field.role == Role::reading_box   ? 6
                                : field.role == Role::signature_box ? 22
                                : field.role == Role::initials_box  ? 4
                                : field.role == Role::entry_box     ? 12
                                                                    : 1;
    const Length width = std::max(field.at.width - 2 * indent, 1);
    Length size = typing_size;
    while (size > least_size && (line_height(size) > field.at.height || wanted * size * hundredths / 100 > width))
        size -= pt(0.5);
    const std::int64_t lines = field.role == Role::entry_box ? std::max(1, field.at.height / line_height(size)) : 1;
    const std::int64_t fit = std::max<std::int64_t>(1, width / (size * hundredths / 100)) * lines;
    return {size, field.role == Role::initials_box ? std::min(fit, wanted) : fit};
}

std::string appearance(Length size) {
    return fmt::format("(/BenchleafSans {} Tf 0 g)", points(size));
}

// A drawn mark, for a square of 100 that a reader fits into each tick box.
Object tick_appearance() {
    std::string drawn = "12 w 1 J 1 j ";
    bool first = true;
    for (const pages::Point& point : pages::tick_mark({15, 15, 70, 70})) {
        drawn += fmt::format("{} {} {} ", point.x, 100 - point.y, first ? "m" : "l");
        first = false;
    }
    return stream_object("/Type/XObject/Subtype/Form/BBox[0 0 100 100]", drawn + "S");
}

} // namespace

base::Result<std::vector<Field>> fields_of(const pages::Pages& pages) {
    Gathering gathering;
    for (const pages::Page& page : pages.pages) {
        for (const Box& box : page.boxes) gathering.box(box, false);
        ++gathering.page;
    }
    if (!gathering.wrong.empty()) return base::Failure{gathering.wrong};
    return std::move(gathering.fields);
}

Form make_form(const std::vector<Field>& fields, const pages::Pages& pages, const pages::FieldWords& words,
               std::size_t font, Objects& objects) {
    Form form;
    form.widgets.resize(pages.pages.size());
    const std::size_t nothing = objects.add(stream_object("/Type/XObject/Subtype/Form/BBox[0 0 1 1]", "/Tx BMC EMC"));
    const std::size_t ticked = objects.add(tick_appearance());
    const Length height = pages::size_of(pages.paper).height;

    const auto says = [&](const Field& field) {
        const auto found = words.find(field.name);
        return text_string(found == words.end() || found->second.empty() ? field.name : found->second);
    };
    // What makes it a widget of its page, and what makes it a field. A reader looks for the words in either.
    const auto widget = [&](const Field& field) {
        std::string text = fmt::format("/Type/Annot/Subtype/Widget/F 4/Rect[{} {} {} {}]/TU{}", points(field.at.x),
                                       points(height - field.at.bottom()), points(field.at.right()),
                                       points(height - field.at.y), says(field));
        if (field.role == Role::tick)
            text += fmt::format("/AS/Off/AP<</N<</Yes {}/Off {}>>>>", reference(ticked), reference(nothing));
        else
            text += fmt::format("/AP<</N {}>>/DA{}", reference(nothing), appearance(typed_in(field).size));
        return text;
    };
    const auto what = [&](const Field& field) {
        std::string text = fmt::format("/T{}", text_string(field.name));
        if (field.role == Role::tick) return text + "/FT/Btn/V/Off";
        text += fmt::format("/FT/Tx/MaxLen {}", typed_in(field).characters);
        if (field.role == Role::entry_box) text += "/Ff 4096";                                   // of several lines
        if (field.role == Role::reading_box || field.role == Role::initials_box) text += "/Q 1"; // in the middle
        return text;
    };

    std::string roots;
    std::map<std::string_view, std::pair<std::size_t, std::string>> shared; // of the head: number, and its widgets
    for (const Field& field : fields) {
        std::size_t number = 0;
        if (field.on_every_page) {
            auto [at, is_new] = shared.try_emplace(field.name);
            if (is_new) {
                at->second.first = objects.add();
                roots += reference(at->second.first) + " ";
            }
            number = objects.add(fmt::format("<<{}/Parent {}>>", widget(field), reference(at->second.first)));
            at->second.second += reference(number) + " ";
            objects.set(at->second.first,
                        fmt::format("<<{}/TU{}/Kids[{}]>>", what(field), says(field), at->second.second));
        } else {
            number = objects.add(fmt::format("<<{}{}>>", widget(field), what(field)));
            roots += reference(number) + " ";
        }
        form.widgets[field.page] += reference(number) + " ";
    }
    form.dictionary = fmt::format("<</Fields[{}]/DR<</Font<</BenchleafSans {}>>>>/DA{}>>", roots, reference(font),
                                  appearance(typing_size));
    return form;
}

} // namespace benchleaf::pdf
