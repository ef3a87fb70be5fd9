#include "json/json.h"

#include <nlohmann/json.hpp>

namespace benchleaf::json {

namespace {

using Value = nlohmann::ordered_json;

void put(Value& to, const char* key, const std::string& text) {
    if (!text.empty()) to[key] = text;
}

Value caution(const card::Caution& c) {
    static constexpr const char* levels[] = {"danger", "warning", "caution", "notice"};
    Value made;
    made["level"] = levels[static_cast<std::size_t>(c.level)];
    made["signal"] = c.signal;
    made["hazard"] = c.hazard;
    made["avoid"] = c.avoid;
    return made;
}

Value cautions(const std::vector<card::Caution>& all) {
    Value made = Value::array();
    for (const card::Caution& each : all) made.push_back(caution(each));
    return made;
}

Value lines(const std::vector<card::Line>& all) {
    Value made = Value::array();
    for (const card::Line& each : all) {
        Value one;
        one["text"] = each.text;
        put(one, "amount", each.amount);
        made.push_back(std::move(one));
    }
    return made;
}

Value torque_lines(const std::vector<card::TorqueLine>& all) {
    Value made = Value::array();
    for (const card::TorqueLine& each : all)
        made.push_back({{"card", each.card},
                        {"step", each.step},
                        {"value", each.value},
                        {"name", each.name},
                        {"about", each.about}});
    return made;
}

Value torque(const card::Torque& t) {
    Value made;
    made["name"] = t.name;
    made["value"] = t.value;
    made["unit"] = t.unit;
    put(made, "tolerance", t.tolerance);
    put(made, "second", t.second);
    if (!t.stages.empty()) made["stages"] = t.stages;
    if (!t.stage_wrenches.empty()) made["stage-wrenches"] = t.stage_wrenches;
    put(made, "socket", t.socket);
    put(made, "wrench", t.wrench);
    put(made, "source", t.source);
    put(made, "order", t.order);
    if (t.rounds > 1) made["rounds"] = t.rounds;
    put(made, "left-hand", t.left_hand);
    made["fasteners"] = t.fasteners;
    made["value-box"] = t.value_box;
    made["initials"] = t.initials;
    return made;
}

Value reading(const card::Reading& r) {
    Value made;
    made["name"] = r.name;
    put(made, "of", r.column_note);
    put(made, "limit", r.limit);
    put(made, "new", r.new_size);
    put(made, "last", r.last);
    put(made, "expected", r.expected);
    put(made, "keep", r.keep);
    put(made, "unit", r.unit);
    made["points"] = r.points;
    put(made, "worst", r.worst);
    put(made, "note", r.note);
    if (!r.marks.empty()) made["marks"] = r.marks;
    if (r.bar) {
        const auto mark = [](const card::WearBar::Mark& is) { return Value{{"at", is.at}, {"text", is.text}}; };
        made["bar"] = {{"limit", mark(r.bar->limit)}, {"keep", mark(r.bar->keep)}, {"new", mark(r.bar->as_new)}};
        if (r.bar->expected) made["bar"]["expected"] = mark(*r.bar->expected);
    }
    return made;
}

Value picture(const card::Picture& p) {
    Value made;
    made["file"] = p.file;
    made["sha256"] = p.picture->sha256;
    made["width"] = p.picture->width;
    made["height"] = p.picture->height;
    put(made, "shows", p.shows);
    if (p.legend.empty()) return made;
    made["marks"] = Value::array();
    for (const card::Pointed& each : p.legend) {
        Value one{{"number", each.number}, {"text", each.text}, {"at", Value::array()}};
        for (const card::Mark& mark : p.marks)
            if (mark.number == each.number) one["at"].push_back({mark.across, mark.down});
        made["marks"].push_back(std::move(one));
    }
    return made;
}

struct What {
    Value& row;

