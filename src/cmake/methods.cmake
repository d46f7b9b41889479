# The table of all methods, made from the file names in src/methods/registry (and ODDPLATE_EXTRA_METHODS): sign_test.cpp defines
# `extern const Method sign_test;`. Adding the file is the whole change. Ids have dashes where file names have underscores.
file(GLOB method_files CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/methods/registry/*.cpp)
if(ODDPLATE_EXTRA_METHODS)
  file(GLOB extra_method_files CONFIGURE_DEPENDS ${ODDPLATE_EXTRA_METHODS}/*.cpp)
endif()
set(names "")
foreach(file IN LISTS method_files extra_method_files)
  cmake_path(GET file STEM name)
  list(APPEND names ${name})
endforeach()
list(SORT names)
set(declarations "")
set(entries "")
foreach(name IN LISTS names)
  string(APPEND declarations "extern const Method ${name};\n")
  string(APPEND entries "&${name}, ")
endforeach()
set(ODDPLATE_METHOD_TABLE ${CMAKE_BINARY_DIR}/generated/method_table.cpp)
file(CONFIGURE OUTPUT ${ODDPLATE_METHOD_TABLE} @ONLY CONTENT
"// made from the file names in src/methods/registry; do not edit
#include \"oddplate/methods/method.hpp\"
namespace oddplate::methods {
${declarations}
std::span<const Method* const> all()
{
    static const Method* const k_methods[] = {${entries}};
    return k_methods;
}
}   // namespace oddplate::methods
")
list(APPEND ODDPLATE_METHOD_TABLE ${extra_method_files})
