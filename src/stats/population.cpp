// One set of nodes for all tasters: where d' may lie, how likely, and the chance of a right answer there (derived in the header).
// Tests: tests/unit/stats/population.test.cpp

#include "oddplate/stats/population.hpp"

#include <boost/math/special_functions/gamma.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

#include "fast_curve.hpp"
#include "oddplate/stats/promise.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_negligible = -41.0;    // log of a weight that no sum of doubles sees
constexpr double k_nearest = 1e-7;       // d' below which the weights are a power of d' to nine digits, and few
constexpr std::size_t k_most_nodes = 20'000;

// log of the weight of y, 0 at y = 0.
double log_weight(TasterLaw law, double y, double s) {
    if (law != TasterLaw::gamma) return -y * y / 2.0;
    const double sy = s * y;
    // (sy - expm1(sy))/s^2, by its series where the two nearly cancel.
    if (std::fabs(sy) < 1e-3) return -y * y * (0.5 + sy / 6.0 + sy * sy / 24.0);
    return (sy - std::expm1(sy)) / (s * s);
}

double d_at(TasterLaw law, const Place& at, double y) {
    const double x = at.place + at.spread * y;
    return law == TasterLaw::normal ? x : std::exp(x);
}

// y on the given side (+1, -1) beyond which weights are negligible.
double edge(TasterLaw law, double s, double side) {
    double y = side * 9.1;   // the normal's own
    if (law != TasterLaw::gamma) return y;
    double near = 0.0;
    double far = side;
    while (log_weight(law, far, s) > k_negligible) far *= 2.0;
    for (int i = 0; i < 40; ++i) {
        const double middle = (near + far) / 2.0;
        (log_weight(law, middle, s) > k_negligible ? near : far) = middle;
    }
    return far;
}

// log of a chance at d; where it has run out of doubles, something that goes on falling, so that a search finds its way back.
double log_chance(double chance, double d) {
    return chance > 0.0 ? std::log(chance) : -700.0 - std::fabs(d);
}

}   // namespace

std::string_view to_text(TasterLaw law) {
    switch (law) {
        case TasterLaw::normal:
            return "normal";
        case TasterLaw::gamma:
            return "gamma";
        case TasterLaw::log_normal:
            return "log-normal";
    }
    promise(false);
    return {};
}

double median_d(TasterLaw law, const Place& at) {
    if (law == TasterLaw::normal) return at.place;
    if (law == TasterLaw::log_normal || at.spread < 1e-4) return std::exp(at.place);
    const double shape = 1.0 / (at.spread * at.spread);
    return std::exp(at.place) * boost::math::gamma_p_inv(shape, 0.5, Quiet{}) / shape;
}

struct Population::Nodes {
    std::vector<double> log_weight, weight, d, right, wrong;
    double all{0.0};   // sum of the weights
};

Population::Population(const Link& link, TasterLaw law, std::span<const AlikeCounts> counts)
    : m_link(link), m_law(law), m_counts(counts), m_curve(std::make_unique<const FastCurve>(link)) {
    promise(!counts.empty() && (link.is_signed || law != TasterLaw::normal));
    for (const AlikeCounts& count : counts) {
        m_tasters += static_cast<double>(count.tasters);
        m_most = std::max(m_most, count.of);
    }
    // n Pc'^2 / (Pc (1 - Pc)) is the information of n answers on d; on log d it is d^2 times as much.
    for (double d = law == TasterLaw::normal ? -8.0 : 0.25; d <= 12.0; d += 0.25) {
        const auto chances = m_curve->at(d);
        const double variance = chances.right * chances.wrong;
        if (!(variance > 1e-300)) continue;
        const double scale = law == TasterLaw::normal ? 1.0 : d * d;
        m_curvature = std::max(m_curvature, static_cast<double>(m_most) * scale * link.slope(d) * link.slope(d) / variance);
    }
}

Population::~Population() = default;

Population::Nodes Population::nodes(const Place& at) const {
    promise(0.0 <= at.spread && std::isfinite(at.place));
    const double s = at.spread;
    double low = edge(m_law, s, -1.0);
    const double high = edge(m_law, s, 1.0);
    double h = 0.8 / std::sqrt(1.0 + s * s * m_curvature);
    bool has_tail = false;   // the weights go on geometrically to the left of the first node
    if (m_law != TasterLaw::normal && s > 0.0) {
        h = std::min(h, 0.2 / s);   // curves fall like exp(-d^2), which in log d is tame to pi/4 only
        const double nearest = (std::log(k_nearest) - at.place) / s;
        has_tail = m_law == TasterLaw::gamma && nearest > low;
        if (has_tail) low = std::min(nearest, high - h);
    }
    const auto count = std::min(k_most_nodes, static_cast<std::size_t>(std::ceil((high - low) / h)) + 1);
    h = (high - low) / static_cast<double>(count - 1);
    Nodes nodes;
    for (auto* column : {&nodes.log_weight, &nodes.weight, &nodes.d, &nodes.right, &nodes.wrong}) column->resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        const double y = low + h * static_cast<double>(i);
        const double d = d_at(m_law, at, y);
        const auto chances = m_curve->at(d);
        nodes.log_weight[i] = log_weight(m_law, y, s);
        if (i == 0 && has_tail) nodes.log_weight[i] -= std::log(-std::expm1(-h / s));
        nodes.weight[i] = std::exp(nodes.log_weight[i]);
        nodes.d[i] = d;
        nodes.right[i] = chances.right;
        nodes.wrong[i] = chances.wrong;
        nodes.all += nodes.weight[i];
    }
    return nodes;
}

