#include "pictures/jpeg.h"

#include "base/require.h"
#include "pictures/bounds.h"
#include "pictures/raster.h"

#include <csetjmp>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <jerror.h>
#include <jpeglib.h>

#include <algorithm>

// libjpeg tells an error by a function that must not come back: it jumps. Nothing that has a destructor is made between the mark of such a jump and
// where it may come from; what is filled there was made before.
namespace benchleaf::pictures {

namespace {

constexpr int most_scans = 40; // of a progressive file; each goes over the whole picture
constexpr int quality = 88;

struct Errors {
    jpeg_error_mgr manager; // first: libjpeg knows it by its address
    std::jmp_buf back;
};

extern "C" {

[[noreturn]] void jump_back(j_common_ptr info) {
    std::longjmp(reinterpret_cast<Errors*>(info->err)->back, 1); // NOLINT: libjpeg leaves nothing else
}

// libjpeg goes on after damage and paints something. What is harmless: bytes that nothing needs.
void judge_message(j_common_ptr info, int level) {
    if (level >= 0) return;
    const int code = info->err->msg_code;
    if (code != JWRN_EXTRANEOUS_DATA && code != JWRN_ADOBE_XFORM && code != JWRN_JFIF_MAJOR) jump_back(info);
}

void say_nothing(j_common_ptr) {}

void count_scans(j_common_ptr info) {
    const auto* reader = reinterpret_cast<j_decompress_ptr>(info);
    if (reader->input_scan_number > most_scans) jump_back(info);
}

} // extern "C"

void set_errors(Errors& errors) {
    jpeg_std_error(&errors.manager);
    errors.manager.error_exit = jump_back;
    errors.manager.emit_message = judge_message;
    errors.manager.output_message = say_nothing;
}

enum class Came : std::uint8_t { whole, damaged, out_of_bounds, in_ink };

struct Decoded {
    Raster raster;
    std::uint32_t width = 0;
    std::uint32_t height = 0;
    int orientation = 1;
};

struct Reader {
    jpeg_decompress_struct is{};
    jpeg_progress_mgr progress{};
    Reader() = default;
    Reader(const Reader&) = delete;
    Reader& operator=(const Reader&) = delete;
    ~Reader() { jpeg_destroy_decompress(&is); }
};

Came decode(std::string_view bytes, Reader& made_before, Errors& errors, Decoded& into) {
    jpeg_decompress_struct& reader = made_before.is;
    if (setjmp(errors.back) != 0) return Came::damaged; // NOLINT: see above
    jpeg_create_decompress(&reader);
    reader.progress = &made_before.progress;
    jpeg_mem_src(&reader, reinterpret_cast<const unsigned char*>(bytes.data()),
                 static_cast<unsigned long>(bytes.size()));
    jpeg_save_markers(&reader, JPEG_APP0 + 1, 0xFFFF);
    if (jpeg_read_header(&reader, TRUE) != JPEG_HEADER_OK) return Came::damaged;
    into.width = reader.image_width;
    into.height = reader.image_height;
    if (out_of_bounds(into.width, into.height)) return Came::out_of_bounds;
    for (jpeg_saved_marker_ptr marker = reader.marker_list; marker != nullptr; marker = marker->next) {
        into.orientation = orientation_in({reinterpret_cast<const char*>(marker->data), marker->data_length});
        if (into.orientation != 1) break;
    }
    switch (reader.jpeg_color_space) {
    case JCS_GRAYSCALE:
        reader.out_color_space = JCS_GRAYSCALE;
        break;
    case JCS_YCbCr:
    case JCS_RGB:
        reader.out_color_space = JCS_RGB;
        break;
    default:
        return Came::in_ink;
    }
    // While it is unpacked it is made smaller, as far as that leaves enough.
    const unsigned longest = std::max(into.width, into.height);
    for (unsigned part = 8; part > 1; part /= 2) {
        if (longest / part < most_kept) continue;
        reader.scale_denom = part;
        break;
    }
    reader.scale_num = 1;
    jpeg_start_decompress(&reader);
    const auto channels = static_cast<std::uint32_t>(reader.output_components);
    if (channels != 1 && channels != 3) return Came::in_ink;
    into.raster.width = reader.output_width;
    into.raster.height = reader.output_height;
    into.raster.channels = channels;
    const std::size_t stride = std::size_t{reader.output_width} * channels;
    into.raster.pixels.resize(stride * reader.output_height);
    while (reader.output_scanline < reader.output_height) {
        auto* line = reinterpret_cast<unsigned char*>(into.raster.pixels.data()) + reader.output_scanline * stride;
        jpeg_read_scanlines(&reader, &line, 1);
    }
    jpeg_finish_decompress(&reader);
    return Came::whole;
}

struct Writer {
    jpeg_compress_struct is{};
    unsigned char* data = nullptr;
    unsigned long size = 0;
    Writer() = default;
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;
    ~Writer() {
        jpeg_destroy_compress(&is);
        std::free(data); // NOLINT: libjpeg takes it with malloc
    }
};

bool encode(const Raster& raster, Writer& writer, Errors& errors) {
    if (setjmp(errors.back) != 0) return false; // NOLINT: see above
    jpeg_create_compress(&writer.is);
    jpeg_mem_dest(&writer.is, &writer.data, &writer.size);
    writer.is.image_width = raster.width;
    writer.is.image_height = raster.height;
    writer.is.input_components = static_cast<int>(raster.channels);
    writer.is.in_color_space = raster.channels == 1 ? JCS_GRAYSCALE : JCS_RGB;
    jpeg_set_defaults(&writer.is);
    jpeg_set_quality(&writer.is, quality, TRUE);
    writer.is.optimize_coding = TRUE;
    jpeg_start_compress(&writer.is, TRUE);
    const std::size_t stride = std::size_t{raster.width} * raster.channels;
    while (writer.is.next_scanline < writer.is.image_height) {
        // libjpeg asks for pixels that it may write to, and does not write.
        auto* line = reinterpret_cast<unsigned char*>(const_cast<char*>(raster.pixels.data())) +
                     writer.is.next_scanline * stride;
        jpeg_write_scanlines(&writer.is, &line, 1);
    }
    jpeg_finish_compress(&writer.is);
    return true;
}

} // namespace

std::variant<Picture, Refused> read_jpeg(std::string_view bytes) {
    Decoded decoded;
    Errors errors{};
    Reader reader;
    set_errors(errors);
    reader.is.err = &errors.manager;
    reader.progress.progress_monitor = count_scans;
    switch (decode(bytes, reader, errors, decoded)) {
    case Came::damaged:
        return damaged("its data are damaged or cut short");
    case Came::out_of_bounds:
        return *out_of_bounds(decoded.width, decoded.height);
    case Came::in_ink:
        return Refused{"its colours are those of a printing press (CMYK)", "save it as RGB, or as grey"};
    case Came::whole:
        break;
    }
    Picture made;
    made.photo = true;
    made.kept = turned(scaled_down(decoded.raster, most_kept, most_kept), decoded.orientation);
    made.kept = without_colour(std::move(made.kept));
    const bool on_its_side = decoded.orientation >= 5;
    made.width = on_its_side ? decoded.height : decoded.width;
    made.height = on_its_side ? decoded.width : decoded.height;
    return made;
}

std::string written_jpeg(const Raster& raster) {
    Errors errors{};
    Writer writer;
    set_errors(errors);
    writer.is.err = &errors.manager;
    base::require(encode(raster, writer, errors), "libjpeg writes every raster");
    return {reinterpret_cast<const char*>(writer.data), writer.size};
}

} // namespace benchleaf::pictures
