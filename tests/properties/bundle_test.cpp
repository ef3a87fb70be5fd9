// A bundle comes from somebody else. What `write` made is read back byte for byte; whatever else is read, `write` gives back byte for byte; the rest
// is refused, and it is said where and why.
#include "base/text.h"
#include "bundle/bundle.h"
#include "digest/digest.h"
#include "outside/tools.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <string>
#include <utility>
#include <vector>

using namespace benchleaf;
using bundle::Unpacked;

namespace {

std::string written(const std::vector<Unpacked>& files) {
    std::vector<bundle::File> to;
    for (const Unpacked& file : files) to.push_back({file.path, file.bytes, file.picture});
    return bundle::write(to);
}

void check_back(const std::vector<Unpacked>& files) {
    const auto read = bundle::read(written(files));
    if (!read) FAIL(read.failure().what);
    REQUIRE(read.value().size() == files.size());
    for (std::size_t i = 0; i < files.size(); ++i) {
        CHECK(read.value()[i].path == files[i].path);
        CHECK(read.value()[i].bytes == files[i].bytes);
        CHECK(read.value()[i].picture == files[i].picture);
    }
}

// The law, for any bytes: refused with a line that can be shown, or given back. Was it accepted?
bool holds(const std::string& bytes) {
    const auto read = bundle::read(bytes);
    if (read) {
        if (written(read.value()) != bytes) FAIL_CHECK("read, but not given back:\n" << bytes);
        return true;
    }
    const std::string& what = read.failure().what;
    const bool shows = what.starts_with("line ") && what.size() < 1000 && !base::first_bad_utf8(what) &&
                       std::none_of(what.begin(), what.end(), [](char c) { return (c >= 0 && c < 0x20) || c == 0x7F; });
    if (!shows) FAIL_CHECK("said: " << what);
    return false;
}

std::vector<Unpacked> demo_shop() {
    std::vector<Unpacked> files;
    const std::filesystem::path root = BENCHLEAF_SOURCE_DIR "/procedures";
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
        const std::string path = entry.path().lexically_relative(root).generic_string();
        const bool picture = path.ends_with(".png");
        if (picture || path.ends_with(".yaml")) files.push_back({path, outside::read(entry.path()), picture});
    }
    std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
    return files;
}

// Few enough bytes to be spoiled a thousand times, and of every kind.
std::string real_bundle() {
    std::vector<Unpacked> files = demo_shop();
    std::erase_if(files, [](const Unpacked& file) {
        return file.path != "shop.yaml" && !file.path.starts_with("lifting/") && file.path != "pictures/drum.png";
    });
    files.push_back(
        {"wheels/other-ends.yaml", "procedure: other-ends\r\ntitle: \"Other\\ends\"\r\n\r\n  # \xC2\x85\r\n", false});
    REQUIRE(files.size() >= 4);
    return written(files);
}

// One text file, with whatever stands in the bundle for it, and the right SHA-256.
std::string with(std::string_view path_in_quotes, std::string_view bytes, std::string_view text) {
    return fmt::format("# The files that a card was made of, byte for byte.\nbundle: 1\nfiles:\n  - path: {}\n    "
                       "sha256: \"{}\"\n    {}",
                       path_in_quotes, digest::sha256_hex(bytes), text);
}

std::string why(const std::string& bytes) {
    const auto read = bundle::read(bytes);
    return read ? "" : read.failure().what;
}

std::string why_paths(const std::vector<std::string>& paths) {
    std::vector<Unpacked> files;
    for (const std::string& path : paths) files.push_back({path, "a: 1\n", false});
    return why(written(files));
}

