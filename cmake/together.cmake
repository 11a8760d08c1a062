# together(LIST TARGET): writes files that include a few of LIST's sources each, and puts them in LIST's place.
#
# A first build spends most of its time on headers and templates that the files of one room share: compiled six at a time
# it takes half of it (bench/RESULTS.md). Nothing depends on it: the presets dev and fuzz compile each file by itself.
# Unnamed name spaces of a room's files are then one, so that a helper that stands twice in a
# room does not compile.
# CMake's own unity build names each file by its whole path, and the compiler's cache would find nothing in a second checkout.
option(PENSTOCK_TOGETHER "Compile a few files of a room as one" OFF)
set(PENSTOCK_TOGETHER_MOST 6)

function(together list target)
  list(LENGTH ${list} count)
  if(NOT PENSTOCK_TOGETHER OR count LESS 2)
    return()
  endif()
  set(units)
  math(EXPR last "${count} - 1")
  foreach(first RANGE 0 ${last} ${PENSTOCK_TOGETHER_MOST})
    list(SUBLIST ${list} ${first} ${PENSTOCK_TOGETHER_MOST} few)
    list(TRANSFORM few REPLACE "^${CMAKE_SOURCE_DIR}/(src|tests)/(.*)$" "#include \"\\2\"\n")
    list(JOIN few "" text)
    set(unit ${CMAKE_BINARY_DIR}/generated/together/${target}_${first}.cpp)
    file(CONFIGURE OUTPUT ${unit} CONTENT "${text}" @ONLY)
    list(APPEND units ${unit})
  endforeach()
  set(${list} ${units} PARENT_SCOPE)
endfunction()
