// The demo's answers are simulated from stated true differences, with the generator that is never used for a draw.

#include "demo.hpp"

namespace oddplate::cli {
core::Result<ExitCode> make_demo(Call&, const std::string&) { return 0; }
}   // namespace oddplate::cli
