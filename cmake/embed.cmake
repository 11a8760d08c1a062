# embed(TARGET NAME [BASE folder] FILES file...)
# embed(TARGET NAME DIRECTORY folder DEPENDS stamp...)
#
# Puts files into the binary of TARGET, so that the program is one file. The code that wants them includes
# "embedded/NAME.hpp" and calls penstock::embedded::NAME(): a std::span<const EmbeddedFile>, sorted by path.
# A path is the file's path below BASE (default: the calling folder), with forward slashes.
# FILES   are known when CMake runs; a changed file is embedded anew by the next build.
# DIRECTORY is for files whose names are only known once they are built (a front end): every file below it is taken when
#         one of DEPENDS changes.
# Bytes go in as they are (.incbin), which takes no compile time. Where the assembler has no .incbin (WebAssembly), pass
# BYTES: the same table is then plain C++. embed_write.cmake can also be run by hand: its head says how.
set(PENSTOCK_CMAKE_DIR ${CMAKE_CURRENT_LIST_DIR})

function(embed target name)
  cmake_parse_arguments(EMBED "BYTES" "BASE;DIRECTORY" "FILES;DEPENDS" ${ARGN})
  if(EMBED_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "embed ${name}: unknown words: ${EMBED_UNPARSED_ARGUMENTS}")
  endif()
  if(NOT name MATCHES "^[a-z][a-z0-9_]*$")
    message(FATAL_ERROR "embed: '${name}' must be a C++ name in lower case")
  endif()
  if(EMBED_DIRECTORY AND EMBED_FILES)
    message(FATAL_ERROR "embed ${name}: FILES or DIRECTORY, not both")
  endif()
  if(NOT EMBED_DIRECTORY AND NOT EMBED_FILES)
    message(FATAL_ERROR "embed ${name}: there is nothing to embed")
  endif()
  set(base ${CMAKE_CURRENT_SOURCE_DIR})
  if(EMBED_BASE)
    get_filename_component(base "${EMBED_BASE}" ABSOLUTE)
  endif()

  set(files)
  foreach(file IN LISTS EMBED_FILES)
    get_filename_component(absolute "${file}" ABSOLUTE)
    if(NOT EXISTS "${absolute}")
      message(FATAL_ERROR "embed ${name}: there is no ${absolute}")
    endif()
    list(APPEND files "${absolute}")
  endforeach()

  set(folder ${CMAKE_BINARY_DIR}/generated/embedded)
  set(out ${folder}/${name})
  set(style incbin)
  set(outputs ${out}.cpp ${out}.S)
  if(EMBED_BYTES OR PENSTOCK_WASM)
    set(style bytes)
    set(outputs ${out}.cpp)
  endif()
  set(from -DBASE=${base} -DLIST=${out}.list)
  if(EMBED_DIRECTORY)
    get_filename_component(directory "${EMBED_DIRECTORY}" ABSOLUTE)
    set(from -DDIRECTORY=${directory})
  else()
    string(REPLACE ";" "\n" lines "${files}")
    file(CONFIGURE OUTPUT ${out}.list CONTENT "${lines}\n" @ONLY)
  endif()
  file(CONFIGURE OUTPUT ${out}.hpp CONTENT "// Made by cmake/embed.cmake.
#pragma once

#include <span>

#include \"embedded/embedded_file.hpp\"

namespace penstock::embedded {
std::span<const EmbeddedFile> ${name}();
}  // namespace penstock::embedded
" @ONLY)

  set(list)
  if(NOT EMBED_DIRECTORY)
    set(list ${out}.list)
  endif()
  add_custom_command(
    OUTPUT ${outputs}
    COMMAND ${CMAKE_COMMAND} -DNAME=${name} -DOUT=${out} -DSTYLE=${style} ${from} -P
            ${PENSTOCK_CMAKE_DIR}/embed_write.cmake
    DEPENDS ${files} ${list} ${EMBED_DEPENDS} ${PENSTOCK_CMAKE_DIR}/embed_write.cmake
    COMMENT "Embedding ${name}"
    VERBATIM)
  target_sources(${target} PRIVATE ${outputs})
  target_include_directories(${target} PUBLIC ${CMAKE_BINARY_DIR}/generated ${PENSTOCK_CMAKE_DIR}/include)
endfunction()
