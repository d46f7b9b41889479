# oddplate_embed(OUT_VAR name file): a .cpp that holds the file's bytes as `extern const std::string_view oddplate::embedded::name`.
# Made at configure time and again whenever the file changes.
function(oddplate_embed out_var name file)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${file})
  file(READ ${file} bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  set(text "// made from ${name}; do not edit\n#include <string_view>\nnamespace oddplate::embedded {\n")
  string(APPEND text "static const unsigned char k_bytes[] = {${bytes}0x00};\n")
  string(APPEND text "extern const std::string_view ${name};\n")
  string(APPEND text "const std::string_view ${name}{reinterpret_cast<const char*>(k_bytes), sizeof k_bytes - 1};\n}\n")
  set(path ${CMAKE_BINARY_DIR}/embedded/${name}.cpp)
  file(CONFIGURE OUTPUT ${path} CONTENT "${text}" @ONLY)
  set(${out_var} ${path} PARENT_SCOPE)
endfunction()
