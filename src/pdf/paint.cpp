#include "pdf/paint.h"

#include "base/text.h"
#include "pdf/content.h"
#include "pdf/encodings.h"
#include "pdf/form.h"
#include "pdf/objects.h"

#include <fmt/format.h>
#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_fontdef.h>
#include <hpdf_objects.h>
#include <hpdf_pages.h>

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string_view>
#include <tuple>
#include <utility>

namespace benchleaf::pdf {

namespace {

// The first error that libharu reports. A null result or a bad status without a report is an error too: see `Document`.
struct Reported {
    HPDF_STATUS code = HPDF_OK;
    HPDF_STATUS detail = HPDF_OK;
};

extern "C" void HPDF_STDCALL note_error(HPDF_STATUS code, HPDF_STATUS detail, void* to) {
    auto& reported = *static_cast<Reported*>(to);
    if (reported.code == HPDF_OK) reported = {code, detail};
}

// Tags are six capitals before the name of a font that is not embedded whole (ISO 32000-1, 9.6.4); fixed, so that the same
// pages make the same bytes.
constexpr std::array<const char*, fonts::face_count> tags = {"BLEAFR", "BLEAFB", "BLEAFI"};

// The upright stem of H, in 1/1000 em, measured on the outlines; the angle as in the font's own post table.
struct Descriptor {
    HPDF_UINT16 stem;
    HPDF_INT16 angle;
    HPDF_UINT flags;
};
constexpr std::array<Descriptor, fonts::face_count> descriptors = {
    {{90, 0, 0}, {151, 0, 0}, {87, -12, HPDF_FONT_ITALIC}}};

// Writes `128/uni0105/uni0107…`: the name of each character beyond ASCII, from which a reader finds the glyph by the font's
// cmap, or by its post table. libharu's own encodings are not used, as they know no characters beyond the code pages.
extern "C" HPDF_STATUS write_encoding(HPDF_Encoder encoder, HPDF_Stream out) {
    const auto* attributes = static_cast<const HPDF_BasicEncoderAttr_Rec*>(encoder->attr);
    std::string text = "/Encoding <</Type/Encoding/BaseEncoding/WinAnsiEncoding";
    if (attributes->last_char >= first_free_code) {
        text += fmt::format("/Differences[{}", first_free_code);
        for (unsigned code = first_free_code; code <= attributes->last_char; ++code)
            text += fmt::format("/uni{:04X}", attributes->unicode_map[code]);
        text += ']';
    }
    text += ">>\n";
    return HPDF_Stream_WriteStr(out, text.c_str());
}

// ISO 32000-1, 9.10.3. At most 100 entries may stand in one block.
std::string to_unicode(const FaceEncodings& face, const Encoding& encoding) {
    std::vector<std::string> entries;
    for (unsigned code = 0; code < first_free_code; ++code)
        if (face.ascii.test(code)) entries.push_back(fmt::format("<{0:02X}> <{0:04X}>\n", code));
    unsigned code = first_free_code;
    for (const char32_t character : encoding.characters)
        entries.push_back(fmt::format("<{:02X}> <{:04X}>\n", code++, static_cast<std::uint32_t>(character)));
    std::string text = "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
                       "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
                       "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
                       "1 begincodespacerange\n<00> <FF>\nendcodespacerange\n";
    for (std::size_t from = 0; from < entries.size(); from += 100) {
        const std::size_t to = std::min(entries.size(), from + 100);
        text += fmt::format("{} beginbfchar\n", to - from);
        for (std::size_t i = from; i < to; ++i) text += entries[i];
        text += "endbfchar\n";
    }
    return text + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n";
}

extern "C" HPDF_STATUS write_filter(HPDF_Dict, HPDF_Stream out) {
    return HPDF_Stream_WriteStr(out, "/Filter/FlateDecode\n");
}

// One libharu document. `failed` says what went wrong last; each step is checked, because libharu can return null with no
// error, and goes on after an error.
class Document {
public:
    Document() : pdf_(HPDF_NewEx(note_error, nullptr, nullptr, 0, &reported_)) {
        check(pdf_ != nullptr);
        if (!failed_) check(HPDF_SetCompressionMode(pdf_.get(), HPDF_COMP_ALL));
        if (!failed_) pdf_->pdf_version = HPDF_VER_16;
    }