std::string why_path(const std::string& path) {
    return why_paths({path});
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

using Random = std::mt19937;

std::size_t below(Random& random, std::size_t end) {
    return std::uniform_int_distribution<std::size_t>(0, end - 1)(random);
}

// Everything that a text in a bundle could be mistaken for, or be changed by.
std::string nasty(Random& random, std::size_t most_pieces) {
    static const std::vector<std::string> pieces = {"\n",
                                                    "\n\n",
                                                    " ",
                                                    "  ",
                                                    "      ",
                                                    "\t",
                                                    "\r",
                                                    "\r\n",
                                                    "\\",
                                                    "\"",
                                                    "'",
                                                    "\\n",
                                                    "\\\n",
                                                    "\\\n      \\ ",
                                                    "\\u0041",
                                                    "#",
                                                    ": ",
                                                    "a",
                                                    "%",
                                                    "---\n",
                                                    "...\n",
                                                    "|2",
                                                    "|2-\n",
                                                    "  - path: \"shop.yaml\"\n",
                                                    "    sha256: \"\"\n",
                                                    "    text: |2\n",
                                                    "    base64: |\n",
                                                    "bundle: 2\n",
                                                    "\xEF\xBB\xBF",
                                                    std::string(1, '\0'),
                                                    "\x01",
                                                    "\x1B[31m",
                                                    "\x7F",
                                                    "\xC2\x80",
                                                    "\xC2\x85",
                                                    "\xE2\x80\xA8",
                                                    "\xE2\x80\xA9",
                                                    "\xED\x9F\xBF",
                                                    "\xEE\x80\x80",
                                                    "\xEF\xBF\xBE",
                                                    "\xEF\xBF\xBF",
                                                    "\xF0\x9F\x94\xA7",
                                                    "\xF0\x9F\xBF\xBE",
                                                    "\xF4\x8F\xBF\xBF",
                                                    "é",
                                                    "e\xCC\x81",
                                                    "24 N·m"};
    std::string text;
    for (std::size_t i = below(random, most_pieces + 1); i > 0; --i) text += pieces[below(random, pieces.size())];
    return text;
}

std::string any_bytes(Random& random, std::size_t most) {
    std::string bytes(below(random, most + 1), '\0');
    for (char& byte : bytes) byte = static_cast<char>(below(random, 256));
    return bytes;
}

const std::string good = "# The files that a card was made of, byte for byte.\nbundle: 1\nfiles:\n";

} // namespace

TEST_CASE("the demo shop goes into a bundle and comes out of it") {
    const std::vector<Unpacked> files = demo_shop();
    REQUIRE(files.size() > 40);
    REQUIRE(std::count_if(files.begin(), files.end(), [](const Unpacked& file) { return file.picture; }) >= 2);
    check_back(files);
    check_back({});
}

TEST_CASE("so does every text, whatever is in it, and every picture") {
    Random random(20'260'412);
    for (int round = 0; round < 2000; ++round) {
        CAPTURE(round);
        std::vector<Unpacked> files;
        const std::size_t count = 1 + below(random, 4);
        for (std::size_t i = 0; i < count; ++i) {
            if (below(random, 4) == 0)
                files.push_back({fmt::format("pictures/{}.png", i), any_bytes(random, 200), true});
            else
                files.push_back({fmt::format("brakes/{}.yaml", i), nasty(random, 12), false});
        }
        check_back(files);
    }
}

TEST_CASE("what is handed over has a heading of its own, and is read and held to its form as well") {
    std::vector<bundle::File> files;
    const std::vector<Unpacked> shop = demo_shop();
    for (const Unpacked& file : shop) files.push_back({file.path, file.bytes, file.picture});
    const std::string bundled = bundle::write(files, bundle::Heading::handed_over);
    REQUIRE(bundled.starts_with("# Procedures handed over"));
    const auto back = bundle::read(bundled);
    REQUIRE(back);
    CHECK(back.value().size() == shop.size());
    CHECK(why(replaced(bundled, "    text: |2\n", "    text: |2+\n")).ends_with("it was changed after it was made"));
}

