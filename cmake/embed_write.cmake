# cmake -DNAME=words -DOUT=folder/words -DSTYLE=incbin|bytes (-DDIRECTORY=folder | -DBASE=folder -DLIST=file) -P embed_write.cmake
#
# Writes OUT.cpp, and for STYLE=incbin OUT.S beside it: the table behind penstock::embedded::NAME().
# LIST names one file a line. STYLE=bytes needs nothing but a C++ compiler.
if(DIRECTORY)
  set(BASE ${DIRECTORY})
  file(GLOB_RECURSE files LIST_DIRECTORIES false "${DIRECTORY}/*")
  if(NOT files)
    message(FATAL_ERROR "embed ${NAME}: ${DIRECTORY} is empty")
  endif()
else()
  file(STRINGS "${LIST}" files)
endif()

set(relative_files)
foreach(file IN LISTS files)
  file(RELATIVE_PATH relative "${BASE}" "${file}")
  if(relative MATCHES "[\"\\\\\n]")
    message(FATAL_ERROR "embed ${NAME}: a path may not hold quotes, backslashes or line ends: ${relative}")
  endif()
  list(APPEND relative_files "${relative}")
endforeach()
list(SORT relative_files)

set(assembly "  .section .rodata\n")
set(declarations "")
set(rows "")
set(number 0)
foreach(relative IN LISTS relative_files)
  get_filename_component(path "${relative}" ABSOLUTE BASE_DIR "${BASE}")
  file(SHA256 "${path}" sha256)
  file(SIZE "${path}" size)
  set(symbol "penstock_embedded_${NAME}_${number}")
  if(STYLE STREQUAL "incbin")
    string(APPEND assembly "  .balign 16\n  .global ${symbol}\n${symbol}:\n  .incbin \"${path}\"\n  .byte 0\n")
    string(APPEND declarations "extern \"C\" const char ${symbol}[];\n")
  else()
    file(READ "${path}" hex HEX)
    string(REGEX REPLACE "([0-9a-f][0-9a-f])" "\\\\x\\1" hex "${hex}")
    # Short pieces, so that no compiler meets a line of a megabyte.
    string(REGEX REPLACE "((\\\\x[0-9a-f][0-9a-f])(\\\\x[0-9a-f][0-9a-f])(\\\\x[0-9a-f][0-9a-f])(\\\\x[0-9a-f][0-9a-f]))"
                         "\\1\"\n\"" hex "${hex}")
    string(APPEND declarations "static const char ${symbol}[] =\n\"${hex}\";\n")
  endif()
  string(APPEND rows "    {\"${relative}\", {${symbol}, ${size}}, \"${sha256}\"},\n")
  math(EXPR number "${number} + 1")
endforeach()

if(STYLE STREQUAL "incbin")
  string(APPEND assembly "  .section .note.GNU-stack,\"\",@progbits\n")
  file(WRITE "${OUT}.S" "${assembly}")
endif()
file(WRITE "${OUT}.cpp" "// Made by cmake/embed_write.cmake.
#include <span>

#include \"embedded/embedded_file.hpp\"

${declarations}
namespace penstock::embedded {
static const EmbeddedFile table[] = {
${rows}};
std::span<const EmbeddedFile> ${NAME}();
std::span<const EmbeddedFile> ${NAME}() { return table; }
}  // namespace penstock::embedded
")
