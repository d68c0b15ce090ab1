# FILE's bytes as the source file OUTPUT, see sim/page_html.cpp.
file(READ ${FILE} bytes HEX)
string(LENGTH "${bytes}" digits)
math(EXPR size "${digits} / 2")
string(REGEX REPLACE "(................................)" "\\1\n" bytes "${bytes}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
file(WRITE ${OUTPUT} "#include <cstddef>
namespace restwell {
extern const unsigned char page_engine[];
const unsigned char page_engine[] = {
${bytes}};
extern const std::size_t page_engine_bytes;
const std::size_t page_engine_bytes = ${size};
}
")
