// A shop's files in an editor: somebody else's YAML language server (npm yaml-language-server 1.25.0, over stdio) gets them as an editor
// shows them, and is asked what a user asks: which keys there are, what a key means, what is wrong and where. What it knows it knows from
// the schemas that `new` and `schema --write` put into the shop. What was asked and answered is in the build folder,
// scratch/editor/transcript.txt; docs/editors.md quotes it.
#include "driver/commands.h"
#include "driver/schema_files.h"
#include "model/tables.h"
#include "model/verbs.h"
#include "model/words.h"
#include "outside/tools.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>
#include <nlohmann/json.hpp>
#include <unistd.h>
#include <vector>

namespace fs = std::filesystem;
using namespace benchleaf;
using model::Kind;

namespace {

using Json = nlohmann::json;

const std::string packages = BENCHLEAF_SOURCE_DIR "/.build/npm/node_modules";
constexpr std::string_view cursor = "▮";

const model::Table& table(Kind kind) {
    switch (kind) {
    case Kind::shop:
        return model::table_of<model::Shop>();
    case Kind::catalogue:
        return model::table_of<model::Catalogue>();
    case Kind::vehicle:
        return model::table_of<model::Vehicle>();
    case Kind::procedure:
        return model::table_of<model::Procedure>();
    case Kind::job:
        return model::table_of<model::Job>();
    case Kind::record:
        return model::table_of<model::Record>();
    case Kind::answers:
        return model::table_of<model::Answers>();
    case Kind::approval:
        return model::table_of<model::Approval>();
    }
    return model::table_of<model::Shop>();
}

// Blanks in its path are no matter. Below a hidden folder, as the build folder is, the server's settings match no file.
std::string shop_folder() {
    struct Folder {
        std::string path = fs::temp_directory_path() / fmt::format("benchleaf editor {}", ::getpid());
        ~Folder() { fs::remove_all(path); }
    };
    static const Folder folder;
    return folder.path;
}

struct Asked {
    std::string ask; // "complete", "hover", "diagnose"
    Kind kind;
    std::string text; // with the cursor; the line that names the schema comes before it
    std::string path; // below the shop; empty: one is made up
};

struct Place {
    std::size_t line = 0;
    std::size_t character = 0; // as the protocol counts: of UTF-16; no text here needs more than one for a letter
};

std::size_t letters(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

Place place_of(std::string_view text, std::size_t at) {
    const std::string_view before = text.substr(0, at);
    const std::size_t line_start = before.rfind('\n') + 1; // npos + 1 is 0
    return {static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n')),
            letters(before.substr(line_start))};
}

// What was asked, and what was answered, to be read.
std::string told(const Asked& asked, const Json& answer) {
    std::string text = fmt::format("== {} ({})\n", asked.ask, model::word(asked.kind));
    text += asked.text + (asked.text.ends_with('\n') ? "" : "\n") + "--\n";
    if (asked.ask == "complete") {
        for (const Json& item : answer) {
            const std::string help = item.contains("documentation") && item["documentation"].is_object()
                                         ? item["documentation"].value("value", "")
                                         : std::string();
            text += fmt::format("{:<14} {}\n", item.value("label", ""), help.substr(0, help.find('\n')));
        }
    } else if (asked.ask == "hover") {
        const std::string said = answer.is_object() ? answer["contents"].value("value", "") : "nothing\n";
        text += said.substr(0, said.find("\nSource: "));
    } else {
        for (const Json& each : answer) {
            const Json& start = each["range"]["start"];
            // The line that names the schema is no line of the text above.
            text += fmt::format("{}:{}: {}\n", start.value("line", 0), start.value("character", 0) + 1,
                                each.value("message", ""));
        }
    }
    return text + "\n";
}

// Asks all of it in one session of the server; the answers in the same order.
std::vector<Json> answers_to(const std::vector<Asked>& session, const std::string& name,
                             const Json& settings = Json::object()) {
    REQUIRE_MESSAGE(fs::exists(packages + "/yaml-language-server"),
                    "npm yaml-language-server is missing: `sh .ci/packages test` fetches it");
    Json questions = Json::array();
    for (const Asked& asked : session) {
        const std::string path = !asked.path.empty()        ? asked.path
                                 : asked.kind == Kind::shop ? fmt::format("shop-{}.yaml", questions.size())
                                                            : fmt::format("some/file-{}.yaml", questions.size());
        // Where the settings say which file has which schema, the file does not.
        std::string text = (settings.empty() ? driver::schema_line(path, asked.kind) : "") + asked.text;
        Place at;
        if (const std::size_t mark = text.find(cursor); mark != std::string::npos) {
            text.erase(mark, cursor.size());
            at = place_of(text, mark);
        }
        questions.push_back({{"path", shop_folder() + "/" + path},
                             {"text", text},
                             {"ask", asked.ask},
                             {"line", at.line},
                             {"character", at.character}});
    }
    const std::string folder = outside::scratch("editor");
    const std::string asks = fmt::format("{}/{}.asks.json", folder, name);
    const std::string given = fmt::format("{}/{}.answers.json", folder, name);
    fs::remove(given);
    outside::write(asks, Json{{"settings", settings}, {"asks", questions}}.dump(1));
    const auto ran = outside::run(fmt::format("cd '{}' && node " BENCHLEAF_SOURCE_DIR "/tests/outside/editor.js "
                                              "'{}/yaml-language-server/bin/yaml-language-server' '{}' '{}'",
                                              shop_folder(), packages, asks, given));
    REQUIRE_MESSAGE(ran.status == 0, ran.out);
    std::vector<Json> answers;
    for (const Json& each : Json::parse(outside::read(given))) answers.push_back(each);
    REQUIRE(answers.size() == session.size());
    return answers;
}

// The shop as the program makes it.
void make_shop() {
    fs::remove_all(shop_folder());
    const driver::Global global{.shop = shop_folder()};
    driver::Terminal terminal;
    REQUIRE(driver::start_new({"shop", "yard"}, global, terminal) == driver::clean);
    REQUIRE(driver::schema({.kind = "", .write = true}, global, terminal) == driver::clean);
    for (const std::string_view kind : model::kind_words)
        REQUIRE(fs::exists(fmt::format("{}/.schemas/{}.json", shop_folder(), kind)));
}

// By label, what stands beside it.
std::map<std::string, std::string> offered(const Json& answer) {
    std::map<std::string, std::string> all;
    for (const Json& item : answer) {
        const Json help = item.value("documentation", Json());
        all[item.value("label", "")] = help.is_object() ? help.value("value", "") : "";
    }
    return all;
}

std::string hovered(const Json& answer) {
    return answer.is_object() ? answer["contents"].value("value", "") : "";
}

std::string head_of(Kind kind) {
    return fmt::format("{}: a-name\n", model::word(kind));
}

const std::string steps = "procedure: work\ntitle: Work\nrevision: 1\nsteps:\n";

} // namespace

TEST_CASE("every key of every kind of file is offered with its help") {
    make_shop();
    std::vector<Asked> session;
    std::vector<const model::Table*> tables;
    const auto ask = [&](Kind kind, const std::string& text, const model::Table& of) {
        session.push_back({"complete", kind, text, ""});
        tables.push_back(&of);
    };
    for (std::size_t i = 0; i < model::kind_words.size(); ++i)
        ask(static_cast<Kind>(i), "▮", table(static_cast<Kind>(i)));
    ask(Kind::shop, "shop: s\nwrenches:\n  w:\n    ▮", model::table_of<model::Wrench>());
    ask(Kind::catalogue, "catalogue: a\nparts:\n  p:\n    ▮", model::table_of<model::Part>());
    ask(Kind::catalogue, "catalogue: a\nfasteners:\n  f:\n    ▮", model::table_of<model::Fastener>());
    ask(Kind::catalogue, "catalogue: a\nlimits:\n  l:\n    ▮", model::table_of<model::Limit>());
    ask(Kind::vehicle, "vehicle: v\ntorques:\n  t:\n    ▮", model::table_of<model::Torque>());
    ask(Kind::procedure, steps + "  - ▮", model::table_of<model::Step>());
    ask(Kind::procedure, steps + "  - ask: Is it?\n    if-so:\n      - ▮", model::table_of<model::Step>());
    const std::vector<Json> answers = answers_to(session, "keys");
    for (std::size_t i = 0; i < session.size(); ++i) {
        CAPTURE(session[i].text);
        const auto all = offered(answers[i]);
        const bool is_step = tables[i] == &model::table_of<model::Step>();
        for (const model::Row& row : tables[i]->rows) {
            const std::string key(row.says->name);
            CAPTURE(key);
            REQUIRE(all.contains(key));
            // What is a verb as well is told as the verb.
            const bool verb = is_step && std::any_of(model::all_verbs().begin(), model::all_verbs().end(),
                                                     [&](const model::Verb& each) { return each.word == key; });
            if (verb) continue;
            CHECK(all.at(key).find(row.says->help) != std::string::npos);
            CHECK(all.at(key).find(row.says->example) != std::string::npos);
        }
        if (!is_step) continue;
        for (const model::Verb& verb : model::all_verbs()) {
            const std::string word(verb.word);
            CAPTURE(word);
            REQUIRE(all.contains(word));
            CHECK(all.at(word).find(verb.help) != std::string::npos);
            CHECK(all.at(word).find(verb.example) != std::string::npos);
        }
    }
}

TEST_CASE("a key that is pointed at says its help and its example, and an example is right") {
    make_shop();
    struct Wanted {
        std::string help, example;
    };
    std::vector<Asked> session;
    std::vector<Wanted> wanted;
    const auto ask = [&](Kind kind, const std::string& before, const std::string& example, std::string_view help) {
        session.push_back({"hover", kind, before + std::string(cursor) + example + "\n", ""});
        session.push_back({"diagnose", kind, before + example + "\n", ""});
        wanted.push_back({std::string(help), example});
    };
    for (std::size_t i = 0; i < model::kind_words.size(); ++i)
        for (const model::Row& row : table(static_cast<Kind>(i)).rows)
            ask(static_cast<Kind>(i), head_of(static_cast<Kind>(i)), std::string(row.says->example), row.says->help);
    for (const model::Verb& verb : model::all_verbs())
        ask(Kind::procedure, steps + "  - ", std::string(verb.example.substr(2)), verb.help);
    for (const model::Row& row : model::table_of<model::Fastener>().rows)
        ask(Kind::catalogue, "catalogue: a\nfasteners:\n  bolt:\n    ", std::string(row.says->example), row.says->help);
    const std::vector<Json> answers = answers_to(session, "hovers");
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        CAPTURE(session[2 * i].text);
        const std::string said = hovered(answers[2 * i]);
        CAPTURE(said);
        CHECK(said.find(wanted[i].help) != std::string::npos);
        CHECK(said.find(wanted[i].example) != std::string::npos);
        for (const Json& each : answers[2 * i + 1])
            CHECK_MESSAGE(each.value("message", "").starts_with("Missing property"), each.value("message", ""));
    }
}

