// Kills a program between two of its writes. The kernel stops the program at each call that changes a file or says something; at the n-th such
// call, before it is carried out, the program gets SIGKILL. So the point of death is observed, not timed, and every point can be visited.
//
//   kill_at 17 program arguments...     dies before its 17th call
//   kill_at 0 program arguments...      runs to its end
//
// On standard error, last line: "calls N killed" or "calls N exit E". Exit 77 where the system permits no tracing.

#include <fcntl.h>
#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>

namespace {

bool leaves_a_trace(const __ptrace_syscall_info& call) {
    switch (call.entry.nr) {
        case SYS_write:
        case SYS_writev:
        case SYS_pwrite64:
        case SYS_pwritev:
        case SYS_ftruncate:
        case SYS_fallocate:
        case SYS_fsync:
        case SYS_fdatasync:
        case SYS_unlinkat:
        case SYS_renameat2:
#ifdef SYS_unlink
        case SYS_unlink:
        case SYS_rename:
#endif
            return true;
        case SYS_openat:
            return (call.entry.args[2] & O_CREAT) != 0;
        default:
            return false;
    }
}

[[noreturn]] void become(char** words) {
    if (ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) _exit(77);
    execv(words[0], words);
    _exit(126);
}

int finish(long calls, int status) {
    if (WIFEXITED(status)) {
        std::fprintf(stderr, "calls %ld exit %d\n", calls, WEXITSTATUS(status));
        return WEXITSTATUS(status) == 77 ? 77 : 0;
    }
    std::fprintf(stderr, "calls %ld killed\n", calls);
    return 0;
}

}   // namespace

int main(int count, char** words) {
    if (count < 3) return 2;
    const long at = std::strtol(words[1], nullptr, 10);
    const pid_t program = fork();
    if (program < 0) return 1;
    if (program == 0) become(words + 2);

    int status = 0;
    if (waitpid(program, &status, 0) != program || !WIFSTOPPED(status)) return finish(0, status);
    if (ptrace(PTRACE_SETOPTIONS, program, nullptr, PTRACE_O_TRACESYSGOOD | PTRACE_O_EXITKILL) != 0) return 77;
    long calls = 0;
    int signal = 0;
    while (true) {
        if (ptrace(PTRACE_SYSCALL, program, nullptr, signal) != 0) return 1;
        if (waitpid(program, &status, 0) != program) return 1;
        if (!WIFSTOPPED(status)) return finish(calls, status);
        signal = WSTOPSIG(status);
        if (signal != (SIGTRAP | 0x80)) continue;   // a signal of its own goes on to the program
        signal = 0;
        __ptrace_syscall_info call{};
        if (ptrace(PTRACE_GET_SYSCALL_INFO, program, sizeof call, &call) < 0) return 77;
        if (call.op != PTRACE_SYSCALL_INFO_ENTRY || !leaves_a_trace(call) || ++calls != at) continue;
        kill(program, SIGKILL);
        return waitpid(program, &status, 0) == program ? finish(calls, status) : 1;
    }
}
