#pragma once
// The one hand that writes: what waits is committed together, and whoever waits is told after the commit.

#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "oddplate/tasting/keeper.hpp"

namespace oddplate::web {

class Writer {
public:
    using Told = std::function<void(core::Status)>;          ///< from the writer's thread
    using Act = std::function<core::Status(tasting::Keeper&)>;

    Writer(tasting::Book& book, const core::Clock& clock);
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;
    ~Writer() { stop(); }

    /// One answer. Answers to one tasting that wait at the same time are one durable transaction; the same answer again is told the same as the first.
    void answer(const std::string& tasting, tasting::IncomingAnswer answer, const std::string& from, Told told);
    /// Any other act, in its turn.
    void act(Act act, Told told);
    /// Does what waits, then ends; what comes later is told that the host has stopped.
    void stop();

private:
    struct Job {
        std::string tasting, from;          ///< of an answer
        tasting::IncomingAnswer answer;
        Act act;                            ///< or an act
        Told told;
    };
    void put(Job job);
    void run();
    void do_all(std::deque<Job> jobs);
    void enter(std::vector<Job>& answers);
    core::Result<tasting::State*> state_of(const std::string& tasting);

    tasting::Keeper m_keeper;
    std::map<std::string, tasting::State> m_states;
    std::mutex m_guard;
    std::condition_variable m_news;
    std::deque<Job> m_jobs;
    bool m_ends{false};
    std::thread m_thread;
};

}   // namespace oddplate::web
