// Objects of a PDF (ISO 32000-1, 7.3) as text that we write ourselves, and the file that is made of them. libharu makes the
// pages and fonts; what it has no functions for, or would write as long plain text, is made here: form fields, attachments,
// and a file whose small objects are packed together (7.5.7), without which 200 form fields would double a card.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::pdf {

struct Object {
    std::string text; // between `1 0 obj` and `endobj`
    bool stream = false;
};

// A stream of bytes as they are; `entries` stand in its dictionary besides the length: "/Filter/FlateDecode".
Object stream_object(std::string_view entries, std::string_view bytes);

// Objects that refer to each other by number, numbered on from `first`.
class Objects {
public:
    explicit Objects(std::size_t first) : first_(first) {}

    // Gives its number. An object may be added empty, and set once those that it names are known.
    std::size_t add(Object object = {});
    std::size_t add(std::string text) { return add(Object{std::move(text)}); }
    void set(std::size_t number, std::string text) { all_.at(number - first_).text = std::move(text); }

    std::vector<Object> taken() { return std::move(all_); }

private:
    std::size_t first_;
    std::vector<Object> all_;
};

std::string reference(std::size_t number);    // "12 0 R"
std::string name_object(std::string_view as); // "/application#2Fyaml", of ASCII

// A text string (7.9.2.2) of valid UTF-8: plain where it is ASCII, else UTF-16 with its mark.
std::string text_string(std::string_view utf8);

// As /FlateDecode reads it, packed by libdeflate. At its fastest level the streams of a card take half of the time of its middle one and a
// fourteenth more room (and two thirds of the time of zlib's fastest, for a twelfth less room); a drawing is worth its fourth level.
enum class Packing : std::uint8_t { fast, small };
std::string packed(std::string_view plain, Packing how = Packing::fast);

// The whole file. The objects are numbered from 1; `root` and `info` are the numbers of the catalog and of the document's
// information.
std::string file_of(const std::vector<Object>& objects, std::size_t root, std::size_t info);

} // namespace benchleaf::pdf
