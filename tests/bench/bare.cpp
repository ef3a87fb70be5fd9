#include "bench/bare.h"

#include <cstdlib>
#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_objects.h>
#include <hpdf_pages.h>
#include <iostream>
#include <libdeflate.h>
#include <sstream>
#include <string_view>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

namespace benchleaf::bench {

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

void write(HPDF_Stream to, std::string_view bytes) {
    HPDF_Stream_Write(to, reinterpret_cast<const HPDF_BYTE*>(bytes.data()), static_cast<HPDF_UINT>(bytes.size()));
}

// libharu asks an object to write what it has besides its entries; what that is hangs at the object.
extern "C" HPDF_STATUS write_more(HPDF_Dict dict, HPDF_Stream out) {
    const auto* text = static_cast<const std::string*>(dict->attr);
    return HPDF_Stream_Write(out, reinterpret_cast<const HPDF_BYTE*>(text->data()),
                             static_cast<HPDF_UINT>(text->size()));
}

extern "C" HPDF_STATUS write_packed(HPDF_Dict, HPDF_Stream out) {
    return HPDF_Stream_WriteStr(out, "/Filter/FlateDecode\n");
}

// A stream that is packed already.
HPDF_Dict packed_stream(HPDF_Doc doc, std::string_view bytes) {
    const HPDF_Dict made = HPDF_DictStream_New(doc->mmgr, doc->xref);
    made->write_fn = write_packed;
    write(made->stream, bytes);
    return made;
}

HPDF_Dict font(HPDF_Doc doc, const fonts::Part& part, std::string& descriptor_text, std::string& widths) {
    descriptor_text = part.descriptor;
    widths = "/W[" + std::string(part.widths) + "]/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>";
    const std::string name(part.name);
    const HPDF_Dict file = packed_stream(doc, part.file);
    HPDF_Dict_AddNumber(file, "Length1", static_cast<HPDF_INT32>(part.file_size));
    const auto named = [&](const char* type, const char* subtype) {
        const HPDF_Dict made = HPDF_Dict_New(doc->mmgr);
        HPDF_Xref_Add(doc->xref, made);
        HPDF_Dict_AddName(made, "Type", type);
        if (subtype != nullptr) HPDF_Dict_AddName(made, "Subtype", subtype);
        HPDF_Dict_AddName(made, subtype != nullptr ? "BaseFont" : "FontName", name.c_str());
        return made;
    };
    const HPDF_Dict descriptor = named("FontDescriptor", nullptr);
    descriptor->attr = &descriptor_text;
    descriptor->write_fn = write_more;
    HPDF_Dict_Add(descriptor, "FontFile2", file);
    const HPDF_Dict inner = named("Font", "CIDFontType2");
    inner->attr = &widths;
    inner->write_fn = write_more;
    HPDF_Dict_Add(inner, "FontDescriptor", descriptor);
    HPDF_Dict_Add(inner, "CIDToGIDMap", packed_stream(doc, part.glyphs));
    const HPDF_Dict outer = named("Font", "Type0");
    HPDF_Dict_AddName(outer, "Encoding", "Identity-H");
    const HPDF_Array inners = HPDF_Array_New(doc->mmgr);
    HPDF_Dict_Add(outer, "DescendantFonts", inners);
    HPDF_Array_Add(inners, inner);
    HPDF_Dict_Add(outer, "ToUnicode", packed_stream(doc, part.to_unicode));
    return outer;
}

std::string utf8(std::string_view two_bytes_each) {
    std::string to;
    for (std::size_t i = 0; i + 1 < two_bytes_each.size(); i += 2) {
        const auto high = static_cast<unsigned char>(two_bytes_each[i]);
        const auto low = static_cast<unsigned char>(two_bytes_each[i + 1]);
        const unsigned c = high * 256U + low;
        if (c < 0x80) {
            to += static_cast<char>(c);
        } else if (c < 0x800) {
            to += static_cast<char>(0xC0U | c >> 6U);
            to += static_cast<char>(0x80U | (c & 0x3FU));
        } else {
            to += static_cast<char>(0xE0U | c >> 12U);
            to += static_cast<char>(0x80U | (c >> 6U & 0x3FU));
            to += static_cast<char>(0x80U | (c & 0x3FU));
        }
    }
    return to;
}

std::size_t face_of(const std::string& name) {
    return name == "R" ? 0 : name == "B" ? 1 : 2;
}

// `faces`: libharu's own fonts; without them the pages know ours by their names, of which libharu has no idea.
void replay(HPDF_Page page, const std::vector<Call>& calls, const HPDF_Font* faces) {
    const HPDF_Stream out = static_cast<HPDF_PageAttr>(page->attr)->stream;
    for (const Call& call : calls) {
        const std::string& name = call.name;
        const auto& n = call.numbers;
        if (name == "re")
            HPDF_Page_Rectangle(page, n[0], n[1], n[2], n[3]);
        else if (name == "m")
            HPDF_Page_MoveTo(page, n[0], n[1]);
        else if (name == "l")
            HPDF_Page_LineTo(page, n[0], n[1]);
        else if (name == "c")
            HPDF_Page_CurveTo(page, n[0], n[1], n[2], n[3], n[4], n[5]);
        else if (name == "h")
            HPDF_Page_ClosePath(page);
        else if (name == "f")
            HPDF_Page_Fill(page);
        else if (name == "S")
            HPDF_Page_Stroke(page);
        else if (name == "g")
            HPDF_Page_SetGrayFill(page, n[0]);
        else if (name == "G")
            HPDF_Page_SetGrayStroke(page, n[0]);
        else if (name == "w")
            HPDF_Page_SetLineWidth(page, n[0]);
        else if (name == "d") {
            const HPDF_UINT16 dash[2] = {static_cast<HPDF_UINT16>(n[0] + 0.5F), static_cast<HPDF_UINT16>(n[1] + 0.5F)};
            HPDF_Page_SetDash(page, dash, n[5] > 0 && dash[0] > 0 ? 1 : 0, 0); // libharu's dashes are of whole points
        } else if (name == "J")
            HPDF_Page_SetLineCap(page, n[0] > 0 ? HPDF_ROUND_END : HPDF_BUTT_END);
        else if (name == "q")
            HPDF_Page_GSave(page);
        else if (name == "Q")
            HPDF_Page_GRestore(page);
        else if (name == "cm")
            HPDF_Page_Concat(page, n[0], n[1], n[2], n[3], n[4], n[5]);
        else if (name == "BT")
            HPDF_Page_BeginText(page);
        else if (name == "ET")
            HPDF_Page_EndText(page);
        else if (name == "Td")
            HPDF_Page_MoveTextPos(page, n[0], n[1]);
        else if (name == "Tf" && faces != nullptr)
            HPDF_Page_SetFontAndSize(page, faces[face_of(call.text)], n[0]);
        else if (name == "Tf") {
            HPDF_Stream_WriteEscapeName(out, call.text.c_str());
            HPDF_Stream_WriteChar(out, ' ');
            HPDF_Stream_WriteReal(out, n[0]);
            HPDF_Stream_WriteStr(out, " Tf\n");
        } else if (name == "Tj" && faces != nullptr)
            HPDF_Page_ShowText(page, utf8(call.text).c_str());
        else if (name == "Tj") {
            std::string text = "(";
            for (const char c : call.text) {
                if (c == '(' || c == ')' || c == '\\') text += '\\';
                if (c == '\r')
                    text += "\\r";
                else
                    text += c;
            }
            text += ")Tj\n";
            write(out, text);
        }
    }
}

// As ours is packed; libharu itself packs with zlib, at its middle level.
void pack(HPDF_Page page) {
    const auto attributes = static_cast<HPDF_PageAttr>(page->attr);
    std::string plain(attributes->stream->size, '\0');
    HPDF_UINT size = attributes->stream->size;
    HPDF_Stream_Seek(attributes->stream, 0, HPDF_SEEK_SET);
    HPDF_Stream_Read(attributes->stream, reinterpret_cast<HPDF_BYTE*>(plain.data()), &size);
    static libdeflate_compressor* const packer = libdeflate_alloc_compressor(1);
    std::string packed(libdeflate_zlib_compress_bound(packer, plain.size()), '\0');
    const std::size_t packed_size =
        libdeflate_zlib_compress(packer, plain.data(), plain.size(), packed.data(), packed.size());
    HPDF_MemStream_FreeData(attributes->stream);
    write(attributes->stream, std::string_view(packed).substr(0, packed_size));
    attributes->contents->filter = HPDF_STREAM_FILTER_NONE;
    attributes->contents->write_fn = write_packed;
}

HPDF_Page add_page(HPDF_Doc doc, const RecordedPage& recorded) {
    const HPDF_Page page = HPDF_AddPage(doc);
    HPDF_Page_SetWidth(page, recorded.width);
    HPDF_Page_SetHeight(page, recorded.height);
    return page;
}

std::string saved(HPDF_Doc doc) {
    HPDF_SaveToStream(doc);
    std::string bytes(HPDF_GetStreamSize(doc), '\0');
    auto size = static_cast<HPDF_UINT32>(bytes.size());
    HPDF_ReadFromStream(doc, reinterpret_cast<HPDF_BYTE*>(bytes.data()), &size);
    bytes.resize(size);
    HPDF_Free(doc);
    return bytes;
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

std::string draw(const Recording& recording) {
    const HPDF_Doc doc = HPDF_New(failed, nullptr);
    static constexpr const char* names[fonts::face_count] = {"R", "B", "I"};
    std::string texts[2 * fonts::face_count]; // until all is written
    const HPDF_Dict known = HPDF_Dict_New(doc->mmgr);
    HPDF_Xref_Add(doc->xref, known);
    for (std::size_t i = 0; i < recording.faces.size(); ++i)
        if (recording.faces[i])
            HPDF_Dict_Add(known, names[i],
                          font(doc, fonts::part(static_cast<fonts::Face>(i), *recording.faces[i]), texts[2 * i],
                               texts[2 * i + 1]));
    for (const RecordedPage& recorded : recording.pages) {
        const HPDF_Page page = add_page(doc, recorded);
        auto* resources = static_cast<HPDF_Dict>(HPDF_Page_GetInheritableItem(page, "Resources", HPDF_OCLASS_DICT));
        HPDF_Dict_Add(resources, "Font", known);
        replay(page, recorded.calls, nullptr);
        pack(page);
    }
    return saved(doc);
}

std::string draw_plainly(const Recording& recording, const std::string font_files[3]) {
    const HPDF_Doc doc = HPDF_New(failed, nullptr);
    HPDF_SetCompressionMode(doc, HPDF_COMP_ALL);
    HPDF_UseUTFEncodings(doc);
    HPDF_Font faces[3];
    for (int i = 0; i < 3; ++i)
        faces[i] = HPDF_GetFont(doc, HPDF_LoadTTFontFromFile(doc, font_files[i].c_str(), HPDF_TRUE), "UTF-8");
    for (const RecordedPage& recorded : recording.pages) replay(add_page(doc, recorded), recorded.calls, faces);
    return saved(doc);
}

} // namespace benchleaf::bench
