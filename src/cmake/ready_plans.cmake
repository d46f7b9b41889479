# The ready-made plans: every file in designs/plans, built in; adding one is the whole change.

# oddplate_ready_plans(OUT_VAR): the embedded plans and the table of them.
function(oddplate_ready_plans out_var)
  file(GLOB plans CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/designs/plans/*.json)
  list(SORT plans)
  set(number 0)
  set(sources "")
  set(declarations "")
  set(entries "")
  foreach(plan IN LISTS plans)
    math(EXPR number "${number} + 1")
    cmake_path(GET plan FILENAME name)
    oddplate_embed(source ready_plan_${number} ${plan})
    list(APPEND sources ${source})
    string(APPEND declarations "extern const std::string_view ready_plan_${number};\n")
    string(APPEND entries "{\"${name}\", embedded::ready_plan_${number}}, ")
  endforeach()
  set(path ${CMAKE_BINARY_DIR}/generated/ready_plans.cpp)
  file(CONFIGURE OUTPUT ${path} @ONLY CONTENT
"// made from the file names in designs/plans; do not edit
#include \"ready_plans.hpp\"
namespace oddplate::embedded {
${declarations}}
namespace oddplate::web {
std::span<const ReadyPlan> ready_plans()
{
    static const ReadyPlan k_plans[] = {${entries}};
    return k_plans;
}
}   // namespace oddplate::web
")
  set(${out_var} ${sources} ${path} PARENT_SCOPE)
endfunction()
