#pragma once
// Answers, room and key joined: for each set that was dealt, what became of it and what it scored.

#include <memory>
#include <string>
#include <vector>

#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/method.hpp"

namespace oddplate::judge {

enum class Fate { counted, undecided, blank, void_, not_served, missing, insider, opened, late };

/// One set on a ballot that was dealt.
struct JoinedSet {
    int ballot{0}, set{0};
    int tray{0};   ///< ballot whose tray of this set was eaten
    int round{0};
    const GivenAnswer* given{nullptr};   ///< absent where nothing was entered
    Fate fate{Fate::missing};
    bool is_scored{false};   ///< `seen.scored` is there, whether it counts or not
    bool is_insider{false}, is_late{false}, is_told{false};
    methods::Observation seen;   ///< who, where, which order; scored where an answer could be
};

struct Joined {
    const draw::Key* key{nullptr};                 ///< as it really was: the case's own, or `corrected`
    std::unique_ptr<draw::Key> corrected;          ///< only where tubs were found the other way round
    std::vector<const methods::Method*> methods;   ///< by round
    std::vector<bool> dealt;                       ///< by ballot
    std::vector<JoinedSet> sets;
    int changed_tubs{0};   ///< rows whose correction changed something

    [[nodiscard]] const draw::KeySet& key_of(const JoinedSet& set) const {
        return key->ballots[static_cast<std::size_t>(set.tray)].sets[static_cast<std::size_t>(set.set)];
    }
};

/// The result points into the case, which has to outlive it.
[[nodiscard]] core::Result<Joined> join(const Case& subject);

/// The answer as it is scored: codes of one's own slip read on the tray that was eaten. The set has an answer that can be read.
[[nodiscard]] methods::Answer answer_on_tray(const Case& subject, const JoinedSet& set);

/// The key's side of one tray as scoring sees it (in a blank set: what the portions stand in for), alive as long as the vectors it is made from.
struct Tray {
    std::vector<int> versions;
    int reference{-1};
};
[[nodiscard]] Tray tray_of(const draw::KeySet& key);
/// The same into a tray that is there already: a large tasting has a hundred thousand of them.
void fill(Tray& tray, const draw::KeySet& key);

/// By version, the whole piece that its portion on the tray was cut from; -1 where none lies there.
[[nodiscard]] std::vector<std::int32_t> pieces_on(const draw::KeySet& key, std::size_t versions);

/// A nickname as it is compared.
[[nodiscard]] std::string folded_name(const std::string& name);

/// The key with the corrected rows exchanged, spot by spot; `changed` counts the rows that came out otherwise than drawn. Nothing
/// where there are none.
[[nodiscard]] std::unique_ptr<draw::Key> with_tubs_corrected(const Case& subject,
                                                             const std::vector<const methods::Method*>& methods, int& changed);

}   // namespace oddplate::judge
