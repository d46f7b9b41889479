#pragma once
// A book in memory that keeps the same promises as the one on disk: writes stand between begin_write and commit, what is rolled
// back leaves nothing behind, nothing is written twice. It can be told to fail at its n-th write.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "oddplate/core/clock.hpp"
#include "oddplate/tasting/book.hpp"

namespace oddplate::tasting::testing {

class MemoryBook final : public Book {
public:
    /// Counts begin_write, begin_tasting, append, keep, forget and commit from 1 on; the one with this number fails (once).
    std::optional<int> fail_at;
    /// How many of them there were so far.
    int calls{0};

    int format() const override { return 1; }

    core::Status begin_write() override {
        if (auto status = reached("begin"); !status) return status;
        if (m_before) return broken("a second act was begun within the first");
        m_before = m_kept;
        return core::Done{};
    }

    core::Status commit() override {
        if (auto status = reached("commit"); !status) return status;
        if (!m_before) return broken("nothing was begun that could be committed");
        m_before.reset();
        return core::Done{};
    }

    void roll_back() noexcept override {
        if (!m_before) return;
        m_kept = std::move(*m_before);
        m_before.reset();
    }

    core::Result<std::vector<std::string>> tastings() override { return m_kept.ids; }

    core::Result<std::vector<LogRow>> rows(const std::string& id, std::int64_t after) override {
        std::vector<LogRow> out;
        if (const auto log = m_kept.logs.find(id); log != m_kept.logs.end())
            for (const auto& row : log->second)
                if (row.seq > after) out.push_back(row);
        return out;
    }

    core::Result<std::optional<std::string>> paper(const std::string& id, Paper paper, int draw) override {
        const auto found = m_kept.papers.find({id, paper, draw});
        return found == m_kept.papers.end() ? std::nullopt : std::optional(found->second);
    }

    core::Result<std::optional<std::string>> host_secret() override { return m_kept.secret; }

    core::Status keep_host_secret(const std::string& hex) override {
        if (auto status = reached("keep"); !status) return status;
        if (!m_before) return broken("the host's secret was kept outside of an act");
        m_kept.secret = hex;
        return core::Done{};
    }

    core::Status begin_tasting(const std::string& id) override {
        if (auto status = write("begin_tasting"); !status) return status;
        if (m_kept.logs.contains(id)) return broken("the tasting " + id + " is there already");
        m_kept.ids.push_back(id);
        m_kept.logs[id];
        return core::Done{};
    }

    core::Status append(const std::string& id, const LogRow& row) override {
        if (auto status = write("append"); !status) return status;
        const auto log = m_kept.logs.find(id);
        if (log == m_kept.logs.end()) return broken("a row for the unknown tasting " + id);
        for (const auto& there : log->second)
            if (there.seq == row.seq) return broken("row " + std::to_string(row.seq) + " is there already");
        log->second.push_back(row);
        return core::Done{};
    }

    core::Status keep(const std::string& id, Paper paper, int draw, const std::string& text) override {
        if (auto status = write("keep"); !status) return status;
        if (!m_kept.logs.contains(id)) return broken("a paper for the unknown tasting " + id);
        if (!m_kept.papers.emplace(std::tuple(id, paper, draw), text).second) return broken("that paper is there already");
        return core::Done{};
    }

    core::Status forget(const std::string& id) override {
        if (auto status = write("forget"); !status) return status;
        std::erase(m_kept.ids, id);
        m_kept.logs.erase(id);
        std::erase_if(m_kept.papers, [&](const auto& paper) { return std::get<0>(paper.first) == id; });
        return core::Done{};
    }

    /// Every text that is kept, whatever it is kept as: for looking that something stands nowhere.
    [[nodiscard]] std::string everything() const {
        std::string out;
        for (const auto& [id, log] : m_kept.logs)
            for (const auto& row : log) out += id + " " + row.kind + " " + row.body + "\n";
        for (const auto& [place, text] : m_kept.papers) out += text + "\n";
        return out;
    }

    // A forger's hand, past every rule.
    void overwrite(const std::string& id, Paper paper, int draw, const std::string& text) {
        m_kept.papers[{id, paper, draw}] = text;
    }
    void remove(const std::string& id, Paper paper, int draw) { m_kept.papers.erase({id, paper, draw}); }
    [[nodiscard]] std::vector<LogRow>& log(const std::string& id) { return m_kept.logs.at(id); }

private:
    struct Kept {
        std::vector<std::string> ids;
        std::optional<std::string> secret;
        std::map<std::string, std::vector<LogRow>> logs;
        std::map<std::tuple<std::string, Paper, int>, std::string> papers;
    };

    static core::Error broken(const std::string& what) { return core::fault(core::ErrorKind::internal, "memory-book", what); }

    core::Status reached(const char* what) {
        ++calls;
        if (fail_at != calls) return core::Done{};
        return core::fault(core::ErrorKind::io, "no-room",
                           std::string("the book could not be written (") + what + ", asked for by the test)");
    }

    core::Status write(const char* what) {
        if (!m_before) return broken(std::string(what) + " outside of an act");
        return reached(what);
    }

    Kept m_kept;
    std::optional<Kept> m_before;
};

/// Ticks one second at each look.
class TickingClock final : public core::Clock {
public:
    [[nodiscard]] std::string now() const override {
        const int second = m_ticks++;
        const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
        return "2026-06-14T" + two(second / 3600 % 24) + ":" + two(second / 60 % 60) + ":" + two(second % 60) + "Z";
    }

private:
    mutable int m_ticks{0};
};

}   // namespace oddplate::tasting::testing