TEST_CASE("words of a closed set are offered, and no other") {
    make_shop();
    struct Set {
        Kind kind;
        std::string text;
        std::vector<std::string_view> words;
    };
    const auto all = [](const auto& words) { return std::vector<std::string_view>(words.begin(), words.end()); };
    const std::vector<Set> sets = {
        {Kind::shop, "shop: s\npaper: ▮\n", {"a4", "letter", "a5"}},
        {Kind::shop, "shop: s\nprints:\n  length: ▮\n", {"µm", "mm", "cm", "m", "thou", "in", "ft"}},
        {Kind::catalogue, "catalogue: a\nconsumables:\n  oil:\n    sort: ▮\n",
         all(model::Words<model::ConsumableSort>::all)},
        {Kind::catalogue, "catalogue: a\ncautions:\n  hot:\n    level: ▮\n",
         all(model::Words<model::CautionLevel>::all)},
        {Kind::vehicle, "vehicle: v\ntorques:\n  bolt:\n    threads: ▮\n", all(model::Words<model::ThreadState>::all)},
    };
    std::vector<Asked> session;
    for (const Set& set : sets) session.push_back({"complete", set.kind, set.text, ""});
    const std::vector<Json> answers = answers_to(session, "words");
    for (std::size_t i = 0; i < sets.size(); ++i) {
        std::vector<std::string> labels;
        for (const Json& item : answers[i]) labels.push_back(item.value("label", ""));
        CAPTURE(sets[i].text);
        CHECK(labels == std::vector<std::string>(sets[i].words.begin(), sets[i].words.end()));
    }
}