// Each group's integral as a sum over the nodes of weight Pc^k (1 - Pc)^m: powers by repeated products while they stay within doubles,
// by logarithms for a group that does not.
class Population::Sums {
public:
    Sums(const Nodes& nodes, std::int64_t most) : m_nodes(nodes), m_size(nodes.d.size()) {
        if (most > k_most_power) return;
        m_right = powers(nodes.right, most, nodes.weight);
        m_wrong = powers(nodes.wrong, most, std::vector<double>(m_size, 1.0));
    }
    [[nodiscard]] double log_sum(const AlikeCounts& count) const {
        if (!m_right.empty()) {
            const double* right = m_right.data() + static_cast<std::size_t>(count.correct) * m_size;
            const double* wrong = m_wrong.data() + static_cast<std::size_t>(count.of - count.correct) * m_size;
            double sum = 0.0;
            for (std::size_t i = 0; i < m_size; ++i) sum += right[i] * wrong[i];
            if (sum > 1e-200) return std::log(sum);
        }
        double largest = -std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < m_size; ++i) largest = std::max(largest, log_term(m_nodes, count, i));
        double sum = 0.0;
        for (std::size_t i = 0; i < m_size; ++i) sum += std::exp(log_term(m_nodes, count, i) - largest);
        return largest + std::log(sum);
    }
    static double log_term(const Nodes& nodes, const AlikeCounts& count, std::size_t i) {
        return nodes.log_weight[i] + static_cast<double>(count.correct) * log_chance(nodes.right[i], nodes.d[i]) +
               static_cast<double>(count.of - count.correct) * log_chance(nodes.wrong[i], nodes.d[i]);
    }

private:
    static constexpr std::int64_t k_most_power = 64;
    static std::vector<double> powers(const std::vector<double>& base, std::int64_t most, const std::vector<double>& first) {
        std::vector<double> table(first);
        table.resize(base.size() * (static_cast<std::size_t>(most) + 1));
        for (std::size_t i = base.size(); i < table.size(); ++i) table[i] = table[i - base.size()] * base[i % base.size()];
        return table;
    }
    const Nodes& m_nodes;
    std::size_t m_size;
    std::vector<double> m_right, m_wrong;
};

double Population::log_likelihood(const Place& place) const {
    const Nodes nodes = this->nodes(place);
    const Sums sums(nodes, m_most);
    double sum = 0.0;
    for (const AlikeCounts& count : m_counts) sum += static_cast<double>(count.tasters) * sums.log_sum(count);
    return sum - m_tasters * std::log(nodes.all);
}

double Population::d_prime(const Place& place) const {
    const Nodes nodes = this->nodes(place);
    double gain = 0.0, shortfall = 0.0;
    for (std::size_t i = 0; i < nodes.d.size(); ++i) {
        gain += nodes.weight[i] * (nodes.right[i] - m_link.chance);
        shortfall += nodes.weight[i] * nodes.wrong[i];
    }
    const bool nearer_chance = gain < (1.0 - m_link.chance) / 2.0 * nodes.all;
    const auto d = nearer_chance ? d_from_gain(m_link, gain / nodes.all) : d_from_shortfall(m_link, shortfall / nodes.all);
    return d.value_or(gain < 0.0 ? -std::numeric_limits<double>::infinity() : std::numeric_limits<double>::infinity());
}

Population::Taster Population::taster(const Place& place, const AlikeCounts& count, double above) const {
    const Nodes nodes = this->nodes(place);
    double largest = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < nodes.d.size(); ++i) largest = std::max(largest, Sums::log_term(nodes, count, i));
    double sum = 0.0;
    Taster taster;
    for (std::size_t i = 0; i < nodes.d.size(); ++i) {
        const double weight = std::exp(Sums::log_term(nodes, count, i) - largest);
        sum += weight;
        taster.d_prime += weight * nodes.d[i];
        if (nodes.d[i] > above) taster.above += weight;
    }
    return {taster.d_prime / sum, taster.above / sum};
}

}   // namespace oddplate::stats
