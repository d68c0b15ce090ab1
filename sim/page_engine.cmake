# The page's engine: models and as much of sim and plots as answers a question (sim/live.hpp),
# compiled to WebAssembly and put into the program gzipped. Sets page_engine to the source file that
# holds it. Without clang for WebAssembly that file is empty and pages are static.
#
# No exceptions there: a throw becomes a trap. No threads, streams, YAML and JSON libraries.
set(engine_sim
    answer binned_effluent box_split calendar cases downstream engine_errors engine_fmt flow_histogram
    intake_curve
    integrate layout
    live live_module load mound_curve new_pits occupancy old_pits_plan packed_site page_cases
    page_changes page_happens page_level_course page_words pits_run report_tables report_text run
    spoken start_state text_parts units upstream water_table whatif whatif_links words)
set(engine_plots
    axis line_chart svg text_table thin)
set(engine_sources ${model_sources})
list(FILTER engine_sources EXCLUDE REGEX "/code_tables\\.cpp$")
foreach(name ${engine_sim})
  list(APPEND engine_sources ${CMAKE_CURRENT_SOURCE_DIR}/sim/${name}.cpp)
endforeach()
foreach(name ${engine_plots})
  list(APPEND engine_sources ${CMAKE_CURRENT_SOURCE_DIR}/plots/${name}.cpp)
endforeach()

find_program(RESTWELL_WASM_CXX clang++-19)
find_program(RESTWELL_WASM_LD wasm-ld-19)
find_path(RESTWELL_WASM_LIBCXX c++/v1/vector PATHS /usr/include/wasm32-wasi NO_DEFAULT_PATH)
find_program(GZIP gzip)
find_program(ZOPFLI zopfli)  # gzip, 5 % smaller
get_target_property(boost_include Boost::headers INTERFACE_INCLUDE_DIRECTORIES)
get_target_property(fmt_include fmt::fmt INTERFACE_INCLUDE_DIRECTORIES)

set(page_engine ${CMAKE_CURRENT_BINARY_DIR}/page_engine.cpp)
if(RESTWELL_WASM_CXX AND RESTWELL_WASM_LD AND RESTWELL_WASM_LIBCXX AND GZIP
   AND (NOT RESTWELL_SANITIZE OR RESTWELL_SANITIZE_LONG)) # else nothing asks a page there
  message(STATUS "Pages can be tried: their engine is compiled with ${RESTWELL_WASM_CXX}")
  # Only these two libraries' headers: the rest of the host's do not fit.
  set(engine_include ${CMAKE_CURRENT_BINARY_DIR}/engine/include)
  file(MAKE_DIRECTORY ${engine_include})
  foreach(library boost fmt)
    foreach(folder ${${library}_include})
      if(EXISTS ${folder}/${library})
        file(CREATE_LINK ${folder}/${library} ${engine_include}/${library} SYMBOLIC)
      endif()
    endforeach()
  endforeach()
  # Of what every browser has had since 2021: copying, and whole numbers of any double.
  set(engine_flags
      --target=wasm32-wasi -mbulk-memory -mnontrapping-fptoint -msign-ext -flto -std=c++20 -fignore-exceptions -fno-rtti -ffp-contract=off -DNDEBUG
      -DRESTWELL_ONE_THREAD "-DFMT_STATIC_THOUSANDS_SEPARATOR=','"
      -DFMT_USE_FLOAT=0 -DFMT_USE_LONG_DOUBLE=0
      # Boost.Math asks for a mutex that it does not use without threads.
      -DBOOST_DISABLE_THREADS -DBOOST_DETAIL_LIGHTWEIGHT_MUTEX_HPP_INCLUDED
      -I${CMAKE_CURRENT_SOURCE_DIR} -isystem ${engine_include})
  # What runs every day of twenty years is made fast, the rest small.
  set(engine_fast "/models/(biomat|box_backwater|intake|pit)\\.cpp$")
  foreach(error DOMAIN POLE OVERFLOW EVALUATION)  # see sim/engine_errors.cpp
    list(APPEND engine_flags -DBOOST_MATH_${error}_ERROR_POLICY=user_error)
  endforeach()
  # Half of the work is to read these.
  set(engine_headers ${CMAKE_CURRENT_BINARY_DIR}/engine/headers.hpp)
  string(JOIN "\n#include " includes "" <algorithm> <array> <cmath> <functional> <map> <memory> <optional>
         <span> <stdexcept> <string> <string_view> <variant> <vector> <fmt/format.h>)
  file(CONFIGURE OUTPUT ${engine_headers} CONTENT "${includes}\n")
  add_custom_command(
    OUTPUT ${engine_headers}.pch
    COMMAND ${RESTWELL_WASM_CXX} ${engine_flags} -Oz -MD -MF ${engine_headers}.d -x c++-header
            ${engine_headers} -o ${engine_headers}.pch
    DEPENDS ${engine_headers}
    DEPFILE ${engine_headers}.d
    COMMENT "Reading the engine's headers"
    VERBATIM)
  set(engine_objects "")
  foreach(source ${engine_sources})
    file(RELATIVE_PATH name ${CMAKE_CURRENT_SOURCE_DIR} ${source})
    string(REPLACE "/" "_" name ${name})
    set(object ${CMAKE_CURRENT_BINARY_DIR}/engine/${name}.o)
    set(optimize -Oz -include-pch ${engine_headers}.pch)
    set(read_before ${engine_headers}.pch)
    if(source MATCHES "${engine_fast}")
      set(optimize -O2)
      set(read_before "")
    endif()
    add_custom_command(
      OUTPUT ${object}
      COMMAND ${CMAKE_CXX_COMPILER_LAUNCHER} ${RESTWELL_WASM_CXX} ${engine_flags} ${optimize} -MD
              -MF ${object}.d -c ${source} -o ${object}
      DEPENDS ${source} ${read_before}
      DEPFILE ${object}.d
      COMMENT "Compiling ${name} to WebAssembly"
      VERBATIM)
    list(APPEND engine_objects ${object})
  endforeach()
  set(engine ${CMAKE_CURRENT_BINARY_DIR}/engine/engine.wasm)
  set(engine_gzip ${GZIP} -9nkf)
  if(ZOPFLI)
    set(engine_gzip ${ZOPFLI})
  endif()
  add_custom_command(
    OUTPUT ${page_engine} ${engine}
    COMMAND ${RESTWELL_WASM_CXX} --target=wasm32-wasi -mbulk-memory -flto -O3 -mexec-model=reactor -Wl,--strip-all
            ${engine_objects} -o ${engine}
    COMMAND ${engine_gzip} ${engine}
    COMMAND ${CMAKE_COMMAND} -DFILE=${engine}.gz -DOUTPUT=${page_engine} -P
            ${CMAKE_CURRENT_SOURCE_DIR}/sim/bytes_as_source.cmake
    DEPENDS ${engine_objects} ${CMAKE_CURRENT_SOURCE_DIR}/sim/bytes_as_source.cmake
    COMMENT "Linking the page's engine"
    VERBATIM)
else()
  message(STATUS "Pages will be static: clang-19 with lld-19, wasi-libc, libc++-19-dev-wasm32 and "
                 "libclang-rt-19-dev-wasm32 is not here")
  file(CONFIGURE OUTPUT ${page_engine}
       CONTENT "#include <cstddef>
namespace restwell {
extern const unsigned char page_engine[];
const unsigned char page_engine[] = {0};
extern const std::size_t page_engine_bytes;
const std::size_t page_engine_bytes = 0;
}
")
endif()
