# precompiled(TARGET FLAVOUR)
#
# Half of a unit's compile time is reading the same headers, so each target reads them once made: bench/RESULTS.md has the figures.
# Nothing depends on it: every file includes what it uses and compiles without (-DPENSTOCK_PRECOMPILED=OFF shows that).
# A precompiled header holds for one set of options, so there is one for each flavour:
#   WORDS  base and units, for rooms that know no facts: a new kind of fact does not build them anew
#   FACTS  the same and the facts
#   PEOPLE the same and what pages and acts know of people: their chart, their summary, documents, words
# each as HOT (what a calculation runs), COOL (what a request passes through once; -O1 in Release) and TESTS (with the test libraries;
# -O1 as well: they are compiled once and run once, and the rooms under test keep their own).
option(PENSTOCK_PRECOMPILED "Read the common headers once for many files" ON)

set(PENSTOCK_COOL_OPTIONS $<$<CONFIG:Release>:-O1>)

set(PENSTOCK_WORDS_HEADERS
    <algorithm> <array> <bit> <chrono> <compare> <cstdint> <functional> <initializer_list> <map> <memory> <numeric> <optional>
    <ranges> <set> <span> <string> <string_view> <tuple> <type_traits> <unordered_map> <utility> <variant> <vector>
    <base/base.hpp> <core/units/units.hpp>)
set(PENSTOCK_FACTS_HEADERS ${PENSTOCK_WORDS_HEADERS} <core/journal/journal.hpp>)
set(PENSTOCK_PEOPLE_HEADERS
    ${PENSTOCK_FACTS_HEADERS} <core/chart/chart.hpp> <core/watch/watch.hpp> <edge/caller/caller.hpp> <edge/json/json.hpp>
    <edge/summary/summary.hpp> <edge/words/words.hpp>)
set(PENSTOCK_TESTS_HEADERS <gmock/gmock.h> <gtest/gtest.h> <rapidcheck/gtest.h>)

function(precompiled target headers heat)
  if(NOT heat STREQUAL "HOT")
    target_compile_options(${target} PRIVATE ${PENSTOCK_COOL_OPTIONS})
  endif()
  if(NOT PENSTOCK_PRECOMPILED)
    return()
  endif()
  string(TOLOWER "penstock_headers_${headers}_${heat}" owner)
  if(NOT TARGET ${owner})
    set(empty ${CMAKE_BINARY_DIR}/generated/${owner}.cpp)
    file(CONFIGURE OUTPUT ${empty} CONTENT "// Made by cmake/precompiled.cmake: ${owner} is its headers alone.\n" @ONLY)
    add_library(${owner} OBJECT ${empty})
    target_include_directories(${owner} PRIVATE ${CMAKE_SOURCE_DIR}/src)
    set(list ${PENSTOCK_${headers}_HEADERS})
    if(NOT heat STREQUAL "HOT")
      target_compile_options(${owner} PRIVATE ${PENSTOCK_COOL_OPTIONS})
    endif()
    if(heat STREQUAL "TESTS")
      target_link_libraries(${owner} PRIVATE GTest::gtest GTest::gmock rapidcheck)
      list(PREPEND list ${PENSTOCK_TESTS_HEADERS})
    endif()
    target_precompile_headers(${owner} PRIVATE ${list})
    set_target_properties(${owner} PROPERTIES CXX_COMPILER_LAUNCHER
                          "${PENSTOCK_CMAKE_DIR}/made_anew.sh;${CMAKE_CXX_COMPILER_LAUNCHER}")
  endif()
  target_precompile_headers(${target} REUSE_FROM ${owner})
endfunction()