TEST_CASE("paths that are to be made beside others") {
    const std::vector<std::string> there = {"shop.yaml", "brakes/discs.yaml", "Pictures/a.png", "caf\u00e9/x.yaml",
                                            "notes"};
    const auto wrong = [&](const std::string& path) {
        const std::vector<std::string> coming{path};
        return bundle::wrong_beside(there, coming).value_or("");
    };
    for (const char* path : {"brakes/drums.yaml", "brakes/discs.yaml", "lifting/up.yaml", "Pictures/b.png"})
        CHECK(wrong(path).empty());
    CHECK(wrong("brakes/Discs.yaml") == "the path `brakes/Discs.yaml` differs from `brakes/discs.yaml` in nothing but "
                                        "capitals or the encoding of an accent");
    CHECK(wrong("Brakes/drums.yaml") ==
          "the path `Brakes/drums.yaml` lies in a folder that differs from `brakes` in nothing "
          "but capitals or the encoding of an accent");
    CHECK(wrong("pictures/b.png").find("`Pictures`") != std::string::npos);
    CHECK(wrong("cafe\u0301/y.yaml").find("`caf\u00e9`") != std::string::npos);
    CHECK(wrong("notes/x.yaml") == "the path `notes/x.yaml` lies in `notes`, which is a file");
    CHECK(wrong("brakes") == "the path `brakes` is a file, and `brakes/discs.yaml` lies in it");
    CHECK(wrong("../x.yaml").find("leads out of a folder") != std::string::npos);
    const std::vector<std::string> twice{"a/x.yaml", "A/x.yaml"};
    CHECK(bundle::wrong_beside({}, twice));
}

TEST_CASE("a path may have any letters that do no harm") {
    const std::vector<std::string> names = {"a b", "\"quoted\"", "it's",         "#5", "ab: c",  "- a",
                                            "Öl",  "масло",      "\xE2\x80\xA8", "🔧",  "50 %",   "a..b",
                                            "~",   "aux",        "1:2",          "µ:", "x.yaml", std::string(250, 'n')};
    std::vector<Unpacked> files;
    for (const std::string& name : names) {
        files.push_back({name + ".yaml", "a: 1\n", false});
        files.push_back({"in/" + name + "/deep/a.yaml", "", false});
    }
    files.push_back({"in/a.JPG", "", true});
    // Alike, but on every disk two: a longer name, and a folder beside a file.
    for (const char* path : {"brakes/a.yaml", "brakes/a.yaml.yaml", "brakes/a.yaml-old/b.yaml", "brakes/a/b.yaml",
                             "brakes-2/a.yaml", "maß.yaml", "mass.yaml"})
        files.push_back({path, "a: 1\n", false});
    std::string longest;
    for (int i = 0; i < 3; ++i) longest += std::string(bundle::longest_part, 'p') + "/";
    longest += std::string(bundle::longest_path - longest.size() - 5, 'n') + ".yaml";
    REQUIRE(longest.size() == bundle::longest_path);
    files.push_back({longest, "", false});
    check_back(files);
}

