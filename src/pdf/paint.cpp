#include "pdf/paint.h"

#include "base/text.h"
#include "pdf/content.h"
#include "pdf/faces_used.h"
#include "pdf/font.h"
#include "pdf/form.h"
#include "pdf/objects.h"

#include <fmt/format.h>
#include <hpdf.h>
#include <hpdf_doc.h>
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

    // Of each face the least part that will do; of the regular one all of it, used or not, where there are fields to type in.
    void fonts(const FacesUsed& used, bool fields) {
        using benchleaf::fonts::Face;
        if (failed_) return;
        Objects objects(next_number());
        std::string known;
        for (const Face face : {Face::regular, Face::bold, Face::italic}) {
            const std::optional<benchleaf::fonts::Kinds> kinds = used.at(static_cast<std::size_t>(face));
            const bool typed = fields && face == Face::regular;
            if (!kinds && !typed) continue;
            const std::size_t font =
                add_font(typed ? benchleaf::fonts::whole(face) : benchleaf::fonts::part(face, *kinds), objects);
            if (typed) typing_font_ = font;
            known += fmt::format("/{} {}", font_name(face), reference(font));
        }
        if (known.empty()) return;
        fonts_ = objects.add(fmt::format("<<{}>>", known));
        take_in(objects);
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

    void page(const pages::Page& page, pages::Size size) {
        if (failed_) return;
        const HPDF_Page made = HPDF_AddPage(pdf_.get());
        if (!check(made != nullptr)) return;
        check(HPDF_Page_SetWidth(made, static_cast<HPDF_REAL>(size.width) / 1000.0F));
        check(HPDF_Page_SetHeight(made, static_cast<HPDF_REAL>(size.height) / 1000.0F));
        auto* resources = static_cast<HPDF_Dict>(HPDF_Page_GetInheritableItem(made, "Resources", HPDF_OCLASS_DICT));
        if (!check(resources != nullptr)) return;
        if (fonts_ != 0) refer(resources, "Font", fonts_);
        const ImageNames images = names_of_images(page, resources);
        // Packed here, because libharu packs at zlib's slow middle level. libharu must not pack it again, so it is told of no
        // filter, and the filter is written where libharu lets an object add to itself.
        const HPDF_PageAttr attributes = static_cast<HPDF_PageAttr>(made->attr);
        attributes->contents->filter = HPDF_STREAM_FILTER_NONE;
        attributes->contents->write_fn = write_filter;
        write(attributes->stream, packed(content(page, size, images)));
        pages_.push_back(made);
    }

    // After the pages: their boxes as fields.
    void form(const std::vector<Field>& fields, const pages::Pages& pages, const pages::FieldWords& words) {
        if (failed_) return;
        Objects objects(next_number());
        const std::size_t dictionary = objects.add();
        const std::size_t first_page = dictionary + 1;
        for (std::size_t i = 0; i < pages_.size(); ++i) objects.add();
        const Form form = make_form(fields, pages, words, typing_font_, objects);
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

    // All objects as text.
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
    ImageNames names_of_images(const pages::Page& page, HPDF_Dict resources) {
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
                    all = HPDF_Dict_New(pdf_->mmgr);
                    if (!check(all != nullptr)) return;
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

    Reported reported_; // before the document, which keeps its address
    bool failed_ = false;
    std::unique_ptr<HPDF_Doc_Rec, Freed> pdf_;
    std::size_t fonts_ = 0;       // the number of the names of the fonts, which all pages share; 0: no text
    std::size_t typing_font_ = 0; // the number of the font that fields are filled in with
    std::vector<HPDF_Page> pages_;
    std::map<const pages::Image*, std::size_t> images_; // the numbers of their objects
    std::vector<Object> own_;                           // by number; the others are libharu's
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
    const base::Result<FacesUsed> used = faces_used(pages);
    if (!used) return used.failure();
    std::vector<Field> fields;
    if (extras.form != nullptr) {
        base::Result<std::vector<Field>> found = fields_of(pages);
        if (!found) return found.failure();
        fields = std::move(found.value());
    }
    Document document;
    document.fonts(used.value(), !fields.empty());
    document.images(pages);
    for (const pages::Page& page : pages.pages) document.page(page, size_of(pages.paper));
    if (!fields.empty()) document.form(fields, pages, *extras.form);
    if (extras.source) document.attach(*extras.source);
    if (extras.booklet != nullptr) document.outline(*extras.booklet, size_of(pages.paper));
    document.info(info);
    return document.saved();
}

} // namespace benchleaf::pdf
