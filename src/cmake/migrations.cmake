# The book's formats: src/book/migrations/NNNN_name.sql takes a book of format NNNN - 1 to format NNNN; 0001 begins with an empty file.
# Adding the next file is the whole change; a file that was released is never edited again.

# oddplate_migrations(OUT_VAR): the embedded scripts and the table of them, in order.
function(oddplate_migrations out_var)
  file(GLOB scripts CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/book/migrations/*.sql)
  list(SORT scripts)
  set(number 0)
  set(sources "")
  set(declarations "")
  set(entries "")
  foreach(script IN LISTS scripts)
    math(EXPR number "${number} + 1")
    cmake_path(GET script STEM stem)
    string(REGEX MATCH "^0*${number}_" in_turn "${stem}")
    if(NOT in_turn)
      message(FATAL_ERROR "${script}: its number is not ${number}")
    endif()
    oddplate_embed(source migration_${number} ${script})
    list(APPEND sources ${source})
    string(APPEND declarations "extern const std::string_view migration_${number};\n")
    string(APPEND entries "embedded::migration_${number}, ")
  endforeach()
  set(path ${CMAKE_BINARY_DIR}/generated/migrations.cpp)
  file(CONFIGURE OUTPUT ${path} @ONLY CONTENT
"// made from the file names in src/book/migrations; do not edit
#include \"migrations.hpp\"
namespace oddplate::embedded {
${declarations}}
namespace oddplate::book {
std::span<const std::string_view> migrations()
{
    static const std::string_view k_scripts[] = {${entries}};
    return k_scripts;
}
}   // namespace oddplate::book
")
  set(${out_var} ${sources} ${path} PARENT_SCOPE)
endfunction()
