# The page's script: TypeScript bundled into one file when the build is configured; a change of any part configures anew.

# oddplate_page_script(OUT_VAR): the bundle, embedded.
function(oddplate_page_script out_var)
  set(folder ${PROJECT_SOURCE_DIR}/src/web/ui)
  file(GLOB parts CONFIGURE_DEPENDS ${folder}/*.ts)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${parts})
  find_program(ESBUILD esbuild REQUIRED)
  execute_process(COMMAND ${ESBUILD} ${folder}/page.ts --bundle --minify --target=es2020 --log-level=warning --outfile=${CMAKE_BINARY_DIR}/generated/page.js COMMAND_ERROR_IS_FATAL ANY)
  oddplate_embed(source page_js ${CMAKE_BINARY_DIR}/generated/page.js)
  set(${out_var} ${source} PARENT_SCOPE)
endfunction()
