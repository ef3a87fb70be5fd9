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
constexpr int cold_rounds = 20;
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
constexpr double never = 1e9; // not measured

void head(const std::string& what) {
    fmt::print("| {:<62} | {:>8} | {:>8} | |\n| --- | ---: | ---: | --- |\n", what, "warm", "cold");
}
void row(const std::string& what, double warm, double cold, const std::string& note = "") {
    const auto figure = [](double ms) { return ms < never ? fmt::format("{:.2f}", ms) : std::string(); };
    fmt::print("| {:<62} | {:>8} | {:>8} | {} |\n", what, figure(warm), figure(cold), note);
}

int missed = 0;
int not_reached = 0;
std::string verdicts;

void verdict(const std::string& what, double is, const std::string& wanted, bool met) {
    if (!met) ++missed;
    verdicts += fmt::format("| {:<66} | {:>8.2f} | {:>10} | {} |\n", what, is, wanted, met ? "met" : "**missed**");
}
// Likewise of a time by itself, which a busy machine makes longer: a run fails where it is too long on any.
void at_most_when_quiet(const std::string& what, double is, double held, double wanted, const std::string& unit) {
    if (is > held) ++missed;
    verdicts += fmt::format("| {:<66} | {:>8.2f} | {:>10} | {} |\n", what, is, fmt::format("≤ {:g} {}", wanted, unit),
                            is <= wanted ? "met"
                            : is <= held ? fmt::format("not on this machine now; held at {:g}", held)
                                         : fmt::format("**missed**: {:g} is held", held));
}

