// The numbers again by somebody else's program: base R reads the answers and is told nothing else but chance, alpha and margin.

#include <algorithm>

#include "oddplate/core/json.hpp"
#include "oddplate/methods/method.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr const char* k_head = R"R(# Computes the counts of this tasting again, and those tests and intervals that base R has, from answers.csv alone.   Rscript rerun.R
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
constexpr const char* k_ratings = R"R(# F of the recipes, people as blocks, each person's scores of a recipe averaged. The report's own F knows the place in the row, pieces and sittings too, and
# compares people as well where they had different recipes: without those the two are the same.
for (place in c(unique(long$spot), "all")) {
  here <- if (place == "all") long else long[long$spot == place, ]
  cells <- aggregate(value ~ taster + sample, here, mean)
  if (length(unique(cells$sample)) < 2) next
  off <- function(v) v - ave(v, cells$taster)
  fit <- lm(off(cells$value) ~ apply(model.matrix(~ sample, cells)[, -1, drop = FALSE], 2, off) - 1)
  left <- nrow(cells) - length(unique(cells$taster)) - fit$rank; rest <- sum(resid(fit)^2)
  if (left < 1 || fit$rank < 1 || rest <= 0) next
  f <- (sum(off(cells$value)^2) - rest) / fit$rank / (rest / left)
  show("%s: F = %.6g on %d and %d, p = %.6g", place, f, fit$rank, left, pf(f, fit$rank, left, lower.tail = FALSE))
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
constexpr const char* k_pairs = R"R(# trays of two: Bradley & Terry's worths with what being served first adds; limits in the report go by people, these take every choice as one
first <- long[!duplicated(long$tray), ]; second <- long[duplicated(long$tray), ]
chosen <- first$value < second$value; told <- first$value != second$value; names <- sort(unique(long$sample))
x <- sapply(names[-1], function(name) (first$sample == name) - (second$sample == name))
both <- any(paste(first$sample, second$sample) %in% paste(second$sample, first$sample))
fit <- if (both) glm(chosen ~ x, family = binomial, subset = told) else glm(chosen ~ x - 1, family = binomial, subset = told)
show("%s", paste(capture.output(print(summary(fit)$coefficients, digits = 4)), collapse = "\n"))
)R";
constexpr const char* k_beside = R"R(# each recipe beside the usual one: people by what most of their trays say of the two, and how often so many would be on one side by luck (a ladder asks for the usual one's side alone)
for (name in setdiff(sort(unique(long$sample)), usual)) {
  both <- merge(long[long$sample == usual, c("tray", "taster", "value")], long[long$sample == name, c("tray", "value")], by = "tray")
  net <- tapply(sign(both$value.y - both$value.x), both$taster, sum)
  if (any(net != 0)) show("%s: %d people for the usual one, %d for it; one-sided p = %.6g and two-sided p = %.6g", name, sum(net > 0), sum(net < 0),
                         binom.test(sum(net > 0), sum(net != 0), alternative = "greater")$p.value, binom.test(sum(net > 0), sum(net != 0))$p.value)
}
)R";
constexpr const char* k_levels = R"R(# too little (-1), just right (0), too much (1): answers of each sort; each person's net, turned over by a coin, of the sides and of just right or not on trays that held both
flip <- function(net) {
  law <- c("0" = 1)
  for (x in net[net != 0]) law <- tapply(c(law, law) / 2, c(as.numeric(names(law)) - x, as.numeric(names(law)) + x), sum)
  sum(law[abs(as.numeric(names(law))) >= abs(sum(net))])
}
levels <- strsplit(long$said, "/")
for (attribute in seq_along(levels[[1]])) {
  long$level <- as.numeric(sapply(levels, `[`, attribute)); names <- sort(unique(long$sample))
  for (name in names) {
    here <- long[long$sample == name, ]
    show("attribute %d, %s: too little %d, just right %d, too much %d; just right in %.6g of 100; sides p = %.6g", attribute, name, sum(here$level < 0), sum(here$level == 0), sum(here$level > 0),
         100 * mean(tapply(here$level == 0, here$taster, mean)), flip(tapply(sign(here$level), here$taster, sum)))
  }
  for (a in names) for (b in names[names > a]) {
    both <- merge(long[long$sample == a, c("tray", "taster", "level")], long[long$sample == b, c("tray", "level")], by = "tray")
    net <- tapply((both$level.y == 0) - (both$level.x == 0), both$taster, sum)
    if (any(net != 0)) show("  %s against %s: just right more often in the second for %d, in the first for %d; p = %.6g", a, b, sum(net > 0), sum(net < 0), flip(net))
  }
}
)R";
constexpr const char* k_ticks = R"R(ticks <- strsplit(long$said, "/")
for (word in seq_along(ticks[[1]])) show("word %d: %s", word, general(as.numeric(sapply(ticks, `[`, word))))
)R";

/// By what the findings hold, so that a method which gives the same keys gets the same script.
std::string of_several(const methods::Findings& findings, const methods::Plan& plan) {
    const auto has_list = [&](std::string_view key) { return std::any_of(findings.lists.begin(), findings.lists.end(), [&](const methods::List& list) { return list.key == key; }); };
    if (has_list("words_ticked")) return std::string(k_general) + k_ticks;
    if (has_list("distribution")) return k_levels;
    if (has_list("scatter")) return k_ratings;
    if (findings.find("friedman.statistic") == nullptr) return {};
    std::string out = std::string(k_general) + k_ranks;
    if (has_list("against_usual")) return out + "usual <- " + core::to_text(core::Json(plan.versions.front().id)) + "\n" + k_beside;
    return has_list("scale_values") ? out + k_pairs : out;
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
        else if (round.scale == methods::Scale::each) out += std::string(k_each) + of_several(round.findings.pooled, files.page.state.plan);
        else if (method.right_of_n && method.link != nullptr) out += right_answers(round.alpha, round.findings.pooled, method);
        else out += k_words;
    }
    return out;
}

}   // namespace oddplate::report
