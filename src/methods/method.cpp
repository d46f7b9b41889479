// Small services of the method value: finding one by its id, settling its curve. The table itself is made by the build.

#include "oddplate/methods/method.hpp"

#include <algorithm>
#include <vector>

#include "oddplate/core/text.hpp"

namespace oddplate::methods {

int PlainTable::column(std::string_view name) const {
    const auto at = std::find(columns.begin(), columns.end(), name);
    return at == columns.end() ? -1 : static_cast<int>(at - columns.begin());
}

Method with_curve(const Method& method, const Settings& settings) {
    Method asked = method;
    if (method.link_by != nullptr) asked.link = method.link_by(settings);
    return asked;
}

int portions_of(const Method& method, const Round& round, int versions) {
    return method.portions > 0 ? method.portions : static_cast<int>(method.orders(round, versions).front().versions.size());
}

core::Result<const Method*> find(std::string_view id) {
    const auto methods = all();
    const auto at = std::find_if(methods.begin(), methods.end(), [&](const Method* m) { return m->id == id; });
    if (at != methods.end()) return *at;

    std::vector<std::string> ids;
    for (const Method* method : methods) ids.emplace_back(method->id);
    const std::string near = core::nearest(id, ids);
    return core::found("method", core::quoted(id), "one of " + core::joined(ids, ", "),
                       near.empty() ? std::string{} : "did you mean " + near + "?", "unknown-method", core::ErrorKind::usage);
}

}   // namespace oddplate::methods
