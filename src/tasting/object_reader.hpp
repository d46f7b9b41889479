#pragma once
// Takes a JSON object apart key by key, gathers every fault with its pointer, and at the end names the keys nobody asked for.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/methods/settings.hpp"

namespace oddplate::tasting {

class ObjectReader {
public:
    /// `place` is the JSON pointer of the object, "" for the whole file; both object and faults outlive the reader.
    ObjectReader(const core::Json& object, std::string place, core::Faults& faults);

    /// The value of a setting, when it is there and right; a fault when it is wrong or, where required, missing.
    std::optional<methods::SettingValue> take(const methods::Setting& setting, const std::vector<std::string>& version_ids = {});

    std::optional<double> number(std::string_view key, double lo, double hi, bool open = false, bool required = false);
    std::optional<int> whole(std::string_view key, int lo, int hi, bool required = false);
    std::optional<bool> flag(std::string_view key);
    /// Text of at most 200 bytes without control characters; `required` text may not be empty.
    std::optional<std::string> text(std::string_view key, bool required = false);
    std::optional<std::string> choice(std::string_view key, std::span<const std::string_view> choices);
    /// A list of texts, each not empty and none twice.
    std::optional<std::vector<std::string>> texts(std::string_view key);
    const core::Json* list(std::string_view key, bool required);
    const core::Json* object(std::string_view key);
    const core::Json* any(std::string_view key);

    /// Faults for the keys that nobody took; `also` are known keys that are only not used here.
    void refuse_the_rest();

    [[nodiscard]] std::string at(std::string_view key) const { return m_place + "/" + std::string(key); }
    void add(std::string_view key, std::string got, std::string expected, std::string hint = {});
    /// The same, unless the key or something in it has a fault already.
    void add_once(std::string_view key, std::string got, std::string expected);

private:
    const core::Json& m_object;
    std::string m_place;
    core::Faults& m_faults;
    std::vector<std::string> m_known;
};

/// A whole number in this range (24.0 is one); nothing where it is something else.
std::optional<int> whole_in(const core::Json& value, int lo, int hi);

/// A name as a part of a JSON pointer (~ and / escaped), cut to what fits a line.
std::string pointer_token(std::string_view name);

/// Text that may stand on a page: not empty, at most 200 bytes, no control characters. The fault says which it broke.
std::optional<std::string> page_text_fault(const std::string& text, std::size_t most = 200);
/// The same for a plan's own text, where a space at the beginning or the end would make two names of one.
std::optional<std::string> plan_text_fault(const std::string& text, std::size_t most);

}   // namespace oddplate::tasting
