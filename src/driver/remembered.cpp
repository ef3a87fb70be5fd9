#include "driver/remembered.h"

#include "digest/digest.h"

#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <type_traits>

namespace benchleaf::driver {

namespace {

constexpr std::string_view begin_of_file = "benchleaf remembers 3\n";

// A checksum against what a disk does, not against people: they own the file.
std::uint64_t sum_of(std::string_view bytes, std::uint64_t sum = 0) {
    while (bytes.size() >= 8) {
        std::uint64_t next = 0;
        std::memcpy(&next, bytes.data(), 8);
        sum = (sum ^ next) * 0x9E3779B97F4A7C15;
        sum ^= sum >> 29;
        bytes.remove_prefix(8);
    }
    for (const char c : bytes) sum = (sum ^ static_cast<unsigned char>(c)) * 0x100000001B3;
    return sum;
}

// One walk over all that is remembered, for both ways: Put writes what it is shown, Get fills it.
class Put {
public:
    using To = std::function<int(std::string_view)>;
    explicit Put(const To& to) : to_(to) { bytes_.reserve(2 * at_once); }
    template <class T>
    void plain(const T& value) {
        static_assert(std::is_arithmetic_v<T> || std::is_enum_v<T>);
        block(&value, 1);
    }
    void size(std::size_t& count) { plain(static_cast<std::uint32_t>(count)); }
    template <class T>
    void block(const T* values, std::size_t count) {
        bytes_.append(reinterpret_cast<const char*>(values),
                      count * sizeof(T)); // NOLINT: this machine's own order of bytes
        if (bytes_.size() >= at_once) hand_over(bytes_.size() / at_once * at_once);
    }
    bool good() const { return wrong_ == 0; }

    // The sum of all that was put stands at the end.
    int finish() {
        hand_over(bytes_.size());
        if (wrong_ == 0) wrong_ = to_(std::string_view(reinterpret_cast<const char*>(&sum_), sizeof sum_)); // NOLINT
        return wrong_;
    }

private:
    static constexpr std::size_t at_once = 1U << 16; // the sum is taken of eight bytes at a time
    void hand_over(std::size_t count) {
        const std::string_view some = std::string_view(bytes_).substr(0, count);
        sum_ = sum_of(some, sum_);
        if (wrong_ == 0) wrong_ = to_(some);
        bytes_.erase(0, count);
    }

