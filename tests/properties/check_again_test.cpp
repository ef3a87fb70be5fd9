// A check by what the last one left (driver/check_again.h) is held against a check of all of the shop, over edits at random: lines and names of one file
// changed, files lost, doubled and put back, vehicles that have something else, records that come and go. Where the first says that nothing is wrong, the
// second has to say so too, and count the same. The shop is the demo shop grown to several families, as a shop of one has everything to do with everything.
#include "bench/grow.h"
#include "driver/asked.h"
#include "driver/check_again.h"
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <random>

using namespace benchleaf;

namespace {

using Texts = std::map<std::string, std::string>;

Texts grown(const bench::Size& size) {
    const auto demo = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(demo);
    Texts texts;
    bench::grow(demo.value().files, size,
                [&](const std::string& path, const std::string& text) { texts[path] = text; });
    return texts;
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream from(text);
    for (std::string line; std::getline(from, line);) lines.push_back(line);
    return lines;
}
std::string text_of(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) text += line + "\n";
    return text;
}

// Where the names of a text begin and end.
std::vector<std::pair<std::size_t, std::size_t>> names_in(const std::string& text) {
    std::vector<std::pair<std::size_t, std::size_t>> found;
    const auto of_a_name = [](char c) {
        return std::islower(static_cast<unsigned char>(c)) || std::isdigit(static_cast<unsigned char>(c)) || c == '-';
    };
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && of_a_name(text[end])) ++end;
        if (end > at + 2) found.emplace_back(at, end);
        at = std::max(end, at + 1);
    }
    return found;
}

class Editing {
public:
    Editing(std::string root, Texts texts, unsigned seed)
        : root_(std::move(root)), texts_(std::move(texts)), first_(texts_), random_(seed) {
        good_ = texts_;
        for (const auto& [path, text] : texts_) gates::write(root_ + "/" + path, text);
        std::filesystem::copy(BENCHLEAF_SOURCE_DIR "/procedures/pictures", root_ + "/pictures",
                              std::filesystem::copy_options::recursive);
    }

    // Changes one file, or two; says how.
    std::string edit() {
        before_ = texts_;
        std::string how = edit_one();
        if (pick(4) == 0) how += "; " + edit_one();
        write();
        return how;
    }
    // Nothing is wrong with what is there.
    void is_good() { good_ = texts_; }
    void undo() {
        before_ = std::exchange(texts_, good_);
        write();
    }
    // Of what is otherwise than in the last good state, one file becomes as it was there; true: no more is otherwise.
    bool mend_one() {
        std::vector<std::string> paths;
        for (const auto& [path, text] : good_)
            if (const auto at = texts_.find(path); at == texts_.end() || at->second != text) paths.push_back(path);
        before_ = texts_;
        if (!paths.empty()) {
            const std::string& path = paths[pick(paths.size())];
            texts_[path] = good_.at(path);
        }
        if (paths.size() <= 1) texts_ = good_;
        write();
        return paths.size() <= 1;
    }
    // A slip of the pen in one file, as people make them.
    std::string slip() {
        static constexpr std::string_view folders[] = {"",        "",      "catalogue/", "vehicles/",
                                                       "brakes/", "jobs/", "records/"};
        before_ = texts_;
        const std::string path = path_in(folders[pick(std::size(folders))]);
        std::string& text = texts_[path];
        std::vector<std::string> lines = lines_of(text);
        const std::size_t line = pick(lines.size());
        switch (pick(4)) {
        case 0: // it cannot be read
            lines[line] += pick(2) == 0 ? " [" : ": \"";
            text = text_of(lines);
            break;
        case 1: // a figure, or its unit
            for (const std::string_view unit : {" N m", " mm", " L", " km"})
                if (const std::size_t at = text.find(unit); at != std::string::npos) {
                    text.replace(at, unit.size(), pick(2) == 0 ? "" : " Nmm");
                    break;
                }
            break;
        case 2: // a key
            if (const std::size_t at = text.find(':', pick(text.size())); at != std::string::npos && at > 1)
                text.erase(at - 1, 1);
            break;
        default: // a name
            if (const auto names = names_in(text); !names.empty()) text.erase(names[pick(names.size())].first, 1);
        }
        write();
        return path + " a slip near line " + std::to_string(line + 1);
    }
    // What people forget in a procedure, and how they misspell what it names; once or twice.
    std::string slip_in_a_procedure() {
        before_ = texts_;
        std::string path;
        for (int tries = 0; tries < 200 && (path.empty() || texts_.at(path).find("\nsteps:") == std::string::npos);
             ++tries)
            path = any_path();
        std::string how = slip_in(texts_[path]);
        if (pick(4) == 0) how += " and " + slip_in(pick(3) == 0 ? texts_[path_in("brakes/")] : texts_[path]);
        write();
        return path + " " + how;
    }
    std::size_t pick(std::size_t count) { return random_() % count; }

