// The cards of one job, as somebody fills them in: of the shop's files as they stand, or of what a printed PDF carries.
//
//   auto pdf = read_pdf(*load_filled().value(), form, "out/2026-0412.pdf", bytes); // a booklet, or one of its cards
//   auto now = make_cards(files, "2026-0412", pdf.value().filled.language);        // in the language that the paper has
//   auto then = make_printed({pdf.value()}, "2026-0412", …);                       // and those that were printed
//
// A PDF says which cards it holds by the text of their code squares. What this program makes of the source has to be the same cards: else a reading
// would be held against another limit than the one that was on the paper.
#pragma once

#include "base/result.h"
#include "driver/pipeline.h"
#include "driver/say.h"
#include "driver/shop_files.h"
#include "filled/filled.h"
#include "record/asks.h"

#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// Cards with all that they were made of. It stays where it is.
struct JobCards {
    Files files;
    std::unique_ptr<Shopful> shop;
    std::unique_ptr<Work> work; // null: the shop has no such job
    record::Sheet sheet;        // without cards where something is wrong with the work
};

std::optional<linked::JobId> job_called(const Shopful& shop, std::string_view name);

// `language`: empty for the shop's own. They have the boxes that they are printed with on the shop's paper.
std::unique_ptr<JobCards> make_cards(Files files, std::string_view job, const std::string& language);

struct Pdf {
    std::string path;
    filled::Filled filled;
};

constexpr bool is_pdf(std::string_view bytes) {
    return bytes.starts_with("%PDF-");
}
// What carries no source is a Failure, too. Each names the file.
base::Result<Pdf> read_pdf(filled::Reader& read, filled::Form form, const std::string& path, std::string_view bytes);

// The cards that the PDFs were printed from, and what stands in their boxes.
struct PrintedCards {
    std::unique_ptr<JobCards> made;
    record::Answers boxes;       // by their names in a booklet
    std::set<std::size_t> given; // which cards are in the PDFs, from 1
};

// They have to have been printed together: of one source, in one language. On failure it has been said, and `status` is set.
std::optional<PrintedCards> make_printed(const std::vector<Pdf>& pdfs, std::string_view job, const Global& global,
                                         Terminal& terminal, int& status);

} // namespace benchleaf::driver