TEST_CASE("a path that could do harm is refused by its name") {
    const std::pair<std::string, std::string> refused[] = {
        {"/etc/a.yaml", "line 4: the path `/etc/a.yaml` begins with `/`; it must begin at the shop's folder"},
        {"../a.yaml", "line 4: the path `../a.yaml` has `..` in it, which leads out of a folder"},
        {"a/../../b.yaml", "line 4: the path `a/../../b.yaml` has `..` in it, which leads out of a folder"},
        {"a/..", "line 4: the path `a/..` has `..` in it, which leads out of a folder"},
        {"./a.yaml", "line 4: the path `./a.yaml` has `.` in it, which is no name"},
        {"a/./b.yaml", "line 4: the path `a/./b.yaml` has `.` in it, which is no name"},
        {"", "line 4: the path `` is empty"},
        {"a//b.yaml", "line 4: the path `a//b.yaml` has an empty part"},
        {"a.yaml/", "line 4: the path `a.yaml/` has an empty part"},
        {"a\\b.yaml", "line 4: the path `a\\b.yaml` has a backslash; folders are parted by `/`"},
        {"..\\a.yaml", "line 4: the path `..\\a.yaml` has a backslash; folders are parted by `/`"},
        {"C:/a.yaml",
         "line 4: the path `C:/a.yaml` begins with the letter of a drive; it must begin at the shop's folder"},
        {"z:a.yaml",
         "line 4: the path `z:a.yaml` begins with the letter of a drive; it must begin at the shop's folder"},
        {".a.yaml", "line 4: the path `.a.yaml` has a hidden part; no name may begin with a dot"},
        {"a/.git/b.yaml", "line 4: the path `a/.git/b.yaml` has a hidden part; no name may begin with a dot"},
        {"...yaml", "line 4: the path `...yaml` has a hidden part; no name may begin with a dot"},
        {"a\nb.yaml", "line 4: the quotes of the path are wrong"}, // they go on in the next line
        {"a\tb.yaml", "line 4: the path `a?b.yaml` has a control character"},
        {std::string("a\0b.yaml", 8), "line 4: the path `a?b.yaml` has a control character"},
        {"\x1B[31ma.yaml", "line 4: the path `?[31ma.yaml` has a control character"},
        {"a\x7F.yaml", "line 4: the path `a?.yaml` has a control character"},
        {"a\xC2\x9B.yaml", "line 4: the path `a?.yaml` has a control character"},
        {"a: b.yaml",
         "line 4: the path `a: b.yaml` begins with the letter of a drive; it must begin at the shop's folder"},
        {"a.yml", "line 4: the path `a.yml` is a text's, and does not end in `.yaml`"},
        {"a.YAML", "line 4: the path `a.YAML` is a text's, and does not end in `.yaml`"},
        {"a.png", "line 4: the path `a.png` is a text's, and does not end in `.yaml`"},
        {"a.yaml~", "line 4: the path `a.yaml~` is a text's, and does not end in `.yaml`"},
        {std::string(251, 'n') + ".yaml",
         "line 4: the path `" + std::string(100, 'n') + "…` has a part of more than 255 bytes"},
    };
    for (const auto& [path, says] : refused) CHECK(why_path(path) == says);

    std::string deep;
    while (deep.size() + 7 <= bundle::longest_path) deep += "p/";
    CHECK(why_path(deep + "a.yaml").empty());
    CHECK(why_path(deep + "abcd.yaml").ends_with("…` has more than 1000 bytes"));

    for (const char* path : {"a.yaml", "a.YAML", "a.yml"}) {
        const std::string bundled = written({{path, "x", true}});
        CHECK(why(bundled) == fmt::format("line 4: the path `{}` is a picture's here, but names a text", path));
    }
    CHECK(why(with("\"a.yaml", "", "text: \"\"\n")) == "line 4: the quotes of the path are wrong");
    CHECK(why(with("a.yaml", "", "text: \"\"\n")) == "line 4: here only another file may begin: `  - path: \"…\"`");
    CHECK(why(with("\"\\uD800.yaml\"", "", "text: \"\"\n")) == "line 4: the quotes of the path are wrong");
    CHECK(why(with("\"\xC3.yaml\"", "", "text: \"\"\n")) == "line 4: bytes that are no UTF-8");
    CHECK(why(with("\"\xC0\xAE\xC0\xAE/a.yaml\"", "", "text: \"\"\n")) == "line 4: bytes that are no UTF-8");
    // A dot or a slash that is written as a number is a dot or a slash.
    CHECK(why(with("\"\\u002E\\u002E/a.yaml\"", "", "text: \"\"\n")) ==
          "line 4: the path `../a.yaml` has `..` in it, which leads out of a folder");
    CHECK(why(with("\"\\u002Fa.yaml\"", "", "text: \"\"\n"))
              .ends_with("begins with `/`; it must begin at the shop's folder"));
}

TEST_CASE("two paths that some disk would take for one are refused by their names") {
    CHECK(why_paths({"a.yaml", "b.yaml", "a.yaml"}) == "line 12: the path `a.yaml` is there twice");
    const std::string alike = " in nothing but capitals or the encoding of an accent";
    CHECK(why_paths({"a/b.yaml", "A/b.yaml"}) == "line 8: the path `A/b.yaml` differs from `a/b.yaml`" + alike);
    CHECK(why_paths({"Öl.yaml", "öl.yaml"}) == "line 8: the path `öl.yaml` differs from `Öl.yaml`" + alike);
    CHECK(why_paths({"\xC3\xB6l.yaml", "o\xCC\x88l.yaml"}) ==
          "line 8: the path `o\xCC\x88l.yaml` differs from `\xC3\xB6l.yaml`" + alike);
    CHECK(why_paths({"a.yaml", "a.yaml/b.yaml"}) ==
          "line 8: the path `a.yaml/b.yaml` lies in `a.yaml`, which is a file");
    CHECK(why_paths({"a.yaml", "a.yaml b.yaml", "a.yaml!/c.yaml", "A.yaml/b/c/d.yaml"}) ==
          "line 16: the path `A.yaml/b/c/d.yaml` lies in `a.yaml`, which is a file");
    CHECK(why_paths({"a.yaml b.yaml", "b/a.yaml/c/d.yaml", "B/a.yaml"}) ==
          "line 12: the path `B/a.yaml` is a file, and `b/a.yaml/c/d.yaml` lies in it");
}

