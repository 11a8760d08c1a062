include(${CMAKE_CURRENT_LIST_DIR}/header_only.cmake)
header_only(Boost::headers boost)
# There are no threads there.
target_compile_definitions(Boost::headers INTERFACE BOOST_DISABLE_THREADS)
