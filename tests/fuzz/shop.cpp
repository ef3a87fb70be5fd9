// The files of a small shop → all that the program makes of them: what is said, the cards as text, JSON and PDF, and the fixes. Held: the messages' laws (laws.h); a shop
// in which nothing is wrong prints, every job of it, and each PDF is made; what stops a card is said; the same files make the same bytes.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "base/text.h"
#include "cases/pipeline.h"
#include "driver/mend.h"
#include "driver/pipeline.h"
#include "labels/labels.h"
#include "messages/render.h"
#include "pictures/pictures.h"
#include "text/text.h"
#include "json/json.h"

#include <functional>
#include <memory>
#include <string>

namespace benchleaf::fuzz {

namespace {

constexpr std::size_t most_works = 2; // are printed of one shop

// The ways in which a card can be printed are chosen by the input, so that it goes one way each time.
driver::PrintOptions options_by(std::size_t choice) {
    driver::PrintOptions options;
    const auto& languages = labels::languages();
    options.language = languages[choice % languages.size()].language;
    static constexpr pages::Paper papers[] = {pages::Paper::a4, pages::Paper::letter, pages::Paper::a5};
    options.paper = papers[choice / 7 % 3];
    return options;
}

std::string bytes_of(const driver::PagedCard& card) {
    const auto pdf = driver::pdf_of(card);
    law(pdf.ok(), "a card that is laid out is printed", pdf.ok() ? std::string() : pdf.failure().what);
    law(pdf.value().starts_with("%PDF-"), "what is printed is a PDF");
    return pdf.value();
}

void hold_work(const driver::Work& work, const driver::Shopful& shop) {
    hold_messages(work.messages, shop.sources);
    law(work.cards.empty() == work.messages.any_error(), "there are cards, or it is said why not", work.name);
    for (const driver::PagedCard& each : work.cards) {
        law(!each.pages.pages.empty(), "a card has a page");
        law(!base::first_bad_utf8(text::print(each.card)), "a card as text is UTF-8");
        is_json(json::print(each.card), "a card as JSON parses");
    }
    if (!work.cards.empty()) (void)bytes_of(work.cards.front());
}

void print_jobs(const driver::Shopful& shop, const driver::PrintOptions& options, bool clean, bool twice) {
    for (std::size_t i = 0; i < std::min(shop.linked.jobs.size(), most_works); ++i) {
        const auto work = driver::make_job(shop, linked::JobId(i), options);
        hold_work(*work, shop);
        if (!clean) continue;
        // As it was checked; other paper and another language may lack room or letters.
        const auto as_checked = driver::make_job(shop, linked::JobId(i), {});
        law(!as_checked->cards.empty(), "a job of a clean shop is printed", as_checked->name);
        if (!twice) continue;
        const auto again = driver::make_job(shop, linked::JobId(i), {});
        law(bytes_of(as_checked->cards.front()) == bytes_of(again->cards.front()), "the same card is the same PDF");
    }
}

void print_blanks(const driver::Shopful& shop, const driver::PrintOptions& options) {
    std::size_t made = 0;
    for (std::size_t i = 0; i < shop.linked.procedures.size(); ++i)
        for (std::size_t j = 0; j < shop.linked.vehicles.size(); ++j)
            if (made++ < most_works)
                hold_work(*driver::make_blank(shop, linked::ProcedureId(i), linked::VehicleId(j), options), shop);
}

} // namespace

void shop(std::string_view input) {
    Files files;
    for (auto& [path, text] : files_in(input)) { // as read_shop takes them
        const bool taken = path.ends_with(".yaml") || path.ends_with(".yml") || path == driver::allowed_signers_file;
        files.emplace(taken || pictures::named_as_picture(path) ? path : path + ".yaml", std::move(text));
    }
    files.try_emplace("shop.yaml", "shop: yard\nname: Yard\n"); // the program opens no folder without one
    files.merge(cases::pictures());
    const auto checked = driver::check_shop(files, {});
    hold_messages(checked->messages, checked->sources);
    fixes_do_not_break(checked->messages, checked->sources);
    const bool clean = !checked->messages.any_error();
    const auto linked = driver::link_shop(files);
    const driver::PrintOptions options = options_by(std::hash<std::string_view>{}(input));
    print_jobs(*linked, options, clean, now_and_then(input, 8));
    if (now_and_then(input, 2)) print_blanks(*linked, options);
    if (!now_and_then(input, 8)) return;

    const auto again = driver::check_shop(files, {});
    law(messages::render_json(checked->messages, checked->sources) ==
            messages::render_json(again->messages, again->sources),
        "a shop that is checked twice gives the same messages");
    bool any_fix = false;
    for (const messages::Message& each : checked->messages.all()) any_fix = any_fix || !each.fixes.empty();
    if (!any_fix) return;
    const driver::Mended mended = driver::mend(files, {}, 2);
    law(mended.files.size() == files.size(), "no file comes or goes by fixes");
    law((mended.fixes == 0) == (mended.files == static_cast<std::map<std::string, std::string>&>(files)),
        "what fixes change is counted");
}

} // namespace benchleaf::fuzz
