// A card that was filled in by another program (poppler) gives the same record as typing it.
#include "gates/program.h"
#include "gates/small_shop.h"
#include "gates/talk.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

// Pads that do not last: with a part number, and a finding.
std::string disc = "4.40 mm";
std::optional<std::string> somebody_careful(const std::string& asked) {
    const std::vector<std::pair<std::string, std::string>> says = {
        {"disc thickness", disc},
        {"disc runout", "0.02 0.03 0.05 0.04 0.03 0.02 0.01 0.02 mm"},
        {"lining thickness, ", "4.1 mm"},
        {"gauge used", "FW-0031, FW-0032"},
        {"part number", "FP-2210 / 0926"},
        {"Customer told", "told"},
        {"Also found", "left boot torn – μικρή ρωγμή"}};
    for (const auto& [words, answer] : says)
        if (has(asked, words) && !has(asked, "Is all")) return answer;
    if (asked.ends_with("] > ")) return "";
    if (has(asked, "econd check")) return "CD";
    if (has(asked, "initials")) return "AB";
    if (has(asked, "good, advise")) return "good";
    if (has(asked, "yes or no") || asked.ends_with("yes > ")) return "yes";
    if (has(asked, "  time")) return "14:30";
    return "skip";
}

std::string shop_in(const std::string& folder, const std::string& name) {
    fs::copy(demo, folder + "/" + name, fs::copy_options::recursive);
    return folder + "/" + name;
}

// The boxes of the record that typing makes, with that size of both discs.
std::map<std::string, std::string> typed_boxes(const std::string& folder, const std::string& size) {
    static std::map<std::string, std::map<std::string, std::string>> known; // they are the same each time
    if (const auto found = known.find(size); found != known.end()) return found->second;
    disc = size;
    const std::string shop = shop_in(folder, "typed " + size);
    const Talk talked = talk({"--shop", shop, "record", "--out", folder + "/pages", "2026-0412"}, somebody_careful);
    disc = "4.40 mm";
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    return known[size] = boxes_of(read(shop + "/records/oh3-00417/2026-0412.yaml"));
}

// Poppler fills in what of the boxes begins with `prefix`, by the rest of their names; a unit that is printed beside a box is not written once more.
void fill(const std::map<std::string, std::string>& boxes, const std::string& prefix, const std::string& pdf,
          const std::string& to, bool decimal_comma = false) {
    std::string texts;
    for (const auto& [box, text] : boxes) {
        if (!box.starts_with(prefix)) continue;
        std::string written = text == "x" ? "Yes" : text;
        if (has(box, "/reading-") && written.ends_with(" mm")) {
            written.resize(written.size() - 3);
            if (decimal_comma) std::replace(written.begin(), written.end(), '.', ',');
        }
        texts += box.substr(prefix.size()) + "\t" + written + "\n";
    }
    write(to + ".texts", texts);
    const Ran filled = run("/usr/bin/python3", {std::string(BENCHLEAF_SOURCE_DIR) + "/tests/outside/form.py", "fill",
                                                pdf, to, to + ".texts"});
    REQUIRE_MESSAGE(filled.status == 0, filled.err);
}

} // namespace

