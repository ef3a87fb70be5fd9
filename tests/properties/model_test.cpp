// Laws of the model stage: what is printed reads back, the order of keys says nothing, every declared key has an example
// that reads, and the reference page in docs/ is the one that the declarations give.
#include "base/text.h"
#include "messages/message.h"
#include "messages/render.h"
#include "model/dump.h"
#include "model/lay_over.h"
#include "model/read.h"
#include "model/reference_page.h"
#include "model/schema.h"
#include "model/tables.h"
#include "model/verbs.h"
#include "source/source.h"
#include "syntax/syntax.h"
#include "units/quantity.h"

#include <algorithm>
#include <chrono>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <memory>
#include <random>
#include <sstream>

using namespace benchleaf;

namespace {

struct Shop {
    source::Sources sources;
    messages::Messages messages;
    model::Model model;
    std::string said() const { return messages::render_human(messages, sources, {}); }
};

using Files = std::vector<std::pair<std::string, std::string>>;

std::unique_ptr<Shop> read(const Files& files) {
    auto shop = std::make_unique<Shop>();
    for (const auto& [path, text] : files) {
        const auto id = shop->sources.add(path, text);
        const auto syntax = syntax::parse(shop->sources, id, shop->messages);
        model::read(syntax, shop->sources, shop->model, shop->messages);
    }
    return shop;
}

Files demo_shop() {
    namespace fs = std::filesystem;
    const fs::path root = fs::path(BENCHLEAF_SOURCE_DIR) / "procedures";
    Files files;
    for (const auto& entry : fs::recursive_directory_iterator(root)) {
        const std::string path = fs::relative(entry.path(), root).generic_string();
        if (entry.path().extension() != ".yaml" || path.starts_with("records/")) continue;
        std::ifstream in(entry.path(), std::ios::binary);
        std::stringstream all;
        all << in.rdbuf();
        files.emplace_back(path, all.str());
    }
    std::sort(files.begin(), files.end());
    return files;
}

Files printed(const model::Model& model) {
    Files files;
    for (auto& file : model::print(model)) files.emplace_back(file.path, file.text);
    return files;
}

// Every key of every kind, so that a key that is not printed or not compared is seen.
const Files& everything() {
    static const Files files = {{"records/ct-0417/all-1.yaml", R"(record: all-1
job: all-1
vehicle: all
name: All
identity: { frame: CT-0417 }
meter: 12 460 km
date: 2026-03-02
next-service: 18 460 km
next-service-date: 2026-09-02
customer: R. Alder
note: pulls
corrects: all-0
continues: all-00
reason: "left and right: mixed up"
outcome: not-to-be-driven
stopped: { card: 1, date: 2026-03-02, time: "17:30", step: 3, state: on stands }
cards:
  - card: front-disc-service
    title: Title
    revision: 3
    digest: 5d0c9a51c0f1e2d3
    since: [one, two]
    readings:
      - { step: 1, limit: lining, of: pad, at: left, round: 2, read: [4.4 mm, 4.5 mm], minimum: 2 mm, maximum: 9 mm, within: 2..9 mm, uncertainty: 0.1 mm, keep: 4.1 mm, verdict: not-to-next-service, limit-at: 24 100 km }
      - { step: 2, limit: brake/lining, not-read: no gauge }
    found: { step: 4, of: disc, at: left, found: act-now }
    answers: { step: 9, at: left, round: 1, asked: "Is it so?", answer: no }
    tightened: { step: 35, of: bolt, at: left, round: 1, to: 23 N·m, read: 23.4 N·m, by: AB }
    checked: { step: 35, at: left, round: 1, by: AB, time: "16:40", independent: not independent }
    renewed: { step: 20, of: pad, at: left, count: 2, batch: FP-2210 / 0926 }
    written: { step: 3, at: left, asked: What, written: "212 °C" }
    not-ticked: [8, 9]
    also-found: left boot torn
    declined: new tyres
    earlier: { job: all-0, of: disc, at: left, also-found: boot torn, declined: new tyres, done: no }
    recheck: "recheck after 50 km"
    later: full strength after 24 h
    done-by: AB
    checked-by: CD
    wrenches: FW-0118
    gauges: FW-0031
    date: 2026-03-02
    time: "17:30"
used: { what: grease, amount: 2 g }
boxes: { step-1/tick/1: x, "a b": "#" }
seal: 0f
)"},
                                {"approvals/all-0.yaml", R"(approval: all-0
procedure: work
revision: 3
digest: "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"
by: AB
date: 2026-11-26
note: read against "the manual"
signature: "-----BEGIN SSH SIGNATURE-----\nU1NI\n-----END SSH SIGNATURE-----\n"
)"},
                                {"answers/all-1.yaml", R"(answers: all-1
boxes: { step-1/tick/1: x }
)"},
                                {"shop.yaml", R"(shop: all-keys
name: "All keys: a shop, \"quoted\" \\ #1"
paper: letter
language: pt-BR
prints: { torque: [N·m, lbf·ft], length: [mm, in], distance: km, volume: mL, pressure: [kPa, psi] }
margin: 1.5
second-check: same-person-later
wrenches:
  small: { name: wrench S, range: 4..20 N·m, accuracy: 4 %, length: 240 mm, serial: A-1, calibrated-until: 2027-03-01 }
signs: [AB, CD]
foot: "- no list, but a text"
)"},
                                {"catalogue/all.yaml", R"(catalogue: all
uses: [other, more]
parts:
  plain: plain part
  part:
    name: a part
    system: brake
    count: 2
    held-by: [bolt, all/clip]
    also: { swung: bolt, tilted: [bolt, clip] }
    behind: plain
    inside: plain
    circuit: brake
    surfaces: { lining: friction, back: contact }
    renew-together: [part, plain]
    renew-with: plain
    reuse: never
    lubricant: grease
    needs: { lift: up }
    while: { remove: { lift: up }, fit: { lift: down, bolt: off } }
    each: side
    only-on: { front-brake: [disc, drum] }
    cautions: dust
fasteners:
  bolt:
    name: bolt
    count: 5
    thread: M8x1.25
    class: "8.8"
    head: 12 mm hex
    duty: hollow
    hand: left
    behind: plain
    inside: plain
    threadlock: locker
    lubricant: grease
    critical: false
    not-critical: It only keeps it straight.
    opens: brake
    vents: brake
    renew-with: [plain]
    locks: clip
    reuse: allowed
    pattern: star
    passes: 3
    recheck-after: 50 km
    needs: { lift: up }
    while: { torque: { lift: down } }
    each: side
    only-on: { front-brake: disc }
    cautions: [dust]
  clip: { name: clip, secured-by: fit, critical: true }
circuits:
  brake: { name: brake, sort: hydraulic, fluid: fluid, seals: epdm, holds: 150 mL, settles-in: 5 min, behind: plain, needs: { lift: up }, while: { open: { lift: up } }, each: side, only-on: { a: b }, cautions: dust }
settings:
  lift: { name: lift, states: [down, up], rest: any, unsafe-to-leave: [up], needs: { lift: up }, while: { set: { bolt: tight } }, each: side, only-on: { a: b }, cautions: dust }
adjustments:
  slack: { name: slack, disturbed-by: bolt, proved-by: [size], after: lift, behind: plain, needs: { lift: up }, while: { adjust: { bolt: loose } }, each: side, only-on: { a: b }, cautions: dust }
torques:
  bolt: { value: [20 N·m, 40 N·m ±10 %, +90°], threads: thread-locked, source: invented }
limits:
  size: { name: size, of: [part], new: 9.0 mm, minimum: 2.0 mm, maximum: 10 mm, reads-to: 0.1 mm, uncertainty: 0.1 mm, wears-with: km, points: 8, source: invented, cautions: dust }
  gap: { of: part, within: 25..35 mm, unit: mm, difference: { over: side, maximum: 1 mm } }
consumables:
  locker: { name: locker, sort: thread-locker, unsafe-on: [friction, sliding], spoils: [epdm, nbr], never-mix-with: fluid, wets: true, flammable: true, clears-in: 10 min, sets-in: 20 min, full-in: 24 h, unit: drop, cautions: dust }
  fluid: { name: fluid, sort: fluid }
tools:
  brush: { name: brush, blows: true, flame: false, dry-brush: true, cautions: dust }
  cloth: cloth
cautions:
  dust: { level: warning, hazard: "Dust harms the lungs: badly.", avoid: Keep it wet. }
)"},
                                {"vehicles/trike.yaml", R"(vehicle: trike
name: Trike
has: { front-brake: disc }
axes: { cylinder: [1, 2], rear: middle }
wheels: { front: [left, right], rear: middle }
formerly: [cart]
only: { all/part: { side: left }, bolt: { side: [left, right] } }
torques: { bolt: { value: contact +270° } }
limits: { size: { new: 8.5 mm } }
items: { bolt: { count: 4, thread: M10x1 }, brake: { holds: 2.1 L }, lift: { states: [up, down] }, slack: { after: [lift] }, part: { also: { swung: [] } } }
cautions: dust
)"},
                                {"brakes/work.yaml", R"(procedure: work
title: Work – all of it
revision: 3
uses: [all]
fits: { front-brake: disc }
each: side
axle: front
why: To have every key once.
starts-with: { lift: up, part: { place: off, owes: [prime] }, brake: { owes: [fill, bleed] } }
ends-with: { lift: down }
cautions: [dust]
protection: [gloves, goggles]
torques: { bolt: { threads: dry } }
limits: { size: { minimum: 2.5 mm } }
steps:
  - Park it.
  - say: Chock it.
    why: It rolls.
  - section: One
    once: true
    why: For both sides.
  - slacken: bolt
    id: one
    say: Slacken {bolt}.
    why: Because.
    caution: { level: notice, hazard: It drips., avoid: Use a tray. }
    cautions: [dust]
    tool: [brush, cloth]
    picture: pictures/a.png
    minutes: 5 min
    when: { front-brake: [disc] }
    only: { side: left }
    allow: { two-actions: "It is one movement, really." }
    second-check: true
  - remove: [bolt, all/part]
    picture:
      file: pictures/b.jpg
      shows: The bolt.
      marks: { bolt: 35 % 40 %, all/part: [1 % 2 %, 3.25 % 4.5 % from 50 % 100 %], A thing: 5 % 6 % }
    caution:
      - { level: notice, hazard: A., avoid: B. }
      - { level: danger, hazard: C., avoid: D. }
  - move: { part: swung }
  - set: { lift: up, all/lift: down }
  - apply: locker
    to: [bolt]
    surface: [thread]
    amount: 2 drop
  - clean: bolt
    with: [brush, fluid]
  - fill: brake
    amount: 100 mL
  - inspect: part
    look-for: Cracks, oil.
    id: look
  - wait: 20 min
    for: locker
  - torque: bolt
    record: value
  - record: Batch of the new part
  - do: other
  - measure: size
  - decide: [size, look]
    id: sound
    if-so:
      - mark: bolt
    if-not:
      - renew: part
      - ask: Is it there?
        id: there
        if-not: [ { stop: It is not there. } ]
  - decide: look
    id: later
  - if-answered: { later: no, sound: yes }
    steps:
      - Write it down.
  - again: { from: one, until: "Does it ring clear?", at-most: 3, else: [ { stop: It does not ring. } ] }
  - again: { from: one, until: [size, look], at-most: 2, else: [ Ask for help. ] }
)"},
                                {"jobs/2026-0001.yaml", R"(job: 2026-0001
vehicle: trike
identity: { registration: TX 30 418, frame: "007" }
meter: 12 460 km
next-service: +6 000 km
next-service-date: 2027-11-25
date: 2026-11-25
do: [work, other]
customer: R. Alder
note: |
  Pulls to the left.
  Squeals.
torques: { bolt: { source: repaired thread } }
limits: { size: { minimum: 3 mm } }
)"}};
    return files;
}

} // namespace

TEST_CASE("the demo shop is read without a message about its keys") {
    const auto shop = read(demo_shop());
    CHECK_MESSAGE(shop->messages.all().empty(), shop->said());
    CHECK(shop->model.shops.size() == 1);
    CHECK(shop->model.catalogues.size() >= 10);
    CHECK(shop->model.procedures.size() >= 8);
}

TEST_CASE("a printed model reads back") {
    for (const Files& files : {everything(), demo_shop()}) {
        const auto first = read(files);
        CHECK_MESSAGE(first->messages.all().empty(), first->said());
        const auto second = read(printed(first->model));
        CHECK_MESSAGE(second->messages.all().empty(), second->said());
        CHECK(model::same(first->model, second->model));
        CHECK(model::dump(first->model) == model::dump(second->model));
    }
}

TEST_CASE("every declared key and every verb is in the shop of all keys, so the laws here see it") {
    std::string all;
    for (const auto& [path, text] : everything()) all += text;
    for (const model::Table* table : model::all_tables())
        for (const model::Row& row : table->rows) {
            CAPTURE(table->called);
            CAPTURE(row.says->name);
            CHECK(all.find(fmt::format("{}:", row.says->name)) != std::string::npos);
            CHECK(row.says->example.starts_with(fmt::format("{}: ", row.says->name)));
            CHECK(!row.says->help.empty());
            source::Sources sources;
            messages::Messages messages;
            (void)syntax::parse(sources, sources.add("x.yaml", std::string(row.says->example) + "\n"), messages);
            CHECK_MESSAGE(messages.all().empty(), row.says->example);
        }
}

TEST_CASE("a difference in any value is seen") {
    const auto first = read(everything());
    std::size_t changed = 0;
    for (std::size_t f = 0; f < everything().size(); ++f) {
        const std::string& text = everything()[f].second;
        // Another digit in place of each that stands in a figure or a text.
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (text[i] < '1' || text[i] > '8') continue;
            Files files = everything();
            files[f].second[i] = static_cast<char>(text[i] + 1);
            const auto second = read(files);
            if (!second->messages.all().empty()) continue; // no longer a thread, a date, the file's own name …
            ++changed;
            INFO(text.substr(i < 20 ? 0 : i - 20, 40));
            CHECK(!model::same(first->model, second->model));
        }
    }
    CHECK(changed > 50);
}