namespace {

struct Faulty {
    Kind kind;
    std::string text;                  // what is wrong stands between ⟦ and ⟧; nothing marked: nothing is said
    std::vector<std::string> messages; // of it; of what is lacking the server says at the key that it is lacking in
};

const std::vector<Faulty>& faulty() {
    static const std::string torque = "This has to be a torque: a number and its unit.";
    static const std::vector<Faulty> all = {
        // A key that there is not, in each kind of file.
        {Kind::shop, "shop: s\nname: S\n⟦papr⟧: a4\n", {"Property papr is not allowed."}},
        {Kind::catalogue,
         "catalogue: a\nfasteners:\n  bolt: { name: bolt, ⟦tread⟧: M8 }\n",
         {"Property tread is not allowed."}},
        {Kind::vehicle, "vehicle: v\nname: V\n⟦torque⟧: { }\n", {"Property torque is not allowed."}},
        {Kind::procedure, steps + "  - ⟦removee⟧: bolt\n", {"Property removee is not allowed."}},
        {Kind::procedure,
         steps + "  - ask: Is it?\n    if-so:\n      - ⟦fitt⟧: bolt\n",
         {"Property fitt is not allowed."}},
        {Kind::job,
         "job: j\nvehicle: v\ndate: 2026-11-25\ndo: work\n⟦mter⟧: 3 km\n",
         {"Property mter is not allowed."}},
        {Kind::record, "record: r\n⟦jb⟧: j\n", {"Property jb is not allowed."}},
        {Kind::answers, "answers: j\n⟦ansers⟧: { }\n", {"Property ansers is not allowed."}},
        {Kind::approval,
         "approval: a\nprocedure: b\ndigest: \"0\"\nby: AB\ndate: 2026-11-26\n⟦notes⟧: x\n",
         {"Property notes is not allowed."}},
        // Figures: without a unit, and with one of another sort.
        {Kind::catalogue, "catalogue: a\ntorques:\n  b: { value: ⟦25⟧, threads: dry, source: m }\n", {torque}},
        {Kind::catalogue, "catalogue: a\ntorques:\n  b: { value: ⟦25 mm⟧, threads: dry, source: m }\n", {torque}},
        {Kind::catalogue,
         "catalogue: a\ntorques:\n  b: { value: [30 N·m, ⟦90 L⟧], threads: dry, source: m }\n",
         {torque}},
        {Kind::vehicle, "vehicle: v\nname: V\ntorques:\n  b: { value: ⟦25⟧, threads: dry, source: m }\n", {torque}},
        {Kind::procedure, steps + "  - wait: ⟦5⟧\n", {"This has to be a time: a number and its unit."}},
        {Kind::procedure, steps + "  - wait: ⟦5 mm⟧\n", {"This has to be a time: a number and its unit."}},
        {Kind::job,
         "job: j\nvehicle: v\ndate: 2026-11-25\ndo: work\nmeter: ⟦12460⟧\n",
         {"This has to be a distance or run hours: a number and its unit."}},
        {Kind::shop,
         "shop: s\nname: S\nwrenches:\n  w: { name: w, range: 5..60 N·m, accuracy: 4 %, length: ⟦330⟧ }\n",
         {"This has to be a length at the bench, above zero: a number and its unit."}},
        // Words and shapes.
        {Kind::shop,
         "shop: s\nname: S\npaper: ⟦A4⟧\n",
         {"Value is not accepted. Valid values: \"a4\", \"letter\", \"a5\"."}},
        {Kind::procedure, steps + "  - set: ⟦engine⟧\n", {"This has to be a map from a setting to its state."}},
        {Kind::procedure,
         steps + "  - torque: ⟦Big Bolt⟧\n",
         {"This has to be the name of a fastener: small letters, digits, and single hyphens between them, with its "
          "catalogue before it where two have it."}},
        {Kind::procedure,
         "procedure: work\ntitle: Work\nrevision: ⟦first⟧\nsteps: [ Look. ]\n",
         {"This has to be a whole number from 1."}},
        {Kind::job, "job: j\nvehicle: v\ndate: ⟦25.11.2026⟧\ndo: work\n", {"This has to be a date, as 2026-11-25."}},
        {Kind::procedure,
         steps + "  - ⟦again⟧: { from: one, until: done }\n",
         {"Missing property \"at-most\".", "Missing property \"else\"."}},
        // What no schema can see, and `check` does: whether there is anything of a name, whether a unit's spelling is one, how a
        // step's keys go together, and all that is proved.
        {Kind::procedure, steps + "  - remove: no-such-bolt\n", {}},
        {Kind::job, "job: j\nvehicle: no-such-vehicle\ndate: 2026-11-25\ndo: no-such-procedure\n", {}},
        {Kind::catalogue, "catalogue: a\ntorques:\n  b: { value: 25 Nmm, threads: dry, source: m }\n", {}},
        {Kind::procedure, steps + "  - remove: bolt\n    fit: bolt\n", {}},
    };
    return all;
}

} // namespace

