// The numbers again by somebody else's program: base R reads the answers and is told nothing else but chance, alpha and margin.

#include <algorithm>

#include "oddplate/core/json.hpp"
#include "oddplate/methods/method.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr const char* k_head = R"R(# Computes the counts, tests and intervals of this tasting again, from answers.csv alone (base R).   Rscript rerun.R
# Where people gave several answers, the p-value of a difference holds as it stands (who can't tell guesses each time); intervals and the test that few
# enough can tell then go by people and are wider than the ones here.
all <- read.csv("answers.csv", colClasses = "character")
all$score <- as.numeric(all$score)
counted <- all[all$fate == "counted" & all$blank == "0", ]
show <- function(...) cat(sprintf(...), "\n", sep = "")
)R";

std::string right_answers(double alpha, const methods::Findings& pooled, const methods::Method& method) {
    const auto text = [](double x) { return core::shortest(x); };
    std::string out = "chance <- " + text(method.link->chance) + "; alpha <- " + text(alpha) + "\n";
    const auto margin = pooled.number("same_below.proportion_correct");
    out += "for (place in c(unique(course$spot), \"all\")) {\n"
           "  here <- if (place == \"all\") course else course[course$spot == place, ]\n"
           "  n <- nrow(here); k <- sum(here$score > 0)\n"
           "  if (n == 0) next\n"
           "  show(\"%s: %d of %d right, p = %.6g\", place, k, n, pbinom(k - 1, n, chance, lower.tail = FALSE))\n"
           "  if (alpha < 0.5) show(\"  in 100: %.2f to %.2f\", 100 * binom.test(k, n, conf.level = 1 - 2 * alpha)$conf.int[1], 100 * binom.test(k, n, conf.level = 1 - 2 * alpha)$conf.int[2])\n";
    const methods::Value* const sides = pooled.find("same_below.sides");
    const bool both = sides != nullptr && std::get<std::string>(*sides).starts_with("two-sided");
    if (margin && both)   // small enough either way: the larger of the two tails
        out += "  show(\"  so near the middle, were it as large as matters either way: p = %.6g\", pbinom(max(k, n - k), n, " + text(*margin) + "))\n";
    else if (margin)
        out += "  show(\"  so few, were it as large as matters: p = %.6g\", pbinom(k, n, " + text(*margin) + "))\n";
    return out + "}\n";
}

constexpr const char* k_votes = R"R(for (place in c(unique(course$spot), "all")) {
  here <- if (place == "all") course else course[course$spot == place, ]
  new <- sum(here$score > 0); current <- sum(here$score < 0)
  if (new + current == 0) next
  test <- binom.test(new, new + current)
  show("%s: %d for the new one, %d for the current one, %d undecided; p = %.6g", place, new, current, sum(here$score == 0), test$p.value)
}
)R";
constexpr const char* k_words = R"R(signals <- course[course$trait == "1", ]; noises <- course[course$trait != "1", ]
hits <- sum(signals$score > 0); alarms <- sum(noises$score == 0)
show("hits %d of %d, false alarms %d of %d; Fisher's p = %.6g (one answer each)", hits, nrow(signals), alarms, nrow(noises),
     fisher.test(matrix(c(hits, nrow(signals) - hits, alarms, nrow(noises) - alarms), 2), alternative = "greater")$p.value)
)R";
constexpr const char* k_scores = R"R(means <- tapply(course$score, course$taster, mean)
show("%d people, mean difference %.4f, spread %.4f", length(means), mean(means), sd(means))
)R";

constexpr const char* k_each = R"R(each <- strsplit(course$each, " ")
long <- do.call(rbind, lapply(seq_along(each), function(i) {
  parts <- strsplit(each[[i]], "=")
  data.frame(taster = course$taster[i], tray = i, spot = course$spot[i], sample = sapply(parts, `[`, 1), value = as.numeric(sub("/.*", "", sapply(parts, `[`, 2))), said = sub("^[^/]*/?", "", sapply(parts, `[`, 2)))
}))
for (place in c(unique(course$spot), "all")) {
  here <- if (place == "all") long else long[long$spot == place, ]
  sums <- tapply(here$value, here$sample, sum)
  show("%s: %s", place, paste(names(sums), sums, sep = " ", collapse = ", "))
}
)R";
constexpr const char* k_general = R"R(# Friedman's statistic in its general form, each person's trays of the same recipes added, and its approximate p
held <- tapply(long$sample, long$tray, function(x) paste(sort(x), collapse = "+"))
alike <- all(tapply(held, tapply(long$taster, long$tray, `[`, 1), function(x) length(unique(x))) == 1)
long$row <- if (alike) long$taster else long$tray
general <- function(value) {
  u <- 0; v <- 0; names <- sort(unique(long$sample))
  for (row in split(cbind(long, what = value), long$row)) {
    r <- tapply(row$what, factor(row$sample, names), sum); on <- !is.na(r); k <- sum(on)
    r <- ifelse(on, r - mean(r[on]), 0)
    u <- u + r; v <- v + sum(r^2) / (k - 1) * (diag(on + 0) - outer(on, on) / k)
  }
  e <- eigen(v, symmetric = TRUE); keep <- e$values > 1e-10 * max(e$values)
  statistic <- if (max(e$values) <= 0) 0 else sum((crossprod(e$vectors[, keep], u))^2 / e$values[keep])
  sprintf("statistic %.6g on %d, p = %.6g (approximate)", statistic, sum(keep), pchisq(statistic, sum(keep), lower.tail = FALSE))
}
)R";
constexpr const char* k_ranks = R"R(show("%s", general(long$value))
)R";
constexpr const char* k_ticks = R"R(ticks <- strsplit(long$said, "/")
for (word in seq_along(ticks[[1]])) show("word %d: %s", word, general(as.numeric(sapply(ticks, `[`, word))))
)R";

/// By what the findings hold, so that a method which gives the same keys gets the same script.
std::string of_several(const methods::Findings& findings) {
    const bool words = std::any_of(findings.lists.begin(), findings.lists.end(), [](const methods::List& list) { return list.key == "words_ticked"; });
    if (words) return std::string(k_general) + k_ticks;
    return findings.find("friedman.statistic") != nullptr ? std::string(k_general) + k_ranks : std::string();
}

}   // namespace

std::string rerun_script(const VerdictFiles& files) {
    std::string out = k_head;
    const auto& rounds = files.page.outcome.at_close.rounds;
    for (const judge::JudgedRound& round : rounds) {
        const methods::Round& asked = files.page.state.plan.rounds[static_cast<std::size_t>(round.round)];
        const std::string number = std::to_string(round.round + 1);
        out += "\ncourse <- counted[counted$course == \"" + number + "\", ]\nshow(\"course " + number + " (" + round.method + ")\")\n";
        const auto found = methods::find(round.method);
        if (!found) continue;   // the plan was checked
        const methods::Method method = methods::with_curve(**found, asked.settings);
        if (round.scale == methods::Scale::votes) out += k_votes;
        else if (round.scale == methods::Scale::values) out += k_scores;
        else if (round.scale == methods::Scale::each) out += std::string(k_each) + of_several(round.findings.pooled);
        else if (method.right_of_n && method.link != nullptr) out += right_answers(round.alpha, round.findings.pooled, method);
        else out += k_words;
    }
    return out;
}

}   // namespace oddplate::report
