# The table of all methods, made from file names: sign_test.cpp defines `extern const Method sign_test;`. Adding the file to
# src/methods/registry (or to ODDPLATE_EXTRA_METHODS) is the whole change. Ids have dashes where file names have underscores.

# oddplate_method_table(OUT_VAR path file...): writes the table's source to `path` and names it in OUT_VAR.
function(oddplate_method_table out_var path)
  set(names "")
  foreach(file IN LISTS ARGN)
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
  file(CONFIGURE OUTPUT ${path} @ONLY CONTENT
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
  set(${out_var} ${path} PARENT_SCOPE)
endfunction()

file(GLOB ODDPLATE_METHOD_FILES CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/methods/registry/*.cpp)
if(ODDPLATE_EXTRA_METHODS)
  file(GLOB extra_method_files CONFIGURE_DEPENDS ${ODDPLATE_EXTRA_METHODS}/*.cpp)
endif()
oddplate_method_table(ODDPLATE_METHOD_TABLE ${CMAKE_BINARY_DIR}/generated/method_table.cpp ${ODDPLATE_METHOD_FILES} ${extra_method_files})
list(APPEND ODDPLATE_METHOD_TABLE ${extra_method_files})
