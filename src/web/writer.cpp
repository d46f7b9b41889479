// While one transaction is on its way to the disk the next answers gather; so the disk's own pace sets how many share a commit, and no timer is needed.

#include "writer.hpp"

#include <utility>

namespace oddplate::web {

Writer::Writer(tasting::Book& book, const core::Clock& clock) : m_keeper(book, clock), m_thread([this] { run(); }) {}

void Writer::answer(const std::string& tasting, tasting::IncomingAnswer answer, const std::string& from, Told told) {
    put({.tasting = tasting, .from = from, .answer = std::move(answer), .act = {}, .told = std::move(told)});
}

void Writer::act(Act act, Told told) { put({.tasting = {}, .from = {}, .answer = {}, .act = std::move(act), .told = std::move(told)}); }

void Writer::put(Job job) {
    {
        const std::scoped_lock lock(m_guard);
        if (!m_ends) {
            m_jobs.push_back(std::move(job));
            m_news.notify_one();
            return;
        }
    }
    job.told(core::fault(core::ErrorKind::conflict, "stopped", "the host is stopping; try again in a moment"));
}

void Writer::stop() {
    {
        const std::scoped_lock lock(m_guard);
        m_ends = true;
    }
    m_news.notify_one();
    if (m_thread.joinable()) m_thread.join();
}

void Writer::run() {
    for (;;) {
        std::deque<Job> jobs;
        {
            std::unique_lock lock(m_guard);
            m_news.wait(lock, [&] { return m_ends || !m_jobs.empty(); });
            if (m_jobs.empty()) return;
            jobs.swap(m_jobs);
        }
        do_all(std::move(jobs));
    }
}

void Writer::do_all(std::deque<Job> jobs) {
    std::vector<Job> together;
    for (Job& job : jobs) {
        const bool goes_on = !job.act && (together.empty() || (together.front().tasting == job.tasting && together.front().from == job.from));
        if (!goes_on && !together.empty()) enter(together);
        if (job.act) job.told(job.act(m_keeper));
        else together.push_back(std::move(job));
    }
    if (!together.empty()) enter(together);
}

core::Result<tasting::State*> Writer::state_of(const std::string& tasting) {
    if (const auto known = m_states.find(tasting); known != m_states.end()) return &known->second;
    auto state = m_keeper.load(tasting);
    if (!state) return state.faults();
    return &m_states.emplace(tasting, std::move(*state)).first->second;
}

void Writer::enter(std::vector<Job>& answers) {
    const std::vector<Job> batch = std::exchange(answers, {});
    std::vector<tasting::IncomingAnswer> incoming;
    for (const Job& job : batch) {
        incoming.push_back(job.answer);
        incoming.back().line = incoming.size() - 1;   // the place in the batch, by which a refusal is told apart
    }
    std::vector<core::Status> fates(batch.size(), core::Done{});
    const auto all_are = [&](const core::Faults& faults) { fates.assign(batch.size(), core::Status(faults)); };
    const auto state = state_of(batch.front().tasting);
    if (!state) {
        all_are(state.faults());
    } else if (const auto intake = m_keeper.enter(**state, incoming, batch.front().from, true, false); !intake) {
        m_states.erase(batch.front().tasting);   // what was committed is read anew
        all_are(intake.faults());
    } else {
        for (const auto& rejection : intake->rejected) fates[rejection.line] = core::fault(core::ErrorKind::bad_value, rejection.code, rejection.reason);
        if (!intake->others.empty())   // told to the desk before the phone hears that the first answer stands
            if (const auto noted = m_keeper.note_differing(**state, intake->others, batch.front().from); !noted) all_are(noted.faults());
    }
    for (std::size_t i = 0; i < batch.size(); ++i) batch[i].told(fates[i]);
}

}   // namespace oddplate::web
