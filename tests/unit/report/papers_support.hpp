#pragma once
// Papers made from a drawn plan, and what the usual PDF tools read off them.

#include <catch2/catch.hpp>

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace papers_test {

using namespace oddplate;

/// Two spots, then a vote at one of them, in waves of six. The labels are words that may stand nowhere in the room.
inline const char* const k_plan =
    R"({"title":"Less salt in the cure","versions":[{"id":"current","label":"Zanzibar cure"},{"id":"new","label":"Quito cure"}],
 "tasters":24,"spares":3,"grams":12,"salt_percent":{"current":2.4,"new":2.0},"allergens":["mustard","celery"],"start":"18:00","waves":6,
 "spots_at":{"edge":"outer 15 mm ring, with bark","centre":"core of the same slices"},
 "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4},{"method":"paired-preference","spots":["edge"],"no_preference":true}]})";

struct Evening {
    methods::Plan plan;
    draw::Drawn drawn;
    core::Words words{core::Words::english()};
    report::PaperSize size{report::PaperSize::a4};

    [[nodiscard]] report::RoomPapers room() const {
        return {
            plan,       drawn.room, "BLUE GATE", "14 June", core::to_hex(core::sha256("seal")), core::to_hex(core::sha256("log")),
            "KQWZTRMB", size};
    }
    [[nodiscard]] report::KitchenPapers kitchen(bool blind) const { return {room(), drawn.key, blind}; }
    [[nodiscard]] std::string seal() const { return core::printed_seal(room().seal); }
};

inline Evening evening_of(const std::string& json) {
    auto plan = tasting::read_plan(json, "plan.json");
    if (!plan) FAIL(plan.faults()[0].line());
    auto drawn = draw::draw(*plan, core::sha256("papers"));
    if (!drawn) FAIL(drawn.faults()[0].line());
    return {*plan, *drawn};
}

inline std::string bytes_of(const core::Result<std::string>& pdf) {
    if (!pdf) FAIL(pdf.faults()[0].line());
    return *pdf;
}

/// What a command writes to standard output.
inline std::string output_of(const std::string& command) {
    std::FILE* pipe = popen(("{ " + command + "; } 2>/dev/null").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string all;
    char part[4096];
    for (std::size_t n = 0; (n = fread(part, 1, sizeof part, pipe)) > 0;) all.append(part, n);
    pclose(pipe);
    return all;
}

/// A PDF on disk for as long as it is looked at.
class Pdf {
public:
    explicit Pdf(const std::string& bytes) {
        static int s_count = 0;
        const std::string name = "oddplate-papers-" + std::to_string(getpid()) + "-" + std::to_string(++s_count);
        m_path = (std::filesystem::temp_directory_path() / name).string();
        std::ofstream(m_path, std::ios::binary) << bytes;
    }
    ~Pdf() {
        std::error_code ignored;
        std::filesystem::remove(m_path, ignored);
    }
    Pdf(const Pdf&) = delete;
    Pdf& operator=(const Pdf&) = delete;

    [[nodiscard]] const std::string& path() const { return m_path; }
    [[nodiscard]] int pages() const {
        std::smatch found;
        const std::string info = output_of("pdfinfo " + m_path);
        REQUIRE(std::regex_search(info, found, std::regex(R"(Pages:\s+(\d+))")));
        return std::stoi(found[1]);
    }
    [[nodiscard]] bool is_sound() const {
        return output_of("qpdf --check " + m_path + " && echo sound").find("sound") != std::string::npos;
    }
    /// The text page by page.
    [[nodiscard]] std::vector<std::string> texts(const std::string& options = "") const {
        std::vector<std::string> pages = core::split(output_of("pdftotext " + options + " " + m_path + " -"), '\f');
        if (!pages.empty() && pages.back().empty()) pages.pop_back();
        return pages;
    }
    [[nodiscard]] std::string text(const std::string& options = "") const {
        std::string all;
        for (const std::string& page : texts(options)) all += page + "\n";
        return all;
    }
    /// What the QR codes of a page say, in the order in which they are found.
    [[nodiscard]] std::vector<std::string> qr_codes(int page) const {
        const std::string n = std::to_string(page);
        output_of("pdftoppm -r 150 -gray -singlefile -f " + n + " -l " + n + " " + m_path + " " + m_path + ".qr");
        const std::string picture = m_path + ".qr.pgm";
        std::vector<std::string> lines = core::split(output_of("zbarimg -q --raw -Sdisable -Sqrcode.enable " + picture), '\n');
        std::filesystem::remove(picture);
        std::erase(lines, "");
        std::sort(lines.begin(), lines.end());
        return lines;
    }
    /// Height in mm of the digits of a code on a page, from their ink: the first rows with ink, down to the gap above the bar.
    [[nodiscard]] double digit_height(int page, const std::string& code) const;

private:
    std::string m_path;
};

inline double Pdf::digit_height(int page, const std::string& code) const {
    const std::string n = std::to_string(page);
    const std::string boxes = output_of("pdftotext -bbox -f " + n + " -l " + n + " " + m_path + " -");
    const std::regex word(R"re(xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)">)re" + code + "<");
    std::smatch box;
    REQUIRE(std::regex_search(boxes, box, word));
    constexpr double k_dpi = 300;
    const auto pixels = [](const std::string& points) { return static_cast<int>(std::stod(points) * k_dpi / 72); };
    const int x = pixels(box[1]), y = pixels(box[2]), width = pixels(box[3]) - x, height = pixels(box[4]) - y;
    std::ostringstream crop;
    crop << "pdftoppm -r 300 -gray -f " << n << " -l " << n << " -x " << x << " -y " << y << " -W " << width << " -H " << height
         << " " << m_path;
    const std::string picture = output_of(crop.str());
    const std::size_t pixels_at = picture.size() - static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
    int inked = 0;
    for (int row = 0; row < height; ++row) {
        const std::string line = picture.substr(pixels_at + static_cast<std::size_t>(row) * static_cast<std::size_t>(width),
                                                static_cast<std::size_t>(width));
        const bool ink = std::any_of(line.begin(), line.end(), [](char c) { return static_cast<unsigned char>(c) < 128; });
        if (!ink && inked > 20) break;
        inked = ink ? inked + 1 : 0;
    }
    return inked * 25.4 / k_dpi;
}

/// The words of a text in lower case, without anything but letters and dashes.
inline std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words{""};
    for (const char c : core::lower_ascii(text)) {
        if (std::isalpha(static_cast<unsigned char>(c)) != 0 || c == '-') {
            words.back() += c;
        } else if (!words.back().empty()) {
            words.emplace_back();
        }
    }
    return words;
}

inline bool has_word(const std::string& text, const std::string& word) {
    const std::vector<std::string> words = words_of(text);
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// Phrases that no paper may hold: they say more than a tasting can, or mean the cold room.
inline void check_no_banned_phrase(const std::string& text) {
    const std::string flat = core::joined(words_of(text), " ");
    for (const std::string phrase : {"not significant", "failed", "no difference", "walk-in"}) {
        INFO("banned: " << phrase);
        CHECK(flat.find(phrase) == std::string::npos);
    }
}

/// Words by which the room could guess what is asked or which portion is which.
inline void check_tells_no_version(const std::string& text) {
    for (const std::string word : {"salt", "new", "old", "better", "current", "usual", "zanzibar", "quito", "cure"}) {
        INFO("told: " << word);
        CHECK_FALSE(has_word(text, word));
    }
}

}   // namespace papers_test
