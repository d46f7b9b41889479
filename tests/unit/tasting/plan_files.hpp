#pragma once
// The ready-made plans and schemas of the project, read from its own folders.

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <map>
#include <string>

#include "oddplate/core/files.hpp"
#include "oddplate/core/json.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::tasting::testing {

inline std::string designs(const std::string& path) {
    return std::string(ODDPLATE_SOURCE_DIR) + "/designs/" + path;
}

inline std::string text_of(const std::string& path) {
    auto text = core::read_file(path);
    if (!text) FAIL(text.faults()[0].line());
    return *text;
}

inline core::Json json_of(const std::string& text) {
    auto json = core::parse_json(text);
    if (!json) FAIL(json.faults()[0].line());
    return *json;
}

/// Every designs/plans/*.json: file name -> text.
inline std::map<std::string, std::string> ready_made() {
    std::map<std::string, std::string> plans;
    for (const auto& entry : std::filesystem::directory_iterator(designs("plans")))
        if (entry.path().extension() == ".json") plans[entry.path().filename().string()] = text_of(entry.path().string());
    return plans;
}

inline methods::Plan read_ready_made(const std::string& name) {
    auto plan = read_plan(text_of(designs("plans/" + name)), name);
    if (!plan) FAIL(plan.faults()[0].line());
    return *plan;
}

}   // namespace oddplate::tasting::testing
