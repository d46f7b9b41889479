// Differences from the blind control weighed, told as keys and words, and read from a plain table.

#include <charconv>
#include <cmath>
#include <set>

#include "oddplate/core/text.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "scores.hpp"

namespace oddplate::methods::scores {
namespace {

constexpr std::uint64_t k_seed = 5;   // of the flips drawn where there are too many to count
constexpr std::string_view k_nobody = "nobody scored both portions";
constexpr std::string_view k_no_line = "no line: same_below_score was not given";

std::string why_none(stats::NoInterval why) {
    if (why == stats::NoInterval::too_few_tasters) return "too few tasters";
    return "every taster has the same difference, so the spread between tasters is not seen";
}

std::vector<double> turned(std::span<const double> numbers) {
    std::vector<double> negative;
    for (const double x : numbers) negative.push_back(-x);
    return negative;
}

double spread_of(const Weighed& weighed) {
    double sum = 0;
    for (const double x : weighed.differences) sum += (x - weighed.mean) * (x - weighed.mean);
    return std::sqrt(sum / static_cast<double>(weighed.differences.size() - 1));
}

std::optional<double> read_score(const std::string& text) {
    std::string plain = text;
    for (char& c : plain)
        if (c == ',') c = '.';
    double value = 0;
    const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (error != std::errc{} || end != plain.data() + plain.size() || !std::isfinite(value) || std::abs(value) > 1000)
        return std::nullopt;
    return value;
}

}   // namespace

Weighed weigh(const Question& question, const Tasters& tasters) {
    Weighed weighed{.differences = {}, .p_similar = {}, .interval = {}, .no_interval = std::string(k_nobody)};
    for (const auto& [name, taster] : tasters) {
        const auto sets = static_cast<double>(taster.sets);
        weighed.differences.push_back(taster.difference());
        weighed.answers += taster.sets;
        weighed.test += taster.test / sets;
        weighed.control += taster.control / sets;
    }
    if (tasters.empty()) return weighed;
    const auto n = static_cast<double>(tasters.size());
    weighed.test /= n, weighed.control /= n, weighed.mean = weighed.test - weighed.control;
    const stats::PValue p = stats::score_flip_p(weighed.differences, 0, k_seed);
    weighed.p_different = p.p;
    weighed.drawn = p.found != stats::Found::exact;
    weighed.different = stats::significant(p.p, question.alpha);
    const std::vector<double> below = turned(weighed.differences);
    weighed.below_chance = !weighed.different && stats::significant(stats::score_flip_p(below, 0, k_seed).p, question.alpha);
    if (question.margin) {
        weighed.p_similar = stats::score_flip_p(below, -*question.margin, k_seed).p;
        weighed.similar = stats::significant(*weighed.p_similar, question.alpha) && !weighed.below_chance;
    }
    if (!question.confidence) {
        weighed.no_interval = "alpha of a half or more leaves no confidence: give one";
        return weighed;
    }
    const stats::ShareInterval found = stats::score_flip_interval(weighed.differences, *question.confidence, k_seed);
    weighed.interval = found.interval;
    if (!found.interval) weighed.no_interval = why_none(found.why);
    return weighed;
}

Findings findings_of(const Method& method, const Question& question, const Weighed& weighed) {
    Findings findings;
    const bool any = !weighed.differences.empty();
    const auto where_any = [&](double value) { return any ? std::optional(value) : std::nullopt; };
    const std::string nobody(k_nobody);
    findings.verdict = right_answer::to_text(right_answer::combine(weighed.different, weighed.similar));
    findings.add("method", std::string(method.id));
    const std::string no_similar(any ? k_no_line : k_nobody);
    findings.add_optional("p_value", question.similarity ? weighed.p_similar : where_any(weighed.p_different),
                          question.similarity ? no_similar : nobody);
    if (question.similarity) findings.add_optional("p_value_different", where_any(weighed.p_different), nobody);
    findings.add_optional("p_value_similar", weighed.p_similar, no_similar);
    findings.add("test", std::string(weighed.drawn ? "sign flips of tasters' differences, drawn"
                                                   : "sign flips of tasters' differences, exact"));
    findings.add_optional("mean_difference.estimate", where_any(weighed.mean), nobody);
    findings.add_optional("mean_difference.lower", weighed.interval ? std::optional(weighed.interval->lower) : std::nullopt,
                          weighed.no_interval);
    findings.add_optional("mean_difference.upper", weighed.interval ? std::optional(weighed.interval->upper) : std::nullopt,
                          weighed.no_interval);
    findings.add_optional("mean_difference.confidence", question.confidence, weighed.no_interval);
    findings.add("mean_difference.interval", std::string("inverts the sign flips"));
    findings.add_optional("spread", weighed.differences.size() > 1 ? std::optional(spread_of(weighed)) : std::nullopt,
                          any ? "one taster has no spread" : nobody);
    findings.add_optional("score.test", where_any(weighed.test), nobody);
    findings.add_optional("score.control", where_any(weighed.control), nobody);
    findings.add_optional("same_below_score", question.margin, std::string(k_no_line));
    findings.add("d_prime", Value{}, "scores are points of a scale, not right answers");
    findings.add("discriminators", Value{}, "scores are points of a scale, not right answers");
    findings.add("tasters", static_cast<std::int64_t>(weighed.differences.size()));
    findings.add("answers", weighed.answers);
    if (weighed.below_chance) findings.warnings.emplace_back("below_chance");
    findings.words = words_of(question, weighed);
    return findings;
}

std::vector<core::Sentence> words_of(const Question& question, const Weighed& weighed) {
    std::vector<core::Sentence> words;
    if (weighed.differences.empty()) {
        words.push_back({"right.no_answers", {}});
        return words;
    }
    std::map<std::string, core::Argument> args{
        {"test", weighed.test},     {"control", weighed.control},
        {"mean", weighed.mean},     {"n", static_cast<std::int64_t>(weighed.differences.size())},
        {"p", weighed.p_different}, {"alpha", question.alpha}};
    if (question.margin) args.emplace("line", *question.margin);
    if (weighed.p_similar) args.emplace("q", *weighed.p_similar);
    if (weighed.below_chance) {
        words.push_back({"scores.below_chance", args});
        return words;
    }
    words.push_back(
        {"scores." + std::string(right_answer::to_text(right_answer::combine(weighed.different, weighed.similar))), args});
    if (weighed.interval) words.push_back({"scores.between", {{"lo", weighed.interval->lower}, {"hi", weighed.interval->upper}}});
    if (weighed.withheld)
        words.push_back({difference::phrase_of(weighed.why_withheld), {}});
    else if (!weighed.different && !weighed.similar)
        words.push_back({question.margin ? "scores.maybe_more" : "scores.no_line", args});
    return words;
}

core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings) {
    std::map<std::string, std::pair<Taster, Taster>>
        sums;   // scores of the control and of the test, each with its own number of sets
    std::set<std::string> others;
    core::Faults faults;
    for (const PlainTable::Row& row : table.rows) {
        const auto cell = [&](std::string_view name) {
            return core::trimmed(row.cells[static_cast<std::size_t>(table.column(name))]);
        };
        const std::string place = "line " + std::to_string(row.line), sample = core::lower_ascii(cell("sample"));
        const auto points = read_score(cell("score"));
        if (cell("taster").empty()) faults.push_back(core::found(place + " taster", "nothing", "a name or number"));
        if (sample.empty())
            faults.push_back(core::found(place + " sample", "nothing", "control (the blind one), or the other's name"));
        if (!points) faults.push_back(core::found(place + " score", core::quoted(cell("score")), "a number"));
        if (sample != "control") others.insert(sample);
        if (others.size() > 1)
            faults.push_back(core::found(place + " sample", core::quoted(sample), "control or " + core::quoted(*others.begin()),
                                         "one other in a table"));
        if (!faults.empty()) continue;
        auto& [control, test] = sums[cell("taster")];
        Taster& one = sample == "control" ? control : test;
        one.test += *points;
        ++one.sets;
    }
    if (!faults.empty()) return faults;
    Tasters tasters;
    for (const auto& [name, pair] : sums) {
        const auto& [control, test] = pair;
        if (control.sets == 0 || test.sets == 0)
            return core::found("taster " + core::quoted(name),
                               control.sets == 0 ? "no score for control" : "a score for control alone",
                               "both, so that one can be taken from the other");
        const auto mean = [](const Taster& one) { return one.test / static_cast<double>(one.sets); };
        tasters[name] = {mean(test), mean(control), 1};
    }
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    return findings_of(method, question, weigh(question, tasters));
}

}   // namespace oddplate::methods::scores