    // With `whole_regular` the regular face is there, and whole, though no page may use it.
    void fonts(const Encodings& encodings, bool whole_regular) {
        for (std::size_t face = 0; face < encodings.faces.size() && !failed_; ++face) {
            const bool whole = whole_regular && face == static_cast<std::size_t>(benchleaf::fonts::Face::regular);
            if (whole || encodings.faces[face].used()) this->face(face, encodings.faces[face], whole);
        }
    }

    // Each picture once in each size, with no more pixels than 300 dpi are.
    void images(const pages::Pages& pages) {
        using Key = std::tuple<const pictures::Picture*, pages::Length, pages::Length>;
        std::map<Key, std::size_t> made;
        const std::function<void(const pages::Box&)> see = [&](const pages::Box& box) {
            if (const auto* image = std::get_if<pages::Image>(&box.paint)) {
                const auto [at, is_new] = made.try_emplace(Key{image->picture.get(), box.at.width, box.at.height}, 0);
                if (is_new) at->second = this->image(*image->picture, box.at.width, box.at.height);
                images_.emplace(image, at->second);
            }
            for (const pages::Box& child : box.children) see(child);
        };
        for (const pages::Page& page : pages.pages)
            for (const pages::Box& box : page.boxes)
                if (!failed_) see(box);
    }

    void page(const pages::Page& page, pages::Size size, const Encodings& encodings) {
        if (failed_) return;
        const HPDF_Page made = HPDF_AddPage(pdf_.get());
        if (!check(made != nullptr)) return;
        check(HPDF_Page_SetWidth(made, static_cast<HPDF_REAL>(size.width) / 1000.0F));
        check(HPDF_Page_SetHeight(made, static_cast<HPDF_REAL>(size.height) / 1000.0F));
        FontNames names; // puts every font into the page's resources; a card's pages use the same ones
        for (std::size_t face = 0; face < fonts_.size(); ++face)
            for (const HPDF_Font font : fonts_[face]) {
                const char* name = HPDF_Page_GetLocalFontName(made, font);
                if (!check(name != nullptr)) return;
                names[face].emplace_back(name);
            }
        const ImageNames images = names_of_images(page, made);
        // Packed here, because libharu packs at zlib's slow middle level. libharu must not pack it again, so it is told of no
        // filter, and the filter is written where libharu lets an object add to itself.
        const HPDF_PageAttr attributes = static_cast<HPDF_PageAttr>(made->attr);
        attributes->contents->filter = HPDF_STREAM_FILTER_NONE;
        attributes->contents->write_fn = write_filter;
        write(attributes->stream, packed(content(page, size, encodings, names, images)));
        pages_.push_back(made);
    }

    // After the pages: their boxes as fields.
    void form(const std::vector<Field>& fields, const pages::Pages& pages, const pages::FieldWords& words) {
        if (failed_) return;
        Objects objects(next_number());
        const std::size_t dictionary = objects.add();
        const std::size_t first_page = dictionary + 1;
        for (std::size_t i = 0; i < pages_.size(); ++i) objects.add();
        const Form form = make_form(fields, pages, words, regular_, objects);
        objects.set(dictionary, form.dictionary);
        for (std::size_t i = 0; i < pages_.size(); ++i)
            objects.set(first_page + i, fmt::format("[{}]", form.widgets[i]));
        take_in(objects);
        refer(pdf_->catalog, "AcroForm", dictionary);
        for (std::size_t i = 0; i < pages_.size() && !failed_; ++i) {
            if (form.widgets[i].empty()) continue;
            refer(pages_[i], "Annots", first_page + i);
            check(HPDF_Dict_AddName(pages_[i], "Tabs", "R"));
        }
    }

