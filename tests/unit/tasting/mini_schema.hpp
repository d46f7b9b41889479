#pragma once
// As much of JSON Schema (draft 2020-12) as our schemas use, to hold files against them. A keyword that it doesn't know is a
// fault, so that no schema can ask for something that nobody checks.

#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "oddplate/core/json.hpp"

namespace oddplate::tasting::testing {

class MiniSchema {
public:
    explicit MiniSchema(core::Json schema) : m_root(std::move(schema)) {}

    /// What does not hold, each with its place; empty where all does.
    [[nodiscard]] std::vector<std::string> faults(const core::Json& value) const {
        std::vector<std::string> out;
        check(m_root, value, "", out);
        return out;
    }

private:
    using Faults = std::vector<std::string>;

    void check(const core::Json& schema, const core::Json& value, const std::string& place, Faults& out) const {
        for (const auto& [keyword, rule] : schema.as_object()) {
            const auto fail = [&, word = keyword] { out.push_back(place + ": " + word); };
            if (keyword == "$ref") {
                check(m_root.at("$defs").at(rule.as_string().substr(std::string("#/$defs/").size())), value, place, out);
            } else if (keyword == "anyOf") {
                bool fits = false;
                for (const auto& way : rule.as_array()) {
                    Faults of_this;
                    check(way, value, place, of_this);
                    fits = fits || of_this.empty();
                }
                if (!fits) fail();
            } else if (keyword == "type") {
                if (!has_type(value, rule.as_string())) fail();
            } else if (keyword == "const") {
                if (!same(value, rule)) fail();
            } else if (keyword == "enum") {
                bool found = false;
                for (const auto& item : rule.as_array()) found = found || same(value, item);
                if (!found) fail();
            } else if (!check_number(keyword, rule, value, fail) && !check_text(keyword, rule, value, fail) &&
                       !check_list(keyword, rule, value, place, out, fail) &&
                       !check_object(keyword, rule, schema, value, place, out, fail) && !s_notes.contains(keyword)) {
                out.push_back("the schema's keyword " + keyword + " is not known here");
            }
        }
    }

    static bool same(const core::Json& a, const core::Json& b) {
        if (a.is_number() && b.is_number()) return a.as_number() == b.as_number();
        return a == b;
    }

    static bool has_type(const core::Json& value, const std::string& type) {
        if (type == "object") return value.is_object();
        if (type == "array") return value.is_array();
        if (type == "string") return value.is_string();
        if (type == "boolean") return value.is_bool();
        if (type == "number") return value.is_number();
        return type == "integer" && value.is_number() && value.as_number() == std::floor(value.as_number());
    }

    template <class Fail>
    static bool check_number(const std::string& keyword, const core::Json& rule, const core::Json& value, Fail fail) {
        static const std::set<std::string> k_words{"minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"};
        if (!k_words.contains(keyword)) return false;
        if (!value.is_number()) return true;
        const double x = value.as_number(), limit = rule.as_number();
        const bool holds = keyword == "minimum"            ? x >= limit
                           : keyword == "maximum"          ? x <= limit
                           : keyword == "exclusiveMinimum" ? x > limit
                                                           : x < limit;
        if (!holds) fail();
        return true;
    }

    template <class Fail>
    static bool check_text(const std::string& keyword, const core::Json& rule, const core::Json& value, Fail fail) {
        if (keyword != "minLength" && keyword != "maxLength") return false;
        if (!value.is_string()) return true;
        std::int64_t characters = 0;
        for (const char c : value.as_string()) characters += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
        if (keyword == "minLength" ? characters < rule.as_integer() : characters > rule.as_integer()) fail();
        return true;
    }

    template <class Fail>
    bool check_list(const std::string& keyword, const core::Json& rule, const core::Json& value, const std::string& place,
                    Faults& out, Fail fail) const {
        if (keyword != "minItems" && keyword != "maxItems" && keyword != "uniqueItems" && keyword != "items") return false;
        if (!value.is_array()) return true;
        const auto& list = value.as_array();
        const auto n = static_cast<std::int64_t>(list.size());
        if (keyword == "minItems" && n < rule.as_integer()) fail();
        if (keyword == "maxItems" && n > rule.as_integer()) fail();
        for (std::size_t i = 0; i < list.size(); ++i) {
            if (keyword == "items") check(rule, list[i], place + "/" + std::to_string(i), out);
            for (std::size_t j = 0; keyword == "uniqueItems" && j < i; ++j)
                if (same(list[i], list[j])) fail();
        }
        return true;
    }

    template <class Fail>
    bool check_object(const std::string& keyword, const core::Json& rule, const core::Json& schema, const core::Json& value,
                      const std::string& place, Faults& out, Fail fail) const {
        if (keyword != "required" && keyword != "properties" && keyword != "additionalProperties") return false;
        if (!value.is_object()) return true;
        if (keyword == "required") {
            for (const auto& key : rule.as_array())
                if (value.find(key.as_string()) == nullptr) fail();
            return true;
        }
        const core::Json* named = schema.find("properties");
        for (const auto& [key, member] : value.as_object()) {
            const core::Json* own = named == nullptr ? nullptr : named->find(key);
            if (keyword == "properties" && own != nullptr) check(*own, member, place + "/" + key, out);
            if (keyword != "additionalProperties" || own != nullptr) continue;
            if (rule.is_bool() && !rule.as_bool()) fail();
            if (rule.is_object()) check(rule, member, place + "/" + key, out);
        }
        return true;
    }

    static inline const std::set<std::string> s_notes{"$schema",     "$id",     "$defs",           "title",
                                                      "description", "default", "contentMediaType"};
    core::Json m_root;
};

}   // namespace oddplate::tasting::testing
