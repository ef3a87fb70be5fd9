#include "driver/job_cards.h"

#include "base/text.h"
#include "bundle/bundle.h"
#include "labels/labels.h"
#include "pages/field_words.h"
#include "pages/lay_out.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <map>

namespace benchleaf::driver {

namespace {

using Names = std::set<std::string, std::less<>>;

std::unique_ptr<JobCards> cards_up_to(Stage until, Files files, std::string_view job, const std::string& language) {
    auto made = std::make_unique<JobCards>();
    made->files = std::move(files);
    made->shop = link_shop(made->files);
    const auto id = job_called(*made->shop, job);
    if (!id) return made;
    PrintOptions options;
    options.until = until;
    options.codes = pages::Codes::places;
    options.language = language;
    made->work = make_job(*made->shop, *id, options);
    if (!made->work->messages.any_error()) made->sheet = sheet_of(*made->shop, *made->work);
    return made;
}

// Of cards that were printed one by one the boxes have no number before them.
bool is_numbered(const filled::Filled& filled) {
    return std::any_of(filled.fields.begin(), filled.fields.end(), [](const std::string& field) {
        return field.starts_with("card-") || field.starts_with("cover/");
    });
}

std::vector<std::string> codes_in(const filled::Filled& filled) {
    std::vector<std::string> all;
    for (const std::string_view part : base::split(filled.keywords, ';'))
        if (const auto code = base::trimmed(part); code.starts_with("BENCHLEAF ")) all.emplace_back(code);
    return all;
}

// "3 1b2c3d4e5f607182": what two codes of one card of one job can differ in.
std::string_view tail(std::string_view code) {
    const std::size_t last = code.rfind(' ');
    return last == std::string_view::npos ? code : code.substr(last + 1);
}

Names names_on(const card::Card& card, const pages::Pages& pages) {
    Names names;
    for (const auto& [name, words] : pages::field_words(card, pages)) names.insert(name);
    return names;
}

// One PDF's cards among those of the job. What is wrong, in one sentence; else nothing.
class Sorting {
public:
    Sorting(PrintedCards& into, const Work& work) : into_(into), work_(work) {}

    std::string take(const Pdf& pdf) {
        std::set<std::size_t> cards;
        bool cover = false;
        for (const std::string& code : codes_in(pdf.filled)) {
            if (std::count(code.begin(), code.end(), ' ') == 2) { // no procedure, no revision
                cover = true;
                continue;
            }
            const std::size_t card = card_of(code);
            if (card == 0)
                return "this program makes other cards of what it carries than were printed" + otherwise(code);
            cards.insert(card);
        }
        if (cards.empty() && !cover)
            return "it does not say which cards it holds: it was not printed by this benchleaf, or went through a "
                   "program that left that out";
        const bool numbered = is_numbered(pdf.filled);
        if (!numbered && cards.size() != 1 && !pdf.filled.fields.empty())
            return "its boxes are of one card, but it says that it holds several";
        for (const std::size_t card : cards) {
            const std::string prefix = record::prefix_of(into_.made->sheet, card);
            Names names;
            record::Answers boxes;
            const auto rest = [&](const std::string& name) {
                return !numbered ? name : name.starts_with(prefix) ? name.substr(prefix.size()) : std::string();
            };
            for (const std::string& field : pdf.filled.fields)
                if (std::string name = rest(field); !name.empty()) names.insert(std::move(name));
            for (const auto& [box, text] : pdf.filled.boxes)
                if (const std::string name = rest(box); !name.empty()) boxes.emplace(prefix + name, text);
            if (std::string wrong = put(card, pdf.path, std::move(boxes)); !wrong.empty()) return wrong;
            if (names.empty()) continue; // printed without a form
            if (!as_laid_out(card, names))
                return fmt::format("its boxes are not those that card {} was printed with: it went through a program "
                                   "that left some out",
                                   card);
            record::keep_boxes(into_.made->work->cards[card - 1].card, names);
        }
        return {};
    }

private:
    // From 1; 0: none of the job's.
    std::size_t card_of(const std::string& code) const {
        const auto found = std::find_if(work_.cards.begin(), work_.cards.end(),
                                        [&code](const PagedCard& each) { return each.card.head.code == code; });
        return found == work_.cards.end() ? 0 : static_cast<std::size_t>(found - work_.cards.begin()) + 1;
    }