TEST_CASE("what is no bundle of ours is refused at its line") {
    const std::string bundled =
        written({{"a.yaml", "torque: 24 N·m\n", false}, {"b.png", std::string(100, 'x'), true}});
    REQUIRE(why(bundled).empty());

    CHECK(why("") ==
          "line 1: this is no bundle; one begins `# Procedures handed over, with all that they need, byte for byte.`");
    CHECK(why("shop: fernhollow-works\n").starts_with("line 1: this is no bundle"));
    CHECK(why(" " + bundled).starts_with("line 1: this is no bundle"));
    CHECK(why("\xEF\xBB\xBF" + bundled).starts_with("line 1: this is no bundle"));
    CHECK(why(replaced(bundled, "bundle: 1", "bundle: 2")) ==
          "line 2: the bundle is of version 2, and this program reads version 1");
    CHECK(why("# Other words\nbundle: 17\nthings:\n") ==
          "line 2: the bundle is of version 17, and this program reads version 1");
    for (const char* version : {"bundle: 01", "bundle:  1", "bundle: 1 ", "bundle: \"1\"", "bundle: ", "version: 1"})
        CHECK(why(replaced(bundled, "bundle: 1", version)).starts_with("line 2: "));
    CHECK(why(replaced(bundled, "files:", "files: ")) == "line 3: here the files must begin: `files:`");
    CHECK(why(replaced(bundled, "files:\n", "")) == "line 3: here the files must begin: `files:`");

    CHECK(why(replaced(bundled, "24", "42")) ==
          "line 5: `a.yaml` is not what it was when the bundle was made: its SHA-256 is another");
    CHECK(why(replaced(bundled, "eHh4", "eHh5")) ==
          "line 9: `b.png` is not what it was when the bundle was made: its SHA-256 is another");
    const std::string sum = digest::sha256_hex("torque: 24 N·m\n");
    CHECK(why(replaced(bundled, sum, sum.substr(1))).starts_with("line 5: `a.yaml` is not what it was"));
    CHECK(why(replaced(bundled, "    sha256: \"" + sum + "\"\n", "")) ==
          "line 5: here the SHA-256 of `a.yaml` must stand: `    sha256: \"…\"`");
    CHECK(why(replaced(bundled, "    base64: |\n", "    bytes: |\n")) ==
          "line 10: here `b.png` must begin: `    text: …` or `    base64: |`");
    CHECK(why(replaced(bundled, "text: |2", "text: >2")) == "line 6: the quotes of the text of `a.yaml` are wrong");
    CHECK(why(replaced(bundled, "eHh4", "eH*4")) == "line 10: the Base64 of `b.png` is wrong");
    CHECK(why(replaced(bundled, "eHh4", "eHhé")) == "line 10: the Base64 of `b.png` is wrong");
    CHECK(why(replaced(bundled, "eHh4", "eHh 4")) == "line 10: the Base64 of `b.png` is wrong");
    CHECK(why(replaced(bundled, "==\n", "\n")) == "line 10: the Base64 of `b.png` is wrong");

    const std::size_t end = 1 + static_cast<std::size_t>(std::count(bundled.begin(), bundled.end(), '\n'));
    for (const char* behind :
         {"\n", "...\n", "---\n", "# more\n", "notes: a\n", "    text: |2\n", "  - path: a.yaml\n"})
        CHECK(why(bundled + behind) ==
              fmt::format("line {}: here only another file may begin: `  - path: \"…\"`", end));
    CHECK(why(bundled + "x") == fmt::format("line {}: the last line is cut off", end));
    CHECK(why(bundled.substr(0, bundled.size() - 1)) == fmt::format("line {}: the last line is cut off", end - 1));
    // Behind a text, an empty line or one that is set in would be more of it.
    const std::string text = written({{"a.yaml", "a: 1\n", false}});
    CHECK(why(text + "\n").starts_with("line 5: `a.yaml` is not what it was"));
    CHECK(why(text + "      b: 2\n").starts_with("line 5: `a.yaml` is not what it was"));
    CHECK(why(text + "     b: 2\n").starts_with("line 8: here only another file may begin"));

    std::string crlf = bundled;
    for (std::size_t at = 0; (at = crlf.find('\n', at)) != std::string::npos; at += 2) crlf.insert(at, "\r");
    CHECK(why(crlf) == "line 1: a carriage return; the line ends were changed on the way");
    CHECK(why(replaced(bundled, "N·m", "N\xB7m")) == "line 7: bytes that are no UTF-8");
}

