// How fast the program is, side by side in one run with a bare program (bare.h) and with two general typesetters on the same card (peers.h):
// `ninja bench`. Each figure is processor time, the least of many rounds, ours and theirs taken in turn, so that a busy machine is unkind to
// all; of a typesetter the lesser of that and of what the clock says. Prints tables as docs/speed.md has them, and whether the goals are
// met; the status is 1 when one is not.
#include "bench/bare.h"
#include "bench/peers.h"
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "gates/program.h"
#include "pdf/content.h"
#include "pdf/faces_used.h"

#include <algorithm>
#include <cctype>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fmt/format.h>
#include <functional>
#include <set>
#include <sstream>

using namespace benchleaf;

namespace {

constexpr int warm_rounds = 40;
constexpr int cold_rounds = 12;
constexpr int typst_rounds = 15; // in each of three processes
constexpr int large_rounds = 7;
constexpr std::size_t many_procedures = 2000;
constexpr double words_wanted = 97; // per cent of ours, that a peer has to print as well
constexpr const char* demo = BENCHLEAF_SOURCE_DIR "/procedures";
constexpr const char* one_card = "one-card";
constexpr const char* short_job = "2026-0429";
constexpr const char* long_job = "2026-0418";

// Of processor time: on a quiet machine that is what the clock says, too, and a busy one must not fail the build.
double milliseconds(const std::function<void()>& work) {
    const std::clock_t start = std::clock();
    work();
    return 1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// -- What is printed -------------------------------------------------------------------------------------------------------
void row(const std::string& what, double warm, double cold, const std::string& note = "") {
    const auto figure = [](double ms) { return ms < 1e8 ? fmt::format("{:.2f}", ms) : std::string(); };
    fmt::print("| {:<62} | {:>8} | {:>8} | {} |\n", what, figure(warm), figure(cold), note);
}

int missed = 0;
std::string verdicts;

void verdict(const std::string& what, double is, const std::string& wanted, bool met) {
    if (!met) ++missed;
    verdicts += fmt::format("| {:<66} | {:>8.2f} | {:>10} | {} |\n", what, is, wanted, met ? "met" : "**missed**");
}
void at_most(const std::string& what, double is, double most, const std::string& unit) {
    verdict(what, is, fmt::format("≤ {:g} {}", most, unit), is <= most);
}
void at_least(const std::string& what, double is, double least, const std::string& unit) {
    verdict(what, is, fmt::format("≥ {:g} {}", least, unit), is >= least);
}

// -- Programs --------------------------------------------------------------------------------------------------------------
// The least milliseconds of some processes, and the most memory.
struct Processes {
    double clock = 1e9, cpu = 1e9;
    long peak_kib = 0;

    double lesser() const { return std::min(clock, cpu); }

    void take(const gates::Ran& ran, const std::string& package = "") {
        if (ran.status != 0) {
            fmt::print("a process ended with {}: {}\n", ran.status, ran.err);
            if (!package.empty()) fmt::print("is it there? {}\n", package);
            std::exit(1);
        }
        clock = std::min(clock, ran.seconds * 1000);
        cpu = std::min(cpu, ran.cpu_seconds * 1000);
        peak_kib = std::max(peak_kib, ran.peak_kib);
    }
};

gates::Ran groff(const std::string& source, const std::string& out) {
    gates::write(out, "");
    return gates::run("/usr/bin/groff", {"-K", "utf8", "-t", "-ms", "-Tpdf", source}, {.out = out});
}

gates::Ran typst(const std::string& source, const std::string& out, const std::vector<std::string>& how = {}) {
    std::vector<std::string> words = {BENCHLEAF_SOURCE_DIR "/tests/bench/typst.js", source, out};
    words.insert(words.end(), how.begin(), how.end());
    return gates::run("/usr/bin/node", words,
                      {.environment = {"NODE_PATH=" BENCHLEAF_SOURCE_DIR "/.build/npm/node_modules"}});
}

constexpr const char* groff_package = "apt-get install groff";
constexpr const char* typst_package = "apt-get install nodejs; tests/outside/fetch_npm.py";

// The words of a PDF: what has a letter or a figure, for some draw a sign as a character and some as a path.
std::set<std::string> words_of(const std::string& pdf) {
    const gates::Ran ran = gates::run("/usr/bin/pdftotext", {"-enc", "UTF-8", pdf, "-"});
    if (ran.status != 0) {
        fmt::print("pdftotext: {}\nis it there? apt-get install poppler-utils\n", ran.err);
        std::exit(1);
    }
    std::set<std::string> words;
    std::istringstream from(ran.out);
    for (std::string word; from >> word;)
        if (std::any_of(word.begin(), word.end(),
                        [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; }))
            words.insert(word);
    return words;
}

// How many of our words the other has, too, per cent.
double shared(const std::set<std::string>& ours, const std::set<std::string>& theirs) {
    const auto found =
        std::count_if(ours.begin(), ours.end(), [&](const std::string& word) { return theirs.contains(word); });
    return 100.0 * static_cast<double>(found) / static_cast<double>(ours.size());
}

// -- What is measured ------------------------------------------------------------------------------------------------------
std::unique_ptr<driver::Work> work_of(const driver::Shopful& shop, const std::string& job) {
    for (std::size_t i = 0; i < shop.linked.jobs.size(); ++i)
        if (shop.linked.jobs[i].source->id.value == job) {
            auto work = driver::make_job(shop, linked::JobId(i), {});
            if (!work->cards.empty()) return work;
        }
    fmt::print("the job {} of the demo shop could not be made; `benchleaf check` says why\n", job);
    std::exit(1);
}

// A card alone is not bound, as the recording is not.
std::string pdf_of(const driver::Shopful& shop, const std::string& job, bool form) {
    const auto work = work_of(shop, job);
    const driver::PdfOptions how{form, {}};
    auto pdf = work->cards.size() == 1 ? driver::pdf_of(work->cards.front(), how) : driver::booklet_of(*work, how);
    if (!pdf) std::abort();
    return std::move(pdf.value());
}

bench::Recording recorded(const pages::Pages& from) {
    bench::Recording recording;
    const pages::Size size = pages::size_of(from.paper);
    const auto used = pdf::faces_used(from);
    if (!used) std::abort();
    recording.faces = used.value();
    for (const pages::Page& page : from.pages) {
        auto calls = bench::calls_of(pdf::content(page, size, {}));
        if (!calls) std::abort();
        recording.pages.push_back(
            {static_cast<float>(size.width) / 1000, static_cast<float>(size.height) / 1000, std::move(*calls)});
    }
    return recording;
}

// A job of one card: the first procedure of one of the demo shop's jobs.
driver::Files with_one_card(driver::Files files) {
    std::string text = files.at("jobs/2026-0426.yaml");
    text.replace(text.find("2026-0426"), 9, one_card);
    const std::size_t first = text.find("do: [") + 5;
    text = text.substr(0, text.find(',', first)) + "]\n";
    files[fmt::format("jobs/{}.yaml", one_card)] = text;
    return files;
}

void write_shop(const driver::Files& files, const std::string& folder) {
    for (const auto& [path, text] : files) gates::write(folder + "/" + path, text);
    std::filesystem::copy(std::string(demo) + "/pictures", folder + "/pictures",
                          std::filesystem::copy_options::recursive | std::filesystem::copy_options::overwrite_existing);
}

std::vector<std::string> texts_of(const driver::Files& files) {
    std::vector<std::string> texts;
    for (const auto& [path, text] : files) texts.push_back(text);
    return texts;
}

// Those that the job is made of, and the vehicles, without which the catalogues would speak of what no vehicle has.
driver::Files needed(const driver::Shopful& shop, const driver::Files& files) {
    const auto work = work_of(shop, one_card);
    driver::Files few;
    for (std::size_t i = 0; i < work->concerns.size(); ++i) {
        const std::string& path = shop.sources.file(source::FileId(i)).path;
        if (work->concerns[i] != driver::Concern::none || path.starts_with("vehicles/"))
            few.emplace(path, files.at(path));
    }
    return few;
}

void peers(const driver::Files& files) {
    const auto kept = driver::link_shop(files);
    const driver::Files few = needed(*kept, files);
    const std::vector<std::string> all_yaml = texts_of(files), few_yaml = texts_of(few);
    const auto sample = work_of(*kept, one_card);
    const card::Card& card = sample->cards.front().card;
    const pages::Pages& pages = sample->cards.front().pages;
    const bench::Recording recording = recorded(pages);

    const std::string folder = gates::scratch("bench");
    const std::string shop = gates::scratch("bench-shop"), small = gates::scratch("bench-small");
    write_shop(files, shop);
    write_shop(few, small);
    const auto file = [&](const char* name) { return fmt::format("{}/{}", folder, name); };
    gates::write(file("recording"), bench::write(recording));
    gates::write(file("card.ms"), bench::groff_source(card));
    gates::write(file("card.typ"), bench::typst_source(card));
    const std::string font_files[3] = {"/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf",
                                       "/usr/share/fonts/truetype/noto/NotoSans-Bold.ttf",
                                       "/usr/share/fonts/truetype/noto/NotoSans-Italic.ttf"};

    // The same content, before anything is compared.
    const std::string ours_pdf = pdf_of(*kept, one_card, false), bare_pdf = bench::draw(recording);
    gates::write(file("ours.pdf"), ours_pdf);
    gates::write(file("bare.pdf"), bare_pdf);
    Processes cold_groff, cold_typst, cold_fresh;
    cold_groff.take(groff(file("card.ms"), file("groff.pdf")), groff_package);
    cold_typst.take(typst(file("card.typ"), file("typst.pdf")), typst_package);
    const auto words = words_of(file("ours.pdf"));
    const double in_groff = shared(words, words_of(file("groff.pdf")));
    const double in_typst = shared(words, words_of(file("typst.pdf")));
    if (words_of(file("bare.pdf")) != words) {
        fmt::print("the bare program does not draw what benchleaf draws\n");
        std::exit(1);
    }

    // Warm: the same process, over and over.
    constexpr double none = 1e9;
    double ours_all = none, ours_few = none, ours_kept = none, floor_all = none, floor_few = none, replay = none;
    double scan_few = none, plain_few = none, warm_typst = none, fresh_typst = none, form_kept = none;
    const auto least = [](double& best, const std::function<void()>& work) {
        best = std::min(best, milliseconds(work));
    };
    const auto parse = [](const std::vector<std::string>& yaml) {
        if (bench::parse(yaml) == 0) std::abort();
    };
    for (int round = 0; round < warm_rounds; ++round) {
        least(ours_all, [&] { (void)pdf_of(*driver::link_shop(files), one_card, false); });
        least(floor_all, [&] { parse(all_yaml), (void)bench::draw(recording); });
        least(ours_few, [&] { (void)pdf_of(*driver::link_shop(few), one_card, false); });
        least(floor_few, [&] { parse(few_yaml), (void)bench::draw(recording); });
        least(ours_kept, [&] { (void)pdf_of(*kept, one_card, false); });
        least(form_kept, [&] { (void)pdf_of(*kept, one_card, true); });
        least(replay, [&] { (void)bench::draw(recording); });
        least(scan_few, [&] { (void)bench::scan(few_yaml); });
        if (round % 10 == 0)
            least(plain_few, [&] { parse(few_yaml), (void)bench::draw_plainly(recording, font_files); });
        if (round % 14 != 0) continue;
        const auto rounds = std::to_string(typst_rounds);
        const gates::Ran again = typst(file("card.typ"), file("typst.pdf"), {rounds});
        const gates::Ran fresh = typst(file("card.typ"), file("typst.pdf"), {rounds, "fresh"});
        warm_typst = std::min(warm_typst, std::stod(again.out));
        fresh_typst = std::min(fresh_typst, std::stod(fresh.out));
    }

    // Cold: whole processes.
    Processes print, print_few, bare, bare_few, version, node;
    const auto bare_words = [&](const driver::Files& which) {
        std::vector<std::string> all = {file("recording"), file("bare.pdf")};
        for (const auto& [path, text] : which) all.push_back(fmt::format("{}/{}", shop, path));
        return all;
    };
    const std::string bare_program = BENCHLEAF_BINARY_DIR "/bench_bare";
    for (int round = 0; round < cold_rounds; ++round) {
        print.take(gates::run({"print", "--shop", shop, one_card, "--out", file("out")}));
        cold_groff.take(groff(file("card.ms"), file("groff.pdf")));
        print_few.take(gates::run({"print", "--shop", small, one_card, "--out", file("out")}));
        cold_typst.take(typst(file("card.typ"), file("typst.pdf")));
        bare.take(gates::run(bare_program, bare_words(files)));
        bare_few.take(gates::run(bare_program, bare_words(few)));
        version.take(gates::run({"--version"}));
        node.take(gates::run("/usr/bin/node", {"-e", "0"}), typst_package);
    }

    fmt::print("## Peers\n\nOne card: `{}`, {} pages, {} words. Of these groff prints {:.1f} % and Typst {:.1f} %.\n\n",
               card.procedure, pages.pages.size(), words.size(), in_groff, in_typst);
    fmt::print("| {:<62} | {:>8} | {:>8} | |\n| --- | ---: | ---: | --- |\n",
               "milliseconds of processor time, least of many", "warm", "cold");
    const std::string whole_shop = fmt::format("the whole shop read, {} files", files.size());
    const std::string few_files = fmt::format("a shop of the job's own {} files", few.size());
    row("benchleaf, " + whole_shop, ours_all, print.cpu,
        fmt::format("{} bytes without form; cold by the clock {:.2f}", ours_pdf.size(), print.clock));
    row("benchleaf, " + few_files, ours_few, print_few.cpu, fmt::format("by the clock {:.2f}", print_few.clock));
    row("benchleaf, the shop kept in memory", ours_kept, none, fmt::format("with form fields {:.2f}", form_kept));
    row("floor: parse those files, replay the card; " + std::to_string(files.size()), floor_all, bare.cpu,
        fmt::format("{} bytes; not synced to disk", bare_pdf.size()));
    row("floor: the same, " + std::to_string(few.size()), floor_few, bare_few.cpu,
        fmt::format("the replay alone {:.2f}, yaml-cpp's scan alone {:.2f}", replay, scan_few));
    row("the same, system's fonts whole, libharu's UTF-8 encoder", plain_few, none);
    row("Typst", std::min(warm_typst, fresh_typst), cold_typst.lesser(),
        fmt::format("warm: one number changed {:.2f}, all forgotten {:.2f}; cold by the clock {:.2f}", warm_typst,
                    fresh_typst, cold_typst.clock));
    row("groff", none, cold_groff.lesser(), fmt::format("by the clock {:.2f}", cold_groff.clock));
    row("the start alone: benchleaf --version", none, version.cpu);
    row("the start alone: node", none, node.lesser());
    fmt::print("\n");

    at_least("words of ours that groff prints", in_groff, words_wanted, "%");
    at_least("words of ours that Typst prints", in_typst, words_wanted, "%");
    at_most("warm, the whole shop read: benchleaf / floor", ours_all / floor_all, 1.3, "×");
    at_most("warm, the job's own files: benchleaf / floor", ours_few / floor_few, 1.3, "×");
    at_least("warm, the shop kept: Typst / benchleaf", std::min(warm_typst, fresh_typst) / ours_kept, 6, "×");
    at_least("cold, the whole shop: Typst / benchleaf", cold_typst.lesser() / print.cpu, 8, "×");
    at_least("cold, the whole shop: groff / benchleaf", cold_groff.lesser() / print.cpu, 8, "×");
    at_most("cold, the whole shop: benchleaf / floor", print.cpu / bare.cpu, 3, "×");
    at_most("peak memory of print", static_cast<double>(print.peak_kib) / 1024, 40, "MiB");
}

// What one page more costs: between a short booklet and a long one.
void further_pages(const driver::Files& files) {
    const auto kept = driver::link_shop(files);
    const auto pages_of = [&](const char* job) {
        const auto work = work_of(*kept, job);
        std::size_t pages = work->cover ? work->cover->pages.pages.size() : 0;
        for (const driver::PagedCard& each : work->cards) pages += each.pages.pages.size();
        return pages;
    };
    struct Booklet {
        const char* job;
        std::size_t pages;
        double warm = 1e9;
        Processes cold{};
    };
    Booklet few{short_job, pages_of(short_job)}, many{long_job, pages_of(long_job)};
    const std::string out = gates::scratch("bench-pages");
    for (int round = 0; round < warm_rounds / 2; ++round)
        for (Booklet* each : {&few, &many}) {
            each->warm = std::min(each->warm, milliseconds([&] { (void)pdf_of(*kept, each->job, true); }));
            if (round < cold_rounds) each->cold.take(gates::run({"print", "--shop", demo, each->job, "--out", out}));
        }
    fmt::print("## Further pages\n\n| {:<62} | {:>8} | {:>8} | |\n| --- | ---: | ---: | --- |\n",
               "milliseconds of processor time, with form fields", "warm", "cold");
    for (const Booklet& each : {few, many})
        row(fmt::format("booklet of job {}, {} pages", each.job, each.pages), each.warm, each.cold.cpu,
            fmt::format("by the clock {:.2f}", each.cold.clock));
    const auto more = static_cast<double>(many.pages - few.pages);
    const double warm = (many.warm - few.warm) / more, cold = (many.cold.cpu - few.cold.cpu) / more;
    row("each page more", warm, cold);
    fmt::print("\n");
    at_most("warm: each page more", warm, 1.5, "ms");
    at_most("whole process: each page more", cold, 1.5, "ms");
}

// The demo shop grown until it has so many procedures: each copy is a file and a name of its own, with the same steps, and calls what the
// first of its kind calls.
driver::Files grown(const driver::Files& files, std::size_t procedures) {
    driver::Files all = files;
    std::vector<std::pair<std::string, std::string>> first;
    for (const auto& [path, text] : files)
        if (!path.starts_with("approvals/") && // which name one, too
            (text.starts_with("procedure: ") || text.find("\nprocedure: ") != std::string::npos))
            first.emplace_back(path, text);
    for (std::size_t made = first.size(); made < procedures; ++made) {
        auto [path, text] = first[made % first.size()];
        const std::string id = std::filesystem::path(path).stem().string();
        const std::string own = fmt::format("{}-{}", id, made / first.size());
        const std::string head = "procedure: " + id;
        text.replace(text.find(head), head.size(), "procedure: " + own);
        path.replace(path.rfind(id), id.size(), own);
        all.emplace(std::move(path), std::move(text));
    }
    return all;
}

void checks(const driver::Files& files) {
    Processes check;
    for (int round = 0; round < cold_rounds; ++round) check.take(gates::run({"check", "--shop", demo}));
    // Wanted are 60; a tenth more is what a busy machine adds.
    at_most("benchleaf check of the whole demo shop, processor time", check.cpu, 66, "ms");
    at_most("peak memory of check", static_cast<double>(check.peak_kib) / 1024, 40, "MiB");

    const driver::Files many = grown(files, many_procedures);
    const std::string large = gates::scratch("bench-large");
    write_shop(many, large);
    const std::vector<std::string> many_yaml = texts_of(many);
    double scan = 1e9;
    Processes checked;
    gates::Ran last;
    for (int round = 0; round < large_rounds; ++round) {
        scan = std::min(scan, milliseconds([&] {
                            if (bench::scan(many_yaml) == 0) std::abort();
                        }));
        last = gates::run({"check", "--shop", large});
        checked.take(last);
    }
    fmt::print("## A large shop\n\n{}\n| {:<62} | {:>8} | {:>8} | |\n| --- | ---: | ---: | --- |\n", last.out,
               "milliseconds of processor time", "warm", "cold");
    row("yaml-cpp's scan of those files", scan, 1e9);
    row("benchleaf check", 1e9, checked.cpu, fmt::format("{:.2f} on the clock", checked.clock));
    fmt::print("\n");
    at_most("check of a large shop, processor time (1.5 × the scan + 500 ms)", checked.cpu, 1.5 * scan + 500, "ms");
}

} // namespace

int main() {
#ifndef NDEBUG
    fmt::print("This is a debug build: the figures say nothing. Configure with -DCMAKE_BUILD_TYPE=Release.\n");
#endif
    auto read = driver::read_shop(demo);
    if (!read) {
        fmt::print("{}\n", read.failure().what);
        return 3;
    }
    const driver::Files files = std::move(read.value().files);
    peers(with_one_card(files));
    further_pages(files);
    checks(files);
    fmt::print("## Goals\n\n| | is | wanted | |\n| --- | ---: | ---: | --- |\n{}\n{}\n", verdicts,
               missed == 0 ? "all goals met" : fmt::format("{} goals missed", missed));
    return missed == 0 ? 0 : 1;
}
