// A panel already fixed that says one word about one impression: the least d' that it finds, or that it can show the gap to lie below.

#include <string>

#include "difference.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/stats/link.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

constexpr double k_largest = 8;   // a d' beyond which every answer is right
constexpr double k_step = 0.25;

struct Fixed {
    std::int64_t answers{0};
    double power{0.8}, truth{0};
    Question question;
    stats::SignalShare share;
};

/// Chance of the aim at a true d (difference), or with the line there (similarity; 0 where the truth lies beyond it).
double power_at(const Family& family, const Fixed& fixed, double d) {
    if (!fixed.question.similarity) return stats::signal_power(asked_of(family, fixed.question, d, false, fixed.share, fixed.question.alpha), fixed.answers);
    if (!(d > fixed.truth)) return 0;
    Question question = fixed.question;
    question.margin = d;
    return stats::signal_power(asked_of(family, question, fixed.truth, true, fixed.share, question.alpha), fixed.answers);
}

std::optional<double> least_d(const Family& family, const Fixed& fixed) {
    // Climbed, not halved from the ends: with pairs people who draw their line for a very large gap say the same to everything, and power falls again.
    double low = 0, high = k_step;
    while (!(power_at(family, fixed, high) >= fixed.power)) {
        low = high;
        if ((high += k_step) > k_largest) return std::nullopt;
    }
    for (int step = 0; step < 16; ++step) {   // to 4e-6
        const double middle = (low + high) / 2;
        (power_at(family, fixed, middle) >= fixed.power ? high : low) = middle;
    }
    return high;
}

}   // namespace

core::Result<Findings> reach(const Method& method, const Family& family, const Settings& settings) {
    Fixed fixed{.answers = *whole(settings, "tasters"),
                .power = number(settings, "power").value_or(0.8),
                .truth = number(settings, "true_d").value_or(0),
                .question = question_of(settings, number(settings, "alpha").value_or(0.05)),
                .share = share_of(family, settings)};
    const bool similarity = fixed.question.similarity;
    const std::int64_t most = similarity ? 400 : 4000;   // a second's work
    if (fixed.answers > most)
        return core::found("--tasters", core::with_commas(fixed.answers), core::with_commas(most) + " answers at most", "larger panels are counted by --detect-d");
    const auto right = [&](double d) { return stats::proportion_correct(*method.link, d); };
    const auto least = least_d(family, fixed);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("aim", std::string(similarity ? "similarity" : "difference"));
    findings.add("alpha", fixed.question.alpha);
    findings.add("power", fixed.power);
    findings.add("tasters", fixed.answers);
    findings.add("signals", fixed.share.of_signals(fixed.answers));
    findings.add("noises", fixed.answers - fixed.share.of_signals(fixed.answers));
    if (least) {
        findings.add("visible.d_prime", *least);
        findings.add("visible.proportion_correct", right(*least));
        findings.words.push_back({!similarity ? "signals.ahead.visible" : fixed.truth > 0 ? "signals.reach.similarity_some" : "signals.reach.similarity", {{"n", fixed.answers}, {"share", right(*least)}, {"power", fixed.power}}});
    } else {
        findings.add("visible", Value{}, "no difference is found so surely by so few");
        findings.words.push_back({similarity ? "signals.reach.no_line" : "signals.ahead.nothing_visible", {{"n", fixed.answers}, {"power", fixed.power}}});
    }
    if (fixed.question.detect) {
        findings.add("detect.d_prime", *fixed.question.detect);
        findings.add("detect.proportion_correct", right(*fixed.question.detect));
        findings.add("power_actual", power_at(family, fixed, *fixed.question.detect));
    }
    List list{.key = "power_curve", .rows = {}};
    for (int i = 0; i <= 16; ++i) {
        const double d = i / 4.0;
        list.rows.push_back({{"d_prime", d}, {"proportion_correct", right(d)}, {"power", power_at(family, fixed, d)}});
    }
    findings.lists.push_back(std::move(list));
    return findings;
}

}   // namespace oddplate::methods::signals
