// What ends the page's engine where the program would throw: a trap, which the page tells. Only the
// module is made with it.
#include <boost/math/policies/error_handling.hpp>
#include <cstddef>
#include <cstdio>

extern "C" {
// Libraries print with these before they give up, and {fmt} a number as hexadecimal.
int fprintf(std::FILE*, const char*, ...) { __builtin_trap(); }
int vfprintf(std::FILE*, const char*, __builtin_va_list) { __builtin_trap(); }
int snprintf(char*, std::size_t, const char*, ...) { __builtin_trap(); }
char* strerror(int) { __builtin_trap(); }

void* __cxa_allocate_exception(std::size_t) { __builtin_trap(); }
void __cxa_throw(void*, void*, void*) { __builtin_trap(); }
}

// Boost.Math's own handlers write their messages with streams, half as large as all the rest.
namespace boost::math::policies {
template <>
double user_domain_error(const char*, const char*, const double&) {
  __builtin_trap();
}
template <>
double user_pole_error(const char*, const char*, const double&) {
  __builtin_trap();
}
template <>
double user_overflow_error(const char*, const char*, const double&) {
  __builtin_trap();
}
template <>
double user_evaluation_error(const char*, const char*, const double&) {
  __builtin_trap();
}
}  // namespace boost::math::policies
