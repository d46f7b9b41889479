# Fails when a file of one layer includes a header of a layer that it may not know.
#   cmake -D ROOT=... -D LAYER=stats -D ALLOWED=stats,core -P includes.cmake
cmake_minimum_required(VERSION 3.25)
string(REPLACE "," ";" allowed "${ALLOWED}")
file(GLOB_RECURSE files ${ROOT}/src/${LAYER}/*.cpp ${ROOT}/src/${LAYER}/*.hpp ${ROOT}/include/oddplate/${LAYER}/*.hpp)
foreach(file IN LISTS files)
  file(STRINGS ${file} lines REGEX "^#include \"oddplate/")
  foreach(line IN LISTS lines)
    string(REGEX REPLACE "^#include \"oddplate/([a-z]+)/.*" "\\1" layer "${line}")
    if(NOT layer IN_LIST allowed)
      message(SEND_ERROR "${file}: ${line} - layer '${LAYER}' may include only: ${ALLOWED}")
    endif()
  endforeach()
endforeach()