TEST_CASE("the right text in another form than ours is refused: each bundle has one form") {
    const std::pair<std::string, std::string> forms[] = {
        {"a\n", "text: |2+\n      a\n"},
        {"a", "text: \"a\"\n"},
        {"", "text: |2\n"},
        {"", "text: |2-\n"},
        {"\n", "text: |2+\n\n"},
        {"a\n\n", "text: |2\n      a\n\n"},
        {"a\n", "text: |2-\n      a\n\n"},
        {"a\n\nb\n", "text: |2\n      a\n      \n      b\n"},
        {"\rA", "text: \"\\r\\u0041\"\n"},
        {"\x7F\xC2\xAB", "text: \"\\u007f\xC2\xAB\"\n"},
        {"\x7F", "text: \"\\U0000007F\"\n"},
        {"\x7F", "text: \"\x7F\"\n"},
        {"\r\n\n", "text: \"\\r\\n\\n\"\n"},
        {"\ra", "text: \"\\r\\\n      a\"\n"},
        {"\r\na", "text: \"\\r\\n\\\n      \\\n      a\"\n"},
        {"\r\n a", "text: \"\\r\\n\\\n       a\"\n"},
    };
    for (const auto& form : forms) {
        const auto& bytes = form.first;
        const auto& text = form.second;
        CAPTURE(text);
        CHECK(why(written({{"a.yaml", bytes, false}})).empty());
        CHECK(why(with("\"a.yaml\"", bytes, text))
                  .ends_with(": this is not how a bundle is written; it was changed after it was made"));
    }
    CHECK(why(with("\"a\\u002Eyaml\"", "a\n", "text: |2\n      a\n")) ==
          "line 4: this is not how a bundle is written; it was changed after it was made");
    for (const char* base64 : {"base64: |\n      eH\n      h4\n", "base64: |\n      eHh4\n      \n"})
        CHECK(why(with("\"a.png\"", "xxx", base64)).find("this is not how a bundle is written") != std::string::npos);
    const std::string bytes(200, 'x');
    const std::string in_one_line = fmt::format("base64: |\n      {}\n", digest::base64(bytes));
    CHECK(why(with("\"a.png\"", bytes, in_one_line)) ==
          "line 7: this is not how a bundle is written; it was changed after it was made");

    // No such thing in our quotes: another escape, a line that is not set in, none that closes, something behind them.
    for (const char* text : {"\"\\x41\"\n", "\"\\ua\"\n", "\"\\uD83D\\uDD27\"\n", "\"\\U00110000\"\n", "\"\\u+041\"\n",
                             "\"\\u 041\"\n", "\"\\ \"\n", "\"a\n", "\"a\n      b\"\n", "\"a\\\n     b\"\n", "\"a\\\n",
                             "\"a\" \n", "\"a\" # b\n", "\"\"\"\n", "a\n", "'a'\n", "|\n      a\n", "\n"}) {
        CAPTURE(text);
        CHECK(why(with("\"a.yaml\"", "a\n", fmt::format("text: {}", text)))
                  .ends_with(": the quotes of the text of `a.yaml` are wrong"));
    }
}

TEST_CASE("a bundle has an end") {
    CHECK(why(std::string(bundle::most_bytes + 1, ' ')) == "the bundle has more than 256 million bytes");
    std::vector<Unpacked> files;
    for (std::size_t i = 0; i < bundle::most_files; ++i)
        files.push_back({fmt::format("a/{}.yaml", i), "a: 1\n", false});
    check_back(files);
    files.push_back({"b.yaml", "a: 1\n", false});
    CHECK(why(written(files)) == "line 80004: more than 20000 files");
}

