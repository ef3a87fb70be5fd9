#include "pdf/objects.h"

#include "base/require.h"
#include "base/text.h"

#include <fmt/format.h>
#include <libdeflate.h>

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <memory>
#include <new>
#include <utility>

namespace benchleaf::pdf {

namespace {

void put_byte(std::string& to, std::size_t byte) {
    to += static_cast<char>(static_cast<unsigned char>(byte));
}

void put_number(std::string& to, std::size_t value, unsigned bytes) {
    while (bytes-- > 0) put_byte(to, value >> (8 * bytes) & 0xFF);
}

// In brackets. A line end is escaped, because a reader takes each kind of it for a line feed.
std::string literal_string(std::string_view bytes) {
    std::string to = "(";
    for (const char byte : bytes) {
        if (byte == '\r')
            to += "\\r";
        else if (byte == '\n')
            to += "\\n";
        else {
            if (byte == '(' || byte == ')' || byte == '\\') to += '\\';
            to += byte;
        }
    }
    return to + ")";
}

// What a packer wants for its work, which may be kept from one stream to the next.
struct Free {
    void operator()(libdeflate_compressor* packer) const { libdeflate_free_compressor(packer); }
};
using Packer = std::unique_ptr<libdeflate_compressor, Free>;

Packer packer(int level) {
    // That the library's room is there is asked for in the way in which the want of it is told.
    constexpr std::size_t room = 800'000;
    void* volatile asked = ::operator new(room); // volatile: else the compiler sees that it is for nothing
    ::operator delete(asked);
    Packer made(libdeflate_alloc_compressor(level));
    base::require(made != nullptr, "the library fails only for want of memory, and it was there");
    return made;
}

std::string packed_by(libdeflate_compressor& packer, std::string_view plain) {
    std::string bytes(libdeflate_zlib_compress_bound(&packer, plain.size()), '\0');
    bytes.resize(libdeflate_zlib_compress(&packer, plain.data(), plain.size(), bytes.data(), bytes.size()));
    base::require(!bytes.empty(), "the library told how much room it wants");
    return bytes;
}

} // namespace

Object stream_object(std::string_view entries, std::string_view bytes) {
    constexpr std::string_view end = "\nendstream";
    std::string text = fmt::format("<<{}/Length {}>>stream\n", entries, bytes.size());
    text.reserve(text.size() + bytes.size() + end.size());
    text += bytes;
    text += end;
    return {std::move(text), true};
}

std::size_t Objects::add(Object object) {
    all_.push_back(std::move(object));
    return first_ + all_.size() - 1;
}

std::string reference(std::size_t number) {
    return fmt::format("{} 0 R", number);
}

std::string name_object(std::string_view as) {
    std::string to = "/";
    for (const char byte : as) {
        const bool regular =
            byte > ' ' && byte < 0x7F && std::string_view("#/()<>[]{}%").find(byte) == std::string_view::npos;
        if (regular)
            to += byte;
        else
            to += fmt::format("#{:02X}", static_cast<unsigned char>(byte));
    }
    return to;
}

std::string text_string(std::string_view utf8) {
    const bool ascii = std::all_of(utf8.begin(), utf8.end(), [](char byte) { return byte >= ' ' && byte < 0x7F; });
    if (ascii) return literal_string(utf8);
    std::string bytes = "\xFE\xFF";
    for (std::size_t at = 0; at < utf8.size();) {
        const base::CodePoint point = base::code_point_at(utf8, at);
        at += point.bytes;
        const std::uint32_t value = point.value;
        if (value >= 0x10000) {
            put_number(bytes, 0xD800 + ((value - 0x10000) >> 10), 2);
            put_number(bytes, 0xDC00 + ((value - 0x10000) & 0x3FF), 2);
        } else {
            put_number(bytes, value, 2);
        }
    }
    return literal_string(bytes);
}

std::string packed(std::string_view plain, Packing how) {
    if (how == Packing::small) return packed_by(*packer(4), plain);
    thread_local const Packer fast = packer(1);
    return packed_by(*fast, plain);
}

std::string file_of(const std::vector<Object>& objects, std::size_t root, std::size_t info) {
    const std::size_t package = objects.size() + 1, table = package + 1; // the numbers of the two that are made here
    std::string file = "%PDF-1.6\n%\xE2\xE3\xCF\xD3\n"; // bytes that say that the file is no plain text
    struct Place {
        unsigned kind;      // 1: at an offset of the file; 2: in the package
        std::size_t at;     // the offset, or the package's number
        std::size_t number; // in the package
    };
    std::vector<Place> places;
    std::string numbers, texts;
    std::size_t count = 0;
    std::size_t size = 4096;
    for (const Object& object : objects) size += object.stream ? object.text.size() + 32 : 16;
    file.reserve(size);
    const auto put = [&](std::size_t number, const Object& object) {
        const Place place{1, file.size(), 0};
        fmt::format_to(std::back_inserter(file), "{} 0 obj\n", number);
        file += object.text;
        file += "\nendobj\n";
        return place;
    };
    for (const Object& object : objects) {
        if (object.stream) {
            places.push_back(put(places.size() + 1, object));
            continue;
        }
        fmt::format_to(std::back_inserter(numbers), "{} {} ", places.size() + 1, texts.size());
        texts += object.text;
        texts += '\n';
        places.push_back({2, package, count++});
    }
    const std::string small = packed(numbers + texts);
    places.push_back(
        put(package,
            stream_object(fmt::format("/Type/ObjStm/N {}/First {}/Filter/FlateDecode", count, numbers.size()), small)));

    const std::size_t start = file.size();
    places.push_back({1, start, 0});
    std::string rows("\0\0\0\0\0\xFF\xFF", 7); // object 0, which is free
    for (const Place& place : places) {
        put_number(rows, place.kind, 1);
        put_number(rows, place.at, 4);
        put_number(rows, place.number, 2);
    }
    const std::string packed_rows = packed(rows);
    put(table, stream_object(fmt::format("/Type/XRef/W[1 4 2]/Size {}/Root {}/Info {}/Filter/FlateDecode", table + 1,
                                         reference(root), reference(info)),
                             packed_rows));
    fmt::format_to(std::back_inserter(file), "startxref\n{}\n%%EOF\n", start);
    return file;
}

} // namespace benchleaf::pdf
