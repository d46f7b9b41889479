// Dealing codes: one queue of all usable codes, shuffled once. A ballot takes from the front what is two digits apart from what
// it has, and its codes go to the back, so a code comes again only when all others have been used and as late as can be. Codes
// never dealt stand in front of the dealt ones at all times. The cost of a ballot does not grow with the number of ballots.

#include <algorithm>
#include <array>
#include <cstdlib>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

constexpr int k_end = 0;   // stands before the first and after the last code

/// The queue: a ring of codes linked by their own numbers.
class Queue {
public:
    explicit Queue(const std::vector<int>& codes) {
        m_next[k_end] = m_before[k_end] = k_end;
        for (const int code : codes) {
            link(m_before[k_end], code);
        }
    }
    [[nodiscard]] int first() const { return m_next[k_end]; }
    [[nodiscard]] int after(int code) const { return m_next[at(code)]; }
    void to_back(int code) {
        unlink(code);
        link(m_before[k_end], code);
    }
    /// `code` leaves its place and takes that of `other`, which goes to the back.
    void takes_place_of(int code, int other) {
        unlink(code);
        link(m_before[at(other)], code);
        to_back(other);
    }

private:
    void unlink(int code) {
        m_next[at(m_before[at(code)])] = m_next[at(code)];
        m_before[at(m_next[at(code)])] = m_before[at(code)];
    }
    void link(int before, int code) {
        const int next = m_next[at(before)];
        m_before[at(code)] = before;
        m_next[at(code)] = next;
        m_next[at(before)] = m_before[at(next)] = code;
    }
    std::array<int, 1000> m_next{}, m_before{};
};

class Dealer {
public:
    explicit Dealer(core::ChanceStream& chance) : m_chance(chance), m_queue(shuffled(chance)), m_fresh(deck_size()) {}

    void deal(int how_many) {
        m_dealt.emplace_back();
        ++m_ballot;
        if (how_many <= always_found()) {
            for (int place = 0; place < how_many; ++place) {
                add_one();
            }
        } else {
            add_class(how_many);
        }
        // Back in an order by lot, so that a code's next place has nothing to do with this one.
        std::vector<int> back = m_dealt.back();
        m_chance.shuffle(back);
        for (const int code : back) {
            m_queue.to_back(code);
        }
    }

    std::vector<std::vector<int>> take() { return std::move(m_dealt); }

private:
    static int deck_size() { return static_cast<int>(usable_codes().size()); }

    static std::vector<int> shuffled(core::ChanceStream& chance) {
        std::vector<int> deck = usable_codes();
        chance.shuffle(deck);
        return deck;
    }

    // A code shuts out itself and the 27 that differ in one digit, so so many are found in any order of the queue.
    static int always_found() { return 1 + (deck_size() - 1) / 28; }

    void add(int code) {
        m_dealt.back().push_back(code);
        m_queue.to_back(code);
        if (!m_used[at(code)]) {
            m_used[at(code)] = true;
            --m_fresh;
        }
        const int a = code / 100, b = code / 10 % 10, c = code % 10;
        for (int digit = 0; digit < 10; ++digit) {
            m_shut[at(100 * digit + 10 * b + c)] = m_shut[at(100 * a + 10 * digit + c)] = m_shut[at(100 * a + 10 * b + digit)] =
                m_ballot;
        }
    }
    [[nodiscard]] bool fits(int code) const { return m_shut[at(code)] != m_ballot; }

    void add_one() {
        int code = m_queue.first();
        while (code != k_end && !fits(code)) {
            code = m_queue.after(code);
        }
        if (code == k_end) {
            std::abort();   // always_found() says otherwise
        }
        if (m_used[at(code)] && m_fresh > 0 && exchange()) {
            return;
        }
        add(code);
    }

    // All codes never dealt clash with this ballot: one of them goes to an earlier ballot, whose code comes here.
    bool exchange() {
        for (int fresh = m_queue.first(); !m_used[at(fresh)]; fresh = m_queue.after(fresh)) {
            for (std::size_t ballot = m_dealt.size() - 1; ballot-- > 0;) {
                for (std::size_t place = 0; place < m_dealt[ballot].size(); ++place) {
                    const int code = m_dealt[ballot][place];
                    if (fits(code) && fits_instead(fresh, m_dealt[ballot], place)) {
                        m_dealt[ballot][place] = fresh;
                        m_used[at(fresh)] = true;
                        --m_fresh;
                        m_queue.takes_place_of(fresh, code);
                        add(code);
                        return true;
                    }
                }
            }
        }
        return false;
    }

    static bool fits_instead(int code, const std::vector<int>& codes, std::size_t place) {
        for (std::size_t other = 0; other < codes.size(); ++other) {
            if (other != place && !two_digits_apart(code, codes[other])) {
                return false;
            }
        }
        return true;
    }

    // A very full ballot: codes of one class alone, the class that gets there first on the way through the queue.
    void add_class(int how_many) {
        std::array<std::vector<int>, 10> found;
        for (int code = m_queue.first(); code != k_end; code = m_queue.after(code)) {
            std::vector<int>& mine = found[at(digit_class(code))];
            mine.push_back(code);
            if (static_cast<int>(mine.size()) == how_many) {
                for (const int each : mine) {
                    add(each);
                }
                return;
            }
        }
        std::abort();   // the caller promises at most most_codes_on_a_ballot()
    }

    core::ChanceStream& m_chance;
    Queue m_queue;
    int m_fresh;                       // codes never dealt
    std::array<bool, 1000> m_used{};   // dealt before
    std::array<int, 1000> m_shut{};    // the last ballot that shut the code out
    int m_ballot = 0;                  // from 1
    std::vector<std::vector<int>> m_dealt;
};

}   // namespace

std::vector<std::vector<int>> deal_codes(const std::vector<int>& how_many, core::ChanceStream& chance) {
    Dealer dealer(chance);
    for (const int portions : how_many) {
        dealer.deal(portions);
    }
    return dealer.take();
}

}   // namespace oddplate::draw