// A goal that is worked towards and not reached: what was reached is held, and no run fails for the rest.
void not_yet(const std::string& what, double is, double held, double wanted, const std::string& unit) {
    if (is < held) ++missed;
    if (is < wanted) ++not_reached;
    verdicts += fmt::format("| {:<66} | {:>8.2f} | {:>10} | {} |\n", what, is, fmt::format("≥ {:g} {}", wanted, unit),
                            is >= wanted ? "met"
                            : is >= held ? fmt::format("not yet; held at {:g}", held)
                                         : fmt::format("**missed**: {:g} was reached", held));
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
    double clock = never, cpu = never;
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

// Those that the job is made of, and the vehicles without which the catalogues would speak of what no vehicle has.
driver::Files needed(const driver::Shopful& shop, const driver::Files& files) {
    const auto work = work_of(shop, one_card);
    driver::Files few;
    for (std::size_t i = 0; i < work->concerns.size(); ++i) {
        const std::string& path = shop.sources.file(source::FileId(i)).path;
        if (work->concerns[i] != driver::Concern::none) few.emplace(path, files.at(path));
    }
    return few;
}

// The card that all are compared on, and the files that tell them of it.
struct Sample {
    const driver::Files& files; // of the whole shop
    std::unique_ptr<driver::Shopful> kept;
    driver::Files few; // of the job alone
    std::vector<std::string> yaml, few_yaml;
    std::unique_ptr<driver::Work> work;
    bench::Recording recording;
    std::string folder, shop, small; // for files, and both shops on the disk

    const card::Card& card() const { return work->cards.front().card; }
    const pages::Pages& pages() const { return work->cards.front().pages; }
    std::string file(std::string_view name) const { return fmt::format("{}/{}", folder, name); }
};

Sample sample_of(const driver::Files& files) {
    Sample made{files, driver::link_shop(files), {}, texts_of(files), {}, nullptr, {}, {}, {}, {}};
    made.few = needed(*made.kept, files);
    made.few_yaml = texts_of(made.few);
    made.work = work_of(*made.kept, one_card);
    made.recording = recorded(made.pages());
    made.folder = gates::scratch("bench");
    made.shop = gates::scratch("bench-shop");
    made.small = gates::scratch("bench-small");
    write_shop(files, made.shop);
    write_shop(made.few, made.small);
    gates::write(made.file("recording"), bench::write(made.recording));
    gates::write(made.file("card.ms"), bench::groff_source(made.card()));
    gates::write(made.file("card.typ"), bench::typst_source(made.card()));
    return made;
}

// That all of them print the same, before anything is compared.
void same_content(const Sample& sample) {
    const auto bare = bench::draw(sample.recording), ours = pdf_of(*sample.kept, one_card, false);
    gates::write(sample.file("bare.pdf"), bare);
    gates::write(sample.file("ours.pdf"), ours);
    Processes made;
    made.take(groff(sample.file("card.ms"), sample.file("groff.pdf")), groff_package);
    made.take(typst(sample.file("card.typ"), sample.file("typst.pdf")), typst_package);
    const auto words = words_of(sample.file("ours.pdf"));
    if (words_of(sample.file("bare.pdf")) != words) {
        fmt::print("the bare program does not draw what benchleaf draws\n");
        std::exit(1);
    }
    const double in_groff = shared(words, words_of(sample.file("groff.pdf")));
    const double in_typst = shared(words, words_of(sample.file("typst.pdf")));
    fmt::print(
        "One card: `{}`, {} pages, {} words. Of these groff prints {:.1f} % and Typst {:.1f} %. Without form it takes "
        "{} bytes, as the bare program writes it {}.\n\n",
        sample.card().procedure, sample.pages().pages.size(), words.size(), in_groff, in_typst, ours.size(),
        bare.size());
    at_least("words of ours that groff prints", in_groff, words_wanted, "%");
    at_least("words of ours that Typst prints", in_typst, words_wanted, "%");
}

// The same process, over and over.
struct Warm {
    double ours = never, ours_few = never, ours_kept = never, with_form = never;
    double floor = never, floor_few = never, replay = never, scan_few = never, plainest = never;
    double typst_changed = never, typst_fresh = never;

    double typst() const { return std::min(typst_changed, typst_fresh); }
};

double warm_typst(const Sample& sample, std::vector<std::string> how) {
    how.insert(how.begin(), std::to_string(typst_rounds));
    const gates::Ran ran = typst(sample.file("card.typ"), sample.file("typst.pdf"), how);
    Processes().take(ran, typst_package);
    return std::stod(ran.out);
}

Warm warm(const Sample& sample) {
    Warm best;
    const auto least = [](double& of, double now) { of = std::min(of, now); };
    const auto bare = [&](const std::vector<std::string>& yaml) {
        if (bench::parse(yaml) == 0) std::abort();
        (void)bench::draw(sample.recording);
    };
    const std::string font_files[3] = {"/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf",
                                       "/usr/share/fonts/truetype/noto/NotoSans-Bold.ttf",
                                       "/usr/share/fonts/truetype/noto/NotoSans-Italic.ttf"};
    for (int round = 0; round < warm_rounds; ++round) {
        least(best.ours, milliseconds([&] { (void)pdf_of(*driver::link_shop(sample.files), one_card, false); }));
        least(best.floor, milliseconds([&] { bare(sample.yaml); }));
        least(best.ours_few, milliseconds([&] { (void)pdf_of(*driver::link_shop(sample.few), one_card, false); }));
        least(best.floor_few, milliseconds([&] { bare(sample.few_yaml); }));
        least(best.ours_kept, milliseconds([&] { (void)pdf_of(*sample.kept, one_card, false); }));
        least(best.with_form, milliseconds([&] { (void)pdf_of(*sample.kept, one_card, true); }));
        least(best.replay, milliseconds([&] { (void)bench::draw(sample.recording); }));
        least(best.scan_few, milliseconds([&] { (void)bench::scan(sample.few_yaml); }));
        if (round % 10 == 0)
            least(best.plainest, milliseconds([&] { (void)bench::draw_plainly(sample.recording, font_files); }));
        if (round % 14 != 0) continue;
        least(best.typst_changed, warm_typst(sample, {}));
        least(best.typst_fresh, warm_typst(sample, {"fresh"}));
    }
    return best;
}

// Whole processes.
struct Cold {
    Processes ours, ours_few, with_form, bare, bare_few, typst, groff, version, node;
};

Cold cold(const Sample& sample) {
    Cold best;
    const auto print = [&](const std::string& shop) { // the peers print no fields either
        return gates::run({"print", "--shop", shop, one_card, "--no-form", "--out", sample.file("out")});
    };
    const auto bare = [&](const driver::Files& files) {
        std::vector<std::string> words = {sample.file("recording"), sample.file("bare.pdf")};
        for (const auto& [path, text] : files) words.push_back(fmt::format("{}/{}", sample.shop, path));
        return gates::run(BENCHLEAF_BINARY_DIR "/bench_bare", words);
    };
    for (int round = 0; round < cold_rounds; ++round) {
        best.ours.take(print(sample.shop));
        best.groff.take(groff(sample.file("card.ms"), sample.file("groff.pdf")));
        best.ours_few.take(print(sample.small));
        best.with_form.take(gates::run({"print", "--shop", sample.shop, one_card, "--out", sample.file("out")}));
        best.typst.take(typst(sample.file("card.typ"), sample.file("typst.pdf")));
        best.bare.take(bare(sample.files));
        best.bare_few.take(bare(sample.few));
        best.version.take(gates::run({"--version"}));
        best.node.take(gates::run("/usr/bin/node", {"-e", "0"}), typst_package);
    }
    return best;
}

std::string by_the_clock(const Processes& processes) {
    return fmt::format("cold by the clock {:.2f}", processes.clock);
}

void peers(const driver::Files& files) {
    fmt::print("## Peers\n\n");
    const Sample sample = sample_of(files);
    same_content(sample);
    const Warm w = warm(sample);
    const Cold c = cold(sample);
    const std::size_t all = sample.files.size(), few = sample.few.size();
    head("milliseconds of processor time, least of many");
    row(fmt::format("benchleaf, a shop of {} files (warm: all of them read)", all), w.ours, c.ours.cpu,
        by_the_clock(c.ours));
    row(fmt::format("benchleaf, a shop of the job's own {} files", few), w.ours_few, c.ours_few.cpu,
        by_the_clock(c.ours_few));
    row("benchleaf, the shop kept in memory", w.ours_kept, never);
    row("the same with form fields: kept in memory, and the shop read from the disk", w.with_form, c.with_form.cpu,
        by_the_clock(c.with_form));
    row(fmt::format("floor: parse {} files, replay the card", all), w.floor, c.bare.cpu, by_the_clock(c.bare));
    row(fmt::format("floor: parse {} files, replay the card", few), w.floor_few, c.bare_few.cpu,
        fmt::format("the replay alone {:.2f}, yaml-cpp's scan alone {:.2f}", w.replay, w.scan_few));
    row("the replay with system's fonts whole, libharu's UTF-8 encoder", w.plainest, never);
    row("Typst", w.typst(), c.typst.lesser(),
        fmt::format("a number changed {:.2f}, all forgotten {:.2f}; {}", w.typst_changed, w.typst_fresh,
                    by_the_clock(c.typst)));
    row("groff", never, c.groff.lesser(), by_the_clock(c.groff));
    row("the start alone: benchleaf --version", never, c.version.cpu);
    row("the start alone: node", never, c.node.lesser());
    fmt::print("\n");
    at_most("warm, the whole shop read: benchleaf / floor", w.ours / w.floor, 1.3, "×");
    at_most("warm, the job's own files: benchleaf / floor", w.ours_few / w.floor_few, 1.3, "×");
    at_least("warm, the shop kept: Typst / benchleaf", w.typst() / w.ours_kept, 6, "×");
    not_yet("cold, one card of the shop: Typst / benchleaf", c.typst.lesser() / c.ours.cpu, 5, 8, "×");
    not_yet("cold, one card of the shop: groff / benchleaf", c.groff.lesser() / c.ours.cpu, 4, 8, "×");
    at_most("cold, one card of the shop / of the job's own files", c.ours.cpu / c.ours_few.cpu, 1.2, "×");
    at_most("cold, one card: benchleaf / floor of the job's own files", c.ours.cpu / c.bare_few.cpu, 3, "×");
    at_most("peak memory of print", static_cast<double>(c.ours.peak_kib) / 1024, 40, "MiB");
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
        double warm = never;
        Processes cold{};
    };
    Booklet few{short_job, pages_of(short_job)}, many{long_job, pages_of(long_job)};
    const std::string out = gates::scratch("bench-pages");
    for (int round = 0; round < warm_rounds / 2; ++round)
        for (Booklet* each : {&few, &many}) {
            each->warm = std::min(each->warm, milliseconds([&] { (void)pdf_of(*kept, each->job, true); }));
            if (round < cold_rounds) each->cold.take(gates::run({"print", "--shop", demo, each->job, "--out", out}));
        }
    fmt::print("## Further pages\n\n");
    head("milliseconds of processor time, with form fields");
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
    at_most_when_quiet("benchleaf check of the whole demo shop, processor time", check.cpu, 80, 60, "ms");
    at_most("peak memory of check", static_cast<double>(check.peak_kib) / 1024, 40, "MiB");

    const driver::Files many = grown(files, many_procedures);
    const std::string large = gates::scratch("bench-large");
    write_shop(many, large);
    const std::vector<std::string> many_yaml = texts_of(many);
    double scan = never;
    Processes checked;
    gates::Ran last;
    for (int round = 0; round < large_rounds; ++round) {
        scan = std::min(scan, milliseconds([&] {
                            if (bench::scan(many_yaml) == 0) std::abort();
                        }));
        last = gates::run({"check", "--anew", "-j", "1", "--shop", large});
        checked.take(last);
    }
    fmt::print("## A large shop\n\n{}\n", last.out);
    head("milliseconds of processor time");
    row("yaml-cpp's scan of those files", scan, never);
    row("benchleaf check", never, checked.cpu, fmt::format("{:.2f} on the clock", checked.clock));
    fmt::print("\n");
    at_most("check of a large shop, processor time (2 × the scan)", checked.cpu, 2 * scan, "ms");
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
               missed > 0        ? fmt::format("{} goals missed", missed)
               : not_reached > 0 ? fmt::format("{} goals open, all others met", not_reached)
                                 : std::string("all goals met"));
    return missed == 0 ? 0 : 1;
}
