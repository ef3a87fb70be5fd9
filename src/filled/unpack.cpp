#include "filled/unpack.h"

#include "base/require.h"
#include "filled/libqpdf.h"

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <string>

namespace benchleaf::filled {

namespace {

thread_local Budget* budget_of_thread = nullptr;

class Counted final : public Pipeline {
public:
    explicit Counted(Pipeline* to) : Pipeline("counted", to) {}
    void write(const unsigned char* data, std::size_t length) override {
        if (budget_of_thread != nullptr && !budget_of_thread->take(length)) throw Spent{};
        getNext()->write(data, length);
    }
    void finish() override { getNext()->finish(); }
};

// A row of bytes is written as its difference from what stands to the left of it and above it (PNG, 9; ISO 32000-1, 7.4.4.4). Each row begins
// with the number of its kind.
class Unpredicted final : public Pipeline {
public:
    Unpredicted(Pipeline* to, std::size_t row, std::size_t left)
        : Pipeline("unpredicted", to), row_(row), left_(left), above_(row, 0) {}

    void write(const unsigned char* data, std::size_t length) override {
        while (length > 0) {
            const std::size_t part = std::min(length, row_ + 1 - now_.size());
            now_.append(reinterpret_cast<const char*>(data), part);
            data += part;
            length -= part;
            if (now_.size() == row_ + 1) end_row();
        }
    }
    void finish() override {
        if (now_.size() > 1) end_row();
        getNext()->finish();
    }

private:
    void end_row() {
        const auto at = [](const std::string& of, std::size_t i) { return int{static_cast<unsigned char>(of[i])}; };
        const char kind = now_.front();
        now_.erase(0, 1);
        for (std::size_t i = 0; kind != 0 && i < now_.size(); ++i) {
            const int a = i < left_ ? 0 : at(now_, i - left_);
            const int b = at(above_, i);
            const int c = i < left_ ? 0 : at(above_, i - left_);
            now_[i] = static_cast<char>(at(now_, i) + predicted(kind, a, b, c));
        }
        getNext()->write(reinterpret_cast<const unsigned char*>(now_.data()), now_.size());
        now_.resize(row_, 0);
        above_.swap(now_);
        now_.clear();
    }

    static int predicted(char kind, int a, int b, int c) {
        switch (kind) {
        case 1:
            return a;
        case 2:
            return b;
        case 3:
            return (a + b) / 2;
        case 4: {
            const int by_a = std::abs(b - c), by_b = std::abs(a - c), by_c = std::abs(a + b - 2 * c);
            return by_a <= by_b && by_a <= by_c ? a : by_b <= by_c ? b : c;
        }
        default:
            return 0;
        }
    }

    std::size_t row_;
    std::size_t left_; // how far the byte to the left of it is
    std::string above_;
    std::string now_;
};

class Flate final : public QPDFStreamFilter {
public:
    bool setDecodeParms(QPDFObjectHandle parameters) override {
        if (parameters.isNull()) return true;
        if (!parameters.isDictionary()) return false;
        const auto number = [&](const char* key, long long otherwise) {
            QPDFObjectHandle value = parameters.getKey(key);
            return value.isInteger() ? value.getIntValue() : otherwise;
        };
        const long long predictor = number("/Predictor", 1);
        if (predictor == 1) return true;
        const long long colours = number("/Colors", 1), bits = number("/BitsPerComponent", 8);
        const long long columns = number("/Columns", 1);
        constexpr long long most = 1'000'000;
        if (predictor < 10 || predictor > 15 || colours < 1 || colours > 64 || bits < 1 || bits > 16 || columns < 1 ||
            columns > most)
            return false;
        row_ = static_cast<std::size_t>((columns * colours * bits + 7) / 8);
        left_ = static_cast<std::size_t>((colours * bits + 7) / 8);
        return true;
    }
    Pipeline* getDecodePipeline(Pipeline* next) override {
        if (row_ > 0) {
            unpredicted_ = std::make_unique<Unpredicted>(next, row_, left_);
            next = unpredicted_.get();
        }
        counted_ = std::make_unique<Counted>(next);
        flate_ = std::make_unique<Pl_Flate>("flate", counted_.get(), Pl_Flate::a_inflate);
        return flate_.get(); // libqpdf asks a Pl_Flate for its warnings
    }

private:
    std::size_t row_ = 0; // of bytes; 0: not predicted
    std::size_t left_ = 0;
    std::unique_ptr<Unpredicted> unpredicted_;
    std::unique_ptr<Counted> counted_;
    std::unique_ptr<Pl_Flate> flate_;
};

class Unread final : public QPDFStreamFilter {
public:
    bool setDecodeParms(QPDFObjectHandle) override { return false; }
    Pipeline* getDecodePipeline(Pipeline*) override { return nullptr; }
};

template <class Filter>
void put_in_place_of(const char* name) {
    QPDF::registerStreamFilter(name, [] { return std::make_shared<Filter>(); });
}

} // namespace

Budget::Budget(std::size_t bytes) : left_(bytes) {
    static const bool once = [] {
        put_in_place_of<Flate>("/FlateDecode");
        // Nobody packs objects or attachments in these, and they blow up, too. (Hexadecimal digits and base 85 do not.)
        for (const char* name : {"/LZWDecode", "/RunLengthDecode", "/DCTDecode"}) put_in_place_of<Unread>(name);
        return true;
    }();
    static_cast<void>(once);
    base::require(budget_of_thread == nullptr, "a thread reads one file at a time");
    budget_of_thread = this;
}

Budget::~Budget() {
    budget_of_thread = nullptr;
}

bool Budget::take(std::size_t bytes) {
    if (bytes > left_) return false;
    left_ -= bytes;
    return true;
}

} // namespace benchleaf::filled
