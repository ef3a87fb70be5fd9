// `fuzz_seeds FOLDER MOST`: what each target begins with, at most so many, in FOLDER/<target>, made from the repository's cases, shops and pictures and from what the program itself prints; and
// FOLDER/language.dict, the words of the language as libFuzzer puts them in.
#include "bundle/bundle.h"
#include "cases/case.h"
#include "cases/jpeg.h"
#include "cases/pipeline.h"
#include "cases/png.h"
#include "digest/digest.h"
#include "driver/job_cards.h"
#include "driver/records.h"
#include "driver/shop_files.h"
#include "fuzz/laws.h"
#include "labels/labels.h"
#include "model/dump.h"
#include "model/kind.h"
#include "model/tables.h"
#include "model/verbs.h"
#include "record/make.h"
#include "units/quantity.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <set>
#include <string>
#include <vector>

namespace fs = std::filesystem;
using namespace benchleaf;

namespace {

constexpr std::size_t largest = 60'000; // of a seed; what is larger costs more than it finds

class Seeds {
public:
    void put(const std::string& target, const std::string& bytes) {
        if (bytes.size() <= largest) by_target_[target].emplace(digest::sha256_hex(bytes), bytes);
    }

    // At most so many of each target: by their digests, which is any of them and always the same. A whole shop takes as long as three of the others.
    void write(const std::string& folder, std::size_t most) const {
        for (const auto& [target, seeds] : by_target_) {
            const std::string into = folder + "/" + target;
            fs::remove_all(into);
            fs::create_directories(into);
            const std::size_t few = target == "shop" || target == "bundle" ? most / 3 : most;
            std::size_t written = 0;
            for (const auto& [digest, bytes] : seeds)
                if (written++ < few) std::ofstream(into + "/" + digest.substr(0, 16), std::ios::binary) << bytes;
        }
    }

private:
    std::map<std::string, std::map<std::string, std::string>> by_target_; // by their digests
};

std::vector<std::string> files_below(const std::string& folder, std::string_view ending) {
    std::vector<std::string> paths;
    for (const auto& entry : fs::recursive_directory_iterator(BENCHLEAF_SOURCE_DIR "/" + folder))
        if (entry.is_regular_file() && entry.path().string().ends_with(ending)) paths.push_back(entry.path().string());
    std::sort(paths.begin(), paths.end());
    return paths;
}

fuzz::Files shop_in(const fs::path& root) {
    auto read = driver::read_shop(root.string());
    if (!read) fuzz::broken("a shop of the repository cannot be read", read.failure().what);
    return std::move(read.value().files);
}

// -- What people write ----------------------------------------------------------------------------------------------------

void put_shop(Seeds& seeds, const fuzz::Files& files) {
    fuzz::Files texts;
    for (const auto& [path, text] : files)
        if (!path.ends_with(".png") && !path.ends_with(".jpg")) texts.emplace(path, text);
    seeds.put("shop", fuzz::in_one(texts));
    seeds.put("bundle", fuzz::in_one(texts));
    fuzz::Files handed_over = texts;
    std::erase_if(handed_over, [](const auto& each) {
        return each.first == "shop.yaml" || each.first.starts_with("jobs/") || each.first.starts_with("records/") ||
               each.first.starts_with("answers/") || each.first.starts_with("approvals/");
    });
    seeds.put("bundle", fuzz::in_one(handed_over));
    for (const auto& [path, text] : texts) {
        seeds.put("file", text);
        seeds.put("render", text);
        if (path.starts_with("records/")) seeds.put("record", "#== file: " + path + "\n" + text);
        if (path.starts_with("answers/")) seeds.put("record", text);
    }
}

void put_cases(Seeds& seeds) {
    for (const std::string& path : files_below("tests/cases", ".yaml"))
        put_shop(seeds, cases::files_of(cases::read_case(cases::read_file(path))));
    for (const auto& entry : fs::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid"))
        if (entry.is_directory()) put_shop(seeds, shop_in(entry.path()));
    put_shop(seeds, shop_in(BENCHLEAF_SOURCE_DIR "/tests/rendered/small"));
    put_shop(seeds, shop_in(BENCHLEAF_SOURCE_DIR "/tests/rendered/faulty"));
    for (const std::string& path : files_below("procedures", ".yaml")) {
        seeds.put("file", cases::read_file(path));
        seeds.put("render", cases::read_file(path));
    }
}

// -- What the program writes ----------------------------------------------------------------------------------------------

void put_bundle(Seeds& seeds, const fuzz::Files& files, bundle::Heading heading) {
    std::vector<bundle::File> all;
    for (const auto& [path, bytes] : files) all.push_back({path, bytes, path.ends_with(".png")});
    seeds.put("bundle", bundle::write(all, heading));
}

// As a mechanic would type it who finds all well.
std::string typed_for(const record::Ask& ask) {
    using Sort = record::Ask::Sort;
    switch (ask.sort) {
    case Sort::initials:
        return ask.closes == "checked-by" || ask.what.find("heck") != std::string::npos ? "CD" : "AB";
    case Sort::time:
        return "14:30";
    case Sort::date:
        return "2026-11-26";
    case Sort::grade:
        return "good";
    case Sort::done:
        return "done";
    case Sort::reading:
    case Sort::value:
        return "5.00 " + (ask.unit.empty() ? std::string("mm") : ask.unit);
    case Sort::points: {
        std::string all;
        for (std::size_t i = 0; i < ask.reading->points; ++i) all += "0.02 ";
        return all + (ask.unit.empty() ? "mm" : ask.unit);
    }
    case Sort::words:
        return "FW-0031";
    case Sort::ticks:
    case Sort::tick:
    case Sort::yes_no:
    case Sort::round:
        return ask.expects.empty() ? "yes" : ask.expects;
    }
    return "yes";
}

void put_records(Seeds& seeds, const driver::JobCards& cards) {
    record::Answers answers;
    std::string typed;
    for (int line = 0; line < 300; ++line) {
        const record::Look look = record::look_over(cards.sheet, answers, record::Stops::end_it);
        const auto next = std::find_if(look.asks.begin(), look.asks.end(),
                                       [](const record::Ask& each) { return !each.answered || each.complaint; });
        if (next == look.asks.end()) break;
        const std::string words = typed_for(*next);
        const auto taken = record::take(*next, words, cards.sheet);
        typed += words + "\n";
        if (std::holds_alternative<record::Complaint>(taken)) break;
        for (const auto& [box, text] : std::get<record::Answers>(taken))
            if (!text.empty()) answers[box] = text;
        if (line % 8 == 0) seeds.put("record", typed);
    }
    seeds.put("record", typed);
    seeds.put("record", record::blank_sheet(cards.sheet));
    const std::string& job = cards.sheet.job->id.value;
    std::string file = fmt::format("answers: {}\nboxes:\n", job);
    for (const auto& [box, text] : answers) file += fmt::format("  {}: \"{}\"\n", box, text);
    seeds.put("record", file);
    seeds.put("record", fmt::format("# so far\nanswers: {}\nboxes:\n{}", job, driver::draft_lines(answers)));
    const record::Look look = record::look_over(cards.sheet, answers, record::Stops::end_it);
    const auto wrong = record::complaints(look);
    for (const auto& [box, complaint] : wrong)
        fmt::print(stderr, "the typed record is not whole: {} {}: {}\n", box, complaint.where, complaint.text);
    if (!wrong.empty()) return;
    record::About about;
    about.id = job;
    seeds.put("record", driver::sealed(model::print(record::make(cards.sheet, look, answers, about))));
}

void put_printed(Seeds& seeds) {
    for (const std::string shop : {"/procedures", "/tests/rendered/small"}) {
        const fuzz::Files files = shop_in(BENCHLEAF_SOURCE_DIR + shop);
        put_bundle(seeds, files, bundle::Heading::of_a_card);
        for (const std::string job : {"2026-0412", "2026-0421", "2026-1"}) {
            const auto cards = driver::make_cards(driver::Files(files), job, "");
            if (cards->sheet.cards.empty()) continue;
            if (job == "2026-0412") put_records(seeds, *cards);
            for (const driver::PagedCard& each : cards->work->cards) {
                seeds.put("code", each.card.head.code);
                if (const auto pdf = driver::pdf_of(each)) seeds.put("filled", pdf.value());
                const std::string sources = driver::sources_of(*cards->shop, *cards->work, cards->files);
                if (const auto pdf = driver::pdf_of(each, {true, sources})) seeds.put("filled", pdf.value());
            }
            if (cards->work->cover) seeds.put("code", cards->work->cover->cover.head.code);
        }
    }
    seeds.put("code", digest::base64("\xFF\xD8 some bytes"));
    // A form written by hand, small enough to be changed everywhere.
    seeds.put("filled",
              "%PDF-1.7\n1 0 obj\n<</Type/Catalog/AcroForm<</Fields[<</T(card-1)/Kids[<</T(step-5)/FT/Tx/V(4.4 mm)>>"
              "<</T(tick)/FT/Btn/V/Yes/AS/Yes>>]>>]>>>>\nendobj\nxref\n0 2\n0000000000 65535 f \n0000000009 00000 n \n"
              "trailer\n<</Size 2/Root 1 0 R>>\nstartxref\n156\n%%EOF\n");
}

void put_pictures(Seeds& seeds) {
    for (const std::string& path : files_below("procedures/pictures", ".png"))
        seeds.put("picture", cases::read_file(path));
    for (const auto& [path, bytes] : cases::pictures()) seeds.put("picture", bytes);
    for (const int colour : {0, 2, 3, 4, 6})
        for (const int depth : {1, 2, 4, 8, 16}) {
            const bool known =
                depth == 8 || (depth == 16 && colour != 3) || (depth < 8 && (colour == 0 || colour == 3));
            if (known) seeds.put("picture", cases::png(24, 18, colour, depth, cases::checkered));
        }
    seeds.put("picture", cases::jpeg(40, 30));
}

// In the form that libFuzzer reads.
void write_dictionary(const std::string& path) {
    std::set<std::string> words = {"#== file: ", "\n  - ", "\n    ", ": ",       "{ ",      " }",
                                   "[",          "]",      ", ",     "\xC2\xB7", "\xC2\xB1"};
    const auto add_words = [&](const model::Shape* shape) {
        if (shape == nullptr) return;
        words.insert(shape->words.begin(), shape->words.end());
    };
    for (const model::Table* table : model::all_tables())
        for (const model::Row& row : table->rows) {
            words.insert(std::string(row.says->name) + ": ");
            if (!row.says->example.empty() && row.says->example.size() < 60) words.emplace(row.says->example);
            words.insert(row.says->words.begin(), row.says->words.end());
            add_words(row.shape);
            add_words(row.or_shape);
        }
    for (const model::Verb& verb : model::all_verbs()) words.insert("- " + std::string(verb.word) + ": ");
    for (const std::string_view kind : model::kind_words) words.insert(std::string(kind) + ": ");
    for (const units::Unit unit : units::all_units()) words.insert(" " + std::string(units::symbol(unit)));
    for (const labels::Labels& each : labels::languages()) words.emplace(each.language);
    std::ofstream to(path);
    for (const std::string& word : words) {
        to << '"';
        for (const char c : word)
            if (c == '"' || c == '\\' || static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7E)
                to << fmt::format("\\x{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
            else
                to << c;
        to << "\"\n";
    }
}

} // namespace

int main(int count, char** arguments) {
    if (count != 3) return 2;
    const std::string folder = arguments[1];
    Seeds seeds;
    put_cases(seeds);
    put_printed(seeds);
    put_pictures(seeds);
    seeds.write(folder, std::stoul(arguments[2]));
    write_dictionary(folder + "/language.dict");
    return 0;
}
