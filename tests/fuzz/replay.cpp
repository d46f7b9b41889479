// Runs a fuzz target without a fuzzer: every file of its folders as it stands, then as many mutations of them as are asked for, the same
// ones at every run. A target that stops the program leaves its input in a file and its name on stderr.
//
//   fuzz_plan MUTATIONS SEED FOLDER...      or      fuzz_plan FILE

#include <fcntl.h>
#include <sys/time.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "oddplate/core/philox.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

namespace fs = std::filesystem;
using oddplate::core::PhiloxStream;

constexpr std::size_t k_longest = 1u << 16;
constexpr int k_slowest = 20;   // seconds of its own work for one input
constexpr const char* k_left = "fuzz-input";

std::string s_input;   // what runs now

// Only what a signal handler may call.
void leave_input(int signal) {
    const int file = open(k_left, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    const char text[] = "the input is in the file fuzz-input\n";
    if (file < 0 || write(file, s_input.data(), s_input.size()) < 0 || write(STDERR_FILENO, text, sizeof text - 1) < 0) _exit(2);
    std::signal(signal, SIG_DFL);
    raise(signal);
}

void run(const std::string& input) {
    s_input = input;
    const itimerval limit{.it_interval = {}, .it_value = {.tv_sec = k_slowest, .tv_usec = 0}};
    if (setitimer(ITIMER_PROF, &limit, nullptr) != 0) std::abort();
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(s_input.data()), s_input.size());
}

std::string content(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) std::abort();
    return {std::istreambuf_iterator<char>(file), {}};
}

const std::vector<std::string> k_tokens = {"{", "}", "[", "]", ",", ":", "\"", "null", "true", "-1", "0", "1e999", "4294967296", "9223372036854775807", "0.5", "\\u0000", "\xEF\xBB\xBF", "\xFF",
                                           "\r\n", ";", "\t", "417", "417>862", "blank", "none", std::string(1, '\0'), "ballot", "1.7976931348623157e308"};

std::string mutated(const std::vector<std::string>& seeds, PhiloxStream& chance) {
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(chance.below(static_cast<std::uint32_t>(n))); };
    std::string text = seeds[below(seeds.size())];
    for (std::size_t left = 1 + below(4); left > 0; --left) {
        const std::size_t at = below(text.size() + 1);
        const std::size_t some = std::min(text.size() - at, 1 + below(16));
        switch (below(7)) {
            case 0:
                if (at < text.size()) text[at] = static_cast<char>(text[at] ^ (1 << below(8)));
                break;
            case 1:
                text.erase(at, some);
                break;
            case 2:
                text.insert(at, text.substr(at, some));
                break;
            case 3:
                text.insert(at, k_tokens[below(k_tokens.size())]);
                break;
            case 4:
                text.replace(at, some, k_tokens[below(k_tokens.size())]);
                break;
            case 5:
                if (at < text.size()) text[at] = static_cast<char>('0' + below(10));
                break;
            default: {   // the beginning of this one, the end of another
                const std::string& other = seeds[below(seeds.size())];
                text = text.substr(0, at) + other.substr(below(other.size() + 1));
            }
        }
    }
    return text.substr(0, k_longest);
}

}   // namespace

int main(int count, char** words) {
    if (count == 1 || count == 3) return 2;
    for (const int signal : {SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGPROF}) std::signal(signal, leave_input);
    if (count == 2) {
        run(content(words[1]));
        return 0;
    }
    std::vector<fs::path> files;
    for (int i = 3; i < count; ++i)
        for (const auto& entry : fs::directory_iterator(words[i])) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    std::vector<std::string> seeds;
    for (const auto& file : files) seeds.push_back(content(file));
    if (seeds.empty()) return 2;
    for (const auto& seed : seeds) run(seed);
    const int mutations = std::atoi(words[1]);
    for (int i = 0; i < mutations; ++i) {
        PhiloxStream chance(static_cast<std::uint64_t>(std::atoi(words[2])), static_cast<std::uint64_t>(i));
        run(mutated(seeds, chance));
    }
    std::printf("%zu inputs and %d mutations\n", seeds.size(), mutations);
    return 0;
}
