// What fmt keeps in a library and not in its headers, compiled into the program: a library less to load at each start, and the C++ library need not be loaded for
// it either. What is named here is what its header declares to be made elsewhere.
#include <fmt/format-inl.h>

namespace fmt {
inline namespace v9 {
namespace detail {

template dragonbox::decimal_fp<float> dragonbox::to_decimal(float) noexcept;
template dragonbox::decimal_fp<double> dragonbox::to_decimal(double) noexcept;
template thousands_sep_result<char> thousands_sep_impl(locale_ref);
template char decimal_point_impl(locale_ref);
template void buffer<char>::append(const char*, const char*);
template void vformat_to(buffer<char>&, string_view, basic_format_args<buffer_context<char>>, locale_ref);

} // namespace detail
} // namespace v9
} // namespace fmt
