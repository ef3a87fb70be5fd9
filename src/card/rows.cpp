#include "card/rows.h"

#include "card/panels.h"

#include "base/text.h"

#include <algorithm>

namespace benchleaf::card {

namespace {

using fitted::AxisValue;
using fitted::RowKind;
using linked::ItemId;
using model::VerbName;

void add_column(std::vector<Column>& to, Column column) {
    if (std::find(to.begin(), to.end(), column) == to.end()) to.push_back(column);
}

// The items that a row is done to, with the values that it is narrowed to.
struct Object {
    ItemId item;
    const std::vector<AxisValue>* only = nullptr;
};

std::vector<Object> objects(const Speaker& speaker, const Node& node) {
    static const std::vector<AxisValue> all;
    std::vector<Object> made;
    for (const fitted::Target& target : node.row->targets)
        if (speaker.present(target.item)) made.push_back({target.item, &target.values});
    if (node.row->kind == RowKind::verb && node.row->verb == VerbName::measure) {
        for (const fitted::LimitUse& use : node.row->limits)
            for (const ItemId item : use.of)
                if (speaker.present(item) && node.row->targets.empty()) made.push_back({item, &all});
    }
    return made;
}

bool several_values(const Speaker& speaker, linked::AxisId axis) {
    return axis.known() && speaker.fit.axes[axis.index()].values.size() > 1;
}

} // namespace

std::vector<Column> columns_touched(const Speaker& speaker, const Node& node) {
    std::vector<Column> made;
    for (const Object& object : objects(speaker, node)) {
        const auto values = speaker.values(object.item, *object.only);
        if (values.empty()) add_column(made, {});
        for (const AxisValue value : values) add_column(made, {speaker.item(object.item).axis, value});
    }
    if (made.empty()) made.push_back({});
    return made;
}

std::vector<Column> columns_marked(const Speaker& speaker, const Place& place, const Node& node) {
    if (!place.bound) return columns_touched(speaker, node);
    std::vector<Column> made;
    for (const AxisValue value : node.values) made.push_back({place.procedure->axis, value});
    return made;
}

Caution made_caution(const Speaker& speaker, model::CautionLevel level, std::string hazard, std::string avoid) {
    Caution made;
    static constexpr Key words[] = {Key::signal_danger, Key::signal_warning, Key::signal_caution, Key::signal_notice};
    static constexpr Level levels[] = {Level::danger, Level::warning, Level::caution, Level::notice};
    const auto index = static_cast<std::size_t>(level);
    made.level = levels[index];
    made.signal = speaker.word(words[index]);
    made.hazard = std::move(hazard);
    made.avoid = std::move(avoid);
    return made;
}

Caution made_caution(const Speaker& speaker, linked::CautionId id) {
    const linked::Caution& caution = speaker.linked.cautions[id.index()];
    return made_caution(speaker, caution.level, caution.hazard, caution.avoid);
}

void sort_by_level(std::vector<Caution>& cautions) {
    std::stable_sort(cautions.begin(), cautions.end(),
                     [](const Caution& a, const Caution& b) { return a.level < b.level; });
}

namespace {

class RowMaker {
public:
    RowMaker(const Speaker& speaker, const Unfolded& unfolded) : s_(speaker), unfolded_(unfolded) {
        look_over(unfolded.rows);
    }

    MadeRows make() {
        emit(unfolded_.rows, 0, {});
        return std::move(made_);
    }

private:
    // -- Before anything is emitted: the columns of each place, and where each limit is measured -------------------------------
    void look_over(const Nodes& rows) {
        columns_.resize(unfolded_.places.size());
        for (const Node& node : rows) {
            look_over(node.body);
            if (node.row->kind != RowKind::if_answered) {
                for (const Column& column : columns_marked(s_, unfolded_.places[node.place], node))
                    add_column(columns_[node.place], column);
            }
            look_over(node.if_so);
            look_over(node.if_not);
            look_over(node.otherwise);
        }
    }

    // Once for all comes first.
    std::vector<Column> columns_of(std::size_t place) const {
        const Place& at = unfolded_.places[place];
        std::vector<Column> made;
        if (at.bound) {
            for (const AxisValue value : at.values) made.push_back({at.procedure->axis, value});
            return made;
        }
        made = columns_[place];
        std::stable_sort(made.begin(), made.end(), [](const Column& a, const Column& b) {
            return std::pair(a.axis.known() ? a.axis.value + 1U : 0U, a.value) <
                   std::pair(b.axis.known() ? b.axis.value + 1U : 0U, b.value);
        });
        if (made.empty()) made.push_back({});
        return made;
    }

    // Whether this card works on more than one value of an axis, or does not tell them apart.
    bool works_on_several(linked::AxisId axis) const {
        std::vector<Column> all;
        for (std::size_t i = 0; i < unfolded_.places.size(); ++i)
            for (const Column& column : columns_of(i))
                if (column.axis == axis) add_column(all, column);
        return all.size() != 1;
    }

    std::string order_of(const Place& place) const {
        const linked::AxisId axis = place.procedure->axis;
        const std::vector<AxisValue>& values = place.bound ? place.values : place.procedure->values;
        if (!axis.known() || values.size() < 2 || !works_on_several(axis)) return {};
        const auto& names = s_.fit.axes[axis.index()].values;
        if (!place.bound) {
            const bool sides = names.size() == 2 && names[0] == "left" && names[1] == "right";
            return s_.word(sides ? Key::order_once_sides : Key::order_once);
        }
        const auto first = s_.axis_word(axis, values[0]);
        const auto second = s_.axis_word(axis, values[1]);
        if (values.size() == 2 && first.word != first.head && second.word != second.head)
            return s_.fill(Key::order_two, {first.word, second.word});
        std::vector<std::string> heads;
        for (const AxisValue value : values) heads.emplace_back(s_.axis_word(axis, value).head);
        return s_.fill(Key::order_many, {s_.listed(heads)});
    }

