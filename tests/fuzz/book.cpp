// Any file as a book: refused with a sentence, or open, and then everything in it can be read or is said to be wrong.

#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "laws.hpp"
#include "oddplate/book/book_file.hpp"
#include "oddplate/core/clock.hpp"
#include "oddplate/tasting/keeper.hpp"

using namespace oddplate;
namespace fs = std::filesystem;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fs::path folder = fs::temp_directory_path() / ("oddplate-fuzz-" + std::to_string(getpid()));
    fs::create_directories(folder);
    const std::string path = folder / "book.sqlite";
    std::ofstream(path, std::ios::binary) << fuzz::text_of(data, size);
    const auto opened = book::open_book(path, book::WhenMissing::refuse);
    if (opened.ok()) {
        const core::SystemClock clock;
        tasting::Keeper keeper(**opened, clock);
        const auto ids = (*opened)->tastings();
        if (ids.ok())
            for (const std::string& id : *ids)
                if (auto state = keeper.load(id); state.ok() && !state->draws.empty()) (void)tasting::reconcile(*state);
        const auto problems = book::check_book(path);
        if (problems.ok())
            for (const std::string& problem : *problems) fuzz::holds(!problem.empty() && problem.find('\n') == std::string::npos, "a problem is one line");
    }
    fs::remove_all(folder);
    return 0;
}