    // What was written since this was asked last.
    std::set<std::string> touched() { return std::exchange(touched_, {}); }

private:
    const std::string& any_path() {
        return std::next(texts_.begin(), static_cast<std::ptrdiff_t>(pick(texts_.size())))->first;
    }
    std::string path_in(std::string_view folder) {
        for (int tries = 0; tries < 200; ++tries)
            if (std::string path = any_path(); path.starts_with(folder)) return path;
        return any_path();
    }

    std::string slip_in(std::string& text) {
        std::vector<std::string> lines = lines_of(text);
        const auto with = [&](std::string_view word) {
            std::vector<std::size_t> found;
            for (std::size_t i = 0; i < lines.size(); ++i)
                if (lines[i].find(word) != std::string::npos) found.push_back(i);
            return found.empty() ? pick(lines.size()) : found[pick(found.size())];
        };
        const auto names = names_in(text);
        switch (pick(6)) {
        case 0: { // a letter of a name
            if (names.empty()) return "nothing";
            const auto [begin, end] = names[pick(names.size())];
            const std::size_t at = begin + pick(end - begin);
            const std::string was = text.substr(begin, end - begin);
            if (pick(3) == 0)
                text.erase(at, 1);
            else if (pick(2) == 0)
                text.insert(at, 1, static_cast<char>('a' + pick(26)));
            else
                text[at] = static_cast<char>('a' + pick(26));
            return "misspelt " + was;
        }
        case 1: { // a name as nothing is called, wherever it stands
            if (names.empty()) return "nothing";
            const auto [begin, end] = names[pick(names.size())];
            const std::string was = text.substr(begin, end - begin);
            const std::string is = was + (pick(2) == 0 ? "s" : "-lower");
            for (std::size_t at = text.find(was); at != std::string::npos; at = text.find(was, at + is.size()))
                text.replace(at, was.size(), is);
            return was + " is " + is;
        }
        default: {
            static constexpr std::string_view verbs[] = {"- torque:", "- fit:", "- remove:", "- "};
            const std::size_t line = with(verbs[pick(std::size(verbs))]);
            const std::string was = lines[line];
            const std::size_t dash = std::min(was.find_first_not_of(' '), was.size());
            std::size_t end = line + 1;
            while (pick(4) != 0 && end < lines.size() && lines[end].find_first_not_of(' ') != std::string::npos &&
                   lines[end].find_first_not_of(' ') > dash)
                ++end;
            lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(line),
                        lines.begin() + static_cast<std::ptrdiff_t>(end));
            text = text_of(lines);
            return "lost" + was;
        }
        }
    }

    std::string edit_one() {
        static constexpr std::string_view folders[] = {"",        "",        "catalogue/", "vehicles/",
                                                       "brakes/", "wheels/", "jobs/",      "records/"};
        const std::string path = path_in(folders[pick(std::size(folders))]);
        const std::size_t what = pick(14);
        std::string& text = texts_[path];
        std::vector<std::string> lines = lines_of(text);
        const std::size_t line = pick(lines.size());
        const std::string where = path + ":" + std::to_string(line + 1) + " ";
        switch (what) {
        case 0:
        case 1:
            lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(line));
            text = text_of(lines);
            return where + "line lost";
        case 2:
            std::swap(lines[line], lines[std::min(line + 1, lines.size() - 1)]);
            text = text_of(lines);
            return where + "lines swapped";
        case 3:
            lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(line), lines[pick(lines.size())]);
            text = text_of(lines);
            return where + "line doubled";
        case 4:
        case 5:
        case 6: { // a name for another one of the same file, or of any
            const std::string& other = pick(2) == 0 ? text : texts_[any_path()];
            const auto theirs = names_in(other);
            const auto own = names_in(text);
            if (own.empty() || theirs.empty()) return "nothing";
            const auto [begin, end] = own[pick(own.size())];
            const auto [from, to] = theirs[pick(theirs.size())];
            const std::string name = other.substr(from, to - from);
            const std::string was = text.substr(begin, end - begin);
            if (pick(3) == 0) { // everywhere in the file
                for (std::size_t at = text.find(was); at != std::string::npos; at = text.find(was, at + name.size()))
                    text.replace(at, was.size(), name);
            } else {
                text.replace(begin, end - begin, name);
            }
            return path + " " + was + " → " + name;
        }
        case 7:
        case 8: { // another figure
            std::vector<std::size_t> digits;
            for (std::size_t i = 0; i < text.size(); ++i)
                if (std::isdigit(static_cast<unsigned char>(text[i]))) digits.push_back(i);
            if (digits.empty()) return "nothing";
            const std::size_t at = digits[pick(digits.size())];
            text[at] = static_cast<char>('0' + pick(10));
            return path + " a digit at " + std::to_string(at);
        }
        case 9: // a step gone, with what is below it
            if (const std::size_t dash = lines[line].find("- "); dash != std::string::npos) {
                std::size_t end = line + 1;
                while (end < lines.size() && (lines[end].find_first_not_of(' ') == std::string::npos ||
                                              lines[end].find_first_not_of(' ') > dash))
                    ++end;
                lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(line),
                            lines.begin() + static_cast<std::ptrdiff_t>(end));
                text = text_of(lines);
                return where + "step lost";
            }
            return "nothing";
        case 10:
            if (path == "shop.yaml") return "nothing"; // it would be no shop
            texts_.erase(path);
            return path + " lost";
        case 11: { // as it was at first
            const auto at = std::next(first_.begin(), static_cast<std::ptrdiff_t>(pick(first_.size())));
            texts_[at->first] = at->second;
            return at->first + " as at first";
        }
        case 12: { // once more, under another name
            const std::size_t dot = path.rfind('.');
            const std::size_t slash = path.rfind('/') + 1;
            const std::string stem = path.substr(slash, dot - slash);
            const std::string name = stem + "-x";
            std::string copy = text;
            for (std::size_t at = copy.find(": " + stem); at != std::string::npos; at = copy.find(": " + stem, at + 1))
                copy.insert(at + 2 + stem.size(), "-x");
            texts_[path.substr(0, slash) + name + ".yaml"] = copy;
            return path + " doubled as " + name;
        }
        default: // a comment: nothing that anybody is judged by
            text += "# " + std::to_string(random_()) + "\n";
            return path + " a comment";
        }
    }

    void write() {
        for (const auto& [path, text] : texts_)
            if (const auto was = before_.find(path); was == before_.end() || was->second != text) {
                gates::write(root_ + "/" + path, text);
                touched_.insert(path);
            }
        for (const auto& [path, text] : before_)
            if (!texts_.contains(path)) {
                std::filesystem::remove(root_ + "/" + path);
                touched_.insert(path);
            }
    }

    std::set<std::string> touched_;
    std::string root_;
    Texts texts_, first_, before_, good_;
    std::mt19937 random_;
};