    // The attachment is found by its name, and by what it is to the document (ISO 32000-2, 14.13).
    void attach(const Attachment& file) {
        if (failed_) return;
        Objects objects(next_number());
        const std::size_t stream =
            objects.add(stream_object(fmt::format("/Type/EmbeddedFile/Subtype{}/Params<</Size {}>>/Filter/FlateDecode",
                                                  name_object(file.media_type), file.bytes.size()),
                                      packed(file.bytes)));
        const std::string name = text_string(file.name);
        std::string plain = file.name; // for programs that do not know Unicode names
        std::replace_if(
            plain.begin(), plain.end(), [](char byte) { return byte < ' ' || byte > '~'; }, '_');
        const std::size_t specification =
            objects.add(fmt::format("<</Type/Filespec/F{0}/UF{1}/EF<</F {2}/UF {2}>>/AFRelationship/Source>>",
                                    text_string(plain), name, reference(stream)));
        const std::size_t names =
            objects.add(fmt::format("<</EmbeddedFiles<</Names[{} {}]>>>>", name, reference(specification)));
        const std::size_t associated = objects.add(fmt::format("[{}]", reference(specification)));
        take_in(objects);
        refer(pdf_->catalog, "Names", names);
        refer(pdf_->catalog, "AF", associated);
    }

    // The tree of bookmarks (12.3.3), shown when the file is opened, and how the pages are called (12.4.2).
    void outline(const pages::Booklet& booklet, pages::Size size) {
        if (failed_ || booklet.bookmarks.empty()) return;
        const std::vector<pages::Bookmark>& marks = booklet.bookmarks;
        Objects objects(next_number());
        const std::size_t root = objects.add();
        const std::size_t first = root + 1;
        for (std::size_t i = 0; i < marks.size(); ++i) objects.add();
        constexpr std::size_t none = static_cast<std::size_t>(-1);
        struct Kin {
            std::size_t parent = none, before = none, after = none, eldest = none, youngest = none, children = 0;
        };
        std::vector<Kin> kin(marks.size());
        Kin top;
        std::vector<std::size_t> open; // the ways down to the last mark
        for (std::size_t i = 0; i < marks.size(); ++i) {
            while (!open.empty() && marks[open.back()].depth >= marks[i].depth) open.pop_back();
            kin[i].parent = open.empty() ? none : open.back();
            Kin& parent = open.empty() ? top : kin[open.back()];
            if (parent.eldest == none) parent.eldest = i;
            if (parent.youngest != none) {
                kin[i].before = parent.youngest;
                kin[parent.youngest].after = i;
            }
            parent.youngest = i;
            ++parent.children;
            open.push_back(i);
        }
        const auto to = [&](std::string_view key, std::size_t mark) {
            return mark == none ? std::string() : fmt::format("/{} {}", key, reference(first + mark));
        };
        for (std::size_t i = 0; i < marks.size(); ++i) {
            std::string text = fmt::format("<</Title{}/Parent {}", text_string(marks[i].title),
                                           reference(kin[i].parent == none ? root : first + kin[i].parent));
            text += to("Prev", kin[i].before) + to("Next", kin[i].after) + to("First", kin[i].eldest) +
                    to("Last", kin[i].youngest);
            if (kin[i].children > 0) text += fmt::format("/Count -{}", kin[i].children); // closed
            text += fmt::format("/Dest[{} /XYZ null {:.3f} null]>>", reference(number_of(pages_.at(marks[i].page))),
                                static_cast<double>(size.height - marks[i].y) / 1000.0);
            objects.set(first + i, std::move(text));
        }
        objects.set(root, fmt::format("<</Type/Outlines{}{}/Count {}>>", to("First", top.eldest),
                                      to("Last", top.youngest), top.children));
        std::string numbers;
        for (const pages::Numbering& each : booklet.numbering)
            numbers += fmt::format("{}<</S/{}{}>>", each.page, each.roman ? "r" : "D",
                                   each.prefix.empty() ? std::string() : "/P" + text_string(each.prefix));
        const std::size_t labels = objects.add(fmt::format("<</Nums[{}]>>", numbers));
        take_in(objects);
        refer(pdf_->catalog, "Outlines", root);
        refer(pdf_->catalog, "PageLabels", labels);
        check(HPDF_Dict_AddName(pdf_->catalog, "PageMode", "UseOutlines"));
    }

