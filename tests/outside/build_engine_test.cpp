// docs/build-engine.md done as it says, with ninja and make themselves: what is printed again after which change, and what is not; and names that are hard
// to write in a depfile.
#include "driver/records.h" // of the samples, too
#include "gates/page.h"
#include "gates/program.h"
#include "properties/sample_records.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <unistd.h>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

const std::string repository = BENCHLEAF_SOURCE_DIR;

// Build engines look at the time of a file; one that is written within the same tick has not changed.
void later() {
    usleep(20'000);
}

struct Yard {
    std::string folder;
    std::string engine; // ninja, make

    Yard(const std::string& name, std::string with) : folder(scratch("build-engine-" + name)), engine(std::move(with)) {
        fs::copy(repository + "/procedures", folder + "/procedures", fs::copy_options::recursive);
        for (const Block& block : blocks_of(repository + "/docs/build-engine.md"))
            if (!block.file.empty()) write(folder + "/" + block.file, block.text());
        // The page shows three jobs.
        for (const auto& each : fs::directory_iterator(folder + "/procedures/jobs"))
            if (std::string("2026-0412 2026-0421 2026-0426").find(each.path().stem().string()) == std::string::npos)
                fs::remove(each.path());
    }
    Ran build() const {
        later();
        const Ran ran = shell(engine + (engine == "make" ? " -k" : " -k 0"), folder);
        // The shell says 127 where there is no such program.
        const std::string missing = "`" + engine + "` is missing: it is in a package that .ci/packages names";
        REQUIRE_MESSAGE(ran.status != 127, (missing));
        return ran;
    }
    // The jobs that are printed anew.
    std::string made() const {
        const Ran ran = build();
        CAPTURE(ran.out);
        CAPTURE(ran.err);
        REQUIRE(ran.status == 0);
        std::string jobs;
        for (const std::string job : {"2026-0412", "2026-0421", "2026-0426"})
            if ((ran.out + ran.err).find("out/" + job + ".pdf\n") != std::string::npos)
                jobs += (jobs.empty() ? "" : " ") + job;
        return jobs;
    }
    void replace(const std::string& file, const std::string& what, const std::string& with) const {
        later();
        std::string text = read(folder + "/procedures/" + file);
        const std::size_t at = text.find(what);
        REQUIRE(at != std::string::npos);
        write(folder + "/procedures/" + file, text.replace(at, what.size(), with));
    }
    void add(const std::string& file, const std::string& text) const {
        later();
        write(folder + "/procedures/" + file, read(folder + "/procedures/" + file) + text);
    }
    void remember(const std::string& id, const std::string& identity, const std::string& in) const {
        later();
        sample::Visit visit;
        visit.id = id;
        visit.date = "2026-05-02";
        visit.meter = "9 000 km";
        visit.identity = identity;
        write(folder + "/procedures/records/" + in + "/" + id + ".yaml", sample::text_of(visit));
    }
};

void look_at(const Yard& yard) {
    const std::string all = "2026-0412 2026-0421 2026-0426";
    CHECK(yard.made() == all);
    CHECK(yard.made().empty());
    yard.add("catalogue/final-drive.yaml", "# another figure\n");
    CHECK(yard.made() == "2026-0426");
    yard.add("vehicles/penwarrow-t-750.yaml", "# of none of these jobs\n");
    CHECK(yard.made().empty());
    yard.add("brakes/drum-brake-service.yaml", "# likewise\n");
    CHECK(yard.made().empty());
    yard.add("shop.yaml", "# everybody's\n");
    CHECK(yard.made() == all);
    // Nobody has a record, so the first one could be anybody's.
    yard.remember("2026-0001", "registration: TX 30 418, frame: OH3-00417", "oh3-00417");
    CHECK(yard.made() == all);
    yard.remember("2026-0002", "registration: TX 30 418, frame: OH3-00417", "oh3-00417");
    CHECK(yard.made() == "2026-0412");
    yard.add("approvals/tyre-check-f1a5e5622bdcf600-ab.yaml", "# of none of these jobs\n");
    CHECK(yard.made().empty());
    CHECK(yard.made().empty());

    // A catalogue that none of them carries: a figure in it, and then something in it that a wheel nut disturbs.
    const std::string beside = "catalogue/hub-bearing.yaml";
    for (const std::string job : {"2026-0412", "2026-0421", "2026-0426"}) // ninja takes the depfiles away
        REQUIRE((yard.engine == "ninja" || read(yard.folder + "/out/" + job + ".d").find(beside) == std::string::npos));
    yard.replace(beside, "0.03..0.10 mm", "0.03..0.09 mm");
    CHECK(yard.made().empty());
    const Ran nothing = yard.build();
    CHECK((nothing.out + nothing.err).find(yard.engine == "make" ? "Nothing to be done" : "no work to do") !=
          std::string::npos);
    const std::string run_out =
        "adjustments:\n  wheel-run-out:\n    name: run-out of the wheel\n    disturbed-by: [front-wheel-nut]\n"
        "    only-on: { front-wheels: studs }\n    each: side\n\nlimits:\n";
    yard.replace(beside, "limits:\n", run_out);
    const Ran owed = yard.build();
    CHECK(owed.status != 0);
    CHECK((owed.out + owed.err).find("run-out of the wheel") != std::string::npos);
    CHECK(!fs::exists(yard.folder + "/out/2026-0412.pdf")); // nobody works by the old one
    yard.replace(beside, run_out, "limits:\n");
    CHECK(yard.made() == all);
    // What stands in the way of all of them: the old one of each is gone, not of the first alone.
    yard.add("shop.yaml", "no-such-key: 1\n");
    CHECK(yard.build().status != 0);
    for (const std::string job : {"2026-0412", "2026-0421", "2026-0426"})
        CHECK_MESSAGE(!fs::exists(yard.folder + "/out/" + job + ".pdf"), job);
    yard.replace("shop.yaml", "no-such-key: 1\n", "");
    CHECK(yard.made() == all);
    CHECK(yard.made().empty());
    // One that the engine was not told of comes with a time of long ago, and goes again.
    later();
    const std::string odd = yard.folder + "/procedures/catalogue/odd.yaml";
    const auto long_ago = fs::last_write_time(yard.folder + "/build.ninja") - std::chrono::hours(48);
    write(odd, "catalogue: odd\nuses: [wheels]\n" + run_out.substr(0, run_out.find("\nlimits:")));
    fs::last_write_time(odd, long_ago);
    const Ran also_owed = yard.build();
    CHECK(also_owed.status != 0);
    CHECK((also_owed.out + also_owed.err).find("run-out of the wheel") != std::string::npos);
    later();
    fs::remove(odd);
    CHECK(yard.made() == all);
    CHECK(yard.made().empty());
    later();
    fs::remove(yard.folder + "/procedures/driveline/chain-service.yaml");
    const Ran broken = yard.build();
    CAPTURE(broken.out);
    CAPTURE(broken.err);
    CHECK(broken.status != 0);
    CHECK((broken.out + broken.err).find("chain-service") != std::string::npos);
}

} // namespace

