// From the files of a shop, held in memory, to messages and cards: a short list of calls, one a stage. Nothing here touches a disk, but for
// the pictures (picture_files.h), so tests run it as the program does.
//
//     const auto shop = check_shop(files, {});                  // everything proved; shop->messages says what is wrong
//
//     const auto shop = link_shop(files);                       // or only what is printed is proved
//     const auto work = make_job(*shop, "2026-0412", {});       // work.cards is empty unless all of them are clean
#pragma once

#include "base/result.h"
#include "card/build.h"
#include "card/card.h"
#include "card/cover.h"
#include "driver/archived.h"
#include "driver/in_order.h"
#include "driver/needed.h"
#include "driver/picture_files.h"
#include "driver/prove_shop.h"
#include "driver/shop_files.h"
#include "driver/stage.h"
#include "fitted/fitted.h"
#include "history/owners.h"
#include "linked/linked.h"
#include "meaning/meaning.h"
#include "messages/message.h"
#include "model/model.h"
#include "pages/lay_out.h"
#include "pages/pages.h"
#include "proof/proved.h"
#include "record/make.h"
#include "report/report.h"
#include "source/source.h"
#include "syntax/syntax.h"
#include "wording/wording.h"

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// One card, as content and on paper.
struct PagedCard {
    card::Card card;
    pages::Pages pages;
};

struct PagedCover {
    card::Cover cover;
    pages::Pages pages;
};

// What a job, a procedure or a path of the command line has to do with each file, by FileId. `shared` are the shop's own file and the
// catalogues that it uses: a mistake in them counts, but not that another file's mistake points into them. `beside` are the vehicles without
// which a condition could not be told from a slip of the pen: their mistakes do not count.
enum class Concern : std::uint8_t { none, beside, shared, own };
using Concerns = std::vector<Concern>;

// A job, or one procedure for a vehicle, on its way to cards. Later values point into earlier ones: it is neither copied nor moved.
struct Work {
    Work() = default;
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;

    std::string name;
    Concerns concerns;       // with the files that it is made of
    card::Pictures pictures; // of its procedures, by their paths; they are among what it is made of
    fitted::Fitted fitted;
    std::optional<proof::Proved> proved;
    std::vector<PagedCard> cards; // all of the work's, or none
    std::optional<PagedCover> cover;
    messages::Messages
        messages; // what stops this work, or should be known: its own, and those of the files that it needs
};

// A shop as far as it was taken. Likewise it stays where it is.
struct Shopful {
    Shopful() = default;
    Shopful(const Shopful&) = delete;
    Shopful& operator=(const Shopful&) = delete;

    source::Sources sources;
    messages::Messages messages;
    std::shared_ptr<const Shelf> shelf;         // the pictures
    bool keeps_pixels = true;                   // of them
    std::optional<std::string> allowed_signers; // of approvals, where the shop has such a file
    std::shared_ptr<const Archive> archive;     // of the records that were read one at a time
    Heads heads;                                // of those; what else they say is here of a few (archived.h)
    std::size_t left_out = 0;                   // so many of them are no files of `sources`
    std::optional<base::Failure> failed;        // one of them could not be read: nothing else here says anything
    std::vector<syntax::Syntax> syntaxes;       // by file, where they are kept
    model::Model model;
    history::Owners owners; // of its records
    // The names before a colon in its catalogues' files, and where: which of them a vehicle calls entries of.
    std::vector<std::pair<std::string_view, source::FileId>> declared; // sorted
    CatalogueTexts catalogue_texts;
    std::vector<source::FileId> catalogue_files; // theirs
    // Of a shop that was read in part (part.h): the catalogues that its vehicles besides the one of the job speak of.
    std::optional<std::vector<std::string>> catalogues_beside;
    linked::Linked linked;
    std::shared_ptr<const fitted::Common> common; // of it
    mutable std::once_flag indexing;              // of it, by who first asks what a procedure means (meanings.h)
    mutable std::shared_ptr<const meaning::Index> index;
    std::vector<const model::Procedure*> pictured; // those that have pictures
    std::vector<source::FileId> records;           // the files in the folder of that name, by their paths
    wording::Wording wording;
    fitted::Fitted fitted;                    // of check_shop that keeps it: every procedure for every vehicle
    std::vector<std::unique_ptr<Work>> works; // of check_shop: the jobs
};

// Of the files: who holds them longer than the shop that is made of them may lend their texts to it.
enum class Texts : std::uint8_t { copied, lent };