    void info(const DocumentInfo& info) {
        if (failed_) return;
        text("Title", info.title);
        text("Author", info.author);
        text("Subject", info.subject);
        text("Keywords", info.keywords);
        text("Creator", "benchleaf");
        const HPDF_Dict catalog = pdf_->catalog;
        if (!info.language.empty())
            check(HPDF_Dict_Add(catalog, "Lang", HPDF_String_New(pdf_->mmgr, info.language.c_str(), nullptr)));
        // A reader shows the title, and prints in true size: a tick box of 5 mm must not shrink.
        const HPDF_Dict preferences = HPDF_Dict_New(pdf_->mmgr);
        if (!check(preferences != nullptr)) return;
        check(HPDF_Dict_Add(catalog, "ViewerPreferences", preferences));
        check(HPDF_Dict_AddBoolean(preferences, "DisplayDocTitle", HPDF_TRUE));
        check(HPDF_Dict_AddName(preferences, "PrintScaling", "None"));
    }

    base::Result<std::string> saved() {
        std::string bytes;
        if (!failed_) bytes = file_of(written(), number_of(pdf_->catalog), number_of(pdf_->info));
        if (reported_.code != HPDF_OK)
            return base::Failure{fmt::format("the PDF could not be made: libharu reports error 0x{:04X}, detail {}",
                                             reported_.code, reported_.detail)};
        if (failed_) return base::Failure{"the PDF could not be made: libharu failed without a report"};
        return bytes;
    }

private:
    struct Freed {
        void operator()(HPDF_Doc pdf) const { HPDF_Free(pdf); }
    };

    bool check(bool good) {
        if (!good) failed_ = true;
        return good;
    }
    bool check(HPDF_STATUS status) { return check(status == HPDF_OK); }

    static std::size_t number_of(const void* object) {
        return static_cast<const HPDF_Obj_Header*>(object)->obj_id & 0x00FFFFFFU;
    }
    std::size_t next_number() const { return pdf_->xref->entries->count; }

    // Keeps the numbers of our own objects in libharu's table; what they are is written in their place in the end.
    void take_in(Objects& objects) {
        for (Object& object : objects.taken()) {
            const HPDF_Null place = HPDF_Null_New(pdf_->mmgr);
            if (!check(place != nullptr) || !check(HPDF_Xref_Add(pdf_->xref, place))) return;
            own_.resize(number_of(place) + 1);
            own_.back() = std::move(object);
        }
    }

    void refer(HPDF_Dict from, const char* key, std::size_t to) {
        const HPDF_XrefEntry entry = HPDF_Xref_GetEntry(pdf_->xref, static_cast<HPDF_UINT>(to));
        if (check(entry != nullptr)) check(HPDF_Dict_Add(from, key, entry->obj));
    }

