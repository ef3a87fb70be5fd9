#include "bench/bare.h"

#include <cstdlib>
#include <hpdf.h>
#include <iostream>
#include <sstream>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

namespace benchleaf::bench {

std::string write(const Drawings& pages) {
    std::ostringstream to;
    for (const Drawing& page : pages) {
        to << "page " << page.width << ' ' << page.height << '\n';
        for (const Area& a : page.areas)
            to << "area " << a.x << ' ' << a.y << ' ' << a.width << ' ' << a.height << ' ' << a.fill << ' ' << a.line
               << ' ' << a.line_grey << '\n';
        for (const Path& p : page.paths) {
            to << "path " << p.grey << ' ' << p.width << ' ' << p.points.size();
            for (const float point : p.points) to << ' ' << point;
            to << '\n';
        }
        for (const Text& t : page.texts)
            to << "text " << t.face << ' ' << t.size << ' ' << t.x << ' ' << t.y << ' ' << t.grey << ' ' << t.utf8
               << '\n';
    }
    return to.str();
}

Drawings read(const std::string& text) {
    Drawings pages;
    std::istringstream from(text);
    for (std::string word; from >> word;) {
        if (word == "page") {
            Drawing page;
            from >> page.width >> page.height;
            pages.push_back(page);
        } else if (word == "area") {
            Area a;
            from >> a.x >> a.y >> a.width >> a.height >> a.fill >> a.line >> a.line_grey;
            pages.back().areas.push_back(a);
        } else if (word == "path") {
            Path p;
            std::size_t count = 0;
            from >> p.grey >> p.width >> count;
            p.points.resize(count);
            for (float& point : p.points) from >> point;
            pages.back().paths.push_back(p);
        } else {
            Text t;
            from >> t.face >> t.size >> t.x >> t.y >> t.grey;
            from.get();
            std::getline(from, t.utf8);
            pages.back().texts.push_back(t);
        }
    }
    return pages;
}

namespace {

std::size_t count(const YAML::Node& node) {
    std::size_t nodes = 1;
    if (node.IsMap())
        for (const auto& pair : node) nodes += count(pair.first) + count(pair.second);
    else if (node.IsSequence())
        for (const auto& entry : node) nodes += count(entry);
    return nodes;
}

struct Counter : YAML::EventHandler {
    std::size_t events = 0;
    void OnDocumentStart(const YAML::Mark&) override { ++events; }
    void OnDocumentEnd() override { ++events; }
    void OnNull(const YAML::Mark&, YAML::anchor_t) override { ++events; }
    void OnAlias(const YAML::Mark&, YAML::anchor_t) override { ++events; }
    void OnScalar(const YAML::Mark&, const std::string&, YAML::anchor_t, const std::string&) override { ++events; }
    void OnSequenceStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {
        ++events;
    }
    void OnSequenceEnd() override { ++events; }
    void OnMapStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {
        ++events;
    }
    void OnMapEnd() override { ++events; }
};

void failed(HPDF_STATUS error, HPDF_STATUS detail, void*) {
    std::cerr << "the bare program: libharu error " << error << ' ' << detail << '\n';
    std::exit(1);
}

// One byte a character, for the encoder that has 8-bit codes; what it lacks is a question mark.
std::string latin(const std::string& utf8) {
    std::string to;
    for (std::size_t i = 0; i < utf8.size(); ++i) {
        const auto c = static_cast<unsigned char>(utf8[i]);
        if (c < 0x80) {
            to += utf8[i];
        } else if ((c == 0xC2 || c == 0xC3) && i + 1 < utf8.size()) {
            to += static_cast<char>((c & 3U) << 6U | (static_cast<unsigned char>(utf8[++i]) & 0x3FU));
        } else {
            to += '?';
            while (i + 1 < utf8.size() && (static_cast<unsigned char>(utf8[i + 1]) & 0xC0U) == 0x80) ++i;
        }
    }
    return to;
}

} // namespace

std::size_t parse(const std::vector<std::string>& yaml) {
    std::size_t nodes = 0;
    for (const std::string& text : yaml) nodes += count(YAML::Load(text));
    return nodes;
}

std::size_t scan(const std::vector<std::string>& yaml) {
    Counter counter;
    for (const std::string& text : yaml) {
        std::istringstream from(text);
        YAML::Parser parser(from);
        while (parser.HandleNextDocument(counter)) {
        }
    }
    return counter.events;
}

std::string draw(const Drawings& pages, Fonts fonts, const std::string font_files[3]) {
    const HPDF_Doc doc = HPDF_New(failed, nullptr);
    HPDF_SetCompressionMode(doc, HPDF_COMP_ALL);
    if (fonts == Fonts::whole_utf8) HPDF_UseUTFEncodings(doc);
    HPDF_Font faces[3];
    for (int i = 0; i < 3; ++i) {
        const char* name = HPDF_LoadTTFontFromFile(doc, font_files[i].c_str(), HPDF_TRUE);
        faces[i] = HPDF_GetFont(doc, name, fonts == Fonts::whole_utf8 ? "UTF-8" : "WinAnsiEncoding");
    }
    for (const Drawing& drawing : pages) {
        const HPDF_Page page = HPDF_AddPage(doc);
        HPDF_Page_SetWidth(page, drawing.width);
        HPDF_Page_SetHeight(page, drawing.height);
        for (const Area& a : drawing.areas) {
            if (a.fill >= 0) {
                HPDF_Page_SetGrayFill(page, a.fill);
                HPDF_Page_Rectangle(page, a.x, a.y, a.width, a.height);
                HPDF_Page_Fill(page);
            }
            if (a.line > 0) {
                HPDF_Page_SetGrayStroke(page, a.line_grey);
                HPDF_Page_SetLineWidth(page, a.line);
                HPDF_Page_Rectangle(page, a.x, a.y, a.width, a.height);
                HPDF_Page_Stroke(page);
            }
        }
        for (const Path& p : drawing.paths) {
            if (p.points.size() < 4) continue;
            HPDF_Page_SetGrayFill(page, p.grey);
            HPDF_Page_SetGrayStroke(page, p.grey);
            if (p.width > 0) HPDF_Page_SetLineWidth(page, p.width);
            HPDF_Page_MoveTo(page, p.points[0], p.points[1]);
            for (std::size_t i = 2; i + 1 < p.points.size(); i += 2)
                HPDF_Page_LineTo(page, p.points[i], p.points[i + 1]);
            if (p.width > 0)
                HPDF_Page_Stroke(page);
            else
                HPDF_Page_Fill(page);
        }
        HPDF_Page_BeginText(page);
        for (const Text& t : drawing.texts) {
            HPDF_Page_SetGrayFill(page, t.grey);
            HPDF_Page_SetFontAndSize(page, faces[t.face], t.size);
            HPDF_Page_TextOut(page, t.x, t.y, (fonts == Fonts::whole_utf8 ? t.utf8 : latin(t.utf8)).c_str());
        }
        HPDF_Page_EndText(page);
    }
    HPDF_SaveToStream(doc);
    std::string bytes(HPDF_GetStreamSize(doc), '\0');
    auto size = static_cast<HPDF_UINT32>(bytes.size());
    HPDF_ReadFromStream(doc, reinterpret_cast<HPDF_BYTE*>(bytes.data()), &size);
    bytes.resize(size);
    HPDF_Free(doc);
    return bytes;
}

} // namespace benchleaf::bench