TEST_CASE("a real bundle with a byte that was flipped is refused or given back") {
    const std::string bundled = real_bundle();
    REQUIRE(holds(bundled));
    Random random(1);
    int accepted = 0;
    for (int i = 0; i < 1000; ++i) {
        std::string spoiled = bundled;
        const std::size_t at = below(random, spoiled.size());
        spoiled[at] = static_cast<char>(static_cast<unsigned char>(spoiled[at]) ^ (1 + below(random, 255)));
        CAPTURE(at);
        if (!holds(spoiled)) continue;
        ++accepted;
        // All but the paths is under a sum.
        const std::size_t line = spoiled.rfind('\n', at) + 1;
        CHECK(spoiled.compare(line, 11, "  - path: \"") == 0);
    }
    MESSAGE(accepted << " of 1000 accepted, of " << bundled.size() << " bytes");
    CHECK(accepted < 100);
}

TEST_CASE("so is one with another letter in a path, a sum or a line of ours") {
    const std::string bundled = real_bundle();
    std::vector<std::size_t> places;
    for (std::size_t at = 0; at < bundled.size(); at = bundled.find('\n', at) + 1)
        if (bundled.compare(at, 6, "      ") != 0)
            for (std::size_t in = at; in <= bundled.find('\n', at); ++in) places.push_back(in);
    Random random(4);
    const std::string letters = "./\\\"aA:-_ \n#|+2\xC3\xA9";
    int accepted = 0;
    for (int i = 0; i < 3000; ++i) {
        std::string spoiled = bundled;
        const std::size_t at = places[below(random, places.size())];
        spoiled[at] = letters[below(random, letters.size())];
        CAPTURE(at);
        if (spoiled == bundled || !holds(spoiled)) continue;
        ++accepted;
        const std::size_t line = spoiled.rfind('\n', at) + 1;
        CHECK(spoiled.compare(line, 11, "  - path: \"") == 0);
    }
    MESSAGE(accepted << " of 3000 accepted");
    CHECK(accepted > 50); // another name is a name, too
    CHECK(accepted < 1500);
}

TEST_CASE("so is one whose lines were left out, doubled, changed about or cut off") {
    const std::string bundled = real_bundle();
    Random random(2);
    std::vector<std::string> lines;
    for (const std::string_view line : base::split(bundled, '\n')) lines.emplace_back(line);
    for (int i = 0; i < 500; ++i) {
        std::vector<std::string> other = lines;
        const std::size_t at = below(random, other.size());
        const auto where = other.begin() + static_cast<std::ptrdiff_t>(at);
        switch (below(random, 4)) {
        case 0:
            other.erase(where);
            break;
        case 1:
            other.insert(where, std::string(other[at]));
            break;
        case 2:
            std::swap(other[at], other[below(random, other.size())]);
            break;
        default:
            other.resize(at);
        }
        std::string text;
        for (const std::string& line : other) text += line + "\n";
        CAPTURE(i);
        holds(text);
        holds(bundled.substr(0, below(random, bundled.size())));
    }
}

TEST_CASE("any bytes are refused or given back") {
    Random random(3);
    int accepted = 0;
    for (int i = 0; i < 20000; ++i) {
        CAPTURE(i);
        holds(any_bytes(random, 300));
        holds(good + any_bytes(random, 300));
        holds(good + nasty(random, 30));
        // Past the sum: the right one for a text, and pieces that may or may not be a way to write it.
        const std::string bytes = nasty(random, 3);
        const std::string whole = written({{"a.yaml", bytes, false}});
        std::string spoiled = whole.substr(whole.find("    text: "));
        for (std::size_t n = below(random, 3); n > 0; --n) {
            const std::size_t at = below(random, spoiled.size());
            const std::string piece =
                below(random, 2) == 0 ? nasty(random, 1) : std::string(1, "+-|2\"\\ \nu0"[below(random, 10)]);
            spoiled.replace(at, below(random, 2), piece);
        }
        if (holds(
                with("\"a.yaml\"", bytes, std::string_view(spoiled).substr(std::min<std::size_t>(4, spoiled.size())))))
            ++accepted;
    }
    MESSAGE(accepted << " of 20000 accepted");
    CHECK(accepted > 1000); // those that nothing was done to
    CHECK(accepted < 19000);
}