TEST_CASE("what is wrong is marked where it is wrong") {
    make_shop();
    constexpr std::string_view open = "⟦", close = "⟧";
    std::vector<Asked> session;
    std::vector<std::pair<Place, Place>> places;
    for (const Faulty& each : faulty()) {
        std::string text = each.text;
        places.emplace_back();
        if (const std::size_t begin = text.find(open); begin != std::string::npos) {
            text.erase(begin, open.size());
            const std::size_t end = text.find(close);
            text.erase(end, close.size());
            places.back() = {place_of(text, begin), place_of(text, end)};
        }
        session.push_back({"diagnose", each.kind, text, ""});
    }
    const std::vector<Json> answers = answers_to(session, "faulty");
    for (std::size_t i = 0; i < session.size(); ++i) {
        CAPTURE(faulty()[i].text);
        std::vector<std::string> messages;
        for (const Json& each : answers[i]) {
            if (each.value("message", "").starts_with("Missing property") && faulty()[i].kind == Kind::record)
                continue; // a record has much that it cannot do without
            messages.push_back(each.value("message", ""));
            const Json& range = each["range"]; // below the line that names the schema
            CHECK(range["start"]["line"] == places[i].first.line + 1);
            CHECK(range["start"]["character"] == places[i].first.character);
            CHECK(range["end"]["line"] == places[i].second.line + 1);
            CHECK(range["end"]["character"] == places[i].second.character);
        }
        CHECK(fmt::format("{}", fmt::join(messages, " | ")) ==
              fmt::format("{}", fmt::join(faulty()[i].messages, " | ")));
    }
}

