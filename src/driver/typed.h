// Standard input as a stream of lines that no signal cuts off, and that knows the end of what is typed from a failure to read it: `std::cin` takes both
// for the end.
#pragma once

#include <array>
#include <istream>
#include <streambuf>

namespace benchleaf::driver {

class Typed : public std::istream {
public:
    Typed() : std::istream(nullptr) { rdbuf(&buffer_); }
    int error() const { return buffer_.error; } // as in errno; 0: it came to its end, if it did

private:
    struct Buffer : std::streambuf {
        int_type underflow() override;
        std::array<char, 4096> piece{};
        int error = 0;
    };
    Buffer buffer_;
};

} // namespace benchleaf::driver
