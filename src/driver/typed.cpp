#include "driver/typed.h"

#include "driver/disk.h"

#include <unistd.h>

namespace benchleaf::driver {

Typed::Buffer::int_type Typed::Buffer::underflow() {
    const ssize_t n = uninterrupted([&] { return ::read(STDIN_FILENO, piece.data(), piece.size()); });
    if (n < 0) error = errno;
    if (n <= 0) return traits_type::eof();
    setg(piece.data(), piece.data(), piece.data() + n);
    return traits_type::to_int_type(piece[0]);
}

} // namespace benchleaf::driver