    // All objects as text. A font adds to them when it is written, so that they are counted each time.
    std::vector<Object> written() {
        std::vector<Object> all;
        std::vector<std::size_t> ends;
        const HPDF_Stream out = HPDF_MemStream_New(pdf_->mmgr, 1U << 16U);
        if (!check(out != nullptr)) return all;
        for (HPDF_UINT number = 1; number < pdf_->xref->entries->count && !failed_; ++number) {
            const HPDF_XrefEntry entry = HPDF_Xref_GetEntry(pdf_->xref, number);
            if (number < own_.size() && !own_[number].text.empty()) {
                all.push_back(std::move(own_[number]));
            } else {
                const bool is_dict =
                    (static_cast<HPDF_Obj_Header*>(entry->obj)->obj_class & HPDF_OCLASS_ANY) == HPDF_OCLASS_DICT;
                all.push_back({"", is_dict && static_cast<HPDF_Dict>(entry->obj)->stream != nullptr});
                check(HPDF_Obj_WriteValue(entry->obj, out, nullptr));
            }
            ends.push_back(out->size);
        }
        std::string bytes(out->size, '\0');
        HPDF_UINT size = out->size;
        if (!failed_ && size > 0) {
            check(HPDF_Stream_Seek(out, 0, HPDF_SEEK_SET));
            check(HPDF_Stream_Read(out, reinterpret_cast<HPDF_BYTE*>(bytes.data()), &size));
            check(size == bytes.size());
        }
        HPDF_Stream_Free(out);
        for (std::size_t i = 0, from = 0; i < ends.size() && !failed_; from = ends[i++])
            if (ends[i] > from) all[i].text = bytes.substr(from, ends[i] - from);
        return all;
    }

    // As an object of its own (ISO 32000-1, 8.9.5); its number.
    std::size_t image(const pictures::Picture& picture, pages::Length width, pages::Length height) {
        constexpr std::int64_t dpi = 300, inch = 72'000;
        const auto pixels = [](pages::Length length) {
            return static_cast<std::uint32_t>((std::int64_t{length} * dpi + inch - 1) / inch);
        };
        const pictures::Printable print = pictures::printable(picture, pixels(width), pixels(height));
        Objects objects(next_number());
        const std::size_t number = objects.add(stream_object(
            fmt::format("/Type/XObject/Subtype/Image/Width {}/Height {}/BitsPerComponent 8/ColorSpace/{}/Filter/{}",
                        print.width, print.height, print.channels == 1 ? "DeviceGray" : "DeviceRGB",
                        print.jpeg ? "DCTDecode" : "FlateDecode"),
            print.jpeg ? print.data : packed(print.data, Packing::small)));
        take_in(objects);
        return number;
    }

    // Puts the page's pictures into its resources.
    ImageNames names_of_images(const pages::Page& page, HPDF_Page into) {
        ImageNames names;
        if (images_.empty()) return names;
        std::map<std::size_t, std::string> known;
        HPDF_Dict all = nullptr;
        const std::function<void(const pages::Box&)> see = [&](const pages::Box& box) {
            if (const auto* image = std::get_if<pages::Image>(&box.paint)) {
                const std::size_t number = images_.at(image);
                const auto [at, is_new] = known.try_emplace(number, fmt::format("I{}", number));
                names.emplace(image, at->second);
                if (is_new && all == nullptr) {
                    auto* resources =
                        static_cast<HPDF_Dict>(HPDF_Page_GetInheritableItem(into, "Resources", HPDF_OCLASS_DICT));
                    all = HPDF_Dict_New(pdf_->mmgr);
                    if (!check(resources != nullptr) || !check(all != nullptr)) return;
                    check(HPDF_Dict_Add(resources, "XObject", all));
                }
                if (is_new && !failed_) refer(all, at->second.c_str(), number);
            }
            for (const pages::Box& child : box.children) see(child);
        };
        for (const pages::Box& box : page.boxes) see(box);
        return names;
    }

    void write(HPDF_Stream to, std::string_view bytes) {
        check(HPDF_Stream_Write(to, reinterpret_cast<const HPDF_BYTE*>(bytes.data()),
                                static_cast<HPDF_UINT>(bytes.size())));
    }

    void text(const char* key, std::string_view utf8) {
        if (utf8.empty()) return;
        Objects objects(next_number());
        const std::size_t number = objects.add(text_string(utf8));
        take_in(objects);
        refer(pdf_->info, key, number);
    }