    std::string title_of(const Place& place) const {
        std::string title;
        if (place.section->source != nullptr && place.section->source->source != nullptr &&
            place.section->source->source->section)
            title = place.section->source->source->section->value;
        if (!place.called) return title;
        const std::string& procedure = title_of(*place.procedure);
        return title.empty() ? procedure : procedure + ": " + title;
    }

    static const std::string& title_of(const fitted::Procedure& procedure) {
        const model::Procedure& source = *procedure.source->source;
        return source.title ? source.title->value : source.id.value;
    }

    Section& section_of(std::size_t place) {
        if (place_ == place && !made_.sections.empty()) return made_.sections.back();
        place_ = place;
        Section section;
        section.title = title_of(unfolded_.places[place]);
        section.order = order_of(unfolded_.places[place]);
        open_ = columns_of(place);
        const bool alone = open_.size() == 1;
        for (const Column& column : open_) {
            const bool headed = column.axis.known() && !(alone && !several_values(s_, column.axis));
            section.columns.emplace_back(headed ? std::string(s_.axis_word(column.axis, column.value).head)
                                                : std::string());
            section.at.push_back(value_name(column.axis, column.value));
        }
        section.bound = unfolded_.places[place].bound;
        // Worked once, and on both sides where a row says so: its heads tell which is which.
        if (!unfolded_.places[place].bound && open_.size() > 1) section.order.clear();
        made_.sections.push_back(std::move(section));
        return made_.sections.back();
    }

    // "left", as the shop's files call it; nothing where there is one.
    std::string value_name(linked::AxisId axis, AxisValue value) const {
        if (!several_values(s_, axis) || value == fitted::no_value) return {};
        return s_.fit.axes[axis.index()].values[value];
    }

    // -- Rows --------------------------------------------------------------------------------------------------------------------
    using Path = std::vector<Answered>; // what was answered on the way

    static Path with(Path path, std::uint32_t step, Answered::How how) {
        path.push_back({step, how});
        return path;
    }

    void emit(const Nodes& rows, std::uint32_t depth, const Path& path) {
        using How = Answered::How;
        for (const Node& node : rows) {
            switch (node.row->kind) {
            case RowKind::hole:
                break;
            case RowKind::plain:
            case RowKind::verb:
                add(node, depth, path, step(node));
                break;
            case RowKind::question:
                add(node, depth, path, question(node));
                way(node.if_so, depth, with(path, node.number, How::yes), Key::if_yes);
                way(node.if_not, depth, with(path, node.number, How::no), Key::if_no);
                break;
            case RowKind::if_answered:
                add_head(node.if_so.front().place, depth + 1, s_.fill(Key::if_steps, {answers(node)}));
                emit(node.if_so, depth + 1, with_answers(path, node));
                break;
            case RowKind::repeat:
                emit(node.body, depth, path);
                add(node, depth, path, repeat(node));
                way(node.otherwise, depth, with(path, node.number, How::over), Key::repeat_over);
                break;
            case RowKind::stop:
                add(node, depth, path, stop(node));
                break;
            }
        }
    }

    Path with_answers(Path path, const Node& node) const {
        for (const linked::Answer& answer : node.row->answers) {
            const auto number = unfolded_.numbers[node.frame].find(answer.question);
            if (number != unfolded_.numbers[node.frame].end())
                path = with(std::move(path), number->second, answer.yes ? Answered::How::yes : Answered::How::no);
        }
        return path;
    }

    void way(const Nodes& rows, std::uint32_t depth, const Path& path, Key head) {
        if (rows.empty()) return;
        add_head(rows.front().place, depth + 1, s_.word(head));
        emit(rows, depth + 1, path);
    }

    void add_head(std::size_t place, std::uint32_t depth, std::string text) {
        Row row;
        row.depth = depth;
        row.marks.assign(columns_count(place), false);
        row.what = Branch{std::move(text)};
        row.name = "way-" + std::to_string(++heads_);
        section_of(place).rows.push_back(std::move(row));
    }

    std::size_t columns_count(std::size_t place) { return section_of(place).columns.size(); }

    void add(const Node& node, std::uint32_t depth, const Path& path, decltype(Row::what) what) {
        Section& section = section_of(node.place);
        Row row;
        row.number = node.number;
        row.reached = path;
        row.depth = depth;
        row.name = "step-" + std::to_string(node.number);
        const bool stop = node.row->kind == RowKind::stop;
        const auto marked = columns_marked(s_, unfolded_.places[node.place], node);
        for (const Column& column : open_)
            row.marks.push_back(!stop && std::find(marked.begin(), marked.end(), column) != marked.end());
        for (const auto caution : node.cautions) row.cautions.push_back(made_caution(s_, caution));
        if (source(node) != nullptr && source(node)->own_cautions) {
            for (const model::Caution& own : source(node)->own_cautions->value) {
                row.cautions.push_back(made_caution(s_, own.level ? own.level->value : model::CautionLevel::warning,
                                                    own.hazard ? s_.text(own.hazard->value, node.row->step) : "",
                                                    own.avoid ? s_.text(own.avoid->value, node.row->step) : ""));
            }
        }
        sort_by_level(row.cautions);
        row.picture = picture(node);
        row.what = std::move(what);
        section.rows.push_back(std::move(row));
    }

