// Where libqpdf's warnings go. Of objects that were packed together and do not unpack right it makes what it can, and warns of every word: half a
// million times, which takes seconds. A few are enough to know that the file is damaged; then its reading ends. Internal to filled/.
#pragma once

#include "filled/libqpdf.h"

#include <string>
#include <string_view>

namespace benchleaf::filled {

struct Garbled {}; // thrown through libqpdf

class Warnings final : public Pipeline {
public:
    Warnings() : Pipeline("warnings", nullptr) {}
    void write(const unsigned char* data, std::size_t size) override;
    void finish() override {}

    std::string_view first() const; // without what libqpdf puts before it

private:
    std::string first_;
    std::size_t lines_ = 0;
};

} // namespace benchleaf::filled