struct Tally {
    std::size_t edits = 0, clean = 0, again = 0; // of the clean ones: told so by what was left
    std::size_t faulty_again = 0;                // of the others, likewise
    std::map<std::string_view, std::size_t> told,
        told_whole; // messages by what was left, and by the whole shop, by their rules
};

std::pair<driver::Shop, std::unique_ptr<driver::Shopful>> checked_whole(const std::string& shop) {
    auto read = driver::read_shop(shop, driver::Records::in_the_archive);
    REQUIRE(read);
    auto checked = driver::check_shop(read.value().files, {});
    return {std::move(read.value()), std::move(checked)};
}

enum class Edited : std::uint8_t { anything, procedures };

Tally hold(const std::string& name, const bench::Size& size, unsigned seed, std::size_t edits,
           Edited edited = Edited::anything) {
    const std::string root = gates::scratch(name);
    Editing editing(root + "/shop", grown(size), seed);
    driver::CheckAgain again(root + "/shop", {.least_files = 1, .most_percent = 1000});
    Tally tally;
    const auto whole = [&] { return checked_whole(root + "/shop"); };
    {
        REQUIRE(!again.look());
        const auto [shop, checked] = whole();
        REQUIRE(checked->messages.all().empty());
        again.remember(shop, *checked);
        REQUIRE(again.look());
    }
    std::size_t since_good = 0; // edits
    for (std::size_t i = 0; i < edits; ++i) {
        std::string how;
        if (since_good > 0 && editing.pick(3) < (edited == Edited::procedures ? 2U : 1U))
            how = editing.mend_one() ? "all mended" : "one mended";
        else if (const std::size_t sort = editing.pick(4); sort < 1 || edited == Edited::procedures)
            how = editing.slip_in_a_procedure();
        else
            how = sort < 3 ? editing.slip() : editing.edit();

        CAPTURE(seed);
        CAPTURE(i);
        CAPTURE(how);
        ++tally.edits;
        // As of a shop that is watched, or as a new program comes to it.
        const std::set<std::string> touched = editing.touched();
        const bool by_cause = editing.pick(2) == 0;
        const auto looked = again.look({}, i % 2 == 0 && !touched.empty() ? &touched : nullptr, by_cause);
        const auto [shop, checked] = whole();
        const bool clean = checked->messages.all().empty();
        const driver::Counts* counts = looked ? &looked->counts : nullptr;
        if (looked) {
            const driver::Statement said =
                driver::said_of(shop.files, *checked, {}, {.by_cause = by_cause, .tries = true});
            const std::string text = messages::render_human(said.shown, checked->sources, {});
            CHECK_MESSAGE(clean == (looked->faulty == nullptr), text);
            CHECK(looked->said.gone == said.gone);
            CHECK(looked->said.then == said.then);
            if (looked->faulty != nullptr) {
                const source::Sources& sources = looked->faulty->sources;
                CHECK(messages::render_human(looked->said.shown, sources, {}) == text);
                CHECK(messages::render_json(looked->said.shown, sources) ==
                      messages::render_json(said.shown, checked->sources));
                CHECK(messages::render_human(looked->faulty->messages, sources, {}) ==
                      messages::render_human(checked->messages, checked->sources, {}));
                CHECK(messages::render_json(looked->faulty->messages, sources) ==
                      messages::render_json(checked->messages, checked->sources));
            }
            const driver::Counts all = driver::counts_of(*checked, {});
            const bool same = all.files == counts->files && all.procedures == counts->procedures &&
                              all.steps == counts->steps && all.jobs == counts->jobs;
            CHECK(same);
        }
        tally.clean += clean ? 1U : 0U;
        tally.again += counts && clean ? 1U : 0U;
        tally.faulty_again += looked && !clean ? 1U : 0U;
        if (looked && looked->faulty != nullptr)
            for (const messages::Message& each : looked->faulty->messages.all()) ++tally.told[each.rule->name];
        if (!looked)
            for (const messages::Message& each : checked->messages.all()) ++tally.told_whole[each.rule->name];
        if (clean) {
            editing.is_good();
            since_good = 0;
            if (!looked) again.remember(shop, *checked);
        } else if (++since_good > 4) {
            editing.undo();
            since_good = 0;
        }
    }
    return tally;
}

