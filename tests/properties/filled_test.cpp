// Whatever bytes come as a filled-in card, they are read right or refused: files written by hand with all that a form may be and may not be,
// and what unpacks without end. Nothing takes long.
#include "base/text.h"
#include "filled/filled.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <zlib.h>

#include <ctime>
#include <map>
#include <random>
#include <vector>

using namespace benchleaf;

namespace {

using Boxes = std::map<std::string, std::string, std::less<>>;

// A PDF of these objects, numbered from 1; the first is its catalog.
std::string pdf_of(const std::vector<std::string>& objects, const std::string& trailer = "") {
    std::string file = "%PDF-1.7\n";
    std::string table = fmt::format("xref\n0 {}\n0000000000 65535 f \n", objects.size() + 1);
    for (std::size_t i = 0; i < objects.size(); ++i) {
        table += fmt::format("{:010} 00000 n \n", file.size());
        file += fmt::format("{} 0 obj\n{}\nendobj\n", i + 1, objects[i]);
    }
    return fmt::format("{}{}trailer\n<</Size {}/Root 1 0 R{}>>\nstartxref\n{}\n%%EOF\n", file, table,
                       objects.size() + 1, trailer, file.size());
}

std::string stream(const std::string& data, const std::string& keys = "") {
    return fmt::format("<<{}/Length {}>>\nstream\n{}\nendstream", keys, data.size(), data);
}

std::string packed(const std::string& data) {
    std::string to(compressBound(data.size()), '\0');
    uLongf size = to.size();
    REQUIRE(compress2(reinterpret_cast<Bytef*>(to.data()), &size, reinterpret_cast<const Bytef*>(data.data()),
                      data.size(), 9) == Z_OK);
    to.resize(size);
    return to;
}

// The catalog with a form of these fields, each of which may name objects from 2 on.
std::string form(const std::string& fields, const std::vector<std::string>& more = {}) {
    std::vector<std::string> objects = {"<</Type/Catalog/AcroForm<</Fields[" + fields + "]>>>>"};
    objects.insert(objects.end(), more.begin(), more.end());
    return pdf_of(objects);
}

Boxes boxes(const std::string& bytes) {
    const auto made = filled::read(bytes);
    if (!made) return {{"refused", made.failure().what}};
    return made.value().boxes;
}

std::string refusal(const std::string& bytes) {
    const auto made = filled::read(bytes);
    return made ? "none" : made.failure().what;
}

bool refused(const std::string& bytes, std::string_view part) {
    const std::string why = refusal(bytes);
    INFO(why);
    CHECK(why.find(part) != std::string::npos);
    CHECK(why.find('\n') == std::string::npos);
    CHECK(!base::first_bad_utf8(why));
    return why.find(part) != std::string::npos;
}

std::string text(const std::string& value) {
    return boxes(form("<</T(a)/FT/Tx/V " + value + ">>"))["a"];
}

std::string hex(std::string_view bytes) {
    std::string to = "<";
    for (const char byte : bytes) to += fmt::format("{:02X}", static_cast<unsigned char>(byte));
    return to + ">";
}

std::string utf16(std::u16string_view letters) {
    std::string to = "\xFE\xFF";
    for (const char16_t unit : letters) {
        to += static_cast<char>(unit >> 8U);
        to += static_cast<char>(unit & 0xFFU);
    }
    return hex(to);
}

// Of processor, so that what else the machine does counts for nothing.
template <class Work>
double seconds(const Work& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

} // namespace

TEST_CASE("a text is read in each of its encodings, as one line") {
    CHECK(text("(4.40 mm)") == "4.40 mm");
    CHECK(text("(  4.40 mm \\n)") == "4.40 mm");
    CHECK(text("(a\\(b\\)c\\\\ \\101\\102)") == "a(b)c\\ AB");
    CHECK(text("<34 2E 34 30>") == "4.40");
    CHECK(text("/Good") == "Good");
    // PDFDocEncoding (ISO 32000-1, annex D): µ ± are as in Latin 1; • – € are not; 9F is no character.
    CHECK(text("(12 \\265m \\2610.1)") == "12 µm ±0.1");
    CHECK(text("(\\200 \\205 \\240)") == "• – €");
    CHECK(text("(4\\237)") == "4\uFFFD");
    CHECK(text(utf16(u"≥ 4.4 Σφ Ґ")) == "≥ 4.4 Σφ Ґ");
    CHECK(text(utf16(u"\xD83D\xDD27")) == "🔧");
    CHECK(text(hex("\xFF\xFE\x65\x22")) == "≥"); // the other way round, as some write it
    CHECK(text(hex("\xEF\xBB\xBF≥ 4.4")) == "≥ 4.4");
    CHECK(text(utf16(u"\x1B"
                     u"enGB\x1B"
                     u"4.4\x1B"
                     u"de\x1B mm")) == "4.4 mm");
    CHECK(text("(dry,\\r\\nno leak\\rleft\\n\\n right\\tboth)") == "dry, no leak left right both");
    CHECK(text("(4.4\\0000)") == "4.4 0"); // no figure comes out of two
    CHECK(text("(4.40\\000)") == "4.40");
    CHECK(text(utf16(u"a\u2028 b\u2029c")) == "a b c");
    CHECK(text(utf16(u"12\u00A0460\u202Fkm")) == "12\u00A0460\u202Fkm");
    CHECK(text(utf16(u"\u00A0 4.4\u00A0")) == "4.4");
    for (const char* empty : {"()", "(  )", "(\\r\\n)", "<FEFF>", "<FEFF00A0>", "null"}) {
        CAPTURE(empty);
        CHECK(boxes(form(fmt::format("<</T(a)/FT/Tx/V {}>>", empty))).empty());
    }
    CHECK(boxes(form("<</T(a)/FT/Tx/V 2 0 R>>", {stream("4.40 mm")}))["a"] == "4.40 mm");
    CHECK(boxes(form("<</T(a)/FT/Tx/V 2 0 R>>", {stream(packed("4.40 mm"), "/Filter/FlateDecode")}))["a"] == "4.40 mm");
    CHECK(boxes(form("<</T(a)/FT/Tx/V(4.4)/RV(<p>4.5</p>)/DV(4.6)>>"))["a"] == "4.4");
    CHECK(
        refused(form("<</T(a)/FT/Tx/V " + hex("\xEF\xBB\xBF\xC3(") + ">>"), "box `a` holds text that cannot be read"));
    CHECK(refused(form("<</T(a)/FT/Tx/V 4.4>>"), "box `a` holds no text"));
    CHECK(refused(form("<</T(a)/FT/Tx/V[(4.4)]>>"), "box `a` holds no text"));
}

TEST_CASE("a tick is set where its value or its look says so") {
    const auto tick = [](const std::string& keys) { return boxes(form("<</T(a)/FT/Btn" + keys + ">>", {stream("")})); };
    const std::string looks = "/AP<</N<</Yes 2 0 R/Off 2 0 R>>>>";
    const Boxes set = {{"a", "x"}}, none;
    CHECK(tick("/V/Yes/AS/Yes" + looks) == set);
    CHECK(tick("/V/Off/AS/Off" + looks) == none);
    CHECK(tick("/V/Yes/AS/Off" + looks) == set);
    CHECK(tick("/V/Off/AS/Yes" + looks) == set);
    CHECK(tick("/V/Yes" + looks) == set);
    CHECK(tick("/AS/Yes" + looks) == set);
    CHECK(tick("/V(Yes)/AS/Off" + looks) == set);
    CHECK(tick("/V(Off)" + looks) == none);
    CHECK(tick("/V()" + looks) == none);
    CHECK(tick("/V null" + looks) == none);
    CHECK(tick(looks) == none);
    CHECK(tick("/V/On/AS/On") == set);
    CHECK(tick("/V/1/AS/1/AP<</N<</1 2 0 R>>>>") == set);
    CHECK(tick("/V/Ja#20/AS/Ja#20/AP<</N<</Ja#20 2 0 R>>>>") == set);
    CHECK(tick("/V/#FC/AS/#FC/AP<</N<</#FC 2 0 R>>>>") == set);
    CHECK(tick("/Ff 65536/V/Yes") == none); // a push button keeps nothing
    CHECK(refused(form("<</T(a)/FT/Btn/V/No" + looks + ">>", {stream("")}),
                  "box `a` is `No`, which is neither ticked nor not"));
    CHECK(refused(form("<</T(a)/FT/Btn/V/1" + looks + ">>", {stream("")}), "box `a` is `1`"));
    CHECK(refused(form("<</T(a)/FT/Btn/V/#FC" + looks + ">>", {stream("")}), "box `a` is no word"));
    CHECK(refused(form("<</T(a)/FT/Btn/V 1" + looks + ">>", {stream("")}), "box `a` holds no text"));
}

TEST_CASE("fields are called by the names of all that are above them, and have what those have") {
    const std::string tree =
        form("2 0 R 6 0 R", {"<</T(card)/FT/Tx/Kids[3 0 R 4 0 R]>>", "<</T(b)/Parent 2 0 R/V(1)>>",
                             "<</T(c)/Parent 2 0 R/V(2)/Kids[5 0 R]>>", "<</T(d)/Parent 4 0 R>>",
                             "<</T(tick)/FT/Btn/Kids[7 0 R 8 0 R]>>", "<</Parent 6 0 R/Subtype/Widget/AS/Yes>>",
                             "<</Parent 6 0 R/Subtype/Widget/AS/Off>>"});
    const auto made = filled::read(tree);
    REQUIRE(made.ok());
    CHECK(made.value().boxes == Boxes{{"card.b", "1"}, {"card.c.d", "2"}, {"tick", "x"}});
    CHECK(made.value().fields == std::vector<std::string>{"card.b", "card.c.d", "tick"});
    CHECK(boxes(form("<</T" + utf16(u"Öl") + "/FT/Tx/V(1)>>")) == Boxes{{"Öl", "1"}});
    // What is no field of ours, and has no name, is passed over.
    CHECK(boxes(form("<</FT/Tx/V(1)>><</T(a)/FT/Tx/V(2)>><</T(s)/FT/Sig/V<<>>>><</T(c)/FT/Ch/V[(x)]>>")) ==
          Boxes{{"a", "2"}});
    CHECK(refused(form("<</T(a)/V(2)>>"), "damaged: nothing says what sort of field `a` is"));
    CHECK(refused(form("<</T 4/FT/Tx/V(2)>>"), "damaged: a field of its form has no name"));
    CHECK(refused(form("9 0 R"), "damaged: a field of its form is missing"));
    CHECK(refused(form("2 0 R", {"<</T(a)/FT/Tx/Kids[9 0 R]>>"}), "damaged: a field of its form is missing"));
    CHECK(refused(form(""), "it holds no form fields"));
    CHECK(refused(pdf_of({"<</Type/Catalog>>"}), "it holds no form fields"));
}

TEST_CASE("a box that is written in twice is what both say, or is refused by its name") {
    const auto head = [](const std::string& field, const std::string& one, const std::string& two) {
        return form("2 0 R",
                    {"<</T(head/1)/FT/Tx/Kids[3 0 R 4 0 R]" + field + ">>",
                     "<</Parent 2 0 R/Subtype/Widget" + one + ">>", "<</Parent 2 0 R/Subtype/Widget" + two + ">>"});
    };
    const Boxes b = {{"head/1", "B"}};
    CHECK(boxes(head("/V(B)", "", "")) == b);
    CHECK(boxes(head("", "/V(B)", "")) == b);
    CHECK(boxes(head("", "/V(B)", "/V" + utf16(u"B "))) == b);
    CHECK(boxes(head("/V(B)", "/V(B)", "/V(B)")) == b);
    CHECK(refused(head("", "/V(B)", "/V(A)"), "box `head/1` is `B` in one place of the file and `A` in another"));
    CHECK(refused(head("/V(A)", "/V(B)", "/V(B)"), "box `head/1` is `A` in one place of the file and `B` in another"));
    CHECK(refused(head("/V(A)", "/V()", "/V()"), "box `head/1` is `A` in one place of the file and empty in another"));
    // Two fields of one name.
    CHECK(boxes(form("<</T(a)/FT/Tx/V(B)>><</T(a)/FT/Tx>>")) == Boxes{{"a", "B"}});
    CHECK(boxes(form("<</T(a)/FT/Tx/V(B)>><</T(a)/FT/Tx/V(B)>>")) == Boxes{{"a", "B"}});
    CHECK(refused(form("<</T(a)/FT/Tx/V(4.4)>><</T(a)/FT/Tx/V(4.1)>>"),
                  "box `a` is `4.4` in one place of the file and `4.1`"));
    CHECK(refused(form("<</T(a)/FT/Btn/V/Yes>><</T(a)/FT/Btn/V/Off>>"),
                  "box `a` is `x` in one place of the file and empty"));
    // One field, entered twice.
    const auto twice = filled::read(form("2 0 R 2 0 R", {"<</T(a)/FT/Tx/V(1)>>"}));
    REQUIRE(twice.ok());
    CHECK(twice.value().fields == std::vector<std::string>{"a"});
}

TEST_CASE("what stands in the file last counts") {
    std::string file = form("2 0 R", {"<</T(a)/FT/Tx/V(4.4)>>"});
    const std::size_t old = file.size(), before = file.rfind("xref\n0");
    for (const char* value : {"(4.1)", "(3.9)"}) {
        const std::size_t at = file.size();
        const std::size_t last = file.rfind("\nxref\n") == std::string::npos ? before : file.rfind("\nxref\n") + 1;
        file += fmt::format("2 0 obj\n<</T(a)/FT/Tx/V{}>>\nendobj\n", value);
        const std::size_t table = file.size();
        file +=
            fmt::format("xref\n2 1\n{:010} 00000 n \ntrailer\n<</Size 3/Root 1 0 R/Prev {}>>\nstartxref\n{}\n%%EOF\n",
                        at, last, table);
    }
    CHECK(boxes(file) == Boxes{{"a", "3.9"}});
    // Cut off behind the first state, it would be that of before; only where nothing is left of what came after does nobody see it.
    std::size_t good = 0;
    for (std::size_t size = old; size < file.size(); ++size) {
        const Boxes left = boxes(file.substr(0, size));
        if (left.count("refused") == 1) continue;
        ++good;
        CAPTURE(size);
        CHECK((size == old || file.substr(size - 6, 6).find("%%EOF") != std::string::npos));
    }
    CHECK(good >= 2);
    CHECK(good <= 4);
    CHECK(refused(file + "<html>", "damaged: it does not end as a PDF does"));
    CHECK(boxes(file + "\r\n\r\n") == Boxes{{"a", "3.9"}});
}

TEST_CASE("nothing is mended: what a repair leaves out might be the reading") {
    const auto without = [](std::string file, const std::string& part, const std::string& instead) {
        const std::size_t at = file.rfind(part);
        REQUIRE(at != std::string::npos);
        return file.replace(at, part.size(), instead);
    };
    const std::string sound = form("<</T(a)/FT/Tx/V 2 0 R>><</T(b)/FT/Tx/V(1)>>", {"(4.40 mm)"});
    CHECK(boxes(sound) == Boxes{{"a", "4.40 mm"}, {"b", "1"}});
    const std::string place = fmt::format("{:010} 00000 n", sound.find("2 0 obj"));
    CHECK(refused(without(sound, place, "0000000009 00000 n"), "damaged: "));
    CHECK(refused(without(sound, place, "0000000012 00000 n"), "damaged: "));
    CHECK(refused(without(sound, "startxref\n", "startxref\n1"), "damaged: "));
    CHECK(refused(without(sound, "trailer", "trailed"), "damaged: "));
    CHECK(refused(without(sound, "(4.40 mm)", "(4.40 mm("), "damaged: "));
    CHECK(refused(without(sound, "mm)\nendobj", "mm)\n      "), "damaged: "));
    CHECK(refused(without(form("<</T(a)/FT/Tx/V 2 0 R>>", {stream(packed("4.40 mm"), "/Filter/FlateDecode")}),
                          "endstream", "         "),
                  "damaged: "));
    // What is told of how the file is put together, and loses nothing, is let pass: one object too many is announced.
    CHECK(boxes(without(sound, "/Size 3", "/Size 4")) == boxes(sound));
}

TEST_CASE("the attachment is the source; its title is the document's") {
    const auto with = [](const std::string& names, const std::vector<std::string>& more) {
        std::vector<std::string> objects = {
            "<</Type/Catalog/AcroForm<</Fields[<</T(a)/FT/Tx>>]>>/Names<</EmbeddedFiles " + names + ">>>>"};
        objects.insert(objects.end(), more.begin(), more.end());
        return pdf_of(objects, "/Info<</Title" + utf16(u"Auftrag Öl\n7") + ">>");
    };
    const std::string plain = stream("shop: x\n", "/Params<</Size 8>>");
    const auto made = filled::read(
        with("<</Kids[2 0 R]>>", {"<</Names[(a)<</F(photo.jpg)/EF<</F 3 0 R>>>>(b)<</UF(j.sources.yaml)/F(j)"
                                  "/EF<</F 3 0 R>>>>]>>",
                                  plain}));
    REQUIRE(made.ok());
    CHECK(made.value().source_name == "j.sources.yaml");
    CHECK(made.value().source == "shop: x\n");
    CHECK(made.value().title == "Auftrag Öl 7");
    CHECK(made.value().boxes.empty());
    const std::string one = "<</Names[(a)<</F(j.sources.yaml)/EF<</F 2 0 R>>>>]>>";
    CHECK(filled::read(with(one, {plain})).value().source == "shop: x\n");
    CHECK(filled::read(with("<</Names[]>>", {})).value().source.empty());
    CHECK(filled::read(with("<</Names[(a)]>>", {})).value().source_name.empty());
    CHECK(filled::read(with("<</Names[(a)9 0 R(b)null]>>", {})).value().source_name.empty());
    CHECK(filled::read(with("2 0 R", {"<</Kids[2 0 R 2 0 R]>>"})).value().source_name.empty());
    CHECK(refused(with(one, {stream("shop: x", "/Params<</Size 8>>")}),
                  "damaged: j.sources.yaml is not as long as it says"));
    CHECK(refused(with(one, {stream("shop: x", "/Filter/FlateDecode")}), "damaged"));
    CHECK(refused(with(one, {stream("shop: x", "/Filter/LZWDecode")}), "damaged"));
    CHECK(refused(
        with("<</Names[(a)<</F(j.sources.yaml)/EF<</F 2 0 R>>>>(b)<</F(k.sources.yaml)/EF<</F 2 0 R>>>>]>>", {plain}),
        "the sources of several cards"));
}

TEST_CASE("packed rows are undone whatever their kind") {
    // A table of objects is packed so by most programs; here one of PNG's five ways for each row (ISO/IEC 15948, 9.2).
    std::string file = "%PDF-1.7\n";
    std::vector<std::size_t> places = {0};
    const std::vector<std::string> objects = {"<</Type/Catalog/AcroForm<</Fields[2 0 R 3 0 R 4 0 R]>>>>",
                                              "<</T(a)/FT/Tx/V(1)>>", "<</T(b)/FT/Tx/V(2)>>", "<</T(c)/FT/Tx/V(3)>>"};
    for (std::size_t i = 0; i < objects.size(); ++i) {
        places.push_back(file.size());
        file += fmt::format("{} 0 obj\n{}\nendobj\n", i + 1, objects[i]);
    }
    places.push_back(file.size());
    std::string rows, above(4, '\0');
    for (std::size_t i = 0; i < places.size(); ++i) {
        const std::string row = {static_cast<char>(i == 0 ? 0 : 1), static_cast<char>(places[i] >> 8U),
                                 static_cast<char>(places[i] & 0xFFU), '\0'};
        const int kind = static_cast<int>(i % 5);
        rows += static_cast<char>(kind);
        for (std::size_t k = 0; k < row.size(); ++k) {
            const auto at = [&](const std::string& of, bool there, std::size_t n) {
                return there ? int{static_cast<unsigned char>(of[n])} : 0;
            };
            const int a = at(row, k > 0, k - 1), b = at(above, true, k), c = at(above, k > 0, k - 1);
            const int p = a + b - c, pa = std::abs(p - a), pb = std::abs(p - b), pc = std::abs(p - c);
            const int paeth = pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
            const int guesses[] = {0, a, b, (a + b) / 2, paeth};
            rows += static_cast<char>(at(row, true, k) - guesses[kind]);
        }
        above = row;
    }
    const std::string table = packed(rows);
    file += fmt::format(
        "5 0 obj\n<</Type/XRef/Size 6/Root 1 0 R/W[1 2 1]/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 4>>"
        "/Length {}>>\nstream\n{}\nendstream\nendobj\nstartxref\n{}\n%%EOF\n",
        table.size(), table, places.back());
    CHECK(boxes(file) == Boxes{{"a", "1"}, {"b", "2"}, {"c", "3"}});
}

TEST_CASE("bounds: what no card has is refused, and by its name where it has one") {
    CHECK(text("(" + std::string(10'000, '4') + ")").size() == 10'000);
    CHECK(refused(form("<</T(a)/FT/Tx/V(" + std::string(10'001, '4') + ")>>"),
                  "box `a` holds more than 10000 characters"));
    CHECK(refused(form("<</T(" + std::string(5000, 'a') + ")/FT/Tx>>"), "damaged: a field of its form has no name"));
    const auto many = [](std::size_t count) {
        std::string fields;
        for (std::size_t i = 0; i < count; ++i) fields += fmt::format("<</T(f{})/FT/Tx/V(1)>>", i);
        return form(fields);
    };
    const std::string most = many(100'000), more = many(100'001);
    CHECK(seconds([&] { CHECK(boxes(most).size() == 100'000); }) < 1.0 * BENCHLEAF_TIME_SLACK);
    CHECK(refused(more, "its form has more than 100000 fields"));
    // Few bytes that stand for many: fields in rings, one list of kids for all, one text for all.
    std::string same;
    for (int i = 0; i < 20'000; ++i) same += "3 0 R ";
    std::string parents, one_text;
    for (int i = 0; i < 20'000; ++i) parents += fmt::format("<</T(p{})/FT/Tx/Kids 2 0 R>>", i);
    for (int i = 0; i < 100'000; ++i) one_text += fmt::format("<</T(p{})/FT/Tx/V 2 0 R>>", i);
    std::string deep = "<</T(a)/FT/Tx>>";
    for (int i = 0; i < 100; ++i) deep = "<</T(a)/FT/Tx/Kids[" + deep + "]>>";
    std::string very_deep(200'000, '[');
    const std::vector<std::pair<std::string, std::string>> crafted = {
        {form("2 0 R", {"<</T(a)/FT/Tx/V(1)/Kids[2 0 R]>>"}), ""},
        {form("2 0 R", {"<</T(a)/FT/Tx/Kids[3 0 R]>>", "<</T(b)/Kids[2 0 R 3 0 R]>>"}), "it holds no form fields"},
        {form("2 0 R", {"<</T(a)/FT/Tx/Kids[3 0 R]>>", "<</Kids[2 0 R 3 0 R]>>"}), ""},
        {form(parents, {"[" + same + "]", "<</V(1)>>"}), "more fields than a card"},
        {form(one_text, {"(" + std::string(9'000, '4') + ")"}), "more text than a card"},
        {form(deep), "fields in fields without end"},
        {form(very_deep), ""},
        {pdf_of({"<</Type/Catalog/AcroForm " + very_deep + ">>"}), ""},
        {pdf_of({"1 0 R"}), "damaged"},
        {pdf_of({"<</Type/Catalog/AcroForm 2 0 R>>", "3 0 R", "2 0 R"}), ""},
    };
    for (std::size_t i = 0; i < crafted.size(); ++i) {
        CAPTURE(i);
        CHECK(seconds([&] {
                  if (crafted[i].second.empty())
                      static_cast<void>(filled::read(crafted[i].first));
                  else
                      CHECK(refused(crafted[i].first, crafted[i].second));
              }) < 1.0 * BENCHLEAF_TIME_SLACK);
    }
}

TEST_CASE("what unpacks without end is not unpacked to its end") {
    // A gigabyte of noughts as a megabyte, and that packed once more.
    static const std::string bomb = [] {
        std::string to;
        z_stream z{};
        REQUIRE(deflateInit(&z, 9) == Z_OK);
        std::string noughts(1U << 20U, '\0'), out(1U << 20U, '\0');
        for (int i = 0; i <= 1024; ++i) {
            z.next_in = reinterpret_cast<Bytef*>(noughts.data());
            z.avail_in = i == 1024 ? 0 : static_cast<uInt>(noughts.size());
            z.next_out = reinterpret_cast<Bytef*>(out.data());
            z.avail_out = static_cast<uInt>(out.size());
            deflate(&z, i == 1024 ? Z_FINISH : Z_NO_FLUSH);
            to.append(out, 0, out.size() - z.avail_out);
        }
        deflateEnd(&z);
        return to;
    }();
    REQUIRE(bomb.size() < 2U << 20U);
    const std::string again = packed(bomb);
    const auto attached = [](const std::string& object) {
        return pdf_of({"<</Type/Catalog/AcroForm<</Fields[<</T(a)/FT/Tx>>]>>/Names<</EmbeddedFiles<</Names[(a)<</"
                       "F(j.sources.yaml)"
                       "/EF<</F 2 0 R>>>>]>>>>>>",
                       object});
    };
    // A table of objects with a row of two bytes for each of them.
    const auto table = [](const std::string& data, const std::string& keys) {
        const std::string head = "%PDF-1.7\n1 0 obj\n<</Type/Catalog/AcroForm<</Fields[]>>>>\nendobj\n";
        return fmt::format("{}2 0 obj\n{}\nendobj\nstartxref\n{}\n%%EOF\n", head,
                           stream(data, "/Type/XRef/Size 1000000000/Root 1 0 R/W[1 1 0]" + keys), head.size());
    };
    // Objects 3 to 9 lie in object 2.
    const auto objects = [](const std::string& data, const std::string& keys) {
        std::string file = "%PDF-1.7\n1 0 obj\n<</Type/Catalog/AcroForm<</Fields[3 0 R 4 0 R 5 0 R]>>>>\nendobj\n";
        const std::size_t at = file.size();
        file += fmt::format("2 0 obj\n{}\nendobj\n", stream(data, "/Type/ObjStm/N 7/First 40" + keys));
        const auto place = [](char kind, std::size_t where, char which) {
            std::string row = {kind};
            for (const unsigned shift : {24U, 16U, 8U, 0U}) row += static_cast<char>(where >> shift & 0xFFU);
            return row + which;
        };
        std::string rows = place(0, 0, 0) + place(1, 9, 0) + place(1, at, 0);
        for (char which = 0; which < 7; ++which) rows += place(2, 2, which);
        const std::size_t start = file.size();
        return fmt::format("{}10 0 obj\n{}\nendobj\nstartxref\n{}\n%%EOF\n", file,
                           stream(rows, "/Type/XRef/Size 11/Root 1 0 R/W[1 4 1]/Index[0 10]"), start);
    };
    const std::string flate = "/Filter/FlateDecode", twice = "/Filter[/FlateDecode/FlateDecode]";
    // The same shapes with nothing wrong in them are read.
    CHECK(boxes(objects("3 0 4 20 5 40 6 60 7 60 8 60 9 60       "
                        "<</T(a)/FT/Tx/V(1)>><</T(b)/FT/Tx/V(2)>><</T(c)/FT/Tx/V(3)>>null",
                        ""))
              .size() == 3);
    const std::vector<std::pair<std::string, std::string>> bombs = {
        {attached(stream(bomb, flate)), "its attachment unpacks to more"},
        {attached(stream(again, twice)), "its attachment unpacks to more"},
        {attached(stream(bomb, flate + "/Params<</Size 268435456>>")), "its attachment unpacks to more"},
        {attached(stream(bomb, flate + "/Params<</Size 268435457>>")), "its attachment unpacks to more"},
        {attached(stream(bomb, flate + "/Params<</Size -1>>")), "its attachment unpacks to more"},
        {attached(stream(std::string(1U << 20U, '\x81'), "/Filter[/RunLengthDecode/RunLengthDecode]")), "damaged"},
        {attached(stream(
             bomb, "/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 1000000/Colors 64/BitsPerComponent 16>>")),
         "its attachment unpacks to more"},
        {form("<</T(a)/FT/Tx/V 2 0 R>>", {stream(bomb, flate)}), "its form unpacks to more"},
        {form("<</T(a)/FT/Tx/V 2 0 R>>", {stream(again, twice)}), "its form unpacks to more"},
        {table(bomb, flate), "its table of objects unpacks to more"},
        {table(again, twice), "its table of objects unpacks to more"},
        {objects(bomb, flate), "its form unpacks to more"},
        {objects(again, twice), "its form unpacks to more"},
    };
    for (std::size_t i = 0; i < bombs.size(); ++i) {
        CAPTURE(i);
        const double took = seconds([&] { CHECK(refused(bombs[i].first, bombs[i].second)); });
        CAPTURE(took);
        CHECK(took < 1.0 * BENCHLEAF_TIME_SLACK);
    }
    // And the thread reads on as before.
    CHECK(text("(4.4)") == "4.4");
}

TEST_CASE("bytes of anything are refused") {
    CHECK(refusal("") == "this is no PDF: the file is empty");
    CHECK(refusal("shop: x\n") == "this is no PDF");
    CHECK(refused("%PDF-1.7\n", "damaged"));
    CHECK(refused("%PDF-1.7\n%%EOF", "damaged"));
    CHECK(refused("%PDF-1.7\nstartxref\n0\n%%EOF", "damaged"));
    CHECK(refused("%PDF-1.7\nstartxref\n99999999999999999999\n%%EOF", "damaged"));
    CHECK(refused(std::string(2000, ' ') + form("<</T(a)/FT/Tx>>"), "this is no PDF"));
    std::mt19937 random(3);
    // Words of the language in any order, between a head and an end.
    const std::vector<std::string> words = {"obj",    "endobj", "1 0 ",   "2 0 R ", "<<",          ">>",       "[",
                                            "]",      "(",      ")",      "stream", "\n",          "/Root ",   "<",
                                            ">",      "/T ",    "/Kids ", "/V ",    "xref",        "trailer",  "/Size ",
                                            "/Prev ", "0 ",     "9999 ",  "%",      "startxref\n", "/W[1 1 1]"};
    for (int round = 0; round < 300; ++round) {
        std::string bytes = "%PDF-1.7\n1 0 obj\n<</Type/Catalog/AcroForm<</Fields[";
        for (int i = 0; i < 200; ++i) bytes += words[random() % words.size()];
        bytes += "\ntrailer\n<</Root 1 0 R/Size 3>>\nstartxref\n" + std::to_string(random() % bytes.size()) + "\n%%EOF";
        CHECK(seconds([&] { CHECK(boxes(bytes).count("refused") == 1); }) < 1.0 * BENCHLEAF_TIME_SLACK);
    }
}