    const To& to_;
    std::string bytes_;
    std::uint64_t sum_ = 0;
    int wrong_ = 0;
};

class Get {
public:
    explicit Get(std::string_view from) : from_(from) {}
    template <class T>
    void plain(T& value) {
        block(&value, 1);
    }
    void size(std::size_t& count) {
        std::uint32_t read = 0;
        plain(read);
        count = read <= from_.size() ? read : 0; // each takes a byte at least
        good_ = good_ && count == read;
    }
    template <class T>
    void block(T* values, std::size_t count) {
        good_ = good_ && count * sizeof(T) <= from_.size();
        if (!good_ || count == 0) return;
        std::memcpy(values, from_.data(), count * sizeof(T));
        from_.remove_prefix(count * sizeof(T));
    }
    bool good() const { return good_; }
    bool at_end() const { return good_ && from_.empty(); }

private:
    std::string_view from_;
    bool good_ = true;
};

template <class Way>
void walk(Way& way, std::string& text) {
    std::size_t count = text.size();
    way.size(count);
    text.resize(count);
    way.block(text.data(), count);
}
template <class Way>
void walk(Way& way, std::vector<reach::Mark>& marks) {
    std::size_t count = marks.size();
    way.size(count);
    marks.resize(count);
    way.block(marks.data(), count);
}
template <class Way>
void walk(Way& way, std::pair<reach::Mark, reach::Mark>& pair) {
    way.plain(pair.first);
    way.plain(pair.second);
}
template <class Way>
void walk(Way& way, reach::Entry& entry) {
    way.plain(entry.of);
    way.plain(entry.roles);
}
template <class Way, class T>
void walk(Way& way, std::vector<T>& all) {
    std::size_t count = all.size();
    way.size(count);
    all.resize(count);
    for (T& each : all)
        if (way.good()) walk(way, each);
}
template <class Way>
void walk(Way& way, reach::Condition& condition) {
    way.plain(condition.feature);
    walk(way, condition.values);
}
template <class Way>
void walk(Way& way, Stamp& stamp) {
    for (std::uint64_t* each : {&stamp.device, &stamp.node}) way.plain(*each);
    for (std::int64_t* each : {&stamp.size, &stamp.written, &stamp.changed}) way.plain(*each);
    auto settled = static_cast<std::uint8_t>(stamp.settled);
    way.plain(settled);
    stamp.settled = settled != 0;
}
template <class Way>
void walk(Way& way, KnownFile& file) {
    walk(way, file.stamp);
    walk(way, file.digest);
}
template <class Way>
void walk(Way& way, KnownRecord& record) {
    walk(way, record.stamp);
    walk(way, record.told);
}
template <class Way>
void walk(Way& way, reach::File& file) {
    way.plain(file.kind);
    way.plain(file.id);
    for (auto* each : {&file.refs, &file.words, &file.declares, &file.own, &file.asked, &file.only}) walk(way, *each);
    walk(way, file.entries);
    for (auto* each : {&file.set_by, &file.has, &file.axes}) walk(way, *each);
    auto fits = static_cast<std::uint8_t>(file.fits.has_value());
    way.plain(fits);
    if (fits != 0) {
        if (!file.fits) file.fits.emplace();
        walk(way, *file.fits);
    }
    walk(way, file.only_on);
    walk(way, file.pictures);
    way.plain(file.steps);
    for (std::uint32_t& each : file.torques) way.plain(each);
}

void walk(Put& put, std::shared_ptr<const reach::File>& file) {
    walk(put, const_cast<reach::File&>(*file)); // NOLINT: Put changes nothing
}
void walk(Get& get, std::shared_ptr<const reach::File>& file) {
    auto read = std::make_shared<reach::File>();
    walk(get, *read);
    file = std::move(read);
}

template <class T>
void walk(Put& put, std::map<std::string, T>& all) {
    std::size_t count = all.size();
    put.size(count);
    for (auto& [path, value] : all) {
        std::size_t length = path.size();
        put.size(length);
        put.block(path.data(), length);
        walk(put, value);
    }
}
template <class T>
void walk(Get& get, std::map<std::string, T>& all) {
    std::size_t count = 0;
    get.size(count);
    for (std::size_t i = 0; i < count && get.good(); ++i) {
        std::string path;
        T value;
        walk(get, path);
        walk(get, value);
        all.emplace_hint(all.end(), std::move(path), std::move(value));
    }
}

template <class Way, class T>
void walk(Way& way, ByPath<T>& files) {
    auto& all = files.each();
    std::size_t count = all.size();
    way.size(count);
    all.resize(count);
    for (auto& [path, value] : all) {
        if (!way.good()) return;
        walk(way, path);
        walk(way, value);
    }
}

template <class Way>
void walk(Way& way, Remembered& all) {
    walk(way, all.files);
    walk(way, all.records);
    walk(way, all.pictures);
    walk(way, all.reach);
}

std::string head_of(std::string_view program) {
    return fmt::format("{}{}\n", begin_of_file, program);
}

} // namespace

int put_remembered(Remembered& remembered, std::string_view program, const std::function<int(std::string_view)>& put) {
    if (const int wrong = put(head_of(program)); wrong != 0) return wrong;
    Put way(put);
    walk(way, remembered);
    return way.finish();
}

std::optional<Remembered> remembered_in(std::string_view bytes, std::string_view program) {
    const std::string head = head_of(program);
    std::uint64_t sum = 0;
    if (!bytes.starts_with(head) || bytes.size() < head.size() + sizeof sum) return std::nullopt;
    bytes.remove_prefix(head.size());
    std::memcpy(&sum, bytes.data() + bytes.size() - sizeof sum, sizeof sum);
    bytes.remove_suffix(sizeof sum);
    if (sum != sum_of(bytes)) return std::nullopt;
    Get get(bytes);
    Remembered all;
    walk(get, all);
    if (!get.at_end()) return std::nullopt;
    return all;
}

std::string place_of_remembered(const std::string& root) {
    const char* const cache = std::getenv("XDG_CACHE_HOME");
    const char* const home = std::getenv("HOME");
    std::filesystem::path place;
    if (cache != nullptr && *cache == '/') // "all paths must be absolute", else they are to be ignored
        place = cache;
    else if (home != nullptr && *home == '/')
        place = std::filesystem::path(home) / ".cache";
    else
        return {};
    std::error_code error;
    const std::filesystem::path shop = std::filesystem::canonical(root, error);
    if (error) return {};
    return (place / "benchleaf" / digest::sha256_hex(shop.string()).substr(0, 32)).string();
}

std::string mark_of_program() {
    const auto stamp = stamp_of("/proc/self/exe");
    if (!stamp) return {};
    return fmt::format("{} {} {} {} {}", stamp->device, stamp->node, stamp->size, stamp->written, stamp->changed);
}

} // namespace benchleaf::driver