    void operator()(const card::Step& s) const {
        row["is"] = "step";
        row["text"] = s.text;
        put(row, "why", s.why);
        if (!s.notes.empty()) row["notes"] = s.notes;
        if (const auto* torques = std::get_if<std::vector<card::Torque>>(&s.panel)) {
            row["torques"] = Value::array();
            for (const card::Torque& each : *torques) row["torques"].push_back(torque(each));
        }
        if (const auto* readings = std::get_if<std::vector<card::Reading>>(&s.panel)) {
            row["readings"] = Value::array();
            for (const card::Reading& each : *readings) row["readings"].push_back(reading(each));
        }
        if (const auto* note = std::get_if<card::Note>(&s.panel)) {
            row["box"] = Value::object();
            row["box"]["text"] = note->text;
            row["box"]["wide"] = note->wide;
        }
        if (const auto* grades = std::get_if<card::Grades>(&s.panel)) {
            row["grades"] = grades->words;
            if (!grades->of.empty()) row["graded"] = grades->of;
        }
        if (s.second_check) row["second-check"] = s.second_check_note;
        put(row, "second-check-time", s.second_check_time);
        if (s.again.boxes > 0) {
            row["again-boxes"] = {{"rounds", s.again.rounds}, {"boxes", s.again.boxes}};
            put(row["again-boxes"], "note", card::note_of(s.again));
        }
    }
    void operator()(const card::Question& q) const {
        row["is"] = "question";
        row["text"] = q.text;
        if (!q.basis.empty()) row["basis"] = q.basis;
        row["yes"] = {{"text", q.yes}, {"goes", q.yes_goes}};
        row["no"] = {{"text", q.no}, {"goes", q.no_goes}};
    }
    void operator()(const card::Repeat& r) const {
        row["is"] = "repeat";
        row["text"] = r.text;
        if (!r.basis.empty()) row["basis"] = r.basis;
        row["again"] = r.again;
        row["from"] = r.from;
        row["rounds"] = r.rounds;
        put(row, "otherwise", r.otherwise);
        row["yes"] = {{"text", r.yes}, {"goes", r.yes_goes}};
    }
    void operator()(const card::Stop& s) const {
        row["is"] = "stop";
        row["text"] = s.headline;
        put(row, "why", s.why);
    }
    void operator()(const card::Branch& b) const {
        row["is"] = "way";
        row["text"] = b.text;
    }
};

Value visit(const card::Head& h) {
    Value head;
    head["shop"] = h.shop;
    head["title"] = h.title;
    put(head, "vehicle", h.vehicle);
    put(head, "known-by", h.known_by);
    head["identity"] = h.identity;
    put(head, "meter", h.meter);
    put(head, "job", h.job);
    put(head, "date", h.date);
    return head;
}

Value foot(const card::Foot& of) {
    Value made;
    made["text"] = of.text;
    put(made, "own", of.own);
    return made;
}

Value open_list(const card::OpenList& of) {
    Value made;
    made["lines"] = Value::array();
    for (const card::OpenLine& each : of.lines) {
        Value line{{"what", each.what}, {"visit", each.visit}};
        put(line, "job", each.job);
        put(line, "item", each.item);
        put(line, "at", each.at);
        put(line, "also-found", each.also_found);
        put(line, "declined", each.declined);
        put(line, "recheck", each.recheck);
        made["lines"].push_back(std::move(line));
    }
    put(made, "more", of.more);
    return made;
}

Value value_of(const card::Card& card) {
    Value made;
    made["card"] = card.file_stem;
    made["language"] = card.language;

    const card::Head& h = card.head;
    Value head = visit(h);
    head["revision"] = h.revision;
    if (h.card > 0) {
        head["card"] = h.card;
        head["cards"] = h.cards;
    }
    put(head, "blank", h.blank);
    if (!h.blanks.empty()) head["blanks"] = h.blanks;
    if (!h.axles.empty()) {
        head["axles"] = Value::array();
        for (const card::Axle& axle : h.axles) {
            Value wheels = Value::array();
            for (const card::Wheel& wheel : axle) {
                Value one{{"here", wheel.here}};
                put(one, "head", wheel.head);
                wheels.push_back(std::move(one));
            }
            head["axles"].push_back(std::move(wheels));
        }
    }
    put(head, "not-approved", h.not_approved_why);
    head["code"] = h.code;
    put(head, "digest", h.digest);
    made["head"] = std::move(head);

    const card::Before& b = card.before;
    Value before;
    before["cautions"] = cautions(b.cautions);
    before["states"] = b.states;
    before["protection"] = b.protection;
    before["tools"] = lines(b.tools);
    before["consumables"] = lines(b.consumables);
    before["renew"] = lines(b.renew);
    before["may-need"] = lines(b.may_need);
    put(before, "minutes", b.minutes);
    if (!b.torques.empty()) before["torques"] = torque_lines(b.torques);
    if (!b.open.lines.empty()) before["open"] = open_list(b.open);
    made["before"] = std::move(before);

    made["sections"] = Value::array();
    for (const card::Section& section : card.sections) {
        Value one;
        put(one, "title", section.title);
        put(one, "order", section.order);
        one["columns"] = section.columns;
        one["rows"] = Value::array();
        for (const card::Row& row : section.rows) {
            Value line;
            line["name"] = row.name;
            if (row.number > 0) line["number"] = row.number;
            line["depth"] = row.depth;
            if (!row.cautions.empty()) line["cautions"] = cautions(row.cautions);
            line["marks"] = row.marks;
            std::visit(What{line}, row.what);
            if (row.picture) line["picture"] = picture(*row.picture);
            one["rows"].push_back(std::move(line));
        }
        made["sections"].push_back(std::move(one));
    }

    Value findings;
    findings["title"] = card.findings.title;
    findings["also-found"] = card.findings.also_found;
    findings["declined"] = card.findings.declined;
    put(findings, "next-service", card.findings.next_service);
    made["findings"] = std::move(findings);

    made["stop-strip"]["title"] = card.stop_strip.title;
    made["stop-strip"]["fields"] = card.stop_strip.fields;
    made["stop-strip"]["warning"] = card.stop_strip.warning;
    made["stop-strip"]["to-do"] = card.stop_strip.what_to_do;

    Value close_out;
    close_out["title"] = card.close_out.title;
    close_out["lines"] = Value::array();
    for (const card::CloseOutLine& each : card.close_out.lines) {
        Value one;
        one["text"] = each.text;
        put(one, "field", each.field);
        close_out["lines"].push_back(std::move(one));
    }
    close_out["later"] = card.close_out.later;
    put(close_out, "wrenches", card.close_out.wrenches);
    close_out["signatures"] = card.close_out.signatures;
    close_out["rule"] = card.close_out.check_rule;
    made["close-out"] = std::move(close_out);

    made["foot"] = foot(card.foot);
    return made;
}

Value value_of(const card::Cover& cover) {
    Value made;
    made["cover"] = cover.file_stem;
    made["language"] = cover.language;
    Value head = visit(cover.head);
    put(head, "not-approved", cover.head.not_approved_why);
    head["code"] = cover.head.code;
    put(head, "digest", cover.head.digest);
    made["head"] = std::move(head);
    put(made, "customer", cover.customer);
    put(made, "says", cover.says);
    made["cards"] = Value::array();
    for (const card::CoverCard& card : cover.cards) {
        Value one;
        one["number"] = card.number;
        one["title"] = card.title;
        put(one, "minutes", card.minutes);
        made["cards"].push_back(std::move(one));
    }
    put(made, "minutes", cover.minutes);
    made["stopped"] = cover.stopped;
    if (!cover.torques.empty()) made["torques"] = torque_lines(cover.torques);
    made["fetch"] = Value::array();
    for (const card::CoverList& list : cover.fetch) {
        Value lines = Value::array();
        for (const card::CoverLine& line : list.lines) {
            Value one;
            one["text"] = line.text;
            put(one, "amount", line.amount);
            put(one, "about", line.about);
            one["cards"] = line.cards;
            lines.push_back(std::move(one));
        }
        Value one;
        one["list"] = list.name;
        one["title"] = list.title;
        one["lines"] = std::move(lines);
        made["fetch"].push_back(std::move(one));
    }
    made["signs"] = cover.signs;
    made["rule"] = cover.check_rule;
    put(made, "next-service", cover.next_service);
    made["foot"] = foot(cover.foot);
    return made;
}

// Every text was UTF-8 when it was read; should one not be, a mark stands for the bad bytes.
std::string written(const Value& value) {
    return value.dump(2, ' ', false, Value::error_handler_t::replace) + "\n";
}

} // namespace

std::string print(const card::Card& card) {
    return written(value_of(card));
}

std::string print(const card::Cover& cover) {
    return written(value_of(cover));
}

std::string print(std::string_view job, const card::Cover* cover, const std::vector<const card::Card*>& cards) {
    Value made;
    made["job"] = job;
    if (cover != nullptr) made["cover"] = value_of(*cover);
    made["cards"] = Value::array();
    for (const card::Card* card : cards) made["cards"].push_back(value_of(*card));
    return written(made);
}

} // namespace benchleaf::json