    // Loads a face from the program's own memory, which libharu's public functions cannot, and makes a font of it for each
    // of its encodings.
    void face(std::size_t face, const FaceEncodings& encodings, bool whole) {
        const auto file = benchleaf::fonts::bytes(static_cast<benchleaf::fonts::Face>(face));
        const HPDF_Stream stream = HPDF_MemStream_New(pdf_->mmgr, static_cast<HPDF_UINT>(file.size()));
        if (!check(stream != nullptr)) return;
        if (!check(HPDF_Stream_Write(stream, file.data(), static_cast<HPDF_UINT>(file.size())))) {
            HPDF_Stream_Free(stream);
            return;
        }
        const HPDF_FontDef font = HPDF_TTFontDef_Load(pdf_->mmgr, stream, HPDF_TRUE); // owns the stream, come what may
        if (!check(font != nullptr)) return;
        if (!whole) {
            std::array<char, HPDF_TTF_FONT_TAG_LEN + 1> tag{};
            std::copy_n(tags.at(face), HPDF_TTF_FONT_TAG_LEN, tag.begin());
            HPDF_TTFontDef_SetTagName(font, tag.data());
        }
        const Descriptor& descriptor = descriptors.at(face);
        font->stemv = descriptor.stem;
        font->italic_angle = descriptor.angle;
        font->flags |= descriptor.flags;
        if (!check(HPDF_Doc_RegisterFontDef(pdf_.get(), font))) return;
        if (whole && !describe_whole(font)) return;
        for (const Encoding& encoding : encodings.encodings) {
            const std::string name = fmt::format("benchleaf-{}-{}", face, fonts_.at(face).size());
            this->font(face, font->base_font, name, encodings, encoding);
        }
    }

    // Before libharu would make a descriptor of its own, with a file cut down: one that pages and form share.
    bool describe_whole(HPDF_FontDef font) {
        Objects objects(next_number());
        const auto file = benchleaf::fonts::regular_packed();
        const auto size = benchleaf::fonts::bytes(benchleaf::fonts::Face::regular).size();
        const std::size_t stream =
            objects.add(stream_object(fmt::format("/Length1 {}/Filter/FlateDecode", size),
                                      {reinterpret_cast<const char*>(file.data()), file.size()}));
        const HPDF_Box& box = font->font_bbox;
        regular_ = objects.add();
        objects.set(
            regular_,
            fmt::format("<</Type/FontDescriptor/FontName{}/Flags {}/FontBBox[{} {} {} {}]/ItalicAngle {}/Ascent {}"
                        "/Descent {}/CapHeight {}/XHeight {}/StemV {}/FontFile2 {}>>",
                        name_object(font->base_font), font->flags, box.left, box.bottom, box.right, box.top,
                        font->italic_angle, font->ascent, font->descent, font->cap_height, font->x_height, font->stemv,
                        reference(stream)));
        take_in(objects);
        if (failed_) return false;
        // libharu asks a descriptor for nothing but its number.
        font->descriptor =
            static_cast<HPDF_Dict>(HPDF_Xref_GetEntry(pdf_->xref, static_cast<HPDF_UINT>(regular_))->obj);
        return true;
    }