TEST_CASE("ninja prints anew what has changed, and nothing else") {
    look_at(Yard("ninja", "ninja"));
}

TEST_CASE("make prints anew what has changed, and nothing else") {
    look_at(Yard("make", "make"));
}

TEST_CASE("names that are hard to write in a depfile") {
    const std::string folder = scratch("build-engine-names");
    const std::string odd = "a shop #2: $5";
    fs::copy(repository + "/procedures", folder + "/" + odd, fs::copy_options::recursive);
    const Ran ran =
        run({"print", "2026-0426", "--shop", odd, "--out", "out put", "--depfile", "cards.d"}, {.folder = folder});
    CAPTURE(ran.err);
    REQUIRE(ran.status == 0);
    const std::string written = odd + "/catalogue/engine.yaml";
    SUBCASE("ninja") {
        write(folder + "/build.ninja",
              "rule touch\n  command = false\n  depfile = cards.d\nbuild out$ put/2026-0426.pdf: touch\n");
        const Ran why = shell("ninja -n -d explain", folder);
        CAPTURE(why.out);
        CAPTURE(why.err);
        CHECK((why.out + why.err).find("missing") == std::string::npos);
        later();
        write(folder + "/" + written, read(folder + "/" + written) + "\n");
        const Ran dirty = shell("ninja -n -d explain", folder);
        CHECK((dirty.out + dirty.err).find("recent input " + written) != std::string::npos);
    }
    SUBCASE("make") {
        write(folder + "/Makefile", "include cards.d\nout\\ put/2026-0426.pdf:\n\tfalse\n");
        CHECK(shell("make -q 'out put/2026-0426.pdf'", folder).status == 0);
        later();
        write(folder + "/" + written, read(folder + "/" + written) + "\n");
        CHECK(shell("make -q 'out put/2026-0426.pdf'", folder).status == 1);
    }
}