    // On one of the papers the card has just these boxes.
    bool as_laid_out(std::size_t card, const Names& names) const {
        constexpr std::array papers{pages::Paper::a4, pages::Paper::letter, pages::Paper::a5};
        const card::Card& of = work_.cards[card - 1].card;
        return std::any_of(papers.begin(), papers.end(), [&](pages::Paper paper) {
            messages::Messages said; // on this paper it may be too long
            const auto laid = pages::lay_out(of, paper, said, pages::Codes::places);
            return laid && names_on(of, *laid) == names;
        });
    }

    std::string otherwise(const std::string& code) const {
        const std::string_view before = std::string_view(code).substr(0, code.size() - tail(code).size());
        for (const PagedCard& each : work_.cards)
            if (each.card.head.code.starts_with(before))
                return fmt::format(": its foot says {}, and it would be {}", tail(code), tail(each.card.head.code));
        return fmt::format(" (`{}`)", code);
    }

    // The same card may be in a booklet and by itself; but it was filled in in one place.
    std::string put(std::size_t card, const std::string& path, record::Answers boxes) {
        into_.given.insert(card);
        if (boxes.empty()) return {};
        const auto [at, fresh] = filled_in_.emplace(card, path);
        if (!fresh) return fmt::format("card {} is filled in here and in {}", card, at->second);
        into_.boxes.merge(boxes);
        return {};
    }

    PrintedCards& into_;
    const Work& work_;
    std::map<std::size_t, std::string> filled_in_; // by card: in which file
};

} // namespace

std::optional<linked::JobId> job_called(const Shopful& shop, std::string_view name) {
    for (const linked::Job& job : shop.linked.jobs)
        if (job.source->id.value == name) return job.id;
    return std::nullopt;
}

std::unique_ptr<JobCards> make_cards(Files files, std::string_view job, const std::string& language) {
    auto made = cards_up_to(Stage::pages, std::move(files), job, language);
    for (std::size_t i = 0; i < made->sheet.cards.size(); ++i) {
        PagedCard& paged = made->work->cards[i];
        record::keep_boxes(paged.card, names_on(paged.card, paged.pages));
    }
    return made;
}

base::Result<Pdf> read_pdf(filled::Reader& read, filled::Form form, const std::string& path, std::string_view bytes) {
    auto filled = read(bytes, form);
    if (!filled) return base::Failure{fmt::format("{}: {}", path, filled.failure().what)};
    if (filled.value().source.empty())
        return base::Failure{
            fmt::format("{} carries no source: it was not printed by benchleaf, or went through a program "
                        "that left it out",
                        path)};
    return Pdf{path, std::move(filled.value())};
}

std::optional<PrintedCards> make_printed(const std::vector<Pdf>& pdfs, std::string_view job, const Global& global,
                                         Terminal& terminal, int& status) {
    const auto fail = [&](const std::string& what) {
        status = input_has_errors;
        terminal.say("benchleaf: " + what + "\n");
        return std::nullopt;
    };
    const std::string& path = pdfs.front().path;
    for (const Pdf& each : pdfs)
        if (each.filled.source != pdfs.front().filled.source || each.filled.language != pdfs.front().filled.language)
            return fail(fmt::format("{} and {} were not printed together: what they carry differs", path, each.path));
    auto unpacked = bundle::read(pdfs.front().filled.source);
    if (!unpacked)
        return fail(fmt::format("{}: what it was made of cannot be read: {}", path, unpacked.failure().what));
    Files files;
    for (auto& each : unpacked.value()) files.emplace(std::move(each.path), std::move(each.bytes));
    const std::string& language = pdfs.front().filled.language;
    PrintedCards printed;
    printed.made =
        cards_up_to(Stage::card, std::move(files), job, labels::find(language) == nullptr ? std::string() : language);
    const Shopful& shop = *printed.made->shop;
    if (printed.made->work == nullptr) {
        std::string its;
        for (const linked::Job& each : shop.linked.jobs) its = each.source->id.value;
        return fail(its.empty() ? fmt::format("{} is a blank card and of no job", path)
                                : fmt::format("{} is a card of job {}, not of {}", path, its, job));
    }
    if (printed.made->sheet.cards.empty()) {
        messages::Messages all = printed.made->work->messages;
        all.sort_and_unite(shop.sources);
        say_messages(terminal, global, all, shop.sources);
        return fail(fmt::format("{}: this program makes no cards of what it carries; an older one printed it", path));
    }
    Sorting sorting(printed, *printed.made->work);
    for (const Pdf& pdf : pdfs)
        if (const std::string wrong = sorting.take(pdf); !wrong.empty()) return fail(pdf.path + ": " + wrong);
    return printed;
}

} // namespace benchleaf::driver