struct CheckOptions {
    Stage until = Stage::record;
    bool unused = true; // look for entries that nothing names, which is fair only in a whole shop
    const std::set<std::string>* allows_in = nullptr; // else, in which files an `allow` has to allow something
    bool approved = false;                            // a procedure that nobody has approved is an error
    bool keep_cards = false;  // for who wants to see them; else a job's cards go as soon as they are known to be good
    bool keep_stages = false; // likewise what the stages before that made
    Vehicles vehicles = Vehicles::alike;
    Texts texts = Texts::copied;
    Threads threads = {}; // nothing that comes of it depends on them
};

inline constexpr std::size_t jobs_worth_a_thread = 8; // where nobody says how many there are to be

struct PrintOptions {
    std::optional<pages::Paper> paper; // else the shop's, else A4
    std::string language;              // else the shop's, else English
    Stage until = Stage::pages;
    pages::Codes codes = pages::Codes::drawn;
    pages::Bound bound = pages::Bound::yes; // what a cover sheet says of where the cards are
    bool approvals = false;                 // what is not approved says so
};

// Bytes of a file → Syntax → Model, of a shop that is read file by file, and then all of it put together and linked.
void take_in(const std::string& path, std::string_view bytes, Stage until, bool keeps_stages, Shopful& shop);
void put_together(Shopful& shop, Stage until = Stage::wording, bool keeps_stages = false);

// Reads and links all files and looks at their wording; what is wrong stands in `messages`.
// `keeps_pixels`: of its pictures, which else have no more than their size. `keeps_stages`: the syntax and the wording, too.
std::unique_ptr<Shopful> link_shop(const Files& files, Stage until = Stage::wording, bool keeps_pixels = true,
                                   bool keeps_stages = false, Threads threads = {}, Texts texts = Texts::copied);

// And proves every procedure on every vehicle, and every job up to its printed pages.
std::unique_ptr<Shopful> check_shop(const Files& files, const CheckOptions& options);

std::unique_ptr<Work> make_job(const Shopful& shop, linked::JobId job, const PrintOptions& options);
std::unique_ptr<Work> make_blank(const Shopful& shop, linked::ProcedureId procedure, linked::VehicleId vehicle,
                                 const PrintOptions& options);

// The cards of a job as somebody fills them in. The work has to outlive it.
record::Sheet sheet_of(const Shopful& shop, const Work& work);

// A file of answers by itself, which may lie anywhere.
struct AnswersFile {
    source::Sources sources;
    messages::Messages messages;
    std::string job;
    record::Answers boxes;
    source::Span head;                                   // the job's name
    std::map<std::string, source::Span, std::less<>> at; // where each box is answered
};
AnswersFile read_answers(const std::string& path, const std::string& bytes);
// What was filled in on a form, which has no places to point at.
AnswersFile answers_of(const std::string& job, const record::Answers& boxes);

// What stands in the way of a record, each at its box; what lacks at the head.
messages::Messages complaints_as_messages(const AnswersFile& file,
                                          const std::vector<std::pair<std::string, record::Complaint>>& wrong);

// In which the cards are printed.
const labels::Labels& labels_of(const Shopful& shop, const PrintOptions& options);

// The files that the work's cards were made of, as they are on disk, as one text. All cards of a job have the same: each is proved
// from what the one before it leaves.
std::string sources_of(const Shopful& shop, const Work& work, const Files& files);

// Of those the catalogues that only its other vehicles speak of: whoever is handed the card has to be able to read their files.
std::vector<std::string> catalogues_beside(const Shopful& shop, const Work& work);

// A card as the bytes of a PDF.
struct PdfOptions {
    bool form = true;         // with fields where somebody writes
    std::string_view sources; // carried in it; empty for none
};
base::Result<std::string> pdf_of(const PagedCard& card, const PdfOptions& options = {});
base::Result<std::string> pdf_of(const PagedCover& cover, const PdfOptions& options = {});
// All leaves of the work as one booklet. Their pages are taken out of it.
base::Result<std::string> booklet_of(Work& work, const PdfOptions& options = {});

// What a report takes from the shop's files. The shop has to outlive it.
report::Shop report_shop(const Shopful& shop, const PrintOptions& options);
base::Result<std::string> pdf_of(const Shopful& shop, const report::Report& report, const PrintOptions& options);

// The customer's page of a record as a PDF; `report::customer_page(…).file_stem` is what it is called: "2026-0412.customer". Its foot has the first figures of
// the seal, if the record has got it. What the faces cannot print is a Failure.
base::Result<std::string> customer_page(const Shopful& shop, const model::Record& record,
                                        const PrintOptions& options = {});

// What the files at `roots` need: themselves, and the vehicle and the procedures that they call, and all that those call.
Concerns concerns_of(const Shopful& shop, const std::vector<source::FileId>& roots);

// Those that begin in a file of concern, or touch one of its own, or have no place.
messages::Messages messages_about(const messages::Messages& all, const Concerns& concerns);

} // namespace benchleaf::driver
