#pragma once
// The papers of an evening as PDF: what the room, the kitchen and the slip's bearer need. Black only; equal input gives equal bytes.

#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::tasting {
struct State;
}

namespace oddplate::report {

enum class PaperSize { a4, letter };

/// What every page of the room may carry. Nothing here tells a version.
struct RoomPapers {
    const methods::Plan& plan;
    const draw::Room& room;
    std::string name;            ///< the tasting's two words, "BLUE GATE"
    std::string date;            ///< "14 June" or empty
    std::string seal;            ///< all 64 digits of the fingerprint
    std::string log_head;        ///< 64 digits: the log's head as of the draw
    std::string tasting_id;
    PaperSize size{PaperSize::a4};
    std::vector<std::string> links{};   ///< where a phone answers, one a ballot; without them a slip's QR code names its set
    int recipes_off{0};          ///< how many ran out: the room may know that, but not which
};

/// A recipe that ran out and is served no more.
struct RecipeOff {
    int version{0};
    std::string why;
};
/// Those that are off tonight; of an evening's part, on that evening.
[[nodiscard]] std::vector<RecipeOff> recipes_off(const tasting::State& state);

/// What the kitchen's pages carry beside.
struct KitchenPapers {
    RoomPapers room;
    const draw::Key& key;
    bool blind_tubs{false};      ///< letters instead of USUAL / NEW; then nothing on the pages tells a version that is still served
    std::vector<RecipeOff> off{};
};

/// Label sheet geometry in mm; the default is 3 x 8 labels of 70 x 36 on A4 (common practice).
struct LabelSheet {
    int columns{3}, rows{8};
    double width{70}, height{36}, left{0}, top{4.5}, gap_x{0}, gap_y{0};
    int start{1};                ///< first free label of the first sheet, from 1
    double offset_x{0}, offset_y{0};   ///< the printer's own shift, read off the calibration page
};

// Each answers the PDF's bytes. Faults: no usable font (io).
[[nodiscard]] core::Result<std::string> ballots_pdf(const RoomPapers& papers, const core::Words& words);
[[nodiscard]] core::Result<std::string> mats_pdf(const RoomPapers& papers, const core::Words& words);
[[nodiscard]] core::Result<std::string> runner_pdf(const RoomPapers& papers, const core::Words& words);
[[nodiscard]] core::Result<std::string> kitchen_pdf(const KitchenPapers& papers, const core::Words& words);
[[nodiscard]] core::Result<std::string> labels_pdf(const KitchenPapers& papers, const LabelSheet& sheet, const core::Words& words);
/// The bearer's slip: which letter goes on which tub. Page 1 a blank cover, the words on the pages behind it.
[[nodiscard]] core::Result<std::string> slip_pdf(const KitchenPapers& papers, const core::Words& words);
/// The seal's five words for a closed envelope, to be opened only if they are lost. Page 1 a blank cover, the words large on page 2.
[[nodiscard]] core::Result<std::string> envelope_pdf(const RoomPapers& papers, const std::vector<std::string>& seal_words, const core::Words& words);

}   // namespace oddplate::report