TEST_CASE("reordering keys changes nothing") {
    std::mt19937 random(7); // NOLINT: the same order each time
    for (int round = 0; round < 5; ++round) {
        Files files = everything();
        const auto first = read(files);
        for (auto& [path, text] : files) {
            // The keys at the left margin, each with what is indented below it; the first one names the kind.
            std::vector<std::string> blocks;
            for (const std::string_view line : base::split(text, '\n')) {
                if (line.empty()) continue;
                if (line.front() != ' ') blocks.emplace_back();
                blocks.back() += std::string(line) + "\n";
            }
            std::shuffle(blocks.begin() + 1, blocks.end(), random);
            text.clear();
            for (const std::string& block : blocks) text += block;
        }
        const auto second = read(files);
        CHECK_MESSAGE(second->messages.all().empty(), second->said());
        CHECK(model::same(first->model, second->model));
    }
}

TEST_CASE("a difference is laid over what it differs from, key by key") {
    const auto shop = read(everything());
    model::Fastener bolt = shop->model.catalogues[0].fasteners->value[0].value;
    const model::Fastener before = bolt;
    model::lay_over(bolt, shop->model.vehicles[0].items->value[0].value.fastener);
    CHECK(bolt.count->value == 4);
    CHECK(before.count->value == 5);
    CHECK(bolt.thread->value.designation != before.thread->value.designation);
    CHECK(bolt.name->value == before.name->value);
    CHECK(bolt.recheck_after->value.quantity == before.recheck_after->value.quantity);
    model::Limit size = shop->model.catalogues[0].limits->value[0].value;
    model::lay_over(size, shop->model.procedures[0].limits->value[0].value);
    model::lay_over(size, shop->model.jobs[0].limits->value[0].value);
    CHECK(units::print(size.minimum->value.quantity, {.plain_spaces = true}) == "3 mm");
    CHECK(size.of.has_value());
}

