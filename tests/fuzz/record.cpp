// What is filled in on cards → records, and what records say. The input is by its first line a record, a file of answers, a draft; or else lines as somebody types them,
// each for the next thing that is asked. Held: whatever is answered, what is wrong is said in text; answers that nothing stands in the way of make a record, which reads back
// clean, prints the same and whose seal holds; a draft gives back what was put into it; what is typed can be typed again.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "base/text.h"
#include "driver/job_cards.h"
#include "driver/records.h"
#include "driver/shop_files.h"
#include "history/history.h"
#include "messages/render.h"
#include "model/dump.h"
#include "model/read.h"
#include "record/make.h"
#include "report/due.h"
#include "report/report.h"
#include "text/text.h"
#include "json/json.h"

#include <memory>
#include <string>

namespace benchleaf::fuzz {

namespace {

constexpr auto job = "2026-0412";

const driver::JobCards& cards() {
    static const auto made = [] {
        auto shop = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
        law(shop.ok(), "the demo shop is there");
        auto cards = driver::make_cards(std::move(shop.value().files), job, "");
        law(!cards->sheet.cards.empty(), "the demo job has cards");
        return cards;
    }();
    return *made;
}

void hold_complaint(const record::Complaint& complaint) {
    law(complaint.rule != nullptr && !complaint.text.empty(), "a complaint says what is wrong");
    law(!base::first_bad_utf8(complaint.text + complaint.help), "a complaint is UTF-8", complaint.text);
}

void hold_history(const model::Model& model) {
    const history::History history = history::look_back(model);
    const report::Shop facts = driver::report_shop(*cards().shop, {});
    for (const history::Vehicle& each : history.vehicles) {
        is_json(json::print(each, facts), "a history as JSON parses");
        law(!base::first_bad_utf8(text::print(report::of_history(facts, each))), "a history is UTF-8");
    }
    const auto day = mechanics::Date{std::chrono::year(2027), std::chrono::month(3), std::chrono::day(1)};
    const report::Dues dues = report::due(history, facts, day);
    is_json(json::print(dues), "what is due as JSON parses");
    law(!base::first_bad_utf8(text::print(dues)), "what is due is UTF-8");
}

void read_records(std::string_view input) {
    driver::Files files;
    for (auto& [path, text] : files_in(input))
        files.emplace("records/x/" + std::to_string(files.size()) + ".yaml", text);
    const auto shop = driver::link_shop(files);
    messages::Messages said = shop->messages;
    said.sort_and_unite(shop->sources);
    hold_messages(said, shop->sources);
    if (said.any_error() && !shop->model.unread.empty()) return;
    hold_history(shop->model);
    for (const model::Record& each : shop->model.records) {
        const auto page = driver::customer_page(*cards().shop, each);
        law(page.ok() ? page.value().starts_with("%PDF-") : !page.failure().what.empty(),
            "a customer's page is made, or it is said why not");
    }
}

void make_record(const record::Look& look, const record::Answers& answers) {
    record::About about;
    about.id = job;
    const model::Record made = record::make(cards().sheet, look, answers, about);
    const std::string text = driver::sealed(model::print(made));
    law(driver::seal_holds(text), "the seal of a record holds");
    source::Sources sources;
    messages::Messages said;
    model::Model model;
    const auto file = sources.add("records/oh3-00417/2026-0412.yaml", text);
    const auto syntax = syntax::parse(sources, file, said);
    model::read(syntax, sources, model, said);
    law(!said.any_error() && model.records.size() == 1, "a record reads back clean",
        messages::render_human(said, sources, {}));
    law(driver::sealed(model::print(model.records.front())) != text ||
            model::print(model.records.front()).find("seal:") == std::string::npos,
        "a record has one seal");
    model.records.front().seal.reset();
    law(driver::sealed(model::print(model.records.front())) == text, "a record prints as it was read", text);
    law(!base::first_bad_utf8(record::summary(made)), "a summary is UTF-8");
    const auto page = driver::customer_page(*cards().shop, made);
    law(page.ok() || !page.failure().what.empty(), "a customer's page is made, or it is said why not");
    hold_history(model);
}

void judge(const record::Answers& answers, record::Stops stops) {
    const record::Look look = record::look_over(cards().sheet, answers, stops);
    for (const record::Ask& each : look.asks) {
        if (each.complaint) hold_complaint(*each.complaint);
        law(!base::first_bad_utf8(each.verdict + each.doubt + each.shows), "a verdict is UTF-8", each.verdict);
    }
    const auto wrong = record::complaints(look);
    for (const auto& [box, complaint] : wrong) hold_complaint(complaint);
    if (wrong.empty()) make_record(look, answers);
}

void read_answers(std::string_view input) {
    driver::AnswersFile file = driver::read_answers("x.yaml", std::string(input));
    messages::Messages said = file.messages;
    said.sort_and_unite(file.sources);
    hold_messages(said, file.sources);
    for (const auto written : {record::Written::in_a_form, record::Written::in_a_file}) {
        const record::Answers answers = record::filled_in(cards().sheet, file.boxes, written);
        judge(answers, record::Stops::may_be_gone_on_with);
        const auto wrong = record::complaints(record::look_over(cards().sheet, answers));
        messages::Messages complaints = driver::complaints_as_messages(file, wrong);
        complaints.sort_and_unite(file.sources);
        hold_messages(complaints, file.sources);
    }
}

void read_draft(std::string_view input) {
    const driver::DraftText draft = driver::read_draft(input);
    law(draft.whole <= input.size(), "no more is whole than there is");
    const driver::DraftText again = driver::read_draft(driver::draft_lines(draft.answers));
    law(again.answers == draft.answers, "a draft gives back what was put into it");
    judge(draft.answers, record::Stops::end_it);
}

void type(std::string_view input) {
    record::Answers answers;
    for (const std::string_view line : base::split(input, '\n')) {
        const record::Look look = record::look_over(cards().sheet, answers, record::Stops::end_it);
        const record::Ask* next = nullptr;
        for (const record::Ask& each : look.asks)
            if (!each.answered || each.complaint) {
                next = &each;
                break;
            }
        if (next == nullptr) break;
        const auto taken = record::take(*next, line, cards().sheet);
        if (const auto* complaint = std::get_if<record::Complaint>(&taken)) {
            hold_complaint(*complaint);
            continue;
        }
        for (const auto& [box, text] : std::get<record::Answers>(taken)) {
            law(std::find(next->boxes.begin(), next->boxes.end(), box) != next->boxes.end() || next->signs == box,
                "what is typed goes into the boxes that were asked for", box);
            if (text.empty())
                answers.erase(box);
            else
                answers[box] = text;
        }
    }
    judge(answers, record::Stops::end_it);
}

} // namespace

void record(std::string_view input) {
    if (input.starts_with("record: ") || input.starts_with("#== file: "))
        read_records(input);
    else if (input.starts_with("answers: "))
        read_answers(input);
    else if (input.starts_with("# "))
        read_draft(input);
    else
        type(input);
}

} // namespace benchleaf::fuzz