TEST_CASE("the settings of docs/editors.md give files without that line their schemas") {
    make_shop();
    const std::string page = outside::read(BENCHLEAF_SOURCE_DIR "/docs/editors.md");
    const std::size_t begin = page.find("```json\n") + 8;
    const Json settings = Json::parse(page.substr(begin, page.find("```", begin) - begin));
    const std::map<Kind, std::string> files = {
        {Kind::shop, "shop.yaml"},          {Kind::catalogue, "catalogue/a.yaml"}, {Kind::vehicle, "vehicles/a.yaml"},
        {Kind::job, "jobs/a.yaml"},         {Kind::record, "records/a/1.yaml"},    {Kind::answers, "answers/a.yaml"},
        {Kind::procedure, "brakes/a.yaml"}, {Kind::approval, "approvals/a.yaml"},
    };
    std::vector<Asked> session;
    for (const auto& each : files) session.push_back({"complete", each.first, " \n▮", each.second});
    REQUIRE(session.size() == model::kind_words.size());
    const std::vector<Json> answers = answers_to(session, "settings", {{"schemas", settings["yaml.schemas"]}});
    for (std::size_t i = 0; i < session.size(); ++i) {
        CAPTURE(session[i].path);
        const auto all = offered(answers[i]);
        CHECK(all.contains(std::string(model::word(session[i].kind))));
        for (const model::Row& row : table(session[i].kind).rows) CHECK(all.contains(std::string(row.says->name)));
    }
}

