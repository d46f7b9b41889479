# oddplate_embed(OUT_VAR name file): a .cpp that holds the file's bytes as `extern const std::string_view oddplate::embedded::name`.
# The assembler copies the bytes, whatever they are, so a large file costs no time to configure or compile; the view is constinit, so
# it can be read from the initialisation of any other static. A change of the file configures anew; the bytes come from a copy made
# then, so that they and the length written down always belong together, also when the file is saved in the middle of a build.
function(oddplate_embed out_var name file)
  set(copy ${CMAKE_BINARY_DIR}/embedded/${name}.bytes)
  set(path ${CMAKE_BINARY_DIR}/embedded/${name}.cpp)
  configure_file(${file} ${copy} COPYONLY)   # configures anew when the file changes
  file(SIZE ${copy} size)
  file(CONFIGURE OUTPUT ${path} @ONLY CONTENT [[
// made from @name@; do not edit
#include <string_view>
asm(R"(
.pushsection .rodata
.global oddplate_embedded_@name@
oddplate_embedded_@name@:
.incbin "@copy@"
.byte 0
.popsection
)");
extern "C" const char oddplate_embedded_@name@[];
namespace oddplate::embedded {
extern const std::string_view @name@;
constinit const std::string_view @name@{oddplate_embedded_@name@, @size@};
}   // namespace oddplate::embedded
]])
  set_source_files_properties(${path} PROPERTIES OBJECT_DEPENDS ${copy})
  set(${out_var} ${path} PARENT_SCOPE)
endfunction()