TEST_CASE("the reference page in docs/ is the one that the declarations give") {
    const std::string path = BENCHLEAF_SOURCE_DIR "/docs/language.md";
    const std::string page = model::reference_page();
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    if (bless != nullptr && std::string_view(bless) == "1") std::ofstream(path, std::ios::binary) << page;
    std::ifstream in(path, std::ios::binary);
    std::stringstream now;
    now << in.rdbuf();
    CHECK_MESSAGE(now.str() == page, "run tests/bless, and look at the difference");
    for (const model::Verb& verb : model::all_verbs())
        CHECK(page.find(fmt::format("| `{}` |", verb.word)) != page.npos);
}

TEST_CASE("whatever bytes are read, the stage returns and one mistake stays a message") {
    // Each line of the shop of all keys taken out, and each doubled indentation: never a crash, never silence where the
    // syntax is refused.
    std::mt19937 random(11); // NOLINT: the same each time
    const Files& files = everything();
    for (int round = 0; round < 300; ++round) {
        Files changed = files;
        auto& text = changed[static_cast<std::size_t>(round) % changed.size()].second;
        const std::size_t at = random() % text.size();
        switch (round % 4) {
        case 0:
            text.erase(at, random() % 20);
            break;
        case 1:
            text.insert(at, ": ");
            break;
        case 2:
            text.insert(at, "[x, {y: z}]");
            break;
        default:
            std::swap(text[at], text[random() % text.size()]);
        }
        const auto shop = read(changed);
        (void)model::dump(shop->model);
        CHECK(shop->said().size() < 1000000);
    }
}
