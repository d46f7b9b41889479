# oddplate_layer(stats DEPENDS core LIBS Boost::headers)
#   one static library a layer; its sources are src/<layer>/*.cpp, its public headers include/oddplate/<layer>/*.hpp.
#   DEPENDS: the layers it may include; a test scans its #include lines against that list.
function(oddplate_layer name)
  cmake_parse_arguments(A "" "" "DEPENDS;LIBS;GENERATED" ${ARGN})
  file(GLOB cpp CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/${name}/*.cpp ${PROJECT_SOURCE_DIR}/src/${name}/*/*.cpp)
  file(GLOB hpp CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/oddplate/${name}/*.hpp)
  add_library(oddplate_${name} STATIC ${cpp} ${A_GENERATED})
  target_sources(oddplate_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/include FILES ${hpp})
  target_include_directories(oddplate_${name} PRIVATE ${PROJECT_SOURCE_DIR}/src/${name})
  target_compile_features(oddplate_${name} PUBLIC cxx_std_20)
  set(deps ${A_DEPENDS})
  list(TRANSFORM deps PREPEND oddplate_)
  target_link_libraries(oddplate_${name} PUBLIC ${deps} PRIVATE ${A_LIBS})
  list(JOIN A_DEPENDS "," allowed)
  add_test(NAME arch.layers.${name} COMMAND ${CMAKE_COMMAND} -D ROOT=${PROJECT_SOURCE_DIR} -D LAYER=${name}
    "-DALLOWED=${name},${allowed}" -P ${PROJECT_SOURCE_DIR}/tests/arch/includes.cmake)
endfunction()
