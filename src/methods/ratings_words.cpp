// What was weighed, in sentences: who leads, how far, what these people could have seen, what the figures can't say.

#include <algorithm>
#include <numeric>

#include "oddplate/stats/binomial.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

using Args = std::map<std::string, core::Argument>;

/// The lead of one sample over another, with its interval.
stats::Interval lead_of(const stats::RatingModel& model, std::size_t best, std::size_t other) {
    for (const stats::SamplePair& pair : model.pairs) {
        if (static_cast<std::size_t>(pair.a) == best && static_cast<std::size_t>(pair.b) == other) return pair.limits;
        if (static_cast<std::size_t>(pair.b) == best && static_cast<std::size_t>(pair.a) == other) return {-pair.limits.upper, -pair.limits.lower};
    }
    return {};
}

/// Means that are not shown to differ, and people who stick to tastes of their own over one of them: that is found, not open.
bool is_split_over_one(const Question& question, const Weighed& weighed) {
    return weighed.verdict == leads::k_none && !stats::significant(weighed.model->test->p_value, question.alpha) && weighed.split && weighed.split->is_shown(question.alpha) && !weighed.split->on.empty();
}

core::Sentence lead_sentence(const Question& question, const Scoring& scoring, const Weighed& weighed) {
    const stats::RatingModel& model = *weighed.model;
    const std::vector<std::size_t> order = by_mean(model);
    std::vector<std::size_t> front, behind;
    for (const std::size_t s : order)
        if (!scoring.ran_out(s)) (weighed.leads[s] ? front : behind).push_back(s);
    const std::size_t best = front.empty() ? order.front() : front.front();
    const std::vector<std::size_t>& against = weighed.verdict == leads::k_some ? behind : order;   // the nearest of them with a lower mean is what it is held against
    const auto lower = [&](std::size_t s) { return s != best && model.samples[s].mean <= model.samples[best].mean && !scoring.ran_out(s); };
    const auto nearest = std::find_if(against.begin(), against.end(), lower);
    const std::size_t next = nearest != against.end() ? *nearest : order[1];
    const stats::Interval lead = lead_of(model, best, next);
    Args args{{"best", scoring.samples[best]},
              {"mean", model.samples[best].mean},
              {"next", scoring.samples[next]},
              {"next_mean", model.samples[next].mean},
              {"lo", lead.lower},
              {"hi", lead.upper},
              {"front", names_of(scoring, front)},
              {"behind", names_of(scoring, behind)},
              {"many", static_cast<std::int64_t>(front.size())},
              {"samples", static_cast<std::int64_t>(order.size())},
              {"last", scoring.samples[order.back()]},
              {"last_mean", model.samples[order.back()].mean},
              {"alpha", question.alpha}};
    if (weighed.verdict == leads::k_none && !scoring.withdrawn.empty()) {   // what ran out may well be shown to be lower, or higher: it is no choice any more
        std::size_t last = best;
        for (const std::size_t s : order)
            if (!scoring.ran_out(s)) last = s;
        args.insert_or_assign("samples", static_cast<std::int64_t>(scoring.lasted()));
        args.insert_or_assign("last", scoring.samples[last]);
        args.insert_or_assign("last_mean", model.samples[last].mean);
        return {scoring.lasted() < 2 ? "ratings.one_left" : scoring.lasted() == 2 ? "ratings.no-clear-order.two" : "ratings.no-clear-order.lasted", std::move(args)};
    }
    const bool two = order.size() == 2;
    if (is_split_over_one(question, weighed)) {
        args.emplace("on", weighed.split->on);
        args.emplace("own", weighed.split->tastes.p->p);
        return {"ratings.split.on", std::move(args)};
    }
    return {"ratings." + std::string(weighed.verdict) + (two ? ".two" : ""), std::move(args)};
}

void say_limits(std::vector<core::Sentence>& words, const Weighed& weighed) {
    for (const stats::RatingNote note : weighed.model->notes)
        if (note != stats::RatingNote::no_variance_limits && note != stats::RatingNote::one_piece_a_sample && note != stats::RatingNote::one_sitting_a_sample)
            words.push_back({"ratings.note." + std::string(to_text(note)), {}});
    for (const stats::ScatterPart& part : weighed.model->scatter)
        if (part.boundary) words.push_back({"ratings.singular." + std::string(to_text(part.what)), {}});
}

/// The ordered words say the same, or a warning that they don't: by their p, or where they have none by the order in which they put the samples.
void say_ordered(std::vector<core::Sentence>& words, const Question& question, const Scoring& scoring, const Weighed& weighed) {
    if (!weighed.ordered || !weighed.model->test) return;
    if (weighed.ordered->test) {
        const double p = weighed.ordered->test->bootstrap.p;
        const bool agrees = (p <= question.alpha) == (weighed.model->test->p_value <= question.alpha);
        words.push_back({agrees ? "ratings.ordered.agrees" : "ratings.ordered.differs", {{"p", p}}});
        return;
    }
    const std::vector<std::size_t> by_means = by_mean(*weighed.model);
    std::vector<std::size_t> by_odds = by_means;
    std::stable_sort(by_odds.begin(), by_odds.end(), [&](std::size_t a, std::size_t b) { return weighed.ordered->log_odds[a] > weighed.ordered->log_odds[b]; });
    words.push_back({by_odds == by_means ? "ratings.ordered.same_order" : "ratings.ordered.other_order", {{"order", names_of(scoring, by_odds)}, {"left", leads::names_of(weighed.ordered->left_out)}}});
}

}   // namespace