TEST_CASE("a depfile is written with all that it tells of, or nothing is") {
    const std::string folder = scratch("build-engine-none");
    const std::string shop = "star*";
    fs::copy(repository + "/procedures", folder + "/" + shop, fs::copy_options::recursive);
    const Ran no_way = run({"print", "2026-0426", "--shop", shop, "--depfile", "cards.d"}, {.folder = folder});
    CHECK(no_way.status == 3);
    CHECK(no_way.err.find("`*`") != std::string::npos);
    CHECK(!fs::exists(folder + "/out"));
    CHECK(!fs::exists(folder + "/cards.d"));

    fs::rename(folder + "/" + shop, folder + "/shop");
    const Ran no_folder =
        run({"print", "2026-0426", "--shop", "shop", "--depfile", "shop/shop.yaml/cards.d"}, {.folder = folder});
    CHECK(no_folder.status == 3);
    CHECK(!fs::exists(folder + "/out/2026-0426.pdf"));

    write(folder + "/shop/driveline/chain-service.yaml", "procedure: chain-service\n");
    const Ran one_refused =
        run({"print", "2026-0426", "2026-0421", "--shop", "shop", "--depfile", "cards.d"}, {.folder = folder});
    CHECK(one_refused.status == 1);
    CHECK(!fs::exists(folder + "/out/2026-0426.pdf"));
    CHECK(!fs::exists(folder + "/cards.d"));

    // A list of yesterday.
    const std::vector<std::string> with_lists = {"print",     "2026-0426", "--shop",     "shop",
                                                 "--depfile", "cards.d",   "--bindings", "lists"};
    const Ran no_lists = run(with_lists, {.folder = folder});
    CHECK(no_lists.status == 3);
    CHECK(no_lists.err.find(".txt is not what the catalogues say now: run `benchleaf bindings --shop shop --out lists` "
                            "first") != std::string::npos);
    REQUIRE(run({"bindings", "--shop", "shop", "--out", "lists"}, {.folder = folder}).status == 0);
    CHECK(read(folder + "/lists/disc-brake.txt") ==
          "# What others have to do with disc-brake. Made by `benchleaf bindings`.\nbrake-fluid: front-brake\n");
    CHECK(run(with_lists, {.folder = folder}).status == 0);
    CHECK(read(folder + "/cards.d").find("lists/wheels.txt") != std::string::npos);
    fs::remove(folder + "/cards.d");
    fs::remove_all(folder + "/out");
    write(folder + "/shop/catalogue/hub-bearing.yaml",
          read(folder + "/shop/catalogue/hub-bearing.yaml") + "\n  spokes: { name: spokes, of: front-wheel }\n");
    CHECK(run(with_lists, {.folder = folder}).status == 3);
    CHECK(!fs::exists(folder + "/out/2026-0426.pdf"));

    const Ran to_nowhere =
        run({"print", "2026-0426", "--shop", "shop", "--as", "text", "--depfile", "cards.d"}, {.folder = folder});
    CHECK(to_nowhere.status == 2);
}

TEST_CASE("a depfile takes the place of no card, and of nothing that one is made of") {
    const std::string folder = scratch("build-engine-place");
    fs::copy(repository + "/procedures", folder + "/shop", fs::copy_options::recursive);
    const std::string before = read(folder + "/shop/shop.yaml");
    for (const std::string depfile : {"out/2026-0426.pdf", "shop/../out/./2026-0426.pdf", "shop/shop.yaml"}) {
        CAPTURE(depfile);
        const Ran refused = run({"print", "2026-0426", "--shop", "shop", "--depfile", depfile}, {.folder = folder});
        CHECK(refused.status == 3);
        CHECK(refused.err.find(depfile + " is to be printed, or") != std::string::npos);
        CHECK(!fs::exists(folder + "/out/2026-0426.pdf"));
    }
    CHECK(read(folder + "/shop/shop.yaml") == before);
}

TEST_CASE("a variable that nobody has set leaves nothing out") {
    const std::string folder = scratch("build-engine-unset");
    fs::copy(repository + "/procedures", folder + "/procedures", fs::copy_options::recursive);
    using Line = std::vector<std::string>;
    for (const Line& line : {Line{"print", "2026-0426", "--depfile", "cards.d", "--bindings", ""},
                             Line{"print", "2026-0426", "--depfile", "cards.d", "--bindings="},
                             Line{"print", "2026-0426", "--depfile", ""}, Line{"bindings", "--out", ""}}) {
        CAPTURE(line.back());
        CHECK(run(line, {.folder = folder}).status == 2);
        CHECK(!fs::exists(folder + "/out"));
        CHECK(!fs::exists(folder + "/wheels.txt"));
    }
}