    // Its pixels come later (build.cpp). What is not on this vehicle is not pointed at; the others keep their numbers.
    std::optional<Picture> picture(const Node& node) const {
        const model::Step* given = source(node);
        const auto* file = given == nullptr ? nullptr : model::picture_file(*given);
        if (file == nullptr) return std::nullopt;
        Picture made;
        made.file = file->value;
        if (given->picture_marked && given->picture_marked->value.shows)
            made.shows = given->picture_marked->value.shows->value;
        std::uint32_t number = 0;
        for (const linked::PictureMark& mark : node.row->step->marks) {
            ++number;
            if (mark.item.known() && !s_.present(mark.item)) continue;
            made.legend.push_back({number, mark.item.known() ? s_.name(mark.item) : mark.words});
            for (const auto& spot : *mark.spots) {
                const model::Spot& at = spot.value;
                made.marks.push_back({number, at.across, at.down, at.apart ? at.number_across : at.across,
                                      at.apart ? at.number_down : at.down});
            }
        }
        return made;
    }

    static const model::Step* source(const Node& node) {
        return node.row->step == nullptr ? nullptr : node.row->step->source;
    }

    std::string text_of(const Node& node, const model::Given<std::string>& given) const {
        return given ? s_.text(given->value, node.row->step) : std::string();
    }

    // -- Steps ---------------------------------------------------------------------------------------------------------------------
    // What is handled, with how many of it there are for one tick: "4 × wheel nut".
    std::string pieces(const Node& node) const {
        std::vector<std::string> all;
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const std::int64_t count = count_for_a_tick(node, target);
            std::string name(s_.name(target.item));
            if (count > 1) name = s_.fill(Key::times, {std::to_string(count)}) + " " + name;
            add_once(all, std::move(name));
        }
        return s_.listed(all);
    }
    std::int64_t count_for_a_tick(const Node& node, const fitted::Target& target) const {
        return s_.item(target.item).count * in_a_column(node, target.item, target.values);
    }

    bool several_pieces(const Node& node) const {
        std::int64_t count = 0;
        for (const fitted::Target& target : node.row->targets)
            if (s_.present(target.item)) count += count_for_a_tick(node, target);
        return count > 1;
    }

    std::string names(const Node& node) const {
        std::vector<std::string> all;
        for (const fitted::Target& target : node.row->targets)
            if (s_.present(target.item)) add_once(all, s_.name(target.item));
        return s_.listed(all);
    }

    std::string worded(const Node& node) const {
        const fitted::Row& row = *node.row;
        switch (row.verb) {
        case VerbName::slacken:
            return s_.fill(Key::do_slacken, {pieces(node)});
        case VerbName::remove:
            return s_.fill(Key::do_remove, {pieces(node)});
        case VerbName::fit:
            return s_.fill(Key::do_fit, {pieces(node)});
        case VerbName::snug:
            return s_.fill(Key::do_snug, {pieces(node)});
        case VerbName::torque:
            return s_.fill(Key::do_torque, {pieces(node)});
        case VerbName::recheck:
            return s_.fill(Key::do_recheck, {pieces(node)});
        case VerbName::renew:
            return s_.fill(Key::do_renew, {pieces(node)});
        case VerbName::move:
        case VerbName::set: {
            std::vector<std::string> all;
            for (const fitted::Target& target : row.targets) {
                if (!s_.present(target.item)) continue;
                all.push_back(s_.fill(row.verb == VerbName::move ? Key::do_move : Key::do_set,
                                      {s_.name(target.item), s_.place(target.item, target.place)}));
            }
            return s_.listed(all);
        }
        case VerbName::open:
            return s_.fill(Key::do_open, {names(node)});
        case VerbName::press_back:
            return s_.fill(Key::do_press_back, {names(node)});
        case VerbName::fill:
            return s_.fill(Key::do_fill, {names(node)});
        case VerbName::bleed:
            return s_.fill(Key::do_bleed, {names(node)});
        case VerbName::prime:
            return s_.fill(Key::do_prime, {names(node)});
        case VerbName::circulate:
            return s_.fill(Key::do_circulate, {names(node)});
        case VerbName::level:
            return s_.fill(Key::do_level, {names(node)});
        case VerbName::leak_check:
            return s_.fill(Key::do_leak_check, {names(node)});
        case VerbName::adjust:
            return s_.fill(Key::do_adjust, {names(node)});
        case VerbName::clean:
            return s_.fill(Key::do_clean, {pieces(node)});
        case VerbName::apply:
            return s_.fill(Key::do_apply, {consumable(row.step->consumable), pieces(node) + surface(node)});
        case VerbName::measure: {
            std::vector<std::string> all;
            for (const fitted::LimitUse& use : row.limits) add_once(all, use.figure.name);
            return s_.fill(Key::do_measure, {s_.listed(all)});
        }
        case VerbName::inspect:
            return s_.fill(Key::do_inspect, {names(node)});
        case VerbName::wait:
            return s_.fill(Key::do_wait, {waited(node)});
        case VerbName::mark:
            return s_.fill(Key::do_mark, {pieces(node)});
        case VerbName::record:
            return s_.fill(Key::do_record, {recorded(node)});
        case VerbName::do_procedure:
            break;
        }
        return {};
    }