std::size_t edits_wanted(std::size_t usually) {
    const char* wanted = std::getenv("BENCHLEAF_EDITS");
    return wanted != nullptr ? std::stoul(wanted) : usually / BENCHLEAF_TIME_SLACK;
}
unsigned seed_wanted() {
    const char* wanted = std::getenv("BENCHLEAF_SEED");
    return wanted != nullptr ? static_cast<unsigned>(std::stoul(wanted)) : 1;
}

void tell(const Tally& tally) {
    std::string rules;
    for (const auto& [rule, times] : tally.told) rules += fmt::format(" {} {}", rule, times);
    std::string whole;
    for (const auto& [rule, times] : tally.told_whole) whole += fmt::format(" {} {}", rule, times);
    MESSAGE(tally.edits << " edits, " << tally.clean << " of them leave a shop that nothing is wrong with; of "
                        << tally.again << " that is told by what was left, as are the mistakes in "
                        << tally.faulty_again << ":" << rules << "; by the whole shop alone:" << whole);
}

} // namespace

// BENCHLEAF_EDITS, BENCHLEAF_SEED: more of them, and others.
TEST_CASE("what the last check left says of no shop that nothing is wrong where something is") {
    ::setenv("XDG_CACHE_HOME", (gates::scratch("check-again-cache")).c_str(), 1);
    const Tally tally = hold("check-again", {30, 30, 16, 40, 6}, seed_wanted(), edits_wanted(100));
    tell(tally);
    // It would be of no use if it never answered.
    if (tally.clean > 10) CHECK(tally.again * 4 > tally.clean);
    if (tally.edits >= 100) CHECK(tally.faulty_again * 20 > tally.edits - tally.clean);
}

