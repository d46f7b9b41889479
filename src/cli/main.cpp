#include <csignal>
#include <cstdio>
#include <exception>
#include <string>
#include <vector>

#include "verb.hpp"

int main(int count, char** words) {
    std::signal(SIGPIPE, SIG_IGN);   // a closed pipe ends a command quietly, and only once its work is done
    std::signal(SIGXFSZ, SIG_IGN);   // a limit on file sizes is then a full disk, with its own sentence
    try {
        return oddplate::cli::run(std::vector<std::string>(words + 1, words + count));
    } catch (const std::exception&) {
        std::fputs("oddplate: an internal error stopped this command; nothing that was confirmed is lost\n", stderr);
        return 1;
    }
}