    // " (ears)": in the words of the shop.
    std::string surface(const Node& node) const {
        const model::Step* step = source(node);
        if (step == nullptr || !step->surface) return {};
        std::vector<std::string> all;
        for (const auto& each : step->surface->value) add_once(all, each.name);
        return " (" + s_.listed(all) + ")";
    }
    std::string consumable(linked::ConsumableId id) const {
        return id.known() ? s_.linked.consumables[id.index()].name : std::string();
    }
    std::string waited(const Node& node) const {
        const model::Step* step = source(node);
        return step != nullptr && step->verb && step->verb->time ? s_.say(step->verb->time->value.quantity) : "";
    }
    std::string recorded(const Node& node) const {
        const model::Step* step = source(node);
        return step != nullptr && step->verb ? text_of(node, step->verb->text) : "";
    }

    Step step(const Node& node) {
        const fitted::Row& row = *node.row;
        const model::Step* given = source(node);
        Step made;
        if (given == nullptr) return made;
        const bool verb = row.kind == RowKind::verb;
        if (given->say)
            made.text = text_of(node, given->say);
        else if (verb)
            made.text = worded(node);
        else
            made.text = text_of(node, given->plain);
        made.why = text_of(node, given->why);

        const bool said = given->say.has_value();
        if (verb && row.verb == VerbName::apply) {
            std::string amount;
            if (given->amount) {
                amount = s_.say(given->amount->value.quantity);
                if (several_pieces(node)) amount = s_.fill(Key::each_amount, {amount});
            }
            std::vector<std::string> parts;
            if (said) add_once(parts, consumable(row.step->consumable));
            add_once(parts, amount);
            add_once(made.notes, s_.listed(parts));
        }
        if (verb && row.verb == VerbName::fill) note_fill(node, made);
        if (verb && row.verb == VerbName::wait) {
            std::vector<std::string> parts;
            if (said) add_once(parts, waited(node));
            add_once(parts, consumable(row.step->wait_for));
            add_once(made.notes, s_.listed(parts));
        }
        if (verb && row.verb == VerbName::inspect) {
            if (given->look_for)
                made.notes.push_back(s_.fill(Key::look_for, {without_full_stop(text_of(node, given->look_for))}));
            Grades grades{{s_.word(Key::grade_good), s_.word(Key::grade_advise), s_.word(Key::grade_act_now)}, {}, {}};
            // Each is good or bad by itself.
            for (const fitted::Target& target : row.targets) {
                if (!s_.present(target.item)) continue;
                if (std::find(grades.of.begin(), grades.of.end(), s_.name(target.item)) != grades.of.end()) continue;
                grades.of.push_back(s_.name(target.item));
                grades.items.push_back(linked::name_among_all(s_.linked, target.item));
            }
            if (grades.of.size() < 2) grades.of.clear();
            made.panel = std::move(grades);
        }
        if (verb && row.verb == VerbName::record) {
            made.panel = Note{said ? recorded(node) : std::string(), true};
        }
        std::vector<std::string> with;
        for (const auto tool : row.step->with_tools) add_once(with, s_.linked.tools[tool.index()].name);
        for (const auto each : row.step->with_consumables) add_once(with, consumable(each));
        if (!with.empty()) made.notes.push_back(s_.fill(Key::with, {s_.listed(with)}));
        std::vector<std::string> tools;
        const std::string words = base::small_letters(made.text);
        for (const auto tool : row.step->tools) {
            if (!tool.known()) continue;
            // What the words name needs no line; it stands in the lists.
            const std::string& name = s_.linked.tools[tool.index()].name;
            if (words.find(base::small_letters(name)) == std::string::npos) add_once(tools, name);
        }
        if (!tools.empty()) made.notes.push_back(s_.fill(Key::tool, {s_.listed(tools)}));

        if (verb && row.verb == VerbName::fit) note_new(node, made);
        if (verb && row.verb == VerbName::renew) {
            renewals(node, made);
            made.panel = Note{s_.word(Key::part_number), false};
        }
        if (verb && (row.verb == VerbName::slacken || row.verb == VerbName::remove || row.verb == VerbName::fit ||
                     row.verb == VerbName::snug))
            note_left_hand(node, made);
        if (verb && (row.verb == VerbName::torque || row.verb == VerbName::recheck)) torques(node, made);
        if (verb && row.verb == VerbName::measure) readings(node, made);
        if (given->second_check && given->second_check->value) made.second_check = true;
        // What is secured by fitting it has no torque to be checked by.
        if (verb && row.verb == VerbName::fit)
            for (const fitted::Target& target : row.targets)
                if (s_.present(target.item) && s_.item(target.item).sort == linked::Sort::clip &&
                    s_.item(target.item).critical)
                    made.second_check = true;
        made.again = again(node, made);
        if (made.second_check) {
            made.second_check_note = second_check_rule(s_);
            if (checks_later(s_)) made.second_check_time = s_.word(Key::time);
        }
        return made;
    }

    // In a repeat each further round has boxes of its own, for the reading that its question is answered from and for who tightened it.
    // Of several points the worst decides: it alone is written down again. Where that makes more boxes than anybody would look through,
    // there is one for how it was in the end.
    Again again(const Node& node, const Step& step) const {
        constexpr std::size_t most_boxes = 8;
        Again made;
        if (node.again < 1) return made;
        const auto* readings = std::get_if<std::vector<Reading>>(&step.panel);
        const auto* torques = std::get_if<std::vector<Torque>>(&step.panel);
        const bool points = readings != nullptr && std::any_of(readings->begin(), readings->end(),
                                                               [](const Reading& each) { return each.points > 1; });
        const bool tightens =
            torques != nullptr && std::any_of(torques->begin(), torques->end(),
                                              [](const Torque& each) { return each.initials || each.value_box; });
        if (readings == nullptr && !tightens && !step.second_check) return made;
        made.rounds = static_cast<std::uint32_t>(std::min<std::int64_t>(node.again, 999));
        const std::size_t columns = columns_marked(s_, unfolded_.places[node.place], node).size();
        made.boxes = columns * made.rounds <= most_boxes ? made.rounds : 1;
        if (points) made.note = s_.word(Key::again_worst);
        if (made.rounds > 1) made.if_last = s_.word(Key::again_last);
        return made;
    }

