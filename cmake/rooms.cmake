# room(NAME RING base|core|edge|shell FLOOR n NEEDS room... [LINKS target...])
#
# A room is a folder: its sources, its tests (*_test.cpp) and one door, the header named like the room.
# It may need rooms on lower floors only; a need upwards or sideways stops the configuration, with the reason.
# NEEDS names every room whose door is included; LINKS names libraries from outside.
# Tests are compiled once and run once: what the optimiser would take to make them fast is more than it gives. The rooms keep their own.
set(PENSTOCK_TEST_OPTIONS $<$<CONFIG:Release>:-O1>)

set(PENSTOCK_RINGS base core edge shell)

function(room name)
  cmake_parse_arguments(ROOM "" "RING;FLOOR" "NEEDS;LINKS" ${ARGN})
  if(ROOM_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "room ${name}: unknown words: ${ROOM_UNPARSED_ARGUMENTS}")
  endif()
  list(FIND PENSTOCK_RINGS "${ROOM_RING}" ring)
  if(ring LESS 0)
    message(FATAL_ERROR "room ${name}: RING is '${ROOM_RING}'; it must be one of ${PENSTOCK_RINGS}")
  endif()
  if(NOT ROOM_FLOOR MATCHES "^[0-9]$")
    message(FATAL_ERROR "room ${name}: FLOOR must be one digit")
  endif()
  math(EXPR height "${ring} * 10 + ${ROOM_FLOOR}")

  if(NOT EXISTS ${CMAKE_CURRENT_SOURCE_DIR}/${name}.hpp)
    message(FATAL_ERROR "room ${name} has no door: ${name}.hpp is missing")
  endif()

  file(GLOB sources CONFIGURE_DEPENDS *.cpp internal/*.cpp)
  set(tests ${sources})
  list(FILTER tests INCLUDE REGEX "_test\\.cpp$")
  list(FILTER sources EXCLUDE REGEX "_test\\.cpp$|/main\\.cpp$")

  set(target penstock_${name})
  if(sources)
    add_library(${target} STATIC ${sources})
    set(visibility PUBLIC)
  else()
    add_library(${target} INTERFACE)
    set(visibility INTERFACE)
  endif()
  target_include_directories(${target} ${visibility} ${CMAKE_SOURCE_DIR}/src)
  set_property(GLOBAL PROPERTY PENSTOCK_HEIGHT_${name} ${height})
  set_property(GLOBAL PROPERTY PENSTOCK_RING_${name} ${ROOM_RING})
  set_property(GLOBAL APPEND PROPERTY PENSTOCK_ROOMS ${name})

  foreach(need IN LISTS ROOM_NEEDS)
    get_property(need_height GLOBAL PROPERTY PENSTOCK_HEIGHT_${need})
    get_property(need_ring GLOBAL PROPERTY PENSTOCK_RING_${need})
    if(NOT need_height MATCHES "^[0-9]+$")
      message(FATAL_ERROR "room ${name} (${ROOM_RING}) may not need ${need}: it stands higher, or does not exist")
    endif()
    if(NOT need_height LESS height)
      message(FATAL_ERROR "room ${name} (${ROOM_RING}, floor ${ROOM_FLOOR}) may not need ${need} (${need_ring}): "
                          "it is not on a lower floor; pass the data in instead")
    endif()
    target_link_libraries(${target} ${visibility} penstock_${need})
  endforeach()
  if(ROOM_LINKS)
    target_link_libraries(${target} ${visibility} ${ROOM_LINKS})
  endif()

  if(PENSTOCK_TESTS AND tests)
    add_executable(${name}_test ${tests})
    target_link_libraries(${name}_test PRIVATE ${target} GTest::gtest_main GTest::gmock rapidcheck)
    target_compile_options(${name}_test PRIVATE ${PENSTOCK_TEST_OPTIONS})
    gtest_discover_tests(${name}_test PROPERTIES LABELS ${name} DISCOVERY_TIMEOUT 60)
  endif()
endfunction()