TEST_CASE("a filled-in card gives the same record as typing it, also after the files have changed") {
    const std::string at = scratch("record-form");
    const auto shop = [&at](const std::string& name) { return shop_in(at, name); };
    const std::string typed = shop("typed");
    const Talk talked = talk({"--shop", typed, "record", "--out", at + "/pages", "2026-0412"}, somebody_careful);
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    const std::string record = read(typed + "/records/oh3-00417/2026-0412.yaml");
    CHECK(has(record, "verdict: not-to-next-service"));
    CHECK(has(record, "batch: FP-2210 / 0926"));
    const auto boxes = boxes_of(record);
    REQUIRE(boxes.size() > 200);

    const std::string form = shop("form");
    REQUIRE(run({"--shop", form, "print", "2026-0412", "--out", at}).status == 0);
    fill(boxes, "", at + "/2026-0412.pdf", at + "/filled.pdf");
    Ran ran = run({"--shop", form, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/filled.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(read(form + "/records/oh3-00417/2026-0412.yaml") == record);

    // What reads such a card is a file of its own, so that no start pays for libqpdf; the program by itself says what it lacks.
    CHECK(!has(read(program()), "libqpdf.so"));
    const std::string alone = at + "/alone/benchleaf";
    fs::create_directories(at + "/alone");
    fs::copy_file(program(), alone);
    ran = run(alone, {"--shop", form, "record", "2026-0418", "--from", at + "/filled.pdf"});
    CHECK(ran.status == 3);
    CHECK(has(ran.err, "benchleaf: cannot load what reads filled-in cards; it belongs beside the program: " + at +
                           "/alone/benchleaf-filled.so"));
    CHECK(run(alone, {"explain"}).status == 0);

    // Not of another job, nor twice.
    ran = run({"--shop", form, "record", "--out", at + "/pages", "2026-0418", "--from", at + "/filled.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "is a card of job 2026-0412, not of 2026-0418"));
    CHECK(run({"--shop", form, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/filled.pdf"}).status ==
          1);
    // An empty one says what lacks, and leaves nothing.
    const std::string empty = shop("empty");
    ran = run({"--shop", empty, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/2026-0412.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "[not-signed]"));
    CHECK(!fs::exists(empty + "/records/oh3-00417/2026-0412.yaml"));

    // The torque was changed since it was printed: it is recorded by what it carries, and says so.
    const std::string later = shop("later");
    std::string vehicle = read(later + "/vehicles/ostrel-haul-300.yaml");
    const std::string torque = "lower-guide-bolt: { value: 23 N·m";
    REQUIRE(has(vehicle, torque));
    vehicle.replace(vehicle.find(torque), torque.size(), "lower-guide-bolt: { value: 25 N·m");
    write(later + "/vehicles/ostrel-haul-300.yaml", vehicle);
    ran = run({"--shop", later, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/filled.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    const std::string since = read(later + "/records/oh3-00417/2026-0412.yaml");
    CHECK(has(since, "step 35: lower guide bolt 23 N·m ±10 % → 25 N·m ±10 %"));
    CHECK(has(since, "to: 23 N·m ±10 %"));
    // Without the card, who types is asked which digest stands at its foot.
    const std::string asked = shop("asked");
    write(asked + "/vehicles/ostrel-haul-300.yaml", vehicle);
    const Talk other = talk({"--shop", asked, "record", "--out", at + "/pages", "2026-0412"},
                            [](const std::string& line) -> std::optional<std::string> {
                                static int asked_before = 0;
                                if (!has(line, "the same on the paper")) return std::nullopt;
                                return ++asked_before == 1 ? "e01c 09aa f8c3 8666" : "stop";
                            });
    CHECK(has(other.ran.err, "that paper was printed from other files"));
}

TEST_CASE("cards that were printed one by one, and in another language than the shop's") {
    const std::string at = scratch("record-form-apart");
    const auto boxes = typed_boxes(at, "4.40 mm");
    const std::string shop = shop_in(at, "shop");
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--split", "--language", "de", "--paper", "letter", "--out", at})
                .status == 0);
    const std::vector<std::string> stems = {"2026-0412-1-front-wheels-off", "2026-0412-2-front-disc-service",
                                            "2026-0412-3-front-wheels-on", "2026-0412-4-brake-road-test"};
    std::vector<std::string> record = {"--shop", shop, "record", "--out", at + "/pages", "2026-0412", "--from"};
    for (std::size_t i = 0; i < stems.size(); ++i) {
        const std::string filled = at + "/" + stems[i] + "-filled.pdf";
        fill(boxes, "card-" + std::to_string(i + 1) + "/", at + "/" + stems[i] + ".pdf", filled, true);
        if (i + 1 < stems.size()) record.push_back(filled);
    }
    // One is forgotten: one message.
    Ran ran = run(record);
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "what the work needs of card 4 is not in these files"));
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
    // All, the cover sheet too.
    record.push_back(at + "/2026-0412-0-cover.pdf");
    record.push_back(at + "/" + stems.back() + "-filled.pdf");
    ran = run(record);
    CHECK_MESSAGE(ran.status == 0, ran.err);
    const std::string written = read(shop + "/records/oh3-00417/2026-0412.yaml");
    CHECK(boxes_of(written) == boxes);
    CHECK(has(written, "verdict: not-to-next-service"));
    CHECK(!has(written, "since:")); // the same files, though the shop's own language is another
    // The same card twice; a file of another kind among them.
    record.push_back(at + "/" + stems.back() + "-filled.pdf");
    ran = run(record);
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "card 4 is filled in here and in"));
    record.back() = at + "/" + stems.back() + "-filled.pdf.texts";
    CHECK(has(run(record).err, "is no PDF; several files are taken of the cards of one job alone"));
    // Printed at another time.
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--split", "--out", at + "/english"}).status == 0);
    record.back() = at + "/english/" + stems.front() + ".pdf";
    CHECK(has(run(record).err, "were not printed together"));
}

TEST_CASE("a card of another making is not taken for this one") {
    const std::string at = scratch("record-form-made");
    const std::string shop = shop_in(at, "shop");
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 0);
    // As an older program had printed it, which made other figures of the same source.
    std::string bytes = read(at + "/2026-0412.pdf");
    const auto codes = run("/usr/bin/pdfinfo", {at + "/2026-0412.pdf"}).out;
    const std::string::size_type code = codes.find("BENCHLEAF 2026-0412 front-disc-service 3 ");
    REQUIRE(code != std::string::npos);
    const std::string digest = codes.substr(code + 41, 16);
    const Ran changed =
        run("/usr/bin/python3",
            {"-c",
             "import pikepdf, sys\n"
             "pdf = pikepdf.open(sys.argv[1])\n"
             "pdf.docinfo['/Keywords'] = str(pdf.docinfo['/Keywords']).replace(sys.argv[3], '0123456789abcdef')\n"
             "pdf.save(sys.argv[2])\n"
             "del pdf.docinfo['/Keywords']\n"
             "pdf.save(sys.argv[2] + '.none.pdf')\n",
             at + "/2026-0412.pdf", at + "/other.pdf", digest});
    REQUIRE_MESSAGE(changed.status == 0, changed.err);
    Ran ran = run({"--shop", shop, "record", "2026-0412", "--from", at + "/other.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "this program makes other cards of what it carries than were printed: its foot says "
                       "0123456789abcdef, and it would be " +
                           digest));
    ran = run({"--shop", shop, "record", "2026-0412", "--card", at + "/other.pdf.none.pdf"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "it does not say which cards it holds"));
}

TEST_CASE("after a way that ended in STOP a second form is taken, and goes on") {
    const std::string at = scratch("record-form-stop");
    const auto bad = typed_boxes(at, "3.60 mm");
    const auto good = typed_boxes(at, "4.40 mm");
    const std::string shop = shop_in(at, "shop");
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 0);
    fill(bad, "", at + "/2026-0412.pdf", at + "/bad.pdf");
    fill(good, "", at + "/2026-0412.pdf", at + "/good.pdf");
    Ran ran = run({"--shop", shop, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/bad.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(has(read(shop + "/records/oh3-00417/2026-0412.yaml"), "outcome: not-to-be-driven"));
    ran = run({"--shop", shop, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/good.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    const std::string written = read(shop + "/records/oh3-00417/2026-0412-2.yaml");
    CHECK(has(written, "continues: 2026-0412\n"));
    CHECK(has(written, "outcome: finished"));
    CHECK(boxes_of(written) == good);
    // What was found the first time does not go without a word.
    const std::string anew = "card 2, step 5: disc thickness, left: 3.60 mm → 4.40 mm";
    CHECK(has(ran.err, "otherwise than in 2026-0412, which stays as it is:\n"));
    CHECK(has(ran.err, anew));
    CHECK(has(written, anew));
}

TEST_CASE("a PDF that has lost boxes, and a paper that asks for less than the shop") {
    const std::string at = scratch("record-form-less");
    const std::string shop = shop_in(at, "shop");
    const auto boxes = typed_boxes(at, "4.40 mm");
    // One box less: whatever it was for, nobody was asked.
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--paper", "a5", "--out", at}).status == 0);
    const Ran cut = run("/usr/bin/python3", {"-c",
                                             "import pikepdf, sys\n"
                                             "pdf = pikepdf.open(sys.argv[1])\n"
                                             "fields = pdf.Root.AcroForm.Fields\n"
                                             "del fields[len(fields) // 2]\n"
                                             "pdf.save(sys.argv[2])\n",
                                             at + "/2026-0412.pdf", at + "/less.pdf"});
    REQUIRE_MESSAGE(cut.status == 0, cut.err);
    Ran ran = run({"--shop", shop, "record", "2026-0412", "--from", at + "/less.pdf"});
    CHECK(ran.status == 1);
    CHECK_MESSAGE(has(ran.err, "its boxes are not those that card"), ran.err);
    // Printed where one may look after his own work; this shop wants another one.
    const std::string alone = shop_in(at, "alone");
    std::string text = read(alone + "/shop.yaml");
    const std::string other = "second-check: other";
    REQUIRE(has(text, other));
    text.replace(text.find(other), other.size(), "second-check: same-person-later");
    write(alone + "/shop.yaml", text);
    REQUIRE(run({"--shop", alone, "print", "2026-0412", "--out", at + "/alone-out"}).status == 0);
    auto own = boxes;
    for (auto& [box, initials] : own)
        if (has(box, "/second-check/")) initials = "AB";
    for (const std::string box : {"card-2/step-35/second-check-time/1", "card-2/step-35/second-check-time/2",
                                  "card-3/step-13/second-check-time/2", "card-3/step-13/second-check-time/3"})
        own[box] = "16:40";
    fill(own, "", at + "/alone-out/2026-0412.pdf", at + "/own.pdf");
    ran = run({"--shop", shop, "record", "2026-0412", "--from", at + "/own.pdf"});
    CHECK(ran.status == 1);
    CHECK_MESSAGE(has(ran.err, "[checked-own-work]"), ran.err);
    ran = run({"--shop", alone, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/own.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
}

TEST_CASE("what could not be read says why, also where one of several points decides") {
    const std::string at = scratch("record-form-unread");
    const std::string shop = shop_in(at, "shop");
    const Talk talked = talk({"--shop", shop, "record", "--out", at + "/pages", "2026-0412"},
                             [&](const std::string& line) -> std::optional<std::string> {
                                 if (has(line, "Is all of this so")) return "";
                                 if (has(line, "disc runout, left")) return "not read: the dial gauge is away";
                                 return somebody_careful(line);
                             });
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    CHECK(has(read(shop + "/records/oh3-00417/2026-0412.yaml"), "not read: the dial gauge is away"));
}

TEST_CASE("of a reading that is no good nothing follows: one mistake is one message") {
    const std::string at = scratch("record-form-side");
    auto boxes = typed_boxes(at, "3.60 mm"); // so no, and STOP
    const std::string shop = shop_in(at, "shop");
    boxes.at("card-2/step-5/reading-1/1") = "36.0 mm";
    boxes.at("card-2/step-5/reading-1/2") = "4.40 mm";
    std::string text = "answers: 2026-0412\nboxes:\n";
    for (const auto& [box, answer] : boxes) text += fmt::format("  {}: \"{}\"\n", box, answer);
    write(at + "/answers.yaml", text);
    const Ran ran = run({"--shop", shop, "record", "2026-0412", "--from", at + "/answers.yaml"});
    CHECK(ran.status == 1);
    CHECK_MESSAGE(has(ran.err, "[reading-off-gauge]"), ran.err);
    CHECK(!has(ran.err, "[answer-contradicts]"));
}

TEST_CASE("typing is short: ticks once a card, all that is good at once, a torque with who set it" *
          doctest::skip(BENCHLEAF_TIME_SLACK > 5)) { // under the sanitizers the others do as much
    const std::string at = scratch("record-form-short");
    const std::string shop = shop_in(at, "shop");
    int asked = 0;
    const Talk talked = talk({"--shop", shop, "record", "--out", at + "/pages", "2026-0412"},
                             [&](const std::string& line) -> std::optional<std::string> {
                                 ++asked;
                                 if (has(line, "the other steps") && has(line, "26–34")) return "14-left 36";
                                 if (has(line, "good, advise")) return "all good";
                                 return somebody_careful(line);
                             });
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    CHECK(asked < 85); // of more than 200 boxes
    CHECK(has(talked.ran.err, "not ticked: 14-left 36"));
    const std::string record = read(shop + "/records/oh3-00417/2026-0412.yaml");
    const auto boxes = boxes_of(record);
    const auto others = typed_boxes(at, "4.40 mm");
    CHECK(boxes.contains("card-2/step-14/tick/2"));
    for (const auto& each : boxes)
        CHECK_MESSAGE((others.contains(each.first) && others.at(each.first) == each.second), each.first);
    for (const auto& each : others) {
        const std::string& box = each.first;
        const bool open = box == "card-2/step-14/tick/1" || box.starts_with("card-2/step-36/tick/");
        CHECK_MESSAGE(boxes.contains(box) != open, box);
    }
    CHECK(has(record, "not-ticked: [14, 36]"));
}
