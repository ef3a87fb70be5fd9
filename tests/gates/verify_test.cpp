// A card on paper is told from the one that would be printed today, by its code square and by its PDF; the square is read by another program (zbarimg).
#include "gates/program.h"

#include <doctest/doctest.h>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string shop_in(const std::string& folder) {
    fs::copy(demo, folder + "/shop", fs::copy_options::recursive);
    return folder + "/shop";
}

void change(const std::string& path, const std::string& from, const std::string& to) {
    std::string text = read(path);
    REQUIRE(has(text, from));
    text.replace(text.find(from), from.size(), to);
    write(path, text);
}

// What the square on a page says.
std::string square(const std::string& folder, const std::string& pdf, const std::string& page) {
    REQUIRE(
        run("/usr/bin/pdftoppm", {"-r", "200", "-gray", "-singlefile", "-f", page, "-l", page, pdf, folder + "/page"})
            .status == 0);
    const Ran ran = run("/usr/bin/zbarimg", {"--quiet", "--raw", folder + "/page.pgm"});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    return ran.out.substr(0, ran.out.find('\n'));
}

} // namespace

TEST_CASE("a card is current until what it was made of changes, and then it is said what") {
    const std::string at = scratch("verify");
    const std::string shop = shop_in(at);
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 0);
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--language", "de", "--split", "--out", at + "/de"}).status ==
            0);
    const std::string pdf = at + "/2026-0412.pdf";
    const std::string code = square(at, pdf, "7");
    CHECK(has(code, "BENCHLEAF 2026-0412 front-disc-service 3 "));
    const std::string german = square(at, at + "/de/2026-0412-2-front-disc-service.pdf", "1");
    CHECK(german != code);

    // As it stands: by the square, in another language, with blanks that somebody typed, and by the booklet.
    for (const std::string& each : {code, german, "  " + code + " "}) {
        const Ran ran = run({"--shop", shop, "verify", each});
        CHECK(ran.status == 0);
        CHECK(has(ran.out, ", current\n"));
    }
    Ran ran = run({"--shop", shop, "verify", pdf});
    CHECK(ran.status == 0);
    CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 5); // the cover sheet and four cards
    // Printed without boxes it carries the same.
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--no-form", "--out", at + "/plain"}).status == 0);
    const std::string plain = at + "/plain/2026-0412.pdf";
    CHECK(run({"--shop", shop, "verify", plain}).out == ran.out);
    CHECK(has(run({"--shop", shop, "record", "2026-0412", "--card", plain, "--sheet"}).out,
              "card-2/step-5/reading-1/1:"));
    CHECK(has(run({"--shop", shop, "record", "2026-0412", "--from", plain}).err, "it holds no form fields"));
    // A comment in a file changes nothing of the card.
    change(shop + "/vehicles/ostrel-haul-300.yaml", "vehicle: ostrel-haul-300",
           "# looked over\nvehicle: ostrel-haul-300");
    CHECK(run({"--shop", shop, "verify", pdf}).status == 0);
    // One torque: that card, the cover sheet that lists it, and no other.
    change(shop + "/vehicles/ostrel-haul-300.yaml", "lower-guide-bolt: { value: 23 N·m",
           "lower-guide-bolt: { value: 25 N·m");
    ran = run({"--shop", shop, "verify", pdf});
    CHECK(ran.status == 1);
    CHECK(has(ran.out, "step 35: lower guide bolt 23 N·m ±10 % → 25 N·m ±10 %"));
    CHECK(has(ran.out, "2026-0412 front-wheels-on: "));
    std::size_t superseded = 0;
    for (std::size_t i = ran.out.find(", superseded"); i != std::string::npos; i = ran.out.find(", superseded", i + 1))
        ++superseded;
    CHECK(superseded == 2);
    CHECK(has(run({"--shop", shop, "verify", code, "--json"}).out, "\"state\": \"superseded\""));
    ran = run({"--shop", shop, "verify", at + "/de/2026-0412-2-front-disc-service.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.out, "step 35: lower guide bolt 23 N·m ±10 % → 25 N·m ±10 %"));
    // A new revision is named.
    change(shop + "/brakes/front-disc-service.yaml", "revision: 3", "revision: 4");
    CHECK(has(run({"--shop", shop, "verify", code}).out, "it is revision 3, and there is revision 4"));
    // The card, the job, and at last its files are gone.
    change(shop + "/jobs/2026-0412.yaml", "front-disc-service, ", "");
    CHECK(has(run({"--shop", shop, "verify", code}).out, "superseded\n"));
    fs::remove(shop + "/jobs/2026-0412.yaml");
    ran = run({"--shop", shop, "verify", code});
    CHECK(ran.status == 1);
    CHECK(has(ran.out, "unknown\n  the shop has no job 2026-0412"));
}

TEST_CASE("blank cards, and what is no card") {
    const std::string at = scratch("verify-blank");
    const std::string shop = shop_in(at);
    REQUIRE(run({"--shop", shop, "print", "front-disc-service", "--vehicle", "ostrel-haul-300", "--out", at}).status ==
            0);
    const std::string pdf = at + "/front-disc-service-ostrel-haul-300.pdf";
    const std::string code = square(at, pdf, "1");
    CHECK(has(code, "BENCHLEAF - front-disc-service 3 "));
    CHECK(run({"--shop", shop, "verify", code}).status == 0);
    CHECK(run({"--shop", shop, "verify", pdf}).status == 0);
    change(shop + "/vehicles/ostrel-haul-300.yaml", "lower-guide-bolt: { value: 23 N·m",
           "lower-guide-bolt: { value: 25 N·m");
    Ran ran = run({"--shop", shop, "verify", pdf});
    CHECK(ran.status == 1);
    CHECK(has(ran.out, "front-disc-service, blank: "));
    CHECK(has(ran.out, "no vehicle of the shop gives this card now"));

    CHECK(run({"--shop", shop, "verify", "BENCHLEAF 2026-0412 front-disc-service 3"}).status == 2);
    CHECK(run({"--shop", shop, "verify", "BENCHLEAF 2026-0412 front-disc-service 3 NOTHEXADECIMAL00"}).status == 2);
    CHECK(run({"--shop", shop, "verify", shop + "/shop.yaml"}).status == 2);
    CHECK(run({"--shop", shop, "verify", at + "/nothing.pdf"}).status == 2);
    write(at + "/torn.pdf", read(pdf).substr(0, 5000));
    ran = run({"--shop", shop, "verify", at + "/torn.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "torn.pdf"));
}