    // What is renewed as a set is renewed on every side.
    void renewals(const Node& node, Step& made) const {
        const Place& place = unfolded_.places[node.place];
        const auto note = [&](ItemId item, std::optional<std::size_t> column, AxisValue value) {
            Renews one{linked::name_among_all(s_.linked, item), s_.name(item), s_.item(item).count, column,
                       value_name(s_.item(item).axis, value)};
            const bool known = std::any_of(made.renews.begin(), made.renews.end(), [&](const Renews& each) {
                return each.item == one.item && each.at == one.at && each.column == one.column;
            });
            if (!known) made.renews.push_back(std::move(one));
        };
        const auto everywhere = [&](ItemId item, std::optional<std::size_t> column) {
            const auto values = s_.values(item);
            if (values.empty()) note(item, column, fitted::no_value);
            for (const AxisValue value : values) note(item, column, value);
        };
        const auto at = [&](const fitted::Target& target, std::optional<std::size_t> column, const Column* on) {
            const linked::Item& item = s_.item(target.item);
            const bool along = on != nullptr && item.axis == on->axis;
            auto values = item.renew_together.empty() ? s_.values(target.item, target.values) : s_.values(target.item);
            if (along && item.renew_together.empty())
                std::erase_if(values, [&](AxisValue value) { return value != on->value; });
            if (values.empty()) note(target.item, column, fitted::no_value);
            for (const AxisValue value : values) note(target.item, column, value);
            for (const ItemId with : item.renew_together)
                if (s_.present(with)) everywhere(with, column);
        };
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            if (!place.bound) {
                at(target, std::nullopt, nullptr);
                continue;
            }
            for (std::size_t i = 0; i < open_.size(); ++i)
                if (std::find(node.values.begin(), node.values.end(), open_[i].value) != node.values.end())
                    at(target, i, &open_[i]);
        }
    }