    void font(std::size_t face, const char* base_font, const std::string& name, const FaceEncodings& encodings,
              const Encoding& encoding) {
        const HPDF_Encoder encoder = HPDF_BasicEncoder_New(pdf_->mmgr, HPDF_ENCODING_WIN_ANSI);
        if (!check(encoder != nullptr)) return;
        std::copy_n(name.c_str(), name.size() + 1, encoder->name);
        auto& attributes = *static_cast<HPDF_BasicEncoderAttr>(encoder->attr);
        const auto last =
            encoding.characters.empty() ? std::size_t{126} : first_free_code - 1 + encoding.characters.size();
        attributes.last_char = static_cast<HPDF_BYTE>(last);
        for (std::size_t i = 0; i < encoding.characters.size(); ++i)
            attributes.unicode_map[first_free_code + i] = static_cast<HPDF_UNICODE>(encoding.characters[i]);
        encoder->write_fn = write_encoding;
        if (!check(HPDF_Doc_RegisterEncoder(pdf_.get(), encoder))) return; // owns the encoder, come what may

        const HPDF_Font font = HPDF_GetFont(pdf_.get(), base_font, name.c_str());
        if (!check(font != nullptr)) return;
        fonts_.at(face).push_back(font);

        // libharu embeds the glyphs, and writes the widths, of the characters whose width it was asked for.
        std::vector<HPDF_BYTE> codes;
        for (unsigned code = 0; code < first_free_code; ++code)
            if (encodings.ascii.test(code)) codes.push_back(static_cast<HPDF_BYTE>(code));
        for (std::size_t i = 0; i < encoding.characters.size(); ++i)
            codes.push_back(static_cast<HPDF_BYTE>(first_free_code + i));
        if (!codes.empty()) HPDF_Font_TextWidth(font, codes.data(), static_cast<HPDF_UINT>(codes.size()));

        const HPDF_Dict map = HPDF_DictStream_New(pdf_->mmgr, pdf_->xref);
        if (!check(map != nullptr)) return;
        map->filter = HPDF_STREAM_FILTER_FLATE_DECODE;
        write(map->stream, to_unicode(encodings, encoding));
        check(HPDF_Dict_Add(font, "ToUnicode", map));
    }

    Reported reported_; // before the document, which keeps its address
    bool failed_ = false;
    std::unique_ptr<HPDF_Doc_Rec, Freed> pdf_;
    std::array<std::vector<HPDF_Font>, benchleaf::fonts::face_count> fonts_;
    std::vector<HPDF_Page> pages_;
    std::map<const pages::Image*, std::size_t> images_; // the numbers of their objects
    std::vector<Object> own_;                           // by number; the others are libharu's
    std::size_t regular_ = 0; // the number of the regular face's descriptor, where that is whole
};

std::optional<base::Failure> wrong(const DocumentInfo& info, const Extras& extras, std::size_t page_count) {
    for (const std::string* text : {&info.title, &info.author, &info.subject, &info.language, &info.keywords})
        if (base::first_bad_utf8(*text))
            return base::Failure{"the document's title, author, subject or keywords are not UTF-8"};
    const bool tag = std::all_of(info.language.begin(), info.language.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    });
    if (!tag || info.language.size() > 35) return base::Failure{"the document's language is no BCP 47 tag"};
    if (extras.source && (extras.source->name.empty() || base::first_bad_utf8(extras.source->name)))
        return base::Failure{"the attachment's name is empty or not UTF-8"};
    if (extras.form != nullptr)
        for (const auto& [name, words] : *extras.form)
            if (base::first_bad_utf8(name) || base::first_bad_utf8(words))
                return base::Failure{"the words of a form field are not UTF-8"};
    if (extras.booklet != nullptr)
        for (const pages::Bookmark& mark : extras.booklet->bookmarks) {
            if (base::first_bad_utf8(mark.title)) return base::Failure{"a bookmark is not UTF-8"};
            if (mark.page >= page_count) return base::Failure{"a bookmark leads to no page"};
        }
    return std::nullopt;
}

} // namespace

base::Result<std::string> paint(const pages::Pages& pages, const DocumentInfo& info, const Extras& extras) {
    if (auto failure = wrong(info, extras, pages.pages.size())) return std::move(*failure);
    base::Result<Encodings> encodings = encode(pages);
    if (!encodings) return encodings.failure();
    std::vector<Field> fields;
    if (extras.form != nullptr) {
        base::Result<std::vector<Field>> found = fields_of(pages);
        if (!found) return found.failure();
        fields = std::move(found.value());
    }
    Document document;
    document.fonts(encodings.value(), !fields.empty());
    document.images(pages);
    for (const pages::Page& page : pages.pages) document.page(page, size_of(pages.paper), encodings.value());
    if (!fields.empty()) document.form(fields, pages, *extras.form);
    if (extras.source) document.attach(*extras.source);
    if (extras.booklet != nullptr) document.outline(*extras.booklet, size_of(pages.paper));
    document.info(info);
    return document.saved();
}

} // namespace benchleaf::pdf
