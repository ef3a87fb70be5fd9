// A card that was filled in by another program (poppler) gives the same record as typing it.
#include "gates/program.h"
#include "gates/talk.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

// Pads that do not last: with a part number, and a finding.
std::optional<std::string> somebody(const std::string& asked) {
    static const std::vector<std::pair<std::string, std::string>> says = {
        {"disc thickness", "4.40 mm"},
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

// `  box: text` of a record, as it was filled in.
std::map<std::string, std::string> boxes_of(const std::string& record) {
    std::map<std::string, std::string> boxes;
    for (std::size_t at = record.find("\nboxes:\n") + 8; at < record.size() && record.compare(at, 2, "  ") == 0;) {
        const std::size_t end = record.find('\n', at);
        const std::size_t colon = record.find(": ", at);
        std::string text = record.substr(colon + 2, end - colon - 2);
        if (text.starts_with('"')) text = text.substr(1, text.size() - 2);
        boxes[record.substr(at + 2, colon - at - 2)] = text;
        at = end + 1;
    }
    return boxes;
}

} // namespace

TEST_CASE("a filled-in card gives the same record as typing it, also after the files have changed") {
    const std::string at = scratch("record-form");
    const auto shop = [&at](const std::string& name) {
        fs::copy(demo, at + "/" + name, fs::copy_options::recursive);
        return at + "/" + name;
    };
    const std::string typed = shop("typed");
    const Talk talked = talk({"--shop", typed, "record", "--out", at + "/pages", "2026-0412"}, somebody);
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    const std::string record = read(typed + "/records/oh3-00417/2026-0412.yaml");
    CHECK(has(record, "verdict: not-to-next-service"));
    CHECK(has(record, "batch: FP-2210 / 0926"));
    const auto boxes = boxes_of(record);
    REQUIRE(boxes.size() > 200);

    // As whoever fills it in on a screen: a unit that is printed beside a box is not written once more.
    std::string texts;
    for (const auto& [box, text] : boxes) {
        std::string written = text == "x" ? "Yes" : text;
        if (has(box, "/reading-") && written.ends_with(" mm")) written.resize(written.size() - 3);
        texts += box + "\t" + written + "\n";
    }
    write(at + "/texts", texts);
    const std::string form = shop("form");
    REQUIRE(run({"--shop", form, "print", "2026-0412", "--out", at}).status == 0);
    const Ran filled = run("/usr/bin/python3", {std::string(BENCHLEAF_SOURCE_DIR) + "/tests/outside/form.py", "fill",
                                                at + "/2026-0412.pdf", at + "/filled.pdf", at + "/texts"});
    REQUIRE_MESSAGE(filled.status == 0, filled.err);
    Ran ran = run({"--shop", form, "record", "--out", at + "/pages", "2026-0412", "--from", at + "/filled.pdf"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(read(form + "/records/oh3-00417/2026-0412.yaml") == record);

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
                                if (has(line, "the foot of the card"))
                                    return has(line, "stop") ? "stop" : "e01c 09aa f8c3 8666";
                                return has(line, "no card of") ? std::optional<std::string>("stop") : std::nullopt;
                            });
    CHECK(has(other.ran.err, "that paper was printed from other files"));
}