// Nothing but procedures has changed, and something was forgotten or misspelt in them: most of that is told by the procedures and catalogues near them.
TEST_CASE("slips in procedures are told by what was left as by a check of the whole shop") {
    ::setenv("XDG_CACHE_HOME", (gates::scratch("check-again-slips-cache")).c_str(), 1);
    const Tally tally =
        hold("check-again-slips", {30, 30, 16, 10, 6}, seed_wanted(), edits_wanted(40), Edited::procedures);
    tell(tally);
    if (tally.edits >= 40) CHECK(tally.faulty_again * 5 > tally.edits - tally.clean);
}

// Two torques are written in pounds, far from each other; then one of them is not, and the other is alone.
TEST_CASE("a torque that comes to be the only one in its sort of unit is told though its file has not changed") {
    ::setenv("XDG_CACHE_HOME", (gates::scratch("check-again-alone-cache")).c_str(), 1);
    const std::string root = gates::scratch("check-again-alone");
    Texts texts = grown({30, 30, 16, 0, 0});
    const auto rewrite = [&](std::string_view catalogue, const std::string& from, const std::string& to) {
        for (auto& [path, text] : texts)
            if (path.starts_with(catalogue))
                if (const std::size_t at = text.find(from); at != std::string::npos) {
                    text.replace(at, from.size(), to);
                    gates::write(root + "/shop/" + path, text);
                    return;
                }
        FAIL("no " << from << " in " << catalogue);
    };
    for (const auto& [path, text] : texts) gates::write(root + "/shop/" + path, text);
    std::filesystem::copy(BENCHLEAF_SOURCE_DIR "/procedures/pictures", root + "/shop/pictures");
    rewrite("catalogue/wheels-f", "front-wheel-nut: { value: 90 N·m ±10 %",
            "front-wheel-nut: { value: 66 lbf·ft ±10 %");
    rewrite("catalogue/chain-drive-f", "{ value: 95 N·m ±10 %", "{ value: 70 lbf·ft ±10 %");

    driver::CheckAgain again(root + "/shop", {.least_files = 1, .most_percent = 1000});
    const auto whole = [&] { return checked_whole(root + "/shop"); };
    REQUIRE(!again.look());
    {
        const auto [shop, checked] = whole();
        REQUIRE(messages::render_human(checked->messages, checked->sources, {}).empty());
        again.remember(shop, *checked);
        REQUIRE(again.look());
    }
    rewrite("catalogue/chain-drive-f", "{ value: 70 lbf·ft ±10 %", "{ value: 95 N·m ±10 %");
    CHECK(!again.look());
    const auto [shop, checked] = whole();
    CHECK(messages::render_human(checked->messages, checked->sources, {}).find("[torque-in-other-units]") !=
          std::string::npos);
}

TEST_CASE("what was left is taken back whole, or not at all") {
    const auto demo = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(demo);
    const auto checked = driver::check_shop(demo.value().files, {});
    driver::Remembered left;
    left.reach = reach::reach_of(checked->linked, checked->sources);
    REQUIRE(left.reach.size() > 50);
    for (const auto& [path, file] : left.reach) left.files.add(path, {{1, 2, 3, 4, 5, true}, "a digest"});
    left.files.sort();
    left.records.add("records/a/1.yaml", {{6, 7, 8, 9, 10, false}, {11, 12}});
    left.pictures["a.png"] = {{}, "another"};
    const auto bytes_of = [](driver::Remembered& remembered) {
        std::string bytes;
        const auto put = [&bytes](std::string_view some) {
            bytes += some;
            return 0;
        };
        CHECK(driver::put_remembered(remembered, "this program", put) == 0);
        return bytes;
    };
    // Of more than is put at a time, and less.
    left.files.add("zz", {{}, std::string(200'001, 'x')});
    const std::string bytes = bytes_of(left);
    int calls = 0;
    const auto no_room = [&calls](std::string_view) { return ++calls == 3 ? ENOSPC : 0; };
    CHECK(driver::put_remembered(left, "this program", no_room) == ENOSPC);
    CHECK(calls == 3);
    auto back = driver::remembered_in(bytes, "this program");
    REQUIRE(back);
    CHECK(bytes_of(*back) == bytes);
    for (const auto& [path, file] : left.reach) CHECK(*back->reach.at(path) == *file);
    CHECK(!driver::remembered_in(bytes, "another program"));
    std::mt19937 random(1);
    for (int i = 0; i < 300; ++i) {
        std::string spoiled = bytes;
        if (i % 3 == 0)
            spoiled.resize(random() % bytes.size());
        else
            spoiled[random() % bytes.size()] ^= static_cast<char>(1 + random() % 255);
        CHECK(!driver::remembered_in(spoiled, "this program"));
    }
}