    void note_fill(const Node& node, Step& made) const {
        const model::Step* given = source(node);
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const linked::Item& circuit = s_.item(target.item);
            std::vector<std::string> parts;
            add_once(parts, consumable(circuit.fluid));
            if (given->amount)
                add_once(parts, s_.say(given->amount->value.quantity));
            else if (circuit.circuit_of.holds)
                add_once(parts, s_.say(circuit.circuit_of.holds->value.quantity));
            add_once(made.notes, s_.listed(parts));
        }
    }

    void note_new(const Node& node, Step& made) const {
        std::vector<std::string> parts;
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const linked::Item& item = s_.item(target.item);
            const auto& reuse = item.sort == linked::Sort::part ? item.part.reuse : item.fastener.reuse;
            if (reuse && reuse->value == model::Reuse::never) add_once(parts, item.name);
            for (const ItemId with : item.renew_with)
                if (s_.present(with)) add_once(parts, s_.name(with));
        }
        if (!parts.empty()) made.notes.push_back(s_.fill(Key::new_part, {s_.listed(parts)}));
    }

    void note_left_hand(const Node& node, Step& made) const {
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const model::Fastener& fastener = s_.item(target.item).fastener;
            const bool left = (fastener.hand && fastener.hand->value == model::Hand::left) ||
                              (fastener.thread && fastener.thread->value.left_hand);
            if (!left) continue;
            std::string text = s_.word(Key::left_hand);
            if (node.row->targets.size() > 1) text = s_.name(target.item) + ": " + text;
            add_once(made.notes, std::move(text));
        }
    }

    // How many instances of an item one column stands for.
    std::int64_t in_a_column(const Node& node, ItemId item, const std::vector<AxisValue>& only) const {
        const Place& place = unfolded_.places[node.place];
        const auto values = s_.values(item, only);
        if (values.empty() || !place.bound || s_.item(item).axis == place.procedure->axis) return 1;
        return static_cast<std::int64_t>(values.size());
    }

    void torques(const Node& node, Step& made) {
        std::vector<Torque> panel;
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item) || !target.torque) continue;
            const linked::Item& item = s_.item(target.item);
            const std::int64_t count = count_for_a_tick(node, target);
            Torque torque = torque_panel(s_, target, count, made_.wrenches, made_.wrenches_wanted);
            torque.value_box = source(node)->record_value.has_value();
            torque.item = linked::name_among_all(s_.linked, target.item);
            if (const auto torques = units::torques(target.torque->value); !torques.empty())
                torque.range = units::Range{torques.back().lower, torques.back().upper};
            made_.torques.insert_or_assign(target.item, torque_text(s_, target.torque->value));
            if (item.critical && node.row->verb == VerbName::torque) made.second_check = true;
            std::string threads;
            if (target.torque->threads) {
                static constexpr Key words[] = {Key::threads_dry, Key::threads_oiled, Key::threads_locked,
                                                Key::threads_paste};
                const std::string word = s_.word(words[static_cast<std::size_t>(*target.torque->threads)]);
                if (*target.torque->threads != model::ThreadState::dry) threads = word; // dry goes without saying
                add_once(made.notes, word);
            }
            note_set(node, target, torque, threads);
            panel.push_back(std::move(torque));
        }
        made.panel = std::move(panel);
    }

    void note_set(const Node& node, const fitted::Target& target, const Torque& panel, const std::string& threads) {
        const linked::Item& item = s_.item(target.item);
        const Place& place = unfolded_.places[node.place];
        auto values = s_.values(target.item, target.values);
        if (place.bound && item.axis == place.procedure->axis && !values.empty()) values = node.values;
        Needs::Torque set{node.number, torque_text(s_, target.torque->value), item.name, {}};
        if (!values.empty()) set.name += s_.word(Key::list_comma) + s_.sides(item.axis, values);
        std::vector<std::string> wrenches;
        if (s_.shop.wrenches && !s_.shop.wrenches->value.empty()) { // else its name is the figure once more
            add_once(wrenches, panel.wrench);
            for (const std::string& each : panel.stage_wrenches) add_once(wrenches, each);
        }
        for (const std::string& note : {panel.left_hand, threads, s_.listed(wrenches)}) add_once(set.notes, note);
        made_.set.push_back(std::move(set));
    }

    // A row that is worked once has the columns of all that is read in it: the chain, and the plate on each side.
    std::vector<bool> marks_of(const Node& node, ItemId item) {
        if (unfolded_.places[node.place].bound) return {};
        std::vector<Column> own;
        for (const Object& object : objects(s_, node)) {
            if (object.item != item) continue;
            const auto values = s_.values(item, *object.only);
            if (values.empty()) add_column(own, {});
            for (const AxisValue value : values) add_column(own, {s_.item(item).axis, value});
        }
        const std::vector<Column> row = columns_touched(s_, node);
        if (own.empty() || own.size() == row.size()) return {};
        section_of(node.place);
        std::vector<bool> marks;
        for (const Column& column : open_) marks.push_back(std::find(own.begin(), own.end(), column) != own.end());
        return marks;
    }

    void readings(const Node& node, Step& made) {
        std::vector<Reading> panel;
        const Place& place = unfolded_.places[node.place];
        section_of(node.place);
        for (const fitted::LimitUse& use : node.row->limits) {
            if (use.figure.limit.known()) measured_[use.figure.limit] = node.number;
            std::vector<ItemId> of;
            for (const ItemId item : use.of)
                if (s_.present(item)) of.push_back(item);
            if (of.empty()) panel.push_back(reading_panel(s_, use.figure, use.figure.name, {}, columns_read(node, {})));
            for (const ItemId item : of) {
                const auto values = s_.values(item);
                const bool along = !values.empty() && s_.item(item).axis == place.procedure->axis;
                const auto read = [&](const std::vector<ColumnRead>& columns) {
                    Reading reading = reading_panel(s_, use.figure, use.figure.name, item, columns);
                    if (of.size() > 1 && use.figure.name != s_.name(item)) reading.column_note = s_.name(item);
                    reading.marks = marks_of(node, item);
                    return reading;
                };
                if (place.bound && !values.empty() && !along) {
                    // An axis that has no columns here: a reading each.
                    for (const AxisValue value : values) {
                        std::vector<ColumnRead> columns = columns_read(node, {});
                        for (ColumnRead& each : columns) each.at = value_name(s_.item(item).axis, value);
                        Reading one = read(columns);
                        one.column_note += (one.column_note.empty() ? "" : s_.word(Key::list_comma)) +
                                           std::string(s_.axis_word(s_.item(item).axis, value).word);
                        panel.push_back(std::move(one));
                    }
                } else {
                    panel.push_back(read(columns_read(node, item)));
                }
            }
        }
        made.panel = std::move(panel);
    }

    // Of which thing each column's box is: a column that is no box of this reading has none.
    std::vector<ColumnRead> columns_read(const Node& node, ItemId item) const {
        std::vector<ColumnRead> made;
        const auto marked = columns_marked(s_, unfolded_.places[node.place], node);
        const auto values = item.known() ? s_.values(item) : std::vector<AxisValue>();
        for (const Column& column : open_) {
            ColumnRead one;
            const bool along = column.axis.known() && (!item.known() || s_.item(item).axis == column.axis);
            one.is = std::find(marked.begin(), marked.end(), column) != marked.end();
            if (item.known() && along && !values.empty())
                one.is = one.is && std::find(values.begin(), values.end(), column.value) != values.end();
            if (along) {
                one.at = value_name(column.axis, column.value);
                if (several_values(s_, column.axis)) one.head = s_.axis_word(column.axis, column.value).head;
            }
            made.push_back(std::move(one));
        }
        return made;
    }

    // -- Questions -------------------------------------------------------------------------------------------------------------------
    // ", left and right" for what is judged at once for all columns.
    std::string judged_sides(const Node& node) const {
        if (unfolded_.places[node.place].bound) return {};
        std::vector<Column> all;
        for (const fitted::LimitUse& use : node.row->limits) {
            for (const ItemId item : use.of) {
                if (!s_.present(item)) continue;
                for (const AxisValue value : s_.values(item)) add_column(all, {s_.item(item).axis, value});
            }
        }
        if (all.empty()) {
            const Place& place = unfolded_.places[node.place];
            if (node.row->inspections.empty() || !several_values(s_, place.procedure->axis)) return {};
            for (const AxisValue value : place.procedure->values) all.push_back({place.procedure->axis, value});
        }
        std::vector<std::string> words;
        for (const Column& column : all) add_once(words, std::string(s_.axis_word(column.axis, column.value).word));
        return s_.word(Key::list_comma) + s_.join(words);
    }

    std::size_t reading_count(const Node& node, const fitted::LimitUse& use) const {
        std::size_t count = 0;
        const bool bound = unfolded_.places[node.place].bound;
        for (const ItemId item : use.of)
            if (s_.present(item)) count += bound ? 1 : std::max<std::size_t>(1, s_.values(item).size());
        const auto& points = use.figure.figures.points;
        return std::max<std::size_t>(1, count) *
               (points ? static_cast<std::size_t>(std::max<std::int64_t>(1, points->value)) : 1);
    }

    std::string step_of(const Node& node, linked::StepId id) const {
        const auto& numbers = unfolded_.numbers[node.frame];
        const auto found = numbers.find(id);
        return found == numbers.end() ? std::string() : std::to_string(found->second);
    }

    std::string asked(const Node& node) const {
        const fitted::Row& row = *node.row;
        const std::string sides = judged_sides(node);
        if (row.limits.size() == 1 && row.inspections.empty()) {
            const fitted::LimitUse& use = row.limits.front();
            const Judged judged = judge(s_, use);
            const std::string what =
                s_.fill(reading_count(node, use) > 1 ? Key::every : Key::the_one, {use.figure.name});
            switch (judged.by) {
            case Judged::By::keep_least:
                return s_.fill(Key::ask_keep_least, {what, sides});
            case Judged::By::keep_most:
                return s_.fill(Key::ask_keep_most, {what, sides});
            case Judged::By::at_least:
                return s_.fill(Key::ask_at_least, {what, judged.figure, sides});
            case Judged::By::at_most:
                return s_.fill(Key::ask_at_most, {what, judged.figure, sides});
            case Judged::By::within:
                return s_.fill(Key::ask_within, {what, judged.figure, sides});
            case Judged::By::difference:
                return s_.fill(Key::ask_difference, {use.figure.name, judged.over, judged.figure});
            case Judged::By::nothing:
                break;
            }
        }
        if (row.limits.empty() && row.inspections.size() == 1) {
            const std::string number = step_of(node, row.inspections.front());
            if (!number.empty()) return s_.fill(Key::ask_inspection, {number, sides});
        }
        return s_.fill(Key::ask_all, {sides});
    }

    std::vector<std::string> basis(const Node& node) const {
        std::vector<std::string> all;
        for (const fitted::LimitUse& use : node.row->limits) {
            const Judged judged = judge(s_, use);
            std::string text = use.figure.name;
            std::string reach = judged.shown;
            if (reach.empty()) {
                switch (judged.by) {
                case Judged::By::at_least:
                    reach = s_.fill(Key::good_least, {judged.figure});
                    break;
                case Judged::By::at_most:
                    reach = s_.fill(Key::good_most, {judged.figure});
                    break;
                case Judged::By::within:
                    reach = s_.fill(Key::good_within, {judged.figure});
                    break;
                case Judged::By::difference:
                    reach = judged.note;
                    break;
                default:
                    break;
                }
            } else if (judged.by != Judged::By::difference && !judged.over.empty()) {
                reach += s_.word(Key::list_comma) + judged.note;
            }
            if (!reach.empty()) text += ": " + reach;
            const auto found = use.figure.limit.known() ? measured_.find(use.figure.limit) : measured_.end();
            if (found != measured_.end()) text = s_.fill(Key::basis_step, {text, std::to_string(found->second)});
            all.push_back(std::move(text));
        }
        for (const linked::StepId id : node.row->inspections) {
            const std::string number = step_of(node, id);
            std::string text = s_.fill(Key::basis_good, {inspected(id, node)});
            if (!number.empty()) text = s_.fill(Key::basis_step, {text, number});
            all.push_back(std::move(text));
        }
        return all;
    }

    // An advise is for the customer: the part does for now. (The language reference says so at `decide`.)
    void note_grades(const Node& node, std::vector<std::string>& basis) const {
        if (node.row->inspections.empty()) return;
        basis.push_back(s_.fill(Key::grades_answer, {s_.word(Key::grade_advise), s_.word(Key::grade_act_now)}));
    }

    // The items of an inspection, by its id.
    std::string inspected(linked::StepId id, const Node& from) const {
        const Node* found = nullptr;
        find(unfolded_.rows, id, from.frame, found);
        return found == nullptr ? std::string() : names(*found);
    }
    static void find(const Nodes& rows, linked::StepId id, std::size_t frame, const Node*& found) {
        for (const Node& node : rows) {
            if (node.frame == frame && node.row->id == id && node.row->kind == RowKind::verb) found = &node;
            for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise})
                find(*inner, id, frame, found);
        }
    }

    std::string numbers(const Nodes& rows) const {
        const std::uint32_t first = first_number(rows);
        const std::uint32_t last = last_number(rows);
        if (first == last) return std::to_string(first);
        if (last == first + 1) return s_.join({std::to_string(first), std::to_string(last)});
        return std::to_string(first) + "–" + std::to_string(last);
    }

    std::string straight_to(const GoesOn& on) const {
        switch (on.to) {
        case GoesOn::To::step:
            return s_.fill(Key::goes_to, {std::to_string(on.step)});
        case GoesOn::To::section_end:
            return s_.word(Key::goes_section_end);
        case GoesOn::To::close_out:
            break;
        }
        return s_.word(Key::goes_close_out);
    }

    // Where a way leads; `skips`: other rows stand between it and what comes after.
    std::string goes(const Nodes& way, const GoesOn& after, bool skips) const {
        if (way.empty()) return straight_to(after);
        if (!skips || always_stops(way)) return s_.fill(Key::goes_to, {numbers(way)});
        std::string then;
        switch (after.to) {
        case GoesOn::To::step:
            then = std::to_string(after.step);
            break;
        case GoesOn::To::section_end:
            then = s_.word(Key::then_section_end);
            break;
        case GoesOn::To::close_out:
            then = s_.word(Key::then_close_out);
            break;
        }
        return s_.fill(Key::goes_then, {numbers(way), then});
    }

    // The steps further down that this answer alone calls for: "40 and 41".
    std::string later_on(const Node& question, bool yes) const {
        std::vector<std::string> all;
        gather_later(unfolded_.rows, question, yes, all);
        return s_.join(all);
    }
    void gather_later(const Nodes& rows, const Node& question, bool yes, std::vector<std::string>& to) const {
        for (const Node& node : rows) {
            const std::vector<linked::Answer>& asked = node.row->answers;
            const bool its = node.row->kind == RowKind::if_answered && node.frame == question.frame &&
                             std::any_of(asked.begin(), asked.end(), [&](const linked::Answer& each) {
                                 return each.question == question.row->id && each.yes == yes;
                             });
            if (its && !node.if_so.empty()) to.push_back(numbers(node.if_so));
            for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise})
                gather_later(*inner, question, yes, to);
        }
    }

    bool speaks_of_keep(const fitted::LimitUse& use) const {
        const Judged::By by = judge(s_, use).by;
        return by == Judged::By::keep_least || by == Judged::By::keep_most || by == Judged::By::nothing;
    }

    std::vector<DecidedBy> decided_by(const Node& node) const {
        std::vector<DecidedBy> made;
        for (const fitted::LimitUse& use : node.row->limits)
            if (use.figure.limit.known()) made.push_back({linked::name_among_all(s_.linked, use.figure.limit), 0});
        for (const linked::StepId id : node.row->inspections) {
            const auto number = unfolded_.numbers[node.frame].find(id);
            if (number != unfolded_.numbers[node.frame].end()) made.push_back({{}, number->second});
        }
        return made;
    }

    Question question(const Node& node) const {
        const model::Step* given = source(node);
        Question made;
        made.decided_by = decided_by(node);
        if (given != nullptr && given->ask)
            made.text = text_of(node, given->ask);
        else if (given != nullptr && given->say)
            made.text = text_of(node, given->say);
        else
            made.text = asked(node);
        // Where the question itself says what decides it, no more is needed, but the figure of a keep figure.
        const bool alone = node.row->limits.size() + node.row->inspections.size() == 1 &&
                           (given == nullptr || (!given->ask && !given->say));
        const bool says_it = alone && (node.row->limits.empty() || !speaks_of_keep(node.row->limits.front()));
        if (!says_it) made.basis = basis(node);
        note_grades(node, made.basis);
        made.yes = s_.word(Key::yes);
        made.no = s_.word(Key::no);
        for (const bool yes : {true, false})
            if (const std::string later = later_on(node, yes); !later.empty())
                made.basis.push_back(s_.fill(Key::later_too, {yes ? made.yes : made.no, later}));
        made.yes_goes = goes(node.if_so, node.after, !node.if_not.empty());
        made.no_goes = goes(node.if_not, node.after, false);
        return made;
    }

    Repeat repeat(const Node& node) const {
        const model::Step* given = source(node);
        Repeat made;
        made.decided_by = decided_by(node);
        if (given != nullptr && given->again && given->again->value.until)
            made.text = text_of(node, given->again->value.until);
        else
            made.text = asked(node);
        if (node.row->limits.size() + node.row->inspections.size() > 1) made.basis = basis(node);
        note_grades(node, made.basis);
        made.rounds = static_cast<std::uint32_t>(std::clamp<std::int64_t>(node.row->at_most, 1, 99));
        made.from = first_number(node.body);
        made.again = s_.fill(Key::repeat_again, {std::to_string(made.from), std::to_string(made.rounds)});
        made.yes = s_.word(Key::yes);
        made.yes_goes = straight_to(node.after);
        made.no = s_.word(Key::no);
        if (!node.otherwise.empty())
            made.otherwise = s_.fill(Key::repeat_else, {s_.fill(Key::goes_to, {numbers(node.otherwise)})});
        return made;
    }

    Stop stop(const Node& node) const {
        const model::Step* given = source(node);
        return {s_.word(Key::stop_headline), given == nullptr ? std::string() : text_of(node, given->stop)};
    }

    std::string answers(const Node& node) const {
        std::vector<std::string> all;
        for (const linked::Answer& answer : node.row->answers) {
            const std::string number = step_of(node, answer.question);
            all.push_back(s_.fill(answer.yes ? Key::if_step_yes : Key::if_step_no, {number}));
        }
        return s_.join(all);
    }

    const Speaker& s_;
    const Unfolded& unfolded_;
    MadeRows made_;
    std::vector<std::vector<Column>> columns_; // by place, of places worked once
    std::vector<Column> open_;                 // of the section that is being written
    std::size_t place_ = 0;
    std::uint32_t heads_ = 0;
    std::map<linked::LimitId, std::uint32_t> measured_; // by which row, last
};

} // namespace

MadeRows make_rows(const Speaker& speaker, const Unfolded& unfolded) {
    return RowMaker(speaker, unfolded).make();
}

} // namespace benchleaf::card
