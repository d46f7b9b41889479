# Settings that hold for every target: language, warnings, sanitizers, compiler cache, the linker.
set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_RUNTIME_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR})

# -ffp-contract=off: a fused multiply-add would change last digits from machine to machine.
add_compile_options(-Wall -Wextra -Wpedantic -Wconversion -Wshadow -ffp-contract=off)
# g++ 12 sees uninitialised alternatives in every moved std::variant at -O2; the sanitizers look at the real thing.
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  add_compile_options(-Wno-maybe-uninitialized)
endif()
if(ODDPLATE_DEVELOPER)
  add_compile_options(-Werror)
endif()
set(CMAKE_CXX_FLAGS_RELEASE "-O2")   # without NDEBUG: broken promises between our own functions stop a release build too

if(ODDPLATE_SANITIZE)
  # -O0 -g1: optimised sanitizer builds of header-heavy files take four times as long on two cores.
  add_compile_options(-fsanitize=${ODDPLATE_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer -O0 -g1)
  add_link_options(-fsanitize=${ODDPLATE_SANITIZE})
endif()

find_program(CCACHE ccache)
if(CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE})
endif()
find_program(LLD ld.lld)
if(LLD)
  add_link_options(-fuse-ld=lld)
endif()

find_package(PkgConfig REQUIRED)
include(layer)
include(embed)
