// What hits and false alarms say in plain words. Texts stand in the catalogue under "signals.".

#include "oddplate/stats/link.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

using Sentences = std::vector<core::Sentence>;
using Arguments = std::map<std::string, core::Argument>;

Arguments arguments(const Method& method, const Question& question, const Weighed& weighed) {
    Arguments args{{"h", weighed.counts.hits},   {"s", weighed.counts.signals}, {"f", weighed.counts.false_alarms},
                   {"n", weighed.counts.noises}, {"p", weighed.p_different},    {"alpha", question.alpha}};
    if (question.margin) args.emplace("line", stats::proportion_correct(*method.link, *question.margin));
    if (weighed.p_similar) args.emplace("q", *weighed.p_similar);
    return args;
}

void say_why_not_few(Sentences& words, const Question& question, const Weighed& weighed, const Arguments& args) {
    if (weighed.withheld) {
        words.push_back({difference::phrase_of(weighed.why_withheld), {}});
    } else if (!question.margin) {
        words.push_back({"signals.no_line", {}});
    } else {
        words.push_back({weighed.only_by_luck ? "signals.too_few" : "signals.maybe_more", args});
    }
}

/// The gap as an unbiased person's right answers, and a lean where there is one.
void say_fit(Sentences& words, const Method& method, const Family& family, const Weighed& weighed) {
    if (!weighed.fit) return;
    const auto right = [&](double d) { return stats::proportion_correct(*method.link, d); };
    const stats::SignalEstimate& d = weighed.fit->d;
    if (d.lower && d.upper) {
        words.push_back({"signals.between", {{"lo", right(*d.lower)}, {"hi", right(*d.upper)}}});
    } else if (d.lower && *d.lower > 0) {
        words.push_back({"signals.at_least", {{"lo", right(*d.lower)}}});
    } else if (d.upper) {
        words.push_back({"signals.at_most", {{"hi", right(*d.upper)}}});
    } else {
        const stats::SignalCounts& all = weighed.counts;
        const std::int64_t said = all.hits + all.false_alarms, answers = all.signals + all.noises;
        words.push_back({said == 0 || said == answers ? "signals.one_word" : "signals.no_bounds", {}});
    }
    if (!weighed.different && d.lower && *d.lower > 0) words.push_back({"signals.test_decides", {}});
    const stats::SignalEstimate& lean = weighed.fit->criterion;
    if (family.rule != stats::SignalRule::yes_no) return;
    if (lean.lower && *lean.lower > 0) words.push_back({"signals.yes.too_seldom", {}});
    if (lean.upper && *lean.upper < 0) words.push_back({"signals.yes.too_often", {}});
}

}   // namespace

std::vector<core::Sentence> words_of(const Method& method, const Family& family, const Question& question,
                                     const Weighed& weighed) {
    Sentences words;
    const Arguments args = arguments(method, question, weighed);
    const std::string own(family.words);
    if (!weighed.counts.both()) {
        words.push_back({weighed.counts.signals + weighed.counts.noises == 0 ? "right.no_answers" : own + ".one_kind", args});
        return words;
    }
    if (weighed.below_chance) {
        words.push_back({own + ".below_chance", args});
        return words;
    }
    words.push_back({own + "." + std::string(to_text(weighed.verdict())), args});
    if (weighed.similar && family.rule == stats::SignalRule::yes_no) words.push_back({"signals.yes.one_way", {}});
    if (!weighed.similar && !weighed.different) say_why_not_few(words, question, weighed, args);
    say_fit(words, method, family, weighed);
    return words;
}

}   // namespace oddplate::methods::signals