TEST_CASE("nothing is said of a shop that is right") {
    make_shop();
    std::vector<Asked> session;
    std::vector<std::string> shops = {BENCHLEAF_SOURCE_DIR "/procedures"};
    for (const auto& entry : fs::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid"))
        if (entry.is_directory()) shops.push_back(entry.path().string());
    for (const std::string& shop : shops)
        for (const auto& entry : fs::recursive_directory_iterator(shop)) {
            if (entry.path().extension() != ".yaml") continue;
            const std::string below = entry.path().lexically_relative(shop).generic_string();
            Kind kind = below == "shop.yaml" ? Kind::shop : Kind::procedure;
            for (const Kind each :
                 {Kind::catalogue, Kind::vehicle, Kind::job, Kind::record, Kind::answers, Kind::approval})
                if (below.starts_with(fmt::format("{}/", model::folder(each)))) kind = each;
            // Its place tells nothing but the way to the schemas, which lie in the one shop that there is here.
            session.push_back({"diagnose", kind, outside::read(entry.path().string()),
                               fmt::format("{}/{}", fs::path(shop).filename().string(), below)});
        }
    CHECK(session.size() > 100);
    const std::vector<Json> answers = answers_to(session, "right");
    for (std::size_t i = 0; i < session.size(); ++i)
        CHECK_MESSAGE(answers[i].empty(), fmt::format("{}: {}", session[i].path, answers[i].dump()));
}

TEST_CASE("docs/editors.md quotes what the server said") {
    make_shop();
    const std::vector<Asked> session = {
        {"complete", Kind::procedure, steps + "  - remove: wheel-nut\n  - ▮", ""},
        {"hover", Kind::catalogue, "catalogue: wheels\nfasteners:\n  wheel-nut:\n    ▮recheck-after: 50 km\n", ""},
        {"diagnose", Kind::procedure, steps + "  - remove: wheel-nut\n  - torq: wheel-nut\n", ""},
        {"diagnose", Kind::catalogue,
         "catalogue: wheels\ntorques:\n  wheel-nut: { value: 90, threads: dry, source: maker's manual }\n", ""},
    };
    const std::vector<Json> answers = answers_to(session, "quoted");
    std::string transcript;
    for (std::size_t i = 0; i < session.size(); ++i) transcript += told(session[i], answers[i]);
    outside::write(outside::scratch("editor") + "/transcript.txt", transcript);

    // Each block of the page that is marked as said; `…` stands for what is left out.
    const std::string page = outside::read(BENCHLEAF_SOURCE_DIR "/docs/editors.md");
    constexpr std::string_view mark = "<!-- said -->\n```text\n";
    std::size_t blocks = 0;
    for (std::size_t at = page.find(mark); at != std::string::npos; at = page.find(mark, at + 1)) {
        const std::size_t begin = at + mark.size();
        std::string block = page.substr(begin, page.find("```\n", begin) - begin);
        ++blocks;
        std::size_t from = 0;
        for (std::size_t cut = 0; cut != std::string::npos; block.erase(0, cut == std::string::npos ? cut : cut + 4)) {
            cut = block.find("…\n");
            const std::string part = block.substr(0, cut);
            CAPTURE(part);
            const std::size_t found = transcript.find(part, from);
            CHECK(found != std::string::npos);
            from = found == std::string::npos ? from : found + part.size();
        }
    }
    CHECK(blocks == session.size());
}
