// The page's engine has no library of fmt to link with: what its headers declare and the engine
// uses is made here, once. Only the module is made with it.
#include <fmt/format-inl.h>

FMT_BEGIN_NAMESPACE
namespace detail {
template dragonbox::decimal_fp<float> dragonbox::to_decimal(float x) noexcept;
template dragonbox::decimal_fp<double> dragonbox::to_decimal(double x) noexcept;
template thousands_sep_result<char> thousands_sep_impl(locale_ref);
template char decimal_point_impl(locale_ref);
template void buffer<char>::append(const char*, const char*);
template void vformat_to(buffer<char>&, string_view, basic_format_args<FMT_BUFFER_CONTEXT(char)>,
                         locale_ref);
}  // namespace detail
FMT_END_NAMESPACE