void say_against(std::vector<core::Sentence>& words, const Question& question, const Scoring& scoring, const Weighed& weighed) {
    for (const stats::SamplePair& pair : weighed.model->against) {
        if (scoring.ran_out(static_cast<std::size_t>(pair.a)) || scoring.ran_out(static_cast<std::size_t>(pair.b))) continue;   // no choice any more; it stands in the tables
        const char* which = !stats::significant(pair.p_adjusted, question.alpha) ? "ratings.against.open" : pair.test.estimate > 0 ? "ratings.against.above" : "ratings.against.below";
        words.push_back({which,
                         {{"name", scoring.samples[static_cast<std::size_t>(pair.a)]},
                          {"control", scoring.samples[static_cast<std::size_t>(pair.b)]},
                          {"difference", pair.test.estimate},
                          {"lo", pair.limits.lower},
                          {"hi", pair.limits.upper},
                          {"p", pair.p_adjusted}}});
    }
}

std::vector<std::size_t> by_mean(const stats::RatingModel& model) {
    std::vector<std::size_t> order(model.samples.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return model.samples[a].mean > model.samples[b].mean; });
    return order;
}

core::Argument names_of(const Scoring& scoring, std::span<const std::size_t> samples) {
    std::vector<std::string> names;
    for (const std::size_t s : samples) names.push_back(scoring.samples[s]);
    return leads::names_of(names);
}

std::vector<core::Sentence> words_of(const Question& question, const Scoring& scoring, const Weighed& weighed) {
    std::vector<core::Sentence> words;
    if (scoring.ratings.empty()) {
        words.push_back({"right.no_answers", {}});
        return words;
    }
    if (!weighed.model) {
        words.push_back({"ratings.nothing", {{"why", weighed.why}}});
        return words;
    }
    if (!weighed.model->test) {
        words.push_back({weighed.why == "ratings.why.one_piece_a_sample" ? "ratings.no_test.piece" : "ratings.no_test.sitting", {}});
        if (!weighed.pieces_in_front.empty() && scoring.lasted() > 1) {
            const bool all = weighed.pieces_in_front.size() == scoring.lasted();
            words.push_back({all ? "ratings.these_pieces.alike" : "ratings.these_pieces", {{"front", names_of(scoring, weighed.pieces_in_front)}, {"many", static_cast<std::int64_t>(weighed.pieces_in_front.size())}}});
        }
        say_limits(words, weighed);
        return words;
    }
    words.push_back(lead_sentence(question, scoring, weighed));
    std::vector<std::size_t> gone;   // scored before they ran out, so among those that the test compares
    for (std::size_t s = 0; s < scoring.samples.size(); ++s)
        if (scoring.ran_out(s)) gone.push_back(s);
    words.push_back({gone.empty() ? "ratings.alike" : "ratings.alike.ran_out", {{"p", weighed.model->test->p_value}, {"gone", names_of(scoring, gone)}}});
    if (weighed.could_show) words.push_back({"ratings.could_show", {{"d", *weighed.could_show}, {"power", k_could_show_power}}});
    if (weighed.verdict == leads::k_some) words.push_back({"ratings.choose", {}});
    say_against(words, question, scoring, weighed);
    // Without repeats the note on them says already that a split house can't be seen.
    const auto& notes = weighed.model->notes;
    const bool noted = std::find(notes.begin(), notes.end(), stats::RatingNote::no_repeats) != notes.end();
    if (weighed.split && (weighed.split->tastes.p || !noted)) leads::say_split(words, question.alpha, *weighed.split);
    if (words.front().id == "ratings.split.on") std::erase_if(words, [](const core::Sentence& one) { return one.id == "leads.split.shown"; });   // it is the headline
    if (question.carry_over && weighed.model->carry_over)
        words.push_back({stats::significant(weighed.model->carry_over->p_value, question.alpha) ? "ratings.carried" : "ratings.not_carried", {{"p", weighed.model->carry_over->p_value}}});
    say_ordered(words, question, scoring, weighed);
    if (const auto unequal = unequal_scatter(scoring, *weighed.model)) words.push_back({"ratings.unequal_scatter", {{"name", scoring.samples[unequal->widest]}, {"other", scoring.samples[unequal->narrowest]}}});
    say_limits(words, weighed);
    if (scoring.left_out > 0) words.push_back({"ratings.left_out", {{"n", scoring.left_out}}});
    return words;
}

}   // namespace oddplate::methods::ratings
